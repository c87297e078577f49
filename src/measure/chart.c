/* The camera's colours from a chart of patches. See the header. */
#include "measure/chart.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"

#define RIDGE 1e-9 /* of the mean of the diagonal */

/* A model with more freedom has to be so much better (choice). */
#define BETTER 0.8      /* than the greys alone */
#define ROOT_BETTER 0.9 /* than 3 x 3 */

/* A colour so little outside the hull of the patches still counts as inside,
 * as a share of its distance from their middle. */
#define HULL_EDGE 0.05

const char *chart_model_name(enum chart_model model)
{
    switch (model) {
    case CHART_TONE:
        return "neutrals alone";
    case CHART_MATRIX:
        return "3x3";
    case CHART_ROOT:
        return "root polynomial of 6 terms";
    }
    return "";
}

/* ---- a fit -------------------------------------------------------------- */

static size_t terms_of(enum chart_model model, const double v[3],
                       double out[CHART_TERMS])
{
    memcpy(out, v, 3 * sizeof *out);
    if (model != CHART_ROOT)
        return 3;
    for (int i = 0; i < 3; i++)
        out[3 + i] = sqrt(fmax(v[i] * v[(i + 1) % 3], 0));
    return CHART_TERMS;
}

/* Sums of a weighted fit by least squares. */
struct sums {
    double left[CHART_TERMS][CHART_TERMS], right[CHART_TERMS][3];
};

/* Equal weight for equal errors of L*, which goes as the cube root of Y. */
static void sums_add(struct sums *s, enum chart_model model, const double v[3],
                     struct lab lab)
{
    const struct xyz c = xyz_from_lab(lab);
    const double xyz[3] = {c.X, c.Y, c.Z};
    const double weight = pow(fmax(c.Y, 1e-4), -4.0 / 3);
    double term[CHART_TERMS];
    const size_t n = terms_of(model, v, term);

    for (size_t i = 0; i < n; i++) {
        for (size_t j = 0; j < n; j++)
            s->left[i][j] += weight * term[i] * term[j];
        for (int c3 = 0; c3 < 3; c3++)
            s->right[i][c3] += weight * term[i] * xyz[c3];
    }
}

/* Cholesky's method; the ridge keeps the matrix positive. */
static void solve(struct sums *s, size_t n, double out[3][CHART_TERMS])
{
    double ridge = 0;

    for (size_t i = 0; i < n; i++)
        ridge += RIDGE * s->left[i][i] / (double)n;
    for (size_t i = 0; i < n; i++) {
        s->left[i][i] += ridge;
        for (size_t j = 0; j <= i; j++) {
            double sum = s->left[i][j];

            for (size_t k = 0; k < j; k++)
                sum -= s->left[i][k] * s->left[j][k];
            s->left[i][j] =
                i == j ? sqrt(fmax(sum, ridge * 1e-3)) : sum / s->left[j][j];
        }
    }
    for (int c = 0; c < 3; c++) {
        double y[CHART_TERMS] = {0};

        for (size_t i = 0; i < n; i++) {
            y[i] = s->right[i][c];
            for (size_t k = 0; k < i; k++)
                y[i] -= s->left[i][k] * y[k];
            y[i] /= s->left[i][i];
        }
        for (size_t i = n; i-- > 0;) {
            out[c][i] = y[i];
            for (size_t k = i + 1; k < n; k++)
                out[c][i] -= s->left[k][i] * out[c][k];
            out[c][i] /= s->left[i][i];
        }
    }
}

/* Fits the model to all patches but `without` (n: to all), after chart's
 * tone. */
static void fit(const struct chart_patch *patch, size_t n, size_t without,
                enum chart_model model, struct chart *chart)
{
    struct sums s = {{{0}}, {{0}}};

    chart->model = model;
    if (model == CHART_TONE)
        return;
    for (size_t i = 0; i < n; i++) {
        double v[3];

        if (i == without)
            continue;
        tone_apply(&chart->tone, patch[i].is, v);
        sums_add(&s, model, v, patch[i].lab);
    }
    solve(&s, model == CHART_ROOT ? CHART_TERMS : 3, chart->from_terms);
}

struct xyz chart_apply(const struct chart *chart, const double is[3],
                       const struct mat3 *to_xyz)
{
    double v[3], term[CHART_TERMS], out[3] = {0, 0, 0};

    tone_apply(&chart->tone, is, v);
    if (chart->model == CHART_TONE) {
        mat3_apply(to_xyz, v, out);
    } else {
        const size_t n = terms_of(chart->model, v, term);

        for (int c = 0; c < 3; c++)
            for (size_t i = 0; i < n; i++)
                out[c] += chart->from_terms[c][i] * term[i];
    }
    return (struct xyz){out[0], out[1], out[2]};
}

/* ---- leaving out -------------------------------------------------------- */

/* The greys among the patches, without one of them. */
static enum tone_fault tone_without(const struct chart_patch *patch, size_t n,
                                    size_t without, bool power,
                                    const struct mat3 *from_xyz,
                                    struct tone *out)
{
    struct tone_grey *grey = mem_new(n, sizeof *grey);
    enum tone_fault fault;
    size_t greys = 0;

