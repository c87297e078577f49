/* src/colour/uncertainty.c: the limit U against the slow way to find it, and
 * whether readings differ against their verdict. */
#include "support.h"

#include <math.h>
#include <string.h>

#include "colour/axes.h"
#include "colour/uncertainty.h"
#include "draw_support.h"

static struct colour_reading reading(struct lab lab, struct cov3 cov)
{
    return (struct colour_reading){.lab = lab, .set = cov, .abs = cov};
}

/* ---- U by halves, to the last digit
 * -----------------------------------------*/

/* The quantile of dE00 squared at z, for a difference on axes where it is the
 * plain distance; Jensen and Solomon, as in docs/colour.md. */
static double quantile_at(const double lambda[3], const double d[3], double z)
{
    double c1 = 0, c2 = 0, c3 = 0, h, base;

    for (int i = 0; i < 3; i++) {
        const double l = lambda[i], q = d[i] * d[i];

        c1 += l + q;
        c2 += l * (l + 2 * q);
        c3 += l * l * (l + 3 * q);
    }
    h = 1 - 2 * c1 * c3 / (3 * c2 * c2);
    h = fabs(h) < 1e-6 ? 1e-6 : h;
    base = 1 + h * (h - 1) * c2 / (c1 * c1) + z * h * sqrt(2 * c2) / c1;
    return base > 0 ? c1 * pow(base, 1 / h) : 0;
}

/* Upper triangular t with t' t = g, and what it makes of d. */
static void straight(struct cov3 g, double t[3][3])
{
    memset(t, 0, 9 * sizeof **t);
    t[0][0] = sqrt(g.LL);
    t[0][1] = g.La / t[0][0];
    t[0][2] = g.Lb / t[0][0];
    t[1][1] = sqrt(g.aa - t[0][1] * t[0][1]);
    t[1][2] = (g.ab - t[0][1] * t[0][2]) / t[1][1];
    t[2][2] = sqrt(g.bb - t[0][2] * t[0][2] - t[1][2] * t[1][2]);
}

static double U_by_halves(struct colour_reading x, struct colour_reading y)
{
    static const double none[3] = {0};
    const double d[3] = {y.lab.L - x.lab.L, y.lab.a - x.lab.a,
                         y.lab.b - x.lab.b};
    const double D = lab_de00(x.lab, y.lab);
    const struct lab mean = {(x.lab.L + y.lab.L) / 2, (x.lab.a + y.lab.a) / 2,
                             (x.lab.b + y.lab.b) / 2};
    double t[3][3], lambda[3], axis[3][3], seen[3] = {0}, far[3];
    double low = 0, high = 1, q, most = 0, square = 0;

    straight(cov3_de00_metric(mean), t);
    cov3_axes(cov3_carry(t, cov3_of_difference(x, y, true)), lambda, axis);
    for (int i = 0; i < 3; i++) {
        for (int j = 0; j < 3; j++)
            for (int k = 0; k < 3; k++)
                seen[i] += axis[i][j] * t[j][k] * d[k];
        square += seen[i] * seen[i];
        most = fmax(most, lambda[i]);
    }
    for (int i = 0; i < 3; i++)
        seen[i] *= square > 0 ? D / sqrt(square) : 0;
    q = fmax(D * D, quantile_at(lambda, none, -0.9945));
    for (int i = 0; i < 3; i++)
        if (lambda[i] == most && fabs(seen[i]) < 1e-6 * sqrt(most))
            seen[i] = 1e-6 * sqrt(most);
    for (int step = 0; step < 60; step++) {
        const double place = (low + high) / 2;

        square = 0;
        for (int i = 0; i < 3; i++) {
            far[i] = seen[i] / (1 + (1 / place - 2) / most * lambda[i]);
            square += far[i] * far[i];
        }
        if (quantile_at(lambda, far, -1.6449) < q)
            low = place;
        else
            high = place;
    }
    return fmax(D, sqrt(square));
}

/* ---- the tests
 * -------------------------------------------------------------*/

static const struct trial {
    const char *row;
    struct lab at;
    double uL, ua, ub;
} trials[] = {
    {"madder red", {42, 35, 20}, .5, .5, .5},
    {"indigo blue", {31, -3, -25}, .6, .4, .5},
    {"grey", {50, .5, -.5}, .5, .5, .5},
    {"weld, one card", {78, -4, 62}, 3, 2.4, 2.4},
    {"madder, LED", {42, 35, 20}, 1, 3, 1.5},
};

static void test_U_is_where_halving_finds_it(void **state)
{
    static const double far[] = {0, 1e-9, 0.01, 0.3, 1, 2.5, 6, 20};
    uint64_t s = 362436069u;

    (void)state;
    for (int n = 0; n < 400; n++)
        for (size_t i = 0; i < ARRAY_LEN(far); i++) {
            const struct trial *t = &trials[n % (int)ARRAY_LEN(trials)];
            const struct cov3 wide = cov3_diagonal(far[i], far[i], far[i]);
            const struct cov3 cov = cov3_add(
                cov3_diagonal(t->uL, t->ua * uniform(&s), t->ub),
                (struct cov3){.LL = 0.1, .La = 0.1, .aa = 0.1, .bb = 1e-4});
            struct colour_reading x = reading(t->at, cov),
                                  y = reading(drawn(t->at, wide, &s), cov);
            const double U = compare_readings(x, y, true, 2).U;

            /* of colours all but equal, the direction is rounding */
            check_near(t->row, U, U_by_halves(x, y), 1e-6 * U);
        }
}

static void test_readings_differ_where_the_verdict_is_so(void **state)
{
    uint64_t s = 521288629u;
    int differ = 0, within = 0;

    (void)state;
    for (int n = 0; n < 20000; n++) {
        const struct trial *t = &trials[n % (int)ARRAY_LEN(trials)];
        const double far = 8 * uniform(&s), tolerance = 0.1 + 6 * uniform(&s);
        const struct cov3 set = cov3_scale(cov3_diagonal(t->uL, t->ua, t->ub),
                                           n % 5 ? uniform(&s) : 0);
        struct colour_reading x = {t->at, set, cov3_scale(set, 2)}, y = x;
        enum verdict is;
        bool told[2];

        y.lab = drawn(t->at, cov3_diagonal(far, far, far), &s);
        if (n % 50 == 0)
            y.lab = x.lab;
        if (n % 50 == 1)
            y.lab.a = (double)NAN;
        is = compare_readings(x, y, n % 2, tolerance).verdict;
        readings_differ(x, y, tolerance, told);
        assert_int_equal(told[n % 2], is == VERDICT_DIFFERENT);
        differ += is == VERDICT_DIFFERENT;
        within += is == VERDICT_MATCH;
    }
    assert_true(differ > 2000 && within > 2000);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_U_is_where_halving_finds_it),
        cmocka_unit_test(test_readings_differ_where_the_verdict_is_so),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
