/* What stands in the form of measuring when it opens, as if it had been typed:
 * what was found in the photo, or what was measured from it before. */
#ifndef HANKLAB_WEB_MEASURE_PRESET_H
#define HANKLAB_WEB_MEASURE_PRESET_H

#include "measure.h"

/* Where the colour of a skein or a yarn was read in a photo. */
struct kept_place {
    bool skein; /* else undyed yarn */
    int64_t id; /* of the one or the other */
    char label[80];
    struct box box;
};

/* The last reading of each from this photo; release *out with free(). */
bool kept_places(struct book *book, int64_t photo, struct kept_place **out,
                 size_t *n, struct error *err);

/* "X,Y,W,H" */
void preset_words(struct box b, struct text *out);
void preset_box(struct request *r, const char *field, struct box b);

/* The card the address names or the usual one, and where it lay last time;
 * *known false when the photo was never measured. */
bool preset_card(struct request *r, const struct measure_job *job, bool *known,
                 struct error *err);

/* What was found; NULL: nothing. Whose a skein is nobody can see: only one
 * that is alone is taken for the one the address asks for. */
void preset_found(struct request *r, const struct find_result *found);

/* What was measured before, to be looked at; what the address asks for is
 * measured again. *any false when there is nothing. */
bool preset_measured(struct request *r, const struct measure_job *job,
                     bool *any, struct error *err);

#endif
