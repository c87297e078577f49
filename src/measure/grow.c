/* Regions of a map that grow from a place. See the header. */
#include "measure/grow.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"

/* A region at work. */
struct work {
    struct grower *g;
    const struct map *map;
    const struct grow_limit *limit;
    double wide;                /* how much wider the limits are in this try */
    const unsigned char *taken; /* or NULL */
};

/* ---- marks -------------------------------------------------------------- */

static const int way[4][2] = {{1, 0}, {0, 1}, {-1, 0}, {0, -1}};

/* The block `far` blocks away in direction d; false outside the map. */
static bool step_to(const struct map *map, size_t at, int d, int far,
                    size_t *out)
{
    const int64_t x = (int64_t)(at % map->nx) + (int64_t)way[d][0] * far;
    const int64_t y = (int64_t)(at / map->nx) + (int64_t)way[d][1] * far;

    if (x < 0 || y < 0 || x >= map->nx || y >= map->ny)
        return false;
    *out = (size_t)y * map->nx + (size_t)x;
    return true;
}

/* How many of the 9 blocks about one are marked, itself among them. */
static int around(const struct work *w, size_t at)
{
    const int64_t nx = w->map->nx, ny = w->map->ny;
    const int64_t x = (int64_t)at % nx, y = (int64_t)at / nx;
    int n = 0;

    for (int64_t j = y - 1; j <= y + 1; j++)
        for (int64_t i = x - 1; i <= x + 1; i++)
            n += i >= 0 && j >= 0 && i < nx && j < ny && w->g->in[j * nx + i];
    return n;
}

static void swap_marks(struct grower *g)
{
    unsigned char *was = g->in;

    g->in = g->spare;
    g->spare = was;
}

/* Marks the blocks with at least `least` of the 9 about them marked; without
 * `fill` only those that were marked themselves. */
static void filter(struct work *w, int least, bool fill)
{
    for (size_t i = 0; i < w->g->blocks; i++)
        w->g->spare[i] = (fill || w->g->in[i]) && around(w, i) >= least;
    swap_marks(w->g);
}

/* Keeps the largest piece that hangs together by sides. */
static void largest_piece(struct work *w)
{
    size_t best = 0, best_at = 0;

    memset(w->g->spare, 0, w->g->blocks);
    for (int pass = 0; pass < 2; pass++) /* find it; then it alone is marked */
        for (size_t i = 0; i < w->g->blocks; i++) {
            size_t first = 0, end = 0, next;

            if (pass ? i != best_at || !best : !w->g->in[i] || w->g->spare[i])
                continue;
            if (pass)
                memset(w->g->spare, 0, w->g->blocks);
            w->g->spare[i] = 1;
            w->g->queue[end++] = i;
            while (first < end) {
                const size_t at = w->g->queue[first++];

                for (int d = 0; d < 4; d++)
                    if (step_to(w->map, at, d, 1, &next) && w->g->in[next] &&
                        !w->g->spare[next]) {
                        w->g->spare[next] = 1;
                        w->g->queue[end++] = next;
                    }
            }
            if (end > best) {
                best = end;
                best_at = i;
            }
        }
    swap_marks(w->g);
}

/* ---- growing ------------------------------------------------------------ */

static bool within(const double *x, const double *y, const double limit[3],
                   double wide)
{
    for (int k = 0; k < MAP_TRAITS; k++)
        if (!(fabs(x[k] - y[k]) <= wide * limit[k]))
            return false;
    return true;
}

/* The mean traits of the 9 blocks about the seed. */
static void seed_traits(const struct map *map, size_t seed, double mean[])
{
    const int64_t nx = map->nx, x = (int64_t)seed % nx, y = (int64_t)seed / nx;
    int n = 0;

    for (int64_t j = y - 1; j <= y + 1; j++)
        for (int64_t i = x - 1; i <= x + 1; i++) {
            if (i < 0 || j < 0 || i >= nx || j >= map->ny)
                continue;
            for (int k = 0; k < MAP_TRAITS; k++)
                mean[k] += map->block[j * nx + i].trait[k];
            n++;
        }
    for (int k = 0; k < MAP_TRAITS; k++)
        mean[k] /= n;
}

static bool may_join(const struct work *w, size_t from, size_t to,
                     const double mean[])
{
    const struct map_block *a = &w->map->block[from], *b = &w->map->block[to];

    return !w->g->in[to] && !(w->taken && w->taken[to]) && !b->lost &&
           b->cv <= w->limit->cv &&
           within(b->trait, mean, w->limit->mean, w->wide) &&
           fabs(a->trait[0] - b->trait[0]) <= w->wide * w->limit->step;
}

