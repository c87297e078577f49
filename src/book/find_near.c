/*
 * The nearest skeins. See find_near.h.
 *
 * All readings within a distance are known; when as many of them as are wanted
 * are what a skein goes by, those are the nearest, else the distance is made
 * larger. It is given up after the work of a pass over as many as pass, and not
 * begun where those are few; to read one that is wanted is no work, for a pass
 * would have to do that too.
 */
#include "book/find_near.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/near.h"

enum {
    NEAR_LEAST = 10000, /* skeins that pass */
    NEAR_MOST = 200,    /* that are asked for; more are found by a pass */
    LOOK_UP = 14,       /* of one that is not wanted, in rows of the index */
    PASS = 8            /* so many skeins of a pass are such a row */
};

struct work {
    struct book *book;
    struct lore *lore;
    const struct near_request *request;
    struct find_row *row;
    size_t count;
    size_t judged; /* of the readings, the nearest first */
    double effort; /* left */
    bool met;
};

/* Whether all that are nearer than one were found. */
static bool is_enough(const struct work *w, double de00)
{
    const size_t limit = w->request->limit;

    return w->count >= limit && de00 > w->row[limit - 1].de00;
}

static bool judge(struct work *w, const struct near_one *one, struct error *err)
{
    const struct near_request *r = w->request;
    const struct shelf_if as = {r->recipe, one->lab};
    struct ask_skein skein;
    bool fits;

    if (r->is_wanted && !r->is_wanted(r->self, one->skein, one->lab))
        return true;
    if (!shelf_skein_if(w->book, w->lore, one->skein, r->filter, &as, &skein,
                        &fits, err))
        return false;
    if (fits && one->skein == r->without) {
        w->met = true;
        ask_skein_clear(&skein);
    } else if (fits) {
        w->row = mem_room(w->row, w->count, sizeof *w->row);
        w->row[w->count++] =
            (struct find_row){.skein = skein, .de00 = one->de00};
    }
    if (!fits || w->count > r->limit)
        w->effort -= LOOK_UP;
    return true;
}

/* How many readings there have to be, when as many are what their skein goes by
 * and wanted as of those that were judged; 0: too many to be told, or one may
 * be met around several targets. */
static size_t wanted(const struct work *w)
{
    const double each = (double)(w->judged + 1) / (double)(w->count + 1);
    const double n = 1.25 * (double)w->request->limit * each + 1;

    return w->request->targets == 1 && n <= 2 * NEAR_MOST ? (size_t)n : 0;
}

/* Those that were judged of a smaller distance are the first of this one.
 * *enough: how far there are as many as are wanted, or INFINITY. */
static bool look(struct work *w, double most, double *enough, bool *done,
                 struct error *err)
{
    const struct near_request *r = w->request;
    struct near near;
    bool ok = near_load(w->book, r->target, r->targets, most, wanted(w),
                        &w->effort, &near, err);

    while (ok && w->judged < near.count && w->effort >= 0 &&
           !is_enough(w, near.one[w->judged].de00))
        ok = judge(w, &near.one[w->judged++], err);
    *enough = near.enough;
    near_clear(&near);
    *done = ok && w->effort >= 0 && w->count >= r->limit;
    return ok;
}

/* The first distance, of a part of those that are wanted: where yarn is dyed
 * half a million skeins are some 6 within 0.4. */
static double first(const struct near_request *r)
{
    return fmin(4, 0.4 * cbrt(25000.0 * (double)r->limit / (double)r->passing));
}

/* As many lie within a distance as its cube says, roughly; not farther than
 * what was met says is enough. */
static double farther(const struct work *w, double most, double enough)
{
    const double times = (double)w->request->limit / (double)(w->count + 1);
    const double guess =
        w->count ? fmin(1.7, fmax(1.15, 1.1 * cbrt(times))) : 1.7;

    return fmin(most * guess, fmax(most * 1.01, enough));
}

static int by_nearness(const void *x, const void *y)
{
    const struct find_row *a = x, *b = y;
    const struct ask_skein *s = &a->skein, *t = &b->skein;
    int order;

    if (a->de00 != b->de00)
        return a->de00 < b->de00 ? -1 : 1;
    if (s->mine != t->mine)
        return s->mine ? -1 : 1;
    order = strcmp(s->dyer, t->dyer);
    return order ? order : (s->number > t->number) - (s->number < t->number);
}

static void cut(struct work *w, size_t limit)
{
    while (w->count > limit)
        ask_skein_clear(&w->row[--w->count].skein);
}

bool find_nearest(struct book *book, struct lore *lore,
                  const struct near_request *request, struct find_row **row,
                  size_t *count, bool *met, bool *done, struct error *err)
{
    struct work w = {.book = book,
                     .lore = lore,
                     .request = request,
                     .effort = (double)request->passing / PASS};
    double most, enough;
    bool ok = true;

    *done = false;
    if (request->passing < NEAR_LEAST || request->limit > NEAR_MOST)
        return true;
    most = first(request);
    while (ok && !*done && w.effort > 0 && most < 10) {
        ok = look(&w, most, &enough, done, err);
        most = farther(&w, most, enough);
    }
    if (*done)
        qsort(w.row, w.count, sizeof *w.row, by_nearness);
    cut(&w, *done ? request->limit : w.count);
    *row = w.row;
    *count = w.count;
    *met = w.met;
    return ok;
}
