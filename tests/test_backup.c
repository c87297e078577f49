/* Copies of the whole book, bringing one back, and the check: what is copied is
 * all there is, an earlier copy outlives whatever goes wrong, and only what can
 * be known is mended. */

#include "shelf_support.h"

#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include <sqlite3.h>

#include "base/day.h"
#include "book/backup.h"
#include "book/check.h"
#include "book/photo.h"

/* ---- a place ------------------------------------------------------------- */

static char place[64]; /* a folder of the test's own */

/* A path in it; four at a time. */
static const char *in(const char *name)
{
    static char path[4][160];
    static int at;

    at = (at + 1) % 4;
    snprintf(path[at], sizeof path[at], "%s/%s", place, name);
    return path[at];
}

static int begin(void **state)
{
    (void)state;
    snprintf(place, sizeof place, "%s", "/tmp/hanklab-backup-XXXXXX");
    return mkdtemp(place) ? 0 : -1;
}

static int end(void **state)
{
    (void)state;
    folder_drop(place);
    return 0;
}

static struct book *open_book(const char *dir)
{
    struct book *book;
    struct error err;

    check_ok(book_open(dir, &book, &err), &err);
    return book;
}

/* A picture of other bytes for each seed. */
static void add_photo(struct book *book, unsigned seed)
{
    unsigned char data[5000];
    struct kept_file file;
    const struct photo_facts facts = {.shows = "tag"};
    struct error err;
    int64_t id;

    for (size_t i = 0; i < sizeof data; i++)
        data[i] = (unsigned char)((seed + 1) * 2654435761u >> (i % 24));
    check_ok(photo_keep(book, data, sizeof data, &file, &err), &err);
    check_ok(book_act_begin(book, "photo", &err), &err);
    check_ok(photo_record(book, &file, &facts, &id, &err), &err);
    check_ok(book_act_end(book, &err), &err);
}

static void add_skein(struct book *book, const char *name)
{
    const struct record_value v[] = {{"name", name}};
    struct error err;
    int64_t id;

    check_ok(book_act_begin(book, "skein add", &err), &err);
    check_ok(record_add(book, NOUN_SKEIN, v, 1, &id, NULL, &err), &err);
    check_ok(book_act_end(book, &err), &err);
}

/* A book with a few hundred lives and three pictures. */
static struct book *make_book(const char *name)
{
    char dir[160];
    static struct shelf shelf;
    static struct ids ids;
    struct book *book;
    struct error err;

    snprintf(dir, sizeof dir, "%s", name);
    check_ok(book_create(dir, "me", &err), &err);
    book = open_book(dir);
    shelf_make(&shelf, 11);
    shelf_write(&shelf, book, 1, &ids);
    for (unsigned i = 0; i < 3; i++)
        add_photo(book, i);
    return book;
}

/* ---- what a book holds, as SQLite alone sees it -------------------------- */

static void add_text(struct text *t, sqlite3 *db, const char *sql)
{
    sqlite3_stmt *st;
    int rc;

    assert_int_equal(sqlite3_prepare_v2(db, sql, -1, &st, NULL), SQLITE_OK);
    while ((rc = sqlite3_step(st)) == SQLITE_ROW) {
        for (int c = 0; c < sqlite3_column_count(st); c++) {
            const char *s = (const char *)sqlite3_column_text(st, c);

            text_addf(t, "%s|", s ? s : "-");
        }
        text_add(t, "\n");
    }
    assert_int_equal(rc, SQLITE_DONE);
    sqlite3_finalize(st);
}

static sqlite3 *raw(const char *dir)
{
    char path[240];
    sqlite3 *db;

    snprintf(path, sizeof path, "%s/book.db", dir);
    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    sqlite3_busy_timeout(db, 5000);
    return db;
}

