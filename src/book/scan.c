/* One pass over the shelf. See scan.h. */
#include "book/scan.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/shelf.h"
#include "dye/amount.h"

/* ---- what a filter asks for, as SQL ---------------------------------------
 *
 * Only what is asked for becomes part of the statement, so that each question
 * costs no more than itself. The pieces are ours; what was typed is bound.
 */

/* Skeins that once were as `base` says (skein and ordinal of steps), before
 * they were cut off another or plied, too. */
#define SQL_HAD(base)                                                          \
    "h.skein_id IN (WITH RECURSIVE had (skein, ordinal) AS (" base " UNION"    \
    " SELECT o.child_id, 0 FROM had JOIN origin o ON o.parent_id = had.skein"  \
    " AND o.withdrawn = 0 AND coalesce((SELECT p.ordinal FROM step p WHERE"    \
    " p.entry_id = o.after_entry_id AND p.skein_id = o.parent_id), 0) >="      \
    " had.ordinal) SELECT skein FROM had)"
#define SQL_IN_ROUND                                                           \
    "(:round IS NULL OR r.round = :round) AND (:bath IS NULL OR r.bath_id ="   \
    " :bath)"

/* A number for the parameter belongs into these two. */
#define SQL_HAD_DYESTUFF                                                       \
    SQL_HAD("SELECT m.skein_id, m.ordinal FROM step_material m JOIN step r ON" \
            " r.skein_id = m.skein_id AND r.ordinal = m.ordinal WHERE m.role"  \
            " = 'last_dyestuff' AND m.material_id = :dyestuff%zu"              \
            " AND " SQL_IN_ROUND)
#define SQL_HAD_DIP                                                            \
    SQL_HAD("SELECT m.skein_id, m.ordinal FROM step_material m WHERE m.role"   \
            " = 'dip' AND m.material_id = :dip%zu")
static const char had_round[] =
    SQL_HAD("SELECT r.skein_id, r.ordinal FROM step r WHERE " SQL_IN_ROUND);
static const char never_dipped[] =
    "NOT " SQL_HAD("SELECT skein_id, ordinal FROM step WHERE dips <> ''");
static const char was_in_bath[] =
    SQL_HAD("SELECT st.skein_id, st.ordinal FROM treatment a JOIN entry e ON"
            " e.treatment_id = a.id JOIN step st ON st.entry_id = e.id WHERE"
            " a.bath_id = :side_bath");
/* By itself, in its bath by then, or in what was poured into its bath by
 * then. */
static const char had_supply[] = SQL_HAD(
    "SELECT st.skein_id, st.ordinal FROM entry e JOIN step st ON st.entry_id ="
    " e.id WHERE e.treatment_id IN (WITH RECURSIVE x AS (SELECT bath_id,"
    " treatment_id, coalesce(before_round, 0) AS since FROM dose WHERE"
    " supply_id = :supply AND withdrawn = 0), flow (bath, since) AS (SELECT"
    " bath_id, since FROM x WHERE bath_id IS NOT NULL UNION SELECT p.bath_id,"
    " coalesce(p.before_round, 0) FROM flow w JOIN pour p ON p.parent_id ="
    " w.bath AND p.withdrawn = 0) SELECT treatment_id FROM x WHERE"
    " treatment_id IS NOT NULL UNION ALL SELECT a.id FROM flow w JOIN"
    " treatment a ON a.bath_id = w.bath AND (a.round IS NULL OR w.since <="
    " a.round))");

/* The pH of the last dye, else of its bath. */
#define SQL_PH_FITS                                                            \
    "withdrawn = 0 AND ph_low <= :ph_high AND ph_high >= :ph_low"
static const char ph_fits[] =
    "(h.dye_treatment_id IN (SELECT treatment_id FROM ph WHERE " SQL_PH_FITS
    ") OR h.bath_id IN (SELECT bath_id FROM ph WHERE treatment_id IS NULL AND"
    " coalesce(moment, '') <> 'stored' AND " SQL_PH_FITS ") AND"
    " h.dye_treatment_id NOT IN (SELECT treatment_id FROM ph WHERE"
    " treatment_id IS NOT NULL AND withdrawn = 0 AND ph_low IS NOT NULL))";
/* It began in those months, or lasted until they came. */
#define SQL_MONTH(day)                                                         \
    "(strftime('%Y', " day ") * 12 + strftime('%m', " day "))"
