/* Whether a book is sound. See book/check.h. */
#include "book/check.h"

#include <dirent.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <nettle/sha2.h>

#include "book/kept.h"
#include "book/said.h"
#include "book/scan.h"
#include "book/step.h"
#include "book/store.h"

/* Faults of one kind, of which the first are told. */
struct kind {
    struct check *check;
    size_t count;
};

static void fault(struct kind *kind, bool mended, const char *fmt, ...)
    __attribute__((format(printf, 3, 4)));

static void fault(struct kind *kind, bool mended, const char *fmt, ...)
{
    char line[600];
    va_list args;

    kind->check->faults++;
    kind->check->mended += mended;
    if (kind->count++ >= CHECK_MOST)
        return;
    va_start(args, fmt);
    vsnprintf(line, sizeof line, fmt, args);
    va_end(args);
    text_addf(&kind->check->told, "%s%s\n", line, mended ? ": mended" : "");
}

/* ---- the database -------------------------------------------------------- */

/* What SQLite's check says; *others when more than indexes are wrong. */
static bool look_at_pages(struct book *book, struct text *said, size_t *count,
                          bool *others, struct error *err)
{
    struct stmt q = {0};
    bool row, ok;

    *count = 0;
    *others = false;
    if (!stmt_prepare(book, "PRAGMA integrity_check(20)", &q, err))
        return false;
    while ((ok = stmt_step(&q, &row, err)) && row) {
        const char *s = stmt_get_text(&q, 0);

        if (!strcmp(s, "ok"))
            continue;
        ++*count;
        *others = *others || !strstr(s, " index ");
        text_addf(said, "the database: %s\n", s);
    }
    stmt_done(&q);
    return ok;
}

static bool check_pages(struct book *book, bool mend, struct check *out,
                        struct error *err)
{
    struct text said = {0}, after = {0};
    size_t count, left = 0;
    bool others, ok;

    ok = look_at_pages(book, &said, &count, &others, err);
    left = count;
    if (ok && mend && count && !others)
        ok = store_exec(book, "REINDEX", err) &&
             look_at_pages(book, &after, &left, &others, err);
    out->faults += count;
    out->mended += count - left;
    text_add(&out->told, text_str(&said));
    if (count > left)
        text_add(&out->told, "the indexes were made anew: mended\n");
    text_clear(&said);
    text_clear(&after);
    return ok;
}

static bool check_parents(struct book *book, struct check *out,
                          struct error *err)
{
    struct kind kind = {.check = out};
    struct stmt q = {0};
    bool row, ok;

    if (!stmt_prepare(book, "PRAGMA foreign_key_check", &q, err))
        return false;
    while ((ok = stmt_step(&q, &row, err)) && row)
        fault(&kind, false, "%s #%lld names a %s that is not there",
              stmt_get_text(&q, 0), (long long)stmt_get_int(&q, 1),
              stmt_get_text(&q, 2));
    stmt_done(&q);
    return ok;
}

/* ---- what is kept for looking up ----------------------------------------- */

static void digest_text(struct sha256_ctx *sum, const char *s)
{
    sha256_update(sum, strlen(s) + 1, (const unsigned char *)s);
}

static bool digest_rows(struct book *book, enum stmt_id which,
                        struct sha256_ctx *sum, struct error *err)
{
    struct stmt q;
    bool row, ok;

    if (!stmt_begin(book, which, &q, err))
        return false;
    while ((ok = stmt_step(&q, &row, err)) && row)
        for (int c = 0; c < sqlite3_column_count(q.st); c++) {
            const char *s = stmt_get_text(&q, c);

            digest_text(sum, s ? s : "-");
        }
    stmt_done(&q);
    return ok;
}

static bool digest_shelf(struct book *book, struct sha256_ctx *sum,
                         struct error *err)
{
    const struct ask_filter any = ask_filter_any();
    struct scan scan = {0};
    struct scan_row row;
    bool there, ok;

    ok = scan_begin(book, &any, SCAN_COLOUR | SCAN_WHO | SCAN_POT, &scan, err);
    while (ok && (ok = scan_next(&scan, &row, &there, err)) && there) {
        char line[160];

        snprintf(line, sizeof line, "%lld %d %.17g %.17g %.17g %zu %lld %lld",
                 (long long)row.id, (int)row.lack, row.lab.L, row.lab.a,
                 row.lab.b, row.dyer, (long long)row.number,
                 (long long)row.pot);
        digest_text(sum, line);
    }
    scan_end(&scan);
    return ok;
}

