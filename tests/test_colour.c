/* src/colour/lab.c and grade.c against published pairs and other people's
 * programs. */
#include "support.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <lcms2.h>

#include "colour/beyond.h"
#include "colour/grade.h"
#include "colour/lab.h"

static struct lab row_lab(const struct table *t, size_t row, const char *L,
                          const char *a, const char *b)
{
    return (struct lab){table_real(t, row, L), table_real(t, row, a),
                        table_real(t, row, b)};
}

/* Colours all over CIELAB, the same at every run. */
static struct lab some_lab(unsigned *seed)
{
    double x[3];

    for (int i = 0; i < 3; i++) {
        *seed = *seed * 1664525u + 1013904223u;
        x[i] = (*seed >> 8) / 16777216.0;
    }
    return (struct lab){100 * x[0], 160 * x[1] - 80, 160 * x[2] - 80};
}

/* ---- differences ---------------------------------------------------------*/

/* Rows are the worked examples of the same number in docs/worked.md. Source:
 * arithmetic from the definitions of CIE 15:2018, IEC 61966-2-1 for sRGB and,
 * from memory, ISO 105-A05. */
static void test_colours_agree_with_worked_examples(void **state)
{
    const struct lab covered = {62, 5, 48}, exposed = {64, 3, 41};
    const struct xyz grey = {0.18 * 0.9642, 0.18, 0.18 * 0.8249};
    int outside;
    struct srgb8 screen = srgb8_from_lab(lab_from_xyz(grey), &outside);

    (void)state;
    check_near("E01",
               lab_de76((struct lab){45, 20, 40}, (struct lab){58, 15, 32}),
               16.06, 0.005);
    check_near("E02", lab_de76(covered, exposed), 7.55, 0.005);
    check_near("E02 dE_F", grade_de_f(covered, exposed), 4.59, 0.005);
    assert_string_equal("2-3", grade_step(grade_de_f(covered, exposed)));
    check_near("E03", lab_from_xyz(grey).L, 49.50, 0.005);
    check_near("E03 screen", screen.g, 118, 0);
    assert_false(outside);
}

/* Sharma, Wu, Dalal 2005, Table 1; printed with four decimals. */
static void test_de00_agrees_with_all_published_pairs(void **state)
{
    struct table t = table_read("ciede2000-pairs.csv");

    (void)state;
    assert_int_equal(t.rows, 34);
    for (size_t i = 0; i < t.rows; i++) {
        struct lab x = row_lab(&t, i, "L1", "a1", "b1");
        struct lab y = row_lab(&t, i, "L2", "a2", "b2");
        double want = table_real(&t, i, "dE00");

        check_near(table_text(&t, i, "pair"), lab_de00(x, y), want, 1e-4);
        check_near(table_text(&t, i, "pair"), lab_de00(y, x), want, 1e-4);
    }
    table_clear(&t);
}

static void check_de00_as_little_cms(struct lab x, struct lab y, double within)
{
    const cmsCIELab p = {x.L, x.a, x.b}, q = {y.L, y.a, y.b};

    check_near("dE00", lab_de00(x, y), cmsCIE2000DeltaE(&p, &q, 1, 1, 1),
               within);
}

/* Far and near, and with hues on the axes, half a turn apart and of greys. A
 * mean hue that rounding puts at 360 degrees, not at 0, is worth 1e-5. */
static void test_de00_agrees_with_little_cms(void **state)
{
    static const double axis[] = {0, 40, -40, 8, -8, 0.01};
    unsigned seed = 3;

    (void)state;
    for (int i = 0; i < 20000; i++) {
        struct lab x = some_lab(&seed), y = some_lab(&seed);
        const double part = i % 2 ? 1e-3 : 0.1;

        check_de00_as_little_cms(x, y, 1e-9);
        check_de00_as_little_cms(x,
                                 (struct lab){x.L + (y.L - x.L) * part,
                                              x.a + (y.a - x.a) * part,
                                              x.b + (y.b - x.b) * part},
                                 1e-9);
    }
    for (size_t i = 0; i < 1296; i++) {
        const struct lab x = {40, axis[i % 6], axis[i / 6 % 6]};
        const struct lab y = {55, axis[i / 36 % 6], axis[i / 216]};

        check_de00_as_little_cms(x, y, 1e-5);
    }
}

