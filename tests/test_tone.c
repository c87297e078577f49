/* src/measure/tone.c: the camera's tone curve from greys of known value. */
#include "support.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "colour/icc.h"
#include "measure/tone.h"

static struct mat3 srgb(void)
{
    struct icc *icc = icc_open_builtin(ICC_SRGB);
    double light[3][256];
    struct mat3 m = {{{0}}};

    icc_curves(icc, light, m.at);
    icc_close(icc);
    return m;
}

/* n greys from dark to light as an exponent and a gain a channel show them. */
static void greys(struct tone_grey *out, size_t n, const double exponent[3],
                  const double gain[3])
{
    for (size_t i = 0; i < n; i++)
        for (int c = 0; c < 3; c++) {
            out[i].should[c] = 0.03 * pow(30, (double)i / (double)(n - 1));
            out[i].is[c] = gain[c] * pow(out[i].should[c], 1 / exponent[c]);
        }
}

static const double plain[3] = {1, 1, 1};

/* ---- published and worked values ---------------------------------------- */

/* Worked by hand from the formulas of docs/colour.md, section 8. */
static void test_a_curve_agrees_with_the_worked_example(void **state)
{
    static const double is[] = {.012, .055, .150, .780};
    static const double should[] = {.032, .090, .190, .900};
    static const struct {
        const char *row;
        double v, want;
    } rows[] = {
        {"below the first", .006, .019984}, {"first gap", .03, .059190},
        {"second gap", .08, .117585},       {"third gap", .4, .470229},
        {"above the last", .9, 1.030087},
    };
    const struct curve c = tone_curve_through(is, should, 4);

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        check_near(rows[i].row, tone_curve_at(&c, rows[i].v), rows[i].want,
                   5e-7);
}

/* Fritsch, Butland 1984: the slope between is the weighted harmonic mean of
 * the secants, so it lies between them, and a straight line stays one. */
static void test_slopes_lie_between_their_secants(void **state)
{
    static const double is[] = {.01, .03, .2, .25, .9};
    static const double should[] = {.02, .08, .21, .3, .8};
    const struct curve c = tone_curve_through(is, should, 5);

    (void)state;
    for (size_t i = 1; i + 1 < c.n; i++) {
        const double before = (c.y[i] - c.y[i - 1]) / (c.x[i] - c.x[i - 1]);
        const double after = (c.y[i + 1] - c.y[i]) / (c.x[i + 1] - c.x[i]);

        assert_true(c.slope[i] >= fmin(before, after));
        assert_true(c.slope[i] <= fmax(before, after));
    }
}

/* ---- properties --------------------------------------------------------- */

static void test_a_curve_goes_through_its_points_and_rises(void **state)
{
    static const double is[] = {.01, .03, .2, .25, .9};
    static const double should[] = {.02, .08, .21, .3, .8};
    const struct curve c = tone_curve_through(is, should, 5);
    double before = 0;

    (void)state;
    for (size_t i = 0; i < 5; i++)
        check_near("point", tone_curve_at(&c, is[i]), should[i], 1e-14);
    for (int i = 0; i < 1200; i++) {
        const double at = tone_curve_at(&c, 1e-5 * pow(1.01, i));

        assert_true(at > before);
        before = at;
    }
}

/* A corrected colour may lie outside the profile: light of nought or less
 * stays a number, and rises. */
static void test_no_light_and_less_stay_in_proportion(void **state)
{
    static const double is[] = {.02, .2, .9}, should[] = {.03, .19, .8};
    const struct curve c = tone_curve_through(is, should, 3);

    (void)state;
    check_near("nought", tone_curve_at(&c, 0), 0, 0);
    assert_true(tone_curve_at(&c, -0.01) < tone_curve_at(&c, -0.001));
    check_near("no jump", tone_curve_at(&c, 1e-6 - 1e-15),
               tone_curve_at(&c, 1e-6 + 1e-15), 1e-12);
}

