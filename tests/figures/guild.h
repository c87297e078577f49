/* Books of a guild with so many skeins, for jobs that ask them. */
#ifndef HANKLAB_TESTS_FIGURES_GUILD_H
#define HANKLAB_TESTS_FIGURES_GUILD_H

#include "book/ask.h"
#include "book/store.h"

/* The folder of such a book in BUILD/books, made when it is not there yet; in
 * a buffer of its own for each number up to 8 of them. What is in it is not to
 * be changed. */
const char *guild_book(long skeins);

/* Colours to ask those books for the nearest to: of the dyestuffs they are made
 * of, and some between them, where few skeins are. */
enum { GUILD_TARGETS = 20 };
extern const struct lab guild_target[GUILD_TARGETS];

/* Opens a book; ends the program when it cannot. */
struct book *guild_open(const char *folder);

/* Ends the program with what the book says when something failed. */
void guild_must(bool ok, const struct error *err);

#endif
