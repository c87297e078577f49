/*
 * What the page's processes that read a stranger's file may ask of the kernel:
 * nothing but memory and what is open. seccomp(2): a call that is not let pass
 * under SECCOMP_RET_KILL_PROCESS ends the process by SIGSYS. And what such a
 * process unpacks is what is in the zip.
 *
 * link: -lseccomp
 */
#define _DEFAULT_SOURCE /* MAP_ANONYMOUS */

#include "support.h"

#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/text.h"
#include "book/book.h"
#include "web/filter.h"
#include "web/unpack.h"

#define SMALL "tests/fuzz/corpus/import/02-small.zip"
static const char why_ended[] =
    "the file could not be unpacked to its end: ask for it again";

/* ---- the filters --------------------------------------------------------- */

static void open_a_file(void)
{
    const int fd = open("/etc/passwd", O_RDONLY | O_CLOEXEC);

    _exit(fd >= 0 ? 1 : 0);
}

static void make_a_file(void)
{
    const int fd = creat("/tmp/hanklab-never", 0600);

    _exit(fd >= 0 ? 1 : 0);
}

static void call_somebody(void)
{
    const int fd = socket(AF_INET, SOCK_STREAM, 0);

    _exit(fd >= 0 ? 1 : 0);
}

static void start_a_program(void)
{
    execl("/bin/true", "true", (char *)NULL);
}

static void have_a_child(void)
{
    if (fork() == 0)
        _exit(0);
}

static void stop_the_other(void)
{
    kill(getppid(), 0);
}

static void keep_to_itself(void)
{
    _exit(write(FILTER_FIRST, "", 0) == 0 ? 0 : 1);
}

static void take_memory(void)
{
    const void *much = mmap(NULL, (size_t)2 << 30, PROT_READ | PROT_WRITE,
                            MAP_PRIVATE | MAP_ANONYMOUS, 0, 0);

    _exit(much != MAP_FAILED ? 1 : 0);
}

/* How a process ended that is shut and then does this. */
static int shut_and(void (*then)(void))
{
    const int none[] = {STDERR_FILENO};
    const bool there = filter_there();
    const pid_t pid = fork();
    int status;

    assert_true(pid >= 0);
    if (pid == 0) {
        filter_leave(none, 1);
        filter_limit();
        if (filter_shut() != there)
            _exit(2);
        then();
        _exit(0);
    }
    assert_int_equal(waitpid(pid, &status, 0), pid);
    return status;
}

static void test_what_is_shut_opens_and_asks_nothing(void **state)
{
    static const struct {
        const char *what;
        void (*does)(void);
    } act[] = {
        {"opens a file", open_a_file},
        {"makes a file", make_a_file},
        {"calls somebody", call_somebody},
        {"starts a program", start_a_program},
        {"has a child", have_a_child},
        {"stops another", stop_the_other},
    };

    (void)state;
    if (!filter_there())
        skip();
    assert_int_equal(shut_and(keep_to_itself), 0);
    for (size_t i = 0; i < ARRAY_LEN(act); i++) {
        const int status = shut_and(act[i].does);
        if (!WIFSIGNALED(status) || WTERMSIG(status) != SIGSYS)
            fail_msg("one that %s ended with %#x", act[i].what,
                     (unsigned)status);
    }
    assert_true(access("/tmp/hanklab-never", F_OK) != 0);
}

static void test_what_is_shut_has_bounded_memory(void **state)
{
    const int status = shut_and(take_memory);

    (void)state;
    assert_true(WIFEXITED(status) && WEXITSTATUS(status) == 0);
}

/* ---- the unpacking ------------------------------------------------------- */

static struct book *new_book(void)
{
    struct book *book;
    struct error err;

    check_ok(book_open(":memory:", &book, &err), &err);
    return book;
}

/* What would come in, in words; release with free(). */
static char *looked_at(const struct exchange_file *file, struct error *err)
{
    struct book *book = new_book();
    struct exchange_taken taken;
    struct text words = {0};
    const bool ok = exchange_take(book, file, true, false, &taken, err);

    if (ok)
        exchange_taken_words(&taken, &words);
    exchange_taken_clear(&taken);
    book_close(book);
    return ok ? text_take(&words) : NULL;
}

static void test_it_unpacks_what_is_there(void **state)
{
    const struct exchange_file here = {.path = SMALL};
    struct unpacker unpacker;
    struct error err;
    char *near, *far;

    (void)state;
    check_ok(unpack_start(SMALL, &unpacker, &err), &err);
    near = looked_at(&here, &err);
    far = looked_at(&unpacker.file, &err);
    unpack_end(&unpacker);
    check_ok(far != NULL, &err);
    assert_non_null(near);
    assert_non_null(strstr(near, "skeins"));
    assert_string_equal(far, near);
    free(near);
    free(far);
}