/* Never of colours that are nearer, which is the whole of it, and of most that
 * are not, or it would be of no use. Greys, blues (where the rotation is) and
 * lightness beyond white as well as colours all over. */
static void test_what_is_beyond_a_distance_is_never_nearer(void **state)
{
    unsigned seed = 5;
    int beyond = 0, farther = 0;

    (void)state;
    for (int i = 0; i < 2000000; i++) {
        struct lab x = some_lab(&seed), y = some_lab(&seed), step;
        double part = i % 3 ? 0.02 * (i % 7 + 1) : 1, d;

        if (i % 5 == 0)
            x = (struct lab){1.4 * x.L, x.a / 20, x.b / 20};
        if (i % 5 == 1)
            x = (struct lab){x.L, 15 + x.a / 8, -60 + x.b / 4};
        step = (struct lab){(y.L - x.L) * part, (y.a - x.a) * part,
                            (y.b - x.b) * part};
        y = (struct lab){x.L + step.L, x.a + step.a, x.b + step.b};
        d = lab_de00(x, y);
        assert_false(lab_is_beyond(x, y, d));
        assert_false(lab_is_beyond(y, x, d));
        beyond += lab_is_beyond(x, y, d / 3);
        farther += lab_is_beyond(x, y, 2) && d > 6;
    }
    assert_true(beyond > 1000000 && farther > 500000);
    assert_false(
        lab_is_beyond((struct lab){50, 1, 2}, (struct lab){50, 1, 2}, 0));
    assert_false(lab_is_beyond((struct lab){(double)NAN, 1, 2},
                               (struct lab){50, 1, 2}, 1));
}

/* Five rows of another program's test suite, 26 on which five programs agree
 * to 1e-6; see the source column. Six decimals are given. */
static void test_cmc_agrees_with_five_other_programs(void **state)
{
    struct table t = table_read("cmc-pairs.csv");

    (void)state;
    assert_int_equal(t.rows, 31);
    for (size_t i = 0; i < t.rows; i++) {
        struct lab x = row_lab(&t, i, "L_std", "a_std", "b_std");
        struct lab y = row_lab(&t, i, "L_smp", "a_smp", "b_smp");
        const char *pair = table_text(&t, i, "pair");

        check_near(pair, lab_cmc(x, y, 1, 1), table_real(&t, i, "dE_cmc_1_1"),
                   2e-6);
        check_near(pair, lab_cmc(x, y, 2, 1), table_real(&t, i, "dE_cmc_2_1"),
                   2e-6);
    }
    table_clear(&t);
}

/* Little CMS 2.14 returns 0 here. L* enters CMC through the difference and
 * through S_L only, so two colours of L* 0 differ like two of L* 10. */
static void test_cmc_sees_chroma_between_two_blacks(void **state)
{
    struct lab x = {0, 3, 4}, y = {0, -2, 1};
    struct lab x10 = {10, 3, 4}, y10 = {10, -2, 1};

    (void)state;
    check_near("L 0", lab_cmc(x, y, 2, 1), lab_cmc(x10, y10, 2, 1), 1e-12);
    assert_true(lab_cmc(x, y, 2, 1) > 5);
    check_near("equal", lab_cmc(x, x, 2, 1), 0, 0);
    /* S_L below L* 16 is 0.511; from 0 to 1 without chroma is 1 / (l 0.511).
     * Source: ISO 105-J03. */
    check_near("L 0 to 1",
               lab_cmc((struct lab){0, 0, 0}, (struct lab){1, 0, 0}, 2, 1),
               1 / (2 * 0.511), 1e-9);
}

static void test_de76_is_the_distance(void **state)
{
    (void)state;
    check_near("3-4-12",
               lab_de76((struct lab){10, 20, 30}, (struct lab){13, 24, 42}), 13,
               1e-12);
}

static void test_differences_are_symmetric_and_zero_for_equals(void **state)
{
    unsigned seed = 1;

    (void)state;
    for (int i = 0; i < 2000; i++) {
        struct lab x = some_lab(&seed), y = some_lab(&seed);

        check_near("dE00", lab_de00(x, y), lab_de00(y, x), 1e-9);
        check_near("dE76", lab_de76(x, y), lab_de76(y, x), 0);
        check_near("equal dE00", lab_de00(x, x), 0, 0);
        check_near("equal dE76", lab_de76(x, x), 0, 0);
        check_near("equal CMC", lab_cmc(x, x, 2, 1), 0, 0);
        assert_true(lab_de00(x, y) > 0 && lab_cmc(x, y, 2, 1) > 0);
    }
}

