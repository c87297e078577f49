/* Covariances of a colour and what two uncertain colours allow one to say.
 * The formulas, their sources and a check are in docs/colour.md. */
#include "colour/uncertainty.h"

#include <assert.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "colour/axes.h"

/* The upper 5 % point of the standard normal distribution. */
#define Z95 1.6449
/* Its 16 % point, upside down: see upper_limit. */
#define Z16 0.9945

struct matrix {
    double m[3][3];
};

static struct matrix full(struct cov3 x)
{
    return (struct matrix){
        {{x.LL, x.La, x.Lb}, {x.La, x.aa, x.ab}, {x.Lb, x.ab, x.bb}}};
}

static struct cov3 packed(struct matrix x)
{
    return (struct cov3){.LL = x.m[0][0],
                         .La = (x.m[0][1] + x.m[1][0]) / 2,
                         .Lb = (x.m[0][2] + x.m[2][0]) / 2,
                         .aa = x.m[1][1],
                         .ab = (x.m[1][2] + x.m[2][1]) / 2,
                         .bb = x.m[2][2]};
}

/* t s t' */
static struct matrix carried(struct matrix t, struct matrix s)
{
    struct matrix ts = {0}, out = {0};

    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            for (int k = 0; k < 3; k++)
                ts.m[i][j] += t.m[i][k] * s.m[k][j];
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            for (int k = 0; k < 3; k++)
                out.m[i][j] += ts.m[i][k] * t.m[j][k];
    return out;
}

struct cov3 cov3_diagonal(double uL, double ua, double ub)
{
    return (struct cov3){.LL = uL * uL, .aa = ua * ua, .bb = ub * ub};
}

struct cov3 cov3_add(struct cov3 x, struct cov3 y)
{
    return (struct cov3){x.LL + y.LL, x.La + y.La, x.Lb + y.Lb,
                         x.aa + y.aa, x.ab + y.ab, x.bb + y.bb};
}

struct cov3 cov3_scale(struct cov3 x, double factor)
{
    return (struct cov3){x.LL * factor, x.La * factor, x.Lb * factor,
                         x.aa * factor, x.ab * factor, x.bb * factor};
}

struct cov3 cov3_carry(double (*t)[3], struct cov3 x)
{
    struct matrix m;

    memcpy(m.m, t, sizeof m.m);
    return packed(carried(m, full(x)));
}

/* Two rows or columns, each n doubles from the one before, as seen from axes
 * that are turned. */
static void turn(double *x, double *y, int n, double c, double sn)
{
    for (int k = 0; k < 3 * n; k += n) {
        const double old = x[k];

        x[k] = c * old - sn * y[k];
        y[k] = sn * old + c * y[k];
    }
}

/*
 * Eigenvalues and eigenvectors (the columns of v) of a symmetric matrix by
 * cyclic Jacobi rotations; three rows are done after five or six sweeps.
 * Source: Golub, Van Loan, Matrix Computations, section 8.5.
 */
static void eigen(struct matrix s, double value[3], struct matrix *v)
{
    double(*a)[3] = s.m;
    bool turned = true;

    *v = (struct matrix){{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}};
    for (int sweep = 0; turned && sweep < 20; sweep++) {
        turned = false;
        for (int p = 0; p < 2; p++)
            for (int q = p + 1; q < 3; q++) {
                if (fabs(a[p][q]) <= 1e-18 * (fabs(a[p][p]) + fabs(a[q][q])))
                    continue;
                const double half = (a[q][q] - a[p][p]) / (2 * a[p][q]);
                const double t =
                    (half < 0 ? -1 : 1) / (fabs(half) + sqrt(half * half + 1));
                const double c = 1 / sqrt(t * t + 1), sn = c * t;

                turned = true;
                turn(a[p], a[q], 1, c, sn);
                turn(&a[0][p], &a[0][q], 3, c, sn);
                a[p][q] = a[q][p] = 0;
                turn(&v->m[0][p], &v->m[0][q], 3, c, sn);
            }
    }
    for (int i = 0; i < 3; i++)
        value[i] = a[i][i];
}

void cov3_axes(struct cov3 x, double value[3], double axis[3][3])
{
    struct matrix v;

    eigen(full(x), value, &v);
    for (int i = 0; i < 3; i++)
        for (int k = 0; k < 3; k++)
            axis[i][k] = v.m[k][i];
}

