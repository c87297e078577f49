/* When the steps that are left of a project are done. See book/project.h. */
#include "book/project_work.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "base/parts.h"
#include "book/pot_work.h"

/* The steps that are left, as jobs of those. */
struct left {
    int64_t id[SCHEDULE_MOST];
    int number[SCHEDULE_MOST];
    struct schedule_job job[SCHEDULE_MOST];
    size_t count;
    char most[120]; /* the step that takes the largest pot */
    double most_l;
};

static double real_of(const struct record *r, const char *field, double none)
{
    const struct record_field *f = record_get(r, field);

    return f && f->low > 0 ? f->low : none;
}

static void kept_ways(const struct record *r, struct plan_ways *ways)
{
    struct schedule_means *m = &ways->means;

    *ways = plan_usual();
    m->pots = project_whole(r, "pots", m->pots);
    m->burners = project_whole(r, "burners", m->burners);
    m->jars = project_whole(r, "jars", m->jars);
    m->up_min = project_whole(r, "up", m->up_min);
    m->to_bed_min = project_whole(r, "to-bed", m->to_bed_min);
    ways->pot_l = real_of(r, "pot", ways->pot_l);
    ways->jar_l = real_of(r, "jar", ways->jar_l);
    ways->l_per_kg = real_of(r, "l-per-kg", ways->l_per_kg);
}

/* The step that takes the largest pot. */
static void look_for_most(struct left *left, const struct record *r,
                          const struct schedule_job *j)
{
    const struct record_field *name = record_get(r, "name");
    double water_l = real_of(r, "volume", 0);

    if (j->pot_min == 0 || water_l <= left->most_l)
        return;
    left->most_l = water_l;
    snprintf(left->most, sizeof left->most, "%s",
             name ? name->words : r->label);
}

static bool add_job(struct book *book, int64_t id, struct left *left,
                    struct text after[SCHEDULE_MOST], struct error *err)
{
    const struct record_field *f;
    struct schedule_job *j = &left->job[left->count];
    struct record r;

    if (!record_read(book, NOUN_TASK, id, &r, err))
        return false;
    if (project_whole(&r, "done", 0) != 1 && left->count < SCHEDULE_MOST) {
        *j = (struct schedule_job){
            .minutes = project_whole(&r, "takes", 60),
            .attended_min = project_whole(&r, "attended", 0),
            .burner_min = project_whole(&r, "burner", 0),
            .pot_min = project_whole(&r, "in-pot", 0),
            .jar = (size_t)project_whole(&r, "jar", 0),
        };
        f = record_get(&r, "after");
        text_add(&after[left->count], f ? f->words : "");
        left->id[left->count] = id;
        left->number[left->count++] = project_whole(&r, "number", 0);
        look_for_most(left, &r, j);
    }
    record_clear(&r);
    return true;
}

/* "1, 4": those of them that are left. */
static void wait_for(struct left *left, size_t i, const char *after)
{
    struct schedule_job *j = &left->job[i];

    while (*after) {
        char *end;
        long n = strtol(after, &end, 10);
        for (size_t k = 0; k < left->count; k++)
            if (end > after && left->number[k] == n &&
                j->afters < SCHEDULE_AFTER)
                j->after[j->afters++] = k;
        after = end > after ? end : after + 1;
    }
}

static bool read_left(struct book *book, int64_t project, struct left *left,
                      struct error *err)
{
    struct text *after = mem_new(SCHEDULE_MOST, sizeof *after);
    int64_t *ids;
    size_t n;
    bool ok = project_tasks(book, project, &ids, &n, err);

    for (size_t i = 0; ok && i < n; i++)
        ok = add_job(book, ids[i], left, after, err);
    for (size_t i = 0; ok && i < left->count; i++)
        wait_for(left, i, text_str(&after[i]));
    for (size_t i = 0; i < SCHEDULE_MOST; i++)
        text_clear(&after[i]);
    free(after);
    free(ids);
    return ok && (left->count > 0 ||
                  error_set(err, ERR_INPUT, "all its steps are done"));
}

static bool keep_step(struct book *book, const struct left *left,
                      const struct schedule *s, size_t i,
                      struct moment midnight, struct error *err)
{
    char begins[17], vessel[64] = "";

