/* What to weigh, the whole of it. See dye/sums.h. */
#include "dye/sums.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "dye/caution.h"
#include "dye/reckon.h"
#include "dye/substance.h"

/* Everything that was asked, reckoned. */
struct sums {
    struct sums_fibre fibre;
    struct sums_line fibre_line, total_line;
    struct sums_dose *dose;
    size_t doses;
    struct sums_water water;
    struct sums_pot pot;
    struct sums_stock *stock;
    size_t stocks;
    struct sums_line *unit;
    size_t units;
};

struct asked {
    const struct sums_said *said;
    size_t n;
};

/* The nth words of that name, or NULL. */
static const char *nth(struct asked a, const char *name, size_t n)
{
    for (size_t i = 0; i < a.n; i++)
        if (!strcmp(a.said[i].name, name) && n-- == 0)
            return a.said[i].words;
    return NULL;
}

static bool has(struct asked a, const char *name)
{
    return nth(a, name, 0) != NULL;
}

static const char *const roles[] = {"mordant", "assist", "dyestuff",
                                    "acid",    "alkali", "dip"};

/* ---- reading ----------------------------------------------------------------
 */

static bool take_weights(struct asked a, struct sums *s, struct error *err)
{
    struct sums_range one, sum = {0, 0};
    struct text said = {0};
    const char *words;
    size_t n = 0;
    bool ok = true;

    for (; ok && (words = nth(a, "weight", n)); n++) {
        ok = sums_weight(words, "weight", &one, &s->fibre.ounces, err);
        sum.low += one.low;
        sum.high += one.high;
        text_addf(&said, "%s%s", n ? " + " : "", words);
    }
    if (ok && n) {
        s->fibre.g = sum;
        sums_call(&s->fibre_line, "fibre");
        sums_add_grams(&s->fibre_line.result, sum, s->fibre.ounces);
        text_add(&s->fibre_line.result, ", dry");
        if (n > 1 ||
            !text_contains(text_str(&s->fibre_line.result), text_str(&said)))
            sums_note(&s->fibre_line, "from %s", text_str(&said));
    }
    text_clear(&said);
    return ok;
}

static bool take_later(struct asked a, struct sums *s, struct error *err)
{
    struct sums_fibre *f = &s->fibre;
    const char *words;

    for (; (words = nth(a, "exhaust", f->laters)); f->laters++) {
        f->later = mem_resize(f->later, f->laters + 1, sizeof *f->later);
        if (!sums_weight(words, "exhaust", &f->later[f->laters], &f->ounces,
                         err))
            return false;
    }
    return true;
}

static bool take_scale(struct asked a, struct sums *s, struct error *err)
{
    const char *words = nth(a, "scale", 0);
    struct sums_range step = {1, 1};
    bool ounces = false;

    if (words && !sums_weight(words, "scale", &step, &ounces, err))
        return false;
    s->fibre.scale_g = step.high;
    return true;
}

static bool take_doses(struct asked a, struct sums *s, struct error *err)
{
    const char *words;

    for (size_t i = 0; i < ARRAY_LEN(roles); i++)
        for (size_t n = 0; (words = nth(a, roles[i], n)); n++) {
            s->dose = mem_resize(s->dose, s->doses + 1, sizeof *s->dose);
            if (!sums_dose_read(words, roles[i], &s->fibre,
                                &s->dose[s->doses++], err))
                return false;
        }
    return true;
}

static bool take_liquor(struct asked a, struct sums *s, struct error *err)
{
    const char *water = nth(a, "water", 0), *pot = nth(a, "pot", 0);

    return (!water || sums_water(water, &s->fibre, &s->water, err)) &&
           (!pot || sums_pot(pot, &s->water, &s->fibre, &s->pot, err));
}

static bool take_others(struct asked a, struct sums *s, struct error *err)
{
    const char *words;

    for (; (words = nth(a, "stock", s->stocks)); s->stocks++) {
        s->stock = mem_resize(s->stock, s->stocks + 1, sizeof *s->stock);
        s->stock[s->stocks] = (struct sums_stock){0};
        if (!sums_stock(words, &s->stock[s->stocks], err)) {
            sums_line_clear(&s->stock[s->stocks].line);
            return false;
        }
    }
    for (; (words = nth(a, "unit", s->units)); s->units++) {
        s->unit = mem_resize(s->unit, s->units + 1, sizeof *s->unit);
        s->unit[s->units] = (struct sums_line){0};
        if (!sums_units(words, &s->unit[s->units], err)) {
            sums_line_clear(&s->unit[s->units]);
            return false;
        }
    }
    return true;
}

