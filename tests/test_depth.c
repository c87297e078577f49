/* src/dye/depth.c and src/base/curve.c: colour over the weight of dyestuff. */
#include "support.h"

#include <math.h>

#include "dye/depth.h"
#include "dye/strength.h"

static const struct colour_reading wool = {.lab = {85, 1.5, 12}};

static struct depth_point point(double pct, double L, double a, double b)
{
    struct cov3 u = cov3_diagonal(0.5, 0.5, 0.5);

    return (struct depth_point){pct, {{L, a, b}, u, u}};
}

static void check_lab(const char *row, struct lab got, struct lab want)
{
    check_near(row, got.L, want.L, 1e-3);
    check_near(row, got.a, want.a, 1e-3);
    check_near(row, got.b, want.b, 1e-3);
}

/* Worked by hand from the formulas of docs/colour.md. */
static void test_weights_between_agree_with_the_worked_example(void **state)
{
    const struct depth_point p[] = {point(100, 46.8, 44.6, 27.6),
                                    point(25, 66, 31, 22),
                                    point(50, 56.5, 40, 26)};
    struct depth d;

    (void)state;
    assert_true(depth_fit(p, 3, wool, &d));
    check_near("least", d.least_pct, 25, 0);
    check_near("most", d.most_pct, 100, 0);
    assert_false(d.levelled);
    check_lab("35 %", depth_colour(&d, 35).lab,
              (struct lab){61.5371, 35.7407, 24.1209});
    check_lab("70 %", depth_colour(&d, 70).lab,
              (struct lab){51.8101, 42.8342, 27.0747});
    check_lab("75 %", depth_colour(&d, 75).lab,
              (struct lab){50.8516, 43.2733, 27.2198});
    check_lab("a point", depth_colour(&d, 50).lab, (struct lab){56.5, 40, 26});
}

static void test_a_target_between_gives_its_weight_back(void **state)
{
    const struct depth_point p[] = {point(25, 66, 31, 22),
                                    point(50, 56.5, 40, 26),
                                    point(100, 46.8, 44.6, 27.6)};
    struct depth d;
    struct depth_aim aim;

    (void)state;
    assert_true(depth_fit(p, 3, wool, &d));
    for (int pct = 23; pct < 115; pct += 7) {
        aim = depth_nearest(&d, depth_colour(&d, pct).lab);
        check_near("weight", aim.wof_pct, pct, 1e-3 * pct);
        check_near("nearness", aim.de00, 0, 1e-3);
        assert_true(aim.beyond == (pct < 25 || pct > 100));
    }
    aim = depth_nearest(&d, (struct lab){30, 40, 25});
    assert_true(aim.beyond && aim.de00 > 10); /* no weight reaches it */
    check_near("farthest", aim.wof_pct, 115, 0.01);
}

/* Two weights: a power law, strength as a power of the weight. */
static void test_two_weights_make_a_power_law(void **state)
{
    struct channels s = {{0.5, 2, 4}}, twice, middle;
    struct depth_point p[2] = {{10, wool}, {40, wool}};
    struct depth d;

    (void)state;
    for (int c = 0; c < 3; c++) {
        twice.v[c] = s.v[c] * 2;
        middle.v[c] = s.v[c] * sqrt(2);
    }
    p[0].colour.lab = strength_colour(s, wool.lab);
    p[1].colour.lab = strength_colour(twice, wool.lab);
    assert_true(depth_fit(p, 2, wool, &d));
    check_lab("20 %", depth_colour(&d, 20).lab,
              strength_colour(middle, wool.lab));
}

static void test_what_browns_with_more_dyestuff_is_levelled(void **state)
{
    const struct depth_point p[] = {
        point(25, 66, 31, 22), point(50, 46.8, 44.6, 27.6),
        point(100, 50, 43, 27), point(200, 40, 45, 27)};
    struct depth d;

    (void)state;
    assert_true(depth_fit(p, 4, wool, &d));
    assert_true(d.levelled);
    for (int c = 0; c < 3; c++)
        for (int x = 25; x < 199; x++)
            assert_true(curve_at(&d.channel[c].curve, log(x + 1)) >=
                        curve_at(&d.channel[c].curve, log(x)) - 1e-12);
}

static void test_one_weight_makes_no_curve(void **state)
{
    const struct depth_point p[] = {point(50, 66, 31, 22),
                                    point(50.2, 64, 31, 22)};
    struct depth d;

    (void)state;
    assert_false(depth_fit(p, 1, wool, &d));
    assert_false(depth_fit(p, 2, wool, &d));
    assert_false(depth_fit(p, 0, wool, &d));
}

static void test_order_of_the_points_does_not_matter(void **state)
{
    const struct depth_point p[] = {
        point(25, 66, 31, 22), point(25, 65, 32, 22), point(60, 55, 40, 26)};
    const struct depth_point q[] = {p[2], p[1], p[0]};
    struct depth x, y;

    (void)state;
    assert_true(depth_fit(p, 3, wool, &x) && depth_fit(q, 3, wool, &y));
    check_near("L", depth_colour(&x, 40).lab.L, depth_colour(&y, 40).lab.L,
               1e-12);
    check_near("mean", depth_colour(&x, 25).lab.L, 65.5, 1e-3);
    check_near("error of a mean of two", depth_colour(&x, 25).set.LL,
               0.25 / 2 + 0.25 * 0.25, 1e-9);
}

static void test_a_curve_turns_at_its_points_only(void **state)
{
    const double x[] = {0, 1, 2, 5}, y[] = {0, 3, 1, 1};
    const struct curve c = curve_through(x, y, 4);

    (void)state;
    for (int i = 0; i < 4; i++)
        check_near("through", curve_at(&c, x[i]), y[i], 1e-15);
    for (int i = 0; i <= 500; i++)
        assert_true(curve_at(&c, i / 100.0) >= 0 &&
                    curve_at(&c, i / 100.0) <= 3);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_weights_between_agree_with_the_worked_example),
        cmocka_unit_test(test_a_target_between_gives_its_weight_back),
        cmocka_unit_test(test_two_weights_make_a_power_law),
        cmocka_unit_test(test_what_browns_with_more_dyestuff_is_levelled),
        cmocka_unit_test(test_one_weight_makes_no_curve),
        cmocka_unit_test(test_order_of_the_points_does_not_matter),
        cmocka_unit_test(test_a_curve_turns_at_its_points_only),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
