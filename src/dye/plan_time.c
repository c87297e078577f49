/* How hot and how long each step is, and when it is done. See dye/plan.h. */
#include "dye/plan_work.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"

const char *const plan_kind_names[PLAN_KINDS] = {
    [PLAN_SOAK] = "soak",       [PLAN_MORDANT] = "mordant",
    [PLAN_EXTRACT] = "extract", [PLAN_DYE] = "dye",
    [PLAN_DIP] = "dip",         [PLAN_RINSE] = "rinse",
};

struct plan_ways plan_usual(void)
{
    return (struct plan_ways){.l_per_kg = 30,
                              .pot_l = 8,
                              .jar_l = 1,
                              .test_g = 10,
                              .means = {.pots = 3,
                                        .burners = 2,
                                        .jars = 0,
                                        .up_min = 8 * 60,
                                        .to_bed_min = 22 * 60}};
}

/* Raised slowly, held, cooled in the pot. NaN: no heat of its own. */
struct usual {
    enum plan_kind kind;
    const char *material; /* NULL: any */
    double heat_c;
    int up_min, hold_min, cool_min;
    const char *source;
};

/* The particular before the general. */
static const struct usual usual[] = {
    {PLAN_EXTRACT, "madder", 65, 30, 60, 0,
     "madder stays redder up to 60 or 70 \xC2\xB0"
     "C: common practice; about "
     "80 in E. Mairet, Vegetable Dyes, 1916"},
    {PLAN_DYE, "madder", 65, 30, 60, 60,
     "madder stays redder up to 60 or 70 \xC2\xB0"
     "C: common practice; about "
     "80 in E. Mairet, Vegetable Dyes, 1916"},
    {PLAN_SOAK, NULL, NAN, 0, 60, 0,
     "half an hour to an hour at the least, overnight is usual: common "
     "practice"},
    {PLAN_MORDANT, NULL, 85, 30, 60, 60,
     "80 to 90 \xC2\xB0"
     "C for 45 to 60 min, cooled in the bath: common "
     "practice; never above 88 \xC2\xB0"
     "C: a handbook's rule"},
    {PLAN_EXTRACT, "red webcap", 46, 30, 60, 0,
     "steeped at 46 \xC2\xB0"
     "C: a handbook of mushroom dyes"},
    {PLAN_EXTRACT, NULL, 85, 30, 60, 0,
     "a simmer of about an hour: common practice"},
    {PLAN_DYE, NULL, 85, 30, 60, 60,
     "raised slowly, 80 to 90 \xC2\xB0"
     "C for 45 to 60 min, cooled in the "
     "pot: common practice"},
    {PLAN_DIP, NULL, 60, 20, 10, 0,
     "5 to 20 min, out as soon as it looks right: common practice; 15 to 20 "
     "in E. Mairet, Vegetable Dyes, 1916"},
    {PLAN_RINSE, NULL, NAN, 0, 1440, 0,
     "dry in one to three days: common practice"},
};

#define RINSE_MIN 20  /* hands in the water, then it hangs */
#define STRAIN_MIN 15 /* behind an extraction */
#define SET_UP_MIN 15 /* of what is left to itself */
/* These three: our own guess, no source. */

static const struct usual *usual_of(enum plan_kind kind, const char *material)
{
    size_t i = 0;

    while (usual[i].kind != kind ||
           (usual[i].material &&
            !(material && text_contains(material, usual[i].material))))
        i++;
    assert(i < ARRAY_LEN(usual));
    return &usual[i];
}

static const struct plan_habit *habit_of(const struct plan_ways *ways,
                                         enum plan_kind kind,
                                         const char *material)
{
    for (size_t i = 0; i < ways->habits; i++) {
        const struct plan_habit *h = &ways->habit[i];
        if (h->kind == kind &&
            (!h->material || (material && text_same(h->material, material))))
            return h;
    }
    return NULL;
}

static void set_job(struct plan_step *s, int up_min, int cool_min, bool hot)
{
    struct schedule_job *j = &s->job;
    int on = up_min + s->hold_min;

    switch (s->kind) {
    case PLAN_SOAK:
    case PLAN_RINSE:
        j->attended_min = s->kind == PLAN_RINSE ? RINSE_MIN : SET_UP_MIN;
        j->minutes = s->hold_min + (s->kind == PLAN_RINSE ? RINSE_MIN : 0);
        break;
    case PLAN_EXTRACT:
        j->burner_min = hot ? on : 0;
        j->minutes = s->hold_min + STRAIN_MIN + (hot ? up_min : 0);
        j->pot_min = hot ? j->minutes : 0;
        j->attended_min = hot ? j->minutes : SET_UP_MIN;
        break;
    case PLAN_MORDANT:
    case PLAN_DYE:
    case PLAN_DIP:
        j->burner_min = hot ? on : 0;
        j->minutes = hot ? on + cool_min : s->hold_min;
        j->pot_min = hot ? j->minutes : 0;
        j->attended_min = hot ? on : SET_UP_MIN;
        break;
    case PLAN_KINDS:
        break;
    }
    if (j->minutes < 1)
        j->minutes = 1;
    if (j->attended_min > j->minutes)
        j->attended_min = j->minutes;
}