/* All dyestuffs of one pot together, when there are several of known weight
 * and fresh ones do not stand beside dry ones. */
static void add_up(struct sums *s)
{
    struct sums_range g = {0, 0}, pct = {0, 0};
    struct text *t = &s->total_line.result;
    enum amount_state state = AMOUNT_AS_SAID;
    bool alike = true;
    size_t n = 0;

    for (size_t i = 0; i < s->doses; i++) {
        const struct sums_dose *d = &s->dose[i];
        if (strcmp(d->role, "dyestuff") != 0)
            continue;
        if (n++ == 0)
            state = d->amount.state;
        alike = alike && state == d->amount.state;
        g.low += d->g.low;
        g.high += d->g.high;
        pct.low += d->on_part ? (double)NAN : d->pct.low;
        pct.high += d->pct.high;
    }
    if (n < 2 || !alike || isnan(g.low) || isnan(pct.low))
        return;
    sums_call(&s->total_line, "all dyestuffs");
    sums_add_grams(t, g, s->fibre.ounces);
    text_add(t, ", ");
    amount_add_range(t, pct.low, pct.high);
    text_add(t, " %");
}

/* ---- telling ----------------------------------------------------------------
 */

const struct sums_line *sums_line_at(const struct sums *s, size_t i)
{
    const size_t doses = 1 + s->doses, stocks = doses + 3 + s->stocks;

    if (i == 0)
        return &s->fibre_line;
    if (i < doses)
        return &s->dose[i - 1].line;
    if (i == doses)
        return &s->total_line;
    if (i == doses + 1)
        return &s->water.line;
    if (i == doses + 2)
        return &s->pot.line;
    if (i < stocks)
        return &s->stock[i - doses - 3].line;
    return i < stocks + s->units ? &s->unit[i - stocks] : NULL;
}

void sums_text(const struct sums *s, struct text *out)
{
    const struct sums_line *line;
    int width = 0;

    for (size_t i = 0; (line = sums_line_at(s, i)); i++)
        if (text_width(text_str(&line->label)) > width)
            width = text_width(text_str(&line->label));
    for (size_t i = 0; (line = sums_line_at(s, i)); i++) {
        if (!line->label.len)
            continue;
        text_addf(out, "%s%*s  %s\n", text_str(&line->label),
                  width - text_width(text_str(&line->label)), "",
                  text_str(&line->result));
        for (const char *p = text_str(&line->notes); *p;) {
            size_t n = strcspn(p, "\n");
            text_addf(out, "  %.*s\n", (int)n, p);
            p += n + (p[n] == '\n');
        }
    }
}

static void json_range(struct json *j, const char *low, const char *high,
                       struct sums_range r)
{
    json_add_real(j, low, r.low, 4);
    json_add_real(j, high, r.high, 4);
}

static void tell_liquor_json(const struct sums *s, struct json *j)
{
    if (s->water.line.label.len) {
        json_add_object(j, "water");
        json_range(j, "low_l", "high_l", s->water.l);
        json_range(j, "low_l_per_kg", "high_l_per_kg", s->water.l_per_kg);
        sums_line_json(&s->water.line, j);
        json_end(j);
    } else {
        json_add_null(j, "water");
    }
    if (s->pot.line.label.len) {
        json_add_object(j, "pot");
        json_add_real(j, "volume_l", s->pot.litres, 4);
        json_add_real(j, "most_fibre_g", s->pot.most_g, 4);
        sums_line_json(&s->pot.line, j);
        json_end(j);
    } else {
        json_add_null(j, "pot");
    }
}

static void tell_others_json(const struct sums *s, struct json *j)
{
    json_add_array(j, "stocks");
    for (size_t i = 0; i < s->stocks; i++) {
        json_add_object(j, NULL);
        json_add_real(j, "solute_g", s->stock[i].solute_g, 4);
        json_add_real(j, "stock_ml", s->stock[i].stock_ml, 4);
        json_add_real(j, "water_ml", s->stock[i].water_ml, 4);
        sums_line_json(&s->stock[i].line, j);
        json_end(j);
    }
    json_end(j);
    json_add_array(j, "units");
    for (size_t i = 0; i < s->units; i++) {
        json_add_object(j, NULL);
        json_add_string(j, "words", text_str(&s->unit[i].label));
        sums_line_json(&s->unit[i], j);
        json_end(j);
    }
    json_end(j);
}

