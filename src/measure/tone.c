/* The camera's tone curve from greys of known value. See the header. */
#include "measure/tone.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "colour/lab.h"

/* Slopes of a camera's curve, ln over ln: beyond these something else is
 * wrong (choice). */
#define SLOPE_LEAST 0.2
#define SLOPE_MOST 5.0

/* Light below this has no logarithm of use; from here on down in proportion.
 */
#define LEAST_LIGHT 1e-6

/* ---- one channel -------------------------------------------------------- */

struct curve tone_curve_through(const double *is, const double *should,
                                size_t n)
{
    double x[TONE_MOST], y[TONE_MOST];

    assert(n >= 2 && n <= TONE_MOST);
    for (size_t i = 0; i < n; i++) {
        x[i] = log(is[i]);
        y[i] = log(should[i]);
        assert(i == 0 || y[i] > y[i - 1]);
    }
    return curve_through(x, y, n);
}

/* Two points on the straight line of least squares, at the ends. */
static struct curve line_through(const double *is, const double *should,
                                 size_t n)
{
    double x = 0, y = 0, xx = 0, xy = 0;
    struct curve c = {.n = 2};

    for (size_t i = 0; i < n; i++) {
        x += log(is[i]) / (double)n;
        y += log(should[i]) / (double)n;
    }
    for (size_t i = 0; i < n; i++) {
        xx += (log(is[i]) - x) * (log(is[i]) - x);
        xy += (log(is[i]) - x) * (log(should[i]) - y);
    }
    c.slope[0] = c.slope[1] = xy / xx;
    c.x[0] = log(is[0]);
    c.x[1] = log(is[n - 1]);
    for (int i = 0; i < 2; i++)
        c.y[i] = y + c.slope[i] * (c.x[i] - x);
    return c;
}

double tone_curve_at(const struct curve *curve, double v)
{
    if (v < LEAST_LIGHT)
        return exp(curve_at(curve, log(LEAST_LIGHT))) * v / LEAST_LIGHT;
    return exp(curve_at(curve, log(v)));
}

double tone_curve_beyond(const struct curve *curve, double v)
{
    const double x = log(fmax(v, LEAST_LIGHT));

    return fmax(0, fmax(curve->x[0] - x, x - curve->x[curve->n - 1]));
}

void tone_apply(const struct tone *tone, const double is[3], double out[3])
{
    for (int c = 0; c < 3; c++)
        out[c] = tone_curve_at(&tone->channel[c], is[c]);
}

/* ---- the greys ---------------------------------------------------------- */

/* Greys put in order, those alike put together. */
struct steps {
    size_t n;
    double is[3][TONE_MOST], should[3][TONE_MOST];
    size_t of[TONE_MOST]; /* a grey of this step */
};

struct ranked {
    double light;
    size_t at;
};

static int by_light(const void *a, const void *b)
{
    const struct ranked *x = a, *y = b;

    if (x->light != y->light)
        return x->light < y->light ? -1 : 1;
    return x->at < y->at ? -1 : x->at > y->at;
}

/* Green, which is most of luminance, puts them in order. */
static struct ranked *rank(const struct tone_grey *grey, size_t n)
{
    struct ranked *order = mem_new(n, sizeof *order);

    for (size_t i = 0; i < n; i++)
        order[i] = (struct ranked){grey[i].should[1], i};
    qsort(order, n, sizeof *order, by_light);
    return order;
}

/* Adds the mean (of logarithms) of greys order[from..end) as one step. */
static void step_add(const struct tone_grey *grey, const struct ranked *order,
                     size_t from, size_t end, struct steps *out)
{
    const double n = (double)(end - from);

    for (int c = 0; c < 3; c++) {
        double is = 0, should = 0;

        for (size_t i = from; i < end; i++) {
            is += log(grey[order[i].at].is[c]) / n;
            should += log(grey[order[i].at].should[c]) / n;
        }
        out->is[c][out->n] =
            end - from > 1 ? exp(is) : grey[order[from].at].is[c];
        out->should[c][out->n] =
            end - from > 1 ? exp(should) : grey[order[from].at].should[c];
    }
    out->of[out->n++] = order[from].at;
}

static enum tone_fault steps_of(const struct tone_grey *grey, size_t n,
                                struct steps *out, size_t *at_fault)
{
    struct ranked *order;
    enum tone_fault fault = TONE_FINE;

    out->n = 0;
    for (size_t i = 0; i < n; i++)
        for (int c = 0; c < 3; c++)
            if (!(grey[i].is[c] >= LEAST_LIGHT &&
                  grey[i].should[c] >= LEAST_LIGHT)) {
                *at_fault = i;
                return TONE_DARK;
            }
    order = rank(grey, n);
    for (size_t from = 0, end; from < n && !fault; from = end) {
        for (end = from + 1; end < n; end++)
            if (log(order[end].light / order[from].light) > TONE_ALIKE)
                break;
        if (out->n == TONE_MOST)
            fault = TONE_TOO_MANY;
        else
            step_add(grey, order, from, end, out);
    }
    free(order);
    return fault ? fault : out->n < 2 ? TONE_TOO_FEW : TONE_FINE;
}

