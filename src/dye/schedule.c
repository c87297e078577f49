/*
 * Pots, burners and hours shared out. See dye/schedule.h.
 *
 * Loads (a job, or the jars of one bath) are placed one after the other, each
 * at the first minute that the jobs before it, the pots and burners still free
 * and the waking hours allow. Some order of placing gives a shortest plan: take
 * a shortest one and place its loads in the order of their starts. None comes
 * to stand later than it stood, because what a load holds never grows while it
 * runs, so that one placed earlier holds at any later minute no more than it
 * did. Do that again with what came out, until nothing moves: so it is enough
 * to try the orders in which no load starts before the one placed before it,
 * and of two that start together the one of lower number comes first.
 */
#include "dye/schedule.h"

#include <assert.h>
#include <limits.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"

#define DAY 1440
#define NEVER (INT_MAX / 2) /* a thousand years */
#define NODES 150000        /* placings tried for one plan: about a second */
#define NODES_LATEST 5000   /* for one beginning */

/* A load that stands: what it holds from its start on. */
struct held {
    int start, pot, burner;
};

struct search {
    const struct schedule_job *job;
    const struct schedule_means *means;
    size_t n;
    size_t topo[SCHEDULE_MOST]; /* each behind those it waits for */
    int tail[SCHEDULE_MOST];    /* from its start to the end of all, at least */

    int start[SCHEDULE_MOST]; /* of those placed; below 0: not */
    struct held held[SCHEDULE_MOST];
    size_t helds, left; /* left: not placed */

    int best[SCHEDULE_MOST], best_end;
    long nodes, nodes_most;
    int enough; /* a plan that ends by then is good enough */
};

static int max(int a, int b)
{
    return a > b ? a : b;
}

/* ---- a load's place -------------------------------------------------------
 */

static bool any_hour(const struct schedule_means *m)
{
    return m->up_min == 0 && m->to_bed_min == DAY;
}

/* The first minute from t on at which somebody can be up so long. */
static int awake(const struct schedule_means *m, int t, int attended)
{
    int of_day = t % DAY;

    if (any_hour(m) || attended == 0)
        return t;
    if (of_day < m->up_min)
        return t - of_day + m->up_min;
    if (of_day + attended > m->to_bed_min)
        return t - of_day + DAY + m->up_min;
    return t;
}

/* The minute by which somebody was up for so long in all since t. */
static int waking(const struct schedule_means *m, int t, long minutes)
{
    long day = m->to_bed_min - m->up_min;
    int today;

    if (any_hour(m) || minutes == 0)
        return t + (int)minutes;
    t = awake(m, t, 1);
    today = m->to_bed_min - t % DAY;
    if (minutes <= today)
        return t + (int)minutes;
    minutes -= today;
    t += DAY - t % DAY + (int)((minutes - 1) / day) * DAY;
    return t + m->up_min + (int)((minutes - 1) % day + 1);
}

static bool needs_pot(const struct schedule_job *j)
{
    return j->pot_min > 0;
}

/* Whether a pot and a burner are free from t on. What is held rises only where
 * a load starts, so those minutes are enough to look at. */
static bool fits(const struct search *s, const struct schedule_job *j, int t)
{
    for (size_t i = 0; i <= s->helds; i++) {
        int at = i == s->helds ? t : s->held[i].start;
        int pots = 1, burners = 1;

        if (at < t || at >= t + j->pot_min)
            continue;
        for (size_t k = 0; k < s->helds; k++) {
            int since = at - s->held[k].start;
            pots += since >= 0 && since < s->held[k].pot;
            burners += since >= 0 && since < s->held[k].burner;
        }
        if (pots > s->means->pots ||
            (at - t < j->burner_min && burners > s->means->burners))
            return false;
    }
    return true;
}

/* The next minute after t at which something is given back. */
static int next_free(const struct search *s, int t)
{
    int next = NEVER;

    for (size_t i = 0; i < s->helds; i++) {
        int pot = s->held[i].start + s->held[i].pot;
        int burner = s->held[i].start + s->held[i].burner;
        if (pot > t && pot < next)
            next = pot;
        if (burner > t && burner < next)
            next = burner;
    }
    return next;
}

