/* hanklab reckon: one dose, read, reckoned and told. */
#include "dye/sums.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "dye/dose.h"
#include "dye/reckon.h"
#include "dye/substance.h"

/* A pasted name stays one line. */
static void add_plain(struct text *t, const char *line)
{
    for (const char *p = line; *p; p++)
        text_add_n(t, (unsigned char)*p < ' ' ? " " : p, 1);
}

void sums_call(struct sums_line *line, const char *label)
{
    add_plain(&line->label, label);
}

void sums_note(struct sums_line *line, const char *fmt, ...)
{
    char one[512];
    va_list args;

    va_start(args, fmt);
    vsnprintf(one, sizeof one, fmt, args);
    va_end(args);
    add_plain(&line->notes, one);
    text_add(&line->notes, "\n");
}

void sums_line_clear(struct sums_line *line)
{
    text_clear(&line->label);
    text_clear(&line->result);
    text_clear(&line->notes);
}

void sums_lines_json(const struct text *lines, const char *name, struct json *j)
{
    json_add_array(j, name);
    for (const char *s = text_str(lines); *s;) {
        size_t n = strcspn(s, "\n");
        char *one = mem_text_n(s, n);
        json_add_string(j, NULL, one);
        free(one);
        s += n + (s[n] == '\n');
    }
    json_end(j);
}

void sums_line_json(const struct sums_line *line, struct json *j)
{
    json_add_string(j, "result", text_str(&line->result));
    sums_lines_json(&line->notes, "notes", j);
}

/* ---- reading ----------------------------------------------------------------
 */

static bool take_number(const char *words, enum amount_unit unit,
                        const char *what, double most, double *out,
                        struct error *err)
{
    struct amount_context bare = {unit, false};
    struct amount a;

    if (!amount_read(words, bare, &a, err) || a.unit != unit ||
        a.low != a.high || !(a.low > 0) || a.low > most)
        return error_set(err, ERR_INPUT, "%s: \"%.60s\" cannot be read", what,
                         words);
    *out = a.low;
    return true;
}

static bool take_part(struct sums_dose *d, const struct sums_fibre *fibre,
                      const char *words, struct error *err)
{
    if (!sums_weight(words, "on", &d->fibre, &d->ounces, err))
        return false;
    d->on_part = true;
    if (d->fibre.low > fibre->g.high)
        return error_set(err, ERR_INPUT,
                         "on: \"%.60s\" is more than all the fibre", words);
    return true;
}

static bool take_values(struct sums_dose *d, const struct sums_fibre *fibre,
                        struct error *err)
{
    for (size_t i = 0; i < d->parts.count; i++) {
        const char *key = d->parts.key[i], *value = d->parts.value[i];
        bool ok = true;

        if (text_same(key, "on"))
            ok = take_part(d, fibre, value, err);
        else if (text_same(key, "stock"))
            ok = take_number(value, AMOUNT_WOF_PCT, "stock", 100, &d->stock_pct,
                             err);
        else if (text_same(key, "fresh-per-dry"))
            ok = take_number(value, AMOUNT_COUNT, "fresh-per-dry", 1000,
                             &d->fresh_per_dry, err);
        else if (text_same(key, "state"))
            d->state = value;
        else
            ok = error_set(err, ERR_INPUT,
                           "there is no \"%s\"; say on, stock, state or "
                           "fresh-per-dry",
                           key);
        if (!ok)
            return false;
    }
    return true;
}

static bool read_amount(struct sums_dose *d, struct error *err)
{
    struct amount_context grams = {AMOUNT_G, false};
    struct text all = {0};
    bool ok;

    d->amount = (struct amount){.unit = AMOUNT_NONE};
    if (!d->words)
        return true;
    text_addf(&all, "%s%s%s", d->words, d->state ? " " : "",
              d->state ? d->state : "");
    ok = amount_read(text_str(&all), grams, &d->amount, err);
    text_clear(&all);
    if (!ok)
        return false;
    if (d->state && d->amount.state == AMOUNT_AS_SAID)
        return error_set(err, ERR_INPUT,
                         "state: \"%.60s\" is not fresh, dry, frozen or wet",
                         d->state);
    if (d->amount.unit == AMOUNT_M)
        return error_set(err, ERR_INPUT,
                         "say \"%.60s\" in grams, percent, a ratio, "
                         "millilitres or words",
                         d->words);
    d->ounces = d->ounces || d->amount.ounces;
    return true;
}

