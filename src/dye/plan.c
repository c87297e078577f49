/* Pots and steps of a project. See dye/plan.h. */
#include "dye/plan_work.h"

#include <assert.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "dye/amount.h"
#include "dye/reckon.h"

/* A liquor in a pot of its own, and its rounds. */
struct chain {
    size_t like;   /* one of its skeins, whose dyestuffs are its own */
    bool saddened; /* its skeins from the first on */
    double load_g[PLAN_ROUNDS];
    size_t liquor; /* from 1 */
};

struct work {
    const struct plan_ways *ways;
    struct plan *plan;
    double pot_g; /* fibre that a pot takes */
    struct chain chain[PLAN_SKEINS];
    size_t chains;
    size_t *chain_of; /* each skein's */
    size_t *behind;   /* each skein's last step, from 1; 0: none yet */
};

/* ---- skeins ----------------------------------------------------------------
 */

static bool check_skein(const struct plan_skein *s, struct error *err)
{
    if (!(s->g > 0) || isinf(s->g))
        return error_set(err, ERR_INPUT,
                         "a skein has to weigh something: say its grams, or "
                         "its metres and how many a gram has");
    if (s->dyestuffs.count == 0)
        return error_set(err, ERR_INPUT, "say what a skein shall be dyed with");
    if (s->round < 0 || s->round >= PLAN_ROUNDS)
        return error_set(err, ERR_LIMIT, "at most exhaust %d can be planned",
                         PLAN_ROUNDS - 1);
    return (s->mordanted || plan_doses_may_be(&s->mordants, err)) &&
           plan_doses_may_be(&s->dyestuffs, err) &&
           plan_doses_may_be(&s->assists, err) &&
           plan_doses_may_be(&s->dips, err);
}

static size_t add_skein(struct work *w, const struct plan_skein *s)
{
    struct plan *p = w->plan;
    struct plan_skein *own;

    p->skein = mem_room(p->skein, p->skeins, sizeof *p->skein);
    own = &p->skein[p->skeins];
    *own = *s;
    /* Said in another order they are the same liquor; mordants come one after
     * the other. */
    plan_doses_sort(&own->dyestuffs);
    plan_doses_sort(&own->assists);
    plan_doses_sort(&own->dips);
    plan_doses_sadden_last(&own->mordants);
    return p->skeins++;
}

/* ---- liquors --------------------------------------------------------------
 */

/* Skeins of one liquor in the order they go into it: by round, the heavier
 * first. */
struct members {
    size_t skein[PLAN_SKEINS], count;
};

static bool goes_before(const struct plan_skein *a, const struct plan_skein *b)
{
    return a->round != b->round ? a->round < b->round : a->g > b->g;
}

static struct members members_of(const struct plan *p, size_t like)
{
    struct members m = {.count = 0};

    for (size_t i = 0; i < p->skeins; i++) {
        size_t at = m.count;
        if (!plan_doses_same(&p->skein[i].dyestuffs, &p->skein[like].dyestuffs))
            continue;
        while (at > 0 &&
               goes_before(&p->skein[i], &p->skein[m.skein[at - 1]])) {
            m.skein[at] = m.skein[at - 1];
            at--;
        }
        m.skein[at] = i;
        m.count++;
    }
    return m;
}

/* The pot of this liquor for a round: the emptiest that
 * has room, from 1; 0: there is none. */
static size_t pot_for(const struct work *w, size_t first, bool saddened,
                      const struct plan_skein *s)
{
    size_t best = 0;

    for (size_t c = first; c < w->chains; c++) {
        const double *load = w->chain[c].load_g;
        bool fits = load[s->round] + s->g <= w->pot_g * (1 + 1e-9);
        if (w->chain[c].saddened != saddened || !fits)
            continue;
        if (!best || load[s->round] < w->chain[best - 1].load_g[s->round])
            best = c + 1;
    }
    return best;
}

static void open_pot(struct work *w, size_t like, bool saddened)
{
    assert(w->chains < PLAN_SKEINS);
    w->chain[w->chains++] = (struct chain){.like = like, .saddened = saddened};
}

static const struct plan_doses *dyestuffs_of(const struct work *w, size_t chain)
{
    return &w->plan->skein[w->chain[chain].like].dyestuffs;
}

