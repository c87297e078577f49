/*
 * One request to the page and the answer to it.
 *
 * A handler fills `out` (and `type`, `status` when they are not those of a
 * page), or calls request_go to send the browser elsewhere. When it returns
 * false the error's line becomes a page of its own.
 */
#ifndef HANKLAB_WEB_REQUEST_H
#define HANKLAB_WEB_REQUEST_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/error.h"
#include "base/text.h"
#include "book/book.h"

struct MHD_Connection;
struct MHD_Response;
struct MHD_PostProcessor;
struct child;

/* A name and a value, in the order they came; both owned. */
struct pair {
    char *name, *value;
};

struct pairs {
    struct pair *pair;
    size_t count, bytes;
};

#define FORM_MAX_FIELDS 4000
#define FORM_MAX_BYTES (4u << 20)    /* all text of a form */
#define UPLOAD_MAX_BYTES (64u << 20) /* one file */

/* The first value of that name, NULL when there is none or it is blank. */
const char *pairs_get(const struct pairs *pairs, const char *name);
/* The nth value of that name, "" included; NULL behind the last. */
const char *pairs_nth(const struct pairs *pairs, const char *name, size_t n);
void pairs_clear(struct pairs *pairs);
/* In place of the first of that name, or added. */
void pairs_set(struct pairs *pairs, const char *name, const char *value);
void pairs_add(struct pairs *pairs, const char *name, const char *value);

/* A file that came with a form, in the book's cache until the answer is
 * sent. */
struct upload {
    char *field, *name; /* the form's field; what the browser calls the file */
    char *path;
    int fd; /* -1 when written */
    size_t size;
};

struct web;

struct request {
    struct web *web;
    struct book *book; /* borrowed */
    struct MHD_Connection *connection;
    char *path; /* decoded, "/skein/12" */
    bool post;
    struct pairs query, form;

    /* Who asks; see guard.h. */
    bool home;      /* a browser on this machine */
    char *device;   /* the name of a device that was let in, or NULL */
    char mark[33];  /* what forms of the answer carry; "" for strangers */
    bool forbidden; /* refused for who asks, not for what */

    struct upload upload; /* path NULL: none */

    /* The answer. */
    int status;       /* 200 unless set */
    const char *type; /* content type, a literal; a page unless set */
    struct text out;
    bool packed;               /* `out` is packed already; see gzip.h */
    struct MHD_Response *kept; /* sent in place of `out`, borrowed; or NULL */
    char *key;                 /* by which it is kept; see kept.h */
    char *go;                  /* 303 See Other, there */
    char *cookie;              /* a Set-Cookie header to send, or NULL */
    char *file;                /* sent in place of `out` */
    bool passing;     /* it was made for this answer, and goes with it */
    bool lasting;     /* the browser may keep it for good */
    char save_as[64]; /* the browser keeps it as a file of this name, plain
                         letters, or "" */
    const char *here; /* the masthead's word for the page, or NULL */

    /* Set by a handler that waits for a child: called when it has ended. */
    bool (*then)(struct request *r, struct error *err);
    struct child *child;
    void *job; /* the handler's own, released by job_clear */
    void (*job_clear)(void *job);

    /* While the body arrives; see receive.c. */
    struct MHD_PostProcessor *body;
    struct error refused; /* kind ERR_NONE: nothing wrong so far */
    size_t received;
    bool ready; /* it waited, and has its answer now */
};

struct request *request_new(struct web *web, struct MHD_Connection *connection,
                            const char *path, bool post);
void request_free(struct request *r);

/* Sends the browser to another page of this book; fmt gives its address. */
void request_go(struct request *r, const char *fmt, ...)
    __attribute__((format(printf, 2, 3)));

/* What stands behind the prefix in the path: of "/skein/12" behind "/skein/"
 * it is "12". Borrowed. */
const char *request_part(const struct request *r, const char *prefix);

/* A value of the form or, in a GET, of the address; NULL when blank. */
const char *request_value(const struct request *r, const char *name);

/* A cookie to send with the answer. */
void request_cookie(struct request *r, const char *fmt, ...)
    __attribute__((format(printf, 2, 3)));

#endif
