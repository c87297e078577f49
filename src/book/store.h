/* Private to the book: the connection, and statements with named parameters. */
#ifndef HANKLAB_BOOK_STORE_H
#define HANKLAB_BOOK_STORE_H

#include <sqlite3.h>

#include "book/book.h"
#include "book/sql.h"

/* A statement that was prepared from a text, kept for when it is asked again.
 */
struct stmt_kept {
    sqlite3_stmt *st; /* NULL: none */
    bool taken;       /* by a struct stmt that is not done */
};

/* Places for texts made from descriptors: a session has some forty. Two at one
 * place only cost that each is prepared when the other was asked. */
#define STMT_KEPT 64

struct book {
    sqlite3 *db;
    char *dir;
    int64_t dyer_id;
    int64_t act_id;
    const char *face; /* what acts come from; NULL: the command line */
    bool in_act;
    sqlite3_stmt *st[STMT_COUNT];
    sqlite3_stmt **insert;            /* one a noun, made when first needed */
    struct stmt_kept kept[STMT_KEPT]; /* each where its text's hash says */
    struct grid_kept *grid;           /* see grid_kept.h; NULL: none */
    struct gather *gather; /* see gather.h; NULL: records are put in at once */
    bool sheaves;          /* sheaf.c has been made known to SQLite */
};

/* A statement being bound and run. Binding remembers the first failure, so
 * only the last call is tested. */
struct stmt {
    struct book *book;
    sqlite3_stmt *st;
    int rc;
    bool own;               /* finalized by stmt_done rather than reset */
    struct stmt_kept *kept; /* given back by stmt_done; NULL: not from there */
};

/* Takes a statement of the table, reset and unbound. */
bool stmt_begin(struct book *book, enum stmt_id id, struct stmt *q,
                struct error *err);

/* Prepares a text made from our own descriptors, never from input; one that
 * was prepared lately is taken as it is. */
bool stmt_prepare(struct book *book, const char *sql, struct stmt *q,
                  struct error *err);

void stmt_null(struct stmt *q, const char *name);
void stmt_int(struct stmt *q, const char *name, int64_t value);
void stmt_real(struct stmt *q, const char *name, double value); /* NaN: NULL */
void stmt_text(struct stmt *q, const char *name, const char *value);
void stmt_blob(struct stmt *q, const char *name, const void *value,
               size_t size);
/* An id, 0 meaning NULL. */
void stmt_id(struct stmt *q, const char *name, int64_t id);

/* Steps to the next row: true and *row true for a row, *row false at the end.
 */
bool stmt_step(struct stmt *q, bool *row, struct error *err);

/* Runs a statement that gives no rows, and ends it. */
bool stmt_run(struct stmt *q, struct error *err);

/* Ends a statement; allowed on a zeroed one and twice. */
void stmt_done(struct stmt *q);

/* Finalizes all that the book keeps; none may be in use. */
void stmt_forget(struct book *book);

/* Columns of the present row. NULL is 0, NaN or NULL; texts and blobs are
 * borrowed until the next step. */
int64_t stmt_get_int(struct stmt *q, int column);
double stmt_get_real(struct stmt *q, int column);
const char *stmt_get_text(struct stmt *q, int column);
const void *stmt_get_blob(struct stmt *q, int column, size_t *size);
bool stmt_is_null(struct stmt *q, int column);

/* SQLITE_... of what failed last; SQLITE_FULL when that was for want of room.
 */
int store_code(sqlite3 *db);

/* Fills err from what SQLite says; always false. */
bool store_error(struct book *book, struct error *err);

/* Whether files in a folder can be locked: without, two programs or two
 * machines write over each other. ERR_STORE. */
bool store_can_lock(const char *dir, struct error *err);

/* Runs fixed SQL without parameters. */
bool store_exec(struct book *book, const char *sql, struct error *err);

/* Brings the schema up to date; an empty file only when the book is to be made.
 * src/book/migrate.c. */
bool store_migrate(struct book *book, bool make, struct error *err);

/* Always false: the book has no dyer yet. */
bool store_unfinished(const struct book *book, struct error *err);

/* Within the transaction of an upgrade from that version: gives the tables of
 * a book from before version 5 the form they have now. Triggers are made anew
 * afterwards; src/book/reform.c. */
bool store_reform(struct book *book, int version, struct error *err);

#endif