/* Skeins with iron, copper or tin may follow the others into a liquor, but
 * none may follow them. */
static bool must_part(const struct plan *p, const struct members *m)
{
    int plain_last = -1, saddened_first = PLAN_ROUNDS;

    for (size_t i = 0; i < m->count; i++) {
        const struct plan_skein *s = &p->skein[m->skein[i]];
        if (!plan_doses_sadden(&s->mordants) && s->round > plain_last)
            plain_last = s->round;
        else if (plan_doses_sadden(&s->mordants) && s->round < saddened_first)
            saddened_first = s->round;
    }
    return saddened_first <= plain_last;
}

static void note_saddening(struct work *w, const struct members *m, bool part)
{
    const struct plan *p = w->plan;
    bool plain = false, saddened = false;

    for (size_t i = 0; i < m->count; i++)
        if (plan_doses_sadden(&p->skein[m->skein[i]].mordants))
            saddened = true;
        else
            plain = true;
    if (!plain || !saddened)
        return;
    plan_doses_names(&p->skein[m->skein[0]].dyestuffs, &w->plan->notes);
    text_add(&w->plan->notes,
             part ? ": skeins with iron, copper or tin have a pot of their "
                    "own, for they can sadden the others (common practice)\n"
                  : ": skeins with iron, copper or tin go in last, for they "
                    "can sadden the others (common practice)\n");
}

/* A round that nobody wanted before one that somebody did. */
static void fill_rounds(struct work *w, size_t c)
{
    struct chain *chain = &w->chain[c];
    int last = 0;

    for (int r = 0; r < PLAN_ROUNDS; r++)
        last = chain->load_g[r] > 0 ? r : last;
    for (int r = last - 1; r >= 0; r--) {
        struct plan_skein filler = {.g = 0};
        if (chain->load_g[r] > 0)
            continue;
        for (size_t i = 0; i < w->plan->skeins; i++)
            if (w->chain_of[i] == c && w->plan->skein[i].round == r + 1)
                filler = w->plan->skein[i];
        filler.g = chain->load_g[r + 1];
        filler.round = r;
        filler.dips.count = 0;
        filler.mordanted = false;
        filler.why = PLAN_FILLER;
        chain->load_g[r] = filler.g;
        w->chain_of[add_skein(w, &filler)] = c;
        plan_doses_names(dyestuffs_of(w, c), &w->plan->notes);
        text_add(&w->plan->notes, r ? ": nobody wants exhaust "
                                    : ": nobody wants the first bath");
        if (r)
            text_addf(&w->plan->notes, "%d", r);
        text_add(&w->plan->notes,
                 ", which has to come before; another skein goes into it\n");
    }
}

/* Rounds behind the last one, for tests. */
static bool add_tests(struct work *w, size_t c, struct error *err)
{
    struct plan_skein test = {.g = 0};
    int last = -1;

    for (size_t i = 0; i < w->plan->skeins; i++)
        if (w->chain_of[i] == c && w->plan->skein[i].round > last) {
            test = w->plan->skein[i];
            last = test.round;
        }
    for (int i = 0; i < w->ways->tests; i++) {
        if (w->plan->skeins == PLAN_SKEINS || last + 1 == PLAN_ROUNDS)
            return error_set(err, ERR_LIMIT,
                             "that is more than can be "
                             "planned at once: fewer tests");
        test.g = w->ways->test_g;
        test.round = ++last;
        test.dips.count = 0;
        test.mordanted = false;
        test.why = PLAN_TEST;
        w->chain[c].load_g[last] = test.g;
        w->chain_of[add_skein(w, &test)] = c;
    }
    return true;
}

/* The dyestuff is weighed for the first bath alone. */
static void note_heavier(struct work *w, size_t c)
{
    const double *load = w->chain[c].load_g;
    struct text *t = &w->plan->notes;

    for (int r = 1; r < PLAN_ROUNDS; r++) {
        if (load[r] <= load[0] * (1 + 1e-9))
            continue;
        text_addf(
            t, "%s, exhaust %d: ", w->plan->liquor[w->chain[c].liquor - 1], r);
        amount_add_grams(t, load[r], load[r]);
        text_add(t, " of fibre, more than the ");
        amount_add_grams(t, load[0], load[0]);
        text_add(t, " of the first bath, for which the dyestuff is weighed: "
                    "paler than an exhaust of as much fibre\n");
    }
}

