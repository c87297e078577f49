/*
 * A dyer's own list, kept in a spreadsheet and saved as CSV: its columns
 * matched with what the book knows, its rows taken in as skeins with what was
 * done to them. docs/import.md tells how it is used.
 */
#ifndef HANKLAB_BOOK_LEDGER_H
#define HANKLAB_BOOK_LEDGER_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/error.h"
#include "base/text.h"
#include "book/book.h"
#include "book/exchange.h"

#define LEDGER_BYTES_MAX (64u << 20) /* of a file */
#define LEDGER_COLUMNS_MAX 256
#define LEDGER_CELLS_MAX (32u << 20) /* in all */

/* ---- what a column can be ------------------------------------------------ */

enum ledger_id {
    LEDGER_NAME,
    LEDGER_NUMBER,
    LEDGER_CODE,
    LEDGER_DYER,
    LEDGER_FIBRE,
    LEDGER_WEIGHT,
    LEDGER_WEIGHED,
    LEDGER_LENGTH,
    LEDGER_MORDANT,
    LEDGER_MORDANT_AMOUNT,
    LEDGER_ASSIST,
    LEDGER_ASSIST_AMOUNT,
    LEDGER_DYESTUFF,
    LEDGER_DYESTUFF_AMOUNT,
    LEDGER_ACID,
    LEDGER_ACID_AMOUNT,
    LEDGER_ALKALI,
    LEDGER_ALKALI_AMOUNT,
    LEDGER_DIP,
    LEDGER_DIP_AMOUNT,
    LEDGER_POT,
    LEDGER_ROUND,
    LEDGER_DATE,
    LEDGER_PH,
    LEDGER_TEMPERATURE,
    LEDGER_MINUTES,
    LEDGER_VESSEL,
    LEDGER_COLOUR,
    LEDGER_LAB,
    LEDGER_L,
    LEDGER_A,
    LEDGER_B,
    LEDGER_SOURCE,
    LEDGER_ILLUMINANT,
    LEDGER_OBSERVER,
    LEDGER_GEOMETRY,
    LEDGER_INSTRUMENT,
    LEDGER_PLACE,
    LEDGER_NOTE, /* the only one that many columns can be */
    LEDGER_IDS
};

struct ledger_field {
    const char *name;  /* as it is typed: "dyestuff-amount" */
    const char *title; /* on a page */
    const char *also;  /* other headings it goes by, folded, "a|b" */
    const char *units; /* what a bare number of it may stand for, "g|oz" */
};

extern const struct ledger_field ledger_fields[LEDGER_IDS];

/* ---- the file ------------------------------------------------------------ */

struct ledger_column {
    char *heading;  /* as typed; "column 3" where there is none */
    int is;         /* enum ledger_id; -1: left out */
    char unit[8];   /* of its bare numbers, or order of its days; "" none */
    bool says_note; /* its heading means no more than "note" */
    size_t filled;  /* rows that say something in it */
    char *read_as;  /* how the first of them was understood, or NULL */
    char *read_was; /* its words then */
};

struct ledger {
    const char *charset; /* what it was read as: "UTF-8", "UTF-16", ... */
    char separator;
    struct ledger_column *column;
    size_t columns;
    char *all[LEDGER_IDS]; /* said for rows whose cell is empty, or NULL */
    bool together; /* rows of one day and dyestuff without a pot share one */
    bool rest;     /* what no column is matched with goes into the note */

    struct text bytes; /* the cells, a NUL behind each */
    size_t *cell;      /* where each begins; columns of them a row */
    size_t *line;      /* of each row, from 1 */
    size_t rows;
};

/*
 * Reads a file: UTF-8, UTF-16 or Windows Latin-1; separated by commas,
 * semicolons or tabs; the first row that is not empty has the headings, by
 * which columns are matched. Rows without a word are passed over.
 *
 * out   release with ledger_close, also after a failure
 * err   ERR_MISSING  no such file
 *       ERR_INPUT    a row with more cells than headings, a quote that is never
 *                    closed, nothing in it, no text
 *       ERR_LIMIT
 */
bool ledger_open(const struct exchange_file *file, struct ledger *out,
                 struct error *err);
void ledger_close(struct ledger *l);

/* The words of a cell, without outer blanks; "" when empty. */
const char *ledger_cell(const struct ledger *l, size_t row, size_t column);

/* Whether a file is a zip, or is called so, rather than a list. ERR_MISSING,
 * ERR_INPUT. */
bool ledger_is_zip(const char *path, bool *is, struct error *err);

/* "Wt=weight", "3=weight oz" (by its place), "Price=" (left out): the heading
 * and what it is, with the unit of its bare numbers. ERR_INPUT. */
bool ledger_match(struct ledger *l, const char *words, struct error *err);

/* The same, already told apart; unit "" when none is said. */
bool ledger_match_column(struct ledger *l, size_t column, const char *field,
                         const char *unit, struct error *err);

/* "source=eye": what every row says whose own cell does not. ERR_INPUT. */
bool ledger_for_all(struct ledger *l, const char *words, struct error *err);

/* ---- taking it in -------------------------------------------------------- */

#define LEDGER_TOLD 50 /* lines of each kind that are kept */

struct ledger_line {
    size_t line; /* of the file; 0: of none */
    char *words;
};

struct ledger_lines {
    struct ledger_line *line; /* at most LEDGER_TOLD */
    size_t told, count;
};

struct ledger_taken {
    size_t skeins;      /* that come in */
    size_t here;        /* rows that were taken in before */
    char *first, *last; /* how the skeins are called, or NULL */
    size_t fresh[NOUN_COUNT];
    struct ledger_lines bad; /* what stops it; of a row more than one */
    size_t bad_rows;
    struct ledger_lines note; /* what to look at */
    struct ledger_lines made; /* "alum: a mordant": names new in the book */
    char **caution;
    size_t cautions;
    int64_t act; /* that took it in; 0: nothing was new, or it was looked at */
};

/*
 * Takes the rows in, in one act "import", all or none, or only looks what that
 * would do. A row is a skein. A row that was taken in before, and stands, is
 * passed over, however the file is encoded or its columns are separated.
 *
 * out   release with ledger_taken_clear, also after a failure; bad lists rows
 *       that cannot be read: then nothing is changed
 * err   ERR_INPUT  rows that cannot be read, or no column says anything of a
 *                  skein, or colours without their source
 *       ERR_STORE
 */
bool ledger_take(struct book *book, struct ledger *l, bool look,
                 struct ledger_taken *out, struct error *err);
void ledger_taken_clear(struct ledger_taken *taken);

/* "Comes in: 42 skeins (12 to 53), 3 baths", what is new, what was left out;
 * a line each, without the rows that are bad. */
void ledger_taken_words(const struct ledger *l,
                        const struct ledger_taken *taken, struct text *out);

#endif
