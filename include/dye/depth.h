/*
 * The colour of one dyestuff over its weight per fibre, from skeins of one
 * fibre, mordant and water that were dyed with different weights of it: each
 * channel's ln strength (dye/strength.h) against ln of the weight.
 *
 * It is read between what was dyed, and a little beyond; two dyestuffs are
 * never mixed by it. Source: docs/colour.md.
 */
#ifndef HANKLAB_DYE_DEPTH_H
#define HANKLAB_DYE_DEPTH_H

#include <stdbool.h>
#include <stddef.h>

#include "base/curve.h"
#include "colour/uncertainty.h"

/* How far beyond the ends it may be read. */
#define DEPTH_BEYOND 1.15

/* A skein, or the mean of several, dyed with so much. */
struct depth_point {
    double wof_pct; /* above 0, percent of the dry fibre */
    struct colour_reading colour;
};

struct depth {
    size_t n;                   /* different weights */
    double least_pct, most_pct; /* what was dyed */
    struct lab undyed;
    struct {
        bool ln; /* y is ln s; else s, not sure to differ from the undyed */
        struct curve curve;
    } channel[3];
    struct cov3 set[CURVE_MOST], abs[CURVE_MOST]; /* of the points' colours */
    /* More dyestuff did not dye deeper somewhere: those points were averaged,
     * as at saturation or where a colour browns. */
    bool levelled;
};

/*
 * Puts a curve through points, which may come in any order; those of one
 * weight are averaged.
 *
 * False when fewer than two weights differ, or more than CURVE_MOST do.
 */
bool depth_fit(const struct depth_point *point, size_t n,
               struct colour_reading undyed, struct depth *out);

/* The colour for a weight from least_pct / DEPTH_BEYOND to most_pct *
 * DEPTH_BEYOND (asserted). set and abs are those of the neighbours and 0.25
 * an axis for the model. */
struct colour_reading depth_colour(const struct depth *depth, double wof_pct);

struct depth_aim {
    double wof_pct;
    struct colour_reading colour;
    double de00; /* from the target */
    bool beyond; /* outside of what was dyed */
};

/* The weight whose colour comes nearest to the target. */
struct depth_aim depth_nearest(const struct depth *depth, struct lab target);

#endif
