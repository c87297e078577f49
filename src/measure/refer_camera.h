/* A camera's own curve: learnt from the references of one picture, and put in
 * their place in another (docs/colour.md). */
#ifndef HANKLAB_MEASURE_REFER_CAMERA_H
#define HANKLAB_MEASURE_REFER_CAMERA_H

#include "measure/refer.h"

/* Fills out->learnt, or out->not_learnt. */
void camera_learn(const struct refer *refer,
                  const struct measure_method *method,
                  struct measure_result *out);

/* Corrects by refer->camera: its slopes, its level from the card, which then
 * reads its stated value exactly. */
void camera_correct(struct refer *refer, const struct light *light,
                    const struct area *card, const struct stats *card_stats,
                    struct correction *correction,
                    struct measure_method *method, struct measure_notes *notes);

/* Says so where the picture's own neutrals contradict refer->camera. */
void camera_doubt(const struct refer *refer, const struct light *light,
                  struct measure_notes *notes);

/* refer->camera's chart for a card that gives the light `is` and has the
 * colour lab; false when a channel has no light. */
bool camera_chart(const struct camera *camera, const double is[3],
                  struct lab lab, const struct light *light, struct chart *out);

#endif