/* Of the 9 blocks about the seed the one nearest to their mean in light: the
 * seed itself may be a gap between two strands. */
static size_t steady(const struct work *w, size_t seed, const double mean[])
{
    const struct map *map = w->map;
    const int64_t nx = map->nx, x = (int64_t)seed % nx, y = (int64_t)seed / nx;
    double nearest = HUGE_VAL;
    size_t best = seed;

    for (int64_t j = y - 1; j <= y + 1; j++)
        for (int64_t i = x - 1; i <= x + 1; i++) {
            double off;

            if (i < 0 || j < 0 || i >= nx || j >= map->ny ||
                map->block[j * nx + i].lost)
                continue;
            off = fabs(map->block[j * nx + i].trait[0] - mean[0]);
            if (off < nearest) {
                nearest = off;
                best = (size_t)(j * nx + i);
            }
        }
    return best;
}

/* Breadth first, against the mean of what has been taken so far. Returns how
 * many blocks there are; they are in the queue. */
static size_t spread_out(struct work *w, size_t seed)
{
    double mean[MAP_TRAITS] = {0}, n = 9; /* what the seed's mean weighs */
    size_t first = 0, end = 0, next;

    seed_traits(w->map, seed, mean);
    seed = steady(w, seed, mean);
    w->g->in[seed] = 1;
    w->g->queue[end++] = seed;
    while (first < end) {
        const size_t at = w->g->queue[first++];

        for (int d = 0; d < 4; d++) {
            if (!step_to(w->map, at, d, 1, &next) ||
                !may_join(w, at, next, mean))
                continue;
            w->g->in[next] = 1;
            w->g->queue[end++] = next;
            n += 1;
            for (int k = 0; k < MAP_TRAITS; k++)
                mean[k] += (w->map->block[next].trait[k] - mean[k]) / n;
        }
    }
    return end;
}

/* ---- what does not belong to it ----------------------------------------- */

/* Mean and covariance of the traits, lower triangle by rows. */
struct scatter {
    double mean[3], xx, yx, yy, zx, zy, zz;
};

static struct scatter scatter_of(const struct work *w, double n)
{
    struct scatter s = {.xx = 1e-9, .yy = 1e-9, .zz = 1e-9};

    for (size_t i = 0; i < w->g->blocks; i++)
        for (int k = 0; w->g->in[i] && k < 3; k++)
            s.mean[k] += w->map->block[i].trait[k] / n;
    for (size_t i = 0; i < w->g->blocks; i++) {
        const double *t = w->map->block[i].trait;
        const double x = t[0] - s.mean[0], y = t[1] - s.mean[1],
                     z = t[2] - s.mean[2];

        if (!w->g->in[i])
            continue;
        s.xx += x * x / n;
        s.yx += x * y / n;
        s.yy += y * y / n;
        s.zx += x * z / n;
        s.zy += y * z / n;
        s.zz += z * z / n;
    }
    return s;
}

/* Squared, by forward substitution into the Cholesky factor. */
static double mahalanobis2(const struct scatter *s, const double *trait)
{
    const double a = sqrt(s->xx), b = s->yx / a, c = s->zx / a;
    const double d = sqrt(fmax(s->yy - b * b, 1e-12)), e = (s->zy - c * b) / d;
    const double f = sqrt(fmax(s->zz - c * c - e * e, 1e-12));
    const double u = (trait[0] - s->mean[0]) / a;
    const double v = (trait[1] - s->mean[1] - b * u) / d;
    const double t = (trait[2] - s->mean[2] - c * u - e * v) / f;

    return u * u + v * v + t * t;
}

static void drop_strangers(struct work *w, size_t n)
{
    const struct scatter s = scatter_of(w, (double)n);
    const double far = CHECK_GROW_STRANGER * CHECK_GROW_STRANGER;

    for (size_t i = 0; i < w->g->blocks; i++)
        if (w->g->in[i] && mahalanobis2(&s, w->map->block[i].trait) >= far)
            w->g->in[i] = 0;
}

/* ---- judging it --------------------------------------------------------- */

static int borders(const struct work *w)
{
    const uint32_t nx = w->map->nx, ny = w->map->ny;
    bool left = false, right = false, top = false, foot = false;

    for (uint32_t j = 0; j < ny; j++) {
        left = left || w->g->in[(size_t)j * nx];
        right = right || w->g->in[(size_t)j * nx + nx - 1];
    }
    for (uint32_t i = 0; i < nx; i++) {
        top = top || w->g->in[i];
        foot = foot || w->g->in[(size_t)(ny - 1) * nx + i];
    }
    return left + right + top + foot;
}