static void test_an_exponent_is_found_back(void **state)
{
    static const double exponent[3] = {0.7, 0.8, 0.9}, gain[3] = {.9, 1, 1.2};
    const struct mat3 m = srgb();
    struct tone_grey g[6];
    struct tone_report report;
    struct tone tone;

    (void)state;
    for (size_t n = 2; n <= 6; n++) {
        greys(g, n, exponent, gain);
        assert_int_equal(tone_fit(g, n, &m, &tone, &report), TONE_FINE);
        assert_int_equal(tone.greys, n);
        for (int i = 0; i < 30; i++) {
            const double light = 0.001 * pow(1.3, i);
            double is[3], told[3];

            for (int c = 0; c < 3; c++)
                is[c] = gain[c] * pow(light, 1 / exponent[c]);
            tone_apply(&tone, is, told);
            for (int c = 0; c < 3; c++)
                check_near("light", told[c] / light, 1, 1e-9);
        }
        check_near("apart", report.apart, 0.9 / 0.7 - 1, 1e-9);
        check_near("least", report.least, 0.7, 1e-9);
        check_near("most", report.most, 0.9, 1e-9);
        if (n < 4)
            assert_true(isnan(report.left_out));
        else
            check_near("left out", report.left_out, 0, 1e-9);
    }
}

/* The order in which greys are given changes nothing. */
static void test_order_does_not_matter(void **state)
{
    static const double exponent[3] = {0.6, 0.7, 0.8};
    const struct mat3 m = srgb();
    struct tone_grey g[5], turned[5];
    struct tone_report r, s;
    struct tone x, y;

    (void)state;
    greys(g, 5, exponent, plain);
    g[2].is[1] *= 1.05;
    for (int i = 0; i < 5; i++)
        turned[i] = g[(i + 3) % 5];
    assert_int_equal(tone_fit(g, 5, &m, &x, &r), TONE_FINE);
    assert_int_equal(tone_fit(turned, 5, &m, &y, &s), TONE_FINE);
    for (int i = 0; i < 17; i++) {
        const double v = 0.001 * pow(1.5, i);
        const double is[3] = {v, v, v};
        double a[3], b[3];

        tone_apply(&x, is, a);
        tone_apply(&y, is, b);
        assert_memory_equal(a, b, sizeof a);
    }
}

static void test_greys_alike_count_as_one(void **state)
{
    static const double one[3] = {1, 1, 1};
    const struct mat3 m = srgb();
    struct tone_grey g[6];
    struct tone_report r;
    struct tone tone;

    (void)state;
    greys(g, 5, one, plain);
    g[5] = g[2];
    g[5].is[0] *= 0.97; /* would not rise beside its twin */
    g[5].should[0] *= 1.02;
    g[5].should[1] *= 1.02;
    assert_int_equal(tone_fit(g, 6, &m, &tone, &r), TONE_FINE);
    assert_int_equal(tone.greys, 5);
    assert_int_equal(tone_fit(g + 2, 1, &m, &tone, &r), TONE_TOO_FEW);
    g[1] = g[0];
    assert_int_equal(tone_fit(g, 2, &m, &tone, &r), TONE_TOO_FEW);
}

/* ---- what is refused, and what gives way -------------------------------- */

static void test_what_no_camera_does_is_refused(void **state)
{
    static const double exponent[3] = {0.8, 0.8, 0.8};
    const struct mat3 m = srgb();
    struct tone_grey g[5];
    struct tone_report r;
    struct tone tone;

    (void)state;
    greys(g, 5, exponent, plain);
    g[3].is[2] = g[2].is[2];
    assert_int_equal(tone_fit(g, 5, &m, &tone, &r), TONE_NOT_RISING);
    assert_int_equal(r.at_fault, 3);
    greys(g, 5, exponent, plain);
    g[3].is[0] = g[2].is[0] * 1.01;
    assert_int_equal(tone_fit(g, 5, &m, &tone, &r), TONE_STEEP);
    assert_true(r.most > 5);
    greys(g, 5, exponent, plain);
    g[4].is[0] = g[3].is[0] * 1e4;
    assert_int_equal(tone_fit(g, 5, &m, &tone, &r), TONE_STEEP);
    greys(g, 5, exponent, plain);
    g[1].is[1] = 0;
    assert_int_equal(tone_fit(g, 5, &m, &tone, &r), TONE_DARK);
    assert_int_equal(r.at_fault, 1);
    g[1].is[1] = (double)NAN;
    assert_int_equal(tone_fit(g, 5, &m, &tone, &r), TONE_DARK);
}

