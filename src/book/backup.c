/* Copies of a whole book. See book/backup.h. */
#define _XOPEN_SOURCE 700 /* realpath */

#include "book/backup.h"

#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#include "base/day.h"
#include "base/disk.h"
#include "base/mem.h"
#include "book/kept.h"
#include "book/store.h"

#define NOTE "last-copy" /* in the book's folder */
enum { MOST_TOLD = 20 };

/* A database that is read or written to without being a book to us. */
struct side {
    sqlite3 *db;
    const char *dir;
    bool own; /* closed by side_close */
};

static void side_close(struct side *s)
{
    if (s->own)
        sqlite3_close(s->db);
    *s = (struct side){0};
}

static bool side_busy(const struct side *s, struct error *err)
{
    return store_can_lock(s->dir, err) &&
           error_set(err, ERR_STORE,
                     "another program has the book in %s open; wait until it "
                     "is done and try again",
                     s->dir);
}

static bool side_error(const struct side *s, struct error *err)
{
    const int code = store_code(s->db);

    if (code == SQLITE_FULL)
        return error_set(err, ERR_STORE,
                         "no room in %s: the copy is as it was; make room and "
                         "try again",
                         s->dir);
    if (sqlite3_extended_errcode(s->db) == SQLITE_READONLY_ROLLBACK)
        return error_set(err, ERR_STORE,
                         "the copying to %s was cut off: \"hanklab backup\" "
                         "into it goes on with it",
                         s->dir);
    if (code == SQLITE_BUSY || code == SQLITE_LOCKED)
        return side_busy(s, err);
    if (code == SQLITE_CORRUPT || code == SQLITE_NOTADB)
        return error_set(err, ERR_STORE,
                         "the book in %s is damaged or not a hanklab book",
                         s->dir);
    if (code == SQLITE_CANTOPEN || code == SQLITE_READONLY)
        return error_set(err, ERR_STORE,
                         "cannot write to the book in %s: check that the "
                         "folder is there and not read-only",
                         s->dir);
    if (code == SQLITE_IOERR)
        return error_set(err, ERR_STORE,
                         "the disk failed while the book in %s was read or "
                         "written (%s): the copy is as it was",
                         s->dir, sqlite3_errmsg(s->db));
    return error_set(err, ERR_STORE, "the book in %s: %s", s->dir,
                     sqlite3_errmsg(s->db));
}

/* One to write to, made if need be. */
static bool side_open(const char *dir, struct side *out, struct error *err)
{
    struct text path = {0};
    int rc;

    text_addf(&path, "%s/book.db", dir);
    *out = (struct side){.dir = dir, .own = true};
    rc = sqlite3_open_v2(
        path.s, &out->db,
        SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE | SQLITE_OPEN_NOMUTEX, NULL);
    text_clear(&path);
    /* A new copy has a rollback journal: that it is gone has to be on the disk
     * too, or a power cut takes back what was said to be copied. */
    if (rc != SQLITE_OK ||
        sqlite3_exec(out->db, "PRAGMA synchronous = EXTRA", NULL, NULL, NULL)) {
        side_error(out, err);
        side_close(out);
        return false;
    }
    sqlite3_busy_timeout(out->db, 5000);
    return true;
}

/* What is asked of either; of a book of any version. */
enum question { SOUND, TABLES, WHOSE, LAST_ACT, ACT_AT, PHOTOS, PHOTO_COUNT };
static const char *const sql[] = {
    [SOUND] = "PRAGMA quick_check(1)",
    [TABLES] = "SELECT count(*) FROM sqlite_schema",
    [WHOSE] = "SELECT hex(uid) FROM dyer WHERE mine = 1",
    [LAST_ACT] = "SELECT max(id) FROM act",
    [ACT_AT] = "SELECT at FROM act WHERE id = ?",
    [PHOTOS] = "SELECT sha256, bytes FROM photo",
    [PHOTO_COUNT] = "SELECT count(*) FROM photo",
};

/* The first row; the statement is finalized by the caller, NULL when it
 * fails. */
