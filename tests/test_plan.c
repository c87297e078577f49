/*
 * What goes into which pot, how much of it, and when. Percentages are worked as
 * in docs/worked.md; what may share a pot is common practice, no source (iron,
 * copper and tin sadden); the rest is looked at as a whole: everything that was
 * asked for happens once, in an order that can be.
 */
#include "support.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "dye/plan.h"
#include "dye/substance.h"

#define ONE(n, p)                                                              \
    {                                                                          \
        {{n, p}}, 1                                                            \
    }

static const struct plan_skein alum_madder = {
    .g = 20, .dyestuffs = ONE("madder", 60), .mordants = ONE("alum", 12)};

static struct plan made(const struct plan_skein *skein, size_t n,
                        const struct plan_ways *ways)
{
    struct plan p;
    struct error err;

    check_ok(plan_make(skein, n, ways, &p, &err), &err);
    return p;
}

static const struct plan_step *step_at(const struct plan *p,
                                       enum plan_kind kind, size_t nth)
{
    for (size_t i = 0; i < p->steps; i++)
        if (p->step[i].kind == kind && nth-- == 0)
            return &p->step[i];
    fail_msg("there is no such %s", plan_kind_names[kind]);
    return NULL;
}

static size_t count(const struct plan *p, enum plan_kind kind)
{
    size_t n = 0;

    for (size_t i = 0; i < p->steps; i++)
        n += p->step[i].kind == kind;
    return n;
}

/* ---- what may never be
 * -------------------------------------------------------
 */

static bool saddened(const struct plan_skein *s)
{
    for (size_t i = 0; i < s->mordants.count; i++)
        if (substance_saddens(s->mordants.dose[i].name))
            return true;
    return false;
}

static bool has(const struct plan_step *s, size_t skein)
{
    for (size_t i = 0; i < s->skeins; i++)
        if (s->skein[i] == skein)
            return true;
    return false;
}

/* No skein without iron, copper or tin is in a liquor with or after one with
 * it. */
static void check_saddening(const struct plan *p, const struct plan_step *dye)
{
    for (size_t i = 0; i < p->steps; i++) {
        const struct plan_step *o = &p->step[i];
        if (o->kind != PLAN_DYE || o->liquor != dye->liquor ||
            o->round > dye->round)
            continue;
        for (size_t a = 0; a < o->skeins; a++)
            for (size_t b = 0; b < dye->skeins; b++)
                assert_false(saddened(&p->skein[o->skein[a]]) &&
                             !saddened(&p->skein[dye->skein[b]]));
    }
}

static void check_weights(const struct plan *p, const struct plan_step *s)
{
    double g = 0;

    if (s->kind != PLAN_EXTRACT) {
        for (size_t i = 0; i < s->skeins; i++)
            g += p->skein[s->skein[i]].g;
    } else {
        for (size_t k = 0; k < p->steps; k++)
            if (p->step[k].kind == PLAN_DYE && p->step[k].round == 0 &&
                p->step[k].liquor == s->liquor)
                g += p->step[k].fibre_g;
    }
    check_near(text_str(&s->title), s->fibre_g, g, 1e-9);
    for (size_t i = 0; i < s->weighs; i++)
        if (!isnan(s->weigh[i].pct))
            check_near(s->weigh[i].name, s->weigh[i].g,
                       s->weigh[i].pct * g / 100, 1e-9);
}

/* Each skein: soaked, each of its mordants once, dyed once in the round it
 * wants, dipped, rinsed. */
