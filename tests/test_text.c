/* src/base/text.c and src/base/json.c: growing text, keys of names, numbers,
 * JSON and CSV. */
#include "support.h"

#include <float.h>
#include <locale.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/json.h"
#include "base/text.h"

/* ---- growing --------------------------------------------------------------
 */

static void test_text_grows_and_is_handed_over(void **state)
{
    struct text t = {0};
    char *s;

    (void)state;
    check_text("empty", text_str(&t), "");
    for (int i = 0; i < 1000; i++)
        text_addf(&t, "%d,", i % 10);
    assert_int_equal(t.len, 2000);
    for (int n = 150; n < 170; n++) { /* about where a line is long */
        text_addf(&t, "%*d", n, 7);
        check_text("7", t.s + t.len - 2, " 7");
        assert_int_equal(t.len, 2000 + n);
        t.s[t.len = 2000] = '\0';
    }
    text_add(&t, NULL);
    text_add_n(&t, "abcdef", 3);
    check_text("end", text_str(&t) + 1996, "8,9,abc");
    text_reset(&t);
    check_text("reset", text_str(&t), "");
    text_add(&t, "kept");
    s = text_take(&t);
    check_text("taken", s, "kept");
    assert_null(t.s);
    free(s);
    s = text_take(&t);
    check_text("nothing taken", s, "");
    free(s);
    text_clear(&t);
    text_clear(NULL);
    text_reset(NULL);
}

static void test_text_numbers_are_those_of_printf(void **state)
{
    static const double odd[] = {0,    -0.0,  0.5,    1.5,      2.5, 0.05, 0.25,
                                 0.35, 1.005, 999.95, 999999.5, 1e6, 1e300};
    uint64_t seed = 11;

    (void)state;
    for (int i = 0; i < 200000; i++) {
        const int places = i % 5;
        double x = i < (int)ARRAY_LEN(odd) * 10 ? odd[i / 10] : 0;
        struct text got = {0}, want = {0};

        seed = seed * 6364136223846793005U + 1442695040888963407U;
        if (x == 0 && i >= 20) /* some of them on a half or a hair beside */
            x = (double)(seed >> 40) / (i % 3 ? 16777.216 : 1024);
        x = i % 7 ? x : nextafter(x, (double)INFINITY);
        x = i % 2 ? -x : x;
        text_add_fixed(&got, x, places);
        text_addf(&want, "%.*f", places, x);
        text_add_int(&got, (long long)(seed >> i % 64) * (i % 2 ? -1 : 1));
        text_addf(&want, "%lld",
                  (long long)(seed >> i % 64) * (i % 2 ? -1 : 1));
        check_text("number", text_str(&got), text_str(&want));
        text_clear(&got);
        text_clear(&want);
    }
}

/* ---- UTF-8 ----------------------------------------------------------------
 */

