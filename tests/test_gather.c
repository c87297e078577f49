/* A list taken in by one statement a kind makes the book that it makes record
 * by record. */
#include "support.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "book/ledger_work.h"
#include "book/store.h"

typedef bool take_in(struct book *book, struct ledger *l, bool look,
                     struct ledger_taken *out, struct error *err);

static struct book *new_book(void)
{
    struct error err;
    struct book *book;

    check_ok(book_open(":memory:", &book, &err), &err);
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

/* What was said of a list, a line each. */
static void add_said(const struct ledger_taken *t, struct text *out)
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
    add_said(&t, said);
    ledger_taken_clear(&t);
    ledger_close(&l);
    return ok;
}

/* Both ways, one list after another into one book. */
static void check_same(const char *const *list, size_t count, bool ok)
{
    struct book *one = new_book(), *other = new_book();
    struct text said[2] = {{0}};
    char *a, *b;

    for (size_t i = 0; i < count; i++) {
        assert_int_equal(take(one, ledger_take_singly, list[i], true, &said[0]),
                         take(other, ledger_take, list[i], true, &said[1]));
        assert_int_equal(
            take(one, ledger_take_singly, list[i], false, &said[0]),
            take(other, ledger_take, list[i], false, &said[1]));
    }
    check_text("what is said", text_str(&said[1]), text_str(&said[0]));
    a = contents(one);
    b = contents(other);
    check_text("the book", b, a);
    assert_int_equal(strstr(a, "skein 2 ") != NULL, ok);
    free(a);
    free(b);
    text_clear(&said[0]);
    text_clear(&said[1]);
    book_close(one);
    book_close(other);
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
    check_same(list, ARRAY_LEN(list), true);
}

/* A number that is taken: the line is known, and nothing came in. */
static void test_what_the_book_refuses_is_told_by_its_line(void **state)
{
    static const char *const list[] = {
        "Number,Name,Weight\n1,a,5 g\n2,b,6 cows\n1,c,5 g\n2,d,5 g\n9,e,5 g\n"};
    struct book *book = new_book();
    struct text said = {0};

    (void)state;
    check_same(list, ARRAY_LEN(list), false);
    assert_false(take(book, ledger_take, list[0], false, &said));
    assert_non_null(strstr(text_str(&said), "4: number: another skein has it"));
    text_clear(&said);
    book_close(book);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_all_that_a_row_can_say_comes_in_the_same),
        cmocka_unit_test(test_what_the_book_refuses_is_told_by_its_line),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
