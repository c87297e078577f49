/* The fit of an exhaust series. See dye/exhaust.h. */
#include "dye/exhaust.h"

#include <assert.h>
#include <math.h>
#include <stdio.h>

#include "dye/strength.h"

/* Limits from docs/colour.md: how far above its own error a strength counts, at
 * the first round and at the others; how far a round may lie off the line, in
 * its errors; and the model's own error in L, a, b: without noise the round
 * after three is missed by 0.07, 0.23 and 0.18 (rms) in the world of spectra of
 * tests/test_exhaust.c. */
#define SURE_FIRST 3.0
#define SURE 2.0
#define OFF_LINE 3.0
#define MODEL_U 0.25
/* 1 % points of chi-square with one degree of freedom; both sides of 95 % and
 * of 90 %. */
#define CHI2_1 6.6
#define Z95 1.96
#define Z90 1.645
#define TOLERANCE 2.0 /* of a comparison, whose T is wanted only */

/* A round in the fit. */
struct point {
    size_t at; /* its place among the rounds */
    struct strength strength;
    struct channels ln; /* NaN where it does not count */
    struct cov3 cov;    /* of ln */
    struct colour_reading colour;
};

struct points {
    struct point point[EXHAUST_MOST];
    size_t n;
};

static double variance(const struct cov3 *c, int i)
{
    return i == 0 ? c->LL : i == 1 ? c->aa : c->bb;
}

/* ---- the line -------------------------------------------------------------
 */

/* ln s at a round less its intercept, and how that changes with theta. */
struct line {
    double f, g;
};

static struct line line_at(const struct exhaust *e, double theta, size_t round)
{
    struct line out = {theta * (double)round, (double)round};

    if (!e->weighed)
        return out;
    out = (struct line){0, 0};
    for (size_t i = 1; i <= round; i++) {
        const double m = i < e->rounds ? e->fibre_g[i] : e->next_g;
        out.f -= log1p(theta * m);
        out.g -= m / (1 + theta * m);
    }
    return out;
}

/* Sums over the points of one channel, weighted by 1/u^2. */
struct sums {
    size_t n;
    double w, y, f, g, gg, gr;
};

static bool counts(const struct point *p, int c, size_t skip)
{
    return p->at != skip && !isnan(p->ln.v[c]);
}

/* What a point weighs and the line has there; false when it does not count. */
static bool look_at(const struct exhaust *e, const struct point *p, int c,
                    double theta, size_t skip, struct line *l, double *w)
{
    if (!counts(p, c, skip))
        return false;
    *l = line_at(e, theta, p->at);
    *w = 1 / variance(&p->cov, c);
    return true;
}

static struct sums sum_up(const struct exhaust *e, const struct points *all,
                          int c, double theta, size_t skip)
{
    struct sums s = {0};
    struct line l;
    double w;

    for (size_t i = 0; i < all->n; i++) {
        const struct point *p = &all->point[i];
        if (!look_at(e, p, c, theta, skip, &l, &w))
            continue;
        s.n++;
        s.w += w;
        s.y += w * p->ln.v[c];
        s.f += w * l.f;
        s.g += w * l.g;
    }
    if (!s.n)
        return s;
    s.y /= s.w;
    s.f /= s.w;
    s.g /= s.w;
    for (size_t i = 0; i < all->n; i++) {
        const struct point *p = &all->point[i];
        if (!look_at(e, p, c, theta, skip, &l, &w))
            continue;
        s.gg += w * (l.g - s.g) * (l.g - s.g);
        s.gr += w * (l.g - s.g) * (p->ln.v[c] - s.y - (l.f - s.f));
    }
    return s;
}

/* The lowest kappa: no round may leave more than ten times what it found. */
static double least_theta(const struct exhaust *e)
{
    double most_g = 0;

    if (!e->weighed)
        return (double)-INFINITY;
    for (size_t i = 0; i < e->rounds; i++)
        most_g = fmax(most_g, e->fibre_g[i]);
    return -0.9 / most_g;
}

