/* src/dye/strength.c: K/S in three channels, against Little CMS, published
 * figures and worked numbers. */
#include "support.h"

#include <lcms2.h>
#include <math.h>
#include <string.h>

#include "dye/strength.h"

/* ITU-R BT.2020-2 (2015): primaries and the white D65. */
static void test_channels_are_those_of_bt2020_under_d50(void **state)
{
    const cmsCIExyY white = {0.3127, 0.3290, 1};
    const cmsCIExyYTRIPLE primaries = {
        {0.708, 0.292, 1}, {0.170, 0.797, 1}, {0.131, 0.046, 1}};
    static const cmsTagSignature tag[] = {
        cmsSigRedColorantTag, cmsSigGreenColorantTag, cmsSigBlueColorantTag};
    cmsToneCurve *straight = cmsBuildGamma(NULL, 1.0);
    cmsToneCurve *curves[] = {straight, straight, straight};
    cmsHPROFILE profile = cmsCreateRGBProfile(&white, &primaries, curves);

    (void)state;
    for (int i = 0; i < 3; i++) {
        const cmsCIEXYZ *want = cmsReadTag(profile, tag[i]);
        struct channels one = {{0}};
        struct xyz got;
        one.v[i] = 1;
        got = xyz_from_lab(lab_from_reflectance(one));
        check_near("X", got.X, want->X, 5e-5); /* colorants are s15Fixed16 */
        check_near("Y", got.Y, want->Y, 5e-5);
        check_near("Z", got.Z, want->Z, 5e-5);
    }
    cmsCloseProfile(profile);
    cmsFreeToneCurve(straight);
}

static void test_a_colour_goes_to_reflectances_and_back(void **state)
{
    (void)state;
    for (int L = 5; L <= 95; L += 10)
        for (int a = -60; a <= 60; a += 20) {
            struct lab c = {L, a, a / 2.0}, back;
            back = lab_from_reflectance(reflectance_from_lab(c));
            check_near("L", back.L, c.L, 5e-4); /* six decimals of a matrix */
            check_near("a", back.a, c.a, 5e-3);
            check_near("b", back.b, c.b, 5e-3);
        }
}

/* tests/reference/km-examples.csv: arithmetic, and pairs printed in Adv.
 * Mater. Sci. Eng. 2017, 7516409, table 3. */
static void test_ks_agrees_with_published_pairs(void **state)
{
    struct table t = table_read("km-examples.csv");
    size_t published = 0;

    (void)state;
    for (size_t i = 0; i < t.rows; i++) {
        const char *row = table_text(&t, i, "example");
        double R = table_real(&t, i, "R"), ks = ks_from_reflectance(R);
        /* R has four decimals, and d(K/S)/dR is (1 - R^2) / (2 R^2). */
        double rounding = 5.1e-5 * (1 - R * R) / (2 * R * R);
        check_near(row, ks, table_real(&t, i, "KS_computed"), rounding + 1e-6);
        check_near(row, reflectance_from_ks(ks), R, 1e-12);
        if (strcmp(table_text(&t, i, "check"), "agrees"))
            continue;
        check_near(row, ks, table_real(&t, i, "KS_published"), rounding + 0.01);
        published++;
    }
    assert_true(published >= 3);
    table_clear(&t);
}

/* Worked by hand: K/S less that of the undyed wool, halved from bath to bath,
 * and back to a reflectance. */
static void
test_halving_the_strength_agrees_with_the_worked_numbers(void **state)
{
    static const struct {
        double undyed, first, ks_undyed, s, later[3];
    } rows[] = {
        {.70, .30, .064286, .752381, {.403668, .498419, .573751}},
        {.65, .06, .094231, 7.269103, {.106945, .177120, .267506}},
        {.55, .04, .184091, 11.335909, {.073364, .126427, .199910}},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const double undyed = ks_from_reflectance(rows[i].undyed);
        double s = ks_from_reflectance(rows[i].first) - undyed;
        check_near("K/S", undyed, rows[i].ks_undyed, 1e-6);
        check_near("s", s, rows[i].s, 1e-6);
        for (int k = 0; k < 3; k++) {
            s /= 2;
            check_near("rho", reflectance_from_ks(s + undyed), rows[i].later[k],
                       1e-6);
        }
    }
}

/* Worked by hand from the formulas of docs/colour.md. */
static void test_strength_agrees_with_the_worked_example(void **state)
{
    static const double rho[] = {.267912, .071268, .046267};
    static const double s[] = {.933696, 5.959997, 9.619863};
    static const struct {
        int round;
        struct lab lab;
        double de00;
    } later[] = {{1, {49.6637, 43.7277, 27.7168}, 36.834},
                 {2, {57.0532, 39.6275, 26.1018}, 31.068},
                 {3, {63.8465, 33.4679, 23.5554}, 26.035},
                 {4, {69.7381, 26.4434, 20.6548}, 21.674}};
    const struct colour_reading undyed = {.lab = {85, 1.5, 12}};
    const struct colour_reading first = {.lab = {42, 45, 28}};
    struct strength got = strength_of(first, undyed);

    (void)state;
    for (int c = 0; c < 3; c++) {
        check_near("rho", reflectance_from_lab(first.lab).v[c], rho[c], 2e-6);
        check_near("s", got.s.v[c], s[c], 2e-4);
    }
    for (size_t i = 0; i < sizeof later / sizeof *later; i++) {
        struct channels weaker = got.s;
        struct lab c;
        for (int k = 0; k < 3; k++)
            weaker.v[k] *= pow(0.55, later[i].round);
        c = strength_colour(weaker, undyed.lab);
        check_near("L", c.L, later[i].lab.L, 1e-3);
        check_near("a", c.a, later[i].lab.a, 1e-3);
        check_near("b", c.b, later[i].lab.b, 1e-3);
        check_near("to undyed", lab_de00(c, undyed.lab), later[i].de00, 2e-3);
    }
}

static void test_errors_of_a_colour_become_errors_of_strength(void **state)
{
    const struct colour_reading undyed = {.lab = {85, 1.5, 12}};
    struct colour_reading x = {.lab = {42, 45, 28}}, up;
    double change;

    (void)state;
    x.set = cov3_diagonal(0.7, 0, 0);
    up = x;
    up.lab.L += 0.7;
    change = strength_of(up, undyed).s.v[1] - strength_of(x, undyed).s.v[1];
    check_near("u of green", sqrt(strength_of(x, undyed).cov.aa), -change,
               0.05 * -change); /* a step of 0.7 is not quite straight */
    x.set = cov3_diagonal(0, 0, 0);
    check_near("none", strength_of(x, undyed).cov.aa, 0, 0);
}

static void test_what_is_too_deep_says_so(void **state)
{
    const struct colour_reading undyed = {.lab = {85, 1.5, 12}};

    (void)state;
    assert_true(strength_of((struct colour_reading){.lab = {6, 3, -8}}, undyed)
                    .too_deep);
    assert_false(
        strength_of((struct colour_reading){.lab = {30, 3, -8}}, undyed)
            .too_deep);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_channels_are_those_of_bt2020_under_d50),
        cmocka_unit_test(test_a_colour_goes_to_reflectances_and_back),
        cmocka_unit_test(test_ks_agrees_with_published_pairs),
        cmocka_unit_test(
            test_halving_the_strength_agrees_with_the_worked_numbers),
        cmocka_unit_test(test_strength_agrees_with_the_worked_example),
        cmocka_unit_test(test_errors_of_a_colour_become_errors_of_strength),
        cmocka_unit_test(test_what_is_too_deep_says_so),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
