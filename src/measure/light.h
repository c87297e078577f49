/* Codes of a picture to linear light: which profile holds, and by what right
 * (docs/colour.md). */
#ifndef HANKLAB_MEASURE_LIGHT_H
#define HANKLAB_MEASURE_LIGHT_H

#include "colour/icc.h"
#include "measure/matrix.h"
#include "measure/measure.h"

/* How well the profile is known. */
enum evidence {
    EVIDENCE_EMBEDDED, /* a sound profile in the file */
    EVIDENCE_EXIF,     /* Exif names the space */
    EVIDENCE_NONE,     /* a guess, ours or the dyer's */
};

/* Linear red, green and blue, 1 at code 255. A profile made of tables is
 * taken through XYZ to the linear light of sRGB, unbounded. */
struct light {
    struct icc *icc; /* owned */
    enum evidence evidence;
    char rule[80];
    bool table;
    double curve[3][256]; /* unset for a table */
    struct mat3 m;        /* linear light to XYZ (D50) */
    struct mat3 back;     /* XYZ to linear light */
};

/*
 * Chooses the profile, notes what is odd about it.
 *
 * err   ERR_INPUT  the file's own is broken, or nothing says what it is, and
 *                  none is to be assumed
 */
bool light_choose(const struct photo *photo, enum measure_profile assume,
                  struct light *out, struct measure_notes *notes,
                  struct error *err);
void light_clear(struct light *light); /* all zero is an empty one */

/* n pixels of codes to light, 3 n numbers; scratch holds n. */
void light_row(const struct light *light, const unsigned char *rgb, size_t n,
               double *out, struct xyz *scratch);

struct xyz light_xyz(const struct light *light, const double rgb[3]);

/* The derivative of XYZ by the codes (0..255, not whole) of a colour: a
 * row for X, Y, Z each, a column for red, green, blue. */
struct mat3 light_slope(const struct light *light, const double code[3]);

#endif
