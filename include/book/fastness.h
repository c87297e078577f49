/* How well colours last: what became of the tests of skeins. Errors as in
 * book/ask.h. */
#ifndef HANKLAB_BOOK_FASTNESS_H
#define HANKLAB_BOOK_FASTNESS_H

#include "base/day.h"
#include "book/ask.h"

enum fast_kind { FAST_LIGHT, FAST_WASH, FAST_RUB, FAST_KINDS };

extern const char *const fast_kind_names[FAST_KINDS]; /* "light" ... */

/* How far a test is, by its days. */
enum fast_state {
    FAST_PLANNED, /* begins after today */
    FAST_RUNNING,
    FAST_DUE, /* within FAST_WEEK days */
    FAST_LATE,
    FAST_ENDED
};

#define FAST_WEEK 7

/* Why a test has no grade. */
enum fast_lack {
    FAST_GRADED,
    FAST_NO_AFTER,  /* no reading since it began */
    FAST_NO_BEFORE, /* none from before it began, nor of a covered part */
    FAST_OTHER_STEP /* something was done to the skein between the two */
};

struct fast_test {
    int64_t id, skein_id, number;
    enum fast_kind kind;
    char *label; /* of the skein: "137" */
    /* What the skein was when it was read, or now without a grade. Names with
     * " + " between them, NULL for none. */
    char *dyestuffs, *mordants, *dips;
    bool no_mordant;
    bool changed; /* something was done to the skein since it was read */
    char *exposure, *start, *due, *end; /* as they are shown, or NULL */
    bool dated;                         /* the day it began on is known */
    char due_to[11];                    /* "" : not known */
    enum fast_state state;
    int days_left; /* to the last day it is due on; negative: late */
    enum fast_lack lack;
    enum ask_lack why;     /* of the reading that is missing: what there is */
    bool wet;              /* readings of the wet yarn were asked for */
    bool covered, exposed; /* those parts were read, else whole */
    struct ask_reading original, tested; /* when graded */
    bool same_setup;
    double de76, de_f;
    double de_f_low, de_f_high; /* each right about 19 times in 20 */
    struct comparison compared; /* of the two, with a tolerance of 2 */
};

/* All graded tests of one kind, dye, mordant and dip. */
struct fast_group {
    enum fast_kind kind;
    char *dyestuffs, *mordants, *dips; /* NULL: none, or not recorded */
    bool no_mordant;
    size_t tests;
    double de_f;        /* the mean */
    double best, worst; /* dE_F */
};

struct fast_request {
    struct ask_filter filter; /* which skeins, and which readings count; not by
                                 part */
    bool only_due;            /* within a week, or late */
    bool has_kind;
    enum fast_kind kind;
    int64_t skein; /* 0: of all */
    struct day today;
};

struct fast_answer {
    struct fast_test *test; /* graded first, the fastest first; then the rest by
                               when they are due */
    size_t count, graded;
    struct fast_group *group; /* by kind, the fastest first */
    size_t groups;
    size_t due; /* that are due within a week, or late */
};

/*
 * A test's colours are the readings it names. Where it names none: of a light
 * test the exposed part of the skein against its covered one, both since it
 * began; else the whole skein since after the day it began against the whole
 * skein before. The latest count, up to when the next test of the kind began.
 * Only what is dry (or wet, by the filter), for the filter's light and not read
 * by eye counts, and only where nothing was done to the skein between the two:
 * of a wash test, nothing but washing. Release with fast_answer_clear.
 */
bool ask_fastness(struct book *book, const struct fast_request *request,
                  struct fast_answer *out, struct error *err);
void fast_answer_clear(struct fast_answer *answer);

/* "light", "wash" or "rub"; false for anything else. */
bool fast_kind_find(const char *words, enum fast_kind *out);

/* "madder on alum, dipped in iron", "walnut, no mordant"; appended. */
void fast_dye_words(const char *dyestuffs, const char *mordants,
                    const char *dips, bool no_mordant, struct text *out);

/* Why there is no grade: "since it began read wet only"; appended. */
void fast_lack_words(const struct fast_test *test, struct text *out);

/* How far it is: "due 2026-11-30", "late, due 2026-11-01", "ended May 2026",
 * "since 2026-05-03"; appended. */
void fast_state_words(const struct fast_test *test, struct text *out);

/* "4", or how far it may be from it: "4 (3-4 to 4-5)"; appended. */
void fast_grade_words(const struct fast_test *test, struct text *out);

/* What has to be said beside grades. */
extern const char fast_caution[];

#endif