    for (size_t i = 0; i < n; i++) {
        const struct xyz c = xyz_from_lab(patch[i].lab);
        const double v[3] = {c.X, c.Y, c.Z};

        if (!patch[i].grey || i == without)
            continue;
        memcpy(grey[greys].is, patch[i].is, sizeof grey[greys].is);
        mat3_apply(from_xyz, v, grey[greys++].should);
    }
    fault = tone_fit_as(grey, greys, power, out);
    free(grey);
    return fault;
}

/* Whether patch i is the lightest or the darkest grey. */
static bool at_end(const struct chart_patch *patch, size_t n, size_t i)
{
    bool lighter = false, darker = false;

    for (size_t k = 0; k < n; k++) {
        lighter = lighter || (patch[k].grey && patch[k].lab.L > patch[i].lab.L);
        darker = darker || (patch[k].grey && patch[k].lab.L < patch[i].lab.L);
    }
    return !(lighter && darker);
}

static void leave_out(const struct chart_patch *patch, size_t n,
                      const struct tone *tone, const struct mat3 *to_xyz,
                      enum chart_model model, struct chart_report *report)
{
    const struct mat3 from_xyz = mat3_inverse(to_xyz);
    struct chart_left_out *out = &report->model[model];
    struct chart *chart = mem_new(1, sizeof *chart);

    *out = (struct chart_left_out){0};
    for (size_t i = 0; i < n; i++) {
        struct lab lab;
        double de;

        if (!patch[i].grey ||
            tone_without(patch, n, i, tone->power, &from_xyz, &chart->tone))
            chart->tone = *tone;
        fit(patch, n, i, model, chart);
        lab = lab_from_xyz(chart_apply(chart, patch[i].is, to_xyz));
        de = lab_de00(lab, patch[i].lab);
        out->mean += de / (double)n;
        out->worst = fmax(out->worst, de);
        out->sL += pow(lab.L - patch[i].lab.L, 2) / (double)n;
        out->sa += pow(lab.a - patch[i].lab.a, 2) / (double)n;
        out->sb += pow(lab.b - patch[i].lab.b, 2) / (double)n;
        if (model == CHART_TONE && patch[i].grey && !at_end(patch, n, i))
            report->worst_grey = fmax(report->worst_grey, de);
    }
    out->sL = sqrt(out->sL);
    out->sa = sqrt(out->sa);
    out->sb = sqrt(out->sb);
    free(chart);
}

static enum chart_model best(const struct chart_left_out *m)
{
    const double enough = BETTER * m[CHART_TONE].mean;

    if (m[CHART_ROOT].mean < enough &&
        m[CHART_ROOT].mean < ROOT_BETTER * m[CHART_MATRIX].mean &&
        m[CHART_ROOT].worst <= m[CHART_MATRIX].worst)
        return CHART_ROOT;
    return m[CHART_MATRIX].mean < enough ? CHART_MATRIX : CHART_TONE;
}

void chart_fit(const struct chart_patch *patch, size_t n,
               const struct tone *tone, const struct mat3 *to_xyz,
               struct chart *out, struct chart_report *report)
{
    *report = (struct chart_report){.worst_grey = 0};
    for (int i = 0; i < CHART_MODELS; i++)
        leave_out(patch, n, tone, to_xyz, (enum chart_model)i, report);
    *out = (struct chart){.tone = *tone};
    fit(patch, n, n, best(report->model), out);
}

bool chart_fit_as(const struct chart_patch *patch, size_t n,
                  enum chart_model model, bool power, const struct mat3 *to_xyz,
                  struct chart *out)
{
    const struct mat3 from_xyz = mat3_inverse(to_xyz);

    *out = (struct chart){.model = model};
    if (tone_without(patch, n, n, power, &from_xyz, &out->tone))
        return false;
    fit(patch, n, n, model, out);
    return true;
}

/* ---- the hull ----------------------------------------------------------- */

struct point {
    double x, y;
};

/* Shares of red and green after the curve. */
static struct point share(const struct tone *tone, const double is[3])
{
    double v[3], sum;

    tone_apply(tone, is, v);
    sum = fmax(v[0] + v[1] + v[2], 1e-9);
    return (struct point){v[0] / sum, v[1] / sum};
}

static int by_angle(const void *a, const void *b)
{
    const double *x = a, *y = b;

    return *x < *y ? -1 : *x > *y;
}

/* A point lies outside a convex hull just when some line through it has all
 * corners on one side: when the directions to them leave a gap of more than
 * half a turn. */
bool chart_holds(const struct chart_patch *patch, size_t n,
                 const struct tone *tone, const double is[3])
{
    const double pi = acos(-1);
    struct point at = share(tone, is), middle = {0, 0};
    struct point *p = mem_new(n, sizeof *p);
    double *angle = mem_new(n, sizeof *angle), gap;

    for (size_t i = 0; i < n; i++) {
        p[i] = share(tone, patch[i].is);
        middle.x += p[i].x / (double)n;
        middle.y += p[i].y / (double)n;
    }
    at.x += HULL_EDGE * (middle.x - at.x);
    at.y += HULL_EDGE * (middle.y - at.y);
    for (size_t i = 0; i < n; i++)
        angle[i] = atan2(p[i].y - at.y, p[i].x - at.x);
    qsort(angle, n, sizeof *angle, by_angle);
    gap = angle[0] + 2 * pi - angle[n - 1];
    for (size_t i = 1; i < n; i++)
        gap = fmax(gap, angle[i] - angle[i - 1]);
    free(angle);
    free(p);
    return gap <= pi;
}
