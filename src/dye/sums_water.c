/* hanklab reckon: weights, water, stock solutions, other units. */
#include "dye/sums.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "base/parts.h"
#include "dye/reckon.h"

void sums_add_grams(struct text *t, struct sums_range g, bool ounces)
{
    amount_add_grams(t, g.low, g.high);
    if (!ounces)
        return;
    text_add(t, " = ");
    amount_add_range(t, g.low / G_PER_OZ, g.high / G_PER_OZ);
    text_add(t, " oz");
}

/* ---- weights ----------------------------------------------------------------
 */

/* "6 x ", "6 × ", "6 skeins of ": how many; the rest into *words. */
static double take_count(const char **words)
{
    static const char *const behind[] = {
        "x", "X", "*", "×", "skeins of", "skeins", "hanks of", "hanks"};
    const char *s = *words + strspn(*words, " ");
    char *end;
    double n = (double)strtoul(s, &end, 10);

    if (end == s || n < 1 || n > 1000)
        return 1;
    end += strspn(end, " ");
    for (size_t i = 0; i < ARRAY_LEN(behind); i++) {
        size_t len = strlen(behind[i]);
        if (strncmp(end, behind[i], len) || !parts_said(end + len))
            continue;
        *words = end + len;
        return n;
    }
    return 1;
}

bool sums_weight(const char *words, const char *what, struct sums_range *out,
                 bool *ounces, struct error *err)
{
    struct amount_context ctx = {AMOUNT_G, false};
    const char *each = words;
    double n = take_count(&each);
    struct error why;
    struct amount a;

    if (!amount_read(each, ctx, &a, &why))
        return error_set(err, why.kind, "%s: %s", what, why.text);
    if (a.state == AMOUNT_WET)
        return error_set(err, ERR_INPUT,
                         "%s: \"%.80s\": a wet weight says nothing sure of the "
                         "dry one; weigh it dry, or guess: \"about 60 g\"",
                         what, words);
    if (a.unit != AMOUNT_G || !(a.low > 0))
        return error_set(err, ERR_INPUT,
                         "%s: \"%.80s\" is not a weight; say it in g, kg, oz "
                         "or lb, such as 85 g",
                         what, words);
    *out = (struct sums_range){n * a.low, n * a.high};
    *ounces = *ounces || a.ounces;
    return true;
}

/* ---- water ------------------------------------------------------------------
 */

/* The two sides of "4 gal per lb", "3 l/100 g"; NULL when it is none. */
static char *behind_per(char *words)
{
    char *p = strstr(words, " per "), *slash = strchr(words, '/');

    if (p) {
        *p = '\0';
        return parts_trim(p + 5);
    }
    if (!slash || slash == words || strchr("0123456789", slash[-1]))
        return NULL; /* a fraction */
    *slash = '\0';
    return parts_trim(slash + 1);
}

static bool not_water(const char *words, struct error *err)
{
    return error_set(err, ERR_INPUT,
                     "water: \"%.80s\" cannot be read; say a liquor ratio such "
                     "as 30:1 or 30 l per kg, or how much: 3 l",
                     words);
}

static bool water_per(const char *words, struct sums_water *out, bool *is_per,
                      struct error *err)
{
    char *copy = mem_text(words), *behind = behind_per(copy);
    struct amount_context none = {AMOUNT_COUNT, false};
    struct amount litres, fibre;
    struct text one = {0};
    bool ok = true;

    *is_per = behind != NULL;
    if (!behind)
        goto done;
    if (!strchr("0123456789.", behind[0]))
        text_add(&one, "1 ");
    text_add(&one, behind);
    ok = amount_read(copy, none, &litres, err) &&
         amount_read(text_str(&one), none, &fibre, err) &&
         litres.unit == AMOUNT_ML && fibre.unit == AMOUNT_G && fibre.low > 0;
    if (ok) {
        out->l_per_kg.low = liquor_l_per_kg(litres.low / 1000, fibre.high);
        out->l_per_kg.high = liquor_l_per_kg(litres.high / 1000, fibre.low);
    } else {
        not_water(words, err);
    }

done:
    text_clear(&one);
    free(copy);
    return ok;
}

/* "30:1" as water to fibre; the larger side is the water. */
static void water_ratio(const struct amount *a, struct sums_water *out)
{
    bool turn = a->high < 1;

    out->l_per_kg.low = turn ? 1 / a->high : a->low;
    out->l_per_kg.high = turn ? 1 / a->low : a->high;
    if (turn)
        sums_note(&out->line, "read with the water as the larger side");
}

