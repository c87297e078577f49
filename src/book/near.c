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
    double *least; /* distances of the nearest that were met, by size */
    size_t wanted; /* so many; 0: they are not asked for */
    struct near *out;
};

/* Puts a distance where it belongs, and the largest out. */
static void put_least(struct look *look, double de00)
{
    size_t i = look->wanted - 1;

    for (; i && look->least[i - 1] > de00; i--)
        look->least[i] = look->least[i - 1];
    look->least[i] = de00;
}

/* INFINITY: not so many were met. */
static double enough_of(const struct look *look)
{
    return look->wanted ? look->least[look->wanted - 1] : (double)INFINITY;
}

static void add_one(struct look *look, int64_t skein, struct lab lab)
{
    const double enough = look->wanted ? enough_of(look) : 0;
    const double most = fmax(look->most, enough);
    struct near *out = look->out;
    double least = (double)INFINITY;

    for (size_t i = 0; i < look->targets; i++)
        if (!lab_is_beyond(look->target[i], lab, most))
            least = fmin(least, lab_de00(look->target[i], lab));
    if (least < enough)
        put_least(look, least);
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

/* What of an ellipsoid around a colour has a b* within bounds. */
struct part {
    struct lab x;
    double half_L, half_ab, b_low, b_high;
};

static bool look_in_part(struct book *book, struct look *look, struct part p,
                         struct error *err)
{
    const struct side L = side_of(p.x.L, p.half_L, 1, -5, 150);
    const struct side a = side_of(p.x.a, p.half_ab, 2, -200, 200);
    const double db = fmax(0, fmax(p.b_low - p.x.b, p.x.b - p.b_high));
    bool ok = true;

    for (int64_t i = L.first; ok && i <= L.last; i++)
        for (int64_t k = a.first; ok && *look->effort >= 0 && k <= a.last;
             k++) {
            const double dL = away(&L, i) / p.half_L;
            const double da = away(&a, k) / p.half_ab;
            const double rest = 1 - dL * dL - da * da;
            const double half_b = rest >= 0 ? p.half_ab * sqrt(rest) : -1;

            if (half_b >= db)
                ok = look_in_cell(book, look, i, k,
                                  fmax(p.b_low, p.x.b - half_b),
                                  fmin(p.b_high, p.x.b + half_b), err);
        }
    return ok;
}

/* The colours within reach of one lie in an ellipsoid; beside one above blue,
 * those that are, too, in a smaller one. */
static bool look_around(struct book *book, struct look *look, struct lab x,
                        struct error *err)
{
    struct part all = {
        .x = x, .b_low = -(double)INFINITY, .b_high = (double)INFINITY};
    struct part above = {.x = x, .b_low = LAB_BLUE, .b_high = (double)INFINITY};

    lab_reach(x, look->most, &all.half_L, &all.half_ab);
    if (x.b <= LAB_BLUE)
        return look_in_part(book, look, all, err);
    lab_reach_above(x, look->most, &above.half_L, &above.half_ab);
    all.b_high = LAB_BLUE;
    return look_in_part(book, look, above, err) &&
           look_in_part(book, look, all, err);
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
               double most, size_t wanted, double *effort, struct near *out,
               struct error *err)
{
    struct look look = {.target = target,
                        .targets = targets,
                        .most = most,
                        .effort = effort,
                        .least = mem_new(wanted, sizeof *look.least),
                        .wanted = wanted,
                        .out = out};
    bool ok = true;

    *out = (struct near){0};
    for (size_t i = 0; i < wanted; i++)
        look.least[i] = (double)INFINITY;
    for (size_t i = 0; ok && *effort >= 0 && i < targets; i++)
        ok = look_around(book, &look, target[i], err);
    if (!ok || *effort < 0)
        near_clear(out);
    out->enough = enough_of(&look);
    free(look.least);
    drop_twins(out);
    return ok;
}

void near_clear(struct near *near)
{
    free(near->one);
    *near = (struct near){0};
}
