/* A project made: planned, and kept with its skeins and steps. See
 * book/project.h. */
#include "book/project_making.h"

#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "base/parts.h"
#include "book/face.h"
#include "book/pot_work.h"
#include "dye/reckon.h"

/* ---- what has to be said ----------------------------------------------------
 */

/* "62.5 g (250 m)", "nothing" */
static void add_yarn(const struct making *k, double g, struct text *out)
{
    if (g < 0.05) {
        text_add(out, "nothing");
        return;
    }
    text_add_real(out, g, 1);
    text_add(out, " g");
    if (isnan(k->m_per_g))
        return;
    text_add(out, " (");
    text_add_real(out, yarn_m(g, k->m_per_g), 1);
    text_add(out, " m)");
}

/* "2 hanks of 100 g; 75 g (300 m) over" */
static double add_hanks(const struct making *k, double g, struct text *out)
{
    const double hanks = ceil(g / k->hank_g - 1e-9);

    text_addf(out, "%.0f hank%s of ", hanks, hanks == 1 ? "" : "s");
    text_add_real(out, k->hank_g, 1);
    text_add(out, " g; ");
    add_yarn(k, hanks * k->hank_g - g, out);
    text_add(out, " over");
    return hanks;
}

static bool is_new(const struct making *k, size_t i)
{
    return i >= k->skeins || !k->id[i];
}

/* Skeins of one colour group (the same dyestuffs) come from hanks of their
 * own: how many, and what is over. The hanks; 0 for a group that was told. */
static double say_group(struct making *k, size_t first)
{
    struct text group = {0}, other = {0};
    double g = 0, hanks = 0;
    bool seen = false;

    plan_doses_names(&k->plan.skein[first].dyestuffs, &group);
    for (size_t i = 0; i < k->plan.skeins; i++) {
        text_reset(&other);
        plan_doses_names(&k->plan.skein[i].dyestuffs, &other);
        if (!text_same(text_str(&group), text_str(&other)) || !is_new(k, i))
            continue;
        seen = seen || i < first;
        g += k->plan.skein[i].g;
    }
    if (!seen && g > 0) {
        text_addf(&k->said, "%s: skeins of ", text_str(&group));
        text_add_real(&k->said, g, 1);
        text_add(&k->said, " g in all, off ");
        hanks = add_hanks(k, g, &k->said);
        text_add(&k->said, "\n");
    }
    text_clear(&group);
    text_clear(&other);
    return hanks;
}

/* The same of all colours together, cut from whatever hank has room. */
static void say_sum(struct making *k, double g, double apart)
{
    const double hanks = ceil(g / k->hank_g - 1e-9);

    text_add(&k->said, "all colours: ");
    add_yarn(k, g, &k->said);
    text_add(&k->said, ", ");
    add_hanks(k, g, &k->said);
    if (hanks > 1) {
        text_addf(&k->said, "; %.0f would be short by ", hanks - 1);
        add_yarn(k, g - (hanks - 1) * k->hank_g, &k->said);
    }
    if (apart > hanks)
        text_addf(&k->said, "; %.0f if each dyestuff has hanks of its own",
                  apart);
    text_add(&k->said, "\n");
}

static void say(struct making *k)
{
    const struct plan *p = &k->plan;
    double g = 0, apart = 0;

    text_add(&k->said, text_str(&p->notes));
    for (size_t i = 0; i < p->skeins && !isnan(k->hank_g); i++)
        if (is_new(k, i)) {
            apart += say_group(k, i);
            g += p->skein[i].g;
        }
    if (apart > 1)
        say_sum(k, g, apart);
}

/* ---- keeping it -------------------------------------------------------------
 */

static void real_words(double x, const char *unit, struct text *out)
{
    text_reset(out);
    if (isnan(x))
        return;
    text_add_real(out, x, 2);
    text_addf(out, " %s", unit);
}

