/*
 * When to do what at the stove, so that all of it is done soonest: jobs that
 * wait for others, with only so many pots, burners and waking hours. Minutes
 * count from a midnight before the work begins.
 *
 * Between two jobs a liquor waits in a bucket or a jar and needs no pot.
 */
#ifndef HANKLAB_DYE_SCHEDULE_H
#define HANKLAB_DYE_SCHEDULE_H

#include <stdbool.h>
#include <stddef.h>

#define SCHEDULE_MOST 160 /* jobs */
#define SCHEDULE_AFTER 40 /* jobs that one waits for */

/* One job. What it takes it takes from its start on and gives back in this
 * order: the burner, somebody's time, the pot. */
struct schedule_job {
    int minutes;      /* in all, 1 or more */
    int attended_min; /* of them somebody is up */
    int burner_min;   /* of them a burner is on; within the other three */
    int pot_min;      /* of them a pot is full */
    /* Jobs of one number above 0 may stand as jars in one water bath, each
     * with a liquor of its own; they begin together and their minutes are
     * alike (asserted). 0: it has a pot alone. */
    size_t jar;
    size_t after[SCHEDULE_AFTER]; /* jobs that must have ended before */
    size_t afters;
};

struct schedule_means {
    int pots, burners;      /* 1 or more */
    int jars;               /* that one water bath takes, 1 or more */
    int up_min, to_bed_min; /* of the day: attended work only between them; 0
                               and 1440: at any hour */
    int begin_min;          /* nothing before that */
};

struct schedule {
    int start_min[SCHEDULE_MOST];
    /* Which of the pots and burners, from 1; 0: none. Jars of one bath have
     * them in common. */
    int pot[SCHEDULE_MOST], burner[SCHEDULE_MOST];
    int begin_min, end_min; /* of the first and the last job */
    int bound_min;          /* no plan ends before that; proven */
    bool exact;             /* no plan ends sooner: bound_min is end_min */
};

/*
 * The shortest plan, by branch and bound; when that takes too long the best
 * that was found, and bound_min says how much it may be off.
 *
 * False when jobs wait for each other in a ring, or one does not fit into the
 * waking hours.
 */
bool schedule_solve(const struct schedule_job *job, size_t n,
                    const struct schedule_means *means, struct schedule *out);

/* A plan that is done by ready_min and begins as late as was found, to half an
 * hour, but not before means->begin_min. False when none was found. */
bool schedule_latest(const struct schedule_job *job, size_t n,
                     const struct schedule_means *means, int ready_min,
                     struct schedule *out);

#endif
