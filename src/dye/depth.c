/* Colour over the weight of a dyestuff. See dye/depth.h. */
#include "dye/depth.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>

#include "base/mem.h"
#include "dye/strength.h"

#define SURE 2.0     /* errors that a strength has to be above */
#define MODEL_U 0.25 /* as of an exhaust series, docs/colour.md */
#define SCAN 400     /* weights tried for a target, before they are refined */

/* ---- points ---------------------------------------------------------------
 */

static int by_weight(const void *a, const void *b)
{
    double x = ((const struct depth_point *)a)->wof_pct;
    double y = ((const struct depth_point *)b)->wof_pct;

    return (x > y) - (x < y);
}

/* Weights nearer than a hundredth of each other are one. */
static bool is_same(double x, double y)
{
    return y <= 1.01 * x;
}

/* Puts those of one weight, point[0..n) in order, into their mean. */
static struct depth_point mean_of(const struct depth_point *point, size_t n)
{
    struct depth_point out = {.wof_pct = 0};

    for (size_t i = 0; i < n; i++) {
        const struct colour_reading *c = &point[i].colour;
        out.wof_pct += point[i].wof_pct / (double)n;
        out.colour.lab.L += c->lab.L / (double)n;
        out.colour.lab.a += c->lab.a / (double)n;
        out.colour.lab.b += c->lab.b / (double)n;
        out.colour.set =
            cov3_add(out.colour.set, cov3_scale(c->set, 1 / (double)(n * n)));
        out.colour.abs =
            cov3_add(out.colour.abs, cov3_scale(c->abs, 1 / (double)n));
    }
    return out;
}

/* Sorts and averages in place; how many are left. */
static size_t merge(struct depth_point *point, size_t n)
{
    size_t kept = 0;

    qsort(point, n, sizeof *point, by_weight);
    for (size_t from = 0, end; from < n; from = end) {
        for (end = from + 1; end < n; end++)
            if (!is_same(point[from].wof_pct, point[end].wof_pct))
                break;
        point[kept++] = mean_of(&point[from], end - from);
    }
    return kept;
}

/* ---- one channel ----------------------------------------------------------
 */

/* Averages what falls until it rises or stays: pool adjacent violators. */
static bool level(double *y, size_t n)
{
    double mean[CURVE_MOST];
    size_t count[CURVE_MOST], blocks = 0, at = 0;
    bool any = false;

    for (size_t i = 0; i < n; i++) {
        mean[blocks] = y[i];
        count[blocks++] = 1;
        while (blocks > 1 && mean[blocks - 1] < mean[blocks - 2]) {
            const size_t p = blocks - 2, q = blocks - 1;
            mean[p] =
                (mean[p] * (double)count[p] + mean[q] * (double)count[q]) /
                (double)(count[p] + count[q]);
            count[p] += count[q];
            blocks--;
            any = true;
        }
    }
    for (size_t k = 0; k < blocks; k++)
        for (size_t i = 0; i < count[k]; i++)
            y[at++] = mean[k];
    return any;
}

static double error_of(const struct cov3 *c, int channel)
{
    return sqrt(channel == 0 ? c->LL : channel == 1 ? c->aa : c->bb);
}

static void fit_channel(const struct depth_point *point, const double *ln_pct,
                        struct colour_reading undyed, int c, struct depth *out)
{
    double ln_s[CURVE_MOST], plain[CURVE_MOST];
    bool sure = true;

    for (size_t i = 0; i < out->n; i++) {
        const struct strength s = strength_of(point[i].colour, undyed);
        sure = sure && s.s.v[c] > 0 && s.s.v[c] > SURE * error_of(&s.cov, c);
        ln_s[i] = sure ? log(s.s.v[c]) : 0;
        plain[i] = s.s.v[c];
    }
    out->channel[c].ln = sure;
    if (sure)
        out->levelled = level(ln_s, out->n) || out->levelled;
    out->channel[c].curve = curve_through(ln_pct, sure ? ln_s : plain, out->n);
}