/* The share of the rim where the colour changes from one block inside it to
 * two outside, over the blocks that both may share. */
static double outline(const struct work *w)
{
    size_t rim = 0, real = 0, out, far, back;

    for (size_t i = 0; i < w->g->blocks; i++)
        for (int d = 0; w->g->in[i] && d < 4; d++) {
            if (!step_to(w->map, i, d, 1, &out) || w->g->in[out])
                continue;
            rim++;
            if (!step_to(w->map, i, d, 2, &far))
                far = out;
            if (!step_to(w->map, i, (d + 2) % 4, 1, &back) || !w->g->in[back])
                back = i;
            real += !within(w->map->block[back].trait, w->map->block[far].trait,
                            w->limit->edge, 1);
        }
    return rim ? (double)real / (double)rim : 0;
}

static int by_value(const void *a, const void *b)
{
    const double *x = a, *y = b;

    return *x < *y ? -1 : *x > *y;
}

static double median_cv(const struct work *w)
{
    double *v = mem_new(w->g->blocks, sizeof *v), median;
    size_t n = 0;

    for (size_t i = 0; i < w->g->blocks; i++)
        if (w->g->in[i])
            v[n++] = w->map->block[i].cv;
    qsort(v, n, sizeof *v, by_value);
    median = n ? v[n / 2] : 0;
    free(v);
    return median;
}

double grow_shape(const unsigned char *in, uint32_t nx, uint32_t ny,
                  double sides[2])
{
    const size_t blocks = (size_t)nx * ny;
    double n = 0, x = 0, y = 0, xx = 0, xy = 0, yy = 0, half, apart, most,
           least;

    for (size_t i = 0; i < blocks; i++)
        if (in[i]) {
            const size_t column = i % nx, row = i / nx;

            n += 1;
            x += (double)column;
            y += (double)row;
        }
    if (n == 0)
        return 0;
    x /= n;
    y /= n;
    for (size_t i = 0; i < blocks; i++)
        if (in[i]) {
            const size_t column = i % nx, row = i / nx;
            const double dx = (double)column - x, dy = (double)row - y;

            xx += dx * dx / n;
            xy += dx * dy / n;
            yy += dy * dy / n;
        }
    xx += 1.0 / 12; /* a block is no point */
    yy += 1.0 / 12;
    half = (xx + yy) / 2;
    apart = hypot((xx - yy) / 2, xy);
    most = sqrt(12 * (half + apart));
    least = sqrt(12 * (half - apart));
    if (sides) {
        sides[0] = most;
        sides[1] = least;
    }
    return n / (most * least);
}

/* The largest rectangle that stands on row y, each column `tall` high. */
static struct box rectangle_on(const uint32_t *tall, uint32_t nx, int64_t y,
                               size_t *stack)
{
    struct box best = {0};
    size_t top = 0;

    for (uint32_t i = 0; i <= nx; i++) {
        const int64_t now = i < nx ? tall[i] : 0;

        while (top > 0 && tall[stack[top - 1]] >= now) {
            const int64_t h = tall[stack[--top]];
            const int64_t x = top ? (int64_t)stack[top - 1] + 1 : 0;

            if ((i - x) * h > best.w * best.h)
                best = (struct box){x, y + 1 - h, i - x, h};
        }
        stack[top++] = i;
    }
    return best;
}

struct box grow_rectangle(const unsigned char *in, uint32_t nx, uint32_t ny)
{
    uint32_t *tall = mem_new(nx, sizeof *tall);
    size_t *stack = mem_new((size_t)nx + 1, sizeof *stack);
    struct box best = {0};

    for (uint32_t j = 0; j < ny; j++) {
        struct box here;

        for (uint32_t i = 0; i < nx; i++)
            tall[i] = in[(size_t)j * nx + i] ? tall[i] + 1 : 0;
        here = rectangle_on(tall, nx, j, stack);
        if (here.w * here.h > best.w * best.h)
            best = here;
    }
    free(tall);
    free(stack);
    return best;
}

/* ---- the whole ---------------------------------------------------------- */

