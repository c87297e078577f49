/* A photo that arrived with a form: looked at, and kept in the book. */
#ifndef HANKLAB_WEB_PHOTOS_H
#define HANKLAB_WEB_PHOTOS_H

#include "request.h"

/* Whether the upload is a photo that the book keeps. ERR_INPUT says what to
 * put right, for a HEIC how to change the phone's setting. */
bool photos_check(struct request *r, struct error *err);

/* Keeps it, as an act of its own, and notes that it shows the skein (0: none).
 * *photo is the record's id; when it is set already only the skein is noted. */
bool photos_keep(struct request *r, int64_t skein, int64_t *photo,
                 struct error *err);

#endif
