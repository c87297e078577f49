/*
 * Records as the dyer types them: words in, checked and kept, words out. One
 * set of functions for every noun of book/noun.h.
 *
 * Adding, editing and withdrawing need an open act (asserted).
 */
#ifndef HANKLAB_BOOK_RECORD_H
#define HANKLAB_BOOK_RECORD_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/error.h"
#include "base/text.h"
#include "book/book.h"
#include "book/noun.h"

/* A field's name and what was typed; NULL and "" mean not recorded. */
struct record_value {
    const char *field;
    const char *words;
};

/*
 * Adds a record. Numbers, places and roles that were not said are filled in.
 * What has an owner takes "dyer" beside its fields: another one whose it is.
 *
 * id    the new record's, set on success
 * echo  how each value was understood, a line each ("weight: 49.6 g"),
 *       appended; may be NULL
 * err   ERR_INPUT    a value cannot be read, is out of range, is needed, or
 *                    is taken already
 *       ERR_MISSING  names a record that is not there
 *       ERR_STORE
 */
bool record_add(struct book *book, enum noun_id noun,
                const struct record_value *values, size_t count, int64_t *id,
                struct text *echo, struct error *err);

/* Changes the fields named and no others; the same errors. */
bool record_edit(struct book *book, enum noun_id noun, int64_t id,
                 const struct record_value *values, size_t count,
                 struct text *echo, struct error *err);

/*
 * Makes two materials one: all that was of `from` is of `to`, which takes over
 * what was said of `from` alone and its notes, and is found by its names too.
 * `from` is withdrawn. ERR_INPUT when they are not of one kind, or `from` has
 * to stay.
 */
bool record_join(struct book *book, int64_t from, int64_t to,
                 struct error *err);

/* Withdraws a record (withdrawn true) or brings it back, and with it what went
 * in the same act and belongs to it. It stays in the book and in its history.
 * ERR_INPUT when it is so already. */
bool record_withdraw(struct book *book, enum noun_id noun, int64_t id,
                     bool withdrawn, struct error *err);

/*
 * Finds a record by what a dyer would call it: a skein by number, code or
 * name, "Aino/137" for another dyer's; a bath by number or name; a material
 * by name, alias or scientific name; a supply by its number, too; others by
 * name; anything by "#id", and what has no name as it is shown, "weld #5".
 * Withdrawn ones are found by number or #id only.
 *
 * err  ERR_MISSING  none of that name
 *      ERR_INPUT    several: the line names them
 */
bool record_find(struct book *book, enum noun_id noun, const char *words,
                 int64_t *id, struct error *err);

/* For looking only: withdrawn ones too, and a skein by the code of its tag as
 * far as that can be misread (0 and O, 1 and 7, 8 and B). */
bool record_find_shown(struct book *book, enum noun_id noun, const char *words,
                       int64_t *id, struct error *err);

/* The same, where a skein or a bath without a dyer before it is that owner's.
 */
bool record_find_of(struct book *book, enum noun_id noun, int64_t owner,
                    const char *words, int64_t *id, struct error *err);

/*
 * Finds skeins said in one: "6-8", "6 to 8", "6, 8-10, A3", "Aino/6-8". What
 * is called so as a whole is that one.
 *
 * ids  release with free(); NULL when it fails
 * err  as of record_find; ERR_MISSING names the one that is not there, or
 *      all of the words when they are no list
 *
 * meant  set when it fails, may be NULL: the words can be nothing but skeins
 *        of the book, "#12", "Aino/137" or "6-8", and no new one's name
 */
bool record_skeins(struct book *book, int64_t owner, const char *words,
                   int64_t **ids, size_t *count, bool *meant,
                   struct error *err);

/* The same, and a withdrawn one when none of that name stands: to look at it,
 * or to bring it back. */
bool record_find_any(struct book *book, enum noun_id noun, const char *words,
                     int64_t *id, struct error *err);

/* What is withdrawn is not worked with: false, ERR_INPUT, "skein 6 was
 * withdrawn; bring it back before it is plied". */
bool record_stands(struct book *book, enum noun_id noun, int64_t id,
                   const char *before, struct error *err);

/* Appends what still names a record, "3 skeins, 1 supply": nothing when
 * nothing does. What is a part of it and goes with it is not counted. */
bool record_used(struct book *book, enum noun_id noun, int64_t id,
                 struct text *out, struct error *err);

/* Brings back the withdrawn record of just that name, and no other that was
 * withdrawn with it, to be used again.
 * ERR_MISSING: there is none, or several; ERR_INPUT: it cannot come back. */
bool record_revive(struct book *book, enum noun_id noun, const char *name,
                   int64_t *id, struct error *err);

/* How a record is called in a line of text: "137", "14 big kettle", "madder".
 * "#5" for what has no name. */
bool record_label(struct book *book, enum noun_id noun, int64_t id,
                  struct text *out, struct error *err);

/* The same with its noun, for those who read what was done: "skein 137"; what
 * has a number only for the book says it last: "dip of skein 7 (entry #4)",
 * "reading of skein 7 (#9)". */
void record_said(const struct noun *noun, const char *label, struct text *out);

/* One field of a record that was read. */
struct record_field {
    const struct field *field;
    char *words;      /* as typed, or how it reads; NULL: not recorded */
    char *understood; /* beside the words when it says more, else NULL */
    double low, high; /* in the field's unit; NaN when there is no number */
    int64_t ref_id;   /* FIELD_REF: the other record, else 0 */
};

struct record {
    const struct noun *noun;
    int64_t id;
    char uid[33]; /* hexadecimal */
    bool withdrawn;
    int64_t owner_id; /* the dyer's id, 0 if the noun has no owner */
    char *label;
    struct record_field *field; /* noun->field_count of them */
};

/* Reads a whole record; release with record_clear. ERR_MISSING, ERR_STORE. */
bool record_read(struct book *book, enum noun_id noun, int64_t id,
                 struct record *out, struct error *err);
void record_clear(struct record *record);

/* The value of a field by name, or NULL when it is not recorded. */
const struct record_field *record_get(const struct record *record,
                                      const char *field);

/* The words of a field as they are shown: a day as it was read where the words
 * alone would come to mean another. NULL when not recorded. */
const char *record_shown(const struct record_field *field);

/* Ids of all records of a noun in the order a dyer would list them; release
 * *ids with free(). Withdrawn ones only when asked for. */
bool record_ids(struct book *book, enum noun_id noun, bool withdrawn,
                int64_t **ids, size_t *count, struct error *err);

/* The same of those that are withdrawn, and no others. */
bool record_ids_withdrawn(struct book *book, enum noun_id noun, int64_t **ids,
                          size_t *count, struct error *err);

/* Ids of the records of `noun` whose reference `field` is that record, in the
 * order they were made (entries: in the order of the skein's life). */
bool record_children(struct book *book, enum noun_id noun, const char *field,
                     int64_t of, int64_t **ids, size_t *count,
                     struct error *err);

#endif
