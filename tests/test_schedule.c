/* Who gets which pot and burner when: every schedule is gone over minute by
 * minute by a reader that knows nothing of how it was made, and small ones are
 * compared with all there are. */
#include "support.h"

#include <stdio.h>
#include <string.h>

#include "dye/schedule.h"

#define DAY 1440

/* Marsaglia, Xorshift RNGs, J. Stat. Software 8 (2003) no. 14. */
static int below(uint64_t *s, int n)
{
    *s ^= *s << 13;
    *s ^= *s >> 7;
    *s ^= *s << 17;
    return (int)((*s >> 11) % (uint64_t)n);
}

/* ---- the verifier ---------------------------------------------------------
 */

static bool is_on(int start, int minutes, int t)
{
    return t >= start && t < start + minutes;
}

/* Both in one pot at minute t: only as jars of one bath, and only so many. */
static void check_pot(const struct schedule_job *job, size_t n,
                      const struct schedule_means *m, const struct schedule *s,
                      size_t k, int t)
{
    int together = 0;

    assert_in_range(s->pot[k], 1, m->pots);
    for (size_t i = 0; i < n; i++) {
        if (s->pot[i] != s->pot[k] ||
            !is_on(s->start_min[i], job[i].pot_min, t))
            continue;
        together++;
        if (i == k)
            continue;
        assert_true(job[i].jar && job[i].jar == job[k].jar);
        assert_int_equal(s->start_min[i], s->start_min[k]);
        assert_int_equal(s->burner[i], s->burner[k]);
    }
    assert_in_range(together, 1, job[k].jar ? m->jars : 1);
}

static void check_burner(const struct schedule_job *job, size_t n,
                         const struct schedule_means *m,
                         const struct schedule *s, size_t k, int t)
{
    assert_in_range(s->burner[k], 1, m->burners);
    for (size_t i = 0; i < n; i++)
        if (s->burner[i] == s->burner[k] && s->pot[i] != s->pot[k])
            assert_false(is_on(s->start_min[i], job[i].burner_min, t));
}

static void verify(const struct schedule_job *job, size_t n,
                   const struct schedule_means *m, const struct schedule *s)
{
    int end = 0, begin = s->end_min;

    for (size_t k = 0; k < n; k++) {
        int start = s->start_min[k], of_day = start % DAY;
        assert_true(start >= m->begin_min);
        for (size_t i = 0; i < job[k].afters; i++)
            assert_true(start >= s->start_min[job[k].after[i]] +
                                     job[job[k].after[i]].minutes);
        if (job[k].attended_min) {
            assert_true(of_day >= m->up_min);
            assert_true((m->up_min == 0 && m->to_bed_min == DAY) ||
                        of_day + job[k].attended_min <= m->to_bed_min);
        }
        for (int t = start; t < start + job[k].pot_min; t++)
            check_pot(job, n, m, s, k, t);
        for (int t = start; t < start + job[k].burner_min; t++)
            check_burner(job, n, m, s, k, t);
        end = start + job[k].minutes > end ? start + job[k].minutes : end;
        begin = start < begin ? start : begin;
    }
    assert_int_equal(s->end_min, end);
    assert_int_equal(s->begin_min, begin);
    assert_true(s->bound_min <= s->end_min);
    assert_true(!s->exact || s->bound_min == s->end_min);
}

/* ---- all there are ---------------------------------------------------------
 */

#define FEW 6
#define HOURS 200

struct brute {
    const struct schedule_job *job;
    const struct schedule_means *m;
    size_t n;
    int start_h[FEW];
    int before_h; /* whether one ends before that */
};

/* Pots or burners taken in an hour by the first n jobs: jars that begin
 * together fill baths. */
static int taken(const struct brute *b, size_t n, int hour, bool burner)
{
    int sum = 0;

    for (size_t i = 0; i < n; i++) {
        const struct schedule_job *j = &b->job[i];
        int minutes = burner ? j->burner_min : j->pot_min, nth = 0;
        if (!is_on(b->start_h[i], minutes / 60, hour))
            continue;
        for (size_t k = 0; k < i && j->jar; k++)
            nth += b->job[k].jar == j->jar && b->start_h[k] == b->start_h[i];
        sum += j->jar == 0 || nth % b->m->jars == 0;
    }
    return sum;
}

