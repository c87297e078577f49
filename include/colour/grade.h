/*
 * Grey-scale grade of a change in colour, as after a light or wash test, from
 * two readings: ISO 105-A05, the scale of ISO 105-A02.
 *
 * From memory: the steps of the scale were checked against EN 20105-A02:1994
 * and GOST R ISO 105-A02-99; the formula of A05 was not seen in print. The
 * standard measures at D65, 10 degrees, with an instrument; from photographs
 * (D50, 2 degrees) a grade is an indication and must be called one.
 */
#ifndef HANKLAB_COLOUR_GRADE_H
#define HANKLAB_COLOUR_GRADE_H

#include "colour/uncertainty.h"

/* dE_F of the tested specimen from the original; 0 or more, symmetric, NaN if
 * a coordinate is NaN. */
double grade_de_f(struct lab original, struct lab tested);

/* The grade with decimals, 5 (no change) to 1, from dE_F of 0 or more:
 * 5 - dE_F / 1.7 up to 3.4, then 5 - ln(dE_F / 0.85) / ln 2, never under 1.
 * NaN for NaN. */
double grade_decimal(double de_f);

/* The grade of the nine-step scale: "5", "4-5", "4" ... "1-2", "1". A limit
 * belongs to the lower grade (0.40 is "4-5"). NULL for NaN. Static text. */
const char *grade_step(double de_f);

/* Twice the grade of a step, 2 for "1", 7 for "3-4", 10 for "5"; 0 for any
 * other words. */
int grade_twice(const char *step);

/*
 * How large and how small dE_F may truly be, each right about 19 times in 20,
 * when the difference of the two colours has that covariance (one sigma): what
 * dE_F becomes two sigmas away along each of three directions that make it up,
 * added as squares.
 */
void grade_range(struct lab original, struct lab tested, struct cov3 difference,
                 double *low, double *high);

#endif
