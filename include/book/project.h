/*
 * Projects: colours that are wanted, planned as pots and steps (dye/plan.h),
 * kept in the book with what was done of them. Times are local.
 */
#ifndef HANKLAB_BOOK_PROJECT_H
#define HANKLAB_BOOK_PROJECT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/error.h"
#include "base/moment.h"
#include "base/text.h"
#include "book/book.h"
#include "book/pot.h"
#include "colour/lab.h"

/*
 * As typed; NULL and "" are not said.
 *
 * A wish is "NAME = AMOUNT" with more behind semicolons: dyestuff, mordant,
 * assist, dip (each as "madder: 60 %", percent or a ratio; again for another),
 * round, like (a skein to be dyed as), on (skeins of the book that take it,
 * instead of the amount), note. The amount is grams or metres, "2 x 40 m" for
 * two skeins.
 */
struct project_words {
    const char *name;
    struct pot_words wishes;
    const char *yarn;       /* by name */
    const char *hank;       /* "100 g = 400 m": what the skeins are split off */
    const char *ready;      /* "Sunday evening" */
    const char *pots;       /* "3", "3 x 8 l" */
    const char *burners;    /* "2" */
    const char *jars;       /* in one water bath: "4 x 1 l" */
    const char *water;      /* for the fibre: "30:1", litres a kg */
    const char *hours;      /* of the day: "8-22" */
    const char *tests;      /* rounds behind the last: "1", "2 x 10 g" */
    struct pot_words times; /* "dye=70 C, 45 min", "soak=overnight",
                               "mordant=cold, 48 h" */
    const char *dyer;
    const char *note;
    bool only_try; /* read and plan everything, and store nothing */
};

/* A colour that is wanted, and what to expect. */
struct project_wish {
    int64_t id;
    char *name, *recipe, *amount, *skeins, *like; /* NULL: not said */
    char *how; /* the recipe as a phrase: "madder 60 % on alum 12 %" */
    double g;
    bool expected;  /* a colour is known of dyeing so */
    bool foretold;  /* by a model of the exhausts, not seen */
    struct lab lab; /* D50, 2 degree */
    char *by;       /* "as skein 31", "foretold from bath 3" */
};

/* Something to weigh. */
struct project_dose {
    char *role, *name, *words;
    double pct, g; /* NaN: not known */
};

/* A step, as planned and as done. */
struct project_task {
    int64_t id;
    int number;
    char *kind, *name;
    char *skeins, *water, *heat, *minutes, *source, *liquor, *vessel, *after;
    struct project_dose *dose;
    size_t doses;
    double fibre_g;
    int round; /* -1: none */
    bool has_begin;
    struct moment begins;
    int takes_min;
    int attended_min;           /* of them somebody is up */
    int burner_min, in_pot_min; /* of them a burner is on, a pot is full */
    int pot, burner;            /* which, from 1; 0: none */
    bool done;
    char *done_on;  /* or NULL */
    char *record;   /* "bath 3", "treatment #12": what it became, or NULL */
    char *differed; /* "heat 80, planned 65", or NULL */
    char *note;     /* said when it was done, or NULL */
    int64_t bath_id, treatment_id;
};

/* One material for all steps that are not done. */
struct project_need {
    char *name;
    double g;        /* NaN: of some step it is not known */
    double left_g;   /* in the cupboard at most, dry; NaN: not known */
    bool left_known; /* no use of it was without a weight */
    bool more;       /* beside it a supply of which it is not known how much */
    bool stocked;    /* there is a supply of it */
    double short_g;  /* above 0: so much is missing */
    char *state;     /* of the supply, where that is not dry; or NULL */
    bool fine;       /* a weight of it is below what a kitchen scale shows */
    double stock_ml; /* of a 1 % solution for the least of its weights, where
                        that is a salt's and below 1 g; NaN: not so */
};

struct project {
    int64_t id;
    char *name, *yarn, *hank, *pots, *hours;
    char *dyer; /* whose it is: another's; NULL: this book's own */
    bool has_ready, has_soonest;
    struct moment ready, ends, soonest;
    bool late;     /* ends behind ready */
    bool shortest; /* proven: no plan ends sooner */
    struct project_wish *wish;
    size_t wishes;
    struct project_task *task;
    size_t tasks, done;
    size_t extras;  /* skeins that are of none of the colours: tests, and what
                       goes into a round before a wanted one */
    double extra_g; /* NaN: not known */
    struct project_need *need;
    size_t needs;
    char *said;          /* by the plan, a line each; "" none */
    struct text caution; /* a line each */
};

/*
 * Plans a new project and keeps it: its wishes, new skeins, the steps with
 * their times. An act of its own. With only_try nothing is kept.
 *
 * out   as project_read; release with project_clear
 * echo  how words were understood; appended, may be NULL
 * err   ERR_INPUT, ERR_MISSING, ERR_LIMIT
 */
bool project_make(struct book *book, const struct project_words *words,
                  struct project *out, struct text *echo, struct error *err);

/* By name; NULL or "": the newest with a step to do, else the newest, of this
 * book's own before others'. ERR_MISSING. */
bool project_find(struct book *book, const char *words, int64_t *id,
                  struct error *err);

bool project_read(struct book *book, int64_t id, struct project *out,
                  struct error *err);
void project_clear(struct project *project);
/* " and 2 test skeins (20 g)"; nothing when there are none. */
void project_extra_words(const struct project *project, struct text *out);

/* ERR_INPUT: it is another dyer's. Its steps are about her skeins, and are
 * neither done nor planned anew here. */
bool project_own(struct book *book, int64_t id, struct error *err);

/* Plans anew when the steps that are left are done; of words only ready, pots,
 * burners, jars and hours are looked at. An act of its own. */
bool project_when(struct book *book, int64_t id,
                  const struct project_words *words, struct error *err);

/*
 * A step was done: as planned, but for what `changed` says (on, temperature,
 * minutes, ph, cooled, vessel, water, volume, with, dyestuffs, note; skeins
 * in place of the planned ones). A mordant, dip or rinse becomes a treatment,
 * an extraction a bath with it, a dyeing a round of that bath; a soak only a
 * mark. An act of its own.
 *
 * day   on which it was done; NULL: today
 * err   ERR_INPUT  done already; a dyeing before its extraction; another's
 */
bool project_done(struct book *book, int64_t id, int step,
                  const struct pot_entry *changed, struct pot_result *result,
                  struct text *echo, struct error *err);

#endif
