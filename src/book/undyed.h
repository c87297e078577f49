/* Private to the book: wool as it is before the dye, of which the strength of a
 * dye is counted. */
#ifndef HANKLAB_BOOK_UNDYED_H
#define HANKLAB_BOOK_UNDYED_H

#include "book/ask.h"
#include "book/shelf.h"

/* Readings of it, the latest first. */
struct undyed {
    struct names names;
    struct undyed_one {
        int64_t fibre;
        char *mordants; /* as the book holds them; NULL: a fibre by itself */
        char *label;    /* "skein 12", "undyed two-ply wool" */
        struct colour_reading colour;
    } * one;
    size_t count;
};

/* Those of a book that a filter's light, wet or dry, lets through; release with
 * undyed_free. */
bool undyed_load(struct book *book, const struct ask_filter *filter,
                 struct undyed *out, struct error *err);
void undyed_free(struct undyed *undyed); /* allowed on a zeroed one */

/* Finds what a lane is counted against, by its fibre and mordants; undyed stays
 * FADE_NO_UNDYED when there is nothing. */
void undyed_of(const struct undyed *undyed, struct fade_lane *lane);

/* Whether mordants are alum alone, which does not colour wool by itself. */
bool undyed_is_alum(const char *mordants);

#endif
