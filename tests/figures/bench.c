/*
 * bench [JOB [ROUNDS]]: how long the jobs take and how much memory, against a
 * yardstick in the same round, as a table in Markdown. Judges nothing: it
 * fails only where a step does.
 */
#include "bench.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/utsname.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/mem.h"

enum { ROUNDS = 11 };

static const struct bench_job *const jobs[] = {
    &job_measure,       &job_measure_48, &job_growth, &job_preview,
    &job_start,         &job_pages,      &job_frames, &job_instructions,
    &job_palette,       &job_shelf,      &job_near,   &job_guild,
    &job_log,           &job_list,       &job_import, &job_peers_regions,
    &job_peers_preview, &job_peers_near,
};

_Noreturn void bench_die(const char *where, const char *what)
{
    fprintf(stderr, "bench: %s: %s\n", where, what);
    exit(1);
}

FILE *bench_open(const char *path, const char *mode)
{
    FILE *f = fopen(path, mode);

    if (!f)
        bench_die(path, "cannot be opened");
    return f;
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
        bench_die(argv[0], "failed");
}

int bench_ask(const char *const argv[], char *out, size_t size)
{
    int ends[2], status = 0;
    size_t got = 0;
    ssize_t n = 1;
    pid_t child;

    fflush(stdout);
    if (pipe(ends) || (child = fork()) < 0)
        bench_die(argv[0], "cannot be started");
    if (child == 0) {
        dup2(ends[1], STDOUT_FILENO);
        execvp(argv[0], (char *const *)argv);
        _exit(BENCH_NOT_THERE);
    }
    close(ends[1]);
    while (n > 0 && got + 1 < size) {
        n = read(ends[0], out + got, size - 1 - got);
        got += n > 0 ? (size_t)n : 0;
    }
    out[got] = '\0';
    close(ends[0]);
    if (waitpid(child, &status, 0) != child || !WIFEXITED(status))
        bench_die(argv[0], "was ended");
    return WEXITSTATUS(status);
}

/* ---- rounds ------------------------------------------------------------- */

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

    if (step->times) {
        record->cost[round].wall_s /= step->times;
        record->cost[round].cpu_s /= step->times;
    }
    record->there = status != BENCH_NOT_THERE;
    if (record->there && status != 0)
        bench_die(step->name, "failed");
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

/* ---- the machine -------------------------------------------------------- */

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

static void folder_remove(void)
{
    const char *const remove[] = {"/bin/rm", "-rf", folder, NULL};

    if (folder[0])
        bench_run(remove);
    folder[0] = '\0';
}

static const struct bench_job *running; /* prepared and not yet finished */

static void job_end(void)
{
    const struct bench_job *job = running;

    running = NULL;
    if (job && job->finish)
        job->finish();
    folder_remove();
}

static void job_do(const struct bench_job *job, int rounds)
{
    const size_t n = steps_of(job);
    struct record *record = mem_new(n, sizeof *record);

    snprintf(folder, sizeof folder, "/tmp/hanklab-bench-XXXXXX");
    if (!mkdtemp(folder))
        bench_die("/tmp", "no temporary folder");
    running = job;
    job->prepare(folder);
    rounds_take(job, record, rounds);
    if (n)
        table_tell(job, record, rounds);
    if (job->growth)
        growth_write(job, record, rounds);
    if (job->tell)
        job->tell();
    job_end();
    free(record);
}

int main(int argc, char **argv)
{
    const char *only = argc > 1 ? argv[1] : "";
    const long rounds = argc > 2 ? strtol(argv[2], NULL, 10) : ROUNDS;
    bool done = false;

    if (argc > 3 || rounds < 1 || rounds > BENCH_MOST_ROUNDS)
        bench_die("usage", "bench [JOB [ROUNDS]]");
    atexit(job_end); /* however it ends */
    if (!only[0] || !strcmp(only, "machine")) {
        print_machine();
        done = true;
    }
    for (size_t i = 0; i < ARRAY_LEN(jobs); i++)
        if (!only[0] || !strcmp(only, jobs[i]->name)) {
            job_do(jobs[i], (int)rounds);
            done = true;
        }
    if (!done)
        bench_die(only, "no such job");
    return 0;
}
