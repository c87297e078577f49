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
/* A skein's box that lies over the card's by more than this share of itself is
 * on the card. */
#define CHECK_YARN_ON_CARD 0.5
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

/* A code this low or this high may have been cut off. */
#define CHECK_CODE_LOW 1
#define CHECK_CODE_HIGH 254

/* Finding: pictures of fewer pixels get blocks of 8, of 16, others of 32;
 * light below the floor has no colour to go by. */
#define CHECK_MAP_SMALL 1.5e6
#define CHECK_MAP_MEDIUM 6e6
#define CHECK_MAP_FLOOR 0.001

/* A found region is refused when it has more than such a share of the picture,
 * touches so many of its borders, or has a change of colour on less than such
 * a share of its rim. Of a skein's blocks those beyond so many standard
 * deviations of the others are not its own; a block belongs with so many of
 * the 9 about it. The tap may lie beside the box by such a share of it. */
#define CHECK_GROW_LARGEST 0.35
#define CHECK_GROW_BORDERS 2
#define CHECK_GROW_OUTLINE 0.75
#define CHECK_GROW_STRANGER 3.5
#define CHECK_GROW_FILL 6
#define CHECK_GROW_ASIDE 0.5

/* A card by itself: a region that begins in a smooth block (the variation of
 * light inside it), neither dark nor light, nor as light as the lightest of
 * the picture, ln of R/G and B/G near nought; of such shares of the picture,
 * no longer than so many times its width; so many times the better of any
 * other; with a change of colour on such a share of its rim. */
#define CHECK_CARD_SMOOTH 0.03
#define CHECK_CARD_DIM 0.04
#define CHECK_CARD_LIGHT 0.7
#define CHECK_CARD_WHITE 0.75
#define CHECK_CARD_COLOUR 0.7
#define CHECK_CARD_LEAST 0.02
#define CHECK_CARD_MOST 0.25
#define CHECK_CARD_LONG 2.5
#define CHECK_CARD_BETTER 1.5

/* A skein by itself: of such a share of the picture, with strands to be seen,
 * of such a shape (see grow_shape), with such a share of it in the box and of
 * its rim where the colour changes; no box smaller than such a share of the
 * largest. */
#define CHECK_SKEIN_LEAST 0.01
#define CHECK_SKEIN_ROUGH 0.04
#define CHECK_SKEIN_SOLID 0.8
#define CHECK_SKEIN_OUTLINE 0.8
#define CHECK_SKEIN_FILLED 0.35
#define CHECK_SKEIN_SCRAP 0.2

enum grow_kind { GROW_CARD, GROW_SKEIN };

/* How a region grows; ln Y, ln R/G, ln B/G in this order. */
struct grow_limit {
    double mean[3]; /* most that a block may be off the mean of the others */
    double step;    /* in ln Y from its neighbour */
    double cv;      /* of luminance inside a block */
    double edge[3]; /* the colour changes where one of these is exceeded */
    double shape_least, shape_most;
    double fewest;  /* blocks in the box */
    int tries;      /* each with limits so many times as wide: tighter after */
    double again;   /* a leak, wider where grain may have made holes */
    bool strangers; /* some of its blocks may be another thing's */
};
extern const struct grow_limit grow_limits[GROW_SKEIN + 1];

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

/* Those from the first on are about a box. */
void notes_at(struct measure_notes *notes, size_t first, struct box box);

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