static void add_gallons(struct text *t, struct sums_range l)
{
    text_add(t, " = ");
    amount_add_range(t, l.low / L_PER_US_GAL, l.high / L_PER_US_GAL);
    text_add(t, " US or ");
    amount_add_range(t, l.low / L_PER_IMP_GAL, l.high / L_PER_IMP_GAL);
    text_add(t, " imperial gallons");
}

static void tell_water(struct sums_water *w, const struct sums_fibre *fibre,
                       bool back)
{
    struct text t = {0};

    sums_call(&w->line, "water");
    if (!back && !isnan(w->l.low)) {
        amount_add_range(&w->line.result, w->l.low, w->l.high);
        text_add(&w->line.result, " l");
        if (fibre->ounces)
            add_gallons(&w->line.result, w->l);
    } else {
        amount_add_range(&w->line.result, w->l_per_kg.low, w->l_per_kg.high);
        text_add(&w->line.result, " l per kg of dry fibre");
    }
    if (back) {
        amount_add_range(&t, w->l.low, w->l.high);
        text_add(&t, " l on ");
        amount_add_range(&t, fibre->g.low, fibre->g.high);
        text_add(&t, " g");
    } else {
        amount_add_range(&t, w->l_per_kg.low, w->l_per_kg.high);
        text_add(&t, ":1 water to fibre: so many litres per kg of dry fibre");
    }
    sums_note(&w->line, "%s", text_str(&t));
    text_clear(&t);
}

bool sums_water(const char *words, const struct sums_fibre *fibre,
                struct sums_water *out, struct error *err)
{
    struct amount_context none = {AMOUNT_COUNT, false};
    struct amount a = {.unit = AMOUNT_PER_FIBRE};
    struct error why;
    bool is_per;

    if (!water_per(words, out, &is_per, err))
        return false;
    if (!is_per && !amount_read(words, none, &a, &why))
        return error_set(err, ERR_INPUT, "water: %s", why.text);
    if (a.unit != AMOUNT_PER_FIBRE && a.unit != AMOUNT_ML)
        return not_water(words, err);
    if (!is_per && a.unit == AMOUNT_PER_FIBRE)
        water_ratio(&a, out);
    if (a.unit == AMOUNT_ML) {
        if (isnan(fibre->g.low))
            return error_set(err, ERR_INPUT,
                             "water: \"%.80s\" gives a ratio only with "
                             "--weight",
                             words);
        out->l = (struct sums_range){a.low / 1000, a.high / 1000};
        out->l_per_kg.low = liquor_l_per_kg(out->l.low, fibre->g.high);
        out->l_per_kg.high = liquor_l_per_kg(out->l.high, fibre->g.low);
    } else {
        out->l.low = liquor_l(out->l_per_kg.low, fibre->g.low);
        out->l.high = liquor_l(out->l_per_kg.high, fibre->g.high);
    }
    tell_water(out, fibre, a.unit == AMOUNT_ML);
    return true;
}

bool sums_pot(const char *words, const struct sums_water *water,
              const struct sums_fibre *fibre, struct sums_pot *out,
              struct error *err)
{
    struct amount_context none = {AMOUNT_COUNT, false};
    struct text *t = &out->line.result;
    struct error why;
    struct amount a;

    if (!amount_read(words, none, &a, &why))
        return error_set(err, ERR_INPUT, "pot: %s", why.text);
    if ((a.unit != AMOUNT_ML && a.unit != AMOUNT_COUNT) || !(a.low > 0))
        return error_set(err, ERR_INPUT,
                         "pot: \"%.80s\" is not a volume; say how far it is "
                         "filled, such as 6 l",
                         words);
    out->litres = a.unit == AMOUNT_ML ? a.low / 1000 : a.low;
    out->most_g = liquor_fibre_g(out->litres, water->l_per_kg.high);
    sums_call(&out->line, "pot");
    text_add(t, "takes ");
    sums_add_grams(t, (struct sums_range){out->most_g, out->most_g},
                   fibre->ounces);
    text_add(t, " of fibre at most");
    if (fibre->g.high > out->most_g)
        sums_note(&out->line, "too small for this fibre: a larger pot, or "
                              "more than one go");
    return true;
}

/* ---- stock solutions --------------------------------------------------------
 */

static bool read_as(const char *words, enum amount_unit unit, double *out,
                    struct error *err)
{
    struct amount_context none = {AMOUNT_COUNT, false};
    struct amount a;

