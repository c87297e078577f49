/* How well colours last. See book/fastness.h. */
#include "book/fastness.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/fast_pair.h"
#include "book/id_map.h"
#include "book/scan.h"
#include "book/shelf.h"
#include "colour/grade.h"

const char *const fast_kind_names[FAST_KINDS] = {
    [FAST_LIGHT] = "light", [FAST_WASH] = "wash", [FAST_RUB] = "rub"};

bool fast_kind_find(const char *words, enum fast_kind *out)
{
    for (int k = 0; k < FAST_KINDS; k++)
        if (text_same(words, fast_kind_names[k])) {
            *out = (enum fast_kind)k;
            return true;
        }
    return false;
}

/* ---- the grade -----------------------------------------------------------
 */

static bool grade(struct book *book, const struct fast_seen *o,
                  const struct fast_seen *s, struct fast_test *t,
                  struct error *err)
{
    const struct lab x = o->reading.colour.lab, y = s->reading.colour.lab;

    t->lack = FAST_GRADED;
    t->why = ASK_HAS_COLOUR;
    t->covered = !strcmp(o->part, "covered");
    t->exposed = !strcmp(s->part, "exposed");
    t->original = o->reading;
    t->tested = s->reading;
    if (!ask_same_setup(book, o->reading.id, s->reading.id, &t->same_setup,
                        err))
        return false;
    t->de76 = lab_de76(x, y);
    t->de_f = grade_de_f(x, y);
    grade_range(
        x, y,
        cov3_of_difference(o->reading.colour, s->reading.colour, t->same_setup),
        &t->de_f_low, &t->de_f_high);
    t->compared = compare_readings(o->reading.colour, s->reading.colour,
                                   t->same_setup, 2);
    if (t->compared.de00 <= t->compared.T) /* it may be no change at all */
        t->de_f_low = 0;
    return true;
}

static void set_dyes(const struct names *names, const struct fast_past *past,
                     size_t step, struct fast_test *t)
{
    const struct fast_step *s;

    if (step >= past->steps)
        return;
    s = &past->step[step];
    t->dyestuffs = names_of_set(names, s->dyestuffs);
    t->mordants = names_of_set(names, s->mordants);
    t->dips = names_of_set(names, s->dips);
    t->no_mordant = names_are_none(names, s->mordants);
    for (size_t i = step + 1; i < past->steps; i++)
        t->changed = t->changed || !past->step[i].wash;
}

static bool judge(struct book *book, const struct names *names,
                  const struct ask_filter *filter, struct fast_held *h,
                  struct error *err)
{
    struct fast_past past;
    const struct fast_seen *o, *s;
    size_t step;
    bool ok;

    h->test.wet = filter->wet;
    ok = fast_past_load(book, h->test.skein_id, filter, &past, err);

    step = past.steps - 1; /* there is one before any entry */
    if (ok && fast_find_pair(&past, h, &o, &s)) {
        step = s->step;
        ok = grade(book, o, s, &h->test, err);
    } else if (ok) {
        fast_tell_lack(&past, h);
    }
    if (ok)
        set_dyes(names, &past, step, &h->test);
    fast_past_clear(&past);
    return ok;
}

/* ---- which tests ---------------------------------------------------------
 */

static void set_state(struct fast_held *h, struct day today)
{
    struct fast_test *t = &h->test;
    struct day from, due;

    t->state = FAST_RUNNING;
    if (t->end) {
        t->state = FAST_ENDED;
    } else if (day_from_iso(t->due_to, &due)) {
        t->days_left = day_between(today, due);
        if (t->days_left < 0)
            t->state = FAST_LATE;
        else if (day_from_iso(h->due_from, &from) &&
                 day_between(today, from) <= FAST_WEEK)
            t->state = FAST_DUE;
    }
    if (t->state == FAST_RUNNING && day_from_iso(h->from, &from) &&
        day_compare(from, today) > 0)
        t->state = FAST_PLANNED;
}

