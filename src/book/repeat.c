/* Whether a colour can be had again. See book/repeat.h. */
#include "book/repeat.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/scan.h"
#include "book/sheet.h"
#include "book/sheet_part.h"
#include "book/supply_left.h"
#include "book/shelf.h"

static const struct {
    const char *key, *words, *unit;
    bool number, share;
    struct repeat_rule usual;
} facts[REPEAT_FACTS] = {
    [REPEAT_YARN] = {"yarn", "yarn", "", .usual = {true, 0}},
    [REPEAT_DYESTUFF] =
        {"dyestuff", "dyestuff for the fibre", " %", true, true, {true, 10}},
    [REPEAT_MORDANT] =
        {"mordant", "mordant for the fibre", " %", true, true, {true, 10}},
    [REPEAT_PH] = {"ph", "pH", "", true, false, {true, 1}},
    [REPEAT_HEAT] = {"heat", "heat", " degrees", true, false, {true, 10}},
    [REPEAT_TIME] = {"minutes", "time", " minutes", true, false, {false, 0}},
    [REPEAT_WATER] = {"water", "water", "", .usual = {false, 0}},
    [REPEAT_SUPPLY] = {"supply", "supply", "", .usual = {false, 0}},
};

const char *repeat_fact_key(enum repeat_fact fact)
{
    return facts[fact].key;
}

const char *repeat_fact_words(enum repeat_fact fact)
{
    return facts[fact].words;
}

/* ---- rules --------------------------------------------------------------- */

void repeat_usual(struct repeat_rule rule[REPEAT_FACTS])
{
    for (int f = 0; f < REPEAT_FACTS; f++)
        rule[f] = facts[f].usual;
}

bool repeat_rule_read(enum repeat_fact fact, const char *words,
                      struct repeat_rule *out, struct error *err)
{
    char *said = text_trim(words);
    size_t n = strlen(said);
    double within = 0;
    bool ok = true;

    if (facts[fact].share && n && said[n - 1] == '%')
        said[n - 1] = '\0';
    while ((n = strlen(said)) && said[n - 1] == ' ')
        said[n - 1] = '\0';
    if (text_same(said, "any"))
        *out = (struct repeat_rule){false, 0};
    else if (text_same(said, "same"))
        *out = (struct repeat_rule){true, 0};
    else if (facts[fact].number && text_real(said, &within) && within >= 0)
        *out = (struct repeat_rule){true, within};
    else
        ok = error_set(
            err, ERR_INPUT, "%s: say \"any\"%s \"same\"%s", facts[fact].words,
            facts[fact].number ? "," : " or",
            facts[fact].number ? " or how far it may be apart: \"10\"" : "");
    free(said);
    return ok;
}

bool repeat_rules_read(const char *words, struct repeat_rule rule[REPEAT_FACTS],
                       struct error *err)
{
    const size_t n = strcspn(words, "= ");

    for (int f = 0; f < REPEAT_FACTS; f++)
        if (strlen(facts[f].key) == n && !strncmp(words, facts[f].key, n))
            return repeat_rule_read((enum repeat_fact)f,
                                    words[n] ? words + n + 1 : "", &rule[f],
                                    err);
    return error_set(err, ERR_INPUT,
                     "\"%s\": say what must be alike and how far: heat=15, "
                     "yarn=any; or of dyestuff, mordant, ph, minutes, water, "
                     "supply",
                     words);
}

void repeat_rules_words(const struct repeat_rule rule[REPEAT_FACTS],
                        struct text *out)
{
    bool any = false;

    for (int f = 0; f < REPEAT_FACTS; f++) {
        if (!rule[f].must)
            continue;
        text_addf(out, "%s%s ", any ? "; " : "", facts[f].words);
        if (rule[f].within > 0)
            text_addf(out, "within %.4g%s", rule[f].within, facts[f].unit);
        else
            text_add(out, "the same");
        any = true;
    }
    if (!any)
        text_add(out, "nothing else");
}

/* How far two ranges are apart; 0 where they meet. */
static double gap(double low, double high, double other_low, double other_high)
{
    return fmax(0, fmax(other_low - high, low - other_high));
}

static bool differs(enum repeat_fact f, struct repeat_rule rule,
                    const struct repeat_row *a, const struct repeat_row *b)
{
    double d;

    if (!rule.must || !a->fact[f] || !b->fact[f])
        return false;
    if (!facts[f].number || isnan(a->low[f]) || isnan(b->low[f]))
        return !text_same(a->fact[f], b->fact[f]);
    d = gap(a->low[f], a->high[f], b->low[f], b->high[f]);
    if (facts[f].share)
        d *= 100 / fmax(fmax(a->high[f], b->high[f]), 1e-9);
    return d > rule.within * (1 + 1e-9) + 1e-9;
}

