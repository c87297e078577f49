/*
 * The TIFF structure that Exif and MPF share: tagged fields in directories.
 *
 * Source: TIFF 6.0 (1992) section 2. Every offset and count is checked
 * against the segment, and a hostile file can cost 512 fields at most.
 */
#ifndef HANKLAB_PHOTO_TIFF_H
#define HANKLAB_PHOTO_TIFF_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#define TIFF_MAX_IFDS 6
#define TIFF_MAX_FIELDS 512

struct tiff {
    const unsigned char *p; /* borrowed, size bytes; offsets count from here */
    size_t size;
    bool big;     /* most significant byte first ("MM") */
    bool damaged; /* something pointed outside, looped or was too much */
    unsigned ifds, fields;
    uint32_t seen[TIFF_MAX_IFDS];
};

enum tiff_type {
    TIFF_BYTE = 1,
    TIFF_ASCII = 2,
    TIFF_SHORT = 3,
    TIFF_LONG = 4,
    TIFF_RATIONAL = 5,
    TIFF_UNDEFINED = 7,
    TIFF_UTF8 = 129, /* Exif 3.0 */
};

struct tiff_field {
    unsigned tag, type;
    uint32_t count;
    const unsigned char *value; /* size bytes; NULL: outside, or no such type */
    size_t size;
};

/* Looks at the header; false when it is not TIFF. */
bool tiff_open(struct tiff *t, const unsigned char *p, size_t size,
               uint32_t *first_ifd);

typedef void tiff_visitor(void *self, struct tiff *t,
                          const struct tiff_field *field);

/* Calls visit for each field of one directory. Directories that it points to
 * are left to the caller. */
void tiff_walk(struct tiff *t, uint32_t ifd, tiff_visitor *visit, void *self);

/* The i-th value of a BYTE, SHORT or LONG field; false for other types and
 * when there is no i-th. */
bool tiff_whole(const struct tiff *t, const struct tiff_field *field,
                uint32_t i, uint32_t *out);

/* The i-th value of a RATIONAL field; NaN for other types, when there is no
 * i-th, and when it divides by 0. */
double tiff_real(const struct tiff *t, const struct tiff_field *field,
                 uint32_t i);

#endif
