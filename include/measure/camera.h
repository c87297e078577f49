/*
 * What one camera in one mode does to tones and colours, learnt from a picture
 * in which places of known colour showed it, for later pictures with a grey
 * card alone (docs/colour.md). Plain numbers.
 */
#ifndef HANKLAB_MEASURE_CAMERA_H
#define HANKLAB_MEASURE_CAMERA_H

#include <stdbool.h>
#include <stddef.h>

#include "photo/photo.h"

#define CAMERA_POINTS 64
#define CAMERA_TERMS 6

/* Pictures that agree in all three share a curve. */
struct camera_name {
    char make[64], model[64];
    char mode[240]; /* "sRGB, software 1.02, landscape scene" */
};

struct camera {
    struct camera_name name;
    char from[60]; /* in notes: "camera #2, learnt from photo #3" */

    /* Red, green and blue: linear light as the profile gives it, and what it
     * was in truth. They rise in both. 0 points: nothing was learnt. */
    size_t points;
    double is[3][CAMERA_POINTS], light[3][CAMERA_POINTS];
    size_t neutrals;    /* they were learnt from */
    double left_out_dL; /* each told by the others, mean |dL*|; NaN */

    /* From the light after the curves to X, Y and Z, where a chart gave it. */
    size_t terms; /* 3: 3x3; 6: the root polynomial; 0: the profile's own */
    double from_terms[3][CAMERA_TERMS];
    double left_out_de00;             /* each patch told by the others */
    double left_sL, left_sa, left_sb; /* and root mean square, L, a and b */
};

/* What a picture says of camera and mode; false when it does not name a
 * camera, or a program has edited it: then it shares its curve with none. */
bool camera_name(const struct photo *photo, const char *profile,
                 struct camera_name *out);

/* The last of n that has that name, or NULL. */
const struct camera *camera_find(const struct camera *camera, size_t n,
                                 const struct camera_name *name);

#endif