/* ---- reckoning --------------------------------------------------------------
 */

/* The two ends of a dose on the two ends of the fibre's weight. */
static void reckon_it(struct sums_dose *d)
{
    struct amount a = d->amount;
    struct grams_range spoons;
    double unused;

    d->g = d->pct = (struct sums_range){(double)NAN, (double)NAN};
    if (d->record_only)
        return;
    if (a.unit == AMOUNT_ML && a.estimated &&
        spoon_of_ml(d->name, a.low, a.high, &spoons)) {
        a.unit = AMOUNT_G;
        a.low = spoons.low_g;
        a.high = spoons.high_g;
    }
    amount_grams(&a, d->fibre.low, &d->g.low, &unused);
    amount_grams(&a, d->fibre.high, &unused, &d->g.high);
    amount_wof_pct(&a, d->fibre.high, &d->pct.low, &unused);
    amount_wof_pct(&a, d->fibre.low, &unused, &d->pct.high);
}

/* ---- telling ----------------------------------------------------------------
 */

static bool is_dyestuff(const struct sums_dose *d)
{
    return !strcmp(d->role, "dyestuff");
}

static void add_pct(struct text *t, struct sums_range pct)
{
    text_add_real(t, pct.low, pct.low < 1 ? 3 : 1);
    if (pct.high > pct.low) {
        text_add(t, " to ");
        text_add_real(t, pct.high, pct.high < 1 ? 3 : 1);
    }
    text_add(t, " %");
}

static void tell_result(struct sums_dose *d)
{
    struct text *t = &d->line.result;

    if (d->record_only) {
        text_add(t, "recorded, never reckoned");
        d->line.record_only = true;
        return;
    }
    if (d->amount.estimated && d->amount.unit != AMOUNT_NONE)
        text_add(t, "about ");
    if (d->amount.unit == AMOUNT_WOF_PCT) {
        sums_add_grams(t, d->g, d->ounces);
    } else if (d->amount.unit == AMOUNT_PER_FIBRE) {
        sums_add_grams(t, d->g, d->ounces);
        text_add(t, ", ");
        add_pct(t, d->pct);
    } else if (!isnan(d->pct.low)) {
        add_pct(t, d->pct);
    } else if (d->amount.unit == AMOUNT_ML) {
        char line[200];
        amount_echo(&d->amount, (double)NAN, line, sizeof line);
        text_reset(t);
        text_add(t, line);
    } else if (text_same(d->name, "none")) {
        text_add(t, "nothing to weigh");
    } else if (!d->words) {
        text_add(t, "say how much");
    } else {
        text_reset(t);
        text_add(t, "percent not known");
    }
}

/* "9 g on 75 g", "50 g on 100 g, fresh": the state stands behind a comma. */
static void add_on(struct text *t, const struct sums_dose *d, const char *echo)
{
    size_t n = strcspn(echo, ",");

    text_add_n(t, echo, n);
    if (d->amount.unit == AMOUNT_ML) {
        text_add(t, " by spoon, ");
        sums_add_grams(t, d->g, d->ounces);
    }
    text_add(t, " on ");
    sums_add_grams(t, d->fibre, false);
    text_add(t, echo + n);
}

static void tell_understood(struct sums_dose *d)
{
    bool back = d->amount.unit == AMOUNT_G || d->amount.unit == AMOUNT_ML;
    struct text t = {0};
    char line[200];

    if (!d->words || d->record_only ||
        (d->amount.unit == AMOUNT_ML && isnan(d->pct.low)))
        return; /* the result says it */
    if (d->amount.unit == AMOUNT_WORDS || d->amount.unit == AMOUNT_NONE) {
        sums_note(&d->line, "\"%.100s\": no number to reckon with", d->words);
        return;
    }
    amount_echo(&d->amount, (double)NAN, line, sizeof line);
    if (!isnan(d->pct.low) && (back || d->on_part))
        add_on(&t, d, line);
    else
        text_add(&t, line);
    sums_note(&d->line, "%s", text_str(&t));
    text_clear(&t);
    if (back && is_dyestuff(d) && !isnan(d->pct.low)) {
        struct amount ratio = {.unit = AMOUNT_PER_FIBRE,
                               .low = d->pct.low / 100,
                               .high = d->pct.high / 100,
                               .sides_stated = true};
        amount_echo(&ratio, (double)NAN, line, sizeof line);
        sums_note(&d->line, "%s", line);
    }
}