static bool side_row(const struct side *s, enum question q, int64_t bound,
                     sqlite3_stmt **st, struct error *err)
{
    int rc;

    if (sqlite3_prepare_v2(s->db, sql[q], -1, st, NULL) != SQLITE_OK)
        return side_error(s, err);
    if (sqlite3_bind_parameter_count(*st))
        sqlite3_bind_int64(*st, 1, bound);
    rc = sqlite3_step(*st);
    if (rc == SQLITE_ROW || rc == SQLITE_DONE)
        return true;
    side_error(s, err);
    sqlite3_finalize(*st);
    *st = NULL;
    return false;
}

/* Its first column, "" or 0 when there is no row. */
static bool side_text(const struct side *s, enum question q, char *out,
                      size_t size, struct error *err)
{
    sqlite3_stmt *st;
    const char *text;

    if (!side_row(s, q, 0, &st, err))
        return false;
    text = (const char *)sqlite3_column_text(st, 0);
    snprintf(out, size, "%s", text ? text : "");
    sqlite3_finalize(st);
    return true;
}

static bool side_int(const struct side *s, enum question q, int64_t bound,
                     int64_t *out, struct error *err)
{
    sqlite3_stmt *st;

    if (!side_row(s, q, bound, &st, err))
        return false;
    *out = sqlite3_column_int64(st, 0);
    sqlite3_finalize(st);
    return true;
}

static bool is_sound(const struct side *s, struct error *err)
{
    char said[200];

    if (!side_text(s, SOUND, said, sizeof said, err))
        return false;
    return !strcmp(said, "ok") ||
           error_set(err, ERR_STORE, "the book in %s is damaged: %s", s->dir,
                     said);
}

/* ---- may it be written to ------------------------------------------------ */

static bool has_book(const char *dir)
{
    struct text path = {0};
    struct stat st;
    bool there;

    text_addf(&path, "%s/book.db", dir);
    there = stat(path.s, &st) == 0 && st.st_size > 0;
    text_clear(&path);
    return there;
}

/* The nearest folder above a path, or itself, that is there. */
static char *there_of(const char *path)
{
    char *part = mem_text(path), *there = realpath(part, NULL);

    while (!there) {
        char *slash = strrchr(part, '/');

        if (!slash)
            there = realpath(".", NULL);
        else if (slash == part)
            there = mem_text("/");
        else
            *slash = '\0';
        there = there ? there : realpath(part, NULL);
    }
    free(part);
    return there;
}

/* Whether a folder is another, or lies in it, or would. */
static bool lies_in(const char *dir, const char *outer)
{
    char *a = there_of(dir), *b = there_of(outer);
    const size_t n = strlen(b);
    const bool in = !strncmp(a, b, n) && (a[n] == '/' || !a[n]);

    free(a);
    free(b);
    return in;
}

/* Only into an earlier copy of the same book, all of whose acts it has. */
static bool is_earlier(const struct side *from, const struct side *to,
                       struct error *err)
{
    char mine[40], its[40];
    int64_t act, at, was;

    if (!side_text(from, WHOSE, mine, sizeof mine, err) ||
        !side_text(to, WHOSE, its, sizeof its, err) ||
        !side_int(to, LAST_ACT, 0, &act, err))
        return false;
    if (strcmp(mine, its) != 0)
        return error_set(err, ERR_INPUT,
                         "there is another book in %s: name another folder",
                         to->dir);
    if (!side_int(from, ACT_AT, act, &at, err) ||
        !side_int(to, ACT_AT, act, &was, err))
        return false;
    return at == was ||
           error_set(err, ERR_INPUT,
                     "the copy in %s has acts that this book has not, as after "
                     "going on from an older copy: copy to another folder",
                     to->dir);
}

/* Nothing is in it, as after bringing back that was cut off. */
static bool is_empty(const struct side *to, struct error *err)
{
    int64_t tables;

    return side_int(to, TABLES, 0, &tables, err) &&
           (!tables || error_set(err, ERR_INPUT,
                                 "there is a book in %s already, and none is "
                                 "ever written over: name another folder",
                                 to->dir));
}

