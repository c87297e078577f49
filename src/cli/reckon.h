/* Private to the command line: what hanklab reckon reads and tells. */
#ifndef HANKLAB_CLI_RECKON_H
#define HANKLAB_CLI_RECKON_H

#include "base/json.h"
#include "base/parts.h"
#include "base/text.h"
#include "dye/amount.h"

struct reckon_range {
    double low, high; /* NaN: not known */
};

/* One line of the answer, and what is said of it below, a line each. */
struct reckon_line {
    struct text label, result, notes;
};

void reckon_call(struct reckon_line *line, const char *label);
void reckon_note(struct reckon_line *line, const char *fmt, ...)
    __attribute__((format(printf, 2, 3)));
void reckon_line_clear(struct reckon_line *line);
/* An array of the lines; "result" and "notes" of an open JSON object. */
void reckon_lines_json(const struct text *lines, const char *name,
                       struct json *j);
void reckon_line_json(const struct reckon_line *line, struct json *j);

/* ---- fibre ----------------------------------------------------------------
 */

/*
 * A dry weight: "85 g", "6 x 20 g", "3 skeins of 1 3/4 oz".
 *
 * what    in errors: "weight"
 * ounces  set when it was said in ounces or pounds, else left alone
 */
bool reckon_weight(const char *words, const char *what,
                   struct reckon_range *out, bool *ounces, struct error *err);

/* What all doses are reckoned on. */
struct reckon_fibre {
    struct reckon_range g;
    bool ounces;
    double scale_g;             /* step of the scale */
    struct reckon_range *later; /* of each exhaust, in order */
    size_t laters;
};

/* ---- doses ----------------------------------------------------------------
 */

struct reckon_dose {
    const char *role; /* "mordant" */
    struct parts parts;
    char *name, *words; /* words NULL: no amount was said; both in parts */
    struct amount amount;
    struct reckon_range fibre, g, pct;
    double stock_pct, fresh_per_dry; /* NaN: not said */
    bool on_part;                    /* of the fibre */
    bool ounces;
    bool record_only; /* chrome, tin */
    struct reckon_line line;
};

bool reckon_dose_read(const char *words, const char *role,
                      const struct reckon_fibre *fibre, struct reckon_dose *out,
                      struct error *err);
void reckon_dose_clear(struct reckon_dose *dose);
void reckon_dose_json(const struct reckon_dose *dose, struct json *j);

/* ---- water, stock, other units ---------------------------------------------
 */

struct reckon_water {
    struct reckon_range l, l_per_kg;
    struct reckon_line line;
};

/* Liquor ratio or litres; whichever was said gives the other. */
bool reckon_water(const char *words, const struct reckon_fibre *fibre,
                  struct reckon_water *out, struct error *err);

struct reckon_pot {
    double litres, most_g;
    struct reckon_line line;
};

/* How much fibre a pot takes. */
bool reckon_pot(const char *words, const struct reckon_water *water,
                const struct reckon_fibre *fibre, struct reckon_pot *out,
                struct error *err);

/* "1 l of 10 %", "250 ml of 2 % from 10 %". */
struct reckon_stock {
    double solute_g, stock_ml, water_ml; /* NaN: not in it */
    struct reckon_line line;
};

bool reckon_stock(const char *words, struct reckon_stock *out,
                  struct error *err);

/* An amount or a temperature in the other units. */
bool reckon_units(const char *words, struct reckon_line *out,
                  struct error *err);

/* Appends "7.65 g", with ounces "7.65 g = 0.27 oz". */
void reckon_add_grams(struct text *t, struct reckon_range g, bool ounces);

#endif
