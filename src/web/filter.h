/* What a process that reads a stranger's photo may still ask of the kernel. */
#ifndef HANKLAB_WEB_FILTER_H
#define HANKLAB_WEB_FILTER_H

#include <stdbool.h>

/* From now on, for good: memory, reading and writing what is open, the clock,
 * and the end. Anything else ends the process. False where the kernel has no
 * filters (filter_there). */
bool filter_shut(void);

/* Whether this kernel filters. */
bool filter_there(void);

#endif
