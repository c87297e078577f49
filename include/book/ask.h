/*
 * Questions to the book: which skeins, what colour they have, how two compare,
 * which come near a colour, how a bath faded, what a table of two things looks
 * like, what a skein went through. Every answer is a plain struct.
 *
 * A skein's colour is its latest reading that is dry, of the whole skein, taken
 * after its last step, for D50 and 2 degree, by photo or instrument. Any other
 * reading is left out and counted, never slipped in. "Latest" goes by the day
 * it was read (its last possible day), a reading without a day by the day it
 * was written down; of one day, the one written down later.
 *
 * Skeins stand in the order of their numbers, the book's own dyer first, then
 * the others by name; the order of records in the book changes no answer.
 *
 * All errors are ERR_STORE unless said. Structs filled here own their texts.
 */
#ifndef HANKLAB_BOOK_ASK_H
#define HANKLAB_BOOK_ASK_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/error.h"
#include "base/text.h"
#include "book/book.h"
#include "colour/lab.h"
#include "colour/name.h"
#include "colour/uncertainty.h"
#include "dye/depth.h"
#include "dye/exhaust.h"
#include "dye/palette.h"

/* ---- which skeins -------------------------------------------------------- */

#define ASK_IDS 8

struct ask_ids {
    int64_t id[ASK_IDS];
    size_t count;
};

/* Inclusive; low NaN: not asked. */
struct ask_range {
    double low, high;
};

/*
 * What skeins are asked for; all that is set must hold. Dyestuff, round, bath,
 * dips, pH, water, day and dyestuff weight are those of the last dye, unless
 * `ever`: then dyestuffs, round and bath are those of any dye of the skein's
 * life, before a cut too, and dips any it ever had.
 */
struct ask_filter {
    struct ask_ids dyestuffs, mordants, dips; /* has each of them */
    bool no_dip;                              /* not dipped since the dye */
    bool only; /* of each kind named above, nothing beside what is named */
    bool ever;
    bool unfinished;
    bool has_round;
    int64_t round;                             /* 0 first */
    int64_t fibre, bath, owner, supply, water; /* 0: any */
    char glow[8]; /* "", "any", "none", "faint", "strong" */
    struct ask_range ph;
    struct ask_range per_fibre_pct; /* dyestuff, percent of the fibre */
    char from[11], to[11];          /* ISO days; "" : any */
    int month, months; /* of any year: months from 1..12 on; 0: any */
    /* Tested, and no grade less than that: twice the grade, 2 to 10; 0: any. */
    int fastness;
    char fast_kind[8]; /* "light", "wash", "rub"; "": whichever */
    char text[512];    /* words of notes, as src/book/said.h has them; "" */
    /* Which readings count as its colour. */
    bool wet;
    char part[8]; /* "whole", "covered", "exposed", "dipped", "rest" */
    char illuminant[8];
    int observer_deg;
};

/* Nothing asked: every skein, dry and whole, D50 and 2 degree. */
struct ask_filter ask_filter_any(void);

/*
 * Sets one thing from words: "dyestuff", "mordant", "dip", "fibre", "bath",
 * "owner" ("me"), "supply", "water", "round" ("exhaust 2"), "part", "glow",
 * "light" ("D65/10"), "fastness" ("4", "wash 3-4"), "ph" and "per-fibre"
 * ("7..8", "7", "..6"), "date"
 * ("summer 2019"; a bare "summer" or "May" is that of any year), "text" (words
 * that notes of the skein, or of what it went through, all have in them, or
 * have words that begin so: one note all of them), and the switches "no-dip",
 * "only", "ever", "unfinished", "wet", whose words are not looked at. A bath of
 * a mordant or a modifier is looked for in the whole life.
 *
 * err  ERR_INPUT    cannot be read
 *      ERR_MISSING  names what is not in the book
 *      ERR_LIMIT    more than ASK_IDS of a kind
 */
bool ask_filter_read(struct book *book, struct ask_filter *filter,
                     const char *name, const char *words, struct error *err);

/* Whether it goes by D50 and 2 degree. */
bool ask_filter_is_usual_light(const struct ask_filter *filter);

/*
 * Materials of which a word begins so, "birch" of "birch leaves", six at most.
 *
 * names   "birch bark or birch leaves"; appended
 * mordant whether the first is a mordant
 * id      the only one, else 0
 */