#define SQL_BEGAN SQL_MONTH("on_from")
#define SQL_ENDED SQL_MONTH("on_to")
static const char in_months[] =
    SCAN_THEN " IN (SELECT id FROM treatment WHERE (" SQL_BEGAN
              " - :month) % 12 < :months OR " SQL_ENDED " - " SQL_BEGAN
              " >= 12 - (" SQL_BEGAN " - :month) % 12)";
static const char glows[] =
    "h.skein_id IN (SELECT g.skein_id FROM sight g JOIN photo p ON p.id ="
    " g.photo_id WHERE g.withdrawn = 0 AND p.withdrawn = 0 AND (g.glow = :glow"
    " OR :glow = 'any' AND g.glow IN ('faint', 'strong')))";

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

static void add_had(struct text *t, const struct ask_filter *f, bool side)
{
    bool bath = f->bath && !side;

    for (size_t i = 0; i < f->dyestuffs.count; i++)
        text_addf(t, " AND " SQL_HAD_DYESTUFF, i);
    for (size_t i = 0; i < f->dips.count; i++)
        text_addf(t, " AND " SQL_HAD_DIP, i);
    add(t, !f->dyestuffs.count && (f->has_round || bath), had_round);
    add(t, f->no_dip, never_dipped);
}

/* The conditions; side: the bath is one of a mordant or modifier. */
static void add_where(struct text *t, const struct ask_filter *f, bool side)
{
    bool now = !f->ever;

    add(t, f->owner != 0, "h.dyer_id = :owner");
    add(t, now && f->has_round, "h.round = :round");
    add(t, now && f->bath && !side, "h.bath_id = :bath");
    add(t, now && f->no_dip, "h.dips = ''");
    add_each(t, now, &f->dyestuffs, "instr(h.last_dyestuffs, :dyestuff", ")");
    add_each(t, true, &f->mordants, "instr(h.mordants, :mordant", ")");
    add_each(t, now, &f->dips, "instr(h.dips, :dip", ")");
    add(t, f->only && f->dyestuffs.count,
        now ? "h.last_dyestuffs = :only_dyestuffs"
            : "h.dyestuffs = :only_dyestuffs");
    add(t, f->only && f->mordants.count, "h.mordants = :only_mordants");
    add(t, f->only && f->dips.count, "h.dips = :only_dips");
    add(t, f->fibre != 0,
        "h.skein_id IN (SELECT id FROM skein WHERE fibre_id = :fibre)");
    add(t, f->unfinished,
        "h.skein_id IN (SELECT id FROM skein WHERE finished = 0)");
    add(t, f->water != 0,
        "h.bath_id IN (SELECT id FROM bath WHERE water_id = :water)");
    add(t, *f->from != '\0',
        SCAN_THEN " IN (SELECT id FROM treatment WHERE on_from <= :to AND"
                  " on_to >= :from)");
    add(t, f->months != 0, in_months);
    add(t, !isnan(f->ph.low), ph_fits);
    add(t, *f->glow != '\0', glows);
    add(t, f->bath && side, was_in_bath);
    add(t, f->supply != 0, had_supply);
    if (f->ever)
        add_had(t, f, side);
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

/* Each as ",3," to be looked for in a set, or as an id. */
static void bind_each(struct stmt *q, const char *name,
                      const struct ask_ids *ids, bool as_id)
{
    char param[24], set[24];

    for (size_t i = 0; i < ids->count; i++) {
        snprintf(param, sizeof param, ":%s%zu", name, i);
        snprintf(set, sizeof set, ",%lld,", (long long)ids->id[i]);
        if (as_id)
            bind_int(q, param, ids->id[i]);
        else
            bind_text(q, param, set);
    }
}

/* The set as the shelf holds it, ",3,17,". */
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
    bind_each(q, "dyestuff", &f->dyestuffs, f->ever);
    bind_each(q, "mordant", &f->mordants, false);
    bind_each(q, "dip", &f->dips, f->ever);
    bind_set(q, ":only_dyestuffs", &f->dyestuffs);
    bind_set(q, ":only_mordants", &f->mordants);
    bind_set(q, ":only_dips", &f->dips);
    if (f->has_round)
        bind_int(q, ":round", f->round);
    if (f->bath)
        bind_int(q, side ? ":side_bath" : ":bath", f->bath);
    bind_int(q, ":owner", f->owner);
    bind_int(q, ":fibre", f->fibre);
    bind_int(q, ":water", f->water);
    bind_int(q, ":supply", f->supply);
    if (has(q, ":ph_low")) {
        stmt_real(q, ":ph_low", f->ph.low);
        stmt_real(q, ":ph_high", f->ph.high);
    }
    bind_text(q, ":glow", f->glow);
    bind_text(q, ":from", f->from);
    bind_text(q, ":to", f->to);
    bind_int(q, ":month", f->month);
    bind_int(q, ":months", f->months);
}

