/*
 * The camera's colours from a chart of patches of known value: from linear
 * light, after the tone curve of its greys, to XYZ (docs/colour.md).
 * Arithmetic alone.
 */
#ifndef HANKLAB_MEASURE_CHART_H
#define HANKLAB_MEASURE_CHART_H

#include "colour/lab.h"
#include "measure/tone.h"

#define CHART_MOST 300 /* patches; the largest in use have 288 */

/* Fewer colours or greys that can be read make no chart: of the usual 18, a
 * third may be cut off. */
#define CHART_COLOURS 12
#define CHART_GREYS 4

/* A patch less colourful than this is a grey (choice). */
#define CHART_GREY_C 4.0

struct chart_patch {
    double is[3];   /* linear red, green, blue as the profile gives it */
    struct lab lab; /* as it is stated */
    bool grey;      /* the tone curve goes through it */
};

enum chart_model {
    CHART_TONE,   /* the greys' curves, then the profile's own matrix */
    CHART_MATRIX, /* 3 x 3 */
    CHART_ROOT, /* root polynomial of 6 terms: Finlayson, Mackiewicz, Hurlbert,
                   IEEE TIP 24 (2015) 1460 */
};
#define CHART_MODELS 3
#define CHART_TERMS 6

/* "neutrals alone", "3x3", "root polynomial of 6 terms". */
const char *chart_model_name(enum chart_model model);

struct chart {
    enum chart_model model;
    double from_terms[3][CHART_TERMS]; /* X, Y, Z */
    struct tone tone;
};

/* Each patch told by all the others, CIEDE2000. */
struct chart_left_out {
    double mean, worst;
    double sL, sa, sb; /* root mean square of dL, da, db */
};

struct chart_report {
    struct chart_left_out model[CHART_MODELS];
    double worst_grey; /* CIEDE2000 of a grey, neither the lightest nor the
                          darkest, told by the other greys' curve */
};

/*
 * Fits a chart after its greys' curve (as of tone_fit) was found, and takes
 * the model that tells patches left out best: one that does so with less than
 * 0.8 of the error of the greys alone, the root polynomial if also with less
 * than 0.9 of that of 3 x 3 and no larger worst.
 */
void chart_fit(const struct chart_patch *patch, size_t n,
               const struct tone *tone, const struct mat3 *to_xyz,
               struct chart *out, struct chart_report *report);

/* The same model fitted anew, the tone curve too; false when the curve can no
 * longer be had. */
bool chart_fit_as(const struct chart_patch *patch, size_t n,
                  enum chart_model model, bool power, const struct mat3 *to_xyz,
                  struct chart *out);

struct xyz chart_apply(const struct chart *chart, const double is[3],
                       const struct mat3 *to_xyz);

/* Whether light (after the curve) lies inside the hull of the patches, by the
 * shares of red and green in it. */
bool chart_holds(const struct chart_patch *patch, size_t n,
                 const struct tone *tone, const double is[3]);

#endif