static void check_skein(const struct plan *p, size_t k)
{
    const struct plan_skein *s = &p->skein[k];
    size_t n[PLAN_KINDS] = {0};

    for (size_t i = 0; i < p->steps; i++) {
        const struct plan_step *t = &p->step[i];
        if (!has(t, k))
            continue;
        n[t->kind]++;
        if (t->kind == PLAN_DYE)
            assert_int_equal(t->round, s->round);
        if (t->kind == PLAN_MORDANT)
            check_text("mordants in their order", t->weigh[0].name,
                       s->mordants.dose[n[PLAN_MORDANT] - 1].name);
    }
    assert_int_equal(n[PLAN_SOAK], 1);
    assert_int_equal(n[PLAN_MORDANT], s->mordanted ? 0 : s->mordants.count);
    assert_int_equal(n[PLAN_DYE], 1);
    assert_int_equal(n[PLAN_DIP], s->dips.count > 0);
    assert_int_equal(n[PLAN_RINSE], 1);
}

/* Steps wait for those before them, and each round for the one before. */
static void check_order(const struct plan *p, size_t i)
{
    const struct plan_step *s = &p->step[i];
    bool found = s->round <= 0;

    for (size_t k = 0; k < s->job.afters; k++) {
        const struct plan_step *b = &p->step[s->job.after[k]];
        assert_true(b->start_min + b->job.minutes <= s->start_min);
        found = found || (b->kind == PLAN_DYE && b->liquor == s->liquor &&
                          b->round == s->round - 1);
    }
    assert_true(s->kind != PLAN_DYE || found);
    for (size_t k = 0; k < i; k++) /* no later step of a skein comes before */
        for (size_t a = 0; a < s->skeins; a++)
            if (has(&p->step[k], s->skein[a]))
                assert_true(p->step[k].start_min + p->step[k].job.minutes <=
                            s->start_min);
}

static void check_plan(const struct plan *p, const struct plan_ways *ways)
{
    double pot_g = ways->pot_l * PLAN_FILLED / ways->l_per_kg * 1000;

    for (size_t k = 0; k < p->skeins; k++)
        check_skein(p, k);
    for (size_t i = 0; i < p->steps; i++) {
        const struct plan_step *s = &p->step[i];
        check_weights(p, s);
        check_order(p, i);
        if (s->kind == PLAN_DYE)
            check_saddening(p, s);
        if (s->job.pot_min && s->skeins > 1)
            assert_true(s->fibre_g <= pot_g + 1e-6);
        assert_true(isnan(s->heat_c) || s->heat_c <= PLAN_HOTTEST_C);
    }
    assert_true(p->bound_min <= p->end_min);
}

static void schedule(struct plan *p, const struct plan_ways *ways)
{
    struct error err;
    bool late;

    check_ok(plan_schedule(p, ways, 9 * 60, -1, &late, &err), &err);
    assert_false(late);
}

/* ---- examples ---------------------------------------------------------------
 */

/* Five colours for a blanket stripe from two dyestuffs, a hank of 100 g and
 * 400 m a colour group: madder 40 + 30 + 30 g, weld 60 + 40 g. */
static void test_a_blanket_stripe(void **state)
{
    struct plan_skein s[5];
    struct plan_ways ways = plan_usual();
    struct error err;
    bool late;

    (void)state;
    for (size_t i = 0; i < 5; i++) {
        static const double g[] = {40, 30, 30, 60, 40};
        static const int round[] = {0, 1, 2, 0, 1};
        s[i] = alum_madder;
        s[i].g = g[i];
        s[i].round = round[i];
        if (i > 2)
            s[i].dyestuffs = (struct plan_doses)ONE("weld", 100);
    }
    struct plan p = made(s, 5, &ways);
    assert_int_equal(p.skeins, 5);
    assert_int_equal(p.liquors, 2);
    assert_int_equal(count(&p, PLAN_MORDANT), 1); /* 200 g: one pot takes it */
    check_near("alum", step_at(&p, PLAN_MORDANT, 0)->weigh[0].g, 24, 1e-9);
    check_near("madder", step_at(&p, PLAN_EXTRACT, 0)->weigh[0].g, 24, 1e-9);
    check_near("weld", step_at(&p, PLAN_EXTRACT, 1)->weigh[0].g, 60, 1e-9);
    check_near("water", step_at(&p, PLAN_MORDANT, 0)->water_l, 6, 1e-9);
    /* From Friday 9 o'clock to Sunday 18 o'clock. */
    check_ok(plan_schedule(&p, &ways, 540, 2 * 1440 + 1080, &late, &err), &err);
    assert_false(late);
    assert_true(p.end_min <= 2 * 1440 + 1080);
    check_plan(&p, &ways);
    plan_clear(&p);
    p = made(s, 5, &ways);
    check_ok(plan_schedule(&p, &ways, 540, 1440, &late, &err), &err);
    assert_true(late);
    check_plan(&p, &ways);
    plan_clear(&p);
}

