/* Private to the book: the skeins nearest to a colour by the index of colours,
 * without a look at all the others. */
#ifndef HANKLAB_BOOK_FIND_NEAR_H
#define HANKLAB_BOOK_FIND_NEAR_H

#include "book/ask.h"
#include "book/id_set.h"
#include "book/shelf.h"

struct near_request {
    const struct ask_filter *filter; /* which readings count */
    const struct id_set *recipe;     /* that pass; NULL: any */
    const struct lab *target;
    size_t targets;
    /* Whether a skein of that colour is; NULL: any is. */
    bool (*is_wanted)(const void *self, int64_t skein, struct lab lab);
    const void *self;
    int64_t without; /* a skein that is no answer, or 0 */
    size_t passing;  /* so many skeins pass */
    size_t limit;    /* so many are wanted */
};

/*
 * Reads the nearest, in order, by number where they are equally near; of a
 * row its skein and de00 are set.
 *
 * met   whether `without` is one that passes and has a colour, if it is as near
 * done  false where a look at all skeins is no more work: then the rows are
 *       any that were read on the way
 */
bool find_nearest(struct book *book, struct lore *lore,
                  const struct near_request *request, struct find_row **row,
                  size_t *count, bool *met, bool *done, struct error *err);

#endif
