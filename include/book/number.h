/* Numbers of skeins that are to come. */
#ifndef HANKLAB_BOOK_NUMBER_H
#define HANKLAB_BOOK_NUMBER_H

#include <stdbool.h>
#include <stdint.h>

#include "base/error.h"
#include "book/book.h"

/* The number that the dyer's next new skein gets. ERR_STORE. */
bool number_next(struct book *book, int64_t *out, struct error *err);

#endif
