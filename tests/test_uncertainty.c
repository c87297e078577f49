/* src/colour/uncertainty.c: covariances, the thresholds T and U against
 * worked numbers and against simulation, and the words. */
#include "support.h"

#include <math.h>
#include <string.h>

#include "colour/uncertainty.h"
#include "draw_support.h"

static struct colour_reading reading(struct lab lab, struct cov3 cov)
{
    return (struct colour_reading){.lab = lab, .set = cov, .abs = cov};
}

/* ---- covariances ---------------------------------------------------------*/

static void test_covariances_add_and_scale(void **state)
{
    struct cov3 c = cov3_add(cov3_diagonal(1, 2, 3),
                             (struct cov3){1, 0.5, -0.5, 1, 0.25, 1});

    (void)state;
    check_near("LL", c.LL, 2, 0);
    check_near("La", c.La, 0.5, 0);
    check_near("Lb", c.Lb, -0.5, 0);
    check_near("aa", c.aa, 5, 0);
    check_near("ab", c.ab, 0.25, 0);
    check_near("bb", c.bb, 10, 0);
    c = cov3_scale(c, 4);
    check_near("LL x4", c.LL, 8, 0);
    check_near("bb x4", c.bb, 40, 0);
    check_near("ab x4", c.ab, 1, 0);
}

static void test_a_covariance_has_no_negative_eigenvalue(void **state)
{
    static const struct {
        const char *row;
        struct cov3 c;
        bool valid;
    } rows[] = {
        {"zero", {0, 0, 0, 0, 0, 0}, true},
        {"diagonal", {1, 0, 0, 2, 0, 3}, true},
        {"rank 1, (1, 2, 3)", {1, 2, 3, 4, 6, 9}, true},
        {"rank 1, small", {1e-8, 2e-8, 3e-8, 4e-8, 6e-8, 9e-8}, true},
        {"rank 2", {1, 0, 0, 1, 1, 1}, true},
        {"negative variance", {1, 0, 0, -1, 0, 3}, false},
        {"correlation above 1", {1, 1.01, 0, 1, 0, 1}, false},
        /* each pair is possible, all three together are not: the
         * eigenvalues are 1.9, 1.9 and -0.8 */
        {"three at -0.9", {1, -0.9, -0.9, 1, -0.9, 1}, false},
        {"NaN", {(double)NAN, 0, 0, 1, 0, 1}, false},
        {"infinite", {1, 0, 0, (double)INFINITY, 0, 1}, false},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        if (cov3_is_valid(rows[i].c) != rows[i].valid)
            fail_msg("%s: want %s", rows[i].row,
                     rows[i].valid ? "valid" : "not valid");
}

/* The mapping against Little CMS itself: light changed by 1e-5 of each of X,
 * Y, Z, on the cube root and on the straight part of f. */
static void test_relative_errors_move_lab_as_lab_itself_says(void **state)
{
    static const struct lab at[] = {
        {50, 20, -30}, {85, 1.5, 12}, {28, 18.6, 13}, {4, 1, -1}, {7, 30, 9}};
    const double e = 1e-5;

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(at); i++)
        for (int k = 0; k < 3; k++) {
            struct xyz c = xyz_from_lab(at[i]);
            struct cov3 rel = {0}, got;
            struct lab m;
            double dL, da, db;

            *(k == 0 ? &c.X : k == 1 ? &c.Y : &c.Z) *= 1 + e;
            *(k == 0 ? &rel.LL : k == 1 ? &rel.aa : &rel.bb) = e * e;
            m = lab_from_xyz(c);
            dL = m.L - at[i].L;
            da = m.a - at[i].a;
            db = m.b - at[i].b;
            got = cov3_from_relative(at[i], rel);
            /* the next order in e, 1e-5 of the value */
            check_near("LL", got.LL, dL * dL, 2e-5 * got.LL + 1e-16);
            check_near("La", got.La, dL * da, 2e-5 * fabs(got.La) + 1e-16);
            check_near("Lb", got.Lb, dL * db, 2e-5 * fabs(got.Lb) + 1e-16);
            check_near("aa", got.aa, da * da, 2e-5 * got.aa + 1e-16);
            check_near("ab", got.ab, da * db, 2e-5 * fabs(got.ab) + 1e-16);
            check_near("bb", got.bb, db * db, 2e-5 * got.bb + 1e-16);
        }
}

/* Light 10 % off for all three alike moves L* by 116 f e / 3 and a*, b* in
 * proportion: at L* 50 by 2.2 and, for a grey, by nothing else. */
