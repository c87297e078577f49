/* src/base/error.c: one clean line, whatever the user typed. */
#include "support.h"

#include <string.h>

#include "base/error.h"
#include "base/text.h"

static void test_error_set_is_false_and_formats(void **state)
{
    struct error err = {0};

    (void)state;
    assert_false(error_set(&err, ERR_INPUT,
                           "skein \"%s\": weight must be above 0 g, got %d g",
                           "A3", -4));
    assert_int_equal(err.kind, ERR_INPUT);
    check_text("text", err.text,
               "skein \"A3\": weight must be above 0 g, got -4 g");
}

static void test_error_text_is_one_line(void **state)
{
    struct error err = {0};

    (void)state;
    error_set(&err, ERR_INPUT, "got \"%s\"", "a\nb\tc\x1B[31m\x7F");
    check_text("control", err.text, "got \"a b c [31m \"");
}

/* Cut at each place within characters of one to four bytes. */
static void test_error_text_is_cut_at_a_whole_character(void **state)
{
    static const char *const letters[] = {"x", "\xC3\xA4", "\xE2\x82\xAC",
                                          "\xF0\x9F\xA7\xB6"};
    struct error err = {0};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(letters); i++)
        for (int before = 0; before < 5; before++) {
            struct text t = {0};
            size_t size = strlen(letters[i]), n;

            text_addf(&t, "%.*s", before, "aaaaa");
            while (t.len < 2 * sizeof err.text)
                text_add(&t, letters[i]);
            error_set(&err, ERR_BUG, "%s", text_str(&t));
            n = strlen(err.text);
            assert_true(text_is_utf8(err.text, n));
            assert_in_range(n, sizeof err.text - size, sizeof err.text - 1);
            assert_memory_equal(err.text, text_str(&t), n);
            text_clear(&t);
        }
}

static void test_error_text_that_just_fits_is_kept(void **state)
{
    struct error err = {0};
    char full[sizeof err.text];

    (void)state;
    memset(full, 'x', sizeof full - 3);
    strcpy(full + sizeof full - 3, "\xC3\xA4");
    error_set(&err, ERR_STORE, "%s", full);
    check_text("full", err.text, full);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_error_set_is_false_and_formats),
        cmocka_unit_test(test_error_text_is_one_line),
        cmocka_unit_test(test_error_text_is_cut_at_a_whole_character),
        cmocka_unit_test(test_error_text_that_just_fits_is_kept),
    };

    return cmocka_run_group_tests_name("error", tests, NULL, NULL);
}
