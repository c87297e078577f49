/* The page's server. See server.h. */
#include "server.h"

#include <arpa/inet.h>
#include <errno.h>
#include <fcntl.h>
#include <microhttpd.h>
#include <netinet/in.h>
#include <poll.h>
#include <signal.h>
#include <string.h>
#include <unistd.h>

#include "child.h"
#include "receive.h"
#include "request.h"
#include "routes.h"
#include "send.h"

#define MEMORY_BYTES (32u << 10) /* of one connection */
#define CONNECTIONS 200
#define IDLE_SECONDS 120 /* a phone may send 64 MiB slowly, but not nothing */

static volatile sig_atomic_t ended;
static int wake[2] = {-1, -1}; /* a signal writes, the loop reads */

static void on_signal(int signal)
{
    int was = errno;

    (void)signal;
    ended = 1;
    if (write(wake[1], "", 1) < 0)
        errno = was; /* full: the loop wakes anyway */
    errno = was;
}

/* ---- one request -----------------------------------------------------------
 */

/* Fills the answer in, or leaves the request waiting for a child. */
static enum MHD_Result answer(struct request *r)
{
    struct error err = {0};

    if (r->refused.kind)
        send_refusal(r, &r->refused);
    else if (!routes_answer(r, &err))
        send_refusal(r, &err);
    if (!r->child)
        return send_answer(r);
    MHD_suspend_connection(r->connection);
    return MHD_YES;
}

void server_take_up(struct request *r)
{
    struct error err = {0};

    if (!r->then(r, &err))
        send_refusal(r, &err);
    r->ready = true;
    MHD_resume_connection(r->connection);
}

static enum MHD_Result add_query(void *context, enum MHD_ValueKind kind,
                                 const char *name, const char *value)
{
    struct request *r = context;

    (void)kind;
    pairs_add(&r->query, name, value);
    return MHD_YES;
}

static struct request *begin(struct web *web, struct MHD_Connection *connection,
                             const char *path, const char *method)
{
    struct request *r =
        request_new(web, connection, path, !strcmp(method, "POST"));

    MHD_get_connection_values(connection, MHD_GET_ARGUMENT_KIND, add_query, r);
    if (!r->post && strcmp(method, "GET") && strcmp(method, "HEAD"))
        error_set(&r->refused, ERR_INPUT,
                  "a page is asked for or sent, "
                  "nothing else");
    else if (guard_address(r) && r->post)
        receive_begin(r);
    return r;
}

static enum MHD_Result on_request(void *context,
                                  struct MHD_Connection *connection,
                                  const char *path, const char *method,
                                  const char *version, const char *data,
                                  size_t *size, void **state)
{
    struct request *r = *state;

    (void)version;
    if (!r) {
        r = *state = begin(context, connection, path, method);
        /* Refused before its body came: say so now, and take none of it. */
        return r->post && r->refused.kind ? answer(r) : MHD_YES;
    }
    if (*size) {
        if (r->body)
            receive_bytes(r, data, *size);
        *size = 0;
        return MHD_YES;
    }
    if (r->ready)
        return send_answer(r);
    if (r->post) {
        receive_end(r);
        if (!r->refused.kind)
            guard_form(r);
    }
    return answer(r);
}

static void on_done(void *context, struct MHD_Connection *connection,
                    void **state, enum MHD_RequestTerminationCode code)
{
    (void)context;
    (void)connection;
    (void)code;
    request_free(*state);
    *state = NULL;
}

/* ---- the loop --------------------------------------------------------------
 */

bool server_start(struct web *web, struct error *err)
{
    struct sockaddr_in here = {.sin_family = AF_INET,
                               .sin_port = htons((uint16_t)web->port),
                               .sin_addr = {htonl(INADDR_LOOPBACK)}};
    const union MHD_DaemonInfo *info;

    web->daemon = MHD_start_daemon(
        MHD_USE_EPOLL | MHD_ALLOW_SUSPEND_RESUME, 0, NULL, NULL, on_request,
        web, MHD_OPTION_SOCK_ADDR, (struct sockaddr *)&here,
        MHD_OPTION_NOTIFY_COMPLETED, on_done, NULL,
        MHD_OPTION_CONNECTION_MEMORY_LIMIT, (size_t)MEMORY_BYTES,
        MHD_OPTION_CONNECTION_LIMIT, CONNECTIONS, MHD_OPTION_CONNECTION_TIMEOUT,
        IDLE_SECONDS, MHD_OPTION_STRICT_FOR_CLIENT, 1, MHD_OPTION_END);
    if (!web->daemon)
        return error_set(err, ERR_STORE,
                         "port %d is taken: end the other program, or choose "
                         "another with --port",
                         web->port);
    info = MHD_get_daemon_info(web->daemon, MHD_DAEMON_INFO_BIND_PORT);
    web->port = info->port;
    return true;
}

static int wait_ms(struct web *web)
{
    MHD_UNSIGNED_LONG_LONG ms;

    if (MHD_get_timeout(web->daemon, &ms) != MHD_YES)
        return -1;
    return ms > 60000 ? 60000 : (int)ms;
}

static void catch_signals(void)
{
    struct sigaction end = {.sa_handler = on_signal},
                     ignore = {.sa_handler = SIG_IGN};
    const int signals[] = {SIGINT, SIGTERM, SIGHUP};

    for (size_t i = 0; i < sizeof signals / sizeof *signals; i++)
        sigaction(signals[i], &end, NULL);
    sigaction(SIGPIPE, &ignore, NULL);
}

void server_run(struct web *web)
{
    int epoll =
        MHD_get_daemon_info(web->daemon, MHD_DAEMON_INFO_EPOLL_FD)->epoll_fd;
    struct pollfd fds[CHILD_MAX + 2];

    if (pipe(wake))
        return;
    fcntl(wake[1], F_SETFL, O_NONBLOCK);
    catch_signals();
    while (!ended) {
        nfds_t n = 2;

        MHD_run(web->daemon);
        fds[0] = (struct pollfd){.fd = epoll, .events = POLLIN};
        fds[1] = (struct pollfd){.fd = wake[0], .events = POLLIN};
        n += child_watch(web, fds + n);
        if (poll(fds, n, wait_ms(web)) > 0 && n > 2)
            child_reap(web);
    }
}

void server_stop(struct web *web)
{
    child_stop(web);
    if (web->daemon)
        MHD_stop_daemon(web->daemon);
    web->daemon = NULL;
}