static void test_ten_per_cent_of_light_is_two_L_at_fifty(void **state)
{
    const struct cov3 rel = {.01, .01, .01, .01, .01, .01};
    struct cov3 c = cov3_from_relative((struct lab){50, 0, 0}, rel);

    (void)state;
    check_near("L", sqrt(c.LL), 66 * 0.1 / 3, 1e-9);
    check_near("a", c.aa, 0, 1e-12);
    check_near("b", c.bb, 0, 1e-12);
    assert_true(cov3_is_valid(c));
}

/* ---- the metric ----------------------------------------------------------*/

static double form(struct cov3 g, double L, double a, double b)
{
    return g.LL * L * L + g.aa * a * a + g.bb * b * b +
           2 * (g.La * L * a + g.Lb * L * b + g.ab * a * b);
}

static void test_metric_gives_small_differences(void **state)
{
    static const struct lab at[] = {
        {42, 28, 17}, {85, 1.5, 12}, {78, -4, 62}, {31, -3, -24}, {50, 3, 2}};
    static const double step[][3] = {
        {.1, 0, 0}, {0, .1, 0}, {0, 0, .1}, {.1, -.1, .1}, {-.1, .1, .05}};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(at); i++) {
        struct cov3 g = cov3_de00_metric(at[i]);

        assert_true(cov3_is_valid(g));
        for (size_t k = 0; k < ARRAY_LEN(step); k++) {
            const double *d = step[k];
            struct lab y = {at[i].L + d[0], at[i].a + d[1], at[i].b + d[2]};
            double de = lab_de00(at[i], y);

            /* dE00 bends by a few per cent over a step */
            check_near("metric", sqrt(form(g, d[0], d[1], d[2])), de,
                       0.02 * de);
        }
    }
}

static void test_metric_is_a_metric_everywhere(void **state)
{
    (void)state;
    for (int L = 0; L <= 100; L += 10)
        for (int a = -60; a <= 60; a += 6)
            for (int b = -60; b <= 60; b += 6)
                assert_true(
                    cov3_is_valid(cov3_de00_metric((struct lab){L, a, b})));
}

/* ---- comparing -----------------------------------------------------------*/

/* A worked example reckoned by another program (Python, double precision)
 * from the formulas of docs/colour.md; G to six digits, dE00 and T to four. */
static void test_worked_example(void **state)
{
    struct colour_reading x =
        reading((struct lab){42, 28, 17}, cov3_diagonal(.6, .5, .6));
    struct colour_reading y =
        reading((struct lab){43.1, 27, 18.2}, cov3_diagonal(.7, .5, .6));
    struct cov3 g = cov3_de00_metric((struct lab){42.55, 27.5, 17.6});
    struct comparison c = compare_readings(x, y, true, 2);

    (void)state;
    check_near("G LL", g.LL, .833393, 1e-6);
    check_near("G aa", g.aa, .275204, 1e-6);
    check_near("G bb", g.bb, .415540, 1e-6);
    check_near("G ab", g.ab, -.164098, 1e-6);
    check_near("G La", g.La, 0, 1e-6);
    check_near("G Lb", g.Lb, 0, 1e-6);
    check_near("tr M", g.LL * .85 + g.aa * .5 + g.bb * .72, 1.14517, 1e-5);
    check_near("D", c.de00, 1.5085, 5e-5);
    check_near("T", c.T, 1.8311, 5e-5);
    check_near("X", c.X, 2, 0);
    check_near("U", c.U, 2.5553, 5e-5); /* by this program only */
    assert_int_equal(c.verdict, VERDICT_CANNOT_TELL);
}

/* On one axis of a grey, at L* 50, dE00 is very nearly dL*, so D is |N(d, u)|
 * and U has a textbook value: the d for which P(|N(d, u)| <= D) = 5 %, far
 * from 0 simply D + 1.6449 u. */
static void test_U_of_a_single_axis_is_the_textbook_limit(void **state)
{
    struct colour_reading x =
        reading((struct lab){48, 0, 0}, cov3_diagonal(.5, 0, 0));
    struct colour_reading y =
        reading((struct lab){52, 0, 0}, cov3_diagonal(0, 0, 0));
    struct comparison c = compare_readings(x, y, true, 2);
    double g = sqrt(cov3_de00_metric((struct lab){50, 0, 0}).LL);

    (void)state;
    check_near("D", c.de00, 4, 0.01);
    check_near("U", c.U, c.de00 + 1.6449 * .5 * g, 0.005);
    check_near("T", c.T, 1.96 * .5 * g, 0.03 * c.T); /* Wilson-Hilferty */
    assert_int_equal(c.verdict, VERDICT_DIFFERENT);
}