static int place(const struct search *s, const struct schedule_job *j, int from)
{
    int t = awake(s->means, from, j->attended_min);

    while (needs_pot(j) && t < NEVER && !fits(s, j, t))
        t = awake(s->means, next_free(s, t), j->attended_min);
    return t;
}

/* When those have ended that job k waits for; below 0 when one is not placed.
 */
static int ready(const struct search *s, size_t k)
{
    int t = s->means->begin_min;

    for (size_t i = 0; i < s->job[k].afters; i++) {
        size_t b = s->job[k].after[i];
        if (s->start[b] < 0)
            return -1;
        t = max(t, s->start[b] + s->job[b].minutes);
    }
    return t;
}

static bool can_go(const struct search *s, size_t k)
{
    return s->start[k] < 0 && ready(s, k) >= 0;
}

static void put(struct search *s, size_t k, int t)
{
    s->start[k] = t;
    s->left--;
}

static void take_back(struct search *s, size_t k)
{
    s->start[k] = -1;
    s->left++;
}

static void hold(struct search *s, const struct schedule_job *j, int t)
{
    s->held[s->helds++] = (struct held){t, j->pot_min, j->burner_min};
}

/* What needs no pot is in nobody's way and begins as soon as it can. Says in
 * done what was placed. */
static size_t put_free(struct search *s, size_t *done)
{
    size_t n = 0;

    for (size_t i = 0; i < s->n; i++) {
        size_t k = s->topo[i];
        if (needs_pot(&s->job[k]) || !can_go(s, k))
            continue;
        put(s, k, place(s, &s->job[k], ready(s, k)));
        done[n++] = k;
    }
    return n;
}

static int end_of(const struct search *s)
{
    int end = s->means->begin_min;

    for (size_t i = 0; i < s->n; i++)
        if (s->start[i] >= 0)
            end = max(end, s->start[i] + s->job[i].minutes);
    return end;
}

/* ---- the bound --------------------------------------------------------------
 */

/* What those not placed need of one means in all, were baths full, and how
 * long it goes on at the least behind the last of it. */
struct need {
    long minutes;
    int behind;
};

static void add_need(struct need *need, int minutes, int tail, bool opens)
{
    if (minutes == 0)
        return;
    need->minutes += opens ? minutes : 0;
    need->behind =
        tail - minutes < need->behind ? tail - minutes : need->behind;
}

/* Every jobs-th jar of a number begins another bath. */
static bool opens_bath(const struct search *s, size_t k, size_t *jars)
{
    size_t jar = s->job[k].jar;

    return jar == 0 || jars[jar]++ % (size_t)s->means->jars == 0;
}

/*
 * No plan ends before that, whatever the order of those not placed, none of
 * which with a pot starts before from: by the way each has to the end, were
 * pots without number, and by the time that pots and burners are needed, were
 * loads cut up at will.
 */
static int bound(const struct search *s, int from)
{
    size_t jars[SCHEDULE_MOST + 1] = {0};
    int soonest[SCHEDULE_MOST], first = NEVER, end = end_of(s);
    struct need pots = {0, NEVER}, burners = {0, NEVER};

    for (size_t i = 0; i < s->n; i++) {
        size_t k = s->topo[i];
        const struct schedule_job *j = &s->job[k];
        int t = s->means->begin_min;
        bool opens;

        soonest[k] = s->start[k];
        if (s->start[k] >= 0)
            continue;
        for (size_t a = 0; a < j->afters; a++)
            t = max(t, soonest[j->after[a]] + s->job[j->after[a]].minutes);
        if (needs_pot(j))
            t = max(t, from);
        t = awake(s->means, t, j->attended_min);
        soonest[k] = t;
        end = max(end, t + j->minutes);
        if (!needs_pot(j))
            continue;
        first = t < first ? t : first;
        opens = opens_bath(s, k, jars);
        add_need(&pots, j->pot_min, s->tail[k], opens);
        add_need(&burners, j->burner_min, s->tail[k], opens);
    }
    if (pots.minutes)
        end = max(end, first +
                           (int)((pots.minutes + s->means->pots - 1) /
                                 s->means->pots) +
                           pots.behind);
    /* Burners are on only while somebody is up. */
    if (burners.minutes)
        end = max(end, waking(s->means, first,
                              (burners.minutes + s->means->burners - 1) /
                                  s->means->burners) +
                           burners.behind);
    return end;
}

