/* "More that I know the colour of": the folded part of measuring's form. */
#ifndef HANKLAB_WEB_MEASURE_KNOWN_H
#define HANKLAB_WEB_MEASURE_KNOWN_H

#include "measure_view.h"

/* How many rows the form has. */
size_t known_rows(const struct request *r);

/* The fold, open when something in it is filled in. */
bool known_fold(const struct view *v, struct error *err);

/* The boxes drawn on the photo, and the chart's corners. */
void known_boxes(const struct view *v);

#endif
