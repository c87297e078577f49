/* Random draws, the same at every run. */
#ifndef HANKLAB_TESTS_DRAW_SUPPORT_H
#define HANKLAB_TESTS_DRAW_SUPPORT_H

#include <stdint.h>

#include "colour/uncertainty.h"

/* Between 0 and 1, neither of the two. */
double uniform(uint64_t *seed);

/* Of mean 0 and deviation 1. */
double normal(uint64_t *seed);

/* at, moved by a draw from cov. */
struct lab drawn(struct lab at, struct cov3 cov, uint64_t *seed);

#endif
