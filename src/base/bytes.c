/* Bytes through a descriptor. See base/bytes.h. */
#include "base/bytes.h"

#include <errno.h>
#include <unistd.h>

bool bytes_write(int fd, const void *data, size_t size)
{
    for (const char *p = data; size;) {
        const ssize_t n = write(fd, p, size);

        if (n < 0 && errno == EINTR)
            continue;
        if (n == 0)
            errno = ENOSPC;
        if (n <= 0)
            return false;
        p += n;
        size -= (size_t)n;
    }
    return true;
}

ssize_t bytes_read(int fd, void *data, size_t size)
{
    size_t have = 0;

    while (have < size) {
        const ssize_t n = read(fd, (char *)data + have, size - have);

        if (n < 0 && errno == EINTR)
            continue;
        if (n < 0)
            return -1;
        if (n == 0)
            break;
        have += (size_t)n;
    }
    return (ssize_t)have;
}