/* ---- all orders -----------------------------------------------------------
 */

static void keep(struct search *s)
{
    int end = end_of(s);

    if (end >= s->best_end)
        return;
    s->best_end = end;
    memcpy(s->best, s->start, s->n * sizeof s->best[0]);
}

static bool is_over(const struct search *s)
{
    return s->nodes >= s->nodes_most || s->best_end <= s->enough;
}

/* The load placed last. */
struct last {
    int start;
    size_t job;
};

static void try_all(struct search *s, struct last last);

/* A load that is being put together: its jobs, the first of them the lowest,
 * and when the last of them is ready. */
struct load {
    size_t job[SCHEDULE_MOST], jobs;
    int ready;
};

static void try_load(struct search *s, const struct load *load,
                     struct last last)
{
    const struct schedule_job *j = &s->job[load->job[0]];
    int t = place(s, j, load->ready);

    s->nodes++;
    if (t < last.start || (t == last.start && load->job[0] < last.job))
        return;
    for (size_t i = 0; i < load->jobs; i++)
        put(s, load->job[i], t);
    hold(s, j, t);
    try_all(s, (struct last){t, load->job[0]});
    s->helds--;
    for (size_t i = 0; i < load->jobs; i++)
        take_back(s, load->job[i]);
}

/* Every way to fill up a load with jobs from k on, the fullest first. */
static void fill_up(struct search *s, struct load *load, size_t k,
                    struct last last)
{
    int before = load->ready;
    size_t jar = s->job[load->job[0]].jar;

    while (k < s->n && (s->job[k].jar != jar || !can_go(s, k)))
        k++;
    if (jar == 0 || k >= s->n || load->jobs == (size_t)s->means->jars) {
        try_load(s, load, last);
        return;
    }
    load->job[load->jobs++] = k;
    load->ready = max(before, ready(s, k));
    fill_up(s, load, k + 1, last);
    load->jobs--;
    load->ready = before;
    if (!is_over(s))
        fill_up(s, load, k + 1, last);
}

static void try_all(struct search *s, struct last last)
{
    size_t done[SCHEDULE_MOST];
    size_t n = put_free(s, done);

    if (s->left == 0)
        keep(s);
    else if (bound(s, last.start) < s->best_end)
        for (size_t k = 0; k < s->n && !is_over(s); k++)
            if (can_go(s, k)) {
                struct load load = {
                    .job = {k}, .jobs = 1, .ready = ready(s, k)};
                fill_up(s, &load, k + 1, last);
            }
    while (n > 0)
        take_back(s, done[--n]);
}

/* ---- rules of thumb
 * ----------------------------------------------------------
 */

enum rule { LONGEST_WAY, SOONEST, MOST_BURNER, RULES };

/* Which job a rule of thumb takes next; shake makes others of the rule. */
static size_t choose(const struct search *s, enum rule rule, unsigned *shake)
{
    long best = LONG_MIN;
    size_t chosen = s->n;

    for (size_t k = 0; k < s->n; k++) {
        long worth = s->tail[k];
        if (!can_go(s, k))
            continue;
        if (rule == SOONEST)
            worth -= 4L * place(s, &s->job[k], ready(s, k));
        else if (rule == MOST_BURNER)
            worth += 2L * s->job[k].burner_min;
        if (*shake) {
            *shake = *shake * 1664525u + 1013904223u;
            worth += (long)(*shake >> 25); /* up to two hours */
        }
        if (worth > best) {
            chosen = k;
            best = worth;
        }
    }
    return chosen;
}

/* Jars go into a bath with all that are ready for it when it begins, or, with
 * wait, with all that have nothing left to wait for. */
