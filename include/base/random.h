/* Bytes that nobody can foretell. */
#ifndef HANKLAB_BASE_RANDOM_H
#define HANKLAB_BASE_RANDOM_H

#include <stdbool.h>
#include <stddef.h>

#include "base/error.h"

/* From the system. ERR_STORE when it gives none. */
bool random_fill(void *out, size_t size, struct error *err);

/* Two lower-case digits a byte and a NUL: out has room for 2 * size + 1. */
void hex_of(const void *bytes, size_t size, char *out);

/* Whether two texts are equal, in a time that tells only their lengths: for
 * what must not be guessed bit by bit. */
bool secret_same(const char *a, const char *b);

#endif
