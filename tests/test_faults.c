/*
 * The book when the world fails it: a disk that is full or breaks at any one
 * write, and a program killed between any two statements or writes. Each act
 * is run as its command in a child, once for every place where it can go
 * wrong, and must be found whole or absent.
 *
 * link: -Wl,--wrap=write,--wrap=fsync,--wrap=rename,--wrap=mkdir
 * link: -Wl,--wrap=mkstemp,--wrap=sqlite3_step,--wrap=sqlite3_exec
 * link: -Wl,--wrap=sqlite3_busy_timeout
 */
#define _XOPEN_SOURCE 700 /* nftw */

#include "old_support.h"
#include "picture.h"
#include "rows_support.h"

#include <errno.h>
#include <fcntl.h>
#include <ftw.h>
#include <signal.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <sqlite3.h>

#include "book/backup.h"
#include "book/book.h"
#include "cli/cli.h"

/* ---- what goes wrong ---------------------------------------------------- */

enum trouble {
    NONE,
    DISK_FULL,      /* a change of the disk fails for want of room */
    DISK_BROKEN,    /* it fails with an input/output error */
    DISK_READ_ONLY, /* and so do all from then on, for nothing may be written */
    KILLED_WRITING, /* the program ends before a change of the disk */
    KILLED_BETWEEN, /* or before a statement that writes, begins or commits */
};

static enum trouble trouble;
static long strike_at; /* how many such places go well first */
static int cause;      /* errno of the one that failed */
static long *places;   /* how many there were; shared with the child */

static bool strikes(bool disk)
{
    if (trouble == NONE || disk == (trouble == KILLED_BETWEEN))
        return false;
    if ((*places)++ != strike_at &&
        (trouble != DISK_READ_ONLY || strike_at < 0 || *places <= strike_at))
        return false;
    if (trouble == KILLED_WRITING || trouble == KILLED_BETWEEN)
        kill(getpid(), SIGKILL);
    cause = errno = trouble == DISK_FULL     ? ENOSPC
                    : trouble == DISK_BROKEN ? EIO
                                             : EROFS;
    return true;
}

/* What needs no room fails on a broken disk only. */
static bool breaks(void)
{
    return trouble != DISK_FULL && strikes(true);
}

/* The program's own writes: WRAP(result, name, (parameters), (arguments)). */
#define WRAP(type, name, parameters, arguments)                                \
    type __wrap_##name parameters;                                             \
    type __real_##name parameters;                                             \
    type __wrap_##name parameters                                              \
    {                                                                          \
        return strikes(true) ? -1 : __real_##name arguments;                   \
    }
WRAP(ssize_t, write, (int fd, const void *from, size_t n), (fd, from, n))
WRAP(int, rename, (const char *from, const char *to), (from, to))
WRAP(int, mkdir, (const char *path, mode_t mode), (path, mode))
WRAP(int, mkstemp, (char *path), (path))

/* What a program has written outlives it: only a machine that stops needs the
 * sync, and it takes its time. */
int __wrap_fsync(int fd);
int __wrap_fsync(int fd)
{
    (void)fd;
    return breaks() ? -1 : 0;
}

/* Statements. One that only reads leaves the disk as it is, so that being
 * killed before it is being killed before the next. */
int __wrap_sqlite3_step(sqlite3_stmt *st);
int __real_sqlite3_step(sqlite3_stmt *st);
int __wrap_sqlite3_step(sqlite3_stmt *st)
{
    if (!sqlite3_stmt_readonly(st))
        strikes(false);
    return __real_sqlite3_step(st);
}

typedef int row_callback(void *, int, char **, char **);
int __wrap_sqlite3_exec(sqlite3 *db, const char *sql, row_callback *row,
                        void *self, char **err);
int __real_sqlite3_exec(sqlite3 *db, const char *sql, row_callback *row,
                        void *self, char **err);
int __wrap_sqlite3_exec(sqlite3 *db, const char *sql, row_callback *row,
                        void *self, char **err)
{
    strikes(false);
    return __real_sqlite3_exec(db, sql, row, self, err);
}

/* Five seconds are long for a test that waits in vain. */
int __wrap_sqlite3_busy_timeout(sqlite3 *db, int ms);
int __real_sqlite3_busy_timeout(sqlite3 *db, int ms);
int __wrap_sqlite3_busy_timeout(sqlite3 *db, int ms)
{
    assert_int_equal(ms, 5000);
    return __real_sqlite3_busy_timeout(db, 500);
}

/* SQLite's writes: its own file system with these few calls put before it. */
static sqlite3_vfs *system_vfs;

