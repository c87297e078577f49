/* Questions to the book: each thing that can be asked by itself. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "ask_support.h"

/* Skeins that pass one filter, or several ("name=words;name=words"). */
static char *asked(const char *words)
{
    struct ask_filter f = ask_filter_any();
    struct ask_skeins got;
    struct error err;
    struct text t = {0};
    char *copy = mem_text(words), *save = NULL;

    for (char *s = strtok_r(copy, ";", &save); s;
         s = strtok_r(NULL, ";", &save)) {
        char *equals = strchr(s, '=');
        *equals = '\0';
        check_ok(ask_filter_read(ask_book, &f, s, equals + 1, &err), &err);
    }
    check_ok(ask_skeins(ask_book, &f, 0, &got, &err), &err);
    for (size_t i = 0; i < got.count; i++)
        text_addf(&t, "%s%s", i ? " " : "", got.skein[i].label);
    ask_skeins_free(&got);
    free(copy);
    return text_take(&t);
}

static void check_asked(const char *words, const char *want)
{
    char *got = asked(words);

    check_text(words, got, want);
    free(got);
}

/* ---- filters --------------------------------------------------------------
 */

static void skeins_are_found_by_day_with_what_may_be(void **state)
{
    (void)state;
    ADD(NOUN_MATERIAL, {"name", "madder"});
    ask_pot("kettle", "100 %");
    ask_dye("kettle", "first", "2026-05-03");
    ask_dye("kettle", "exhaust 1", "summer 2019");
    ask_dye("kettle", "exhaust 2", NULL);
    ask_dye("kettle", "exhaust 3", "2019");
    check_asked("date=2026-05-03", "1");
    check_asked("date=May 2026", "1");
    check_asked("date=July 2019", "2 4");
    check_asked("date=2019", "2 4");
    check_asked("date=2018", "");
}

static void skeins_are_found_by_round_and_bath(void **state)
{
    (void)state;
    ADD(NOUN_MATERIAL, {"name", "madder"});
    ask_pot("kettle", "100 %");
    ask_pot("jar", "100 %");
    ask_dye("kettle", "first", NULL);
    ask_dye("kettle", "exhaust 2", NULL);
    ask_dye("jar", "exhaust 2", NULL);
    check_asked("round=first", "1");
    check_asked("round=exhaust 2", "2 3");
    check_asked("round=exhaust 2;bath=jar", "3");
    check_asked("bath=kettle", "1 2");
}

static void ph_of_the_dye_goes_before_that_of_its_bath(void **state)
{
    char treatment[24];

    (void)state;
    ADD(NOUN_MATERIAL, {"name", "madder"});
    ask_pot("kettle", "100 %");
    ADD(NOUN_PH, {"ph", "7-8"}, {"bath", "kettle"});
    ask_dye("kettle", "first", NULL);
    snprintf(treatment, sizeof treatment, "#%lld",
             (long long)ask_dye("kettle", "exhaust 1", NULL));
    ADD(NOUN_PH, {"ph", "9.5 meter"}, {"treatment", treatment});
    check_asked("ph=7..8", "1");
    check_asked("ph=8", "1");
    check_asked("ph=9..", "2");
    check_asked("ph=..14", "1 2");
    check_asked("ph=8.1..9.4", "");
}

static void dyestuff_per_fibre_is_reckoned_on_the_round_it_was_for(void **state)
{
    (void)state;
    ADD(NOUN_MATERIAL, {"name", "madder"});
    ask_pot("percent", "50 %");
    ask_pot("grams", "40 g");
    ask_pot("ratio", "3:1");
    ask_pot("handful", "a handful");
    ask_dye("percent", "first", NULL);
    ask_dye("grams", "first", NULL);     /* 40 g on 20 g: 200 % */
    ask_dye("grams", "exhaust 1", NULL); /* an exhaust adds nothing */
    ask_dye("ratio", "first", NULL);
    ask_dye("handful", "first", NULL);
    check_asked("per-fibre=50", "1");
    check_asked("per-fibre=150..250", "2 3");
    check_asked("per-fibre=300", "4");
    check_asked("per-fibre=0..1000000", "1 2 3 4");
    ADD(NOUN_DOSE, {"material", "madder"}, {"bath", "grams"},
        {"before-round", "exhaust 1"}, {"amount", "10 %"});
    check_asked("per-fibre=200", "2");
    check_asked("per-fibre=210", "3");
    ADD(NOUN_POUR, {"bath", "ratio"}, {"parent", "percent"});
    check_asked("per-fibre=0..1000000", "1 2 3"); /* what is in it now? */
}

