/* Private to the book: how much dyestuff a dye had for its fibre. */
#ifndef HANKLAB_BOOK_WEIGH_H
#define HANKLAB_BOOK_WEIGH_H

#include "book/ask.h"
#include "book/store.h"

/* The dyestuff of a dye treatment in percent of its fibre, NaN when one dose
 * is not known or other liquor was poured in. */
bool weigh_dyestuff(struct book *book, int64_t treatment, struct ask_range *out,
                    struct error *err);

#endif
