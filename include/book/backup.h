/* Copies of a whole book, and bringing one back. */
#ifndef HANKLAB_BOOK_BACKUP_H
#define HANKLAB_BOOK_BACKUP_H

#include <stdbool.h>
#include <stddef.h>

#include "base/error.h"
#include "base/text.h"
#include "book/book.h"

/* Told after each photo that was looked at; may be all zero. */
struct backup_watch {
    void (*tell)(void *data, size_t done, size_t of);
    void *data;
};

struct backup_done {
    size_t photos, fresh; /* in the copy; that were not in it before */
    size_t unsound;       /* missing or not what they were when they were kept:
                             not copied; what the copy has of them stays */
    struct text told;     /* a line about each of these, at most 20 */
};

/*
 * Copies a book into a folder, which becomes a book itself; into an earlier
 * copy goes what is new. The book may be written to meanwhile. A copy that is
 * cut off leaves the earlier one usable and is gone on with by calling again.
 * When it is done, that is noted in the book's folder (backup_last).
 *
 * out   release with backup_done_clear, also after a failure
 * err   ERR_INPUT  the folder is the book's own or lies in it; it holds another
 *                  book, or one with acts that this book has not; the book is
 *                  damaged (the copy is left as it was)
 *       ERR_STORE  no room, or the copy cannot be read back
 */
bool backup_copy(struct book *book, const char *to,
                 const struct backup_watch *watch, struct backup_done *out,
                 struct error *err);

/*
 * Makes a book in a folder that holds none from a copy, which is only read.
 * The copy may be older than this program; the new book is upgraded when it is
 * opened.
 *
 * err   ERR_MISSING no copy there; ERR_INPUT the folder holds a book already,
 * or the copy is no hanklab book; ERR_STORE
 */
bool backup_restore(const char *from, const char *to,
                    const struct backup_watch *watch, struct backup_done *out,
                    struct error *err);

void backup_done_clear(struct backup_done *done);

/* When the book was last copied and where to. */
struct backup_last {
    bool ever;
    int days;    /* ago, 0 today */
    char on[11]; /* "2026-05-03" */
    char *to;    /* the folder; release with free() */
};

void backup_last(const struct book *book, struct backup_last *out);

#endif
