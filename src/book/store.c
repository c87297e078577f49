/* Opening, making and closing a book; acts. See book/book.h. */
#include "book/store.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>

#include "base/day.h"
#include "base/disk.h"
#include "base/mem.h"
#include "base/place.h"
#include "base/text.h"
#include "book/grid_kept.h"
#include "book/noted.h"
#include "book/noun.h"
#include "book/said.h"
#include "book/step.h"

#define BUSY_MS 5000

static const char settings[] =
    "PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL;"
    "PRAGMA foreign_keys = ON; PRAGMA trusted_schema = OFF;"
    "PRAGMA temp_store = MEMORY; PRAGMA cell_size_check = ON;";

/* hanklab has one thread a process, so SQLite needs no locks of its own, and
 * nothing asks how much memory it has. Where it has begun before this is late
 * and does no harm. */
static void settle_sqlite(void)
{
    sqlite3_config(SQLITE_CONFIG_SINGLETHREAD);
    sqlite3_config(SQLITE_CONFIG_MEMSTATUS, 0);
}

static bool in_memory(const char *dir)
{
    return !strcmp(dir, ":memory:");
}

static char *db_path(const char *dir)
{
    struct text t = {0};

    if (in_memory(dir))
        return mem_text(dir);
    text_addf(&t, "%s/book.db", dir);
    return text_take(&t);
}

/* Sets dyer_id; 0 when the book was begun and not finished. */
static bool find_dyer(struct book *book, struct error *err)
{
    struct stmt q;
    bool row;

    if (!stmt_begin(book, STMT_DYER_MINE, &q, err) || !stmt_step(&q, &row, err))
        return false;
    book->dyer_id = row ? stmt_get_int(&q, 0) : 0;
    stmt_done(&q);
    return true;
}

/* fold(text): the key names are looked up by. */
static void sql_fold(sqlite3_context *ctx, int n, sqlite3_value **value)
{
    const char *s = (const char *)sqlite3_value_text(value[0]);

    (void)n;
    if (s)
        sqlite3_result_text(ctx, text_fold(s), -1, free);
}

/* day_shown(words, from, to): a day as it is shown, which is as it was read
 * where the words alone would come to mean another. */
static void sql_day_shown(sqlite3_context *ctx, int n, sqlite3_value **value)
{
    const char *s[3];
    struct day_range r = {.known = true};
    struct text t = {0};

    (void)n;
    for (int i = 0; i < 3; i++)
        s[i] = (const char *)sqlite3_value_text(value[i]);
    if (s[1] && s[2] && day_from_iso(s[1], &r.from) &&
        day_from_iso(s[2], &r.to) && (!s[0] || day_words_move(s[0], r))) {
        text_add(&t, s[1]);
        if (strcmp(s[1], s[2]) != 0)
            text_addf(&t, " to %s", s[2]);
        sqlite3_result_text(ctx, text_take(&t), -1, free);
    } else if (s[0]) {
        sqlite3_result_text(ctx, s[0], -1, SQLITE_TRANSIENT);
    }
}

bool store_unfinished(const struct book *book, struct error *err)
{
    return error_set(err, ERR_STORE,
                     "the book in %s was begun and not finished: finish it "
                     "with \"hanklab init\", or \"hanklab restore\" where "
                     "that began it",
                     book->dir);
}

bool store_can_lock(const char *dir, struct error *err)
{
    return in_memory(dir) || place_locks(dir) ||
           error_set(err, ERR_STORE,
                     "files in %s cannot be locked, as on some network drives: "
                     "keep books and their copies where they can, such as a "
                     "disk of this machine",
                     dir);
}

static bool connect(const char *dir, int flags, struct book **out,
                    struct error *err)
{
    struct book *book;
    char *path;
    int rc;