struct trial {
    const char *row;
    struct lab at;
    double uL, ua, ub;
};

/* Dyed wool as it comes, with the uncertainties of repeats, of two photos of
 * one set-up, and of one grey card in different light. */
static const struct trial trials[] = {
    {"madder red", {42, 35, 20}, .5, .5, .5},
    {"weld yellow", {78, -4, 62}, .5, .5, .5},
    {"indigo blue", {31, -3, -25}, .5, .5, .5},
    {"walnut brown", {35, 8, 15}, .5, .5, .5},
    {"iron olive", {42, -1, 22}, .5, .5, .5},
    {"cochineal purple", {33, 24, -12}, .5, .5, .5},
    {"undyed", {85, 1.5, 12}, .5, .5, .5},
    {"grey", {50, .5, -.5}, .5, .5, .5},
    {"black", {18, 1, 1}, .5, .5, .5},
    {"madder, repeat", {42, 35, 20}, .6, .4, .5},
    {"weld, repeat", {78, -4, 62}, .6, .4, .5},
    {"indigo, repeat", {31, -3, -25}, .6, .4, .5},
    {"madder, one card", {42, 35, 20}, 2, 1.6, 1.6},
    {"weld, one card", {78, -4, 62}, 3, 2.4, 2.4},
    {"walnut, one card", {35, 8, 15}, 2.5, 1, 1},
    {"undyed, one card", {85, 1.5, 12}, 3, .9, .9},
    {"madder, LED", {42, 35, 20}, 1, 3, 1.5},
    {"weld, quiet L", {78, -4, 62}, .2, .6, 1.2},
};

#define TRIALS ((int)ARRAY_LEN(trials))
#define DRAWS 3000 /* a coverage of 95 % is known to 0.4 % */

static void test_T_covers_95_per_cent_of_equal_skeins(void **state)
{
    uint64_t s = 88172645463325252u;
    double sum = 0;

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(trials); i++) {
        const struct trial *t = &trials[i];
        struct cov3 cov = cov3_diagonal(t->uL, t->ua, t->ub);
        int inside = 0;

        for (int n = 0; n < DRAWS; n++) {
            struct lab x = drawn(t->at, cov, &s), y = drawn(t->at, cov, &s);
            struct comparison c =
                compare_readings(reading(x, cov), reading(y, cov), true, 2);

            inside += c.de00 <= c.T;
        }
        check_near(t->row, inside / (double)DRAWS, 0.95, 0.02);
        sum += inside / (double)DRAWS;
    }
    check_near("mean", sum / TRIALS, 0.95, 0.01);
}

/* How often U covers the true dE00 when y lies `far` thresholds from x in a
 * direction; also that U is never under D. */
static double covered(const struct trial *t, const double way[3], double far,
                      uint64_t *s)
{
    const struct cov3 cov = cov3_diagonal(t->uL, t->ua, t->ub);
    const double T =
        compare_readings(reading(t->at, cov), reading(t->at, cov), true, 2).T;
    const double unit =
        sqrt(form(cov3_de00_metric(t->at), way[0], way[1], way[2]));
    const double half = far * T / unit / 2;
    const struct lab x = {t->at.L - half * way[0], t->at.a - half * way[1],
                          t->at.b - half * way[2]};
    const struct lab y = {t->at.L + half * way[0], t->at.a + half * way[1],
                          t->at.b + half * way[2]};
    const double true_de00 = lab_de00(x, y);
    int inside = 0;

    for (int n = 0; n < DRAWS; n++) {
        struct lab p = drawn(x, cov, s), q = drawn(y, cov, s);
        struct comparison c =
            compare_readings(reading(p, cov), reading(q, cov), true, 2);

        assert_true(c.U >= c.de00);
        inside += c.U >= true_de00;
    }
    return inside / (double)DRAWS;
}

static const double ways[][3] = {
    {1, 0, 0}, {0, 1, 0}, {0, 0, 1}, {-1, 1, 1}, {1, 1, -1}};

