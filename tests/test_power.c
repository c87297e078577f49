/*
 * The book when the power is cut: what "hanklab" as a process of its own
 * changes on the disk is recorded through a series of acts, and then the disk
 * made as it may be after a cut at any moment of it (power_support.h). There
 * the book opens, "hanklab check" finds no fault, every acknowledged act is
 * there and the one under way whole or absent; so with the copy of a backup
 * and with what was brought back from it.
 *
 * Cuts are where the most is at stake and at some places more; with
 * HANKLAB_TEST_WHOLE ("make faults") after all that is not a write, and many.
 */
#define _XOPEN_SOURCE 700 /* nftw */

#include "command_support.h"
#include "old_support.h"
#include "power_support.h"

#include <ftw.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include <sqlite3.h>

#include "base/text.h"
#include "book/backup.h"
#include "book/book.h"
#include "book/check.h"

enum { SOME_CUTS = 12, CUTS = 600, SOME_CHANCES = 1, CHANCES = 2 };
enum { SOME_VERSIONS = 2, SOME_VERSION_CUTS = 6, VERSION_CUTS = 40 };

static char folder[] = "/tmp/hanklab-power-XXXXXX";
static char root[64], book_dir[80], copy_dir[80], back_dir[80], record[64],
    world[128], photo_path[2][64], handed_on[64];
static char cut_dir[64], cut_book[80], cut_copy[80], cut_back[80], try_dir[64];
static size_t cuts, different; /* disks made; folders on them looked at */

/* What is looked at here need not outlive this test, and a sync takes its time.
 * SQLite is given these too. */
int fsync(int fd)
{
    (void)fd;
    return 0;
}

int fdatasync(int fd)
{
    (void)fd;
    return 0;
}

static bool whole(void)
{
    return getenv("HANKLAB_TEST_WHOLE") != NULL;
}

/* ---- what is done -------------------------------------------------------- */

static const char *const steps[][COMMAND_WORDS] = {
    {"init", "--dyer", "Mine"},
    {"log", "weld kettle", "--dyestuff", "weld: 100 %", "--mordant",
     "alum: 12 %", "--fibre", "thin singles", "--skein",
     "weight=25 g; dip=iron: 2 %", "--skein", "weight=20 g"},
    {"measure", photo_path[0], "--card-box", "60,60,200,160", "--skein",
     "1=340,60,240,160", "--skein", "2=60,280,200,160"},
    {"treat", "dip", "2", "--with", "iron: 2 %"},
    {"undo"},
    {"import", handed_on, "--yes"},
    {"backup", copy_dir},
    {"log", "madder kettle", "--dyestuff", "madder: 60 %", "--fibre",
     "thin singles", "--skein", "weight=20 g"},
    {"measure", photo_path[1], "--card-box", "60,60,200,160", "--skein",
     "3=340,60,240,160"},
    {"backup", copy_dir},
    {"restore", copy_dir, back_dir},
};
enum { STEPS = sizeof steps / sizeof *steps };

/* What each folder holds after so many steps; NULL: no book. */
static struct {
    char *book, *copy, *back;
} after[STEPS + 1];

static void does_recorded(const char *const *words)
{
    setenv("WORLD_RECORD", record, 1);
    setenv("LD_PRELOAD", world, 1);
    command_does(words);
    unsetenv("LD_PRELOAD");
    unsetenv("WORLD_RECORD");
}

static char *contents_of(const char *dir)
{
    char path[96];

    snprintf(path, sizeof path, "%s/book.db", dir);
    return access(path, F_OK) ? NULL : book_contents(dir);
}

/* ---- what a cut leaves --------------------------------------------------- */

static const char *const hows[] = {"nothing more", "all", "names", "writes",
                                   "by chance"};
static char where[128]; /* the cut that is looked at */

static void check_sound(struct book *book)
{
    struct check_wish wish = {0};
    struct check check = {0};
    struct error err;

    if (!check_book(book, &wish, &check, &err) || check.faults)
        fail_msg("%s: %s", where, check.faults ? check.told.s : err.text);
    check_clear(&check);
}

/* A folder holds a sound book with either of these contents; when the first is
 * NULL there need be none yet. */
