/* Every threshold of measuring, in one table. See the header. */
#include "measure/check.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

/* Engineering choices, argued in docs/colour.md. Shares and relative
 * differences of light are fractions; codes run from 0 to 255. */
const struct limit check_limits[CHECKS] = {
    [CHECK_CARD_CLIPPED] = {0.0005, 0.005, false, 100, " %",
                            "part of the card is pure white or black",
                            "keep glare and deep shadow off it",
                            "keep glare and deep shadow off it and expose so "
                            "that it is a middle grey"},
    [CHECK_CARD_DARK] = {60, 35, true, 1, " of 255", "the card is too dark",
                         "give more light or expose longer",
                         "give more light or expose longer"},
    [CHECK_CARD_BRIGHT] = {225, 245, false, 1, " of 255",
                           "the card is too bright", "expose less",
                           "expose less"},
    [CHECK_CARD_BLOCKS] = {25, 9, true, 1, " places", "the card's box is small",
                           "draw it larger or go nearer with the camera",
                           "draw it larger or go nearer with the camera"},
    [CHECK_CARD_UNEVEN] = {0.015, 0.05, false, 100, " %",
                           "the light on the card is uneven",
                           "lay it flat and clear of shadows and reflections",
                           "lay it flat and clear of shadows and reflections, "
                           "and keep the box inside it"},
    [CHECK_CARD_GRADIENT] = {0.05, 0.25, false, 100, " %",
                             "the light falls off across the card",
                             "use open shade or go further from the window",
                             "use open shade or go further from the window"},
    [CHECK_CARD_DRIFT] = {0.02, 0.06, false, 100, " %",
                          "the card's colour changes from side to side",
                          "let only one kind of light fall on it",
                          "two different lights fall on it: switch the lamps "
                          "off or close the curtains"},
    [CHECK_CARD_CAST] = {0.42, 1.0, false, 100, " %",
                         "the card has a strong colour cast in the picture",
                         "is the box really on the card? If so, set the "
                         "camera's white balance to the light",
                         "is the box really on the card? If so, set the "
                         "camera's white balance to the light"},
    [CHECK_CARD_TEXTURE] = {0.04, 0.10, false, 100, " %",
                            "the card's box shows a texture, and a card is "
                            "smooth",
                            "is the box really on the card, and on it alone?",
                            "is the box really on the card, and on it alone?"},
    [CHECK_SKEIN_HIGH] = {0.002, 0.02, false, 100, " %",
                          "part of the skein is burnt out",
                          "expose less or soften the light",
                          "expose less or soften the light"},
    [CHECK_SKEIN_LOW] = {0.02, 0.20, false, 100, " %",
                         "the hue cannot be read in the dark parts",
                         "give more light or expose longer",
                         "give more light or expose longer"},
    [CHECK_SKEIN_DARK] = {15, -HUGE_VAL, true, 1, " of 255",
                          "the skein is very dark in the picture",
                          "give more light or expose longer", NULL},
    [CHECK_SKEIN_BLOCKS] = {30, 12, true, 1, " places",
                            "the skein's box is small",
                            "draw it larger or go nearer with the camera",
                            "draw it larger or go nearer with the camera"},
    [CHECK_SKEIN_GLINTS] = {0.03, HUGE_VAL, false, 100, " %",
                            "the skein glints in places",
                            "turn it, or soften the light", NULL},
    [CHECK_SKEIN_GAMUT] = {0.02, HUGE_VAL, false, 100, " %",
                           "the colour is stronger than the picture's colour "
                           "space holds, so it is less sure",
                           "expose less, and let the camera save Display P3 or "
                           "Adobe RGB if it can",
                           NULL},
    [CHECK_SKEIN_WHITE] = {100, 150, false, 1, " of L*",
                           "the skein reads lighter than white",
                           "light card and skein alike and turn off the "
                           "camera's contrast and night modes",
                           "see that the card's box and its stated values are "
                           "right, and light card and skein alike"},
    [CHECK_SKEIN_CHROMA] = {130, 180, false, 1, " of chroma",
                            "the skein reads stronger in colour than yarn is",
                            "see that the card's box and its stated values are "
                            "right",
                            "see that the card's box and its stated values are "
                            "right, and light card and skein alike"},
    /* Told, not refused: who looks at the card as a region wants its colour.
     * See CHECK_YARN_ON_CARD. */
    [CHECK_SKEIN_ON_CARD] = {0, HUGE_VAL, false, 100, " % of it",
                             "the box reaches over the card's",
                             "draw it on the skein alone", NULL},
    [CHECK_SKEIN_ON_SKEIN] = {0.25, HUGE_VAL, false, 100, " % of it",
                              "the box reaches over that of another skein",
                              "draw each on its own skein alone", NULL},
    [CHECK_LIGHT_DIFFERENCE] = {0.08, 0.30, false, 100, " %",
                                "card and skein seem to lie in unlike light",
                                "lay the card beside the skein",
                                "lay the card beside the skein and use even "
                                "light"},
};

