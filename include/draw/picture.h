/*
 * Pictures as SVG that stands by itself, in a file or on a page. Each has a
 * title and words that say what it shows. Whatever a colour says, a mark, a
 * number or a word says too. Texts are escaped here.
 */
#ifndef HANKLAB_DRAW_PICTURE_H
#define HANKLAB_DRAW_PICTURE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/text.h"
#include "colour/lab.h"

struct picture {
    const char *title; /* a line */
    const char *words; /* what it shows, for those who cannot see it */
};

/* A flat colour with two lines below it. */
struct picture_swatch {
    struct lab lab;   /* NaN: none, an outline with the words in it */
    const char *name; /* "31"; may be NULL as the others */
    const char *line, *more;
    bool foretold; /* not dyed yet: striped; a word below it says so, too */
};

/* Swatches that touch, and below them the same in grey, as from afar. */
void picture_strip(const struct picture *p, const struct picture_swatch *swatch,
                   size_t n, struct text *out);

/* Swatches in rows, under the names of their columns if there are such.
 *
 * row     rows of them, NULL for none
 * column  columns of them, or NULL
 * swatch  rows * columns, row by row; without a colour and without a word
 *         nothing is drawn
 */
void picture_table(const struct picture *p, char *const *row,
                   char *const *column, size_t rows, size_t columns,
                   const struct picture_swatch *swatch, struct text *out);

/* A place on the map of a* and b*, with its lightness on a scale beside it. */
struct picture_dot {
    struct lab lab;
    const char *name; /* written beside it; NULL: a small dot alone */
};

/* At most so many are named: of more, the first. target, if not NULL, is a
 * cross. */
#define PICTURE_NAMED 12
void picture_map(const struct picture *p, const struct picture_dot *dot,
                 size_t n, const struct lab *target, struct text *out);

struct picture_point {
    double seen; /* part of the first's strength; NaN: not measured */
    double line, low, high; /* the model's, with its band */
    struct lab lab;         /* the mark's colour */
    bool foretold;
};

/* How strong a dye was in each round. */
struct picture_curve {
    const char *name, *line; /* two lines */
    size_t first;            /* round of the first point, 0: the first bath */
    size_t points;
    const struct picture_point *point;
};

/* Of each curve another mark and another line; at most PICTURE_CURVES. */
#define PICTURE_CURVES 6
void picture_curves(const struct picture *p, const struct picture_curve *curve,
                    size_t n, struct text *out);

/* What became of a colour in a test. */
struct picture_change {
    struct lab was, is;
    const char *name, *line; /* two lines beside them */
    double at, low, high;    /* the grade, 1 to 5, and how far it may be off */
};

/* A row each: both colours touching, and the grade on a scale from 1 to 5. */
void picture_changes(const struct picture *p,
                     const struct picture_change *change, size_t n,
                     struct text *out);

#endif
