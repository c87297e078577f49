/* The nearest readings. See near.h. */
#include "book/near.h"

#include <math.h>
#include <stdlib.h>

#include "base/mem.h"
#include "colour/beyond.h"

enum { CELL_ROWS = 2 }; /* what it takes to turn to another cell, in rows */

struct look {
    const struct lab *target;
    size_t targets;
    double most, *effort;
    struct near *out;
};

static void add_one(struct look *look, int64_t skein, struct lab lab)
{
    struct near *out = look->out;
    double least = (double)INFINITY;

    for (size_t i = 0; i < look->targets; i++)
        if (!lab_is_beyond(look->target[i], lab, look->most))
            least = fmin(least, lab_de00(look->target[i], lab));
    if (least > look->most)
        return;
    out->one = mem_room(out->one, out->count, sizeof *out->one);
    out->one[out->count++] = (struct near_one){least, skein, lab};
}

static bool look_in_cell(struct book *book, struct look *look, int64_t L,
                         int64_t a, double b_low, double b_high,
                         struct error *err)
{
    struct stmt q;
    bool row, ok = stmt_begin(book, STMT_NEAR, &q, err);

    if (!ok)
        return false;
    stmt_int(&q, ":L", L);
    stmt_int(&q, ":a", a);
    stmt_real(&q, ":b_low", b_low);
    stmt_real(&q, ":b_high", b_high);
    *look->effort -= CELL_ROWS;
    while (*look->effort >= 0 && (ok = stmt_step(&q, &row, err)) && row) {
        add_one(look, stmt_get_int(&q, 0),
                (struct lab){stmt_get_real(&q, 1), stmt_get_real(&q, 2),
                             stmt_get_real(&q, 3)});
        --*look->effort;
    }
    stmt_done(&q);
    return ok;
}

/* A side of the cells, from the number that SQLite's CAST gives, which cuts
 * towards 0: cell 0 is twice as wide. */
struct side {
    int64_t first, last; /* within reach */
    double x, wide;
};

/* What was typed may lie anywhere, colours in the book between low and high. */
static struct side side_of(double x, double half, double wide, double low,
                           double high)
{
    return (struct side){
        .first = (int64_t)(fmax(low, fmin(high, x - half)) / wide),
        .last = (int64_t)(fmax(low, fmin(high, x + half)) / wide),
        .x = x,
        .wide = wide};
}

/* How far the nearest of a cell is. */
static double away(const struct side *s, int64_t cell)
{
    const double low = (double)(cell - (cell <= 0)) * s->wide;
    const double high = (double)(cell + (cell >= 0)) * s->wide;

    return fmax(0, fmax(low - s->x, s->x - high));
}

/* The colours within reach of one lie in an ellipsoid (lab_reach). */
static bool look_around(struct book *book, struct look *look, struct lab x,
                        struct error *err)
{
    double half_L, half_ab;
    struct side L, a;
    bool ok = true;

    lab_reach(x, look->most, &half_L, &half_ab);
    L = side_of(x.L, half_L, 1, -5, 150);
    a = side_of(x.a, half_ab, 2, -200, 200);
    for (int64_t i = L.first; ok && i <= L.last; i++)
        for (int64_t k = a.first; ok && *look->effort >= 0 && k <= a.last;
             k++) {
            const double dL = away(&L, i) / half_L;
            const double da = away(&a, k) / half_ab;
            const double rest = 1 - dL * dL - da * da;

            if (rest >= 0)
                ok = look_in_cell(book, look, i, k, x.b - half_ab * sqrt(rest),
                                  x.b + half_ab * sqrt(rest), err);
        }
    return ok;
}

static int order_of(double x, double y)
{
    return (x > y) - (x < y);
}

/* Of two colours equally far only one may be what the skein goes by. */
static int by_nearness(const void *x, const void *y)
{
    const struct near_one *a = x, *b = y;
    const int order[] = {order_of(a->de00, b->de00),
                         (a->skein > b->skein) - (a->skein < b->skein),
                         order_of(a->lab.L, b->lab.L),
                         order_of(a->lab.a, b->lab.a),
                         order_of(a->lab.b, b->lab.b)};

    for (size_t i = 0; i < ARRAY_LEN(order); i++)
        if (order[i])
            return order[i];
    return 0;
}

/* A reading is met around each target, and a skein may have two alike. */
static void drop_twins(struct near *near)
{
    size_t n = 0;

    if (near->count)
        qsort(near->one, near->count, sizeof *near->one, by_nearness);
    for (size_t i = 0; i < near->count; i++)
        if (!n || by_nearness(&near->one[n - 1], &near->one[i]))
            near->one[n++] = near->one[i];
    near->count = n;
}

bool near_load(struct book *book, const struct lab *target, size_t targets,
               double most, double *effort, struct near *out, struct error *err)
{
    struct look look = {.target = target,
                        .targets = targets,
                        .most = most,
                        .effort = effort,
                        .out = out};
    bool ok = true;

    *out = (struct near){0};
    for (size_t i = 0; ok && *effort >= 0 && i < targets; i++)
        ok = look_around(book, &look, target[i], err);
    if (!ok || *effort < 0)
        near_clear(out);
    drop_twins(out);
    return ok;
}

void near_clear(struct near *near)
{
    free(near->one);
    *near = (struct near){0};
}
