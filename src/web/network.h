/* Which addresses are of the local network, and which of them are ours. IPv4:
 * it is what home networks give every phone. */
#ifndef HANKLAB_WEB_NETWORK_H
#define HANKLAB_WEB_NETWORK_H

#include <netinet/in.h>
#include <stdbool.h>
#include <stddef.h>

/* Private, link-local or of this machine alone (RFC 1918, 3927, 1122): not
 * reached from the internet. */
bool network_is_local(struct in_addr a);

/* 127.0.0.1: what only this machine reaches, and browsers are at home. */
bool network_is_home(struct in_addr a);

/* This machine's own in local networks, the one by which it reaches others
 * first, those of loopback left out; how many. */
#define NETWORK_MAX 8
size_t network_addresses(struct in_addr out[NETWORK_MAX]);

#endif
