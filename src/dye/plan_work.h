/* Private to dye: what src/dye/plan*.c share. */
#ifndef HANKLAB_DYE_PLAN_WORK_H
#define HANKLAB_DYE_PLAN_WORK_H

#include "dye/plan.h"

/* Heat, time and what the step takes of the stove, by habit or by custom; the
 * step's kind is set. material: its first, or NULL. */
void plan_set_time(struct plan_step *step, const struct plan_ways *ways,
                   const char *material);

#endif