/* Of several the one that custom keeps coolest; NULL: there is none. */
static const char *tenderest(enum plan_kind kind, const struct plan_doses *of)
{
    const char *name = NULL;

    for (size_t i = 0; of && i < of->count; i++)
        if (!name || usual_of(kind, of->dose[i].name)->heat_c <
                         usual_of(kind, name)->heat_c)
            name = of->dose[i].name;
    return name;
}

void plan_set_time(struct plan_step *s, const struct plan_ways *ways,
                   const struct plan_doses *of)
{
    const char *material = tenderest(s->kind, of);
    const struct usual *u = usual_of(s->kind, material);
    const struct plan_habit *h = habit_of(ways, s->kind, material);
    bool heated = !isnan(u->heat_c);
    bool hot = heated && !(h && (h->cold || h->heat_c <= PLAN_COLD_C));

    s->heat_c = !hot ? (double)NAN : u->heat_c;
    s->hold_min = u->hold_min;
    s->source = mem_text(u->source);
    if (h) {
        if (heated && !isnan(h->heat_c))
            s->heat_c = h->heat_c;
        if (h->hold_min >= 0)
            s->hold_min = h->hold_min;
        free(s->source);
        s->source = mem_text(h->source);
    }
    set_job(s, u->up_min, u->cool_min, hot);
}

/* ---- when -----------------------------------------------------------------
 */

bool plan_schedule_jobs(const struct schedule_job *job, size_t n,
                        struct schedule_means means, int now_min, int ready_min,
                        struct schedule *out, bool *late, struct error *err)
{
    means.begin_min = now_min;
    if (means.jars < 1)
        means.jars = 1;
    *late = false;
    if (ready_min >= 0 && schedule_latest(job, n, &means, ready_min, out))
        return true;
    *late = ready_min >= 0;
    if (schedule_solve(job, n, &means, out))
        return true;
    return error_set(err, ERR_INPUT,
                     "a step takes longer than the hours in which you are up: "
                     "make the day longer, or the step shorter");
}

/* Puts steps in the order of their beginnings; those they wait for stay
 * before them. */
static void put_in_order(struct plan *plan)
{
    struct plan_step *by_time = mem_new(plan->steps, sizeof *by_time);
    size_t *to = mem_new(plan->steps, sizeof *to);

    for (size_t i = 0; i < plan->steps; i++) {
        to[i] = 0;
        for (size_t k = 0; k < plan->steps; k++)
            to[i] += k < i ? plan->step[k].start_min <= plan->step[i].start_min
                           : plan->step[k].start_min < plan->step[i].start_min;
        by_time[to[i]] = plan->step[i];
    }
    for (size_t i = 0; i < plan->steps; i++)
        for (size_t k = 0; k < by_time[i].job.afters; k++)
            by_time[i].job.after[k] = to[by_time[i].job.after[k]];
    free(plan->step);
    free(to);
    plan->step = by_time;
}

bool plan_schedule(struct plan *plan, const struct plan_ways *ways, int now_min,
                   int ready_min, bool *late, struct error *err)
{
    struct schedule *s = mem_new(1, sizeof *s);
    struct schedule_job *job = mem_new(plan->steps, sizeof *job);
    bool ok;

    for (size_t i = 0; i < plan->steps; i++)
        job[i] = plan->step[i].job;
    ok = plan_schedule_jobs(job, plan->steps, ways->means, now_min, ready_min,
                            s, late, err);
    if (ok) {
        for (size_t i = 0; i < plan->steps; i++) {
            plan->step[i].start_min = s->start_min[i];
            plan->step[i].pot = s->pot[i];
            plan->step[i].burner = s->burner[i];
        }
        plan->begin_min = s->begin_min;
        plan->end_min = s->end_min;
        plan->bound_min = s->bound_min;
        plan->exact = s->exact;
        put_in_order(plan);
    }
    free(job);
    free(s);
    return ok;
}
