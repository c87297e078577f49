/* Private to the book: the strength of a lane's dye, round by round. */
#ifndef HANKLAB_BOOK_FADE_FIT_H
#define HANKLAB_BOOK_FADE_FIT_H

#include "book/ask.h"

/* Finds what a lane is counted against, by its fibre and mordants; undyed stays
 * FADE_NO_UNDYED when there is nothing. */
bool fade_undyed(struct book *book, const struct ask_filter *filter,
                 struct fade_lane *lane, struct error *err);

/* Finds what a lane is counted against and fits its stretches; the rounds, the
 * additions and the lane's cells are there already. A lane that was dipped has
 * none: a dip changes the colour in its own way. */
bool fade_fit(struct book *book, const struct ask_filter *filter, double next_g,
              const struct fade *fade, struct fade_lane *lane,
              struct error *err);

/* Whether mordants are alum alone, which does not colour wool by itself. */
bool fade_is_alum(const char *mordants);

#endif
