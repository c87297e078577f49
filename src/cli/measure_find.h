/* Taps in a photo instead of boxes, and boxes proposed: what "hanklab measure"
 * does before it measures. */
#ifndef HANKLAB_CLI_MEASURE_FIND_H
#define HANKLAB_CLI_MEASURE_FIND_H

#include "base/json.h"
#include "cli/cli.h"
#include "measure/find.h"

/* Where taps were given instead of boxes, and what was found there. */
struct taps {
    bool card; /* --card-tap was given */
    struct find_tap card_at;
    bool is[MEASURE_MAX_REGIONS]; /* a place has a tap */
    struct find_tap at[MEASURE_MAX_REGIONS];
    struct find_place found[MEASURE_MAX_REGIONS];
    bool sound; /* nothing is wrong with the file in which they were found */
};

/* "X,Y", or "X,Y,W,H" when tap is false afterwards. */
bool taps_read(const char *words, const char *option, bool *is_tap,
               struct find_tap *tap, struct box *box, struct error *err);

/* Finds what was tapped: boxes of the card and of `places` places are filled
 * in. A place that is not found says so in `found`; ERR_INPUT when the card is
 * not, or no place at all. */
bool taps_find(struct taps *taps, const unsigned char *data, size_t size,
               struct measure_request *request, struct box *box, size_t places,
               struct error *err);

/* Measures the places that have a box; those not found are refused among the
 * others. */
bool taps_measure(const struct taps *taps, const unsigned char *data,
                  size_t size, const struct measure_request *request,
                  struct measure_result *out, struct error *err);

/* The box that a tap found, in an answer. */
void taps_json_box(struct json *j, struct box box);
void taps_tell_box(struct cli *cli, const char *who, struct box box);

/* --auto: shows what it finds, as it would be typed. */
bool taps_propose(struct cli *cli, const struct taps *taps,
                  const unsigned char *data, size_t size,
                  const struct measure_request *request, struct error *err);

#endif