bool ask_materials_like(struct book *book, const char *words,
                        struct text *names, bool *mordant, int64_t *id,
                        struct error *err);

/* Why a skein has no colour to go by, the nearest to having one first. */
enum ask_lack {
    ASK_HAS_COLOUR,
    ASK_OTHER_LIGHT, /* for another illuminant or observer only */
    ASK_BY_EYE,
    ASK_OTHER_PART, /* of another part of a light test only */
    ASK_WETNESS,    /* wet only; dry only when wet was asked for */
    ASK_EARLIER,    /* not since its last step */
    ASK_NEVER,      /* no reading at all */
    ASK_LACKS
};

/* "read wet only", "not measured" ...; wet: wet was asked for. */
const char *ask_lack_words(enum ask_lack lack, bool wet);

/* The lights beside the filter's that readings of skeins are for: "D65/10", or
 * "A/2 or D65/10"; appended, nothing when there are none.
 *
 * usable  the one of them, if it is one that may be asked for, else "" */
bool ask_other_lights(struct book *book, const struct ask_filter *filter,
                      struct text *out, char usable[12], struct error *err);

/* The reading taken as a skein's colour. */
struct ask_reading {
    int64_t id;
    struct colour_reading colour;
    bool assumed_u;   /* none was recorded: that of one reading of yarn */
    struct lab level; /* SD over the area, NaN when not known */
    bool photo;       /* else an instrument */
    char illuminant[8];
    int observer_deg;
    char day[11]; /* the last day it can be from; "" not known */
};

struct ask_skein {
    int64_t id, number, dyer_id, fibre_id;
    bool mine, unfinished;
    bool no_mordant;                             /* that it has none was said */
    char *label;                                 /* "137", "Aino/137" */
    char *dyer, *name, *code, *own_word, *fibre; /* NULL: not recorded */
    char *word_before; /* the last step, "dip", if the own word was said before
                        * that was logged, else NULL */
    double weight_g;   /* NaN: not recorded */
    /* After its last step. Sets are names in alphabetical order with " + "
     * between them, NULL for an empty set. */
    int64_t ordinal, entry_id;
    char *last_dyestuffs, *dyestuffs, *mordants, *dips;
    char *under;    /* dyestuffs of earlier layers alone */
    int64_t layers; /* how many dye treatments */
    int64_t dye_id; /* the last one's treatment, 0: none, or not one */
    int64_t bath_id;
    char *bath; /* "3", "Aino/3" */
    char *bath_name;
    bool has_round;
    int64_t round;
    /* Of the last dye; of the last treatment when there was none. */
    char *on_words, from[11], to[11];
    double per_fibre_low, per_fibre_high; /* percent; only when asked for */
    enum ask_lack lack;
    struct ask_reading reading; /* when it has a colour; for ASK_OTHER_LIGHT
                                 * only the light the latest was read for */
    /* Cut off another and neither treated nor read since: that one, "3", which
     * lay in `as_reading` before the cut; else NULL. Answers go by the one that
     * was read, so that no reading counts twice. */
    char *as;
    struct ask_reading as_reading;
};

struct ask_skeins {
    struct ask_skein *skein;
    size_t count;
    size_t found; /* before the limit */
};

/* The skeins that pass, at most `limit`, 0: all; release with
 * ask_skeins_free. */
bool ask_skeins(struct book *book, const struct ask_filter *filter,
                size_t limit, struct ask_skeins *out, struct error *err);
void ask_skeins_free(struct ask_skeins *skeins);

/* Baths that no skein was in and that were not poured into another, the newest
 * first; release *ids with free(). */
bool ask_empty_baths(struct book *book, int64_t **ids, size_t *count,
                     struct error *err);

/* One skein, withdrawn or not; of the filter only what says which
 * readings count. Release with ask_skein_clear. ERR_MISSING. */
bool ask_skein(struct book *book, int64_t id, const struct ask_filter *filter,
               struct ask_skein *out, struct error *err);
void ask_skein_clear(struct ask_skein *skein);

/* The colour to show it in: its own, or that of the one it was cut off; NULL
 * when it has none. Borrowed. */
