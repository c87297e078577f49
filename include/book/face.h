/*
 * How a message tells people what to do: in a terminal by commands and
 * options, on the page by its fields and buttons. A program says once which of
 * them it is; one that says nothing is a terminal.
 */
#ifndef HANKLAB_BOOK_FACE_H
#define HANKLAB_BOOK_FACE_H

#include <stdbool.h>

#include "base/text.h"
#include "book/noun.h"

/* From now on this program's people look at the page. */
void face_set_page(void);
bool face_is_page(void);

/* One of the two, as the face is. */
const char *face_says(const char *terminal, const char *page);

/*
 * Appends how a field of a record is changed: "hanklab skein edit 12 --fibre
 * ...", or "change "Yarn" of skein 12".
 *
 * label  how the record is called
 * words  what the field is to say, "" for nothing; NULL: the dyer knows
 */
void face_edit(enum noun_id noun, const char *label, const char *field,
               const char *words, struct text *out);

#endif
