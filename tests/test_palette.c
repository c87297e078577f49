/* src/dye/palette.c against exhaustive search. */
#include "support.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "dye/palette.h"
#include "draw_support.h"

static struct lab random_lab(uint64_t *s)
{
    return (struct lab){20 + 65 * uniform(s), -20 + 60 * uniform(s),
                        -20 + 80 * uniform(s)};
}

static void random_colours(struct palette_colour *out, size_t n, uint64_t *s)
{
    for (size_t i = 0; i < n; i++)
        out[i] =
            (struct palette_colour){random_lab(s), 1 + (size_t)(3 * uniform(s)),
                                    1 + (size_t)(5 * uniform(s)), false, false};
}

/* ---- the oracles ----------------------------------------------------------*/

static double cost(const struct palette_request *r, double L, size_t i,
                   struct lab c)
{
    return r->aim == PALETTE_FIT ? lab_de00(r->target[i], c) : fabs(L - c.L);
}

/* The least sum over all ways to give targets results, by going through the
 * results and all sets of targets that have theirs. */
static double least_sum(const struct palette_colour *c, size_t n,
                        const struct palette_request *r)
{
    const size_t sets = (size_t)1 << r->members;
    double *sum = mem_new(sets, sizeof *sum), light = -1e9, dark = 1e9, out;

    for (size_t i = 0; i < sets; i++)
        sum[i] = i ? HUGE_VAL : 0;
    for (size_t k = 0; k < n; k++) {
        light = fmax(light, c[k].lab.L);
        dark = fmin(dark, c[k].lab.L);
    }
    for (size_t k = 0; k < n; k++)
        for (size_t set = sets; set-- > 0;)
            for (size_t i = 0; i < r->members; i++) {
                const double L = light - (light - dark) * (double)i /
                                             (double)(r->members - 1);
                const size_t with = set | (size_t)1 << i;
                if (with != set)
                    sum[with] =
                        fmin(sum[with], sum[set] + cost(r, L, i, c[k].lab));
            }
    out = sum[sets - 1];
    free(sum);
    return out;
}

static double most_apart(const struct palette_colour *c, size_t n, size_t from,
                         size_t members, const size_t *chosen, size_t count,
                         double least, bool lanes)
{
    double best = -1;

    if (count == members)
        return least;
    for (size_t k = from; k < n; k++) {
        size_t next[PALETTE_MOST];
        double d = least;
        bool ok = true;
        for (size_t i = 0; i < count; i++) {
            d = fmin(d, lab_de00(c[chosen[i]].lab, c[k].lab));
            ok = ok && !(lanes && (c[chosen[i]].lane == c[k].lane ||
                                   c[chosen[i]].pot != c[k].pot));
        }
        if (!ok)
            continue;
        memcpy(next, chosen, count * sizeof *next);
        next[count] = k;
        best = fmax(
            best, most_apart(c, n, k + 1, members, next, count + 1, d, lanes));
    }
    return best;
}

/* The least sum over all choices of results that are far enough apart; HUGE_VAL
 * when there is none. */
static double least_spaced(const struct palette_colour *c, size_t n,
                           const struct palette_request *r, size_t i,
                           const size_t *chosen, double sum, double best)
{
    double light = -1e9, dark = 1e9, L;

    if (sum >= best)
        return best;
    if (i == r->members)
        return sum;
    for (size_t k = 0; k < n; k++) {
        light = fmax(light, c[k].lab.L);
        dark = fmin(dark, c[k].lab.L);
    }
    L = light - (light - dark) * (double)i / (double)(r->members - 1);
    for (size_t k = 0; k < n; k++) {
        size_t next[PALETTE_MOST];
        bool ok = true;
        for (size_t j = 0; j < i; j++)
            ok = ok && chosen[j] != k &&
                 lab_de00(c[chosen[j]].lab, c[k].lab) >= r->least_apart &&
                 !(r->one_pot && (c[chosen[j]].lane == c[k].lane ||
                                  c[chosen[j]].pot != c[k].pot));
        if (!ok)
            continue;
        memcpy(next, chosen, i * sizeof *next);
        next[i] = k;
        best = least_spaced(c, n, r, i + 1, next, sum + cost(r, L, i, c[k].lab),
                            best);
    }
    return best;
}