const struct lab *ask_skein_colour(const struct ask_skein *skein);

/* "dark red", "dark red, as skein 3", "not measured"; appended. */
void ask_colour_words(const struct ask_skein *skein, struct text *out);

/* "olive", "olive (before woad)" when it was said before the last step;
 * appended, nothing without an own word. */
void ask_own_word(const struct ask_skein *skein, struct text *out);

/* The pH of a dye: as measured in it, else in its bath; NaN: not known. */
bool ask_ph(struct book *book, int64_t treatment, struct ask_range *out,
            struct error *err);

/* How it was made, as one phrase: "madder on alum, exhaust 2 of bath 3
 * madder", "indigo over weld on alum, bath 5, dipped in iron", "walnut, no
 * mordant". */
void ask_recipe_words(const struct ask_skein *skein, struct text *out);

/* "first bath", "exhaust 2"; appended. */
void ask_round_words(int64_t round, struct text *out);

/* What was done and in which bath: "dye, exhaust 2 of bath 14", "mordant, 2nd
 * use of bath 3", "vat in bath 4", "wash"; appended.
 *
 * bath  its number, or NULL */
void ask_step_words(const char *treatment, bool has_round, int64_t round,
                    const char *bath, struct text *out);

/* ---- comparing ----------------------------------------------------------- */

/*
 * Whether two readings were taken in the same set-up, so that what they share
 * cancels: on the same photos, or with the same card, camera, measuring method
 * and on the same day; of an instrument, with the same one in the same
 * geometry. Unknown is never the same.
 */
bool ask_same_setup(struct book *book, int64_t reading, int64_t other,
                    bool *same, struct error *err);

/* Compares two skeins that have a colour (asserted), under one light. What
 * is same_setup may be NULL. */
bool ask_compare(struct book *book, const struct ask_skein *x,
                 const struct ask_skein *y, double tolerance,
                 struct comparison *out, bool *same_setup, struct error *err);

/* Every reading that could be the skein's colour, its colour first, then
 * backwards in time: what is held against it when it was measured again.
 * Release *out with free(). */
bool ask_readings(struct book *book, const struct ask_skein *skein,
                  const struct ask_filter *filter, struct ask_reading **out,
                  size_t *count, struct error *err);

/* How uneven a reading is over its area, one SD as dE00; NaN: not known. */
double ask_unevenness(const struct ask_reading *reading);

/* ---- find ---------------------------------------------------------------- */

/* A part of the map of a* and b*, and from one lightness to another. */
struct find_area {
    double L_low, L_high, a_low, a_high, b_low, b_high;
};

/* Reads "10..30,20..40", a* then b*, and "10..30,20..40,50..70" with L* as
 * well; ERR_INPUT. */
bool find_area_read(const char *words, struct find_area *out,
                    struct error *err);

/* "a* 10 to 30, b* 20 to 40"; appended. */
void find_area_words(const struct find_area *area, struct text *out);

struct find_request {
    struct ask_filter filter;
    const char *words; /* colour names, own words, a code; NULL: none */
    int64_t like;      /* a skein, or 0 */
    bool has_target;   /* a colour, for D50 and 2 degree */
    struct lab target;
    bool was_read; /* the target, with this covariance; else it is exact */
    struct cov3 target_abs;
    bool has_area; /* only skeins of a colour in it */
    struct find_area area;
    double tolerance; /* in dE00, above 0 */
    size_t limit;     /* rows wanted; 0: all */
};

struct find_row {
    struct ask_skein skein;
    const struct colour_name *name;   /* nearest; NULL without a colour */
    bool by_colour, by_word, by_code; /* which made it match `words` */
    double de00;       /* from what was asked for; NaN when nothing was */
    double at_most;    /* its upper 95 % limit */
    struct lab target; /* that it was held against; if de00 is */
    struct comparison compared; /* with that */
};

struct find_answer {
    bool in[COLOUR_NAMES]; /* names the words mean */
    size_t names;
    bool ranked; /* by de00, else by number */
    struct ask_skein like;
    bool has_like;
    bool judged; /* what it was compared with has an error: the verdict says
                    something */
    struct find_row *row; /* if ranked, those with a colour come first */
    size_t count;
    size_t found, found_with_colour; /* before the limit */
    size_t left_out[ASK_LACKS]; /* passed the filter, colour not to be judged */
    size_t tied; /* the first so many cannot be told apart; 0 or 2 and more */
    bool tied_by_photo;   /* all of them were read from photos */
    bool has_near;        /* no skein has a colour that the words mean: */
    struct find_row near; /* the nearest to it there is */
};

