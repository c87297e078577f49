/* src/book/dots.c: the same colours as when each skein is read in full. */
#include <stdio.h>
#include <string.h>

#include "ask_support.h"
#include "book/dots.h"
#include "large_support.h"

enum { SKEINS = 700 };

/* Of two dyers, some without a colour, some withdrawn, and some whose numbers
 * are not in the order of their ids. */
static void fill_shelf(void)
{
    struct error err;

    check_ok(large_fill(ask_book, SKEINS, &err), &err);
    check_ok(book_act_begin(ask_book, "change", &err), &err);
    for (int64_t id = 3; id < SKEINS; id += 9)
        check_ok(record_withdraw(ask_book, NOUN_SKEIN, id, true, &err), &err);
    check_ok(book_act_end(ask_book, &err), &err);
    for (int i = 9; i > 0; i--) {
        char number[8], lab[24];

        snprintf(number, sizeof number, "%d", 1000 * i);
        snprintf(lab, sizeof lab, "50,%d,20", i);
        ADD(NOUN_SKEIN, {"number", number});
        ADD(NOUN_READING, {"skein", number}, {"lab", lab}, {"u", "0.6,0.5,0.6"},
            {"illuminant", "D50"}, {"observer", "2"}, {"geometry", "45/0"});
    }
}

static void check_limit(const struct ask_filter *filter, size_t limit)
{
    struct ask_skeins all;
    struct error err;
    struct dots dots;
    size_t n = 0;

    check_ok(dots_of(ask_book, filter, limit, &dots, &err), &err);
    check_ok(ask_skeins(ask_book, filter, limit, &all, &err), &err);
    for (size_t i = 0; i < all.count; i++) {
        if (all.skein[i].lack != ASK_HAS_COLOUR)
            continue;
        assert_true(n < dots.count);
        assert_memory_equal(&dots.lab[n], &all.skein[i].reading.colour.lab,
                            sizeof dots.lab[n]);
        n++;
    }
    assert_int_equal(n, dots.count);
    assert_true(limit < 9 || (n > 0 && n < limit));
    ask_skeins_free(&all);
    dots_free(&dots);
}

/* With a filter they are passed one by one, without they go by number. */
static void dots_are_the_colours_of_the_first_skeins(void **state)
{
    static const size_t limit[] = {1, 2, 9, 100, 640, 690, 5000};
    struct ask_filter filter[3];
    struct error err;

    (void)state;
    fill_shelf();
    for (size_t i = 0; i < ARRAY_LEN(filter); i++)
        filter[i] = ask_filter_any();
    check_ok(ask_filter_read(ask_book, &filter[1], "owner", "me", &err), &err);
    check_ok(ask_filter_read(ask_book, &filter[2], "mordant", "alum", &err),
             &err);
    for (size_t i = 0; i < ARRAY_LEN(filter); i++)
        for (size_t k = 0; k < ARRAY_LEN(limit); k++)
            check_limit(&filter[i], limit[k]);
}

#define T(f) cmocka_unit_test_setup_teardown(f, ask_book_open, ask_book_close)

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(dots_are_the_colours_of_the_first_skeins),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
