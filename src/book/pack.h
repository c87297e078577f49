/*
 * Private to the book: the shelf, which holds each skein that is not withdrawn
 * as it is now. It lies packed in pages of as many skeins, so that a question
 * to all of them reads a few hundred rows rather than a hundred thousand, and
 * in parts, so that it reads no more than it is about.
 *
 * Numbers have their lowest byte first. A cell is, byte by byte,
 *
 *   what    recipe 4 (0: no skein), name of the colour 2 (ISCC-NBS, 0 none),
 *           enum ask_lack 1, 1 not used
 *   pot     8, see struct pack_skein
 *   colour  L*, a*, b* 8 each
 *   who     number 8, dyer 8
 *   face    name and lack once more, 2 in all: by these skeins are counted, of
 *           which a page holds more
 */
#ifndef HANKLAB_BOOK_PACK_H
#define HANKLAB_BOOK_PACK_H

#include <string.h>

#include "book/ask.h"
#include "book/id_map.h"
#include "book/store.h"

/* Two pages of 960 faces are one of SQLite's. */
enum { PACK_SKEINS = 128, PACK_FACES = 960 };
enum pack_part {
    PACK_WHAT,
    PACK_POT,
    PACK_COLOUR,
    PACK_WHO,
    PACK_FACE,
    PACK_PARTS
};

/* A part's first page has this id; page n of it, skeins n * PACK_SKEINS on, or
 * n * PACK_FACES. */
#define PACK_FIRST(part) ((int64_t)(part) << 48)

struct pack_skein {
    int64_t recipe; /* 0: not on the shelf */
    enum ask_lack lack;
    int name;       /* of the colour */
    struct lab lab; /* dry, whole, D50, 2 degree; when it has one */
    /* The treatment of its last dye; below 0 that of its last step of any
     * kind, when it was not dyed or is plied from different pots; or 0. */
    int64_t pot;
    int64_t number, dyer;
};

/* ---- reading: cells is the page's part, i the place of the skein in it ----
 */

static inline uint64_t pack_u64(const unsigned char *p)
{
    return (uint64_t)p[0] | (uint64_t)p[1] << 8 | (uint64_t)p[2] << 16 |
           (uint64_t)p[3] << 24 | (uint64_t)p[4] << 32 | (uint64_t)p[5] << 40 |
           (uint64_t)p[6] << 48 | (uint64_t)p[7] << 56;
}

static inline double pack_real(const unsigned char *p)
{
    const uint64_t bits = pack_u64(p);
    double x;

    memcpy(&x, &bits, sizeof x);
    return x;
}

static inline void pack_what(const unsigned char *cells, size_t i,
                             struct pack_skein *out)
{
    const uint64_t cell = pack_u64(cells + 8 * i);

    out->recipe = (int64_t)(cell & 0xFFFFFFFF);
    out->name = (int)(cell >> 32 & 0xFFFF);
    out->lack = (enum ask_lack)(cell >> 48 & 7);
}

static inline int64_t pack_pot(const unsigned char *cells, size_t i)
{
    return (int64_t)pack_u64(cells + 8 * i);
}

static inline struct lab pack_lab(const unsigned char *cells, size_t i)
{
    const unsigned char *p = cells + 24 * i;

    return (struct lab){pack_real(p), pack_real(p + 8), pack_real(p + 16)};
}

static inline int64_t pack_number(const unsigned char *cells, size_t i)
{
    return (int64_t)pack_u64(cells + 16 * i);
}

static inline int64_t pack_dyer(const unsigned char *cells, size_t i)
{
    return (int64_t)pack_u64(cells + 16 * i + 8);
}

/* A face: enum ask_lack + 1, and in the lower bits the name; 0: no skein. */
enum { PACK_FACE_NAMES = 1 << 9, PACK_FACE_KINDS = PACK_FACE_NAMES << 3 };

static inline unsigned pack_face(const unsigned char *cells, size_t i)
{
    return cells[2 * i] | (cells[2 * i + 1] & 15u) << 8;
}

/* The cells of a part in a column of the present row; NULL when they are not
 * of the right size, which err says. */
const unsigned char *pack_cells(struct stmt *q, int column, enum pack_part part,
                                struct error *err);

/* ---- writing: the pages at hand are kept until others are needed --------- */

struct pack {
    struct pack_page {
        bool open;
        int64_t number;
        unsigned char *cells;
    } page[PACK_PARTS];
    struct id_map tally; /* what has become more or fewer, see pack.c */
};

/* Puts a skein on the shelf, or with recipe 0 takes it off. */
bool pack_put(struct pack *pack, struct book *book, int64_t skein,
              const struct pack_skein *is, struct error *err);

/* Writes what is still at hand, and the tally. */
bool pack_flush(struct pack *pack, struct book *book, struct error *err);

/* Allowed on a zeroed one. */
void pack_clear(struct pack *pack);

#endif
