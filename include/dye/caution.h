/*
 * What to beware of, keyed to materials and to work at the pot. Short notes
 * for where a material is chosen or logged and for printed plans; they never
 * stop a record of what has been done already.
 *
 * Sources stand beside each row of src/dye/caution.c. Nothing here is advice
 * on doses that harm; labels, safety data sheets and local rules come first,
 * which is what caution_closing says and what every show of a caution ends
 * with, once.
 */
#ifndef HANKLAB_DYE_CAUTION_H
#define HANKLAB_DYE_CAUTION_H

#include <stddef.h>

struct caution {
    const char *key;  /* what it is for: "copper sulfate", "gloves" */
    const char *text; /* one or two sentences, no newline */
};

#define CAUTION_MAX 8

extern const char caution_closing[];

/*
 * The cautions of a material, the more particular first: a webcap is warned
 * of as a webcap and as a wild mushroom.
 *
 * name   what the dyer calls it; or one of its other names
 * latin  NULL when not known
 *
 * Whole words are looked for, in any case. Returns how many were put in out;
 * 0 means that nothing is known here, not that a material is safe.
 */
size_t caution_for(const char *name, const char *latin,
                   const struct caution *out[CAUTION_MAX]);

/* A caution that belongs to the work and to no one material: "powder",
 * "gathering", "stored bath", "fermenting", "pots", "saddening", "heat",
 * "gloves", "disposal", "ultraviolet lamp", "glass jar". Asserts the key. */
const struct caution *caution_general(const char *key);

#endif
