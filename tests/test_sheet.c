/* All that is known of a skein or a pot, in the order of its life. */
#include "support.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "book/pot.h"
#include "book/sheet.h"
#include "cli/sheet.h"

#define WORDS(...)                                                             \
    (struct pot_words)                                                         \
    {                                                                          \
        (const char *const[]){__VA_ARGS__},                                    \
            sizeof((const char *const[]){__VA_ARGS__}) / sizeof(const char *)  \
    }

static int fresh_book(void **state)
{
    struct error err;
    struct book *book;

    check_ok(book_open(":memory:", &book, &err), &err);
    *state = book;
    return 0;
}

static int close_book(void **state)
{
    book_close(*state);
    return 0;
}

static void logged(struct book *book, struct pot_entry pot)
{
    struct pot_result r;
    struct error err;

    check_ok(pot_log(book, &pot, &r, NULL, &err), &err);
    pot_result_clear(&r);
}

static int64_t added(struct book *book, enum noun_id noun,
                     const struct record_value *v, size_t n)
{
    struct error err;
    int64_t id = 0;

    check_ok(book_act_begin(book, "test", &err), &err);
    check_ok(record_add(book, noun, v, n, &id, NULL, &err), &err);
    check_ok(book_act_end(book, &err), &err);
    return id;
}

#define ADD(book, noun, ...)                                                   \
    added(book, noun, (struct record_value[]){__VA_ARGS__},                    \
          sizeof((struct record_value[]){__VA_ARGS__}) /                       \
              sizeof(struct record_value))

static struct skein_sheet sheet_of(struct book *book, const char *words)
{
    struct skein_sheet s;
    struct error err;
    int64_t id;

    check_ok(record_find(book, NOUN_SKEIN, words, &id, &err), &err);
    check_ok(sheet_of_skein(book, id, &s, &err), &err);
    return s;
}

static char *lacks_of(const struct skein_sheet *s)
{
    struct text t = {0};

    for (size_t i = 0; i < s->lacks; i++)
        text_addf(&t, "%s%s", i ? ", " : "", s->lacking[i]);
    return text_take(&t);
}

/* Two alum skeins and an iron one, dyed, dipped and read. */
static void madder(struct book *book)
{
    const struct pot_skein skein[] = {
        {.weight = "22 g", .dips = WORDS("iron: 2 %")},
        {.weight = "25 g"},
        {.weight = "48 g", .mordants = WORDS("iron: 2 %")},
    };

    logged(book, (struct pot_entry){.name = "madder",
                                    .on = "2026-05-03",
                                    .ph = "7-8",
                                    .temperature = "70",
                                    .minutes = "1 h",
                                    .water = "well",
                                    .dyestuffs = WORDS("madder: 60 % dry"),
                                    .mordants = WORDS("alum: 12 %"),
                                    .fibre = "grey wool",
                                    .skein = skein,
                                    .skein_count = 3});
}

static void a_life_comes_in_order_with_its_doses(void **state)
{
    struct book *book = *state;
    struct skein_sheet s;

    madder(book);
    s = sheet_of(book, "1");
    assert_int_equal(s.steps, 3);
    check_text("1", s.step[0].event.treatment, "mordant");
    check_text("2", s.step[1].event.treatment, "dye");
    check_text("3", s.step[2].event.treatment, "dip");
    assert_int_equal(s.step[0].doses.count, 1);
    /* 12 % of the 47 g on alum; 60 % of all 95 g; 2 % of the one dipped. */
    check_near("alum", s.step[0].doses.dose[0].low_g, 5.64, 1e-9);
    check_near("madder", s.step[1].doses.dose[0].low_g, 57, 1e-9);
    check_near("iron", s.step[2].doses.dose[0].low_g, 0.44, 1e-9);
    check_text("state", s.step[1].doses.dose[0].state, "dry");
    check_text("pH", s.step[1].ph, "7-8");
    skein_sheet_clear(&s);
}

static void a_reading_stands_after_its_step(void **state)
{
    struct book *book = *state;
    struct skein_sheet s;
    struct error err;
    int64_t *entry;
    size_t n;
    char after[24];

    madder(book);
    check_ok(record_children(book, NOUN_ENTRY, "skein", 1, &entry, &n, &err),
             &err);
    snprintf(after, sizeof after, "#%d", (int)entry[1]);
    free(entry);
    ADD(book, NOUN_READING, {"skein", "1"}, {"lab", "35,30,20"},
        {"u", "0.6,0.4,0.5"}, {"on", "2026-05-06"}, {"illuminant", "D50"},
        {"observer", "2"}, {"geometry", "45/0"});
    ADD(book, NOUN_READING, {"skein", "1"}, {"lab", "45,40,28"},
        {"after-entry", after}, {"on", "2026-05-04"}, {"illuminant", "D50"},
        {"observer", "2"}, {"geometry", "45/0"});
    s = sheet_of(book, "1");
    assert_int_equal(s.before.count, 0);
    assert_int_equal(s.step[0].readings.count, 0);
    assert_int_equal(s.step[1].readings.count, 1);
    assert_int_equal(s.step[2].readings.count, 1);
    check_near("L", s.step[1].readings.reading[0].lab.L, 45, 0);
    assert_true(isnan(s.step[1].readings.reading[0].u.L));
    check_near("u", s.step[2].readings.reading[0].u.b, 0.5, 1e-12);
    skein_sheet_clear(&s);
}

