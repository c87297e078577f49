/* Skeins that pass a filter, with their life in short and their colour. See
 * book/ask.h. */
#include "book/record.h"
#include "book/shelf.h"

#include <assert.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/scan.h"
#include "book/weigh.h"

/* ---- rows -----------------------------------------------------------------
 */

static char *get_text(struct stmt *q, int column)
{
    return mem_text(stmt_get_text(q, column));
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

static void take_recipe(struct stmt *q, const struct names *names,
                        struct lore_recipe *out)
{
    char *under = set_without(stmt_get_text(q, 1), stmt_get_text(q, 0));

    *out = (struct lore_recipe){
        .last_dyestuffs = names_of_set(names, stmt_get_text(q, 0)),
        .dyestuffs = names_of_set(names, stmt_get_text(q, 1)),
        .under = names_of_set(names, under),
        .mordants = names_of_set(names, stmt_get_text(q, 2)),
        .dips = names_of_set(names, stmt_get_text(q, 3)),
        .no_mordant = names_are_none(names, stmt_get_text(q, 2)),
        .layers = stmt_get_int(q, 4),
        .has_round = !stmt_is_null(q, 5),
        .round = stmt_get_int(q, 5)};
    free(under);
}

const struct lore_recipe *lore_recipe_of(struct book *book, struct lore *lore,
                                         int64_t id, struct error *err)
{
    const int64_t *known = id_map_at(&lore->recipe, id);
    const size_t n = lore->recipe.count;
    struct stmt q;
    bool row;

    if (known)
        return &lore->recipes[*known];
    if (!stmt_begin(book, STMT_ASK_RECIPE, &q, err))
        return NULL;
    stmt_int(&q, ":recipe", id);
    if (!stmt_step(&q, &row, err))
        return NULL;
    lore->recipes = mem_room(lore->recipes, n, sizeof *lore->recipes);
    take_recipe(&q, &lore->names, &lore->recipes[n]);
    id_map_put(&lore->recipe, id, (int64_t)n);
    stmt_done(&q);
    return &lore->recipes[n];
}

const struct lore_pot *lore_pot_of(struct book *book, struct lore *lore,
                                   int64_t pot, struct error *err)
{
    static const struct lore_pot none = {0};
    const int64_t *known = id_map_at(&lore->pot, pot);
    const size_t n = lore->pot.count;
    struct stmt q;
    bool row;

    if (!pot)
        return &none;
    if (known)
        return &lore->pots[*known];
    if (!stmt_begin(book, STMT_ASK_POT, &q, err))
        return NULL;
    stmt_int(&q, ":treatment", pot > 0 ? pot : -pot);
    stmt_int(&q, ":dyed", pot > 0);
    if (!stmt_step(&q, &row, err))
        return NULL;
    lore->pots = mem_room(lore->pots, n, sizeof *lore->pots);
    lore->pots[n] =
        (struct lore_pot){get_text(&q, 0), get_text(&q, 1), get_text(&q, 2),
                          get_text(&q, 3), get_text(&q, 4)};
    id_map_put(&lore->pot, pot, (int64_t)n);
    stmt_done(&q);
    return &lore->pots[n];
}

bool lore_load(struct book *book, struct lore *out, struct error *err)
{
    *out = (struct lore){0};
    return names_load(book, &out->names, err);
}

void lore_free(struct lore *lore)
{
    for (size_t i = 0; i < lore->recipe.count; i++) {
        struct lore_recipe *r = &lore->recipes[i];
        char *owned[] = {r->last_dyestuffs, r->dyestuffs, r->under, r->mordants,
                         r->dips};
        for (size_t k = 0; k < ARRAY_LEN(owned); k++)
            free(owned[k]);
    }
    for (size_t i = 0; i < lore->pot.count; i++) {
        struct lore_pot *p = &lore->pots[i];
        char *owned[] = {p->on_words, p->from, p->to, p->bath, p->bath_name};
        for (size_t k = 0; k < ARRAY_LEN(owned); k++)
            free(owned[k]);
    }
    free(lore->recipes);
    free(lore->pots);
    id_map_clear(&lore->recipe);
    id_map_clear(&lore->pot);
    names_free(&lore->names);
    *lore = (struct lore){0};
}

/* Columns of STMT_ASK_ONE. */
static void take(struct stmt *q, struct ask_skein *s)
{
    struct text label = {0};

    *s = (struct ask_skein){.id = stmt_get_int(q, 0),
                            .number = stmt_get_int(q, 1),
                            .dyer_id = stmt_get_int(q, 2),
                            .mine = stmt_get_int(q, 3) != 0,
                            .fibre_id = stmt_get_int(q, 9),
                            .weight_g = stmt_get_real(q, 11),
                            .ordinal = stmt_get_int(q, 12),
                            .entry_id = stmt_get_int(q, 13),
                            .dye_id = stmt_get_int(q, 14),
                            .bath_id = stmt_get_int(q, 15),
                            .per_fibre_low = (double)NAN,
                            .per_fibre_high = (double)NAN,
                            .lack = ASK_NEVER};
    s->dyer = get_text(q, 4);
    s->unfinished = !stmt_is_null(q, 5) && !stmt_get_int(q, 5);
    s->name = get_text(q, 6);
    s->code = get_text(q, 7);
    s->own_word = get_text(q, 8);
    s->word_before = get_text(q, 18);
    s->fibre = get_text(q, 10);
    if (!s->mine)
        text_addf(&label, "%s/", s->dyer);
    text_addf(&label, "%lld", (long long)s->number);
    s->label = text_take(&label);
}

static void take_lore(const struct lore_recipe *r, const struct lore_pot *p,
                      struct ask_skein *s)
{
    s->last_dyestuffs = mem_text(r->last_dyestuffs);
    s->dyestuffs = mem_text(r->dyestuffs);
    s->under = mem_text(r->under);
    s->mordants = mem_text(r->mordants);
    s->dips = mem_text(r->dips);
    s->no_mordant = r->no_mordant;
    s->layers = r->layers;
    s->has_round = r->has_round;
    s->round = r->round;
    s->on_words = mem_text(p->on_words);
    s->bath = mem_text(p->bath);
    s->bath_name = mem_text(p->bath_name);
    snprintf(s->from, sizeof s->from, "%s", p->from ? p->from : "");
    snprintf(s->to, sizeof s->to, "%s", p->to ? p->to : "");
}

void ask_skein_clear(struct ask_skein *s)
{
    char *owned[] = {s->label,     s->dyer,           s->name,      s->code,
                     s->own_word,  s->word_before,    s->fibre,     s->bath,
                     s->dyestuffs, s->last_dyestuffs, s->mordants,  s->dips,
                     s->on_words,  s->under,          s->bath_name, s->as};

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

/* The one that a skein was cut off, and after which of its steps; 0 when it was
 * not, or plied from several. */
static bool cut_off(struct book *book, int64_t skein, int64_t *from,
                    int64_t *after, struct error *err)
{
    struct stmt q;
    bool row;

    *from = 0;
    if (!stmt_begin(book, STMT_ASK_CUT_OFF, &q, err))
        return false;
    stmt_int(&q, ":of", skein);
    if (!stmt_step(&q, &row, err))
        return false;
    if (row) {
        *from = stmt_get_int(&q, 0);
        *after = stmt_get_int(&q, 1);
    }
    stmt_done(&q);
    return true;
}

/* A piece that nothing was done to since, nor to the piece it was cut off. */
static bool as_it_was(struct book *book, const struct ask_filter *filter,
                      struct ask_skein *s, struct error *err)
{
    int64_t skein = s->id, after = s->entry_id;
    enum ask_lack lack = s->lack;
    struct text label = {0};
    bool ok;

    while (lack == ASK_NEVER && !after) {
        if (!cut_off(book, skein, &skein, &after, err) ||
            (skein && !shelf_reading(book, skein, after, filter, &s->as_reading,
                                     &lack, err)))
            return false;
        if (!skein)
            return true;
    }
    if (lack != ASK_HAS_COLOUR || skein == s->id)
        return true;
    ok = record_label(book, NOUN_SKEIN, skein, &label, err);
    s->as = text_take(&label);
    return ok;
}

/* A skein and what its words are of. */
struct draft {
    struct ask_skein *skein;
    int64_t recipe, pot;
    bool withdrawn;
};

static bool draw(struct book *book, int64_t id, struct draft *out,
                 struct error *err)
{
    struct stmt q;
    bool row;

    if (!stmt_begin(book, STMT_ASK_ONE, &q, err))
        return false;
    stmt_int(&q, ":skein", id);
    if (!stmt_step(&q, &row, err))
        return false;
    if (row) {
        take(&q, out->skein);
        out->recipe = stmt_get_int(&q, 16);
        out->pot = stmt_get_int(&q, 17);
        out->withdrawn = stmt_get_int(&q, 19) != 0;
    }
    stmt_done(&q);
    return row || error_set(err, ERR_MISSING, "there is no skein #%lld",
                            (long long)id);
}

static bool add_words(struct book *book, struct lore *lore,
                      const struct draft *of, struct error *err)
{
    const struct lore_recipe *recipe =
        lore_recipe_of(book, lore, of->recipe, err);
    const struct lore_pot *pot =
        recipe ? lore_pot_of(book, lore, of->pot, err) : NULL;

    if (pot)
        take_lore(recipe, pot, of->skein);
    return pot != NULL;
}

static bool add_weighed(struct book *book, const struct ask_filter *filter,
                        struct ask_skein *s, struct error *err)
{
    struct ask_range weighed = {(double)NAN, (double)NAN};

    if (!isnan(filter->per_fibre_pct.low) &&
        !weigh_dyestuff(book, s->dye_id, &weighed, err))
        return false;
    s->per_fibre_low = weighed.low;
    s->per_fibre_high = weighed.high;
    return true;
}

static bool made_by(struct book *book, int64_t skein,
                    const struct id_set *recipes, bool *is, struct error *err)
{
    struct stmt q;
    bool row, ok = stmt_begin(book, STMT_ASK_LAST, &q, err);

    if (ok)
        stmt_int(&q, ":skein", skein);
    ok = ok && stmt_step(&q, &row, err);
    *is = ok && row && id_set_has(recipes, stmt_get_int(&q, 1));
    if (ok)
        stmt_done(&q);
    return ok;
}

static bool goes_by(const struct ask_skein *s, struct lab c)
{
    const struct lab *is = &s->reading.colour.lab;

    return s->lack == ASK_HAS_COLOUR && is->L == c.L && is->a == c.a &&
           is->b == c.b;
}

/* as NULL: whatever it is. */
static bool read_if(struct book *book, struct lore *lore, int64_t id,
                    const struct ask_filter *filter, const struct shelf_if *as,
                    struct ask_skein *out, bool *fits, struct error *err)
{
    struct draft of = {.skein = out};

    *fits = true;
    if (as && as->recipe && !made_by(book, id, as->recipe, fits, err))
        return false;
    if (!*fits)
        return true;
    if (!draw(book, id, &of, err) ||
        !shelf_reading(book, id, out->entry_id, filter, &out->reading,
                       &out->lack, err))
        return false;
    *fits = !as || (!of.withdrawn && goes_by(out, as->lab));
    return !*fits || (add_words(book, lore, &of, err) &&
                      add_weighed(book, filter, out, err) &&
                      as_it_was(book, filter, out, err));
}

bool shelf_skein_if(struct book *book, struct lore *lore, int64_t id,
                    const struct ask_filter *filter, const struct shelf_if *as,
                    struct ask_skein *out, bool *fits, struct error *err)
{
    bool ok;

    *out = (struct ask_skein){0};
    ok = read_if(book, lore, id, filter, as, out, fits, err);
    if (!ok || !*fits)
        ask_skein_clear(out);
    return ok;
}

bool shelf_skein(struct book *book, struct lore *lore, int64_t id,
                 const struct ask_filter *filter, struct ask_skein *out,
                 struct error *err)
{
    bool fits;

    return shelf_skein_if(book, lore, id, filter, NULL, out, &fits, err);
}

bool ask_ph(struct book *book, int64_t treatment, struct ask_range *out,
            struct error *err)
{
    struct stmt q;
    bool row;

    if (!stmt_begin(book, STMT_ASK_PH, &q, err))
        return false;
    stmt_int(&q, ":treatment", treatment);
    if (!stmt_step(&q, &row, err))
        return false;
    *out = (struct ask_range){stmt_get_real(&q, 0), stmt_get_real(&q, 1)};
    stmt_done(&q);
    return true;
}

/* All rows of a scan in order; release with free(). */
static bool scan_all(struct book *book, const struct ask_filter *filter,
                     struct scan_row **out, size_t *count, struct error *err)
{
    struct scan scan;
    bool there, ok = scan_begin(book, filter, SCAN_WHO, &scan, err);

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

static bool read_all(struct book *book, const struct ask_filter *filter,
                     size_t limit, struct ask_skeins *out, struct error *err)
{
    struct scan_row *row;
    struct lore lore = {0};
    bool ok;

    ok = scan_all(book, filter, &row, &out->found, err) &&
         lore_load(book, &lore, err);
    if (!limit || limit > out->found)
        limit = out->found;
    out->skein = mem_new(limit, sizeof *out->skein);
    for (; ok && out->count < limit; out->count += ok)
        ok = shelf_skein(book, &lore, row[out->count].id, filter,
                         &out->skein[out->count], err);
    lore_free(&lore);
    free(row);
    return ok;
}

bool ask_skeins(struct book *book, const struct ask_filter *filter,
                size_t limit, struct ask_skeins *out, struct error *err)
{
    bool ok;

    *out = (struct ask_skeins){0};
    ok = book_look(book, err) && read_all(book, filter, limit, out, err);
    book_look_end(book);
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
    struct lore lore;
    bool ok;

    *out = (struct ask_skein){0};
    ok = lore_load(book, &lore, err) &&
         shelf_skein(book, &lore, id, filter, out, err);
    lore_free(&lore);
    return ok;
}

const struct lab *ask_skein_colour(const struct ask_skein *s)
{
    return s->lack == ASK_HAS_COLOUR ? &s->reading.colour.lab
           : s->as                   ? &s->as_reading.colour.lab
                                     : NULL;
}

void ask_colour_words(const struct ask_skein *s, struct text *out)
{
    const struct lab *c = ask_skein_colour(s);

    text_add(out, c ? colour_name_nearest(*c)->name
                    : ask_lack_words(s->lack, false));
    if (s->as)
        text_addf(out, ", as skein %s", s->as);
}

void ask_own_word(const struct ask_skein *s, struct text *out)
{
    const char *before = s->word_before, *what = NULL;

    if (!s->own_word)
        return;
    text_add(out, s->own_word);
    if (!before)
        return;
    if (!strcmp(before, "dye") || !strcmp(before, "vat"))
        what = s->last_dyestuffs;
    else if (!strcmp(before, "dip"))
        what = s->dips;
    text_addf(out, " (before %s)", what ? what : before);
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
        text_addf(out, "%sbath %s%s%s", s->has_round ? " of " : ", ", s->bath,
                  s->bath_name ? " " : "", s->bath_name ? s->bath_name : "");
    if (s->dips)
        text_addf(out, ", dipped in %s", s->dips);
}
