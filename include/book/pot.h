/*
 * One pot, many skeins, one go: the daily entry. The command line, its
 * questions and the page all hand in the same words and get the same records,
 * made in one act.
 */
#ifndef HANKLAB_BOOK_POT_H
#define HANKLAB_BOOK_POT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/error.h"
#include "base/text.h"
#include "book/book.h"

/* Words given more than once, in the order given; borrowed. */
struct pot_words {
    const char *const *word;
    size_t count;
};

/*
 * One skein of the pot, all as typed; NULL and "" are not recorded.
 *
 * A skein that is in the book already is named by `which` or `number`; what
 * is said of it beside that fills what was not recorded. Its colour may be
 * said anew, its weight if it differs goes with this dyeing, and its note
 * too; another fibre, length, name or code is refused.
 */
struct pot_skein {
    const char *which;  /* number, code or name of a skein in the book ("137",
                           "Aino/137", "#12", "A3"), or of several ("6-8",
                           "6, 9"); or else the name of a new one */
    const char *number; /* of a skein in the book, or for the new one */
    const char *name, *code, *weight, *weighed, *length, *fibre;
    const char *colour; /* the dyer's own word */
    const char *place;  /* where it is now */
    const char *dipped; /* which part of it went into the dye */
    const char *finished, *note;
    struct pot_words mordants; /* instead of the pot's; "none": no mordant */
    struct pot_words assists;  /* go with its own mordants */
    struct pot_words dips;     /* instead of the pot's; "none": no dip */
    bool known;      /* `which` is in the book: no name of a new one */
    bool new_number; /* `which` may be the number of a new one */
    char *bytes;     /* owned by pot_skein_read, else NULL */
};

struct pot_result;

/* What is kept in the same act, once the pot is: pictures of it. */
struct pot_also {
    bool (*keep)(void *with, const struct pot_result *result,
                 struct error *err); /* NULL: nothing */
    void *with;
};

/*
 * A dose is "NAME", "NAME: AMOUNT" or either with more behind semicolons:
 * "weld: 50 g fresh; minute=20; added=after; supply=spring weld; note=...".
 * Several without semicolons may stand in one: "madder: 60 %, weld: 2:1". The
 * keys are amount, state, fresh-per-dry, supply, added, minute, known and
 * note, as in the noun dose; a note is the last and takes the rest.
 */
struct pot_entry {
    const char *dyer;  /* whose it all is, if another's: bath, new skeins */
    const char *name;  /* of a new pot */
    const char *of;    /* or a pot in the book: its number or name */
    const char *round; /* "first", "exhaust 2"; the next one if not said */
    const char *kind;  /* of a new pot: "dye" (preset) or "vat"; of what is no
                          dyeing: "scour", "mordant", "dip", "wash", "other" */
    struct pot_words poured; /* baths a new one was made from, or that were
                                poured into it this time: "POT", "POT: 2 l" */
    struct pot_words with;   /* of what is no dyeing: all that went in */
    struct pot_words dyestuffs, mordants, assists, acids, alkalis, dips;
    const char *on, *ph, *temperature, *minutes, *water, *volume, *vessel;
    const char *cooled;            /* in the bath: yes or no */
    const char *extraction;        /* "1 h; temperature=80; pulls=2; on=...;
                                      straining=bagged; note=..." */
    const char *vat_dips, *airing; /* of a vat */
    const char *fibre;             /* of skeins that say none and have none */
    const char *weight;            /* the same: of each, or "60 g in all" */
    const char *note;              /* on this round */
    const char *before; /* a step in the lives of all skeins, which it comes
                           before: "dye" (the last one), or its number there */
    const char *skeins; /* how many there were in all; more than were
                           described makes new ones */
    const struct pot_skein *skein;
    size_t skein_count;
    struct pot_also also;
    int64_t task;  /* the planned step (book/project.h) that this is, or 0 */
    bool only_try; /* read and echo everything, and store nothing */
};

struct pot_result_skein {
    int64_t id;
    long long number;
    char *label; /* "137", "Aino/137" */
    bool is_new;
};

