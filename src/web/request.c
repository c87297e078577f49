/* A request's words, and letting go of it. See request.h. */
#include "request.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/mem.h"
#include "child.h"
#include "receive.h"
#include "server.h"

const char *pairs_nth(const struct pairs *pairs, const char *name, size_t n)
{
    for (size_t i = 0; i < pairs->count; i++)
        if (!strcmp(pairs->pair[i].name, name) && n-- == 0)
            return pairs->pair[i].value;
    return NULL;
}

const char *pairs_get(const struct pairs *pairs, const char *name)
{
    const char *value = pairs_nth(pairs, name, 0);

    return value && value[strspn(value, " \t\r\n")] ? value : NULL;
}

void pairs_add(struct pairs *pairs, const char *name, const char *value)
{
    pairs->pair =
        mem_resize(pairs->pair, pairs->count + 1, sizeof *pairs->pair);
    pairs->pair[pairs->count++] =
        (struct pair){mem_text(name), mem_text(value ? value : "")};
    pairs->bytes += strlen(name) + (value ? strlen(value) : 0);
}

void pairs_set(struct pairs *pairs, const char *name, const char *value)
{
    for (size_t i = 0; i < pairs->count; i++) {
        if (strcmp(pairs->pair[i].name, name) != 0)
            continue;
        free(pairs->pair[i].value);
        pairs->pair[i].value = mem_text(value);
        return;
    }
    pairs_add(pairs, name, value);
}

void pairs_clear(struct pairs *pairs)
{
    for (size_t i = 0; i < pairs->count; i++) {
        free(pairs->pair[i].name);
        free(pairs->pair[i].value);
    }
    free(pairs->pair);
    *pairs = (struct pairs){0};
}

struct request *request_new(struct web *web, struct MHD_Connection *connection,
                            const char *path, bool post)
{
    struct request *r = mem_new(1, sizeof *r);

    r->web = web;
    web->requests++;
    r->book = web->book;
    r->connection = connection;
    r->path = mem_text(path);
    r->post = post;
    r->upload.fd = -1;
    r->status = 200;
    r->type = "text/html; charset=utf-8";
    return r;
}

void request_free(struct request *r)
{
    if (!r)
        return;
    receive_end(r);
    child_forget(r->child);
    if (r->job)
        r->job_clear(r->job);
    if (r->upload.fd >= 0)
        close(r->upload.fd);
    if (r->upload.path)
        unlink(r->upload.path);
    free(r->upload.field);
    free(r->upload.name);
    free(r->upload.path);
    pairs_clear(&r->query);
    pairs_clear(&r->form);
    text_clear(&r->out);
    r->web->requests--;
    free(r->path);
    free(r->device);
    free(r->cookie);
    free(r->key);
    free(r->go);
    free(r->file);
    free(r);
}

/* In the place of what is there. */
__attribute__((format(printf, 2, 0))) static void
set(char **out, const char *fmt, va_list args)
{
    char words[2048];

    vsnprintf(words, sizeof words, fmt, args);
    free(*out);
    *out = mem_text(words);
}

void request_go(struct request *r, const char *fmt, ...)
{
    va_list args;

    va_start(args, fmt);
    set(&r->go, fmt, args);
    va_end(args);
}

void request_cookie(struct request *r, const char *fmt, ...)
{
    va_list args;

    va_start(args, fmt);
    set(&r->cookie, fmt, args);
    va_end(args);
}

const char *request_part(const struct request *r, const char *prefix)
{
    size_t n = strlen(prefix);

    return strncmp(r->path, prefix, n) ? "" : r->path + n;
}

const char *request_value(const struct request *r, const char *name)
{
    return pairs_get(r->post ? &r->form : &r->query, name);
}
