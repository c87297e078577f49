/* What the fits of a lane say, in words. See book/ask.h. */
#include "book/ask.h"

#include <math.h>
#include <stdlib.h>

#include "base/mem.h"
#include "book/undyed.h"
#include "colour/name.h"

#define Z95 1.96

/* The name of a place among the rounds of a stretch, or after them. */
static void place_words(const struct fade *f, const struct fade_stretch *s,
                        size_t at, struct text *out)
{
    ask_round_words(f->round[s->from].round + (int64_t)at, out);
}

/* ---- why a round may not fit ----------------------------------------------
 */

static int by_value(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;

    return (x > y) - (x < y);
}

struct fact {
    const char *what, *unit;
    double (*of)(const struct fade_round *);
    double apart; /* more than this part of the others' middle, */
    double least; /* and more than this */
};

static double temperature_of(const struct fade_round *r)
{
    return r->temperature_c;
}

static double minutes_of(const struct fade_round *r)
{
    return r->minutes;
}

static double ph_of(const struct fade_round *r)
{
    return r->ph;
}

static double fibre_of(const struct fade_round *r)
{
    return r->fibre_g;
}

/* What counts as another way of dyeing: our own choice. */
static const struct fact facts[] = {
    {"heat",
     " \xC2\xB0"
     "C",
     temperature_of, 0, 5},
    {"time", " min", minutes_of, 0.2, 5},
    {"pH", "", ph_of, 0, 0.5},
    {"wool", " g", fibre_of, 0.2, 1},
};

/* The middle of the other rounds' values; NaN when none is known. */
static double middle_of(const struct fade *f, const struct fade_stretch *s,
                        size_t at, const struct fact *fact)
{
    double *value = mem_new(s->rounds, sizeof *value), out = (double)NAN;
    size_t n = 0;

    for (size_t i = s->from; i < s->from + s->rounds; i++) {
        const double v = fact->of(&f->round[i]);
        if (i != at && !isnan(v))
            value[n++] = v;
    }
    if (n) {
        qsort(value, n, sizeof *value, by_value);
        out = value[n / 2];
    }
    free(value);
    return out;
}

static void reasons(const struct fade *f, const struct fade_stretch *s,
                    size_t at, struct text *out)
{
    bool any = false;

    for (size_t k = 0; k < ARRAY_LEN(facts); k++) {
        const struct fact *fact = &facts[k];
        const double own = fact->of(&f->round[at]);
        const double others = middle_of(f, s, at, fact);
        if (!(fabs(own - others) > fmax(fact->least, fact->apart * others)))
            continue;
        text_addf(out, "%s%s %.4g%s (the others %.4g)",
                  any ? ", " : "; the book has ", fact->what, own, fact->unit,
                  others);
        any = true;
    }
    if (!any)
        text_add(out, "; nothing the book has of it differs");
}

/* ---- what follows ---------------------------------------------------------
 */

static void misfits(const struct fade *f, const struct fade_stretch *s,
                    struct text *out)
{
    for (size_t i = s->from; i < s->from + s->rounds; i++) {
        const size_t at = (size_t)(f->round[i].round - f->round[s->from].round);
        if (at >= s->fit.rounds || !s->fit.misfit[at])
            continue;
        place_words(f, s, at, out);
        text_add(out, " does not fit the others");
        reasons(f, s, i, out);
        text_add(out, "\n");
    }
    if (s->fit.uneven)
        text_add(out, "the three rounds do not lie on one line: what is "
                      "foretold may be wrong\n");
}

static void next_words(const struct fade *f, const struct fade_stretch *s,
                       struct text *out)
{
    const struct exhaust *e = &s->fit;
    const struct colour_name *name = colour_name_nearest(e->next);

    text_add(out, "next, ");
    place_words(f, s, e->rounds, out);
    text_addf(out,
              ": about L %.1f \xC2\xB1 %.1f, a %.1f \xC2\xB1 %.1f, b %.1f "
              "\xC2\xB1 %.1f, %s; right about 19 times in 20\n",
              e->next.L, Z95 * sqrt(e->next_cov.LL), e->next.a,
              Z95 * sqrt(e->next_cov.aa), e->next.b, Z95 * sqrt(e->next_cov.bb),
              name ? name->name : "no name");
}

static void spent_words(const struct fade *f, const struct fade_stretch *s,
                        struct text *out)
{
    const struct exhaust *e = &s->fit;

    if (e->left_high >= 1)
        return;
    if (!e->spent) {
        text_add(out, "not spent for long\n");
        return;
    }
    text_add(out, "spent by about ");
    place_words(f, s, e->spent, out);
    if (e->spent_early != e->spent || e->spent_late != e->spent) {
        text_add(out, ", between ");
        place_words(f, s, e->spent_early, out);
        text_add(out, " and ");
        if (e->spent_late)
            place_words(f, s, e->spent_late, out);
        else
            text_add(out, "much later");
    }
    text_add(out, ": from then on wool comes out as good as undyed\n");
}

static void say(const struct fade *f, const struct fade_lane *lane,
                const struct fade_stretch *s, struct text *out)
{
    const struct exhaust *e = &s->fit;
    char words[80];

    exhaust_words(e, words, sizeof words);
    text_addf(out, "%s\ncounted against %s%s\n", words, lane->undyed_label,
              lane->undyed == FADE_PLAIN
                  ? ", plain: near enough to wool with alum"
                  : "");
    if (!e->weighed)
        text_add(out, "not every round's wool is weighed: taken as if each had "
                      "held as much\n");
    if (e->used == 2)
        text_add(out, "from two rounds alone: nothing checks it\n");
    if (e->drifts)
        text_add(out, "the hue drifts from bath to bath\n");
    if (e->too_deep)
        text_add(out, "a round is too deep to rank by its strength\n");
    misfits(f, s, out);
    if (s == &lane->stretch[lane->stretches - 1]) {
        next_words(f, s, out);
        spent_words(f, s, out);
    }
}

/* How to get what a lane would be counted against. */
static void advise(const struct fade_lane *lane, struct text *out)
{
    if (lane->dips)
        return;
    text_add(out, "strength is not told: ");
    if (!lane->mordants || !lane->fibre_id)
        text_addf(out, "the %s is not recorded\n",
                  lane->mordants ? "yarn" : "mordant");
    else
        text_addf(out, "measure a skein of %s with %s and no dye%s\n",
                  lane->fibre, lane->mordants,
                  undyed_is_alum(lane->mordants) ? ", or a plain one" : "");
}

/* A lane of one measured round has nothing that could be said. */
static size_t measured_rounds(const struct fade *f,
                              const struct fade_lane *lane)
{
    size_t n = 0;

    for (size_t i = 0; i < f->rounds; i++)
        n += f->round[i].known && lane->cell[i].measured;
    return n;
}

char *fade_words(const struct fade *fade, const struct fade_lane *lane)
{
    struct text out = {0};

    if (measured_rounds(fade, lane) >= 2 && !lane->undyed)
        advise(lane, &out);
    for (size_t i = 0; i < lane->stretches; i++) {
        const struct fade_stretch *s = &lane->stretch[i];
        if (s->fit.state == EXHAUST_TOO_PALE)
            text_addf(&out, "hardly to be told from %s\n", lane->undyed_label);
        if (s->fit.state != EXHAUST_FITTED)
            continue;
        if (lane->stretches > 1) {
            text_add(&out, fade->round[s->from].round ? "from " : "from the ");
            place_words(fade, s, 0, &out);
            text_add(&out, " on: ");
        }
        say(fade, lane, s, &out);
    }
    return text_take(&out);
}
