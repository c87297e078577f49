/*
 * Amounts as people write them: "1 3/4 oz", "0,5 g", "12 %", "2:1",
 * "a handful", "1 lb 3". The words stay; this says how they were understood.
 */
#ifndef HANKLAB_DYE_AMOUNT_H
#define HANKLAB_DYE_AMOUNT_H

#include <stdbool.h>
#include <stddef.h>

#include "base/error.h"
#include "base/text.h"

enum amount_unit {
    AMOUNT_NONE,      /* blank or "unknown": no number */
    AMOUNT_WORDS,     /* "a handful": words only, no number */
    AMOUNT_G,         /* grams (from g, kg, oz, lb, #) */
    AMOUNT_ML,        /* millilitres (from ml, dl, l, fl oz, cups, pints ...) */
    AMOUNT_WOF_PCT,   /* percent of the dry fibre's weight ("12 %") */
    AMOUNT_PER_FIBRE, /* dyestuff per fibre, a pure number ("2:1" = 2) */
    AMOUNT_M,         /* metres (from m, yd) */
    AMOUNT_COUNT,     /* a bare number whose unit was not said */
};

/* Whose pints, gallons and spoons. */
enum amount_measure { AMOUNT_METRIC, AMOUNT_US, AMOUNT_IMPERIAL };

/* What the words said of the stuff itself: the first of these that they name.
 */
enum amount_state {
    AMOUNT_AS_SAID, /* nothing */
    AMOUNT_WET,     /* wet, damp: no dry weight */
    AMOUNT_DRIED,
    AMOUNT_FROZEN,
    AMOUNT_FRESH,
};

struct amount {
    enum amount_unit unit;
    double low, high;  /* in the unit; equal unless a range or an estimate */
    bool estimated;    /* "about", spoons, cups, pinch: a wide range */
    bool fibre_first;  /* a ratio that was read as fibre : dyestuff */
    bool sides_stated; /* a ratio whose sides were named in the words */
    bool ounces;       /* a weight said in ounces or pounds */
    enum amount_measure measure;
    enum amount_state state;
};

/* What a bare number, and what a bare "2:1", shall mean here. */
struct amount_context {
    enum amount_unit bare;  /* AMOUNT_G, AMOUNT_M, AMOUNT_ML ... */
    bool ratio_fibre_first; /* bare "a:b" is fibre : dyestuff */
};

/*
 * Reads an amount. Fractions (1 3/4, 1¾, ½), comma or point, "1#", "1 lb 3"
 * (ounces), "3-4 g", "about 9 g" (10 % either side: our own choice), "up to
 * 9 g" (from 0), "2x", "equal weight", "200%", "1 oz per lb", "1:2
 * (yarn:dye)", spoons (a wide range), kg, oz, lb, US and imperial volumes (US
 * unless "imperial" or "UK" is said; the echo names it).
 *
 * err   ERR_INPUT  negative, not finite, a unit that is none, or digits that
 *                  make no amount
 *
 * Words with no number in them are AMOUNT_WORDS, never an error; so is a count
 * of things ("40 marigold heads"). low and high are NaN then, and for
 * AMOUNT_NONE.
 */
bool amount_read(const char *words, struct amount_context context,
                 struct amount *out, struct error *err);

/* Reads a part of a whole, above 0 and below 1: "half", "1/3", "½", "two
 * thirds"; false for anything else. */
bool amount_fraction(const char *words, double *out);

/*
 * How it was understood, as one line: "49.6 g", "12 % of the fibre: 10.2 g on
 * 85 g", "2:1 dyestuff to fibre = 100 g for 50 g", "kept as words". When the
 * sides of a ratio were only assumed, the line goes on with how to say the
 * other order. fibre_g is the dry weight in grams, NaN when not known. out:
 * size bytes, 160 are enough.
 */
void amount_echo(const struct amount *a, double fibre_g, char *out,
                 size_t size);

/* Appends "3" or "3 to 4" as the echo does: 1 decimal from 10 on, 2 from 1 on,
 * else 3. */
void amount_add_range(struct text *t, double low, double high);
/* The same with " g" behind; NaN: "not known". */
void amount_add_grams(struct text *t, double low_g, double high_g);

/* Grams on fibre_g grams of fibre, low and high; false (NaN) when the unit
 * gives none (words, ml, metres) or the fibre's weight is not known. */
bool amount_grams(const struct amount *a, double fibre_g, double *low,
                  double *high);

/* Percent of the dry fibre's weight, the same way; not known for what was
 * weighed wet, which says nothing sure of its dry weight. */
bool amount_wof_pct(const struct amount *a, double fibre_g, double *low,
                    double *high);

enum ph_how { PH_NOT_SAID, PH_STRIP, PH_METER, PH_GUESS };

/* A pH value or range. known is false for words without a number. */
struct ph {
    bool known;
    double low, high; /* 0..14 */
    bool moved;       /* "5 -> 9": low and high are start and end, sorted */
    enum ph_how how;
};

/* Reads "7", "7-8", "about 9" (+-0.5), "5 -> 9", "strip looked green" (words),
 * "6,5 meter". err ERR_INPUT outside 0..14, or digits that make no pH. */
bool ph_read(const char *words, struct ph *out, struct error *err);
void ph_echo(const struct ph *p, char *out, size_t size);

/* A temperature in Celsius, 0..150, from "80", "80 C", "180 F", "80-90",
 * "about 80" (+-5), "up to 80" (80), "hand-warm" (words: known false). Bare
 * numbers above 110 are refused with a question about Fahrenheit. */
struct temperature {
    bool known;
    double low_c, high_c;
};
bool temperature_read(const char *words, struct temperature *out,
                      struct error *err);
void temperature_echo(const struct temperature *t, char *out, size_t size);

/* Minutes from "45", "45 min", "1 h", "1 1/2 h", "1:30", "1 h 30", "overnight"
 * (words), "24-72 h", "3 days", "2 weeks", "about an hour" (a quarter either
 * side), "up to 30 min" (from 0). */
struct minutes {
    bool known;
    double low, high;
};
bool minutes_read(const char *words, struct minutes *out, struct error *err);
void minutes_echo(const struct minutes *m, char *out, size_t size);

#endif
