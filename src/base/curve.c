/* A monotone cubic. See base/curve.h. */
#include "base/curve.h"

#include <assert.h>

static double secant(const struct curve *c, size_t i)
{
    return (c->y[i + 1] - c->y[i]) / (c->x[i + 1] - c->x[i]);
}

/* The slope of a point between two others: the weighted harmonic mean of the
 * secants, 0 where they turn. */
static double slope_between(const struct curve *c, size_t i)
{
    const double before = c->x[i] - c->x[i - 1], after = c->x[i + 1] - c->x[i];
    const double rise = secant(c, i - 1), next = secant(c, i);

    if (!(rise * next > 0))
        return 0;
    return 3 * (before + after) /
           ((2 * after + before) / rise + (after + 2 * before) / next);
}

struct curve curve_through(const double *x, const double *y, size_t n)
{
    struct curve c = {.n = n};

    assert(n >= 2 && n <= CURVE_MOST);
    for (size_t i = 0; i < n; i++) {
        c.x[i] = x[i];
        c.y[i] = y[i];
        assert(i == 0 || x[i] > x[i - 1]);
    }
    c.slope[0] = secant(&c, 0);
    c.slope[n - 1] = secant(&c, n - 2);
    for (size_t i = 1; i + 1 < n; i++)
        c.slope[i] = slope_between(&c, i);
    return c;
}

double curve_at(const struct curve *c, double x)
{
    size_t i = 0;
    double h, t, s;

    if (x <= c->x[0])
        return c->y[0] + c->slope[0] * (x - c->x[0]);
    if (x >= c->x[c->n - 1])
        return c->y[c->n - 1] + c->slope[c->n - 1] * (x - c->x[c->n - 1]);
    while (x > c->x[i + 1])
        i++;
    h = c->x[i + 1] - c->x[i];
    t = (x - c->x[i]) / h;
    s = 1 - t;
    return c->y[i] * (1 + 2 * t) * s * s + c->y[i + 1] * t * t * (3 - 2 * t) +
           h * t * s * (c->slope[i] * s - c->slope[i + 1] * t);
}