/* Two standard uncertainties, one decimal, and nothing that was not read. */
static void a_reading_is_one_line(void **state)
{
    struct book *book = *state;
    struct skein_sheet s;
    struct text line = {0};
    static const char d65[] = "L* 45.0  a* 0.0  b* 28.0  under D65, 10 degree; "
                              "by instrument, wet, exposed part, 2026-05-07 "
                              "(in the window)";
    static const char *const want[] = {
        "L* 35.0 \xC2\xB1"
        "1.2  a* 30.1 \xC2\xB1"
        "0.8  b* 20.0 \xC2\xB1"
        "1.0  moderate reddish brown; by instrument, borrowed, 2026-05-06",
        d65,
        "L* 20.0  a* 0.0  b* 0.0  black; judged by eye, 2026-05-08",
    };

    ADD(book, NOUN_SKEIN, {"name", "x"});
    ADD(book, NOUN_READING, {"skein", "1"}, {"lab", "35,30.05,20"},
        {"u", "0.6,0.4,0.5"}, {"on", "2026-05-06"}, {"instrument", "borrowed"},
        {"illuminant", "D50"}, {"observer", "2"}, {"geometry", "45/0"});
    ADD(book, NOUN_READING, {"skein", "1"}, {"lab", "45,-0.01,28"},
        {"illuminant", "D65"}, {"observer", "10"}, {"wet", "yes"},
        {"part", "exposed"}, {"on", "2026-05-07"}, {"note", "in the window"},
        {"geometry", "45/0"});
    ADD(book, NOUN_READING, {"skein", "1"}, {"lab", "20,0,0"},
        {"source", "eye"}, {"on", "2026-05-08"});
    s = sheet_of(book, "1");
    assert_int_equal(s.before.count, 3);
    for (size_t i = 0; i < 3; i++) {
        show_reading(&s.before.reading[i], false, &line);
        check_text("line", text_str(&line), want[i]);
        text_reset(&line);
    }
    text_clear(&line);
    skein_sheet_clear(&s);
}

static void what_is_not_recorded_is_named(void **state)
{
    struct book *book = *state;
    struct skein_sheet s;
    char *lacks;

    madder(book);
    ADD(book, NOUN_READING, {"skein", "2"}, {"lab", "45,40,28"},
        {"illuminant", "D50"}, {"observer", "2"}, {"geometry", "45/0"});
    s = sheet_of(book, "2");
    lacks = lacks_of(&s);
    check_text("all there", lacks, "");
    free(lacks);
    skein_sheet_clear(&s);

    logged(book, (struct pot_entry){.name = "x",
                                    .dyestuffs = WORDS("weld: 300 g", "tansy"),
                                    .skeins = "1"});
    s = sheet_of(book, "4");
    lacks = lacks_of(&s);
    check_text("task 14", lacks,
               "fibre, dry weight, whether fresh or dry: weld, how much tansy, "
               "mordant, day, pH, temperature, minutes, water, its colour now");
    free(lacks);
    skein_sheet_clear(&s);

    ADD(book, NOUN_SKEIN, {"name", "spare"});
    s = sheet_of(book, "spare");
    lacks = lacks_of(&s);
    check_text("not dyed", lacks, "fibre, dry weight, its colour now");
    assert_int_equal(s.steps, 0);
    free(lacks);
    skein_sheet_clear(&s);
}

static void no_mordant_on_purpose_is_recorded(void **state)
{
    struct book *book = *state;
    struct skein_sheet s;
    char *lacks;

    logged(book, (struct pot_entry){.name = "walnut",
                                    .mordants = WORDS("none"),
                                    .skeins = "1"});
    s = sheet_of(book, "1");
    lacks = lacks_of(&s);
    assert_null(strstr(lacks, "mordant"));
    assert_true(s.step[0].doses.dose[0].none);
    free(lacks);
    skein_sheet_clear(&s);
}

static void chrome_has_no_grams_on_a_sheet(void **state)
{
    struct book *book = *state;
    struct skein_sheet s;

    logged(book, (struct pot_entry){.name = "old",
                                    .mordants = WORDS("chrome: 3 %"),
                                    .weight = "100 g",
                                    .skeins = "1"});
    s = sheet_of(book, "1");
    check_text("chrome", s.step[0].doses.dose[0].understood,
               "recorded, never reckoned");
    assert_true(isnan(s.step[0].doses.dose[0].low_g));
    skein_sheet_clear(&s);
}

