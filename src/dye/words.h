/* Private to dye: numbers, ranges and units as people type them, for the
 * readers of amounts, pH, heat and time. */
#ifndef HANKLAB_DYE_WORDS_H
#define HANKLAB_DYE_WORDS_H

#include <stdbool.h>
#include <stddef.h>

#include "base/error.h"
#include "base/text.h"

/*
 * Words made ready for reading: lower case, one blank where there were many,
 * typographic signs as plain ones ("1¾" is "1 3/4", an arrow "->"), degree
 * signs gone.
 */
struct words {
    const char *typed; /* borrowed: for messages */
    char *main;        /* without what stood in brackets or quotes */
    char *note;        /* that */
};

struct words words_open(const char *typed);
void words_close(struct words *w);

/* Blank, "?", "unknown", "not recorded" and the like. */
bool words_unknown(const struct words *w);

/* Whether word stands in main or note as a word of its own. */
bool words_has(const struct words *w, const char *word);

bool words_digit(const char *s);

/* Takes word at *s, blanks before it skipped. A word that ends in a letter
 * must end there; false leaves *s alone. */
bool words_eat(const char **s, const char *word);

/* The same for the first of several, longest first, joined by '|'. */
bool words_eat_any(const char **s, const char *words);

/* What stood before a number. */
struct lead {
    bool about; /* "about", "ca.", "~" */
    bool up_to; /* "up to", "at most", "max" */
    bool words; /* any others: "alum 12 %", "pH was 7" */
};

/* Takes "about" and "up to", and with any also the words before a number.
 * Stops where a word changes what the number means ("over", "less than", "half
 * of"), so that it is not read. */
void words_lead(const char **s, bool any, struct lead *lead);

/* Takes "?", "ish", "or so" ... behind a number. */
bool words_about_after(const char **s);

/* Whether a short word stands at s that is no plain English: a unit of
 * something else, such as the K of "80 K". */
bool words_slip(const char *s);

enum took {
    TOOK_NOTHING, /* something else stands there */
    TOOK_IT,
    TOOK_BAD, /* err is filled in */
};

/* One number: 12, 0,5, .5, 3/4, 1 3/4, 1-3/4. "1,000" is refused, since one
 * half of the world means 1 and the other 1000; so are two numbers side by
 * side. */
enum took words_number(const char **s, double *out, struct error *err);

/* One unit: names joined by '|', and how many of the reader's own unit it
 * makes: at least and at most. kind is the reader's. imperial is the factor
 * from the US to the imperial one of that name; 0 when there is none. */
struct unit {
    const char *names;
    int kind;
    double low, high;
    double imperial;
    bool loose; /* what it holds is an estimate */
};

struct units {
    const struct unit *unit;
    size_t count;
    const char *lead; /* words that may stand before a unit, or NULL */
};

/* The longest name that stands at *s, or NULL. */
const struct unit *words_unit(const char **s, const struct units *units);

/* A number or a range, each end with the unit that was said for it: in
 * "3-4 g" both have grams; NULL when none was said. */
struct term {
    double low, high;
    const struct unit *low_unit, *high_unit;
    bool range, moved; /* moved: "5 -> 9" */
};

enum took words_term(const char **s, const struct units *units,
                     struct term *out, struct error *err);

/* Appends a number for people: 1 decimal from 10 on, 2 from 1 on, else 3. */
void words_add_real(struct text *t, double x);

/* Appends "3" or "3 to 4". */
void words_add_range(struct text *t, double low, double high);

/* Hands t out as a line of at most size - 1 bytes, and clears it. */
void words_hand(struct text *t, char *out, size_t size);

#endif
