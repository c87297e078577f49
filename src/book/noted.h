/* Private to the book: what the triggers of records call, so that no change of
 * one is without its history. */
#ifndef HANKLAB_BOOK_NOTED_H
#define HANKLAB_BOOK_NOTED_H

#include "book/store.h"

/*
 * Makes known to SQLite, for this connection:
 *
 * noted(table, id)                                the record began
 * noted(table, id, 'a,b', old.a, new.a, old.b, new.b)  what is now another
 *
 * A program that does not know it cannot change a record, and reads all.
 */
void noted_begin(struct book *book);

#endif
