/* The page's server. See server.h. */
#include "server.h"

#include <arpa/inet.h>
#include <errno.h>
#include <fcntl.h>
#include <microhttpd.h>
#include <netinet/in.h>
#include <poll.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <time.h>
#include <unistd.h>

#include "base/mem.h"
#include "child.h"
#include "network.h"
#include "receive.h"
#include "request.h"
#include "routes.h"
#include "send.h"

#define MEMORY_BYTES (32u << 10) /* of one connection */
#define CONNECTIONS 200
#define CONNECTIONS_EACH 100 /* of one address: none takes all */
#define FINISH_SECONDS 10
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

/* A handler's part, with what it does told of the one who asked. */
static void handle(struct request *r, page_handler *handler)
{
    struct error err = {0};
    bool ok;

    if (!guard_device(r) || !routes_allow(r)) {
        send_refusal(r, &r->refused);
        return;
    }
    if (r->go)
        return;
    book_acts_from(r->book, r->device ? r->device : "page");
    ok = handler(r, &err);
    book_acts_from(r->book, "page");
    if (!ok)
        send_refusal(r, &err);
}

/* Fills the answer in, or leaves the request waiting for a child. */
static enum MHD_Result answer(struct request *r)
{
    if (r->refused.kind)
        send_refusal(r, &r->refused);
    else
        handle(r, routes_answer);
    if (!r->child)
        return send_answer(r);
    MHD_suspend_connection(r->connection);
    return MHD_YES;
}

