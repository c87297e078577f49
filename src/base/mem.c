/* Memory that is there or ends the program. See the header. */
#include "base/mem.h"

#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static void *checked(void *p)
{
    if (!p) {
        fputs("hanklab: out of memory; nothing half-done was kept\n", stderr);
        abort();
    }
    return p;
}

static size_t bytes_of(size_t n, size_t size)
{
    if (size && n > SIZE_MAX / size)
        checked(NULL);
    return n && size ? n * size : 1;
}

void *mem_new(size_t n, size_t size)
{
    return checked(calloc(1, bytes_of(n, size)));
}

void *mem_resize(void *p, size_t n, size_t size)
{
    return checked(realloc(p, bytes_of(n, size)));
}

void *mem_room(void *p, size_t n, size_t size)
{
    bool full = (n & (n - 1)) == 0; /* a power of two, or none yet */

    return full ? mem_resize(p, n ? 2 * n : 1, size) : p;
}

char *mem_text(const char *s)
{
    return s ? mem_text_n(s, strlen(s)) : NULL;
}

char *mem_text_n(const char *s, size_t n)
{
    char *copy = mem_new(n + 1, 1);

    memcpy(copy, s, n);
    return copy;
}