/* The line of /proc/PID/status that begins so. */
static void status_line(pid_t pid, const char *begins, char line[128])
{
    char path[64];
    FILE *f;

    snprintf(path, sizeof path, "/proc/%d/status", (int)pid);
    f = fopen(path, "r");
    assert_non_null(f);
    while (fgets(line, 128, f) && strncmp(line, begins, strlen(begins)) != 0)
        line[0] = '\0';
    fclose(f);
}

static size_t files_of(pid_t pid)
{
    char path[64];
    size_t n = 0;

    for (int fd = FILTER_FIRST; fd < 1024; fd++) {
        snprintf(path, sizeof path, "/proc/%d/fd/%d", (int)pid, fd);
        n += faccessat(AT_FDCWD, path, F_OK, AT_SYMLINK_NOFOLLOW) == 0;
    }
    return n;
}

static void test_it_is_shut_before_it_looks_at_a_byte(void **state)
{
    struct exchange_taken taken;
    struct book *book = new_book();
    struct unpacker unpacker;
    struct error err;
    char line[128];

    (void)state;
    check_ok(unpack_start(SMALL, &unpacker, &err), &err);
    /* Looked at, so it has begun; and it waits for more. */
    check_ok(exchange_take(book, &unpacker.file, true, false, &taken, &err),
             &err);
    status_line(unpacker.pid, "Seccomp:", line);
    if (filter_there())
        assert_string_equal(line, "Seccomp:\t2\n");
    assert_int_equal(files_of(unpacker.pid), 3); /* the zip and two pipes */
    exchange_taken_clear(&taken);
    unpack_end(&unpacker);
    book_close(book);
}

static void refused(const char *path, const char *line)
{
    struct unpacker unpacker;
    struct error err = {0};
    char *words;

    check_ok(unpack_start(path, &unpacker, &err), &err);
    words = looked_at(&unpacker.file, &err);
    unpack_end(&unpacker);
    assert_null(words);
    assert_int_equal(err.kind, ERR_INPUT);
    assert_string_equal(err.text, line);
}

static void test_what_is_no_zip_is_refused(void **state)
{
    (void)state;
    refused("LICENSE", "this is not a zip file, or not all of it: ask for it "
                       "again");
    refused("tests/fuzz/corpus/import/01-small.json",
            "this is not a zip file, or not all of it: ask for it again");
}

/* As a file would end it that is made to do harm. */
static void test_an_unpacker_that_is_killed_is_told(void **state)
{
    struct sigaction ignore = {.sa_handler = SIG_IGN}, before;
    struct unpacker unpacker;
    struct error err = {0};
    siginfo_t ended;

    (void)state;
    sigaction(SIGPIPE, &ignore, &before); /* as the page does */
    check_ok(unpack_start(SMALL, &unpacker, &err), &err);
    kill(unpacker.pid, SIGKILL);
    /* Until it is dead; unpack_end is the one to bury it. */
    assert_int_equal(
        waitid(P_PID, (id_t)unpacker.pid, &ended, WEXITED | WNOWAIT), 0);
    assert_null(looked_at(&unpacker.file, &err));
    unpack_end(&unpacker);
    sigaction(SIGPIPE, &before, NULL);
    assert_string_equal(err.text, why_ended);
}

/* One that was taken over says what it likes. */
static void test_nothing_an_unpacker_says_is_believed(void **state)
{
    static const struct {
        struct error err;
        size_t size;
    } answer[] = {
        {{ERR_NONE, ""}, SIZE_MAX},
        {{ERR_NONE, ""}, 1},
        {{ERR_BUG, "two\nlines"}, 0},
        {{(enum error_kind)77, "\xFF\xFE"}, 0},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(answer); i++) {
        int ends[2];
        struct exchange_file file = {0};
        struct error err = {0};
        assert_int_equal(pipe(ends), 0);
        file.ask = file.answer = ends[0];
        assert_int_equal(write(ends[1], &answer[i], sizeof answer[i]),
                         sizeof answer[i]);
        close(ends[1]);
        assert_null(looked_at(&file, &err));
        close(ends[0]);
        assert_int_equal(err.kind, ERR_INPUT);
        assert_null(strchr(err.text, '\n'));
        assert_true(text_is_utf8(err.text, strlen(err.text)));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_what_is_shut_opens_and_asks_nothing),
        cmocka_unit_test(test_what_is_shut_has_bounded_memory),
        cmocka_unit_test(test_it_unpacks_what_is_there),
        cmocka_unit_test(test_it_is_shut_before_it_looks_at_a_byte),
        cmocka_unit_test(test_what_is_no_zip_is_refused),
        cmocka_unit_test(test_an_unpacker_that_is_killed_is_told),
        cmocka_unit_test(test_nothing_an_unpacker_says_is_believed),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
