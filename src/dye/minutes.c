/* Times as people write them. See amount.h. */
#include "dye/amount.h"

#include <math.h>
#include <string.h>

#include "base/mem.h"
#include "dye/words.h"

#define ABOUT 0.25 /* either side of "about an hour": our own choice */
#define LONGEST_MIN 5256000.0 /* ten years; more is a slip */
#define HOUR 60.0
#define DAY (24 * HOUR)

static const struct unit unit[] = {
    {"min|min.|mins|minute|minutes|m|'", 1, 1, 1},
    {"h|h.|hr|hr.|hrs|hrs.|hour|hours", 60, HOUR, HOUR},
    {"s|sec|secs|second|seconds", 0, 1 / 60.0, 1 / 60.0},
    {"d|day|days|night|nights", 1440, DAY, DAY},
    {"week|weeks|wk|wks", 10080, 7 * DAY, 7 * DAY},
    {"month|months", 43200, 28 * DAY, 31 * DAY},
};

static const struct units units = {unit, ARRAY_LEN(unit), NULL};

static enum took bad(const struct words *w, struct error *err, const char *why)
{
    error_set(err, ERR_INPUT, "\"%.80s\": %s", w->typed, why);
    return TOOK_BAD;
}

/* "1:30" is an hour and a half. */
static enum took clock(const char **s, struct minutes *out, struct error *err)
{
    const char *p = *s;
    double hours, rest;

    if (words_number(&p, &hours, err) != TOOK_IT || !words_eat(&p, ":") ||
        strspn(p, "0123456789") != 2 ||
        words_number(&p, &rest, err) != TOOK_IT || rest >= 60)
        return TOOK_NOTHING;
    words_eat_any(&p, "hours|hrs|h");
    out->low = out->high = hours * HOUR + rest;
    *s = p;
    return TOOK_IT;
}

/* "1 h 30 min", "24-72 h", "45". */
static enum took sum(const char **s, struct minutes *out, struct error *err)
{
    const struct unit *last = NULL;
    struct term t;
    enum took took = words_term(s, &units, &t, err);

    out->low = out->high = 0;
    while (took == TOOK_IT) {
        const char *p;

        if (!t.low_unit)
            t.low_unit = t.high_unit = &unit[0];
        if (last && t.low_unit->kind >= last->kind)
            return TOOK_NOTHING;
        out->low += fmin(t.low * t.low_unit->low, t.high * t.high_unit->low);
        out->high += fmax(t.low * t.low_unit->high, t.high * t.high_unit->high);
        last = t.low_unit;
        p = *s;
        (void)words_eat_any(&p, "+|,|and");
        took = words_term(&p, &units, &t, err);
        if (took == TOOK_IT)
            *s = p;
    }
    return took == TOOK_BAD ? took : last ? TOOK_IT : TOOK_NOTHING;
}

/* "an hour", "half a day": only before a unit. */
static enum took counted(const char **s, struct minutes *out)
{
    static const struct {
        const char *words;
        double count;
    } counts[] = {{"one and a half|an hour and a half of", 1.5},
                  {"half an|half a|half", 0.5},
                  {"three quarters of an|three quarters of a", 0.75},
                  {"a quarter of an|quarter of an|a quarter|quarter", 0.25},
                  {"a|an|one", 1},
                  {"two|a couple of", 2},
                  {"three", 3},
                  {"four", 4},
                  {"five", 5},
                  {"six", 6},
                  {"seven", 7},
                  {"eight", 8},
                  {"nine", 9},
                  {"ten", 10}};
    const char *p = *s;
    const struct unit *u;

    for (size_t i = 0; i < ARRAY_LEN(counts); i++) {
        if (!words_eat_any(&p, counts[i].words))
            continue;
        u = words_unit(&p, &units);
        if (!u)
            return TOOK_NOTHING;
        out->low = counts[i].count * u->low;
        out->high = counts[i].count * u->high;
        *s = p;
        return TOOK_IT;
    }
    return TOOK_NOTHING;
}

/* A sum, with words before it only when its unit is said. */
static enum took led_sum(const char **s, struct lead *lead, struct minutes *out,
                         struct error *err)
{
    const char *p;
    struct term t;
    enum took took;

    words_lead(s, true, lead);
    p = *s;
    took = words_term(&p, &units, &t, err);
    if (took == TOOK_BAD || (lead->words && took == TOOK_IT && !t.low_unit))
        return took == TOOK_BAD ? took : TOOK_NOTHING;
    return sum(s, out, err);
}

static enum took read_main(const struct words *w, struct minutes *out,
                           struct error *err)
{
    const char *s = w->main;
    struct lead lead = {0};
    enum took took;

    words_lead(&s, false, &lead);
    if (words_digit(s)) {
        took = clock(&s, out, err);
        if (took == TOOK_NOTHING)
            took = led_sum(&s, &lead, out, err);
    } else {
        took = counted(&s, out);
    }
    if (took != TOOK_IT)
        return took;
    lead.about |= words_about_after(&s);
    if (words_digit(s) || words_slip(s))
        return TOOK_NOTHING;
    if (!(out->high <= LONGEST_MIN))
        return bad(w, err, "is too long");
    if (lead.about) {
        out->low *= 1 - ABOUT;
        out->high *= 1 + ABOUT;
    }
    if (lead.up_to)
        out->low = 0;
    out->known = true;
    return TOOK_IT;
}

bool minutes_read(const char *words, struct minutes *out, struct error *err)
{
    struct words w = words_open(words ? words : "");
    struct minutes m = {false, (double)NAN, (double)NAN};
    enum took took = read_main(&w, &m, err);

    if (took == TOOK_NOTHING && words_digit(w.main))
        took = bad(&w, err,
                   "cannot be read as a time; say 45, 1 h 30, 24-72 h, "
                   "3 days or words");
    words_close(&w);
    if (took == TOOK_BAD)
        return false;
    if (!m.known)
        m.low = m.high = (double)NAN;
    *out = m;
    return true;
}

/* "45 min", "1 h 30 min", "3 days". */
static void add_time(struct text *t, double minutes)
{
    double hours = floor(minutes / HOUR), rest = minutes - hours * HOUR;

    if (minutes >= 2 * DAY && fmod(minutes, DAY) == 0) {
        text_add_real(t, minutes / DAY, 0);
        text_add(t, " days");
        return;
    }
    if (hours > 0) {
        text_add_real(t, hours, 0);
        text_add(t, rest > 0 ? " h " : " h");
    }
    if (rest > 0 || hours == 0) {
        words_add_real(t, rest);
        text_add(t, " min");
    }
}

void minutes_echo(const struct minutes *m, char *out, size_t size)
{
    struct text t = {0};

    if (m->known) {
        if (m->low == 0 && m->high > 0)
            text_add(&t, "up to ");
        else
            add_time(&t, m->low);
        if (m->low > 0 && m->high > m->low)
            text_add(&t, " to ");
        if (m->high > m->low)
            add_time(&t, m->high);
    } else {
        text_add(&t, "kept as words");
    }
    words_hand(&t, out, size);
}
