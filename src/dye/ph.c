/* pH as people write it. See amount.h. */
#include "dye/amount.h"

#include <math.h>

#include "dye/words.h"

#define ABOUT 0.5 /* either side of "about 9": our own choice */

static enum ph_how how_of(const struct words *w)
{
    static const struct {
        const char *word;
        enum ph_how how;
    } said[] = {
        {"strip", PH_STRIP},    {"strips", PH_STRIP},
        {"paper", PH_STRIP},    {"papers", PH_STRIP},
        {"litmus", PH_STRIP},   {"indicator", PH_STRIP},
        {"meter", PH_METER},    {"metre", PH_METER},
        {"probe", PH_METER},    {"guess", PH_GUESS},
        {"guessed", PH_GUESS},  {"think", PH_GUESS},
        {"probably", PH_GUESS}, {"estimated", PH_GUESS},
    };

    for (size_t i = 0; i < sizeof said / sizeof said[0]; i++)
        if (words_has(w, said[i].word))
            return said[i].how;
    return PH_NOT_SAID;
}

static enum took read_main(const struct words *w, struct ph *p,
                           struct error *err)
{
    static const struct units none = {NULL, 0, NULL};
    const char *s = w->main;
    struct term t;
    struct lead lead = {0};
    enum took took;

    words_lead(&s, true, &lead);
    took = words_term(&s, &none, &t, err);
    if (took != TOOK_IT)
        return took;
    lead.about |= words_about_after(&s);
    if (words_digit(s) || words_slip(s))
        return TOOK_NOTHING;
    p->known = true;
    p->moved = t.moved;
    p->low = fmin(t.low, t.high);
    p->high = fmax(t.low, t.high);
    if (p->high > 14) {
        error_set(err, ERR_INPUT, "\"%.80s\": a pH lies between 0 and 14",
                  w->typed);
        return TOOK_BAD;
    }
    if (lead.about) {
        p->low = fmax(p->low - ABOUT, 0);
        p->high = fmin(p->high + ABOUT, 14);
        if (p->how == PH_NOT_SAID)
            p->how = PH_GUESS;
    }
    return TOOK_IT;
}

bool ph_read(const char *words, struct ph *out, struct error *err)
{
    struct words w = words_open(words ? words : "");
    struct ph p = {.how = how_of(&w), .low = (double)NAN, .high = (double)NAN};
    enum took took = TOOK_NOTHING;

    if (words_digit(w.main))
        took = read_main(&w, &p, err);
    if (took == TOOK_NOTHING && words_digit(w.main)) {
        error_set(err, ERR_INPUT,
                  "\"%.80s\" cannot be read as a pH; say 7, 7-8, about 9 or "
                  "5 -> 9",
                  words);
        took = TOOK_BAD;
    }
    words_close(&w);
    if (took == TOOK_BAD)
        return false;
    *out = p;
    return true;
}

void ph_echo(const struct ph *p, char *out, size_t size)
{
    static const char *const how[] = {
        [PH_NOT_SAID] = "",
        [PH_STRIP] = ", by strip",
        [PH_METER] = ", by meter",
        [PH_GUESS] = ", a guess",
    };
    struct text t = {0};

    if (p->known) {
        text_add(&t, "pH ");
        words_add_range(&t, p->low, p->high);
        if (p->moved)
            text_add(&t, ", it moved");
    } else {
        text_add(&t, "kept as words");
    }
    text_add(&t, how[p->how]);
    words_hand(&t, out, size);
}