static void raw_exec(const char *dir, const char *sql)
{
    sqlite3 *db = raw(dir);
    char *why = NULL;

    if (sqlite3_exec(db, sql, NULL, NULL, &why) != SQLITE_OK)
        fail_msg("%s: %s", sql, why);
    sqlite3_close(db);
}

/* Every row of every table; the names of the tables come first. */
static char *contents(const char *dir)
{
    sqlite3 *db = raw(dir);
    struct text names = {0}, t = {0};
    char *rest = NULL;

    add_text(&names, db,
             "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT"
             " LIKE 'sqlite_%' ORDER BY name");
    text_add(&t, names.s);
    for (char *n = strtok_r(names.s, "|\n", &rest); n;
         n = strtok_r(NULL, "|\n", &rest)) {
        char sql[200];

        snprintf(sql, sizeof sql, "SELECT '%s', * FROM \"%s\" ORDER BY 2, 3", n,
                 n);
        add_text(&t, db, sql);
    }
    sqlite3_close(db);
    text_clear(&names);
    return text_take(&t);
}

static void check_same(const char *a, const char *b)
{
    char *x = contents(a), *y = contents(b);

    assert_true(strlen(x) > 10000);
    assert_string_equal(x, y);
    free(x);
    free(y);
}

/* Faults that are left; *told, if asked for, is to be released. */
static size_t faults(const char *dir, const struct check_wish *wish,
                     char **told)
{
    struct book *book = open_book(dir);
    struct check check;
    struct error err;
    size_t left;

    check_ok(check_book(book, wish, &check, &err), &err);
    left = check.faults - check.mended;
    if (told)
        *told = mem_text(text_str(&check.told));
    else if (left)
        print_message("%s", text_str(&check.told));
    check_clear(&check);
    book_close(book);
    return left;
}

static const struct check_wish look = {0}, mend = {.mend = true};

static struct backup_done copied(struct book *book, const char *to)
{
    struct backup_done done;
    struct error err;

    check_ok(backup_copy(book, to, NULL, &done, &err), &err);
    backup_done_clear(&done);
    return done;
}

static void check_refused(struct book *book, const char *to, const char *part)
{
    struct backup_done done;
    struct error err;

    assert_false(backup_copy(book, to, NULL, &done, &err));
    if (!strstr(err.text, part))
        fail_msg("\"%s\" does not say \"%s\"", err.text, part);
    backup_done_clear(&done);
}

/* The file of the nth picture of add_photo. */
static char *picture(const char *dir, unsigned nth)
{
    struct text t = {0};
    sqlite3 *db = raw(dir);
    char sql[200];

    snprintf(sql, sizeof sql,
             "SELECT 'photos/' || lower(substr(hex(sha256), 1, 2)) || '/' ||"
             " lower(hex(sha256)) || '.jpg' FROM photo ORDER BY id LIMIT 1"
             " OFFSET %u",
             nth);
    text_addf(&t, "%s/", dir);
    add_text(&t, db, sql);
    t.s[strcspn(t.s, "|")] = '\0';
    sqlite3_close(db);
    return text_take(&t);
}

static void damage(const char *path, long at)
{
    FILE *f = fopen(path, "r+b");

    assert_non_null(f);
    assert_int_equal(fseek(f, at, SEEK_SET), 0);
    for (int i = 0; i < 64; i++)
        fputc(0x5a ^ i, f);
    assert_int_equal(fclose(f), 0);
}

/* ---- copies -------------------------------------------------------------- */

static void a_copy_is_the_whole_book(void **state)
{
    struct book *book = make_book(in("book"));
    struct backup_done done = copied(book, in("some/where"));
    struct backup_last last;
    struct error err;
    char today[11];

    (void)state;
    assert_int_equal(done.photos, 3);
    assert_int_equal(done.fresh, 3);
    assert_int_equal(done.unsound, 0);
    check_same(in("book"), in("some/where"));
    assert_int_equal(faults(in("some/where"), &look, NULL), 0);

    backup_last(book, &last);
    day_iso(day_today(), today);
    assert_true(last.ever);
    assert_string_equal(last.on, today);
    assert_int_equal(last.days, 0);
    assert_non_null(strstr(last.to, "/some/where"));
    free(last.to);
    book_close(book);

    check_ok(backup_restore(in("some/where"), in("back"), NULL, &done, &err),
             &err);
    backup_done_clear(&done);
    check_same(in("book"), in("back"));
    assert_int_equal(faults(in("back"), &look, NULL), 0);
}

