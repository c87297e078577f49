/* Private to the book: what is left of what was gathered or bought. */
#ifndef HANKLAB_BOOK_SUPPLY_LEFT_H
#define HANKLAB_BOOK_SUPPLY_LEFT_H

#include "book/book.h"

struct supply_left {
    double left_g;        /* at most; NaN: not known */
    double over_g;        /* more was taken than there was; else 0 */
    char *state;          /* of the supply, or NULL; owned */
    double fresh_per_dry; /* NaN: not recorded */
    bool known;           /* no use of it was without a weight */
};

/* What there was of a supply, less all that is known to be taken. */
bool supply_left(struct book *book, int64_t supply, struct supply_left *out,
                 struct error *err);
void supply_left_clear(struct supply_left *left);

#endif
