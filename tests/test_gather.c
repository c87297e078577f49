/* A list taken in by one statement a kind makes the book that it makes record
 * by record. */
#include "support.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "book/ledger_work.h"
#include "book/record.h"
#include "book/sheaf.h"
#include "book/store.h"

typedef bool take_in(struct book *book, struct ledger *l, bool look,
                     struct ledger_taken *out, struct error *err);

/* A book with a yarn and a dyestuff that were withdrawn: a list that names them
 * brings them back, for which what was gathered is put in. */
static struct book *new_book(void)
{
    static const struct record_value yarn[] = {{"name", "old fleece"}},
                                     hulls[] = {{"name", "walnut hulls"},
                                                {"kind", "dyestuff"}};
    struct error err;
    struct book *book;
    int64_t fibre, material;

    check_ok(book_open(":memory:", &book, &err), &err);
    check_ok(
        book_act_begin(book, "was", &err) &&
            record_add(book, NOUN_FIBRE, yarn, 1, &fibre, NULL, &err) &&
            record_add(book, NOUN_MATERIAL, hulls, 2, &material, NULL, &err) &&
            record_withdraw(book, NOUN_FIBRE, fibre, true, &err) &&
            record_withdraw(book, NOUN_MATERIAL, material, true, &err) &&
            book_act_end(book, &err),
        &err);
    return book;
}

static void add_rows(struct book *book, const char *table, struct text *out)
{
    struct text sql = {0};
    struct stmt q = {0};
    struct error err;
    bool row;

    text_addf(&sql, "SELECT '%s'", table);
    check_ok(stmt_prepare(book,
                          "SELECT name FROM pragma_table_xinfo(:t) WHERE name"
                          " NOT IN ('uid', 'at', 'of_uid', 'said', 'rank')",
                          &q, &err),
             &err);
    stmt_text(&q, ":t", table);
    while (stmt_step(&q, &row, &err) && row)
        text_addf(&sql, " || ' ' || quote(%s)", stmt_get_text(&q, 0));
    stmt_done(&q);
    text_addf(&sql, " FROM %s ORDER BY %s", table,
              strcmp(table, "came") == 0   ? "row_id"
              : strcmp(table, "step") == 0 ? "skein_id, ordinal"
                                           : "rowid");
    /* A tally is looked up by its key, and has no rowid. */
    if (!strcmp(table, "tally")) {
        char *at = strstr(sql.s, " ORDER BY");
        *at = '\0';
    }
    check_ok(stmt_prepare(book, text_str(&sql), &q, &err), &err);
    while (stmt_step(&q, &row, &err) && row)
        text_addf(out, "%s\n", stmt_get_text(&q, 0));
    stmt_done(&q);
    text_clear(&sql);
}

/* All rows of all tables, without what differs by chance. */
static char *contents(struct book *book)
{
    struct text out = {0};
    struct stmt q = {0};
    struct error err;
    bool row;

    check_ok(stmt_prepare(book,
                          "SELECT name FROM sqlite_schema WHERE type = 'table'"
                          " AND name NOT LIKE 'sqlite%' AND name NOT LIKE"
                          " 'said\\_%' ESCAPE '\\' ORDER BY name",
                          &q, &err),
             &err);
    while (stmt_step(&q, &row, &err) && row)
        add_rows(book, stmt_get_text(&q, 0), &out);
    stmt_done(&q);
    return text_take(&out);
}

/* What was said of a list, a line each; and how its columns were read. */
static void add_said(const struct ledger *l, const struct ledger_taken *t,
                     struct text *out)
{
    const struct ledger_lines *all[] = {&t->bad, &t->note, &t->made};

