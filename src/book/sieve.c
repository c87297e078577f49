/* What a filter lets through. See sieve.h. */
#include "book/sieve.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/cuts.h"
#include "book/fastness.h"
#include "book/said.h"
#include "colour/grade.h"

/* ---- what a filter asks for, as SQL ---------------------------------------
 *
 * Only what is asked for becomes part of a statement, so that each question
 * costs no more than itself. The pieces are ours; what was typed is bound.
 */

/* Steps of the life in which it was so. */
#define SQL_STEPS                                                              \
    "SELECT s.skein_id, s.ordinal FROM recipe r CROSS JOIN step s ON"          \
    " s.recipe_id = r.id WHERE "
#define SQL_IN_ROUND                                                           \
    "(:round IS NULL OR r.round = :round) AND (:bath IS NULL OR s.bath_id ="   \
    " :bath)"

/* A number for the parameter belongs into these two. */
#define SQL_HAD_DYESTUFF                                                       \
    SQL_STEPS "instr(r.last_dyestuffs, :dyestuff%zu) AND " SQL_IN_ROUND
#define SQL_HAD_DIP SQL_STEPS "instr(r.dips, :dip%zu)"
static const char had_round[] = SQL_STEPS SQL_IN_ROUND;
static const char had_dip[] = SQL_STEPS "r.dips <> ''";
static const char was_in_bath[] =
    "SELECT s.skein_id, s.ordinal FROM treatment t CROSS JOIN step s ON"
    " s.treatment_id = t.id WHERE t.bath_id = :side_bath";
/* By itself, in its bath by then, or in what was poured into its bath by
 * then. */
static const char had_supply[] =
    "SELECT s.skein_id, s.ordinal FROM step s WHERE s.treatment_id IN (WITH"
    " RECURSIVE x AS (SELECT bath_id, treatment_id, coalesce(before_round, 0)"
    " AS since FROM dose WHERE supply_id = :supply AND withdrawn = 0), flow"
    " (bath, since) AS (SELECT bath_id, since FROM x WHERE bath_id IS NOT NULL"
    " UNION SELECT p.bath_id, coalesce(p.before_round, 0) FROM flow w JOIN"
    " pour p ON p.parent_id = w.bath AND p.withdrawn = 0) SELECT treatment_id"
    " FROM x WHERE treatment_id IS NOT NULL UNION ALL SELECT a.id FROM flow w"
    " JOIN treatment a ON a.bath_id = w.bath AND (a.round IS NULL OR w.since"
    " <= a.round))";

/* The pH of a dye, else of its bath. */
#define SQL_PH_FITS                                                            \
    "withdrawn = 0 AND ph_low <= :ph_high AND ph_high >= :ph_low"
static const char ph_fits[] =
    "(t.id IN (SELECT treatment_id FROM ph WHERE " SQL_PH_FITS ") OR t.bath_id"
    " IN (SELECT bath_id FROM ph WHERE treatment_id IS NULL AND"
    " coalesce(moment, '') <> 'stored' AND " SQL_PH_FITS ") AND t.id NOT IN"
    " (SELECT treatment_id FROM ph WHERE treatment_id IS NOT NULL AND"
    " withdrawn = 0 AND ph_low IS NOT NULL))";
/* It began in those months, or lasted until they came. */
#define SQL_MONTH(day)                                                         \
    "(strftime('%Y', " day ") * 12 + strftime('%m', " day "))"
#define SQL_BEGAN SQL_MONTH("t.on_from")
#define SQL_ENDED SQL_MONTH("t.on_to")
static const char in_months[] =
    "((" SQL_BEGAN " - :month) % 12 < :months OR " SQL_ENDED " - " SQL_BEGAN
    " >= 12 - (" SQL_BEGAN " - :month) % 12)";

/* Skeins, which are so from their beginning. */
static const char of_fibre[] =
    "SELECT id, 0 FROM skein WHERE fibre_id = :fibre";
