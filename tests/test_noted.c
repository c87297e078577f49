/* src/book/noted.c: the history that the triggers have written down is what
 * SQL says changed. */
#include "support.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/text.h"
#include "book/store.h"
#include "large_support.h"

enum { SKEINS = 60 };

/* All values of a book's kind: text, integers, reals, blobs, NULL. Each update
 * is refused for some rows, which change nothing then. */
static const char *const updates[][2] = {
    {"", ""}, /* around the column's name */
    {"iif(0, ", ", NULL) WHERE id % 3 = 1"},
    {"coalesce(", ", 0) + 0.25 WHERE id % 3 = 2"},
    {"coalesce(", ", '') || ', again' WHERE id % 2"},
    {"coalesce(", ", 0) + 1 WHERE id % 4 = 0"},
    {"iif(0, ", ", randomblob(32)) WHERE id % 5 = 0"},
    {"1 - ", " WHERE id % 2 = 0"},
};

static const char oracle[] =
    "SELECT 'CREATE TEMP TRIGGER told_' || s.tbl_name || ' AFTER UPDATE ON "
    "main.' "
    "||"
    " s.tbl_name || ' BEGIN INSERT INTO told SELECT ''' || s.tbl_name ||"
    " ''', old.id, column1, column2, column3 FROM (VALUES (0, 0, 0)' ||"
    " (SELECT group_concat(', (''' || name || ''', old.' || name || ', new.' ||"
    " name || ')', '') FROM pragma_table_info(s.tbl_name)"
    " WHERE name NOT IN ('id', 'uid')) ||"
    " ') WHERE column2 IS NOT column3; END' FROM main.sqlite_schema s"
    " WHERE type = 'trigger' AND name LIKE 'history%change'";

static int64_t number(struct book *book, const char *sql)
{
    struct stmt q;
    struct error err;
    bool row = false;
    int64_t n;

    check_ok(stmt_prepare(book, sql, &q, &err) && stmt_step(&q, &row, &err),
             &err);
    assert_true(row);
    n = stmt_get_int(&q, 0);
    stmt_done(&q);
    return n;
}

/* Runs what a statement answers with, a statement a row. */
static void run_all(struct book *book, const char *asks)
{
    struct text sql = {0};
    struct stmt q;
    struct error err;
    bool row;

    check_ok(stmt_prepare(book, asks, &q, &err), &err);
    for (;;) {
        check_ok(stmt_step(&q, &row, &err), &err);
        if (!row)
            break;
        text_addf(&sql, "%s;", stmt_get_text(&q, 0));
    }
    stmt_done(&q);
    check_ok(store_exec(book, text_str(&sql), &err), &err);
    text_clear(&sql);
}

/* Both tell of the same changes, each so often; and how many. */
#define CHANGES(from)                                                          \
    "SELECT of_table, row_id, field, typeof(old), old, typeof(new), new,"      \
    " count(*) FROM " from " GROUP BY 1, 2, 3, 4, 5, 6, 7"
#define OURS                                                                   \
    "history WHERE act_id = (SELECT max(id) FROM act) AND field NOT NULL"

static void changes_are_what_sql_says(void **state)
{
    struct book *book = *state;
    struct stmt q;
    struct error err;
    struct text sql = {0};
    bool row;

    check_ok(store_exec(book,
                        "PRAGMA foreign_keys = OFF; CREATE TEMP TABLE told"
                        " (of_table, row_id, field, old, new)",
                        &err),
             &err);
    run_all(book, oracle);
    check_ok(stmt_prepare(book,
                          "SELECT m.name, c.name FROM sqlite_schema m, "
                          "pragma_table_info(m.name) c WHERE m.type = 'table'"
                          " AND EXISTS (SELECT 1 FROM sqlite_schema WHERE type"
                          " = 'trigger' AND tbl_name = m.name) AND c.name NOT"
                          " IN ('id', 'uid')",
                          &q, &err),
             &err);
    for (;;) {
        check_ok(stmt_step(&q, &row, &err), &err);
        if (!row)
            break;
        for (size_t i = 0; i < ARRAY_LEN(updates); i++) {
            const char *of = stmt_get_text(&q, 0), *c = stmt_get_text(&q, 1);
            text_addf(&sql, "UPDATE OR IGNORE %s SET %s = %s%s%s;", of, c,
                      updates[i][0], c, updates[i][1]);
        }
    }
    stmt_done(&q);
    check_ok(book_act_begin(book, "test", &err), &err);
    for (char *s = sql.s, *end; s && *s;
         s = end + 1) { /* each may be refused */
        end = strchr(s, ';');
        *end = '\0';
        sqlite3_exec(book->db, s, NULL, NULL, NULL);
    }
    text_clear(&sql);
    assert_in_range(number(book, "SELECT count(*) FROM told"), 5000, 500000);
    assert_in_range(number(book, "SELECT count(DISTINCT of_table || field) FROM"
                                 " told"),
                    100, 1000);
    assert_int_equal(number(book, "SELECT count(*) FROM (" CHANGES(
                                      "told") " EXCEPT " CHANGES(OURS) ")"),
                     0);
    assert_int_equal(number(book, "SELECT count(*) FROM (" CHANGES(
                                      OURS) " EXCEPT " CHANGES("told") ")"),
                     0);
    book_act_cancel(book);
}

static void each_record_has_its_beginning(void **state)
{
    struct book *book = *state;

    assert_int_equal(number(book, "SELECT count(*) FROM skein"), SKEINS);
    assert_int_equal(number(book, "SELECT count(*) FROM history WHERE of_table"
                                  " = 'skein' AND field IS NULL AND old IS NULL"
                                  " AND new IS NULL AND row_id IN (SELECT id"
                                  " FROM skein)"),
                     SKEINS);
}

/* One that knows nothing of history cannot change what it is about. */
static void another_program_reads_and_changes_no_record(void **state)
{
    char dir[] = "/tmp/hanklab-noted-XXXXXX", path[64];
    struct book *book = NULL;
    struct error err;
    sqlite3 *db;

    (void)state;
    assert_non_null(mkdtemp(dir));
    check_ok(book_create(dir, "me", &err) && book_open(dir, &book, &err), &err);
    check_ok(large_fill(book, 3, &err), &err);
    book_close(book);
    snprintf(path, sizeof path, "%s/book.db", dir);
    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    assert_int_equal(sqlite3_exec(db, "SELECT * FROM skein", NULL, NULL, NULL),
                     SQLITE_OK);
    assert_int_equal(
        sqlite3_exec(db, "UPDATE skein SET note = 'x'", NULL, NULL, NULL),
        SQLITE_ERROR);
    assert_string_equal(sqlite3_errmsg(db), "no such function: noted");
    sqlite3_close(db);
    folder_drop(dir);
}

static int fill(void **state)
{
    struct book *book;
    struct error err;

    check_ok(book_open(":memory:", &book, &err), &err);
    check_ok(large_fill(book, SKEINS, &err), &err);
    *state = book;
    return 0;
}

static int finish(void **state)
{
    book_close(*state);
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(changes_are_what_sql_says, fill,
                                        finish),
        cmocka_unit_test_setup_teardown(each_record_has_its_beginning, fill,
                                        finish),
        cmocka_unit_test(another_program_reads_and_changes_no_record),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
