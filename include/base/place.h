/* Where a folder is, as far as that is told. */
#ifndef HANKLAB_BASE_PLACE_H
#define HANKLAB_BASE_PLACE_H

#include <stdbool.h>

/* Whether a folder lies on another machine, by the type of its file system; of
 * one that a program provides (FUSE) when no disk of this machine is behind
 * it. */
bool place_is_remote(const char *dir);

/* Whether a lock on a file there keeps others out. It makes a file for a moment
 * and asks from a second process; true where none can be made. */
bool place_locks(const char *dir);

#endif