static void what_is_new_goes_into_the_earlier_copy(void **state)
{
    struct book *book = make_book(in("book"));
    struct backup_done done;

    (void)state;
    copied(book, in("copy"));
    add_skein(book, "after the copy");
    add_photo(book, 7);
    done = copied(book, in("copy"));
    assert_int_equal(done.photos, 4);
    assert_int_equal(done.fresh, 1);
    check_same(in("book"), in("copy"));
    assert_int_equal(copied(book, in("copy")).fresh, 0);
    book_close(book);
}

static void an_act_that_is_not_ended_is_not_copied(void **state)
{
    const struct record_value v[] = {{"name", "half logged"}};
    struct book *book = make_book(in("book")), *other = open_book(in("book"));
    struct error err;
    int64_t id;
    char *was = contents(in("book")), *copy;

    (void)state;
    check_ok(book_act_begin(other, "skein add", &err), &err);
    check_ok(record_add(other, NOUN_SKEIN, v, 1, &id, NULL, &err), &err);
    copied(book, in("copy"));
    check_ok(book_act_end(other, &err), &err);
    copy = contents(in("copy"));
    assert_string_equal(was, copy);
    assert_int_equal(faults(in("copy"), &look, NULL), 0);
    free(was);
    free(copy);
    book_close(book);
    book_close(other);
}

static void no_other_book_is_written_over(void **state)
{
    struct book *book = make_book(in("book")), *other;
    struct backup_done done;
    struct error err;
    char *was, *is;

    (void)state;
    check_refused(book, in("book"), "lies in the book itself");
    check_refused(book, in("book/photos/deep/er"), "lies in the book itself");
    assert_int_not_equal(access(in("book/photos/deep"), F_OK), 0);

    other = make_book(in("other"));
    was = contents(in("other"));
    check_refused(book, in("other"), "another book");
    is = contents(in("other"));
    assert_string_equal(was, is);
    free(is);
    book_close(other);
    assert_false(backup_restore(in("book"), in("other"), NULL, &done, &err));
    assert_non_null(strstr(err.text, "none is ever written over"));
    is = contents(in("other"));
    assert_string_equal(was, is);
    free(was);
    free(is);
    assert_false(backup_restore(in("nothing"), in("new"), NULL, &done, &err));
    assert_non_null(strstr(err.text, "no copy of a book"));
    assert_int_not_equal(access(in("new/book.db"), F_OK), 0);
    book_close(book);
}

/* Gone on with from an older copy, the book has not what the newer one has. */
static void a_copy_with_other_acts_is_kept(void **state)
{
    struct book *book = make_book(in("book")), *back;
    struct backup_done done;
    struct error err;
    char *was, *is;

    (void)state;
    copied(book, in("old"));
    add_skein(book, "known to the newer copy alone");
    copied(book, in("new"));
    book_close(book);
    check_ok(backup_restore(in("old"), in("back"), NULL, &done, &err), &err);
    backup_done_clear(&done);
    back = open_book(in("back"));
    was = contents(in("new"));
    check_refused(back, in("new"), "acts that this book has not");
    add_skein(back, "another way");
    check_refused(back, in("new"), "acts that this book has not");
    is = contents(in("new"));
    assert_string_equal(was, is);
    free(was);
    free(is);
    book_close(back);
}

