/*
 * How strongly wool is dyed: Kubelka and Munk's K/S over that of the same wool
 * with the same mordant and no dye, in three channels.
 *
 * The channels are linear ITU-R BT.2020 primaries seen under D50. They are
 * narrow enough to behave nearly as single wavelengths would, so that half the
 * dye has half the strength in each; docs/colour.md has figures. It is a
 * model: fair for a dye on one fibre, not for yarn of blended colours, nor for
 * what an iron or ammonia dip changed. It says nothing of grams of dye.
 *
 * Source: Kubelka, Munk, Z. techn. Physik 12 (1931) 593.
 */
#ifndef HANKLAB_DYE_STRENGTH_H
#define HANKLAB_DYE_STRENGTH_H

#include <stdbool.h>

#include "colour/uncertainty.h"

/* One value a channel: red, green, blue. */
struct channels {
    double v[3];
};

/* Reflectances, 1 the perfect diffuser, and back. They are not clamped: strong
 * colours may lie below 0. */
struct channels reflectance_from_lab(struct lab c);
struct lab lab_from_reflectance(struct channels rho);

/* K/S = (1 - rho)^2 / 2 rho of a reflectance above 0, and the reflectance, 0
 * to 1, of a K/S of 0 or more. */
double ks_from_reflectance(double rho);
double reflectance_from_ks(double ks);

/* K/S of a colour, its reflectances held to 0.002 .. 0.98. */
struct channels ks_from_lab(struct lab c);

struct strength {
    struct channels s;
    struct cov3 cov; /* of s, channels in place of L, a, b */
    bool too_deep;   /* a reflectance under 0.01: too deep to rank */
};

/* The strength of dyed over undyed wool, by the errors that readings of one
 * set-up do not share. */
struct strength strength_of(struct colour_reading dyed,
                            struct colour_reading undyed);

/* The colour of wool dyed so strongly. */
struct lab strength_colour(struct channels s, struct lab undyed);

#endif