/* Gauss and Newton; the plain ratio is linear, so that one step does it. */
static void fit_channel(const struct exhaust *e, const struct points *all,
                        int c, size_t skip, struct exhaust_channel *out)
{
    const double least = least_theta(e);
    double theta = 0;
    struct sums s;

    for (int i = 0; i < 60; i++) {
        double step, next;
        s = sum_up(e, all, c, theta, skip);
        step = s.gr / s.gg;
        next = theta + step;
        if (next <= least)
            next = (theta + least) / 2;
        if (fabs(next - theta) <= 1e-12 * fabs(next))
            break;
        theta = next;
    }
    s = sum_up(e, all, c, theta, skip);
    *out = (struct exhaust_channel){.used = true,
                                    .middle = s.y,
                                    .f_mean = s.f,
                                    .theta = theta,
                                    .u_theta = 1 / sqrt(s.gg)};
    for (size_t i = 0; i < all->n; i++) {
        const struct point *p = &all->point[i];
        double miss = p->ln.v[c] - s.y - line_at(e, theta, p->at).f + s.f;
        if (counts(p, c, skip))
            out->chi2 += miss * miss / variance(&p->cov, c);
    }
    if (s.n > 2)
        out->u_theta *= sqrt(fmax(1, out->chi2 / (double)(s.n - 2)));
    else
        out->u_theta *= 2; /* nothing checks it */
}

static double ln_strength(const struct exhaust *e, int c, size_t round)
{
    const struct exhaust_channel *k = &e->channel[c];

    return k->middle + line_at(e, k->theta, round).f - k->f_mean;
}

/* How much a point counts for the part that a channel without a line has of
 * the strongest one's strength: least squares through nought. */
static double part_share(const struct exhaust *e, const struct points *all,
                         int c, const struct point *of, size_t skip)
{
    double sum = 0, own = 0;

    for (size_t i = 0; i < all->n; i++) {
        const struct point *p = &all->point[i];
        const double s = exp(ln_strength(e, e->strongest, p->at));
        if (p->at == skip)
            continue;
        sum += s * s / variance(&p->strength.cov, c);
        if (p == of)
            own = s / variance(&p->strength.cov, c);
    }
    return own / sum;
}

/* Fits every channel, without a round to be left out. */
static void fit_all(struct exhaust *e, const struct points *all, size_t skip)
{
    for (int c = 0; c < 3; c++)
        if (e->channel[c].used)
            fit_channel(e, all, c, skip, &e->channel[c]);
    for (int c = 0; c < 3; c++) {
        if (e->channel[c].used)
            continue;
        e->channel[c].part = 0;
        for (size_t i = 0; i < all->n; i++)
            if (all->point[i].at != skip)
                e->channel[c].part +=
                    part_share(e, all, c, &all->point[i], skip) *
                    all->point[i].strength.s.v[c];
    }
}

/* ---- strengths and colours of the line ------------------------------------
 */

/* Of a channel that has no line of its own, its share of the strongest's. */
static double part_at(const struct exhaust *e, size_t round)
{
    return exp(ln_strength(e, e->strongest, round));
}

static struct channels strengths(const struct exhaust *e, size_t round)
{
    struct channels s;

    for (int c = 0; c < 3; c++)
        s.v[c] = e->channel[c].used ? exp(ln_strength(e, c, round))
                                    : e->channel[c].part * part_at(e, round);
    return s;
}

struct lab exhaust_colour(const struct exhaust *fit, size_t round)
{
    return strength_colour(strengths(fit, round), fit->undyed);
}

double exhaust_strength(const struct exhaust *fit, size_t round)
{
    return part_at(fit, round);
}

/* How much each point counts for the strength at a round, as that is nearly a
 * linear estimator there; twice for two points, which nothing checks. */