static void a_damaged_book_leaves_the_copy_alone(void **state)
{
    struct book *book = make_book(in("book"));
    struct backup_done done;
    struct error err;
    char *was, *is;
    struct stat st;

    (void)state;
    copied(book, in("copy"));
    book_close(book);
    was = contents(in("copy"));
    assert_int_equal(stat(in("book/book.db"), &st), 0);
    for (long at = 4096L * 8; at < (long)st.st_size; at += 4096L * 16)
        damage(in("book/book.db"), at);
    if (book_open(in("book"), &book, &err)) {
        check_refused(book, in("copy"), "damaged");
        book_close(book);
    } else {
        assert_non_null(strstr(err.text, "damaged"));
    }
    is = contents(in("copy"));
    assert_string_equal(was, is);
    assert_false(backup_restore(in("book"), in("new"), NULL, &done, &err));
    assert_non_null(strstr(err.text, "damaged"));
    assert_int_not_equal(access(in("new/book.db"), F_OK), 0);
    free(was);
    free(is);
}

static void a_damaged_picture_is_told_and_not_copied(void **state)
{
    struct book *book = make_book(in("book"));
    char *bad = picture(in("book"), 1), *lost, *copy;
    struct backup_done done;

    (void)state;
    copied(book, in("early"));
    damage(bad, 300);
    done = copied(book, in("early"));
    assert_int_equal(done.unsound, 0); /* there it is, and sound */
    assert_int_equal(faults(in("early"), &look, NULL), 0);
    lost = picture(in("book"), 2);
    assert_int_equal(unlink(lost), 0);
    done = copied(book, in("late"));
    assert_int_equal(done.unsound, 2);
    assert_int_equal(done.fresh, 1);
    copy = picture(in("late"), 1);
    assert_int_not_equal(access(copy, F_OK), 0);
    book_close(book);
    free(bad);
    free(lost);
    free(copy);
}

/* Killed at some point, an earlier copy opens, is sound, and is either as it
 * was or as it would have become; copying again ends what was begun. */
static void a_copy_that_is_cut_off_leaves_the_earlier_one(void **state)
{
    struct book *book = make_book(in("book"));
    const char *copy = in("copy");
    char to[160], *was, *is, *whole;
    struct error err;

    (void)state;
    snprintf(to, sizeof to, "%s", copy);
    copied(book, to);
    was = contents(to);
    for (unsigned i = 10; i < 40; i++)
        add_photo(book, i);
    whole = contents(in("book"));
    book_close(book);
    for (long us = 0; us < 60000; us += 2500) {
        const pid_t child = fork();

        if (child == 0) {
            struct backup_done done;

            if (book_open(in("book"), &book, &err))
                backup_copy(book, to, NULL, &done, &err);
            _exit(0);
        }
        nanosleep(&(struct timespec){.tv_nsec = us * 1000}, NULL);
        kill(child, SIGKILL);
        waitpid(child, NULL, 0);
        is = contents(to);
        assert_true(!strcmp(is, was) || !strcmp(is, whole));
        free(is);
        assert_int_equal(faults(to, &look, NULL), 0);
    }
    book = open_book(in("book"));
    copied(book, to);
    check_same(in("book"), to);
    book_close(book);
    free(was);
    free(whole);
}

/* What SQLite leaves of a first copy when it is killed while pages of it are
 * on the disk: they are to be taken back, and then there is nothing. */
