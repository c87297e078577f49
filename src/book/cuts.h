/* Private to the book: what comes down to skeins from those they were cut off
 * or plied from. */
#ifndef HANKLAB_BOOK_CUTS_H
#define HANKLAB_BOOK_CUTS_H

#include "book/id_map.h"
#include "book/store.h"

/* A piece, and how far its parent had come when it was cut off or plied. */
struct cut {
    int64_t parent, child, ordinal;
};

/* All zero: not loaded. */
struct cuts {
    struct cut *cut; /* by parent */
    size_t count;
    bool loaded;
};

/* Those of the whole book, unless they are there already. */
bool cuts_load(struct book *book, struct cuts *out, struct error *err);
void cuts_clear(struct cuts *cuts);

/* Adds the pieces of skeins that had it when they were cut, and theirs.
 *
 * in  skeins that had it, each with the first step since when */
void cuts_descend(struct id_map *in, const struct cuts *cuts);

#endif
