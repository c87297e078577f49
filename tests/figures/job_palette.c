/* make bench T=palette: palettes among 5,000 results, and how far they can be
 * from the best. */
#include "bench.h"

#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/mem.h"
#include "dye/palette.h"
#include "draw_support.h"

enum { RESULTS = 5000, MEMBERS = 6, CLUSTERS = 160 };

static struct palette_colour colour[RESULTS];
static const struct lab target[MEMBERS] = {{42, 45, 28}, {76, -3, 62},
                                           {47, -3, 33}, {31, 12, 10},
                                           {60, 37, 25}, {85, 1, 12}};

static void prepare(const char *folder)
{
    uint64_t seed = 5;

    (void)folder;
    for (size_t i = 0; i < RESULTS; i++)
        colour[i] = (struct palette_colour){.lab = {20 + 65 * uniform(&seed),
                                                    -20 + 60 * uniform(&seed),
                                                    -20 + 80 * uniform(&seed)},
                                            .pot = 1 + i / 5,
                                            .lane = 1 + i % 5};
}

static struct palette chosen(enum palette_aim aim, double least_apart,
                             bool one_pot)
{
    const struct palette_request r = {aim, one_pot ? 4 : MEMBERS, target,
                                      one_pot, least_apart};
    struct palette p;

    if (!palette_choose(colour, RESULTS, &r, &p)) {
        fprintf(stderr, "bench: palette: nothing chosen\n");
        exit(1);
    }
    return p;
}

/* The yardstick: every pair of results held against each other once. */
static int all_pairs(void)
{
    double sum = 0;

    for (size_t i = 0; i < RESULTS; i++)
        for (size_t k = 0; k < i; k++)
            sum += lab_de00(colour[i].lab, colour[k].lab);
    return sum > 0 ? 0 : 1;
}

static int fit(void)
{
    return chosen(PALETTE_FIT, 0, false).members == MEMBERS ? 0 : 1;
}

static int fit_apart(void)
{
    return chosen(PALETTE_FIT, 18, false).members == MEMBERS ? 0 : 1;
}

static int even(void)
{
    return chosen(PALETTE_EVEN, 0, false).members == MEMBERS ? 0 : 1;
}

static int far_apart(void)
{
    return chosen(PALETTE_APART, 0, false).members == MEMBERS ? 0 : 1;
}

static int one_pot(void)
{
    return chosen(PALETTE_APART, 0, true).members == 4 ? 0 : 1;
}

/* ---- how far from the best ------------------------------------------------
 */

/* No six of the results are farther apart than this: they lie in clusters, and
 * the most that two of them can be apart is known of each two clusters, and of
 * each one with itself. */
struct clusters {
    size_t of[RESULTS];
    double most[CLUSTERS][CLUSTERS];
};

/* Each next middle is the result farthest from those before. */
static void gather(struct clusters *c)
{
    double *near = mem_new(RESULTS, sizeof *near);
    size_t middle = 0;

    for (size_t i = 0; i < RESULTS; i++)
        near[i] = HUGE_VAL;
    for (size_t k = 0; k < CLUSTERS; k++) {
        size_t next = 0;
        for (size_t i = 0; i < RESULTS; i++) {
            const double d = lab_de00(colour[middle].lab, colour[i].lab);
            if (d < near[i]) {
                near[i] = d;
                c->of[i] = k;
            }
            if (near[i] > near[next])
                next = i;
        }
        middle = next;
    }
    for (size_t i = 0; i < RESULTS; i++)
        for (size_t j = 0; j < i; j++) {
            const size_t a = c->of[i], b = c->of[j];
            const double d = lab_de00(colour[i].lab, colour[j].lab);
            c->most[a][b] = c->most[b][a] = fmax(c->most[a][b], d);
        }
    free(near);
}

static void search(const struct clusters *c, size_t *in, size_t n, double least,
                   double *best)
{
    if (n == MEMBERS) {
        *best = fmax(*best, least);
        return;
    }
    for (size_t k = n ? in[n - 1] : 0; k < CLUSTERS; k++) {
        double d = least;
        for (size_t i = 0; i < n; i++)
            d = fmin(d, c->most[in[i]][k]);
        if (d <= *best)
            continue;
        in[n] = k;
        search(c, in, n + 1, d, best);
    }
}

/* No choice can be farther apart. */
static double bound_apart(double reached)
{
    struct clusters *c = mem_new(1, sizeof *c);
    size_t in[MEMBERS];
    double best = reached;

    gather(c);
    search(c, in, 0, HUGE_VAL, &best);
    free(c);
    return best;
}

/* The sum of each target's own nearest result. */
static double bound_fit(void)
{
    double sum = 0;

    for (size_t t = 0; t < MEMBERS; t++) {
        double least = HUGE_VAL;
        for (size_t i = 0; i < RESULTS; i++)
            least = fmin(least, lab_de00(target[t], colour[i].lab));
        sum += least;
    }
    return sum;
}

static void tell_fit(const char *what, const struct palette *p, double bound)
{
    printf("- %s: %.3f in all, at least %.3f%s: gap %.1f %%\n", what, p->worth,
           bound, p->exact ? ", proven the best" : "",
           100 * (p->worth / bound - 1));
}

static void tell(void)
{
    const struct palette nearest = chosen(PALETTE_FIT, 0, false),
                         spaced = chosen(PALETTE_FIT, 18, false),
                         steps = chosen(PALETTE_EVEN, 0, false),
                         apart = chosen(PALETTE_APART, 0, false);
    const double most = bound_apart(apart.worth);

    printf("\nHow far from the best there can be:\n\n");
    tell_fit("fit six targets", &nearest, bound_fit());
    tell_fit("the same, 18 apart", &spaced, spaced.bound);
    tell_fit("even steps", &steps, steps.bound);
    printf("- six apart: %.2f, at most %.2f: gap %.1f %%\n", apart.worth, most,
           100 * (most / apart.worth - 1));
}

const struct bench_job job_palette = {
    "palette",
    "palettes of six among 5,000 results, against holding all of them against "
    "each other",
    prepare,
    {{"all against all", all_pairs},
     {"fit six targets", fit},
     {"the same, 18 apart", fit_apart},
     {"even steps", even},
     {"six far apart", far_apart},
     {"four of one pot", one_pot}},
    tell,
};
