/* src/base/day.c and day_read.c. The calendar is checked against the C
 * library's mktime(); how words are read is our own rule, stated in day.h.
 * link: -Wl,--wrap=time
 */
#include "support.h"

#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "base/day.h"

static const struct day today = {2026, 5, 10};

time_t __wrap_time(time_t *out);

static time_t now = 1778457540; /* 2026-05-10 23:59 UTC */

time_t __wrap_time(time_t *out)
{
    if (out)
        *out = now;
    return now;
}

static time_t seconds(struct day d)
{
    struct tm tm = {.tm_year = d.year - 1900,
                    .tm_mon = d.month - 1,
                    .tm_mday = d.day,
                    .tm_hour = 12};

    return mktime(&tm);
}

/* Every day of 800 years, two whole cycles of leap years. */
static void test_day_calendar_agrees_with_mktime(void **state)
{
    struct day d = {1600, 1, 1}, next;
    time_t at;

    (void)state;
    setenv("TZ", "UTC0", 1);
    tzset();
    at = seconds(d);
    while (d.year < 2400) {
        next = day_add(d, 1);
        assert_true(day_valid(d));
        assert_true(seconds(next) - at == 86400);
        assert_int_equal(day_between(d, next), 1);
        assert_int_equal(day_compare(d, next), -1);
        assert_int_equal(day_compare(next, d), 1);
        assert_int_equal(day_compare(next, day_add(next, -800)) +
                             day_between(day_add(next, -800), next),
                         801);
        at = seconds(next);
        d = next;
    }
}

/* Source: Gregorian reform, ISO 8601: 1900 and 2100 are no leap years. */
static void test_day_valid_knows_leap_years_and_limits(void **state)
{
    (void)state;
    assert_true(day_valid((struct day){2000, 2, 29}));
    assert_true(day_valid((struct day){2024, 2, 29}));
    assert_false(day_valid((struct day){1900, 2, 29}));
    assert_false(day_valid((struct day){2026, 2, 29}));
    assert_false(day_valid((struct day){2026, 4, 31}));
    assert_false(day_valid((struct day){2026, 13, 1}));
    assert_false(day_valid((struct day){2026, 0, 1}));
    assert_false(day_valid((struct day){2026, 1, 0}));
    assert_false(day_valid((struct day){999, 1, 1}));
    assert_false(day_valid((struct day){10000, 1, 1}));
    assert_int_equal(day_compare(day_add(DAY_LAST, 1), DAY_LAST), 0);
    assert_int_equal(day_compare(day_add(DAY_FIRST, -2000000000), DAY_FIRST),
                     0);
    assert_int_equal(day_compare(day_add(DAY_FIRST, 2000000000), DAY_LAST), 0);
}

/* A minute before and after midnight, in the zone of the machine. */
static void test_day_today_changes_at_midnight_of_the_place(void **state)
{
    char iso[11];

    (void)state;
    setenv("TZ", "UTC0", 1);
    tzset();
    now = 1778457540;
    day_iso(day_today(), iso);
    check_text("before", iso, "2026-05-10");
    now += 120;
    day_iso(day_today(), iso);
    check_text("after", iso, "2026-05-11");
    setenv("TZ", "EST5", 1);
    tzset();
    day_iso(day_today(), iso);
    check_text("west", iso, "2026-05-10");
    setenv("TZ", "UTC0", 1);
    tzset();
}

static void test_day_iso_is_read_back(void **state)
{
    static const char *const bad[] = {"2026-5-3",   "2026-05-03 ", "",
                                      "2026-02-30", "2026/05/03",  "26-05-03",
                                      "2026-05",    "+026-05-03"};
    char iso[11];
    struct day d;

    (void)state;
    assert_true(day_from_iso("2026-05-03", &d));
    day_iso(d, iso);
    check_text("back", iso, "2026-05-03");
    for (size_t i = 0; i < ARRAY_LEN(bad); i++)
        assert_false(day_from_iso(bad[i], &d));
}

static void check_days(const char *const rows[][2], size_t n)
{
    for (size_t i = 0; i < n; i++) {
        struct error err = {0};
        struct day_range r;
        char words[80], back[80];

        check_ok(day_read(rows[i][0], today, &r, &err), &err);
        day_range_words(r, words, sizeof words);
        check_text(rows[i][0], words, rows[i][1]);
        if (!r.known)
            continue;
        assert_true(day_valid(r.from) && day_valid(r.to));
        assert_true(day_compare(r.from, r.to) <= 0);
        /* The echo of a plain range reads as the same range. */
        if (!r.ambiguous && !strchr(words, '(')) {
            check_ok(day_read(words, today, &r, &err), &err);
            day_range_words(r, back, sizeof back);
            check_text(words, back, words);
        }
    }
}