static void a_cut_skein_has_the_life_of_its_parent(void **state)
{
    struct book *book = *state;
    struct skein_sheet s;

    madder(book);
    ADD(book, NOUN_SKEIN, {"name", "piece"});
    ADD(book, NOUN_ORIGIN, {"child", "4"}, {"parent", "1"}, {"amount", "8 g"});
    logged(book,
           (struct pot_entry){.name = "blue",
                              .kind = "vat",
                              .dyestuffs = WORDS("indigo: 5 g"),
                              .skein = (struct pot_skein[]){{.which = "4"}},
                              .skein_count = 1});
    s = sheet_of(book, "4");
    assert_int_equal(s.steps, 5); /* three, the cut, the vat */
    assert_false(s.step[0].own);
    assert_int_equal(s.step[3].event.kind, LIFE_CUT);
    check_near("g", s.step[3].event.grams, 8, 1e-9);
    assert_true(s.step[4].own);
    check_text("vat", s.step[4].event.treatment, "vat");
    skein_sheet_clear(&s);
    s = sheet_of(book, "1");
    assert_int_equal(s.pieces, 1);
    skein_sheet_clear(&s);
}

/* The short form says the same, as far as it goes. */
static void check_head(struct book *book, int64_t bath,
                       const struct pot_sheet *whole)
{
    struct pot_head head;
    struct text facts = {0};
    struct error err;

    for (size_t i = 0; i < whole->doses.count; i++) {
        const struct sheet_dose *d = &whole->doses.dose[i];
        if (d->before_round <= 0)
            text_addf(&facts, "%s%s %s", facts.len ? ", " : "", d->what,
                      d->words ? d->words : "");
    }
    if (whole->rounds && whole->round[0].ph)
        text_addf(&facts, "%spH %s", facts.len ? ", " : "", whole->round[0].ph);
    check_ok(sheet_of_pot_head(book, bath, &head, &err), &err);
    check_text("name", head.name, record_get(&whole->bath, "name")->words);
    check_text("facts", head.facts, text_str(&facts));
    pot_head_clear(&head);
    text_clear(&facts);
    assert_false(sheet_of_pot_head(book, 99, &head, &err));
    assert_int_equal(err.kind, ERR_MISSING);
}

static void a_pot_comes_with_its_rounds_and_those_left_out(void **state)
{
    struct book *book = *state;
    struct pot_sheet s;
    struct error err;

    madder(book);
    logged(book, (struct pot_entry){.of = "1",
                                    .round = "exhaust 3",
                                    .dyestuffs = WORDS("weld: 50 %"),
                                    .weight = "20 g",
                                    .skeins = "1"});
    ADD(book, NOUN_READING, {"skein", "2"}, {"lab", "45,40,28"},
        {"illuminant", "D50"}, {"observer", "2"}, {"geometry", "45/0"});
    ADD(book, NOUN_PH, {"bath", "1"}, {"ph", "5"}, {"moment", "stored"});
    check_ok(sheet_of_pot(book, 1, &s, &err), &err);
    check_head(book, 1, &s);
    assert_int_equal(s.rounds, 2);
    assert_int_equal(s.round[0].entries, 3);
    assert_int_equal(s.round[1].entries, 1);
    assert_int_equal(s.skips, 2);
    assert_int_equal(s.skipped[0], 1);
    assert_int_equal(s.skipped[1], 2);
    assert_int_equal(s.phs, 1);
    check_text("pH", s.round[0].ph, "7-8");
    check_text("mordant", s.round[0].entry[2].mordants, "iron");
    assert_true(s.round[0].entry[1].has_colour);
    assert_false(s.round[0].entry[0].has_colour);
    /* Each dose on the fibre of its own round. */
    check_near("madder", s.doses.dose[0].low_g, 57, 1e-9);
    check_near("weld", s.doses.dose[1].low_g, 10, 1e-9);
    pot_sheet_clear(&s);
    assert_false(sheet_of_pot(book, 99, &s, &err));
    assert_int_equal(err.kind, ERR_MISSING);
}

static void a_liquor_poured_over_brings_its_dyestuff(void **state)
{
    struct book *book = *state;
    struct skein_sheet s;

    madder(book);
    logged(book, (struct pot_entry){.name = "jars",
                                    .poured = WORDS("1: 2 l"),
                                    .round = "exhaust 1",
                                    .skeins = "1"});
    s = sheet_of(book, "4");
    assert_int_equal(s.step[0].doses.count, 1);
    check_text("what", s.step[0].doses.dose[0].what, "madder");
    check_text("from", s.step[0].doses.dose[0].from, "1");
    skein_sheet_clear(&s);
}

#define TEST(f) cmocka_unit_test_setup_teardown(f, fresh_book, close_book)

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST(a_life_comes_in_order_with_its_doses),
        TEST(a_reading_stands_after_its_step),
        TEST(a_reading_is_one_line),
        TEST(what_is_not_recorded_is_named),
        TEST(no_mordant_on_purpose_is_recorded),
        TEST(chrome_has_no_grams_on_a_sheet),
        TEST(a_cut_skein_has_the_life_of_its_parent),
        TEST(a_pot_comes_with_its_rounds_and_those_left_out),
        TEST(a_liquor_poured_over_brings_its_dyestuff),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
