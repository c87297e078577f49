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
#include "photo/photo.h"

/* Stored with each reading; rises when the same bytes would give other
 * numbers. */
#define MEASURE_METHOD 1

#define MEASURE_MAX_REGIONS 256
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

struct measure_request {
    struct box card_box;
    struct measure_card card;
    const struct box *region; /* regions of them, borrowed */
    size_t regions;           /* 1..MEASURE_MAX_REGIONS */
    enum measure_profile assume;
};

struct measure_notes {
    size_t count;
    char text[MEASURE_MAX_NOTES][MEASURE_NOTE_BYTES];
};

/* One region's colour, or why there is none. */
struct measure_region {
    bool refused;
    char why[MEASURE_NOTE_BYTES]; /* one sentence when refused */
    struct lab lab;
    struct lab uncorrected; /* through the profile alone, no card */
    struct cov3 set, abs;   /* same set-up; absolute */
    struct lab level;       /* levelness: SD of L, a, b over the area */
    uint32_t blocks;        /* blocks the mean was taken over */
    struct measure_notes notes;
};

struct measure_result {
    uint32_t width, height; /* upright */
    int orientation;
    char profile[80];       /* its name */
    char rule[80];          /* why this profile: "embedded", "Exif says ..." */
    char camera[140];       /* make and model, or "" */
    char taken[20];         /* "2026-05-03 14:05:06" or "" */
    struct lab card_before; /* the card through the profile alone */
    double gain[3];         /* Bradford cone gains */
    struct measure_notes card_notes; /* of the card and the whole picture */
    size_t regions;
    struct measure_region region[MEASURE_MAX_REGIONS];
};

/*
 * Measures every region of one JPEG against one grey card.
 *
 * data  size bytes, borrowed for the call only
 * out   filled; a region that fails its checks is refused alone. When the
 *       whole picture is refused (false), photo notes are in out->card_notes.
 * err   ERR_INPUT, ERR_LIMIT  as photo_open and photo_decode; profile broken;
 *       card box outside the picture, too small, clipped, uneven; no region
 *
 * Method: docs/colour.md.
 */
bool measure_jpeg(const unsigned char *data, size_t size,
                  const struct measure_request *request,
                  struct measure_result *out, struct error *err);

#endif
