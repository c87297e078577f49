/* The books of fixtures/books. See old_support.h. */
#include "old_support.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <sqlite3.h>

#include "book/kept.h"

static void keep_photo(const char *path, const char *dir)
{
    unsigned char sha256[32], *bytes;
    struct error err;
    size_t n;

    bytes = file_read(path, &n);
    kept_hash(bytes, n, sha256);
    check_ok(kept_write(dir, sha256, bytes, n, &err), &err);
    free(bytes);
}

void old_book_lay_out(int version, const char *dir)
{
    char path[128];
    unsigned char *bytes;
    size_t n;
    FILE *f;

    snprintf(path, sizeof path, OLD_BOOKS "/v%04d.db", version);
    bytes = file_read(path, &n);
    snprintf(path, sizeof path, "%s/book.db", dir);
    f = fopen(path, "wb");
    assert_non_null(f);
    assert_int_equal(fwrite(bytes, 1, n, f), n);
    assert_int_equal(fclose(f), 0);
    free(bytes);
    keep_photo("fixtures/undyed.jpg", dir);
    keep_photo("fixtures/known/steps.jpg", dir);
}

/* One line of the list: TABLE ID COLUMN VALUE. */
static void check_fact(sqlite3 *db, int version, char *line)
{
    char *rest = line, *table = strtok_r(line, " ", &rest),
         *id = strtok_r(NULL, " ", &rest), *column = strtok_r(NULL, " ", &rest);
    char row[96], sql[256];
    sqlite3_stmt *st;

    assert_non_null(column);
    snprintf(row, sizeof row, "v%04d: %s %s %s", version, table, id, column);
    snprintf(sql, sizeof sql,
             "SELECT replace(quote(%s), char(10), ' // ') FROM %s WHERE id = ?",
             column, table);
    if (sqlite3_prepare_v2(db, sql, -1, &st, NULL) != SQLITE_OK)
        fail_msg("%s: %s", row, sqlite3_errmsg(db));
    sqlite3_bind_text(st, 1, id, -1, SQLITE_STATIC);
    check_text(row,
               sqlite3_step(st) == SQLITE_ROW
                   ? (const char *)sqlite3_column_text(st, 0)
                   : "no such record",
               rest);
    sqlite3_finalize(st);
}

/* What was said to it, as it was typed: the list must not be an empty one. */
static void check_list(const char *list)
{
    static const char *const said[] = {
        "'Weaving group'",  "'two-ply wool'",
        "'12 %'",           "'Krapp, Färberröte'",
        "'fox red'",        "'brick red'",
        "'20.1 g'",         "'a pinch'",
        "'?/9/2025'",       "'6-7'",
        "'velvet-foot pax", "'allotment, third bed'",
        "'October 2024'",   "'rubbed off on the fingers'",
        "'Rubia tinctorum'"};

    for (size_t i = 0; i < ARRAY_LEN(said); i++)
        if (!strstr(list, said[i]))
            fail_msg("the facts do not say %s", said[i]);
}

void old_book_check_facts(int version, const char *dir)
{
    char path[128];
    sqlite3 *db;
    size_t n, lines = 0;
    char *list;

    snprintf(path, sizeof path, OLD_BOOKS "/v%04d.facts", version);
    list = (char *)file_read(path, &n);
    list = mem_resize(list, n + 1, 1);
    list[n] = '\0';
    check_list(list);
    snprintf(path, sizeof path, "%s/book.db", dir);
    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    for (char *s = list, *end; *s; s = end + 1, lines++) {
        end = strchr(s, '\n');
        assert_non_null(end);
        *end = '\0';
        check_fact(db, version, s);
    }
    assert_true(lines > 900);
    free(list);
    sqlite3_close(db);
}
