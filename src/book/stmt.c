/* Statements with named parameters. See store.h. */
#include "book/store.h"

#include <assert.h>
#include <errno.h>
#include <math.h>
#include <string.h>

static const char *const sql[STMT_COUNT] = {
#define STMT(id, text) [id] = text,
#include "book/sql.def"
#undef STMT
};

int store_code(sqlite3 *db)
{
    const int code = sqlite3_errcode(db) & 0xFF,
              cause = sqlite3_system_errno(db);

    /* A file that finds no room may fail to be made, grown or synced. */
    return (code == SQLITE_CANTOPEN || code == SQLITE_IOERR) &&
                   (cause == ENOSPC || cause == EDQUOT)
               ? SQLITE_FULL
               : code;
}

bool store_error(struct book *book, struct error *err)
{
    const char *dir = book->dir;

    switch (store_code(book->db)) {
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
        return error_set(err, ERR_STORE,
                         "another program is writing to this "
                         "book; wait until it is done and try again");
    case SQLITE_FULL:
        return error_set(err, ERR_STORE,
                         "the disk is full: nothing was "
                         "changed; make room and try again");
    case SQLITE_READONLY:
    case SQLITE_PERM:
    case SQLITE_CANTOPEN:
        return error_set(err, ERR_STORE,
                         "cannot write to the book in %s: "
                         "check that the folder is there and not read-only",
                         dir);
    case SQLITE_CORRUPT:
    case SQLITE_NOTADB:
        return error_set(err, ERR_STORE,
                         "%s/book.db is damaged or not a hanklab book; "
                         "\"hanklab restore\" makes one from a copy",
                         dir);
    case SQLITE_IOERR:
        return error_set(err, ERR_STORE,
                         "the disk failed while the book was "
                         "read or written (%s): nothing was changed",
                         sqlite3_errmsg(book->db));
    }
    return error_set(err, ERR_BUG, "the book: %s", sqlite3_errmsg(book->db));
}

bool stmt_begin(struct book *book, enum stmt_id id, struct stmt *q,
                struct error *err)
{
    *q = (struct stmt){.book = book};
    if (!book->st[id] &&
        sqlite3_prepare_v3(book->db, sql[id], -1, SQLITE_PREPARE_PERSISTENT,
                           &book->st[id], NULL) != SQLITE_OK)
        return store_error(book, err);
    q->st = book->st[id];
    assert(!sqlite3_stmt_busy(q->st));
    sqlite3_clear_bindings(q->st);
    return true;
}

/* The place for a text: FNV-1a, from memory. */
static struct stmt_kept *place_of(struct book *book, const char *text)
{
    uint32_t hash = 2166136261U;

    for (const char *s = text; *s; s++)
        hash = (hash ^ (unsigned char)*s) * 16777619U;
    return &book->kept[hash % STMT_KEPT];
}

bool stmt_prepare(struct book *book, const char *text, struct stmt *q,
                  struct error *err)
{
    struct stmt_kept *kept = place_of(book, text);

    *q = (struct stmt){.book = book, .own = kept->taken};
    if (!kept->taken && kept->st && !strcmp(sqlite3_sql(kept->st), text)) {
        q->st = kept->st;
        sqlite3_clear_bindings(q->st);
    } else if (sqlite3_prepare_v2(book->db, text, -1, &q->st, NULL) !=
               SQLITE_OK) {
        return store_error(book, err);
    }
    if (!kept->taken) {
        if (kept->st != q->st)
            sqlite3_finalize(kept->st);
        *kept = (struct stmt_kept){q->st, true};
        q->kept = kept;
    }
    return true;
}

static int param(struct stmt *q, const char *name)
{
    int i = sqlite3_bind_parameter_index(q->st, name);

    assert(i > 0);
    return i;
}

void stmt_null(struct stmt *q, const char *name)
{
    if (!q->rc)
        q->rc = sqlite3_bind_null(q->st, param(q, name));
}

void stmt_int(struct stmt *q, const char *name, int64_t value)
{
    if (!q->rc)
        q->rc = sqlite3_bind_int64(q->st, param(q, name), value);
}

void stmt_real(struct stmt *q, const char *name, double value)
{
    if (!q->rc)
        q->rc = isnan(value)
                    ? sqlite3_bind_null(q->st, param(q, name))
                    : sqlite3_bind_double(q->st, param(q, name), value);
}

void stmt_text(struct stmt *q, const char *name, const char *value)
{
    if (!q->rc)
        q->rc = sqlite3_bind_text(q->st, param(q, name), value, -1,
                                  SQLITE_TRANSIENT);
}

void stmt_blob(struct stmt *q, const char *name, const void *value, size_t size)
{
    if (!q->rc)
        q->rc = sqlite3_bind_blob64(q->st, param(q, name), value, size,
                                    SQLITE_TRANSIENT);
}

void stmt_id(struct stmt *q, const char *name, int64_t id)
{
    if (id)
        stmt_int(q, name, id);
    else
        stmt_null(q, name);
}

void stmt_done(struct stmt *q)
{
    if (!q->st)
        return;
    if (q->own)
        sqlite3_finalize(q->st);
    else
        sqlite3_reset(q->st);
    if (q->kept)
        q->kept->taken = false;
    q->kept = NULL;
    q->st = NULL;
}

void stmt_forget(struct book *book)
{
    for (size_t i = 0; i < STMT_COUNT; i++)
        sqlite3_finalize(book->st[i]);
    for (size_t i = 0; i < STMT_KEPT; i++) {
        assert(!book->kept[i].taken);
        sqlite3_finalize(book->kept[i].st);
    }
}

bool stmt_step(struct stmt *q, bool *row, struct error *err)
{
    int rc = q->rc ? q->rc : sqlite3_step(q->st);

    *row = rc == SQLITE_ROW;
    if (rc == SQLITE_ROW || rc == SQLITE_DONE)
        return true;
    store_error(q->book, err);
    stmt_done(q);
    return false;
}

bool stmt_run(struct stmt *q, struct error *err)
{
    bool row;

    if (!stmt_step(q, &row, err))
        return false;
    stmt_done(q);
    return true;
}

int64_t stmt_get_int(struct stmt *q, int column)
{
    return sqlite3_column_int64(q->st, column);
}

double stmt_get_real(struct stmt *q, int column)
{
    const double value = sqlite3_column_double(q->st, column); /* NULL is 0 */

    return value == 0 && stmt_is_null(q, column) ? (double)NAN : value;
}

const char *stmt_get_text(struct stmt *q, int column)
{
    return (const char *)sqlite3_column_text(q->st, column);
}

const void *stmt_get_blob(struct stmt *q, int column, size_t *size)
{
    const void *blob = sqlite3_column_blob(q->st, column);

    *size = (size_t)sqlite3_column_bytes(q->st, column);
    return blob;
}

bool stmt_is_null(struct stmt *q, int column)
{
    return sqlite3_column_type(q->st, column) == SQLITE_NULL;
}

bool store_exec(struct book *book, const char *text, struct error *err)
{
    return sqlite3_exec(book->db, text, NULL, NULL, NULL) == SQLITE_OK ||
           store_error(book, err);
}

/* Outside of a transaction a savepoint is one that reads. */
bool book_look(struct book *book, struct error *err)
{
    struct stmt q;

    return stmt_begin(book, STMT_LOOK, &q, err) && stmt_run(&q, err);
}

void book_look_end(struct book *book)
{
    struct stmt q;
    struct error err;

    if (stmt_begin(book, STMT_LOOK_END, &q, &err))
        stmt_run(&q, &err);
}