/* P01: 60 % on skeins of 18 and 31 g: 29.4 g for both together. */
static void test_two_mordants_share_a_liquor(void **state)
{
    struct plan_skein s[2] = {alum_madder, alum_madder};
    struct plan_ways ways = plan_usual();
    struct plan p;

    (void)state;
    s[0].g = 18;
    s[1].g = 31;
    s[1].mordants = (struct plan_doses)ONE("rhubarb leaf", 50);
    p = made(s, 2, &ways);
    assert_int_equal(p.liquors, 1);
    assert_int_equal(count(&p, PLAN_MORDANT), 2);
    check_near("P01", step_at(&p, PLAN_EXTRACT, 0)->weigh[0].g, 29.4, 1e-9);
    check_text("nothing to be said", text_str(&p.notes), "");
    plan_clear(&p);
}

static void test_iron_never_shares_with_alum(void **state)
{
    struct plan_skein s[3] = {alum_madder, alum_madder, alum_madder};
    struct plan_ways ways = plan_usual();
    struct plan p;

    (void)state;
    s[1].mordants = (struct plan_doses){{{"iron", 2}, {"alum", 12}}, 2};
    p = made(s, 2, &ways);
    assert_int_equal(p.liquors, 2);
    assert_non_null(strstr(text_str(&p.notes), "a pot of their own"));
    check_text("alum first", p.skein[1].mordants.dose[0].name, "alum");
    assert_int_equal(count(&p, PLAN_MORDANT), 2); /* alum for both, then iron */
    check_near("alum", step_at(&p, PLAN_MORDANT, 0)->weigh[0].g, 4.8, 1e-9);
    check_near("iron", step_at(&p, PLAN_MORDANT, 1)->weigh[0].g, 0.4, 1e-9);
    schedule(&p, &ways);
    check_plan(&p, &ways);
    plan_clear(&p);

    s[1].round = 1; /* behind the alum skein it may go in */
    p = made(s, 2, &ways);
    assert_int_equal(p.liquors, 1);
    assert_non_null(strstr(text_str(&p.notes), "go in last"));
    plan_clear(&p);

    s[2].round = 2; /* but not before one */
    p = made(s, 3, &ways);
    assert_int_equal(p.liquors, 2);
    schedule(&p, &ways);
    check_plan(&p, &ways);
    plan_clear(&p);
}

static void test_rounds_nobody_wants_are_filled(void **state)
{
    struct plan_skein s = alum_madder;
    struct plan_ways ways = plan_usual();
    struct plan p;

    (void)state;
    s.round = 2;
    p = made(&s, 1, &ways);
    assert_int_equal(p.skeins, 3);
    assert_int_equal(p.skein[1].why, PLAN_FILLER);
    assert_non_null(strstr(text_str(&p.notes), "nobody wants the first bath"));
    check_near("of its weight", step_at(&p, PLAN_EXTRACT, 0)->weigh[0].g, 12,
               1e-9);
    schedule(&p, &ways);
    check_plan(&p, &ways);
    plan_clear(&p);
}

/* Nothing new goes into an exhaust (common practice, no source), so that it
 * may be asked for without an amount. 60 % of 20 g: 12 g. */
