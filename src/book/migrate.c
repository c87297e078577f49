/*
 * Brings a book to the present schema: numbered files, each in its own
 * transaction, then history triggers made from the columns there are.
 */
#include "book/store.h"

#include <assert.h>
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/disk.h"
#include "base/embedded.h"
#include "base/mem.h"
#include "base/text.h"
#include "book/said.h"
#include "book/step.h"

extern const struct embedded embed_schema[];
extern const size_t embed_schema_count;

#define APPLICATION_ID 0x686B6C62 /* "hklb" */

int book_schema_version(void)
{
    return (int)embed_schema_count;
}

static bool pragma_int(struct book *book, const char *sql, int64_t *out,
                       struct error *err)
{
    struct stmt q = {0};
    bool row = false;

    if (!stmt_prepare(book, sql, &q, err))
        return false;
    if (!stmt_step(&q, &row, err))
        return false;
    *out = row ? stmt_get_int(&q, 0) : 0;
    stmt_done(&q);
    return true;
}

/* A copy of the whole book in a new file, on the disk. By a connection of its
 * own, for in a transaction there is no VACUUM; it may write, for without
 * SQLite 3.40 copies no table that has computed columns. */
static bool copy_to(const struct book *book, const char *path,
                    struct error *err)
{
    struct book reader = {.dir = book->dir};
    struct stmt q = {0};
    int fd;
    bool ok;

    ok = sqlite3_open_v2(sqlite3_db_filename(book->db, "main"), &reader.db,
                         SQLITE_OPEN_READWRITE | SQLITE_OPEN_NOMUTEX |
                             SQLITE_OPEN_EXRESCODE,
                         NULL) == SQLITE_OK ||
         store_error(&reader, err);
    ok = ok && stmt_prepare(&reader, "VACUUM INTO :path", &q, err);
    if (ok) {
        stmt_text(&q, ":path", path);
        ok = stmt_run(&q, err);
    }
    stmt_forget(&reader);
    sqlite3_close(reader.db);
    if (!ok)
        return false;
    fd = open(path, O_RDONLY | O_CLOEXEC);
    ok = fd >= 0 && fsync(fd) == 0;
    if (!ok)
        error_set(err, ERR_STORE,
                  "cannot copy the book to %s before the upgrade: %s", path,
                  strerror(errno));
    if (fd >= 0)
        close(fd);
    return ok;
}

/* Copies the book to book-vNNNN.db beside it, which has that name when it is
 * whole. No other program writes meanwhile, or does the same. */
static bool copy_aside(struct book *book, int version, struct error *err)
{
    struct text path = {0}, begun = {0};
    bool ok;

    if (!store_exec(book, "BEGIN IMMEDIATE", err))
        return false;
    text_addf(&path, "%s/book-v%04d.db", book->dir, version);
    text_addf(&begun, "%s.new", path.s);
    /* One that was cut off made it, or another program was first. */
    ok = access(path.s, F_OK) == 0;
    if (!ok) {
        unlink(begun.s);
        ok = copy_to(book, begun.s, err) &&
             (rename(begun.s, path.s) == 0 ||
              error_set(err, ERR_STORE, "cannot write %s: %s", path.s,
                        strerror(errno))) &&
             disk_sync_folder(book->dir, err);
        if (!ok)
            unlink(begun.s); /* a full disk has no room for it */
    }
    sqlite3_exec(book->db, "ROLLBACK", NULL, NULL, NULL); /* nothing written */
    text_clear(&path);
    text_clear(&begun);
    return ok;
}

/* One trigger for new records, one for changed ones, one against deletion.
 * Their text is read each time the book is opened, so it is short: what there
 * is to do stands in noted.c. */
static bool add_triggers(struct book *book, const char *table,
                         struct error *err)
{
    struct text sql = {0}, names = {0}, values = {0};
    struct stmt q = {0};
    int arguments = 3;
    bool ok, row = false;

    ok = stmt_prepare(book,
                      "SELECT name FROM pragma_table_info(:t) "
                      "WHERE name NOT IN ('id', 'uid')",
                      &q, err);
    if (ok)
        stmt_text(&q, ":t", table);
    while (ok && (ok = stmt_step(&q, &row, err)) && row) {
        const char *c = stmt_get_text(&q, 0);
        text_addf(&names, "%s%s", names.len ? "," : "", c);
        text_addf(&values, ", old.%s, new.%s", c, c);
        arguments += 2;
    }
    stmt_done(&q);
    assert(arguments <= 127); /* SQLite's limit of a function */
    text_addf(&sql,
              "CREATE TRIGGER history_%s_new AFTER INSERT ON %s BEGIN "
              "SELECT noted('%s', new.id); END; "
              "CREATE TRIGGER history_%s_kept BEFORE DELETE ON %s BEGIN "
              "SELECT RAISE(ABORT, 'records are withdrawn, never deleted'); "
              "END; CREATE TRIGGER history_%s_change AFTER UPDATE ON %s BEGIN "
              "SELECT noted('%s', old.id, '%s'%s); END;",
              table, table, table, table, table, table, table, table,
              text_str(&names), text_str(&values));
    ok = ok && store_exec(book, text_str(&sql), err);
    text_clear(&sql);
    text_clear(&names);
    text_clear(&values);
    return ok;
}

