/* src/measure/several.c: several photos of one skein made one reading. */
#include "support.h"

#include <math.h>
#include <string.h>

#include "measure/several.h"

#define MOST 8

static struct measure_region region_of(struct lab lab)
{
    return (struct measure_region){.lab = lab, .uncorrected = lab};
}

/* The mean of photos numbered from 1. */
static struct several mean_of(struct measure_region *region, size_t n)
{
    struct several_photo photo[MOST];
    struct several out;

    assert_true(n <= MOST);
    for (size_t i = 0; i < n; i++)
        photo[i] = (struct several_photo){&region[i], i + 1};
    several_mean(photo, n, &out);
    return out;
}

static struct several mean_of_labs(const struct lab *lab, size_t n)
{
    struct measure_region region[MOST];

    for (size_t i = 0; i < n; i++)
        region[i] = region_of(lab[i]);
    return mean_of(region, n);
}

/* Worked apart in double arithmetic from the formulas of docs/colour.md,
 * section 10; given to four digits. */
static void test_three_photos_agree_with_the_worked_example(void **state)
{
    static const struct lab lab[] = {
        {42.1, 28.2, 16.8}, {41.5, 27.6, 17.3}, {42.6, 28.4, 16.5}};
    const struct several s = mean_of_labs(lab, 3);

    (void)state;
    assert_false(s.mean.refused);
    assert_int_equal(s.used, 3);
    assert_true(s.dropped == SEVERAL_NONE);
    check_near("L", s.mean.lab.L, 42.0667, 5e-5);
    check_near("a", s.mean.lab.a, 28.0667, 5e-5);
    check_near("b", s.mean.lab.b, 16.8667, 5e-5);
    check_near("SD of L", s.sd.L, 0.5508, 5e-5);
    check_near("SD of a", s.sd.a, 0.4163, 5e-5);
    check_near("SD of b", s.sd.b, 0.4041, 5e-5);
    check_near("MCDM", s.mcdm, 0.4599, 5e-5);
    /* s^2/n t^2/4 with t = 4.3027 of two degrees of freedom */
    check_near("A4 of L", s.mean.part[MEASURE_REPEAT].LL,
               0.5508 * 0.5508 / 3 * 4.3027 * 4.3027 / 4, 1e-4);
    check_near("in set", s.mean.set.LL, s.mean.part[MEASURE_REPEAT].LL, 1e-12);
    check_near("in abs", s.mean.abs.LL, s.mean.part[MEASURE_REPEAT].LL, 1e-12);
}

/* Abramowitz and Stegun, Handbook of Mathematical Functions (1964), table
 * 26.10, two-sided 95 %: three digits. */
static void test_quantiles_of_t_are_the_published_ones(void **state)
{
    static const struct {
        size_t freedom;
        double t;
    } rows[] = {{1, 12.706}, {2, 4.303},  {3, 3.182},  {4, 2.776},
                {5, 2.571},  {6, 2.447},  {7, 2.365},  {8, 2.306},
                {9, 2.262},  {10, 2.228}, {15, 2.131}, {20, 2.086},
                {30, 2.042}, {60, 2.000}, {120, 1.980}};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        check_near("t", several_t95(rows[i].freedom), rows[i].t, 0.002);
}

static void test_one_photo_stays_as_it_is(void **state)
{
    struct measure_region r = region_of((struct lab){50, 10, 20});
    struct several s;

    (void)state;
    r.blocks = 77;
    r.part[MEASURE_REPEAT] = cov3_diagonal(0.6, 0.4, 0.5);
    s = mean_of(&r, 1);
    assert_int_equal(s.used, 1);
    assert_memory_equal(&s.mean, &r, sizeof r);
    assert_true(isnan(s.sd.L));
}

static void test_one_of_four_far_off_is_left_out_and_said(void **state)
{
    static const struct lab lab[] = {{42.1, 28.2, 16.8},
                                     {41.9, 28.0, 17.0},
                                     {50.0, 20.0, 10.0},
                                     {42.3, 28.3, 16.7}};
    const struct several s = mean_of_labs(lab, 4);

    (void)state;
    assert_int_equal(s.dropped, 2);
    assert_int_equal(s.used, 3);
    check_near("L", s.mean.lab.L, 42.1, 1e-9);
    assert_true(s.mcdm < 0.3);
    assert_int_equal(s.mean.notes.count, 1);
    assert_non_null(strstr(s.mean.notes.text[0], "Photo 3 is "));
}

/* Of three nobody knows which is wrong; near ones are kept however alike the
 * others are; of two far off at most one goes. */
static void test_what_is_no_outlier_stays(void **state)
{
    static const struct lab three[] = {
        {42, 28, 17}, {42, 28, 17}, {46, 28, 17}};
    static const struct lab alike[] = {
        {42, 28, 17}, {42, 28, 17}, {42, 28, 17}, {43.5, 28, 17}};
    static const struct lab two[] = {
        {42, 28, 17},   {42.2, 28, 17}, {42, 28.1, 17}, {42, 28, 17.1},
        {42.1, 28, 17}, {46, 28, 17},   {47, 28, 17}};

    (void)state;
    assert_true(mean_of_labs(three, 3).dropped == SEVERAL_NONE);
    assert_true(mean_of_labs(alike, 4).dropped == SEVERAL_NONE);
    assert_int_equal(mean_of_labs(two, 7).dropped, 6);
    assert_int_equal(mean_of_labs(two, 7).used, 6);
}

