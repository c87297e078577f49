/* Private to the book: what src/book/ledger*.c share while a list is taken in.
 */
#ifndef HANKLAB_BOOK_LEDGER_WORK_H
#define HANKLAB_BOOK_LEDGER_WORK_H

#include "book/field_words.h"
#include "book/id_map.h"
#include "book/ledger.h"
#include "book/pot_work.h"
#include "book/word_map.h"

/* Takes a list in like ledger_take, with each record put into the book when it
 * comes: so it is known which row has one that the book refuses. */
bool ledger_take_singly(struct book *book, struct ledger *l, bool look,
                        struct ledger_taken *out, struct error *err);

/* Matches columns by their headings. */
void ledger_guess(struct ledger *l);

/* What one row says: words of each field, NULL where it says nothing. */
struct ledger_row {
    size_t row;
    const char *said[LEDGER_IDS];
    struct text with_unit[LEDGER_IDS]; /* owns words that got a unit */
    int64_t dyer_id;
};

/* The names of a cell as doses, read once for all rows that have them. */
struct ledger_doses {
    struct dose_list list;
    struct cells **cells; /* of each, but for where it goes */
    struct error why;     /* kind ERR_NONE: they can be read */
};

/* What the rows of one pot, or of one round of it, share. */
struct ledger_shared {
    char *said[LEDGER_IDS];  /* owned */
    size_t line[LEDGER_IDS]; /* that said it first */
};

struct ledger_pot {
    struct ledger_shared all;
    char *name; /* NULL: it has none */
    int64_t dyer_id, bath;
    bool was_there;
};

struct ledger_round {
    struct ledger_shared all;
    size_t pot;
    int64_t round, treatment;
};

struct taking {
    struct book *book;
    struct ledger *l;
    struct ledger_taken *out;
    int column[LEDGER_IDS]; /* -1: none */
    struct cells *cells;    /* of the record at hand */
    struct text echo, text;
    struct field_words read[LEDGER_IDS];
    struct word_map days;
    bool *odd_day; /* of each of them */

    struct work work; /* for pot_doses_read */
    struct pot_entry nothing;
    struct pot_result result;
    struct word_map doses_of;
    struct ledger_doses *doses;

    struct word_map fibre_of, dyer_of, codes; /* codes: with their dyers */
    int64_t *fibre, *dyer, *coded; /* coded: the first skein of each */
    int64_t namesake; /* has the code of the row at hand, too; 0: none */

    struct word_map pot_of, round_of;
    struct ledger_pot *pot;
    struct ledger_round *round;
    size_t *row_round; /* of each row, SIZE_MAX: it shares no pot */
    bool *row_bad;     /* which cannot be read, of all rows */

    struct id_map came;  /* rows of the file that are alike, by their hash */
    int64_t first, last; /* skeins */
    size_t odd_days, odd_line, silent;
};

/* A name's field; how much of it stands in the next one. */
extern const struct ledger_role {
    enum ledger_id id;
    const char *kind; /* as pot_doses_read has it */
} ledger_roles[];
extern const size_t ledger_role_count;

void ledger_tell(struct ledger_lines *to, size_t line, const char *words);

/* The same of a row that cannot be read, which stops all of it. */
void ledger_tell_bad(struct taking *t, size_t row, const char *words);

/* Reads a field's words into the cells, and keeps how the column's first were
 * understood. */
bool ledger_read(struct taking *t, const struct ledger_row *r,
                 enum ledger_id id, enum noun_id noun, const char *field,
                 const char *words, struct error *err);

/* The same of a day, in the order its column has. */
bool ledger_day(struct taking *t, const struct ledger_row *r, const char *words,
                struct error *err);

/* Begins the cells of a record, whose dyer is that of the row. */
void ledger_begin(struct taking *t, const struct ledger_row *r,
                  enum noun_id noun);
bool ledger_put(struct taking *t, enum noun_id noun, bool whole, int64_t *id,
                struct error *err);

/* Finds the first skein of that dyer with the code among the cells, or with one
 * easily misread as it, besides the one that they were put into. */
bool ledger_code(struct taking *t, const struct ledger_row *r, int64_t skein,
                 struct error *err);

/* ---- doses (ledger_dose.c) ----------------------------------------------- */

/* Puts what a field and its amount say into a bath or a treatment.
 * fibre_g  of the skein, NaN: not known or of a pot */
bool ledger_doses_add(struct taking *t, const struct ledger_row *r,
                      const char *const said[LEDGER_IDS], enum ledger_id id,
                      int64_t bath, int64_t treatment, double fibre_g,
                      struct error *err);
/* The doses of those words, read before or now. */
bool ledger_doses_read(struct taking *t, enum ledger_id id, const char *words,
                       const struct ledger_doses **out, struct error *err);
void ledger_doses_clear(struct taking *t);

/* ---- pots that rows share (ledger_pot.c) --------------------------------- */

/* Finds which rows share a pot and a round, and what these say; what
 * contradicts itself is told. */
bool ledger_pots_gather(struct taking *t, struct error *err);

/* The bath and the dyeing of a row that shares them; made by its first row. */
bool ledger_pot_open(struct taking *t, struct ledger_row *r, int64_t *bath,
                     int64_t *treatment, struct error *err);
void ledger_pots_clear(struct taking *t);

/* ---- one row (ledger_row.c) ---------------------------------------------- */

/* Fills said; false when the row says nothing in what was matched. */
bool ledger_row_words(struct taking *t, size_t row, struct ledger_row *out);
void ledger_row_clear(struct ledger_row *r);

/* Whose a row is. */
bool ledger_row_dyer(struct taking *t, struct ledger_row *r, struct error *err);

/* Makes the skein, and all that was done to it. */
bool ledger_row_take(struct taking *t, struct ledger_row *r, int64_t *skein,
                     struct error *err);

/* Adds date, temperature, minutes and vessel to the cells of a treatment. */
bool ledger_facts(struct taking *t, const struct ledger_row *r,
                  const char *const said[LEDGER_IDS], struct error *err);
bool ledger_ph_add(struct taking *t, const struct ledger_row *r,
                   const char *words, int64_t bath, int64_t treatment,
                   struct error *err);

#endif
