/* hanklab reckon: weights, percentages and water before the pot is lit. */
#include "cli/commands.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "cli/reckon.h"
#include "dye/caution.h"
#include "dye/reckon.h"
#include "dye/substance.h"

/* Everything that was asked, reckoned. */
struct sums {
    struct reckon_fibre fibre;
    struct reckon_line fibre_line, total_line;
    struct reckon_dose *dose;
    size_t doses;
    struct reckon_water water;
    struct reckon_pot pot;
    struct reckon_stock *stock;
    size_t stocks;
    struct reckon_line *unit;
    size_t units;
};

static const char *const roles[] = {"mordant", "assist", "dyestuff",
                                    "acid",    "alkali", "dip"};

/* ---- reading ----------------------------------------------------------------
 */

static bool take_weights(const struct cli *cli, struct sums *s,
                         struct error *err)
{
    struct reckon_range one, sum = {0, 0};
    struct text said = {0};
    const char *words;
    size_t n = 0;
    bool ok = true;

    for (; ok && (words = cli_nth(cli, "weight", n)); n++) {
        ok = reckon_weight(words, "weight", &one, &s->fibre.ounces, err);
        sum.low += one.low;
        sum.high += one.high;
        text_addf(&said, "%s%s", n ? " + " : "", words);
    }
    if (ok && n) {
        s->fibre.g = sum;
        reckon_call(&s->fibre_line, "fibre");
        reckon_add_grams(&s->fibre_line.result, sum, s->fibre.ounces);
        text_add(&s->fibre_line.result, ", dry");
        if (n > 1 ||
            !text_contains(text_str(&s->fibre_line.result), text_str(&said)))
            reckon_note(&s->fibre_line, "from %s", text_str(&said));
    }
    text_clear(&said);
    return ok;
}

static bool take_later(const struct cli *cli, struct sums *s, struct error *err)
{
    struct reckon_fibre *f = &s->fibre;
    const char *words;

    for (; (words = cli_nth(cli, "exhaust", f->laters)); f->laters++) {
        f->later = mem_resize(f->later, f->laters + 1, sizeof *f->later);
        if (!reckon_weight(words, "exhaust", &f->later[f->laters], &f->ounces,
                           err))
            return false;
    }
    return true;
}

static bool take_scale(const struct cli *cli, struct sums *s, struct error *err)
{
    const char *words = cli_value(cli, "scale");
    struct reckon_range step = {1, 1};
    bool ounces = false;

    if (words && !reckon_weight(words, "scale", &step, &ounces, err))
        return false;
    s->fibre.scale_g = step.high;
    return true;
}

static bool take_doses(const struct cli *cli, struct sums *s, struct error *err)
{
    const char *words;

    for (size_t i = 0; i < ARRAY_LEN(roles); i++)
        for (size_t n = 0; (words = cli_nth(cli, roles[i], n)); n++) {
            s->dose = mem_resize(s->dose, s->doses + 1, sizeof *s->dose);
            if (!reckon_dose_read(words, roles[i], &s->fibre,
                                  &s->dose[s->doses++], err))
                return false;
        }
    return true;
}

static bool take_liquor(const struct cli *cli, struct sums *s,
                        struct error *err)
{
    const char *water = cli_value(cli, "water"), *pot = cli_value(cli, "pot");

    return (!water || reckon_water(water, &s->fibre, &s->water, err)) &&
           (!pot || reckon_pot(pot, &s->water, &s->fibre, &s->pot, err));
}

static bool take_others(const struct cli *cli, struct sums *s,
                        struct error *err)
{
    const char *words;

    for (; (words = cli_nth(cli, "stock", s->stocks)); s->stocks++) {
        s->stock = mem_resize(s->stock, s->stocks + 1, sizeof *s->stock);
        s->stock[s->stocks] = (struct reckon_stock){0};
        if (!reckon_stock(words, &s->stock[s->stocks], err)) {
            reckon_line_clear(&s->stock[s->stocks].line);
            return false;
        }
    }
    for (; s->units < cli->word_count; s->units++) {
        s->unit = mem_resize(s->unit, s->units + 1, sizeof *s->unit);
        s->unit[s->units] = (struct reckon_line){0};
        if (!reckon_units(cli->word[s->units], &s->unit[s->units], err)) {
            reckon_line_clear(&s->unit[s->units]);
            return false;
        }
    }
    return true;
}

