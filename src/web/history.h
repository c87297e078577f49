/* What the pages of the history share. */
#ifndef HANKLAB_WEB_HISTORY_H
#define HANKLAB_WEB_HISTORY_H

#include "book/history.h"
#include "request.h"

/* What a change comes to, in a list item: "Weight  20 g -> 21 g". Nothing for
 * what only follows from another. */
void history_diff(struct text *out, const struct history_change *change);

/* "on the page", "on the command line", "on kitchen phone". */
void history_by(struct text *out, const struct history_act *act);

/* The past of one record: what became of it, and its state after each act. */
bool history_of_record(struct request *r, const struct noun *noun, int64_t id,
                       struct error *err);

#endif