static void note_pots(struct work *w, size_t first, bool part)
{
    size_t n = w->chains - first;

    if (n < 2 || (part && n == 2))
        return;
    plan_doses_names(dyestuffs_of(w, first), &w->plan->notes);
    text_addf(&w->plan->notes, ": %zu pots, for one takes ", n);
    amount_add_grams(&w->plan->notes, w->pot_g, w->pot_g);
    text_add(&w->plan->notes, " of fibre; each has its own dyestuff weighed\n");
}

static void share_liquor(struct work *w, size_t like)
{
    const struct members m = members_of(w->plan, like);
    bool part = must_part(w->plan, &m);
    size_t first = w->chains;

    for (size_t i = 0; i < m.count; i++) {
        const struct plan_skein *s = &w->plan->skein[m.skein[i]];
        bool saddened = part && plan_doses_sadden(&s->mordants);
        size_t c = pot_for(w, first, saddened, s);
        if (!c) {
            open_pot(w, m.skein[i], saddened);
            c = w->chains;
        }
        w->chain[c - 1].load_g[s->round] += s->g;
        w->chain_of[m.skein[i]] = c - 1;
    }
    note_saddening(w, &m, part);
    note_pots(w, first, part);
}

static void name_liquors(struct work *w)
{
    struct plan *p = w->plan;

    for (size_t c = 0; c < w->chains; c++) {
        struct text name = {0};
        size_t nth = 1;
        plan_doses_names(dyestuffs_of(w, c), &name);
        for (size_t k = 0; k < c; k++) {
            struct text other = {0};
            plan_doses_names(dyestuffs_of(w, k), &other);
            nth += text_same(text_str(&name), text_str(&other));
            text_clear(&other);
        }
        if (nth > 1)
            text_addf(&name, " %zu", nth);
        p->liquor[p->liquors++] = text_take(&name);
        w->chain[c].liquor = p->liquors;
    }
}

static bool share_liquors(struct work *w, struct error *err)
{
    size_t wanted = w->plan->skeins, chains;

    for (size_t i = 0; i < wanted; i++)
        w->chain_of[i] = SIZE_MAX;
    for (size_t i = 0; i < wanted; i++)
        if (w->chain_of[i] == SIZE_MAX)
            share_liquor(w, i);
    chains = w->chains;
    for (size_t c = 0; c < chains; c++) {
        if (w->plan->skeins + PLAN_ROUNDS > PLAN_SKEINS)
            return error_set(err, ERR_LIMIT,
                             "that is more than can be planned at once: make "
                             "two projects of it");
        fill_rounds(w, c);
        if (!add_tests(w, c, err))
            return false;
    }
    name_liquors(w);
    for (size_t c = 0; c < chains; c++)
        note_heavier(w, c);
    return true;
}

/* ---- steps ------------------------------------------------------------------
 */

static void wait_for(struct plan_step *s, size_t step)
{
    struct schedule_job *j = &s->job;

    for (size_t i = 0; i < j->afters; i++)
        if (j->after[i] == step)
            return;
    assert(j->afters < SCHEDULE_AFTER);
    j->after[j->afters++] = step;
}

static struct plan_step *add_step(struct work *w, enum plan_kind kind)
{
    struct plan *p = w->plan;
    struct plan_step *s;

    p->step = mem_room(p->step, p->steps, sizeof *p->step);
    s = &p->step[p->steps++];
    *s = (struct plan_step){.kind = kind, .water_l = (double)NAN, .round = -1};
    text_add(&s->title, plan_kind_names[kind]);
    return s;
}

/* A skein goes into the step, which waits for its last one. */
static void put_in(struct work *w, struct plan_step *s, size_t skein)
{
    s->skein[s->skeins++] = skein;
    s->fibre_g += w->plan->skein[skein].g;
    if (w->behind[skein])
        wait_for(s, w->behind[skein] - 1);
}

