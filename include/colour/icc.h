/*
 * RGB profiles: which are fit to measure with, and device RGB to XYZ (D50).
 * Little CMS does the work, in a context of our own for each profile.
 */
#ifndef HANKLAB_COLOUR_ICC_H
#define HANKLAB_COLOUR_ICC_H

#include <stdbool.h>
#include <stddef.h>

#include "base/error.h"
#include "colour/lab.h"

struct icc;

enum icc_builtin {
    ICC_SRGB,       /* IEC 61966-2-1 */
    ICC_DISPLAY_P3, /* P3 primaries, D65, the sRGB curve */
    ICC_ADOBE_RGB,  /* Adobe RGB (1998): gamma 563/256, D65 */
};

/*
 * Opens an embedded profile after the checks of docs/colour.md: size field,
 * signature, class, RGB, XYZ or Lab connection space, profile ID when there
 * is one, and a probe of white, black, greys and primaries.
 *
 * data  size bytes, borrowed for the call only; at most ICC_MAX_BYTES
 * err   ERR_INPUT  says which check it failed
 */
bool icc_open(const unsigned char *data, size_t size, struct icc **out,
              struct error *err);
#define ICC_MAX_BYTES (4u << 20)

/* Never fails. */
struct icc *icc_open_builtin(enum icc_builtin which);

void icc_close(struct icc *icc); /* NULL allowed */

/* The profile's own description, UTF-8, printable; borrowed. */
const char *icc_name(const struct icc *icc);

/* Whether it is three curves and a matrix, as phones' are. */
bool icc_is_matrix(const struct icc *icc);

/* For a matrix profile: light[c][v] is the linear value of code v of channel
 * c (0 = red), by cmsEvalToneCurveFloat; m maps linear RGB to XYZ (D50). */
void icc_curves(const struct icc *icc, double light[3][256], double m[3][3]);

/* Any profile: n pixels of 8-bit RGB to XYZ (D50), relative colorimetric,
 * unbounded. About 0.15 us a pixel. */
void icc_to_xyz(const struct icc *icc, const unsigned char *rgb,
                struct xyz *out, size_t n);

/* sRGB as a file embeds it, always the same bytes; release with free(). */
unsigned char *icc_srgb_bytes(size_t *size);

#endif