static void skeins_are_found_by_supply_water_fibre_and_owner(void **state)
{
    (void)state;
    ADD(NOUN_MATERIAL, {"name", "madder"});
    ADD(NOUN_DYER, {"name", "Aino"});
    ADD(NOUN_SUPPLY, {"material", "madder"}, {"name", "roots from the bed"});
    ADD(NOUN_BATH, {"name", "kettle"}, {"water", "rain"});
    ADD(NOUN_BATH, {"name", "jar"}, {"water", "tap"});
    ADD(NOUN_DOSE, {"material", "madder"}, {"bath", "kettle"},
        {"supply", "roots from the bed"});
    ask_dye("kettle", "first", NULL);
    ask_dye("jar", "first", NULL);
    ADD(NOUN_SKEIN, {"fibre", "two-ply"});
    check_asked("supply=roots from the bed", "1");
    check_asked("water=rain", "1");
    check_asked("water=tap", "2");
    check_asked("fibre=two-ply", "3");
    check_asked("owner=me", "1 2 3");
    check_asked("owner=aino", "");
    ADD(NOUN_POUR, {"bath", "jar"}, {"parent", "kettle"});
    check_asked("supply=roots from the bed", "1 2");
}

static void a_bath_of_a_mordant_is_looked_for_in_the_whole_life(void **state)
{
    (void)state;
    ADD(NOUN_MATERIAL, {"name", "madder"});
    ADD(NOUN_MATERIAL, {"name", "alum"}, {"kind", "mordant"});
    ADD(NOUN_BATH, {"name", "alum pot"}, {"kind", "mordant"});
    ask_pot("kettle", "100 %");
    ADD(NOUN_SKEIN, {"name", "a"});
    ADD(NOUN_TREATMENT, {"kind", "mordant"}, {"bath", "alum pot"});
    ADD(NOUN_ENTRY, {"skein", "1"}, {"treatment", "#1"});
    ADD(NOUN_TREATMENT, {"kind", "dye"}, {"bath", "kettle"});
    ADD(NOUN_ENTRY, {"skein", "1"}, {"treatment", "#2"});
    ADD(NOUN_SKEIN, {"name", "b"});
    check_asked("bath=alum pot", "1");
    ADD(NOUN_ORIGIN, {"child", "2"}, {"parent", "1"});
    check_asked("bath=alum pot", "1 2");
    check_asked("bath=kettle", "1 2");
}

static void unfinished_and_glowing_skeins_are_found(void **state)
{
    (void)state;
    ADD(NOUN_SKEIN, {"finished", "no"});
    ADD(NOUN_SKEIN, {"finished", "yes"});
    ADD(NOUN_SKEIN, {"name", "c"});
    check_asked("unfinished=", "1");
    check_asked("glow=any", "");
    ask_photo("1", 1, 0, "phone", "");
    ADD(NOUN_SIGHT, {"photo", "#1"}, {"skein", "1"}, {"glow", "none"});
    ADD(NOUN_SIGHT, {"photo", "#1"}, {"skein", "2"}, {"glow", "strong"});
    ADD(NOUN_SIGHT, {"photo", "#1"}, {"skein", "3"}, {"glow", "faint"});
    check_asked("glow=any", "2 3");
    check_asked("glow=none", "1");
    check_asked("glow=Strong", "2");
}

