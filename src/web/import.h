/* Files that are taken into the book: a zip that another dyer handed on, or a
 * list of one's own. What arrived waits in the book's cache while it is looked
 * at, and goes by a random name. */
#ifndef HANKLAB_WEB_IMPORT_H
#define HANKLAB_WEB_IMPORT_H

#include "request.h"

/* Puts what arrived aside; name has room for 33 bytes. ERR_INPUT: none did. */
bool import_keep(struct request *r, char name[33], struct error *err);

/* Where a file that was put aside is; release with free(). ERR_MISSING when it
 * is not there any more. */
bool import_path(struct request *r, const char *name, char **path,
                 struct error *err);

/* The head of the page, and why nothing was taken in (NULL: no such thing). */
void import_begin(struct request *r, const struct error *why);

/* Begins a form that a file can be sent with; look: its class, or "". */
void import_form(struct request *r, const char *look);

/* A list that was put aside: the answer shows it, or takes it in. */
bool import_list(struct request *r, const char *name, struct error *err);

/* The same of what another dyer handed on. */
bool import_zip(struct request *r, const char *name, struct error *err);

#endif