bool depth_fit(const struct depth_point *point, size_t n,
               struct colour_reading undyed, struct depth *out)
{
    struct depth_point *own = mem_new(n, sizeof *own);
    double ln_pct[CURVE_MOST];
    bool ok;

    *out = (struct depth){.undyed = undyed.lab};
    for (size_t i = 0; i < n; i++) {
        assert(point[i].wof_pct > 0);
        own[i] = point[i];
    }
    out->n = merge(own, n);
    ok = out->n >= 2 && out->n <= CURVE_MOST;
    if (ok) {
        for (size_t i = 0; i < out->n; i++) {
            ln_pct[i] = log(own[i].wof_pct);
            out->set[i] = own[i].colour.set;
            out->abs[i] = own[i].colour.abs;
        }
        out->least_pct = own[0].wof_pct;
        out->most_pct = own[out->n - 1].wof_pct;
        for (int c = 0; c < 3; c++)
            fit_channel(own, ln_pct, undyed, c, out);
    }
    free(own);
    return ok;
}

/* ---- reading it -----------------------------------------------------------
 */

static struct lab colour_at(const struct depth *d, double ln_pct)
{
    struct channels s;

    for (int c = 0; c < 3; c++) {
        const double y = curve_at(&d->channel[c].curve, ln_pct);
        s.v[c] = d->channel[c].ln ? exp(y) : y;
    }
    return strength_colour(s, d->undyed);
}

/* The errors of the two neighbours, by how near they are. */
static struct cov3 error_at(const struct depth *d, const struct cov3 *cov,
                            double ln_pct)
{
    const double *x = d->channel[0].curve.x;
    size_t i = 0;
    double t;

    while (i + 2 < d->n && ln_pct > x[i + 1])
        i++;
    t = (ln_pct - x[i]) / (x[i + 1] - x[i]);
    return cov3_add(cov3_add(cov3_scale(cov[i], (1 - t) * (1 - t)),
                             cov3_scale(cov[i + 1], t * t)),
                    cov3_diagonal(MODEL_U, MODEL_U, MODEL_U));
}

struct colour_reading depth_colour(const struct depth *depth, double wof_pct)
{
    const double x = log(wof_pct);

    assert(wof_pct >= depth->least_pct / DEPTH_BEYOND * (1 - 1e-9) &&
           wof_pct <= depth->most_pct * DEPTH_BEYOND * (1 + 1e-9));
    return (struct colour_reading){colour_at(depth, x),
                                   error_at(depth, depth->set, x),
                                   error_at(depth, depth->abs, x)};
}

/* Golden section between two weights that have the least between them. */
static double refine(const struct depth *d, struct lab target, double from,
                     double to)
{
    const double part = (sqrt(5) - 1) / 2;

    while (to - from > 1e-6) {
        const double x = to - part * (to - from), y = from + part * (to - from);
        if (lab_de00(colour_at(d, x), target) <
            lab_de00(colour_at(d, y), target))
            to = y;
        else
            from = x;
    }
    return (from + to) / 2;
}

struct depth_aim depth_nearest(const struct depth *depth, struct lab target)
{
    const double from = log(depth->least_pct / DEPTH_BEYOND);
    const double to = log(depth->most_pct * DEPTH_BEYOND);
    const double step = (to - from) / SCAN;
    double least = (double)INFINITY, best = from, pct;
    struct depth_aim out;

    for (int i = 0; i <= SCAN; i++) {
        const double d = lab_de00(colour_at(depth, from + i * step), target);
        if (d < least) {
            least = d;
            best = from + i * step;
        }
    }
    best =
        refine(depth, target, fmax(from, best - step), fmin(to, best + step));
    pct = exp(best);
    out =
        (struct depth_aim){.wof_pct = pct, .colour = depth_colour(depth, pct)};
    out.de00 = lab_de00(out.colour.lab, target);
    out.beyond = pct < depth->least_pct * (1 - 1e-6) ||
                 pct > depth->most_pct * (1 + 1e-6);
    return out;
}
