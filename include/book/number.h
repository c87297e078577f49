/* Numbers of the dyer's own skeins. */
#ifndef HANKLAB_BOOK_NUMBER_H
#define HANKLAB_BOOK_NUMBER_H

#include <stdbool.h>
#include <stdint.h>

#include "base/error.h"
#include "book/book.h"

/* The number that the dyer's next new skein gets. ERR_STORE. */
bool number_next(struct book *book, int64_t *out, struct error *err);

/* The dyer's skein of that number; *id 0: she has none, or it is withdrawn.
 * ERR_STORE. */
bool number_skein(struct book *book, int64_t number, int64_t *id,
                  struct error *err);

#endif