static bool digest(struct book *book, unsigned char out[32], struct error *err)
{
    struct sha256_ctx sum;

    sha256_init(&sum);
    if (!digest_rows(book, STMT_STEP_WHOLE, &sum, err) ||
        !digest_rows(book, STMT_SAID_WHOLE, &sum, err) ||
        !digest_rows(book, STMT_TALLY_WHOLE, &sum, err) ||
        !digest_rows(book, STMT_FACE_WHOLE, &sum, err) ||
        !digest_shelf(book, &sum, err))
        return false;
    sha256_digest(&sum, 32, out);
    return true;
}

/* Made anew it must be what it is. A shelf that cannot be read at all is as
 * wrong as one that says something else. */
static bool check_lookup(struct book *book, bool mend, struct check *out,
                         struct error *err)
{
    struct kind kind = {.check = out};
    unsigned char kept[32], made[32];
    struct error why;
    bool same;

    if (!store_exec(book, "BEGIN IMMEDIATE", err))
        return false;
    same =
        store_exec(book, "INSERT INTO said (said) VALUES ('integrity-check')",
                   &why) &&
        digest(book, kept, &why);
    if (!store_exec(book, "DELETE FROM step; DELETE FROM recipe", err) ||
        !step_rebuild(book, err) || !said_rebuild(book, err) ||
        !digest(book, made, err))
        goto back;
    same = same && !memcmp(kept, made, 32);
    if (!same)
        fault(&kind, mend,
              "what is kept for looking up is not what the records come to");
    if (!same && mend)
        return store_exec(book, "COMMIT", err) ||
               (store_exec(book, "ROLLBACK", &why), false);
    return store_exec(book, "ROLLBACK", err);

back:
    store_exec(book, "ROLLBACK", &why);
    return false;
}

/* ---- photos -------------------------------------------------------------- */

/* Whether the copy had it, and it is on the disk. */
static bool take_from(struct book *book, const char *from,
                      const unsigned char sha256[32])
{
    unsigned char *data;
    const char *why;
    size_t size;
    struct error err;
    bool ok;

    if (!from || !kept_read(from, sha256, &data, &size, &why))
        return false;
    ok = kept_replace(book->dir, sha256, data, size, &err);
    free(data);
    return ok;
}

/* How many skeins and yarns have a reading from a photo. */
static bool count_readings(struct book *book, int64_t photo, int64_t *out,
                           struct error *err)
{
    struct stmt q;
    bool row;

    if (!stmt_begin(book, STMT_PHOTO_READINGS, &q, err))
        return false;
    stmt_int(&q, ":photo", photo);
    if (!stmt_step(&q, &row, err))
        return false;
    *out = stmt_get_int(&q, 0);
    stmt_done(&q);
    return true;
}

static bool check_photo(struct book *book, const struct check_wish *wish,
                        int64_t id, const unsigned char sha256[32],
                        struct kind *kind, struct error *err)
{
    unsigned char *data = NULL;
    const char *why = "";
    size_t size;
    int64_t readings;
    char *path;

    if (kept_read(book->dir, sha256, &data, &size, &why)) {
        free(data);
        return true;
    }
    if (!count_readings(book, id, &readings, err))
        return false;
    path = kept_path(book->dir, sha256);
    fault(kind, wish->mend && take_from(book, wish->from, sha256),
          "photo #%lld, of which %lld reading%s taken, %s: %s", (long long)id,
          (long long)readings, readings == 1 ? " was" : "s were", why, path);
    free(path);
    return true;
}

static bool check_photos(struct book *book, const struct check_wish *wish,
                         struct check *out, struct error *err)
{
    struct kind kind = {.check = out};
    struct stmt q;
    bool row, ok = true;
    size_t done = 0;

    if (!stmt_begin(book, STMT_PHOTO_ALL, &q, err))
        return false;
    while (ok && (ok = stmt_step(&q, &row, err)) && row) {
        size_t size;
        const unsigned char *sha256 = stmt_get_blob(&q, 1, &size);

        ok = check_photo(book, wish, stmt_get_int(&q, 0), sha256, &kind, err);
        if (wish->tell)
            wish->tell(wish->data, ++done, out->photos);
    }
    stmt_done(&q);
    return ok;
}