    if (place_is_remote(dir) && !store_can_lock(dir, err))
        return false;
    settle_sqlite();
    book = mem_new(1, sizeof *book);
    path = db_path(dir);
    book->dir = mem_text(dir);
    book->insert = mem_new(noun_count, sizeof *book->insert);
    rc = sqlite3_open_v2(path, &book->db,
                         flags | SQLITE_OPEN_READWRITE | SQLITE_OPEN_NOMUTEX |
                             SQLITE_OPEN_EXRESCODE,
                         NULL);
    free(path);
    if (rc != SQLITE_OK) {
        store_error(book, err);
        goto failed;
    }
    sqlite3_busy_timeout(book->db, BUSY_MS);
    sqlite3_db_config(book->db, SQLITE_DBCONFIG_DEFENSIVE, 1, NULL);
    sqlite3_create_function(book->db, "fold", 1,
                            SQLITE_UTF8 | SQLITE_DETERMINISTIC |
                                SQLITE_INNOCUOUS,
                            NULL, sql_fold, NULL, NULL);
    sqlite3_create_function(book->db, "day_shown", 3,
                            SQLITE_UTF8 | SQLITE_DETERMINISTIC |
                                SQLITE_INNOCUOUS,
                            NULL, sql_day_shown, NULL, NULL);
    noted_begin(book);
    if (!store_exec(book, settings, err) ||
        !store_migrate(book, flags & SQLITE_OPEN_CREATE, err))
        goto failed;
    *out = book;
    return true;

failed:
    /* No locks look to SQLite like another program that is writing. */
    store_can_lock(dir, err);
    book_close(book);
    return false;
}

/* Tells apart "no book", "not yours" and "not a folder". */
static bool look(const char *dir, struct error *err)
{
    struct stat st;
    char *path = db_path(dir);
    bool ok = false;

    if (stat(path, &st) == 0 && S_ISREG(st.st_mode)) {
        ok = true;
    } else if (errno == EACCES) {
        error_set(err, ERR_STORE, "no permission to read the book in %s", dir);
    } else {
        error_set(err, ERR_MISSING,
                  "there is no book in %s: make one with "
                  "\"hanklab init\", or name another with --book",
                  dir);
    }
    free(path);
    return ok;
}

/* A new book's first record: whose it is, and that "no mordant" is known. */
static bool begin_book(struct book *book, const char *dyer, struct error *err)
{
    struct stmt q = {0};

    if (!book_act_begin(book, "init", err))
        return false;
    if (!find_dyer(book, err))
        goto back;
    if (book->dyer_id) {
        error_set(err, ERR_INPUT, "there is a book in %s already", book->dir);
        goto back;
    }
    if (!stmt_prepare(book, "INSERT INTO dyer (name, mine) VALUES (:n, 1)", &q,
                      err))
        goto back;
    stmt_text(&q, ":n", dyer);
    if (!stmt_run(&q, err) ||
        !store_exec(book,
                    "INSERT INTO material (kind, name, name_key, none) "
                    "VALUES ('mordant', 'no mordant', 'no mordant', 1);"
                    "INSERT INTO alias (material_id, name, name_key) VALUES "
                    "(last_insert_rowid(), 'none', 'none')",
                    err))
        goto back;
    return book_act_end(book, err);

back:
    stmt_done(&q);
    book_act_cancel(book);
    return false;
}

bool book_create(const char *dir, const char *dyer, struct error *err)
{
    struct book *book = NULL;
    char *name = text_trim(dyer);
    bool ok = false;

    if (!*name)
        error_set(err, ERR_INPUT, "say whose book it is: a name");
    else if (!*dir)
        error_set(err, ERR_INPUT, "say which folder the book shall be in");
    else
        ok = disk_folder(dir, err) &&
             connect(dir, SQLITE_OPEN_CREATE, &book, err) &&
             begin_book(book, name, err);
    book_close(book);
    free(name);
    return ok;
}

bool book_open(const char *dir, struct book **out, struct error *err)
{
    bool fresh = in_memory(dir);

    *out = NULL;
    if (!fresh && !look(dir, err))
        return false;
    if (!connect(dir, fresh ? SQLITE_OPEN_CREATE : 0, out, err))
        return false;
    if (fresh && !begin_book(*out, BOOK_NAMELESS, err))
        goto failed;
    if (!find_dyer(*out, err))
        goto failed;
    if (!(*out)->dyer_id) {
        store_unfinished(*out, err);
        goto failed;
    }
    return true;

failed:
    book_close(*out);
    *out = NULL;
    return false;
}

void book_close(struct book *book)
{
    if (!book)
        return;
    book_act_cancel(book);
    grid_kept_clear(book);
    stmt_forget(book);
    for (size_t i = 0; i < noun_count; i++)
        sqlite3_finalize(book->insert[i]);
    sqlite3_close(book->db);
    free(book->insert);
    free(book->dir);
    free(book);
}

