/* Card and skeins of a map without a tap: silent rather than wrong
 * (docs/colour.md). */
#ifndef HANKLAB_MEASURE_PROPOSE_H
#define HANKLAB_MEASURE_PROPOSE_H

#include "measure/find.h"
#include "measure/grow.h"

/* The one thing that looks like a grey card. False when there is none, or
 * another that looks nearly as much like one. */
bool propose_card(struct grower *g, struct box *out);

/* Skeins, from the top left on, row by row; at most `most`. What lies under
 * `card` is none. Returns how many. */
size_t propose_skeins(struct grower *g, struct box card, struct box *out,
                      size_t most);

#endif
