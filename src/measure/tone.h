/*
 * The camera's tone curve from greys of known value: for each channel from the
 * linear light that the profile gives to the light that was there
 * (docs/colour.md). Arithmetic alone.
 */
#ifndef HANKLAB_MEASURE_TONE_H
#define HANKLAB_MEASURE_TONE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/curve.h"
#include "measure/matrix.h"

#define TONE_MOST CURVE_MOST /* greys of lightnesses that differ */

/* Greys nearer to each other than this, in ln of light, count as one. */
#define TONE_ALIKE 0.1

/* Beyond the outermost greys, in ln of light, a curve is believed so far. */
#define TONE_REACH 0.3

/* One grey, as linear red, green and blue. */
struct tone_grey {
    double is[3];     /* as the profile gives it */
    double should[3]; /* as its stated colour has it */
};

/* A curve through n points (ln is, ln should) that rise in both (asserted),
 * 2 <= n <= TONE_MOST; through two it is a power law. */
struct curve tone_curve_through(const double *is, const double *should,
                                size_t n);

/* The light there was where the profile gives v. Nought and less, where there
 * is no logarithm, in proportion. */
double tone_curve_at(const struct curve *curve, double v);

/* How far v lies beyond the ends of the curve, in ln; 0 between them. */
double tone_curve_beyond(const struct curve *curve, double v);

struct tone {
    struct curve channel[3];
    size_t greys; /* that differ */
    bool power;   /* one straight line, by least squares, and no curve */
};

enum tone_fault {
    TONE_FINE,
    TONE_TOO_FEW,    /* fewer than two that differ */
    TONE_TOO_MANY,   /* more than TONE_MOST */
    TONE_DARK,       /* one has a channel without light */
    TONE_NOT_RISING, /* a lighter grey is darker in the picture */
    TONE_STEEP,      /* a slope outside 0.2 .. 5: no camera does that */
};

/* What the fit says of itself. */
struct tone_report {
    double least, most;    /* slope between neighbours, any channel */
    double apart;          /* steepest channel over the flattest, less 1 */
    double left_out;       /* mean |dL*| of each grey told by the others, */
    double left_out_power; /* and so by a power law; NaN below 4 greys */
    double worst_between;  /* |dL*| of a grey that is no end; NaN below 4 */
    size_t at_fault;       /* which grey of those given */
};

/*
 * Fits the curves through n greys; to_xyz takes linear light to XYZ. With 4
 * or more a curve that tells a grey left out worse than a power law does gives
 * way to the power law.
 */
enum tone_fault tone_fit(const struct tone_grey *grey, size_t n,
                         const struct mat3 *to_xyz, struct tone *out,
                         struct tone_report *report);

/* The same without leaving anything out: power as said. */
enum tone_fault tone_fit_as(const struct tone_grey *grey, size_t n, bool power,
                            struct tone *out);

void tone_apply(const struct tone *tone, const double is[3], double out[3]);

#endif