/* The present row of STMT_FAST_TESTS. */
static void take_test(struct stmt *q, struct day today, struct fast_held *h)
{
    struct fast_test *t = &h->test;

    *h = (struct fast_held){.before = stmt_get_int(q, 13),
                            .after = stmt_get_int(q, 14)};
    *t = (struct fast_test){.id = stmt_get_int(q, 0),
                            .skein_id = stmt_get_int(q, 1),
                            .number = stmt_get_int(q, 4),
                            .label = fast_text_at(q, 3),
                            .start = fast_text_at(q, 5),
                            .due = fast_text_at(q, 8),
                            .end = fast_text_at(q, 11),
                            .exposure = fast_text_at(q, 12),
                            .lack = FAST_NO_AFTER,
                            .why = ASK_NEVER};
    fast_kind_find(stmt_get_text(q, 2), &t->kind);
    fast_copy_at(q, 6, h->from);
    fast_copy_at(q, 7, h->to);
    t->dated = *h->from != '\0';
    fast_copy_at(q, 9, h->due_from);
    fast_copy_at(q, 10, t->due_to);
    fast_copy_at(q, 15, h->next);
    set_state(h, today);
}

static void test_clear(struct fast_test *t)
{
    char *owned[] = {t->label,    t->dyestuffs, t->mordants, t->dips,
                     t->exposure, t->start,     t->due,      t->end};

    for (size_t i = 0; i < ARRAY_LEN(owned); i++)
        free(owned[i]);
    *t = (struct fast_test){0};
}

struct all {
    struct fast_held *held;
    size_t count;
};

static bool is_asked(const struct fast_request *r, const struct fast_test *t)
{
    return (!r->has_kind || t->kind == r->kind) &&
           (!r->only_due || t->state == FAST_DUE || t->state == FAST_LATE);
}

static bool load_tests(struct book *book, const struct fast_request *request,
                       struct all *out, struct error *err)
{
    struct stmt q;
    bool row, ok;

    if (!stmt_begin(book, STMT_FAST_TESTS, &q, err))
        return false;
    stmt_id(&q, ":skein", request->skein);
    while ((ok = stmt_step(&q, &row, err)) && row) {
        struct fast_held *h;

        out->held = mem_room(out->held, out->count, sizeof *out->held);
        h = &out->held[out->count];
        take_test(&q, request->today, h);
        if (is_asked(request, &h->test))
            out->count++;
        else
            test_clear(&h->test);
    }
    stmt_done(&q);
    return ok;
}

/* Leaves those of skeins that the filter lets through. */
static bool narrow(struct book *book, const struct ask_filter *filter,
                   struct all *all, struct error *err)
{
    struct id_map wanted = {0};
    struct scan scan;
    struct scan_row row;
    size_t kept = 0;
    bool there, ok;

    if (!all->count)
        return true;
    ok = scan_begin(book, filter, 0, &scan, err);
    while (ok && (ok = scan_next(&scan, &row, &there, err)) && there)
        id_map_put(&wanted, row.id, 1);
    scan_end(&scan);
    for (size_t i = 0; ok && i < all->count; i++) {
        if (id_map_at(&wanted, all->held[i].test.skein_id))
            all->held[kept++] = all->held[i];
        else
            test_clear(&all->held[i].test);
    }
    if (ok)
        all->count = kept;
    id_map_clear(&wanted);
    return ok;
}

/* ---- in order ------------------------------------------------------------
 */

static int order(double x, double y)
{
    return (x > y) - (x < y);
}

static int sides(bool x, bool y)
{
    return x == y ? 0 : x ? -1 : 1;
}

/* Of equal ones the order they have, which is that of the skeins: they lie in
 * one array. */
static int by_grade(const void *a, const void *b)
{
    const struct fast_held *p = *(struct fast_held *const *)a;
    const struct fast_held *q = *(struct fast_held *const *)b;
    const struct fast_test *x = &p->test, *y = &q->test;
    int o = sides(x->lack == FAST_GRADED, y->lack == FAST_GRADED);

    if (!o && x->lack == FAST_GRADED) {
        o = (int)x->kind - (int)y->kind;
        o = o ? o : order(x->de_f, y->de_f);
    } else if (!o) { /* one without a day last */
        o = sides(*x->due_to, *y->due_to);
        o = o ? o : strcmp(x->due_to, y->due_to);
    }
    return o ? o : (p > q) - (p < q);
}