/* ---- the tests ------------------------------------------------------------*/

static void check_is_a_choice(const struct palette *p,
                              const struct palette_colour *c,
                              const struct palette_request *r)
{
    double sum = 0, least = HUGE_VAL;

    assert_int_equal(p->members, r->members);
    for (size_t i = 0; i < p->members; i++) {
        sum += p->off[i];
        least = fmin(least, p->off[i]);
        for (size_t j = 0; j < i; j++)
            assert_int_not_equal(p->place[i], p->place[j]);
        if (r->aim == PALETTE_FIT)
            check_near("off", p->off[i],
                       lab_de00(c[p->place[i]].lab, r->target[i]), 1e-9);
    }
    check_near("worth", p->worth, r->aim == PALETTE_APART ? least : sum, 1e-6);
}

static void test_fits_are_the_best_there_are(void **state)
{
    uint64_t seed = 7;
    struct palette_colour c[40] = {{.pot = 0}};
    struct lab target[6];
    struct palette p;

    (void)state;
    for (int k = 0; k < 60; k++) {
        const struct palette_request r = {k % 2 ? PALETTE_FIT : PALETTE_EVEN,
                                          2 + (size_t)(4.99 * uniform(&seed)),
                                          target, false};
        const size_t n = 6 + (size_t)(34.99 * uniform(&seed));
        random_colours(c, n, &seed);
        for (size_t i = 0; i < r.members; i++)
            target[i] = random_lab(&seed);
        assert_true(palette_choose(c, n, &r, &p));
        assert_true(p.exact);
        check_is_a_choice(&p, c, &r);
        check_near("sum", p.worth, least_sum(c, n, &r), 1e-6);
    }
}

static void test_those_apart_are_the_best_there_are(void **state)
{
    uint64_t seed = 11;
    struct palette_colour c[40] = {{.pot = 0}};
    struct palette p;

    (void)state;
    for (int k = 0; k < 30; k++) {
        const bool large = k == 0;
        const struct palette_request r = {
            PALETTE_APART, large ? 6 : 2 + (size_t)(3.99 * uniform(&seed)),
            NULL, false};
        const size_t n = large ? 40 : 6 + (size_t)(14.99 * uniform(&seed));
        size_t none[PALETTE_MOST] = {0};
        random_colours(c, n, &seed);
        assert_true(palette_choose(c, n, &r, &p));
        assert_true(p.exact);
        check_is_a_choice(&p, c, &r);
        check_near("least", p.worth,
                   most_apart(c, n, 0, r.members, none, 0, HUGE_VAL, false),
                   1e-12);
        for (size_t i = 1; i < p.members; i++)
            assert_true(c[p.place[i]].lab.L <= c[p.place[i - 1]].lab.L);
    }
}

static void test_one_pot_gives_other_mordants(void **state)
{
    uint64_t seed = 13;
    struct palette_colour c[30] = {{.pot = 0}};
    struct palette p;

    (void)state;
    for (int k = 0; k < 30; k++) {
        const struct palette_request r = {PALETTE_APART, 3, NULL, true};
        size_t none[PALETTE_MOST] = {0};
        random_colours(c, 30, &seed);
        assert_true(palette_choose(c, 30, &r, &p));
        for (size_t i = 0; i < 3; i++)
            for (size_t j = 0; j < i; j++) {
                assert_int_equal(c[p.place[i]].pot, c[p.place[j]].pot);
                assert_int_not_equal(c[p.place[i]].lane, c[p.place[j]].lane);
            }
        check_near("least", p.worth,
                   most_apart(c, 30, 0, 3, none, 0, HUGE_VAL, true), 1e-12);
    }
}

