/* The answer's way out. See send.h. */
#include "send.h"

#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/html.h"
#include "base/mem.h"
#include "gzip.h"
#include "page.h"
#include "server.h"

/* No script or style that is not a file of ours; nothing from elsewhere. */
#define POLICY                                                                 \
    "default-src 'none'; img-src 'self' blob:; style-src 'self'; "             \
    "script-src 'self'; connect-src 'self'; form-action 'self'; "              \
    "base-uri 'none'; frame-ancestors 'none'"

static int status_of(const struct error *err)
{
    switch (err->kind) {
    case ERR_MISSING:
        return MHD_HTTP_NOT_FOUND;
    case ERR_LIMIT:
        return MHD_HTTP_CONTENT_TOO_LARGE;
    case ERR_STORE:
        return MHD_HTTP_SERVICE_UNAVAILABLE;
    case ERR_NONE:
    case ERR_BUG:
        return MHD_HTTP_INTERNAL_SERVER_ERROR;
    case ERR_INPUT:
        return MHD_HTTP_BAD_REQUEST;
    }
    return MHD_HTTP_INTERNAL_SERVER_ERROR;
}

/* Whether the form that was sent is one in which something is typed. */
static bool typed(const struct request *r)
{
    static const char *const buttons[] = {"/undo", "/withdraw", "/back-to"};
    bool is = r->post;

    for (size_t i = 0; i < ARRAY_LEN(buttons); i++)
        is = is && strcmp(r->path, buttons[i]) != 0;
    return is;
}

/* Where the book lies is nobody's business but this machine's. */
static void hide_folder(const struct request *r, struct error *why)
{
    const char *folder = book_folder(r->book);
    char *at = r->home ? NULL : strstr(why->text, folder);
    struct text t = {0};

    if (!at)
        return;
    text_add_n(&t, why->text, (size_t)(at - why->text));
    text_addf(&t, "its folder%s", at + strlen(folder));
    error_set(why, why->kind, "%s", text_str(&t));
    text_clear(&t);
}

void send_refusal(struct request *r, const struct error *err)
{
    struct error why = *err; /* may be r->refused */

    text_reset(&r->out);
    free(r->go);
    r->go = NULL;
    free(r->file);
    r->file = NULL;
    r->lasting = false;
    r->save_as[0] = '\0';
    r->type = "text/html; charset=utf-8";
    hide_folder(r, &why);
    r->status = r->forbidden ? MHD_HTTP_FORBIDDEN : status_of(&why);
    page_begin(r, "That did not go", NULL);
    html_addf(&r->out,
              "<div class=\"head\"><h1>That did not go</h1></div>\n"
              "<p role=\"alert\" class=\"why\">%s</p>\n"
              "<p>Nothing was changed.%s</p>\n",
              why.text,
              typed(r) ? " What you typed is still there when you go back."
                       : "");
    page_end(r);
}

/* In place of what the answer is; false where it stays as it is. */
static bool pack(struct request *r)
{
    struct text packed = {0};

    if (r->file || !gzip_accepted(r) ||
        !gzip_bytes(r->out.s, r->out.len, GZIP_QUICKLY, &packed))
        return false;
    text_clear(&r->out);
    r->out = packed;
    return true;
}

static struct MHD_Response *body_of(struct request *r)
{
    struct stat st;
    size_t size;
    int fd;

    if (!r->file) {
        size = r->out.len;
        return MHD_create_response_from_buffer(size, text_take(&r->out),
                                               MHD_RESPMEM_MUST_FREE);
    }
    fd = open(r->file, O_RDONLY | O_CLOEXEC);
    if (r->passing)
        unlink(r->file); /* what is open stays until it was read */
    if (fd >= 0 && !fstat(fd, &st) && S_ISREG(st.st_mode))
        return MHD_create_response_from_fd64((uint64_t)st.st_size, fd);
    if (fd >= 0)
        close(fd);
    r->status = MHD_HTTP_NOT_FOUND;
    r->type = "text/plain; charset=utf-8";
    return MHD_create_response_from_buffer(0, NULL, MHD_RESPMEM_PERSISTENT);
}

struct MHD_Response *send_make(struct request *r)
{
    const bool words = r->packed || gzip_pays(r->type, r->out.len);
    const bool packed = r->packed || (words && pack(r));
    struct MHD_Response *answer = body_of(r);

    if (!answer)
        return NULL;
    if (packed)
        MHD_add_response_header(answer, MHD_HTTP_HEADER_CONTENT_ENCODING,
                                "gzip");
    if (words)
        MHD_add_response_header(answer, MHD_HTTP_HEADER_VARY,
                                MHD_HTTP_HEADER_ACCEPT_ENCODING);
    MHD_add_response_header(answer, MHD_HTTP_HEADER_CONTENT_TYPE, r->type);
    MHD_add_response_header(answer, "Content-Security-Policy", POLICY);
    MHD_add_response_header(answer, "X-Content-Type-Options", "nosniff");
    MHD_add_response_header(answer, "Referrer-Policy", "same-origin");
    MHD_add_response_header(answer, "Cross-Origin-Resource-Policy",
                            "same-origin");
    MHD_add_response_header(answer, MHD_HTTP_HEADER_CACHE_CONTROL,
                            r->lasting ? "private, max-age=31536000, immutable"
                                       : "no-store");
    if (r->go)
        MHD_add_response_header(answer, MHD_HTTP_HEADER_LOCATION, r->go);
    if (*r->save_as) {
        struct text how = {0};
        text_addf(&how, "attachment; filename=\"%s\"", r->save_as);
        MHD_add_response_header(answer, MHD_HTTP_HEADER_CONTENT_DISPOSITION,
                                text_str(&how));
        text_clear(&how);
    }
    if (r->web->ending)
        MHD_add_response_header(answer, MHD_HTTP_HEADER_CONNECTION, "close");
    if (r->cookie)
        MHD_add_response_header(answer, MHD_HTTP_HEADER_SET_COOKIE, r->cookie);
    return answer;
}

enum MHD_Result send_answer(struct request *r)
{
    struct MHD_Response *answer = r->kept;
    enum MHD_Result ok;

    if (r->go) {
        text_reset(&r->out);
        r->status = MHD_HTTP_SEE_OTHER;
    }
    if (!answer)
        answer = send_make(r);
    if (!answer)
        return MHD_NO;
    ok = MHD_queue_response(r->connection, (unsigned)r->status, answer);
    if (answer != r->kept)
        MHD_destroy_response(answer);
    return ok;
}
