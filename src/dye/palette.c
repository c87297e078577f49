/* Choosing colours. See dye/palette.h. */
#include "dye/palette.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "dye/assign.h"

#define FAR 1e6 /* above any sum of differences */

/* The results that may be members, and how the best choice so far stands. */
struct work {
    const struct palette_colour *colour; /* all of them */
    const struct palette_request *request;
    size_t *may; /* places of those that may be members */
    size_t count;
    struct palette *best;
    bool found, exact;
    double bound; /* no choice can be better */
};

static const struct palette_colour *may(const struct work *w, size_t i)
{
    return &w->colour[w->may[i]];
}

static double apart(const struct work *w, size_t i, size_t j)
{
    return lab_de00(may(w, i)->lab, may(w, j)->lab);
}

/* How many ways there are to take k of n. */
static double choices(size_t n, size_t k)
{
    double ways = 1;

    for (size_t i = 0; i < k; i++)
        ways *= (double)(n - i) / (double)(i + 1);
    return floor(ways + 0.5);
}

static bool is_few(const struct work *w)
{
    return choices(w->count, w->request->members) <= PALETTE_EXACT;
}

/* ---- aims of one target each ----------------------------------------------
 */

/* The lightness of step i, from the lightest result to the darkest. */
static double even_L(const struct work *w, size_t i)
{
    double least = HUGE_VAL, most = -HUGE_VAL;

    for (size_t k = 0; k < w->count; k++) {
        least = fmin(least, may(w, k)->lab.L);
        most = fmax(most, may(w, k)->lab.L);
    }
    return most -
           (most - least) * (double)i / (double)(w->request->members - 1);
}

static double off_target(const struct work *w, size_t target, double L,
                         size_t k)
{
    const struct lab c = may(w, k)->lab;

    return w->request->aim == PALETTE_FIT
               ? lab_de00(w->request->target[target], c)
               : fabs(L - c.L);
}

/* Columns are results or, of one pot, lanes with the best result each. */
struct columns {
    size_t m;
    size_t *lane;   /* NULL: each result is a column */
    double *cost;   /* members rows of m */
    size_t *result; /* which stands for the column in that row */
};

static size_t column_of(struct columns *c, size_t k, size_t lane)
{
    if (!c->lane)
        return k;
    for (size_t j = 0; j < c->m; j++)
        if (c->lane[j] == lane)
            return j;
    c->lane[c->m] = lane;
    return c->m++;
}

/* A member that must be costs far less than nothing, so that it is taken. */
static void fill(const struct work *w, struct columns *c)
{
    const size_t n = w->request->members;

    c->lane = w->request->one_pot ? mem_new(w->count, sizeof *c->lane) : NULL;
    c->m = c->lane ? 0 : w->count;
    for (size_t k = 0; k < w->count; k++)
        column_of(c, k, may(w, k)->lane);
    c->cost = mem_new(n * c->m, sizeof *c->cost);
    c->result = mem_new(n * c->m, sizeof *c->result);
    for (size_t i = 0; i < n * c->m; i++)
        c->cost[i] = HUGE_VAL;
    for (size_t i = 0; i < n; i++) {
        const double L =
            w->request->aim == PALETTE_EVEN ? even_L(w, i) : (double)NAN;
        for (size_t k = 0; k < w->count; k++) {
            const size_t at = i * c->m + column_of(c, k, may(w, k)->lane);
            const double off =
                off_target(w, i, L, k) - (may(w, k)->must ? FAR : 0);
            if (off < c->cost[at]) {
                c->cost[at] = off;
                c->result[at] = k;
            }
        }
    }
}

/* Whether all are in that must be. */
static bool has_all(const struct work *w, const size_t *member, size_t n)
{
    for (size_t k = 0; k < w->count; k++) {
        size_t i = 0;
        while (i < n && member[i] != k)
            i++;
        if (may(w, k)->must && i == n)
            return false;
    }
    return true;
}

static void keep(struct work *w, const size_t *member, const double *off,
                 double worth)
{
    struct palette *p = w->best;

    w->found = true;
    *p = (struct palette){.members = w->request->members, .worth = worth};
    for (size_t i = 0; i < p->members; i++) {
        p->place[i] = w->may[member[i]];
        p->off[i] = off[i];
    }
}

