/*
 * From the bytes of a photo to the colours in it: one function, no clock, no
 * files, no locale, so that it can run in a process of its own.
 *
 * Colours are CIELAB, D50, 2 degree. Boxes are in pixels of the picture as
 * displayed upright.
 */
#ifndef HANKLAB_MEASURE_MEASURE_H
#define HANKLAB_MEASURE_MEASURE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/error.h"
#include "colour/lab.h"
#include "colour/uncertainty.h"
#include "measure/camera.h"
#include "photo/photo.h"

/* Stored with each reading; rises when the same bytes would give other
 * numbers. */
#define MEASURE_METHOD 3

#define MEASURE_MAX_REGIONS 256
#define MEASURE_MAX_REFERENCES 300 /* the largest charts have 288 patches */
#define MEASURE_MAX_NOTES 16
#define MEASURE_NOTE_BYTES 200

/* What a grey card is said to be. */
struct measure_card {
    struct lab lab;
    double uL, ua, ub; /* one sigma */
    bool known;        /* false: the unknown card, good for comparing only */
};

/* The card nobody knows: Lab (49.5, 0, 0), u (6, 1.5, 2). */
struct measure_card measure_card_unknown(void);

enum measure_profile {
    MEASURE_PROFILE_FILE, /* what the file says, else refuse or assume */
    MEASURE_PROFILE_SRGB,
    MEASURE_PROFILE_P3,
    MEASURE_PROFILE_ADOBE_RGB,
};

/* By its name: "srgb", "p3", "adobergb"; false when there is none of it. */
bool measure_profile_find(const char *name, enum measure_profile *out);

/* What a place of known colour, other than the card's box, is there for. */
enum measure_reference_kind {
    MEASURE_NEUTRAL,    /* grey, white, black or undyed: shows the tone curve */
    MEASURE_PATCH,      /* of a chart or a list; greys show the tone curve, all
                           together the camera's colours */
    MEASURE_CARD_AGAIN, /* the card, or another like it: shows the light */
    MEASURE_SHEET,      /* one plain sheet of any colour: shows the light */
};

struct measure_reference {
    enum measure_reference_kind kind;
    char name[40]; /* in notes: "neutral 2", "patch B4" */
    struct box box;
    struct measure_card value; /* known; of a sheet: not looked at */
    bool yarn;                 /* not smooth as a card is */
};

struct measure_request {
    struct box card_box;
    struct measure_card card;
    const struct measure_reference *reference; /* borrowed */
    size_t references; /* 0..MEASURE_MAX_REFERENCES; they need a known card */
    const struct box *region; /* regions of them, borrowed */
    size_t regions;           /* 1..MEASURE_MAX_REGIONS; 0 with references */
    const bool *yarn; /* regions that are yarn for certain, borrowed, or NULL:
                         one of these that lies on the card is refused */
    const struct camera *camera; /* cameras of them, borrowed: where one is this
                                    picture's and nothing better is at hand,
                                    its curve corrects the tones */
    size_t cameras;
    enum measure_profile assume; /* counts only where the picture carries no
                                    sound profile of its own */
    bool daylight; /* the dyer says: daylight, no lamp; halves part B4 */
    bool sound; /* find_jpeg has read all of this file and found it sound: it is
                   read no further than the boxes, with the same result */
};

struct measure_notes {
    size_t count;
    char text[MEASURE_MAX_NOTES][MEASURE_NOTE_BYTES];
    struct box box[MEASURE_MAX_NOTES]; /* what each is about; w 0: the whole
                                          picture */
};

/* What the uncertainty is made of; for most skeins MEASURE_TONE is largest. */
enum measure_part {
    MEASURE_SKEIN,      /* A1: places on the skein differ */
    MEASURE_CARD,       /* A2: places on the card differ */
    MEASURE_ROUNDING,   /* A3: JPEG rounding, skein and card */
    MEASURE_REPEAT,     /* A4: another picture of the same; a prior */
    MEASURE_SMALL,      /* a box too small to keep off its edges */
    MEASURE_GAMUT,      /* a colour outside the picture's space, cut off */
    MEASURE_LIGHT,      /* B1: uneven light between card and skein */
    MEASURE_CARD_VALUE, /* B2: the card's stated values */
    MEASURE_TONE,       /* B3: the camera's tone curve */
    MEASURE_CAMERA,     /* B4: the camera does not see as the eye does */
    MEASURE_PROFILE,    /* B5: a profile that was only assumed */
    MEASURE_INSTRUMENT, /* B6: a picture is no instrument */
};
#define MEASURE_PARTS 12
#define MEASURE_SET_PARTS (MEASURE_LIGHT + 1) /* these make up `set` */