static void check_one_of(const char *dir, const char *was, const char *is)
{
    struct book *book;
    struct error err;
    char *now;

    if (!book_open(dir, &book, &err)) {
        if (was || (err.kind != ERR_MISSING && !strstr(err.text, "not finis")))
            fail_msg("%s: %s: %s", where, dir, err.text);
        return;
    }
    check_sound(book);
    book_close(book);
    now = book_contents(dir);
    if ((!was || strcmp(now, was) != 0) && (!is || strcmp(now, is) != 0))
        fail_msg("%s: %s holds neither what was acknowledged nor what was "
                 "under way:\n%s",
                 where, dir, now);
    free(now);
}

static bool restore(const char *from, const char *to, struct error *err)
{
    struct backup_done done = {0};
    const bool ok = backup_restore(from, to, NULL, &done, err);

    if (ok && done.unsound)
        fail_msg("%s: %s", where, done.told.s);
    backup_done_clear(&done);
    return ok;
}

/* The copy is the one before or the new one; a first one that was cut off is
 * gone on with. */
static void check_copy(const char *was, const char *is)
{
    struct backup_done done = {0};
    struct book *book;
    struct error err;

    folder_drop(try_dir);
    if (restore(cut_copy, try_dir, &err)) {
        check_one_of(try_dir, was ? was : is, is);
        return;
    }
    if (was)
        fail_msg("%s: the copy: %s", where, err.text);
    check_ok(book_open(cut_book, &book, &err), &err);
    if (!backup_copy(book, cut_copy, NULL, &done, &err))
        fail_msg("%s: the copy: %s", where, err.text);
    book_close(book);
    backup_done_clear(&done);
    folder_drop(try_dir);
    check_ok(restore(cut_copy, try_dir, &err), &err);
    check_one_of(try_dir, is, is);
}

/* What was cut off is gone on with by saying it again. */
static void check_back(const char *was, const char *is)
{
    struct error err;

    if (!was && !restore(cut_copy, cut_back, &err) && err.kind != ERR_INPUT)
        fail_msg("%s: brought back: %s", where, err.text);
    check_one_of(cut_back, is, is);
}

/* ---- what was looked at -------------------------------------------------- */

static uint64_t print; /* FNV-1a */

static void add_print(const void *bytes, size_t n)
{
    const unsigned char *s = bytes;

    for (size_t i = 0; i < n; i++)
        print = (print ^ s[i]) * 1099511628211u;
}

static int add_file_print(const char *path, const struct stat *st, int flag,
                          struct FTW *at)
{
    unsigned char *bytes = NULL;
    size_t n = 0;

    (void)st;
    (void)at;
    if (flag == FTW_F)
        bytes = file_read(path, &n);
    add_print(path, strlen(path) + 1);
    add_print(bytes, n);
    free(bytes);
    return 0;
}

/* Whether a folder, and the other that goes with it (or NULL), are as they
 * never were after that many acknowledged acts: many a cut leaves the same. */
static bool is_new(size_t done, const char *dir, const char *with)
{
    static uint64_t *all;
    static size_t count;

    print = 14695981039346656037u;
    add_print(&done, sizeof done);
    nftw(dir, add_file_print, 16, FTW_PHYS);
    if (with)
        nftw(with, add_file_print, 16, FTW_PHYS);
    for (size_t i = 0; i < count; i++)
        if (all[i] == print)
            return false;
    all = mem_resize(all, count + 1, sizeof *all);
    all[count++] = print;
    different++;
    return true;
}

/* ---- each cut ------------------------------------------------------------ */

static void check_cut(const struct power *p, size_t n, enum power_loss how,
                      uint64_t chance)
{
    const size_t done = power_said(p, n), next = done + (done < STEPS);

    snprintf(where, sizeof where, "cut at %zu of %zu in \"%s\", %s (%llu)", n,
             power_count(p), done < STEPS ? steps[done][0] : "the end",
             hows[how], (unsigned long long)chance);
    power_cut(p, n, how, chance, cut_dir);
    cuts++;
    if (is_new(done, cut_book, NULL))
        check_one_of(cut_book, after[done].book, after[next].book);
    if (after[next].copy &&
        is_new(done, cut_copy, after[done].copy ? NULL : cut_book))
        check_copy(after[done].copy, after[next].copy);
    if (after[next].back &&
        is_new(done, cut_back, after[done].back ? NULL : cut_copy))
        check_back(after[done].back, after[next].back);
}

typedef void look(const struct power *p, size_t n, enum power_loss how,
                  uint64_t chance);

/* Where the most is at stake and at some more places spread over all, in each
 * way. */