/* ---- the same, and far enough apart ----------------------------------------
 *
 * Target by target, the nearest first, as long as what is left can still come
 * out better than the best so far.
 */

#define LOOKS_FEW 20000000 /* as many as six of forty have ever needed, and */
#define LOOKS_MANY 2000000 /* as many as a second has time for */

struct fitting {
    struct work *w;
    struct near {
        double off;
        size_t k;
    } * near; /* members rows of count, the nearest first */
    double rest[PALETTE_MOST + 1]; /* what the targets from there on cost at
                                      least */
    size_t member[PALETTE_MOST];
    double off[PALETTE_MOST];
    size_t musts; /* not yet in */
    size_t looks; /* left */
};

static int by_off(const void *x, const void *y)
{
    const struct near *a = x, *b = y;

    if (a->off != b->off)
        return a->off < b->off ? -1 : 1;
    return (a->k > b->k) - (a->k < b->k);
}

static bool goes_with(const struct fitting *f, size_t i, size_t k)
{
    const struct work *w = f->w;

    for (size_t j = 0; j < i; j++)
        if (f->member[j] == k ||
            (w->request->one_pot &&
             may(w, f->member[j])->lane == may(w, k)->lane) ||
            apart(w, f->member[j], k) < w->request->least_apart)
            return false;
    return true;
}

static void search_near(struct fitting *f, size_t i, double sum)
{
    struct work *w = f->w;
    const size_t n = w->request->members;

    if (i == n) {
        keep(w, f->member, f->off, sum);
        return;
    }
    for (size_t c = 0; c < w->count; c++) {
        const struct near *near = &f->near[i * w->count + c];
        const bool must = may(w, near->k)->must;
        if (w->found && sum + near->off + f->rest[i + 1] >= w->best->worth)
            return;
        if (!f->looks)
            return;
        f->looks--;
        if (f->musts > n - i - 1 + must || !goes_with(f, i, near->k))
            continue;
        f->member[i] = near->k;
        f->off[i] = near->off;
        f->musts -= must;
        search_near(f, i + 1, sum + near->off);
        f->musts += must;
    }
}

static void begin_near(struct fitting *f)
{
    struct work *w = f->w;
    const size_t n = w->request->members;

    f->near = mem_new(n * w->count, sizeof *f->near);
    for (size_t k = 0; k < w->count; k++)
        f->musts += may(w, k)->must;
    for (size_t i = n; i-- > 0;) {
        struct near *row = &f->near[i * w->count];
        const double L =
            w->request->aim == PALETTE_EVEN ? even_L(w, i) : (double)NAN;
        for (size_t k = 0; k < w->count; k++)
            row[k] = (struct near){off_target(w, i, L, k), k};
        qsort(row, w->count, sizeof *row, by_off);
        f->rest[i] = f->rest[i + 1] + row[0].off;
    }
}

static void choose_spaced(struct work *w)
{
    struct fitting f = {.w = w, .looks = is_few(w) ? LOOKS_FEW : LOOKS_MANY};

    begin_near(&f);
    search_near(&f, 0, 0);
    if (!f.looks)
        w->exact = false;
    free(f.near);
}

static bool are_apart(const struct work *w, const size_t *member, size_t n)
{
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j < i; j++)
            if (apart(w, member[i], member[j]) < w->request->least_apart)
                return false;
    return true;
}

/* What is best without a look at distances is best if they are kept. */
static void settle(struct work *w, const size_t *member, const double *off,
                   double sum)
{
    w->bound = fmin(w->bound, sum);
    if (w->found && sum >= w->best->worth)
        return;
    if (are_apart(w, member, w->request->members))
        keep(w, member, off, sum);
    else
        choose_spaced(w);
}

static void choose_assigned(struct work *w)
{
    const size_t n = w->request->members;
    struct columns c = {0};
    size_t column[PALETTE_MOST] = {0}, member[PALETTE_MOST] = {0};
    double off[PALETTE_MOST] = {0}, sum = 0;

    fill(w, &c);
    if (c.m >= n) {
        assign(c.cost, n, c.m, column);
        for (size_t i = 0; i < n; i++) {
            const size_t at = i * c.m + column[i];
            member[i] = c.result[at];
            off[i] = c.cost[at] + (may(w, member[i])->must ? FAR : 0);
            sum += off[i];
        }
        if (has_all(w, member, n))
            settle(w, member, off, sum);
    }
    free(c.lane);
    free(c.cost);
    free(c.result);
}

