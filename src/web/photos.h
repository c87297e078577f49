/* A photo that arrived with a form: looked at, and kept in the book. */
#ifndef HANKLAB_WEB_PHOTOS_H
#define HANKLAB_WEB_PHOTOS_H

#include "book/pot.h"
#include "book/record.h"
#include "request.h"

/* The sizes of small copies, "/photo/7/" and one of these: the longer side in
 * pixels, for a list and for looking closely. */
#define PHOTO_SMALL "480"
#define PHOTO_LARGE "2048"

/* Whether the upload is a photo that the book keeps. ERR_INPUT says what to
 * put right, for a HEIC how to change the phone's setting. */
bool photos_check(struct request *r, struct error *err);

/* Keeps it, as an act of its own. shows is the photo's field of that name, for
 * a new one; *photo is the record's id. */
bool photos_keep(struct request *r, const char *shows, int64_t *photo,
                 struct error *err);

/* Keeps the request's upload in the act of a pot (struct pot_also) and notes
 * that it shows the skeins in it. */
bool photos_keep_of(void *request, const struct pot_result *pot,
                    struct error *err);

/* Reads the record of a kept photo; *path is its file, release with free().
 * ERR_MISSING. */
bool photos_find(struct request *r, const char *id, struct record *photo,
                 char **path, struct error *err);

#endif
