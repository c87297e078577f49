/* What a process took. See the header. */
#include "bench.h"

#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

/* What a keeper tells of its step. */
struct report {
    struct cost cost;
    int status;
};

static double now_s(void)
{
    struct timespec t;

    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static double seconds(struct timeval t)
{
    return (double)t.tv_sec + 1e-6 * (double)t.tv_usec;
}

/* What another process has used so far. */
static double used_s(pid_t pid)
{
    struct timespec t;
    clockid_t clock;

    if (clock_getcpuclockid(pid, &clock) || clock_gettime(clock, &t))
        return 0;
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static void step_run(const struct bench_step *step)
{
    const int nothing = open("/dev/null", O_WRONLY);

    if (nothing < 0 || dup2(nothing, STDOUT_FILENO) < 0)
        _exit(1);
    if (!step->argv)
        _exit(step->run());
    execvp(step->argv[0], (char *const *)step->argv);
    _exit(BENCH_NOT_THERE);
}

/* What is known of children is the sum over all of them, so the step gets a
 * parent that has no other. */
static void keep(const struct bench_step *step, int to)
{
    struct report said = {.status = -1};
    struct rusage used;
    const double start = now_s();
    const double before = step->server ? used_s(*step->server) : 0;
    const pid_t child = fork();
    int status;

    if (child == 0)
        step_run(step);
    if (child > 0 && waitpid(child, &status, 0) == child &&
        getrusage(RUSAGE_CHILDREN, &used) == 0) {
        said.cost.wall_s = now_s() - start;
        said.cost.cpu_s = seconds(used.ru_utime) + seconds(used.ru_stime);
        if (step->server)
            said.cost.cpu_s = used_s(*step->server) - before;
        said.cost.peak_mb = (double)used.ru_maxrss * 1024 / 1e6; /* Linux: KB */
        said.status = WIFEXITED(status) ? WEXITSTATUS(status) : -1;
    }
    _exit(write(to, &said, sizeof said) == sizeof said ? 0 : 1);
}

int cost_of(const struct bench_step *step, struct cost *out)
{
    struct report said;
    int ends[2];
    pid_t keeper;
    bool whole;

    fflush(stdout);
    if (pipe(ends) != 0)
        return -1;
    keeper = fork();
    if (keeper == 0)
        keep(step, ends[1]);
    close(ends[1]);
    whole = keeper > 0 && read(ends[0], &said, sizeof said) == sizeof said;
    close(ends[0]);
    if (keeper > 0)
        waitpid(keeper, NULL, 0);
    if (!whole)
        return -1;
    *out = said.cost;
    return said.status;
}
