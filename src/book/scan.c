/* One pass over the shelf. See scan.h. */
#include "book/scan.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/cuts.h"
#include "book/fastness.h"
#include "book/said.h"
#include "book/shelf.h"
#include "book/weigh.h"
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
static const char unfinished[] = "SELECT id, 0 FROM skein WHERE finished = 0";
static const char glows[] =
    "SELECT g.skein_id, 0 FROM sight g LEFT JOIN photo p ON p.id = g.photo_id"
    " WHERE g.withdrawn = 0 AND p.withdrawn IS NOT 1 AND (g.glow = :glow OR"
    " :glow = 'any' AND g.glow IN ('faint', 'strong'))";

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
    add_each(t, now, &f->dyestuffs, "instr(last_dyestuffs, :dyestuff", ")");
    add_each(t, true, &f->mordants, "instr(mordants, :mordant", ")");
    add_each(t, now, &f->dips, "instr(dips, :dip", ")");
    add(t, f->only && f->dyestuffs.count,
        now ? "last_dyestuffs = :only_dyestuffs"
            : "dyestuffs = :only_dyestuffs");
    add(t, f->only && f->mordants.count, "mordants = :only_mordants");
    add(t, f->only && f->dips.count, "dips = :only_dips");
}

/* What is asked of the last dye alone. */
static void add_dyes(struct text *t, const struct ask_filter *f, bool side)
{
    add(t, !f->ever && f->bath && !side, "t.bath_id = :bath");
    add(t, f->water != 0,
        "t.bath_id IN (SELECT id FROM bath WHERE water_id = :water)");
    add(t, !isnan(f->ph.low), ph_fits);
}

static void add_days(struct text *t, const struct ask_filter *f)
{
    add(t, *f->from != '\0', "t.on_from <= :to AND t.on_to >= :from");
    add(t, f->months != 0, in_months);
}

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
    struct cuts cuts;
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

static bool load_recipes(const struct work *w, struct error *err)
{
    struct text sql = {0};
    size_t bare;
    bool ok = true;

    text_add(&sql, "SELECT id, 0 FROM recipe WHERE 1");
    bare = sql.len;
    add_recipes(&sql, w->filter);
    w->out->by_recipe = sql.len > bare;
    if (w->out->by_recipe)
        ok = load(w, text_str(&sql), &w->out->recipe, err);
    text_clear(&sql);
    return ok;
}

