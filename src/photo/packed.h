/*
 * Coefficients of a picture in several scans, kept small.
 *
 * libjpeg holds all of them until the last scan, two bytes each, in "virtual
 * arrays" of its memory manager; an application may put its own methods in
 * place of the manager's. Ours keep a row of blocks packed while libjpeg does
 * not look at it: of each block a map of which coefficients are not nought, and
 * these in one byte up to +-63, two up to +-8191, else three. Most are nought,
 * so a photo takes about 0.4 bytes for each coefficient; one of nothing but +-1
 * takes 1.2, white noise at quality 100 takes 1.4. A file that would take more
 * than 1.5 was made to do so, and is refused as one that takes too much memory.
 */
#ifndef HANKLAB_PHOTO_PACKED_H
#define HANKLAB_PHOTO_PACKED_H

#include <stdbool.h>
#include <stdio.h> /* jpeglib.h needs it */

#include <jpeglib.h>

/* Whether libjpeg's own arrays would take more than a photo may, its header
 * having been read: 1.5 times the decoded picture and 24 MiB, or
 * mem->max_memory_to_use. Smaller ones are read faster unpacked. */
bool packed_pays(const struct jpeg_decompress_struct *jpeg);

/*
 * Has jpeg keep its coefficients packed; between jpeg_read_header and
 * jpeg_start_decompress. The pixels are the same. What is used is in libjpeg's
 * pool and goes with it; mem->max_memory_to_use becomes what is left for it.
 * Too much is JERR_NO_BACKING_STORE, no memory JERR_OUT_OF_MEMORY.
 */
void packed_use(struct jpeg_decompress_struct *jpeg);

#endif
