/* Skeins that pass a filter, with their life in short and their colour. See
 * book/ask.h. */
#include "book/shelf.h"

#include <assert.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "dye/amount.h"

/* ---- binding a filter -----------------------------------------------------
 */

/* "[3,17]"; "[0]" for none, so that a round alone has something to hold. */
static void bind_list(struct stmt *q, const char *name,
                      const struct ask_ids *ids)
{
    struct text t = {0};

    text_add(&t, ids->count ? "[" : "[0");
    for (size_t i = 0; i < ids->count; i++)
        text_addf(&t, "%s%lld", i ? "," : "", (long long)ids->id[i]);
    text_add(&t, "]");
    stmt_text(q, name, text_str(&t));
    text_clear(&t);
}

static void add_sought(struct text *t, const char *role,
                       const struct ask_ids *ids)
{
    for (size_t i = 0; i < ids->count; i++)
        text_addf(t, "%s[\"%s\",%lld]", t->len > 1 ? "," : "", role,
                  (long long)ids->id[i]);
}

/* What the last step must have in it: [["mordant",3],["dip",17]]. */
static void bind_sought(struct stmt *q, const struct ask_filter *f)
{
    struct text t = {0};

    text_add(&t, "[");
    add_sought(&t, "mordant", &f->mordants);
    if (!f->ever) {
        add_sought(&t, "last_dyestuff", &f->dyestuffs);
        add_sought(&t, "dip", &f->dips);
    }
    text_add(&t, "]");
    stmt_text(q, ":sought", text_str(&t));
    text_clear(&t);
}

static int by_id(const void *a, const void *b)
{
    int64_t x = *(const int64_t *)a, y = *(const int64_t *)b;

    return (x > y) - (x < y);
}

/* The set as step holds it, ",3,17,"; NULL for none. */
static void bind_set(struct stmt *q, const char *name,
                     const struct ask_ids *ids, bool only)
{
    struct ask_ids sorted = *ids;
    struct text t = {0};

    if (!only || !ids->count) {
        stmt_null(q, name);
        return;
    }
    qsort(sorted.id, sorted.count, sizeof *sorted.id, by_id);
    text_add(&t, ",");
    for (size_t i = 0; i < sorted.count; i++)
        text_addf(&t, "%lld,", (long long)sorted.id[i]);
    stmt_text(q, name, text_str(&t));
    text_clear(&t);
}

