/*
 * Skeins that become others: cut up, plied or wound together. A new skein has
 * the life of those it came from, up to that day, before its own.
 */
#ifndef HANKLAB_BOOK_CUT_H
#define HANKLAB_BOOK_CUT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/error.h"
#include "base/text.h"
#include "book/book.h"
#include "book/record.h"

/*
 * Cuts pieces off a skein, each a new skein of the same dyer, yarn, colour word
 * and place; what is not cut off stays. An act of its own.
 *
 * piece  "20 g", "20 g; code=A3b", "code=A3b": weight, number, name, code,
 *        length, colour, place, weighed, note
 * ids    the new skeins', count of them
 * echo   how values were understood, and what is left by the weights;
 *        appended; may be NULL
 * err    ERR_INPUT    a piece cannot be read, the skein was withdrawn or is all
 *                     cut up, the parts are more than all
 *        ERR_MISSING, ERR_STORE
 */
bool skein_cut(struct book *book, int64_t skein, const char *const *piece,
               size_t count, int64_t *ids, struct text *echo,
               struct error *err);

/* Reads and echoes the same, and cuts nothing. */
bool skein_cut_try(struct book *book, int64_t skein, const char *const *piece,
                   size_t count, struct text *echo, struct error *err);

/* Grams left of a skein that weighed whole_g; NaN when nothing was cut off it
 * or a piece was not weighed. */
bool cut_left(struct book *book, int64_t skein, double whole_g, double *left,
              struct error *err);

/* Skeins of which nothing is left, as far as the weights or parts of their
 * pieces say; rising, release with free(). */
bool cut_up(struct book *book, int64_t **ids, size_t *count, struct error *err);
/* Whether skein is one of those. */
bool cut_is_up(const int64_t *ids, size_t count, int64_t skein);

/* The same of one skein. */
bool cut_all_of(struct book *book, int64_t skein, bool *up, struct error *err);

/* Whether something of a skein is left to be dyed, cut or plied; ERR_INPUT,
 * with the names of its pieces, when it is all cut up. */
bool cut_is_left(struct book *book, int64_t skein, struct error *err);

/* "cut into 8a, 61": the codes or else the numbers of its pieces; appended. */
bool cut_into(struct book *book, int64_t skein, struct text *out,
              struct error *err);

/*
 * Makes one skein of several, an act of its own.
 *
 * strand  "12", "A3", "12: 20 g": which, and how much of it; or "6-8"
 * values  fields of the new skein, as for record_add
 * parents set to the skeins it was made of; release with free()
 * made_of how many they are
 * err     ERR_INPUT  also when they are fewer than two
 */
bool skein_ply(struct book *book, const char *const *strand, size_t count,
               const struct record_value *values, size_t n, int64_t *id,
               int64_t **parents, size_t *made_of, struct text *echo,
               struct error *err);

#endif
