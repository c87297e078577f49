/* Whether a colour can be had again: how far apart one recipe came out before,
 * what differed, what is not known, what is left. Errors as in book/ask.h. */
#ifndef HANKLAB_BOOK_REPEAT_H
#define HANKLAB_BOOK_REPEAT_H

#include "book/ask.h"
#include "dye/spread.h"

/* Facts of a dyeing beside dyes, mordants, dips and round, which always have to
 * agree. */
enum repeat_fact {
    REPEAT_YARN,
    REPEAT_DYESTUFF, /* percent of the fibre */
    REPEAT_MORDANT,  /* percent of the fibre, all mordants together */
    REPEAT_PH,
    REPEAT_HEAT,  /* degrees C */
    REPEAT_TIME,  /* minutes */
    REPEAT_WATER, /* by name, as the supply */
    REPEAT_SUPPLY,
    REPEAT_FACTS
};

/* "dyestuff", and for people "dyestuff for the fibre". */
const char *repeat_fact_key(enum repeat_fact fact);
const char *repeat_fact_words(enum repeat_fact fact);

/* What must agree. Of a number `within` is how far two may be apart: percent of
 * the larger for dyestuff and mordant, else in the fact's unit. What is not
 * known of one of two agrees with anything. */
struct repeat_rule {
    bool must;
    double within;
};

struct repeat_request {
    struct ask_filter filter; /* of it only which readings count */
    int64_t skein;            /* whose recipe */
    struct repeat_rule rule[REPEAT_FACTS];
};

/* Yarn the same, dyestuff and mordant within 10 %, pH within 1, heat within
 * 10 degrees; the rest is only told. */
void repeat_usual(struct repeat_rule rule[REPEAT_FACTS]);

/*
 * Reads a rule as it is typed, "any" or "same", or of a number how far, "15",
 * "15 %".
 *
 * err  ERR_INPUT
 */
bool repeat_rule_read(enum repeat_fact fact, const char *words,
                      struct repeat_rule *out, struct error *err);

/* The same with the fact's key before it: "heat=15", "yarn any". */
bool repeat_rules_read(const char *words, struct repeat_rule rule[REPEAT_FACTS],
                       struct error *err);

/* "yarn the same; dyestuff for the fibre within 10 %; ..."; appended. */
void repeat_rules_words(const struct repeat_rule rule[REPEAT_FACTS],
                        struct text *out);

struct repeat_row {
    struct ask_skein skein;
    char *fact[REPEAT_FACTS]; /* in words; NULL: not recorded */
    double low[REPEAT_FACTS], high[REPEAT_FACTS]; /* of numbers; else NaN */
    bool differs[REPEAT_FACTS]; /* by more than the rule lets it */
    bool alike;                 /* none of them does */
    double from_mean;           /* dE00; NaN: without a colour, or not alike */
};

/* What is left of one state: fresh grams are no dry ones. */
struct repeat_left {
    char *state; /* of the supplies; NULL: not recorded */
    double g;    /* at most; NaN: not known */
    bool more;   /* of a supply of it that is not known */
};

/* Of what one skein needs again. */
struct repeat_need {
    char *what;               /* "madder, allotment 2025", or the material */
    char *state;              /* "fresh"; NULL: not recorded */
    double low_g, high_g;     /* for the skein's dry weight; NaN: not known */
    struct repeat_left *left; /* of that supply, or of all of the material */
    size_t lefts;
    bool left_known; /* no use of it was without a weight */
    bool too_little; /* all of one state, that of the dose, and less of it */
};

struct repeat_answer {
    struct repeat_row *row; /* the skein that was asked for is the first, then
                               those alike, then the rest, by number */
    size_t count, alike;    /* the first so many are alike */
    size_t measured;        /* of them */
    size_t goes;            /* dyeings they are from, each on its own */
    struct colour_spread skeins, dyeings; /* of the measured; by the mean of
                                             each dyeing. measured, goes > 0 */
    char *differed[REPEAT_FACTS]; /* among those alike, "62; 75"; or NULL */
    size_t unknown[REPEAT_FACTS]; /* of how many alike it is not recorded */
    char **lacking;               /* not recorded of the skein, in words */
    size_t lacks;
    struct repeat_need *need;
    size_t needs;
    size_t left_out[ASK_LACKS]; /* alike, without a colour to go by */
    size_t more;                /* made so and not looked at, REPEAT_MOST */
};

#define REPEAT_MOST 500 /* skeins that are looked at, the newest */

/* Release with repeat_answer_clear. ERR_MISSING, ERR_INPUT: it was not dyed. */
bool ask_repeat(struct book *book, const struct repeat_request *request,
                struct repeat_answer *out, struct error *err);
void repeat_answer_clear(struct repeat_answer *answer);

#endif
