/* What is in a book, in words. See rows_support.h. */
#include "rows_support.h"

#include <stdio.h>
#include <string.h>

#include <sqlite3.h>

#include "base/text.h"
#include "book/book.h"

static void add_row(sqlite3_stmt *st, struct text *out)
{
    for (int i = 0; i < sqlite3_column_count(st); i++) {
        const char *column = sqlite3_column_name(st, i);
        const void *blob = sqlite3_column_blob(st, i);
        if (!strcmp(column, "uid") || !strcmp(column, "at"))
            continue; /* chance, and the clock */
        text_addf(out, " %s=", column);
        if (sqlite3_column_type(st, i) != SQLITE_BLOB)
            text_addf(out, "%s",
                      blob ? (const char *)sqlite3_column_text(st, i) : "-");
        else
            for (int k = 0; k < sqlite3_column_bytes(st, i); k++)
                text_addf(out, "%02x", ((const unsigned char *)blob)[k]);
    }
    text_add(out, "\n");
}

static void add_rows(sqlite3 *db, const char *sql, struct text *out)
{
    sqlite3_stmt *st;

    assert_int_equal(sqlite3_prepare_v2(db, sql, -1, &st, NULL), SQLITE_OK);
    while (sqlite3_step(st) == SQLITE_ROW)
        add_row(st, out);
    assert_int_equal(sqlite3_finalize(st), SQLITE_OK);
}

char *book_rows(const char *dir)
{
    struct text out = {0}, path = {0}, names = {0};
    struct book *book;
    struct error err;
    sqlite3 *db;

    if (!book_open(dir, &book, &err)) {
        if (err.kind != ERR_MISSING && !strstr(err.text, "not finished"))
            fail_msg("%s", err.text);
        return NULL;
    }
    book_close(book);
    text_addf(&path, "%s/book.db", dir);
    assert_int_equal(sqlite3_open(path.s, &db), SQLITE_OK);
    add_rows(db, "PRAGMA integrity_check", &out);
    check_text("integrity", out.s, " integrity_check=ok\n");
    add_rows(db, "PRAGMA foreign_key_check", &out);
    add_rows(db, "SELECT name FROM sqlite_schema WHERE type = 'table'", &names);
    for (char *s = names.s, *end; s && *s; s = end + 1) {
        char sql[80];
        end = strchr(s, '\n');
        *end = '\0';
        snprintf(sql, sizeof sql, "SELECT * FROM %s", s + strlen(" name="));
        text_addf(&out, "%s\n", s);
        add_rows(db, sql, &out);
    }
    sqlite3_close(db);
    text_clear(&path);
    text_clear(&names);
    return text_take(&out);
}