/* From now on its skeins wait for it. */
static void is_last(struct work *w, const struct plan_step *s)
{
    for (size_t i = 0; i < s->skeins; i++)
        w->behind[s->skein[i]] = (size_t)(s - w->plan->step) + 1;
}

static void weigh(struct plan_step *s, const struct plan_doses *d,
                  const char *role, double fibre_g)
{
    for (size_t i = 0; i < d->count; i++)
        s->weigh[s->weighs++] =
            (struct plan_weigh){role, d->dose[i].name, d->dose[i].pct,
                                wof_grams(d->dose[i].pct, fibre_g)};
}

static void finish(struct work *w, struct plan_step *s,
                   const struct plan_doses *of)
{
    double jar_g =
        liquor_fibre_g(w->ways->jar_l * PLAN_FILLED, w->ways->l_per_kg);

    plan_set_time(s, w->ways, of);
    if (s->kind != PLAN_SOAK && s->kind != PLAN_RINSE)
        s->water_l = liquor_l(w->ways->l_per_kg, s->fibre_g);
    s->jar = s->job.pot_min > 0 && w->ways->means.jars > 0 &&
             s->fibre_g <= jar_g * (1 + 1e-9);
}

static void soak(struct work *w)
{
    struct plan_step *s = add_step(w, PLAN_SOAK);

    text_add(&s->title, " all skeins");
    for (size_t i = 0; i < w->plan->skeins; i++)
        put_in(w, s, i);
    finish(w, s, NULL);
    is_last(w, s);
}

/* Whether two skeins have their nth mordant from one bath. */
static bool same_bath(const struct plan_skein *a, const struct plan_skein *b,
                      size_t nth)
{
    return !b->mordanted && nth < b->mordants.count &&
           plan_dose_same(&a->mordants.dose[nth], &b->mordants.dose[nth]) &&
           (nth > 0 || plan_doses_same(&a->assists, &b->assists));
}

/* One pot of a mordant: of those not yet in one, as many as it takes. */
static void mordant_some(struct work *w, size_t like, size_t nth, bool *in)
{
    struct plan_skein *first = &w->plan->skein[like];
    const struct plan_doses one = {{first->mordants.dose[nth]}, 1};
    struct plan_step *s = add_step(w, PLAN_MORDANT);

    for (size_t i = like; i < w->plan->skeins; i++)
        if (!in[i] && same_bath(first, &w->plan->skein[i], nth) &&
            (s->skeins == 0 ||
             s->fibre_g + w->plan->skein[i].g <= w->pot_g * (1 + 1e-9))) {
            in[i] = true;
            put_in(w, s, i);
        }
    text_add(&s->title, ": ");
    plan_doses_words(&one, &s->title);
    weigh(s, &one, "mordant", s->fibre_g);
    if (nth == 0) {
        if (first->assists.count)
            text_add(&s->title, ", ");
        plan_doses_words(&first->assists, &s->title);
        weigh(s, &first->assists, "assist", s->fibre_g);
    }
    finish(w, s, &one);
    is_last(w, s);
}

static void mordant(struct work *w)
{
    for (size_t nth = 0; nth < PLAN_DOSES; nth++) {
        bool in[PLAN_SKEINS] = {false};
        for (size_t i = 0; i < w->plan->skeins; i++)
            while (!in[i] && !w->plan->skein[i].mordanted &&
                   nth < w->plan->skein[i].mordants.count)
                mordant_some(w, i, nth, in);
    }
}

static void add_round(struct text *t, int round)
{
    if (round == 0)
        text_add(t, ", first bath");
    else
        text_addf(t, ", exhaust %d", round);
}

static size_t extract(struct work *w, size_t chain)
{
    const struct chain *c = &w->chain[chain];
    const struct plan_doses *dyestuffs = dyestuffs_of(w, chain);
    struct plan_step *s = add_step(w, PLAN_EXTRACT);

    text_addf(&s->title, ": %s", w->plan->liquor[c->liquor - 1]);
    s->fibre_g = c->load_g[0];
    s->liquor = c->liquor;
    weigh(s, dyestuffs, "dyestuff", c->load_g[0]);
    finish(w, s, dyestuffs);
    return w->plan->steps - 1;
}