/*
 * Finds skeins by words, by a colour, or by another skein's; release with
 * find_answer_clear. With words a skein is in when its nearest name is one
 * that is meant, when its own word has them in it, or when they are the code on
 * its tag, as far as that can be misread; it is ranked by dE00 to
 * the colour asked for, else to the nearest middle of the names that are
 * meant, of the plain ones if there are: not of greyish olive for "olive".
 * Matches without a colour come last.
 *
 * err  ERR_INPUT  `like` has no colour to go by
 */
bool ask_find(struct book *book, const struct find_request *request,
              struct find_answer *out, struct error *err);
void find_answer_clear(struct find_answer *answer);

/* That nothing found is the colour asked for, and what could lead there. */
struct find_far {
    bool is;
    const struct find_row *nearest; /* of the answer, borrowed */
    bool leads; /* the first of `match` is reckoned, and nearer */
    struct match_answer *match; /* owned */
};

/* Judges an answer to words that mean a colour or to a colour; an answer to
 * another skein says it of each. Release with find_far_clear. */
bool ask_find_far(struct book *book, const struct find_request *request,
                  const struct find_answer *answer, struct find_far *out,
                  struct error *err);
void find_far_clear(struct find_far *far);

/* "nearest is skein 48, light olive: 3.6 off, at most 4.4; it is lighter",
 * "weld on alum, 35 % of the fibre, would come nearer, as reckoned: 1.2 off";
 * appended, for one that is. */
void find_far_words(const struct find_far *far, struct text *out);
void find_lead_words(const struct find_far *far, struct text *out);

/* ---- the life of a skein ------------------------------------------------- */

enum life_kind {
    LIFE_STEP, /* a treatment */
    LIFE_CUT,  /* the skein before became, or went into, another */
};

struct life_event {
    enum life_kind kind;
    int64_t skein_id;               /* whose life this is part of */
    char *skein;                    /* its label */
    int64_t entry_id, treatment_id; /* LIFE_STEP */
    char *treatment;                /* "dye", "dip" ... */
    char *bath;                     /* "3" or NULL */
    bool has_round;
    int64_t round;
    char *on_words;             /* or NULL */
    char *with;                 /* what was in it, names with " + ", or NULL */
    int64_t origin_id, into_id; /* LIFE_CUT: the skein it became */
    char *into;
    double grams; /* LIFE_CUT: how much, NaN when not recorded */
};

struct life {
    struct life_event *event;
    size_t count;
};

/* All a skein went through, first to last: the lives of those it was cut or
 * plied from, up to then, before its own; nothing twice. Release with
 * life_clear. ERR_MISSING. */
bool ask_life(struct book *book, int64_t skein, struct life *out,
              struct error *err);
void life_clear(struct life *life);

/* ---- fade ---------------------------------------------------------------- */

struct fade_round {
    bool known;
    int64_t round;
    size_t skeins;  /* that were in it */
    double fibre_g; /* the dry weight of them all; NaN: not known */
    double temperature_c, minutes, ph; /* NaN: not known */
};

/* Skeins of one fibre, mordant set and dips in one round. */
struct fade_cell {
    char *labels;         /* of those with a colour: "31, 32" */
    char *unmeasured;     /* of those without */
    size_t measured;      /* how many have a colour */
    int64_t skein;        /* the first of them, or 0 */
    size_t lacking;       /* how many have none */
    char other_light[12]; /* "D65/10" if that is why none has one, else "" */
    struct colour_reading mean; /* NaN when none */
    double spread;              /* mean dE00 from the mean */
    double before, first; /* dE00 from the last measured round before, the first
                           * of the lane that has a colour; NaN: none */
};

/* What the strength of a lane's dye is counted against. */
enum fade_undyed {
    FADE_NO_UNDYED, /* nothing was measured that would do */
    FADE_UNDYED,    /* the same wool with the same mordant and no dye */
    FADE_PLAIN,     /* the same wool without a mordant: will do for alum */
};

