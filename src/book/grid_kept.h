/* Private to the book: the last grid of the whole shelf, kept in memory until
 * the book changes. */
#ifndef HANKLAB_BOOK_GRID_KEPT_H
#define HANKLAB_BOOK_GRID_KEPT_H

#include "book/ask.h"
#include "book/store.h"

/* What any change makes another: by another program, or by us. */
struct grid_state {
    int64_t version, own;
};

/* Within the look that the grid is made from. */
struct grid_state grid_state_now(struct book *book);

/* Whether a grid of these axes and labels, for that state, is kept; then it is
 * copied to *out. */
bool grid_kept_take(const struct book *book, const struct grid_request *request,
                    struct grid_state state, struct grid *out);

/* Keeps a copy in place of another. */
void grid_kept_put(struct book *book, const struct grid_request *request,
                   struct grid_state state, const struct grid *grid);

/* Allowed when there is none. */
void grid_kept_clear(struct book *book);

#endif
