/* What the page puts down in the book's cache for a while. */
#ifndef HANKLAB_WEB_SWEEP_H
#define HANKLAB_WEB_SWEEP_H

#include "book/book.h"

#define SWEEP_ARRIVING "arriving-" /* is sent to the page */
#define SWEEP_WAITING "import-"    /* arrived, and is looked at */
#define SWEEP_GOING "going-"       /* is fetched from it */

/* Removes of these what was put down more than a day ago: its page was left, or
 * the program was ended meanwhile. */
void sweep_cache(const struct book *book);

#endif
