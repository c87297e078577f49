/* The nearest skeins the slow way: each that passes is held against the target,
 * and all are sorted. */
#ifndef HANKLAB_TESTS_NEAR_SUPPORT_H
#define HANKLAB_TESTS_NEAR_SUPPORT_H

#include "book/scan.h"

struct distance {
    double de00;
    size_t dyer;
    int64_t number, id;
};

/* without  a skein that is no answer; 0: none
 * out      has room for all of the book's skeins
 * lacking  how many lack a colour, added up; NULL allowed */
size_t near_slowly(struct book *book, const struct ask_filter *filter,
                   struct lab target, int64_t without, struct distance *out,
                   size_t lacking[ASK_LACKS]);

#endif