/* In the dyer's words: "the camera's tone curve, away from ...". */
const char *measure_part_text(enum measure_part part);

/* One region's colour, or why there is none. A number that could not be had
 * is NaN. Where the region or the card is refused, `uncorrected` is there all
 * the same if its pixels could be read. */
struct measure_region {
    bool refused;
    char why[MEASURE_NOTE_BYTES]; /* one sentence when refused */
    struct lab lab;
    struct lab uncorrected;          /* through the profile alone, no card */
    struct cov3 set, abs;            /* same set-up; absolute */
    struct cov3 part[MEASURE_PARTS]; /* their sum is abs */
    struct lab level; /* levelness: SD of L, a, b over tiles of 32 px (fewer
                         where the box is small), an even slope taken out */
    uint32_t blocks;  /* blocks the mean was taken over */
    double light;     /* there, the card's being 1; NaN when not known */
    struct measure_notes notes;
};

/* How far each patch of a chart is off when the others tell it, in CIEDE2000;
 * NaN without a chart. */
struct measure_left_out {
    double mean, worst;
};

/* What the colours were corrected by. */
struct measure_method {
    bool card_alone;
    char words[120];   /* "grey card"; "6 neutrals, a curve" */
    size_t neutrals;   /* of different lightness, the card's among them; 1 */
    size_t patches;    /* of a chart, that could be read */
    double tone_dL;    /* mean |dL*| of neutrals told by the others' curve */
    double tone_power; /* and by a power law; both NaN with fewer than 4 */
    struct measure_left_out chart[3]; /* by the neutrals alone, 3x3, and the
                                         root polynomial of 6 terms */
    size_t light_places;   /* that showed the light; 0: it was taken as even */
    char light[16];        /* "a line", "a plane", "a quadratic", or "" */
    double light_residual; /* of ln light, one sigma; NaN when not fitted */
    int chart_model;       /* which of them was taken; -1 without a chart */
};

/* Over a megabyte: keep it on the heap. */
struct measure_result {
    uint32_t width, height; /* upright */
    int orientation;
    char profile[80]; /* its name */
    char
        rule[80]; /* why this one: "embedded in the picture", "Exif says ..." */
    char camera[140];       /* make and model, or "" */
    char taken[20];         /* "2026-05-03 14:05:06" or "" */
    struct lab card_before; /* the card through the profile alone */
    double gain[3];         /* Bradford cone gains */
    struct measure_method method;
    struct camera learnt;                /* of this camera, by the references */
    char not_learnt[MEASURE_NOTE_BYTES]; /* why not, where it has no points */
    struct measure_notes card_notes;     /* of the card and the whole picture */
    size_t regions;
    struct measure_region region[MEASURE_MAX_REGIONS];
};

/*
 * Measures every region of one JPEG against a grey card, and against other
 * places of known colour where there are any.
 *
 * data  size bytes, borrowed for the call only
 * out   filled; a region that fails its checks is refused alone. When the
 *       whole picture is refused (false), notes are in out->card_notes and
 *       what was found out until then is in the rest.
 * err   ERR_INPUT, ERR_LIMIT  as photo_open and photo_decode; profile broken;
 *       card box outside the picture, too small, clipped, uneven; no region;
 *       references that contradict each other or the picture;
 *       ERR_LIMIT also for more than MEASURE_MAX_REGIONS and for boxes that
 *       together cover the picture more than four times
 *
 * Method: docs/colour.md.
 */
bool measure_jpeg(const unsigned char *data, size_t size,
                  const struct measure_request *request,
                  struct measure_result *out, struct error *err);

#endif
