/*
 * What to weigh before the pot is lit, reckoned from words as dyers say them
 * and told in lines: the command line's and the page's "reckon".
 */
#ifndef HANKLAB_DYE_SUMS_H
#define HANKLAB_DYE_SUMS_H

#include "base/json.h"
#include "base/parts.h"
#include "base/text.h"
#include "dye/amount.h"

struct sums_range {
    double low, high; /* NaN: not known */
};

/* One line of the answer, and what is said of it below, a line each. */
struct sums_line {
    struct text label, result, notes;
    bool record_only; /* chrome, tin: nothing to weigh */
};

void sums_call(struct sums_line *line, const char *label);
void sums_note(struct sums_line *line, const char *fmt, ...)
    __attribute__((format(printf, 2, 3)));
void sums_line_clear(struct sums_line *line);
/* An array of the lines; "result" and "notes" of an open JSON object. */
void sums_lines_json(const struct text *lines, const char *name,
                     struct json *j);
void sums_line_json(const struct sums_line *line, struct json *j);

/* ---- the whole ------------------------------------------------------------
 */

/* One thing that was said: "mordant" and "alum: 12 %". The names, each as
 * often as one likes but for the last three: weight, exhaust, mordant, assist,
 * dyestuff, acid, alkali, dip, stock, unit (an amount to tell in other units);
 * scale, water, pot. Others are not looked at. */
struct sums_said {
    const char *name, *words;
};

struct sums;

/*
 * Reads and reckons all of it. NULL and err ERR_INPUT when words cannot be
 * read, or the weight of the fibre is missing where it is needed.
 */
struct sums *sums_new(const struct sums_said *said, size_t n,
                      struct error *err);
void sums_free(struct sums *sums);

/* The nth line from 0, some of them without a label and to be left out; NULL
 * behind the last. */
const struct sums_line *sums_line_at(const struct sums *sums, size_t n);

/* What to beware of, a line each, once each; nothing when nothing is known. */
void sums_cautions(const struct sums *sums, struct text *out);

void sums_text(const struct sums *sums, struct text *out);
void sums_json(const struct sums *sums, struct text *out);

/* ---- fibre ----------------------------------------------------------------
 */

/*
 * A dry weight: "85 g", "6 x 20 g", "3 skeins of 1 3/4 oz".
 *
 * what    in errors: "weight"
 * ounces  set when it was said in ounces or pounds, else left alone
 */
bool sums_weight(const char *words, const char *what, struct sums_range *out,
                 bool *ounces, struct error *err);

/* What all doses are reckoned on. */
struct sums_fibre {
    struct sums_range g;
    bool ounces;
    double scale_g;           /* step of the scale */
    struct sums_range *later; /* of each exhaust, in order */
    size_t laters;
};

/* ---- doses ----------------------------------------------------------------
 */

struct sums_dose {
    const char *role; /* "mordant" */
    struct parts parts;
    char *name, *words; /* words NULL: no amount was said; all in parts */
    const char *state;  /* "fresh"; NULL: not said, or said with the amount */
    struct amount amount;
    struct sums_range fibre, g, pct;
    double stock_pct, fresh_per_dry; /* NaN: not said */
    bool on_part;                    /* of the fibre */
    bool ounces;
    bool record_only; /* chrome, tin */
    struct sums_line line;
};

bool sums_dose_read(const char *words, const char *role,
                    const struct sums_fibre *fibre, struct sums_dose *out,
                    struct error *err);
void sums_dose_clear(struct sums_dose *dose);
void sums_dose_json(const struct sums_dose *dose, struct json *j);

/* ---- water, stock, other units ---------------------------------------------
 */

struct sums_water {
    struct sums_range l, l_per_kg;
    struct sums_line line;
};

/* Liquor ratio or litres; whichever was said gives the other. */
bool sums_water(const char *words, const struct sums_fibre *fibre,
                struct sums_water *out, struct error *err);

struct sums_pot {
    double litres, most_g;
    struct sums_line line;
};

/* How much fibre a pot takes. */
bool sums_pot(const char *words, const struct sums_water *water,
              const struct sums_fibre *fibre, struct sums_pot *out,
              struct error *err);

/* "1 l of 10 %", "250 ml of 2 % from 10 %"; "1 kg of 10 % in all" and "1 l of
 * 10 % into water" are the other two meanings of 10 %. */
struct sums_stock {
    double solute_g, stock_ml, water_ml; /* NaN: not in it */
    struct sums_line line;
};

bool sums_stock(const char *words, struct sums_stock *out, struct error *err);

/* An amount or a temperature in the other units. */
bool sums_units(const char *words, struct sums_line *out, struct error *err);

/* Appends "7.65 g", with ounces "7.65 g = 0.27 oz". */
void sums_add_grams(struct text *t, struct sums_range g, bool ounces);

#endif
