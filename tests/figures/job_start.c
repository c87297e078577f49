/* How long the command line takes to begin: each step is 20 starts. */
#include "bench.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "book/book.h"
#include "large_support.h"

enum { STARTS = 20, SKEINS = 300 };

static char folder[512];

static void prepare(const char *where)
{
    struct book *book = NULL;
    struct error err;

    snprintf(folder, sizeof folder, "%s/book", where);
    if (!book_create(folder, "me", &err) || !book_open(folder, &book, &err) ||
        !large_fill(book, SKEINS, &err))
        bench_die("start", err.text);
    book_close(book);
}

static int start(const char *const argv[])
{
    char program[512];
    const char *all[8] = {program};

    snprintf(program, sizeof program, "%s", bench_program(argv[0]));
    for (int i = 1; argv[i]; i++)
        all[i] = argv[i];
    if (!freopen("/dev/null", "w", stderr)) /* notes on what was found */
        return 1;
    for (int i = 0; i < STARTS; i++)
        bench_run(all);
    return 0;
}

static int nothing(void)
{
    return start((const char *const[]){"nothing", NULL});
}

static int version(void)
{
    return start((const char *const[]){"hanklab", "--version", NULL});
}

static int find(void)
{
    return start((const char *const[]){"hanklab", "find", "olive", "--book",
                                       folder, NULL});
}

/* Shared libraries of a program, and whether some are for encrypting, which
 * nothing here does: libmicrohttpd's TLS, and what libzip has for passwords. */
static void tell_tls(const char *name)
{
    char program[512], said[8192], *next = said, *line;
    const char *const argv[] = {"ldd", program, NULL};
    int all = 0, tls = 0;

    snprintf(program, sizeof program, "%s", bench_program(name));
    if (bench_ask(argv, said, sizeof said))
        bench_die("ldd", "failed");
    while ((line = strtok_r(next, "\n", &next)) != NULL) {
        all++;
        tls += strstr(line, "gnutls") || strstr(line, "microhttpd") ||
               strstr(line, "libcrypto");
    }
    printf("%s loads %d libraries, %s.\n", name, all,
           tls ? "some of them for encrypting" : "none of them for encrypting");
}

static void tell(void)
{
    putchar('\n');
    tell_tls("hanklab");
    tell_tls("hanklab-exchange");
    tell_tls("hanklab-serve");
}

const struct bench_job job_start = {
    .name = "start",
    .title = "twenty starts of a program, one after another",
    .prepare = prepare,
    .step = {{"a program that needs the C library alone", nothing},
             {"hanklab --version", version},
             {"hanklab find olive, in a book of 300 skeins", find}},
    .tell = tell,
    .reach = {{"--version, of nothing", 1, 0, BENCH_CPU, false, 2, NULL},
              {"find, of nothing", 2, 0, BENCH_CPU, false, 3, NULL}},
};