static void shares(const struct exhaust *e, const struct points *all, int c,
                   size_t round, size_t skip, double share[EXHAUST_MOST])
{
    const struct exhaust_channel *k = &e->channel[c];
    const struct sums s = sum_up(e, all, c, k->theta, skip);
    const double away = line_at(e, k->theta, round).g - s.g;
    const double value = strengths(e, round).v[c];
    const double widen =
        s.n > 2 ? sqrt(fmax(1, k->chi2 / (double)(s.n - 2))) : 2;

    for (size_t i = 0; i < all->n; i++) {
        const struct point *p = &all->point[i];
        double g;
        share[i] = 0;
        if (!k->used) {
            if (p->at != skip)
                share[i] = part_share(e, all, c, p, skip) * part_at(e, round);
            continue;
        }
        if (!counts(p, c, skip))
            continue;
        g = line_at(e, k->theta, p->at).g - s.g;
        share[i] = widen / variance(&p->cov, c) * (1 / s.w + away * g / s.gg) *
                   value / p->strength.s.v[c];
    }
}

/* Covariance of the strengths at a round: readings are the points' own errors,
 * and channels of one reading err together. */
static struct cov3 strength_cov(const struct exhaust *e,
                                const struct points *all, size_t round,
                                size_t skip)
{
    double share[3][EXHAUST_MOST];
    struct cov3 out = {0};

    for (int c = 0; c < 3; c++)
        shares(e, all, c, round, skip, share[c]);
    for (size_t i = 0; i < all->n; i++) {
        double t[3][3] = {
            {share[0][i], 0, 0}, {0, share[1][i], 0}, {0, 0, share[2][i]}};
        out = cov3_add(out, cov3_carry(t, all->point[i].strength.cov));
    }
    return out;
}

/* Carries it to L, a, b by differences. */
static struct cov3 colour_cov(const struct exhaust *e, struct channels s,
                              struct cov3 cov)
{
    double t[3][3];

    for (int j = 0; j < 3; j++) {
        const double h = 1e-3 * fmax(s.v[j], 0.01);
        struct channels up = s, down = s;
        struct lab x, y;
        up.v[j] += h;
        down.v[j] -= h;
        x = strength_colour(up, e->undyed);
        y = strength_colour(down, e->undyed);
        t[0][j] = (x.L - y.L) / (2 * h);
        t[1][j] = (x.a - y.a) / (2 * h);
        t[2][j] = (x.b - y.b) / (2 * h);
    }
    return cov3_carry(t, cov);
}

/* What the next measurement adds: the mean of those there are. */
static struct cov3 mean_set(const struct points *all)
{
    struct cov3 sum = {0};

    for (size_t i = 0; i < all->n; i++)
        sum = cov3_add(sum, all->point[i].colour.set);
    return cov3_scale(sum, 1 / (double)all->n);
}

static struct colour_reading foretell(const struct exhaust *e,
                                      const struct points *all, size_t round,
                                      size_t skip)
{
    const struct channels s = strengths(e, round);
    struct colour_reading out = {.lab = strength_colour(s, e->undyed)};

    out.set = cov3_add(colour_cov(e, s, strength_cov(e, all, round, skip)),
                       cov3_diagonal(MODEL_U, MODEL_U, MODEL_U));
    out.abs = out.set;
    return out;
}

/* ---- points ---------------------------------------------------------------
 */

static struct point point_of(const struct exhaust_round *round, size_t at,
                             struct colour_reading undyed, double sure)
{
    struct point p = {.at = at,
                      .strength = strength_of(round->colour, undyed),
                      .colour = round->colour};
    double t[3][3] = {{0}};

    for (int c = 0; c < 3; c++) {
        const double s = p.strength.s.v[c];
        const bool good =
            s > sure * sqrt(variance(&p.strength.cov, c)) && s > 0;
        p.ln.v[c] = good ? log(s) : (double)NAN;
        t[c][c] = good ? 1 / s : 0;
    }
    p.cov = cov3_carry(t, p.strength.cov);
    return p;
}

static void collect(const struct exhaust_round *round, size_t n,
                    struct colour_reading undyed, struct exhaust *out,
                    struct points *all)
{
    all->n = 0;
    for (size_t i = 0; i < n; i++) {
        if (!round[i].measured)
            continue;
        all->point[all->n] =
            point_of(&round[i], i, undyed, all->n ? SURE : SURE_FIRST);
        out->too_deep = out->too_deep || all->point[all->n].strength.too_deep;
        all->n++;
    }
}