static const char in_bath[] = /* which is asked of the pot, too */
    "SELECT skein_id, 0 FROM step WHERE bath_id = :bath AND last = 1";
static const char unfinished[] = "SELECT id, 0 FROM skein WHERE finished = 0";
static const char glows[] =
    "SELECT g.skein_id, 0 FROM sight g LEFT JOIN photo p ON p.id = g.photo_id"
    " WHERE g.withdrawn = 0 AND p.withdrawn IS NOT 1 AND (g.glow = :glow OR"
    " :glow = 'any' AND g.glow IN ('faint', 'strong'))";

/* Recipes, with how many skeins have come to them. Dyestuffs come in few
 * combinations, by which recipes are in order: each is looked at once. */
static const char recipes[] =
    "WITH RECURSIVE last (one) AS (SELECT min(last_dyestuffs) FROM recipe UNION"
    " ALL SELECT (SELECT min(last_dyestuffs) FROM recipe WHERE last_dyestuffs >"
    " one) FROM last WHERE one IS NOT NULL) SELECT r.id, t.lack, t.skeins FROM"
    " recipe r LEFT JOIN tally t ON t.recipe_id = r.id WHERE 1";

static void add(struct text *t, bool asked, const char *sql)
{
    if (asked)
        text_addf(t, " AND %s", sql);
}

/* One condition for each id; the parameter has its number. */
static void add_each(struct text *t, bool asked, const struct ask_ids *ids,
                     const char *before, const char *after)
{
    for (size_t i = 0; asked && i < ids->count; i++)
        text_addf(t, " AND %s%zu%s", before, i, after);
}

static void add_recipes(struct text *t, const struct ask_filter *f)
{
    const bool now = !f->ever;

    add(t, now && f->has_round, "round = :round");
    add(t, now && f->no_dip, "dips = ''");
    add(t, now && f->dyestuffs.count,
        "last_dyestuffs IN (SELECT one FROM last"
        " WHERE 1");
    add_each(t, now, &f->dyestuffs, "instr(one, :dyestuff", ")");
    if (now && f->dyestuffs.count)
        text_add(t, ")");
    add_each(t, true, &f->mordants, "instr(mordants, :mordant", ")");
    add_each(t, now, &f->dips, "instr(dips, :dip", ")");
    add(t, f->only && f->dyestuffs.count,
        now ? "last_dyestuffs = :only_dyestuffs"
            : "dyestuffs = :only_dyestuffs");
    add(t, f->only && f->mordants.count, "mordants = :only_mordants");
    add(t, f->only && f->dips.count, "dips = :only_dips");
}

/* What is asked of the last dye alone, and whether anything is. */
static bool asks_dye(const struct ask_filter *f, bool side)
{
    return (!f->ever && f->bath && !side) || f->water || !isnan(f->ph.low);
}

static void add_dyes(struct text *t, const struct ask_filter *f, bool side)
{
    add(t, !f->ever && f->bath && !side, "t.bath_id = :bath");
    add(t, f->water != 0,
        "t.bath_id IN (SELECT id FROM bath WHERE water_id = :water)");
    add(t, !isnan(f->ph.low), ph_fits);
}

/* Treatments of any day; of some days, begun in the year that is asked from or
 * later, and begun in an earlier one. */
static const char any_day[] = "treatment t WHERE 1";
static const char on_days[] =
    "treatment t WHERE t.on_from >= substr(:from, 1, 4) AND t.on_from <= :to"
    " AND t.on_to >= :from";
static const char over_years[] =
    "treatment t INDEXED BY treatment_years WHERE substr(t.on_from, 1, 4) <"
    " substr(t.on_to, 1, 4) AND t.on_from < substr(:from, 1, 4) AND t.on_to >="
    " :from";

/* ---- binding a filter -----------------------------------------------------
 */

