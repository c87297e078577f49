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
    bool grouped;   /* rows alike in their first column stand below it */
    bool in_blocks; /* too wide: some columns below the others, each with the
                     * first one before them */
};

/* Adds the next cell, row by row. text NULL is an empty cell. */
void table_add(struct text_table *t, const char *text);
void table_addf(struct text_table *t, const char *fmt, ...)
    __attribute__((format(printf, 2, 3)));
/* A cell with a swatch before its text. */
void table_add_colour(struct text_table *t, struct lab colour,
                      const char *text);

/*
 * Columns aligned, numbers to the right; colour: with true-colour blocks, else
 * the swatch is left out. Releases the table's cells.
 *
 * width  of the terminal: words wrap in their cell, and columns that leave no
 *        room for the others, from the last, stand below their row with their
 *        heading. Numbers never wrap.
 */
void table_write(struct text_table *t, bool colour, int width,
                 struct text *out);

/* Text and a newline, wrapped at blanks; further lines start with `hang`
 * blanks. */
void lines_add(struct text *out, const char *text, int width, int hang);

/* The same cells as CSV (RFC 4180), without swatches; text that a spreadsheet
 * would take for a formula gets an apostrophe before it. Releases the cells. */
void table_write_csv(struct text_table *t, struct text *out);

/* A block of colour `width` columns wide, nothing when colour is false. */
void block_add(struct text *out, struct lab c, int width, bool colour);

#endif