static void a_first_copy_that_is_cut_off_is_gone_on_with(void **state)
{
    struct book *book = make_book(in("book"));
    struct backup_done done;
    char to[160], path[200];
    struct error err;
    pid_t child;

    (void)state;
    snprintf(to, sizeof to, "%s", in("copy"));
    snprintf(path, sizeof path, "%s-journal", in("copy/book.db"));
    assert_int_equal(mkdir(to, 0777), 0);
    child = fork();
    if (child == 0) {
        raw_exec(to, "CREATE TABLE t (x); DROP TABLE t; VACUUM");
        sqlite3 *db = raw(to);
        sqlite3_exec(db,
                     "PRAGMA cache_size = 1; BEGIN; CREATE TABLE dyer (x);"
                     "INSERT INTO dyer VALUES (randomblob(100000))",
                     NULL, NULL, NULL);
        _exit(0);
    }
    waitpid(child, NULL, 0);
    assert_int_equal(access(path, F_OK), 0);
    assert_false(backup_restore(to, in("back"), NULL, &done, &err));
    assert_non_null(strstr(err.text, "was cut off"));
    backup_done_clear(&done);
    copied(book, to);
    check_same(in("book"), to);
    assert_int_equal(faults(to, &look, NULL), 0);
    book_close(book);
}

/* A bringing back that is killed leaves a folder that it can be said of again,
 * or the whole book. */
static void a_restore_that_is_cut_off_is_gone_on_with(void **state)
{
    struct book *book = make_book(in("book"));
    char from[160], *whole;

    (void)state;
    for (unsigned i = 10; i < 25; i++)
        add_photo(book, i);
    snprintf(from, sizeof from, "%s", in("book"));
    book_close(book);
    whole = contents(from);
    for (long us = 0; us < 50000; us += 2500) {
        struct backup_done done;
        struct error err;
        char to[160], *is;
        pid_t child;

        snprintf(to, sizeof to, "%s/back-%ld", place, us);
        child = fork();
        if (child == 0) {
            backup_restore(from, to, NULL, &done, &err);
            _exit(0);
        }
        nanosleep(&(struct timespec){.tv_nsec = us * 1000}, NULL);
        kill(child, SIGKILL);
        waitpid(child, NULL, 0);
        if (!backup_restore(from, to, NULL, &done, &err))
            assert_non_null(strstr(err.text, "already"));
        backup_done_clear(&done);
        is = contents(to);
        assert_string_equal(is, whole);
        free(is);
        assert_int_equal(faults(to, &look, NULL), 0);
    }
    free(whole);
}

/* ---- the check ----------------------------------------------------------- */

static void check_finds(const char *dir, const char *part)
{
    char *told;

    assert_int_not_equal(faults(dir, &look, &told), 0);
    if (!strstr(told, part))
        fail_msg("\"%s\" does not say \"%s\"", told, part);
    free(told);
}

static void what_can_be_known_is_mended(void **state)
{
    struct book *book = make_book(in("book"));
    struct check_wish from = {.mend = true, .from = in("copy")};
    char copy[160], dir[160], *bad, *lost, *was;

    (void)state;
    snprintf(copy, sizeof copy, "%s", in("copy"));
    snprintf(dir, sizeof dir, "%s", in("book"));
    from.from = copy;
    copied(book, copy);
    book_close(book);
    was = contents(dir);

    raw_exec(dir, "UPDATE step SET last = 0 WHERE ordinal = 1");
    check_finds(dir, "looking up");
    check_finds(dir, "looking up"); /* a look changes nothing */
    assert_int_equal(faults(dir, &mend, NULL), 0);
    assert_int_equal(faults(dir, &look, NULL), 0);

    raw_exec(dir, "UPDATE shelf SET cells = substr(cells, 2)");
    check_finds(dir, "looking up");
    assert_int_equal(faults(dir, &mend, NULL), 0);
    assert_int_equal(faults(dir, &look, NULL), 0);

    raw_exec(dir, "UPDATE shelf SET cells = zeroblob(length(cells)) WHERE id >="
                  " 4 << 48");
    check_finds(dir, "looking up");
    assert_int_equal(faults(dir, &mend, NULL), 0);
    assert_int_equal(faults(dir, &look, NULL), 0);

    raw_exec(dir, "UPDATE tally SET skeins = skeins + 1 WHERE recipe_id = 0");
    check_finds(dir, "looking up");
    assert_int_equal(faults(dir, &mend, NULL), 0);
    assert_int_equal(faults(dir, &look, NULL), 0);

    /* An index that says of itself another column than it holds. */
    raw_exec(dir, "PRAGMA writable_schema = ON; UPDATE sqlite_schema SET sql ="
                  " 'CREATE INDEX dose_supply ON dose (material_id)' WHERE name"
                  " = 'dose_supply'");
    check_finds(dir, "index");
    assert_int_equal(faults(dir, &mend, NULL), 0);
    assert_int_equal(faults(dir, &look, NULL), 0);

    bad = picture(dir, 0);
    lost = picture(dir, 2);
    damage(bad, 100);
    unlink(lost);
    check_finds(dir, "is missing");
    check_finds(dir, "is not what it was");
    assert_int_equal(faults(dir, &mend, NULL), 2); /* from nowhere */
    assert_int_equal(faults(dir, &from, NULL), 0);
    assert_int_equal(faults(dir, &look, NULL), 0);
    free(bad);
    free(lost);
    free(was);
}