static int by_id(const void *a, const void *b)
{
    int64_t x = *(const int64_t *)a, y = *(const int64_t *)b;

    return (x > y) - (x < y);
}

static bool has(const struct stmt *q, const char *name)
{
    return sqlite3_bind_parameter_index(q->st, name) > 0;
}

static void bind_int(struct stmt *q, const char *name, int64_t value)
{
    if (has(q, name))
        stmt_int(q, name, value);
}

static void bind_text(struct stmt *q, const char *name, const char *value)
{
    if (has(q, name))
        stmt_text(q, name, value);
}

/* Each as ",3,", to be looked for in a set. */
static void bind_each(struct stmt *q, const char *name,
                      const struct ask_ids *ids)
{
    char param[24], set[24];

    for (size_t i = 0; i < ids->count; i++) {
        snprintf(param, sizeof param, ":%s%zu", name, i);
        snprintf(set, sizeof set, ",%lld,", (long long)ids->id[i]);
        bind_text(q, param, set);
    }
}

/* The set as a recipe has it, ",3,17,". */
static void bind_set(struct stmt *q, const char *name,
                     const struct ask_ids *ids)
{
    struct ask_ids sorted = *ids;
    struct text t = {0};

    qsort(sorted.id, sorted.count, sizeof *sorted.id, by_id);
    text_add(&t, ",");
    for (size_t i = 0; i < sorted.count; i++)
        text_addf(&t, "%lld,", (long long)sorted.id[i]);
    bind_text(q, name, text_str(&t));
    text_clear(&t);
}

static void bind_all(struct stmt *q, const struct ask_filter *f, bool side)
{
    bind_each(q, "dyestuff", &f->dyestuffs);
    bind_each(q, "mordant", &f->mordants);
    bind_each(q, "dip", &f->dips);
    bind_set(q, ":only_dyestuffs", &f->dyestuffs);
    bind_set(q, ":only_mordants", &f->mordants);
    bind_set(q, ":only_dips", &f->dips);
    if (f->has_round)
        bind_int(q, ":round", f->round);
    if (f->bath)
        bind_int(q, side ? ":side_bath" : ":bath", f->bath);
    bind_int(q, ":fibre", f->fibre);
    bind_int(q, ":water", f->water);
    bind_int(q, ":supply", f->supply);
    if (has(q, ":ph_low")) {
        stmt_real(q, ":ph_low", f->ph.low);
        stmt_real(q, ":ph_high", f->ph.high);
    }
    bind_text(q, ":text", f->text);
    said_bind(q);
    bind_text(q, ":glow", f->glow);
    bind_text(q, ":from", f->from);
    bind_text(q, ":to", f->to);
    bind_int(q, ":month", f->month);
    bind_int(q, ":months", f->months);
}

/* ---- the sieve -----------------------------------------------------------
 */

struct work {
    struct book *book;
    const struct ask_filter *filter;
    bool side; /* the bath is one of a mordant or modifier */
    struct sieve *out;
};

/* Ids of the first column, each with the least number of the second. */
static bool load(const struct work *w, const char *sql, struct id_map *out,
                 struct error *err)
{
    struct stmt q;
    bool row, ok = stmt_prepare(w->book, sql, &q, err);

    if (ok)
        bind_all(&q, w->filter, w->side);
    while (ok && (ok = stmt_step(&q, &row, err)) && row) {
        const int64_t id = stmt_get_int(&q, 0), value = stmt_get_int(&q, 1);
        const int64_t *least = id_map_at(out, id);
        if (!least || *least > value)
            id_map_put(out, id, value);
    }
    stmt_done(&q);
    return ok;
}

static bool load_ids(const struct work *w, const char *sql, struct id_set *out,
                     struct error *err)
{
    struct stmt q;
    bool row, ok = stmt_prepare(w->book, sql, &q, err);

