/* Several photos of the same skeins, measured as one reading. */
#ifndef HANKLAB_WEB_MEASURE_SEVERAL_H
#define HANKLAB_WEB_MEASURE_SEVERAL_H

#include "measure_view.h"

/* Reads the forms of the photos before, which this one carries along: their
 * fields begin with "1:", "2:" ... */
bool several_read(struct request *r, struct measure_job *job,
                  struct error *err);

/* After measuring: what belongs together. False when one of the photos before
 * is refused, which says so. */
bool several_join(struct measure_job *job, const struct measure_answers *all,
                  struct error *err);

/* Keeps one reading of each skein and yarn. */
bool several_keep(struct request *r, struct measure_job *job,
                  const struct measure_answers *all, struct error *err);

/* Makes the form that of another photo, with this one's behind it: r->form
 * then holds the new one's fields. ERR_INPUT. */
bool several_go_on(struct request *r, struct measure_job *job,
                   struct error *err);

/* The same back again: the last photo's form, with what was marked in it.
 * ERR_INPUT. */
bool several_go_back(struct request *r, struct error *err);

/* Gives the rows of the photo before the skeins found in this one, in the same
 * order; false when there are not as many. */
bool several_place(struct request *r, const struct find_result *found);

/* Whose rows they were is to be said anew. */
void several_forget_rows(struct request *r);

/* What was found, in words. */
void several_found(const struct view *v);

/* The fields carried along and which photos they are of; the way to one more.
 */
void several_carried(const struct view *v);
bool several_more(const struct view *v, struct error *err);

/* The mean of a region with those in the other photos, in its row. */
void several_said(const struct view *v, size_t region);

void several_clear(struct measure_job *job);

#endif
