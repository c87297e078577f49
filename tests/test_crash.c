/*
 * The book when its program is killed: "hanklab" as a process of its own, with
 * SIGKILL after a time by chance, again and again on the same book. After each
 * kill the book opens, "hanklab check" finds no fault, every acknowledged
 * change is there and the killed one is whole or absent.
 *
 * HANKLAB_TEST_KILLS says how many; "make crash" has a thousand.
 */
#include "command_support.h"
#include "old_support.h"

#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include <sqlite3.h>

#include "base/text.h"
#include "book/book.h"

enum { SERIES = 20 };  /* kills before the book is made anew */
#define LONGEST_US 1e7 /* that an act takes */

static char folder[] = "/tmp/hanklab-crash-XXXXXX";
static char book_dir[64], first_dir[64], copy_dir[64], back_dir[64],
    old_dir[64], photo_path[64], book_wal[80], old_wal[80], back_db[80];

/* ---- a process ----------------------------------------------------------- */

static long now_us(void)
{
    struct timespec t;

    clock_gettime(CLOCK_MONOTONIC, &t);
    return t.tv_sec * 1000000L + t.tv_nsec / 1000;
}

/* Waits until a file is there (NULL: none is meant), the time is over, or the
 * program has ended. */
static void wait_for(const char *path, double us, pid_t child)
{
    const struct timespec moment = {0, 50000};
    const long begun = now_us();
    siginfo_t ended = {0};

    while ((!path || access(path, F_OK) != 0) &&
           (double)(now_us() - begun) < us &&
           !waitid(P_PID, (id_t)child, &ended, WEXITED | WNOHANG | WNOWAIT) &&
           !ended.si_pid)
        nanosleep(&moment, NULL);
}

static void check_sound(const char *dir)
{
    const char *const words[] = {"check", "--book", dir, NULL};

    command_does(words);
}

/* ---- acts on one book ---------------------------------------------------- */

enum act_id { LOG, MEASURE, TREAT, UNDO, UPGRADE, BACKUP, RESTORE, ACTS };

static struct act {
    const char *name;
    const char *words[COMMAND_WORDS];
    struct book_difference whole; /* what it comes to when nothing happens */
    const char *begins;           /* the file whose making begins the writing */
    double usual_us[2]; /* how long it takes: all of it, from there on */
    size_t killed, found_whole, found_absent, acknowledged;
} act[ACTS] = {
    [LOG] = {"log",
             {"log", "another kettle", "--dyestuff", "weld: 100 %", "--fibre",
              "thin singles", "--skein", "weight=25 g; dip=iron: 2 %",
              "--skein", "weight=20 g"},
             .begins = book_wal},
    [MEASURE] = {"measure",
                 {"measure", photo_path, "--card-box", "60,60,200,160",
                  "--skein", "1=340,60,240,160", "--skein", "2=60,280,200,160"},
                 .begins = book_wal},
    [TREAT] = {"treat",
               {"treat", "dip", "1", "2", "--with", "iron: 2 %"},
               .begins = book_wal},
    [UNDO] = {"undo", {"undo"}, .begins = book_wal},
    [UPGRADE] = {"upgrade", {"list", "--book", old_dir}, .begins = old_wal},
    [BACKUP] = {"backup", {"backup", copy_dir}, .begins = book_wal},
    [RESTORE] = {"restore", {"restore", copy_dir, back_dir}, .begins = back_db},
};

/* From 0 to 1; the time that things take is chance enough for the rest. */
static double chance(void)
{
    static uint64_t x = 88172645463325252u; /* Marsaglia's xorshift */

    x ^= x << 13;
    x ^= x >> 7;
    x ^= x << 17;
    return (double)(x >> 11) / 9007199254740992.0;
}

/* Runs it and mostly kills it, after a time by chance of up to a little more
 * than it usually takes: of every other one the time after the writing began.
 * True when it ended well before that. Under load it takes longer, so what is
 * usual follows. */
