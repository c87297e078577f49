/*
 * The answers of book/ask.h as pictures: SVG, with words in them that say what
 * they show. Appended to `out`.
 */
#ifndef HANKLAB_BOOK_PICTURE_H
#define HANKLAB_BOOK_PICTURE_H

#include "book/ask.h"
#include "book/fastness.h"
#include "book/repeat.h"

/* The skeins that were found, on the map of a* and b*; `all`, if not NULL, are
 * dots without a name, and `target` is what was asked for. */
void picture_of_find(const struct find_answer *answer,
                     const struct ask_skeins *all, const struct lab *target,
                     struct text *out);

void picture_of_grid(const struct grid *grid, enum grid_axis rows,
                     enum grid_axis columns, struct text *out);

/* In colour and in grey; what is foretold is striped. */
void picture_of_palette(const struct palette_answer *answer, struct text *out);

/* What is wanted and what comes near it, touching; what is reckoned is striped.
 */
void picture_of_match(const struct match_answer *answer, struct lab target,
                      struct text *out);

/* The skeins alike, a dyeing a row. */
void picture_of_repeat(const struct repeat_answer *answer, struct text *out);

/* The strength of several baths' dye from round to round; of lanes without one
 * to count against, where there are no others, the swatches. */
void picture_of_fades(const struct fade *fade, size_t n, struct text *out);

/* Skeins by bath, the newest first, each in the order of their rounds. */
void picture_of_rack(const struct ask_skeins *skeins, struct text *out);

/* They hang so: for qsort of pointers to struct ask_skein. What was never in a
 * bath hangs last. */
int picture_rack_order(const void *a, const void *b);

/* The graded tests, the fastest of each kind first. */
void picture_of_fastness(const struct fast_answer *answer, struct text *out);

#endif
