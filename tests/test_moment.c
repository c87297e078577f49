/* "Sunday evening" and the like. Days and hours are our own choice, no source;
 * that 2026-11-27 is a Friday is the calendar's. */
#include "support.h"

#include <string.h>

#include "base/moment.h"

static const struct moment now = {{2026, 11, 27}, 600};

static void test_reads_days_and_times(void **state)
{
    static const struct {
        const char *words, *want;
    } rows[] = {
        {"Sunday 18:00", "2026-11-29 18:00"},
        {"sunday evening", "2026-11-29 18:00"},
        {"Sunday", "2026-11-29 18:00"},
        {"by Sun 6 pm", "2026-11-29 18:00"},
        {"Friday 9", "2026-11-27 09:00"},
        {"thursday noon", "2026-12-03 12:00"},
        {"tomorrow morning", "2026-11-28 09:00"},
        {"tonight", "2026-11-27 22:00"},
        {"this evening", "2026-11-27 18:00"},
        {"18:30", "2026-11-27 18:30"},
        {"2026-12-01 7:05", "2026-12-01 07:05"},
        {"3 May 2027 12 am", "2027-05-03 00:00"},
        {"3.5.2027", "2027-05-03 18:00"},
        {"in 9 days", "2026-12-06 18:00"},
        {"in 2 weeks noon", "2026-12-11 12:00"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct moment m, back;
        struct error err;
        char iso[17];

        check_ok(moment_read(rows[i].words, now, &m, &err), &err);
        moment_iso(m, iso);
        check_text(rows[i].words, iso, rows[i].want);
        assert_true(moment_from_iso(iso, &back));
        assert_int_equal(moment_between(m, back), 0);
    }
}

static void test_refuses_what_is_no_moment(void **state)
{
    static const char *const bad[] = {"May 2027",    "someday", "25:00",
                                      "Sunday 9:75", "13 pm",   "31.2.2027",
                                      "in 9 years"};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(bad); i++) {
        struct moment m;
        struct error err;

        if (moment_read(bad[i], now, &m, &err))
            fail_msg("\"%s\" was read", bad[i]);
        assert_int_equal(err.kind, ERR_INPUT);
    }
    assert_false(moment_from_iso("2026-11-29", &(struct moment){0}));
    assert_false(moment_from_iso("2026-02-30 10:00", &(struct moment){0}));
    assert_false(moment_from_iso("2026-11-29 24:00", &(struct moment){0}));
}

static void test_adds_and_subtracts(void **state)
{
    (void)state;
    for (int n = -5000; n <= 5000; n += 7) {
        struct moment m = moment_add(now, n);
        assert_in_range(m.minute, 0, 1439);
        assert_int_equal(moment_between(now, m), n);
    }
}

static void test_says_the_weekday(void **state)
{
    char words[24];
    int minute;

    (void)state;
    moment_words(now, words);
    check_text("now", words, "Fri 27 Nov 10:00");
    assert_true(moment_clock("24:00", &minute));
    assert_int_equal(minute, 1440);
    assert_true(moment_clock("7", &minute));
    assert_int_equal(minute, 420);
    assert_false(moment_clock("24:01", &minute));
    assert_false(moment_clock("late", &minute));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_reads_days_and_times),
        cmocka_unit_test(test_refuses_what_is_no_moment),
        cmocka_unit_test(test_adds_and_subtracts),
        cmocka_unit_test(test_says_the_weekday),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
