/*
 * A project before the pot is lit: from skeins and the way each shall be dyed
 * to what goes into which pot, what to weigh for it, and when. Weights in
 * grams, percentages of the dry fibre, heat in degrees Celsius.
 *
 * Between two steps a liquor waits in a bucket; a pot is filled to three
 * quarters (common practice, no source).
 */
#ifndef HANKLAB_DYE_PLAN_H
#define HANKLAB_DYE_PLAN_H

#include "base/error.h"
#include "base/text.h"
#include "dye/schedule.h"

#define PLAN_SKEINS 60
#define PLAN_ROUNDS 12
#define PLAN_DOSES 4 /* of one kind, for one skein */
#define PLAN_FILLED 0.75
/* Up to that a step needs no stove: it stands in a bucket. Our own choice: the
 * warmest that a room gets. */
#define PLAN_COLD_C 30
/* No default is hotter, whatever was done before: never a rolling boil. */
#define PLAN_HOTTEST_C 90

struct plan_dose {
    const char *name;
    double pct; /* NaN: how much is not known */
};

struct plan_doses {
    struct plan_dose dose[PLAN_DOSES];
    size_t count;
};

/* "alum 12 % + iron", and without the strengths; appended. */
void plan_doses_words(const struct plan_doses *doses, struct text *out);
void plan_doses_names(const struct plan_doses *doses, struct text *out);

enum plan_why {
    PLAN_WANTED,
    PLAN_FILLER, /* a round before a wanted one, which nobody wanted */
    PLAN_TEST,   /* a round behind the last wanted one */
};

/* Texts are borrowed. */
struct plan_skein {
    double g;
    struct plan_doses dyestuffs, mordants, assists, dips;
    int round;      /* of the dyestuffs' liquor: 0 first */
    bool mordanted; /* already; its mordants only say what it must not meet */
    enum plan_why why;
};

enum plan_kind {
    PLAN_SOAK,
    PLAN_MORDANT,
    PLAN_EXTRACT, /* draw the colour out, and strain */
    PLAN_DYE,
    PLAN_DIP,
    PLAN_RINSE, /* and dry */
    PLAN_KINDS
};

/* "soak", "mordant", "extract" ... */
extern const char *const plan_kind_names[PLAN_KINDS];

/* What the dyer said of a kind of step, or did before. */
struct plan_habit {
    enum plan_kind kind;
    const char *material; /* for that one only; NULL: for any */
    double heat_c;        /* NaN: not said */
    bool cold;            /* no heat at all; as is up to PLAN_COLD_C */
    int hold_min;         /* at that heat; of a rinse: to dry; -1: not said */
    const char *source;   /* "as you did it on 2026-05-03"; borrowed */
};

struct plan_ways {
    double l_per_kg; /* water for the dry fibre */
    double pot_l;    /* what each pot holds, full */
    double jar_l;
    int tests;     /* rounds behind the last wanted one, a skein each */
    double test_g; /* that it weighs */
    const struct plan_habit *habit; /* the first that fits is taken */
    size_t habits;
    struct schedule_means means; /* jars 0: none; begin_min is not looked at */
};

/* 30 l a kg, pots of 8 l, three of them, two burners, jars none, 8 to 22
 * o'clock: common practice or our own choice, no source. */
struct plan_ways plan_usual(void);

/* One thing to weigh. */
struct plan_weigh {
    const char *role; /* "dyestuff", "mordant", "assist", "modifier" */
    const char *name; /* borrowed */
    double pct, g;    /* NaN: not known */
};

struct plan_step {
    enum plan_kind kind;
    struct text title;
    size_t skein[PLAN_SKEINS], skeins;
    struct plan_weigh weigh[2 * PLAN_DOSES];
    size_t weighs;
    double fibre_g, water_l; /* NaN: none is needed */
    double heat_c;           /* NaN: cold, or none of its own; what is up to
                                PLAN_COLD_C needs no burner */
    int hold_min;            /* at that heat; of a rinse: to dry */
    size_t liquor;           /* from 1; 0: none that is kept */
    int round;
    bool jar;                /* small enough for a jar in a water bath */
    char *source;            /* of heat and time; owned */
    struct schedule_job job; /* waits for steps before it in the plan */
    int start_min;           /* set by plan_schedule, as the next two */
    int pot, burner;         /* from 1; 0: none */
};

/* Release with plan_clear. */
struct plan {
    struct plan_skein *skein; /* those that were asked for, then others */
    size_t skeins;
    struct plan_step *step;
    size_t steps;
    char *liquor[PLAN_SKEINS]; /* "madder", "madder 2"; from 0; owned */
    size_t liquors;
    struct text notes; /* a line each */
    int begin_min, end_min, bound_min;
    bool exact;
};

/*
 * Makes pots and steps. Skeins of one mordant in one amount are mordanted
 * together; those of the same dyestuffs share a liquor, later rounds the paler
 * ones. Skeins with iron, copper or tin in them come behind all others of a
 * liquor or get a pot of their own, and a note says so. What is more than a pot
 * takes is shared out.
 *
 * err  ERR_INPUT  chrome or tin, a weight that is none, no dyestuff, a pot too
 *                 small for one skein
 *      ERR_LIMIT  too many skeins, rounds, doses or steps
 */
bool plan_make(const struct plan_skein *skein, size_t skeins,
               const struct plan_ways *ways, struct plan *out,
               struct error *err);
void plan_clear(struct plan *plan);

/* Whether a pot is large enough for the liquor of a step; ERR_INPUT says how
 * large it has to be. */
bool plan_pot_holds(const char *title, double water_l, double pot_l,
                    struct error *err);

/*
 * Says when, in minutes from the midnight before now_min: done by ready_min
 * and begun as late as that allows, else begun at now_min, with *late true;
 * ready_min below 0: begun at now_min. Steps are put in the order of their
 * beginnings.
 *
 * err  ERR_INPUT  a step does not fit into the waking hours
 */
bool plan_schedule(struct plan *plan, const struct plan_ways *ways, int now_min,
                   int ready_min, bool *late, struct error *err);

/* The same for jobs that are left of a plan that was begun. */
bool plan_schedule_jobs(const struct schedule_job *job, size_t n,
                        struct schedule_means means, int now_min, int ready_min,
                        struct schedule *out, bool *late, struct error *err);

#endif
