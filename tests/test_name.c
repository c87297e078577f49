/* src/colour/name.c and name_table.c against NBS Special Publication 440. */
#include "support.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "colour/name.h"

/* "gray" of the American source as "grey"; release with free(). */
static char *british(const char *s)
{
    char *copy = mem_text(s), *p = copy;

    while ((p = strstr(p, "gray")))
        p[2] = 'e';
    return copy;
}

static void check_british(const char *row, const char *got,
                          const char *american)
{
    char *want = british(american);

    check_text(row, got, want);
    free(want);
}

/* ---- the table -----------------------------------------------------------*/

/* Kelly 1958 and NBS SP 440 as transcribed; see the file's columns. */
static void test_table_is_the_published_one(void **state)
{
    struct table t = table_read("nbs-names.csv");

    (void)state;
    assert_int_equal(t.rows, COLOUR_NAMES);
    for (size_t i = 0; i < t.rows; i++) {
        const struct colour_name *c = &colour_names[i];
        const char *row = table_text(&t, i, "number");

        assert_int_equal(c->number, table_real(&t, i, "number"));
        assert_int_equal(c->number, i + 1);
        check_british(row, c->name, table_text(&t, i, "name"));
        check_british(row, c->family, table_text(&t, i, "level1"));
        check_british(row, c->group, table_text(&t, i, "level2"));
        check_british(row, c->modifier, table_text(&t, i, "modifier"));
        check_british(row, c->hue, table_text(&t, i, "hue_name"));
        check_near(row, c->centroid.L, table_real(&t, i, "L_D50"), 1e-9);
        check_near(row, c->centroid.a, table_real(&t, i, "a_D50"), 1e-9);
        check_near(row, c->centroid.b, table_real(&t, i, "b_D50"), 1e-9);
    }
    table_clear(&t);
}

/* SP 440 Tables 2 and 3: 29 groups, each a run of numbers, in 13 families. */
static void test_groups_and_families_are_those_of_sp_440(void **state)
{
    struct table t = table_read("nbs-levels.csv");
    size_t covered = 0, families = 0;

    (void)state;
    assert_int_equal(t.rows, 29);
    for (size_t i = 0; i < t.rows; i++) {
        const char *group = table_text(&t, i, "level2");
        const char *family = table_text(&t, i, "level1");
        size_t from = (size_t)table_real(&t, i, "first_number");
        size_t to = (size_t)table_real(&t, i, "last_number");
        bool seen = false;

        for (size_t k = 0; k < i; k++)
            seen |= !strcmp(table_text(&t, k, "level1"), family);
        families += !seen;
        for (size_t n = from; n <= to; n++) {
            check_british(group, colour_names[n - 1].group, group);
            check_british(group, colour_names[n - 1].family, family);
            covered++;
        }
    }
    assert_int_equal(covered, COLOUR_NAMES);
    assert_int_equal(families, 13);
    table_clear(&t);
}

static void test_a_name_is_its_modifier_and_its_hue(void **state)
{
    char whole[64];

    (void)state;
    for (size_t i = 0; i < COLOUR_NAMES; i++) {
        const struct colour_name *c = &colour_names[i];
        /* "blackish red" and the like have a modifier too */
        const char *gap = *c->modifier ? " " : "";

        snprintf(whole, sizeof whole, "%s%s%s", c->modifier, gap, c->hue);
        check_text(c->name, whole, c->name);
        for (size_t k = 0; k < i; k++)
            assert_string_not_equal(colour_names[k].name, c->name);
    }
}

/* ---- nearest -------------------------------------------------------------*/

static void test_each_middle_has_its_own_name(void **state)
{
    (void)state;
    for (size_t i = 0; i < COLOUR_NAMES; i++)
        assert_ptr_equal(colour_name_nearest(colour_names[i].centroid),
                         &colour_names[i]);
}

/* 127 matte Munsell notations: the nearest middle as another program finds
 * it, and how often that is the name of SP 440's own block. */