/* Rounds between which nothing was put in, and what follows from them. */
struct fade_stretch {
    size_t from, rounds;
    struct exhaust fit;
};

struct fade_lane {
    char *mordants, *dips;  /* NULL: not recorded, none */
    char *fibre;            /* NULL: not recorded */
    struct fade_cell *cell; /* one a round */
    enum fade_undyed undyed;
    struct colour_reading undyed_colour;
    char *undyed_label; /* "skein 12", "undyed two-ply wool"; NULL: none */
    struct fade_stretch *stretch; /* only with one to count against */
    size_t stretches;
    char *mordant_set; /* as the book holds it */
    int64_t fibre_id;
};

/* What was put in after the first round: a dyestuff, an acid, other liquor. */
struct fade_addition {
    int64_t before_round;
    char *what; /* "madder, 50 g", "liquor of bath 4" */
};

struct fade {
    char *bath; /* "3 madder kettle" */
    struct fade_round *round;
    size_t rounds; /* in order, one of unknown number last */
    struct fade_lane *lane;
    size_t lanes;
    bool fibres;      /* lanes are of different fibres */
    int64_t *skipped; /* numbers below the last without a record */
    size_t skips;
    struct fade_addition *addition;
    size_t additions;
    size_t left_out[ASK_LACKS]; /* skeins; a lane that was dipped on is one */
};

/*
 * How a bath faded from round to round. A skein is in the lane of its fibre,
 * mordants and dips at the time: one that was dipped later is in two lanes,
 * with the colour it had before the dip, if it was measured then, and after. A
 * piece cut off later is counted when it was measured by itself. Release with
 * fade_clear.
 *
 * next_g  dry wool of the coming round; NaN: as much as in the mean round
 *
 * err  ERR_INPUT  nothing was dyed in the bath
 */
bool ask_fade(struct book *book, int64_t bath, const struct ask_filter *filter,
              double next_g, struct fade *out, struct error *err);

/* What the fits of a lane say, a line each, "" when there is nothing to be
 * said; one line tells what to measure where there is nothing to count
 * against. Release with free(). */
char *fade_words(const struct fade *fade, const struct fade_lane *lane);
void fade_clear(struct fade *fade);

/* ---- grid ---------------------------------------------------------------- */

enum grid_axis {
    GRID_DYESTUFF,
    GRID_MORDANT,
    GRID_DIP,
    GRID_ROUND,
    GRID_FIBRE,
    GRID_BATH,
    GRID_YEAR,
    GRID_PH,
    GRID_SUPPLY,
    GRID_PER_FIBRE, /* dyestuff in percent of the fibre, by bands */
    GRID_AXES
};

/* By name, "dyestuff"; false when there is none of it. */
bool grid_axis_find(const char *name, enum grid_axis *out);
extern const char *const grid_axis_names[GRID_AXES];

struct grid_place {
    size_t skeins;              /* 0: never tried */
    size_t measured;            /* 0: tried, not measured */
    enum ask_lack lack;         /* of the skein nearest to having a colour */
    char *labels;               /* of the measured ones, if asked for */
    struct colour_reading mean; /* with its uncertainty if there is a pin */
    double spread;              /* mean dE00 from the mean; NaN when none */
    struct comparison pinned;   /* with the pinned cell, if measured */
};

struct grid_request {
    struct ask_filter filter;
    enum grid_axis rows, columns;
    const char *pin;  /* "ROW,COLUMN" as they are called, or NULL */
    bool labels;      /* say which skeins are in a cell */
    double tolerance; /* in dE00, above 0 */
};

struct grid {
    char **row, **column; /* how they are called */
    size_t rows, columns;
    size_t known_rows, known_columns; /* the first so many; after them stand
                                         "not recorded" and "not dyed" */
    struct grid_place *place;         /* rows * columns, row by row */
    bool has_pin;
    size_t pin;                 /* index in place */
    size_t left_out[ASK_LACKS]; /* skeins in it without a colour */
    /* How many with a colour are not of one fresh dye alone. */
    size_t dipped, over_dyed, exhausts;
};

/*
 * A table of mean colours by two things; release with grid_clear.
 *
 * err  ERR_INPUT  the pin names no cell, or one without a colour
 */
