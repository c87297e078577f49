/* Private to dye: what src/dye/plan*.c share. */
#ifndef HANKLAB_DYE_PLAN_WORK_H
#define HANKLAB_DYE_PLAN_WORK_H

#include "dye/plan.h"

/* Heat, time and what the step takes of the stove, by habit or by custom; the
 * step's kind is set. of: what goes into it, or NULL; the one that bears the
 * least heat decides. */
void plan_set_time(struct plan_step *step, const struct plan_ways *ways,
                   const struct plan_doses *of);

/* The same materials in the same order and strength. src/dye/plan_dose.c */
bool plan_dose_same(const struct plan_dose *x, const struct plan_dose *y);
bool plan_doses_same(const struct plan_doses *x, const struct plan_doses *y);
/* By name, then by strength. */
void plan_doses_sort(struct plan_doses *doses);
/* Iron, copper and tin behind what they would dull. */
void plan_doses_sadden_last(struct plan_doses *doses);
bool plan_doses_sadden(const struct plan_doses *doses);
/* A later round whose dyestuffs are named without an amount is one of the first
 * liquor of theirs that has one. */
void plan_join_later_rounds(struct plan *plan);
/* Nothing that is only recorded, or dyed with in another way. */
bool plan_doses_may_be(const struct plan_doses *doses, struct error *err);

#endif
