/* Three by three, as often as measuring needs it. */
#ifndef HANKLAB_MEASURE_MATRIX_H
#define HANKLAB_MEASURE_MATRIX_H

#include "colour/uncertainty.h"

struct mat3 {
    double at[3][3]; /* row, column */
};

/* out = m v; out may be v. */
void mat3_apply(const struct mat3 *m, const double v[3], double out[3]);

/* The inverse of m, which must have one. */
struct mat3 mat3_inverse(const struct mat3 *m);

/* j c j', the covariance of j x when c is that of x. */
struct mat3 mat3_spread(const struct mat3 *j, const struct mat3 *c);

/* Six numbers of a symmetric matrix. */
struct cov3 mat3_cov(const struct mat3 *c);

#endif
