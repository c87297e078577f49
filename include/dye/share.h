/* One weight said of several skeins: "60 g in all", "3 x 20 g". */
#ifndef HANKLAB_DYE_SHARE_H
#define HANKLAB_DYE_SHARE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/error.h"
#include "base/text.h"

/*
 * Appends the weight of one of count skeins: of "60 g in all" (together,
 * total) among 3, "20 g (60 g in all, 3 skeins)"; of "3 x 20 g" or "3 skeins
 * of 20 g", "20 g". Any other words are appended as they are.
 *
 * err  ERR_INPUT  "3 x 20 g" of any other number of skeins
 */
bool share_weight(const char *words, size_t count, struct text *out,
                  struct error *err);

/* Whether words say so many skeins and the weight of one: "3 skeins of 20 g".
 */
bool share_counts(const char *words);

#endif
