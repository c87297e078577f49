/* What went wrong, in one line that tells the dyer what to put right. */
#ifndef HANKLAB_BASE_ERROR_H
#define HANKLAB_BASE_ERROR_H

#include <stdbool.h>

enum error_kind {
    ERR_NONE,
    ERR_INPUT,   /* the user can put it right: a value, a file, an option */
    ERR_MISSING, /* no such skein, bath or photo */
    ERR_LIMIT,   /* larger than we agree to handle */
    ERR_STORE,   /* the book could not be read or written */
    ERR_BUG,     /* our own mistake */
};

struct error {
    enum error_kind kind;
    char text[256]; /* one line of UTF-8 for the dyer, no newline */
};

/*
 * Records what went wrong. Always false: "return error_set(err, ...)".
 *
 * Control characters become spaces and a text that is too long is cut at a
 * whole UTF-8 character, so that what a user typed can stand in the line.
 */
bool error_set(struct error *err, enum error_kind kind, const char *fmt, ...)
    __attribute__((format(printf, 3, 4)));

#endif
