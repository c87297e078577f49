/* The values of a record's columns. See cells.h. */
#include "book/cells.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"

void cells_clear(struct cells *cells)
{
    for (size_t i = 0; i < cells->count; i++)
        free(cells->cell[i].text);
    cells->count = 0;
}

/* A column may be set again; the last value counts. */
static struct cell *cell_for(struct cells *cells, const char *column)
{
    for (size_t i = 0; i < cells->count; i++)
        if (!strcmp(cells->cell[i].column, column)) {
            free(cells->cell[i].text);
            cells->cell[i].text = NULL;
            return &cells->cell[i];
        }
    assert(cells->count < CELLS_MAX);
    struct cell *c = &cells->cell[cells->count++];
    c->text = NULL;
    assert(strlen(column) < sizeof c->column);
    memcpy(c->column, column, strlen(column) + 1);
    return c;
}

void cells_int(struct cells *cells, const char *column, int64_t value)
{
    struct cell *c = cell_for(cells, column);

    c->kind = CELL_INT;
    c->whole = value;
}

void cells_real(struct cells *cells, const char *column, double value)
{
    struct cell *c = cell_for(cells, column);

    c->kind = isnan(value) ? CELL_NULL : CELL_REAL;
    c->real = value;
}

void cells_text(struct cells *cells, const char *column, const char *value)
{
    struct cell *c = cell_for(cells, column);

    c->kind = value ? CELL_TEXT : CELL_NULL;
    c->text = mem_text(value);
}

void cells_copy(struct cells *to, const struct cells *from)
{
    cells_clear(to);
    for (size_t i = 0; i < from->count; i++) {
        to->cell[i] = from->cell[i];
        to->cell[i].text = mem_text(from->cell[i].text);
    }
    to->count = from->count;
}

const struct cell *cells_get(const struct cells *cells, const char *column)
{
    for (size_t i = 0; i < cells->count; i++)
        if (!strcmp(cells->cell[i].column, column))
            return &cells->cell[i];
    return NULL;
}