static void test_too_many_greys_are_refused(void **state)
{
    const struct mat3 m = srgb();
    struct tone_grey g[TONE_MOST + 1];
    struct tone_report r;
    struct tone *tone = mem_new(1, sizeof *tone);

    (void)state;
    for (size_t i = 0; i <= TONE_MOST; i++)
        for (int c = 0; c < 3; c++)
            g[i].is[c] = g[i].should[c] = 1e-5 * pow(1.15, (double)i);
    assert_int_equal(tone_fit(g, TONE_MOST, &m, tone, &r), TONE_FINE);
    assert_int_equal(tone_fit(g, TONE_MOST + 1, &m, tone, &r), TONE_TOO_MANY);
    free(tone);
}

/* A camera without a curve and greys that are read a little wrong: the power
 * law tells those left out better, and is taken. */
static void test_a_curve_through_noise_gives_way_to_a_power_law(void **state)
{
    static const double off[6] = {1.05, 0.95, 1.05, 0.95, 1.05, 0.95};
    const struct mat3 m = srgb();
    struct tone_grey g[6];
    struct tone_report r;
    struct tone tone;

    (void)state;
    greys(g, 6, plain, plain);
    for (int i = 0; i < 6; i++)
        for (int c = 0; c < 3; c++)
            g[i].is[c] *= off[i];
    assert_int_equal(tone_fit(g, 6, &m, &tone, &r), TONE_FINE);
    assert_true(tone.power);
    assert_true(r.left_out > r.left_out_power);
    for (int c = 0; c < 3; c++)
        for (int i = 0; i < 10; i++) {
            const double v = 0.02 * pow(1.5, i);

            check_near("straight", tone_curve_at(&tone.channel[c], v) / v, 1,
                       0.06);
        }
}

/* A smooth S is told better by the curve. */
static void test_an_s_is_told_by_a_curve(void **state)
{
    const struct mat3 m = srgb();
    struct tone_grey g[6];
    struct tone_report r;
    struct tone tone;

    (void)state;
    greys(g, 6, plain, plain);
    for (int i = 0; i < 6; i++)
        for (int c = 0; c < 3; c++)
            g[i].is[c] = pow(g[i].should[c], 1 + 0.4 * (0.5 - g[i].should[c]));
    assert_int_equal(tone_fit(g, 6, &m, &tone, &r), TONE_FINE);
    assert_false(tone.power);
    assert_true(r.left_out < r.left_out_power && r.left_out < 3);
    assert_true(r.worst_between >= 0);
}

static void test_how_far_beyond_the_ends_is_told(void **state)
{
    static const double is[] = {.02, .2, .8}, should[] = {.03, .19, .8};
    const struct curve c = tone_curve_through(is, should, 3);

    (void)state;
    check_near("between", tone_curve_beyond(&c, .1), 0, 0);
    check_near("at an end", tone_curve_beyond(&c, .8), 0, 1e-15);
    check_near("above", tone_curve_beyond(&c, 1.6), log(2), 1e-12);
    check_near("below", tone_curve_beyond(&c, .01), log(2), 1e-12);
    assert_true(isfinite(tone_curve_beyond(&c, -1)));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_a_curve_agrees_with_the_worked_example),
        cmocka_unit_test(test_slopes_lie_between_their_secants),
        cmocka_unit_test(test_a_curve_goes_through_its_points_and_rises),
        cmocka_unit_test(test_no_light_and_less_stay_in_proportion),
        cmocka_unit_test(test_an_exponent_is_found_back),
        cmocka_unit_test(test_order_does_not_matter),
        cmocka_unit_test(test_greys_alike_count_as_one),
        cmocka_unit_test(test_what_no_camera_does_is_refused),
        cmocka_unit_test(test_too_many_greys_are_refused),
        cmocka_unit_test(test_a_curve_through_noise_gives_way_to_a_power_law),
        cmocka_unit_test(test_an_s_is_told_by_a_curve),
        cmocka_unit_test(test_how_far_beyond_the_ends_is_told),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