static void by_rule(struct search *s, enum rule rule, unsigned shake, bool wait)
{
    size_t done[SCHEDULE_MOST];

    for (size_t i = 0; i < s->n; i++)
        s->start[i] = -1;
    s->helds = 0;
    s->left = s->n;
    for (put_free(s, done); s->left; put_free(s, done)) {
        size_t k = choose(s, rule, &shake);
        const struct schedule_job *j = &s->job[k];
        size_t with[SCHEDULE_MOST], jars = 0;
        int from = ready(s, k), t;

        t = place(s, j, from);
        for (size_t i = 0; i < s->n && j->jar; i++)
            if (i != k && s->job[i].jar == j->jar && can_go(s, i) &&
                jars + 1 < (size_t)s->means->jars &&
                (wait || ready(s, i) <= t)) {
                with[jars++] = i;
                from = max(from, ready(s, i));
            }
        t = place(s, j, from);
        put(s, k, t);
        while (jars > 0)
            put(s, with[--jars], t);
        hold(s, j, t);
    }
    keep(s);
}

static void by_rules(struct search *s, unsigned shakes)
{
    for (unsigned shake = 0; shake < shakes; shake++)
        for (int rule = 0; rule < RULES; rule++) {
            by_rule(s, (enum rule)rule, shake * 2654435761u, false);
            by_rule(s, (enum rule)rule, shake * 2654435761u, true);
        }
    for (size_t i = 0; i < s->n; i++)
        s->start[i] = -1;
    s->helds = 0;
    s->left = s->n;
}

/* ---- the whole --------------------------------------------------------------
 */

static bool waits_for(const struct schedule_job *j, size_t k)
{
    for (size_t i = 0; i < j->afters; i++)
        if (j->after[i] == k)
            return true;
    return false;
}

/* Puts jobs behind those they wait for and reckons the tails; false when there
 * is a ring. */
static bool put_in_order(struct search *s)
{
    bool in[SCHEDULE_MOST] = {false};
    size_t n = 0;

    for (size_t before = s->n; n != before && n < s->n;) {
        before = n;
        for (size_t k = 0; k < s->n; k++) {
            bool free = !in[k];
            for (size_t i = 0; i < s->job[k].afters; i++)
                free = free && in[s->job[k].after[i]];
            if (free) {
                s->topo[n++] = k;
                in[k] = true;
            }
        }
    }
    if (n < s->n)
        return false;
    for (size_t i = s->n; i-- > 0;) {
        size_t k = s->topo[i];
        int behind = 0;
        for (size_t later = i + 1; later < s->n; later++)
            if (waits_for(&s->job[s->topo[later]], k))
                behind = max(behind, s->tail[s->topo[later]]);
        s->tail[k] = s->job[k].minutes + behind;
    }
    return true;
}

static bool can_be_done(const struct search *s)
{
    const struct schedule_means *m = s->means;

    for (size_t i = 0; i < s->n; i++) {
        const struct schedule_job *j = &s->job[i];
        assert(j->minutes >= j->attended_min && j->minutes >= j->pot_min);
        assert(j->attended_min >= j->burner_min && j->pot_min >= j->burner_min);
        for (size_t k = 0; k < i && j->jar; k++)
            assert(s->job[k].jar != j->jar ||
                   (s->job[k].minutes == j->minutes &&
                    s->job[k].attended_min == j->attended_min &&
                    s->job[k].burner_min == j->burner_min &&
                    s->job[k].pot_min == j->pot_min));
        if (!any_hour(m) && j->attended_min > m->to_bed_min - m->up_min)
            return false;
    }
    return true;
}

static struct search *search_new(const struct schedule_job *job, size_t n,
                                 const struct schedule_means *means)
{
    struct search *s = mem_new(1, sizeof *s);

    assert(n > 0 && n <= SCHEDULE_MOST && means->pots > 0 &&
           means->burners > 0 && means->jars > 0);
    s->job = job;
    s->n = n;
    s->left = n;
    s->means = means;
    for (size_t i = 0; i < n; i++)
        s->start[i] = -1;
    if (can_be_done(s) && put_in_order(s))
        return s;
    free(s);
    return NULL;
}

