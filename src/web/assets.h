/* Style, scripts and drawings, which the build put into the program. */
#ifndef HANKLAB_WEB_ASSETS_H
#define HANKLAB_WEB_ASSETS_H

#include <stddef.h>

#include "request.h"

struct asset {
    const char *name, *type;
    char address[64]; /* changes with the bytes, so it may be kept for good */
    const char *data; /* size bytes and a NUL */
    size_t size;
    struct text packed; /* the same, made when it is first asked for */
};

/* By name; asserts that there is one. */
const struct asset *asset_find(const char *name);

/* Answers an address under /a/. */
bool asset_answer(struct request *r, struct error *err);

#endif
