/* Bytes through a descriptor, however many a call takes of them. A signal that
 * comes meanwhile interrupts nothing. */
#ifndef HANKLAB_BASE_BYTES_H
#define HANKLAB_BASE_BYTES_H

#include <stdbool.h>
#include <stddef.h>
#include <sys/types.h>

/* Writes all; false with errno. */
bool bytes_write(int fd, const void *data, size_t size);

/* Reads until size bytes are there or no more come: how many, -1 with errno. */
ssize_t bytes_read(int fd, void *data, size_t size);

#endif
