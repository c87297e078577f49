/* Private to the book: the values of a record's columns, by their names. */
#ifndef HANKLAB_BOOK_CELLS_H
#define HANKLAB_BOOK_CELLS_H

#include <stddef.h>
#include <stdint.h>

enum cell_kind { CELL_NULL, CELL_INT, CELL_REAL, CELL_TEXT };

struct cell {
    char column[32];
    enum cell_kind kind;
    int64_t whole;
    double real;
    char *text; /* owned */
};

#define CELLS_MAX 128

struct cells {
    struct cell cell[CELLS_MAX];
    size_t count;
};

void cells_clear(struct cells *cells);
void cells_int(struct cells *cells, const char *column, int64_t value);
void cells_real(struct cells *cells, const char *column, double value);
void cells_text(struct cells *cells, const char *column, const char *value);
/* In place of what was there. */
void cells_copy(struct cells *to, const struct cells *from);
const struct cell *cells_get(const struct cells *cells, const char *column);

#endif
