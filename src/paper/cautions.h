/* Private to papers: the cautions of the materials that a paper names. */
#ifndef HANKLAB_PAPER_CAUTIONS_H
#define HANKLAB_PAPER_CAUTIONS_H

#include "base/text.h"
#include "book/book.h"
#include "dye/caution.h"

struct cautions_row {
    const struct caution *caution;
    struct text of; /* "iron, copperas" */
};

/* All zero is none. */
struct cautions {
    struct cautions_row *row;
    size_t count;
};

/* Of materials by their names in the book, "madder + weld" or ", " between;
 * NULL adds nothing. What is not in the book is known by its name alone.
 * ERR_STORE. */
bool cautions_of(struct book *book, const char *names, struct cautions *all,
                 struct error *err);

/* How many letters they are, the closing line too. */
size_t cautions_length(const struct cautions *all);

/* As the foot of a sheet, the closing line last, nothing when there are none;
 * then they are forgotten. */
void cautions_write(struct cautions *all, struct text *out);

#endif
