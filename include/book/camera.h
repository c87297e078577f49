/* What cameras do to tones and colours, as the book learnt it from photos. */
#ifndef HANKLAB_BOOK_CAMERA_H
#define HANKLAB_BOOK_CAMERA_H

#include <stddef.h>
#include <stdint.h>

#include "book/book.h"
#include "measure/camera.h"

/* Those that stand, the newest last, as struct measure_request wants them;
 * release *out with free(). ERR_STORE. */
bool cameras_read(struct book *book, struct camera **out, size_t *count,
                  struct error *err);

/* Adds what was learnt from a photo of the book, taken at "2026-05-03
 * 14:05:06" or "". Needs an open act. */
bool camera_record(struct book *book, const struct camera *camera,
                   int64_t photo, const char *taken, int64_t *id,
                   struct error *err);

#endif
