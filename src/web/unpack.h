/* A stranger's zip, unpacked by a process that may open and ask nothing. */
#ifndef HANKLAB_WEB_UNPACK_H
#define HANKLAB_WEB_UNPACK_H

#include <stdbool.h>
#include <sys/types.h>

#include "book/exchange.h"

struct unpacker {
    pid_t pid;
    struct exchange_file file; /* what it unpacks, for exchange_take */
};

/* ERR_MISSING, ERR_INPUT, ERR_STORE. */
bool unpack_start(const char *path, struct unpacker *out, struct error *err);

/* Also after a failure. */
void unpack_end(struct unpacker *unpacker);

#endif