static bool add_project(struct making *k, struct error *err)
{
    const struct project_words *w = k->words;
    const struct schedule_means *m = &k->ways.means;
    struct text t[5] = {{0}};
    char ready[17], soonest[17], pots[16], burners[16], jars[16], up[16],
        bed[16], water[32];
    bool ok;

    moment_iso(k->ready, ready);
    moment_iso(moment_add((struct moment){k->now.day, 0}, k->plan.bound_min),
               soonest);
    snprintf(pots, sizeof pots, "%d", m->pots);
    snprintf(burners, sizeof burners, "%d", m->burners);
    snprintf(jars, sizeof jars, "%d", m->jars);
    snprintf(up, sizeof up, "%d", m->up_min);
    snprintf(bed, sizeof bed, "%d", m->to_bed_min);
    snprintf(water, sizeof water, "%g", k->ways.l_per_kg);
    real_words(k->hank_g, "g", &t[0]);
    real_words(k->hank_m, "m", &t[1]);
    real_words(k->ways.pot_l, "l", &t[2]);
    real_words(k->ways.jar_l, "l", &t[3]);
    const struct record_value v[] = {
        {"name", w->name},
        {"dyer", w->dyer},
        {"fibre", w->yarn},
        {"hank", text_str(&t[0])},
        {"metres", text_str(&t[1])},
        {"ready", parts_said(w->ready) ? ready : NULL},
        {"soonest", soonest},
        {"pots", pots},
        {"pot", text_str(&t[2])},
        {"burners", burners},
        {"jars", jars},
        {"jar", m->jars ? text_str(&t[3]) : NULL},
        {"l-per-kg", water},
        {"up", up},
        {"to-bed", bed},
        {"notes", text_str(&k->said)},
        {"note", w->note},
    };
    ok = record_add(k->book, NOUN_PROJECT, v, ARRAY_LEN(v), &k->project,
                    k->echo, err);
    for (size_t i = 0; i < ARRAY_LEN(t); i++)
        text_clear(&t[i]);
    return ok;
}

/* What a skein that nobody wanted by name is called. */
static void call_extra(const struct making *k, size_t i, struct text *out)
{
    const struct plan_skein *s = &k->plan.skein[i];

    text_add(out, s->why == PLAN_TEST ? "test, " : "first, ");
    plan_doses_names(&s->dyestuffs, out);
    if (s->round)
        text_addf(out, " exhaust %d", s->round);
}

static bool keep_skein(struct making *k, size_t i, struct error *err)
{
    const struct plan_skein *s = &k->plan.skein[i];
    const struct wanted *w = i < k->skeins && k->of_wish[i] != SIZE_MAX
                                 ? &k->wanted[k->of_wish[i]]
                                 : NULL;
    struct text name = {0}, g = {0}, m = {0};
    bool ok;

    if (i < k->skeins && k->id[i])
        return true;
    if (w)
        text_add(&name, w->name);
    else
        call_extra(k, i, &name);
    real_words(s->g, "g", &g);
    real_words(yarn_m(s->g, k->m_per_g), "m", &m);
    const struct record_value v[] = {
        {"name", text_str(&name)}, {"dyer", k->words->dyer},
        {"fibre", k->words->yarn}, {"weight", text_str(&g)},
        {"weighed", "guessed"},    {"length", text_str(&m)},
    };
    ok = record_add(k->book, NOUN_SKEIN, v, ARRAY_LEN(v), &k->id[i], NULL, err);
    text_clear(&name);
    text_clear(&g);
    text_clear(&m);
    return ok;
}

static bool labels(struct making *k, const size_t *skein, size_t n,
                   struct text *out, struct error *err)
{
    for (size_t i = 0; i < n; i++) {
        text_add(out, i ? ", " : "");
        if (!record_label(k->book, NOUN_SKEIN, k->id[skein[i]], out, err))
            return false;
    }
    return true;
}

static bool keep_wish(struct making *k, size_t i, struct error *err)
{
    const struct wanted *w = &k->wanted[i];
    struct id_words project = id_words(k->project);
    struct id_words like = id_words(w->recipe.like);
    struct text recipe = {0}, skeins = {0}, g = {0}, m = {0};
    size_t of[PLAN_SKEINS], n = 0;
    int64_t id;
    bool ok;

    for (size_t s = 0; s < k->skeins; s++)
        if (k->of_wish[s] == i)
            of[n++] = s;
    recipe_words(&w->recipe.plan, &recipe);
    real_words(w->ids ? w->g : w->g * (double)w->count, "g", &g);
    real_words(w->m * (double)w->count, "m", &m);
    ok = labels(k, of, n, &skeins, err);
    const struct record_value v[] = {
        {"project", project.s},
        {"name", w->name},
        {"like", w->recipe.like ? like.s : NULL},
        {"recipe", text_str(&recipe)},
        {"weight", text_str(&g)},
        {"length", text_str(&m)},
        {"skeins", text_str(&skeins)},
        {"note", w->recipe.note},
    };
    ok = ok && record_add(k->book, NOUN_WISH, v, ARRAY_LEN(v), &id, NULL, err);
    text_clear(&recipe);
    text_clear(&skeins);
    text_clear(&g);
    text_clear(&m);
    return ok;
}

