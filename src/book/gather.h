/*
 * Private to the book: many records of one act, gathered and put into the book
 * by one statement a kind. Ids and history are as if each had been put in when
 * it came.
 */
#ifndef HANKLAB_BOOK_GATHER_H
#define HANKLAB_BOOK_GATHER_H

#include "book/field.h"

/* Begins gathering in the open act. Until it ends, what is gathered is not in
 * the book for a question; whatever is put there directly is put behind it. */
void gather_begin(struct book *book);

/* Gathers a record as it is, like put_cells, and now and then puts all of them
 * in; so it may fail for one that was gathered before. A column that is NULL in
 * all of them is left out: one with another default gets that. */
bool gather_record(struct book *book, enum noun_id noun,
                   const struct cells *cells, int64_t *id, struct error *err);

/* That a record came from elsewhere, where it has that uid. */
void gather_came(struct book *book, const unsigned char uid[16],
                 enum noun_id noun, int64_t id);

/* The next free number of a dyer's skeins or baths, what is gathered counted;
 * given: the one that a record of hers has. */
bool gather_number(struct book *book, enum noun_id noun, int64_t dyer,
                   int64_t given, int64_t *next, struct error *err);

/* Puts what was gathered into the book. Once that failed, this and
 * gather_record fail with the same error, whatever was done about it: the act
 * lacks records and is to be cancelled. */
bool gather_put(struct book *book, struct error *err);

/*
 * Ends gathering, if it was begun; what was not put in is forgotten. False,
 * with its error, when a put failed.
 *
 * refused  set to whether that was for a record that the book does not take:
 *          put in one by one they tell which
 */
bool gather_end(struct book *book, bool *refused, struct error *err);

#endif