static void bind_words(struct stmt *q, const char *name, const char *words)
{
    if (*words)
        stmt_text(q, name, words);
    else
        stmt_null(q, name);
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

static bool begin_all(struct book *book, const struct ask_filter *f, bool side,
                      struct stmt *q, struct error *err)
{
    if (!stmt_begin(book, STMT_ASK_ALL, q, err))
        return false;
    bind_sought(q, f);
    bind_set(q, ":only_dyestuffs", &f->dyestuffs, f->only);
    bind_set(q, ":only_mordants", &f->mordants, f->only);
    bind_set(q, ":only_dips", &f->dips, f->only);
    stmt_int(q, ":no_dip", f->no_dip);
    stmt_int(q, ":ever", f->ever);
    stmt_int(q, ":unfinished", f->unfinished);
    if (f->has_round)
        stmt_int(q, ":round", f->round);
    stmt_id(q, ":bath", side ? 0 : f->bath);
    stmt_id(q, ":fibre", f->fibre);
    stmt_id(q, ":owner", f->owner);
    stmt_id(q, ":water", f->water);
    stmt_real(q, ":ph_low", f->ph.low);
    stmt_real(q, ":ph_high", f->ph.high);
    bind_words(q, ":glow", f->glow);
    bind_words(q, ":from", f->from);
    bind_words(q, ":to", f->to);
    return true;
}

/* Ids in rising order of the skeins whose whole life passes. */
struct passed {
    int64_t *id;
    size_t count;
    bool asked; /* else all of them do */
};

static bool load_passed(struct book *book, const struct ask_filter *f,
                        bool side, struct passed *out, struct error *err)
{
    struct stmt q;
    bool row, ok;

    *out = (struct passed){.asked = f->ever || side || f->supply};
    if (!out->asked)
        return true;
    if (!stmt_begin(book, STMT_ASK_LIFE, &q, err))
        return false;
    bind_list(&q, ":dyestuffs", &f->dyestuffs);
    bind_list(&q, ":dips", &f->dips);
    stmt_int(&q, ":no_dip", f->no_dip);
    stmt_int(&q, ":ever", f->ever);
    if (f->has_round)
        stmt_int(&q, ":round", f->round);
    stmt_id(&q, ":bath", side ? 0 : f->bath);
    stmt_id(&q, ":any_bath", side ? f->bath : 0);
    stmt_id(&q, ":supply", f->supply);
    while ((ok = stmt_step(&q, &row, err)) && row) {
        if (out->count % 64 == 0)
            out->id = mem_resize(out->id, out->count + 64, sizeof *out->id);
        out->id[out->count++] = stmt_get_int(&q, 0);
    }
    stmt_done(&q);
    return ok;
}

static bool has_passed(const struct passed *p, int64_t id)
{
    return !p->asked ||
           (p->count && bsearch(&id, p->id, p->count, sizeof *p->id, by_id));
}

/* ---- rows -----------------------------------------------------------------
 */

static char *get_text(struct stmt *q, int column)
{
    return mem_text(stmt_get_text(q, column));
}

static void get_day(struct stmt *q, int column, char out[11])
{
    const char *s = stmt_get_text(q, column);

    snprintf(out, 11, "%s", s ? s : "");
}

/* The ids of one set that are not in another. */
static char *set_without(const char *set, const char *less)
{
    struct text t = {0}, look = {0};

    for (const char *p = set; *p && p[1]; p = strchr(p + 1, ',')) {
        text_reset(&look);
        text_add_n(&look, p, (size_t)(strchr(p + 1, ',') - p) + 1);
        if (!strstr(less, text_str(&look)))
            text_add(&t, text_str(&look));
    }
    text_clear(&look);
    return text_take(&t);
}

/* Columns of SQL_ASK. */
static void take(struct stmt *q, const struct names *names, struct ask_skein *s)
{
    struct text label = {0};
    char *under;

    *s = (struct ask_skein){.id = stmt_get_int(q, 0),
                            .number = stmt_get_int(q, 1),
                            .dyer_id = stmt_get_int(q, 2),
                            .mine = stmt_get_int(q, 3) != 0,
                            .fibre_id = stmt_get_int(q, 9),
                            .weight_g = stmt_get_real(q, 11),
                            .ordinal = stmt_get_int(q, 12),
                            .entry_id = stmt_get_int(q, 13),
                            .layers = stmt_get_int(q, 18),
                            .dye_id = stmt_get_int(q, 19),
                            .bath_id = stmt_get_int(q, 20),
                            .has_round = !stmt_is_null(q, 22),
                            .round = stmt_get_int(q, 22),
                            .ph_low = stmt_get_real(q, 26),
                            .ph_high = stmt_get_real(q, 27),
                            .per_fibre_low = (double)NAN,
                            .per_fibre_high = (double)NAN,
                            .lack = ASK_NEVER};
    s->dyer = get_text(q, 4);
    s->unfinished = !stmt_is_null(q, 5) && !stmt_get_int(q, 5);
    s->name = get_text(q, 6);
    s->code = get_text(q, 7);
    s->own_word = get_text(q, 8);
    s->fibre = get_text(q, 10);
    s->last_dyestuffs = names_of_set(names, stmt_get_text(q, 14));
    s->dyestuffs = names_of_set(names, stmt_get_text(q, 15));
    under = set_without(stmt_get_text(q, 15), stmt_get_text(q, 14));
    s->under = names_of_set(names, under);
    free(under);
    s->mordants = names_of_set(names, stmt_get_text(q, 16));
    s->no_mordant = names_are_none(names, stmt_get_text(q, 16));
    s->dips = names_of_set(names, stmt_get_text(q, 17));
    s->bath = get_text(q, 21);
    s->on_words = get_text(q, 23);
    get_day(q, 24, s->from);
    get_day(q, 25, s->to);
    if (!s->mine)
        text_addf(&label, "%s/", s->dyer);
    text_addf(&label, "%lld", (long long)s->number);
    s->label = text_take(&label);
}

void ask_skein_clear(struct ask_skein *s)
{
    char *owned[] = {s->label,          s->dyer,     s->name, s->code,
                     s->own_word,       s->fibre,    s->bath, s->dyestuffs,
                     s->last_dyestuffs, s->mordants, s->dips, s->on_words,
                     s->under};

    for (size_t i = 0; i < ARRAY_LEN(owned); i++)
        free(owned[i]);
    *s = (struct ask_skein){0};
}

void ask_skeins_free(struct ask_skeins *skeins)
{
    for (size_t i = 0; i < skeins->count; i++)
        ask_skein_clear(&skeins->skein[i]);
    free(skeins->skein);
    *skeins = (struct ask_skeins){0};
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

/* Adds up the dyestuff doses of the last dye, each on the fibre it was weighed
 * for; NaN when one of them is not known, or other liquor was poured in. */
static bool weigh(struct book *book, struct ask_skein *s, struct error *err)
{
    struct stmt q;
    bool row, ok, poured = false, any = false;

    if (!s->dye_id)
        return true;
    if (!was_poured(book, s->dye_id, &poured, err) ||
        !stmt_begin(book, STMT_ASK_DYESTUFF, &q, err))
        return false;
    stmt_int(&q, ":treatment", s->dye_id);
    s->per_fibre_low = s->per_fibre_high = 0;
    while ((ok = stmt_step(&q, &row, err)) && row) {
        struct amount a = {.unit = unit_of(stmt_get_text(&q, 0)),
                           .low = stmt_get_real(&q, 1),
                           .high = stmt_get_real(&q, 2)};
        double low = (double)NAN, high = (double)NAN;
        if (!amount_wof_pct(&a, stmt_get_real(&q, 3), &low, &high))
            low = high = (double)NAN;
        s->per_fibre_low += low;
        s->per_fibre_high += high;
        any = true;
    }
    stmt_done(&q);
    if (!any || poured)
        s->per_fibre_low = s->per_fibre_high = (double)NAN;
    return ok;
}

static bool overlaps(struct ask_range asked, double low, double high)
{
    return isnan(asked.low) || (low <= asked.high && high >= asked.low);
}

/* ---- the questions --------------------------------------------------------
 */

/* Fills in what needs a statement of its own. */
static bool complete(struct book *book, const struct ask_filter *filter,
                     struct ask_skein *s, struct error *err)
{
    return (isnan(filter->per_fibre_pct.low) || weigh(book, s, err)) &&
           shelf_reading(book, s->id, s->entry_id, filter, &s->reading,
                         &s->lack, err);
}

/* Those of STMT_ASK_ALL whose life passes as well. */
static bool load_all(struct book *book, const struct ask_filter *filter,
                     struct ask_skeins *out, struct error *err)
{
    struct names names = {0};
    struct passed passed = {0};
    struct stmt q = {0};
    bool row, side,
        ok = is_side_bath(book, filter->bath, &side, err) &&
             load_passed(book, filter, side, &passed, err) &&
             names_load(book, &names, err) &&
             begin_all(book, filter, side, &q, err);

    while (ok && (ok = stmt_step(&q, &row, err)) && row) {
        if (!has_passed(&passed, stmt_get_int(&q, 0)))
            continue;
        if (out->count % 64 == 0)
            out->skein =
                mem_resize(out->skein, out->count + 64, sizeof *out->skein);
        take(&q, &names, &out->skein[out->count++]);
    }
    stmt_done(&q);
    names_free(&names);
    free(passed.id);
    return ok;
}

bool ask_skeins(struct book *book, const struct ask_filter *filter,
                struct ask_skeins *out, struct error *err)
{
    size_t kept = 0;
    bool ok;

    *out = (struct ask_skeins){0};
    ok = load_all(book, filter, out, err);
    for (size_t i = 0; ok && i < out->count; i++)
        ok = complete(book, filter, &out->skein[i], err);
    if (!ok) {
        ask_skeins_free(out);
        return false;
    }
    for (size_t i = 0; i < out->count; i++) {
        struct ask_skein *s = &out->skein[i];
        if (overlaps(filter->per_fibre_pct, s->per_fibre_low,
                     s->per_fibre_high))
            out->skein[kept++] = *s;
        else
            ask_skein_clear(s);
    }
    out->count = kept;
    return true;
}

bool ask_skein(struct book *book, int64_t id, const struct ask_filter *filter,
               struct ask_skein *out, struct error *err)
{
    struct names names;
    struct stmt q = {0};
    bool row = false, ok;

    *out = (struct ask_skein){0};
    if (!names_load(book, &names, err))
        return false;
    ok = stmt_begin(book, STMT_ASK_ONE, &q, err);
    if (ok)
        stmt_int(&q, ":skein", id);
    ok = ok && stmt_step(&q, &row, err);
    if (row)
        take(&q, &names, out);
    stmt_done(&q);
    names_free(&names);
    if (ok && !row)
        return error_set(err, ERR_MISSING, "there is no skein #%lld",
                         (long long)id);
    ok = ok && complete(book, filter, out, err);
    if (!ok)
        ask_skein_clear(out);
    return ok;
}

void ask_recipe_words(const struct ask_skein *s, struct text *out)
{
    const char *dye = s->last_dyestuffs;

    if (s->layers)
        text_add(out, dye ? dye : "dyestuff not recorded");
    else
        text_add(out, s->mordants && !s->no_mordant ? "not dyed," : "not dyed");
    if (s->under)
        text_addf(out, " over %s", s->under);
    else if (s->layers > 1)
        text_addf(out, " (%lld times)", (long long)s->layers);
    if (s->mordants)
        text_addf(out, s->no_mordant ? ", %s" : " on %s", s->mordants);
    if (s->has_round) {
        text_add(out, ", ");
        ask_round_words(s->round, out);
    }
    if (s->bath)
        text_addf(out, "%sbath %s", s->has_round ? " of " : ", ", s->bath);
    if (s->dips)
        text_addf(out, ", dipped in %s", s->dips);
}
