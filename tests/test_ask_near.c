/* A colour that no skein has, a part of the map, and a colour that was read:
 * against what is reckoned here row by row. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "ask_support.h"
#include "base/mem.h"

/* Olive, brown, red, yellow, grey-blue: none is purple. */
static const struct lab shelf[] = {
    {38, -1, 15}, {48, -3, 31}, {42, 45, 28}, {76, -3, 62},  {31, 12, 10},
    {60, 37, 25}, {52, 24, 24}, {20, 0, 20},  {45, -2, -18}, {38, 0, 20},
};

static void fill_shelf(void)
{
    ADD(NOUN_SKEIN, {"name", "bare"}); /* not measured: the first */
    for (size_t i = 0; i < ARRAY_LEN(shelf); i++) {
        char skein[8], lab[40];
        ADD(NOUN_SKEIN, {"name", "measured"});
        snprintf(skein, sizeof skein, "%zu", i + 2);
        snprintf(lab, sizeof lab, "%g,%g,%g", shelf[i].L, shelf[i].a,
                 shelf[i].b);
        ADD(NOUN_READING, {"skein", skein}, {"lab", lab}, {"u", "0.6,0.5,0.6"},
            {"illuminant", "D50"}, {"observer", "2"}, {"geometry", "45/0"});
    }
}

static struct find_answer found(const struct find_request *r)
{
    struct find_answer a;
    struct error err;

    check_ok(ask_find(ask_book, r, &a, &err), &err);
    return a;
}

static struct find_request any(void)
{
    return (struct find_request){.filter = ask_filter_any(), .tolerance = 2};
}

static void a_part_of_the_map_holds_what_lies_in_it_ends_and_all(void **state)
{
    static const struct {
        const char *words;
        size_t count;
    } rows[] = {
        {"-10..10,10..40", 4},        {"0..45,20..28", 5},
        {"-10..10,10..40,20..38", 3}, {"-5..0,-18..-18", 1},
        {"70..80,0..10", 0},
    };

    (void)state;
    fill_shelf();
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct find_request r = any();
        struct find_answer a;
        struct error err;
        check_ok(find_area_read(rows[i].words, &r.area, &err), &err);
        r.has_area = true;
        a = found(&r);
        if (a.found != rows[i].count)
            fail_msg("%s: %zu", rows[i].words, a.found);
        assert_int_equal(a.left_out[ASK_NEVER], 1);
        find_answer_clear(&a);
    }
}

static void what_is_no_area_is_refused(void **state)
{
    static const char *const wrong[] = {"",
                                        "5",
                                        "5..10",
                                        "5,10..20",
                                        "20..10,0..5",
                                        "1..2,3..",
                                        "..1,2..3",
                                        "1..2,3..4,5..",
                                        "a..b,1..2",
                                        "1..2,3..4,5..6,7..8",
                                        "1..2,3..4,",
                                        "nan..1,2..3"};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(wrong); i++) {
        struct find_area area;
        struct error err;
        if (find_area_read(wrong[i], &area, &err))
            fail_msg("%s was read", wrong[i]);
        assert_int_equal(err.kind, ERR_INPUT);
    }
}

/* The least distance of a skein from the middle of a purple that is no more
 * than purple. */
static double least(const struct find_answer *a)
{
    double d = (double)INFINITY;

    for (size_t i = 0; i < COLOUR_NAMES; i++)
        for (size_t k = 0; a->in[i] && !strcmp(colour_names[i].hue, "purple") &&
                           !strstr(colour_names[i].modifier, "greyish") &&
                           k < ARRAY_LEN(shelf);
             k++)
            d = fmin(d, lab_de00(colour_names[i].centroid, shelf[k]));
    return d;
}

static void a_colour_that_no_skein_has_is_told_by_the_nearest(void **state)
{
    struct find_request r = any();
    struct find_answer a;
    struct find_far far;
    struct text t = {0};
    struct error err;

    (void)state;
    fill_shelf();
    r.words = "purple";
    a = found(&r);
    assert_int_equal(a.found, 0);
    assert_true(a.names > 0 && a.has_near);
    check_near("nearest", a.near.de00, least(&a), 1e-9);
    check_ok(ask_find_far(ask_book, &r, &a, &far, &err), &err);
    assert_true(far.is && !far.leads);
    find_far_words(&far, &t);
    assert_non_null(strstr(t.s, "nearest is skein "));
    find_far_clear(&far);
    find_answer_clear(&a);
    text_reset(&t);

    r.words = "olive"; /* there is some: nothing to be said */
    a = found(&r);
    assert_true(a.found > 0 && !a.has_near);
    check_ok(ask_find_far(ask_book, &r, &a, &far, &err), &err);
    assert_false(far.is);
    find_far_clear(&far);
    find_answer_clear(&a);

    r.words = "no such colour";
    a = found(&r);
    assert_false(a.has_near);
    find_answer_clear(&a);
    text_clear(&t);
}

/* Whether a colour is none of the skeins' is what compare_readings says of the
 * nearest: a colour that was typed is exact, one that was read is not. */
static void a_colour_that_was_read_is_judged_with_its_error(void **state)
{
    static const double sigma[] = {0, 0.5, 20};

    (void)state;
    fill_shelf();
    for (size_t i = 0; i < ARRAY_LEN(sigma); i++) {
        const struct cov3 abs = cov3_diagonal(sigma[i], sigma[i], sigma[i]);
        struct find_request r = any();
        struct colour_reading target;
        struct comparison want;
        struct find_answer a;
        struct find_far far;
        struct error err;

        r.has_target = true;
        r.target = (struct lab){44, 41, 28};
        r.was_read = sigma[i] > 0;
        r.target_abs = abs;
        a = found(&r);
        assert_int_equal(a.found, ARRAY_LEN(shelf));
        assert_int_equal(a.judged, r.was_read);
        target = (struct colour_reading){.lab = r.target, .abs = abs};
        want = compare_readings(target, a.row[0].skein.reading.colour, false,
                                r.tolerance);
        assert_int_equal(a.row[0].compared.verdict, want.verdict);
        check_near("at most", a.row[0].at_most, want.U, 1e-9);
        check_ok(ask_find_far(ask_book, &r, &a, &far, &err), &err);
        assert_int_equal(far.is, want.verdict == VERDICT_DIFFERENT);
        assert_int_equal(far.is, sigma[i] < 1);
        find_far_clear(&far);
        find_answer_clear(&a);
    }
}

#define T(f) cmocka_unit_test_setup_teardown(f, ask_book_open, ask_book_close)

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(a_part_of_the_map_holds_what_lies_in_it_ends_and_all),
        cmocka_unit_test(what_is_no_area_is_refused),
        T(a_colour_that_no_skein_has_is_told_by_the_nearest),
        T(a_colour_that_was_read_is_judged_with_its_error),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
