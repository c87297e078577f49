/* Private to the book: what src/book/pot*.c share while a pot is logged. */
#ifndef HANKLAB_BOOK_POT_WORK_H
#define HANKLAB_BOOK_POT_WORK_H

#include "base/parts.h"
#include "book/noun.h"
#include "book/pot.h"
#include "book/record.h"
#include "book/store.h"
#include "dye/amount.h"

/* The keys a dose may have. */
enum dose_key {
    DOSE_AMOUNT,
    DOSE_STATE,
    DOSE_FRESH_PER_DRY,
    DOSE_SUPPLY,
    DOSE_ADDED,
    DOSE_MINUTE,
    DOSE_KNOWN,
    DOSE_NOTE,
    DOSE_KEYS
};

struct pot_dose {
    char *bytes;                  /* what value points into */
    const char *value[DOSE_KEYS]; /* NULL: not said */
    int64_t material_id;
    char *material;   /* as the book calls it */
    char *latin;      /* or NULL */
    bool none;        /* "no mordant" */
    const char *role; /* as what it is recorded */
    bool used;        /* it became a record */
    struct amount amount;
    char *key; /* two doses with the same key are the same words */
};

/* Doses in a row; the doses belong to struct work. */
struct dose_list {
    struct pot_dose **dose;
    size_t count;
};

/* One skein of the pot. */
struct pot_one {
    int64_t id;
    long long number;
    char *label; /* "137", "Aino/137"; owned; NULL: not known yet */
    bool is_new;
    const struct pot_skein *said;
    bool of_several;        /* words say others too: "6-8" */
    const char *own_number; /* said, of a new one */
    int64_t there;          /* its entry in this round, else 0 */
    int64_t before;         /* the entry it comes before, else 0 */
    bool adopted;           /* it was in this round, and nobody said so */
    char *share;            /* its weight, of what was said of several; owned */
    const char *then_weight; /* its dry weight now, when that differs */
    const char *then_note;
    bool mordanted;       /* its mordant is known, or that it had none */
    bool alum, saddening; /* what its mordants could do to each other */
};

/* Values of a record to be made. */
struct facts {
    struct record_value v[16];
    size_t count;
};

struct work {
    struct book *book;
    const struct pot_entry *pot;
    struct pot_result *result;
    struct text *echo; /* may be NULL */
    int64_t dyer_id;   /* whose it is */
    bool vat;
    const char *liquor; /* kind of the bath of what is no dyeing, or NULL */
    int time;      /* how often the bath was used before: a dye bath's round */
    bool unfilled; /* the round before has no finished skein */
    struct facts facts; /* of the treatment, beside its bath and round */
    struct pot_one *skein;
    size_t skeins, described;
    struct pot_dose **dose; /* owns all that was read */
    size_t doses;
    struct dose_list dyestuffs, mordants, assists, acids, alkalis, dips;
    struct pot_fibre awaited; /* in a bath that nothing is dyed in yet */
    int64_t *warned;          /* materials whose cautions were given */
    size_t warnings;
};

/* A reference as words for record_add: "#12". */
struct id_words {
    char s[24];
};
struct id_words id_words(int64_t id);

/* Whether anything was said. */
bool said(const char *words);

/* Fresh, dry or frozen, as the amount's words say; NULL: they do not. */
const char *pot_state_of(const struct amount *a);

/* Adds a line to the echo, or each line of lines with prefix before it. */
void pot_echo(struct work *w, const char *fmt, ...)
    __attribute__((format(printf, 2, 3)));
void pot_echo_lines(struct work *w, const char *prefix, struct text *lines);
/* Adds a note that is no caution. */
void pot_note(struct work *w, const char *fmt, ...)
    __attribute__((format(printf, 2, 3)));
void pot_caution(struct work *w, const char *who, const char *text);

/* Puts "PREFIX: " before an error; always false. */
bool pot_blame(struct error *err, const char *fmt, ...)
    __attribute__((format(printf, 2, 3)));

/* Asks a statement with :of for one whole number; 0 and *is_null when there
 * is none. */
bool pot_ask(struct book *book, enum stmt_id id, int64_t of, int64_t *out,
             bool *is_null, struct error *err);

/* The dyeing of a bath that is that round; 0: there is none. */
bool pot_round_find(struct book *book, int64_t bath, int64_t round,
                    int64_t *treatment, struct error *err);

/*
 * Reads doses of one kind and appends them to out. New materials are made.
 *
 * kind  of a new material, and the word in errors: "dyestuff"; "dip", "wash"
 *       and "mordanting" take the kind that the name suggests
 */
bool pot_doses_read(struct work *w, struct pot_words words, const char *kind,
                    struct dose_list *out, struct error *err);
