/* Answers packed for the way (gzip, RFC 1952): a rack is a fifth as long on a
 * phone's network. */
#ifndef HANKLAB_WEB_GZIP_H
#define HANKLAB_WEB_GZIP_H

#include "request.h"

/* Whether the one who asks takes answers that are packed. */
bool gzip_accepted(const struct request *r);

/* Whether bytes of that type are words, and enough of them to be worth it. */
bool gzip_pays(const char *type, size_t size);

/* Appends the bytes, packed. False, and nothing appended, without memory. */
bool gzip_bytes(const char *bytes, size_t size, struct text *out);

#endif
