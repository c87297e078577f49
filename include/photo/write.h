/* A JPEG written row by row into memory: copies for looking at, never for
 * measuring. */
#ifndef HANKLAB_PHOTO_WRITE_H
#define HANKLAB_PHOTO_WRITE_H

#include <stddef.h>
#include <stdint.h>

struct photo_writer;

struct photo_written {
    uint32_t width, height;   /* as stored, 1..PHOTO_MAX_SIDE */
    int orientation;          /* 1: no Exif is written; else that alone */
    int quality;              /* of libjpeg's 100 */
    const unsigned char *icc; /* borrowed until the writer is there, or NULL */
    size_t icc_size;
};

struct photo_writer *photo_writer_new(const struct photo_written *what);

/* The next row of 8-bit RGB; height of them in all. */
void photo_writer_row(struct photo_writer *writer, unsigned char *rgb);

/* After the last row; out: release with free(). */
void photo_writer_end(struct photo_writer *writer, unsigned char **out,
                      size_t *size);

void photo_writer_free(struct photo_writer *writer); /* NULL allowed */

#endif