/* All dyestuffs of one pot together, when there are several of known weight
 * and fresh ones do not stand beside dry ones. */
static void add_up(struct sums *s)
{
    struct reckon_range g = {0, 0}, pct = {0, 0};
    struct text *t = &s->total_line.result;
    enum amount_state state = AMOUNT_AS_SAID;
    bool alike = true;
    size_t n = 0;

    for (size_t i = 0; i < s->doses; i++) {
        const struct reckon_dose *d = &s->dose[i];
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
    reckon_call(&s->total_line, "all dyestuffs");
    reckon_add_grams(t, g, s->fibre.ounces);
    text_add(t, ", ");
    amount_add_range(t, pct.low, pct.high);
    text_add(t, " %");
}

/* ---- telling ----------------------------------------------------------------
 */

static const struct reckon_line *line_at(const struct sums *s, size_t i)
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

static void tell_text(const struct sums *s, struct text *out)
{
    const struct reckon_line *line;
    int width = 0;

    for (size_t i = 0; (line = line_at(s, i)); i++)
        if (text_width(text_str(&line->label)) > width)
            width = text_width(text_str(&line->label));
    for (size_t i = 0; (line = line_at(s, i)); i++) {
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
                       struct reckon_range r)
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
        reckon_line_json(&s->water.line, j);
        json_end(j);
    } else {
        json_add_null(j, "water");
    }
    if (s->pot.line.label.len) {
        json_add_object(j, "pot");
        json_add_real(j, "volume_l", s->pot.litres, 4);
        json_add_real(j, "most_fibre_g", s->pot.most_g, 4);
        reckon_line_json(&s->pot.line, j);
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
        reckon_line_json(&s->stock[i].line, j);
        json_end(j);
    }
    json_end(j);
    json_add_array(j, "units");
    for (size_t i = 0; i < s->units; i++) {
        json_add_object(j, NULL);
        json_add_string(j, "words", text_str(&s->unit[i].label));
        reckon_line_json(&s->unit[i], j);
        json_end(j);
    }
    json_end(j);
}

static void tell_json(const struct sums *s, const struct text *cautions,
                      struct text *out)
{
    struct json j = json_to(out);

