/* What can be rebuilt from the records is at all times what rebuilding would
 * make of it: the steps of each skein, and the shelf with its colours. */
#include "support.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/text.h"
#include "book/history.h"
#include "book/record.h"
#include "book/step.h"
#include "book/store.h"
#include "shelf_support.h"

/* All rows of a table as text. */
static void add_rows(struct book *book, const char *sql, struct text *t)
{
    struct stmt q;
    struct error err;
    bool row;

    check_ok(stmt_prepare(book, sql, &q, &err), &err);
    for (;;) {
        check_ok(stmt_step(&q, &row, &err), &err);
        if (!row)
            break;
        for (int c = 0; c < sqlite3_column_count(q.st); c++) {
            const char *s = stmt_get_text(&q, c);
            text_addf(t, "%s|", s ? s : "-");
        }
        text_add(t, "\n");
    }
    stmt_done(&q);
}

static char *rebuilt_text(struct book *book)
{
    struct text t = {0};

    add_rows(book, "SELECT * FROM shelf ORDER BY skein_id", &t);
    add_rows(book, "SELECT * FROM step ORDER BY skein_id, ordinal", &t);
    return text_take(&t);
}

static void check_rebuilt(struct book *book)
{
    char *kept = rebuilt_text(book), *made;
    struct error err;

    check_ok(store_exec(book,
                        "BEGIN; DELETE FROM shelf; DELETE FROM step;"
                        "DELETE FROM step_material",
                        &err),
             &err);
    check_ok(step_rebuild(book, &err), &err);
    made = rebuilt_text(book);
    check_ok(store_exec(book, "ROLLBACK", &err), &err);
    assert_string_equal(kept, made);
    assert_true(strlen(made) > 1000);
    free(kept);
    free(made);
}

/* One random act, of those that change what a skein is; what is refused
 * changes nothing. Returns whether it was done. */
static bool act(struct book *book, uint64_t *d)
{
    static const enum noun_id gone[] = {NOUN_READING,  NOUN_SKEIN,  NOUN_ENTRY,
                                        NOUN_DOSE,     NOUN_ORIGIN, NOUN_POUR,
                                        NOUN_TREATMENT};
    char of[24], lab[40];
    struct record_value v[] = {{"skein", of}, {"lab", lab}};
    struct error err;
    int64_t id = 1 + dice(d, 100), made;
    size_t what = (size_t)dice(d, 10);
    bool ok;

    snprintf(of, sizeof of, "#%d", 1 + dice(d, 100));
    snprintf(lab, sizeof lab, "%d,%d,%d", 20 + dice(d, 60), dice(d, 40),
             dice(d, 50));
    check_ok(book_act_begin(book, "test", &err), &err);
    ok = what < ARRAY_LEN(gone)
             ? record_withdraw(book, gone[what], id, dice(d, 4) > 0, &err)
             : record_add(book, NOUN_READING, v, 2, &made, NULL, &err);
    if (ok)
        check_ok(book_act_end(book, &err), &err);
    else
        book_act_cancel(book);
    return ok;
}

static void after_any_act_it_is_what_rebuilding_makes_of_it(void **state)
{
    struct shelf shelf;
    struct ids ids;
    struct book *book;
    struct error err;
    uint64_t seed = 11;
    int64_t undone;
    int acts = 0, back = 0;

    (void)state;
    shelf_make(&shelf, 20260503);
    check_ok(book_open(":memory:", &book, &err), &err);
    shelf_write(&shelf, book, 1, &ids);
    check_rebuilt(book);
    for (int i = 0; i < 120; i++) {
        acts += act(book, &seed);
        if (dice(&seed, 4) == 0)
            back += history_undo(book, 0, &undone, &err);
        if (i % 6 == 0)
            check_rebuilt(book);
    }
    assert_true(acts > 40 && back > 5);
    book_close(book);
}

/* A book from before there was a shelf: what is made for it when it is opened
 * is what a new book has. */
static void a_book_from_before_the_shelf_gets_it(void **state)
{
    char dir[] = "/tmp/hanklab-shelf-XXXXXX", path[64];
    struct shelf shelf;
    struct ids ids;
    struct book *book;
    struct error err;
    char *before, *after;

    (void)state;
    assert_non_null(mkdtemp(dir));
    check_ok(book_create(dir, "me", &err), &err);
    check_ok(book_open(dir, &book, &err), &err);
    shelf_make(&shelf, 4);
    shelf_write(&shelf, book, 1, &ids);
    before = rebuilt_text(book);
    check_ok(store_exec(book,
                        "DROP TABLE shelf; DROP TABLE camera; DROP TRIGGER "
                        "history_reading_change; "
                        "DROP TRIGGER history_region_change; "
                        "ALTER TABLE reading DROP COLUMN corrected_by; "
                        "ALTER TABLE region DROP COLUMN known; "
                        "PRAGMA user_version = 1",
                        &err),
             &err);
    book_close(book);
    check_ok(book_open(dir, &book, &err), &err);
    after = rebuilt_text(book);
    assert_string_equal(before, after);
    book_close(book);
    snprintf(path, sizeof path, "%s/book-v0001.db", dir);
    assert_int_equal(unlink(path), 0); /* it was copied aside */
    snprintf(path, sizeof path, "%s/book.db", dir);
    assert_int_equal(unlink(path), 0);
    rmdir(dir);
    free(before);
    free(after);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(after_any_act_it_is_what_rebuilding_makes_of_it),
        cmocka_unit_test(a_book_from_before_the_shelf_gets_it),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
