/*
 * Readings against what is known of the colours: photographs that were drawn
 * (fixtures/README.md), and photographs of charts in the folder that
 * HANKLAB_TEST_PHOTOS names. For the tests, and for "make accuracy".
 */
#ifndef HANKLAB_TESTS_TRUTH_SUPPORT_H
#define HANKLAB_TESTS_TRUTH_SUPPORT_H

#include "support.h"

#include "measure/measure.h"

/* How many readings there were, how many of them hold the truth, and how
 * many were refused instead. */
struct cover {
    size_t within, of, refused;
};

double cover_pct(struct cover c); /* NaN where there was no reading */

/* Adds the three coordinates of a reading: the truth is within two sigmas of
 * its absolute uncertainty, or not. */
void cover_coordinates(struct cover *c, const struct measure_region *region,
                       struct lab truth);

/* CIEDE2000 of readings against their truths. */
struct errors {
    double sum, worst;
    size_t n;
};

void errors_add(struct errors *e, double de00);
double errors_mean(const struct errors *e); /* NaN where there was none */

/* ---- drawn photographs -------------------------------------------------- */

/* A row of truth.csv and what was read there. */
struct shot {
    char file[64];
    struct box box, card;
    struct lab truth, card_truth;
    int skein;
    bool even_light, tone_curve;
    struct measure_region got;
};

/* Release shot with free(). */
struct shots {
    struct shot *shot;
    size_t count;
};

/* Measures all that truth.csv of a folder names, beside the stated card. */
struct shots shots_of_folder(const char *folder);

/* Draws a set by chance in a folder of its own with $BUILD/scene, measures it,
 * and takes the folder away. */
struct shots shots_of_set(const char *kind, int count, int seed);

/* Draws pairs by chance, steps and then a card alone by one camera that bends
 * the tones, and measures the latter; kept: with what the steps say of the
 * camera. */
struct shots shots_by_camera(int count, int seed, bool kept);

size_t shots_pictures(const struct shots *all);

/* The error of those that were read; plain: only of those in even light and
 * without a tone curve. */
struct errors shots_errors(const struct shots *all, bool plain);

/*
 * How many truths lie within the absolute limits, and how many differences of
 * a photograph -a and its repeat -b within the same-set-up limits of both:
 * d' C^-1 d is at most 7.815, the 95 % point of chi-square with three degrees
 * of freedom (any table of it).
 */
struct cover shots_absolute(const struct shots *all);
struct cover shots_repeated(const struct shots *all);

/* What was said of pairs of skeins, and how far apart they truly are. */
struct verdicts {
    size_t pairs, different, match, cannot_tell;
    double apart; /* sum of their dE00 as they truly lay */
};

/*
 * Pairs of two photographs of one set-up ("apart"), a skein of number x in one
 * with that of number y in the other, each laid for its own photograph. The
 * dyes of 1 and 2 are 2 CIEDE2000 apart, those of 2 and 3 are 3 apart, of 1 and
 * 3 about 5. Tolerance 2, as of a dyer who sets none.
 */
struct verdicts shots_verdicts(const struct shots *all, int x, int y);

/*
 * MCDM of photographs of one set-up ("apart"): the mean dE00 of each reading of
 * a skein from the mean of all its readings (ASTM E2214). laid: as they are;
 * else without what each laying of the yarn truly added.
 */
struct errors shots_mcdm(const struct shots *all, bool laid);

/* ---- photographs of charts ---------------------------------------------- */

/* The folder that HANKLAB_TEST_PHOTOS names, or NULL. */
const char *photos(void);
struct table photo_table(const char *name);

/* Columns PREFIXx, y, w, h and PREFIXL, a, b of a row. */
struct box table_box(const struct table *t, size_t row, const char *prefix);
struct lab table_lab(const struct table *t, size_t row, const char *prefix);

/* Measures folder/name; the result is the caller's to free. */
struct measure_result *photo_measure(const char *folder, const char *name,
                                     const struct measure_request *request,
                                     bool *ok, struct error *err);

/* A chart of 24 patches: the neutral nearest to L 51 is the card, every patch
 * is a region. */
struct chart {
    struct box card_box, box[24];
    struct lab card, lab[24];
    bool colour[24];
    const struct camera *camera; /* the book knows, or NULL */
    char trust[24];              /* in the values: "maker", "nominal" ... */
    size_t n;
};

struct chart chart_of(const struct table *patches, const char *image);

/* Measures a chart of photos() by its card; as photo_measure. */
struct measure_result *chart_measure(const struct chart *c, const char *image,
                                     bool *ok, struct error *err);

/* The colours of a chart that were read, and how many of their coordinates lie
 * within two sigmas; `refused` counts the others. */
struct errors chart_errors(const struct chart *c,
                           const struct measure_result *r,
                           struct cover *coordinates);

/* What else of a chart is known beside its middle grey. */
enum chart_known {
    CHART_KNOWN_CARD,      /* nothing */
    CHART_KNOWN_NEUTRALS,  /* its other greys */
    CHART_KNOWN_ALL_OTHER, /* all but the patch that is read: leave one out */
};

/* The same as chart_errors after chart_measure, for each of them; ok false and
 * err where the picture is refused. */
struct errors chart_read(const struct chart *c, const char *image,
                         enum chart_known known, struct cover *coordinates,
                         bool *ok, struct error *err);

/* What a picture of a chart says of its camera, by its greys or by all of its
 * patches. */
struct camera chart_camera(const struct chart *c, const char *image,
                           enum chart_known known);

#endif