static bool strike(struct act *a)
{
    const bool later = a->killed % 2;
    double *usual = &a->usual_us[later];
    const pid_t child = command_start(a->words);
    long begun;
    int status;

    if (later)
        wait_for(a->begins, LONGEST_US, child);
    begun = now_us();
    wait_for(NULL, *usual * 1.15 * chance(), child);
    kill(child, SIGKILL);
    status = command_end(child);
    if (WIFSIGNALED(status) && WTERMSIG(status) == SIGKILL) {
        a->killed++;
        *usual *= 1.01;
        return false;
    }
    if (status)
        command_failed(a->name);
    *usual = 0.8 * *usual + 0.2 * (double)(now_us() - begun);
    a->acknowledged++;
    return true;
}

static void count(struct act *a, bool whole)
{
    a->found_whole += whole;
    a->found_absent += !whole;
}

/* One kill of an act that writes records. */
static void strike_records(struct act *a)
{
    char *was, *is;
    struct book_difference d;
    bool well;

    photo_fresh(photo_path);
    if (a == &act[UNDO])
        command_does(act[LOG].words); /* what it takes back */
    was = book_contents(book_dir);
    well = strike(a);
    check_sound(book_dir);
    is = book_contents(book_dir);
    d = book_difference(was, is);
    if (d.more != a->whole.more || d.other != a->whole.other)
        if (well || d.more || d.other)
            fail_msg("%s, %s: %zu records more, %zu other; whole %zu, %zu",
                     a->name, well ? "acknowledged" : "killed", d.more, d.other,
                     a->whole.more, a->whole.other);
    if (!well)
        count(a, d.more > 0);
    free(was);
    free(is);
}

