/* What a browser gets and does: tests/figures/frames.js, in Chromium. */
#include "bench.h"

#include <stdio.h>
#include <stdlib.h>
#include <sys/wait.h>
#include <unistd.h>

#include "book/book.h"
#include "large_support.h"

enum { SKEINS = 1000 };

static char folder[512];

static void prepare(const char *where)
{
    struct book *book = NULL;
    struct error err;

    snprintf(folder, sizeof folder, "%s/book", where);
    if (!book_create(folder, "me", &err) || !book_open(folder, &book, &err) ||
        !large_fill(book, SKEINS, &err))
        bench_die("frames", err.text);
    book_close(book);
}

static void tell(void)
{
    pid_t child;
    int status = 0;

    fflush(stdout);
    child = fork();
    if (child == 0) {
        execlp("node", "node", "tests/figures/frames.js", folder, (char *)NULL);
        _exit(BENCH_NOT_THERE);
    }
    if (child < 0 || waitpid(child, &status, 0) != child)
        bench_die("node", "cannot be started");
    if (WIFEXITED(status) && WEXITSTATUS(status) == BENCH_NOT_THERE)
        puts("\nNode, Chromium or the packages of tests/web are not "
             "installed (make need-test; make test T=web).");
    else if (status)
        bench_die("frames.js", "failed");
}

const struct bench_job job_frames = {
    .name = "frames",
    .title = "frames",
    .prepare = prepare,
    .tell = tell,
};
