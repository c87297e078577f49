/* Private to the book: what comes down to skeins from those they were cut off
 * or plied from. */
#ifndef HANKLAB_BOOK_CUTS_H
#define HANKLAB_BOOK_CUTS_H

#include "book/id_map.h"
#include "book/store.h"

/* Adds the pieces of skeins that had it when they were cut, and theirs.
 *
 * in  skeins that had it, each with the first step since when */
bool cuts_descend(struct book *book, struct id_map *in, struct error *err);

#endif
