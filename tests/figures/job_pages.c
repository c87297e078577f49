/*
 * Pages a second, of a book of 1,000 skeins and of one of 100,000, against a
 * libmicrohttpd that hands out as many bytes and does nothing else. Each step
 * is many requests, eight connections at a time, and its figures are of one.
 */
#include "bench.h"

#include <arpa/inet.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/mem.h"
#include "guild.h"

enum {
    SMALL = 1000,
    LARGE = 100000,
    CONNECTIONS = 8,
    BYTES = 1 << 20,
    ANEW = 16,   /* requests for a page that is made each time */
    AGAIN = 800, /* for one that is handed out */
};

/* ---- a client -------------------------------------------------------------
 */

struct answer {
    int status;
    size_t bytes; /* of its body */
};

static int dial(int port)
{
    const struct sockaddr_in home = {.sin_family = AF_INET,
                                     .sin_port = htons((uint16_t)port),
                                     .sin_addr = {htonl(INADDR_LOOPBACK)}};
    const int fd = socket(AF_INET, SOCK_STREAM, 0);

    if (fd < 0 || connect(fd, (const struct sockaddr *)&home, sizeof home))
        bench_die("page", "does not answer");
    return fd;
}

static void ask(int fd, int port, const char *path)
{
    char words[400];
    const int n =
        snprintf(words, sizeof words,
                 "GET %s HTTP/1.1\r\nHost: 127.0.0.1:%d\r\n\r\n", path, port);

    if (write(fd, words, (size_t)n) != n)
        bench_die(path, "cannot be asked for");
}

/* The value of a header, or NULL; its name is written as ours are. */
static const char *header(const char *head, const char *name)
{
    const char *at = strstr(head, name);

    return at ? at + strlen(name) : NULL;
}

/* One whole answer, with nothing behind it, for one was asked for. */
static struct answer take(int fd)
{
    static char buffer[BYTES + 1];
    struct answer a = {0};
    size_t got = 0, whole = 0;

    while (!whole || got < whole) {
        const ssize_t n = read(fd, buffer + got, BYTES - got);
        const char *body, *length;

        if (n <= 0)
            bench_die("page", "ended its answer early");
        got += (size_t)n;
        buffer[got] = '\0';
        body = whole ? NULL : strstr(buffer, "\r\n\r\n");
        if (!body)
            continue;
        length = header(buffer, "Content-Length: ");
        a.status = (int)strtol(buffer + strlen("HTTP/1.1 "), NULL, 10);
        a.bytes = length ? strtoul(length, NULL, 10) : 0;
        whole = (size_t)(body + 4 - buffer) + a.bytes;
    }
    return a;
}

/* Each time another address of the same page, so that it is made anew. */
static void never_before(const char *path, char out[200])
{
    static int n;

    snprintf(out, 200, "%s%cno=%ld-%d", path, strchr(path, '?') ? '&' : '?',
             (long)getpid(), n++);
}

static int requests(int port, const char *path, bool anew, int times)
{
    char address[200];
    int fd[CONNECTIONS];

    for (int i = 0; i < CONNECTIONS; i++)
        fd[i] = dial(port);
    for (int n = 0; n < times; n += CONNECTIONS) {
        for (int i = 0; i < CONNECTIONS; i++) {
            snprintf(address, sizeof address, "%s", path);
            if (anew)
                never_before(path, address);
            ask(fd[i], port, address);
        }
        for (int i = 0; i < CONNECTIONS; i++)
            if (take(fd[i]).status != 200)
                return 1;
    }
    return 0;
}

/* ---- servers --------------------------------------------------------------
 */

struct server {
    pid_t pid;
    int port, to; /* its standard input */
};

static struct server bare, small, large;

static struct server begin(const char *program, const char *folder)
{
    struct server s = {0};
    int in[2] = {-1, -1}, out[2] = {-1, -1};
    char path[512], line[200];
    FILE *said;

    snprintf(path, sizeof path, "%s", bench_program(program));
    if (pipe(in) || pipe(out) || (s.pid = fork()) < 0)
        bench_die(program, "cannot be started");
    if (s.pid == 0) {
        dup2(in[0], STDIN_FILENO);
        dup2(out[1], STDOUT_FILENO);
        close(in[1]);
        close(out[0]);
        execl(path, path, folder, "0", (char *)NULL);
        _exit(1);
    }
    close(in[0]);
    close(out[1]);
    s.to = in[1];
    said = fdopen(out[0], "r");
    while (s.port == 0 && said && fgets(line, sizeof line, said)) {
        const char *at = strstr(line, "127.0.0.1:");
        s.port = at ? (int)strtol(at + 10, NULL, 10) : 0;
    }
    if (!s.port)
        bench_die(program, "says no address");
    return s;
}