/* SQLite has methods of several kinds; each kind gets its own put before. */
struct before {
    sqlite3_io_methods io; /* first: a file points to it */
    const sqlite3_io_methods *system;
};
static struct before before[4];

static const sqlite3_io_methods *system_io(sqlite3_file *f)
{
    return ((const struct before *)f->pMethods)->system;
}

static int vfs_write(sqlite3_file *f, const void *from, int n, sqlite3_int64 at)
{
    if (strikes(true))
        return errno == ENOSPC ? SQLITE_FULL : SQLITE_IOERR_WRITE;
    return system_io(f)->xWrite(f, from, n, at);
}

static int vfs_sync(sqlite3_file *f, int flags)
{
    (void)f;
    (void)flags;
    return breaks() ? SQLITE_IOERR_FSYNC : SQLITE_OK;
}

static int vfs_truncate(sqlite3_file *f, sqlite3_int64 size)
{
    return breaks() ? SQLITE_IOERR_TRUNCATE : system_io(f)->xTruncate(f, size);
}

static int vfs_shared(sqlite3_file *f, int page, int size, int extend,
                      void volatile **out)
{
    return extend && strikes(true)
               ? SQLITE_IOERR_SHMSIZE
               : system_io(f)->xShmMap(f, page, size, extend, out);
}

static int vfs_open(sqlite3_vfs *vfs, const char *name, sqlite3_file *f,
                    int flags, int *out)
{
    struct before *b = before;
    int rc;

    (void)vfs;
    f->pMethods = NULL;
    if ((flags & SQLITE_OPEN_CREATE) && strikes(true))
        return SQLITE_CANTOPEN;
    rc = system_vfs->xOpen(system_vfs, name, f, flags, out);
    if (!f->pMethods)
        return rc;
    while (b->system && b->system != f->pMethods)
        b++;
    assert_true(b < before + ARRAY_LEN(before));
    b->system = f->pMethods;
    b->io = *f->pMethods;
    b->io.xWrite = vfs_write;
    b->io.xSync = vfs_sync;
    b->io.xTruncate = vfs_truncate;
    b->io.xShmMap = vfs_shared;
    f->pMethods = &b->io;
    return rc;
}

static int vfs_delete(sqlite3_vfs *vfs, const char *name, int sync)
{
    (void)vfs;
    (void)sync;
    return breaks() ? SQLITE_IOERR_DELETE
                    : system_vfs->xDelete(system_vfs, name, 0);
}

static int vfs_error(sqlite3_vfs *vfs, int n, char *text)
{
    (void)vfs;
    (void)n;
    (void)text;
    return cause ? cause : errno;
}

static void put_vfs_before(void)
{
    static sqlite3_vfs vfs;

    system_vfs = sqlite3_vfs_find(NULL);
    vfs = *system_vfs;
    vfs.zName = "troubled";
    vfs.xOpen = vfs_open;
    vfs.xDelete = vfs_delete;
    vfs.xGetLastError = vfs_error;
    assert_int_equal(sqlite3_vfs_register(&vfs, 1), SQLITE_OK);
}

/* ---- a command in a child ----------------------------------------------- */

static char folder[] = "/tmp/hanklab-faults-XXXXXX";
static char book_dir[64], first_dir[64], measured_dir[64], copy_dir[64],
    try_dir[64], photo_path[64], out_path[64];
#define WORDS 16

static void quiet(int fd, const char *path)
{
    int to = open(path, O_WRONLY | O_CREAT | O_TRUNC, 0600);

    dup2(to, fd);
    close(to);
}

/* Runs "hanklab WORDS..." with that trouble after n places; its wait status.
 * What goes to standard error is left in out_path. */
static int command(const char *const *words, enum trouble how, long n)
{
    static char name[] = "hanklab";
    char *argv[WORDS + 2] = {name};
    int argc = 1, status = 0;
    pid_t child;

    fflush(NULL);
    child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        for (; words[argc - 1] && argc < WORDS; argc++)
            argv[argc] = mem_text(words[argc - 1]);
        quiet(STDOUT_FILENO, "/dev/null");
        quiet(STDERR_FILENO, out_path);
        trouble = how;
        strike_at = n;
        exit(cli_main(argc, argv));
    }
    while (waitpid(child, &status, 0) < 0)
        assert_int_equal(errno, EINTR);
    return status;
}

static char *said(void)
{
    size_t n;
    char *s = (char *)file_read(out_path, &n);

    s = mem_resize(s, n + 1, 1);
    s[n] = '\0';
    return s;
}

static void does(const char *const *words)
{
    int status = command(words, NONE, 0);

    if (status) {
        char *s = said();
        fail_msg("%s: %s", words[0], s);
    }
}