static void test_a_nan_coordinate_stays_visible(void **state)
{
    (void)state;
    for (int i = 0; i < 6; i++) {
        double v[6] = {30, 10, -4, 33, 8, 2};
        struct lab x, y;

        v[i] = (double)NAN;
        x = (struct lab){v[0], v[1], v[2]};
        y = (struct lab){v[3], v[4], v[5]};
        assert_true(isnan(lab_de00(x, y)));
        assert_true(isnan(lab_de76(x, y)));
        assert_true(isnan(lab_cmc(x, y, 2, 1)));
    }
    /* in a*, also where the lightnesses are lifted */
    assert_true(isnan(
        lab_cmc((struct lab){0, (double)NAN, 0}, (struct lab){0, 1, 2}, 2, 1)));
    assert_true(isnan(lch_from_lab((struct lab){50, (double)NAN, 1}).C));
    assert_true(isnan(lab_from_xyz((struct xyz){.1, (double)NAN, .1}).L));
    assert_true(isnan(xyz_from_lab((struct lab){(double)NAN, 0, 0}).Y));
}

/* What Little CMS calls CIE94 is neither of the two published forms (a red
 * pair gives 1.4083, where they give 1.3809 and 1.2228); nothing may use it. */
static void test_cie94_is_not_offered(void **state)
{
    static const char *const files[] = {
        "include/colour/lab.h", "src/colour/lab.c", "src/colour/uncertainty.c",
        "src/colour/name.c"};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(files); i++) {
        size_t size;
        unsigned char *text = file_read(files[i], &size);

        assert_null(strstr((char *)text, "cmsCIE94"));
        assert_null(strstr((char *)text, "de94"));
        free(text);
    }
}

/* ---- conversions ---------------------------------------------------------*/

/* CIE 15:2018: L* = 116 f - 16; at Y/Yn = 0.18 the cube root gives
 * 49.4961; the linear branch below 0.008856 has the slope 903.2963. */
static void test_lab_follows_its_definition(void **state)
{
    struct lab white = lab_from_xyz((struct xyz){0.9642, 1, 0.8249});
    struct lab grey =
        lab_from_xyz((struct xyz){0.18 * 0.9642, 0.18, 0.18 * 0.8249});
    struct lab dark = lab_from_xyz((struct xyz){0, 0.001, 0});

    (void)state;
    check_near("white L", white.L, 100, 1e-9);
    check_near("white a", white.a, 0, 1e-9);
    check_near("white b", white.b, 0, 1e-9);
    check_near("18 % L", grey.L, 116 * cbrt(0.18) - 16, 1e-9);
    check_near("18 % a", grey.a, 0, 1e-9);
    check_near("dark L", dark.L, 903.2963 * 0.001, 1e-6);
    check_near("dark a", dark.a, -500 * 841 / 108.0 * 0.001, 1e-9);
    check_near("dark b", dark.b, 200 * 841 / 108.0 * 0.001, 1e-9);
}

static void test_xyz_and_lab_round_trip_below_zero_too(void **state)
{
    unsigned seed = 7;

    (void)state;
    for (int i = 0; i < 500; i++) {
        struct lab x = some_lab(&seed), y;

        x.L -= 10;
        y = lab_from_xyz(xyz_from_lab(x));
        check_near("L", y.L, x.L, 1e-9);
        check_near("a", y.a, x.a, 1e-8);
        check_near("b", y.b, x.b, 1e-8);
    }
}

static void test_hue_is_from_0_to_below_360(void **state)
{
    static const struct {
        const char *row;
        double a, b, C, h;
    } rows[] = {
        {"red", 5, 0, 5, 0},
        {"yellow", 0, 5, 5, 90},
        {"green", -5, 0, 5, 180},
        {"blue", 0, -5, 5, 270},
        {"3-4", 3, 4, 5, 53.130102},
        {"grey", 0, 0, 0, 0},
        {"below red", 3, -4, 5, 306.869898},
        {"a hair below red", 1, -1e-300, 1, 0},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct lch c = lch_from_lab((struct lab){50, rows[i].a, rows[i].b});

        check_near(rows[i].row, c.L, 50, 0);
        check_near(rows[i].row, c.C, rows[i].C, 1e-9);
        check_near(rows[i].row, c.h, rows[i].h, 1e-6);
        assert_true(c.h >= 0 && c.h < 360);
    }
}