/* Release with pot_result_clear. */
struct pot_result {
    int64_t bath_id, treatment_id;
    long long bath_number;
    char *bath; /* how it is called: "14", "Aino/3"; NULL: none */
    bool new_bath;
    bool joined;  /* added to a round that had been logged before */
    int round;    /* 0 first bath, 1 exhaust 1 ...; -1: it has none */
    int time;     /* how often the bath was used before */
    bool dipped;  /* nothing but a dip after this bath, which is no round */
    bool undated; /* no day is recorded of it */
    struct pot_result_skein *skein;
    size_t skeins;
    size_t described; /* the first of them: what entries said of skeins */
    char **note;      /* questions to the dyer, a line each */
    size_t notes;
    char **caution; /* a line each; a face that shows any shows
                       caution_closing (dye/caution.h) after the last */
    size_t cautions;
};

/*
 * Logs one go at a pot: the bath, unless it is there; what went into it; its
 * pH; a mordant treatment for each set of mordants and assists among the
 * skeins; the dye or vat treatment; a dip treatment for each set of dips; and
 * each skein's place in them. An act of its own: all or nothing.
 *
 * A skein in the book keeps the mordants it has recorded: those of the pot
 * are for skeins that have none, and its own words add only what is missing.
 * A round that was logged before is added to when nothing contradicts it:
 * what is said of the pot's skeins goes to those that were in it, where it was
 * not recorded. Another day than that of the round is refused. Dips of skeins
 * that were in a bath, and nothing else, are a dip behind that, no new round.
 * With mordants, dips or a fibre but no skein said, one unfinished skein
 * stands for all that was in the pot.
 *
 * echo  appended, a line each: how every value was understood, grams for the
 *       dry weights, and each name that is new
 * err   ERR_INPUT    a value cannot be read or contradicts what is recorded
 *       ERR_MISSING  no such pot, skein, supply, dyer
 *       ERR_STORE
 */
bool pot_log(struct book *book, const struct pot_entry *pot,
             struct pot_result *result, struct text *echo, struct error *err);
void pot_result_clear(struct pot_result *result);

/* Whether a pot in the book holds no more than a name and blank skeins, so that
 * its first bath, and no exhaust, is what the entry tells of; not when the
 * entry says a day and the first bath has one, or describes skeins beside the
 * blank ones. */
bool pot_is_bare(struct book *book, int64_t bath, const struct pot_entry *pot,
                 bool *bare, struct error *err);

/*
 * Logs what is done to skeins beside dyeing, before it or any time after: pot
 * says its kind, what went in (`with`), and the facts. With a name the liquor
 * is kept in the book for another time; `of` takes a kept one again, and what
 * goes in then tops it up. Result, echo and errors as of pot_log; round is -1.
 */
bool pot_treat(struct book *book, const struct pot_entry *pot,
               struct pot_result *result, struct text *echo, struct error *err);

/* "12", "12, 13", "12 to 14, Aino/137" of labels; appended. */
void pot_labels(const char *const *label, size_t count, struct text *out);

/*
 * Reads "137; weight=20 g; mordant=alum: 12 %; note=..." into out; release
 * with pot_skein_clear. The keys are those of struct pot_skein; mordant,
 * assist and dip may be repeated; a note is the last and takes the rest. What
 * stands first without a key is `which`, or the weight if it is one ("20 g").
 *
 * err  ERR_INPUT  no such key, one said twice, or words that look like a key
 *                 without its "=" ("weight 20 g") or like a dose
 */
bool pot_skein_read(const char *words, struct pot_skein *out,
                    struct error *err);
void pot_skein_clear(struct pot_skein *skein);

/* The dry weight a percentage is reckoned on. */
struct pot_fibre {
    size_t skeins, weighed; /* a weight taken wet does not count */
    size_t guessed;         /* of the weighed: guessed or after dyeing */
    double g;               /* NaN unless all are weighed and there is one */
};

/* Of all skeins in one treatment, or in one round of a bath (-1: of a vat, in
 * all its treatments). */
bool pot_fibre_of(struct book *book, int64_t treatment, struct pot_fibre *out,
                  struct error *err);
bool pot_fibre_of_round(struct book *book, int64_t bath, int round,
                        struct pot_fibre *out, struct error *err);

/* Takes one thing that was said; borrowed for the call only. */
typedef void pot_said(void *self, const char *words);

/* Hands over what was said before, the newest first, at most 12: "fibre",
 * "water", or the role of a dose, as "alum: 12 %" for "mordant". */
bool pot_said_before(struct book *book, const char *what, pot_said *said,
                     void *self, struct error *err);

#endif
