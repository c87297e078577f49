/* What an area's sums say: its colour, its evenness, its faults. */
#ifndef HANKLAB_MEASURE_STATS_H
#define HANKLAB_MEASURE_STATS_H

#include "measure/area.h"
#include "measure/correct.h"

/* A plane through values at places, by least squares; x and y count pixels
 * from the middle of the area. */
struct plane {
    double mean, gx, gy; /* gx, gy a pixel */
    double sd;           /* of what the plane leaves */
    double xx, xy, yy;   /* covariance of gx, gy */
};

/* value(n) at places x, y; a direction in which the places do not spread gets
 * no slope. */
struct plane plane_fit(const double *value, const struct tile *place, size_t n);

struct stats {
    double light[3]; /* the block trimmed mean, linear */
    uint32_t kept, blocks;
    double low, high, clipped; /* shares of pixels: low, high, either */
    double lost[3];            /* share of low codes, a channel */
    double code[3];            /* mean codes */
    double texture;            /* coefficient of variation of luminance inside a
                                  block, median over the blocks */
    double glints;          /* share of blocks with a peak > 4 x the median */
    double width, height;   /* of the used part, stored pixels */
    double x, y;            /* its middle in the stored picture */
    struct plane Y, RG, BG; /* of ln Y, ln R/G, ln B/G over the blocks */
};

/* Trims the area and reckons its figures. */
struct stats stats_take(struct area *area, const struct light *light);

/* Levelness: standard deviations of L, a, b of tiles of 32 pixels, or, where
 * that gives fewer than 6 of them, of 16, 8 or 4, after a plane is taken out;
 * NaN with fewer. */
struct lab stats_level(const struct area *area, const struct light *light,
                       const struct correction *correction);

#endif