/* ---- as far apart as can be -----------------------------------------------
 */

struct spread {
    struct work *w;
    size_t member[PALETTE_MOST], n;
    double least; /* between those chosen */
    double best;
    size_t kept[PALETTE_MOST];
};

static bool may_join(const struct spread *s, size_t k)
{
    for (size_t i = 0; i < s->n; i++)
        if (s->member[i] == k ||
            (s->w->request->one_pot &&
             may(s->w, s->member[i])->lane == may(s->w, k)->lane))
            return false;
    return true;
}

static double least_to(const struct spread *s, size_t k)
{
    double least = HUGE_VAL;

    for (size_t i = 0; i < s->n; i++)
        least = fmin(least, apart(s->w, s->member[i], k));
    return least;
}

/* Begins with those that must be members; false when they cannot be. */
static bool begin(struct spread *s)
{
    s->n = 0;
    s->least = HUGE_VAL;
    for (size_t k = 0; k < s->w->count; k++) {
        if (!may(s->w, k)->must)
            continue;
        if (s->n == s->w->request->members || !may_join(s, k))
            return false;
        s->least = fmin(s->least, least_to(s, k));
        s->member[s->n++] = k;
    }
    return true;
}

static void note(struct spread *s)
{
    if (s->least <= s->best)
        return;
    s->best = s->least;
    memcpy(s->kept, s->member, sizeof s->kept);
}

/* Every choice that can still be better than the best. */
static void search(struct spread *s, size_t from)
{
    const double least = s->least;

    if (s->n == s->w->request->members) {
        note(s);
        return;
    }
    for (size_t k = from; k < s->w->count; k++) {
        if (may(s->w, k)->must || !may_join(s, k))
            continue;
        s->least = fmin(least, least_to(s, k));
        if (s->least > s->best) {
            s->member[s->n++] = k;
            search(s, k + 1);
            s->n--;
        }
        s->least = least;
    }
}

/* Adds the farthest one by one; false when too few may join. */
static bool grow(struct spread *s)
{
    while (s->n < s->w->request->members) {
        double most = -1;
        size_t far = 0;
        for (size_t k = 0; k < s->w->count; k++) {
            double d;
            if (!may_join(s, k))
                continue;
            d = least_to(s, k);
            if (d > most) {
                most = d;
                far = k;
            }
        }
        if (most < 0)
            return false;
        s->least = fmin(s->least, most);
        s->member[s->n++] = far;
    }
    return true;
}

static double least_of(const struct spread *s)
{
    double least = HUGE_VAL;

    for (size_t i = 0; i < s->n; i++)
        for (size_t j = 0; j < i; j++)
            least = fmin(least, apart(s->w, s->member[i], s->member[j]));
    return least;
}

/* Exchanges the member i for the one that leaves the rest farthest apart. */
static bool exchange(struct spread *s, size_t i)
{
    const size_t old = s->member[i];
    size_t better = old;

    if (may(s->w, old)->must)
        return false;
    s->member[i] = s->member[--s->n];
    for (size_t k = 0; k < s->w->count; k++) {
        const double rest = may_join(s, k) ? least_to(s, k) : -1;
        double least;
        if (rest <= s->least)
            continue;
        least = fmin(rest, least_of(s));
        if (least > s->least) {
            s->least = least;
            better = k;
        }
    }
    s->member[s->n++] = better;
    return better != old;
}

static void improve(struct spread *s)
{
    bool any = true;

    while (any) {
        any = false;
        for (size_t i = 0; i < s->n; i++)
            any = exchange(s, i) || any;
    }
}

/* From the lightest, the darkest and the most colourful one. */
static size_t beginning(const struct work *w, int which)
{
    size_t best = 0;
    double most = -HUGE_VAL;

    for (size_t k = 0; k < w->count; k++) {
        const struct lab c = may(w, k)->lab;
        const double worth = which == 0   ? c.L
                             : which == 1 ? -c.L
                                          : hypot(c.a, c.b);
        if (worth > most) {
            most = worth;
            best = k;
        }
    }
    return best;
}