static void what_cannot_be_asked_is_said_in_one_line(void **state)
{
    static const struct {
        const char *name, *words, *part;
    } rows[] = {
        {"ph", "15", "ph: write a range"},
        {"ph", "8..7", "ph: write a range"},
        {"ph", "warm", "ph: write a range"},
        {"ph", "", "ph: write a range"},
        {"per-fibre", "-3", "per-fibre: write a range"},
        {"round", "last", "round"},
        {"date", "when the birch was green", "on"},
        {"date", "unknown", "date: write a day"},
        {"part", "left", "part: write whole"},
        {"glow", "green", "glow: write any"},
        {"dyestuff", "madder", "there is no material"},
        {"mood", "good", "not found by mood"},
    };
    struct error err;

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct ask_filter f = ask_filter_any();
        if (ask_filter_read(ask_book, &f, rows[i].name, rows[i].words, &err))
            fail_msg("%s %s was taken", rows[i].name, rows[i].words);
        if (!strstr(err.text, rows[i].part))
            fail_msg("got \"%s\", want \"%s\" in it", err.text, rows[i].part);
    }
}

/* ---- find -----------------------------------------------------------------
 */

static struct find_answer found(const char *words, int64_t like)
{
    struct find_request r = {.filter = ask_filter_any(),
                             .words = words,
                             .like = like,
                             .tolerance = 2};
    struct find_answer a;
    struct error err;

    check_ok(ask_find(ask_book, &r, &a, &err), &err);
    return a;
}

static void own_words_are_found_in_part_and_any_case(void **state)
{
    struct find_answer a;

    (void)state;
    ADD(NOUN_SKEIN, {"colour", "Fox  in the Snow"});
    ADD(NOUN_SKEIN, {"colour", "\xC3\x84iti's green"});
    ADD(NOUN_SKEIN, {"name", "fox"});
    a = found("fox in", 0);
    assert_int_equal(a.count, 1);
    assert_int_equal(a.row[0].skein.number, 1);
    assert_true(a.row[0].by_word && !a.row[0].by_colour && !a.ranked);
    find_answer_clear(&a);
    a = found("\xC3\xA4iti", 0);
    assert_int_equal(a.count, 1);
    find_answer_clear(&a);
    a = found("nothing like it", 0);
    assert_int_equal(a.count + a.names + a.left_out[ASK_NEVER], 0);
    find_answer_clear(&a);
}

static void an_own_word_is_listed_without_a_reading(void **state)
{
    struct find_answer a;

    (void)state;
    ADD(NOUN_SKEIN, {"colour", "olive, I think"});
    ADD(NOUN_SKEIN, {"name", "measured"});
    ADD(NOUN_SKEIN, {"name", "never measured"});
    ADD(NOUN_SKEIN, {"colour", "not quite olive"});
    ADD(NOUN_READING, {"skein", "2"}, {"lab", "42,-2,25"},
        {"illuminant", "D50"}, {"observer", "2"}, {"geometry", "45/0"});
    ADD(NOUN_READING, {"skein", "4"}, {"lab", "42,60,25"},
        {"illuminant", "D50"}, {"observer", "2"}, {"geometry", "45/0"});
    a = found("olive", 0);
    assert_int_equal(a.count, 3);
    assert_int_equal(a.row[0].skein.number, 2);
    assert_true(a.row[0].by_colour);
    assert_int_equal(a.row[1].skein.number, 4); /* red, yet called olive */
    assert_true(a.row[1].by_word && !a.row[1].by_colour);
    assert_int_equal(a.row[2].skein.number, 1);
    assert_true(isnan(a.row[2].de00));
    assert_int_equal(a.left_out[ASK_NEVER], 1);
    find_answer_clear(&a);
}