    text_addf(out, "%zu in, %zu here, %zu bad, %s to %s\n", t->skeins, t->here,
              t->bad_rows, t->first ? t->first : "", t->last ? t->last : "");
    for (size_t k = 0; k < ARRAY_LEN(all); k++)
        for (size_t i = 0; i < all[k]->told; i++)
            text_addf(out, "%zu: %s\n", all[k]->line[i].line,
                      all[k]->line[i].words);
    for (size_t i = 0; i < t->cautions; i++)
        text_addf(out, "%s\n", t->caution[i]);
    for (size_t c = 0; c < l->columns; c++)
        if (l->column[c].read_as)
            text_addf(out, "%s: %s, read as %s\n", l->column[c].heading,
                      l->column[c].read_was, l->column[c].read_as);
}

static bool take(struct book *book, take_in *how, const char *list, bool look,
                 struct text *said)
{
    const struct exchange_file file = {.data = (const unsigned char *)list,
                                       .size = strlen(list)};
    struct ledger l;
    struct ledger_taken t;
    struct error err = {0};
    bool ok;

    check_ok(ledger_open(&file, &l, &err), &err);
    l.rest = true;
    ok = how(book, &l, look, &t, &err);
    text_addf(said, "%s\n", ok ? "" : err.text);
    add_said(&l, &t, said);
    ledger_taken_clear(&t);
    ledger_close(&l);
    return ok;
}

/* Both ways, one list after another into one book: what is said, and what is
 * in the book; released by check_same_end. */
struct both {
    char *said, *book;
};

static struct both check_same(const char *const *list, size_t count)
{
    struct book *one = new_book(), *other = new_book();
    struct text said[2] = {{0}};
    struct both all;
    char *b;

    for (size_t i = 0; i < count; i++) {
        assert_int_equal(take(one, ledger_take_singly, list[i], true, &said[0]),
                         take(other, ledger_take, list[i], true, &said[1]));
        assert_int_equal(
            take(one, ledger_take_singly, list[i], false, &said[0]),
            take(other, ledger_take, list[i], false, &said[1]));
    }
    check_text("what is said", text_str(&said[1]), text_str(&said[0]));
    all.book = contents(one);
    b = contents(other);
    check_text("the book", b, all.book);
    free(b);
    all.said = text_take(&said[0]);
    text_clear(&said[1]);
    book_close(one);
    book_close(other);
    return all;
}

static void check_same_end(struct both *all)
{
    free(all->said);
    free(all->book);
}

/* All of them come in, or nothing does. */
static void check_in(const char *const *list, size_t count, bool in,
                     const char *said)
{
    struct both all = check_same(list, count);

    assert_int_equal(strstr(all.book, "skein 2 ") != NULL, in);
    if (!strstr(all.said, said))
        check_text("what is said", all.said, said);
    check_same_end(&all);
}

static void test_all_that_a_row_can_say_comes_in_the_same(void **state)
{
    static const char *const list[] = {
        "Name,Code,Yarn,Weight,Mordant,Dyestuff,Pot,Round,Date,Temp,Minutes,pH,"
        "Dip,L,a,b,Source,Note,Shed\n"
        "one,A1,two-ply,20 g,alum: 12 %,madder: 60 %,,,2025-05-03,80 C,1 h,7,"
        "iron: 2 %,40,30,20,eye,came out level,north\n"
        "two,A1,two-ply,20 g,alum: 12 %,,Kettle,,3/4/2025,,,,,,,,,,\n"
        "three,,lambswool,1 oz,none,weld: 50 %,,,2025-05-04,,,,,70,1,50,eye,,\n"
        "four,Al,two-ply,20 g,,,kettle,exhaust 1,2025-05-05,70 C,,6,,,,,,,\n"
        "five,,,,,,,,,,,,,,,,,only a name,\n"
        ",,,20 g,alum: 500 %,tansy: 10 g,,,2025-05-03,80 C,1 h,7,,,,,,,south\n",
        "Number,Weight,Dyestuff\n,5 g,madder: 60 %\n60,5 g,\n,6 g,weld: 1:1\n",
        "Number,Weight,Dyestuff\n,5 g,madder: 60 %\n60,5 g,\n,7 g,tansy: 1:1\n",
    };

    (void)state;
    check_in(list, ARRAY_LEN(list), true, "code A1: skein 1 has it");
}

