/* What "make bench" prints of a job. See bench.h. */
#include "bench.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/mem.h"

static double figure(const struct cost *cost, enum bench_what what)
{
    switch (what) {
    case BENCH_WALL:
        return cost->wall_s;
    case BENCH_CPU:
        return cost->cpu_s;
    case BENCH_PEAK:
        return cost->peak_mb;
    }
    return (double)NAN;
}

static int by_size(const void *a, const void *b)
{
    const double *x = a, *y = b;

    return (*x > *y) - (*x < *y);
}

struct range {
    double low, median, high;
};

static struct range range_of(double *v, int n)
{
    qsort(v, (size_t)n, sizeof *v, by_size);
    return (struct range){v[0], (v[(n - 1) / 2] + v[n / 2]) / 2, v[n - 1]};
}

static double median(const struct record *r, enum bench_what what, int rounds)
{
    double v[BENCH_MOST_ROUNDS] = {0};

    for (int i = 0; i < rounds; i++)
        v[i] = figure(&r->cost[i], what);
    return range_of(v, rounds).median;
}

/* Over the rounds, of one step's figure divided by that of another in the same
 * round. */
static struct range ratio(const struct record *r, const struct record *than,
                          enum bench_what what, int rounds)
{
    double v[BENCH_MOST_ROUNDS] = {0};

    for (int i = 0; i < rounds; i++)
        v[i] = figure(&r->cost[i], what) / figure(&than->cost[i], what);
    return range_of(v, rounds);
}

static void tell_step(const char *name, const struct record *record,
                      const struct record *yardstick, int rounds)
{
    static const enum bench_what all[] = {BENCH_WALL, BENCH_CPU, BENCH_PEAK};

    printf("| %s |", name);
    if (!record->there) {
        puts(" not installed | | | | | |");
        return;
    }
    printf(" %.3g ms |", 1e3 * median(record, BENCH_WALL, rounds));
    printf(" %.3g ms |", 1e3 * median(record, BENCH_CPU, rounds));
    printf(" %.1f MB |", median(record, BENCH_PEAK, rounds));
    for (size_t i = 0; i < ARRAY_LEN(all); i++) {
        const struct range r = ratio(record, yardstick, all[i], rounds);

        if (record == yardstick)
            printf(" 1 |");
        else
            printf(" **%.2f** (%.2f to %.2f) |", r.median, r.low, r.high);
    }
    putchar('\n');
}

/* ---- what is meant to be kept to ----------------------------------------- */

static struct range reached(const struct bench_reach *g,
                            const struct record *record, int rounds)
{
    const struct record *step = &record[g->step], *than = &record[g->than];
    double v[BENCH_MOST_ROUNDS] = {0};

    if (!g->yardstick)
        return g->upside_down ? ratio(than, step, g->what, rounds)
                              : ratio(step, than, g->what, rounds);
    for (int i = 0; i < rounds; i++)
        v[i] = figure(&step->cost[i], g->what) / g->yardstick();
    return range_of(v, rounds);
}

static void tell_reach(const struct bench_reach *g, const struct record *record,
                       int rounds)
{
    static const char *const what[] = {"wall", "processor", "peak memory"};
    struct range r;

    printf("| %s | %s |", g->words, what[g->what]);
    if (!record[g->step].there || !record[g->than].there) {
        puts(" not installed | | |");
        return;
    }
    r = reached(g, record, rounds);
    printf(" **%.3g** (%.3g to %.3g) | %s %.3g | %s |\n", r.median, r.low,
           r.high, g->upside_down ? "at least" : "at most", g->reach,
           (g->upside_down ? r.median >= g->reach : r.median <= g->reach)
               ? "yes"
               : "**no**");
}

void table_tell(const struct bench_job *job, const struct record *record,
                int rounds)
{
    printf("\n%c%s: medians of %d rounds (lowest to highest).\n\n"
           "| | wall | processor | peak memory | wall, of the first's | "
           "processor, of the first's | memory, of the first's |\n"
           "|---|---|---|---|---|---|---|\n",
           job->title[0] - 'a' + 'A', job->title + 1, rounds);
    for (size_t i = 0; i < BENCH_STEPS && job->step[i].name; i++)
        tell_step(job->step[i].name, &record[i], &record[0], rounds);
    if (job->reach[0].words)
        puts("\n| meant to be kept to | of | ratio | reach | reached |\n"
             "|---|---|---|---|---|");
    for (size_t i = 0; i < BENCH_REACHES && job->reach[i].words; i++)
        tell_reach(&job->reach[i], record, rounds);
}

/* ---- lines --------------------------------------------------------------- */

void growth_write(const struct bench_job *job, const struct record *record,
                  int rounds)
{
    char name[64];
    const char *path;
    FILE *f;

    snprintf(name, sizeof name, "growth-%s.txt", job->name);
    path = bench_program(name);
    f = bench_open(path, "w");
    fprintf(f, "title %s\nalong %s\n", job->growth->title, job->growth->along);
    for (size_t i = 0; i < BENCH_STEPS && job->growth->point[i].line; i++) {
        const struct range r = ratio(&record[i], &record[0], BENCH_CPU, rounds);

        if (record[i].there)
            fprintf(f, "%g %g %g %g %s\n", job->growth->point[i].at, r.median,
                    r.low, r.high, job->growth->point[i].line);
    }
    if (fclose(f))
        bench_die(path, "cannot be written");
}