    moment_iso(moment_add(midnight, s->start_min[i]), begins);
    if (s->pot[i] && s->burner[i])
        snprintf(vessel, sizeof vessel, "%spot %d, burner %d",
                 left->job[i].jar ? "jar in " : "", s->pot[i], s->burner[i]);
    else if (s->pot[i])
        snprintf(vessel, sizeof vessel, "%spot %d",
                 left->job[i].jar ? "jar in " : "", s->pot[i]);
    const struct record_value v[] = {{"begins", begins}, {"vessel", vessel}};
    return record_edit(book, NOUN_TASK, left->id[i], v, 2, NULL, err);
}

static bool keep_means(struct book *book, int64_t id,
                       const struct plan_ways *ways, const char *ready,
                       struct moment soonest, struct error *err)
{
    const struct schedule_means *m = &ways->means;
    char n[5][16], at[17], pot[40], jar[40];

    snprintf(n[0], 16, "%d", m->pots);
    snprintf(n[1], 16, "%d", m->burners);
    snprintf(n[2], 16, "%d", m->jars);
    snprintf(n[3], 16, "%d", m->up_min);
    snprintf(n[4], 16, "%d", m->to_bed_min);
    snprintf(pot, sizeof pot, "%g l", ways->pot_l);
    snprintf(jar, sizeof jar, "%g l", ways->jar_l);
    moment_iso(soonest, at);
    const struct record_value v[] = {
        {"pots", n[0]},   {"burners", n[1]},
        {"jars", n[2]},   {"up", n[3]},
        {"to-bed", n[4]}, {"soonest", at},
        {"pot", pot},     {"jar", m->jars ? jar : NULL},
        {"ready", ready},
    };
    return record_edit(book, NOUN_PROJECT, id, v,
                       ready ? ARRAY_LEN(v) : ARRAY_LEN(v) - 1, NULL, err);
}

/* Which steps go into jars was planned when the project was made. */
static bool has_jars(const struct left *left, const char *jars,
                     const struct plan_ways *ways, struct error *err)
{
    bool any = !parts_said(jars) || ways->means.jars == 0;

    for (size_t i = 0; i < left->count; i++)
        any = any || left->job[i].jar;
    return any || error_set(err, ERR_INPUT,
                            "jars: no step that is left was planned for one: "
                            "that takes a new plan");
}

/* By when: what is said now, else what was said before. */
static bool find_ready(const struct record *r, const char *words,
                       struct moment now, struct moment *ready, bool *has,
                       struct error *err)
{
    const struct record_field *f = record_get(r, "ready");

    *has = parts_said(words) || (f && moment_from_iso(f->words, ready));
    return !parts_said(words) || project_ready(words, now, ready, err);
}

static bool plan_left(struct book *book, int64_t id,
                      const struct project_words *words, struct left *left,
                      struct error *err)
{
    struct schedule *s = mem_new(1, sizeof *s);
    struct moment now = moment_now(), ready = now, midnight = {now.day, 0};
    struct plan_ways ways;
    struct record r;
    char iso[17];
    bool has, late, ok;
    int begin = now.minute + (5 - now.minute % 5) % 5;

    ok = record_read(book, NOUN_PROJECT, id, &r, err);
    if (!ok) {
        free(s);
        return false;
    }
    kept_ways(&r, &ways);
    ok = project_ways(words, &ways, err) &&
         find_ready(&r, words->ready, now, &ready, &has, err) &&
         read_left(book, id, left, err) &&
         plan_pot_holds(left->most, left->most_l, ways.pot_l, err) &&
         has_jars(left, words->jars, &ways, err) &&
         plan_schedule_jobs(left->job, left->count, ways.means, begin,
                            has ? moment_between(midnight, ready) : -1, s,
                            &late, err);
    for (size_t i = 0; ok && i < left->count; i++)
        ok = keep_step(book, left, s, i, midnight, err);
    if (ok && has)
        moment_iso(ready, iso);
    ok = ok && keep_means(book, id, &ways, has ? iso : NULL,
                          moment_add(midnight, s->bound_min), err);
    record_clear(&r);
    free(s);
    return ok;
}

bool project_when(struct book *book, int64_t id,
                  const struct project_words *words, struct error *err)
{
    struct left *left;
    bool ok;

    if (!project_own(book, id, err) || !book_act_begin(book, "plan when", err))
        return false;
    left = mem_new(1, sizeof *left);
    ok = plan_left(book, id, words, left, err) && book_act_end(book, err);
    book_act_cancel(book);
    free(left);
    return ok;
}