/* Makes the triggers anew for every table that holds records. */
static bool renew_triggers(struct book *book, struct error *err)
{
    struct text drop = {0}, tables = {0};
    struct stmt q = {0};
    bool ok, row = false;

    ok = stmt_prepare(book,
                      "SELECT name FROM sqlite_schema WHERE "
                      "type = 'trigger' AND name LIKE 'history\\_%' "
                      "ESCAPE '\\'",
                      &q, err);
    while (ok && (ok = stmt_step(&q, &row, err)) && row)
        text_addf(&drop, "DROP TRIGGER %s;", stmt_get_text(&q, 0));
    stmt_done(&q);
    ok = ok && store_exec(book, text_str(&drop), err);
    ok = ok && stmt_prepare(book,
                            "SELECT name FROM sqlite_schema s WHERE "
                            "type = 'table' AND name <> 'act' AND EXISTS "
                            "(SELECT 1 FROM pragma_table_info(s.name) "
                            "WHERE name = 'uid') ORDER BY name",
                            &q, err);
    while (ok && (ok = stmt_step(&q, &row, err)) && row)
        text_addf(&tables, "%s\n", stmt_get_text(&q, 0));
    stmt_done(&q);
    for (char *s = tables.s, *end; ok && s && *s; s = end + 1) {
        end = strchr(s, '\n');
        *end = '\0';
        ok = add_triggers(book, s, err);
    }
    text_clear(&drop);
    text_clear(&tables);
    return ok;
}

/* The newest form has what can be rebuilt made anew: it may be new in it.
 * was  the version before it of an old book, 0 of a new one and later */
static bool apply(struct book *book, int version, int was, struct error *err)
{
    const struct embedded *file = &embed_schema[version - 1];
    char end[128];
    struct stmt q = {0};
    bool row = false, ok = false;
    int64_t now;

    if (!store_exec(book, "PRAGMA foreign_keys = OFF; BEGIN IMMEDIATE", err) ||
        !pragma_int(book, "PRAGMA user_version", &now, err))
        return false;
    ok = now >= version; /* another program was first */
    if (ok || (was && !store_reform(book, was, err)) ||
        !store_exec(book, (const char *)file->data, err) ||
        !renew_triggers(book, err) ||
        (version == book_schema_version() &&
         (!step_rebuild(book, err) || !said_rebuild(book, err))) ||
        !stmt_prepare(book, "PRAGMA foreign_key_check", &q, err) ||
        !stmt_step(&q, &row, err))
        goto back;
    stmt_done(&q);
    if (row) {
        error_set(err, ERR_BUG, "schema %s leaves a row without its parent",
                  file->name);
        goto back;
    }
    snprintf(end, sizeof end,
             "PRAGMA user_version = %d; "
             "PRAGMA application_id = %d; COMMIT; PRAGMA foreign_keys = ON",
             version, APPLICATION_ID);
    if (store_exec(book, end, err))
        return true;

back:
    stmt_done(&q);
    sqlite3_exec(book->db, "ROLLBACK; PRAGMA foreign_keys = ON", NULL, NULL,
                 NULL);
    return ok;
}

bool store_migrate(struct book *book, bool make, struct error *err)
{
    int64_t version, id, tables;

    /* In this order, for another program may be making the book just now. */
    if (!pragma_int(book, "SELECT count(*) FROM sqlite_schema", &tables, err) ||
        !pragma_int(book, "PRAGMA application_id", &id, err) ||
        !pragma_int(book, "PRAGMA user_version", &version, err))
        return false;
    if (!tables && !make)
        return store_unfinished(book, err);
    if (tables > 0 && id != APPLICATION_ID)
        return error_set(err, ERR_STORE,
                         "%s/book.db is a database of another "
                         "program, not a hanklab book",
                         book->dir);
    if (version > book_schema_version())
        return error_set(err, ERR_STORE,
                         "this book was written by a newer "
                         "hanklab (book version %d, this one knows %d): "
                         "update hanklab",
                         (int)version, book_schema_version());
    if (version > 0 && version < book_schema_version() &&
        !copy_aside(book, (int)version, err))
        return false;
    for (int v = (int)version + 1; v <= book_schema_version(); v++)
        if (!apply(book, v, v == version + 1 ? (int)version : 0, err))
            return false;
    return true;
}
