/*
 * The book on disk: a folder with book.db (SQLite) and photos/.
 *
 * One connection, one thread. Every change is made inside an act; history
 * triggers write down what it changed.
 */
#ifndef HANKLAB_BOOK_BOOK_H
#define HANKLAB_BOOK_BOOK_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/error.h"

struct book;

/*
 * Makes a new book in the folder dir, which is made too if need be; or ends
 * the making of one that was cut off.
 *
 * dyer  the name of the one whose book it is
 * err   ERR_INPUT  no name, no folder, or there is a book already; one that
 *                  was begun and not finished is finished
 *       ERR_STORE  the folder cannot be written, or its book.db is another
 *                  program's
 */
bool book_create(const char *dir, const char *dyer, struct error *err);

/* How the dyer is called in a book where nobody said it. */
#define BOOK_NAMELESS "me"

/*
 * Opens a book; close it with book_close. An older book is first copied aside
 * (book-vNNNN.db in the same folder), then upgraded.
 *
 * dir  ":memory:" makes a new empty book in memory, for tests; it keeps no
 *      photos
 * err  ERR_MISSING  no book there
 *      ERR_STORE    not a book, begun and not finished, made by a newer
 *                   hanklab, damaged, no permission, the disk is full, its
 *                   folder has no locks that keep others out
 */
bool book_open(const char *dir, struct book **out, struct error *err);
void book_close(struct book *book); /* NULL allowed */

/* What to mind about a book in that folder, a sentence that goes on behind a
 * colon; NULL when there is nothing. */
const char *book_warning(const char *dir);

/* The folder; borrowed. */
const char *book_folder(const struct book *book);

/* The dyer whose book it is. */
int64_t book_dyer(const struct book *book);

/*
 * An act: one command or one form, one transaction. Begin takes the write
 * lock (waiting up to five seconds for another program), checks that the book
 * has not been upgraded meanwhile, and writes the act; end commits; cancel
 * takes everything back and may be called when no act is open.
 *
 * what  how the act is called in the history: "log", "skein edit"
 * err   ERR_STORE
 */
bool book_act_begin(struct book *book, const char *what, struct error *err);
bool book_act_end(struct book *book, struct error *err);
void book_act_cancel(struct book *book);

/* What acts come from in the history from now on, borrowed: "page"; NULL, as at
 * first, is the command line. */
void book_acts_from(struct book *book, const char *face);

/* The id of the open act, or of the last one when none is open; 0 if none. */
int64_t book_act(const struct book *book);

/*
 * Begins a view of the book for several questions: what another program writes
 * meanwhile is not seen, and the file is not locked anew for each. Views may
 * stand in each other. book_look_end follows even where it failed.
 */
bool book_look(struct book *book, struct error *err);
void book_look_end(struct book *book);

/* Changes when another program has written to the book. */
int64_t book_data_version(struct book *book);

/* Changes when this program has written to the book. */
int64_t book_own_changes(const struct book *book);

/* The version of the schema this program writes. */
int book_schema_version(void);

#endif
