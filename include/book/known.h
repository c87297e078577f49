/*
 * Places of known colour in a picture, beside its grey card: white or black
 * sides, yarn whose colour the book knows, charts. What is wrong is said
 * without naming an option or a field: who asks knows where it was typed.
 */
#ifndef HANKLAB_BOOK_KNOWN_H
#define HANKLAB_BOOK_KNOWN_H

#include "book/book.h"
#include "book/noun.h"
#include "measure/lay.h"
#include "measure/measure.h"

struct known_places {
    struct measure_reference at[MEASURE_MAX_REFERENCES];
    size_t count;
};

/*
 * Adds a place under a name for notes. ERR_INPUT when a neutral or yarn is too
 * colourful to be one or not known well enough, ERR_LIMIT when they are too
 * many.
 */
bool known_add(struct known_places *places, const struct measure_reference *r,
               struct error *err);

/* "the white", "the grey", "the black": what a neutral is called. Only a grey
 * is a grey card; whites and blacks lie beside one. */
const char *known_neutral_words(struct lab c);
bool known_is_grey(struct lab c);

/* "L,a,b" or, of a true grey, "L"; false when the words are neither. */
bool known_lab(const char *words, struct measure_card *out);

/* The values of a card of the book. ERR_MISSING, ERR_INPUT when it has none. */
bool known_card(struct book *book, const char *name, struct measure_card *out,
                struct error *err);

/* The colour of a skein or an undyed yarn as the book knows it. ERR_INPUT when
 * it knows none. who is what the dyer called it. */
bool known_yarn(struct book *book, enum noun_id noun, int64_t id,
                const char *who, struct measure_card *out, struct error *err);

/*
 * Adds the patches of a chart's file: of one with columns x, y, w and h where
 * they say (corner NULL), else in the grid between the corners. *adapted: its
 * values were for D65. The errors of patches_read and lay_chart.
 */
bool known_chart(const unsigned char *bytes, size_t size,
                 const struct point *corner, struct known_places *places,
                 bool *adapted, struct error *err);

/* Four corners, "x,y x,y x,y x,y". ERR_INPUT. */
bool known_corners(const char *words, struct point corner[4],
                   struct error *err);

/* Takes the neutral nearest to a middle grey out of them, to be the card;
 * false when none is near. */
bool known_take_card(struct known_places *places,
                     struct measure_request *request);

#endif