    if (ok)
        bind_all(&q, w->filter, w->side);
    while (ok && (ok = stmt_step(&q, &row, err)) && row)
        id_set_put(out, stmt_get_int(&q, 0));
    stmt_done(&q);
    return ok;
}

static bool count_recipes(const struct work *w, struct stmt *q,
                          struct error *err)
{
    bool row, ok;

    if (w->out->by_recipe)
        bind_all(q, w->filter, w->side);
    while ((ok = stmt_step(q, &row, err)) && row) {
        if (w->out->by_recipe)
            id_set_put(&w->out->recipe, stmt_get_int(q, 0));
        w->out->by_lack[stmt_get_int(q, 1)] += (size_t)stmt_get_int(q, 2);
    }
    stmt_done(q);
    return ok;
}

static bool load_recipes(const struct work *w, struct error *err)
{
    struct text sql = {0};
    struct stmt q;
    size_t bare;
    bool ok;

    text_add(&sql, recipes);
    bare = sql.len;
    add_recipes(&sql, w->filter);
    w->out->by_recipe = sql.len > bare;
    ok = w->out->by_recipe ? stmt_prepare(w->book, text_str(&sql), &q, err)
                           : stmt_begin(w->book, STMT_TALLY, &q, err);
    text_clear(&sql);
    return ok && count_recipes(w, &q, err);
}

static bool load_pots_on(const struct work *w, const char *days,
                         struct error *err)
{
    struct text sql = {0};
    bool ok;

    text_addf(&sql, "SELECT t.id FROM %s", days);
    add(&sql, w->filter->months != 0, in_months);
    add_dyes(&sql, w->filter, w->side);
    ok = load_ids(w, text_str(&sql), &w->out->pot, err);
    text_clear(&sql);
    return ok;
}

static bool load_pots(const struct work *w, struct error *err)
{
    const struct ask_filter *f = w->filter;

    w->out->dyed = asks_dye(f, w->side);
    w->out->by_pot = w->out->dyed || *f->from || f->months;
    if (!w->out->by_pot)
        return true;
    return *f->from ? load_pots_on(w, on_days, err) &&
                          load_pots_on(w, over_years, err)
                    : load_pots_on(w, any_day, err);
}

static struct sieve_set *add_set(struct sieve *s)
{
    s->set = mem_room(s->set, s->sets, sizeof *s->set);
    s->set[s->sets] = (struct sieve_set){0};
    return &s->set[s->sets++];
}

/* Skeins that are so now. */
static bool load_set(const struct work *w, bool asked, const char *sql,
                     struct error *err)
{
    return !asked || load(w, sql, &add_set(w->out)->skein, err);
}

/* Skeins that once were so, before they were cut off another or plied, too. */
static bool load_had(struct work *w, bool asked, const char *sql, bool without,
                     struct error *err)
{
    struct sieve_set *set;

    if (!asked)
        return true;
    set = add_set(w->out);
    set->without = without;
    return load(w, sql, &set->skein, err) &&
           cuts_descend(w->book, &set->skein, err);
}

static bool load_had_each(struct work *w, const struct ask_ids *ids,
                          bool dyestuff, struct error *err)
{
    bool ok = true;

    for (size_t i = 0; ok && i < ids->count; i++) {
        struct text sql = {0};
        if (dyestuff)
            text_addf(&sql, SQL_HAD_DYESTUFF, i);
        else
            text_addf(&sql, SQL_HAD_DIP, i);
        ok = load_had(w, true, text_str(&sql), false, err);
        text_clear(&sql);
    }
    return ok;
}

static bool load_life(struct work *w, struct error *err)
{
    const struct ask_filter *f = w->filter;
    const bool round = f->has_round || (f->bath && !w->side);

    return load_had_each(w, &f->dyestuffs, true, err) &&
           load_had_each(w, &f->dips, false, err) &&
           load_had(w, !f->dyestuffs.count && round, had_round, false, err) &&
           load_had(w, f->no_dip, had_dip, true, err);
}

