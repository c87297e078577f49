/*
 * What "make bench" runs: jobs, each a few steps done in turn in the same
 * rounds, the first of which is the yardstick for the others.
 */
#ifndef HANKLAB_TESTS_FIGURES_BENCH_H
#define HANKLAB_TESTS_FIGURES_BENCH_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>
#include <sys/types.h>

/* A step that is a program which is not installed returns this. */
#define BENCH_NOT_THERE 127

#define BENCH_STEPS 24
#define BENCH_REACHES 24
#define BENCH_MOST_ROUNDS 99

/* One step, run in a process of its own with standard output thrown away.
 * Returns 0, BENCH_NOT_THERE, or anything else when it went wrong. */
struct bench_step {
    const char *name;
    int (*run)(void);
    const pid_t *server; /* a process whose processor time during the step
                            counts in place of its own; or NULL */
    int times;           /* it does the same so often, and seconds are those of
                            one; 0: once */
    const char *const *argv; /* a program in place of run; or NULL */
};

enum bench_what { BENCH_WALL, BENCH_CPU, BENCH_PEAK };

/* What a step is meant to keep to: its figure, divided by the yardstick's of
 * the same round. */
struct bench_reach {
    const char *words; /* "taps, of the decode" */
    int step, than;    /* of the job's steps; than is the yardstick */
    enum bench_what what;
    bool upside_down; /* the yardstick's divided by the step's: a speed */
    double reach;     /* at most; upside down, at least */
    double (*yardstick)(void); /* in place of a step's: in s or MB; or NULL */
};

struct bench_job {
    const char *name;  /* as typed: make bench T=name; those of one name
                          are done one after another */
    const char *title; /* one line */
    /* Puts what the steps read into an empty folder, which is taken away
     * afterwards; ends the program when it cannot. */
    void (*prepare)(const char *folder);
    struct bench_step step[BENCH_STEPS]; /* until one without a name; none:
                                             tell measures by itself */
    /* Prints what else there is to say, below the tables; may be NULL. */
    void (*tell)(void);
    struct bench_reach reach[BENCH_REACHES]; /* until one without words */
    void (*finish)(void); /* ends what prepare began; may be NULL */
    /* Lines to draw of the steps' processor time, or NULL: "what is counted"
     * at the bottom, and each step's place there and line. */
    const struct bench_growth *growth;
};

/* How a job grows: one point for each step, in units of the first step. The
 * points are put into BUILD/growth-NAME.txt, which src/tools/plot.c draws. */
struct bench_growth {
    const char *title, *along; /* "million pixels" */
    struct {
        const char *line;
        double at;
    } point[BENCH_STEPS]; /* in the order of the steps */
};

/* A file each, and a row in the table of bench.c. */
extern const struct bench_job job_frames, job_growth, job_guild, job_import,
    job_instructions, job_list, job_log, job_measure, job_measure_48, job_near,
    job_pages, job_palette, job_peers_near, job_peers_preview,
    job_peers_regions, job_preview, job_shelf, job_start;

/* The path of a program of this build, in a buffer that the next call uses. */
const char *bench_program(const char *name);

/* Runs a program of this build and waits; ends the program when it fails. */
void bench_run(const char *const argv[]);

/* Runs a program, of this build or of the system, and takes down what it
 * prints, as much as there is room for. Its exit status; BENCH_NOT_THERE. */
int bench_ask(const char *const argv[], char *out, size_t size);

/* fopen, that ends the program when it cannot. */
FILE *bench_open(const char *path, const char *mode);

/* Ends the program with a line on what went wrong, and where. */
_Noreturn void bench_die(const char *where, const char *what);

/* What a process took from its start to its end. */
struct cost {
    double wall_s, cpu_s, peak_mb; /* 1 MB is 1e6 bytes */
};

/* Runs a step in a process of its own; its exit status, or -1. */
int cost_of(const struct bench_step *step, struct cost *out);

/* ---- tables: table.c ---------------------------------------------------- */

/* All rounds of one step. */
struct record {
    struct cost cost[BENCH_MOST_ROUNDS];
    bool there;
};

/* The steps' figures, and beside it what they are meant to keep to. */
void table_tell(const struct bench_job *job, const struct record *record,
                int rounds);

/* Writes the points of a job that has lines to draw; ends the program when it
 * cannot. */
void growth_write(const struct bench_job *job, const struct record *record,
                  int rounds);

#endif