static void the_first_few_that_photos_cannot_tell_are_named(void **state)
{
    struct find_answer a;

    (void)state;
    for (int i = 0; i < 4; i++)
        ADD(NOUN_SKEIN, {"name", "x"});
    ADD(NOUN_READING, {"skein", "1"}, {"lab", "42,-2,25"}, {"u", ".5,.5,.5"},
        {"illuminant", "D50"}, {"observer", "2"}, {"geometry", "45/0"});
    ADD(NOUN_READING, {"skein", "2"}, {"lab", "42,-2,26"}, {"u", ".5,.5,.5"},
        {"illuminant", "D50"}, {"observer", "2"}, {"geometry", "45/0"});
    ADD(NOUN_READING, {"skein", "3"}, {"lab", "42,-1.5,27"}, {"u", ".5,.5,.5"},
        {"illuminant", "D50"}, {"observer", "2"}, {"geometry", "45/0"});
    ADD(NOUN_READING, {"skein", "4"}, {"lab", "60,40,25"}, {"u", ".5,.5,.5"},
        {"illuminant", "D50"}, {"observer", "2"}, {"geometry", "45/0"});
    a = found(NULL, 1);
    assert_true(a.has_like && a.ranked);
    assert_int_equal(a.count, 3); /* the asked one is not an answer */
    assert_int_equal(a.tied, 2);
    assert_false(a.tied_by_photo);
    assert_int_equal(a.row[0].skein.number, 2);
    assert_int_equal(a.row[0].compared.verdict != VERDICT_DIFFERENT, 1);
    assert_int_equal(a.row[2].compared.verdict, VERDICT_DIFFERENT);
    find_answer_clear(&a);
}

static void equal_colours_stand_by_number(void **state)
{
    struct find_request r = {.filter = ask_filter_any(),
                             .has_target = true,
                             .target = {42, -2, 25},
                             .tolerance = 2};
    static const char *const number[] = {"7", "3", "12", "5", "1"};
    struct find_answer a;
    struct error err;

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(number); i++) {
        ADD(NOUN_SKEIN, {"number", number[i]});
        ADD(NOUN_READING, {"skein", number[i]}, {"lab", "50,0,20"},
            {"illuminant", "D50"}, {"observer", "2"}, {"geometry", "45/0"});
    }
    check_ok(ask_find(ask_book, &r, &a, &err), &err);
    assert_int_equal(a.count, 5);
    for (size_t i = 1; i < a.count; i++)
        assert_true(a.row[i].skein.number > a.row[i - 1].skein.number);
    assert_int_equal(a.tied, 5);
    find_answer_clear(&a);
    r.limit = 2;
    check_ok(ask_find(ask_book, &r, &a, &err), &err);
    assert_int_equal(a.count, 2);
    assert_int_equal(a.found, 5);
    assert_int_equal(a.row[1].skein.number, 3);
    find_answer_clear(&a);
}

static void a_skein_without_a_colour_cannot_be_asked_for(void **state)
{
    struct find_request r = {.filter = ask_filter_any(), .tolerance = 2};
    struct find_answer a;
    struct error err;

    (void)state;
    r.like = ADD(NOUN_SKEIN, {"name", "a"});
    assert_false(ask_find(ask_book, &r, &a, &err));
    check_text("why", err.text, "skein 1: not measured");
    ADD(NOUN_READING, {"skein", "1"}, {"lab", "42,-2,25"}, {"wet", "yes"},
        {"illuminant", "D50"}, {"observer", "2"}, {"geometry", "45/0"});
    assert_false(ask_find(ask_book, &r, &a, &err));
    check_text("why", err.text, "skein 1: read wet only");
    r.filter.wet = true;
    check_ok(ask_find(ask_book, &r, &a, &err), &err);
    find_answer_clear(&a);
}

#define T(f) cmocka_unit_test_setup_teardown(f, ask_book_open, ask_book_close)

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(skeins_are_found_by_day_with_what_may_be),
        T(skeins_are_found_by_round_and_bath),
        T(ph_of_the_dye_goes_before_that_of_its_bath),
        T(dyestuff_per_fibre_is_reckoned_on_the_round_it_was_for),
        T(skeins_are_found_by_supply_water_fibre_and_owner),
        T(a_bath_of_a_mordant_is_looked_for_in_the_whole_life),
        T(unfinished_and_glowing_skeins_are_found),
        T(what_cannot_be_asked_is_said_in_one_line),
        T(own_words_are_found_in_part_and_any_case),
        T(an_own_word_is_listed_without_a_reading),
        T(the_first_few_that_photos_cannot_tell_are_named),
        T(equal_colours_stand_by_number),
        T(a_skein_without_a_colour_cannot_be_asked_for),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