void sums_json(const struct sums *s, struct text *out)
{
    struct json j = json_to(out);
    struct text cautions = {0};

    sums_cautions(s, &cautions);
    json_add_object(&j, NULL);
    if (s->fibre_line.label.len) {
        json_add_object(&j, "fibre");
        json_range(&j, "low_g", "high_g", s->fibre.g);
        sums_line_json(&s->fibre_line, &j);
        json_end(&j);
    } else {
        json_add_null(&j, "fibre");
    }
    json_add_array(&j, "doses");
    for (size_t i = 0; i < s->doses; i++)
        sums_dose_json(&s->dose[i], &j);
    json_end(&j);
    json_add_string(&j, "all_dyestuffs",
                    s->total_line.label.len ? text_str(&s->total_line.result)
                                            : NULL);
    tell_liquor_json(s, &j);
    tell_others_json(s, &j);
    sums_lines_json(&cautions, "cautions", &j);
    json_add_string(&j, "caution", cautions.len ? caution_closing : NULL);
    json_end(&j);
    text_clear(&cautions);
}

/* ---- cautions ---------------------------------------------------------------
 */

/* A line each, once each. */
static void add_caution(struct text *out, const char *who, const char *what)
{
    struct text line = {0};

    text_addf(&line, "%s: %s\n", who, what);
    if (!strstr(text_str(out), text_str(&line)))
        text_add(out, text_str(&line));
    text_clear(&line);
}

void sums_cautions(const struct sums *s, struct text *out)
{
    const struct caution *c[CAUTION_MAX];
    bool saddens = false, alum = false;

    for (size_t i = 0; i < s->doses; i++) {
        const struct sums_dose *d = &s->dose[i];
        size_t n = caution_for(d->name, NULL, c);

        for (size_t k = 0; k < n; k++)
            add_caution(out, d->name, c[k]->text);
        if (strcmp(d->role, "mordant") != 0)
            continue;
        saddens = saddens || substance_saddens(d->name);
        alum = alum || text_contains(d->name, "alum");
    }
    if (saddens && alum)
        add_caution(out, "several mordants",
                    caution_general("saddening")->text);
}

/* ---- the whole --------------------------------------------------------------
 */

static bool check(struct asked a, struct error *err)
{
    bool weight = has(a, "weight");

    for (size_t i = 0; i < ARRAY_LEN(roles); i++)
        if (has(a, roles[i]) && !weight)
            return error_set(err, ERR_INPUT,
                             "weight: say the dry weight of the fibre, such as "
                             "85 g");
    if (has(a, "exhaust") && !has(a, "dyestuff"))
        return error_set(err, ERR_INPUT,
                         "exhaust: it needs a dyestuff, such as madder: 200 g");
    if (has(a, "pot") && !has(a, "water"))
        return error_set(err, ERR_INPUT,
                         "pot: it needs a liquor ratio, such as water 30:1");
    if (has(a, "water") && !weight && !has(a, "pot"))
        return error_set(err, ERR_INPUT,
                         "water: say the dry weight of the fibre too, or how "
                         "far the pot is filled");
    return true;
}

struct sums *sums_new(const struct sums_said *said, size_t n, struct error *err)
{
    struct asked a = {said, n};
    struct sums *s = mem_new(1, sizeof *s);

    s->fibre.g = (struct sums_range){(double)NAN, (double)NAN};
    if (take_scale(a, s, err) && take_weights(a, s, err) && check(a, err) &&
        take_later(a, s, err) && take_doses(a, s, err) &&
        take_liquor(a, s, err) && take_others(a, s, err)) {
        add_up(s);
        return s;
    }
    sums_free(s);
    return NULL;
}

void sums_free(struct sums *s)
{
    if (!s)
        return;
    for (size_t i = 0; i < s->doses; i++)
        sums_dose_clear(&s->dose[i]);
    for (size_t i = 0; i < s->stocks; i++)
        sums_line_clear(&s->stock[i].line);
    for (size_t i = 0; i < s->units; i++)
        sums_line_clear(&s->unit[i]);
    sums_line_clear(&s->fibre_line);
    sums_line_clear(&s->total_line);
    sums_line_clear(&s->water.line);
    sums_line_clear(&s->pot.line);
    free(s->dose);
    free(s->stock);
    free(s->unit);
    free(s->fibre.later);
    free(s);
}