    if (!amount_read(words, none, &a, err) || a.unit != unit ||
        a.low != a.high || !(a.low > 0))
        return error_set(
            err, ERR_INPUT,
            "stock: \"%.60s\" cannot be read; say \"1 l of 10 %%\" "
            "or \"250 ml of 2 %% from 10 %%\"",
            words);
    *out = a.low;
    return true;
}

/* Takes what is said of the meaning off the end of a percentage. */
static enum stock_meaning take_meaning(char *pct)
{
    static const struct {
        const char *words;
        enum stock_meaning meaning;
    } said[] = {
        {" in all", STOCK_WW},       {" w/w", STOCK_WW},
        {" into water", STOCK_INTO}, {" into", STOCK_INTO},
        {" made up to", STOCK_WV},   {" w/v", STOCK_WV},
    };

    for (size_t i = 0; i < ARRAY_LEN(said); i++) {
        char *at = strstr(pct, said[i].words);
        if (!at || at[strlen(said[i].words)])
            continue;
        *at = '\0';
        return said[i].meaning;
    }
    return STOCK_WV;
}

/* What makes size of it: ml, in all g. */
static void tell_making(struct sums_stock *s, enum stock_meaning meaning,
                        double pct, double size)
{
    static const char *const read_as[] = {
        [STOCK_WV] = "in 100 ml of the finished solution",
        [STOCK_WW] = "in 100 g in all",
        [STOCK_INTO] = "into 100 ml of water",
    };
    struct stock made = stock_make(meaning, pct, size);
    struct text *t = &s->line.result;

    s->solute_g = made.solute_g;
    s->water_ml = made.water_g;
    amount_add_range(t, made.solute_g, made.solute_g);
    text_add(t, meaning == STOCK_WV   ? " g, dissolved and made up to "
                : meaning == STOCK_WW ? " g and "
                                      : " g into ");
    size = meaning == STOCK_WV ? made.up_to_ml : made.water_g;
    amount_add_range(t, size, size);
    text_add(t, meaning == STOCK_WV   ? " ml"
                : meaning == STOCK_WW ? " g of water"
                                      : " ml of water");
    sums_note(&s->line, "%g %% is read as %g g %s", pct, pct, read_as[meaning]);
}

static void tell_thinning(struct sums_stock *s, double pct, double from_pct,
                          double ml)
{
    struct text *t = &s->line.result;

    s->solute_g = stock_make(STOCK_WV, pct, ml).solute_g;
    s->stock_ml = stock_dilute_ml(ml, pct, from_pct);
    s->water_ml = ml - s->stock_ml;
    amount_add_range(t, s->stock_ml, s->stock_ml);
    text_add(t, " ml of the ");
    text_add_real(t, from_pct, 2);
    text_add(t, " % and ");
    amount_add_range(t, s->water_ml, s->water_ml);
    text_add(t, " ml of water, holding ");
    amount_add_range(t, s->solute_g, s->solute_g);
    text_add(t, " g");
    sums_note(&s->line,
              "%g %% is read as %g g in 100 ml of the finished solution", pct,
              pct);
}

/* "1 l", of which a percentage is made; in grams when that is in all. */
static bool read_size(const char *words, enum stock_meaning meaning,
                      double *size, struct error *err)
{
    struct error why;

    if (meaning != STOCK_WW)
        return read_as(words, AMOUNT_ML, size, err);
    return read_as(words, AMOUNT_G, size, &why) ||
           error_set(err, ERR_INPUT,
                     "stock: \"%.60s\" in all is a weight; say \"1 kg of 10 %% "
                     "in all\"",
                     words);
}

bool sums_stock(const char *words, struct sums_stock *out, struct error *err)
{
    char *copy = mem_text(words), *of = strstr(copy, " of "), *from = NULL;
    enum stock_meaning meaning = STOCK_WV;
    double size = 0, pct = 0, from_pct = (double)NAN;
    bool ok;

    out->solute_g = out->stock_ml = out->water_ml = (double)NAN;
    sums_call(&out->line, "stock");
    if (of) {
        *of = '\0';
        from = strstr(of + 1, " from ");
    }
    if (from)
        *from = '\0';
    else if (of)
        meaning = take_meaning(of + 4);
    ok = read_size(of ? copy : words, meaning, &size, err) &&
         read_as(of ? of + 4 : words, AMOUNT_WOF_PCT, &pct, err) &&
         (!from || read_as(from + 6, AMOUNT_WOF_PCT, &from_pct, err));
    if (ok && (pct > 100 || from_pct > 100 || pct > from_pct))
        ok = error_set(err, ERR_INPUT,
                       "stock: \"%.60s\": it cannot be stronger than what it "
                       "is made from",
                       words);
    if (ok && from)
        tell_thinning(out, pct, from_pct, size);
    else if (ok)
        tell_making(out, meaning, pct, size);
    free(copy);
    return ok;
}