static int version_of(const char *dir)
{
    char path[96];
    sqlite3_stmt *st;
    sqlite3 *db;
    int version;

    snprintf(path, sizeof path, "%s/book.db", dir);
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

/* An upgrade that was cut off is finished by whoever opens the book next. */
static void strike_upgrade(struct act *a)
{
    const int newest = book_schema_version(),
              version = 1 + (int)(chance() * (newest - 1));

    folder_drop(old_dir);
    assert_int_equal(mkdir(old_dir, 0777), 0);
    old_book_lay_out(version, old_dir);
    if (strike(a))
        assert_int_equal(version_of(old_dir), newest);
    else
        count(a, version_of(old_dir) == newest);
    check_sound(old_dir);
    old_book_check_facts(version, old_dir);
}

/* The book that a copy holds, brought back; NULL when it holds none yet. */
static char *brought_back(void)
{
    folder_drop(back_dir);
    if (command_run(act[RESTORE].words))
        return NULL;
    check_sound(back_dir);
    return book_contents(back_dir);
}

/* The copy is the one before or the new one; the book is as it was. */
static void strike_backup(struct act *a)
{
    char *before = brought_back(), *book, *after, *copied;
    bool well;

    photo_fresh(photo_path);
    command_does(act[MEASURE].words);
    book = book_contents(book_dir);
    well = strike(a);
    check_sound(book_dir);
    after = book_contents(book_dir);
    check_text("the book that was copied", after, book);
    copied = brought_back();
    if (well || (copied && !strcmp(copied, book)))
        check_text("the copy", copied, book);
    else if (before || copied)
        check_text("the copy before", copied, before);
    if (!well)
        count(a, copied && !strcmp(copied, book));
    free(before);
    free(book);
    free(after);
    free(copied);
}

/* What was cut off is gone on with by saying it again. */
static void strike_restore(struct act *a)
{
    char *copied, *back;
    bool well, whole;

    command_does(act[BACKUP].words);
    folder_drop(back_dir);
    well = strike(a);
    whole = command_run(a->words) != 0; /* there is a book already */
    assert_true(whole || !well);
    if (!well)
        count(a, whole);
    check_sound(back_dir);
    copied = book_contents(copy_dir);
    back = book_contents(back_dir);
    check_text("what was brought back", back, copied);
    free(copied);
    free(back);
}

/* ---- the tests ----------------------------------------------------------- */

static void begin_series(void)
{
    const char *const words[] = {"restore", first_dir, book_dir, NULL};

    folder_drop(book_dir);
    folder_drop(copy_dir);
    command_does(words);
}

/* What the act comes to, and takes, when it is let be. */
static void learn(struct act *a)
{
    char *was, *is;
    pid_t child;
    long begun;

    begin_series();
    photo_fresh(photo_path);
    command_does(act[a == &act[UNDO] ? LOG : BACKUP].words);
    folder_drop(back_dir);
    folder_drop(old_dir);
    assert_int_equal(mkdir(old_dir, 0777), 0);
    old_book_lay_out(1, old_dir);
    was = book_contents(book_dir);
    begun = now_us();
    child = command_start(a->words);
    wait_for(a->begins, LONGEST_US, child);
    a->usual_us[1] = -(double)now_us();
    if (command_end(child))
        command_failed(a->name);
    a->usual_us[0] = (double)(now_us() - begun);
    a->usual_us[1] += (double)now_us();
    is = book_contents(book_dir);
    a->whole = book_difference(was, is);
    free(was);
    free(is);
}

static size_t kills_wanted(void)
{
    const char *s = getenv("HANKLAB_TEST_KILLS");
    const long n = s ? strtol(s, NULL, 10) : 42;

    return (size_t)(n > 0 ? n : 1);
}

static void a_killed_act_is_whole_or_absent(void **state)
{
    struct act *a = *state;
    const size_t wanted = (kills_wanted() + ACTS - 1) / ACTS;

    learn(a);
    assert_true(a > &act[UNDO] || a->whole.more > 1);
    for (size_t n = 0; a->killed < wanted; n++) {
        if (n % SERIES == 0)
            begin_series();
        if (a == &act[UPGRADE])
            strike_upgrade(a);
        else if (a == &act[BACKUP])
            strike_backup(a);
        else if (a == &act[RESTORE])
            strike_restore(a);
        else
            strike_records(a);
    }
    assert_int_equal(a->found_whole + a->found_absent, a->killed);
    print_message("#   %-8s killed %zu times: found whole %zu, absent %zu; "
                  "acknowledged before that and there %zu\n",
                  a->name, a->killed, a->found_whole, a->found_absent,
                  a->acknowledged);
}

/* A book in which each act was done once, so that it brings in nothing that is
 * not there yet. */
static int make_first(void **state)
{
    static const char *const init[] = {"init", "--dyer", "Mine", NULL},
                             *const backup[] = {"backup", first_dir, NULL};
    (void)state;
    assert_non_null(mkdtemp(folder));
    command_begin(folder);
    snprintf(book_dir, sizeof book_dir, "%s/book", folder);
    snprintf(first_dir, sizeof first_dir, "%s/first", folder);
    snprintf(copy_dir, sizeof copy_dir, "%s/copy", folder);
    snprintf(back_dir, sizeof back_dir, "%s/back", folder);
    snprintf(old_dir, sizeof old_dir, "%s/old", folder);
    snprintf(book_wal, sizeof book_wal, "%s/book.db-wal", book_dir);
    snprintf(old_wal, sizeof old_wal, "%s/book.db-wal", old_dir);
    snprintf(back_db, sizeof back_db, "%s/book.db", back_dir);
    snprintf(photo_path, sizeof photo_path, "%s/photo.jpg", folder);
    setenv("HANKLAB_BOOK", book_dir, 1);
    photo_fresh(photo_path);
    command_does(init);
    command_does(act[LOG].words);
    command_does(act[MEASURE].words);
    command_does(act[TREAT].words);
    command_does(backup);
    return 0;
}

static int drop_all(void **state)
{
    (void)state;
    folder_drop(folder);
    return 0;
}

#define KILLED(id, sentence)                                                   \
    {                                                                          \
        sentence, a_killed_act_is_whole_or_absent, NULL, NULL, &act[id]        \
    }

int main(void)
{
    const struct CMUnitTest tests[] = {
        KILLED(LOG, "a_killed_log_is_whole_or_absent"),
        KILLED(MEASURE, "a_killed_measurement_is_whole_or_absent"),
        KILLED(TREAT, "a_killed_treatment_is_whole_or_absent"),
        KILLED(UNDO, "a_killed_undo_is_whole_or_absent"),
        KILLED(UPGRADE, "a_killed_upgrade_is_finished_by_the_next"),
        KILLED(BACKUP, "a_killed_backup_leaves_the_copy_before_or_the_new"),
        KILLED(RESTORE, "a_killed_restore_is_gone_on_with"),
    };

    return cmocka_run_group_tests(tests, make_first, drop_all);
}
