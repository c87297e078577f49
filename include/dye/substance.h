/*
 * What the common substances of the dye house are, told by their names: as
 * what a new one is entered, and how much of a mordant is usual.
 */
#ifndef HANKLAB_DYE_SUBSTANCE_H
#define HANKLAB_DYE_SUBSTANCE_H

#include <stdbool.h>

#include "base/text.h"

/* "mordant", "assist", "acid", "alkali" or "cleanser" for a substance of that
 * name ("iron", "cream of tartar", "washing soda"), NULL when the name says
 * nothing. */
const char *substance_kind(const char *name);

/* The range of a mordant or assist that is accepted without a question, in
 * percent of the dry fibre, and who says so. */
struct substance_usual {
    const char *words; /* names it goes by */
    double low_pct, high_pct;
    const char *source;
};

/* NULL when the name is not known; always for chrome and tin. */
const struct substance_usual *substance_usual(const char *name);

/*
 * Appends what to ask about an amount outside that range: "8 to 25 % is usual.
 * Was 12 % meant?" False, and nothing, when it lies in it or none is known.
 * Dyers disagree: it is asked about, never refused.
 *
 * meant  the percent that is asked about, NaN: none; may be NULL
 */
bool substance_question(const char *name, double low_pct, double high_pct,
                        double *meant, struct text *out);

/* A mushroom by its name or its Latin genus. */
bool substance_is_mushroom(const char *name);

/* Chrome and tin are recorded, but never reckoned and never suggested. */
bool substance_record_only(const char *name, const char *latin);

/* How a dyestuff is dyed that is not simmered with the yarn, "is dipped in a
 * vat"; NULL: it is, or nothing is known. Common practice, no source. */
const char *substance_other_way(const char *name);

/* Iron, copper and tin can dull alum skeins in the same pot. */
bool substance_saddens(const char *name);

#endif
