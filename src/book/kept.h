/* Private to the book: pictures in DIR/photos/ab/ab....jpg, named by the
 * SHA-256 of their bytes. */
#ifndef HANKLAB_BOOK_KEPT_H
#define HANKLAB_BOOK_KEPT_H

#include <stdbool.h>
#include <stddef.h>

#include "base/error.h"

void kept_hash(const void *data, size_t size, unsigned char out[32]);

/* Release with free(). */
char *kept_path(const char *dir, const unsigned char sha256[32]);

/* Puts the bytes of that hash on the disk. A file that is there already, of
 * that size, is left as it is; kept_replace puts them in its place. ERR_STORE.
 */
bool kept_write(const char *dir, const unsigned char sha256[32],
                const void *data, size_t size, struct error *err);
bool kept_replace(const char *dir, const unsigned char sha256[32],
                  const void *data, size_t size, struct error *err);

/* Reads a picture that is still what it was when it was kept; *data is set only
 * then, release with free(). Else *why is "is missing", ... */
bool kept_read(const char *dir, const unsigned char sha256[32],
               unsigned char **data, size_t *size, const char **why);

#endif
