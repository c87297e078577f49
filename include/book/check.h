/* Whether a book is sound, and mending of what can be without guessing. */
#ifndef HANKLAB_BOOK_CHECK_H
#define HANKLAB_BOOK_CHECK_H

#include <stdbool.h>
#include <stddef.h>

#include "base/error.h"
#include "base/text.h"
#include "book/book.h"

struct check_wish {
    bool mend;        /* false: nothing is changed */
    const char *from; /* a copy that photos are taken from, or NULL */
    void (*tell)(void *data, size_t done, size_t of); /* photos; or NULL */
    void *data;
};

struct check {
    size_t skeins, photos, readings; /* there are */
    size_t faults, mended;           /* found; of these mended */
    size_t unnamed; /* pictures that no record names; they do no harm */
    size_t
        leftover; /* files of a writing that was cut off; removed by mending */
    struct text told; /* a line for each fault, at most CHECK_MOST of a kind */
};

#define CHECK_MOST 20

/*
 * Looks at everything: the database (SQLite's own check), that every record's
 * parent is there, that what is kept for looking up is what the records come
 * to, that each photo is there and has its bytes, and which readings could not
 * be taken again.
 *
 * Mended: an index that is wrong (made anew), what is kept for looking up (made
 * anew), a photo (from a copy where its bytes are right).
 *
 * out   release with check_clear, also after a failure
 * err   ERR_STORE the book cannot be read, or not be written to
 */
bool check_book(struct book *book, const struct check_wish *wish,
                struct check *out, struct error *err);

void check_clear(struct check *check);

#endif
