/* Private to the book: zip files, by libzip. Names are UTF-8 and lead nowhere
 * but into the file itself. */
#ifndef HANKLAB_BOOK_ARCHIVE_H
#define HANKLAB_BOOK_ARCHIVE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/error.h"

struct archive;

/* Another process that unpacks (archive_far.c): pipes to ask it, and for what
 * it answers. */
struct archive_far {
    int ask, answer;
};

/* ---- writing ------------------------------------------------------------- */

/* Begins a file that is not there yet; nothing is on the disk before
 * archive_write. ERR_INPUT, ERR_STORE. */
bool archive_begin(const char *path, struct archive **out, struct error *err);

/* Adds a text, which is taken over. ERR_STORE. */
bool archive_add_text(struct archive *to, const char *name, char *text,
                      size_t size, struct error *err);

/* Gives the bytes of a member when it is written, release with free(); the same
 * size as was said. False: they cannot be had any more. */
typedef bool archive_make(void *self, size_t which, unsigned char **data,
                          size_t *size);

/* Adds a member that is made when its turn comes, and packed no smaller: a
 * photo, of which only one is in memory. self is borrowed until the end. */
bool archive_add_made(struct archive *to, const char *name, size_t size,
                      archive_make *make, void *self, size_t which,
                      struct error *err);

/* Writes it all and closes it, also where it fails: then there is no file. */
bool archive_write(struct archive *to, const char *path, struct error *err);

/* ---- reading ------------------------------------------------------------- */

/*
 * Opens a file that may be anyone's.
 *
 * err  ERR_MISSING  no such file
 *      ERR_INPUT    not a zip, damaged, or a name in it leads out of its folder
 *      ERR_LIMIT    more members than we agree to handle
 */
bool archive_open(const char *path, struct archive **out, struct error *err);
/* The same of bytes, borrowed until it is closed. */
bool archive_open_bytes(const void *data, size_t size, struct archive **out,
                        struct error *err);
/* The same where it is unpacked elsewhere. */
bool archive_open_far(const struct archive_far *far, struct archive **out,
                      struct error *err);

/* The folder in it where a member of that name lies, "" or "aino/"; release
 * with free(). NULL: ERR_MISSING: there is none, or more than one. */
char *archive_folder(struct archive *from, const char *name, struct error *err);

/* Reads a member. Its CRC is checked. ERR_INPUT: there is none, or it is
 * damaged or locked; ERR_LIMIT: over max bytes, or packed as no honest file is.
 */
bool archive_read(struct archive *from, const char *name, size_t max,
                  unsigned char **data, size_t *size, struct error *err);

/* These three of what is unpacked elsewhere. */
bool archive_far_open(const struct archive_far *far, struct error *err);
char *archive_far_folder(const struct archive_far *far, const char *name,
                         struct error *err);
bool archive_far_read(const struct archive_far *far, const char *name,
                      size_t max, unsigned char **data, size_t *size,
                      struct error *err);

/* Gives up a file that was begun, or closes one that was read. NULL allowed. */
void archive_close(struct archive *archive);

#endif