/* ---- screen colours ------------------------------------------------------*/

/* Lab of sRGB codes as four programs compute it; see the source column. */
static void test_srgb_agrees_with_other_programs(void **state)
{
    struct table t = table_read("conversions.csv");
    size_t rows = 0;

    (void)state;
    for (size_t i = 0; i < t.rows; i++) {
        const char *name = table_text(&t, i, "name");
        struct lab want = row_lab(&t, i, "L_D50", "a_D50", "b_D50"), got;
        struct srgb8 code = {(unsigned char)table_real(&t, i, "R8"),
                             (unsigned char)table_real(&t, i, "G8"),
                             (unsigned char)table_real(&t, i, "B8")};

        if (strcmp(table_text(&t, i, "encoding"), "srgb") != 0)
            continue;
        got = lab_from_srgb8(code);
        /* four decimals are given; Little CMS reckons in single precision */
        check_near(name, got.L, want.L, 2e-4);
        check_near(name, got.a, want.a, 2e-4);
        check_near(name, got.b, want.b, 2e-4);
        rows++;
    }
    assert_int_equal(rows, 64);
    table_clear(&t);
}

static void test_every_screen_code_comes_back(void **state)
{
    (void)state;
    for (unsigned r = 0; r < 256; r += 15)
        for (unsigned g = 0; g < 256; g += 15)
            for (unsigned b = 0; b < 256; b += 15) {
                struct srgb8 in = {(unsigned char)r, (unsigned char)g,
                                   (unsigned char)b};
                int outside = 7;
                struct srgb8 out = srgb8_from_lab(lab_from_srgb8(in), &outside);

                assert_int_equal(outside, 0);
                assert_memory_equal(&in, &out, sizeof in);
            }
}

static void test_a_colour_outside_srgb_is_clipped_and_said(void **state)
{
    static const struct {
        struct lab lab;
        int outside;
        struct srgb8 want;
    } rows[] = {
        {{0, 0, 0}, 0, {0, 0, 0}},           {{100, 0, 0}, 0, {255, 255, 255}},
        {{120, 0, 0}, 1, {255, 255, 255}},   {{-5, 0, 0}, 1, {0, 0, 0}},
        {{(double)NAN, 0, 0}, 1, {0, 0, 0}},
    };
    int outside;
    struct srgb8 c;

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        c = srgb8_from_lab(rows[i].lab, &outside);
        assert_int_equal(outside, rows[i].outside);
        assert_memory_equal(&c, &rows[i].want, sizeof c);
    }
    c = srgb8_from_lab((struct lab){50, 100, 0}, &outside);
    assert_int_equal(outside, 1);
    assert_int_equal(c.r, 255);
    assert_int_equal(c.g, 0);
    srgb8_from_lab((struct lab){50, 100, 0}, NULL); /* NULL is allowed */
}

/* ---- grey-scale grades ----------------------------------------------------*/

/* Steps and limits of ISO 105-A02; see the source columns. */
static void test_grades_follow_the_grey_scale(void **state)
{
    static const char *const no_step[] = {"",    "0",    "6",   "4-4", "5-6",
                                          "4-6", "3-4-", "3-2", "44",  "x"};
    struct table t = table_read("grey-scale-change.csv");

    (void)state;
    assert_int_equal(t.rows, 9);
    for (size_t i = 0; i < t.rows; i++) {
        const char *want = table_text(&t, i, "grade");
        const char *from = table_text(&t, i, "dE_F_from");
        const char *below = table_text(&t, i, "dE_F_below");

        check_text("step", grade_step(table_real(&t, i, "dE_cielab")), want);
        assert_int_equal(grade_twice(want), 10 - (int)i);
        if (*from)
            check_text("from", grade_step(strtod(from, NULL)), want);
        if (*below) {
            double limit = strtod(below, NULL);

            check_text("just below", grade_step(limit - 1e-9), want);
            assert_string_not_equal(grade_step(limit), want);
        }
    }
    for (size_t i = 0; i < ARRAY_LEN(no_step); i++)
        assert_int_equal(grade_twice(no_step[i]), 0);
    table_clear(&t);
}

