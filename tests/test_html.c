/* src/base/html.c: what people typed stays text, byte for byte. */
#include "support.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/html.h"

/* A character at a time. */
static void escape_slowly(const char *s, struct text *out)
{
    while (*s) {
        size_t n = 1;

        while (n < 4 && s[n] && !text_is_utf8(s, n))
            n++;
        if (!text_is_utf8(s, n)) {
            text_add(out, "\xEF\xBF\xBD");
            n = 1;
        } else if (strchr("&<>\"'", *s)) {
            text_addf(out, "&#%d;", *s);
        } else {
            text_add_n(out, s, n);
        }
        s += n;
    }
}

static void whatever_bytes_there_are_become_text(void **state)
{
    static const char *const part[] = {
        "a",    "madder", "&",        "<",    ">",
        "\"",   "'",      "\xC3\xA4", "\xC3", "\xE2\x88\x92",
        "\xE2", "\x80",   "\xFF",     "\n",   "\xF0\x9F\xA7\xB6"};
    unsigned seed = 7;

    (void)state;
    for (int i = 0; i < 20000; i++) {
        struct text s = {0}, want = {0}, got = {0};
        for (int k = 0; k < i % 9; k++) {
            seed = seed * 1103515245 + 12345;
            text_add(&s, part[(seed >> 16) % ARRAY_LEN(part)]);
        }
        escape_slowly(text_str(&s), &want);
        html_addf(&got, "%s", text_str(&s));
        check_text(text_str(&s), text_str(&got), text_str(&want));
        text_clear(&s);
        text_clear(&want);
        text_clear(&got);
    }
}

static void each_conversion_is_that_of_printf(void **state)
{
    const char *volatile none = NULL; /* unknown to the compiler */
    struct text t = {0};

    (void)state;
    html_addf(&t, "%d %d %zu %lld %.0f %.1f %.2f %c 50%% %s%s.", -12, 0,
              (size_t)130, -9223372036854775807LL - 1, 2.5, -0.04, 1e9, 'x',
              none, "\"");
    check_text("all", text_str(&t),
               "-12 0 130 -9223372036854775808 2 -0.0 1000000000.00 x 50% "
               "&#34;.");
    text_clear(&t);
}

static void an_address_is_percent_encoded(void **state)
{
    struct text t = {0};

    (void)state;
    html_addf(&t, "/find?q=%-s&amp;", "dark red/\xC3\xA4~_-.%");
    check_text("address", text_str(&t),
               "/find?q=dark%20red%2F%C3%A4~_-.%25&amp;");
    text_clear(&t);
}

static void a_number_for_people_has_a_true_minus(void **state)
{
    struct text t = {0};

    (void)state;
    html_lab(&t, 45.04, -3.06, (double)NAN, 1);
    check_text("lab", text_str(&t),
               "<span class=\"num\">L* 45.0 a* \xE2\x88\x92"
               "3.1 b* ?</span>");
    text_clear(&t);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(whatever_bytes_there_are_become_text),
        cmocka_unit_test(each_conversion_is_that_of_printf),
        cmocka_unit_test(an_address_is_percent_encoded),
        cmocka_unit_test(a_number_for_people_has_a_true_minus),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
