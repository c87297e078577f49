/* The principal axes of a covariance, within colour/. */
#ifndef HANKLAB_COLOUR_AXES_H
#define HANKLAB_COLOUR_AXES_H

#include "colour/uncertainty.h"

/* Variances along the axes, and the axes: unit vectors in L*, a*, b*. */
void cov3_axes(struct cov3 x, double value[3], double axis[3][3]);

/* Whether y is lighter than x, stronger, redder, yellower or of a larger hue
 * angle, whichever part of their difference the eye sees most of. */
bool difference_rises(struct lab x, struct lab y);

#endif
