/* Who may ask. See guard.h. */
#include "guard.h"

#include <arpa/inet.h>
#include <errno.h>
#include <fcntl.h>
#include <microhttpd.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/mem.h"
#include "base/random.h"
#include "book/device.h"
#include "network.h"
#include "server.h"

static bool token_sound(const char *token)
{
    return strlen(token) == TOKEN_CHARS &&
           strspn(token, "0123456789abcdef") == TOKEN_CHARS;
}

static bool token_read(const char *path, char token[TOKEN_CHARS + 1])
{
    FILE *f = fopen(path, "r");
    size_t n = f ? fread(token, 1, TOKEN_CHARS, f) : 0;

    if (f)
        fclose(f);
    token[n] = '\0';
    return token_sound(token);
}

static bool token_make(char token[TOKEN_CHARS + 1], struct error *err)
{
    unsigned char bytes[TOKEN_CHARS / 2];

    if (!random_fill(bytes, sizeof bytes, err))
        return false;
    hex_of(bytes, sizeof bytes, token);
    return true;
}

static bool token_write(const char *path, const char *token)
{
    int fd = open(path, O_WRONLY | O_CREAT | O_TRUNC, 0600);
    bool ok = fd >= 0 && write(fd, token, TOKEN_CHARS) == TOKEN_CHARS;

    return fd < 0 ? false : close(fd) == 0 && ok;
}

bool guard_token(const char *folder, char token[TOKEN_CHARS + 1],
                 struct error *err)
{
    struct text path = {0};
    bool ok;

    text_addf(&path, "%s/cache", folder);
    ok = !mkdir(text_str(&path), 0700) || errno == EEXIST;
    text_add(&path, "/page-token");
    ok =
        ok && (token_read(text_str(&path), token) ||
               (token_make(token, err) && token_write(text_str(&path), token)));
    text_clear(&path);
    return ok || error_set(err, ERR_STORE, "%s/cache cannot be written: %s",
                           folder, strerror(errno));
}

typedef int name_of(int fd, struct sockaddr *out, socklen_t *size);

static struct in_addr address(int fd, name_of *name)
{
    struct sockaddr_in a = {0};
    socklen_t size = sizeof a;

    if (name(fd, (struct sockaddr *)&a, &size))
        a.sin_addr.s_addr = htonl(INADDR_NONE);
    return a.sin_addr;
}

/* Where requests come in is what they were meant for. */
struct guard_ends *guard_ends(struct MHD_Connection *connection)
{
    const union MHD_ConnectionInfo *info =
        MHD_get_connection_info(connection, MHD_CONNECTION_INFO_CONNECTION_FD);
    struct guard_ends *ends = mem_new(1, sizeof *ends);

    ends->here = address(info ? info->connect_fd : -1, getsockname);
    ends->there = address(info ? info->connect_fd : -1, getpeername);
    return ends;
}

static const struct guard_ends *ends_of(const struct request *r)
{
    return MHD_get_connection_info(r->connection,
                                   MHD_CONNECTION_INFO_SOCKET_CONTEXT)
        ->socket_context;
}

static bool is_host(const char *host, const char *name, const char *port)
{
    const size_t n = strlen(name);

    return !strncmp(host, name, n) && !strcmp(host + n, port);
}

/* "127.0.0.1:8080", "localhost:8080", "[::1]:8080"; of a shared address only
 * its numbers, for any name can be made to mean it (DNS rebinding). A port of
 * 80 may be left out by the browser, but is never ours. */
static bool is_here(const struct request *r, const char *host)
{
    static const char *const names[] = {"127.0.0.1", "localhost", "[::1]"};
    char port[16], numbers[INET_ADDRSTRLEN];
    const struct in_addr at = ends_of(r)->here;

    snprintf(port, sizeof port, ":%d", r->web->port);
    for (size_t i = 0; r->home && i < ARRAY_LEN(names); i++)
        if (is_host(host, names[i], port))
            return true;
    inet_ntop(AF_INET, &at, numbers, sizeof numbers);
    return network_is_local(at) && is_host(host, numbers, port);
}

bool guard_address(struct request *r)
{
    const char *host = MHD_lookup_connection_value(
        r->connection, MHD_HEADER_KIND, MHD_HTTP_HEADER_HOST);
    const char *origin = MHD_lookup_connection_value(
        r->connection, MHD_HEADER_KIND, MHD_HTTP_HEADER_ORIGIN);

    /* Some kernels are told to let others in at 127.0.0.1. */
    r->home =
        network_is_home(ends_of(r)->here) && network_is_home(ends_of(r)->there);
    if (!host || !is_here(r, host))
        return error_set(
            &r->refused, ERR_INPUT,
            r->home ? "this book answers on this machine only: open "
                      "http://127.0.0.1:%d/"
                    : "open the book by the address that \"hanklab serve\" "
                      "says, in numbers and with :%d behind them",
            r->web->port);
    if (r->post && origin &&
        (strncmp(origin, "http://", 7) || !is_here(r, origin + 7)))
        return error_set(&r->refused, ERR_INPUT,
                         "this form comes from another page than hanklab's, "
                         "so nothing was changed");
    return true;
}

/* By its port, for cookies go to every port of an address. */
static void cookie_name(const struct request *r, char out[32])
{
    snprintf(out, 32, "hanklab-%d", r->web->port);
}

bool guard_device(struct request *r)
{
    const char *folder = book_folder(r->book);
    const char *token;
    char name[32];

    free(r->device);
    r->device = NULL;
    r->mark[0] = '\0';
    if (r->home) {
        memcpy(r->mark, r->web->token, sizeof r->mark);
        return true;
    }
    cookie_name(r, name);
    token = MHD_lookup_connection_value(r->connection, MHD_COOKIE_KIND, name);
    if (token && !device_known(folder, token, &r->device, &r->refused))
        return false;
    if (r->device)
        device_mark(r->web->token, token, r->mark);
    return true;
}

bool guard_form(struct request *r)
{
    const char *mark = pairs_get(&r->form, "token");

    return (!r->home && !r->device) || (mark && secret_same(mark, r->mark)) ||
           error_set(&r->refused, ERR_INPUT,
                     "this form does not carry the book's own mark, so "
                     "nothing was changed: go back, reload the page and send "
                     "it again");
}

#define KEEP "; Path=/; HttpOnly; SameSite=Strict; Max-Age="

void guard_let_in(struct request *r, const char *token)
{
    char name[32];

    cookie_name(r, name);
    request_cookie(r, "%s=%s" KEEP "31536000", name, token);
}

void guard_forget(struct request *r)
{
    char name[32];

    cookie_name(r, name);
    request_cookie(r, "%s=" KEEP "0", name);
}
