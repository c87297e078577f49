/* Private to papers: what several of them draw. */
#ifndef HANKLAB_PAPER_INK_H
#define HANKLAB_PAPER_INK_H

#include "book/ask.h"
#include "book/record.h"
#include "book/sheet.h"
#include "colour/lab.h"
#include "paper/paper.h"

/* <section> of a sheet; class NULL: none but its own. */
void ink_begin(struct text *out, enum paper_size size, const char *class,
               const char *label);
void ink_end(struct text *out);

/* A flat swatch; lab NULL: a dashed box for one that was not measured. */
void ink_swatch(struct text *out, const struct lab *lab, const char *words);

/* What is recorded, as <dt> and <dd>, but for the fields skipped. */
void ink_facts(struct text *out, const struct record *rec,
               const char *const *skipped, size_t skips);

/* "alum, 12 % of the fibre: 10.2 g on 85 g" of a dose; a box to tick before
 * it, when that is asked for. */
void ink_dose(struct text *out, const struct sheet_dose *dose, bool tick);

/* Each line of a text as an element; NULL has none. */
void ink_lines(struct text *out, const char *element, const char *lines);

/* A box to tick. */
extern const char ink_tick[];

#endif
