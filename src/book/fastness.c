/* How well colours last. See book/fastness.h. */
#include "book/fastness.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
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

/* ---- one skein's life and readings ---------------------------------------
 */

struct fast_step {
    int64_t entry; /* 0: before any */
    bool wash;
    char *dyestuffs, *mordants, *dips; /* sets, as a recipe has them */
};

struct seen {
    struct ask_reading reading;
    char part[8];
    char from[11], to[11]; /* the days it can be from */
    size_t step;           /* after which, or SIZE_MAX */
    enum ask_lack lack;    /* why it does not count, but for its part */
};

struct past {
    struct fast_step *step; /* in order */
    size_t steps;
    struct seen *seen; /* the latest last */
    size_t count;
};

static char *text_at(struct stmt *q, int column)
{
    return stmt_is_null(q, column) ? NULL : mem_text(stmt_get_text(q, column));
}

static void copy_at(struct stmt *q, int column, char out[11])
{
    const char *s = stmt_get_text(q, column);

    snprintf(out, 11, "%s", s ? s : "");
}

static bool load_steps(struct book *book, int64_t skein, struct past *out,
                       struct error *err)
{
    struct stmt q;
    bool row, ok;

    if (!stmt_begin(book, STMT_FAST_STEPS, &q, err))
        return false;
    stmt_int(&q, ":skein", skein);
    while ((ok = stmt_step(&q, &row, err)) && row) {
        const char *kind = stmt_get_text(&q, 2);

        out->step = mem_room(out->step, out->steps, sizeof *out->step);
        out->step[out->steps++] =
            (struct fast_step){.entry = stmt_get_int(&q, 1),
                               .wash = kind && !strcmp(kind, "wash"),
                               .dyestuffs = text_at(&q, 3),
                               .mordants = text_at(&q, 4),
                               .dips = text_at(&q, 5)};
    }
    stmt_done(&q);
    return ok;
}

/* Columns of STMT_FAST_READINGS. */
static void take_seen(struct stmt *q, const struct ask_filter *f,
                      const struct past *past, struct seen *out)
{
    const int64_t entry = stmt_get_int(q, 1);

    *out = (struct seen){.step = SIZE_MAX, .lack = ASK_HAS_COLOUR};
    shelf_take(q, &out->reading);
    snprintf(out->part, sizeof out->part, "%s", stmt_get_text(q, 2));
    copy_at(q, 26, out->from);
    copy_at(q, 27, out->to);
    for (size_t i = 0; i < past->steps; i++)
        if (past->step[i].entry == entry)
            out->step = i;
    if ((stmt_get_int(q, 3) != 0) != f->wet)
        out->lack = ASK_WETNESS;
    else if (!strcmp(stmt_get_text(q, 9), "eye"))
        out->lack = ASK_BY_EYE;
    else if (strcmp(out->reading.illuminant, f->illuminant) != 0 ||
             out->reading.observer_deg != f->observer_deg)
        out->lack = ASK_OTHER_LIGHT;
}

static bool load_past(struct book *book, int64_t skein,
                      const struct ask_filter *filter, struct past *out,
                      struct error *err)
{
    struct stmt q;
    bool row, ok;

    *out = (struct past){0};
    if (!load_steps(book, skein, out, err) ||
        !stmt_begin(book, STMT_FAST_READINGS, &q, err))
        return false;
    stmt_int(&q, ":skein", skein);
    while ((ok = stmt_step(&q, &row, err)) && row) {
        out->seen = mem_room(out->seen, out->count, sizeof *out->seen);
        take_seen(&q, filter, out, &out->seen[out->count++]);
    }
    stmt_done(&q);
    return ok;
}

static void past_clear(struct past *past)
{
    for (size_t i = 0; i < past->steps; i++) {
        free(past->step[i].dyestuffs);
        free(past->step[i].mordants);
        free(past->step[i].dips);
    }
    free(past->step);
    free(past->seen);
    *past = (struct past){0};
}

/* ---- which two readings --------------------------------------------------
 */

/* A test as the book holds it, beside what is told of it. */
struct held {
    struct fast_test test;
    char from[11], to[11]; /* of its start; "": not known */
    char due_from[11];
    char next[11];         /* when the next of its kind began, or "" */
    int64_t before, after; /* readings it names, or 0 */
};

/* Which readings may be one side of a test. */
enum side { BEFORE, COVERED, EXPOSED, AFTER };

static bool is_part(const struct seen *s, enum side side)
{
    return !strcmp(s->part, side == COVERED   ? "covered"
                            : side == EXPOSED ? "exposed"
                                              : "whole");
}

/* Whether its days are those of a side. Parts are covered and exposed by the
 * test itself; the whole of a skein has to be told by its day, which has to be
 * known for that. */
