/*
 * bench [JOB [ROUNDS]]: how long the jobs take and how much memory, against a
 * yardstick in the same round, as a table in Markdown. Judges nothing: it
 * fails only where a step does.
 */
#include "bench.h"

#include <dirent.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/utsname.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/mem.h"

enum { ROUNDS = 11, MOST_ROUNDS = 99 };

static const struct bench_job *const jobs[] = {
    &job_measure,
    &job_palette,
    &job_shelf,
};

static void die(const char *where, const char *what)
{
    fprintf(stderr, "bench: %s: %s\n", where, what);
    exit(1);
}

const char *bench_program(const char *name)
{
    static char path[512];
    const char *build = getenv("BUILD");

    snprintf(path, sizeof path, "%s/%s", build ? build : "build/gcc", name);
    return path;
}

void bench_run(const char *const argv[])
{
    int status;
    const pid_t child = fork();

    if (child == 0) {
        execv(argv[0], (char *const *)argv);
        _exit(BENCH_NOT_THERE);
    }
    if (child < 0 || waitpid(child, &status, 0) != child || status != 0)
        die(argv[0], "failed");
}

/* ---- rounds ------------------------------------------------------------- */

/* All rounds of one step. */
struct record {
    struct cost cost[MOST_ROUNDS];
    bool there;
};

static size_t steps_of(const struct bench_job *job)
{
    size_t n = 0;

    while (n < BENCH_STEPS && job->step[n].name)
        n++;
    return n;
}

static void step_take(const struct bench_step *step, struct record *record,
                      int round)
{
    const int status = cost_of(step, &record->cost[round]);

    record->there = status != BENCH_NOT_THERE;
    if (record->there && status != 0)
        die(step->name, "failed");
}

/* Whatever a first run has to fetch from the disk, it fetches before the
 * first round. */
static void rounds_take(const struct bench_job *job, struct record *record,
                        int rounds)
{
    const size_t n = steps_of(job);

    for (size_t i = 0; i < n; i++)
        step_take(&job->step[i], &record[i], 0);
    for (int round = 0; round < rounds; round++)
        for (size_t i = 0; i < n; i++)
            if (record[i].there)
                step_take(&job->step[i], &record[i], round);
}

/* ---- the table ---------------------------------------------------------- */

enum what { WALL, CPU, PEAK };

static double figure(const struct cost *cost, enum what what)
{
    switch (what) {
    case WALL:
        return cost->wall_s;
    case CPU:
        return cost->cpu_s;
    case PEAK:
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

/* Over the rounds, of a figure or, with a yardstick, of its ratio to that of
 * the same round. */
static struct range range_of(const struct record *record,
                             const struct record *yardstick, enum what what,
                             int rounds)
{
    double v[MOST_ROUNDS] = {0};

    for (int i = 0; i < rounds; i++)
        v[i] = figure(&record->cost[i], what) /
               (yardstick ? figure(&yardstick->cost[i], what) : 1);
    qsort(v, (size_t)rounds, sizeof *v, by_size);
    return (struct range){v[0], (v[(rounds - 1) / 2] + v[rounds / 2]) / 2,
                          v[rounds - 1]};
}

static void print_step(const char *name, const struct record *record,
                       const struct record *yardstick, int rounds)
{
    static const enum what all[] = {WALL, CPU, PEAK};

    printf("| %s |", name);
    if (!record->there) {
        puts(" not installed | | | | | |");
        return;
    }
    printf(" %.0f ms |", 1e3 * range_of(record, NULL, WALL, rounds).median);
    printf(" %.0f ms |", 1e3 * range_of(record, NULL, CPU, rounds).median);
    printf(" %.1f MB |", range_of(record, NULL, PEAK, rounds).median);
    for (size_t i = 0; i < ARRAY_LEN(all); i++) {
        const struct range r = range_of(record, yardstick, all[i], rounds);

        if (record == yardstick)
            printf(" 1 |");
        else
            printf(" **%.2f** (%.2f to %.2f) |", r.median, r.low, r.high);
    }
    putchar('\n');
}

/* The first "model name" that Linux tells; the host's own name is nobody's
 * business. */
static void print_machine(void)
{
    struct utsname system;
    char line[256], model[200] = "unknown processor";
    FILE *f = fopen("/proc/cpuinfo", "r");

    while (f && fgets(line, sizeof line, f))
        if (sscanf(line, "model name : %199[^\n]", model) == 1)
            break;
    if (f)
        fclose(f);
    if (uname(&system) == 0)
        printf("Machine: %ld cores, %s, %s, %s.\n",
               sysconf(_SC_NPROCESSORS_ONLN), model, system.machine,
               system.sysname);
}

/* ---- jobs --------------------------------------------------------------- */

static char folder[64]; /* of the job that is done, or empty */

static int visible(const struct dirent *entry)
{
    return entry->d_name[0] != '.';
}

static void folder_remove(void)
{
    struct dirent **entry = NULL;
    const int n = folder[0] ? scandir(folder, &entry, visible, alphasort) : 0;
    char path[1024];

    for (int i = 0; i < n; i++) {
        snprintf(path, sizeof path, "%s/%s", folder, entry[i]->d_name);
        unlink(path);
        free(entry[i]);
    }
    free(entry);
    if (folder[0])
        rmdir(folder);
    folder[0] = '\0';
}

static void job_do(const struct bench_job *job, int rounds)
{
    const size_t n = steps_of(job);
    struct record *record = mem_new(n, sizeof *record);

    snprintf(folder, sizeof folder, "/tmp/hanklab-bench-XXXXXX");
    if (!mkdtemp(folder))
        die("/tmp", "no temporary folder");
    job->prepare(folder);
    rounds_take(job, record, rounds);
    folder_remove();
    printf("\n%c%s: medians of %d rounds (lowest to highest).\n\n"
           "| | wall | processor | peak memory | wall, of the first's | "
           "processor, of the first's | memory, of the first's |\n"
           "|---|---|---|---|---|---|---|\n",
           job->title[0] - 'a' + 'A', job->title + 1, rounds);
    for (size_t i = 0; i < n; i++)
        print_step(job->step[i].name, &record[i], &record[0], rounds);
    if (job->tell)
        job->tell();
    free(record);
}

int main(int argc, char **argv)
{
    const char *only = argc > 1 ? argv[1] : "";
    const long rounds = argc > 2 ? strtol(argv[2], NULL, 10) : ROUNDS;
    bool done = false;

    if (argc > 3 || rounds < 1 || rounds > MOST_ROUNDS)
        die("usage", "bench [JOB [ROUNDS]]");
    atexit(folder_remove); /* however it ends */
    print_machine();
    for (size_t i = 0; i < ARRAY_LEN(jobs); i++)
        if (!only[0] || !strcmp(only, jobs[i]->name)) {
            job_do(jobs[i], (int)rounds);
            done = true;
        }
    if (!done)
        die(only, "no such job");
    return 0;
}