const struct grow_limit grow_limits[GROW_SKEIN + 1] = {
    [GROW_CARD] = {.mean = {0.10, 0.05, 0.075},
                   .step = 0.04,
                   .cv = 0.05,
                   .edge = {0.08, 0.08, 0.08},
                   .shape_least = 0.93,
                   .shape_most = 1.04,
                   .fewest = 6,
                   .tries = 3,
                   .again = 1.41},
    [GROW_SKEIN] = {.mean = {0.40, 0.14, 0.21},
                    .step = 0.25,
                    .cv = HUGE_VAL,
                    .edge = {0.15, 0.06, 0.09},
                    .shape_least = 0.75,
                    .shape_most = HUGE_VAL,
                    .fewest = 6,
                    .tries = 3,
                    .again = 0.71,
                    .strangers = true},
};

/* Ends s where vsnprintf may have cut a UTF-8 character in half. */
static void end_whole(char *s)
{
    size_t n = strlen(s), i = n;

    while (i > 0 && ((unsigned char)s[i - 1] & 0xC0) == 0x80)
        i--;
    if (i > 0) {
        unsigned char lead = (unsigned char)s[i - 1];
        size_t want = lead >= 0xF0   ? 4
                      : lead >= 0xE0 ? 3
                      : lead >= 0xC0 ? 2
                                     : 1;

        if (n - (i - 1) < want)
            s[i - 1] = '\0';
    }
}

void sentence(char out[MEASURE_NOTE_BYTES], const char *fmt, ...)
{
    va_list args;

    va_start(args, fmt);
    if (vsnprintf(out, MEASURE_NOTE_BYTES, fmt, args) < 0)
        out[0] = '\0';
    va_end(args);
    end_whole(out);
}

void notes_at(struct measure_notes *notes, size_t first, struct box box)
{
    for (size_t i = first; i < notes->count; i++)
        notes->box[i] = box;
}

void notes_add(struct measure_notes *notes, const char *fmt, ...)
{
    va_list args;
    char *out;

    if (notes->count == MEASURE_MAX_NOTES)
        return;
    out = notes->text[notes->count++];
    va_start(args, fmt);
    if (vsnprintf(out, MEASURE_NOTE_BYTES, fmt, args) < 0)
        out[0] = '\0';
    va_end(args);
    end_whole(out);
}

/* "The card is too dark (41 of 255): give more light". */
static void say(const struct limit *limit, double value, const char *advice,
                char out[MEASURE_NOTE_BYTES])
{
    const double shown = value * limit->scale;

    const char *end = advice[strlen(advice) - 1] == '?' ? "" : ".";

    sentence(out, "%c%s (%.*f%s): %s%s", limit->what[0] - 'a' + 'A',
             limit->what + 1,
             fabs(shown) < 9.95 && limit->unit[1] != 'p' ? 1 : 0, shown,
             limit->unit, advice, end);
}

bool check_value(enum check which, double value, struct measure_notes *notes,
                 char why[MEASURE_NOTE_BYTES])
{
    const struct limit *limit = &check_limits[which];
    const double sign = limit->below ? -1 : 1;
    char text[MEASURE_NOTE_BYTES];

    if (sign * value > sign * limit->refuse) {
        if (!why[0])
            say(limit, value, limit->stop, why);
        return false;
    }
    if (sign * value > sign * limit->warn) {
        say(limit, value, limit->mend, text);
        notes_add(notes, "%s", text);
    }
    return true;
}