/* A channel is used when it is sure in the first round and in another. */
static void choose_channels(const struct points *all, struct exhaust *out)
{
    out->strongest = -1;
    for (int c = 0; c < 3; c++) {
        struct exhaust_channel *k = &out->channel[c];
        size_t good = 0;
        for (size_t i = 0; i < all->n; i++) {
            good += !isnan(all->point[i].ln.v[c]);
        }
        k->used = good >= 2 && !isnan(all->point[0].ln.v[c]);
        if (k->used &&
            (out->strongest < 0 ||
             all->point[0].ln.v[c] > all->point[0].ln.v[out->strongest]))
            out->strongest = c;
    }
}

static void weigh(const struct exhaust_round *round, size_t n, double next_g,
                  struct exhaust *out)
{
    double sum = 0;

    out->weighed = true;
    for (size_t i = 0; i < n; i++) {
        out->fibre_g[i] = round[i].fibre_g;
        sum += round[i].fibre_g;
        out->weighed = out->weighed && round[i].fibre_g > 0;
    }
    out->typical_g = out->weighed ? sum / (double)n : (double)NAN;
    out->next_g = next_g > 0 ? next_g : out->typical_g;
}

/* ---- what follows ---------------------------------------------------------
 */

static double left_of(const struct exhaust *e, double theta)
{
    return e->weighed ? 1 / (1 + theta * e->typical_g) : exp(theta);
}

static void rate(struct exhaust *e)
{
    const struct exhaust_channel *k = &e->channel[e->strongest];
    const double x = left_of(e, k->theta - Z95 * k->u_theta);
    const double y = left_of(e, k->theta + Z95 * k->u_theta);

    e->left = left_of(e, k->theta);
    e->left_low = fmin(x, y);
    e->left_high = fmax(x, y);
    /* A kappa so low that nothing is left to divide: no upper end. */
    if (e->weighed && 1 + (k->theta - Z95 * k->u_theta) * e->typical_g <= 0) {
        e->left_low = y;
        e->left_high = (double)INFINITY;
    }
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < i; j++) {
            const struct exhaust_channel *p = &e->channel[i],
                                         *q = &e->channel[j];
            if (p->used && q->used &&
                fabs(p->theta - q->theta) >
                    OFF_LINE * hypot(p->u_theta, q->u_theta))
                e->drifts = true;
        }
}

/* The first round after those there are that cannot be told from undyed wool
 * when each theta is off by `off` of its errors. */
static size_t spent_at(const struct exhaust *fit, const struct points *all,
                       struct colour_reading undyed, double off)
{
    struct exhaust e = *fit;
    const struct cov3 set = mean_set(all);

    for (int c = 0; c < 3; c++) {
        struct exhaust_channel *k = &e.channel[c];
        if (!k->used)
            continue;
        k->theta =
            fmax(k->theta + off * k->u_theta, least_theta(fit) * (1 - 1e-6));
        k->f_mean = sum_up(&e, all, c, k->theta, EXHAUST_MOST).f;
    }
    for (size_t i = fit->rounds; i < EXHAUST_MOST; i++) {
        struct colour_reading r = {exhaust_colour(&e, i), set, set};
        struct comparison c = compare_readings(r, undyed, true, TOLERANCE);
        if (c.de00 < c.T)
            return i;
    }
    return 0;
}

static void rate_line(const struct points *all, struct exhaust *e)
{
    const int k = e->strongest;

    for (size_t i = 0; i <= e->rounds; i++) {
        const struct cov3 cov = strength_cov(e, all, i, EXHAUST_MOST);
        e->u_line[i] = sqrt(variance(&cov, k)) / part_at(e, i);
    }
}

static void find_spent(const struct points *all, struct colour_reading undyed,
                       struct exhaust *e)
{
    const double faster = e->weighed ? 1 : -1;

