/* Skeins of the book for a project: mordanted spares. See project_making.h. */
#include "book/project_making.h"

#include <math.h>
#include <stdlib.h>

#include "base/mem.h"
#include "base/parts.h"
#include "book/ask.h"
#include "book/cut.h"
#include "book/sheet.h"

/* Strengths so near are the same, as a part of the greater: our own choice. */
#define ALIKE 0.1

/* ---- what others are to dye -------------------------------------------------
 */

struct task_skeins {
    char *words;
    int64_t owner, project;
};

static bool read_tasks(struct book *book, struct task_skeins **task, size_t *n,
                       struct error *err)
{
    struct stmt q;
    bool row, ok;

    if (!stmt_begin(book, STMT_PROJECT_PLANNED, &q, err))
        return false;
    while ((ok = stmt_step(&q, &row, err)) && row) {
        *task = mem_room(*task, *n, sizeof **task);
        (*task)[(*n)++] =
            (struct task_skeins){mem_text(stmt_get_text(&q, 0)),
                                 stmt_get_int(&q, 1), stmt_get_int(&q, 2)};
    }
    stmt_done(&q);
    return ok;
}

bool making_read_planned(struct making *k, struct error *err)
{
    struct task_skeins *task = NULL;
    size_t n = 0;
    bool ok = read_tasks(k->book, &task, &n, err);

    for (size_t i = 0; i < n; i++) {
        int64_t *ids = NULL;
        size_t count = 0;
        if (ok && !record_skeins(k->book, task[i].owner, task[i].words, &ids,
                                 &count, NULL, err))
            ok = err->kind == ERR_MISSING || err->kind == ERR_INPUT;
        for (size_t s = 0; ids && s < count; s++) {
            k->planned = mem_room(k->planned, k->planneds, sizeof *k->planned);
            k->planned[k->planneds++] =
                (struct planned){ids[s], task[i].project};
        }
        free(ids);
        free(task[i].words);
    }
    free(task);
    return ok;
}

static const struct planned *planned_for(const struct making *k, int64_t skein)
{
    for (size_t i = 0; i < k->planneds; i++)
        if (k->planned[i].skein == skein)
            return &k->planned[i];
    return NULL;
}

static bool is_taken(const struct making *k, int64_t id)
{
    for (size_t i = 0; i < k->skeins; i++)
        if (k->id[i] == id)
            return true;
    return false;
}

static bool is_free(const struct making *k, int64_t id, const char *wish,
                    const char *label, struct error *err)
{
    const struct planned *other = planned_for(k, id);
    struct text name = {0};

    if (is_taken(k, id))
        return error_set(err, ERR_INPUT,
                         "%s: another colour takes skein %s already", wish,
                         label);
    if (!other)
        return true;
    if (record_label(k->book, NOUN_PROJECT, other->project, &name, err))
        error_set(err, ERR_INPUT,
                  "%s: skein %s is planned in project \"%s\" already: take "
                  "another, or withdraw that project",
                  wish, label, text_str(&name));
    text_clear(&name);
    return false;
}

/* ---- what it is -------------------------------------------------------------
 */

/* What it was mordanted with, in percent of it; names are the sheet's. */
static struct plan_doses mordants_of(const struct skein_sheet *s)
{
    struct plan_doses out = {.count = 0};

    for (size_t i = 0; i < s->steps; i++)
        for (size_t k = 0; k < s->step[i].doses.count; k++) {
            const struct sheet_dose *d = &s->step[i].doses.dose[k];
            if (!d->none && text_same(d->role, "mordant") &&
                out.count < PLAN_DOSES)
                out.dose[out.count++] =
                    (struct plan_dose){d->what, (d->low_pct + d->high_pct) / 2};
        }
    return out;
}

static const struct plan_dose *named(const struct plan_doses *d,
                                     const char *name)
{
    for (size_t i = 0; i < d->count; i++)
        if (text_same(d->dose[i].name, name))
            return &d->dose[i];
    return NULL;
}

static bool same_names(const struct plan_doses *x, const struct plan_doses *y)
{
    for (size_t i = 0; i < x->count; i++)
        if (!named(y, x->dose[i].name))
            return false;
    for (size_t i = 0; i < y->count; i++)
        if (!named(x, y->dose[i].name))
            return false;
    return true;
}

/* The first mordant that is on it in another strength; NULL: none is known to
 * be. */
static const struct plan_dose *other_strength(const struct plan_doses *want,
                                              const struct plan_doses *have)
{
    for (size_t i = 0; i < want->count; i++) {
        const struct plan_dose *h = named(have, want->dose[i].name);
        double x = want->dose[i].pct, y = h ? h->pct : (double)NAN;
        if (fabs(x - y) > ALIKE * fmax(x, y) * (1 + 1e-9))
            return h;
    }
    return NULL;
}