static void test_a_later_round_without_an_amount_joins(void **state)
{
    struct plan_skein s[] = {alum_madder, alum_madder, alum_madder};
    struct plan_ways ways = plan_usual();

    (void)state;
    for (int i = 0; i < 2; i++) {
        s[i].round = 2 - i;
        s[i].dyestuffs.dose[0].pct = NAN;
    }
    struct plan p = made(s, 3, &ways);
    assert_int_equal(p.skeins, 3);
    assert_int_equal(p.liquors, 1);
    assert_int_equal(count(&p, PLAN_EXTRACT), 1);
    check_near("madder", step_at(&p, PLAN_EXTRACT, 0)->weigh[0].g, 12, 1e-9);
    check_text("nothing to say", text_str(&p.notes), "");
    schedule(&p, &ways);
    check_plan(&p, &ways);
    plan_clear(&p);

    s[1].round = 0; /* a first bath of an unknown weight is another */
    p = made(s, 3, &ways);
    assert_int_equal(p.liquors, 2);
    plan_clear(&p);

    s[1].dyestuffs.dose[0].pct = 30; /* two there are: the first is taken */
    p = made(s, 3, &ways);
    assert_non_null(strstr(text_str(&p.notes),
                           "madder, exhaust 2, without an amount: taken for "
                           "madder 30 %"));
    plan_clear(&p);

    s[0].dyestuffs = (struct plan_doses){{{"weld", NAN}, {"madder", NAN}}, 2};
    s[1].dyestuffs = (struct plan_doses){{{"madder", 30}, {"weld", 50}}, 2};
    p = made(s, 3, &ways); /* of two dyestuffs, in another order */
    assert_int_equal(p.liquors, 2);
    plan_clear(&p);
}

static void test_tests_come_behind_the_last_round(void **state)
{
    struct plan_ways ways = plan_usual();
    struct plan p;

    (void)state;
    ways.tests = 2;
    p = made(&alum_madder, 1, &ways);
    assert_int_equal(p.skeins, 3);
    assert_int_equal(p.skein[1].why, PLAN_TEST);
    assert_int_equal(p.skein[2].round, 2);
    check_near("alum for them too", step_at(&p, PLAN_MORDANT, 0)->weigh[0].g,
               4.8, 1e-9);
    check_near("dyestuff for the first bath alone",
               step_at(&p, PLAN_EXTRACT, 0)->weigh[0].g, 12, 1e-9);
    schedule(&p, &ways);
    check_plan(&p, &ways);
    plan_clear(&p);
}

/* L06: a pot of 8 l, filled to 6 l, takes 200 g at 30:1. */
static void test_what_is_too_much_is_shared_out(void **state)
{
    struct plan_skein s[5];
    struct plan_ways ways = plan_usual();
    struct plan p;

    (void)state;
    for (size_t i = 0; i < 5; i++) {
        s[i] = alum_madder;
        s[i].g = 100;
    }
    p = made(s, 5, &ways);
    assert_int_equal(count(&p, PLAN_MORDANT), 3);
    assert_int_equal(p.liquors, 3);
    assert_non_null(strstr(text_str(&p.notes), "3 pots"));
    check_text("its name", p.liquor[1], "madder 2");
    schedule(&p, &ways);
    check_plan(&p, &ways);
    plan_clear(&p);
}

/* L06: 300 g at 30:1 are 9 l, three quarters of 12 l; 8 l are filled to 6. */
static void test_what_no_pot_holds_is_refused(void **state)
{
    struct plan_skein s[2] = {alum_madder, alum_madder};
    struct plan_ways ways = plan_usual();
    struct plan p;
    struct error err;

    (void)state;
    s[0].g = 250;
    s[1].g = 300;
    assert_false(plan_make(s, 2, &ways, &p, &err));
    assert_int_equal(err.kind, ERR_INPUT);
    assert_non_null(strstr(err.text, "takes 9 l and so a pot of 12 l"));
    assert_non_null(strstr(err.text, "yours hold 8 l"));
    ways.pot_l = 12;
    p = made(s, 2, &ways);
    plan_clear(&p);
    ways.pot_l = 8;
    ways.l_per_kg = 20; /* less water: 6 l */
    p = made(s, 2, &ways);
    plan_clear(&p);
}

