/* The correction: gains on Bradford's cones by the card alone, or the curves
 * and colours that more references gave (docs/colour.md). */
#ifndef HANKLAB_MEASURE_CORRECT_H
#define HANKLAB_MEASURE_CORRECT_H

#include <stdbool.h>

#include "measure/chart.h"

/* Bradford's cones of XYZ, and back. */
void cones_from_xyz(struct xyz c, double out[3]);
void xyz_from_cones(const double cone[3], double out[3]);

struct correction {
    double gain[3];
    const struct chart *chart; /* in place of the gains, unless NULL */
    const struct mat3 *to_xyz, *from_xyz; /* of linear light; with a chart */
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
