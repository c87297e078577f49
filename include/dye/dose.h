/* What goes into a pot, as people say it: "alum: 12 %", "alum 12 %". */
#ifndef HANKLAB_DYE_DOSE_H
#define HANKLAB_DYE_DOSE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/error.h"

/* Whether a name is known; self is the caller's. */
typedef bool dose_known(void *self, const char *name);

/*
 * Takes a name and its amount apart, in place.
 *
 * said    changed; *name and *amount point into it. *amount is NULL when none
 *         was said
 * kind    how it is called in an error: "mordant"
 * known   without a colon what is known is a name; else an amount with a unit
 *         behind a blank is one, and so is one before the "of" of what is
 *         known: "a pinch of alum". May be NULL: then only common substances
 *         are, behind an "of"
 *
 * err   ERR_INPUT  an amount without a name
 */
bool dose_split(char *said, const char *kind, dose_known *known, void *self,
                char **name, char **amount, struct error *err);

/* How much is said before the "of" of a name, "a handful of onion skins": the
 * bytes of that, 0 for other names. */
size_t dose_measured(const char *name);

/* What stands behind the first comma, plus or "and" that ends a dose. */
enum dose_more {
    DOSE_ALONE,  /* nothing, or words that tell of the amount */
    DOSE_MORE,   /* another dose: "madder: 60 %, weld: 2:1" */
    DOSE_UNCLEAR /* a name or not: "madder: 60 %, onion skins" */
};

struct dose_tail {
    enum dose_more more;
    /* In the words: where the dose ends, where the other begins and ends. */
    size_t end, next, next_end;
};

/*
 * Looks for a second dose behind the amount of the first, so that none is lost
 * as words; up to a semicolon, and not in brackets. known may be NULL: then
 * only common substances are.
 */
struct dose_tail dose_tail(const char *words, dose_known *known, void *self);

/* Refuses words that do not begin with a name, and shows how they should;
 * always false. */
bool dose_nameless(const char *words, const char *kind, struct error *err);

#endif