static void tell_usual(struct sums_dose *d)
{
    const struct substance_usual *u = substance_usual(d->name);
    struct text t = {0};

    if (!u || d->record_only)
        return;
    if (substance_question(d->name, d->pct.low, d->pct.high, NULL, &t)) {
        sums_note(&d->line, "%s", text_str(&t));
        sums_note(&d->line, "that is %s", u->source);
        text_clear(&t);
        return;
    }
    add_pct(&t, (struct sums_range){u->low_pct, u->high_pct});
    text_add(&t, " is usual");
    if (!d->words) {
        text_add(&t, ": ");
        sums_add_grams(
            &t,
            (struct sums_range){wof_grams(u->low_pct, d->fibre.low),
                                wof_grams(u->high_pct, d->fibre.high)},
            d->ounces);
    }
    sums_note(&d->line, "%s (%s)", text_str(&t), u->source);
    text_clear(&t);
}

/* Stock that holds it: as asked for, or since the scale is too coarse. A
 * plant is no salt to be dissolved. */
static void tell_stock(struct sums_dose *d, double scale_g)
{
    bool coarse = scale_too_coarse(d->g.low, scale_g), asked;
    double pct = d->stock_pct;
    struct text t = {0};

    asked = !isnan(pct);
    if (!(d->g.low > 0) || (!asked && !coarse))
        return;
    if (coarse)
        sums_note(&d->line, "too little for a scale that shows %g g: use a %s",
                  scale_g, asked || !is_dyestuff(d) ? "solution" : "finer one");
    if (!asked && is_dyestuff(d))
        return;
    if (!asked)
        pct = d->g.low < 1 ? 1 : 10;
    amount_add_range(&t, stock_ml(d->g.low, pct), stock_ml(d->g.high, pct));
    sums_note(&d->line, "%s ml of a %g %% stock (%g g made up to 100 ml)",
              text_str(&t), pct, pct);
    text_clear(&t);
}

/* Fresh weighs more than dry: always an estimate. */
static void tell_fresh(struct sums_dose *d)
{
    bool mushroom = substance_is_mushroom(d->name), said;
    double per = d->fresh_per_dry;
    struct text t = {0};

    said = !isnan(per);
    if (!said && mushroom)
        per = MUSHROOM_FRESH_PER_DRY;
    if (isnan(d->g.low))
        return;
    if (said && d->amount.state != AMOUNT_FRESH) {
        text_add(&t, "that is dry; fresh about ");
        sums_add_grams(&t, (struct sums_range){d->g.low * per, d->g.high * per},
                       d->ounces);
        sums_note(&d->line, "%s, an estimate: %g times as much", text_str(&t),
                  per);
        text_clear(&t);
        return;
    }
    if (d->amount.state != AMOUNT_FRESH)
        return;
    if (isnan(per)) {
        sums_note(&d->line,
                  "what it weighs dry is not known; say fresh-per-dry "
                  "if you know it");
        return;
    }
    text_add(&t, "dry about ");
    sums_add_grams(&t,
                   (struct sums_range){dry_grams(d->g.low, per),
                                       dry_grams(d->g.high, per)},
                   d->ounces);
    text_addf(&t, ", an estimate: fresh weighs %g times as much", per);
    if (!said)
        text_add(&t, " (common practice, no source)");
    sums_note(&d->line, "%s", text_str(&t));
    text_clear(&t);
}

/* Soda ash and washing-soda crystals stand in for each other. */
static void tell_soda(struct sums_dose *d)
{
    bool ash = text_contains(d->name, "soda ash");
    bool crystals =
        text_contains(d->name, "crystals") && text_contains(d->name, "soda");
    struct text t = {0};
    struct sums_range g;

    if ((!ash && !crystals) || isnan(d->g.low))
        return;
    g.low = ash ? soda_crystals_g(d->g.low) : soda_ash_g(d->g.low);
    g.high = ash ? soda_crystals_g(d->g.high) : soda_ash_g(d->g.high);
    sums_add_grams(&t, g, d->ounces);
    sums_note(&d->line, "as %s: %s", ash ? "washing-soda crystals" : "soda ash",
              text_str(&t));
    text_clear(&t);
}

