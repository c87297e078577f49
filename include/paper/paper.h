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
#include "dye/sums.h"

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

#define PAPER_CARDS_MOST 400

/*
 * Sample cards to give away: number, colour, dyestuff, mordant, round, day,
 * whose it is, and room to wind its yarn; never where anything was gathered.
 *
 * words  skeins as record_skeins has them
 * err    ERR_INPUT, ERR_MISSING, ERR_LIMIT
 */
bool paper_cards(struct book *book, const char *words, enum paper_size size,
                 struct text *out, struct error *err);

/* What was reckoned, with boxes to tick and room for what was weighed. */
void paper_weigh(const struct sums *sums, enum paper_size size,
                 struct text *out);

/* One pot: what went in with boxes to tick, its rounds, their skeins.
 * ERR_INPUT, ERR_MISSING. */
bool paper_bath(struct book *book, const char *words, enum paper_size size,
                struct text *out, struct error *err);

/* One skein: its colour and its life. ERR_INPUT, ERR_MISSING. */
bool paper_skein(struct book *book, const char *words, enum paper_size size,
                 struct text *out, struct error *err);

/* A project as a work plan: its steps in time with boxes to tick, what to weigh
 * for each and in all, the colours. NULL: the one project_find takes.
 * ERR_MISSING. */
bool paper_project(struct book *book, const char *words, enum paper_size size,
                   struct text *out, struct error *err);

/* How to take the picture that is measured; of the book and the words nothing
 * is asked. */
bool paper_photo(struct book *book, const char *words, enum paper_size size,
                 struct text *out, struct error *err);

#endif
