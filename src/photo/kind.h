/* What a file is that calls itself a JPEG and is none. */
#ifndef HANKLAB_PHOTO_KIND_H
#define HANKLAB_PHOTO_KIND_H

#include <stddef.h>

/* "a PNG picture", "a PDF document"; NULL when its first bytes are not
 * known. */
const char *kind_name(const unsigned char *data, size_t size);

#endif
