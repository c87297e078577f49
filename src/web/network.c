/* Addresses of the local network. See network.h. */
#include "network.h"

#include <arpa/inet.h>
#include <ifaddrs.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

#include "base/mem.h"

static bool is_within(struct in_addr a, const char *net, int bits)
{
    struct in_addr of;

    inet_pton(AF_INET, net, &of);
    return (ntohl(a.s_addr) ^ ntohl(of.s_addr)) >> (32 - bits) == 0;
}

bool network_is_local(struct in_addr a)
{
    static const struct {
        const char *net;
        int bits;
    } nets[] = {{"10.0.0.0", 8},     /* RFC 1918 */
                {"172.16.0.0", 12},  /* RFC 1918 */
                {"192.168.0.0", 16}, /* RFC 1918 */
                {"169.254.0.0", 16}, /* RFC 3927 */
                {"127.0.0.0", 8}};   /* RFC 1122, 3.2.1.3 */

    for (size_t i = 0; i < ARRAY_LEN(nets); i++)
        if (is_within(a, nets[i].net, nets[i].bits))
            return true;
    return false;
}

bool network_is_home(struct in_addr a)
{
    return a.s_addr == htonl(INADDR_LOOPBACK);
}

/* The address from which this machine would speak to others. Nothing is sent:
 * a datagram's socket only chooses its way. The address asked is kept for
 * examples (RFC 5737). */
static bool first_address(struct in_addr *out)
{
    struct sockaddr_in to = {.sin_family = AF_INET, .sin_port = htons(9)}, me;
    socklen_t size = sizeof me;
    const int fd = socket(AF_INET, SOCK_DGRAM, 0);
    bool ok;

    inet_pton(AF_INET, "192.0.2.1", &to.sin_addr);
    ok = fd >= 0 && !connect(fd, (struct sockaddr *)&to, sizeof to) &&
         !getsockname(fd, (struct sockaddr *)&me, &size);
    if (fd >= 0)
        close(fd);
    if (ok)
        *out = me.sin_addr;
    return ok;
}

static size_t add(struct in_addr out[NETWORK_MAX], size_t n, struct in_addr a)
{
    if (n == NETWORK_MAX || !network_is_local(a) ||
        is_within(a, "127.0.0.0", 8))
        return n;
    for (size_t i = 0; i < n; i++)
        if (out[i].s_addr == a.s_addr)
            return n;
    out[n] = a;
    return n + 1;
}

size_t network_addresses(struct in_addr out[NETWORK_MAX])
{
    struct ifaddrs *all = NULL;
    struct sockaddr_in a;
    struct in_addr first;
    size_t n = 0;

    if (first_address(&first))
        n = add(out, n, first);
    if (getifaddrs(&all))
        return n;
    for (const struct ifaddrs *i = all; i; i = i->ifa_next) {
        if (!i->ifa_addr || i->ifa_addr->sa_family != AF_INET)
            continue;
        memcpy(&a, i->ifa_addr, sizeof a);
        n = add(out, n, a.sin_addr);
    }
    freeifaddrs(all);
    return n;
}