/* ---- other units ------------------------------------------------------------
 */

static void add_two(struct text *t, double low, double high, double unit,
                    const char *name)
{
    text_add_real(t, low / unit, 2);
    if (high > low) {
        text_add(t, " to ");
        text_add_real(t, high / unit, 2);
    }
    text_addf(t, " %s", name);
}

static void other_units(const struct amount *a, struct text *t)
{
    double low = a->low, high = a->high;
    char line[200];

    switch (a->unit) {
    case AMOUNT_G:
        add_two(t, low, high, 1, "g");
        text_add(t, " = ");
        add_two(t, low, high, G_PER_OZ, "oz");
        break;
    case AMOUNT_ML:
        if (high >= 1000) {
            add_two(t, low / 1000, high / 1000, 1, "l");
            add_gallons(t, (struct sums_range){low / 1000, high / 1000});
            break;
        }
        add_two(t, low, high, 1, "ml");
        text_add(t, " = ");
        add_two(t, low, high, ML_PER_US_FL_OZ, "US fl oz");
        text_add(t, " = ");
        add_two(t, low, high, ML_PER_IMP_FL_OZ, "imperial fl oz");
        break;
    case AMOUNT_M:
        add_two(t, low, high, 1, "m");
        text_add(t, " = ");
        add_two(t, low, high, M_PER_YD, "yd");
        break;
    case AMOUNT_WOF_PCT:
    case AMOUNT_PER_FIBRE:
        amount_echo(a, (double)NAN, line, sizeof line);
        text_add(t, line);
        break;
    case AMOUNT_NONE:
    case AMOUNT_WORDS:
    case AMOUNT_COUNT:
        break;
    }
}

/* Ends in C or F behind a digit: a temperature. */
static char degrees(const char *words)
{
    size_t n = strlen(words);

    while (n && words[n - 1] == ' ')
        n--;
    if (n < 2 || !strchr("cCfF", words[n - 1]) || strpbrk(words, "lLmMzZ") ||
        strcspn(words, "0123456789") >= n)
        return '\0';
    return words[n - 1];
}

/* "12 % of 85 g", "alum 12% on 85g": two options, said as one. Always false. */
static bool refuse_of(const char *words, const char *sign, struct error *err)
{
    struct amount_context ctx = {AMOUNT_COUNT, false};
    size_t n = (size_t)(sign - words), name = strcspn(words, "0123456789");
    char *left = mem_text_n(words, n), *what = mem_text_n(words, name);
    const char *weight = sign + strlen(" of ");
    struct amount a;
    struct error none;

    if (name < n && amount_read(weight, ctx, &a, &none) && a.unit == AMOUNT_G)
        error_set(
            err, ERR_INPUT,
            "\"%.80s\" are two options: hanklab reckon --weight \"%.40s\" "
            "--mordant \"%.40s: %.40s\", or --assist, --dyestuff",
            words, weight, *parts_trim(what) ? parts_trim(what) : "alum",
            left + name);
    free(left);
    free(what);
    return false;
}

bool sums_units(const char *words, struct sums_line *out, struct error *err)
{
    struct amount_context none = {AMOUNT_COUNT, false};
    struct temperature heat;
    struct amount a;
    char said = degrees(words);

    sums_call(out, words);
    if (said) {
        if (!temperature_read(words, &heat, err))
            return false;
        if (said == 'f' || said == 'F')
            add_two(&out->result, heat.low_c, heat.high_c, 1, "C");
        else
            add_two(&out->result, fahrenheit_of(heat.low_c),
                    fahrenheit_of(heat.high_c), 1, "F");
        return true;
    }
    if (!amount_read(words, none, &a, err)) {
        const char *of = strstr(words, " of "), *on = strstr(words, " on ");
        return of || on ? refuse_of(words, of ? of : on, err) : false;
    }
    other_units(&a, &out->result);
    if (a.estimated)
        sums_note(out, "an estimate");
    if (!out->result.len)
        return error_set(err, ERR_INPUT,
                         "\"%.80s\" has no unit to turn into others; say an "
                         "amount such as 1 3/4 oz, 180 F or 3 gallons",
                         words);
    return true;
}
