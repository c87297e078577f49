/* A book of many skeins, written in bulk; for what has to be fast. */
#ifndef HANKLAB_TESTS_LARGE_SUPPORT_H
#define HANKLAB_TESTS_LARGE_SUPPORT_H

#include "book/book.h"

/*
 * Fills an empty book with skeins in one act: twelve to a bath in five rounds,
 * each mordanted; some over-dyed, dipped, washed, cut off the one before; seven
 * in ten read once, some twice or wet. The same book for the same number.
 */
bool large_fill(struct book *book, int skeins, struct error *err);

#endif
