/*
 * How a bath gave its dye away, round by round: a line through the logarithms
 * of the colour strength in each channel, and what follows from it.
 *
 * With the weights of the wool known, each round leaves 1 / (1 + kappa m) of
 * the strength, m the dry wool in the bath (the dye parts between wool and
 * liquor in proportion); without, each round leaves the same part. What is
 * foretold is the model's, one round ahead; it says nothing of grams of dye
 * left, nor of other fibres or mordants. Source: docs/colour.md.
 */
#ifndef HANKLAB_DYE_EXHAUST_H
#define HANKLAB_DYE_EXHAUST_H

#include <stdbool.h>
#include <stddef.h>

#include "colour/uncertainty.h"

#define EXHAUST_MOST 40 /* rounds */

/* A round of one bath, as one lane (a mordant, a fibre) saw it. */
struct exhaust_round {
    bool measured;
    struct colour_reading colour; /* the mean of the lane's skeins */
    double fibre_g; /* all dry wool that was in the bath; NaN: not known */
};

enum exhaust_state {
    EXHAUST_FITTED,
    EXHAUST_TOO_FEW,  /* fewer than two measured rounds */
    EXHAUST_TOO_PALE, /* no channel differs from the undyed wool for sure */
};

struct exhaust {
    enum exhaust_state state;
    bool weighed; /* all wool was: kappa was fitted, else a plain ratio */
    size_t rounds, used; /* used: measured and in the fit */
    double fibre_g[EXHAUST_MOST];
    double typical_g; /* the mean wool of a round; NaN when not weighed */
    double next_g;    /* wool of rounds to come */
    struct lab undyed;

    struct exhaust_channel {
        bool used;
        double part; /* of one not used: its strength beside the strongest's */
        /* ln s is middle + f(theta) - f_mean: theta is the slope a round, or
         * kappa in 1/g. */
        double middle, f_mean, theta, u_theta;
        double chi2; /* with used - 2 degrees of freedom */
    } channel[3];
    int strongest; /* the channel strongest in the first measured round */
    double strength[EXHAUST_MOST]; /* there, of each measured round; else NaN */

    /* One sigma of ln of the line's strength, there, up to the next round. */
    double u_line[EXHAUST_MOST + 1];

    /* What a round of typical weight leaves of the strength in that channel,
     * with its 95 % interval; above 1 there was no exhaustion. */
    double left, left_low, left_high;
    bool drifts;   /* channels give way at different rates: the hue drifts */
    bool too_deep; /* a round is too deep to rank */

    /* The round after the last one; its covariance holds the fit, the model
     * (0.25 an axis) and the measurement to come. */
    struct lab next;
    struct cov3 next_cov;

    /* The first round (0 is the first bath) that could not be told from the
     * undyed wool: earliest, likely, latest; 0: none within EXHAUST_MOST. */
    size_t spent_early, spent, spent_late;

    bool misfit[EXHAUST_MOST]; /* a round that does not fit the others */
    bool uneven; /* three rounds that do not lie on one line (chi2 > 6.6) */
};

/*
 * Fits rounds[0..n), the first bath first, every round the bath was used in.
 *
 * n        at most EXHAUST_MOST (asserted)
 * undyed   the same wool with the lane's mordant and no dye
 * next_g   dry wool in the coming round; NaN: as much as in the mean round
 *
 * Two rounds allow a forecast with twice the interval and no check of the fit.
 */
void exhaust_fit(const struct exhaust_round *round, size_t n,
                 struct colour_reading undyed, double next_g,
                 struct exhaust *out);

/* The model's colour and strength (in the strongest channel) of a round, of
 * those fitted or any after them. */
struct lab exhaust_colour(const struct exhaust *fit, size_t round);
double exhaust_strength(const struct exhaust *fit, size_t round);

/* "each bath about half as strong (0.45-0.60)", "no exhaustion seen
 * (0.98-1.12)"; only of a fitted one. Written with its NUL, at most size
 * bytes; 80 are enough. */
void exhaust_words(const struct exhaust *fit, char *out, size_t size);

#endif