/* ---- what is in the book ------------------------------------------------- */

static void copy_file(const char *from_dir, const char *to_dir)
{
    char from[96], to[96];
    unsigned char *bytes;
    size_t n;
    FILE *f;

    snprintf(from, sizeof from, "%s/book.db", from_dir);
    snprintf(to, sizeof to, "%s/book.db", to_dir);
    bytes = file_read(from, &n);
    f = fopen(to, "wb");
    assert_non_null(f);
    assert_int_equal(fwrite(bytes, 1, n, f), n);
    assert_int_equal(fclose(f), 0);
    free(bytes);
}

static bool restore(const char *from, const char *to)
{
    struct backup_done done = {0};
    struct error err;
    const bool ok = backup_restore(from, to, NULL, &done, &err);

    backup_done_clear(&done);
    return ok;
}

/* A first copy that was cut off is none. */
static char *copied(void)
{
    folder_drop(try_dir);
    return restore(copy_dir, try_dir) ? book_rows(try_dir) : NULL;
}

static int version_now(void)
{
    char path[96];
    sqlite3_stmt *st;
    sqlite3 *db;
    int version;

    snprintf(path, sizeof path, "%s/book.db", book_dir);
    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    assert_int_equal(
        sqlite3_prepare_v2(db, "PRAGMA user_version", -1, &st, NULL),
        SQLITE_OK);
    assert_int_equal(sqlite3_step(st), SQLITE_ROW);
    version = sqlite3_column_int(st, 0);
    sqlite3_finalize(st);
    sqlite3_close(db);
    return version;
}

/* ---- the acts ------------------------------------------------------------ */

/* What there is before an act; what it changes is the book, or its copy. */
enum before_act {
    A_BOOK,
    NOTHING,
    A_COPY,          /* and no book */
    A_MEASURED_BOOK, /* and no copy, which it makes */
    AN_OLD_BOOK,     /* which any act upgrades */
};

static const struct act {
    const char *name;
    const char *words[WORDS];
    enum before_act from;
} acts[] = {
    {"init", {"init", "--dyer", "Mine"}, NOTHING},
    {"log",
     {"log", "weld kettle", "--dyestuff", "weld: 100 %", "--mordant",
      "alum: 12 %", "--fibre", "thin singles", "--skein",
      "weight=25 g; dip=iron: 2 %", "--skein", "weight=20 g"},
     A_BOOK},
    {"measure",
     {"measure", photo_path, "--card-box", "60,60,200,160", "--skein",
      "1=340,60,240,160", "--skein", "2=60,280,200,160"},
     A_BOOK},
    {"skein edit", {"skein", "edit", "1", "--colour", "fox"}, A_BOOK},
    {"material edit",
     {"material", "edit", "madder", "--name", "garance"},
     A_BOOK},
    {"undo", {"undo"}, A_BOOK},
    {"treat", {"treat", "dip", "1", "2", "--with", "iron: 2 %"}, A_BOOK},
    {"backup", {"backup", copy_dir}, A_MEASURED_BOOK},
    {"restore", {"restore", copy_dir, book_dir}, A_COPY},
    {"upgrade", {"list"}, AN_OLD_BOOK},
};

static void begin_anew(const struct act *act)
{
    folder_drop(book_dir);
    folder_drop(copy_dir);
    switch (act->from) {
    case A_BOOK:
        assert_int_equal(mkdir(book_dir, 0777), 0);
        copy_file(first_dir, book_dir);
        break;
    case NOTHING:
        break;
    case A_COPY:
        assert_true(restore(measured_dir, copy_dir));
        break;
    case A_MEASURED_BOOK:
        assert_true(restore(measured_dir, book_dir));
        break;
    case AN_OLD_BOOK:
        assert_int_equal(mkdir(book_dir, 0777), 0);
        old_book_lay_out(book_schema_version() - 1, book_dir);
        break;
    }
}

/* What the act changes, as it is now. */
static char *changed(const struct act *act)
{
    return act->from == A_MEASURED_BOOK ? copied() : book_rows(book_dir);
}

static size_t photos_kept, photos_begun;

static int look_at_photo(const char *path, const struct stat *st, int flag,
                         struct FTW *at)
{
    const char *name = path + at->base;
    unsigned char *want, *got;
    size_t n, m;

    (void)st;
    if (flag != FTW_F)
        return 0;
    if (!strncmp(name, "new-", 4)) {
        photos_begun++;
        return 0;
    }
    photos_kept++;
    want = file_read(photo_path, &n);
    got = file_read(path, &m);
    assert_int_equal(n, m);
    assert_memory_equal(want, got, n);
    free(want);
    free(got);
    return 0;
}

