/*
 * Gives a book from before version 5 the tables of its version as they are
 * now. Until then schema files were changed after books had been made by them,
 * so a book of version 1 to 4 may lack columns, or have a table that is no
 * more.
 */
#include "book/store.h"

#include "base/embedded.h"
#include "base/mem.h"
#include "base/text.h"

extern const struct embedded embed_schema[];

#define SETTLED 5 /* no file was changed after a book of that version */

/* Each asks for statements, which are run before the next is asked. Rows are
 * copied by the columns that both forms have; a table without an id holds only
 * what can be made from the records again. */
static const char *const pass[] = {
    "SELECT 'DROP INDEX ' || name FROM sqlite_schema"
    " WHERE type = 'index' AND sql IS NOT NULL",
    "SELECT 'ALTER TABLE ' || name || ' RENAME TO early_' || name"
    " FROM sqlite_schema s WHERE type = 'table' AND name NOT LIKE 'sqlite%'"
    " AND NOT EXISTS (SELECT 1 FROM form f"
    " WHERE f.name = s.name AND f.sql = s.sql)",
    "SELECT sql FROM form f WHERE NOT EXISTS (SELECT 1 FROM sqlite_schema s"
    " WHERE s.name = f.name) ORDER BY type DESC", /* tables, then indexes */
    "SELECT 'INSERT INTO ' || name || ' (' || c || ') SELECT ' || c ||"
    " ' FROM early_' || name FROM (SELECT f.name, (SELECT group_concat(a.name)"
    " FROM pragma_table_info(f.name) a"
    " JOIN pragma_table_info('early_' || f.name) b USING (name)) AS c"
    " FROM form f WHERE EXISTS (SELECT 1 FROM"
    " pragma_table_info('early_' || f.name) WHERE name = 'id'))",
    "SELECT 'DROP TABLE ' || name FROM sqlite_schema"
    " WHERE type = 'table' AND name LIKE 'early\\_%' ESCAPE '\\'",
};

static bool run_pass(struct book *book, const char *asks, struct error *err)
{
    struct text sql = {0};
    struct stmt q;
    bool ok, row;

    ok = stmt_prepare(book, asks, &q, err);
    while (ok && (ok = stmt_step(&q, &row, err)) && row)
        text_addf(&sql, "%s;", stmt_get_text(&q, 0));
    stmt_done(&q);
    ok = ok && store_exec(book, text_str(&sql), err);
    text_clear(&sql);
    return ok;
}

/* A book in memory with the first files' tables. */
static bool open_form(int version, sqlite3 **out, struct error *err)
{
    int rc = sqlite3_open(":memory:", out);

    for (int v = 0; v < version && rc == SQLITE_OK; v++)
        rc = sqlite3_exec(*out, (const char *)embed_schema[v].data, NULL, NULL,
                          NULL);
    return rc == SQLITE_OK ||
           error_set(err, ERR_BUG, "the tables of book version %d: %s", version,
                     sqlite3_errmsg(*out));
}

/* Writes down how each table and index is to be. */
static bool note_form(struct book *book, sqlite3 *form, struct error *err)
{
    sqlite3_stmt *st = NULL;
    struct stmt q = {0};
    bool ok = sqlite3_prepare_v2(form,
                                 "SELECT type, name, sql FROM sqlite_schema"
                                 " WHERE sql IS NOT NULL",
                                 -1, &st, NULL) == SQLITE_OK ||
              error_set(err, ERR_BUG, "the tables of a book: %s",
                        sqlite3_errmsg(form));

    while (ok && sqlite3_step(st) == SQLITE_ROW) {
        ok = stmt_prepare(book, "INSERT INTO form VALUES (:type, :name, :sql)",
                          &q, err);
        if (!ok)
            break;
        stmt_text(&q, ":type", (const char *)sqlite3_column_text(st, 0));
        stmt_text(&q, ":name", (const char *)sqlite3_column_text(st, 1));
        stmt_text(&q, ":sql", (const char *)sqlite3_column_text(st, 2));
        ok = stmt_run(&q, err);
    }
    sqlite3_finalize(st);
    return ok;
}

bool store_reform(struct book *book, int version, struct error *err)
{
    sqlite3 *form = NULL;
    bool ok;

    if (version >= SETTLED)
        return true;
    ok = open_form(version, &form, err) &&
         store_exec(book,
                    "PRAGMA legacy_alter_table = ON;" /* of this table alone */
                    "CREATE TEMP TABLE form (type, name, sql)",
                    err) &&
         note_form(book, form, err);
    for (size_t i = 0; i < ARRAY_LEN(pass) && ok; i++)
        ok = run_pass(book, pass[i], err);
    sqlite3_close(form);
    return ok && store_exec(book,
                            "DROP TABLE temp.form;"
                            "PRAGMA legacy_alter_table = OFF",
                            err);
}
