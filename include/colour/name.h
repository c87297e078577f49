/*
 * Colour names of the ISCC-NBS system (NBS Special Publication 440): 267
 * names in 29 groups in 13 families, spelt the British way ("grey").
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
    const char *modifier, *hue; /* the two parts: "dark", "olive brown";
                                 * modifier is "" where there is none */
    struct lab centroid;        /* middle of the name's block; D50, 2 degree */
};

#define COLOUR_NAMES 267
extern const struct colour_name colour_names[COLOUR_NAMES];

/* The name whose centroid is nearest by CIEDE2000; NULL only for a colour that
 * is not finite. Names a block edge away may fit as well: of 1269 notations
 * 71 % get the very name of their block, 84 % its group, 90 % its family. */
const struct colour_name *colour_name_nearest(struct lab c);

/*
 * Marks in `in` which names a word means:
 *
 *   "olive"             a family, a group or a hue name: all in any of them
 *   "white" grey black  also each hue name that ends so ("yellowish white"),
 *                       for undyed wool is seldom plain white
 *   "greyish purple"    a modifier and a hue name: that one name; where SP 440
 *                       has no such name ("light red"), those of the family
 *                       whose modifier has the word in it
 *   "greyish"           a modifier or the first word of a hue name
 * ("yellowish") alone: every name with it
 *
 * Any case; hyphens and punctuation are blanks; "gray" is "grey"; "colour" or
 * "coloured" at the end, plurals ("browns") and a few spoken forms ("yellowy",
 * "blueish") are understood.
 *
 * False, and nothing marked, when nothing is meant; *count is the number of
 * marked names and may be NULL.
 */
bool colour_name_match(const char *words, bool in[COLOUR_NAMES], size_t *count);

#endif