/* The same name is sold in other strengths; grams that were said are those of
 * the form at hand. */
static void tell_form(struct sums_dose *d)
{
    struct text t = {0};
    struct salt_form form;

    if (isnan(d->g.low) || d->amount.unit != AMOUNT_WOF_PCT ||
        !salt_form(d->name, &form))
        return;
    sums_add_grams(
        &t, (struct sums_range){d->g.low * form.low_g, d->g.high * form.high_g},
        d->ounces);
    sums_note(&d->line, "as %s: %s, as much %s", form.other, text_str(&t),
              form.metal);
    text_clear(&t);
}

/* What each later bath makes of the percentage, since nothing is added. */
static void tell_later(struct sums_dose *d, const struct sums_fibre *fibre)
{
    struct sums_range sum = d->fibre;
    struct text t = {0};

    if (!is_dyestuff(d) || isnan(d->g.low) || !fibre->laters)
        return;
    text_add(&t, "on all the fibre so far: first bath ");
    add_pct(&t, d->pct);
    for (size_t i = 0; i < fibre->laters; i++) {
        sum.low += fibre->later[i].low;
        sum.high += fibre->later[i].high;
        text_addf(&t, ", exhaust %zu ", i + 1);
        add_pct(&t, (struct sums_range){wof_pct(d->g.low, sum.high),
                                        wof_pct(d->g.high, sum.low)});
    }
    sums_note(&d->line, "%s", text_str(&t));
    text_clear(&t);
}

/* ---- the whole --------------------------------------------------------------
 */

static bool read_dose(const char *words, const char *role, struct sums_dose *d,
                      struct error *err)
{
    if (!parts_read(words, role, NULL, &d->parts, err))
        return false;
    if (!d->parts.first)
        return dose_nameless(words, role, err);
    return dose_split(d->parts.first, role, NULL, NULL, &d->name, &d->words,
                      err);
}

bool sums_dose_read(const char *words, const char *role,
                    const struct sums_fibre *fibre, struct sums_dose *out,
                    struct error *err)
{
    struct error why;

    *out = (struct sums_dose){.role = role,
                              .fibre = fibre->g,
                              .ounces = fibre->ounces,
                              .stock_pct = (double)NAN,
                              .fresh_per_dry = (double)NAN};
    if (!read_dose(words, role, out, err))
        return false;
    if (!take_values(out, fibre, &why) || !read_amount(out, &why))
        return error_set(err, why.kind, "%s %s: %s", role, out->name, why.text);
    out->record_only = substance_record_only(out->name, NULL);
    reckon_it(out);
    sums_call(&out->line, out->name);
    tell_result(out);
    tell_understood(out);
    tell_usual(out);
    tell_stock(out, fibre->scale_g);
    tell_fresh(out);
    tell_soda(out);
    tell_form(out);
    tell_later(out, fibre);
    return true;
}

void sums_dose_clear(struct sums_dose *d)
{
    free(d->parts.bytes);
    sums_line_clear(&d->line);
}

void sums_dose_json(const struct sums_dose *d, struct json *j)
{
    const struct substance_usual *u =
        d->record_only ? NULL : substance_usual(d->name);

    json_add_object(j, NULL);
    json_add_string(j, "role", d->role);
    json_add_string(j, "name", d->name);
    json_add_string(j, "amount", d->words);
    json_add_real(j, "fibre_low_g", d->fibre.low, 4);
    json_add_real(j, "fibre_high_g", d->fibre.high, 4);
    json_add_real(j, "low_g", d->g.low, 4);
    json_add_real(j, "high_g", d->g.high, 4);
    json_add_real(j, "low_wof_pct", d->pct.low, 4);
    json_add_real(j, "high_wof_pct", d->pct.high, 4);
    json_add_real(j, "usual_low_pct", u ? u->low_pct : (double)NAN, 4);
    json_add_real(j, "usual_high_pct", u ? u->high_pct : (double)NAN, 4);
    json_add_string(j, "usual_source", u ? u->source : NULL);
    json_add_bool(j, "record_only", d->record_only);
    sums_line_json(&d->line, j);
    json_end(j);
}
