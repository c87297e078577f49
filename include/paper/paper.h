/*
 * What is printed: tags, sample cards, sheets to weigh out by. Each is HTML of
 * one or more sheets, black on white, that the page shows and the command line
 * writes as a document of its own; their style is src/web/assets/sheets.css.
 *
 * All errors are ERR_STORE unless said.
 */
#ifndef HANKLAB_PAPER_PAPER_H
#define HANKLAB_PAPER_PAPER_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/error.h"
#include "base/text.h"
#include "book/book.h"

enum paper_size { PAPER_A4, PAPER_LETTER };

/* "A4" or "Letter", in any case; NULL is A4. ERR_INPUT. */
bool paper_size_read(const char *words, enum paper_size *out,
                     struct error *err);

/* A document that stands alone, of sheets that were made below. */
void paper_document(const char *title, enum paper_size size,
                    const struct text *sheets, struct text *out);

#define PAPER_TAGS_A_SHEET 24
#define PAPER_TAGS_MOST 960
#define PAPER_TAG_LAST 99999 /* five digits have room on a tag */

/*
 * Tags to tie on before the pot is lit: the number large and in knots, room
 * for a pencil, and of a skein that is in the book what it has been through.
 *
 * words  "1-48", "7, 9, 12-15", or skeins as they are called, commas between;
 *        NULL: a sheet of the numbers that come next
 * err    ERR_INPUT    no such list
 *        ERR_MISSING  a name that no skein has; a number may be new
 *        ERR_LIMIT    more than PAPER_TAGS_MOST, or above PAPER_TAG_LAST
 */
bool paper_tags(struct book *book, const char *words, enum paper_size size,
                struct text *out, struct error *err);

#endif
