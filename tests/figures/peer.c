/* What peers answered. See peer.h. */
#include "peer.h"

#include <stdarg.h>
#include <stdio.h>

void peer_note(struct peer *p, bool right, const char *fmt, ...)
{
    va_list args;

    snprintf(p->row, sizeof p->row, "%s%s", p->name, right ? "" : " (no peer)");
    va_start(args, fmt);
    vsnprintf(p->note, sizeof p->note, fmt, args);
    va_end(args);
}

void peer_not_there(struct peer *p)
{
    peer_note(p, true, "not installed (%s)", p->package);
}

void peers_tell(const struct peer *p, size_t n)
{
    putchar('\n');
    for (size_t i = 0; i < n; i++)
        printf("- %s: %s\n", p[i].name, p[i].note);
}