    json_add_object(&j, NULL);
    if (s->fibre_line.label.len) {
        json_add_object(&j, "fibre");
        json_range(&j, "low_g", "high_g", s->fibre.g);
        reckon_line_json(&s->fibre_line, &j);
        json_end(&j);
    } else {
        json_add_null(&j, "fibre");
    }
    json_add_array(&j, "doses");
    for (size_t i = 0; i < s->doses; i++)
        reckon_dose_json(&s->dose[i], &j);
    json_end(&j);
    json_add_string(&j, "all_dyestuffs",
                    s->total_line.label.len ? text_str(&s->total_line.result)
                                            : NULL);
    tell_liquor_json(s, &j);
    tell_others_json(s, &j);
    reckon_lines_json(cautions, "cautions", &j);
    json_add_string(&j, "caution", cautions->len ? caution_closing : NULL);
    json_end(&j);
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

static void add_cautions(const struct sums *s, struct text *out)
{
    const struct caution *c[CAUTION_MAX];
    bool saddens = false, alum = false;

    for (size_t i = 0; i < s->doses; i++) {
        const struct reckon_dose *d = &s->dose[i];
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

/* ---- the command ------------------------------------------------------------
 */

static bool check(struct cli *cli, const struct sums *s, struct error *err)
{
    bool dose = false;

    for (size_t i = 0; i < ARRAY_LEN(roles); i++)
        dose = dose || cli_has(cli, roles[i]);
    if (isnan(s->fibre.g.low) && (dose || cli_has(cli, "exhaust")))
        return cli_usage(cli, err,
                         "say the dry weight of the fibre: --weight \"85 g\"");
    if (cli_has(cli, "exhaust") && !cli_has(cli, "dyestuff"))
        return cli_usage(cli, err,
                         "an exhaust needs a dyestuff: --dyestuff \"madder: "
                         "200 g\"");
    if (cli_has(cli, "pot") && !cli_has(cli, "water"))
        return cli_usage(cli, err,
                         "a pot needs a liquor ratio: --water \"30:1\"");
    if (isnan(s->fibre.g.low) && cli_has(cli, "water") && !cli_has(cli, "pot"))
        return cli_usage(cli, err,
                         "say the dry weight of the fibre, or how far the pot "
                         "is filled: --weight \"85 g\" or --pot \"6 l\"");
    if (isnan(s->fibre.g.low) && !cli_has(cli, "water") &&
        !cli_has(cli, "stock") && !cli->word_count)
        return cli_usage(cli, err,
                         "say what to reckon: --weight \"85 g\" --mordant "
                         "\"alum: 12 %%\"; see \"hanklab reckon --help\"");
    return true;
}

static void clear(struct sums *s)
{
    for (size_t i = 0; i < s->doses; i++)
        reckon_dose_clear(&s->dose[i]);
    for (size_t i = 0; i < s->stocks; i++)
        reckon_line_clear(&s->stock[i].line);
    for (size_t i = 0; i < s->units; i++)
        reckon_line_clear(&s->unit[i]);
    reckon_line_clear(&s->fibre_line);
    reckon_line_clear(&s->total_line);
    reckon_line_clear(&s->water.line);
    reckon_line_clear(&s->pot.line);
    free(s->dose);
    free(s->stock);
    free(s->unit);
    free(s->fibre.later);
}

static void tell(struct cli *cli, const struct sums *s)
{
    struct text cautions = {0};

    add_cautions(s, &cautions);
    if (cautions.len)
        cli_note("%s%s", text_str(&cautions), caution_closing);
    if (cli->json)
        tell_json(s, &cautions, &cli->out);
    else
        tell_text(s, &cli->out);
    text_clear(&cautions);
}

static bool run(struct cli *cli, struct error *err)
{
    struct sums s = {.fibre.g = {(double)NAN, (double)NAN}};
    bool ok = take_scale(cli, &s, err) && take_weights(cli, &s, err) &&
              check(cli, &s, err) && take_later(cli, &s, err) &&
              take_doses(cli, &s, err) && take_liquor(cli, &s, err) &&
              take_others(cli, &s, err);

    if (ok) {
        add_up(&s);
        tell(cli, &s);
    }
    clear(&s);
    return ok;
}

static const struct cli_option options[] = {
    {"weight", "WEIGHT", "dry weight of the fibre, also 6 x 20 g", CLI_MANY},
    {"mordant", "DOSE", "\"alum: 12 %\"; \"alum: 9 g\" gives the percent",
     CLI_MANY},
    {"assist", "DOSE", "\"cream of tartar: 6 %\"", CLI_MANY},
    {"dyestuff", "DOSE", "\"madder: 2:1\", \"weld: 60 g\"", CLI_MANY},
    {"acid", "DOSE", "\"citric acid: 2 %\"", CLI_MANY},
    {"alkali", "DOSE", "\"soda ash: 2 %\"", CLI_MANY},
    {"dip", "DOSE", "\"iron: 2 %\"", CLI_MANY},
    {"water", "WATER", "30:1, 30 l per kg; \"3 l\" gives the ratio"},
    {"pot", "VOLUME", "how far a pot is filled: 6 l; how much fibre it takes"},
    {"exhaust", "WEIGHT", "dry weight of the fibre in the next exhaust",
     CLI_MANY},
    {"stock", "STOCK", "\"1 l of 10 %\", \"250 ml of 2 % from 10 %\"",
     CLI_MANY},
    {"scale", "WEIGHT", "the step of your scale, 1 g if not said"},
};

const struct cli_command command_reckon = {
    "reckon",
    "[AMOUNT]...",
    "reckon weights, percentages and water; keeps nothing",
    "Percent is of the dry weight of all the fibre. An AMOUNT is told in the\n"
    "other units: \"1 3/4 oz\", \"180 F\".\n"
    "\n"
    "What goes in is a name and how much, \"alum: 12 %\", with more behind\n"
    "semicolons: on=18 g (for a part of the fibre), stock=10 % (from a stock\n"
    "solution, grams in 100 ml), fresh-per-dry=10. A percentage or a ratio "
    "gives grams, grams give the\n"
    "percentage; without an amount the usual range is told.",
    options,
    ARRAY_LEN(options),
    0,
    SIZE_MAX,
    run,
};
