/* What the book says, in the words of the page. */
#ifndef HANKLAB_WEB_WORDS_H
#define HANKLAB_WEB_WORDS_H

#include "base/text.h"

/* Appends an answer of the book for people who never saw the command line: an
 * option is called as the form's field, a command as the page that does it. */
void words_of_page(const char *words, struct text *out);

#endif
