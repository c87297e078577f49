/* Private to the book: the words of one field as the values of its columns. */
#ifndef HANKLAB_BOOK_FIELD_H
#define HANKLAB_BOOK_FIELD_H

#include "base/text.h"
#include "book/cells.h"
#include "book/noun.h"
#include "book/store.h"

/* Splits "D65/10" or "D65 10 deg" into a light and an observer; false when
 * it is not so written. Release both with free(). */
bool field_light(const char *words, char **light, char **observer);

/*
 * Reads words into the columns of a field; NULL or blank fills them with NULL.
 * Appends how it was understood to echo when that says more than the words.
 */
bool field_read(struct book *book, const struct field *field, const char *words,
                struct cells *out, struct text *echo, struct error *err);

/* Whether the first of its columns is not set, or set to NULL. */
bool field_is_null(const struct field *field, const struct cells *cells);

/* Columns a field fills; returns how many, at most 16. */
size_t field_columns(const struct field *field, char names[16][32]);

/* The key under which a tag's code is found: folded, and what is easily
 * misread made one (0 o, 1 l 7 i, 8 b). Release with free(). */
char *code_key(const char *code);

#endif
