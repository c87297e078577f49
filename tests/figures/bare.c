/*
 * bare: the yardstick of a page: libmicrohttpd with nothing behind it, in a
 * loop as hanklab-serve's. /20000 is 20,000 bytes. Prints its port; ends with
 * its standard input.
 */
#include <arpa/inet.h>
#include <microhttpd.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define MOST_BYTES (16 << 20)

static char bytes[MOST_BYTES];

static enum MHD_Result answer(void *context, struct MHD_Connection *connection,
                              const char *path, const char *method,
                              const char *version, const char *data,
                              size_t *size, void **state)
{
    const unsigned long want = strtoul(path + 1, NULL, 10);
    struct MHD_Response *r;
    enum MHD_Result ok;

    (void)context;
    (void)method;
    (void)version;
    (void)data;
    (void)size;
    if (!*state) { /* answered now, the connection would be closed */
        *state = bytes;
        return MHD_YES;
    }
    if (want > MOST_BYTES)
        return MHD_NO;
    r = MHD_create_response_from_buffer(want, bytes, MHD_RESPMEM_PERSISTENT);
    MHD_add_response_header(r, "Content-Type", "text/html; charset=utf-8");
    ok = MHD_queue_response(connection, MHD_HTTP_OK, r);
    MHD_destroy_response(r);
    return ok;
}

int main(void)
{
    const struct sockaddr_in home = {.sin_family = AF_INET,
                                     .sin_addr = {htonl(INADDR_LOOPBACK)}};
    struct MHD_Daemon *daemon;

    memset(bytes, 'x', sizeof bytes);
    daemon = MHD_start_daemon(MHD_USE_EPOLL_INTERNAL_THREAD, 0, NULL, NULL,
                              answer, NULL, MHD_OPTION_SOCK_ADDR, &home,
                              MHD_OPTION_CONNECTION_MEMORY_LIMIT,
                              (size_t)(32 << 10), MHD_OPTION_END);
    if (!daemon)
        return 1;
    printf("http://127.0.0.1:%u/\n",
           MHD_get_daemon_info(daemon, MHD_DAEMON_INFO_BIND_PORT)->port);
    fflush(stdout);
    while (getchar() != EOF)
        continue;
    MHD_stop_daemon(daemon);
    return 0;
}
