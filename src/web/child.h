/*
 * Work on a photo in a process of its own: a stranger's file cannot hurt the
 * book, and the page goes on answering meanwhile.
 */
#ifndef HANKLAB_WEB_CHILD_H
#define HANKLAB_WEB_CHILD_H

#include <poll.h>
#include <stdbool.h>
#include <stddef.h>

#include "base/error.h"

struct request;
struct child;
struct web;

/* Fills `result`, which is `size` bytes of 0 and gets no pointers in them. It
 * may be large: what stays 0 at its end takes neither time nor memory. photo
 * are the files of the task, open; no other can be opened. */
typedef bool child_work(const void *job, const int *photo, void *result,
                        struct error *err);

struct child_task {
    child_work *work;
    const void *job; /* read in the child; must stay until child_start ends */
    size_t size;     /* of the result */
    const char *const *photo; /* paths */
    size_t photos;
    bool ours; /* no stranger's file is read: nothing is forbidden, and it may
                  take its time */
};

/*
 * Starts the work and leaves the request waiting: r->then is called when it
 * has ended. ERR_STORE when no process could be made.
 */
bool child_start(struct request *r, const struct child_task *task,
                 bool (*then)(struct request *r, struct error *err),
                 struct error *err);

/* What came of it, in r->then: the result, or NULL and err. */
const void *child_result(const struct child *child, struct error *err);

/* The request does not wait for it any more; NULL allowed. */
void child_forget(struct child *child);

/* For the server's loop: what to wait for, and what has ended. The array has
 * room for CHILD_MAX. */
#define CHILD_MAX 64
size_t child_watch(struct web *web, struct pollfd *fds);
void child_reap(struct web *web);

/* Ends all of them; their requests are refused. */
void child_stop(struct web *web);

#endif