static bool load_pots(const struct work *w, struct error *err)
{
    struct text sql = {0};
    size_t bare;
    bool ok = true;

    text_add(&sql, "SELECT t.id, 0 FROM treatment t WHERE 1");
    bare = sql.len;
    add_dyes(&sql, w->filter, w->side);
    w->out->dyed = sql.len > bare;
    add_days(&sql, w->filter);
    w->out->by_pot = sql.len > bare;
    if (w->out->by_pot)
        ok = load(w, text_str(&sql), &w->out->pot, err);
    text_clear(&sql);
    return ok;
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
    if (!load(w, sql, &set->skein, err) || !cuts_load(w->book, &w->cuts, err))
        return false;
    cuts_descend(&set->skein, &w->cuts);
    return true;
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

static void sieve_clear(struct sieve *sieve)
{
    id_map_clear(&sieve->recipe);
    id_map_clear(&sieve->pot);
    for (size_t i = 0; i < sieve->sets; i++)
        id_map_clear(&sieve->set[i].skein);
    free(sieve->set);
    *sieve = (struct sieve){0};
}

static bool sieve_make(struct book *book, const struct ask_filter *filter,
                       struct sieve *out, struct error *err)
{
    struct work w = {.book = book, .filter = filter, .out = out};
    bool ok;

    *out = (struct sieve){.owner = filter->owner};
    ok = is_side_bath(book, filter->bath, &w.side, err) &&
         load_recipes(&w, err) && load_pots(&w, err) && load_skeins(&w, err);
    cuts_clear(&w.cuts);
    if (!ok)
        sieve_clear(out);
    return ok;
}

/* Whether a pot passes, as pack.h has it. */
static bool sieve_pot(const struct sieve *sieve, int64_t pot)
{
    return pot > 0 ? id_map_at(&sieve->pot, pot) != NULL
                   : !sieve->dyed && id_map_at(&sieve->pot, -pot);
}

/* Whether a skein is in each of the sets. */
static bool sieve_skein(const struct sieve *sieve, int64_t skein)
{
    for (size_t i = 0; i < sieve->sets; i++)
        if ((id_map_at(&sieve->set[i].skein, skein) != NULL) ==
            sieve->set[i].without)
            return false;
    return true;
}

/* ---- the pass -------------------------------------------------------------
 */

/* Whether the dye of a pot was as strong as asked; skeins of one pot mostly
 * follow each other, so the last answer is kept. */
static bool is_weighed(struct scan *scan, int64_t pot, bool *fits,
                       struct error *err)
{
    struct ask_range asked = scan->filter->per_fibre_pct;

    *fits = isnan(asked.low);
    if (*fits || pot <= 0)
        return true;
    if (pot != scan->weighed &&
        !weigh_dyestuff(scan->book, pot, &scan->per_fibre, err))
        return false;
    scan->weighed = pot;
    *fits =
        scan->per_fibre.low <= asked.high && scan->per_fibre.high >= asked.low;
    return true;
}

static bool load_dyers(struct scan *scan, struct error *err)
{
    struct stmt q;
    bool row, ok;

    if (!stmt_begin(scan->book, STMT_ASK_DYERS, &q, err))
        return false;
    while ((ok = stmt_step(&q, &row, err)) && row) {
        scan->dyer = mem_room(scan->dyer, scan->dyers, sizeof *scan->dyer);
        id_map_put(&scan->dyer_at, stmt_get_int(&q, 0), (int64_t)scan->dyers);
        scan->dyer[scan->dyers++] = (struct scan_dyer){
            stmt_get_int(&q, 0), mem_text(stmt_get_text(&q, 1))};
    }
    stmt_done(&q);
    return ok;
}

/* The colour the shelf keeps is that of a filter that says nothing of it. */
static bool is_usual(const struct ask_filter *f)
{
    return !f->wet && !strcmp(f->part, "whole") && ask_filter_is_usual_light(f);
}

/* Pages from one to another in the order of the ids, with the parts that are
 * needed. */
static bool begin_pages(struct scan *scan, int64_t from, int64_t to,
                        struct error *err)
{
    stmt_done(&scan->q);
    scan->cells[PACK_WHAT] = NULL;
    if (!stmt_begin(scan->book, STMT_SHELF_PAGES, &scan->q, err))
        return false;
    stmt_int(&scan->q, ":from", from);
    stmt_int(&scan->q, ":to", to);
    stmt_int(&scan->q, ":pot", scan->needs[PACK_POT]);
    stmt_int(&scan->q, ":colour", scan->needs[PACK_COLOUR]);
    stmt_int(&scan->q, ":who", scan->needs[PACK_WHO]);
    return true;
}

void scan_only(struct scan *scan, const struct id_map *one,
               const struct id_map *other)
{
    struct scan_only *only = &scan->only;

    if (only->is && only->count <= one->count + other->count)
        return;
    free(only->id);
    *only = (struct scan_only){.is = true};
    only->id = id_map_ids(one, other, &only->count);
}

/* Of all that pass, each is in every set that lets no others through. */
static void narrow(struct scan *scan)
{
    static const struct id_map none = {0};

    for (size_t i = 0; i < scan->sieve.sets; i++)
        if (!scan->sieve.set[i].without)
            scan_only(scan, &scan->sieve.set[i].skein, &none);
}

bool scan_begin(struct book *book, const struct ask_filter *filter,
                unsigned wants, struct scan *out, struct error *err)
{
    *out = (struct scan){.book = book,
                         .filter = filter,
                         .wants = wants,
                         .usual = is_usual(filter),
                         .at = PACK_SKEINS};
    if (!load_dyers(out, err) || !sieve_make(book, filter, &out->sieve, err))
        return false;
    out->needs[PACK_WHAT] = true;
    out->needs[PACK_POT] = wants & SCAN_POT || out->sieve.by_pot ||
                           !isnan(filter->per_fibre_pct.low);
    out->needs[PACK_COLOUR] = wants & SCAN_COLOUR && out->usual;
    out->needs[PACK_WHO] = wants & SCAN_WHO || out->sieve.owner;
    narrow(out);
    return scan_again(out, err);
}

void scan_end(struct scan *scan)
{
    stmt_done(&scan->q);
    sieve_clear(&scan->sieve);
    for (size_t i = 0; i < scan->dyers; i++)
        free(scan->dyer[i].prefix);
    free(scan->dyer);
    id_map_clear(&scan->dyer_at);
    free(scan->only.id);
    *scan = (struct scan){0};
}

/* Turns to the next page; *there false after the last. */
static bool turn(struct scan *scan, bool *there, struct error *err)
{
    if (!stmt_step(&scan->q, there, err))
        return false;
    if (!*there)
        return true;
    scan->at = 0;
    scan->first = stmt_get_int(&scan->q, 0) * PACK_SKEINS;
    for (int part = 0; part < PACK_PARTS; part++) {
        if (!scan->needs[part])
            continue;
        scan->cells[part] =
            pack_cells(&scan->q, 1 + part, (enum pack_part)part, err);
        if (!scan->cells[part])
            return false;
    }
    return true;
}

/* Whether the skein at hand passes all but the dyestuff per fibre. */
static bool passes(const struct scan *scan, const struct pack_skein *is,
                   int64_t id)
{
    const struct sieve *s = &scan->sieve;

    return is->recipe && (!s->by_recipe || id_map_at(&s->recipe, is->recipe)) &&
           (!s->owner ||
            pack_dyer(scan->cells[PACK_WHO], scan->at) == s->owner) &&
           (!s->by_pot ||
            sieve_pot(s, pack_pot(scan->cells[PACK_POT], scan->at))) &&
           (!s->sets || sieve_skein(s, id));
}

/* The colour, as the filter wants it. */
static bool look(struct scan *scan, const struct pack_skein *is,
                 struct scan_row *row, struct error *err)
{
    struct ask_reading r;

    row->lack = is->lack;
    row->lab = (struct lab){(double)NAN, (double)NAN, (double)NAN};
    if (scan->usual && is->lack != ASK_HAS_COLOUR)
        return true;
    if (scan->usual) {
        if (scan->wants & SCAN_COLOUR)
            row->lab = pack_lab(scan->cells[PACK_COLOUR], scan->at);
        if (is->name >= 1 && is->name <= COLOUR_NAMES)
            row->name = &colour_names[is->name - 1];
        return true;
    }
    if (!shelf_reading_now(scan->book, row->id, scan->filter, &r, &row->lack,
                           err))
        return false;
    if (row->lack != ASK_HAS_COLOUR)
        return true;
    row->lab = r.colour.lab;
    row->name = colour_name_nearest(row->lab);
    return true;
}

static void take_who(const struct scan *scan, struct scan_row *row)
{
    const unsigned char *who = scan->cells[PACK_WHO];
    const int64_t *at = id_map_at(&scan->dyer_at, pack_dyer(who, scan->at));

    row->dyer = at ? (size_t)*at : scan->dyers;
    row->number = pack_number(who, scan->at);
}

/* Fills in the row if the skein at hand passes. */
static bool take(struct scan *scan, struct scan_row *row, bool *fits,
                 struct error *err)
{
    struct pack_skein is;
    const int64_t id = scan->first + (int64_t)scan->at;

    pack_what(scan->cells[PACK_WHAT], scan->at, &is);
    *fits = passes(scan, &is, id);
    if (!*fits)
        return true;
    *row = (struct scan_row){.id = id, .recipe = is.recipe};
    if (scan->needs[PACK_POT])
        row->pot = pack_pot(scan->cells[PACK_POT], scan->at);
    if (!is_weighed(scan, row->pot, fits, err))
        return false;
    if (*fits && scan->wants & SCAN_WHO)
        take_who(scan, row);
    return !*fits || look(scan, &is, row, err);
}

/* Has a skein at hand; *there false when nothing of its page was ever on the
 * shelf. */
static bool turn_to(struct scan *scan, int64_t id, bool *there,
                    struct error *err)
{
    const int64_t page = id / PACK_SKEINS;

    *there = true;
    if ((!scan->cells[PACK_WHAT] || page != scan->first / PACK_SKEINS) &&
        (!begin_pages(scan, page, page, err) || !turn(scan, there, err)))
        return false;
    if (*there)
        scan->at = (size_t)(id - scan->first);
    return true;
}

/* Whether there is another skein, passing or not, which is then at hand. */
static bool go_on(struct scan *scan, bool *there, struct error *err)
{
    struct scan_only *only = &scan->only;

    *there = true;
    if (!only->is)
        return scan->at < PACK_SKEINS || turn(scan, there, err);
    *there = false;
    while (!*there && only->next < only->count)
        if (!turn_to(scan, only->id[only->next++], there, err))
            return false;
    return true;
}

bool scan_one(struct scan *scan, int64_t id, struct scan_row *row, bool *fits,
              struct error *err)
{
    return turn_to(scan, id, fits, err) && (!*fits || take(scan, row, fits, err));
}

bool scan_again(struct scan *scan, struct error *err)
{
    scan->at = PACK_SKEINS;
    scan->only.next = 0;
    return begin_pages(scan, 0, PACK_FIRST(1) - 1, err);
}

static bool add_tally(struct scan *scan, int64_t recipe,
                      size_t by_lack[ASK_LACKS], struct error *err)
{
    struct stmt q;
    bool row, ok = stmt_begin(scan->book, STMT_TALLY, &q, err);

    if (ok)
        stmt_int(&q, ":recipe", recipe);
    while (ok && (ok = stmt_step(&q, &row, err)) && row)
        by_lack[stmt_get_int(&q, 0)] += (size_t)stmt_get_int(&q, 1);
    stmt_done(&q);
    return ok;
}

bool scan_tally(struct scan *scan, size_t by_lack[ASK_LACKS], bool *known,
                struct error *err)
{
    const struct sieve *s = &scan->sieve;
    bool ok = true;

    memset(by_lack, 0, ASK_LACKS * sizeof *by_lack);
    *known = scan->usual && !s->by_pot && !s->sets && !s->owner &&
             isnan(scan->filter->per_fibre_pct.low);
    if (!*known)
        return true;
    if (!s->by_recipe)
        return add_tally(scan, 0, by_lack, err);
    for (size_t i = 0; ok && i < s->recipe.slots; i++)
        if (s->recipe.slot[i].id)
            ok = add_tally(scan, s->recipe.slot[i].id, by_lack, err);
    return ok;
}

bool scan_next(struct scan *scan, struct scan_row *row, bool *there,
               struct error *err)
{
    bool fits = false;

    do {
        if (!go_on(scan, there, err))
            return false;
        if (!*there)
            return true;
        if (!take(scan, row, &fits, err))
            return false;
        scan->at++;
    } while (!fits);
    return true;
}

char *scan_label(const struct scan *scan, const struct scan_row *row)
{
    struct text t = {0};

    text_addf(&t, "%s%lld", scan->dyer[row->dyer].prefix,
              (long long)row->number);
    return text_take(&t);
}

int scan_order(const void *x, const void *y)
{
    const struct scan_row *a = x, *b = y;

    if (a->dyer != b->dyer)
        return a->dyer < b->dyer ? -1 : 1;
    return (a->number > b->number) - (a->number < b->number);
}