static void
test_nearest_agrees_with_another_program_and_mostly_with_blocks(void **state)
{
    struct table t = table_read("nbs-lookup-check.csv");
    int same = 0, name = 0, inner = 0, inner_name = 0, family = 0;

    (void)state;
    assert_int_equal(t.rows, 127);
    for (size_t i = 0; i < t.rows; i++) {
        const char *munsell = table_text(&t, i, "munsell");
        const int want = (int)table_real(&t, i, "nearest_centroid_dE00");
        const double block = table_real(&t, i, "block_number");
        const struct lab at = {table_real(&t, i, "L_D50"),
                               table_real(&t, i, "a_D50"),
                               table_real(&t, i, "b_D50")};
        const struct colour_name *c = colour_name_nearest(at);
        char *level1 = british(table_text(&t, i, "level1"));

        assert_non_null(c);
        /* two decimals of Lab are given: a tie within them may go either way */
        check_near(munsell, lab_de00(at, c->centroid),
                   lab_de00(at, colour_names[want - 1].centroid), 0.01);
        same += c->number == want;
        name += c->number == block;
        family += !strcmp(c->family, level1);
        if (table_real(&t, i, "on_block_edge") == 0) {
            inner++;
            inner_name += c->number == block;
        }
        free(level1);
    }
    assert_true(same >= 125);
    /* over 1269 notations 71 % and 90 %; 83 % off the edges of blocks */
    assert_true(name >= 0.65 * 127 && family >= 0.85 * 127);
    assert_true(inner_name >= 0.8 * inner);
    table_clear(&t);
}

/* Held against every middle; of several as near, the first. */
static const struct colour_name *nearest_of_all(struct lab at)
{
    const struct colour_name *nearest = NULL;

    for (size_t i = 0; i < COLOUR_NAMES; i++)
        if (!nearest || lab_de00(at, colour_names[i].centroid) <
                            lab_de00(at, nearest->centroid))
            nearest = &colour_names[i];
    return nearest;
}

static void test_nearest_is_that_of_all(void **state)
{
    (void)state;
    for (int i = 0; i < 20000; i++) {
        const double L = i * 0.618034, a = i * 0.754878, b = i * 0.569840;
        const double wide = i % 4 ? 1 : 3;
        const struct lab at = {50 + (L - floor(L) - 0.5) * 110 * wide,
                               (a - floor(a) - 0.5) * 140 * wide,
                               (b - floor(b) - 0.5) * 140 * wide};

        assert_ptr_equal(colour_name_nearest(at), nearest_of_all(at));
    }
}

static void test_a_colour_that_is_no_number_has_no_name(void **state)
{
    (void)state;
    assert_null(colour_name_nearest((struct lab){(double)NAN, 0, 0}));
    assert_null(colour_name_nearest((struct lab){50, (double)INFINITY, 0}));
    assert_non_null(colour_name_nearest((struct lab){-3, 0, 0}));
    assert_non_null(colour_name_nearest((struct lab){120, 200, -200}));
}

/* ---- words ---------------------------------------------------------------*/

/* "94-96 106-114" from the marks. */
static void runs(const bool in[COLOUR_NAMES], char *out, size_t size)
{
    size_t len = 0;

    out[0] = '\0';
    for (size_t i = 0; i < COLOUR_NAMES; i++) {
        size_t to = i;

        if (!in[i])
            continue;
        while (to + 1 < COLOUR_NAMES && in[to + 1])
            to++;
        len += (size_t)snprintf(out + len, size - len,
                                to > i ? "%s%zu-%zu" : "%s%zu", len ? " " : "",
                                i + 1, to + 1);
        i = to;
    }
}