static void test_photos_that_contradict_each_other_are_refused(void **state)
{
    static const struct lab lab[] = {{42, 28, 17}, {52, 24, 12}, {36, 20, 20}};
    const struct several s = mean_of_labs(lab, 3);

    (void)state;
    assert_true(s.mcdm > 3);
    assert_true(s.mean.refused);
    assert_non_null(strstr(s.mean.why, "turn the skein 90 degrees"));
}

/* What single photos foretell stays where their differences show less of it;
 * what is wrong in all of them alike is not averaged away. */
static void test_parts_of_the_uncertainty_are_combined(void **state)
{
    struct measure_region r[4];
    struct several s;

    (void)state;
    for (size_t i = 0; i < 4; i++) {
        r[i] = region_of((struct lab){42, 28 + 0.8 * (double)(i % 2), 17});
        r[i].part[MEASURE_SKEIN] = cov3_diagonal(0.4, 0.4, 0.4);
        r[i].part[MEASURE_TONE] = cov3_diagonal(2, 1, 1);
        r[i].part[MEASURE_REPEAT] = cov3_diagonal(0.6, 0.4, 0.5);
    }
    s = mean_of(r, 4);
    check_near("tone", s.mean.part[MEASURE_TONE].LL, 4, 1e-12);
    check_near("places", s.mean.part[MEASURE_SKEIN].LL, 0.16 / 4, 1e-12);
    check_near("alike", s.mean.part[MEASURE_REPEAT].LL, 0, 1e-12);
    /* along a: s^2 = 0.64/3, t = 3.1824 */
    check_near("set of a", s.mean.set.aa, 0.64 / 3 / 4 * 3.1824 * 3.1824 / 4,
               1e-4);
    check_near("set of L", s.mean.set.LL, 0.04, 1e-12);
    assert_true(cov3_is_valid(s.mean.set) && cov3_is_valid(s.mean.abs));
}

/* A sum of twelve even numbers is normal to what matters here. */
static double normal(uint64_t *state)
{
    double sum = -6;

    for (int i = 0; i < 12; i++) {
        *state = *state * 6364136223846793005u + 1442695040888963407u;
        sum += (double)(*state >> 11) / 9007199254740992.0;
    }
    return sum;
}

/* The two sigmas that are shown hold the truth in 95 of 100 sets, however few
 * the photos: Student's t. 4000 sets leave 0.7 % (two standard errors). */
static void test_two_sigmas_cover_the_truth(void **state)
{
    uint64_t seed = 7;

    (void)state;
    for (size_t n = 2; n <= 5; n++) {
        int inside = 0;

        for (int set = 0; set < 4000; set++) {
            struct lab lab[MOST];
            struct several s;

            for (size_t i = 0; i < n; i++)
                lab[i] = (struct lab){50 + 0.4 * normal(&seed), 20, 10};
            s = mean_of_labs(lab, n);
            inside += fabs(s.mean.lab.L - 50) <= 2 * sqrt(s.mean.set.LL);
        }
        check_near("coverage", inside / 40.0, 95, 0.9);
    }
}

static void test_another_exposure_is_noted(void **state)
{
    static const struct lab near[] = {{50, 0, 0}, {58, 0, 0}};
    static const struct lab far[] = {{50, 0, 0}, {52, 1, 1}, {65, 0, 0}};
    struct measure_notes notes = {0};

    (void)state;
    several_note_exposure(near, 2, &notes); /* ln Y differs by 0.35 */
    assert_int_equal(notes.count, 0);
    several_note_exposure(far, 3, &notes); /* by 0.61 */
    assert_int_equal(notes.count, 1);
    assert_non_null(strstr(notes.text[0], "1.8 times"));
}

static void test_two_photos_are_told_to_be_few(void **state)
{
    static const struct lab lab[] = {{42, 28, 17}, {42.4, 28, 17}};
    const struct several s = mean_of_labs(lab, 2);

    (void)state;
    assert_false(s.mean.refused);
    assert_int_equal(s.mean.notes.count, 1);
    assert_non_null(strstr(s.mean.notes.text[0], "take three"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_three_photos_agree_with_the_worked_example),
        cmocka_unit_test(test_quantiles_of_t_are_the_published_ones),
        cmocka_unit_test(test_one_photo_stays_as_it_is),
        cmocka_unit_test(test_one_of_four_far_off_is_left_out_and_said),
        cmocka_unit_test(test_what_is_no_outlier_stays),
        cmocka_unit_test(test_photos_that_contradict_each_other_are_refused),
        cmocka_unit_test(test_parts_of_the_uncertainty_are_combined),
        cmocka_unit_test(test_two_sigmas_cover_the_truth),
        cmocka_unit_test(test_another_exposure_is_noted),
        cmocka_unit_test(test_two_photos_are_told_to_be_few),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
