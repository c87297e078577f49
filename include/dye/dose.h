/* What goes into a pot, as people say it: "alum: 12 %", "alum 12 %". */
#ifndef HANKLAB_DYE_DOSE_H
#define HANKLAB_DYE_DOSE_H

#include <stdbool.h>

#include "base/error.h"

/*
 * Takes a name and its amount apart, in place.
 *
 * said    changed; *name and *amount point into it. *amount is NULL when none
 *         was said
 * kind    how it is called in an error: "mordant"
 * whole   without a colon all of it is the name; else an amount with a unit
 *         behind a blank is one
 *
 * err   ERR_INPUT  an amount without a name
 */
bool dose_split(char *said, const char *kind, bool whole, char **name,
                char **amount, struct error *err);

/* Refuses words that do not begin with a name, and shows how they should;
 * always false. */
bool dose_nameless(const char *words, const char *kind, struct error *err);

#endif
