/* The principal axes of a covariance, within colour/. */
#ifndef HANKLAB_COLOUR_AXES_H
#define HANKLAB_COLOUR_AXES_H

#include "colour/uncertainty.h"

/* Variances along the axes, and the axes: unit vectors in L*, a*, b*. */
void cov3_axes(struct cov3 x, double value[3], double axis[3][3]);

#endif