/* Two other programs, from the formula as remembered: not published. The
 * rows named neutral stand on the scale itself. */
static void test_grades_agree_with_two_programs(void **state)
{
    struct table t = table_read("grey-scale-a05-pairs.csv");

    (void)state;
    assert_int_equal(t.rows, 13);
    for (size_t i = 0; i < t.rows; i++) {
        const char *pair = table_text(&t, i, "pair");
        double de =
            grade_de_f(row_lab(&t, i, "L_original", "a_original", "b_original"),
                       row_lab(&t, i, "L_tested", "a_tested", "b_tested"));

        check_near(pair, de, table_real(&t, i, "dE_F"), 5e-5);
        check_near(
            pair,
            grade_de_f(
                row_lab(&t, i, "L_tested", "a_tested", "b_tested"),
                row_lab(&t, i, "L_original", "a_original", "b_original")),
            de, 1e-12);
        check_near(pair, grade_decimal(de), table_real(&t, i, "gs_decimal"),
                   5e-4);
        check_text(pair, grade_step(de), table_text(&t, i, "gs_step"));
    }
    table_clear(&t);
}

static void test_grades_fall_as_the_change_grows(void **state)
{
    double last = 5;

    (void)state;
    for (int i = 0; i < 800; i++) {
        double grade = grade_decimal(i / 20.0);

        assert_true(grade <= last && grade >= 1);
        last = grade;
    }
    check_near("no change", grade_decimal(0), 5, 0);
    check_near("branches meet", grade_decimal(3.4), grade_decimal(3.4 + 1e-12),
               1e-9);
    check_near("beyond the scale", grade_decimal(30), 1, 0);
    check_text("beyond the scale", grade_step(30), "1");
}

/* Equal readings, greys and NaN: no hue to speak of. */
static void test_grades_of_greys_and_of_no_number(void **state)
{
    struct lab grey = {50, 0, 0}, red = {50, 3, 4}, bad = {50, (double)NAN, 0};

    (void)state;
    check_near("grey to grey", grade_de_f(grey, (struct lab){47, 0, 0}), 3,
               1e-12);
    /* dC 5, Cm 2.5, far from blue: 5 / (1 + 0.05^2) */
    check_near("grey to red", grade_de_f(grey, red), 5 / 1.0025, 1e-9);
    check_near("red to grey", grade_de_f(red, grey), 5 / 1.0025, 1e-9);
    assert_true(isnan(grade_de_f(grey, bad)));
    assert_true(isnan(grade_decimal((double)NAN)));
    assert_null(grade_step((double)NAN));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_colours_agree_with_worked_examples),
        cmocka_unit_test(test_de00_agrees_with_all_published_pairs),
        cmocka_unit_test(test_de00_agrees_with_little_cms),
        cmocka_unit_test(test_what_is_beyond_a_distance_is_never_nearer),
        cmocka_unit_test(test_cmc_agrees_with_five_other_programs),
        cmocka_unit_test(test_cmc_sees_chroma_between_two_blacks),
        cmocka_unit_test(test_de76_is_the_distance),
        cmocka_unit_test(test_differences_are_symmetric_and_zero_for_equals),
        cmocka_unit_test(test_a_nan_coordinate_stays_visible),
        cmocka_unit_test(test_cie94_is_not_offered),
        cmocka_unit_test(test_lab_follows_its_definition),
        cmocka_unit_test(test_xyz_and_lab_round_trip_below_zero_too),
        cmocka_unit_test(test_hue_is_from_0_to_below_360),
        cmocka_unit_test(test_srgb_agrees_with_other_programs),
        cmocka_unit_test(test_every_screen_code_comes_back),
        cmocka_unit_test(test_a_colour_outside_srgb_is_clipped_and_said),
        cmocka_unit_test(test_grades_follow_the_grey_scale),
        cmocka_unit_test(test_grades_agree_with_two_programs),
        cmocka_unit_test(test_grades_fall_as_the_change_grows),
        cmocka_unit_test(test_grades_of_greys_and_of_no_number),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