/* A number that is taken: the line is known, and nothing came in. */
static void test_what_the_book_refuses_is_told_by_its_line(void **state)
{
    static const char *const list[] = {
        "Number,Name,Weight\n1,a,5 g\n2,b,6 cows\n1,c,5 g\n2,d,5 g\n9,e,5 g\n"};

    (void)state;
    check_in(list, ARRAY_LEN(list), false, "4: number: another skein has it");
}

/* What is brought back finds that number when it comes. */
static void test_what_was_refused_stays_refused(void **state)
{
    static const char *const yarn[] = {
        "Number,Name,Fibre,Weight\n1,a,lambswool,5 g\n1,b,lambswool,6 g\n"
        "2,c,old fleece,7 g\n3,d,lambswool,8 g\n"};
    static const char *const hulls[] = {
        "Number,Name,Weight,Dyestuff\n1,a,5 g,\n1,b,6 g,\n"
        "2,c,7 g,walnut hulls: 50 %\n3,d,8 g,\n"};

    (void)state;
    check_in(yarn, 1, false, "3: number: another skein has it");
    check_in(hulls, 1, false, "3: number: another skein has it");
}

static void test_what_was_withdrawn_comes_back(void **state)
{
    static const char *const list[] = {
        "Name,Fibre,Weight,Dyestuff\na,lambswool,5 g,weld: 50 %\n"
        "b,old fleece,6 g,\nc,,7 g,walnut hulls: 50 %\nd,old fleece,8 g,\n"};

    (void)state;
    check_in(list, ARRAY_LEN(list), true, "old fleece, a yarn");
}

/* ---- a full disk --------------------------------------------------------- */

static void make_room(struct book *book, int64_t pages)
{
    struct text sql = {0};
    struct error err;

    text_addf(&sql, "PRAGMA max_page_count = %lld", (long long)pages);
    check_ok(store_exec(book, text_str(&sql), &err), &err);
    text_clear(&sql);
}

static int64_t pages_of(struct book *book)
{
    struct stmt q = {0};
    struct error err;
    int64_t n;
    bool row;

    check_ok(stmt_prepare(book, "PRAGMA page_count", &q, &err) &&
                 stmt_step(&q, &row, &err),
             &err);
    n = stmt_get_int(&q, 0);
    stmt_done(&q);
    return n;
}

/* Ever more room, until the list comes in. */
static void fill_disk(const char *list, size_t rows)
{
    struct book *book = new_book();
    char *was = contents(book), *now, count[32];
    const int64_t pages = pages_of(book);
    bool ok = false;
    int tried = 0;

    for (int64_t room = 0; !ok; room += 3, tried++) {
        struct text said = {0};
        make_room(book, pages + room);
        ok = take(book, ledger_take, list, false, &said);
        if (!ok)
            assert_non_null(strstr(text_str(&said), "the disk is full"));
        snprintf(count, sizeof count, "%zu in,", rows);
        if (ok)
            assert_non_null(strstr(text_str(&said), count));
        text_clear(&said);
        now = contents(book);
        if (!ok)
            check_text("the book", now, was);
        snprintf(count, sizeof count, "skein %zu ", rows);
        assert_int_equal(strstr(now, count) != NULL, ok);
        free(now);
    }
    assert_true(tried > 10);
    free(was);
    book_close(book);
}

/* The first of them go in for the yarn that is brought back. */
static void test_a_full_disk_takes_nothing_in(void **state)
{
    struct text list = {0};
    enum { ROWS = 80 };

    (void)state;
    text_add(&list, "Name,Fibre,Weight,Dyestuff,Note\n");
    for (int i = 1; i <= ROWS; i++)
        text_addf(&list, "hank %d,%s,%d g,%s,%02000d\n", i,
                  i == 60 ? "old fleece" : "lambswool", i,
                  i == 70 ? "walnut hulls: 50 %" : "", i);
    fill_disk(text_str(&list), ROWS);
    text_clear(&list);
}

