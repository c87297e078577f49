/* The grid that is kept. See grid_kept.h. */
#include "book/grid_kept.h"

#include <stdlib.h>

#include "base/mem.h"

struct grid_kept {
    enum grid_axis rows, columns;
    bool labels;
    struct grid_state state;
    struct grid grid;
};

struct grid_state grid_state_now(struct book *book)
{
    return (struct grid_state){book_data_version(book), book_own_changes(book)};
}

static char **copy_names(char *const *name, size_t count)
{
    char **out = mem_new(count, sizeof *out);

    for (size_t i = 0; i < count; i++)
        out[i] = mem_text(name[i]);
    return out;
}

static struct grid copy_of(const struct grid *g)
{
    const size_t places = g->rows * g->columns;
    struct grid out = *g;

    out.row = copy_names(g->row, g->rows);
    out.column = copy_names(g->column, g->columns);
    out.place = mem_new(places, sizeof *out.place);
    for (size_t i = 0; i < places; i++) {
        out.place[i] = g->place[i];
        out.place[i].labels = mem_text(g->place[i].labels);
    }
    return out;
}

bool grid_kept_take(const struct book *book, const struct grid_request *request,
                    struct grid_state state, struct grid *out)
{
    const struct grid_kept *kept = book->grid;

    if (!kept || kept->state.version != state.version ||
        kept->state.own != state.own || kept->rows != request->rows ||
        kept->columns != request->columns || kept->labels != request->labels)
        return false;
    *out = copy_of(&kept->grid);
    return true;
}

void grid_kept_put(struct book *book, const struct grid_request *request,
                   struct grid_state state, const struct grid *grid)
{
    grid_kept_clear(book);
    book->grid = mem_new(1, sizeof *book->grid);
    *book->grid = (struct grid_kept){request->rows, request->columns,
                                     request->labels, state, copy_of(grid)};
}

void grid_kept_clear(struct book *book)
{
    if (book->grid)
        grid_clear(&book->grid->grid);
    free(book->grid);
    book->grid = NULL;
}