/* Where the difference stands out of the noise U covers 95 %. */
static void test_U_covers_95_per_cent_of_plain_differences(void **state)
{
    uint64_t s = 1181783497276652981u;
    double sum = 0;

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(trials); i++) {
        double p = covered(&trials[i], ways[i % ARRAY_LEN(ways)], 2, &s);

        check_near(trials[i].row, p, 0.95, 0.025);
        sum += p;
    }
    check_near("mean", sum / TRIALS, 0.95, 0.01);
}

/* Nearer to the noise it may cover more, by design, never less. */
static void test_U_never_promises_more_than_the_photos_show(void **state)
{
    static const double far[] = {0.1, 0.4, 0.7, 1.0};
    uint64_t s = 2685821657736338717u;

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(trials); i++)
        for (size_t k = 0; k < ARRAY_LEN(far); k++) {
            double p = covered(&trials[i], ways[(i + k) % ARRAY_LEN(ways)],
                               far[k], &s);

            if (p < 0.92) /* 93 %, known to 0.5 % here */
                fail_msg("%s at %g T: covers %g", trials[i].row, far[k], p);
        }
}

/* Chance alone must not call a match that the readings could not show. */
static void
test_equal_readings_are_no_match_when_they_are_uncertain(void **state)
{
    struct lab at = {42, 35, 20};
    struct colour_reading sure = reading(at, cov3_diagonal(.3, .3, .3));
    struct colour_reading unsure = reading(at, cov3_diagonal(3, 3, 3));
    struct comparison c = compare_readings(sure, sure, true, 2);

    (void)state;
    assert_int_equal(c.verdict, VERDICT_MATCH);
    c = compare_readings(unsure, unsure, true, 2);
    check_near("D", c.de00, 0, 0);
    assert_true(c.U > 2);
    assert_int_equal(c.verdict, VERDICT_CANNOT_TELL);
    c = compare_readings(unsure, unsure, true, 20);
    assert_int_equal(c.verdict, VERDICT_MATCH);
}

static void test_match_is_decided_before_different(void **state)
{
    struct cov3 tiny = cov3_diagonal(.05, .05, .05);
    struct comparison c =
        compare_readings(reading((struct lab){42, 28, 17}, tiny),
                         reading((struct lab){43, 28, 17}, tiny), true, 2);

    (void)state;
    assert_true(c.de00 > c.T && c.U <= 2);
    assert_int_equal(c.verdict, VERDICT_MATCH);
    c = compare_readings(reading((struct lab){42, 28, 17}, tiny),
                         reading((struct lab){43, 28, 17}, tiny), true, 0.5);
    assert_int_equal(c.verdict, VERDICT_DIFFERENT);
}

static void test_more_uncertainty_never_makes_a_surer_answer(void **state)
{
    double T = 0, U = 0;

    (void)state;
    for (int i = 0; i <= 16; i++) {
        const double u = i / 4.0;
        struct cov3 cov = cov3_diagonal(u, 0.7 * u, 0.8 * u);
        struct comparison c = compare_readings(
            reading((struct lab){42, 28, 17}, cov),
            reading((struct lab){43.1, 27, 18.2}, cov), true, 2);

        assert_true(c.T >= T && c.U >= U);
        T = c.T;
        U = c.U;
    }
}

static void test_without_uncertainty_the_readings_are_the_truth(void **state)
{
    struct cov3 none = {0};
    struct comparison c =
        compare_readings(reading((struct lab){42, 28, 17}, none),
                         reading((struct lab){47, 28, 17}, none), false, 2);

    (void)state;
    check_near("T", c.T, 0, 0);
    check_near("U", c.U, c.de00, 0);
    assert_int_equal(c.verdict, VERDICT_DIFFERENT);
}

/* S_d is built by hand here, once for each rule of the header. */
static void test_shared_errors_cancel_in_one_setup_only(void **state)
{
    const struct cov3 set = cov3_diagonal(.6, .4, .5),
                      card = cov3_diagonal(2, 1, 1.5),
                      other = cov3_diagonal(1, 2, .5);
    /* dE*ab = 15: a quarter of what is shared stays */
    struct colour_reading x = {{42, 28, 17}, set, cov3_add(set, card)};
    struct colour_reading y = {{51, 40, 17}, set, cov3_add(set, other)};
    struct comparison want, got;

    (void)state;
    want = compare_readings(
        reading(x.lab,
                cov3_add(set, cov3_scale(cov3_add(card, other), 1 / 8.0))),
        reading(y.lab, set), false, 2);
    got = compare_readings(x, y, true, 2);
    check_near("T same", got.T, want.T, 1e-9);
    check_near("U same", got.U, want.U, 1e-6);

    want =
        compare_readings(reading(x.lab, x.abs), reading(y.lab, y.abs), true, 2);
    got = compare_readings(x, y, false, 2);
    check_near("T different", got.T, want.T, 1e-9);

    y.lab = x.lab; /* all that is shared cancels */
    want = compare_readings(reading(x.lab, set), reading(x.lab, set), false, 2);
    got = compare_readings(x, y, true, 2);
    check_near("T equal", got.T, want.T, 1e-9);

    y.lab.a += 60; /* beyond 30 no more than all of it stays */
    want = compare_readings(
        reading(x.lab, cov3_add(set, cov3_scale(cov3_add(card, other), .5))),
        reading(y.lab, set), false, 2);
    got = compare_readings(x, y, true, 2);
    check_near("T far", got.T, want.T, 1e-9);
}

