/* Private to the book: an axis of a grid, from what the book says of skeins to
 * names in order. */
#ifndef HANKLAB_BOOK_AXIS_H
#define HANKLAB_BOOK_AXIS_H

#include "book/scan.h"

/* All zero is an empty one. */
struct axis {
    enum grid_axis which;
    struct id_map at; /* the index of a value, by what skeins have it from */
    char **value;     /* as the book has it, each once */
    bool *used;       /* by a skein of the grid */
    uint32_t values;
    uint32_t *slot; /* a hash table: a value's index plus 1, 0 free */
    size_t slots;
    /* Once it is in order: */
    size_t *place; /* of each value */
    char **name;   /* of each place; what is not known comes last */
    size_t names, known;
};

bool axis_begin(struct book *book, enum grid_axis which, struct axis *out,
                struct error *err);

/* What axis_value wants to know of skeins: of enum scan_wants. */
unsigned axis_wants(enum grid_axis which);

/* The index of the value that a skein has. */
bool axis_value(struct book *book, struct axis *axis,
                const struct scan_row *row, uint32_t *out, struct error *err);

/* Finds names and places. */
bool axis_order(struct book *book, struct axis *axis, struct error *err);

/* Hands the names over. */
char **axis_take(struct axis *axis);
void axis_clear(struct axis *axis);

#endif
