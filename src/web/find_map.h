/* The map of Find, and a colour picked on a plane of one lightness. */
#ifndef HANKLAB_WEB_FIND_MAP_H
#define HANKLAB_WEB_FIND_MAP_H

#include "book/ask.h"
#include "request.h"

/* The map of a* and b* as a part of the page, each part of it a link to what
 * lies there. */
bool find_map(struct request *r, const struct find_request *find,
              const struct find_answer *answer, struct error *err);

/* The same as a picture to keep. */
bool find_map_alone(struct request *r, const struct find_request *find,
                    const struct find_answer *answer, struct error *err);

/* Within the form of Find: colours of one lightness to tap on. */
void find_pick(struct request *r);

/* The colour that was tapped, if one was. ERR_INPUT. */
bool find_pick_read(struct request *r, bool *has, struct lab *out,
                    struct error *err);

#endif