/* The numbers are SP 440's. */
static const struct {
    const char *words, *want;
} meanings[] = {
    /* families, groups, hues */
    {"olive", "94-96 106-114 123-128"},
    {"olive brown", "94-96"},
    {"olive green", "123-128"},
    {"brown", "40-47 55-65 74-81"},
    {"yellow green", "115-122"},
    {"yellowish green", "129-138"},
    {"green", "129-166"},
    {"yellow", "66-73 82-93 97-105"},
    {"red", "11-24 254-262"},
    {"pink", "1-10 25-33 246-253"},
    {"purple", "205-245"},
    {"violet", "205-215"},
    {"olive black", "114"},
    {"brownish orange", "54"},
    /* plain and tinged white, grey and black */
    {"white", "9 92 153 189 231 263"},
    {"grey", "10 22-23 63-64 93 112-113 154-156 190-192 232-234 264-266"},
    {"black", "24 65 114 157 193 235 267"},
    {"dark grey", "23 156 192 234 266"},
    {"yellowish white", "92"},
    /* whole names */
    {"dark greyish purple", "229"},
    {"greyish purple", "228"},
    {"dark olive brown", "96"},
    {"vivid pink", "1"},
    {"very light purplish blue", "198"},
    {"blackish red", "21"},
    /* a modifier the hue does not come with */
    {"light red", "18 261"},
    {"dark orange", "38"},
    {"pale olive", ""},
    /* half a name */
    {"greyish brown", "61"},
    {"brilliant", "49 67 83 98 116 130 140 159 168 177 195 206 217 246"},
    {"very dark", "17 138 147 166 175 225 243 260"},
    {"pinkish", "9-10"},
    {"reddish grey", "22-23"},
    /* spelling, case, blanks, inflections */
    {"Olive", "94-96 106-114 123-128"},
    {"  OLIVES ", "94-96 106-114 123-128"},
    {"dark grayish purple", "229"},
    {"Dark  Grayish-Purple!", "229"},
    {"yellow-green", "115-122"},
    {"gray", "10 22-23 63-64 93 112-113 154-156 190-192 232-234 264-266"},
    {"grays", "10 22-23 63-64 93 112-113 154-156 190-192 232-234 264-266"},
    {"browns", "40-47 55-65 74-81"},
    {"yellowy green", "129-138"},
    {"blueish green", "158-166"},
    {"olive-coloured", "94-96 106-114 123-128"},
    {"olive color", "94-96 106-114 123-128"},
    /* nonsense */
    {"", ""},
    {"   ", ""},
    {"-", ""},
    {"s", ""},
    {"colour", ""},
    {"oliv", ""},
    {"liv", ""},
    {"ish", ""},
    {"olive olive", ""},
    {"purple dark", ""},
    {"karhunk\xc3\xa4\xc3\xa4p\xc3\xa4", ""},
    {"vihre\xc3\xa4", ""},
    {"xyzzy", ""},
    {"dark xyzzy", ""},
    {"a very dark greyish reddish purple indeed", ""},
    {"incomprehensibilities", ""},
    {"'; DROP TABLE skein", ""},
    {"\xff\xfe\x01", ""},
};
static void test_words_mean_names(void **state)
{
    char got[512];

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(meanings); i++) {
        bool in[COLOUR_NAMES];
        size_t count = 999, marked = 0;
        bool found = colour_name_match(meanings[i].words, in, &count);

        runs(in, got, sizeof got);
        check_text(meanings[i].words, got, meanings[i].want);
        for (size_t k = 0; k < COLOUR_NAMES; k++)
            marked += in[k];
        assert_int_equal(marked, count);
        assert_int_equal(found, count > 0);
        assert_int_equal(found, *meanings[i].want != '\0');
    }
}

static void test_greyish_alone_means_every_greyish_name(void **state)
{
    static const char *const words[] = {"greyish", "grayish", "GRAYISH"};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(words); i++) {
        bool in[COLOUR_NAMES];
        size_t count;

        assert_true(colour_name_match(words[i], in, &count));
        /* 20 greyish, 10 dark greyish, 6 light greyish */
        assert_int_equal(count, 36);
        for (size_t k = 0; k < COLOUR_NAMES; k++)
            assert_int_equal(in[k],
                             strstr(colour_names[k].name, "greyish") != NULL);
    }
}

static void test_every_name_finds_itself_and_its_kin(void **state)
{
    (void)state;
    for (size_t i = 0; i < COLOUR_NAMES; i++) {
        const struct colour_name *c = &colour_names[i];
        const char *words[] = {c->name, c->hue, c->group, c->family};

        for (size_t k = 0; k < ARRAY_LEN(words); k++) {
            bool in[COLOUR_NAMES];

            assert_true(colour_name_match(words[k], in, NULL));
            if (!in[i])
                fail_msg("\"%s\" does not find \"%s\"", words[k], c->name);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_table_is_the_published_one),
        cmocka_unit_test(test_groups_and_families_are_those_of_sp_440),
        cmocka_unit_test(test_a_name_is_its_modifier_and_its_hue),
        cmocka_unit_test(test_each_middle_has_its_own_name),
        cmocka_unit_test(
            test_nearest_agrees_with_another_program_and_mostly_with_blocks),
        cmocka_unit_test(test_nearest_is_that_of_all),
        cmocka_unit_test(test_a_colour_that_is_no_number_has_no_name),
        cmocka_unit_test(test_words_mean_names),
        cmocka_unit_test(test_greyish_alone_means_every_greyish_name),
        cmocka_unit_test(test_every_name_finds_itself_and_its_kin),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
