/* How far colours of one kind lie apart. */
#include "support.h"

#include "dye/spread.h"

/* Three photos' colours and their mean colour difference from the mean: worked
 * apart (docs/colour.md, several photos); MCDM as in ASTM D2244 and E2214, from
 * memory. */
static void test_mean_and_mcdm_agree_with_the_worked_example(void **state)
{
    static const struct lab photo[] = {
        {42.1, 28.2, 16.8}, {41.5, 27.6, 17.3}, {42.6, 28.4, 16.5}};
    double from[3];
    const struct colour_spread s = colour_spread(photo, 3, from);

    (void)state;
    check_near("L", s.mean.L, 42.0667, 5e-5);
    check_near("a", s.mean.a, 28.0667, 5e-5);
    check_near("b", s.mean.b, 16.8667, 5e-5);
    check_near("MCDM", s.mcdm, 0.4599, 5e-5);
    check_near("mean of the three", (from[0] + from[1] + from[2]) / 3, s.mcdm,
               1e-12);
}

static void test_one_colour_is_its_own_mean(void **state)
{
    const struct lab one = {42, 28, 17};
    const struct colour_spread s = colour_spread(&one, 1, NULL);

    (void)state;
    check_near("L", s.mean.L, 42, 0);
    check_near("mcdm", s.mcdm, 0, 0);
    check_near("largest", s.largest, 0, 0);
    assert_int_equal(s.one, 0);
    assert_int_equal(s.other, 0);
}

/* The farthest pair against looking at every pair, in any order of the
 * colours. */
static void test_the_farthest_two_are_found(void **state)
{
    enum { N = 60 };
    struct lab c[N], turned[N];
    uint32_t d = 7;
    struct colour_spread s, t;
    double most = 0;

    (void)state;
    for (int i = 0; i < N; i++) {
        double v[3];

        for (int k = 0; k < 3; k++) {
            d = d * 1664525u + 1013904223u;
            v[k] = d / 4294967296.0;
        }
        c[i] = (struct lab){30 + 40 * v[0], 60 * v[1] - 20, 60 * v[2] - 20};
        turned[N - 1 - i] = c[i];
    }
    for (int i = 0; i < N; i++)
        for (int k = 0; k < i; k++)
            if (lab_de00(c[i], c[k]) > most)
                most = lab_de00(c[i], c[k]);
    s = colour_spread(c, N, NULL);
    t = colour_spread(turned, N, NULL);
    check_near("largest", s.largest, most, 0);
    check_near("of those two", lab_de00(c[s.one], c[s.other]), most, 1e-12);
    check_near("turned", t.largest, most, 1e-12);
    check_near("mcdm", t.mcdm, s.mcdm, 1e-9);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_mean_and_mcdm_agree_with_the_worked_example),
        cmocka_unit_test(test_one_colour_is_its_own_mean),
        cmocka_unit_test(test_the_farthest_two_are_found),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
