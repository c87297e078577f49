/* Private to the book: the strength of a lane's dye, round by round. */
#ifndef HANKLAB_BOOK_FADE_FIT_H
#define HANKLAB_BOOK_FADE_FIT_H

#include "book/ask.h"
#include "book/undyed.h"

/* Finds what a lane is counted against and fits its stretches; the rounds, the
 * additions and the lane's cells are there already. A lane that was dipped has
 * none: a dip changes the colour in its own way. */
void fade_fit(const struct undyed *undyed, double next_g,
              const struct fade *fade, struct fade_lane *lane);

#endif