/* ---- the two halves ------------------------------------------------------ */

/* One transaction of the database it goes to. */
static bool copy_records(const struct side *from, const struct side *to,
                         struct error *err)
{
    sqlite3_backup *b = sqlite3_backup_init(to->db, "main", from->db, "main");
    int rc;

    if (!b)
        return side_error(to, err);
    rc = sqlite3_backup_step(b, -1);
    /* The copy's connection has the error of either, but that it is busy. */
    if (sqlite3_backup_finish(b) != SQLITE_OK)
        return side_error(to, err);
    if (rc != SQLITE_DONE)
        return side_busy(to, err);
    return is_sound(to, err);
}

static void tell_unsound(const char *dir, const unsigned char sha256[32],
                         const char *why, struct backup_done *out)
{
    char *path = kept_path(dir, sha256);

    if (out->unsound++ < MOST_TOLD)
        text_addf(&out->told, "%s %s\n", path, why);
    free(path);
}

/* One picture, when the copy has it not. */
static bool copy_photo(const char *from, const char *to,
                       const unsigned char sha256[32], int64_t bytes,
                       struct backup_done *out, struct error *err)
{
    char *path = kept_path(to, sha256);
    unsigned char *data = NULL;
    const char *why;
    size_t size;
    struct stat st;
    const bool there = stat(path, &st) == 0 && st.st_size == bytes;
    bool ok = true;

    free(path);
    out->photos++;
    if (there)
        return true;
    if (kept_read(from, sha256, &data, &size, &why)) {
        ok = kept_write(to, sha256, data, size, err);
        out->fresh += ok;
    } else {
        tell_unsound(from, sha256, why, out);
    }
    free(data);
    return ok;
}

/* All pictures that a database names. */
static bool copy_photos(const struct side *list, const char *from,
                        const char *to, const struct backup_watch *watch,
                        struct backup_done *out, struct error *err)
{
    sqlite3_stmt *st = NULL;
    int64_t of;
    int rc = SQLITE_ERROR;
    bool ok = true;

    out->photos = out->unsound = 0;
    text_reset(&out->told);
    if (!side_int(list, PHOTO_COUNT, 0, &of, err))
        return false;
    if (sqlite3_prepare_v2(list->db, sql[PHOTOS], -1, &st, NULL) != SQLITE_OK)
        return side_error(list, err);
    while (ok && (rc = sqlite3_step(st)) == SQLITE_ROW) {
        ok = copy_photo(from, to, sqlite3_column_blob(st, 0),
                        sqlite3_column_int64(st, 1), out, err);
        if (watch && watch->tell)
            watch->tell(watch->data, out->photos, (size_t)of);
    }
    if (ok && rc != SQLITE_DONE)
        ok = side_error(list, err);
    sqlite3_finalize(st);
    return ok;
}

/* Pictures first, so that no record of a copy names one it has not; then again
 * those that were kept meanwhile. */
static bool copy(const struct side *from, const struct side *to,
                 const struct backup_watch *watch, struct backup_done *out,
                 struct error *err)
{
    return copy_photos(from, from->dir, to->dir, watch, out, err) &&
           copy_records(from, to, err) &&
           copy_photos(to, from->dir, to->dir, NULL, out, err);
}

/* ---- when ---------------------------------------------------------------- */

static char *note_path(const struct book *book)
{
    struct text t = {0};

    text_addf(&t, "%s/" NOTE, book->dir);
    return text_take(&t);
}

/* "2026-05-03 /media/stick/book": the day as the place has it. */
/* That it could not be noted does not undo the copy: it is asked for again. */
static void note(const struct book *book, const char *to)
{
    const time_t now = time(NULL);
    char *path = note_path(book), *whole = realpath(to, NULL), day[16];
    struct text t = {0};
    struct error unused;
    struct tm local;

    localtime_r(&now, &local);
    strftime(day, sizeof day, "%Y-%m-%d", &local);
    text_addf(&t, "%s %s\n", day, whole ? whole : to);
    disk_write(path, t.s, t.len, "", &unused);
    text_clear(&t);
    free(path);
    free(whole);
}