static void put_in_order(struct all *all, struct fast_answer *out)
{
    struct fast_held **at = mem_new(all->count, sizeof *at);

    for (size_t i = 0; i < all->count; i++)
        at[i] = &all->held[i];
    if (all->count)
        qsort(at, all->count, sizeof(*at), by_grade);
    out->test = mem_new(all->count, sizeof *out->test);
    out->count = all->count;
    for (size_t i = 0; i < all->count; i++)
        out->test[i] = at[i]->test;
    free(at);
}

static bool is_same(const char *a, const char *b)
{
    return a && b ? !strcmp(a, b) : a == b;
}

static struct fast_group *group_of(struct fast_answer *a,
                                   const struct fast_test *t)
{
    for (size_t i = 0; i < a->groups; i++) {
        struct fast_group *g = &a->group[i];

        if (g->kind == t->kind && is_same(g->dyestuffs, t->dyestuffs) &&
            is_same(g->mordants, t->mordants) && is_same(g->dips, t->dips) &&
            g->no_mordant == t->no_mordant)
            return g;
    }
    a->group = mem_room(a->group, a->groups, sizeof *a->group);
    a->group[a->groups] = (struct fast_group){
        .kind = t->kind,
        .dyestuffs = mem_text(t->dyestuffs),
        .mordants = mem_text(t->mordants),
        .dips = mem_text(t->dips),
        .no_mordant = t->no_mordant,
        .best = INFINITY,
    };
    return &a->group[a->groups++];
}

static int words_order(const char *a, const char *b)
{
    return a && b ? text_order(a, b) : !!b - !!a;
}

static int by_mean(const void *a, const void *b)
{
    const struct fast_group *x = a, *y = b;
    int o = (int)x->kind - (int)y->kind;

    o = o ? o : order(x->de_f, y->de_f);
    o = o ? o : words_order(x->dyestuffs, y->dyestuffs);
    o = o ? o : words_order(x->mordants, y->mordants);
    return o ? o : words_order(x->dips, y->dips);
}

static void rank(struct fast_answer *a)
{
    for (size_t i = 0; i < a->count; i++) {
        const struct fast_test *t = &a->test[i];
        struct fast_group *g;

        a->due += t->state == FAST_DUE || t->state == FAST_LATE;
        if (t->lack != FAST_GRADED)
            continue;
        a->graded++;
        g = group_of(a, t);
        g->tests++;
        g->de_f += (t->de_f - g->de_f) / (double)g->tests;
        g->best = fmin(g->best, t->de_f);
        g->worst = fmax(g->worst, t->de_f);
    }
    if (a->groups)
        qsort(a->group, a->groups, sizeof *a->group, by_mean);
}

bool ask_fastness(struct book *book, const struct fast_request *request,
                  struct fast_answer *out, struct error *err)
{
    struct names names = {0};
    struct all all = {0};
    bool ok;

    *out = (struct fast_answer){0};
    ok = book_look(book, err) && names_load(book, &names, err) &&
         load_tests(book, request, &all, err) &&
         narrow(book, &request->filter, &all, err);
    for (size_t i = 0; ok && i < all.count; i++)
        ok = judge(book, &names, &request->filter, &all.held[i], err);
    put_in_order(&all, out);
    if (ok)
        rank(out);
    else
        fast_answer_clear(out);
    book_look_end(book);
    names_free(&names);
    free(all.held);
    return ok;
}

void fast_answer_clear(struct fast_answer *a)
{
    for (size_t i = 0; i < a->count; i++)
        test_clear(&a->test[i]);
    for (size_t i = 0; i < a->groups; i++) {
        free(a->group[i].dyestuffs);
        free(a->group[i].mordants);
        free(a->group[i].dips);
    }
    free(a->test);
    free(a->group);
    *a = (struct fast_answer){0};
}
