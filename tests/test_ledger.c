/* A list from a spreadsheet: what its bytes are read as, and what becomes of
 * its rows. */
#include "support.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "book/history.h"
#include "book/ledger.h"
#include "book/record.h"

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

static bool opened(const char *bytes, size_t size, struct ledger *l,
                   struct error *err)
{
    const struct exchange_file file = {.data = (const unsigned char *)bytes,
                                       .size = size};

    return ledger_open(&file, l, err);
}

static struct ledger list_of(const char *text)
{
    struct ledger l;
    struct error err;

    check_ok(opened(text, strlen(text), &l, &err), &err);
    return l;
}

/* Takes a text in; the rows that are bad are left in taken. */
static bool taken(struct book *book, const char *text, const char *all,
                  struct ledger_taken *out, struct error *err)
{
    struct ledger l = list_of(text);
    bool ok;

    if (all)
        check_ok(ledger_for_all(&l, all, err), err);
    ok = ledger_take(book, &l, false, out, err);
    ledger_close(&l);
    return ok;
}

static size_t count_of(struct book *book, enum noun_id noun)
{
    int64_t *ids;
    size_t n;
    struct error err;

    check_ok(record_ids(book, noun, false, &ids, &n, &err), &err);
    free(ids);
    return n;
}

/* Quoting as RFC 4180 has it; the rest as spreadsheets are known to write. */
static void test_cells_are_read_as_sheets_write_them(void **state)
{
    static const struct {
        const char *row, *bytes, *want; /* cells of all rows, "|" between */
    } rows[] = {
        {"commas", "Name,Colour\na,b\n", "a|b"},
        {"semicolons, no end of line", "Name;Colour\na;b", "a|b"},
        {"tabs", "Name\tColour\na\t\n", "a|"},
        {"sep=", "sep=|\r\nName|Colour\r\na|b;c\r\n", "a|b;c"},
        {"quoted separator", "Name,Colour\n\"a,1\",b\n", "a,1|b"},
        {"quote twice", "Name,Colour\n\"say \"\"a\"\"\",b\n", "say \"a\"|b"},
        {"quote inside", "Name,Colour\n6\" hank,b\n", "6\" hank|b"},
        {"line break", "Name,Colour\r\n\"a\r\nb\",c\r\n", "a\r\nb|c"},
        {"old line ends", "Name,Colour\ra,b\rc,d\r", "a|b|c|d"},
        {"empty rows", "\n\nName,Colour\n,\n\na,b\n , \n", "a|b"},
        {"short row", "Name,Colour\na\n", "a|"},
        {"empty cells behind", "Name,Colour,,\na,b,,\n", "a|b"},
        {"outer blanks", "Name,Colour\n  a , \" b \"\n", "a|b"},
        {"mark", "\xEF\xBB\xBFName,Colour\n\xC3\xA4,b\n", "\xC3\xA4|b"},
        {"Latin-1", "Name,Colour\n\xE4,\x80\n", "\xC3\xA4|\xE2\x82\xAC"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct ledger l = list_of(rows[i].bytes);
        struct text got = {0};
        for (size_t c = 0; c < l.rows * l.columns; c++)
            text_addf(&got, "%s%s", c ? "|" : "",
                      ledger_cell(&l, c / l.columns, c % l.columns));
        check_text(rows[i].row, text_str(&got), rows[i].want);
        check_text(rows[i].row, l.column[0].heading, "Name");
        text_clear(&got);
        ledger_close(&l);
    }
}

static void test_utf16_is_read_with_and_without_its_mark(void **state)
{
    static const char bytes[] = "\xFE\xFF\0N\0a\0m\0e\0\n\0\xE4\0\n";

    (void)state;
    for (size_t skip = 0; skip <= 2; skip += 2) {
        struct ledger l;
        struct error err;
        check_ok(opened(bytes + skip, sizeof bytes - 1 - skip, &l, &err), &err);
        check_text("UTF-16", ledger_cell(&l, 0, 0), "\xC3\xA4");
        check_text("UTF-16", l.charset, "UTF-16BE");
        ledger_close(&l);
    }
}

static void test_a_row_knows_on_which_line_it_begins(void **state)
{
    struct ledger l = list_of("Name,Note\n\na,\"x\n\ny\"\n\r\nb,z\n,\nc,\n");

    (void)state;
    assert_int_equal(l.rows, 3);
    assert_int_equal(l.line[0], 3);
    assert_int_equal(l.line[1], 7);
    assert_int_equal(l.line[2], 9);
    ledger_close(&l);
}

static void test_headings_are_known_by_common_names_and_units(void **state)
{
    static const struct {
        const char *heading, *is, *unit;
    } rows[] = {
        {"Yarn", "fibre", ""},
        {"Weight (oz)", "weight", "oz"},
        {"weight_g", "weight", "g"},
        {"Weight in lbs", "weight", "lb"},
        {"Grams", "weight", "g"},
        {"Mordant", "mordant", ""},
        {"Mordant %", "mordant-amount", "%"},
        {"Mordant (% WOF)", "mordant-amount", "%"},
        {"Dye", "dyestuff", ""},
        {"Dye weight [g]", "dyestuff-amount", "g"},
        {"Temp. (\xC2\xB0"
         "F)",
         "temperature", "F"},
        {"Date (mm/dd/yyyy)", "date", "m/d"},
        {"COLOR", "colour", ""},
        {"pH", "ph", ""},
        {"Price", NULL, ""},
        {"a", NULL, ""}, /* without L and b it is no colour */
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct text text = {0};
        text_addf(&text, "%s\nx\n", rows[i].heading);
        struct ledger l = list_of(text_str(&text));
        check_text(rows[i].heading,
                   l.column[0].is < 0 ? NULL
                                      : ledger_fields[l.column[0].is].name,
                   rows[i].is);
        check_text(rows[i].heading, l.column[0].unit, rows[i].unit);
        ledger_close(&l);
        text_clear(&text);
    }
}

static void test_one_bad_row_keeps_all_out(void **state)
{
    struct ledger_taken t;
    struct error err = {0};

    assert_false(taken(*state, "Name,Yarn,pH\na,soft,7\nb,,70\nc,,x9y\n", NULL,
                       &t, &err));
    assert_int_equal(err.kind, ERR_INPUT);
    assert_int_equal(t.bad.count, 2);
    assert_int_equal(t.bad.line[0].line, 3);
    assert_int_equal(t.act, 0);
    ledger_taken_clear(&t);
    assert_int_equal(count_of(*state, NOUN_SKEIN), 0);
    assert_int_equal(count_of(*state, NOUN_FIBRE), 0);
}

static void test_rows_alike_are_as_many_skeins_and_come_once(void **state)
{
    static const char twice[] = "Name,Weight\na,20 g\na,20 g\n";
    struct ledger_taken t;
    struct error err;
    int64_t done;

    check_ok(taken(*state, twice, NULL, &t, &err), &err);
    assert_int_equal(t.skeins, 2);
    ledger_taken_clear(&t);
    check_ok(taken(*state, "Name;Weight;Colour\na;20 g;\na;20 g;\na;20 g\n",
                   NULL, &t, &err),
             &err);
    assert_int_equal(t.here, 2);
    assert_int_equal(t.skeins, 1);
    ledger_taken_clear(&t);
    check_ok(history_undo(*state, 0, &done, &err), &err);
    check_ok(history_undo(*state, 0, &done, &err), &err);
    check_ok(taken(*state, twice, NULL, &t, &err), &err);
    assert_int_equal(t.skeins, 2);
    ledger_taken_clear(&t);
}

static void test_an_instruments_colour_says_its_light(void **state)
{
    static const char text[] = "Name,Lab\na,\"45,2; -3; 25\"\n";
    struct ledger l = list_of(text);
    struct ledger_taken t;
    struct error err;

    assert_false(ledger_take(*state, &l, false, &t, &err));
    assert_non_null(strstr(err.text, "source"));
    ledger_taken_clear(&t);
    check_ok(ledger_for_all(&l, "source=instrument", &err), &err);
    assert_false(ledger_take(*state, &l, false, &t, &err));
    assert_non_null(strstr(err.text, "illuminant"));
    assert_non_null(strstr(err.text, "geometry"));
    assert_int_equal(t.bad.count, 0);
    ledger_taken_clear(&t);
    check_ok(ledger_for_all(&l, "illuminant=D65/10", &err), &err);
    check_ok(ledger_for_all(&l, "geometry=d/8", &err), &err);
    check_ok(ledger_take(*state, &l, false, &t, &err), &err);
    ledger_taken_clear(&t);
    assert_int_equal(count_of(*state, NOUN_READING), 1);
    ledger_close(&l);
}

static void test_each_row_may_say_its_own_source(void **state)
{
    struct ledger_taken t;
    struct error err;

    assert_false(taken(*state,
                       "Name,Lab,Source\na,45 -3 25,eye\n"
                       "b,45 -3 25,instrument\n",
                       NULL, &t, &err));
    assert_int_equal(t.bad_rows, 1);
    assert_int_equal(t.bad.line[0].line, 3);
    ledger_taken_clear(&t);
}

/* Rows are counted, not what is wrong with them; a day that is none is told as
 * that, not as another day than that of its pot. */
static void test_a_row_with_two_faults_is_one_row(void **state)
{
    struct ledger_taken t;
    struct error err;

    assert_false(taken(*state,
                       "Name,Pot,Date,Number\na,k,2024-07-01,4\n"
                       "b,k,32.07.2024,99999999999\n",
                       NULL, &t, &err));
    assert_int_equal(t.bad.count, 2);
    assert_int_equal(t.bad_rows, 1);
    assert_non_null(strstr(err.text, "1 of 2 rows"));
    assert_non_null(strstr(t.bad.line[0].words, "32.07.2024"));
    assert_null(strstr(t.bad.line[0].words, "another day"));
    assert_non_null(strstr(t.bad.line[1].words, "99999999999"));
    ledger_taken_clear(&t);
}

/* A pot is one bath with its dyestuff once, a treatment a round. */
static void test_rows_of_a_pot_share_it(void **state)
{
    struct ledger_taken t;
    struct error err;

    check_ok(taken(*state,
                   "Name,Pot,Round,Dye,Dye (%),Mordant\n"
                   "a,Kettle,,madder,60,alum: 12 %\nb,kettle,first,,,none\n"
                   "c,Kettle,exhaust 1,madder,,\n",
                   NULL, &t, &err),
             &err);
    ledger_taken_clear(&t);
    assert_int_equal(count_of(*state, NOUN_BATH), 1);
    assert_int_equal(count_of(*state, NOUN_DOSE), 3);
    assert_int_equal(count_of(*state, NOUN_TREATMENT), 4);
    assert_int_equal(count_of(*state, NOUN_ENTRY), 5);
    /* The sheet has grown. */
    check_ok(
        taken(*state, "Name,Pot,Round,Dye\nd,Kettle,,madder\n", NULL, &t, &err),
        &err);
    ledger_taken_clear(&t);
    assert_int_equal(count_of(*state, NOUN_TREATMENT), 4);
    assert_int_equal(count_of(*state, NOUN_ENTRY), 6);
    assert_false(
        taken(*state, "Name,Pot,Dye\ne,Kettle,weld\n", NULL, &t, &err));
    assert_int_equal(t.bad.count, 1);
    ledger_taken_clear(&t);
    assert_int_equal(count_of(*state, NOUN_SKEIN), 4);
}

static void test_a_dyers_rows_are_hers(void **state)
{
    const struct record_value name = {"name", "Minna"};
    struct ledger_taken t;
    struct error err;
    int64_t id;

    check_ok(book_act_begin(*state, "test", &err), &err);
    check_ok(record_add(*state, NOUN_DYER, &name, 1, &id, NULL, &err), &err);
    check_ok(book_act_end(*state, &err), &err);
    check_ok(taken(*state, "Number,Dye\n7,weld\n", "dyer=Minna", &t, &err),
             &err);
    check_text("label", t.first, "Minna/7");
    ledger_taken_clear(&t);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_cells_are_read_as_sheets_write_them),
        cmocka_unit_test(test_utf16_is_read_with_and_without_its_mark),
        cmocka_unit_test(test_a_row_knows_on_which_line_it_begins),
        cmocka_unit_test(test_headings_are_known_by_common_names_and_units),
        cmocka_unit_test_setup_teardown(test_one_bad_row_keeps_all_out,
                                        fresh_book, close_book),
        cmocka_unit_test_setup_teardown(
            test_rows_alike_are_as_many_skeins_and_come_once, fresh_book,
            close_book),
        cmocka_unit_test_setup_teardown(
            test_an_instruments_colour_says_its_light, fresh_book, close_book),
        cmocka_unit_test_setup_teardown(test_each_row_may_say_its_own_source,
                                        fresh_book, close_book),
        cmocka_unit_test_setup_teardown(test_a_row_with_two_faults_is_one_row,
                                        fresh_book, close_book),
        cmocka_unit_test_setup_teardown(test_rows_of_a_pot_share_it, fresh_book,
                                        close_book),
        cmocka_unit_test_setup_teardown(test_a_dyers_rows_are_hers, fresh_book,
                                        close_book),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