void server_take_up(struct request *r)
{
    handle(r, r->then);
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
    else if (guard_address(r) && guard_device(r) && routes_allow(r) && r->post)
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

static void on_connection(void *context, struct MHD_Connection *connection,
                          void **state,
                          enum MHD_ConnectionNotificationCode code)
{
    (void)context;
    switch (code) {
    case MHD_CONNECTION_NOTIFY_STARTED:
        *state = guard_ends(connection);
        break;
    case MHD_CONNECTION_NOTIFY_CLOSED:
        free(*state);
        *state = NULL;
        break;
    }
}

/* ---- the loop --------------------------------------------------------------
 */

/* A socket that listens; -1 and errno. */
static int listen_at(struct in_addr address, int port)
{
    const struct sockaddr_in at = {.sin_family = AF_INET,
                                   .sin_port = htons((uint16_t)port),
                                   .sin_addr = address};
    const int fd = socket(AF_INET, SOCK_STREAM, 0), yes = 1;

    if (fd < 0)
        return -1;
    fcntl(fd, F_SETFD, FD_CLOEXEC);
    fcntl(fd, F_SETFL, O_NONBLOCK);
    setsockopt(fd, SOL_SOCKET, SO_REUSEADDR, &yes, sizeof yes);
    if (!bind(fd, (const struct sockaddr *)&at, sizeof at) &&
        !listen(fd, SOMAXCONN))
        return fd;
    close(fd);
    return -1;
}

/* Nobody from beyond the local network. */
static enum MHD_Result on_arrival(void *context, const struct sockaddr *from,
                                  socklen_t size)
{
    struct sockaddr_in a = {0};

    (void)context;
    if (size >= sizeof a)
        memcpy(&a, from, sizeof a);
    return a.sin_family == AF_INET && network_is_local(a.sin_addr) ? MHD_YES
                                                                   : MHD_NO;
}

static bool begin_at(struct web *web, size_t nth, struct in_addr address,
                     struct error *err)
{
    const int fd = listen_at(address, web->port);
    struct sockaddr_in at;
    socklen_t size = sizeof at;

    if (fd < 0 && errno == EADDRNOTAVAIL)
        return error_set(err, ERR_INPUT,
                         "that is no address of this machine: leave it out, "
                         "and all that it has are used");
    if (fd < 0)
        return error_set(err, ERR_STORE,
                         "port %d is taken: end the other program, or choose "
                         "another with --port",
                         web->port);
    web->daemon[nth] = MHD_start_daemon(
        MHD_USE_EPOLL | MHD_ALLOW_SUSPEND_RESUME, 0, on_arrival, NULL,
        on_request, web, MHD_OPTION_LISTEN_SOCKET, fd,
        MHD_OPTION_NOTIFY_COMPLETED, on_done, NULL,
        MHD_OPTION_NOTIFY_CONNECTION, on_connection, NULL,
        MHD_OPTION_CONNECTION_MEMORY_LIMIT, (size_t)MEMORY_BYTES,
        MHD_OPTION_CONNECTION_LIMIT, CONNECTIONS,
        MHD_OPTION_PER_IP_CONNECTION_LIMIT, CONNECTIONS_EACH,
        MHD_OPTION_CONNECTION_TIMEOUT, IDLE_SECONDS,
        MHD_OPTION_STRICT_FOR_CLIENT, 1, MHD_OPTION_END);
    if (!web->daemon[nth]) {
        close(fd);
        return error_set(err, ERR_STORE, "the page cannot be begun: %s",
                         strerror(errno));
    }
    getsockname(fd, (struct sockaddr *)&at, &size);
    web->port = ntohs(at.sin_port);
    return true;
}

bool server_start(struct web *web, struct error *err)
{
    const struct in_addr home = {htonl(INADDR_LOOPBACK)};
    const bool all = web->shared && web->address.s_addr == htonl(INADDR_ANY);

    if (web->shared && !all &&
        (!network_is_local(web->address) || network_is_home(web->address)))
        return error_set(err, ERR_INPUT,
                         "that is no address of a local network: share the "
                         "book at one such as 192.168.1.5, or say none");
    return begin_at(web, 0, all ? web->address : home, err) &&
           (!web->shared || all || begin_at(web, 1, web->address, err));
}

/* Until one of them wants to go on, at most so long. */
static int wait_ms(const struct web *web, int most)
{
    MHD_UNSIGNED_LONG_LONG ms, least = (MHD_UNSIGNED_LONG_LONG)most;

    for (size_t i = 0; i < ARRAY_LEN(web->daemon); i++)
        if (web->daemon[i] && MHD_get_timeout(web->daemon[i], &ms) == MHD_YES &&
            ms < least)
            least = ms;
    return (int)least;
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

/* One round: all that can be done without waiting, and then a wait. */
static void run_once(struct web *web, int most_ms)
{
    struct pollfd fds[CHILD_MAX + 3];
    nfds_t n = 0, others;

    for (size_t i = 0; i < ARRAY_LEN(web->daemon); i++) {
        if (!web->daemon[i])
            continue;
        MHD_run(web->daemon[i]);
        fds[n++] = (struct pollfd){
            .fd = MHD_get_daemon_info(web->daemon[i], MHD_DAEMON_INFO_EPOLL_FD)
                      ->epoll_fd,
            .events = POLLIN};
    }
    fds[n++] = (struct pollfd){.fd = wake[0], .events = POLLIN};
    others = n;
    n += child_watch(web, fds + n);
    if (poll(fds, n, wait_ms(web, most_ms)) > 0 && n > others)
        child_reap(web);
}

static long seconds_now(void)
{
    struct timespec t;

    clock_gettime(CLOCK_MONOTONIC, &t);
    return (long)t.tv_sec;
}

/* What was begun is done; nothing else is begun. */
static void finish(struct web *web)
{
    const long until = seconds_now() + FINISH_SECONDS;
    char bytes[16];

    ended = 0; /* a second signal is one again */
    while (read(wake[0], bytes, sizeof bytes) > 0 || errno == EINTR)
        continue;
    web->ending = true;
    for (size_t i = 0; i < ARRAY_LEN(web->daemon); i++)
        if (web->daemon[i])
            close(MHD_quiesce_daemon(web->daemon[i]));
    while (web->requests && !ended && seconds_now() < until)
        run_once(web, 200);
}

void server_run(struct web *web)
{
    if (pipe(wake))
        return;
    for (size_t i = 0; i < ARRAY_LEN(wake); i++)
        fcntl(wake[i], F_SETFL, O_NONBLOCK);
    catch_signals();
    while (!ended)
        run_once(web, 60000);
    finish(web);
}

void server_stop(struct web *web)
{
    child_stop(web);
    for (size_t i = 0; i < ARRAY_LEN(web->daemon); i++) {
        if (web->daemon[i])
            MHD_stop_daemon(web->daemon[i]);
        web->daemon[i] = NULL;
    }
}
