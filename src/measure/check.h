/* Every threshold of measuring, in one table, and the sentences that go with
 * them. */
#ifndef HANKLAB_MEASURE_CHECK_H
#define HANKLAB_MEASURE_CHECK_H

#include "measure/measure.h"

enum check {
    CHECK_CARD_CLIPPED,
    CHECK_CARD_DARK,
    CHECK_CARD_BRIGHT,
    CHECK_CARD_BLOCKS,
    CHECK_CARD_UNEVEN,
    CHECK_CARD_GRADIENT,
    CHECK_CARD_DRIFT,
    CHECK_CARD_CAST,
    CHECK_CARD_TEXTURE,
    CHECK_SKEIN_HIGH,
    CHECK_SKEIN_LOW,
    CHECK_SKEIN_DARK,
    CHECK_SKEIN_BLOCKS,
    CHECK_SKEIN_GLINTS,
    CHECK_SKEIN_GAMUT,
    CHECK_SKEIN_WHITE,
    CHECK_SKEIN_CHROMA,
    CHECK_SKEIN_ON_CARD,
    CHECK_SKEIN_ON_SKEIN,
    CHECK_LIGHT_DIFFERENCE,
};
#define CHECKS 20

/* A box of fewer pixels is refused; the blocks of its grid have one of these
 * sides, the largest that gives blocks enough (CHECK_*_BLOCKS: `warn` of them,
 * or, below `refuse`, the box is read whole and called small). */
#define CHECK_BOX_PIXELS 64
#define CHECK_BLOCK_LARGEST 32
#define CHECK_BLOCK_SMALLEST 4

/* A slope of light across the card is believed beyond so many of its standard
 * errors, and so many card widths away at most: further off it says nothing.
 * No card is more even than this share of its light. */
#define CHECK_SLOPE_SIGMAS 3
#define CHECK_SLOPE_REACH 3
#define CHECK_CARD_EVEN 0.005

/* Codes cut off at nought in a skein whose brightest channel is at least this
 * code are not for want of light: the colour lies outside the picture's
 * space. */
#define CHECK_GAMUT_CODE 60

struct limit {
    double warn, refuse; /* infinite: never */
    bool below;          /* too little is what is wrong */
    double scale;        /* of the number shown */
    const char *unit;
    const char *what; /* "the card is too dark" */
    const char *mend; /* what to put right when warned */
    const char *stop; /* and when refused */
};
extern const struct limit check_limits[CHECKS];

/* Appends a sentence; when there is no room it is dropped. */
void notes_add(struct measure_notes *notes, const char *fmt, ...)
    __attribute__((format(printf, 2, 3)));

/* A sentence into a text of fixed size, cut at a whole character. */
void sentence(char out[MEASURE_NOTE_BYTES], const char *fmt, ...)
    __attribute__((format(printf, 2, 3)));

/*
 * Holds a value against its limits. False when it is refused, and then `why`
 * says so unless it already holds an earlier reason; a warning is added to
 * notes. NaN passes: what could not be had cannot be judged.
 */
bool check_value(enum check which, double value, struct measure_notes *notes,
                 char why[MEASURE_NOTE_BYTES]);

#endif
