/*
 * Several photos of one skein, each measured alone, made one reading. What
 * another picture would tell otherwise is then seen instead of supposed.
 */
#ifndef HANKLAB_MEASURE_SEVERAL_H
#define HANKLAB_MEASURE_SEVERAL_H

#include "measure/measure.h"

#define SEVERAL_MOST 64 /* photos of one skein */
#define SEVERAL_NONE SIZE_MAX

struct several_photo {
    const struct measure_region *region; /* borrowed, not refused */
    size_t number;                       /* of the photo, in notes; from 1 */
};

struct several {
    /* The mean in L*a*b*, refused where the photos contradict each other; its
     * notes are about the photos together. */
    struct measure_region mean;
    struct lab sd;       /* of the photos the mean is of; NaN of one */
    double mcdm;         /* mean CIEDE2000 of those from the mean */
    size_t used;         /* how many those are */
    size_t dropped;      /* index of the photo left out, or SEVERAL_NONE */
    double dropped_de00; /* how far it is from the middle of all */
};

/*
 * n  1..SEVERAL_MOST photos (asserted)
 *
 * One photo is left as it is. Of four or more at most one is left out, when it
 * is farther from their median than 4 robust standard deviations and than 2
 * CIEDE2000. Source: docs/colour.md.
 */
void several_mean(const struct several_photo *photo, size_t n,
                  struct several *out);

/*
 * Notes when the card's light in the pictures, as the profile gives it,
 * differs by more than 0.5 in ln: before are the card's colours before
 * correction.
 */
void several_note_exposure(const struct lab *before, size_t n,
                           struct measure_notes *notes);

/* Notes that two photos, by their numbers, are the same bytes. */
void several_note_same(size_t first, size_t again, struct measure_notes *notes);

/* A two-sided 95 % quantile of Student's t; to 0.002, freedom at least 1. */
double several_t95(size_t freedom);

#endif
