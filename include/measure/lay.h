/* Where the patches of a chart lie in a picture, from the chart's corners. */
#ifndef HANKLAB_MEASURE_LAY_H
#define HANKLAB_MEASURE_LAY_H

#include "colour/patches.h"
#include "photo/photo.h"

struct point {
    double x, y;
};

/*
 * Lays the grid of patches into four corners, in pixels of the picture as
 * displayed upright: the outer corners of the first patch, of the last in the
 * first row, of the last of all, and of the first in the last row. The chart
 * may be turned, mirrored, or seen at a slant.
 *
 * Rows and columns are those of the file; where it has none, the patches
 * follow row by row, in the grid whose cells come out most nearly square. A
 * letter and a number are a row and a column unless the corners say that it is
 * the other way round.
 *
 * box    patches->count of them: the middle of each patch, upright
 * err    ERR_INPUT  no grid of that many patches, two patches in one place,
 *                   corners that are no quadrangle, patches too small to see
 */
bool lay_chart(const struct patches *patches, const struct point corner[4],
               struct box *box, struct error *err);

#endif