static void dose_lines(const struct plan_step *s, struct text *out)
{
    for (size_t i = 0; i < s->weighs; i++) {
        text_addf(out, "%s%s %s", i ? "; " : "", s->weigh[i].role,
                  s->weigh[i].name);
        if (isnan(s->weigh[i].pct))
            continue;
        text_add(out, ": ");
        text_add_real(out, s->weigh[i].pct, 2);
        text_add(out, " %");
    }
}

static void after_words(const struct plan_step *s, struct text *out)
{
    for (size_t i = 0; i < s->job.afters; i++)
        text_addf(out, "%s%zu", i ? ", " : "", s->job.after[i] + 1);
}

static void vessel_words(const struct plan_step *s, struct text *out)
{
    if (s->job.jar)
        text_add(out, "jar in ");
    if (s->pot)
        text_addf(out, "pot %d", s->pot);
    if (s->burner)
        text_addf(out, ", burner %d", s->burner);
}

/* The skeins of a step; an extraction's are those of its first bath. */
static bool step_skeins(struct making *k, const struct plan_step *s,
                        struct text *out, struct error *err)
{
    const struct plan *p = &k->plan;

    if (s->kind == PLAN_EXTRACT)
        for (size_t i = 0; i < p->steps; i++)
            if (p->step[i].kind == PLAN_DYE && p->step[i].round == 0 &&
                p->step[i].liquor == s->liquor)
                return labels(k, p->step[i].skein, p->step[i].skeins, out, err);
    return labels(k, s->skein, s->skeins, out, err);
}

/* "60 min", "12 h", "2 days" */
static void time_words(int min, struct text *out)
{
    if (min % 1440 == 0 && min > 0)
        text_addf(out, "%d day%s", min / 1440, min == 1440 ? "" : "s");
    else if (min % 60 == 0 && min > 120)
        text_addf(out, "%d h", min / 60);
    else
        text_addf(out, "%d min", min);
}

static void whole(int n, char out[16])
{
    snprintf(out, 16, "%d", n);
}

static bool keep_step(struct making *k, size_t i, struct error *err)
{
    const struct plan_step *s = &k->plan.step[i];
    struct id_words project = id_words(k->project);
    struct text t[6] = {{0}}, water = {0}, heat = {0};
    char n[7][16], begins[17];
    int64_t id;
    bool ok = step_skeins(k, s, &t[0], err);

    moment_iso(moment_add((struct moment){k->now.day, 0}, s->start_min),
               begins);
    dose_lines(s, &t[1]);
    after_words(s, &t[2]);
    vessel_words(s, &t[3]);
    time_words(s->hold_min, &t[4]);
    if (s->liquor)
        text_addf(&t[5], "%s, %s", k->words->name,
                  k->plan.liquor[s->liquor - 1]);
    real_words(s->water_l, "l", &water);
    real_words(s->heat_c, "C", &heat);
    if (isnan(s->heat_c) && s->kind != PLAN_SOAK && s->kind != PLAN_RINSE)
        text_add(&heat, "cold");
    whole((int)i + 1, n[0]);
    whole(s->round, n[1]);
    whole(s->job.minutes, n[2]);
    whole(s->job.attended_min, n[3]);
    whole(s->job.burner_min, n[4]);
    whole(s->job.pot_min, n[5]);
    whole((int)s->job.jar, n[6]);
    const struct record_value v[] = {
        {"project", project.s},
        {"number", n[0]},
        {"kind", plan_kind_names[s->kind]},
        {"name", text_str(&s->title)},
        {"skeins", text_str(&t[0])},
        {"doses", text_str(&t[1])},
        {"volume", text_str(&water)},
        {"temperature", text_str(&heat)},
        {"minutes", text_str(&t[4])},
        {"source", s->source},
        {"liquor", text_str(&t[5])},
        {"round", s->round < 0 ? NULL : n[1]},
        {"vessel", text_str(&t[3])},
        {"begins", begins},
        {"takes", n[2]},
        {"attended", n[3]},
        {"burner", n[4]},
        {"in-pot", n[5]},
        {"jar", n[6]},
        {"after", text_str(&t[2])},
    };
    ok = ok && record_add(k->book, NOUN_TASK, v, ARRAY_LEN(v), &id, NULL, err);
    for (size_t c = 0; c < ARRAY_LEN(t); c++)
        text_clear(&t[c]);
    text_clear(&water);
    text_clear(&heat);
    return ok;
}