static void test_those_far_enough_apart_fit_the_best_they_can(void **state)
{
    uint64_t seed = 29;
    struct palette_colour c[40] = {{.pot = 0}};
    struct lab target[6];
    struct palette p;
    int none = 0, held = 0;

    (void)state;
    for (int k = 0; k < 120; k++) {
        const size_t members = k % 20 ? 2 + (size_t)(2.99 * uniform(&seed)) : 6;
        const struct palette_request r = {
            k % 2 ? PALETTE_FIT : PALETTE_EVEN, members, target,
            /* the oracle takes even steps over all results, not a pot's */
            k % 10 == 1, 5 + 40 * uniform(&seed)};
        const size_t n = k % 20 ? 6 + (size_t)(12.99 * uniform(&seed)) : 40;
        const size_t nobody[PALETTE_MOST] = {0};
        double least;
        random_colours(c, n, &seed);
        for (size_t i = 0; i < members; i++) /* close to each other */
            target[i] = (struct lab){45 + 20 * uniform(&seed),
                                     20 * uniform(&seed), 20 * uniform(&seed)};
        least = least_spaced(c, n, &r, 0, nobody, 0, HUGE_VAL);
        if (!palette_choose(c, n, &r, &p)) {
            assert_true(isinf(least));
            none++;
            continue;
        }
        assert_true(p.exact);
        check_is_a_choice(&p, c, &r);
        check_near("sum", p.worth, least, 1e-6);
        check_near("bound", p.bound, p.worth, 0);
        for (size_t i = 0; i < members; i++)
            for (size_t j = 0; j < i; j++)
                assert_true(lab_de00(c[p.place[i]].lab, c[p.place[j]].lab) >=
                            r.least_apart);
        held++;
    }
    assert_true(none > 10 && held > 50);
}

static void test_apart_is_refused_when_none_are_so_far(void **state)
{
    uint64_t seed = 31;
    struct palette_colour c[20] = {{.pot = 0}};
    struct palette_request r = {PALETTE_APART, 4, NULL, false, 0};
    struct palette p, q;

    (void)state;
    random_colours(c, 20, &seed);
    assert_true(palette_choose(c, 20, &r, &p));
    r.least_apart = p.worth;
    assert_true(palette_choose(c, 20, &r, &q));
    check_near("the same", q.worth, p.worth, 0);
    r.least_apart = p.worth + 1e-9;
    assert_false(palette_choose(c, 20, &r, &q));
}

/* Six targets that all want the same result, and the one choice that is so far
 * apart, and then none. */
static void test_the_only_choice_far_enough_apart_is_found(void **state)
{
    uint64_t seed = 37;
    struct palette_colour c[40] = {{.pot = 0}};
    struct lab target[6];
    struct palette p, q;

    (void)state;
    for (int k = 0; k < 3; k++) {
        struct palette_request r = {PALETTE_APART, 6, target, false, 0};
        random_colours(c, 40, &seed);
        for (size_t i = 0; i < 6; i++)
            target[i] = c[0].lab;
        assert_true(palette_choose(c, 40, &r, &p));
        r.aim = PALETTE_FIT;
        r.least_apart = p.worth;
        assert_true(palette_choose(c, 40, &r, &q));
        check_is_a_choice(&q, c, &r);
        r.least_apart = p.worth + 1e-6;
        assert_false(palette_choose(c, 40, &r, &q));
    }
}

static void test_what_must_be_is_and_what_must_not_is_not(void **state)
{
    static const enum palette_aim aims[] = {PALETTE_FIT, PALETTE_APART,
                                            PALETTE_EVEN};
    uint64_t seed = 17;
    struct palette_colour c[30] = {{.pot = 0}};
    struct lab target[4];
    struct palette p, q;

    (void)state;
    for (int k = 0; k < 30; k++) {
        const struct palette_request r = {aims[k % 3], 4, target, false};
        bool in = false;
        random_colours(c, 30, &seed);
        for (size_t i = 0; i < 4; i++)
            target[i] = random_lab(&seed);
        assert_true(palette_choose(c, 30, &r, &p));
        c[p.place[2]].never = true;
        c[9].must = !c[9].never;
        assert_true(palette_choose(c, 30, &r, &q));
        for (size_t i = 0; i < 4; i++) {
            assert_int_not_equal(q.place[i], p.place[2]);
            in = in || q.place[i] == 9;
        }
        assert_true(in == c[9].must);
        check_is_a_choice(&q, c, &r);
    }
}