static void test_comparing_is_symmetric(void **state)
{
    struct cov3 cov = {.36, .1, -.05, .25, .1, .49};
    struct colour_reading x = {{42, 28, 17}, cov, cov3_scale(cov, 4)};
    struct colour_reading y = {
        {45, 24, 21}, cov3_scale(cov, 2), cov3_scale(cov, 5)};
    struct comparison p = compare_readings(x, y, true, 2),
                      q = compare_readings(y, x, true, 2);

    (void)state;
    check_near("D", p.de00, q.de00, 1e-12);
    check_near("T", p.T, q.T, 1e-9);
    check_near("U", p.U, q.U, 1e-9);
    assert_int_equal(p.verdict, q.verdict);
}

static void test_a_nan_is_never_an_answer(void **state)
{
    const struct colour_reading good =
        reading((struct lab){42, 28, 17}, cov3_diagonal(.1, .1, .1));
    const double bad[] = {(double)NAN, (double)INFINITY};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(bad); i++) {
        struct colour_reading x = good;
        struct comparison c;

        x.lab.a = bad[i];
        c = compare_readings(x, good, true, 2);
        assert_int_equal(c.verdict, VERDICT_CANNOT_TELL);
        x = good;
        x.set.LL = x.abs.LL = bad[i];
        c = compare_readings(good, x, true, 2);
        assert_true(isnan(c.T) && isnan(c.U));
        assert_int_equal(c.verdict, VERDICT_CANNOT_TELL);
    }
}

/* ---- several photos ------------------------------------------------------*/

/* Three photos of one skein; the numbers were reckoned by another program
 * (Python, double precision). MCDM: the mean dE00 from the mean. */
static void test_three_photos_average_in_lab(void **state)
{
    static const struct lab photo[] = {
        {42.1, 28.2, 16.8}, {41.5, 27.6, 17.3}, {42.6, 28.4, 16.5}};
    struct lab mean = {0, 0, 0}, through;
    struct xyz light = {0, 0, 0};
    double mcdm = 0, LL = 0;

    (void)state;
    for (int i = 0; i < 3; i++) {
        struct xyz c = xyz_from_lab(photo[i]);

        mean.L += photo[i].L / 3;
        mean.a += photo[i].a / 3;
        mean.b += photo[i].b / 3;
        light.X += c.X / 3;
        light.Y += c.Y / 3;
        light.Z += c.Z / 3;
    }
    through = lab_from_xyz(light);
    for (int i = 0; i < 3; i++) {
        mcdm += lab_de00(photo[i], mean) / 3;
        LL += (photo[i].L - mean.L) * (photo[i].L - mean.L) / 2;
    }
    check_near("L", mean.L, 42.0667, 5e-5);
    check_near("L through XYZ", through.L, 42.0701, 5e-5);
    check_near("a through XYZ", through.a, 28.0702, 5e-5);
    check_near("b through XYZ", through.b, 16.8580, 5e-5);
    check_near("SD L", sqrt(LL), .5508, 5e-5);
    check_near("MCDM", mcdm, .4599, 5e-5);
}

/* ---- words ---------------------------------------------------------------*/

static void test_verdicts_have_their_words(void **state)
{
    char out[80], small[8];

    (void)state;
    verdict_words((struct comparison){.X = 2, .verdict = VERDICT_MATCH}, out,
                  sizeof out);
    check_text("match", out, "match within 2");
    verdict_words((struct comparison){.X = 1.5, .verdict = VERDICT_MATCH}, out,
                  sizeof out);
    check_text("match 1.5", out, "match within 1.5");
    verdict_words((struct comparison){.X = 2, .verdict = VERDICT_DIFFERENT},
                  out, sizeof out);
    check_text("different", out, "different");
    verdict_words((struct comparison){.X = 2, .verdict = VERDICT_CANNOT_TELL},
                  out, sizeof out);
    check_text("cannot tell", out,
               "this photo cannot tell: lay the skeins together");
    verdict_words((struct comparison){.X = 2, .verdict = VERDICT_CANNOT_TELL},
                  small, sizeof small);
    check_text("cut", small, "this ph");
}

