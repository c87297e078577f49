/* Private to the book: the colours that baths would give next. */
#ifndef HANKLAB_BOOK_FORETOLD_H
#define HANKLAB_BOOK_FORETOLD_H

#include "book/shelf.h"

/* As palette_answer has them, and a skein of each one's lane. */
struct foretold {
    struct told {
        struct ask_skein skein; /* label "foretold 1 alum" */
        int64_t bath, like;
    } * told;
    size_t count;
};

/*
 * Adds what a bath's next round would give, lane by lane.
 *
 * passes  whether a skein, by its id, is one that may stand for its lane
 */
bool foretold_add(struct book *book, struct lore *lore,
                  const struct ask_filter *filter, int64_t bath,
                  const struct id_map *passes, struct foretold *out,
                  struct error *err);
void foretold_clear(struct foretold *foretold); /* allowed on a zeroed one */

#endif
