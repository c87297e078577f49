/*
 * A book of every version there was, made by the hanklab of then
 * (fixtures/books, see fixtures/README.md): it opens, keeps every fact of the
 * list made beside it, is sound, has the tables of a new book, and is written
 * to.
 */
#include "old_support.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <sqlite3.h>

#include "base/text.h"
#include "book/book.h"
#include "book/check.h"
#include "book/record.h"

static char dir[64]; /* of the upgraded book */

static const char *in_book(const char *name)
{
    static char path[128];

    snprintf(path, sizeof path, "%s/%s", dir, name);
    return path;
}

/* ---- soundness ----------------------------------------------------------- */

static sqlite3 *raw(const char *path)
{
    sqlite3 *db;

    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    return db;
}

/* Tables, columns in any order, indexes and triggers. */
static char *form(const char *path)
{
    static const char sql[] =
        "SELECT s.type, s.name, CASE WHEN s.type = 'table' THEN"
        " (SELECT group_concat(c) FROM (SELECT name || ' ' || type || ' ' ||"
        " \"notnull\" || ' ' || coalesce(dflt_value, '') AS c"
        " FROM pragma_table_xinfo(s.name) ORDER BY 1))"
        " WHEN s.type = 'index' THEN s.sql END FROM sqlite_schema s"
        " WHERE s.name NOT LIKE 'sqlite%' ORDER BY 1, 2";
    sqlite3 *db = raw(path);
    struct text t = {0};
    sqlite3_stmt *st;

    assert_int_equal(sqlite3_prepare_v2(db, sql, -1, &st, NULL), SQLITE_OK);
    while (sqlite3_step(st) == SQLITE_ROW)
        for (int i = 0; i < 3; i++)
            text_addf(&t, "%s\n",
                      sqlite3_column_type(st, i) == SQLITE_NULL
                          ? ""
                          : (const char *)sqlite3_column_text(st, i));
    sqlite3_finalize(st);
    sqlite3_close(db);
    return text_take(&t);
}

static void check_form(int version)
{
    char fresh[] = "/tmp/hanklab-new-XXXXXX", path[64];
    struct error err;
    char *want, *got;

    assert_non_null(mkdtemp(fresh));
    check_ok(book_create(fresh, "me", &err), &err);
    snprintf(path, sizeof path, "%s/book.db", fresh);
    want = form(path);
    got = form(in_book("book.db"));
    snprintf(path, sizeof path, "form of version %d", version);
    check_text(path, got, want);
    free(want);
    free(got);
    snprintf(path, sizeof path, "%s/book.db", fresh);
    assert_int_equal(unlink(path), 0);
    assert_int_equal(rmdir(fresh), 0);
}

static void check_sound(struct book *book, size_t skeins)
{
    const struct check_wish look = {0};
    struct check found;
    struct error err;

    check_ok(check_book(book, &look, &found, &err), &err);
    if (found.faults)
        fail_msg("%s: %s", dir, text_str(&found.told));
    assert_int_equal(found.skeins, skeins);
    assert_true(found.readings >= 2 && found.photos >= 1);
    check_clear(&found);
}

/* A new record, and the past of it, as in a new book. */
static void check_written(struct book *book)
{
    const struct record_value v[] = {{"name", "after the upgrade"},
                                     {"fibre", "two-ply wool"}};
    struct error err;
    int64_t id;

    check_ok(book_act_begin(book, "skein add", &err), &err);
    check_ok(record_add(book, NOUN_SKEIN, v, ARRAY_LEN(v), &id, NULL, &err),
             &err);
    check_ok(book_act_end(book, &err), &err);
    assert_true(id > 9);
}

/* ---- the tests ----------------------------------------------------------- */

static void every_version_has_a_book(void **state)
{
    char path[64];

    (void)state;
    for (int v = 1; v < book_schema_version(); v++) {
        snprintf(path, sizeof path, OLD_BOOKS "/v%04d.db", v);
        if (access(path, R_OK))
            fail_msg("%s is missing: fixtures/README.md says how to make it",
                     path);
    }
}

static void a_book_of_any_version_is_upgraded_and_keeps_every_fact(void **state)
{
    struct book *book;
    struct error err;
    char path[64];

    (void)state;
    for (int v = 1; v <= book_schema_version(); v++) {
        const size_t skeins = v < 8 ? 9 : 11; /* two of them planned */
        snprintf(path, sizeof path, OLD_BOOKS "/v%04d.db", v);
        if (v == book_schema_version() && access(path, R_OK))
            continue; /* it is made before the next */
        snprintf(dir, sizeof dir, "/tmp/hanklab-old-XXXXXX");
        assert_non_null(mkdtemp(dir));
        old_book_lay_out(v, dir);
        check_ok(book_open(dir, &book, &err), &err);
        old_book_check_facts(v, dir);
        check_sound(book, skeins);
        check_form(v);
        check_written(book);
        check_sound(book, skeins + 1);
        book_close(book);
        snprintf(path, sizeof path, "book-v%04d.db", v);
        assert_int_equal(access(in_book(path), R_OK),
                         v < book_schema_version() ? 0 : -1);
        folder_drop(dir);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_version_has_a_book),
        cmocka_unit_test(
            a_book_of_any_version_is_upgraded_and_keeps_every_fact),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
