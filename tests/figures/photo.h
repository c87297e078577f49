/* A drawn photograph of a size, and how each program is asked to measure it. */
#ifndef HANKLAB_TESTS_FIGURES_PHOTO_H
#define HANKLAB_TESTS_FIGURES_PHOTO_H

#include <stdbool.h>

#include "colour/lab.h"

enum { PHOTO_SKEINS = 3 };

struct photo_drawn {
    char path[512], progressive[512]; /* the same saved progressively, or not
                                         there: jpegtran is not installed */
    double mb, coefficients_mb;       /* of the file; of its coefficients */
    char card_box[64], card_lab[64], box[PHOTO_SKEINS][64];
    char card_tap[64], tap[PHOTO_SKEINS][64]; /* the middles of the boxes */
};

/* A card and three skeins, as in twelve.scene, of so many million pixels; kept
 * in the build folder for the next job. */
void photo_draw(struct photo_drawn *out, double mpx);

/* Steps. libjpeg decodes every row of it, and no more. */
int photo_decode_all(const char *path);

/* hanklab measure, in this process or, whole, as a program of its own. */
int photo_boxes(const struct photo_drawn *p, const char *path, bool whole);
int photo_taps(const struct photo_drawn *p, const char *path, bool whole);
int photo_propose(const struct photo_drawn *p, bool whole);

/* What measuring makes of its skeins without the card. */
void photo_colours(const struct photo_drawn *p, struct lab out[PHOTO_SKEINS]);

/* What a program that knows of no card makes of them: a line "L,a,b" each.
 * False where it is not installed; ends the program when it says no colours. */
bool photo_colours_said(const char *const argv[], struct lab out[PHOTO_SKEINS]);

#endif
