/* Private to the command line: programs that lie where hanklab does, each for
 * libraries that no other command should have to load. */
#ifndef HANKLAB_CLI_BESIDE_H
#define HANKLAB_CLI_BESIDE_H

#include <stdbool.h>

#include "base/error.h"

/* Becomes the program of that name; words[0] is anything, NULL the last.
 * Returns only where it cannot: false, ERR_STORE, ERR_LIMIT, ERR_MISSING. */
bool beside_become(const char *name, char *const *words, struct error *err);

#endif