static void each_cut(const struct power *p, size_t more, look *check)
{
    const size_t all = power_count(p), step = 1 + all / more;
    const enum power_stake least = whole() ? POWER_SURE : POWER_ANSWERED;
    const uint64_t chances = whole() ? CHANCES : SOME_CHANCES;

    for (size_t n = 0; n <= all; n++) {
        if (n % step && power_stake(p, n) < least)
            continue;
        for (enum power_loss how = POWER_NOTHING_MORE; how < POWER_CHANCE;
             how++)
            check(p, n, how, 0);
        for (uint64_t c = 0; c < chances; c++)
            check(p, n, POWER_CHANCE, n * chances + c);
    }
}

static void what_was_acknowledged_survives_a_power_cut(void **state)
{
    struct power *p = power_new(root);

    (void)state;
    cuts = different = 0;
    for (size_t i = 0; i < STEPS; i++) {
        does_recorded(steps[i]);
        after[i + 1].book = contents_of(book_dir);
        after[i + 1].copy = contents_of(copy_dir);
        after[i + 1].back = contents_of(back_dir);
    }
    power_read(p, record);
    assert_int_equal(power_said(p, power_count(p)), STEPS);
    each_cut(p, whole() ? CUTS : SOME_CUTS, check_cut);
    print_message("#   power cut among %zu changes: %zu disks, %zu folders on "
                  "them differ\n",
                  power_count(p), cuts, different);
    for (size_t i = 0; i <= STEPS; i++) {
        free(after[i].book);
        free(after[i].copy);
        free(after[i].back);
    }
    power_free(p);
}

/* ---- an upgrade ---------------------------------------------------------- */

static int old_version;

/* The copy that is made before an upgrade, under its name, is whole. */
static void check_aside(void)
{
    char path[112];
    sqlite3_stmt *st;
    sqlite3 *db;

    snprintf(path, sizeof path, "%s/book-v%04d.db", cut_book, old_version);
    if (access(path, F_OK))
        return;
    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    assert_int_equal(
        sqlite3_prepare_v2(db,
                           "SELECT integrity_check, user_version FROM"
                           " pragma_integrity_check, pragma_user_version",
                           -1, &st, NULL),
        SQLITE_OK);
    if (sqlite3_step(st) != SQLITE_ROW ||
        strcmp((const char *)sqlite3_column_text(st, 0), "ok") != 0 ||
        sqlite3_column_int(st, 1) != old_version)
        fail_msg("%s: %s is not whole: %s", where, path, sqlite3_errmsg(db));
    sqlite3_finalize(st);
    sqlite3_close(db);
}

static void check_upgrade(const struct power *p, size_t n, enum power_loss how,
                          uint64_t chance)
{
    struct book *book;
    struct error err;

    snprintf(where, sizeof where, "v%04d, cut at %zu of %zu, %s (%llu)",
             old_version, n, power_count(p), hows[how],
             (unsigned long long)chance);
    power_cut(p, n, how, chance, cut_dir);
    cuts++;
    if (!is_new((size_t)old_version, cut_book, NULL))
        return;
    check_aside();
    if (!book_open(cut_book, &book, &err))
        fail_msg("%s: %s", where, err.text);
    check_sound(book);
    book_close(book);
    old_book_check_facts(old_version, cut_book);
}

static void an_upgrade_is_finished_after_a_power_cut(void **state)
{
    static const char *const list[] = {"list", NULL};
    const int newest = book_schema_version(),
              step = whole() ? 1 : newest / SOME_VERSIONS;

    (void)state;
    cuts = different = 0;
    for (old_version = 1; old_version < newest; old_version += step) {
        struct power *p;

        folder_drop(book_dir);
        unlink(record);
        assert_int_equal(mkdir(book_dir, 0777), 0);
        old_book_lay_out(old_version, book_dir);
        p = power_new(root);
        does_recorded(list);
        power_read(p, record);
        assert_true(power_count(p) > 20);
        each_cut(p, whole() ? VERSION_CUTS : SOME_VERSION_CUTS, check_upgrade);
        power_free(p);
    }
    print_message("#   power cut while upgrading: %zu disks, %zu differ\n",
                  cuts, different);
}

/* ---- the disk itself ----------------------------------------------------- */

/* Whether a file is in what a cut after the last change leaves, and whole. */
static bool leaves(const char *lines, enum power_loss how, const char *name)
{
    struct power *p = power_new(root);
    FILE *f = fopen(record, "wb");
    char path[96];
    struct stat st;
    bool there;

    assert_non_null(f);
    fputs(lines, f);
    fclose(f);
    power_read(p, record);
    power_cut(p, power_count(p), how, 0, cut_dir);
    snprintf(path, sizeof path, "%s/%s", cut_dir, name);
    there = stat(path, &st) == 0 && st.st_size == 4;
    power_free(p);
    return there;
}