static bool is_then(const struct held *h, const struct seen *s, enum side side)
{
    const bool over = *h->next && strcmp(s->to, h->next) >= 0;

    if (side == COVERED || side == EXPOSED)
        return !over && (!*h->from || strcmp(s->to, h->from) >= 0);
    if (!*h->from)
        return false;
    return side == BEFORE ? strcmp(s->to, h->to) <= 0
                          : !over && strcmp(s->from, h->to) > 0;
}

static bool fits(const struct held *h, const struct seen *s, enum side side)
{
    const int64_t named =
        side == AFTER || side == EXPOSED ? h->after : h->before;

    if (named) /* on its own account, whatever its part and its day */
        return s->reading.id == named && (side == AFTER || side == BEFORE);
    return is_part(s, side) && is_then(h, s, side);
}

/* Whether nothing but what the test is of was done between two readings. */
static bool is_one_state(const struct past *past, enum fast_kind kind,
                         const struct seen *original, const struct seen *tested)
{
    if (original->step == SIZE_MAX || tested->step == SIZE_MAX ||
        original->step > tested->step)
        return false;
    for (size_t i = original->step + 1; i <= tested->step; i++)
        if (kind != FAST_WASH || !past->step[i].wash)
            return false;
    return true;
}

/* The latest pair of two sides; what is missing otherwise goes to the test. */
static bool pair_of(const struct past *past, const struct held *h,
                    enum side original, enum side tested, const struct seen **o,
                    const struct seen **t)
{
    for (size_t i = past->count; i-- > 0;) {
        *t = &past->seen[i];
        if ((*t)->lack != ASK_HAS_COLOUR || !fits(h, *t, tested))
            continue;
        for (size_t k = past->count; k-- > 0;) {
            *o = &past->seen[k];
            if (*o != *t && (*o)->lack == ASK_HAS_COLOUR &&
                fits(h, *o, original) &&
                is_one_state(past, h->test.kind, *o, *t))
                return true;
        }
    }
    return false;
}

/* The nearest to a reading that there is for a side. */
static enum ask_lack nearest(const struct past *past, const struct held *h,
                             enum side side)
{
    enum ask_lack lack = ASK_NEVER;

    for (size_t i = 0; i < past->count; i++)
        if (fits(h, &past->seen[i], side) && past->seen[i].lack < lack)
            lack = past->seen[i].lack;
    return lack;
}

static enum ask_lack nearer(enum ask_lack x, enum ask_lack y)
{
    return x < y ? x : y;
}

static void tell_lack(const struct past *past, struct held *h)
{
    struct fast_test *t = &h->test;
    const bool light = t->kind == FAST_LIGHT;
    const enum ask_lack exposed = light ? nearest(past, h, EXPOSED) : ASK_NEVER;
    const enum ask_lack covered =
        light && (exposed == ASK_HAS_COLOUR || h->after)
            ? nearest(past, h, COVERED)
            : ASK_NEVER;
    const enum ask_lack after = nearer(nearest(past, h, AFTER), exposed);
    const enum ask_lack before = nearer(nearest(past, h, BEFORE), covered);

    t->lack = after != ASK_HAS_COLOUR    ? FAST_NO_AFTER
              : before != ASK_HAS_COLOUR ? FAST_NO_BEFORE
                                         : FAST_OTHER_STEP;
    t->why = t->lack == FAST_NO_AFTER ? after : before;
}

static bool find_pair(const struct past *past, const struct held *h,
                      const struct seen **o, const struct seen **t)
{
    const bool light = h->test.kind == FAST_LIGHT;

    return (light && (pair_of(past, h, COVERED, EXPOSED, o, t) ||
                      pair_of(past, h, BEFORE, EXPOSED, o, t))) ||
           (light && h->after && pair_of(past, h, COVERED, AFTER, o, t)) ||
           pair_of(past, h, BEFORE, AFTER, o, t);
}

/* ---- the grade -----------------------------------------------------------
 */

static bool grade(struct book *book, const struct seen *o, const struct seen *s,
                  struct fast_test *t, struct error *err)
{
    const struct lab x = o->reading.colour.lab, y = s->reading.colour.lab;

    t->lack = FAST_GRADED;
    t->why = ASK_HAS_COLOUR;
    t->covered = is_part(o, COVERED);
    t->exposed = is_part(s, EXPOSED);
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
    return true;
}

static void set_dyes(const struct names *names, const struct past *past,
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
                  const struct ask_filter *filter, struct held *h,
                  struct error *err)
{
    struct past past;
    const struct seen *o, *s;
    size_t step;
    bool ok;

    h->test.wet = filter->wet;
    ok = load_past(book, h->test.skein_id, filter, &past, err);

    step = past.steps - 1; /* there is one before any entry */
    if (ok && find_pair(&past, h, &o, &s)) {
        step = s->step;
        ok = grade(book, o, s, &h->test, err);
    } else if (ok) {
        tell_lack(&past, h);
    }
    if (ok)
        set_dyes(names, &past, step, &h->test);
    past_clear(&past);
    return ok;
}

/* ---- which tests ---------------------------------------------------------
 */