static void choose_greedily(struct spread *s)
{
    for (int which = 0; which < 3; which++) {
        size_t k = beginning(s->w, which);
        begin(s);
        if (!s->n)
            s->member[s->n++] = k;
        if (!grow(s))
            continue;
        improve(s);
        note(s);
    }
}

static int light_first(const struct work *w, size_t x, size_t y)
{
    const double p = may(w, x)->lab.L, q = may(w, y)->lab.L;

    return p != q ? (p > q ? -1 : 1) : (x > y) - (x < y);
}

static void choose_apart(struct work *w)
{
    const double far = w->request->least_apart;
    struct spread s = {.w = w,
                       .best = w->found  ? w->best->worth
                               : far > 0 ? nextafter(far, 0)
                                         : -1};
    const double before = s.best;
    const size_t n = w->request->members;
    double off[PALETTE_MOST] = {0};

    if (w->count < n || !begin(&s))
        return;
    if (is_few(w)) {
        search(&s, 0);
    } else {
        choose_greedily(&s);
        w->exact = false;
    }
    if (!(s.best > before))
        return;
    for (size_t i = 1; i < n; i++) /* a few: by insertion */
        for (size_t j = i; j && light_first(w, s.kept[j], s.kept[j - 1]) < 0;
             j--) {
            const size_t swap = s.kept[j];
            s.kept[j] = s.kept[j - 1];
            s.kept[j - 1] = swap;
        }
    for (size_t i = 0; i < n; i++) {
        off[i] = HUGE_VAL;
        for (size_t j = 0; j < n; j++)
            if (j != i)
                off[i] = fmin(off[i], apart(w, s.kept[i], s.kept[j]));
    }
    keep(w, s.kept, off, s.best);
}

/* ---- all together ---------------------------------------------------------
 */

static void choose_among(struct work *w)
{
    if (w->count < w->request->members)
        return;
    if (w->request->aim == PALETTE_APART)
        choose_apart(w);
    else
        choose_assigned(w);
}

/* Whether every result that must be a member may be. */
static bool are_in(const struct work *w, size_t count)
{
    size_t must = 0, in = 0;

    for (size_t i = 0; i < count; i++)
        must += w->colour[i].must;
    for (size_t k = 0; k < w->count; k++)
        in += may(w, k)->must;
    return in == must && must <= w->request->members;
}

/* Those of pot, or all for 0. */
static void gather(struct work *w, size_t count, size_t pot)
{
    w->count = 0;
    for (size_t i = 0; i < count; i++) {
        const struct palette_colour *c = &w->colour[i];
        if (!c->never && !isnan(c->lab.L) &&
            (!pot || (c->pot == pot && c->lane)))
            w->may[w->count++] = i;
    }
}

static bool is_first_of_pot(const struct palette_colour *colour, size_t i)
{
    for (size_t j = 0; j < i; j++)
        if (colour[j].pot == colour[i].pot)
            return false;
    return colour[i].pot != 0;
}

bool palette_choose(const struct palette_colour *colour, size_t count,
                    const struct palette_request *request, struct palette *out)
{
    struct work w = {.colour = colour,
                     .request = request,
                     .may = mem_new(count, sizeof *w.may),
                     .best = out,
                     .exact = true,
                     .bound = HUGE_VAL};

    assert(request->members >= (request->aim == PALETTE_FIT ? 1 : 2) &&
           request->members <= PALETTE_MOST);
    *out = (struct palette){0};
    if (request->one_pot) {
        for (size_t i = 0; i < count; i++) {
            if (!is_first_of_pot(colour, i))
                continue;
            gather(&w, count, colour[i].pot);
            if (are_in(&w, count))
                choose_among(&w);
        }
    } else {
        gather(&w, count, 0);
        if (are_in(&w, count))
            choose_among(&w);
    }
    out->exact = w.found && w.exact;
    out->bound = out->exact                      ? out->worth
                 : request->aim == PALETTE_APART ? (double)NAN
                                                 : w.bound;
    free(w.may);
    return w.found;
}

void palette_steps(const struct palette_colour *colour,
                   const struct palette *palette, double *step)
{
    for (size_t i = 0; i + 1 < palette->members; i++)
        step[i] = fabs(colour[palette->place[i]].lab.L -
                       colour[palette->place[i + 1]].lab.L);
}
