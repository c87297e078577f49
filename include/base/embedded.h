/* Files that the build put into the program (src/tools/embed.c). */
#ifndef HANKLAB_BASE_EMBEDDED_H
#define HANKLAB_BASE_EMBEDDED_H

#include <stddef.h>

struct embedded {
    const char *name;          /* without its folder */
    const unsigned char *data; /* size bytes and a NUL behind them */
    size_t size;
};

#endif
