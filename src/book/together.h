/* Private to the book: what was put away in one act with a record, and comes
 * back with it. */
#ifndef HANKLAB_BOOK_TOGETHER_H
#define HANKLAB_BOOK_TOGETHER_H

#include "base/error.h"
#include "book/book.h"
#include "book/noun.h"

/*
 * Brings back what was withdrawn in the same act as a record: what it stands
 * on (the photo of a place on it, the pot of a dip), and what is a part of it
 * (the place on the photo with a reading, what went into a pot with the pot).
 * Skeins and readings come back only when they are asked for, and a part that
 * stands on one waits for it. To be called inside an act, when the record
 * itself is back.
 */
bool together_back(struct book *book, const struct noun *noun, int64_t id,
                   struct error *err);

#endif