/* ---- the facts of one skein ---------------------------------------------- */

static void set_number(struct repeat_row *row, enum repeat_fact f, double low,
                       double high, const char *unit)
{
    struct text t = {0};

    if (isnan(low) || isnan(high))
        return;
    text_add_real(&t, low, 1);
    if (high > low) {
        text_add(&t, "-");
        text_add_real(&t, high, 1);
    }
    text_add(&t, unit);
    row->fact[f] = text_take(&t);
    row->low[f] = low;
    row->high[f] = high;
}

/* As it was typed, with the numbers it was read as. */
static void set_field(struct repeat_row *row, enum repeat_fact f,
                      const struct record *record, const char *name)
{
    const struct record_field *field = record_get(record, name);

    if (!field || !field->words)
        return;
    row->fact[f] = mem_text(field->words);
    row->low[f] = field->low;
    row->high[f] = field->high;
}

/* Doses of a role in percent of the fibre, added up; NaN when one is not
 * known. *any says whether there was one. */
static void add_share(const struct sheet_doses *doses, const char *role,
                      double *low, double *high, bool *any)
{
    for (size_t i = 0; i < doses->count; i++) {
        const struct sheet_dose *d = &doses->dose[i];

        if (d->none || strcmp(d->role, role) != 0)
            continue;
        *low += d->low_pct;
        *high += d->high_pct;
        *any = true;
    }
}

static void set_shares(const struct skein_sheet *s,
                       const struct sheet_step *dye, struct repeat_row *row)
{
    double low = 0, high = 0;
    bool any = false;

    add_share(&dye->doses, "dyestuff", &low, &high, &any);
    if (any)
        set_number(row, REPEAT_DYESTUFF, low, high, " %");
    low = high = 0;
    any = false;
    for (size_t i = 0; i < s->steps; i++)
        add_share(&s->step[i].doses, "mordant", &low, &high, &any);
    if (any)
        set_number(row, REPEAT_MORDANT, low, high, " %");
}

static void set_supply(const struct sheet_doses *doses, struct repeat_row *row)
{
    char **name = mem_new(doses->count + 1, sizeof *name);
    size_t n = 0;

    for (size_t i = 0; i < doses->count; i++)
        if (doses->dose[i].supply && !strcmp(doses->dose[i].role, "dyestuff"))
            name[n++] = doses->dose[i].supply;
    row->fact[REPEAT_SUPPLY] = texts_join(name, n, " + ");
    free(name);
}

/* The step of its last dye; NULL when it was never dyed. */
static const struct sheet_step *dye_of(const struct skein_sheet *s)
{
    for (size_t i = s->steps; i-- > 0;)
        if (s->step[i].event.treatment_id == s->now.dye_id && s->now.dye_id)
            return &s->step[i];
    return NULL;
}

static bool set_facts(struct book *book, const struct skein_sheet *s,
                      struct repeat_row *row, struct error *err)
{
    const struct sheet_step *dye = dye_of(s);
    const struct record_field *bath;
    struct ask_range ph;
    struct record liquor;

    for (int f = 0; f < REPEAT_FACTS; f++)
        row->low[f] = row->high[f] = (double)NAN;
    row->fact[REPEAT_YARN] = mem_text(s->now.fibre);
    if (!dye)
        return true;
    set_shares(s, dye, row);
    set_field(row, REPEAT_HEAT, &dye->treatment, "temperature");
    set_field(row, REPEAT_TIME, &dye->treatment, "minutes");
    if (dye->ph) {
        if (!ask_ph(book, s->now.dye_id, &ph, err))
            return false;
        row->fact[REPEAT_PH] = mem_text(dye->ph);
        row->low[REPEAT_PH] = ph.low;
        row->high[REPEAT_PH] = ph.high;
    }
    set_supply(&dye->doses, row);
    bath = record_get(&dye->treatment, "bath");
    if (!bath || !bath->ref_id)
        return true;
    if (!record_read(book, NOUN_BATH, bath->ref_id, &liquor, err))
        return false;
    set_field(row, REPEAT_WATER, &liquor, "water");
    record_clear(&liquor);
    return true;
}

/* ---- those made so ------------------------------------------------------- */