/* ---- codes, and words that come again ------------------------------------ */

static void test_rows_are_remembered(void **state)
{
    static const char list[] = "Code,Weight,Dyestuff\nA1,100 g,madder\n"
                               "A2,100 g,weld\nA1,50 g,madder\n";
    static const char *const twice[] = {list, list};

    (void)state;
    check_in(twice, 2, true, "0 in, 3 here");
}

/* More of them than are told; some easily misread, one in a row that cannot be
 * read, some of another dyer. */
static void test_codes_of_others_are_remarked(void **state)
{
    static const char *const head = "Code,Weight,Dyer,Dyestuff\n",
                             *const first = "Code,Weight\nK1,5 g\nB8,5 g\n";
    struct text more = {0}, bad = {0};
    struct both all;
    const char *list[3];

    (void)state;
    text_add(&more, head);
    for (int i = 0; i < 70; i++)
        text_addf(&more, "%s%d,%d g,%s,%s\n", i % 2 ? "K" : "T", i % 20, 5 + i,
                  "",
                  i % 30    ? ""
                  : i == 30 ? "tansy"
                            : "pax");
    text_add(&more, ",9 g,,\n,8 g,,\n");
    text_addf(&bad, "%sZ1,5 g,,madder: x y z\nZ1,6 g,,\nZl,7 g,,\n", head);
    list[0] = first;
    list[1] = text_str(&more);
    list[2] = text_str(&bad);
    all = check_same(list, ARRAY_LEN(list));
    assert_non_null(strstr(all.said, "code K1: skein 1 has it"));
    check_same_end(&all);
    text_clear(&more);
    text_clear(&bad);
}

static void test_each_column_tells_how_it_was_read(void **state)
{
    static const char *const list[] = {
        "Code,Weight,Mordant,Mordant-amount,Dyestuff,Dyestuff-amount\n"
        "A1,100 g,alum,1/2 oz,madder,1/2 oz\n"
        "A2,100 g,alum,1/2 oz,weld,1/2 oz\n"};

    (void)state;
    check_in(list, ARRAY_LEN(list), true, "Mordant-amount: 1/2 oz, read as");
    check_in(list, ARRAY_LEN(list), true, "Dyestuff-amount: 1/2 oz, read as");
}

/* ---- room ---------------------------------------------------------------- */

/* A record of which all is said. */
static void test_any_record_has_room(void **state)
{
    struct book *book = new_book();
    struct error err;

    (void)state;
    for (size_t i = 0; i < NOUN_COUNT; i++) {
        struct stmt q = {0};
        bool row;
        check_ok(stmt_prepare(book,
                              "SELECT count(*) FROM pragma_table_info(:t)", &q,
                              &err),
                 &err);
        stmt_text(&q, ":t", nouns[i].name);
        check_ok(stmt_step(&q, &row, &err), &err);
        assert_in_range(stmt_get_int(&q, 0), 2, SHEAF_COLUMNS);
        stmt_done(&q);
    }
    book_close(book);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_all_that_a_row_can_say_comes_in_the_same),
        cmocka_unit_test(test_what_the_book_refuses_is_told_by_its_line),
        cmocka_unit_test(test_what_was_refused_stays_refused),
        cmocka_unit_test(test_what_was_withdrawn_comes_back),
        cmocka_unit_test(test_a_full_disk_takes_nothing_in),
        cmocka_unit_test(test_rows_are_remembered),
        cmocka_unit_test(test_codes_of_others_are_remarked),
        cmocka_unit_test(test_each_column_tells_how_it_was_read),
        cmocka_unit_test(test_any_record_has_room),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
