/* Temperatures as people write them. See amount.h. */
#include "dye/amount.h"

#include <math.h>

#include "base/mem.h"
#include "dye/reckon.h"
#include "dye/words.h"

#define ABOUT_C 5.0   /* either side of "about 80": our own choice */
#define BARE_MOST 110 /* above it a bare number is likely Fahrenheit */
#define HOTTEST_C 150.0

enum { CELSIUS, FAHRENHEIT };

static const struct unit unit[] = {
    {"c|c.|celsius|centigrade|deg c|degc|degrees c|degree c|degrees celsius|"
     "deg|degrees",
     CELSIUS, 1, 1},
    {"f|f.|fahrenheit|deg f|degf|degrees f|degree f|degrees fahrenheit",
     FAHRENHEIT, 1, 1},
};

static enum took bad(const struct words *w, struct error *err, const char *why)
{
    error_set(err, ERR_INPUT, "\"%.80s\": %s", w->typed, why);
    return TOOK_BAD;
}

static enum took read_main(const struct words *w, struct temperature *out,
                           struct error *err)
{
    static const struct units units = {unit, ARRAY_LEN(unit), NULL};
    const char *s = w->main;
    struct term t;
    double low, high;
    struct lead lead = {0};
    enum took took;

    words_lead(&s, true, &lead);
    took = words_term(&s, &units, &t, err);
    if (took != TOOK_IT)
        return took;
    lead.about |= words_about_after(&s);
    if (words_digit(s) || words_slip(s))
        return TOOK_NOTHING;
    if (!t.low_unit && fmax(t.low, t.high) > BARE_MOST)
        return bad(w, err, "is that Fahrenheit? Write F or C behind it");
    low = t.low_unit && t.low_unit->kind == FAHRENHEIT ? celsius_of(t.low)
                                                       : t.low;
    high = t.high_unit && t.high_unit->kind == FAHRENHEIT ? celsius_of(t.high)
                                                          : t.high;
    out->low_c = fmin(low, high);
    out->high_c = fmax(low, high);
    if (out->low_c < 0 || out->high_c > HOTTEST_C)
        return bad(w, err, "a bath lies between 0 and 150 C (32 and 302 F)");
    if (lead.about) {
        out->low_c = fmax(out->low_c - ABOUT_C, 0);
        out->high_c = fmin(out->high_c + ABOUT_C, HOTTEST_C);
    }
    out->known = true;
    return TOOK_IT;
}

bool temperature_read(const char *words, struct temperature *out,
                      struct error *err)
{
    struct words w = words_open(words ? words : "");
    struct temperature t = {false, (double)NAN, (double)NAN};
    enum took took = TOOK_NOTHING;

    if (words_digit(w.main))
        took = read_main(&w, &t, err);
    if (took == TOOK_NOTHING && words_digit(w.main))
        took = bad(&w, err,
                   "cannot be read as a temperature; say 80, 80-90 C, "
                   "180 F or words");
    words_close(&w);
    if (took == TOOK_BAD)
        return false;
    *out = t;
    return true;
}

void temperature_echo(const struct temperature *t, char *out, size_t size)
{
    struct text line = {0};

    if (t->known) {
        words_add_range(&line, t->low_c, t->high_c);
        text_add(&line, " C");
    } else {
        text_add(&line, "kept as words");
    }
    words_hand(&line, out, size);
}
