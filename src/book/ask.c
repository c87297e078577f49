/* Skeins that pass a filter, with their life in short and their colour. See
 * book/ask.h. */
#include "book/shelf.h"

#include <assert.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/scan.h"

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

/* ---- the questions --------------------------------------------------------
 */

/* Fills in what needs a statement of its own. */
static bool complete(struct book *book, const struct ask_filter *filter,
                     struct ask_skein *s, struct error *err)
{
    struct ask_range weighed = {(double)NAN, (double)NAN};

    if (!isnan(filter->per_fibre_pct.low) &&
        !scan_weigh(book, s->dye_id, &weighed, err))
        return false;
    s->per_fibre_low = weighed.low;
    s->per_fibre_high = weighed.high;
    return shelf_reading(book, s->id, s->entry_id, filter, &s->reading,
                         &s->lack, err);
}

bool shelf_skein(struct book *book, const struct names *names, int64_t id,
                 const struct ask_filter *filter, struct ask_skein *out,
                 struct error *err)
{
    struct stmt q;
    bool row;

    *out = (struct ask_skein){0};
    if (!stmt_begin(book, STMT_ASK_ONE, &q, err))
        return false;
    stmt_int(&q, ":skein", id);
    if (!stmt_step(&q, &row, err))
        return false;
    if (row)
        take(&q, names, out);
    stmt_done(&q);
    if (!row)
        return error_set(err, ERR_MISSING, "there is no skein #%lld",
                         (long long)id);
    if (complete(book, filter, out, err))
        return true;
    ask_skein_clear(out);
    return false;
}

/* All rows of a scan in order; release with free(). */
static bool scan_all(struct book *book, const struct ask_filter *filter,
                     struct scan_row **out, size_t *count, struct error *err)
{
    struct scan scan;
    bool there, ok = scan_begin(book, filter, SCAN_WHO, "", "", &scan, err);

    *out = NULL;
    *count = 0;
    while (ok) {
        *out = mem_room(*out, *count, sizeof **out);
        ok = scan_next(&scan, &(*out)[*count], &there, err);
        if (!ok || !there)
            break;
        ++*count;
    }
    scan_end(&scan);
    if (ok)
        qsort(*out, *count, sizeof **out, scan_order);
    return ok;
}

bool ask_skeins(struct book *book, const struct ask_filter *filter,
                size_t limit, struct ask_skeins *out, struct error *err)
{
    struct scan_row *row;
    struct names names = {0};
    bool ok;

    *out = (struct ask_skeins){0};
    ok = scan_all(book, filter, &row, &out->found, err) &&
         names_load(book, &names, err);
    if (!limit || limit > out->found)
        limit = out->found;
    out->skein = mem_new(limit, sizeof *out->skein);
    for (; ok && out->count < limit; out->count += ok)
        ok = shelf_skein(book, &names, row[out->count].id, filter,
                         &out->skein[out->count], err);
    names_free(&names);
    free(row);
    if (!ok)
        ask_skeins_free(out);
    return ok;
}

bool ask_empty_baths(struct book *book, int64_t **ids, size_t *count,
                     struct error *err)
{
    struct stmt q;
    bool row, ok;

    *ids = NULL;
    *count = 0;
    if (!stmt_begin(book, STMT_ASK_EMPTY_BATHS, &q, err))
        return false;
    while ((ok = stmt_step(&q, &row, err)) && row) {
        *ids = mem_room(*ids, *count, sizeof **ids);
        (*ids)[(*count)++] = stmt_get_int(&q, 0);
    }
    stmt_done(&q);
    return ok;
}

bool ask_skein(struct book *book, int64_t id, const struct ask_filter *filter,
               struct ask_skein *out, struct error *err)
{
    struct names names;
    bool ok;

    *out = (struct ask_skein){0};
    if (!names_load(book, &names, err))
        return false;
    ok = shelf_skein(book, &names, id, filter, out, err);
    names_free(&names);
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