/* Source: RFC 3629, sections 3, 4 and 10. */
static void test_text_utf8_is_told_from_other_bytes(void **state)
{
    static const struct {
        const char *row, *s;
        size_t n;
        bool want;
    } rows[] = {
        {"empty", "", 0, true},
        {"ASCII", "weld", 4, true},
        {"umlaut", "Äiti", 5, true},
        {"emoji", "\xF0\x9F\xA7\xB6", 4, true},
        {"last", "\xF4\x8F\xBF\xBF", 4, true},
        {"NUL inside", "a\0b", 3, false},
        {"cut short", "\xC3", 1, false},
        {"lone continuation", "\x80", 1, false},
        {"overlong NUL", "\xC0\x80", 2, false},
        {"overlong slash", "\xE0\x80\xAF", 3, false},
        {"surrogate", "\xED\xA0\x80", 3, false},
        {"above U+10FFFF", "\xF4\x90\x80\x80", 4, false},
        {"five bytes", "\xF8\x88\x80\x80\x80", 5, false},
        {"Latin-1", "caf\xE9", 4, false},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        if (text_is_utf8(rows[i].s, rows[i].n) != rows[i].want)
            fail_msg("%s", rows[i].row);
}

/* Widths: Unicode Standard Annex 11, East Asian Width. */
static void test_text_width_counts_terminal_columns(void **state)
{
    static const struct {
        const char *s;
        int want;
    } rows[] = {
        {"", 0},
        {"madder", 6},
        {"Äiti", 4},
        {"A\xCC\x88iti", 4}, /* a mark takes no column */
        {"½ tsp", 5},
        {"\xE8\x8C\x9C", 2},     /* U+831C, the madder plant */
        {"\xF0\x9F\xA7\xB6", 2}, /* U+1F9F6, a ball of yarn */
        {"caf\xE9", 4},          /* a stray byte is one */
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        if (text_width(rows[i].s) != rows[i].want)
            fail_msg("\"%s\": got %d, want %d", rows[i].s,
                     text_width(rows[i].s), rows[i].want);
}

static void test_text_fold_gives_one_key_for_one_name(void **state)
{
    static const struct {
        const char *s, *want;
    } rows[] = {
        {"  Velvet-Foot  PAX", "velvet-foot pax"},
        {"Äiti", "äiti"},
        {"A\xCC\x88iti", "äiti"}, /* as some systems write file names */
        {"KARHUNKÄÄPÄ", "karhunkääpä"},
        {"ÞÓRSMÖRK ÆÐI", "þórsmörk æði"},
        {"ŽLUTÝ ĽAN ŸPRES", "žlutý ľan ÿpres"},
        {"МАРЕНА Ёлка", "марена ёлка"},
        {"ΡΙΖΆΡΙ", "ριζάρι"},
        {"a\xC2\xA0\t\n b", "a b"},
        {"\xC2\xA0", ""},
        {"", ""},
        {"\xF0\x9F\xA7\xB6 Wool", "\xF0\x9F\xA7\xB6 wool"},
        {"Caf\xE9 X", "caf\xE9 x"},
        {"x\xCC\x88", "x\xCC\x88"}, /* no such letter: the mark stays */
        {"a \xCC\x88", "a \xCC\x88"},
        {"½ TSP \"GOOD GLUG\"", "½ tsp \"good glug\""},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        char *key = text_fold(rows[i].s), *again = text_fold(key);
        check_text(rows[i].s, key, rows[i].want);
        check_text("twice", again, key);
        free(key);
        free(again);
    }
    assert_null(text_fold(NULL));
}

static void test_text_same_and_contains_go_by_the_key(void **state)
{
    (void)state;
    assert_true(text_same("Weld ", " WELD"));
    assert_false(text_same("a", "ä"));
    assert_true(text_same(NULL, NULL));
    assert_false(text_same(NULL, ""));
    assert_true(text_contains("Olive, a bit GREY", "grey"));
    assert_true(text_contains("anything", ""));
    assert_false(text_contains("weld", "welds"));
    assert_false(text_contains(NULL, ""));
}

static void test_text_trim_drops_outer_blanks_only(void **state)
{
    static const char *const rows[][2] = {{" a  b\t\n", "a  b"},
                                          {"", ""},
                                          {" \t ", ""},
                                          {"\xC2\xA0z\xC2\xA0", "z"}};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        char *got = text_trim(rows[i][0]);
        check_text(rows[i][0], got, rows[i][1]);
        free(got);
    }
}

/* ---- numbers --------------------------------------------------------------
 */

static void test_text_real_reads_plain_decimals_only(void **state)
{
    static const char *const bad[] = {
        "",
        " 1",
        "1 ",
        "1,5",
        "0x10",
        "inf",
        "nan",
        "1e999",
        "e5",
        "1e",
        "-",
        ".",
        "1.2.3",
        "1e+",
        "--1",
        "1\n",
        "12345678901234567890123456789012345678901234567890123456789012345"};
    double x = 7;

    (void)state;
    assert_true(text_real("-1.5", &x));
    check_near("-1.5", x, -1.5, 0);
    assert_true(text_real("3e2", &x));
    check_near("3e2", x, 300, 0);
    assert_true(text_real(".5", &x));
    check_near(".5", x, 0.5, 0);
    assert_true(text_real("+1E-3", &x));
    check_near("+1E-3", x, 0.001, 0);
    for (size_t i = 0; i < ARRAY_LEN(bad); i++)
        if (text_real(bad[i], &x))
            fail_msg("\"%s\" was read as %g", bad[i], x);
    assert_false(text_real(NULL, &x));
    check_near("left alone", x, 0.001, 0);
}

static void test_text_whole_stops_at_64_bits(void **state)
{
    static const char *const bad[] = {"",    "1.0", " 1", "9223372036854775808",
                                      "1e3", "-",   "0x1"};
    long long n = 0;

    (void)state;
    assert_true(text_whole("9223372036854775807", &n));
    assert_true(n == INT64_MAX);
    assert_true(text_whole("-12", &n));
    assert_true(n == -12);
    for (size_t i = 0; i < ARRAY_LEN(bad); i++)
        assert_false(text_whole(bad[i], &n));
}

static void test_text_reals_wants_exactly_n(void **state)
{
    double x[3];

    (void)state;
    assert_true(text_reals("1, -2.5 ,3", x, 3));
    check_near("second", x[1], -2.5, 0);
    assert_true(text_reals(" 45 -3  25.5 ", x, 3));
    check_near("third of blanks", x[2], 25.5, 0);
    assert_true(text_reals(" (49.6, -0.3, 0.5) ", x, 3));
    check_near("third in brackets", x[2], 0.5, 0);
    assert_false(text_reals("(45, -3, 25.5", x, 3));
    assert_false(text_reals("(45, -3), 25.5", x, 3));
    assert_false(text_reals("()", x, 1));
    assert_true(text_reals("45,2; -3,1; 25", x, 3));
    check_near("a decimal comma", x[0], 45.2, 0);
    assert_true(text_reals("45,2 -3 25,5", x, 3));
    check_near("last", x[2], 25.5, 0);
    assert_false(text_reals("45,2,1 -3 25", x, 3));
    assert_false(text_reals("45; -3 25", x, 3));
    assert_false(text_reals("1,2", x, 3));
    assert_false(text_reals("1,2,3,4", x, 3));
    assert_false(text_reals("1,,3", x, 3));
    assert_false(text_reals("1,2,", x, 3));
    assert_false(text_reals("", x, 1));
}

static void test_text_round_goes_half_away_from_zero_as_typed(void **state)
{
    static const struct {
        const char *row;
        double x;
        int places;
        const char *want;
    } rows[] = {
        {"whole", 12, 2, "12"},
        {"zeros go", 10.20, 3, "10.2"},
        {"small", 0.14, 2, "0.14"},
        {"half up", 2.5, 0, "3"},
        {"half down", -2.5, 0, "-3"},
        {"half as typed", 1.005, 2, "1.01"},
        {"below half", 1.0049, 2, "1"},
        {"minus zero", -0.0, 2, "0"},
        {"minus nothing", -0.001, 2, "0"},
        {"keeps 100", 100, 0, "100"},
        {"large", 1e15, 2, "1000000000000000"},
        {"nan", (double)NAN, 2, "?"},
        {"inf", (double)INFINITY, 2, "?"},
        {"very large", DBL_MAX, 0, NULL},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct text t = {0};
        text_add_real(&t, rows[i].x, rows[i].places);
        if (rows[i].want)
            check_text(rows[i].row, text_str(&t), rows[i].want);
        else
            assert_int_equal(t.len, 309);
        text_clear(&t);
    }
}

static void test_text_keeps_the_point_under_a_comma_locale(void **state)
{
    static const char *const commas[] = {"de_DE.UTF-8", "fi_FI.UTF-8",
                                         "fr_FR.UTF-8", "da_DK.UTF-8"};
    struct text t = {0};
    bool there = false;
    double x = 0;

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(commas) && !there; i++)
        there = setlocale(LC_ALL, commas[i]) != NULL;
    if (!there)
        skip();
    text_add_real(&t, 1.5, 2);
    check_text("written", text_str(&t), "1.5");
    assert_true(text_real("1.5", &x));
    check_near("read", x, 1.5, 0);
    setlocale(LC_ALL, "C");
    text_clear(&t);
}