/* Words a dyer would use; common practice, no source. */
static void test_differences_have_their_words(void **state)
{
    static const struct {
        const char *row;
        struct lab x, y;
        const char *want;
    } rows[] = {
        {"equal", {42, 28, 17}, {42, 28, 17}, ""},
        {"NaN a", {42, 28, 17}, {52, (double)NAN, 17}, ""},
        {"NaN L", {42, 28, 17}, {(double)NAN, 8, 17}, ""},
        {"lighter", {42, 28, 17}, {48, 28, 17}, "lighter"},
        {"darker", {48, 28, 17}, {42, 28, 17}, "darker"},
        {"stronger", {42, 20, 10}, {42, 30, 15}, "stronger"},
        {"duller", {42, 30, 15}, {42, 20, 10}, "duller"},
        {"exhaust", {42, 36, 20}, {58, 26, 14.4}, "lighter and duller"},
        {"iron", {78, -4, 60}, {62, 0, 40}, "darker and duller"},
        {"madder towards orange", {42, 35, 17}, {42, 31, 23.5}, "yellower"},
        {"madder towards pink", {42, 31, 23.5}, {42, 35, 17}, "bluer"},
        {"weld towards green", {78, 2, 60}, {78, -12, 58.8}, "greener"},
        {"weld towards orange", {78, -12, 58.8}, {78, 2, 60}, "redder"},
        {"walnut towards red", {35, 10, 18}, {35, 14, 15}, "redder"},
        {"indigo towards purple", {31, -8, -24}, {31, 2, -25.2}, "redder"},
        {"pink towards red, across 0", {45, 30, -4}, {45, 30, 4}, "redder"},
        {"undyed, yellowed", {85, 1, 8}, {85, 1, 13}, "yellower"},
        {"grey, blued", {50, 0, 0}, {50, 0, -4}, "bluer"},
        {"grey to green", {50, 1, 0}, {50, -4, 0}, "greener"},
        {"red to green", {50, 40, 0}, {50, -40, 0}, "greener"},
        {"three at once",
         {42, 30, 17},
         {50, 21, 20},
         "lighter, yellower and duller"},
    };
    char out[64], small[6];

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        difference_words(rows[i].x, rows[i].y, out, sizeof out);
        check_text(rows[i].row, out, rows[i].want);
    }
    difference_words(rows[7].x, rows[7].y, small, sizeof small);
    check_text("cut", small, "light");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_covariances_add_and_scale),
        cmocka_unit_test(test_a_covariance_has_no_negative_eigenvalue),
        cmocka_unit_test(test_relative_errors_move_lab_as_lab_itself_says),
        cmocka_unit_test(test_ten_per_cent_of_light_is_two_L_at_fifty),
        cmocka_unit_test(test_metric_gives_small_differences),
        cmocka_unit_test(test_metric_is_a_metric_everywhere),
        cmocka_unit_test(test_worked_example),
        cmocka_unit_test(test_U_of_a_single_axis_is_the_textbook_limit),
        cmocka_unit_test(test_T_covers_95_per_cent_of_equal_skeins),
        cmocka_unit_test(test_U_covers_95_per_cent_of_plain_differences),
        cmocka_unit_test(test_U_never_promises_more_than_the_photos_show),
        cmocka_unit_test(
            test_equal_readings_are_no_match_when_they_are_uncertain),
        cmocka_unit_test(test_match_is_decided_before_different),
        cmocka_unit_test(test_more_uncertainty_never_makes_a_surer_answer),
        cmocka_unit_test(test_without_uncertainty_the_readings_are_the_truth),
        cmocka_unit_test(test_shared_errors_cancel_in_one_setup_only),
        cmocka_unit_test(test_comparing_is_symmetric),
        cmocka_unit_test(test_a_nan_is_never_an_answer),
        cmocka_unit_test(test_three_photos_average_in_lab),
        cmocka_unit_test(test_verdicts_have_their_words),
        cmocka_unit_test(test_differences_have_their_words),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
