/* A book of a weaving group's pots, with all that the answers live on: goes of
 * one recipe, exhausts, weights of one dyestuff, dips, yarn measured undyed;
 * and skeins none of whose readings may be gone by. */
#ifndef HANKLAB_TESTS_GOES_SUPPORT_H
#define HANKLAB_TESTS_GOES_SUPPORT_H

#include <stdint.h>

#include "book/record.h"
#include "support.h"

/* The skeins none of whose readings may be gone by: wet, by eye, D65/10, of
 * the exposed half, from before the last step; then one whose reading was
 * withdrawn, and one that was withdrawn itself. */
enum { GOES_FIRST_DECOY = 301, GOES_DECOYS = 7 };

/*
 * Writes it into an empty book.
 *
 * seed   the order in which records of a kind are made
 * decoy  the colour of every reading that may not be gone by: "50,60,-40"
 */
void goes_write(struct book *book, uint64_t seed, const char *decoy);

/* Adds what no answer about the book's own dyer is about: another dyer's yarn,
 * pots, skeins and readings with a dyestuff of its own, a supply, a withdrawn
 * skein, a bath that nothing was in. */
void goes_add_unrelated(struct book *book);

#endif
