/* The strip below a corrected picture: swatches with their names, and what
 * corrected it. */
#ifndef HANKLAB_MEASURE_STRIP_H
#define HANKLAB_MEASURE_STRIP_H

#include "measure/letters.h"
#include "photo/photo.h"

/* Sizes in pixels; the strip is as wide as the picture above it. */
struct strip {
    uint32_t width, height;
    double unit;    /* of its letters */
    size_t columns; /* of swatches */
};

/* For `swatches` of them below a picture of width by height: at most half as
 * high as that where there is a way. */
struct strip strip_plan(uint32_t width, uint32_t height, size_t swatches);

/* The nth swatch, from the strip's upper left corner. */
struct box strip_swatch(const struct strip *strip, size_t nth);

/* On a canvas of the strip's size; rgb: 3 bytes a swatch. */
void strip_draw(const struct strip *strip, const struct canvas *canvas,
                const char *const *name, const unsigned char *rgb,
                size_t swatches);

#endif
