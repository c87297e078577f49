/* The card's correction: gains on Bradford's cones (docs/colour.md). */
#ifndef HANKLAB_MEASURE_CORRECT_H
#define HANKLAB_MEASURE_CORRECT_H

#include <stdbool.h>

#include "colour/lab.h"

struct correction {
    double gain[3];
};

/*
 * The gains that make the card read its stated Lab. card is its XYZ (D50) as
 * the profile gives it. False when a gain is not a positive number: no grey
 * card looks like that.
 */
bool correction_from_card(struct xyz card, struct lab stated,
                          struct correction *out);

struct xyz correction_apply(const struct correction *c, struct xyz x);

#endif
