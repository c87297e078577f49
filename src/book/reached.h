/* Private to the book: the skeins whose life an act may have changed. */
#ifndef HANKLAB_BOOK_REACHED_H
#define HANKLAB_BOOK_REACHED_H

#include "book/id_map.h"
#include "book/touched.h"

/* Those that what it touched belongs to, and those cut or plied from them:
 * parents, whose number is less, before their children. Release with free(). */
bool reached_skeins(struct book *book, const struct touched *t,
                    struct id_slot **out, size_t *count, struct error *err);

#endif