static void test_too_few_results_make_no_palette(void **state)
{
    uint64_t seed = 19;
    struct palette_colour c[4] = {{.pot = 0}};
    const struct palette_request five = {PALETTE_APART, 5, NULL, false};
    const struct palette_request two = {PALETTE_EVEN, 2, NULL, false};
    struct palette p;

    (void)state;
    random_colours(c, 4, &seed);
    assert_false(palette_choose(c, 4, &five, &p));
    assert_false(palette_choose(c, 0, &two, &p));
    c[0].must = c[1].must = c[2].must = true;
    assert_false(palette_choose(c, 4, &two, &p));
}

/* The best fit of 5,000 is still the best; what is apart is at least half as
 * far as any choice could be (Gonzalez, Theor. Comput. Sci. 38 (1985) 293, for
 * distances of which none is shorter by a way round; nearly so of dE00). */
static void test_of_many_results_the_fit_is_still_the_best(void **state)
{
    enum { MANY = 5000 };
    uint64_t seed = 23;
    struct palette_colour *c = mem_new(MANY, sizeof *c);
    struct lab target[6];
    const struct palette_request fit = {PALETTE_FIT, 6, target, false};
    const struct palette_request apart = {PALETTE_APART, 6, NULL, false};
    struct palette p;

    (void)state;
    random_colours(c, MANY, &seed);
    for (size_t i = 0; i < 6; i++)
        target[i] = random_lab(&seed);
    assert_true(palette_choose(c, MANY, &fit, &p));
    check_near("sum", p.worth, least_sum(c, MANY, &fit), 1e-6);
    assert_true(palette_choose(c, MANY, &apart, &p));
    assert_false(p.exact);
    check_is_a_choice(&p, c, &apart);
    for (size_t i = 0; i < 6; i++) { /* no single exchange is better */
        for (size_t k = 0; k < MANY; k++) {
            double least = HUGE_VAL;
            for (size_t j = 0; j < 6; j++)
                if (j != i)
                    least = fmin(least, lab_de00(c[k].lab, c[p.place[j]].lab));
            for (size_t j = 0; j < 6; j++)
                for (size_t l = 0; l < j; l++)
                    if (j != i && l != i)
                        least = fmin(least, lab_de00(c[p.place[l]].lab,
                                                     c[p.place[j]].lab));
            assert_true(least <= p.worth + 1e-9);
        }
    }
    free(c);
}

static void test_steps_of_lightness(void **state)
{
    const struct palette_colour c[] = {{.lab = {80, 0, 0}},
                                       {.lab = {30, 0, 0}},
                                       {.lab = {55, 0, 0}},
                                       {.lab = {57, 0, 0}}};
    const struct palette_request r = {PALETTE_EVEN, 3, NULL, false};
    struct palette p;
    double step[2];

    (void)state;
    assert_true(palette_choose(c, 4, &r, &p));
    assert_int_equal(p.place[0], 0);
    assert_int_equal(p.place[1], 2);
    assert_int_equal(p.place[2], 1);
    palette_steps(c, &p, step);
    check_near("first", step[0], 25, 1e-12);
    check_near("second", step[1], 25, 1e-12);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_fits_are_the_best_there_are),
        cmocka_unit_test(test_those_apart_are_the_best_there_are),
        cmocka_unit_test(test_one_pot_gives_other_mordants),
        cmocka_unit_test(test_those_far_enough_apart_fit_the_best_they_can),
        cmocka_unit_test(test_apart_is_refused_when_none_are_so_far),
        cmocka_unit_test(test_the_only_choice_far_enough_apart_is_found),
        cmocka_unit_test(test_what_must_be_is_and_what_must_not_is_not),
        cmocka_unit_test(test_too_few_results_make_no_palette),
        cmocka_unit_test(test_of_many_results_the_fit_is_still_the_best),
        cmocka_unit_test(test_steps_of_lightness),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
