/* Private to the book: what the sheets of a skein and of a pot share. */
#ifndef HANKLAB_BOOK_SHEET_PART_H
#define HANKLAB_BOOK_SHEET_PART_H

#include "book/sheet.h"

/* What was in a treatment: its own doses, and those of its bath up to its
 * round, of what was poured into that too. */
bool sheet_doses_of(struct book *book, int64_t treatment,
                    struct sheet_doses *out, struct error *err);
/* All that ever went into a bath, in order. */
bool sheet_doses_of_bath(struct book *book, int64_t bath,
                         struct sheet_doses *out, struct error *err);
/* All that was taken of a supply. */
bool sheet_doses_of_supply(struct book *book, int64_t supply,
                           struct sheet_doses *out, struct error *err);
void sheet_doses_clear(struct sheet_doses *doses);

/* All readings of a skein, by day. */
bool sheet_readings_of(struct book *book, int64_t skein,
                       struct sheet_readings *out, struct error *err);
void sheet_readings_clear(struct sheet_readings *readings);

/* The pH taken in a treatment as typed, NULL when there is none. */
bool sheet_ph_of(struct book *book, int64_t treatment, char **out,
                 struct error *err);

/* Reads all records of a noun that refer to one by `field`. */
bool sheet_records(struct book *book, enum noun_id noun, const char *field,
                   int64_t of, struct record **out, size_t *count,
                   struct error *err);
void sheet_records_clear(struct record *records, size_t count);

#endif
