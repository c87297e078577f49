/* "first; key=value; key=value; note=the rest": words with more behind
 * semicolons. */
#ifndef HANKLAB_BASE_PARTS_H
#define HANKLAB_BASE_PARTS_H

#include <stdbool.h>
#include <stddef.h>

#include "base/error.h"

/* The first part may have no key: "alum", "alum: 5 g = a spoon". The note is
 * the last and takes the rest, semicolons and all. Strings lie in bytes, blanks
 * cut off. */
#define PARTS_MAX 64
struct parts {
    char *bytes; /* owned; release with free() */
    char *first; /* the part without a key, or NULL */
    const char *key[PARTS_MAX], *value[PARTS_MAX];
    size_t count;
};

/* What a part without a key may have been meant for: "name", "weight". */
typedef const char *parts_key(const char *part);

/*
 * what  how the thing is called in an error: "skein"
 * key   guesses for an error; NULL: a note, or it is said behind the first, as
 *       in "madder: 60 %"
 *
 * err   ERR_INPUT  a part without a key behind the first
 *       ERR_LIMIT  more than PARTS_MAX values
 */
bool parts_read(const char *words, const char *what, parts_key *key,
                struct parts *out, struct error *err);

/* Whether words hold anything but blanks; NULL does not. */
bool parts_said(const char *words);

/* Cuts blanks off both ends, in place. */
char *parts_trim(char *s);

#endif