/* ---- dyestuff per fibre ---------------------------------------------------
 */

static bool was_poured(struct book *book, int64_t treatment, bool *poured,
                       struct error *err)
{
    struct stmt q;

    if (!stmt_begin(book, STMT_ASK_POURED, &q, err))
        return false;
    stmt_int(&q, ":treatment", treatment);
    if (!stmt_step(&q, poured, err))
        return false;
    stmt_done(&q);
    return true;
}

static enum amount_unit unit_of(const char *s)
{
    if (!s)
        return AMOUNT_NONE;
    return !strcmp(s, "g")           ? AMOUNT_G
           : !strcmp(s, "ml")        ? AMOUNT_ML
           : !strcmp(s, "wof_pct")   ? AMOUNT_WOF_PCT
           : !strcmp(s, "per_fibre") ? AMOUNT_PER_FIBRE
                                     : AMOUNT_NONE;
}

/* Adds up the dyestuff doses, each on the fibre it was weighed for. */
bool scan_weigh(struct book *book, int64_t treatment, struct ask_range *out,
                struct error *err)
{
    struct stmt q;
    bool row, ok, poured = false, any = false;

    *out = (struct ask_range){(double)NAN, (double)NAN};
    if (!treatment)
        return true;
    if (!was_poured(book, treatment, &poured, err) ||
        !stmt_begin(book, STMT_ASK_DYESTUFF, &q, err))
        return false;
    stmt_int(&q, ":treatment", treatment);
    *out = (struct ask_range){0, 0};
    while ((ok = stmt_step(&q, &row, err)) && row) {
        struct amount a = {.unit = unit_of(stmt_get_text(&q, 0)),
                           .low = stmt_get_real(&q, 1),
                           .high = stmt_get_real(&q, 2)};
        double low = (double)NAN, high = (double)NAN;
        if (!amount_wof_pct(&a, stmt_get_real(&q, 3), &low, &high))
            low = high = (double)NAN;
        out->low += low;
        out->high += high;
        any = true;
    }
    stmt_done(&q);
    if (!any || poured)
        *out = (struct ask_range){(double)NAN, (double)NAN};
    return ok;
}

/* Whether the present row passes; skeins of one pot mostly follow each other,
 * so the last answer is kept. */
static bool is_weighed(struct scan *scan, bool *fits, struct error *err)
{
    struct ask_range asked = scan->filter->per_fibre_pct;
    int64_t dye;

    *fits = true;
    if (scan->at.dye < 0)
        return true;
    dye = stmt_get_int(&scan->q, scan->at.dye);
    if (!dye || dye != scan->weighed) {
        if (!scan_weigh(scan->book, dye, &scan->per_fibre, err))
            return false;
        scan->weighed = dye;
    }
    *fits =
        scan->per_fibre.low <= asked.high && scan->per_fibre.high >= asked.low;
    return true;
}

/* ---- the pass -------------------------------------------------------------
 */

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

static bool load_dyers(struct scan *scan, struct error *err)
{
    struct stmt q;
    bool row, ok;

    if (!stmt_begin(scan->book, STMT_ASK_DYERS, &q, err))
        return false;
    while ((ok = stmt_step(&q, &row, err)) && row) {
        scan->dyer = mem_room(scan->dyer, scan->dyers, sizeof *scan->dyer);
        scan->dyer[scan->dyers++] = (struct scan_dyer){
            stmt_get_int(&q, 0), mem_text(stmt_get_text(&q, 1))};
    }
    stmt_done(&q);
    return ok;
}

/* The colour the shelf keeps is that of a filter that says nothing of it. */
static bool is_usual(const struct ask_filter *f)
{
    return !f->wet && !strcmp(f->part, "whole") &&
           !strcmp(f->illuminant, "D50") && f->observer_deg == 2;
}