/* Dips of skeins that came out of one pot. */
static void dip(struct work *w, size_t chain, int round)
{
    for (size_t i = 0; i < w->plan->skeins; i++) {
        const struct plan_skein *first = &w->plan->skein[i];
        struct plan_step *s;
        bool done = false;
        if (w->chain_of[i] != chain || first->round != round ||
            first->dips.count == 0)
            continue;
        for (size_t k = 0; k < i; k++)
            done =
                done ||
                (w->chain_of[k] == chain && w->plan->skein[k].round == round &&
                 plan_doses_same(&w->plan->skein[k].dips, &first->dips));
        if (done)
            continue;
        s = add_step(w, PLAN_DIP);
        for (size_t k = i; k < w->plan->skeins; k++)
            if (w->chain_of[k] == chain && w->plan->skein[k].round == round &&
                plan_doses_same(&w->plan->skein[k].dips, &first->dips))
                put_in(w, s, k);
        text_add(&s->title, ": ");
        plan_doses_words(&first->dips, &s->title);
        weigh(s, &first->dips, "modifier", s->fibre_g);
        finish(w, s, &first->dips);
        is_last(w, s);
    }
}

static void rinse(struct work *w, size_t chain, int round)
{
    struct plan_step *s = add_step(w, PLAN_RINSE);

    text_addf(&s->title, " and dry: %s",
              w->plan->liquor[w->chain[chain].liquor - 1]);
    add_round(&s->title, round);
    for (size_t i = 0; i < w->plan->skeins; i++)
        if (w->chain_of[i] == chain && w->plan->skein[i].round == round)
            put_in(w, s, i);
    finish(w, s, NULL);
}

static void dye(struct work *w, size_t chain)
{
    const struct chain *c = &w->chain[chain];
    size_t before = extract(w, chain);

    for (int r = 0; r < PLAN_ROUNDS && c->load_g[r] > 0; r++) {
        struct plan_step *s = add_step(w, PLAN_DYE);
        wait_for(s, before);
        text_addf(&s->title, ": %s", w->plan->liquor[c->liquor - 1]);
        add_round(&s->title, r);
        for (size_t i = 0; i < w->plan->skeins; i++)
            if (w->chain_of[i] == chain && w->plan->skein[i].round == r)
                put_in(w, s, i);
        s->liquor = c->liquor;
        s->round = r;
        finish(w, s, dyestuffs_of(w, chain));
        is_last(w, s);
        before = w->plan->steps - 1;
        dip(w, chain, r);
        rinse(w, chain, r);
    }
}

/* ---- what fits ------------------------------------------------------------
 */

/* What a vessel has to hold for so much liquor, rounded up to a tenth. */
static double vessel_l(double water_l)
{
    return ceil(water_l / PLAN_FILLED * 10 - 1e-9) / 10;
}

bool plan_pot_holds(const char *title, double water_l, double pot_l,
                    struct error *err)
{
    return !(water_l > pot_l * PLAN_FILLED * (1 + 1e-9)) ||
           error_set(err, ERR_INPUT,
                     "\"%.80s\" takes %.4g l and so a pot of %.4g l, filled "
                     "to three quarters; yours hold %.4g l: larger pots, less "
                     "water or lighter skeins are needed",
                     title, water_l, vessel_l(water_l), pot_l);
}

/* Jars that are as hot for as long may share a water bath. */
static void number_jars(struct plan *p)
{
    size_t next = 1;

    for (size_t i = 0; i < p->steps; i++) {
        struct plan_step *s = &p->step[i];
        for (size_t k = 0; k < i && s->jar && !s->job.jar; k++) {
            const struct plan_step *o = &p->step[k];
            if (o->job.jar && o->heat_c == s->heat_c &&
                o->job.minutes == s->job.minutes &&
                o->job.attended_min == s->job.attended_min &&
                o->job.burner_min == s->job.burner_min &&
                o->job.pot_min == s->job.pot_min)
                s->job.jar = o->job.jar;
        }
        if (s->jar && !s->job.jar)
            s->job.jar = next++;
    }
}