static void set_state(struct held *h, struct day today)
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
static void take_test(struct stmt *q, struct day today, struct held *h)
{
    struct fast_test *t = &h->test;

    *h = (struct held){.before = stmt_get_int(q, 13),
                       .after = stmt_get_int(q, 14)};
    *t = (struct fast_test){.id = stmt_get_int(q, 0),
                            .skein_id = stmt_get_int(q, 1),
                            .number = stmt_get_int(q, 4),
                            .label = text_at(q, 3),
                            .start = text_at(q, 5),
                            .due = text_at(q, 8),
                            .end = text_at(q, 11),
                            .exposure = text_at(q, 12),
                            .lack = FAST_NO_AFTER,
                            .why = ASK_NEVER};
    fast_kind_find(stmt_get_text(q, 2), &t->kind);
    copy_at(q, 6, h->from);
    copy_at(q, 7, h->to);
    t->dated = *h->from != '\0';
    copy_at(q, 9, h->due_from);
    copy_at(q, 10, t->due_to);
    copy_at(q, 15, h->next);
    set_state(h, today);
}

/* The skeins that a filter lets through. */
static bool load_wanted(struct book *book, const struct fast_request *request,
                        struct id_map *out, struct error *err)
{
    struct scan scan;
    struct scan_row row;
    bool there, ok;

    if (!request->narrowed)
        return true;
    ok = scan_begin(book, &request->filter, 0, &scan, err);
    while (ok && (ok = scan_next(&scan, &row, &there, err)) && there)
        id_map_put(out, row.id, 1);
    scan_end(&scan);
    return ok;
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
    struct held *held;
    size_t count;
};

static bool load_tests(struct book *book, const struct fast_request *request,
                       struct all *out, struct error *err)
{
    struct id_map wanted = {0};
    struct stmt q = {0};
    bool row, ok;

    ok = load_wanted(book, request, &wanted, err) &&
         stmt_begin(book, STMT_FAST_TESTS, &q, err);
    if (ok)
        stmt_id(&q, ":skein", request->skein);
    while (ok && (ok = stmt_step(&q, &row, err)) && row) {
        struct held *h;

        out->held = mem_room(out->held, out->count, sizeof *out->held);
        h = &out->held[out->count];
        take_test(&q, request->today, h);
        if ((request->has_kind && h->test.kind != request->kind) ||
            (request->narrowed && !id_map_at(&wanted, h->test.skein_id)))
            test_clear(&h->test);
        else
            out->count++;
    }
    stmt_done(&q);
    id_map_clear(&wanted);
    return ok;
}

/* ---- in order ------------------------------------------------------------
 */

static int order(double x, double y)
{
    return (x > y) - (x < y);
}

/* Of equal ones the order they have, which is that of the skeins. */
static int by_grade(const void *a, const void *b)
{
    const struct fast_test *x = a, *y = b;
    int o;

    if ((x->lack == FAST_GRADED) != (y->lack == FAST_GRADED))
        return x->lack == FAST_GRADED ? -1 : 1;
    o = x->lack == FAST_GRADED ? (int)x->kind - (int)y->kind : 0;
    if (!o && x->lack == FAST_GRADED)
        o = order(x->de_f, y->de_f);
    if (!o && x->lack != FAST_GRADED) /* one without a day last */
        o = !*x->due_to != !*y->due_to ? (*x->due_to ? -1 : 1)
                                       : strcmp(x->due_to, y->due_to);
    return o ? o : order((double)x->days_left, (double)y->days_left);
}

/* Keeps the order of equals, which qsort need not. */
static void sort(void *base, size_t n, size_t size,
                 int (*compare)(const void *, const void *))
{
    unsigned char *at = base, *one = mem_new(1, size);

    for (size_t i = 1; i < n; i++) {
        size_t k = i;

        memcpy(one, at + i * size, size);
        for (; k > 0 && compare(at + (k - 1) * size, one) > 0; k--)
            memcpy(at + k * size, at + (k - 1) * size, size);
        memcpy(at + k * size, one, size);
    }
    free(one);
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
    sort(a->test, a->count, sizeof *a->test, by_grade);
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
    sort(a->group, a->groups, sizeof *a->group, by_mean);
}

bool ask_fastness(struct book *book, const struct fast_request *request,
                  struct fast_answer *out, struct error *err)
{
    struct names names = {0};
    struct all all = {0};
    bool ok;

    *out = (struct fast_answer){0};
    ok = store_look(book, err) && names_load(book, &names, err) &&
         load_tests(book, request, &all, err);
    for (size_t i = 0; ok && i < all.count; i++)
        ok = judge(book, &names, &request->filter, &all.held[i], err);
    out->test = mem_new(all.count, sizeof *out->test);
    out->count = all.count;
    for (size_t i = 0; i < all.count; i++)
        out->test[i] = all.held[i].test;
    if (ok)
        rank(out);
    else
        fast_answer_clear(out);
    store_look_end(book);
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