    e->spent_early = spent_at(e, all, undyed, faster * Z90);
    e->spent = spent_at(e, all, undyed, 0);
    e->spent_late = spent_at(e, all, undyed, -faster * Z90);
}

/* Whether a round lies off the line of the others. */
static bool is_off(const struct exhaust *fit, const struct points *all,
                   const struct point *p)
{
    struct exhaust e = *fit;
    const int k = fit->strongest;
    struct colour_reading r;
    struct comparison c;

    for (int i = 0; i < 3; i++)
        if (e.channel[i].used && sum_up(fit, all, i, 0, p->at).n < 2)
            return false; /* the others make no line */
    fit_all(&e, all, p->at);
    if (!isnan(p->ln.v[k])) {
        const struct cov3 cov = strength_cov(&e, all, p->at, p->at);
        const double s = strengths(&e, p->at).v[k];
        if (fabs(p->ln.v[k] - log(s)) >
            OFF_LINE * sqrt(variance(&cov, k) / (s * s) + variance(&p->cov, k)))
            return true;
    }
    r = foretell(&e, all, p->at, p->at);
    c = compare_readings(r, p->colour, true, TOLERANCE);
    return c.de00 > 2 * c.T;
}

static void check_rounds(const struct points *all, struct exhaust *e)
{
    if (all->n == 3)
        for (int c = 0; c < 3; c++)
            e->uneven = e->uneven ||
                        (e->channel[c].used && e->channel[c].chi2 > CHI2_1 &&
                         sum_up(e, all, c, 0, EXHAUST_MOST).n == 3);
    for (size_t i = 0; all->n >= 4 && i < all->n; i++)
        e->misfit[all->point[i].at] = is_off(e, all, &all->point[i]);
}

void exhaust_fit(const struct exhaust_round *round, size_t n,
                 struct colour_reading undyed, double next_g,
                 struct exhaust *out)
{
    struct points all;
    struct colour_reading next;

    assert(n <= EXHAUST_MOST);
    *out = (struct exhaust){.rounds = n, .undyed = undyed.lab};
    collect(round, n, undyed, out, &all);
    out->used = all.n;
    if (all.n < 2) {
        out->state = EXHAUST_TOO_FEW;
        return;
    }
    choose_channels(&all, out);
    if (out->strongest < 0) {
        out->state = EXHAUST_TOO_PALE;
        return;
    }
    for (size_t i = 0; i < EXHAUST_MOST; i++)
        out->strength[i] = (double)NAN;
    for (size_t i = 0; i < all.n; i++)
        out->strength[all.point[i].at] =
            all.point[i].strength.s.v[out->strongest];
    weigh(round, n, next_g, out);
    fit_all(out, &all, EXHAUST_MOST);
    rate(out);
    rate_line(&all, out);
    next = foretell(out, &all, n, EXHAUST_MOST);
    out->next = next.lab;
    out->next_cov = cov3_add(next.set, mean_set(&all));
    find_spent(&all, undyed, out);
    check_rounds(&all, out);
}

void exhaust_words(const struct exhaust *fit, char *out, size_t size)
{
    static const struct {
        double most;
        const char *words;
    } part[] = {{0.15, "a tenth"},    {0.29, "a quarter"},
                {0.415, "a third"},   {0.58, "half"},
                {0.71, "two thirds"}, {0.85, "three quarters"}};

    assert(fit->state == EXHAUST_FITTED);
    if (fit->left_high >= 1 && fit->left >= 0.97) {
        snprintf(out, size, "no exhaustion seen (%.2f-%.2f)", fit->left_low,
                 fit->left_high);
        return;
    }
    for (size_t i = 0; i < sizeof part / sizeof *part; i++)
        if (fit->left < part[i].most) {
            snprintf(out, size, "each bath about %s as strong (%.2f-%.2f)",
                     part[i].words, fit->left_low, fit->left_high);
            return;
        }
    snprintf(out, size, "each bath nearly as strong (%.2f-%.2f)", fit->left_low,
             fit->left_high);
}