static void test_day_reads_one_day(void **state)
{
    static const char *const rows[][2] = {
        {"2026-05-03", "2026-05-03"},
        {"2026/05/03", "2026-05-03"},
        {"20260503", "2026-05-03"},
        {"3.5.2026", "2026-05-03"},
        {"3. 5. 26", "2026-05-03"},
        {"3.5.", "2026-05-03"},
        {"26/11", "2025-11-26"}, /* nothing but a day and its month */
        {"18/5", "2025-05-18"},
        {"13/5/26", "2026-05-13"},
        {"5/13/26", "2026-05-13"},
        {"5/5/26", "2026-05-05"},
        {"3 May 2026", "2026-05-03"},
        {"3. May 2026", "2026-05-03"},
        {"3rd of May, 2026", "2026-05-03"},
        {"May 3, 2026", "2026-05-03"},
        {"Sunday 3 May 2026", "2026-05-03"},
        {"3-May-26", "2026-05-03"},
        {"Sept. 1st 2019", "2019-09-01"},
        {"29.2.2024", "2024-02-29"},
        {"1.1.99", "1999-01-01"},
        {"1.1.27", "2027-01-01"}, /* next year at most */
        {"1.1.28", "1928-01-01"},
        {"2026-05-03T12:00", "2026-05-03"},
        {"3 May 2026 at 00:30", "2026-05-03"}, /* dried after midnight */
        {"today", "2026-05-10"},
        {"yesterday", "2026-05-09"},
        {"in 8 weeks", "2026-07-05"},
        {"in 1 day", "2026-05-11"},
        {"10 days ago", "2026-04-30"},
        {"  Today ", "2026-05-10"},
        {"this morning", "2026-05-10"},
        {"3 May", "2026-05-03"}, /* the latest that has begun */
        {"20 May", "2025-05-20"},
        {"29 Feb", "2024-02-29"},
    };

    (void)state;
    check_days(rows, ARRAY_LEN(rows));
}

/* Nasty 8. */
static void test_day_reads_what_is_half_known(void **state)
{
    static const char *const rows[][2] = {
        {"", "not known"},
        {"unknown", "not known"},
        {"?", "not known"},
        {"before the tool existed", "not known"},
        {"when the children were small", "not known"},
        {"summer 2019", "2019-06-01 to 2019-08-31"},
        {"Summer of '19", "2019-06-01 to 2019-08-31"},
        {"winter 2019", "2019-12-01 to 2020-02-29"},
        {"winter 2019/20", "2019-12-01 to 2020-02-29"},
        {"autumn 2020", "2020-09-01 to 2020-11-30"},
        {"fall 2020", "2020-09-01 to 2020-11-30"},
        {"?/10/23", "2023-10 (day not known)"},
        {"??.10.2023", "2023-10 (day not known)"},
        {"xx/10/23", "2023-10 (day not known)"},
        {"10/?/23", "2023 (day not known)"},
        {"?/?/2023", "2023 (day not known)"},
        {"2023-10-??", "2023-10 (day not known)"},
        {"May 2026", "2026-05 (day not known)"},
        {"10/2023", "2023-10 (day not known)"},
        {"2023-10", "2023-10 (day not known)"},
        {"2026", "2026 (day not known)"},
        {"3/5/26", "2026-03-05 or 2026-05-03"},
        {"03-05-2026", "2026-03-05 or 2026-05-03"},
        {"before 2015", "before 2015-01-01"},
        {"until 2015", "before 2016-01-01"},
        {"after 2015", "2016-01-01 to 2026-05-10"},
        {"since May 2020", "2020-05-01 to 2026-05-10"},
        {"about 2019", "2018-01-01 to 2020-12-31"},
        {"2019?", "2018-01-01 to 2020-12-31"},
        {"about 3 May 2026", "2026-04-26 to 2026-05-10"},
        {"ca. May 2026", "2026-04-01 to 2026-06-30"},
        {"1990s", "1990-01-01 to 1999-12-31"},
        {"late August 2020", "2020-08-21 to 2020-08-31"},
        {"mid-May 2026", "2026-05-11 to 2026-05-20"},
        {"early 2020", "2020-01-01 to 2020-05-01"},
        {"summer", "2025-06-01 to 2025-08-31"},
    };
    static const struct day both[] = {{2026, 3, 5}, {2026, 5, 3}};
    struct error err = {0};
    struct day_range r;

    (void)state;
    check_days(rows, ARRAY_LEN(rows));
    check_ok(day_read("3/5/26", today, &r, &err), &err);
    assert_true(r.ambiguous);
    assert_int_equal(day_compare(r.from, both[0]), 0);
    assert_int_equal(day_compare(r.to, both[1]), 0);
}

static void test_day_reads_ranges(void **state)
{
    static const char *const rows[][2] = {
        {"2026-05-01..2026-05-03", "2026-05-01 to 2026-05-03"},
        {"2026-05-01 - 2026-05-03", "2026-05-01 to 2026-05-03"},
        {"1.5.2026 – 3.5.2026", "2026-05-01 to 2026-05-03"},
        {"3-5 May 2026", "2026-05-03 to 2026-05-05"},
        {"3.-5.5.2026", "2026-05-03 to 2026-05-05"},
        {"May 3-5, 2026", "2026-05-03 to 2026-05-05"},
        {"3 May - 5 June 2026", "2026-05-03 to 2026-06-05"},
        {"May to July 2025", "2025-05-01 to 2025-07-31"},
        {"May-July 2025", "2025-05-01 to 2025-07-31"},
        {"Nov - Jan 2026", "2025-11-01 to 2026-01-31"},
        {"2015-2017", "2015-01-01 to 2017-12-31"},
        {"2015-17", "2015-01-01 to 2017-12-31"},
        {"2019/20", "2019-01-01 to 2020-12-31"},
        {"between 2015 and 2017", "2015-01-01 to 2017-12-31"},
    };

    (void)state;
    check_days(rows, ARRAY_LEN(rows));
}

