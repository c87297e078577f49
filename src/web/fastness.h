/* Tests of skeins on several pages. */
#ifndef HANKLAB_WEB_FASTNESS_H
#define HANKLAB_WEB_FASTNESS_H

#include "book/fastness.h"
#include "request.h"

/* One in a list: both colours, what it is, its grade or why there is none. */
void fastness_row(struct text *out, const struct fast_test *test);

/* Both colours of a graded test, touching. */
void fastness_pair(struct text *out, const struct fast_test *test);

/* A line about what is to be looked at within a week, or nothing. */
bool fastness_remind(struct request *r, struct error *err);

/* A skein's tests as a section, or nothing. */
bool fastness_of_skein(struct request *r, int64_t skein, struct error *err);

#endif
