/* The cautions of a material in the book, by all the names it has there. */
#ifndef HANKLAB_BOOK_BEWARE_H
#define HANKLAB_BOOK_BEWARE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/error.h"
#include "book/book.h"
#include "dye/caution.h"

/*
 * out     CAUTION_MAX at most, each once: of its name, its scientific name and
 *         its other names
 * logged  whether it has gone into a bath or a treatment before; may be NULL
 * err     ERR_MISSING, ERR_STORE
 */
bool beware_of(struct book *book, int64_t material,
               const struct caution *out[CAUTION_MAX], size_t *count,
               bool *logged, struct error *err);

/* Takes one caution of what is called so; both borrowed, the name for the call
 * only. */
typedef void beware_take(void *self, const char *name,
                         const struct caution *caution);

/* Hands over the cautions of a material by its name: by all the names it has
 * in the book, or by that alone when it is not there. ERR_STORE. */
bool beware_named(struct book *book, const char *name, beware_take *take,
                  void *self, struct error *err);

/* The same of several, "madder + weld" or ", " between; NULL: of none. */
bool beware_names(struct book *book, const char *names, beware_take *take,
                  void *self, struct error *err);

#endif