static bool keep(struct making *k, struct project *out, struct error *err)
{
    bool ok = book_act_begin(k->book, "plan make", err) && add_project(k, err);

    for (size_t i = 0; ok && i < k->plan.skeins; i++)
        ok = keep_skein(k, i, err);
    for (size_t i = 0; ok && i < k->wishes; i++)
        ok = keep_wish(k, i, err);
    for (size_t i = 0; ok && i < k->plan.steps; i++)
        ok = keep_step(k, i, err);
    ok = ok && project_read(k->book, k->project, out, err);
    if (ok && !k->words->only_try) {
        ok = book_act_end(k->book, err);
        if (!ok)
            project_clear(out);
    }
    book_act_cancel(k->book);
    return ok;
}

/* ---- the whole --------------------------------------------------------------
 */

static bool read_ready(struct making *k, struct error *err)
{
    k->now = k->ready = moment_now();
    return !parts_said(k->words->ready) ||
           project_ready(k->words->ready, k->now, &k->ready, err);
}

static bool plan(struct making *k, struct error *err)
{
    struct moment midnight = {k->now.day, 0};
    int begin = k->now.minute + (5 - k->now.minute % 5) % 5;
    int ready =
        parts_said(k->words->ready) ? moment_between(midnight, k->ready) : -1;

    return habits_read(k->book, k->words->times, k->skein, k->skeins,
                       &k->habits, err) &&
           (k->ways.habit = k->habits.habit, k->ways.habits = k->habits.count,
            plan_make(k->skein, k->skeins, &k->ways, &k->plan, err)) &&
           (k->ways.tests == 0 || making_add_tests(k, err)) &&
           plan_schedule(&k->plan, &k->ways, begin, ready, &k->late, err);
}

static bool check_name(struct making *k, struct error *err)
{
    struct error none;
    int64_t id;

    if (!parts_said(k->words->name))
        return error_set(err, ERR_INPUT, "say what you call the project");
    if (!record_find(k->book, NOUN_PROJECT, k->words->name, &id, &none))
        return true;
    return error_set(err, ERR_INPUT,
                     "there is a project \"%s\" already; give this one another "
                     "name, or %s",
                     k->words->name,
                     face_says("withdraw that one: hanklab project withdraw",
                               "withdraw that one on its record's page"));
}

static void making_clear(struct making *k)
{
    for (size_t i = 0; i < k->wishes; i++) {
        recipe_clear(&k->wanted[i].recipe);
        free(k->wanted[i].name);
        free(k->wanted[i].amount);
        free(k->wanted[i].ids);
    }
    for (size_t i = 0; i < k->owns; i++)
        free(k->owned[i]);
    free(k->wanted);
    free(k->planned);
    plan_clear(&k->plan);
    habits_clear(&k->habits);
    text_clear(&k->said);
    free(k);
}

bool project_make(struct book *book, const struct project_words *words,
                  struct project *out, struct text *echo, struct error *err)
{
    struct making *k = mem_new(1, sizeof *k);
    bool ok;

    *out = (struct project){.id = 0};
    k->book = book;
    k->words = words;
    k->echo = echo;
    k->ways = plan_usual();
    ok = check_name(k, err) && project_ways(words, &k->ways, err) &&
         read_ready(k, err) && making_read_planned(k, err) &&
         making_read(k, err) && plan(k, err);
    if (ok) {
        say(k);
        ok = keep(k, out, err);
    }
    making_clear(k);
    return ok;
}