/* A file under the name of a photo is the whole photo. */
static void look_at_photos(const struct act *act)
{
    char dir[96];

    photos_kept = photos_begun = 0;
    if (act->from == AN_OLD_BOOK)
        return; /* which has others, and brings in none */
    snprintf(dir, sizeof dir, "%s/photos",
             act->from == A_MEASURED_BOOK ? copy_dir : book_dir);
    nftw(dir, look_at_photo, 16, FTW_PHYS);
}

static size_t injected; /* faults */
static char where[96];  /* the last of them */

static bool differs(const char *a, const char *b)
{
    return !a != !b || (a && strcmp(a, b));
}

/* The act failed: one line says so, nothing is changed. */
static void check_refusal(const struct act *act, enum trouble how, long n)
{
    static const char *const full[] = {"the disk is full", "no room in",
                                       "No space left"},
                             *const fails[] = {"the disk is full",
                                               "the disk failed",
                                               "cannot write",
                                               "cannot make the folder",
                                               "cannot copy the book",
                                               "disk I/O error",
                                               "read-only"};
    const char *const *says = how == DISK_FULL ? full : fails;
    const size_t count = how == DISK_FULL ? ARRAY_LEN(full) : ARRAY_LEN(fails);
    char *s = said();
    const char *end = strchr(s, '\n');
    bool known = false;

    for (size_t i = 0; i < count; i++)
        known = known || strstr(s, says[i]);
    if (!known || strncmp(s, "hanklab: ", 9) || !end || end[1])
        fail_msg("%s, trouble %d at %ld: says \"%s\"", act->name, how, n, s);
    free(s);
}

/* Whether the act came to its end, for all that can be seen of it now. An
 * upgrade has as many ends as there are versions, and whoever opens the book
 * finishes it. */
static bool is_whole(const struct act *act, const char *was, const char *after,
                     char **now)
{
    const bool newest =
        act->from != AN_OLD_BOOK || version_now() == book_schema_version();
    bool whole;

    *now = changed(act);
    whole = !differs(*now, after);
    if (!whole && differs(*now, was))
        fail_msg("%s: neither whole nor absent:\n%s", act->name, *now);
    return whole && newest;
}

#define OPENING 5

/* These have few statements of their own, and may fail when what they make is
 * whole, and say so. */
static bool copies(const struct act *act)
{
    return act->from == A_COPY || act->from == A_MEASURED_BOOK;
}

/* What a disk took that breaks for good at the last moment comes back, so an
 * act may be whole that failed: then it says so. An upgrade need not, for
 * whoever opens the book next goes on from where it is. */
static bool may_be_whole(const struct act *act)
{
    char *s = said();
    const bool does = strstr(s, "look whether it is in the book") != NULL;

    free(s);
    return does || copies(act) || act->from == AN_OLD_BOOK;
}

/* One run with trouble at place n. */
static void survives(const struct act *act, enum trouble how, long n,
                     const char *was, const char *after)
{
    int status;
    bool whole, killed;
    char *now;

    snprintf(where, sizeof where, "%s, trouble %d at %ld", act->name, how, n);
    begin_anew(act);
    *places = 0;
    status = command(act->words, how, n);
    injected++;
    killed = WIFSIGNALED(status) && WTERMSIG(status) == SIGKILL;
    if (!killed && (!WIFEXITED(status) || WEXITSTATUS(status) > 1))
        fail_msg("%s: status %d: %s", where, status, said());
    whole = is_whole(act, was, after, &now);
    look_at_photos(act);
    if (!killed) {
        if (whole ? status && !may_be_whole(act) : !status)
            fail_msg("%s: %s, and it says \"%s\"", where,
                     whole ? "whole" : "absent", said());
        assert_int_equal(photos_begun, 0);
        if (status)
            check_refusal(act, how, n);
    }
    if (whole && strstr("measure backup restore", act->name))
        assert_int_equal(photos_kept, 1);
    free(now);
    /* And it can be done again; some of the tries show that. */
    if (!whole && n % 8 == 0) {
        does(act->words);
        now = changed(act);
        if (differs(now, after))
            fail_msg("%s: done again:\n%s", where, now);
        free(now);
    }
}

/* An act is tried at some of its places, spread over all, so that it stays a
 * matter of seconds; with HANKLAB_TEST_WHOLE at every one. */
