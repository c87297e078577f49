/* Files that are whole or not there, whatever ends the program. */
#ifndef HANKLAB_BASE_DISK_H
#define HANKLAB_BASE_DISK_H

#include <stdbool.h>
#include <stddef.h>

#include "base/error.h"

/*
 * Writes a file beside its place, puts it on the disk, and gives it its name,
 * in the place of one that has it; its folder is put on the disk too.
 *
 * what  is told of when there is no room: "the photo was not kept"
 * err   ERR_STORE
 */
bool disk_write(const char *path, const void *data, size_t size,
                const char *what, struct error *err);

/* The same for what only its owner may read. */
bool disk_write_secret(const char *path, const void *data, size_t size,
                       const char *what, struct error *err);

/* Puts the names in a folder on the disk. ERR_STORE. */
bool disk_sync_folder(const char *path, struct error *err);

/* Makes a folder and those above it that are missing. ERR_STORE. */
bool disk_folder(const char *path, struct error *err);

/* Removes a folder with all that is in it, or a file, as far as that goes. */
void disk_remove(const char *path);

/* What errno says of a path that could not be written; always false. */
bool disk_no_room(const char *path, const char *what, struct error *err);

#endif
