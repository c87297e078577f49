/* What the parts of measuring's page share: the photo, its form, small
 * pictures of it. */
#ifndef HANKLAB_WEB_MEASURE_VIEW_H
#define HANKLAB_WEB_MEASURE_VIEW_H

#include "measure.h"

struct view {
    struct request *r;
    const struct measure_job *job;
    const struct measure_answer *answer; /* NULL: not measured */
    const struct error *why;             /* NULL: nothing to put right */
    long long photo;
    double w, h; /* of the picture, pixels */
};

bool view_is(const char *words, const char *what);

/* The picture, in the coordinates of its pixels, for an <svg>. */
void view_image(const struct view *v);

/* A box with its flag, if the words are one; class: "" or " known". */
void view_box(const struct view *v, const char *words, const char *class,
              const char *flag);

/* The picture cut to a box. */
void view_crop(const struct view *v, struct box b, const char *who);

/* What a row's box is called on the photo: the skein's number as on its tag,
 * when that is said, which is told by true; else the row's own number. */
bool view_flag(const struct view *v, size_t row, struct text *flag);

/* Number or letter, name, and the state of a row; tag: it is a skein's. */
void view_head(struct text *o, const char *flag, bool tag, const char *words,
               const char *state);

/* A field of a row and, when it is to be blamed, why below it. */
void view_select(const struct view *v, const char *name, size_t row,
                 const char *label);
void view_option(struct text *o, const char *value, const char *words,
                 bool chosen);
void view_select_end(const struct view *v, const char *name, size_t row);
void view_input(const struct view *v, const char *class, const char *name,
                size_t row, const char *label, const char *value,
                const char *more);

/* " aria-invalid ..." and the sentence of a blamed field, or nothing. */
void view_mark(const struct view *v, const char *name, size_t row);
void view_why(const struct view *v, const char *name, size_t row);

/* ---- what came out: src/web/measure_said.c ------------------------------ */

/* By what the colours were corrected and how well that held, in sentences. */
void said_method(const struct view *v);

/* Every note and the part of the picture it is about. */
void said_advice(const struct view *v);

#endif