/* Lower triangular l with l l' = g; a row without room left stays 0. */
static struct matrix root_of(struct matrix g)
{
    struct matrix l = {0};

    for (int i = 0; i < 3; i++)
        for (int j = 0; j <= i; j++) {
            double rest = g.m[i][j];

            for (int k = 0; k < j; k++)
                rest -= l.m[i][k] * l.m[j][k];
            if (i == j)
                l.m[i][i] = rest > 0 ? sqrt(rest) : 0;
            else if (l.m[j][j] > 0)
                l.m[i][j] = rest / l.m[j][j];
        }
    return l;
}

/* Whether all eigenvalues are above 0, beyond what rounding may do to that. */
static bool is_definite(struct matrix x)
{
    const struct matrix l = root_of(x);
    bool is = true;

    for (int i = 0; i < 3; i++)
        is = is && l.m[i][i] * l.m[i][i] > 1e-9 * fabs(x.m[i][i]);
    return is;
}

bool cov3_is_valid(struct cov3 x)
{
    double value[3], largest = 0;
    struct matrix v;

    if (!isfinite(x.LL + x.La + x.Lb + x.aa + x.ab + x.bb))
        return false;
    if (is_definite(full(x))) /* nearly all are */
        return true;
    eigen(full(x), value, &v);
    for (int i = 0; i < 3; i++)
        largest = fmax(largest, value[i]);
    for (int i = 0; i < 3; i++)
        if (value[i] < -1e-9 * largest)
            return false;
    return true;
}

/*
 * How far f moves for a relative error of 1: f / 3 on the cube root,
 * 841/108 t (that is f - 16/116) on the straight part below f = 24/116.
 */
static double reach(double f)
{
    return f > 24.0 / 116 ? f / 3 : f - 16.0 / 116;
}

struct cov3 cov3_from_relative(struct lab at, struct cov3 rel)
{
    const double f = (at.L + 16) / 116;
    const double x = reach(f + at.a / 500), y = reach(f),
                 z = reach(f - at.b / 200);
    const struct matrix t = {
        {{0, 116 * y, 0}, {500 * x, -500 * y, 0}, {0, 200 * y, -200 * z}}};

    return packed(carried(t, full(rel)));
}

struct cov3 cov3_de00_metric(struct lab at)
{
    const double step = 0.05;
    const double v[3] = {at.L, at.a, at.b};
    struct matrix g = {0};

    for (int i = 0; i < 3; i++)
        for (int j = i; j < 3; j++) {
            double w[3] = {v[0], v[1], v[2]}, d;

            w[i] += step;
            if (j != i)
                w[j] += step;
            d = lab_de00(at, (struct lab){w[0], w[1], w[2]}) / step;
            g.m[i][j] = d * d;
        }
    /* polarisation: |e_i + e_j|^2 = |e_i|^2 + |e_j|^2 + 2 <e_i, e_j> */
    for (int i = 0; i < 3; i++)
        for (int j = i + 1; j < 3; j++)
            g.m[i][j] = g.m[j][i] = (g.m[i][j] - g.m[i][i] - g.m[j][j]) / 2;
    return packed(g);
}

/* ---- comparing -----------------------------------------------------------*/

/*
 * A difference on axes where dE00 is the plain distance and its errors are
 * independent: Q = dE00^2 is the sum of (true_i + sqrt(lambda_i) n_i)^2 with
 * standard normal n_i.
 */
struct spread {
    double seen[3];   /* the difference as read */
    double lambda[3]; /* variances; eigenvalues of M = G S_d */
};

/* Two colours on such axes. */
struct view {
    struct matrix lt; /* turns a difference on to them */
    double seen[3], de00;
};

static struct view view_of(struct lab x, struct lab y)
{
    const struct lab mean = {(x.L + y.L) / 2, (x.a + y.a) / 2, (x.b + y.b) / 2};
    const struct matrix l = root_of(full(cov3_de00_metric(mean)));
    const double d[3] = {y.L - x.L, y.a - x.a, y.b - x.b};
    struct view v = {.de00 = lab_de00(x, y)};
    double local = 0;

    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++) {
            v.lt.m[i][j] = l.m[j][i];
            v.seen[i] += v.lt.m[i][j] * d[j];
        }
    for (int i = 0; i < 3; i++)
        local += v.seen[i] * v.seen[i];
    for (int i = 0; i < 3 && local > 0; i++) /* the metric is local only */
        v.seen[i] *= v.de00 / sqrt(local);
    return v;
}