/* Adds a column if it is wanted; each that is not there is time saved. */
static int column_if(bool wanted, const char *column, int *count,
                     struct text *sql)
{
    if (!wanted)
        return -1;
    text_addf(sql, ", %s", column);
    return (*count)++;
}

static void add_columns(struct scan *scan, struct text *sql)
{
    const bool who = scan->wants >= SCAN_WHO;
    int n = 4;

    text_add(sql, "SELECT h.lack, h.L, h.a, h.b");
    scan->at.id = column_if(who || !scan->usual, "h.skein_id", &n, sql);
    scan->at.dyer = column_if(who, "h.dyer_id", &n, sql);
    scan->at.number = column_if(who, "h.number", &n, sql);
    scan->at.name =
        column_if(scan->wants == SCAN_WHO_AND_NAME, "h.name", &n, sql);
    scan->at.entry = column_if(!scan->usual, "h.entry_id", &n, sql);
    scan->at.dye = column_if(!isnan(scan->filter->per_fibre_pct.low),
                             "h.dye_treatment_id", &n, sql);
    scan->at.more = n;
}

bool scan_begin(struct book *book, const struct ask_filter *filter,
                enum scan_wants wants, const char *more, const char *join,
                struct scan *out, struct error *err)
{
    struct text sql = {0};
    bool side, ok;

    *out = (struct scan){.book = book,
                         .filter = filter,
                         .wants = wants,
                         .usual = is_usual(filter)};
    if (!is_side_bath(book, filter->bath, &side, err) || !load_dyers(out, err))
        return false;
    add_columns(out, &sql);
    text_addf(&sql, "%s FROM shelf h%s WHERE 1", more, join);
    add_where(&sql, filter, side);
    ok = stmt_prepare(book, text_str(&sql), &out->q, err);
    text_clear(&sql);
    if (ok)
        bind_all(&out->q, filter, side);
    return ok;
}

void scan_end(struct scan *scan)
{
    stmt_done(&scan->q);
    for (size_t i = 0; i < scan->dyers; i++)
        free(scan->dyer[i].prefix);
    free(scan->dyer);
    *scan = (struct scan){0};
}

static bool look(struct scan *scan, struct scan_row *row, struct error *err)
{
    struct ask_reading r;

    if (!shelf_reading(scan->book, row->id,
                       stmt_get_int(&scan->q, scan->at.entry), scan->filter, &r,
                       &row->lack, err))
        return false;
    row->lab = r.colour.lab;
    return true;
}

/* Whose it is and what it is called, as far as that is wanted. */
static void take_who(struct scan *scan, struct scan_row *row)
{
    int64_t dyer, name;

    if (scan->wants < SCAN_WHO)
        return;
    dyer = stmt_get_int(&scan->q, scan->at.dyer);
    while (row->dyer < scan->dyers && scan->dyer[row->dyer].id != dyer)
        row->dyer++;
    row->number = stmt_get_int(&scan->q, scan->at.number);
    if (scan->wants < SCAN_WHO_AND_NAME || row->lack != ASK_HAS_COLOUR)
        return;
    name = stmt_get_int(&scan->q, scan->at.name);
    row->name =
        scan->usual ? &colour_names[name - 1] : colour_name_nearest(row->lab);
}

bool scan_next(struct scan *scan, struct scan_row *row, bool *there,
               struct error *err)
{
    struct stmt *q = &scan->q;
    bool fits = false;

    do {
        if (!stmt_step(q, there, err))
            return false;
        if (!*there)
            return true;
        if (!is_weighed(scan, &fits, err))
            return false;
    } while (!fits);
    *row = (struct scan_row){.lack = (enum ask_lack)stmt_get_int(q, 0)};
    if (scan->at.id >= 0)
        row->id = stmt_get_int(q, scan->at.id);
    if (scan->usual && row->lack == ASK_HAS_COLOUR)
        row->lab = (struct lab){stmt_get_real(q, 1), stmt_get_real(q, 2),
                                stmt_get_real(q, 3)};
    else if (!scan->usual && !look(scan, row, err))
        return false;
    if (row->lack != ASK_HAS_COLOUR)
        row->lab = (struct lab){(double)NAN, (double)NAN, (double)NAN};
    take_who(scan, row);
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
