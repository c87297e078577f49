/*
 * The page's server: one thread, one loop, this machine only unless it is
 * shared. What takes long is done by children (child.h); everything else
 * answers at once.
 */
#ifndef HANKLAB_WEB_SERVER_H
#define HANKLAB_WEB_SERVER_H

#include <netinet/in.h>
#include <stdbool.h>

#include "base/error.h"
#include "book/book.h"
#include "guard.h"
#include "kept.h"
#include "network.h"

struct MHD_Daemon;
struct child;
struct request;

struct web {
    struct book *book;
    /* Where it listens: at 127.0.0.1 or everywhere, and at the address that was
     * asked for. */
    struct MHD_Daemon *daemon[2];
    int port;
    bool shared;              /* devices of the local network may be let in */
    struct in_addr address;   /* the one asked for; 0.0.0.0: all */
    char at[NETWORK_MAX][64]; /* "http://192.168.1.5:8137/", for people */
    size_t ats;
    size_t requests; /* that were begun and are not done */
    bool ending;     /* no new ones are taken */
    char token[TOKEN_CHARS + 1];
    struct child *child; /* those at work */
    int children;
    struct kept kept; /* pages as they were made */
};

/* Listens on 127.0.0.1 and, when it is shared, on the addresses for that; port
 * 0 takes a free one, which is then in web->port. ERR_STORE when the port is
 * taken, ERR_INPUT when the address is none of this machine's. */
bool server_start(struct web *web, struct error *err);

/* Answers until a signal ends it (SIGINT, SIGTERM, SIGHUP): what was begun is
 * done then, for at most ten seconds or until a second signal. */
void server_run(struct web *web);

void server_stop(struct web *web);

/* A waiting request's child has ended: answer it. */
void server_take_up(struct request *r);

#endif