static struct spread spread_of(const struct view *v, struct matrix noise)
{
    struct spread s = {{0}, {0}};
    struct matrix axes;

    eigen(noise, s.lambda, &axes);
    for (int i = 0; i < 3; i++) {
        if (s.lambda[i] < 0) /* rounding */
            s.lambda[i] = 0;
        for (int j = 0; j < 3; j++)
            s.seen[i] += axes.m[j][i] * v->seen[j];
    }
    return s;
}

/* The first three sums a distribution of Q is matched by. */
struct sums {
    double c1, c2, c3;
};

/* c_k = sum of lambda^k + k lambda^(k-1) true^2 */
static struct sums sums_of(const double lambda[3], const double true_d[3])
{
    struct sums c = {0, 0, 0};

    for (int i = 0; i < 3; i++) {
        const double l = lambda[i], q = true_d[i] * true_d[i];

        c.c1 += l + q;
        c.c2 += l * l + 2 * l * q;
        c.c3 += l * l * l + 3 * l * l * q;
    }
    return c;
}

/*
 * The quantile of Q at z standard normal steps: (Q / c1)^h is nearly normal.
 * For a noncentral chi-square this is Sankaran's approximation, for a central
 * one Wilson's and Hilferty's. Source: Jensen, Solomon, J. Am. Stat. Assoc.
 * 67 (1972) 898-902.
 */
static double quantile(struct sums c, double z)
{
    const double p = c.c2 / (c.c1 * c.c1);
    double h = 1 - 2 * c.c1 * c.c3 / (3 * c.c2 * c.c2), base;

    if (fabs(h) < 1e-6)
        h = 1e-6;
    base = 1 + h * (h - 1) * p + z * h * sqrt(2 * p);
    return base > 0 ? c.c1 * pow(base, 1 / h) : 0;
}

/*
 * The true difference that would have given the reading most likely, of all
 * those of one length: seen_i / (1 + mu lambda_i). place runs from 0 (mu
 * without bound, length 0) to 1 (mu = -1 / largest lambda, length without
 * bound). Its length squared goes to *square.
 *
 * How far the quantile of so large a difference is above q, between -1, for
 * one of 0, and 1, for one without bound.
 */
static double candidate(const struct spread *s, double largest, double place,
                        double q, double *square)
{
    const double mu = (1 / place - 2) / largest;
    double true_d[3], at;

    *square = 0;
    for (int i = 0; i < 3; i++) {
        true_d[i] = s->seen[i] / (1 + mu * s->lambda[i]);
        *square += true_d[i] * true_d[i];
    }
    at = quantile(sums_of(s->lambda, true_d), -Z95);
    return (at - q) / (at + q);
}

/*
 * Where the quantile is q: on the line through a place below and one above
 * (Illinois: that of an end that stays counts half), every third time half way
 * between, so that it ends whatever the shape.
 */
static double solve(const struct spread *s, double largest, double q)
{
    struct {
        double place, at;
    } low = {0, -1}, high = {1, 1};
    double square = 0, last = 0;

    for (int step = 1; step < 200; step++) {
        const double half = low.place + (high.place - low.place) / 2;
        double place =
            low.place + low.at / (low.at - high.at) * (high.place - low.place);
        double at;

        if (!(half > low.place && half < high.place))
            break;
        if (step % 3 == 0 || !(place > low.place && place < high.place))
            place = half;
        at = candidate(s, largest, place, q, &square);
        if (fabs(at) < 1e-14)
            break;
        if (at < 0) {
            low.place = place;
            low.at = at;
            high.at /= last < 0 ? 2 : 1;
        } else {
            high.place = place;
            high.at = at;
            low.at /= last > 0 ? 2 : 1;
        }
        last = at;
    }
    return square;
}

