/* Private to the book: what a new record gets that nobody typed. */
#ifndef HANKLAB_BOOK_FILL_H
#define HANKLAB_BOOK_FILL_H

#include "book/field.h"

/*
 * Numbers for skeins and baths, the place of an entry, the role of a dose, the
 * step a reading or a cut was taken after, and what must go together. Adds to
 * cells. err ERR_INPUT, ERR_STORE.
 */
bool fill_new(struct book *book, const struct noun *noun, struct cells *cells,
              struct error *err);

/* The same where what the record names was made for it just now, and need not
 * be looked up: a reading's step is of its skein. */
bool fill_made(struct book *book, const struct noun *noun, struct cells *cells,
               struct error *err);

/* The same for a change: one usual card at a time, no name of another
 * material, no step of another skein, and what must go together. */
bool fill_edit(struct book *book, const struct noun *noun, int64_t id,
               struct cells *cells, struct error *err);

/* A material or alias as it stands shares its name with no other material;
 * for records brought back. */
bool fill_back(struct book *book, const struct noun *noun, int64_t id,
               struct error *err);

#endif