struct ids {
    struct scan_row *row;
    size_t count;
};

static int newest_first(const void *x, const void *y)
{
    const struct scan_row *a = x, *b = y;

    return (a->id < b->id) - (a->id > b->id);
}

static bool recipe_of(struct book *book, int64_t skein, int64_t *out,
                      struct error *err)
{
    struct stmt q;
    bool row;

    if (!stmt_begin(book, STMT_REPEAT_RECIPE, &q, err))
        return false;
    stmt_int(&q, ":of", skein);
    if (!stmt_step(&q, &row, err))
        return false;
    *out = row ? stmt_get_int(&q, 0) : 0;
    stmt_done(&q);
    return true;
}

/* Of the same shelf recipe as a skein, that left out; the newest first. */
static bool gather(struct book *book, const struct repeat_request *request,
                   struct ids *out, struct error *err)
{
    const struct ask_filter any = ask_filter_any();
    struct scan scan;
    struct scan_row row;
    int64_t recipe;
    bool there, ok;

    if (!recipe_of(book, request->skein, &recipe, err))
        return false;
    ok = scan_begin(book, &any, SCAN_WHO, &scan, err);
    while (ok && (ok = scan_next(&scan, &row, &there, err)) && there) {
        if (row.recipe != recipe || row.id == request->skein)
            continue;
        out->row = mem_room(out->row, out->count, sizeof *out->row);
        out->row[out->count++] = row;
    }
    scan_end(&scan);
    if (out->count)
        qsort(out->row, out->count, sizeof *out->row, newest_first);
    return ok;
}

static bool add_row(struct book *book, struct lore *lore,
                    const struct repeat_request *request, int64_t id,
                    struct repeat_answer *a, struct error *err)
{
    struct repeat_row *row = &a->row[a->count];
    struct skein_sheet s;
    bool ok;

    *row = (struct repeat_row){.from_mean = (double)NAN, .alike = true};
    if (!shelf_skein(book, lore, id, &request->filter, &row->skein, err))
        return false;
    a->count++;
    if (!sheet_of_skein(book, id, &s, err))
        return false;
    ok = set_facts(book, &s, row, err);
    skein_sheet_clear(&s);
    for (int f = 0; ok && f < REPEAT_FACTS; f++) {
        row->differs[f] =
            differs((enum repeat_fact)f, request->rule[f], &a->row[0], row);
        row->alike = row->alike && !row->differs[f];
    }
    return ok;
}

static int alike_first(const void *x, const void *y)
{
    const struct repeat_row *a = x, *b = y;

    if (a->alike != b->alike)
        return a->alike ? -1 : 1;
    if (a->skein.mine != b->skein.mine)
        return a->skein.mine ? -1 : 1;
    if (a->skein.dyer_id != b->skein.dyer_id)
        return a->skein.dyer_id < b->skein.dyer_id ? -1 : 1;
    return (a->skein.number > b->skein.number) -
           (a->skein.number < b->skein.number);
}

/* ---- how far apart ------------------------------------------------------- */

/* The mean colour of each dyeing that rows are from. */
static size_t means(const struct repeat_answer *a, struct lab *mean)
{
    int64_t *dyeing = mem_new(a->alike + 1, sizeof *dyeing);
    size_t *of = mem_new(a->alike + 1, sizeof *of), n = 0;

    for (size_t i = 0; i < a->alike; i++) {
        const struct ask_skein *s = &a->row[i].skein;
        const struct lab c = s->reading.colour.lab;
        size_t k = 0;

        if (s->lack != ASK_HAS_COLOUR)
            continue;
        while (k < n && dyeing[k] != s->dye_id)
            k++;
        if (k == n) {
            dyeing[n++] = s->dye_id;
            mean[k] = (struct lab){0, 0, 0};
        }
        mean[k].L += c.L;
        mean[k].a += c.a;
        mean[k].b += c.b;
        of[k]++;
    }
    for (size_t k = 0; k < n; k++)
        mean[k] =
            (struct lab){mean[k].L / (double)of[k], mean[k].a / (double)of[k],
                         mean[k].b / (double)of[k]};
    free(dyeing);
    free(of);
    return n;
}