static void what_cannot_be_known_is_only_told(void **state)
{
    struct book *book = make_book(in("book"));
    char dir[160], *was, *is;

    (void)state;
    book_close(book);
    snprintf(dir, sizeof dir, "%s", in("book"));
    raw_exec(dir, "PRAGMA foreign_keys = OFF; DROP TRIGGER history_sight_new;"
                  " INSERT INTO sight (photo_id, skein_id) VALUES (9999, 1)");
    was = contents(dir);
    check_finds(dir, "names a photo that is not there");
    assert_int_equal(faults(dir, &mend, NULL), 1);
    is = contents(dir);
    assert_string_equal(was, is);
    free(was);
    free(is);
}

static void files_that_no_record_names_are_harmless(void **state)
{
    struct book *book = make_book(in("book"));
    struct check check;
    struct error err;
    unsigned char data[100] = {1, 2, 3};
    struct kept_file file;
    char *path = picture(in("book"), 0), left[200];
    FILE *f;

    (void)state;
    check_ok(photo_keep(book, data, sizeof data, &file, &err), &err);
    *strrchr(path, '/') = '\0';
    snprintf(left, sizeof left, "%s/new-aB3xYz", path);
    f = fopen(left, "w");
    assert_non_null(f);
    fclose(f);
    check_ok(check_book(book, &look, &check, &err), &err);
    assert_int_equal(check.faults, 0);
    assert_int_equal(check.unnamed, 1);
    assert_int_equal(check.leftover, 1);
    check_clear(&check);
    assert_int_equal(access(left, F_OK), 0);
    check_ok(check_book(book, &mend, &check, &err), &err);
    assert_int_equal(check.unnamed, 1);
    assert_int_not_equal(access(left, F_OK), 0);
    check_clear(&check);
    book_close(book);
    free(path);
}

#define IN_A_PLACE(test) cmocka_unit_test_setup_teardown(test, begin, end)

int main(void)
{
    const struct CMUnitTest tests[] = {
        IN_A_PLACE(a_copy_is_the_whole_book),
        IN_A_PLACE(what_is_new_goes_into_the_earlier_copy),
        IN_A_PLACE(an_act_that_is_not_ended_is_not_copied),
        IN_A_PLACE(no_other_book_is_written_over),
        IN_A_PLACE(a_copy_with_other_acts_is_kept),
        IN_A_PLACE(a_damaged_book_leaves_the_copy_alone),
        IN_A_PLACE(a_damaged_picture_is_told_and_not_copied),
        IN_A_PLACE(a_copy_that_is_cut_off_leaves_the_earlier_one),
        IN_A_PLACE(a_first_copy_that_is_cut_off_is_gone_on_with),
        IN_A_PLACE(a_restore_that_is_cut_off_is_gone_on_with),
        IN_A_PLACE(what_can_be_known_is_mended),
        IN_A_PLACE(what_cannot_be_known_is_only_told),
        IN_A_PLACE(files_that_no_record_names_are_harmless),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
