/* How far colours of one kind lie apart. */
#ifndef HANKLAB_DYE_SPREAD_H
#define HANKLAB_DYE_SPREAD_H

#include <stddef.h>

#include "colour/lab.h"

struct colour_spread {
    struct lab mean;
    double mcdm;       /* mean colour difference from the mean, CIEDE2000; 0 for
                          one colour */
    double largest;    /* between any two of them */
    size_t one, other; /* those two; equal for one colour */
};

/*
 * n > 0 colours. from_mean, n numbers or NULL, gets how far each lies from the
 * mean. The two farthest are looked for among the SPREAD_PAIRS that lie
 * farthest from the mean.
 */
#define SPREAD_PAIRS 2000
struct colour_spread colour_spread(const struct lab *colour, size_t n,
                                   double *from_mean);

#endif