static void every_place(const struct act *act, enum trouble how)
{
    char *was, *after;
    long all, step = 1;

    begin_anew(act);
    was = changed(act);
    begin_anew(act);
    does(act->words);
    after = changed(act);
    assert_true(differs(was, after) || act->from == AN_OLD_BOOK);
    begin_anew(act);
    *places = 0;
    assert_int_equal(command(act->words, how, -1), 0);
    all = *places;
    assert_true(all > 2);
    if (!getenv("HANKLAB_TEST_WHOLE"))
        step = 1 + all / (how == KILLED_BETWEEN   ? 30
                          : how == DISK_READ_ONLY ? 4
                                                  : 8);
    /* A copy begins with opening it, where each place is one of its kind. */
    for (long n = 0; n < all; n += copies(act) && n < OPENING ? 1 : step)
        survives(act, how, n, was, after);
    free(was);
    free(after);
}

static void each_act(enum trouble how)
{
    static const char *const names[] = {
        [DISK_FULL] = "the disk was full",
        [DISK_BROKEN] = "a write failed",
        [DISK_READ_ONLY] = "the disk became read-only",
        [KILLED_WRITING] = "killed while writing",
        [KILLED_BETWEEN] = "killed between statements"};

    injected = 0;
    for (size_t i = 0; i < ARRAY_LEN(acts); i++)
        if (how != KILLED_BETWEEN || !copies(&acts[i]))
            every_place(&acts[i], how);
    print_message("#   faults: %zu times %s\n", injected, names[how]);
}

static void a_full_disk_changes_nothing_and_is_said(void **state)
{
    (void)state;
    each_act(DISK_FULL);
}

static void a_broken_disk_changes_nothing_and_is_said(void **state)
{
    (void)state;
    each_act(DISK_BROKEN);
}

static void a_disk_that_becomes_read_only_is_said(void **state)
{
    (void)state;
    each_act(DISK_READ_ONLY);
}

static void an_act_killed_between_statements_is_whole_or_absent(void **state)
{
    (void)state;
    each_act(KILLED_BETWEEN);
}

static void an_act_killed_while_writing_is_whole_or_absent(void **state)
{
    (void)state;
    each_act(KILLED_WRITING);
}

/* ---- setup ----------------------------------------------------------------
 */

static int make_first(void **state)
{
    static const char *const log[] = {
        "log",          "madder kettle", "--dyestuff",
        "madder: 60 %", "--skein",       "weight=25 g",
        "--skein",      "weight=20 g",   NULL};
    static const char *const init[] = {"init", "--dyer", "Mine", NULL};
    static const char *const measure[] = {"measure",    photo_path,
                                          "--card-box", "60,60,200,160",
                                          "--skein",    "1=340,60,240,160",
                                          NULL},
                             *const backup[] = {"backup", measured_dir, NULL};
    struct picture p = picture_plain();
    size_t n;
    unsigned char *jpeg = picture_jpeg(&p, &n);
    FILE *f;

    (void)state;
    assert_non_null(mkdtemp(folder));
    snprintf(book_dir, sizeof book_dir, "%s/book", folder);
    snprintf(first_dir, sizeof first_dir, "%s/first", folder);
    snprintf(measured_dir, sizeof measured_dir, "%s/measured", folder);
    snprintf(copy_dir, sizeof copy_dir, "%s/copy", folder);
    snprintf(try_dir, sizeof try_dir, "%s/try", folder);
    snprintf(photo_path, sizeof photo_path, "%s/photo.jpg", folder);
    snprintf(out_path, sizeof out_path, "%s/said", folder);
    f = fopen(photo_path, "wb");
    assert_int_equal(fwrite(jpeg, 1, n, f), n);
    fclose(f);
    free(jpeg);
    f = tmpfile();
    assert_int_equal(ftruncate(fileno(f), sizeof *places), 0);
    places = mmap(NULL, sizeof *places, PROT_READ | PROT_WRITE, MAP_SHARED,
                  fileno(f), 0);
    assert_true(places != MAP_FAILED);
    fclose(f);
    setenv("HANKLAB_BOOK", book_dir, 1);
    put_vfs_before();
    does(init);
    does(log);
    mkdir(first_dir, 0777);
    copy_file(book_dir, first_dir);
    does(measure);
    does(backup);
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
        cmocka_unit_test(a_full_disk_changes_nothing_and_is_said),
        cmocka_unit_test(a_broken_disk_changes_nothing_and_is_said),
        cmocka_unit_test(a_disk_that_becomes_read_only_is_said),
        cmocka_unit_test(an_act_killed_between_statements_is_whole_or_absent),
        cmocka_unit_test(an_act_killed_while_writing_is_whole_or_absent),
    };

    return cmocka_run_group_tests(tests, make_first, drop_all);
}
