/* Private to papers: numbers drawn in strokes, so that no printer needs a font
 * for them and no digit is taken for another; and the same in knots. */
#ifndef HANKLAB_PAPER_NUMERAL_H
#define HANKLAB_PAPER_NUMERAL_H

#include <stdint.h>

#include "base/text.h"

/* The number, its digits so many millimetres high, with the bar below that
 * tells 66 from 99. */
void numeral_add(struct text *out, int64_t number, double digit_mm);

/*
 * The number in knots, from the skein (left) outwards. A digit is as many
 * knots as it counts, where a thick knot is five and a loop is none at all; a
 * wider gap stands between digits.
 */
void knots_add(struct text *out, int64_t number);

/* One of its signs alone, for explaining them: 'k' a knot, 't' a thick one,
 * 'l' a loop. */
void knots_add_sign(struct text *out, char sign);

#endif