void pot_dose_free(struct pot_dose *dose);
/* Reads the amount among its values, and what that says of its state. */
bool pot_dose_amount(struct pot_dose *d, const char *kind, struct error *err);
/* Gives the cautions of a material, once. */
bool pot_dose_warn(struct work *w, const struct pot_dose *d, struct error *err);

/*
 * Adds a dose to a bath (before the round, -1 for none) or to a treatment,
 * echoes it for the fibre's weight, asks about odd amounts and gives the
 * cautions.
 *
 * whose  "" or " (skeins 3, 4)", put behind the echo
 */
bool pot_dose_add(struct work *w, struct pot_dose *dose, int64_t bath,
                  int64_t treatment, int round, const struct pot_fibre *fibre,
                  const char *whose, struct error *err);

/* Finds or makes the bath that the pot names. aside gets what is said of it
 * and differs from the book, for a note. src/book/pot_bath.c */
bool pot_bath_open(struct work *w, struct text *aside, struct error *err);
/* What was poured in this time, and how the colour was drawn out. */
bool pot_bath_fill(struct work *w, struct error *err);

/* src/book/pot.c, as the rest down to pot_act. */
void pot_fact(struct facts *f, const char *field, const char *words);
struct facts pot_facts(const struct pot_entry *pot);
void pot_echo_facts(struct work *w, struct text *echo);
void pot_call_it_date(struct error *err);

/* Sets work's time for a bath in the book; for a pot, to the round that is said
 * or comes next. src/book/pot_round.c */
bool pot_next_time(struct work *w, struct error *err);
bool pot_round_next(struct work *w, struct error *err);
/* Asks, last of all, whether the round before was meant. */
void pot_look_unfilled(struct work *w);
/* "the first bath", "exhaust 2" */
const char *pot_round_words(int round, char out[24]);
/* Puts the skein into the treatment of the result. */
bool pot_enter(struct work *w, size_t i, struct error *err);
/* Puts doses into the bath before that round. */
bool pot_add_list(struct work *w, const struct dose_list *list, int round,
                  const struct pot_fibre *fibre, struct error *err);
bool pot_ph(struct work *w, struct error *err);
bool pot_look_around(struct work *w, struct error *err);
/* Does all of it in one act, and clears w. */
bool pot_act(struct work *w, const char *what,
             bool (*all)(struct work *, struct error *), struct error *err);

/* Makes a bath with what is drawn out in it, for fibre that is still to come:
 * of the pot only name, water, volume, dyestuffs and extraction are looked at.
 * Result, echo and errors as of pot_log. src/book/pot_extract.c */
bool pot_extract(struct book *book, const struct pot_entry *pot,
                 struct pot_fibre fibre, struct pot_result *result,
                 struct text *echo, struct error *err);

/* Finds or makes the skeins that are described. src/book/pot_skein.c */
bool pot_skeins_open(struct work *w, struct error *err);
/* Then those that were in the round already, and new ones up to their number.
 */
bool pot_skeins_of_round(struct work *w, struct error *err);
/* Notes that a number alone, which may have meant how many, is dyed over. */
bool pot_ask_over(struct work *w, struct error *err);
/* Whether something was said that only a skein can have. */
bool pot_wants_skein(const struct pot_entry *pot);
/* Whether nothing is said of a skein but which it is. */
bool pot_skein_bare(const struct pot_skein *skein);

/* Finds the step that each skein's entries come before, when one is said; the
 * place in its life of a mordant or a dip, "" for the end: a mordant of a skein
 * that was in this round comes before its dyeing, a dip behind it; and notes
 * which step has a later day than what comes behind it. src/book/pot_before.c
 */
bool pot_before(struct work *w, struct error *err);
bool pot_place(struct work *w, const struct pot_one *one, bool dip,
               char out[40], struct error *err);
bool pot_look_at_days(struct work *w, struct error *err);
/* What is said behind --before for the step that was logged: owned by the
 * caller; NULL when it differs from skein to skein. */
bool pot_before_this(struct work *w, char **word, struct error *err);

/* Whether skeins of this bath were dipped later and nothing else.
 * src/book/pot_dip.c */
bool pot_dip_alone(struct work *w, bool *alone, struct error *err);

/* How a skein is called in an error, before it has a number. */
void pot_call_skein(const struct work *w, size_t i, char out[80]);

/* Mordant or dip treatments of the skeins, by their sets.
 * src/book/pot_group.c */
bool pot_mordants(struct work *w, struct error *err);
/* Notes skeins without a mordant in a bath whose others' mordant is known. */
bool pot_ask_mordants(struct work *w, struct error *err);
bool pot_dips(struct work *w, struct error *err);

#endif
