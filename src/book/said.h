/* Private to the book: what notes say, kept for looking up by their words. */
#ifndef HANKLAB_BOOK_SAID_H
#define HANKLAB_BOOK_SAID_H

#include "book/touched.h"

/* Puts down anew the notes of what the open act touched. */
bool said_refresh(struct book *book, const struct touched *t,
                  struct error *err);

/* Puts down all of them anew. */
bool said_rebuild(struct book *book, struct error *err);

/*
 * What was typed, as the search wants it: each word, and what begins with it;
 * appended to what is asked already. Whatever is typed can be asked.
 *
 * size  of `out`
 *
 * err  ERR_INPUT  no letter or digit in it
 *      ERR_LIMIT  longer than `out` holds
 */
bool said_asked(const char *words, char *out, size_t size, struct error *err);

/* SQL for the skeins of which a note says :text: their own notes, and those of
 * all they went through. Rows are a skein and the step of its life from which
 * on it is so; beyond its end where what is cut off it has no part in it.
 * said_bind binds the rest of it. */
extern const char said_skeins[];
void said_bind(struct stmt *q);

#endif
