/* Says how an amount was understood, and what it weighs. See amount.h. */
#include "dye/amount.h"

#include <math.h>

#include "dye/reckon.h"
#include "dye/words.h"

static void none(double *low, double *high)
{
    *low = *high = (double)NAN;
}

bool amount_grams(const struct amount *a, double fibre_g, double *low,
                  double *high)
{
    none(low, high);
    switch (a->unit) {
    case AMOUNT_G:
        *low = a->low;
        *high = a->high;
        break;
    case AMOUNT_WOF_PCT:
        *low = wof_grams(a->low, fibre_g);
        *high = wof_grams(a->high, fibre_g);
        break;
    case AMOUNT_PER_FIBRE:
        *low = dyestuff_grams(a->low, fibre_g);
        *high = dyestuff_grams(a->high, fibre_g);
        break;
    case AMOUNT_NONE:
    case AMOUNT_WORDS:
    case AMOUNT_ML:
    case AMOUNT_M:
    case AMOUNT_COUNT:
        break;
    }
    return !isnan(*low);
}

bool amount_wof_pct(const struct amount *a, double fibre_g, double *low,
                    double *high)
{
    none(low, high);
    switch (a->unit) {
    case AMOUNT_G:
        if (a->state == AMOUNT_WET)
            break;
        *low = wof_pct(a->low, fibre_g);
        *high = wof_pct(a->high, fibre_g);
        break;
    case AMOUNT_WOF_PCT:
        *low = a->low;
        *high = a->high;
        break;
    case AMOUNT_PER_FIBRE:
        *low = a->low * 100;
        *high = a->high * 100;
        break;
    case AMOUNT_NONE:
    case AMOUNT_WORDS:
    case AMOUNT_ML:
    case AMOUNT_M:
    case AMOUNT_COUNT:
        break;
    }
    return !isnan(*low);
}

void amount_add_range(struct text *t, double low, double high)
{
    words_add_range(t, low, high);
}

void amount_add_grams(struct text *t, double low_g, double high_g)
{
    if (isnan(low_g) || isnan(high_g)) {
        text_add(t, "not known");
        return;
    }
    words_add_range(t, low_g, high_g);
    text_add(t, " g");
}

static void add_ends(struct text *t, const struct amount *a, double scale,
                     const char *unit)
{
    bool up_to = a->estimated && a->low == 0;

    if (a->estimated)
        text_add(t, up_to ? "up to " : "about ");
    words_add_range(t, (up_to ? a->high : a->low) * scale, a->high * scale);
    text_add(t, unit);
}

static void add_volume(struct text *t, const struct amount *a)
{
    static const char *const measure[] = {
        [AMOUNT_METRIC] = "",
        [AMOUNT_US] = " (US measure)",
        [AMOUNT_IMPERIAL] = " (imperial measure)",
    };

    if (a->high >= 1000)
        add_ends(t, a, 0.001, " l");
    else
        add_ends(t, a, 1, " ml");
    text_add(t, measure[a->measure]);
}

/* "2:1" or "1:2", whichever has the whole number. */
static void add_ratio(struct text *t, double first_per_second)
{
    if (first_per_second > 0 && first_per_second < 1) {
        text_add(t, "1:");
        words_add_real(t, 1 / first_per_second);
    } else {
        words_add_real(t, first_per_second);
        text_add(t, ":1");
    }
}

static void add_per_fibre(struct text *t, const struct amount *a,
                          double fibre_g)
{
    double low, high;

    if (a->high > a->low) {
        add_ends(t, a, 1, " times the fibre's weight in dyestuff");
    } else {
        add_ratio(t, a->fibre_first ? 1 / a->low : a->low);
        text_add(t,
                 a->fibre_first ? " fibre to dyestuff" : " dyestuff to fibre");
    }
    if (amount_grams(a, fibre_g, &low, &high)) {
        text_add(t, " = ");
        words_add_range(t, low, high);
        text_add(t, " g for ");
        words_add_real(t, fibre_g);
        text_add(t, " g");
    }
    if (a->sides_stated || (a->low == 1 && a->high == 1))
        return;
    text_add(t, a->fibre_first
                    ? "; if it was dyestuff to fibre, add dye:fibre"
                    : "; if it was fibre to dyestuff, add fibre:dye");
}

static void add_wof(struct text *t, const struct amount *a, double fibre_g)
{
    double low, high;

    add_ends(t, a, 1, " % of the fibre");
    if (!amount_grams(a, fibre_g, &low, &high))
        return;
    text_add(t, ": ");
    words_add_range(t, low, high);
    text_add(t, " g on ");
    words_add_real(t, fibre_g);
    text_add(t, " g");
}

static void add_state(struct text *t, enum amount_state state)
{
    switch (state) {
    case AMOUNT_AS_SAID:
        break;
    case AMOUNT_WET:
        text_add(t, ", wet: not the dry weight that percentages need");
        break;
    case AMOUNT_DRIED:
        text_add(t, ", dried");
        break;
    case AMOUNT_FROZEN:
        text_add(t, ", frozen");
        break;
    case AMOUNT_FRESH:
        text_add(t, ", fresh");
        break;
    }
}

void amount_echo(const struct amount *a, double fibre_g, char *out, size_t size)
{
    struct text t = {0};

    switch (a->unit) {
    case AMOUNT_NONE:
        text_add(&t, "not known");
        break;
    case AMOUNT_WORDS:
        text_add(&t, "kept as words");
        break;
    case AMOUNT_G:
        add_ends(&t, a, 1, " g");
        add_state(&t, a->state);
        break;
    case AMOUNT_ML:
        add_volume(&t, a);
        break;
    case AMOUNT_WOF_PCT:
        add_wof(&t, a, fibre_g);
        break;
    case AMOUNT_PER_FIBRE:
        add_per_fibre(&t, a, fibre_g);
        break;
    case AMOUNT_M:
        add_ends(&t, a, 1, " m");
        break;
    case AMOUNT_COUNT:
        add_ends(&t, a, 1, "");
        break;
    }
    words_hand(&t, out, size);
}