/* Those with a grade; of them not those with one that is less. */
static bool load_fast(struct work *w, struct error *err)
{
    const struct ask_filter *f = w->filter;
    struct fast_request r = {.filter = ask_filter_any(), .today = day_today()};
    struct fast_answer a;
    struct id_map graded = {0}, less = {0};

    if (!f->fastness)
        return true;
    r.filter.wet = f->wet;
    r.filter.observer_deg = f->observer_deg;
    memcpy(r.filter.illuminant, f->illuminant, sizeof r.filter.illuminant);
    r.has_kind = fast_kind_find(f->fast_kind, &r.kind);
    if (!ask_fastness(w->book, &r, &a, err))
        return false;
    for (size_t i = 0; i < a.graded; i++) {
        const struct fast_test *t = &a.test[i];

        id_map_put(&graded, t->skein_id, 0);
        if (grade_twice(grade_step(t->de_f)) < f->fastness)
            id_map_put(&less, t->skein_id, 0);
    }
    fast_answer_clear(&a);
    add_set(w->out)->skein = graded;
    *add_set(w->out) = (struct sieve_set){.skein = less, .without = true};
    return true;
}

static bool load_skeins(struct work *w, struct error *err)
{
    const struct ask_filter *f = w->filter;

    return load_set(w, f->fibre != 0, of_fibre, err) &&
           load_set(w, !f->ever && f->bath && !w->side, in_bath, err) &&
           load_set(w, f->unfinished, unfinished, err) &&
           load_set(w, *f->glow != '\0', glows, err) &&
           load_had(w, f->bath && w->side, was_in_bath, false, err) &&
           load_had(w, f->supply != 0, had_supply, false, err) &&
           load_had(w, *f->text != '\0', said_skeins, false, err) &&
           load_fast(w, err) && (!f->ever || load_life(w, err));
}

/* Whether a bath is one that skeins do not take their colour from. */
static bool is_side_bath(struct book *book, int64_t bath, bool *out,
                         struct error *err)
{
    struct stmt q;
    bool row;

    *out = false;
    if (!bath)
        return true;
    if (!stmt_begin(book, STMT_ASK_BATH_KIND, &q, err))
        return false;
    stmt_int(&q, ":bath", bath);
    if (!stmt_step(&q, &row, err))
        return false;
    *out = row && (!strcmp(stmt_get_text(&q, 0), "mordant") ||
                   !strcmp(stmt_get_text(&q, 0), "modifier"));
    stmt_done(&q);
    return true;
}

void sieve_clear(struct sieve *sieve)
{
    id_set_clear(&sieve->recipe);
    id_set_clear(&sieve->pot);
    for (size_t i = 0; i < sieve->sets; i++)
        id_map_clear(&sieve->set[i].skein);
    free(sieve->set);
    *sieve = (struct sieve){0};
}

bool sieve_make(struct book *book, const struct ask_filter *filter,
                struct sieve *out, struct error *err)
{
    struct work w = {.book = book, .filter = filter, .out = out};
    bool ok;

    *out = (struct sieve){.owner = filter->owner};
    ok = is_side_bath(book, filter->bath, &w.side, err) &&
         load_recipes(&w, err) && load_pots(&w, err) && load_skeins(&w, err);
    if (!ok)
        sieve_clear(out);
    return ok;
}

bool sieve_pot(const struct sieve *sieve, int64_t pot)
{
    return pot > 0 ? id_set_has(&sieve->pot, pot)
                   : !sieve->dyed && id_set_has(&sieve->pot, -pot);
}

bool sieve_skein(const struct sieve *sieve, int64_t skein)
{
    for (size_t i = 0; i < sieve->sets; i++)
        if ((id_map_at(&sieve->set[i].skein, skein) != NULL) ==
            sieve->set[i].without)
            return false;
    return true;
}
