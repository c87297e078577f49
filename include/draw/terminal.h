/* Tables and swatches for a terminal or a plain text file. */
#ifndef HANKLAB_DRAW_TERMINAL_H
#define HANKLAB_DRAW_TERMINAL_H

#include <stdbool.h>
#include <stddef.h>

#include "base/text.h"
#include "colour/lab.h"

/* A table being built; all zero but for columns is an empty one. */
struct grid_cell {
    char *text;      /* owned */
    bool has_colour; /* a block of this colour stands before the text */
    struct lab colour;
};

struct text_table {
    size_t columns;
    struct grid_cell *cell; /* rows * columns; the first row is the heading */
    size_t cells;
};

/* Adds the next cell, row by row. text NULL is an empty cell. */
void table_add(struct text_table *t, const char *text);
void table_addf(struct text_table *t, const char *fmt, ...)
    __attribute__((format(printf, 2, 3)));
/* A cell with a swatch before its text. */
void table_add_colour(struct text_table *t, struct lab colour,
                      const char *text);

/* Columns aligned, numbers to the right; colour: with true-colour blocks,
 * else the swatch is left out. Releases the table's cells. */
void table_write(struct text_table *t, bool colour, struct text *out);

/* The same cells as CSV (RFC 4180), without swatches. Releases the cells. */
void table_write_csv(struct text_table *t, struct text *out);

/* A block of colour `width` columns wide, nothing when colour is false. */
void block_add(struct text *out, struct lab c, int width, bool colour);

#endif