const char *book_folder(const struct book *book)
{
    return book->dir;
}

const char *book_warning(const char *dir)
{
    return place_is_remote(dir)
               ? "the book is on a network drive: use it from one machine at a "
                 "time, best keep it on a disk of this one"
               : NULL;
}

int64_t book_dyer(const struct book *book)
{
    return book->dyer_id;
}

int64_t book_act(const struct book *book)
{
    return book->act_id;
}

/* Now, and how far the place's clock is ahead of UTC. */
static void now(int64_t *at, int64_t *offset_min)
{
    struct timespec t;
    struct tm local, utc;
    long days;

    clock_gettime(CLOCK_REALTIME, &t);
    localtime_r(&t.tv_sec, &local);
    gmtime_r(&t.tv_sec, &utc);
    days = local.tm_yday - utc.tm_yday;
    if (local.tm_year != utc.tm_year)
        days = local.tm_year - utc.tm_year;
    *at = (int64_t)t.tv_sec * 1000 + t.tv_nsec / 1000000;
    *offset_min = days * 1440 + (local.tm_hour - utc.tm_hour) * 60L +
                  (local.tm_min - utc.tm_min);
}

static bool same_version(struct book *book, struct error *err)
{
    struct stmt q;
    bool row;
    int64_t version;

    if (!stmt_begin(book, STMT_VERSION, &q, err) || !stmt_step(&q, &row, err))
        return false;
    version = stmt_get_int(&q, 0);
    stmt_done(&q);
    return version == book_schema_version() ||
           error_set(err, ERR_STORE,
                     "the book was upgraded by a newer hanklab "
                     "while this one was open: start it again");
}

void book_acts_from(struct book *book, const char *face)
{
    book->face = face;
}

bool book_act_begin(struct book *book, const char *what, struct error *err)
{
    struct stmt q;
    int64_t at, offset_min;

    if (!store_exec(book, "BEGIN IMMEDIATE", err))
        return false;
    book->in_act = true;
    now(&at, &offset_min);
    if (!same_version(book, err) || !stmt_begin(book, STMT_ACT_ADD, &q, err))
        goto back;
    stmt_int(&q, ":at", at);
    stmt_int(&q, ":offset_min", offset_min);
    stmt_text(&q, ":what", what);
    stmt_text(&q, ":device", book->face);
    stmt_null(&q, ":undoes");
    if (!stmt_run(&q, err))
        goto back;
    book->act_id = sqlite3_last_insert_rowid(book->db);
    return true;

back:
    book_act_cancel(book);
    return false;
}

/* What a broken disk took for good and then could not make sure of comes back
 * when the book is opened again: SQLite cannot write over it. */
static bool commit(struct book *book, struct error *err)
{
    if (store_exec(book, "COMMIT", err))
        return true;
    if (store_code(book->db) == SQLITE_IOERR)
        error_set(err, ERR_STORE,
                  "the disk failed while this was kept (%s): look whether it "
                  "is in the book before you do it again",
                  sqlite3_errmsg(book->db));
    return false;
}

bool book_act_end(struct book *book, struct error *err)
{
    struct touched t;
    bool ok = touched_read(book, &t, err) && step_refresh(book, &t, err) &&
              said_refresh(book, &t, err) && commit(book, err);

    touched_clear(&t);
    if (!ok) {
        book_act_cancel(book);
        return false;
    }
    book->in_act = false;
    return true;
}

void book_act_cancel(struct book *book)
{
    if (!book->in_act)
        return;
    for (size_t i = 0; i < STMT_COUNT; i++)
        if (book->st[i])
            sqlite3_reset(book->st[i]);
    sqlite3_exec(book->db, "ROLLBACK", NULL, NULL, NULL);
    book->in_act = false;
}

int64_t book_own_changes(const struct book *book)
{
    return sqlite3_total_changes(book->db);
}

int64_t book_data_version(struct book *book)
{
    struct stmt q;
    struct error err;
    bool row;
    int64_t version = 0;

    if (stmt_begin(book, STMT_DATA_VERSION, &q, &err) &&
        stmt_step(&q, &row, &err)) {
        version = stmt_get_int(&q, 0);
        stmt_done(&q);
    }
    return version;
}
