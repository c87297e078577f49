/* Private to the book: what each skein has gone through, kept for looking up.
 */
#ifndef HANKLAB_BOOK_STEP_H
#define HANKLAB_BOOK_STEP_H

#include "book/store.h"

/* Makes the steps of every skein anew that the open act may have touched, and
 * of those cut or plied from them. */
bool step_refresh(struct book *book, struct error *err);

/* Makes all steps anew. */
bool step_rebuild(struct book *book, struct error *err);

#endif
