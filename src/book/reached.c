/* Which skeins an act may have made others. See reached.h. */
#include "book/reached.h"

#include <stdlib.h>

#include "base/mem.h"

/* Some of a kind, each once, in the order they were met; depth is the number of
 * each. */
struct reached {
    struct id_map depth;
    int64_t *id;
    size_t count;
};

static void reach(struct reached *all, int64_t id, int64_t depth)
{
    const int64_t *has = id_map_at(&all->depth, id);

    if (!id || (has && *has >= depth))
        return;
    id_map_put(&all->depth, id, depth);
    all->id = mem_room(all->id, all->count, sizeof *all->id);
    all->id[all->count++] = id;
}

static void reached_clear(struct reached *all)
{
    id_map_clear(&all->depth);
    free(all->id);
}

/* What a statement gives for one id or a range: its columns are those of one
 * kind and another. */
static bool reach_by(struct book *book, enum stmt_id which, int64_t from,
                     int64_t to, int64_t depth, struct reached *one,
                     struct reached *other, struct error *err)
{
    struct stmt q;
    bool row, ok = stmt_begin(book, which, &q, err);

    if (!ok)
        return false;
    if (to) {
        stmt_int(&q, ":from", from);
        stmt_int(&q, ":to", to);
    } else {
        stmt_int(&q, ":of", from);
    }
    while ((ok = stmt_step(&q, &row, err)) && row) {
        reach(one, stmt_get_int(&q, 0), depth);
        if (other)
            reach(other, stmt_get_int(&q, 1), depth);
    }
    stmt_done(&q);
    return ok;
}

/* What the records of a kind that were touched belong to. */
static bool reach_from(struct book *book, const struct touched_kind *k,
                       enum stmt_id which, struct reached *one,
                       struct reached *other, struct error *err)
{
    bool ok =
        k->to < 0 || reach_by(book, which, k->from, k->to, 0, one, other, err);

    for (size_t i = 0; ok && i < k->count; i++)
        ok = reach_by(book, which, k->changed[i], k->changed[i], 0, one, other,
                      err);
    return ok;
}

static void reach_changed(const struct touched_kind *k, struct reached *all)
{
    for (size_t i = 0; i < k->count; i++)
        reach(all, k->changed[i], 0);
}

/* What belongs to a bath or a treatment that is new is new or changed itself,
 * and found by that. */
static bool reach_skeins(struct book *book, const struct touched *t,
                         struct reached *bath, struct reached *treatment,
                         struct reached *skein, struct error *err)
{
    const struct touched_kind *of = t->of;
    bool ok =
        reach_from(book, &of[NOUN_DOSE], STMT_TOUCHED_DOSE, bath, treatment,
                   err) &&
        reach_from(book, &of[NOUN_POUR], STMT_TOUCHED_POUR, bath, NULL, err) &&
        reach_from(book, &of[NOUN_ENTRY], STMT_TOUCHED_ENTRY, skein, NULL,
                   err) &&
        reach_from(book, &of[NOUN_READING], STMT_TOUCHED_READING, skein, NULL,
                   err) &&
        reach_from(book, &of[NOUN_ORIGIN], STMT_TOUCHED_ORIGIN, skein, NULL,
                   err);

    reach_changed(&of[NOUN_BATH], bath);
    reach_changed(&of[NOUN_TREATMENT], treatment);
    reach_changed(&of[NOUN_SKEIN], skein);
    for (int64_t id = of[NOUN_SKEIN].from; id <= of[NOUN_SKEIN].to; id++)
        reach(skein, id, 0);
    for (size_t i = 0; ok && i < bath->count; i++) {
        const int64_t id = bath->id[i];
        ok = touched_is_new(&of[NOUN_BATH], id) ||
             (reach_by(book, STMT_BATH_INTO, id, 0, 0, bath, NULL, err) &&
              reach_by(book, STMT_BATH_TREATMENTS, id, 0, 0, treatment, NULL,
                       err));
    }
    for (size_t i = 0; ok && i < treatment->count; i++)
        ok = touched_is_new(&of[NOUN_TREATMENT], treatment->id[i]) ||
             reach_by(book, STMT_TREATMENT_SKEINS, treatment->id[i], 0, 0,
                      skein, NULL, err);
    /* A child that two ways lead to is as deep as the longer one. */
    for (size_t i = 0; ok && i < skein->count; i++)
        ok = reach_by(book, STMT_SKEIN_CHILDREN, skein->id[i], 0,
                      *id_map_at(&skein->depth, skein->id[i]) + 1, skein, NULL,
                      err);
    return ok;
}

static int by_depth(const void *x, const void *y)
{
    const struct id_slot *a = x, *b = y;

    return a->value != b->value ? (a->value > b->value) - (a->value < b->value)
                                : (a->id > b->id) - (a->id < b->id);
}

/* Parents before their children. */
static struct id_slot *in_order(const struct reached *skein)
{
    struct id_slot *all = mem_new(skein->depth.count, sizeof *all);
    size_t n = 0;

    for (size_t i = 0; i < skein->depth.slots; i++)
        if (skein->depth.slot[i].id)
            all[n++] = skein->depth.slot[i];
    qsort(all, n, sizeof *all, by_depth);
    return all;
}

bool reached_skeins(struct book *book, const struct touched *t,
                    struct id_slot **out, size_t *count, struct error *err)
{
    struct reached bath = {0}, treatment = {0}, skein = {0};
    bool ok = reach_skeins(book, t, &bath, &treatment, &skein, err);

    *out = ok ? in_order(&skein) : NULL;
    *count = ok ? skein.depth.count : 0;
    reached_clear(&bath);
    reached_clear(&treatment);
    reached_clear(&skein);
    return ok;
}