/* ---- JSON and CSV ---------------------------------------------------------
 */

/* Source: RFC 8259, sections 4 to 7. */
static void test_json_places_commas_names_and_escapes(void **state)
{
    struct text t = {0};
    struct json j = json_to(&t);

    (void)state;
    json_add_object(&j, NULL);
    json_add_string(&j, "code", "A\"3\\\n\x01");
    json_add_array(&j, "Lab");
    json_add_real(&j, NULL, 45.25, 1);
    json_add_real(&j, NULL, (double)NAN, 1);
    json_end(&j);
    json_add_object(&j, "empty");
    json_end(&j);
    json_add_bool(&j, "dry", true);
    json_add_whole(&j, "bath", -3);
    json_add_null(&j, "ph");
    json_add_string(&j, "bad", "caf\xE9 \xC3\xA4!");
    json_end(&j);
    check_text("object", text_str(&t),
               "{\"code\":\"A\\\"3\\\\\\n\\u0001\",\"Lab\":[45.3,null],"
               "\"empty\":{},\"dry\":true,\"bath\":-3,\"ph\":null,"
               "\"bad\":\"caf\xEF\xBF\xBD \xC3\xA4!\"}\n");
    text_clear(&t);
}

/* Source: RFC 4180, section 2, rules 5 to 7; blanks are quoted so that no
 * reader trims them. */
static void test_csv_field_is_quoted_only_when_it_must_be(void **state)
{
    static const char *const rows[][2] = {
        {"weld", "weld"},
        {"", ""},
        {"a,b", "\"a,b\""},
        {"½ tsp \"good glug\"", "\"½ tsp \"\"good glug\"\"\""},
        {"two\nlines", "\"two\nlines\""},
        {" x", "\" x\""},
        {"x\t", "\"x\t\""},
        {"=A1", "=A1"},
        {"\"", "\"\"\"\""},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct text t = {0};
        csv_field(&t, rows[i][0]);
        check_text(rows[i][0], text_str(&t), rows[i][1]);
        text_clear(&t);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_text_grows_and_is_handed_over),
        cmocka_unit_test(test_text_numbers_are_those_of_printf),
        cmocka_unit_test(test_text_utf8_is_told_from_other_bytes),
        cmocka_unit_test(test_text_width_counts_terminal_columns),
        cmocka_unit_test(test_text_fold_gives_one_key_for_one_name),
        cmocka_unit_test(test_text_same_and_contains_go_by_the_key),
        cmocka_unit_test(test_text_trim_drops_outer_blanks_only),
        cmocka_unit_test(test_text_real_reads_plain_decimals_only),
        cmocka_unit_test(test_text_whole_stops_at_64_bits),
        cmocka_unit_test(test_text_reals_wants_exactly_n),
        cmocka_unit_test(test_text_round_goes_half_away_from_zero_as_typed),
        cmocka_unit_test(test_text_keeps_the_point_under_a_comma_locale),
        cmocka_unit_test(test_json_places_commas_names_and_escapes),
        cmocka_unit_test(test_csv_field_is_quoted_only_when_it_must_be),
    };

    return cmocka_run_group_tests_name("text", tests, NULL, NULL);
}
