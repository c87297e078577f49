/*
 * Files of known colours: the patches of a chart, or of a list that says where
 * on a picture each lies. ANSI CGATS.17 / ISO 28178 keyword text, which Little
 * CMS reads, or CSV.
 *
 * CSV has a heading row; columns in any order, others are passed over: id (or
 * sample_id, sample_name, name, patch), row and column, x, y, w, h in pixels,
 * L, a, b (or lab_l ...), illuminant, observer. Fields are separated by comma,
 * semicolon or tab; with the latter two a number may have a decimal comma.
 *
 * Values are CIELAB for D50 and 2 degree unless the file says otherwise. Those
 * for D65 and 2 degree are adapted by Bradford where they are nearly neutral
 * (C* below 3); all others are another quantity, from which there is no way
 * back, and are refused.
 */
#ifndef HANKLAB_COLOUR_PATCHES_H
#define HANKLAB_COLOUR_PATCHES_H

#include <stdbool.h>
#include <stddef.h>

#include "base/error.h"
#include "colour/lab.h"

#define PATCHES_MOST 300
#define PATCHES_MAX_BYTES (1u << 20)

struct patch {
    char id[24];     /* "" when it has none */
    int row, column; /* from 1; 0 when not said. "B4" is row 2, column 4 */
    bool placed;     /* x, y, w, h are there */
    double x, y, w, h;
    struct lab lab; /* D50, 2 degree */
};

struct patches {
    size_t count;
    bool adapted; /* were for D65 */
    struct patch patch[PATCHES_MOST];
};

/*
 * bytes  size of them, borrowed for the call only; hostile
 * err    ERR_INPUT  no such file, a value that is none, another light or
 *                   observer; names the line or the patch
 *        ERR_LIMIT  more than PATCHES_MOST patches or PATCHES_MAX_BYTES
 */
bool patches_read(const unsigned char *bytes, size_t size, struct patches *out,
                  struct error *err);

#endif
