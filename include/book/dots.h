/* Where skeins lie on a map of colours: of many skeins, the colour alone. */
#ifndef HANKLAB_BOOK_DOTS_H
#define HANKLAB_BOOK_DOTS_H

#include "book/ask.h"

struct dots {
    struct lab *lab;
    size_t count;
};

/* The colours of those that ask_skeins would give, in its order; skeins without
 * a colour have no dot but count for the limit. Release with dots_free. */
bool dots_of(struct book *book, const struct ask_filter *filter, size_t limit,
             struct dots *out, struct error *err);

void dots_free(struct dots *dots);

#endif
