/* src/colour/range.c and src/draw/strip.c: an uncertain colour as colours. */
#include "support.h"

#include <math.h>
#include <string.h>

#include "colour/range.h"
#include "draw/strip.h"

/* Wide enough that the ends are worth seeing; L* and a* go together. */
static const struct cov3 tilted = {.LL = 4, .La = 1.5, .aa = 1, .bb = 0.25};
static const struct lab olive = {45, -3, 28};

/* d' S^-1 d for a 3x3 with no terms between b and the others. */
static double distance2(struct lab d, struct cov3 s)
{
    const double det = s.LL * s.aa - s.La * s.La;

    return (s.aa * d.L * d.L - 2 * s.La * d.L * d.a + s.LL * d.a * d.a) / det +
           d.b * d.b / s.bb;
}

/* NIST/SEMATECH e-Handbook of Statistical Methods, table 1.3.6.7.4: 7.815 is
 * exceeded by a chi-square of 3 degrees of freedom 5 times in 100. */
static void test_every_end_lies_on_the_surface_of_the_region(void **state)
{
    struct range_axis axis[RANGE_AXES];

    (void)state;
    range_of(olive, tilted, axis);
    for (int i = 0; i < RANGE_AXES; i++)
        for (int k = 0; k < 2; k++) {
            const struct lab e = axis[i].end[k];
            const struct lab d = {e.L - olive.L, e.a - olive.a, e.b - olive.b};

            check_near("distance", distance2(d, tilted), 7.815, 1e-9);
        }
}

static void test_axes_of_a_diagonal_are_the_coordinates(void **state)
{
    struct range_axis axis[RANGE_AXES];

    (void)state;
    range_of((struct lab){50, 0, 0}, cov3_diagonal(3, 1, 2), axis);
    check_near("L up", axis[0].end[0].L, 50 + 3 * sqrt(7.815), 1e-9);
    check_near("L down", axis[0].end[1].L, 50 - 3 * sqrt(7.815), 1e-9);
    check_near("its a", axis[0].end[0].a, 0, 1e-9);
    check_near("b", fabs(axis[1].end[0].b), 2 * sqrt(7.815), 1e-9);
    check_near("a", fabs(axis[2].end[0].a), sqrt(7.815), 1e-9);
}

static void test_the_eye_decides_which_axis_comes_first(void **state)
{
    struct range_axis axis[RANGE_AXES];

    (void)state;
    /* A strong yellow: b* moves farthest, L* is seen most. */
    range_of((struct lab){80, -4, 75}, cov3_diagonal(5, 1, 6), axis);
    assert_true(axis[0].de00 >= axis[1].de00);
    assert_true(axis[1].de00 >= axis[2].de00);
    assert_true(axis[0].end[0].L > axis[0].end[1].L + 20);
}

/* Two reds, read alike but for how a little of L* goes with their chroma: the
 * stronger end of both is the same one, or their strips could not be compared.
 * 50, 45, 20 has the hue angle 24, and along it a and b go as 45 to 20. */
static void test_like_colours_have_like_ends_first(void **state)
{
    static const double with_chroma[] = {-0.5, 0.5};
    const struct lab red = {50, 45, 20};

    (void)state;
    for (int i = 0; i < 2; i++) {
        const double k = with_chroma[i];
        const struct cov3 u = {
            .LL = 1, .aa = 81, .bb = 16.5, .ab = 36, .La = 9 * k, .Lb = 4 * k};
        struct range_axis axis[RANGE_AXES];

        range_of(red, u, axis);
        assert_true(axis[0].end[0].a > axis[0].end[1].a + 10);
        assert_true((axis[0].end[0].L > axis[0].end[1].L) == (k > 0));
    }
}

static void test_no_end_is_lighter_than_white_or_darker_than_black(void **state)
{
    struct range_axis axis[RANGE_AXES];

    (void)state;
    range_of((struct lab){96, 0, 5}, cov3_diagonal(4, 1, 1), axis);
    check_near("white", axis[0].end[0].L, 100, 0);
    range_of((struct lab){4, 0, 1}, cov3_diagonal(4, 1, 1), axis);
    check_near("black", axis[0].end[1].L, 0, 0);
}

static void test_what_is_no_covariance_gives_no_colours(void **state)
{
    struct range_axis axis[RANGE_AXES];

    (void)state;
    range_of(olive, (struct cov3){.LL = (double)NAN, .aa = 1, .bb = 1}, axis);
    assert_true(isnan(axis[0].end[0].L) && isnan(axis[0].de00));
    range_of(olive, (struct cov3){.LL = -1, .aa = 1, .bb = 1}, axis);
    assert_true(isnan(axis[2].end[1].b));
    range_of(olive, (struct cov3){0}, axis);
    check_near("certain", axis[0].de00, 0, 0);
}

/* On the L* axis of a grey at L* 50 the weight of CIEDE2000 is 1 (Sharma, Wu,
 * Dalal 2005, equation for S_L). */
static void test_unevenness_is_the_difference_over_the_skein(void **state)
{
    const struct lab grey = {50, 0, 0};

    (void)state;
    check_near("L alone", range_unevenness(grey, (struct lab){1.5, 0, 0}), 1.5,
               0.01);
    check_text("even", range_even_words(0.4), "even");
    check_text("at one", range_even_words(1), "nearly even");
    check_text("at two", range_even_words(2), "uneven");
    check_text("far", range_even_words(9), "streaky or patchy");
    check_text("unknown",
               range_even_words(
                   range_unevenness(grey, (struct lab){(double)NAN, 0, 0})),
               "");
}

static void test_a_strip_goes_from_end_to_end_without_a_gap(void **state)
{
    struct range_axis axis[RANGE_AXES];
    struct lab step[STRIP_STEPS];
    struct text out = {0};

    (void)state;
    range_of((struct lab){50, 0, 0}, cov3_diagonal(3, 1, 2), axis);
    strip_of_axis((struct lab){50, 0, 0}, &axis[0], step);
    check_near("first", step[0].L, 50 - 3 * sqrt(7.815), 1e-9);
    check_near("middle", step[2].L, 50, 0);
    check_near("last", step[4].L, 50 + 3 * sqrt(7.815), 1e-9);
    strip_svg(step, STRIP_STEPS, "from dark to light", &out);
    assert_non_null(strstr(text_str(&out), "viewBox=\"0 0 5 1\""));
    assert_non_null(
        strstr(text_str(&out), "aria-label=\"from dark to light\""));
    /* L* 50 is sRGB 119 by IEC 61966-2-1. */
    assert_non_null(
        strstr(text_str(&out), "fill=\"#777777\" d=\"M2 0h1v1h-1z"));
    text_clear(&out);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_every_end_lies_on_the_surface_of_the_region),
        cmocka_unit_test(test_axes_of_a_diagonal_are_the_coordinates),
        cmocka_unit_test(test_the_eye_decides_which_axis_comes_first),
        cmocka_unit_test(test_like_colours_have_like_ends_first),
        cmocka_unit_test(
            test_no_end_is_lighter_than_white_or_darker_than_black),
        cmocka_unit_test(test_what_is_no_covariance_gives_no_colours),
        cmocka_unit_test(test_unevenness_is_the_difference_over_the_skein),
        cmocka_unit_test(test_a_strip_goes_from_end_to_end_without_a_gap),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
