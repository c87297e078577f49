/* Private to the book: an axis of a grid, from what the shelf says of skeins to
 * names in order. */
#ifndef HANKLAB_BOOK_AXIS_H
#define HANKLAB_BOOK_AXIS_H

#include "book/ask.h"
#include "book/store.h"

/* All zero is an empty one. */
struct axis {
    char **value; /* as the shelf has it, each once */
    uint32_t values, last;
    uint32_t *slot; /* a hash table: a value's index plus 1, 0 free */
    size_t slots;
    /* Once it is in order: */
    size_t *place; /* of each value */
    char **name;   /* of each place; what is not known comes last */
    size_t names, known;
};

/* The column of the shelf, as h, that says where a skein belongs. */
const char *axis_column(enum grid_axis axis);

/* The index of a value, which is added when it is new; NULL is "". */
uint32_t axis_add(struct axis *axis, const char *value);

/* Finds names and places. */
bool axis_order(struct book *book, enum grid_axis which, struct axis *axis,
                struct error *err);

/* Hands the names over. */
char **axis_take(struct axis *axis);
void axis_clear(struct axis *axis);

#endif