static bool may_stand(const struct brute *b, size_t k)
{
    const struct schedule_job *j = &b->job[k];
    int start = b->start_h[k], of_day = start % 24 * 60;

    for (size_t i = 0; i < j->afters; i++)
        if (start < b->start_h[j->after[i]] + b->job[j->after[i]].minutes / 60)
            return false;
    if (j->attended_min && (b->m->up_min || b->m->to_bed_min != DAY) &&
        (of_day < b->m->up_min || of_day + j->attended_min > b->m->to_bed_min))
        return false;
    for (int h = start; h < start + j->minutes / 60; h++)
        if (taken(b, k + 1, h, false) > b->m->pots ||
            taken(b, k + 1, h, true) > b->m->burners)
            return false;
    return true;
}

/* Jobs wait only for those before them. */
static bool some_ends_before(struct brute *b, size_t k)
{
    if (k == b->n)
        return true;
    for (int h = b->m->begin_min / 60; h + b->job[k].minutes / 60 < b->before_h;
         h++) {
        b->start_h[k] = h;
        if (may_stand(b, k) && some_ends_before(b, k + 1))
            return true;
    }
    return false;
}

/* ---- made up plans
 * -----------------------------------------------------------
 */

/* A job of whole hours; jars of one number are alike. */
static void make_job(uint64_t *seed, struct schedule_job *job, size_t k,
                     int waits, int jars)
{
    struct schedule_job *j = &job[k];

    *j = (struct schedule_job){.minutes = 60 * (1 + below(seed, 4))};
    if (below(seed, 5)) {
        j->pot_min = 60 * (1 + below(seed, j->minutes / 60));
        j->burner_min = 60 * below(seed, j->pot_min / 60 + 1);
    }
    j->attended_min =
        j->burner_min + 60 * below(seed, (j->minutes - j->burner_min) / 60 + 1);
    if (jars && j->pot_min && below(seed, 2)) {
        size_t first = 0;
        j->jar = 1 + (size_t)below(seed, jars);
        while (job[first].jar != j->jar)
            first++;
        *j = job[first];
        j->afters = 0;
    }
    for (size_t i = 0; i < k && j->afters < SCHEDULE_AFTER; i++)
        if (below(seed, 10) < waits)
            j->after[j->afters++] = i;
}

static struct schedule_means make_means(uint64_t *seed, bool hours)
{
    struct schedule_means m = {.pots = 1 + below(seed, 3),
                               .burners = 1 + below(seed, 2),
                               .jars = 1 + below(seed, 3),
                               .to_bed_min = DAY,
                               .begin_min = 60 * below(seed, 30)};

    if (hours) {
        m.up_min = 60 * (6 + below(seed, 4));
        m.to_bed_min = m.up_min + 60 * (4 + below(seed, 11));
    }
    return m;
}

/* No plan of a few jobs ends sooner than ours, with and without waking hours
 * and jars. */
static void test_no_small_plan_ends_sooner(void **state)
{
    uint64_t seed = 20261127;

    (void)state;
    for (int round = 0; round < 1500; round++) {
        bool hours = round % 3 == 0;
        struct schedule_job job[FEW];
        struct schedule_means m = make_means(&seed, hours);
        struct schedule s;
        size_t n = 2 + (size_t)below(&seed, hours ? 3 : FEW - 1);
        struct brute b = {.job = job, .m = &m, .n = n};

        for (size_t k = 0; k < n; k++)
            make_job(&seed, job, k, 2, 2);
        assert_true(schedule_solve(job, n, &m, &s));
        verify(job, n, &m, &s);
        assert_true(s.exact);
        b.before_h = s.end_min / 60;
        if (some_ends_before(&b, 0))
            fail_msg("round %d: a plan ends before %d h", round, b.before_h);
    }
}

/* Larger ones hold all they must, and end no sooner than their bound. */
static void test_large_plans_keep_every_rule(void **state)
{
    uint64_t seed = 7;
    int exact = 0;

    (void)state;
    for (int round = 0; round < 20; round++) {
        static struct schedule_job job[SCHEDULE_MOST];
        struct schedule_means m = make_means(&seed, round % 2);
        struct schedule s;
        size_t n = round == 0 ? SCHEDULE_MOST : 8 + (size_t)below(&seed, 30);

        for (size_t k = 0; k < n; k++)
            make_job(&seed, job, k, 1, 4);
        assert_true(schedule_solve(job, n, &m, &s));
        verify(job, n, &m, &s);
        exact += s.exact;
    }
    print_message("# %d of 20 large plans proven shortest\n", exact);
}