/* Whether a place lies beside the box by more than a share of its size. */
static bool aside(struct box box, int64_t x, int64_t y)
{
    const double w = CHECK_GROW_ASIDE * (double)box.w;
    const double h = CHECK_GROW_ASIDE * (double)box.h;

    return (double)x < (double)box.x - w || (double)y < (double)box.y - h ||
           (double)x >= (double)(box.x + box.w) + w ||
           (double)y >= (double)(box.y + box.h) + h;
}

static enum grow_fault judge(const struct work *w, const struct grown *g,
                             size_t seed)
{
    const int64_t x = (int64_t)(seed % w->map->nx);
    const int64_t y = (int64_t)(seed / w->map->nx);

    if ((double)g->blocks > CHECK_GROW_LARGEST * (double)w->g->blocks)
        return GROW_LARGE;
    if (g->borders >= CHECK_GROW_BORDERS)
        return GROW_BORDERS;
    if ((double)g->box.w * (double)g->box.h < w->limit->fewest)
        return GROW_SMALL;
    if (g->shape < w->limit->shape_least || g->shape > w->limit->shape_most)
        return GROW_SHAPE;
    if (g->outline < CHECK_GROW_OUTLINE)
        return GROW_OUTLINE;
    if (aside(g->box, x, y))
        return GROW_ASIDE;
    return GROW_FOUND;
}

/* Takes off what does not belong to a region and what may be its rim, and
 * looks for the box. */
static struct grown work_out(struct work *w, size_t seed, size_t n)
{
    const struct map *map = w->map;
    struct grown out = {.blocks = n, .borders = borders(w)};
    struct box box;

    out.cv = median_cv(w);
    if (w->limit->strangers)
        drop_strangers(w, n);
    filter(w, CHECK_GROW_FILL, true);
    out.outline = outline(w);
    filter(w, 9, false); /* off with its rim */
    largest_piece(w);
    out.shape = grow_shape(w->g->in, map->nx, map->ny, out.side);
    out.box = box = grow_rectangle(w->g->in, map->nx, map->ny);
    out.fault = judge(w, &out, seed);
    out.box =
        (struct box){map->x + box.x * map->side, map->y + box.y * map->side,
                     box.w * map->side, box.h * map->side};
    return out;
}

/* Whether other limits may do better: a skein has leaked, or a card is holed
 * by the grain of the picture. */
static bool try_again(enum grow_kind kind, enum grow_fault fault)
{
    switch (fault) {
    case GROW_LARGE:
    case GROW_BORDERS:
    case GROW_ASIDE:
        return kind == GROW_SKEIN;
    case GROW_OUTLINE:
    case GROW_SHAPE:
        return true;
    case GROW_SMALL:
        return kind == GROW_CARD;
    case GROW_FOUND:
    case GROW_DAMAGED:
        break;
    }
    return false;
}

/* Few blocks: whose they are is all there is to say of them. */
static void give_up(struct grower *g, size_t n, unsigned char *taken)
{
    for (size_t i = 0; i < n; i++) {
        g->in[g->queue[i]] = 0;
        if (taken)
            taken[g->queue[i]] = 1;
    }
}

struct grown grow_from(struct grower *g, enum grow_kind kind, size_t seed,
                       size_t least, unsigned char *taken)
{
    struct work w = {.g = g,
                     .map = g->map,
                     .limit = &grow_limits[kind],
                     .taken = taken,
                     .wide = 1};
    struct grown out = {.fault = GROW_DAMAGED};

    for (int i = 0; !g->map->block[seed].lost && i < w.limit->tries; i++) {
        size_t n;

        n = spread_out(&w, seed);
        if (n < least) {
            give_up(g, n, taken);
            return (struct grown){.fault = GROW_SMALL, .blocks = n};
        }
        memcpy(g->grown, g->in, g->blocks);
        out = work_out(&w, seed, n);
        memset(g->in, 0, g->blocks);
        if (!try_again(kind, out.fault))
            break;
        w.wide *= w.limit->again;
    }
    for (size_t i = 0; taken && out.blocks && i < g->blocks; i++)
        taken[i] |= g->grown[i];
    return out;
}

void grower_init(struct grower *g, const struct map *map)
{
    *g = (struct grower){.map = map, .blocks = (size_t)map->nx * map->ny};
    g->in = mem_new(g->blocks, 1);
    g->spare = mem_new(g->blocks, 1);
    g->grown = mem_new(g->blocks, 1);
    g->queue = mem_new(g->blocks, sizeof *g->queue);
}

void grower_clear(struct grower *g)
{
    free(g->in);
    free(g->spare);
    free(g->grown);
    free(g->queue);
    *g = (struct grower){0};
}