/* skeins.one and .other become places in row. */
static void measure(struct repeat_answer *a)
{
    struct lab *colour = mem_new(a->alike + 1, sizeof *colour);
    double *from = mem_new(a->alike + 1, sizeof *from);
    size_t *at = mem_new(a->alike + 1, sizeof *at), n = 0;

    for (size_t i = 0; i < a->alike; i++) {
        if (a->row[i].skein.lack == ASK_HAS_COLOUR) {
            at[n] = i;
            colour[n++] = a->row[i].skein.reading.colour.lab;
        } else {
            a->left_out[a->row[i].skein.lack]++;
        }
    }
    a->measured = n;
    if (n) {
        a->skeins = colour_spread(colour, n, from);
        a->skeins.one = at[a->skeins.one];
        a->skeins.other = at[a->skeins.other];
        for (size_t i = 0; i < n; i++)
            a->row[at[i]].from_mean = from[i];
        a->goes = means(a, colour);
        a->dyeings = colour_spread(colour, a->goes, NULL);
    }
    free(colour);
    free(from);
    free(at);
}

/* What is not the same among those alike, and of how many it is not known. */
static void tell_apart(struct repeat_answer *a)
{
    char **words = mem_new(a->alike + 1, sizeof *words);

    for (int f = 0; f < REPEAT_FACTS; f++) {
        bool same = true;
        size_t n = 0;

        for (size_t i = 0; i < a->alike; i++)
            if (a->row[i].fact[f])
                words[n++] = a->row[i].fact[f];
        a->unknown[f] = a->alike - n;
        for (size_t i = 1; i < n; i++)
            same = same && !strcmp(words[0], words[i]);
        if (!same)
            a->differed[f] = texts_join(words, n, "; ");
    }
    free(words);
}

/* ---- what it takes ------------------------------------------------------- */

static struct repeat_left *left_of(struct repeat_need *need, const char *state)
{
    for (size_t i = 0; i < need->lefts; i++)
        if (text_same(need->left[i].state, state))
            return &need->left[i];
    need->left = mem_room(need->left, need->lefts, sizeof *need->left);
    need->left[need->lefts] =
        (struct repeat_left){.state = mem_text(state), .g = (double)NAN};
    return &need->left[need->lefts++];
}

/* Adds what a supply has at most. */
static bool add_left(struct book *book, int64_t supply, struct repeat_need *out,
                     struct error *err)
{
    struct repeat_left *of;
    struct supply_left left;

    if (!supply_left(book, supply, &left, err))
        return false;
    of = left_of(out, left.state);
    out->left_known = out->left_known && left.known;
    if (isnan(left.left_g))
        of->more = true;
    else
        of->g = left.left_g + (isnan(of->g) ? 0 : of->g);
    supply_left_clear(&left);
    return true;
}

/* All supplies of the dose's material. */
static bool add_all_left(struct book *book, int64_t dose,
                         struct repeat_need *out, struct error *err)
{
    struct stmt q;
    int64_t *supply = NULL;
    size_t n = 0;
    bool row, ok;

    if (!stmt_begin(book, STMT_REPEAT_SUPPLIES, &q, err))
        return false;
    stmt_int(&q, ":dose", dose);
    while ((ok = stmt_step(&q, &row, err)) && row) {
        supply = mem_room(supply, n, sizeof *supply);
        supply[n++] = stmt_get_int(&q, 0);
    }
    stmt_done(&q);
    for (size_t i = 0; ok && i < n; i++)
        ok = add_left(book, supply[i], out, err);
    free(supply);
    out->left_known = false; /* of which one it was taken is not known */
    return ok;
}

static bool add_need(struct book *book, const struct sheet_dose *d,
                     double weight_g, struct repeat_answer *a,
                     struct error *err)
{
    struct repeat_need *need;
    bool ok;

    a->need = mem_room(a->need, a->needs, sizeof *a->need);
    need = &a->need[a->needs++];
    *need = (struct repeat_need){
        .what = mem_text(d->supply ? d->supply : d->what),
        .state = mem_text(d->state),
        .low_g = d->low_pct / 100 * weight_g,
        .high_g = d->high_pct / 100 * weight_g,
        .left_known = true,
    };
    ok = d->supply_id ? add_left(book, d->supply_id, need, err)
                      : add_all_left(book, d->id, need, err);
    need->too_little = need->lefts == 1 && !need->left[0].more &&
                       need->left[0].g < need->low_g &&
                       text_same(need->state, need->left[0].state);
    return ok;
}

/* Its weight, unless it was weighed wet. */
static double dry_weight(const struct skein_sheet *s)
{
    const struct record_field *how = record_get(&s->skein, "weighed");

    return how && how->words && !strcmp(how->words, "wet") ? (double)NAN
                                                           : s->now.weight_g;
}

