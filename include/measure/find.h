/*
 * From the bytes of a photo to where the grey card and the skeins lie in it:
 * pure as measuring is, and for proposing only. What is found is a box that
 * measure_jpeg then reads like one that was drawn, so that a reading needs no
 * more than its box to be had again. What cannot be told from its
 * surroundings is refused rather than guessed (docs/colour.md).
 */
#ifndef HANKLAB_MEASURE_FIND_H
#define HANKLAB_MEASURE_FIND_H

#include "measure/measure.h"

/* A pixel of the picture as displayed upright. */
struct find_tap {
    int64_t x, y;
};

struct find_wanted {
    bool card_tapped;
    struct find_tap card_tap;
    const struct find_tap *tap; /* on skeins; taps of them, borrowed */
    size_t taps;                /* up to MEASURE_MAX_REGIONS */
    bool proposes;              /* look for card and skeins without a tap: the
                                   card only where it is neither tapped nor in
                                   card_box */
    struct box card_box;        /* known already; w 0: not */
    enum measure_profile assume;
};

struct find_place {
    bool found;
    struct box box;               /* in pixels of the upright picture */
    char why[MEASURE_NOTE_BYTES]; /* one sentence when not found: what to do */
};

struct find_result {
    uint32_t width, height; /* upright */
    struct find_place card; /* `why` is "" when nobody asked for it */
    size_t skeins;          /* one for each tap in their order, then those
                               proposed, from the top left on, row by row */
    struct find_place skein[MEASURE_MAX_REGIONS];
    char why[MEASURE_NOTE_BYTES]; /* skeins were looked for and there are none:
                                     what to do */
    bool sound; /* all of the file was read, and nothing was wrong with it */
};

/*
 * Looks for what is asked in one JPEG; takes about half as long as decoding
 * it.
 *
 * data  size bytes, borrowed for the call only
 * out   filled; what is not found says so for itself
 * err   ERR_INPUT, ERR_LIMIT  as photo_open and photo_decode; profile broken;
 *       more taps than MEASURE_MAX_REGIONS
 */
bool find_jpeg(const unsigned char *data, size_t size,
               const struct find_wanted *request, struct find_result *out,
               struct error *err);

/* Puts boxes in the order in which those of a proposal stand. */
void find_order(struct box *box, size_t n);

#endif