/* Numbers from 1 for what is held from a start on for some minutes: the
 * lowest that is free. With never more held than there is, it suffices. */
struct shelf {
    int until[SCHEDULE_MOST];
};

static int lend(struct shelf *shelf, int start, int minutes)
{
    int i = 0;

    if (minutes == 0)
        return 0;
    while (shelf->until[i] > start)
        i++;
    shelf->until[i] = start + minutes;
    return i + 1;
}

/* Gives pots and burners numbers, in the order of the starts; jars in a bath
 * that has room have its own. */
static void number(const struct search *s, struct schedule *out)
{
    struct shelf pots = {{0}}, burners = {{0}};
    bool done[SCHEDULE_MOST] = {false};
    size_t lead = 0, jars = 0;

    for (size_t i = 0; i < s->n; i++) {
        size_t k = s->n;
        const struct schedule_job *j;
        for (size_t c = 0; c < s->n; c++)
            if (!done[c] &&
                (k == s->n || out->start_min[c] < out->start_min[k] ||
                 (out->start_min[c] == out->start_min[k] &&
                  s->job[c].jar < s->job[k].jar)))
                k = c;
        j = &s->job[k];
        done[k] = true;
        if (j->jar && i > 0 && s->job[lead].jar == j->jar &&
            out->start_min[lead] == out->start_min[k] &&
            jars < (size_t)s->means->jars) {
            jars++;
            out->pot[k] = out->pot[lead];
            out->burner[k] = out->burner[lead];
            continue;
        }
        lead = k;
        jars = 1;
        out->pot[k] = lend(&pots, out->start_min[k], j->pot_min);
        out->burner[k] = lend(&burners, out->start_min[k], j->burner_min);
    }
}

static void tell(const struct search *s, int least, struct schedule *out)
{
    *out = (struct schedule){.begin_min = NEVER, .end_min = s->best_end};
    for (size_t i = 0; i < s->n; i++) {
        out->start_min[i] = s->best[i];
        if (s->best[i] < out->begin_min)
            out->begin_min = s->best[i];
    }
    /* All orders were tried, or it cannot be better. */
    out->exact = s->best_end <= least ||
                 (s->best_end > s->enough && s->nodes < s->nodes_most);
    out->bound_min = out->exact ? s->best_end : least;
    number(s, out);
}

/*
 * The best plan that was found and ends before before_min; false when there is
 * none. One that ends by enough_min is not bettered.
 */
static bool solve(const struct schedule_job *job, size_t n,
                  const struct schedule_means *means, int before_min,
                  int enough_min, long nodes, struct schedule *out)
{
    struct search *s = search_new(job, n, means);
    int least;
    bool found;

    if (!s)
        return false;
    least = bound(s, means->begin_min);
    s->best_end = before_min;
    s->enough = max(least, enough_min);
    s->nodes_most = nodes;
    if (least < before_min) {
        by_rules(s, nodes < NODES ? 2 : 12);
        if (!is_over(s))
            try_all(s, (struct last){means->begin_min, 0});
    }
    found = s->best_end < before_min;
    if (found)
        tell(s, least, out);
    free(s);
    return found;
}

bool schedule_solve(const struct schedule_job *job, size_t n,
                    const struct schedule_means *means, struct schedule *out)
{
    return solve(job, n, means, NEVER, 0, NODES, out);
}

bool schedule_latest(const struct schedule_job *job, size_t n,
                     const struct schedule_means *means, int ready_min,
                     struct schedule *out)
{
    struct schedule_means m = *means;
    struct schedule better;

    for (m.begin_min = ready_min - ready_min % 30;
         m.begin_min >= means->begin_min; m.begin_min -= 30) {
        if (!solve(job, n, &m, ready_min + 1, ready_min, NODES_LATEST, out))
            continue;
        if (solve(job, n, &m, ready_min + 1, 0, NODES, &better))
            *out = better;
        return true;
    }
    return false;
}
