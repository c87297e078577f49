/*
 * The page's server: one thread, one loop, this machine only. What takes long
 * is done by children (child.h); everything else answers at once.
 */
#ifndef HANKLAB_WEB_SERVER_H
#define HANKLAB_WEB_SERVER_H

#include <stdbool.h>

#include "base/error.h"
#include "book/book.h"
#include "guard.h"

struct MHD_Daemon;
struct child;
struct request;

struct web {
    struct book *book;
    struct MHD_Daemon *daemon;
    int port;
    char token[TOKEN_CHARS + 1];
    struct child *child; /* those at work */
    int children;
};

/* Listens on 127.0.0.1; port 0 takes a free one, which is then in web->port.
 * ERR_STORE when the port is taken. */
bool server_start(struct web *web, struct error *err);

/* Answers until a signal ends it (SIGINT, SIGTERM, SIGHUP). */
void server_run(struct web *web);

void server_stop(struct web *web);

/* A waiting request's child has ended: answer it. */
void server_take_up(struct request *r);

#endif
