/*
 * What the common substances of the dye house are, told by their names: as
 * what a new one is entered, and how much of a mordant is usual.
 */
#ifndef HANKLAB_DYE_SUBSTANCE_H
#define HANKLAB_DYE_SUBSTANCE_H

#include <stdbool.h>

/* "mordant", "assist", "acid", "alkali" or "cleanser" for a substance of that
 * name ("iron", "cream of tartar", "washing soda"), NULL when the name says
 * nothing. */
const char *substance_kind(const char *name);

/*
 * The range of a mordant or assist that is accepted without a question, in
 * percent of the dry fibre. False when the name is not known. Dyers disagree:
 * outside it is asked about, never refused.
 */
bool substance_usual_pct(const char *name, double *low, double *high);

/* Chrome and tin are recorded, but never reckoned and never suggested. */
bool substance_record_only(const char *name, const char *latin);

/* Iron, copper and tin can dull alum skeins in the same pot. */
bool substance_saddens(const char *name);

#endif
