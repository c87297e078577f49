/* Colours that are too far apart to be worth reckoning how far. */
#ifndef HANKLAB_COLOUR_BEYOND_H
#define HANKLAB_COLOUR_BEYOND_H

#include <stdbool.h>

#include "colour/lab.h"

/* Whether two colours are surely more than `most` apart by CIEDE2000, told in a
 * fraction of the time; false where that has to be reckoned. */
bool lab_is_beyond(struct lab x, struct lab y, double most);

/*
 * Half the axes of an ellipsoid around a colour that holds every colour which
 * is not surely beyond: *L, and *ab for both a* and b*.
 *
 * most  below LAB_REACH: no such bound is known farther on
 */
#define LAB_REACH 16.0
void lab_reach(struct lab x, double most, double *L, double *ab);

/* The same of colours with a b* above LAB_BLUE alone, of which x is one. Those
 * of b* above it are so far from blue that how CIEDE2000 turns there is nothing
 * to them, and what is within reach lies far closer together. */
#define LAB_BLUE 0.001
void lab_reach_above(struct lab x, double most, double *L, double *ab);

#endif
