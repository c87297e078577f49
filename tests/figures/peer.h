/* Programs of others that do what one of ours does: what each of them answered,
 * before it is timed. */
#ifndef HANKLAB_TESTS_FIGURES_PEER_H
#define HANKLAB_TESTS_FIGURES_PEER_H

#include <stdbool.h>
#include <stddef.h>

#define PEER_PYTHON "/usr/bin/python3" /* Debian's, which has its packages */
#define PEER_NODE "node"

struct peer {
    const char *name, *package; /* Debian's name of what it needs, or how to
                                   install it */
    char row[128];              /* its name in the table */
    char note[160];             /* what its answer was */
};

/* How npm's are installed. */
#define PEER_NPM "npm ci in tests/figures/peers"

/* Says what its answer was. One that is not right is no peer, which its row
 * says too. */
void peer_note(struct peer *p, bool right, const char *fmt, ...)
    __attribute__((format(printf, 3, 4)));

void peer_not_there(struct peer *p);

/* Prints the notes. */
void peers_tell(const struct peer *p, size_t n);

#endif