void backup_last(const struct book *book, struct backup_last *out)
{
    char *path = note_path(book), line[PATH_MAX + 16] = "";
    FILE *f = fopen(path, "r");
    struct day day = DAY_FIRST;

    *out = (struct backup_last){0};
    free(path);
    if (!f)
        return;
    if (fgets(line, sizeof line, f) && strlen(line) > 12 && line[10] == ' ') {
        line[strcspn(line, "\n")] = '\0';
        snprintf(out->on, sizeof out->on, "%.10s", line);
        out->ever = day_from_iso(out->on, &day);
    }
    fclose(f);
    if (!out->ever)
        return;
    out->to = mem_text(line + 11);
    out->days = day_between(day, day_today());
}

/* ---- the two ------------------------------------------------------------- */

bool backup_copy(struct book *book, const char *to,
                 const struct backup_watch *watch, struct backup_done *out,
                 struct error *err)
{
    const struct side from = {.db = book->db, .dir = book->dir};
    struct side there = {0};
    int64_t tables;
    bool ok;

    *out = (struct backup_done){0};
    if (lies_in(to, book->dir))
        return error_set(err, ERR_INPUT,
                         "%s lies in the book itself: name a folder elsewhere, "
                         "best on another disk",
                         to);
    if (!is_sound(&from, err) || !disk_folder(to, err))
        return false;
    if (!side_open(to, &there, err))
        return false;
    /* A first copy that was cut off is a file with nothing in it. */
    ok = side_int(&there, TABLES, 0, &tables, err) &&
         (!tables || is_earlier(&from, &there, err)) &&
         copy(&from, &there, watch, out, err);
    side_close(&there);
    if (ok)
        note(book, to);
    return ok;
}

/* Whether a program has a copy open, or was killed while it had. */
static bool has_journal(const char *dir)
{
    static const char *const kind[] = {"wal", "journal"};
    bool there = false;

    for (size_t i = 0; i < ARRAY_LEN(kind); i++) {
        struct text path = {0};

        text_addf(&path, "%s/book.db-%s", dir, kind[i]);
        there = there || access(path.s, F_OK) == 0;
        text_clear(&path);
    }
    return there;
}

/* "file:/media/a%20b/book.db", RFC 3986. */
static void add_uri(struct text *t, const char *dir)
{
    text_add(t, "file:");
    for (const char *p = dir; *p; p++)
        text_addf(t, strchr("%?#", *p) ? "%%%02X" : "%c", *p);
    text_add(t, "/book.db");
}

/* Opens a copy and writes nothing beside it, which may be on a disk that can
 * only be read: as one that nobody writes to, unless there is a journal. */
static bool open_copy(const char *dir, struct side *out, struct error *err)
{
    struct text uri = {0};
    char kind[40];
    bool ok;

    if (!has_book(dir))
        return error_set(err, ERR_MISSING, "there is no copy of a book in %s",
                         dir);
    add_uri(&uri, dir);
    text_add(&uri, has_journal(dir) ? "" : "?immutable=1");
    *out = (struct side){.dir = dir, .own = true};
    ok = sqlite3_open_v2(uri.s, &out->db,
                         SQLITE_OPEN_READONLY | SQLITE_OPEN_URI |
                             SQLITE_OPEN_NOMUTEX,
                         NULL) == SQLITE_OK ||
         side_error(out, err);
    text_clear(&uri);
    return ok && side_text(out, WHOSE, kind, sizeof kind, err) &&
           is_sound(out, err);
}

bool backup_restore(const char *from, const char *to,
                    const struct backup_watch *watch, struct backup_done *out,
                    struct error *err)
{
    struct side copied = {0}, there = {0};
    bool ok = false;

    *out = (struct backup_done){0};
    if (open_copy(from, &copied, err) && disk_folder(to, err) &&
        side_open(to, &there, err) && is_empty(&there, err))
        ok = copy(&copied, &there, watch, out, err);
    side_close(&there);
    side_close(&copied);
    return ok;
}

void backup_done_clear(struct backup_done *done)
{
    text_clear(&done->told);
}
