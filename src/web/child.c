/* Work in a process of its own. See child.h. */
#include "child.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/bytes.h"
#include "base/mem.h"
#include "filter.h"
#include "photo/photo.h"
#include "request.h"
#include "server.h"

#define OUT FILTER_FIRST /* the child's end of the pipe */

/* What the child writes, the result behind it. */
struct outcome {
    bool ok;
    size_t sent; /* bytes of the result; those behind them are 0 */
    struct error err;
};

struct child {
    struct web *web;
    struct child *next;
    struct request *request; /* NULL: forgotten */
    pid_t pid;
    int fd;              /* ends when the child has */
    struct outcome *got; /* size bytes of result behind it */
    size_t size, have;   /* of both together; so much has arrived */
};

/* Up to the last byte that is not 0. */
static size_t used(const unsigned char *result, size_t size)
{
    while (size && !result[size - 1])
        size--;
    return size;
}

static bool open_all(const struct child_task *task, int *fd, struct error *err)
{
    for (size_t i = 0; i < task->photos; i++)
        if (!file_open(task->photo[i], &fd[i], err))
            return false;
    return true;
}

/* In the child. */
static void work_alone(int fd, const struct child_task *task)
{
    struct outcome outcome = {0};
    void *result = mem_new(1, task->size);
    int *photo = mem_new(task->photos, sizeof *photo);

    if (!task->ours)
        filter_limit();
    filter_leave(&fd, 1);
    if (open_all(task, photo, &outcome.err)) {
        if (!task->ours)
            filter_shut();
        outcome.ok = task->work(task->job, photo, result, &outcome.err);
    }
    outcome.sent = used(result, task->size);
    if (!bytes_write(OUT, &outcome, sizeof outcome) ||
        !bytes_write(OUT, result, outcome.sent))
        _exit(1);
    _exit(0);
}

static void release(struct child *c)
{
    close(c->fd);
    free(c->got);
    free(c);
}

bool child_start(struct request *r, const struct child_task *task,
                 bool (*then)(struct request *r, struct error *err),
                 struct error *err)
{
    struct child *c;
    int ends[2];
    pid_t pid;

    if (r->web->children >= CHILD_MAX || pipe(ends))
        return error_set(err, ERR_STORE,
                         "too many photos at once: wait for the others");
    pid = fork();
    if (pid == 0)
        work_alone(ends[1], task);
    close(ends[1]);
    if (pid < 0) {
        close(ends[0]);
        return error_set(err, ERR_STORE, "no process for the photo: %s",
                         strerror(errno));
    }
    fcntl(ends[0], F_SETFD, FD_CLOEXEC);
    fcntl(ends[0], F_SETFL, O_NONBLOCK);
    c = mem_new(1, sizeof *c);
    *c = (struct child){.web = r->web,
                        .next = r->web->child,
                        .request = r,
                        .pid = pid,
                        .fd = ends[0],
                        .size = sizeof *c->got + task->size};
    c->got = mem_new(1, c->size);
    r->web->child = c;
    r->web->children++;
    r->child = c;
    r->then = then;
    return true;
}

const void *child_result(const struct child *c, struct error *err)
{
    if (c->have < sizeof *c->got || c->have < sizeof *c->got + c->got->sent) {
        error_set(err, ERR_INPUT,
                  "this photo could not be read to its end: take another, or "
                  "save it anew as a JPEG");
        return NULL;
    }
    if (!c->got->ok)
        *err = c->got->err;
    return c->got->ok ? c->got + 1 : NULL;
}

void child_forget(struct child *c)
{
    if (c)
        c->request = NULL;
}

size_t child_watch(struct web *web, struct pollfd *fds)
{
    size_t n = 0;

    for (struct child *c = web->child; c; c = c->next)
        fds[n++] = (struct pollfd){.fd = c->fd, .events = POLLIN};
    return n;
}

/* Takes what has arrived; whether the child has ended. */
static bool drain(struct child *c)
{
    char more;

    for (;;) {
        bool full = c->have == c->size;
        ssize_t n = read(c->fd, full ? &more : (char *)c->got + c->have,
                         full ? 1 : c->size - c->have);
        if (n < 0 && errno == EINTR)
            continue;
        if (n <= 0)
            return n == 0 || errno != EAGAIN;
        c->have += full ? 0 : (size_t)n;
    }
}

void child_reap(struct web *web)
{
    for (struct child **at = &web->child; *at;) {
        struct child *c = *at;

        if (!drain(c)) {
            at = &c->next;
            continue;
        }
        while (waitpid(c->pid, NULL, 0) < 0 && errno == EINTR)
            continue;
        *at = c->next;
        web->children--;
        if (c->request) {
            server_take_up(c->request);
            c->request->child = NULL;
        }
        release(c);
    }
}

void child_stop(struct web *web)
{
    for (struct child *c = web->child; c; c = c->next)
        kill(c->pid, SIGKILL);
    while (web->child) {
        struct pollfd end = {.fd = web->child->fd, .events = POLLIN};
        poll(&end, 1, -1);
        child_reap(web);
    }
}