/*
 * The upper 95 % limit of the true dE00: the largest that would still give
 * so small a Q in 5 % of cases. An outcome luckier than one in six counts as
 * one in six, or chance alone would now and then promise a match that the
 * readings could not have shown (a power-constrained limit: Cowan, Cranmer,
 * Gross, Vitells, arXiv:1105.3166).
 */
static double upper_limit(struct spread s, double q)
{
    static const double none[3] = {0, 0, 0};
    double largest = 0;

    q = fmax(q, quantile(sums_of(s.lambda, none), -Z16));
    for (int i = 0; i < 3; i++)
        largest = fmax(largest, s.lambda[i]);
    for (int i = 0; i < 3; i++) /* without a direction: the noisiest axis */
        if (s.lambda[i] == largest && fabs(s.seen[i]) < 1e-6 * sqrt(largest))
            s.seen[i] = 1e-6 * sqrt(largest);
    return sqrt(solve(&s, largest, q));
}

static double trace(struct matrix m)
{
    return m.m[0][0] + m.m[1][1] + m.m[2][2];
}

/* sqrt(q tr M): see the header. 0 without any noise. */
static double threshold(struct matrix m)
{
    const double sum = trace(m);
    double squares = 0, w, base;

    if (sum == 0)
        return 0;
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            squares += m.m[i][j] * m.m[i][j];
    w = 2 * squares / (9 * sum * sum); /* 2 / (9 nu) */
    base = 1 - w + Z95 * sqrt(w);
    return sqrt(base * base * base * sum);
}

struct cov3 cov3_of_difference(struct colour_reading x, struct colour_reading y,
                               bool same_setup)
{
    struct cov3 both = cov3_add(x.abs, y.abs);
    struct cov3 set = cov3_add(x.set, y.set);
    double r;

    if (!same_setup)
        return both;
    r = lab_de76(x.lab, y.lab) / 30;
    if (r > 1)
        r = 1;
    /* what they share, as the mean of the two, less what cancels */
    return cov3_add(set,
                    cov3_scale(cov3_add(both, cov3_scale(set, -1)), r * r / 2));
}

static struct comparison compared(const struct view *v, struct cov3 cov,
                                  double tolerance, bool with_U)
{
    const struct matrix noise = carried(v->lt, full(cov));
    struct comparison c = {.de00 = v->de00,
                           .U = v->de00,
                           .X = tolerance,
                           .verdict = VERDICT_CANNOT_TELL};

    assert(tolerance > 0);
    c.T = threshold(noise);
    if (isnan(c.de00 + c.T)) {
        c.T = c.U = (double)NAN;
    } else if (trace(noise) > 0 && with_U) {
        c.U = fmax(c.de00, upper_limit(spread_of(v, noise), c.de00 * c.de00));
    }
    if (c.U <= c.X)
        c.verdict = VERDICT_MATCH;
    else if (c.de00 > c.T)
        c.verdict = VERDICT_DIFFERENT;
    return c;
}

struct comparison compare_readings(struct colour_reading x,
                                   struct colour_reading y, bool same_setup,
                                   double tolerance)
{
    const struct view v = view_of(x.lab, y.lab);

    return compared(&v, cov3_of_difference(x, y, same_setup), tolerance, true);
}

void readings_differ(struct colour_reading x, struct colour_reading y,
                     double tolerance, bool differ[2])
{
    const struct view v = view_of(x.lab, y.lab);

    for (int same = 0; same < 2; same++) {
        const struct cov3 cov = cov3_of_difference(x, y, same);
        struct comparison c = compared(&v, cov, tolerance, false);

        if (c.de00 > c.T && c.de00 <= c.X) /* U may be more */
            c = compared(&v, cov, tolerance, true);
        differ[same] = c.verdict == VERDICT_DIFFERENT;
    }
}

/* ---- words ---------------------------------------------------------------*/

void verdict_words(struct comparison c, char *out, unsigned long size)
{
    switch (c.verdict) {
    case VERDICT_MATCH:
        snprintf(out, size, "match within %g", c.X);
        return;
    case VERDICT_CANNOT_TELL:
        snprintf(out, size, "this photo cannot tell: lay the skeins together");
        return;
    case VERDICT_DIFFERENT:
        snprintf(out, size, "different");
        return;
    }
}

struct part {
    double de00;
    const char *word;
    bool rises; /* lighter, stronger ... rather than the other way */
};

