/* A smooth curve through points that never overshoots them. */
#ifndef HANKLAB_BASE_CURVE_H
#define HANKLAB_BASE_CURVE_H

#include <stddef.h>

#define CURVE_MOST 64

struct curve {
    size_t n;
    double x[CURVE_MOST], y[CURVE_MOST], slope[CURVE_MOST];
};

/*
 * The cubic through n points, 2 <= n <= CURVE_MOST, x rising (asserted): it
 * rises and falls where they do and turns only at a point. The slope at either
 * end is that of the outermost two points, so that two give a straight line.
 * Source: Fritsch, Butland, SIAM J. Sci. Stat. Comput. 5 (1984) 300.
 */
struct curve curve_through(const double *x, const double *y, size_t n);

/* y at any x; beyond the ends, straight on. */
double curve_at(const struct curve *curve, double x);

#endif
