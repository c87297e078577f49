/*
 * An uncertain colour as colours: how far the true one may be from the one that
 * was read, and how far it varies over a skein.
 */
#ifndef HANKLAB_COLOUR_RANGE_H
#define HANKLAB_COLOUR_RANGE_H

#include "colour/uncertainty.h"

#define RANGE_AXES 3
#define RANGE_SEEN                                                             \
    1 /* CIEDE2000; under it hardly an eye sees a difference:                  \
         common practice, no source */

/* One principal axis of the region in which the true colour lies 95 times in
 * 100. */
struct range_axis {
    struct lab end[2]; /* the lighter, stronger, redder or yellower first, by
                        * what the eye sees most of: so of like colours the
                        * same first */
    double de00;       /* the farther end from the middle, CIEDE2000 */
};

/*
 * The three axes, the one that the eye sees most of first. The region is the
 * ellipsoid of the covariance, out to sqrt(7.815) sigma: 7.815 is the 95 %
 * quantile of chi-square with 3 degrees of freedom. L* is kept within 0 to 100.
 * Of a covariance that is none (cov3_is_valid) all of it is NaN.
 */
void range_of(struct lab at, struct cov3 abs,
              struct range_axis out[RANGE_AXES]);

/* How far a colour varies whose L, a and b have these standard deviations,
 * CIEDE2000; NaN when one is. */
double range_unevenness(struct lab at, struct lab sd);

/* "even", "nearly even", "uneven", "streaky or patchy"; "" for NaN. Under 1
 * CIEDE2000 hardly an eye sees it. Common practice, no source. */
const char *range_even_words(double unevenness);

#endif
