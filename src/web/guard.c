/* Who may ask. See guard.h. */
#include "guard.h"

#include <errno.h>
#include <fcntl.h>
#include <microhttpd.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/mem.h"
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

static bool token_make(char token[TOKEN_CHARS + 1])
{
    unsigned char bytes[TOKEN_CHARS / 2];
    FILE *f = fopen("/dev/urandom", "r");
    bool ok = f && fread(bytes, sizeof bytes, 1, f) == 1;

    if (f)
        fclose(f);
    for (size_t i = 0; ok && i < sizeof bytes; i++)
        snprintf(token + 2 * i, 3, "%02x", bytes[i]);
    return ok;
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
    ok = ok && (token_read(text_str(&path), token) ||
                (token_make(token) && token_write(text_str(&path), token)));
    text_clear(&path);
    return ok || error_set(err, ERR_STORE, "%s/cache cannot be written: %s",
                           folder, strerror(errno));
}

/* "127.0.0.1:8080", "localhost:8080", "[::1]:8080"; a port of 80 may be left
 * out by the browser, but is never ours. */
static bool is_here(const struct web *web, const char *host)
{
    static const char *const names[] = {"127.0.0.1", "localhost", "[::1]"};
    char want[64];

    for (size_t i = 0; i < ARRAY_LEN(names); i++) {
        snprintf(want, sizeof want, "%s:%d", names[i], web->port);
        if (!strcmp(host, want))
            return true;
    }
    return false;
}

bool guard_address(struct request *r)
{
    const char *host = MHD_lookup_connection_value(
        r->connection, MHD_HEADER_KIND, MHD_HTTP_HEADER_HOST);
    const char *origin = MHD_lookup_connection_value(
        r->connection, MHD_HEADER_KIND, MHD_HTTP_HEADER_ORIGIN);

    if (!host || !is_here(r->web, host))
        return error_set(&r->refused, ERR_INPUT,
                         "this book answers on this machine only: open "
                         "http://127.0.0.1:%d/",
                         r->web->port);
    if (r->post && origin &&
        (strncmp(origin, "http://", 7) || !is_here(r->web, origin + 7)))
        return error_set(&r->refused, ERR_INPUT,
                         "this form comes from another page than hanklab's, "
                         "so nothing was changed");
    return true;
}

bool guard_form(struct request *r)
{
    const char *token = pairs_get(&r->form, "token");

    return (token && !strcmp(token, r->web->token)) ||
           error_set(&r->refused, ERR_INPUT,
                     "this form does not carry the book's own mark, so "
                     "nothing was changed: go back, reload the page and send "
                     "it again");
}