/* 10 g at 30:1 are 0.3 l, three quarters of 0.4 l. */
static void test_a_jar_that_nothing_fits_is_said(void **state)
{
    struct plan_skein s[2] = {alum_madder, alum_madder};
    struct plan_ways ways = plan_usual();
    struct plan p;

    (void)state;
    s[0].g = 10;
    s[0].dyestuffs.dose[0].name = "weld";
    ways.means.jars = 4;
    ways.jar_l = 0.25;
    p = made(s, 2, &ways);
    assert_non_null(strstr(text_str(&p.notes),
                           "no step fits a jar of 0.25 l: the smallest, "
                           "\"extract: weld\", needs one of 0.4 l"));
    plan_clear(&p);
    ways.jar_l = 0.4;
    p = made(s, 2, &ways);
    assert_null(strstr(text_str(&p.notes), "jar"));
    plan_clear(&p);
}

/* The dyestuff is weighed for the first bath's fibre alone. */
static void test_an_exhaust_of_more_fibre_is_said(void **state)
{
    struct plan_skein s[2] = {alum_madder, alum_madder};
    struct plan_ways ways = plan_usual();
    struct plan p;

    (void)state;
    s[1].round = 1;
    p = made(s, 2, &ways);
    check_text("as much is nothing to be said", text_str(&p.notes), "");
    plan_clear(&p);
    s[1].g = 45;
    p = made(s, 2, &ways);
    assert_non_null(strstr(text_str(&p.notes),
                           "madder, exhaust 1: 45 g of fibre, more than the "
                           "20 g of the first bath"));
    plan_clear(&p);
}

static void test_the_order_of_dyestuffs_makes_no_other_liquor(void **state)
{
    const struct plan_doses both = {{{"weld", 50}, {"madder", 20}}, 2};
    const struct plan_doses other = {{{"madder", 20}, {"weld", 50}}, 2};
    struct plan_skein s[2] = {alum_madder, alum_madder};
    struct plan_ways ways = plan_usual();
    struct plan p;

    (void)state;
    s[0].dyestuffs = both;
    s[1].dyestuffs = other;
    p = made(s, 2, &ways);
    assert_int_equal(p.liquors, 1);
    assert_int_equal(count(&p, PLAN_EXTRACT), 1);
    /* E. Mairet, Vegetable Dyes, 1916, and common practice: what is in it of
     * madder must not get hot, whichever was named first. */
    check_near("heat", step_at(&p, PLAN_DYE, 0)->heat_c, 65, 0);
    plan_clear(&p);
    s[1].dyestuffs.dose[0].pct = 25;
    p = made(s, 2, &ways);
    assert_int_equal(p.liquors, 2);
    plan_clear(&p);
}

/* Four liquors in jars of one bath take one burner, and end sooner. */
static void test_jars_end_sooner(void **state)
{
    static const char *const name[] = {"madder", "rust", "rose", "henna"};
    struct plan_skein s[4];
    struct plan_ways ways = plan_usual();
    struct plan pots, jars;

    (void)state;
    for (size_t i = 0; i < 4; i++) {
        s[i] = alum_madder;
        s[i].g = 15;
        s[i].dyestuffs.dose[0].name = i ? name[i] : "weld";
    }
    ways.means.burners = ways.means.pots = 1;
    pots = made(s, 4, &ways);
    schedule(&pots, &ways);
    ways.means.jars = 4;
    jars = made(s, 4, &ways);
    assert_true(step_at(&jars, PLAN_DYE, 0)->jar);
    schedule(&jars, &ways);
    check_plan(&pots, &ways);
    check_plan(&jars, &ways);
    assert_true(jars.end_min < pots.end_min);
    plan_clear(&pots);
    plan_clear(&jars);
}

