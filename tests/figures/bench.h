/*
 * What "make bench" runs: jobs, each a few steps done in turn in the same
 * rounds, the first of which is the yardstick for the others.
 */
#ifndef HANKLAB_TESTS_FIGURES_BENCH_H
#define HANKLAB_TESTS_FIGURES_BENCH_H

#include <stdbool.h>

/* A step that is a program which is not installed returns this. */
#define BENCH_NOT_THERE 127

#define BENCH_STEPS 8

/* One step, run in a process of its own with standard output thrown away.
 * Returns 0, BENCH_NOT_THERE, or anything else when it went wrong. */
struct bench_step {
    const char *name;
    int (*run)(void);
};

struct bench_job {
    const char *name;  /* as typed: make bench T=name */
    const char *title; /* one line */
    /* Puts what the steps read into an empty folder, which is taken away
     * afterwards; ends the program when it cannot. */
    void (*prepare)(const char *folder);
    struct bench_step step[BENCH_STEPS]; /* until one without a name */
    /* Prints what else there is to say, below the table; may be NULL. */
    void (*tell)(void);
};

/* A file each, and a row in the table of bench.c. */
extern const struct bench_job job_measure, job_palette, job_shelf;

/* The path of a program of this build, in a buffer that the next call uses. */
const char *bench_program(const char *name);

/* Runs a program of this build and waits; ends the program when it fails. */
void bench_run(const char *const argv[]);

/* What a process took from its start to its end. */
struct cost {
    double wall_s, cpu_s, peak_mb; /* 1 MB is 1e6 bytes */
};

/* Runs a step in a process of its own; its exit status, or -1. */
int cost_of(const struct bench_step *step, struct cost *out);

#endif
