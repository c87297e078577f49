/* A JPEG as it may be handed on: the same pixels, and of what the camera wrote
 * beside them only what a colour depends on. */
#ifndef HANKLAB_PHOTO_COPY_H
#define HANKLAB_PHOTO_COPY_H

#include <stdbool.h>
#include <stddef.h>

#include "base/error.h"

/*
 * Copies the picture, its profile, and the fields of Exif that struct photo
 * holds. All else is left out, known to us or not: the place, the owner and the
 * numbers of camera and lens, the maker's own notes, XMP, IPTC, comments,
 * thumbnails, and further pictures behind the first.
 *
 * out   release with free(); a copy of a copy is the same bytes
 * err   as of photo_open
 */
bool photo_copy(const unsigned char *data, size_t size, unsigned char **out,
                size_t *out_size, struct error *err);

#endif