/* Readings that name no place in a photo; those of a missing one are told
 * with it. */
static bool check_readings(struct book *book, struct check *out,
                           struct error *err)
{
    struct kind kind = {.check = out};
    struct stmt q;
    bool row, ok;

    if (!stmt_begin(book, STMT_READING_PLACELESS, &q, err))
        return false;
    while ((ok = stmt_step(&q, &row, err)) && row)
        fault(&kind, false,
              "reading #%lld says that it is from a photo, and not from which",
              (long long)stmt_get_int(&q, 0));
    stmt_done(&q);
    return ok;
}

/* ---- files --------------------------------------------------------------- */

static int hex(char c)
{
    static const char digits[] = "0123456789abcdef";
    const char *at = c ? strchr(digits, c) : NULL;

    return at ? (int)(at - digits) : -1;
}

/* Whether a record names the picture of that file, "ab12....jpg". */
static bool is_named(struct book *book, const char *file, bool *named,
                     struct error *err)
{
    unsigned char sha256[32];
    struct stmt q;

    *named = false;
    if (strlen(file) != 68 || strcmp(file + 64, ".jpg") != 0)
        return true;
    for (size_t i = 0; i < 32; i++) {
        const int high = hex(file[2 * i]), low = hex(file[2 * i + 1]);

        if (high < 0 || low < 0)
            return true;
        sha256[i] = (unsigned char)(high << 4 | low);
    }
    if (!stmt_begin(book, STMT_PHOTO_FIND, &q, err))
        return false;
    stmt_blob(&q, ":sha256", sha256, 32);
    if (!stmt_step(&q, named, err))
        return false;
    stmt_done(&q);
    return true;
}

static bool check_file(struct book *book, const char *folder, const char *file,
                       bool mend, struct check *out, struct error *err)
{
    struct text path = {0};
    bool named;

    if (!strncmp(file, "new-", 4) && strlen(file) == 10) {
        text_addf(&path, "%s/%s", folder, file);
        if (mend)
            unlink(path.s);
        text_clear(&path);
        out->leftover++;
        return true;
    }
    if (!is_named(book, file, &named, err))
        return false;
    out->unnamed += !named;
    return true;
}

static int is_shown(const struct dirent *e)
{
    return e->d_name[0] != '.';
}

static bool check_folder(struct book *book, const char *folder, bool mend,
                         struct check *out, struct error *err)
{
    struct dirent **file = NULL;
    const int n =
        scandir(folder, &file, is_shown, alphasort); /* -1: not there */
    bool ok = true;

    for (int i = 0; i < n; i++) {
        if (ok)
            ok = check_file(book, folder, file[i]->d_name, mend, out, err);
        free(file[i]);
    }
    free(file);
    return ok;
}

static bool check_files(struct book *book, bool mend, struct check *out,
                        struct error *err)
{
    struct text folder = {0};
    bool ok = true;

    for (int i = 0; i < 256 && ok; i++) {
        text_reset(&folder);
        text_addf(&folder, "%s/photos/%02x", book->dir, (unsigned)i);
        ok = check_folder(book, folder.s, mend, out, err);
    }
    text_clear(&folder);
    return ok;
}

/* ---- all ----------------------------------------------------------------- */

static bool count_all(struct book *book, struct check *out, struct error *err)
{
    struct stmt q;
    bool row;

    if (!stmt_begin(book, STMT_COUNT_ALL, &q, err) || !stmt_step(&q, &row, err))
        return false;
    out->skeins = (size_t)stmt_get_int(&q, 0);
    out->photos = (size_t)stmt_get_int(&q, 1);
    out->readings = (size_t)stmt_get_int(&q, 2);
    stmt_done(&q);
    return true;
}

bool check_book(struct book *book, const struct check_wish *wish,
                struct check *out, struct error *err)
{
    *out = (struct check){0};
    return check_pages(book, wish->mend, out, err) &&
           check_parents(book, out, err) && count_all(book, out, err) &&
           check_lookup(book, wish->mend, out, err) &&
           check_photos(book, wish, out, err) &&
           check_readings(book, out, err) &&
           check_files(book, wish->mend, out, err);
}

void check_clear(struct check *check)
{
    text_clear(&check->told);
}
