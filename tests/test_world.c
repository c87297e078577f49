/*
 * The book where the world is not as it should be: a clock that goes back,
 * another program that writes at the same time, a folder of another machine.
 * Each command is a process of its own, behind tests/shim/world.c.
 */
#include "command_support.h"
#include "old_support.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "book/book.h"

static char folder[] = "/tmp/hanklab-world-XXXXXX";
static char book_dir[64], copy_dir[64], photo_path[64], world[128];

static const char *const init[] = {"init", "--dyer", "Mine", NULL},
                         *const list[] = {"list", NULL},
                         *const undo[] = {"undo", NULL},
                         *const check[] = {"check", NULL},
                         *const backup[] = {"backup", copy_dir, NULL},
                         *const measure[] = {"measure",    photo_path,
                                             "--card-box", "60,60,200,160",
                                             "--skein",    "1=340,60,240,160",
                                             NULL};

static void says(const char *const *words, int status, const char *what)
{
    const int got = command_run(words);
    char *s = command_said();
    const char *end = strchr(s, '\n');

    if (!WIFEXITED(got) || WEXITSTATUS(got) != status || !strstr(s, what) ||
        !end || end[1])
        fail_msg("%s: status %d, says \"%s\", not \"%s\" in one line", words[0],
                 got, s, what);
    free(s);
}

static void log_pot(const char *name)
{
    const char *const words[] = {"log",         name,      "--dyestuff",
                                 "weld: 100 %", "--skein", "weight=20 g",
                                 NULL};

    command_does(words);
}

/* A book with a pot and a skein. */
static int begin(void **state)
{
    (void)state;
    folder_drop(book_dir);
    folder_drop(copy_dir);
    command_does(init);
    log_pot("first kettle");
    photo_fresh(photo_path);
    return 0;
}

static int as_it_should_be(void **state)
{
    (void)state;
    unsetenv("WORLD_CLOCK");
    unsetenv("WORLD_LOCKS");
    unsetenv("WORLD_REMOTE");
    return 0;
}

/* ---- the clock ----------------------------------------------------------- */

/* Acts are in the order in which they were done, whatever the clock said: the
 * last one is taken back, copies know which is the newer, nothing is lost. */
static void a_clock_that_goes_back_mixes_up_nothing(void **state)
{
    char to_1970[24];
    const char *const clocks[] = {"-3600", "-31536000", to_1970, "315360000"};

    (void)state;
    snprintf(to_1970, sizeof to_1970, "-%ld", (long)time(NULL) - 7200);
    command_does(backup);
    for (size_t i = 0; i < ARRAY_LEN(clocks); i++) {
        char *was, *logged, *is;

        setenv("WORLD_CLOCK", clocks[i], 1);
        was = book_contents(book_dir);
        log_pot("another kettle");
        logged = book_contents(book_dir);
        assert_true(book_difference(was, logged).more > 1);
        command_does(undo);
        is = book_contents(book_dir);
        if (strstr(is, "another kettle") == NULL)
            fail_msg("what is taken back is still known");
        book_difference(logged, is);
        command_does(check);
        command_does(backup);
        free(was);
        free(logged);
        free(is);
    }
    unsetenv("WORLD_CLOCK");
    log_pot("after all");
    command_does(check);
    command_does(backup);
    command_does(measure);
}

/* ---- another program ----------------------------------------------------- */

/* Both at once, and each done; one that waits too long on a busy machine says
 * so, and is done when it is said again. */
static void both(const char *const *one, const char *const *other)
{
    const char *const *const words[] = {one, other};
    const pid_t child[] = {command_start(one), command_start(other)};

    for (int i = 0; i < 2; i++) {
        char *s;

        if (!command_end(child[i]))
            continue;
        s = command_said();
        if (!strstr(s, "another program"))
            command_failed(words[i][0]);
        free(s);
        command_does(words[i]);
    }
}