static void test_the_dyers_own_way_is_taken(void **state)
{
    const struct plan_habit habit[] = {
        {PLAN_DYE, "madder", 70, false, 45, "as on 2026-05-03"},
        {PLAN_MORDANT, NULL, NAN, true, 2880, "as you said"}};
    struct plan_ways ways = plan_usual();
    struct plan p = made(&alum_madder, 1, &ways);

    (void)state;
    check_near("by custom", step_at(&p, PLAN_DYE, 0)->heat_c, 65, 0);
    assert_non_null(strstr(step_at(&p, PLAN_DYE, 0)->source, "Mairet"));
    plan_clear(&p);
    ways.habit = habit;
    ways.habits = 2;
    p = made(&alum_madder, 1, &ways);
    check_near("heat", step_at(&p, PLAN_DYE, 0)->heat_c, 70, 0);
    assert_int_equal(step_at(&p, PLAN_DYE, 0)->hold_min, 45);
    check_text("source", step_at(&p, PLAN_DYE, 0)->source, "as on 2026-05-03");
    assert_true(isnan(step_at(&p, PLAN_MORDANT, 0)->heat_c));
    assert_int_equal(step_at(&p, PLAN_MORDANT, 0)->job.pot_min, 0);
    assert_int_equal(step_at(&p, PLAN_MORDANT, 0)->job.minutes, 2880);
    plan_clear(&p);
}

/* Alum works cold too, in 24 to 72 h: common practice, no source. What is no
 * warmer than a room needs no stove. */
static void test_what_is_cold_needs_no_burner(void **state)
{
    static const struct {
        double heat_c;
        bool burner;
    } rows[] = {{0, false}, {20, false}, {30, false}, {31, true}};
    struct plan_ways ways = plan_usual();

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const struct plan_habit habit = {PLAN_MORDANT,   "alum",
                                         rows[i].heat_c, false,
                                         2880,           "as you said it"};
        const struct plan_step *m;
        struct plan p;

        ways.habit = &habit;
        ways.habits = 1;
        ways.means.to_bed_min = 1440;
        ways.means.up_min = 0;
        p = made(&alum_madder, 1, &ways);
        m = step_at(&p, PLAN_MORDANT, 0);
        assert_int_equal(m->job.burner_min > 0, rows[i].burner);
        assert_int_equal(m->job.pot_min > 0, rows[i].burner);
        assert_int_equal(m->hold_min, 2880);
        check_near("still said", m->heat_c, rows[i].heat_c, 0);
        schedule(&p, &ways);
        check_plan(&p, &ways);
        plan_clear(&p);
    }
}

static void test_chrome_and_tin_are_never_planned(void **state)
{
    static const char *const never[] = {"chrome", "stannous chloride"};
    struct plan_ways ways = plan_usual();

    (void)state;
    for (size_t i = 0; i < 2; i++) {
        struct plan_skein s = alum_madder;
        struct plan p;
        struct error err;
        s.mordants.dose[0].name = never[i];
        assert_false(plan_make(&s, 1, &ways, &p, &err));
        assert_int_equal(err.kind, ERR_INPUT);
        assert_non_null(strstr(err.text, "never planned"));
        s.mordanted = true; /* it was done; it still saddens */
        check_ok(plan_make(&s, 1, &ways, &p, &err), &err);
        assert_int_equal(count(&p, PLAN_MORDANT), 0);
        plan_clear(&p);
    }
}

