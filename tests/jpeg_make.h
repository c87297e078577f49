/* Small JPEGs of every sort, and the cuts and grafts that spoil them. */
#ifndef HANKLAB_TESTS_JPEG_MAKE_H
#define HANKLAB_TESTS_JPEG_MAKE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "photo/photo.h"

/* What libjpeg is to write; nought means the usual. */
struct jpeg_recipe {
    unsigned width, height; /* 96 x 80 */
    int quality;            /* 92 */
    int components;         /* 3; 1 is grey, 4 is CMYK */
    int h, v;               /* luma's sampling factors, 1 x 1 */
    int chroma_h, chroma_v; /* chroma's, 1 x 1 */
    int restart_mcus;       /* none */
    bool progressive, arithmetic;
    bool separate_scans; /* baseline, one scan a component */
    bool many_scans;     /* progressive, 190 of them */
    bool rgb;            /* coded as RGB, not YCbCr */
    bool noise;          /* each sample by chance, 0 to 255 */
};

struct jpeg_bytes {
    unsigned char *data; /* size bytes, and one more; free() it */
    size_t size;
};

/* The picture that every recipe shows: soft slopes with a little grain. */
void jpeg_pixel(unsigned x, unsigned y, unsigned char rgb[3]);

/* Fails the test when libjpeg does not want to. */
struct jpeg_bytes jpeg_make(const struct jpeg_recipe *recipe);

/* The same with one of the usual recipes. */
struct jpeg_bytes jpeg_plain(void);

/* Puts n bytes in before offset at. */
void jpeg_insert(struct jpeg_bytes *j, size_t at, const void *bytes, size_t n);

/* Removes n bytes from offset at. */
void jpeg_remove(struct jpeg_bytes *j, size_t at, size_t n);

/* Puts a segment in just behind the start marker, or just before the next
 * segment with marker `before`. At most 65533 bytes of body. */
void jpeg_add(struct jpeg_bytes *j, int marker, const void *body, size_t n);
void jpeg_add_before(struct jpeg_bytes *j, int before, int marker,
                     const void *body, size_t n);

/* Puts in an MPF segment that lists one to three pictures and says that there
 * are `said`; at[i] is the offset written for picture i + 2. CIPA DC-007
 * figure 6. */
void jpeg_add_mpf(struct jpeg_bytes *j, unsigned pictures, unsigned said,
                  const size_t at[2]);

/* Offset of the FF of the first segment with this marker (0: none), and of
 * the first scan's data. */
size_t jpeg_find(const struct jpeg_bytes *j, int marker);
size_t jpeg_scan(const struct jpeg_bytes *j);

/* One field of an Exif segment to be made. */
struct exif_field {
    enum { EXIF_IFD0, EXIF_SUB, EXIF_GPS, EXIF_INTEROP } ifd;
    unsigned tag, type; /* TIFF: 1 byte, 2 text, 3 short, 4 long, 5 rational */
    uint32_t count;     /* 0: of the text with its NUL, else as given */
    const char *text;   /* for types 1, 2 and those that are none */
    uint32_t n[12];     /* for types 3, 4; pairs for 5 */
};

/* "Exif\0\0" and the fields, in either byte order; at most cap bytes.
 * Directories that hold a field are there, with their pointers. */
size_t exif_make(bool big, const struct exif_field *field, size_t fields,
                 unsigned char *out, size_t cap);

/* Opens bytes that must be opened, or must be refused; the error's text is
 * checked for `say`. Frees nothing. */
struct photo photo_opens(const char *row, const struct jpeg_bytes *j);
void photo_refuses(const char *row, const struct jpeg_bytes *j,
                   enum error_kind kind, const char *say);

#endif