bool ask_grid(struct book *book, const struct grid_request *request,
              struct grid *out, struct error *err);
void grid_clear(struct grid *grid);

/* What has to be said of the bands of an axis; "" when it has none. */
const char *grid_axis_words(enum grid_axis rows, enum grid_axis columns);

/* What a place without a colour says: "not measured", "never tried", or "" in
 * a row or column of what is not known, which nobody can try. NULL: it has a
 * colour. */
const char *grid_state(const struct grid *grid, size_t place);

/* ---- palette ------------------------------------------------------------- */

struct palette_ask {
    struct ask_filter filter; /* which skeins may be members */
    struct palette_request request;
    bool foretold; /* the next round of each bath may be one too */
    /* In words: skeins, and what is foretold by its label, that must be
     * members, must not be. */
    const char *const *keep, *const *without;
    size_t keeps, withouts;
};

struct palette_answer {
    struct palette palette;
    /* A member each, in the palette's order. What is foretold was not dyed: it
     * has the recipe it would have, the model's colour with its uncertainty,
     * the label "foretold 1 alum", of bath 1 on alum, and no id. */
    struct ask_skein *skein;
    bool foretold[PALETTE_MOST];
    bool kept[PALETTE_MOST]; /* because it was asked for */
    double *step;            /* how far in L* each is from the next */
    size_t among;            /* results to choose from, */
    size_t among_foretold;   /* and so many that are not dyed yet */
    size_t left_out[ASK_LACKS];
};

/*
 * Chooses skeins whose colours go together. One pot: dyed in one round of one
 * bath. Release with palette_answer_clear.
 *
 * Foretold is the round after the last of a bath, of each yarn and mordant
 * whose rounds allow it (dye/exhaust.h), when a skein of it passes the filter;
 * nothing when a day is asked for or what is unfinished.
 *
 * err  ERR_INPUT    fewer than wanted can be chosen, or are as far apart as
 *                   wanted; or what shall be a member has no colour to go by or
 *                   does not pass the filter
 *      ERR_MISSING  no skein of that name, nor anything foretold
 */
bool ask_palette(struct book *book, const struct palette_ask *ask,
                 struct palette_answer *out, struct error *err);
void palette_answer_clear(struct palette_answer *answer);

/* A colour from words: "42,45,28", the name of a colour (the middle of those
 * that are meant), or a skein.
 *
 * err  ERR_INPUT  none of these; a skein without a colour to go by */
bool ask_target_read(struct book *book, const struct ask_filter *filter,
                     const char *words, struct lab *out, struct error *err);

/* ---- match --------------------------------------------------------------- */

struct match_request {
    struct ask_filter filter; /* recipes of these skeins */
    struct lab target;
    double tolerance; /* in dE00, above 0 */
    size_t limit;     /* rows wanted; 0: all */
};

/* A way to come near the target. */
struct match_row {
    struct ask_skein skein; /* the nearest one made so, measured */
    size_t skeins;          /* made so */
    bool reckoned; /* aim tells: read between weights of the dyestuff */
    struct depth_aim aim;
    double least_pct, most_pct; /* what was dyed */
    size_t weights;             /* different ones */
    bool levelled;              /* see dye/depth.h */
    double de00; /* from the target, of the skein or of what is reckoned */
    struct comparison compared; /* with the target */
};

struct match_answer {
    struct match_row *row;
    size_t count, found;
    size_t left_out[ASK_LACKS];
};

/*
 * Recipes whose colour comes nearest to a target, the nearest first. Where one
 * dyestuff was dyed in different weights on one yarn and mordant, in a first
 * bath and without a dip, and that yarn was measured undyed, the colours in
 * between are reckoned and the best weight is named; between two dyestuffs
 * nothing is. Release with match_answer_clear.
 */
bool ask_match(struct book *book, const struct match_request *request,
               struct match_answer *out, struct error *err);
void match_answer_clear(struct match_answer *answer);

/* Its colour, measured or reckoned; and "madder on alum: 42 % of the fibre" or
 * "madder on alum, exhaust 2 of bath 3: skein 35"; appended. */
struct lab match_row_lab(const struct match_row *row);
void match_row_words(const struct match_row *row, struct text *out);

#endif
