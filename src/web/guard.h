/*
 * Who may ask: the address a request was meant for, where it came from, which
 * device sent it, and the mark that each form of ours carries.
 *
 * A browser on this machine is at home at 127.0.0.1 and needs nothing more. At
 * any other address, which is there only while the book is shared, a device
 * shows the token it got when it was let in (book/device.h).
 */
#ifndef HANKLAB_WEB_GUARD_H
#define HANKLAB_WEB_GUARD_H

#include <netinet/in.h>

#include "request.h"

#define TOKEN_CHARS 32

/* The token of a book's forms, made once and kept in its cache, so that a page
 * left open over night can still be sent. ERR_STORE. */
bool guard_token(const char *folder, char token[TOKEN_CHARS + 1],
                 struct error *err);

/* The addresses of a connection's two ends, asked of the kernel once, when it
 * begins; release with free(). */
struct guard_ends {
    struct in_addr here, there;
};
struct guard_ends *guard_ends(struct MHD_Connection *connection);

/* Host and, where the browser says it, Origin; sets r->home. False fills
 * r->refused. */
bool guard_address(struct request *r);

/* Sets r->device and r->mark: who it is by now, for a device may be sent away
 * while it waits. False fills r->refused. */
bool guard_device(struct request *r);

/* The mark in the form; of a stranger's nothing is asked. */
bool guard_form(struct request *r);

/* Lets the device in that a code was typed on: its token goes with the answer,
 * whatever it had before. */
void guard_let_in(struct request *r, const char *token);
void guard_forget(struct request *r);

#endif