/*
 * Where a hue that grows (or shrinks) is heading: the next of the four hues
 * that look unmixed, leaving out one less than 20 degrees away, for a red
 * does not become redder by turning. Their angles are those of CIE 159:2004
 * (from memory), close enough in L*a*b* for a word.
 */
static const char *hue_word(double h, bool grows)
{
    static const struct {
        double h;
        const char *word;
    } pure[] = {{20.14, "redder"},
                {90.00, "yellower"},
                {164.25, "greener"},
                {237.53, "bluer"}};
    const char *word = "";
    double nearest = 720;

    for (size_t i = 0; i < 4; i++) {
        double ahead = grows ? pure[i].h - h : h - pure[i].h;

        while (ahead < 20)
            ahead += 360;
        if (ahead < nearest) {
            nearest = ahead;
            word = pure[i].word;
        }
    }
    return word;
}

static struct lab from_lch(double L, double C, double h)
{
    const double angle = h * acos(-1) / 180;

    return (struct lab){L, C * cos(angle), C * sin(angle)};
}

/* The parts of a difference, each as dE00 with the rest at the mean. */
static void parts_of(struct lab x, struct lab y, struct part part[3])
{
    const struct lch p = lch_from_lab(x), q = lch_from_lab(y);
    const double L = (x.L + y.L) / 2, a = (x.a + y.a) / 2, b = (x.b + y.b) / 2,
                 C = (p.C + q.C) / 2;
    double turn = q.h - p.h, h;

    if (fabs(turn) > 180)
        turn -= turn > 0 ? 360 : -360;
    h = p.h + turn / 2;
    part[0].de00 = lab_de00((struct lab){x.L, a, b}, (struct lab){y.L, a, b});
    part[0].rises = y.L > x.L;
    part[0].word = part[0].rises ? "lighter" : "darker";
    if (p.C < 10 || q.C < 10 || fabs(turn) > 90) { /* hue says too little */
        part[1].de00 =
            lab_de00((struct lab){L, x.a, b}, (struct lab){L, y.a, b});
        part[1].rises = y.a > x.a;
        part[1].word = part[1].rises ? "redder" : "greener";
        part[2].de00 =
            lab_de00((struct lab){L, a, x.b}, (struct lab){L, a, y.b});
        part[2].rises = y.b > x.b;
        part[2].word = part[2].rises ? "yellower" : "bluer";
        return;
    }
    part[1].de00 = lab_de00(from_lch(L, p.C, h), from_lch(L, q.C, h));
    part[1].rises = q.C > p.C;
    part[1].word = part[1].rises ? "stronger" : "duller";
    part[2].de00 = lab_de00(from_lch(L, C, p.h), from_lch(L, C, q.h));
    part[2].rises = turn > 0;
    part[2].word = hue_word(h < 0 ? h + 360 : h, turn > 0);
}

static void larger_first(const struct part **p, const struct part **q)
{
    const struct part *t = *p;

    if ((*p)->de00 < (*q)->de00) {
        *p = *q;
        *q = t;
    }
}

bool difference_rises(struct lab x, struct lab y)
{
    struct part part[3] = {{0}};
    size_t most = 0;

    parts_of(x, y, part);
    for (size_t i = 1; i < 3; i++)
        if (part[i].de00 > part[most].de00)
            most = i;
    return part[most].rises;
}

void difference_words(struct lab x, struct lab y, char *out, unsigned long size)
{
    static const char *const gap[] = {", ", " and "};
    struct part part[3] = {{0}};
    const struct part *by[3] = {&part[0], &part[1], &part[2]};
    size_t n = 0;

    parts_of(x, y, part);
    larger_first(&by[0], &by[1]);
    larger_first(&by[1], &by[2]);
    larger_first(&by[0], &by[1]);
    while (n < 3 && by[n]->de00 > 1e-9 && by[n]->de00 >= by[0]->de00 / 4)
        n++;
    if (isnan(lab_de00(x, y)))
        n = 0;
    snprintf(out, size, "%s%s%s%s%s", n > 0 ? by[0]->word : "",
             n > 1 ? gap[n == 2] : "", n > 1 ? by[1]->word : "",
             n > 2 ? gap[1] : "", n > 2 ? by[2]->word : "");
}