/* Both are known, and not the same. */
static bool other_fibre(const struct making *k, const struct ask_skein *a)
{
    return parts_said(k->words->yarn) && a->fibre &&
           !text_same(k->words->yarn, a->fibre);
}

static void say_other(struct making *k, const char *wish,
                      const struct skein_sheet *s,
                      const struct plan_doses *want,
                      const struct plan_doses *have)
{
    const struct plan_dose *h = other_strength(want, have);

    if (h) {
        text_addf(&k->said, "%s: skein %s has %s ", wish, s->now.label,
                  h->name);
        text_add_real(&k->said, h->pct, 1);
        text_add(&k->said, " %, not ");
        text_add_real(&k->said, named(want, h->name)->pct, 1);
        text_add(&k->said, " %: its colour may be another\n");
    }
    if (other_fibre(k, &s->now))
        text_addf(&k->said,
                  "%s: skein %s is %s, not %s: its colour may be another\n",
                  wish, s->now.label, s->now.fibre, k->words->yarn);
}

/* ---- taken and found --------------------------------------------------------
 */

/* Whether it can be dyed at all: a skein that was dyed is no blank. */
static bool is_blank(const struct ask_skein *a, const char *wish,
                     struct error *err)
{
    if (a->layers > 0)
        return error_set(err, ERR_INPUT,
                         "%s: skein %s is dyed already; dyeing over is not "
                         "planned",
                         wish, a->label);
    return !isnan(a->weight_g) ||
           error_set(err, ERR_INPUT, "%s: skein %s has no dry weight yet", wish,
                     a->label);
}

static bool take(struct making *k, const struct skein_sheet *s,
                 struct plan_skein *skein, const char *wish, struct error *err)
{
    const struct ask_skein *a = &s->now;
    struct plan_doses have = mordants_of(s);

    if (!is_blank(a, wish, err))
        return false;
    skein->g = a->weight_g;
    skein->mordanted = a->mordants || a->no_mordant;
    if (skein->mordanted && skein->mordants.count &&
        !same_names(&skein->mordants, &have))
        return error_set(err, ERR_INPUT,
                         "%s: skein %s has %s already: leave mordant out", wish,
                         a->label, a->mordants ? a->mordants : "no mordant");
    say_other(k, wish, s, &skein->mordants, &have);
    if (!skein->mordanted)
        return true;
    for (size_t i = 0; i < have.count; i++)
        have.dose[i].name = k->owned[k->owns++] = mem_text(have.dose[i].name);
    skein->mordants = have;
    skein->assists.count = 0;
    return true;
}

bool making_take_spare(struct making *k, int64_t id, struct plan_skein *skein,
                       const char *wish, struct error *err)
{
    struct skein_sheet s;
    bool ok;

    if (!cut_is_left(k->book, id, err) || !sheet_of_skein(k->book, id, &s, err))
        return false;
    ok =
        is_free(k, id, wish, s.now.label, err) && take(k, &s, skein, wish, err);
    skein_sheet_clear(&s);
    return ok;
}

/* Whether its mordants are those that are wanted, as far as is known. */
static bool would_do(struct making *k, int64_t id,
                     const struct plan_doses *want, bool *out,
                     struct error *err)
{
    struct plan_doses have;
    struct skein_sheet s;

    if (!sheet_of_skein(k->book, id, &s, err))
        return false;
    have = mordants_of(&s);
    *out = same_names(want, &have) && !other_strength(want, &have);
    skein_sheet_clear(&s);
    return true;
}

bool making_find_spare(struct making *k, const struct plan_skein *skein,
                       int64_t *id, struct error *err)
{
    struct ask_filter filter = ask_filter_any();
    struct ask_skeins list;
    int64_t *gone;
    size_t n;
    bool ok = true;

    *id = 0;
    filter.owner = book_dyer(k->book);
    if (!ask_skeins(k->book, &filter, 0, &list, err))
        return false;
    if (!cut_up(k->book, &gone, &n, err)) {
        ask_skeins_free(&list);
        return false;
    }
    for (size_t i = 0; ok && i < list.count && !*id; i++) {
        const struct ask_skein *a = &list.skein[i];
        bool good = a->layers == 0 && a->mordants &&
                    a->weight_g <= 2 * skein->g && !other_fibre(k, a) &&
                    !cut_is_up(gone, n, a->id) && !is_taken(k, a->id) &&
                    !planned_for(k, a->id);
        if (good)
            ok = would_do(k, a->id, &skein->mordants, &good, err);
        if (good)
            *id = a->id;
    }
    free(gone);
    ask_skeins_free(&list);
    return ok;
}
