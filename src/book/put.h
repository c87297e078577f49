/* Private to the book: a new record from the values of its columns. */
#ifndef HANKLAB_BOOK_PUT_H
#define HANKLAB_BOOK_PUT_H

#include "book/field.h"

/* Fills in what nobody said (presets, numbers, places), asks for what cannot be
 * missing, and adds the record. Needs an open act. */
bool put_whole(struct book *book, enum noun_id noun, struct cells *cells,
               int64_t *id, struct error *err);

/* The same of one that is gathered (gather.h), as what it names may be; that
 * belongs to it. */
bool put_gathered(struct book *book, enum noun_id noun, struct cells *cells,
                  int64_t *id, struct error *err);

/* Adds it as it is: what is not among the cells is not recorded. Like a change
 * of a record, it puts in first what was gathered, and fails when that does. */
bool put_cells(struct book *book, enum noun_id noun, const struct cells *cells,
               int64_t *id, struct error *err);

#endif
