/* A small upright copy of a photo, for looking at: never for measuring. */
#ifndef HANKLAB_PHOTO_PREVIEW_H
#define HANKLAB_PHOTO_PREVIEW_H

#include "photo/photo.h"

/*
 * Makes a JPEG without Exif (no place, no camera), turned upright, with the
 * profile of the photo. Its longer side is at most `longest` pixels, or an
 * eighth of the photo's where that is more.
 *
 * data  size bytes, borrowed for the call only
 * out   release with free()
 * err   as photo_open and photo_decode
 */
bool photo_preview(const unsigned char *data, size_t size, uint32_t longest,
                   unsigned char **out, size_t *out_size, struct error *err);

#endif
