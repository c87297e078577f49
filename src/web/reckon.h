/* What the reckon page was asked, for those who print it. */
#ifndef HANKLAB_WEB_RECKON_H
#define HANKLAB_WEB_RECKON_H

#include "dye/sums.h"
#include "request.h"

/* Reckons what stands in the address; NULL when nothing does, or with why when
 * it cannot be read. */
struct sums *reckon_asked(const struct request *r, bool *more,
                          struct error *why);

/* The fields as hidden ones of another form. */
void reckon_hide(struct request *r);

#endif
