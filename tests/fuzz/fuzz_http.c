/*
 * What a browser, or what says it is one, may send to the page: requests as
 * they come over the wire, forms and files among them, to the real server.
 *
 * In an input PORT stands for the server's, and a "*" for the length of the
 * body, so that a fuzzer need not know them.
 *
 * link: -Wl,--wrap=child_start
 */
#define _XOPEN_SOURCE 700 /* nftw */

#include <arpa/inet.h>
#include <assert.h>
#include <errno.h>
#include <fcntl.h>
#include <ftw.h>
#include <microhttpd.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

#include "base/text.h"
#include "book/book.h"
#include "book/face.h"
#include "book/record.h"
#include "web/child.h"
#include "web/server.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);
bool __wrap_child_start(struct request *r, const struct child_task *task,
                        bool (*then)(struct request *r, struct error *err),
                        struct error *err);

#define TOKEN "0123456789abcdef0123456789abcdef"
enum { ACTS = 200, QUIET = 20 }; /* acts in one book; rounds */

static struct web web;
static char folder[] = "/tmp/hanklab-fuzz-XXXXXX";

/* No processes: they have a target of their own (fuzz_measure), and may write
 * where the form says. */
bool __wrap_child_start(struct request *r, const struct child_task *task,
                        bool (*then)(struct request *r, struct error *err),
                        struct error *err)
{
    assert(r && task && then);
    return error_set(err, ERR_STORE, "no process for the photo");
}

/* ---- a server with a small book -------------------------------------------
 */

static void must(bool ok, const struct error *err)
{
    if (!ok) {
        fprintf(stderr, "%s\n", err->text);
        abort();
    }
}

static int drop(const char *path, const struct stat *st, int type,
                struct FTW *at)
{
    (void)st;
    (void)type;
    (void)at;
    return remove(path);
}

static void drop_all(void)
{
    nftw(folder, drop, 16, FTW_DEPTH | FTW_PHYS);
}

static void add_skein(struct book *book, const char *weight)
{
    const struct record_value value[] = {{"weight", weight}};
    struct error err;
    int64_t id;

    must(book_act_begin(book, "skein add", &err), &err);
    must(record_add(book, NOUN_SKEIN, value, 1, &id, NULL, &err), &err);
    must(book_act_end(book, &err), &err);
}

/* An input does the same today and after a million others: a new book from
 * time to time. */
static void begin_book(void)
{
    static int books;
    char dir[64];
    struct error err;

    snprintf(dir, sizeof dir, "%s/%d", folder, ++books);
    must(book_create(dir, "Weaving group", &err), &err);
    must(book_open(dir, &web.book, &err), &err);
    add_skein(web.book, "20 g");
    add_skein(web.book, "1 3/4 oz");
}

static void begin(void)
{
    struct error err;

    if (!mkdtemp(folder))
        abort();
    atexit(drop_all);
    face_set_page();
    snprintf(web.token, sizeof web.token, "%s", TOKEN);
    begin_book();
    must(server_start(&web, &err), &err);
}

/* ---- a request ------------------------------------------------------------
 */

/* The input with the port and the body's length put in. */
static void fill_in(const uint8_t *data, size_t size, struct text *out)
{
    const char *in = (const char *)data;
    size_t body = size;

    for (size_t i = 0; i + 4 <= size && body == size; i++)
        if (!memcmp(in + i, "\r\n\r\n", 4))
            body = i + 4;
    for (size_t i = 0; i < body; i++) {
        if (i + 4 <= body && !memcmp(in + i, "PORT", 4)) {
            text_addf(out, "%d", web.port);
            i += 3;
        } else if (in[i] == '*') {
            text_addf(out, "%zu", size - body);
        } else {
            text_add_n(out, in + i, 1);
        }
    }
    text_add_n(out, in + body, size - body);
}

static int call(void)
{
    const struct sockaddr_in at = {.sin_family = AF_INET,
                                   .sin_port = htons((uint16_t)web.port),
                                   .sin_addr = {htonl(INADDR_LOOPBACK)}};
    const struct linger hard = {1, 0}; /* so that no port is used up */
    const int fd = socket(AF_INET, SOCK_STREAM, 0);

    if (fd < 0 || connect(fd, (const struct sockaddr *)&at, sizeof at))
        abort();
    setsockopt(fd, SOL_SOCKET, SO_LINGER, &hard, sizeof hard);
    fcntl(fd, F_SETFL, O_NONBLOCK);
    return fd;
}

/* Sends it all and takes the answer until the server hangs up, or nothing more
 * comes: it may wait for the rest of a request. */
static void talk(const struct text *sent, struct text *got)
{
    const int fd = call();
    size_t at = 0;

    for (int quiet = 0; quiet < QUIET; quiet++) {
        char bytes[16384];
        ssize_t n;

        if (at < sent->len &&
            (n = send(fd, sent->s + at, sent->len - at, MSG_NOSIGNAL)) > 0) {
            at += (size_t)n;
            quiet = 0;
        }
        MHD_run(web.daemon[0]);
        n = recv(fd, bytes, sizeof bytes, 0);
        if (n > 0) {
            text_add_n(got, bytes, (size_t)n);
            quiet = 0;
        }
        if (n == 0 || (n < 0 && errno != EAGAIN))
            break;
    }
    close(fd);
    for (int i = 0; i < 1000 && web.requests; i++)
        MHD_run(web.daemon[0]);
    assert(!web.requests);
}

static bool begins(const struct text *t, const char *with)
{
    return t->s && !strncmp(t->s, with, strlen(with));
}

/* Every answer is one of HTTP, none our own mistake; nothing that was typed
 * becomes markup. */
static void check_answer(const struct text *got)
{
    if (!got->len)
        return;
    assert(begins(got, "HTTP/1."));
    assert(!begins(got, "HTTP/1.1 500"));
    assert(!strstr(got->s, "<script>"));
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct text sent = {0}, got = {0};

    if (!web.book)
        begin();
    if (book_act(web.book) > ACTS) {
        book_close(web.book);
        begin_book();
    }
    fill_in(data, size, &sent);
    talk(&sent, &got);
    check_answer(&got);
    text_clear(&sent);
    text_clear(&got);
    return 0;
}