/* Else none of this could find a fault. */
static void the_disk_forgets_what_was_not_synced(void **state)
{
    static const struct {
        const char *what;
        bool synced, kept, named; /* expected of the three losses */
        bool nothing_more, names, writes;
    } rows[] = {
        {"neither", false, false, false, false, false, false},
        {"its bytes", true, false, false, false, true, false},
        {"its name", false, true, false, false, false, true},
        {"both", true, true, false, true, true, true},
        {"both, then named again", true, true, true, false, true, false},
    };

    (void)state;
    folder_drop(root);
    assert_int_equal(mkdir(root, 0777), 0);
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const char *name = rows[i].named ? "b" : "a";
        struct text t = {0};

        text_addf(&t, "made 7 %s/a\nwrite 7 0 4\nabcd", root);
        text_add(&t, rows[i].synced ? "sync 7\n" : "");
        if (rows[i].kept)
            text_addf(&t, "kept %s\n", root);
        if (rows[i].named)
            text_addf(&t, "name %s/a\t%s/b\n", root, root);
        assert_true(leaves(t.s, POWER_ALL, name));
        if (leaves(t.s, POWER_NOTHING_MORE, name) != rows[i].nothing_more ||
            leaves(t.s, POWER_NAMES, name) != rows[i].names ||
            leaves(t.s, POWER_WRITES, name) != rows[i].writes)
            fail_msg("%s", rows[i].what);
        text_clear(&t);
    }
}

/* ---- setup --------------------------------------------------------------- */

/* What another dyer handed on. */
static void make_handed_on(void)
{
    char other[80], photo[80];
    const char *const acts[][COMMAND_WORDS] = {
        {"init", "--dyer", "Aino"},
        {"log", "walnut kettle", "--dyestuff", "walnut hulls: 50 %", "--fibre",
         "grey lambswool", "--skein", "weight=30 g"},
        {"measure", photo, "--card-box", "60,60,200,160", "--skein",
         "1=340,60,240,160"},
        {"export", handed_on},
    };

    snprintf(other, sizeof other, "%s/other", folder);
    snprintf(photo, sizeof photo, "%s/other.jpg", folder);
    photo_fresh(photo);
    setenv("HANKLAB_BOOK", other, 1);
    for (size_t i = 0; i < ARRAY_LEN(acts); i++)
        command_does(acts[i]);
}

static int begin(void **state)
{
    const char *build = getenv("BUILD");

    (void)state;
    assert_non_null(mkdtemp(folder));
    command_begin(folder);
    snprintf(root, sizeof root, "%s/root", folder);
    snprintf(book_dir, sizeof book_dir, "%s/book", root);
    snprintf(copy_dir, sizeof copy_dir, "%s/copies/copy", root);
    snprintf(back_dir, sizeof back_dir, "%s/back", root);
    snprintf(record, sizeof record, "%s/record", folder);
    snprintf(cut_dir, sizeof cut_dir, "%s/cut", folder);
    snprintf(cut_book, sizeof cut_book, "%s/book", cut_dir);
    snprintf(cut_copy, sizeof cut_copy, "%s/copies/copy", cut_dir);
    snprintf(cut_back, sizeof cut_back, "%s/back", cut_dir);
    snprintf(try_dir, sizeof try_dir, "%s/try", folder);
    snprintf(handed_on, sizeof handed_on, "%s/handed-on.zip", folder);
    snprintf(world, sizeof world, "%s/world.so", build ? build : "build/gcc");
    for (int i = 0; i < 2; i++) {
        snprintf(photo_path[i], sizeof photo_path[i], "%s/%d.jpg", folder, i);
        photo_fresh(photo_path[i]);
    }
    assert_int_equal(mkdir(root, 0777), 0);
    make_handed_on();
    setenv("HANKLAB_BOOK", book_dir, 1);
    return 0;
}

static int drop_all(void **state)
{
    (void)state;
    folder_drop(folder);
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_was_acknowledged_survives_a_power_cut),
        cmocka_unit_test(an_upgrade_is_finished_after_a_power_cut),
        cmocka_unit_test(the_disk_forgets_what_was_not_synced),
    };

    return cmocka_run_group_tests(tests, begin, drop_all);
}
