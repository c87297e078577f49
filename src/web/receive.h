/* The body of a request as it arrives: fields to memory, a file to the book's
 * cache, each with a limit. */
#ifndef HANKLAB_WEB_RECEIVE_H
#define HANKLAB_WEB_RECEIVE_H

#include "request.h"

/* Before the first byte. False when the body is of a kind or a size that is
 * not taken, r->refused says which. */
bool receive_begin(struct request *r);

/* Some bytes. What is wrong is kept in r->refused, and the rest let pass. */
void receive_bytes(struct request *r, const char *data, size_t size);

/* No more will come; may be called twice. */
void receive_end(struct request *r);

#endif
