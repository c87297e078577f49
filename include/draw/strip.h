/* Colours that share their edges, as a picture. */
#ifndef HANKLAB_DRAW_STRIP_H
#define HANKLAB_DRAW_STRIP_H

#include <stddef.h>

#include "base/text.h"
#include "colour/range.h"

/* Appends an SVG of n flat colours side by side without a gap; words say what
 * it shows to those who cannot see it, and are written as they are: plain
 * letters only. */
void strip_svg(const struct lab *colour, size_t n, const char *words,
               struct text *out);

/* From the second end of an axis through the middle to its first. */
#define STRIP_STEPS 5
void strip_of_axis(struct lab at, const struct range_axis *axis,
                   struct lab out[STRIP_STEPS]);

#endif
