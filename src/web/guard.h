/* Who may ask: the address a request was meant for, where it came from, and
 * the token that each form of ours carries. */
#ifndef HANKLAB_WEB_GUARD_H
#define HANKLAB_WEB_GUARD_H

#include "request.h"

#define TOKEN_CHARS 32

/* The token of a book's forms, made once and kept in its cache, so that a page
 * left open over night can still be sent. ERR_STORE. */
bool guard_token(const char *folder, char token[TOKEN_CHARS + 1],
                 struct error *err);

/* Host and, where the browser says it, Origin: false fills r->refused. */
bool guard_address(struct request *r);

/* The token in the form. */
bool guard_form(struct request *r);

#endif
