/* The uncertainty of a corrected colour, part by part (docs/colour.md). */
#ifndef HANKLAB_MEASURE_SPREAD_H
#define HANKLAB_MEASURE_SPREAD_H

#include "measure/refer.h"

struct spread_input {
    const struct measure_request *request;
    const struct photo *photo;
    const struct light *light;
    const struct correction *correction;
    const struct area *card, *skein;
    const struct stats *card_stats, *skein_stats;
    const struct refer *refer;
};

/* Fills all parts for a skein of colour lab. */
void spread_parts(const struct spread_input *in, struct lab lab,
                  struct cov3 part[MEASURE_PARTS]);

/* The parts that are others where more than the card is known; wider is the
 * factor of B3 for a picture that owns up to another rendering. */
void spread_refer(const struct spread_input *in, struct lab lab, double wider,
                  struct cov3 part[MEASURE_PARTS]);

/* B1 where the light was followed over the picture. */
struct cov3 spread_field(const struct spread_input *in, struct lab lab,
                         double u_gamma);

/* A1 and A3 of the skein alone. */
struct cov3 spread_places(const struct spread_input *in);
struct cov3 spread_rounded(const struct spread_input *in);

/* Widens the planes of a card by what rounding of its codes and the make of
 * any card can feign: few cells of a JPEG say little about a slope, however
 * many blocks they are cut into. */
void spread_widen(const struct photo *photo, const struct light *light,
                  const struct area *card, struct stats *stats);

/* How much more light (in ln) the card's plane foretells at the skein than at
 * the card, without its sign; *sure when that is beyond CHECK_SLOPE_SIGMAS of
 * its standard errors. */
double spread_light_difference(const struct stats *card,
                               const struct stats *skein, bool *sure);

/* The range of a plane over its area, less two of its standard errors: what is
 * surely there. */
double spread_range(const struct plane *plane, const struct stats *stats);

/*
 * A3: the covariance of red, green and blue codes, in codes squared, that
 * rounding leaves in a mean. dc is the DC step of the quantisation of luma
 * and chroma, d the shares of it (0..1) that averaging leaves of Y, Cb, Cr.
 */
struct mat3 spread_rounding(int dc_luma, int dc_chroma, const double d[3]);

/* B3: the covariance that an error u_gamma of the tone curve's exponent
 * causes in a colour, read against a card of another lightness. The curve
 * bends the linear red, green and blue of the picture's space. */
struct cov3 spread_tone(double u_gamma, const struct light *light,
                        struct lab lab, struct lab card);

#endif
