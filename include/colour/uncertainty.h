/*
 * Uncertainty of a colour and what two uncertain colours allow one to say.
 *
 * Covariances are of L*, a*, b* in CIELAB units squared, one sigma.
 */
#ifndef HANKLAB_COLOUR_UNCERTAINTY_H
#define HANKLAB_COLOUR_UNCERTAINTY_H

#include <stdbool.h>

#include "colour/lab.h"

/* A symmetric 3x3 covariance, six numbers. */
struct cov3 {
    double LL, La, Lb, aa, ab, bb;
};

struct cov3 cov3_diagonal(double uL, double ua, double ub); /* sigmas */
struct cov3 cov3_add(struct cov3 x, struct cov3 y);
struct cov3 cov3_scale(struct cov3 x, double factor);
/* t x t': what a covariance becomes in other coordinates, of which t[i][j] is
 * the change of the i-th with the j-th of these. */
struct cov3 cov3_carry(double (*t)[3], struct cov3 x);

/* Whether it can be a covariance: finite, no negative eigenvalue beyond
 * rounding (1e-9 of the largest). */
bool cov3_is_valid(struct cov3 x);

/*
 * Covariance in L*a*b* of relative errors of light: rel is the covariance of
 * (dX/X, dY/Y, dZ/Z), in the order LL=XX, La=XY, Lb=XZ, aa=YY, ab=YZ, bb=ZZ.
 * A relative error e moves f by e f / 3, and by 7.787 t e where t =
 * 0.008856 or less.
 */
struct cov3 cov3_from_relative(struct lab at, struct cov3 rel);

/* The local metric of CIEDE2000: dE00^2 = d' G d for a small difference d,
 * G in dE00 squared per CIELAB unit squared; from finite differences of
 * 0.05. */
struct cov3 cov3_de00_metric(struct lab at);

/* One reading as a comparison sees it. */
struct colour_reading {
    struct lab lab;
    struct cov3 set; /* same set-up: the same card, light, camera, day */
    struct cov3 abs; /* against the true colour; includes set */
};

/* Covariance of the difference of two readings; see compare_readings. */
struct cov3 cov3_of_difference(struct colour_reading x, struct colour_reading y,
                               bool same_setup);

enum verdict {
    VERDICT_MATCH,       /* U <= X: "match within X" */
    VERDICT_CANNOT_TELL, /* "this photo cannot tell: lay the skeins together" */
    VERDICT_DIFFERENT,   /* D > T */
};

struct comparison {
    double de00; /* D, of the two readings as they stand */
    double T;    /* what equal skeins would exceed in 5 % of cases */
    double U;    /* upper 95 % limit of the true difference, one-sided; >= D */
    double X;    /* the dyer's tolerance */
    enum verdict verdict;
};

/*
 * Compares two readings.
 *
 * same_setup  card, camera and mode are the same, so that shared errors
 *             cancel in proportion to min(1, dE*ab / 30)
 * tolerance   X, in dE00, above 0; 2 unless the dyer sets it
 *
 * T = sqrt(q tr M), M = G S_d, by the Wilson-Hilferty chi-square quantile with
 * nu = tr(M)^2 / tr(M^2). U is the largest true difference that would still
 * give so small a D in 5 % of cases, by a noncentral chi-square matched in
 * three moments to the same S_d and G; it covers the true difference in 93 %
 * of cases or more, and in more the smaller that is beside the noise. U <= X
 * decides before D > T. Without any uncertainty T is 0 and U is D; with a NaN
 * anywhere both are NaN and the verdict is VERDICT_CANNOT_TELL. About 3 us.
 * Source: docs/colour.md.
 */
struct comparison compare_readings(struct colour_reading x,
                                   struct colour_reading y, bool same_setup,
                                   double tolerance);

/* Whether their verdict is VERDICT_DIFFERENT, in two set-ups ([0]) and in the
 * same ([1]); mostly without reckoning U. */
void readings_differ(struct colour_reading x, struct colour_reading y,
                     double tolerance, bool differ[2]);

/* The words for a verdict: "match within 2" (X to six digits), "different",
 * "this photo cannot tell: lay the skeins together". Written to out with its
 * NUL, at most size bytes. */
void verdict_words(struct comparison c, char *out, unsigned long size);

/*
 * How y differs from x in words, the largest part first: "darker and redder",
 * "lighter, duller and bluer"; a part under a quarter of the largest is left
 * out, and equal colours (or a NaN) give "". Only worth saying when the
 * verdict is "different".
 *
 * Parts are lightness, chroma (stronger, duller) and hue (named after the
 * pure hue it turns to); where a chroma is under 10 or the hues are more than
 * 90 degrees apart, a* (redder, greener) and b* (yellower, bluer) instead.
 */
void difference_words(struct lab x, struct lab y, char *out,
                      unsigned long size);

#endif
