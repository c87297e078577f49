/* What a process that reads a stranger's file may still do. In this order: it
 * lets go of what is open, is bounded, and is shut. */
#ifndef HANKLAB_WEB_FILTER_H
#define HANKLAB_WEB_FILTER_H

#include <stdbool.h>
#include <stddef.h>

#define FILTER_FIRST 3 /* behind input, output and errors */

/* Nothing stays open but these, which become FILTER_FIRST and those behind. */
void filter_leave(const int *fd, size_t count);

/* From now on: a bounded time, bounded memory, no file is written. */
void filter_limit(void);

/* From now on, for good: memory, reading and writing what is open, the clock,
 * and the end. Anything else ends the process. False where the kernel has no
 * filters (filter_there). */
bool filter_shut(void);

/* Whether this kernel filters. */
bool filter_there(void);

#endif
