/* What every page has: masthead, thumb bar, grounds, notice of what was just
 * saved; and the yarn on it. */
#ifndef HANKLAB_WEB_PAGE_H
#define HANKLAB_WEB_PAGE_H

#include "book/record.h"
#include "colour/uncertainty.h"
#include "request.h"

/*
 * Begins a page up to <main>. here is the masthead's word for it ("Rack"), or
 * NULL. The yarn shapes a page uses must have been drawn in between: page_end
 * puts them, and only them, at the top.
 */
void page_begin(struct request *r, const char *title, const char *here);
void page_end(struct request *r);

/* Appends what a pot is called in an address, "3" or "Aino/3". */
bool page_bath(struct request *r, int64_t bath, struct text *out,
               struct error *err);

/* A script or a style of ours that only some pages need; within <main>. */
void page_style(struct request *r, const char *name);
void page_script(struct request *r, const char *name);

/* <form method="post" ...> with the token in it; `more` are attributes. */
void page_form(struct request *r, const char *action, const char *more);

/* In a form, where it is come back to: this page as it was asked for, the rack
 * from an answer to a form. */
void page_way_back(struct request *r);

/* After a change: back to a page that says so and offers to undo it. The
 * address may have a query already. */
void page_saved(struct request *r, const char *address);

enum hank {
    HANK_HUNG,  /* on a rod */
    HANK_LARGE, /* from 120 px */
    HANK_SMALL, /* up to 32 px */
};

/* One hank; lab NULL: not measured. */
void page_hank(struct text *out, enum hank kind, const struct lab *lab);

/* Stripes for what is foretold, once a page: mask="url(#hatch)", 72 high. */
void page_hatch(struct text *out);

/* A flat swatch as an <svg>, with what it is in words for those who cannot see
 * it; a corner is cut off when the screen cannot show the colour. NULL: none
 * was measured. It fills the box it stands in, to touch what is beside it, or
 * is in a cell of the grid. */
void page_swatch_fill(struct text *out, const struct lab *lab,
                      const char *words);
void page_swatch_cell(struct text *out, const struct lab *lab,
                      const char *words);

/* A tag with the skein's number and, small beside it, the code pencilled on the
 * real one; more: " part" and the like. */
void page_tag(struct text *out, const char *more, const char *label,
              const char *code);

/* "#6c3b36" */
void page_colour(struct text *out, struct lab lab);

/* Whether it lies outside of what a screen can show. */
bool page_is_outside(struct lab lab);

/* "L* 40.2  a* 44.1  b* 25.1" as the pages write it. */
void page_lab(struct text *out, struct lab lab);

/* What is recorded of it, but for the fields skipped: their titles and words.
 */
void page_facts(struct text *out, const struct record *rec,
                const char *const *skipped, size_t skips);

/* How far the true colour may be from the one that was read, as strips of
 * colour with words at their ends; nothing where no eye would see it. */
void page_range(struct text *out, struct lab at, struct cov3 abs);

#endif
