/* "hanklab find --photo": the colour that is looked for, from a photo. */
#ifndef HANKLAB_CLI_FIND_PHOTO_H
#define HANKLAB_CLI_FIND_PHOTO_H

#include "book/ask.h"
#include "cli/cli.h"

#define CLI_FIND_PHOTO_OPTIONS                                                 \
    {"photo", "FILE",                                                          \
     "near the yarn in a photo with a grey card in it; nothing is kept"},      \
        {"region", "X,Y,W,H", "where it lies there, in pixels"},               \
        {"tap", "X,Y", "or a place on it: it is looked for around there"},     \
        {"card-box", "X,Y,W,H", "where the grey card lies"},                   \
        {"card-tap", "X,Y", "or a place on it"},                               \
        {"card", "NAME", "which card of the book it is; else the usual one"},  \
        {"card-lab", "L,a,b", "or what the card is said to be"},               \
        {"card-u", "uL,ua,ub", "one sigma of that; 0.5,0.3,0.3 if not said"},  \
    {                                                                          \
        "assume-profile", "NAME",                                              \
            "srgb, p3 or adobergb, if the file does not say"                   \
    }

/* Measures the place as "hanklab measure" would and makes it the target; what
 * would make the reading better goes to standard error. */
bool find_photo_read(struct cli *cli, struct find_request *out,
                     struct error *err);

/* Whether an option was given that goes with --photo; its name. */
const char *find_photo_given(const struct cli *cli);

#endif
