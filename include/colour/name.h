/*
 * Colour names of the ISCC-NBS system (NBS Special Publication 440): 267
 * names in 29 groups in 13 families.
 */
#ifndef HANKLAB_COLOUR_NAME_H
#define HANKLAB_COLOUR_NAME_H

#include <stdbool.h>
#include <stddef.h>

#include "colour/lab.h"

struct colour_name {
    int number;                 /* 1..267 */
    const char *name;           /* "dark olive brown" */
    const char *family;         /* level 1: "olive" */
    const char *group;          /* level 2: "olive brown" */
    const char *modifier, *hue; /* the two parts: "dark", "olive brown" */
    struct lab centroid;        /* D50, 2 degree */
};

#define COLOUR_NAMES 267
extern const struct colour_name colour_names[COLOUR_NAMES];

/* The name whose centroid is nearest by CIEDE2000; never NULL for a finite
 * colour. Names a block edge away may fit as well. */
const struct colour_name *colour_name_nearest(struct lab c);

/*
 * Marks in `in` which names a word means: a whole name, a group, a family, a
 * hue name, or a hue name with a modifier, in any case, "gray" or "grey",
 * and common inflections ("olive", "dark greyish purple", "yellow green").
 * False when nothing is meant; the count of marked names is *count.
 */
bool colour_name_match(const char *words, bool in[COLOUR_NAMES], size_t *count);

#endif