/* Whether each step is lighter than the one before, and by how much. */
static enum tone_fault judge(const struct steps *s, double *least, double *most,
                             size_t *at_fault)
{
    enum tone_fault fault = TONE_FINE;

    *least = HUGE_VAL;
    *most = 0;
    for (int c = 0; c < 3; c++)
        for (size_t i = 1; i < s->n; i++) {
            const double x = log(s->is[c][i] / s->is[c][i - 1]);
            const double y = log(s->should[c][i] / s->should[c][i - 1]);

            if (!(x > 0 && y > 0)) {
                *at_fault = s->of[i];
                return TONE_NOT_RISING;
            }
            *least = fmin(*least, y / x);
            *most = fmax(*most, y / x);
            if (!fault && !(y / x >= SLOPE_LEAST && y / x <= SLOPE_MOST)) {
                *at_fault = s->of[i];
                fault = TONE_STEEP;
            }
        }
    return fault;
}

static void fit(const struct steps *s, bool power, struct tone *out)
{
    out->greys = s->n;
    out->power = power || s->n == 2;
    for (int c = 0; c < 3; c++)
        out->channel[c] =
            power ? line_through(s->is[c], s->should[c], s->n)
                  : tone_curve_through(s->is[c], s->should[c], s->n);
}

/* ---- what it is worth --------------------------------------------------- */

static double lightness(const struct mat3 *to_xyz, const double rgb[3])
{
    double v[3];

    mat3_apply(to_xyz, rgb, v);
    return lab_from_xyz((struct xyz){v[0], v[1], v[2]}).L;
}

/* |dL*| of step k told by the others. */
static double left_out(const struct steps *s, size_t k, bool power,
                       const struct mat3 *to_xyz)
{
    struct steps others = {.n = 0};
    struct tone tone;
    double is[3], told[3], should[3];

    for (size_t i = 0; i < s->n; i++) {
        if (i == k)
            continue;
        for (int c = 0; c < 3; c++) {
            others.is[c][others.n] = s->is[c][i];
            others.should[c][others.n] = s->should[c][i];
        }
        others.n++;
    }
    fit(&others, power, &tone);
    for (int c = 0; c < 3; c++) {
        is[c] = s->is[c][k];
        should[c] = s->should[c][k];
    }
    tone_apply(&tone, is, told);
    return fabs(lightness(to_xyz, told) - lightness(to_xyz, should));
}

static void leave_out(const struct steps *s, const struct mat3 *to_xyz,
                      struct tone_report *out)
{
    double curve = 0, power = 0, worst = 0;

    if (s->n < 4)
        return;
    for (size_t k = 0; k < s->n; k++) {
        const double d = left_out(s, k, false, to_xyz);

        curve += d / (double)s->n;
        power += left_out(s, k, true, to_xyz) / (double)s->n;
        if (k > 0 && k + 1 < s->n)
            worst = fmax(worst, d);
    }
    out->left_out = curve;
    out->left_out_power = power;
    out->worst_between = worst;
}

/* How much the steepest channel differs from the flattest. */
static double apart(const struct steps *s)
{
    double least = HUGE_VAL, most = 0;

    for (int c = 0; c < 3; c++) {
        const double slope =
            line_through(s->is[c], s->should[c], s->n).slope[0];

        least = fmin(least, slope);
        most = fmax(most, slope);
    }
    return most / least - 1;
}

enum tone_fault tone_fit_as(const struct tone_grey *grey, size_t n, bool power,
                            struct tone *out)
{
    struct steps *s = mem_new(1, sizeof *s);
    double least, most;
    size_t at;
    enum tone_fault fault = steps_of(grey, n, s, &at);

    if (!fault)
        fault = judge(s, &least, &most, &at);
    if (!fault || fault == TONE_STEEP)
        fit(s, power, out);
    free(s);
    return fault;
}

enum tone_fault tone_fit(const struct tone_grey *grey, size_t n,
                         const struct mat3 *to_xyz, struct tone *out,
                         struct tone_report *report)
{
    struct steps *s = mem_new(1, sizeof *s);
    enum tone_fault fault;

    *report = (struct tone_report){.left_out = (double)NAN,
                                   .left_out_power = (double)NAN,
                                   .worst_between = (double)NAN};
    fault = steps_of(grey, n, s, &report->at_fault);
    if (!fault)
        fault = judge(s, &report->least, &report->most, &report->at_fault);
    if (!fault) {
        report->apart = apart(s);
        leave_out(s, to_xyz, report);
        fit(s, report->left_out > report->left_out_power, out);
    }
    free(s);
    return fault;
}