/* What is done by then begins late, and would not be begun half an hour
 * later were it small enough to try. */
static void test_latest_ends_in_time(void **state)
{
    uint64_t seed = 99;
    int found = 0;

    (void)state;
    for (int round = 0; round < 200; round++) {
        struct schedule_job job[FEW];
        struct schedule_means m = make_means(&seed, round % 2);
        struct schedule_means later;
        struct schedule s, t;
        int ready = 60 * (24 + below(&seed, 72));

        for (size_t k = 0; k < FEW; k++)
            make_job(&seed, job, k, 2, 1);
        if (!schedule_latest(job, FEW, &m, ready, &s)) {
            assert_true(schedule_solve(job, FEW, &m, &t));
            assert_true(t.end_min > ready);
            continue;
        }
        found++;
        verify(job, FEW, &m, &s);
        assert_true(s.end_min <= ready);
        later = m;
        later.begin_min = s.begin_min - s.begin_min % 30 + 30;
        assert_true(schedule_solve(job, FEW, &later, &t));
        assert_true(t.end_min > ready);
    }
    assert_in_range(found, 100, 200);
}

/* One burner: three jars of the same heat share it, and take as long as one. */
static void test_jars_share_a_burner(void **state)
{
    struct schedule_job job[3];
    struct schedule_means m = {1, 1, 4, 0, DAY, 0};
    struct schedule s;

    (void)state;
    for (size_t i = 0; i < 3; i++)
        job[i] = (struct schedule_job){90, 60, 60, 90, 1, {0}, 0};
    assert_true(schedule_solve(job, 3, &m, &s));
    assert_int_equal(s.end_min, 90);
    m.jars = 2;
    assert_true(schedule_solve(job, 3, &m, &s));
    assert_int_equal(s.end_min, 180);
    job[2].jar = 0;
    m.jars = 4;
    assert_true(schedule_solve(job, 3, &m, &s));
    assert_int_equal(s.end_min, 180);
}

/* A pot may cool over night, but nobody lights one then. */
static void test_nights_are_for_cooling(void **state)
{
    const struct schedule_job job[] = {{600, 60, 60, 600, 0, {0}, 0},
                                       {60, 60, 60, 60, 0, {0}, 1}};
    const struct schedule_means m = {1, 1, 1, 8 * 60, 22 * 60, 20 * 60};
    struct schedule s;

    (void)state;
    assert_true(schedule_solve(job, 2, &m, &s));
    verify(job, 2, &m, &s);
    assert_int_equal(s.start_min[0], 20 * 60);
    assert_int_equal(s.start_min[1], DAY + 8 * 60);
    assert_true(s.exact);
}

static void test_refuses_rings_and_days_too_short(void **state)
{
    const struct schedule_job ring[] = {{60, 0, 0, 0, 0, {1}, 1},
                                        {60, 0, 0, 0, 0, {0}, 1}};
    const struct schedule_job lengthy = {300, 300, 0, 0, 0, {0}, 0};
    const struct schedule_means any = {1, 1, 1, 0, DAY, 0};
    const struct schedule_means brief = {1, 1, 1, 8 * 60, 12 * 60, 0};
    struct schedule s;

    (void)state;
    assert_false(schedule_solve(ring, 2, &any, &s));
    assert_true(schedule_solve(&lengthy, 1, &any, &s));
    assert_false(schedule_solve(&lengthy, 1, &brief, &s));
    assert_false(schedule_latest(&lengthy, 1, &brief, 9000, &s));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_no_small_plan_ends_sooner),
        cmocka_unit_test(test_large_plans_keep_every_rule),
        cmocka_unit_test(test_latest_ends_in_time),
        cmocka_unit_test(test_jars_share_a_burner),
        cmocka_unit_test(test_nights_are_for_cooling),
        cmocka_unit_test(test_refuses_rings_and_days_too_short),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
