/* Private to the book: what the words of a field mean, of many records that say
 * the same. */
#ifndef HANKLAB_BOOK_FIELD_WORDS_H
#define HANKLAB_BOOK_FIELD_WORDS_H

#include "book/field.h"
#include "book/word_map.h"

/* Whether a field's words stand beside what they were read as: amounts, days
 * and the like, whose columns follow from kind and name alone. */
bool field_words_meant(const struct field *field);

/* Of one field. All zero is an empty one. */
struct field_words {
    struct word_map of;
    struct field_meaning {
        struct cell *cell;
        size_t count;
    } * meaning;
};

/* Fills the cells with what those words were read as; false: they were not read
 * yet, or are not of such a field. */
bool field_words_take(struct field_words *w, const struct field *field,
                      const char *words, struct cells *out);

/* Keeps how they were read into the cells; not of ever more words. */
void field_words_keep(struct field_words *w, const struct field *field,
                      const char *words, const struct cells *from);

void field_words_clear(struct field_words *w);

#endif