static int by_what(const void *x, const void *y)
{
    const struct repeat_need *a = x, *b = y;
    const int order = text_order(a->what, b->what);

    return order ? order : (a->low_g > b->low_g) - (a->low_g < b->low_g);
}

/* Pot by pot; what went into one by name, not as it was written down. */
static bool weigh_out(struct book *book, const struct skein_sheet *s,
                      struct repeat_answer *a, struct error *err)
{
    bool ok = true;

    for (size_t i = 0; i < s->steps; i++) {
        const size_t before = a->needs;
        for (size_t k = 0; ok && k < s->step[i].doses.count; k++)
            if (!s->step[i].doses.dose[k].none)
                ok = add_need(book, &s->step[i].doses.dose[k], dry_weight(s), a,
                              err);
        if (a->needs > before)
            qsort(&a->need[before], a->needs - before, sizeof *a->need,
                  by_what);
    }
    return ok;
}

/* ---- all ----------------------------------------------------------------- */

static int by_words(const void *x, const void *y)
{
    return text_order(*(char *const *)x, *(char *const *)y);
}

static bool is_of_dose(const char *lacking)
{
    return !strncmp(lacking, "how much ", 9) ||
           !strncmp(lacking, "whether ", 8);
}

/* What is said of doses by name too; the rest is in an order of its own. */
static void order_doses(char **lacking, size_t n)
{
    size_t from = 0, end;

    while (from < n && !is_of_dose(lacking[from]))
        from++;
    for (end = from; end < n && is_of_dose(lacking[end]);)
        end++;
    if (end > from)
        qsort(&lacking[from], end - from, sizeof *lacking, by_words);
}

static bool begin(struct book *book, struct lore *lore,
                  const struct repeat_request *request, struct repeat_answer *a,
                  struct error *err)
{
    struct skein_sheet s;
    bool ok;

    if (!sheet_of_skein(book, request->skein, &s, err))
        return false;
    ok = s.now.dye_id ||
         error_set(err, ERR_INPUT,
                   "skein %s was not dyed, or plied from several pots: there "
                   "is no one recipe to repeat",
                   s.now.label);
    ok = ok && weigh_out(book, &s, a, err);
    if (ok) {
        a->lacking = s.lacking;
        a->lacks = s.lacks;
        s.lacking = NULL;
        s.lacks = 0;
        order_doses(a->lacking, a->lacks);
    }
    skein_sheet_clear(&s);
    return ok && add_row(book, lore, request, request->skein, a, err);
}

bool ask_repeat(struct book *book, const struct repeat_request *request,
                struct repeat_answer *out, struct error *err)
{
    struct ids ids = {0};
    struct lore lore = {0};
    bool ok;
    size_t n;

    *out = (struct repeat_answer){0};
    ok = book_look(book, err) && gather(book, request, &ids, err) &&
         lore_load(book, &lore, err);
    n = ids.count < REPEAT_MOST ? ids.count : REPEAT_MOST;
    out->more = ids.count - n;
    out->row = mem_new(n + 1, sizeof *out->row);
    ok = ok && begin(book, &lore, request, out, err);
    for (size_t i = 0; ok && i < n; i++)
        ok = add_row(book, &lore, request, ids.row[i].id, out, err);
    if (ok) {
        qsort(out->row + 1, out->count - 1, sizeof *out->row, alike_first);
        while (out->alike < out->count && out->row[out->alike].alike)
            out->alike++;
        measure(out);
        tell_apart(out);
    } else {
        repeat_answer_clear(out);
    }
    book_look_end(book);
    lore_free(&lore);
    free(ids.row);
    return ok;
}

void repeat_answer_clear(struct repeat_answer *a)
{
    for (size_t i = 0; i < a->count; i++) {
        for (int f = 0; f < REPEAT_FACTS; f++)
            free(a->row[i].fact[f]);
        ask_skein_clear(&a->row[i].skein);
    }
    free(a->row);
    for (int f = 0; f < REPEAT_FACTS; f++)
        free(a->differed[f]);
    for (size_t i = 0; i < a->lacks; i++)
        free(a->lacking[i]);
    free(a->lacking);
    for (size_t i = 0; i < a->needs; i++) {
        free(a->need[i].what);
        free(a->need[i].state);
        for (size_t k = 0; k < a->need[i].lefts; k++)
            free(a->need[i].left[k].state);
        free(a->need[i].left);
    }
    free(a->need);
    *a = (struct repeat_answer){0};
}
