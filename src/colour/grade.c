/* Grey-scale grades of a change in colour. From memory: see the header. */
#include "colour/grade.h"

#include <assert.h>
#include <math.h>

#include "base/mem.h"

static double square(double x)
{
    return x * x;
}

/* The hue halfway, in degrees, the short way round; a grey has no say. */
static double mean_hue(struct lch x, struct lch y)
{
    if (x.C == 0)
        return y.h;
    if (y.C == 0)
        return x.h;
    if (fabs(x.h - y.h) <= 180)
        return (x.h + y.h) / 2;
    return (x.h + y.h) / 2 + (x.h + y.h < 360 ? 180 : -180);
}

/* CIELAB hue difference of y from x, positive when the hue angle grew. */
static double hue_difference(struct lch x, struct lch y)
{
    double turn = y.h - x.h;

    if (turn > 180)
        turn -= 360;
    else if (turn < -180)
        turn += 360;
    return 2 * sqrt(x.C * y.C) * sin(turn * acos(-1) / 360);
}

double grade_de_f(struct lab original, struct lab tested)
{
    const struct lch o = lch_from_lab(original), t = lch_from_lab(tested);
    const double dC = t.C - o.C, Cm = (t.C + o.C) / 2;
    double q, D, dC_F, dH_F;

    q = fabs(mean_hue(o, t) - 280);
    if (q > 180)
        q = 360 - q;
    D = dC * Cm * exp(-square(q / 30)) / 100; /* matters near blue only */
    dC_F = (dC - D) / (1 + square(20 * Cm / 1000));
    dH_F = (hue_difference(o, t) - D) / (1 + square(10 * Cm / 1000));
    return sqrt(square(t.L - o.L) + square(dC_F) + square(dH_F));
}

/* Lower triangle t, of which the rest is zero, of x = t t'; a direction without
 * spread is left out. */
static void cholesky(struct cov3 x, double t[3][3])
{
    const double m[3][3] = {
        {x.LL, x.La, x.Lb}, {x.La, x.aa, x.ab}, {x.Lb, x.ab, x.bb}};

    for (int i = 0; i < 3; i++)
        for (int k = 0; k <= i; k++) {
            double rest = m[i][k];

            for (int n = 0; n < k; n++)
                rest -= t[i][n] * t[k][n];
            if (k == i)
                t[i][k] = sqrt(fmax(rest, 0));
            else
                t[i][k] = t[k][k] > 0 ? rest / t[k][k] : 0;
        }
}

void grade_range(struct lab original, struct lab tested, struct cov3 difference,
                 double *low, double *high)
{
    const double at = grade_de_f(original, tested);
    double t[3][3] = {{0}}, up = 0, down = 0;

    cholesky(difference, t);
    for (int k = 0; k < 3; k++) {
        double most = at, least = at;

        for (int side = -2; side <= 2; side += 4) {
            const struct lab there = {tested.L + side * t[0][k],
                                      tested.a + side * t[1][k],
                                      tested.b + side * t[2][k]};
            const double x = grade_de_f(original, there);

            most = fmax(most, x);
            least = fmin(least, x);
        }
        up += square(most - at);
        down += square(at - least);
    }
    *low = fmax(0, at - sqrt(down));
    *high = at + sqrt(up);
}

double grade_decimal(double de_f)
{
    double grade;

    assert(!(de_f < 0));
    grade = de_f <= 3.4 ? 5 - de_f / 1.7 : 5 - log(de_f / 0.85) / log(2);
    return grade < 1 ? 1 : grade;
}

const char *grade_step(double de_f)
{
    /* Halfway between neighbouring steps of the ISO 105-A02 scale: 0, 0.8,
     * 1.7, 2.5, 3.4, 4.8, 6.8, 9.6, 13.6. */
    static const struct {
        double below;
        const char *grade;
    } steps[] = {
        {0.40, "5"}, {1.25, "4-5"}, {2.10, "4"}, {2.95, "3-4"},
        {4.10, "3"}, {5.80, "2-3"}, {8.20, "2"}, {11.60, "1-2"},
    };

    if (isnan(de_f))
        return NULL;
    assert(de_f >= 0);
    for (size_t i = 0; i < ARRAY_LEN(steps); i++)
        if (de_f < steps[i].below)
            return steps[i].grade;
    return "1";
}

int grade_twice(const char *step)
{
    const int low = step[0] - '0';

    if (low < 1 || low > 5)
        return 0;
    if (!step[1])
        return 2 * low;
    return low < 5 && step[1] == '-' && step[2] - '0' == low + 1 && !step[3]
               ? 2 * low + 1
               : 0;
}
