/* Private to the book: what each skein has gone through and what it is now,
 * kept for looking up. */
#ifndef HANKLAB_BOOK_STEP_H
#define HANKLAB_BOOK_STEP_H

#include "book/touched.h"

/* Makes the steps and the row of the shelf of every skein anew that the open
 * act may have touched, and of those cut or plied from them. ERR_INPUT when the
 * act has made a skein or a bath its own forebear. */
bool step_refresh(struct book *book, const struct touched *t,
                  struct error *err);

/* Makes all of them anew. */
bool step_rebuild(struct book *book, struct error *err);

#endif