static void test_refuses_what_is_no_plan(void **state)
{
    struct plan_ways ways = plan_usual();
    struct plan_skein s = alum_madder;
    struct plan p;
    struct error err;
    bool late;

    (void)state;
    assert_false(plan_make(&s, 0, &ways, &p, &err));
    s.g = 0;
    assert_false(plan_make(&s, 1, &ways, &p, &err));
    s.g = NAN;
    assert_false(plan_make(&s, 1, &ways, &p, &err));
    s = alum_madder;
    s.dyestuffs.count = 0;
    assert_false(plan_make(&s, 1, &ways, &p, &err));
    s = alum_madder;
    s.round = PLAN_ROUNDS;
    assert_false(plan_make(&s, 1, &ways, &p, &err));
    ways.means.pots = 0;
    assert_false(plan_make(&alum_madder, 1, &ways, &p, &err));
    ways = plan_usual();
    ways.means.to_bed_min = ways.means.up_min + 60;
    p = made(&alum_madder, 1, &ways);
    assert_false(plan_schedule(&p, &ways, 0, -1, &late, &err));
    assert_int_equal(err.kind, ERR_INPUT);
    plan_clear(&p);
}

/* ---- many -------------------------------------------------------------------
 */

static int below(uint64_t *s, int n)
{
    *s ^= *s << 13;
    *s ^= *s >> 7;
    *s ^= *s << 17;
    return (int)((*s >> 11) % (uint64_t)n);
}

static void test_every_plan_can_be_done(void **state)
{
    static const char *const dye[] = {"madder", "weld", "walnut hulls"};
    static const char *const mordant[] = {"alum", "iron", "copper sulfate"};
    uint64_t seed = 4;

    (void)state;
    for (int round = 0; round < 60; round++) {
        struct plan_skein s[8];
        struct plan_ways ways = plan_usual();
        size_t n = 1 + (size_t)below(&seed, 8);
        ways.tests = below(&seed, 2);
        ways.means.jars = below(&seed, 2) * 4;
        ways.means.pots = 1 + below(&seed, 3);
        ways.means.burners = 1 + below(&seed, 2);
        for (size_t i = 0; i < n; i++) {
            s[i] = alum_madder;
            s[i].g = 5 + below(&seed, 150);
            s[i].round = below(&seed, 3);
            s[i].mordanted = below(&seed, 5) == 0;
            s[i].dyestuffs.dose[0].name = dye[below(&seed, 3)];
            s[i].mordants.dose[0].name = mordant[below(&seed, 3)];
            if (below(&seed, 4) == 0)
                s[i].mordants =
                    (struct plan_doses){{{"iron", 2}, {"alum", 12}}, 2};
            if (below(&seed, 4) == 0)
                s[i].dips = (struct plan_doses)ONE("iron", 2);
        }
        struct plan p = made(s, n, &ways);
        schedule(&p, &ways);
        check_plan(&p, &ways);
        plan_clear(&p);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_a_blanket_stripe),
        cmocka_unit_test(test_two_mordants_share_a_liquor),
        cmocka_unit_test(test_iron_never_shares_with_alum),
        cmocka_unit_test(test_rounds_nobody_wants_are_filled),
        cmocka_unit_test(test_a_later_round_without_an_amount_joins),
        cmocka_unit_test(test_tests_come_behind_the_last_round),
        cmocka_unit_test(test_what_is_too_much_is_shared_out),
        cmocka_unit_test(test_what_no_pot_holds_is_refused),
        cmocka_unit_test(test_a_jar_that_nothing_fits_is_said),
        cmocka_unit_test(test_an_exhaust_of_more_fibre_is_said),
        cmocka_unit_test(test_the_order_of_dyestuffs_makes_no_other_liquor),
        cmocka_unit_test(test_jars_end_sooner),
        cmocka_unit_test(test_the_dyers_own_way_is_taken),
        cmocka_unit_test(test_what_is_cold_needs_no_burner),
        cmocka_unit_test(test_chrome_and_tin_are_never_planned),
        cmocka_unit_test(test_refuses_what_is_no_plan),
        cmocka_unit_test(test_every_plan_can_be_done),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