/* By the step that takes most, so that what is said suffices for all. */
static bool check_pots(const struct work *w, struct error *err)
{
    const struct plan_step *most = NULL;

    for (size_t i = 0; i < w->plan->steps; i++) {
        const struct plan_step *s = &w->plan->step[i];
        if (s->job.pot_min > 0 && (!most || s->water_l > most->water_l))
            most = s;
    }
    return !most || plan_pot_holds(text_str(&most->title), most->water_l,
                                   w->ways->pot_l, err);
}

static void note_no_jar(struct work *w)
{
    const struct plan_step *least = NULL;

    for (size_t i = 0; i < w->plan->steps; i++) {
        const struct plan_step *s = &w->plan->step[i];
        if (s->jar)
            return;
        if (s->job.pot_min > 0 && (!least || s->water_l < least->water_l))
            least = s;
    }
    if (!least || w->ways->means.jars == 0)
        return;
    text_add(&w->plan->notes, "no step fits a jar of ");
    text_add_real(&w->plan->notes, w->ways->jar_l, 2);
    text_addf(&w->plan->notes, " l: the smallest, \"%s\", needs one of ",
              text_str(&least->title));
    text_add_real(&w->plan->notes, vessel_l(least->water_l), 1);
    text_add(&w->plan->notes, " l; all are planned in pots\n");
}

static bool check_ways(const struct plan_ways *ways, struct error *err)
{
    const struct schedule_means *m = &ways->means;

    if (!(ways->l_per_kg > 0) || !(ways->pot_l > 0) ||
        (m->jars > 0 && !(ways->jar_l > 0)) || m->pots < 1 || m->burners < 1)
        return error_set(err, ERR_INPUT,
                         "a pot, a burner and water are needed: say how many "
                         "and how large");
    if (m->up_min < 0 || m->to_bed_min > 1440 || m->up_min >= m->to_bed_min)
        return error_set(err, ERR_INPUT,
                         "the day has to begin before it ends: \"8-22\"");
    return ways->tests == 0 || ways->test_g > 0 ||
           error_set(err, ERR_INPUT, "say what a test skein weighs");
}

static void make_steps(struct work *w)
{
    soak(w);
    mordant(w);
    for (size_t c = 0; c < w->chains; c++)
        dye(w, c);
    number_jars(w->plan);
    note_no_jar(w);
}

bool plan_make(const struct plan_skein *skein, size_t skeins,
               const struct plan_ways *ways, struct plan *out,
               struct error *err)
{
    struct work *w;
    bool ok;

    *out = (struct plan){.skeins = 0};
    if (skeins == 0)
        return error_set(err, ERR_INPUT, "say which colours are wanted");
    if (skeins > PLAN_SKEINS / 2)
        return error_set(err, ERR_LIMIT, "at most %d skeins in one plan",
                         PLAN_SKEINS / 2);
    if (!check_ways(ways, err))
        return false;
    w = mem_new(1, sizeof *w);
    *w = (struct work){.ways = ways, .plan = out};
    w->pot_g = liquor_fibre_g(ways->pot_l * PLAN_FILLED, ways->l_per_kg);
    w->chain_of = mem_new(PLAN_SKEINS, sizeof *w->chain_of);
    w->behind = mem_new(PLAN_SKEINS, sizeof *w->behind);
    ok = true;
    for (size_t i = 0; ok && i < skeins; i++) {
        ok = check_skein(&skein[i], err);
        add_skein(w, &skein[i]);
    }
    if (ok)
        plan_join_later_rounds(out);
    ok = ok && share_liquors(w, err);
    if (ok)
        make_steps(w);
    ok = ok && check_pots(w, err);
    if (ok && out->steps > SCHEDULE_MOST)
        ok = error_set(err, ERR_LIMIT,
                       "that is more than can be planned at once: make two "
                       "projects of it");
    free(w->chain_of);
    free(w->behind);
    free(w);
    if (!ok)
        plan_clear(out);
    return ok;
}

void plan_clear(struct plan *plan)
{
    for (size_t i = 0; i < plan->steps; i++) {
        text_clear(&plan->step[i].title);
        free(plan->step[i].source);
    }
    for (size_t i = 0; i < plan->liquors; i++)
        free(plan->liquor[i]);
    free(plan->step);
    free(plan->skein);
    text_clear(&plan->notes);
    *plan = (struct plan){.skeins = 0};
}