static void end(const struct server *s)
{
    if (s->pid <= 0)
        return;
    close(s->to);
    kill(s->pid, SIGTERM);
    waitpid(s->pid, NULL, 0);
}

static void finish(void)
{
    end(&bare);
    end(&small);
    end(&large);
}

/* ---- pages ----------------------------------------------------------------
 */

static struct page {
    const char *path;
    struct answer of_small, of_large;
} pages[] = {
    {"/", {0}, {0}},
    {"/skein/500", {0}, {0}},
    {"/find?q=olive", {0}, {0}},
};

enum { RACK, SKEIN, FIND };

static struct server book_of(const char *where, int skeins)
{
    char folder[512];

    snprintf(folder, sizeof folder, "%s/%d", where, skeins);
    bench_run((const char *const[]){"/bin/cp", "-r", guild_book(skeins), folder,
                                    NULL});
    return begin("hanklab-serve", folder);
}

static struct answer once(const struct server *s, const char *path)
{
    const int fd = dial(s->port);
    struct answer a;

    ask(fd, s->port, path);
    a = take(fd);
    if (a.status != 200)
        bench_die(path, "is refused");
    close(fd);
    return a;
}

static void prepare(const char *folder)
{
    bare = begin("bare", "");
    small = book_of(folder, SMALL);
    large = book_of(folder, LARGE);
    for (size_t i = 0; i < ARRAY_LEN(pages); i++) {
        pages[i].of_small = once(&small, pages[i].path);
        pages[i].of_large = once(&large, pages[i].path);
    }
}

static int bare_page(int n)
{
    char path[32];

    snprintf(path, sizeof path, "/%zu", pages[n].of_small.bytes);
    return requests(bare.port, path, false, AGAIN);
}

/* Behind these it is asked for as it is, so that it is kept for the next step:
 * one more that is made. */
static int fresh(int n)
{
    const int wrong = requests(small.port, pages[n].path, true, ANEW);

    once(&small, pages[n].path);
    return wrong;
}

static int again(int n)
{
    return requests(small.port, pages[n].path, false, AGAIN);
}

static int of_large(int n)
{
    return requests(large.port, pages[n].path, true, ANEW);
}

#define STEPS_OF(name, n)                                                      \
    static int name##_bare(void)                                               \
    {                                                                          \
        return bare_page(n);                                                   \
    }                                                                          \
    static int name##_fresh(void)                                              \
    {                                                                          \
        return fresh(n);                                                       \
    }                                                                          \
    static int name##_again(void)                                              \
    {                                                                          \
        return again(n);                                                       \
    }                                                                          \
    static int name##_large(void)                                              \
    {                                                                          \
        return of_large(n);                                                    \
    }

/* clang-format off: a step a line */
STEPS_OF(rack, RACK)
STEPS_OF(skein, SKEIN)
STEPS_OF(find, FIND)
/* clang-format on */

static void tell(void)
{
    putchar('\n');
    for (size_t i = 0; i < ARRAY_LEN(pages); i++)
        printf("%s has %zu bytes, of 100,000 skeins %zu.\n", pages[i].path,
               pages[i].of_small.bytes, pages[i].of_large.bytes);
}

#define NAMED(what, name)                                                      \
    {what ", as many bytes from nothing", name##_bare, &bare.pid, AGAIN},      \
        {what ", made afresh", name##_fresh, &small.pid, ANEW + 1},            \
        {what ", repeated unchanged", name##_again, &small.pid, AGAIN},        \
    {                                                                          \
        what ", of 100,000 skeins", name##_large, &large.pid, ANEW             \
    }
#define REACHED(what, n)                                                       \
    {what ", afresh, of bare pages a second",                                  \
     4 * (n) + 1,                                                              \
     4 * (n),                                                                  \
     BENCH_CPU,                                                                \
     true,                                                                     \
     0.15,                                                                     \
     NULL},                                                                    \
        {what ", repeated, of bare pages a second",                            \
         4 * (n) + 2,                                                          \
         4 * (n),                                                              \
         BENCH_CPU,                                                            \
         true,                                                                 \
         0.7,                                                                  \
         NULL},                                                                \
    {                                                                          \
        what ", of 100,000, of those of 1,000 a second", 4 * (n) + 3,          \
            4 * (n) + 1, BENCH_CPU, true, 0.8, NULL                            \
    }

const struct bench_job job_pages = {
    .name = "pages",
    .title = "one request for a page of a book of 1,000 skeins",
    .prepare = prepare,
    .step = {NAMED("the rack", rack), NAMED("a skein", skein),
             NAMED("find olive", find)},
    .tell = tell,
    .reach = {REACHED("the rack", RACK), REACHED("a skein", SKEIN),
              REACHED("find olive", FIND)},
    .finish = finish,
};