static void two_programs_write_and_nothing_is_lost(void **state)
{
    const char *const log[] = {"log", "other kettle", "--skein", "weight=9 g",
                               NULL},
                      *const edit[] = {"skein",  "edit", "1",
                                       "--note", "soft", NULL};
    const char *const *const beside[] = {log, measure, edit, backup, check};
    char *before, *was, *is;
    size_t alone;

    (void)state;
    both(log, log); /* so that what they name is known */
    before = book_contents(book_dir);
    command_does(log);
    was = book_contents(book_dir);
    alone = book_difference(before, was).more;
    assert_true(alone > 2);
    for (size_t i = 0; i < ARRAY_LEN(beside); i++) {
        both(log, beside[i]);
        is = book_contents(book_dir);
        assert_true(book_difference(was, is).more >= alone);
        free(was);
        was = is;
    }
    command_does(check);
    free(before);
    free(was);
}

/* Who is first makes it. */
static void two_programs_make_one_book(void **state)
{
    pid_t a, b;
    int made;

    (void)state;
    folder_drop(book_dir);
    a = command_start(init);
    b = command_start(init);
    made = !command_end(a) + !command_end(b);
    assert_int_equal(made, 1);
    command_does(check);
    says(init, 1, "already");
}

static void two_programs_upgrade_one_book(void **state)
{
    (void)state;
    for (int version = 1; version < book_schema_version(); version++) {
        folder_drop(book_dir);
        assert_int_equal(mkdir(book_dir, 0777), 0);
        old_book_lay_out(version, book_dir);
        both(list, list);
        command_does(check);
        old_book_check_facts(version, book_dir);
    }
}

/* ---- the folder ---------------------------------------------------------- */

static void a_folder_of_another_machine_is_warned_of(void **state)
{
    (void)state;
    setenv("WORLD_REMOTE", "1", 1);
    says(list, 0, "hanklab: mind: the book is on a network drive");
    says(measure, 0, "hanklab: mind: the book is on a network drive");
    says(check, 0, "hanklab: mind: the book is on a network drive");
    folder_drop(book_dir);
    says(init, 0, "hanklab: mind: the book is on a network drive");
}

/* Locks that nobody gets, and those that everybody gets. */
static void a_folder_without_locks_is_refused(void **state)
{
    static const char *const locks[] = {"none", "fake"};
    char *was = book_contents(book_dir), *is;

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(locks); i++) {
        setenv("WORLD_REMOTE", "1", 1);
        setenv("WORLD_LOCKS", locks[i], 1);
        says(list, 1, "cannot be locked");
        says(measure, 1, "cannot be locked");
        says(init, 1, "cannot be locked");
        as_it_should_be(NULL);
        is = book_contents(book_dir);
        check_text("the book", is, was);
        free(is);
        command_does(check);
    }
    /* A disk of this machine is not asked; what SQLite meets is told. */
    setenv("WORLD_LOCKS", "none", 1);
    says(measure, 1, "cannot be locked");
    free(was);
}

/* ---- setup --------------------------------------------------------------- */

static int make_folder(void **state)
{
    const char *build = getenv("BUILD");

    (void)state;
    assert_non_null(mkdtemp(folder));
    command_begin(folder);
    snprintf(book_dir, sizeof book_dir, "%s/book", folder);
    snprintf(copy_dir, sizeof copy_dir, "%s/copy", folder);
    snprintf(photo_path, sizeof photo_path, "%s/photo.jpg", folder);
    snprintf(world, sizeof world, "%s/world.so", build ? build : "build/gcc");
    setenv("HANKLAB_BOOK", book_dir, 1);
    setenv("LD_PRELOAD", world, 1);
    return 0;
}

static int drop_all(void **state)
{
    (void)state;
    folder_drop(folder);
    return 0;
}

#define WORLD(test)                                                            \
    cmocka_unit_test_setup_teardown(test, begin, as_it_should_be)

int main(void)
{
    const struct CMUnitTest tests[] = {
        WORLD(a_clock_that_goes_back_mixes_up_nothing),
        WORLD(two_programs_write_and_nothing_is_lost),
        WORLD(two_programs_make_one_book),
        WORLD(two_programs_upgrade_one_book),
        WORLD(a_folder_of_another_machine_is_warned_of),
        WORLD(a_folder_without_locks_is_refused),
    };

    return cmocka_run_group_tests(tests, make_folder, drop_all);
}