static void test_day_refuses_what_is_no_day(void **state)
{
    static const char *const bad[] = {
        "31.2.2026", "29.2.2025",     "2026-13-01",
        "0/5/2026",  "99/99/9999",    "3/5",
        "12:30",     "12345",         "3 foo 2026",
        "1.2.3.4.5", "32 May 2026",   "5 May 2026 - 3 May 2026",
        "0000",      "2026-00-10",    "1-2-3-4-5-6-7-8-9-1-2-3-4-5-6-7-8-9",
        "10/23",     "13/13",         "next day",
        "later",     "the day after", "32/11",
        "98/11",     "32.11",         "11 May",
        "17/5",      "17.5.",
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(bad); i++) {
        struct error err = {0};
        struct day_range r = {.known = true, .from = today};

        if (day_read(bad[i], today, &r, &err))
            fail_msg("\"%s\" was read as %d-%d-%d", bad[i], r.from.year,
                     r.from.month, r.from.day);
        assert_int_equal(err.kind, ERR_INPUT);
        assert_true(r.known && r.from.year == 2026); /* left alone */
    }
}

/* No source: our own rule. */
static void test_day_asks_what_a_slip_may_mean(void **state)
{
    static const char *const rows[][2] = {
        {"1/11", "\"1/11\": say 1 Nov or 11 Jan"},
        {"5-3", "\"5-3\": say 5 Mar or 3 May"},
        {"32/11", "\"32/11\": there is no such day"},
        {"12 May",
         "\"12 May\" is still to come: say the year, 12 May 2025 or 2026"},
    };
    struct day_range r;
    struct error err;

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        assert_false(day_read(rows[i][0], today, &r, &err));
        assert_string_equal(err.text, rows[i][1]);
    }
    check_ok(day_read("18 May", today, &r, &err), &err); /* over a week */
    assert_int_equal(r.from.year, 2025);
    assert_false(day_read("2 Jan", (struct day){2026, 12, 30}, &r, &err));
}

/* No source: it follows from what day_read says of such words. */
static void test_day_words_move_when_another_day_changes_them(void **state)
{
    static const char *const moves[] = {
        "yesterday", "today",  "in 8 weeks", "3 days ago", "3 May",    "summer",
        "tonight",   "29 Feb", "before May", "3-5 April",  "about May"};
    static const char *const stays[] = {
        "3.5.26",       "2026-05-03", "summer 2019", "?/10/23",
        "before 2015",  "about 2019", "1990s",       "when the lilac was out",
        "3 May 1998",   "1/1/27",     "since 2020",  "since May 2020",
        "before 3.5.20"};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(moves) + ARRAY_LEN(stays); i++) {
        bool move = i < ARRAY_LEN(moves);
        const char *words = move ? moves[i] : stays[i - ARRAY_LEN(moves)];
        struct error err = {0};
        struct day_range r;

        check_ok(day_read(words, today, &r, &err), &err);
        if (day_words_move(words, r) != move)
            fail_msg("\"%s\" %s", words, move ? "moves" : "stays");
    }
}

static void test_day_words_move_where_one_of_two_days_was_meant(void **state)
{
    struct error err = {0};
    struct day_range r;

    (void)state;
    check_ok(day_read("3/5/2026", today, &r, &err), &err);
    assert_true(r.ambiguous);
    assert_false(day_words_move("3/5/2026", r)); /* it stayed open */
    r = (struct day_range){.known = true, .from = {2026, 5, 3}};
    r.to = r.from;
    assert_true(day_words_move("3/5/2026", r));
    r.from = r.to = (struct day){2026, 5, 13};
    assert_false(day_words_move("13/5/2026", r));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_day_calendar_agrees_with_mktime),
        cmocka_unit_test(test_day_valid_knows_leap_years_and_limits),
        cmocka_unit_test(test_day_today_changes_at_midnight_of_the_place),
        cmocka_unit_test(test_day_iso_is_read_back),
        cmocka_unit_test(test_day_reads_one_day),
        cmocka_unit_test(test_day_reads_what_is_half_known),
        cmocka_unit_test(test_day_reads_ranges),
        cmocka_unit_test(test_day_refuses_what_is_no_day),
        cmocka_unit_test(test_day_asks_what_a_slip_may_mean),
        cmocka_unit_test(test_day_words_move_when_another_day_changes_them),
        cmocka_unit_test(test_day_words_move_where_one_of_two_days_was_meant),
    };

    return cmocka_run_group_tests_name("day", tests, NULL, NULL);
}
