/* Private to the book: what the open act did so far, by its history. */
#ifndef HANKLAB_BOOK_TOUCHED_H
#define HANKLAB_BOOK_TOUCHED_H

#include "book/noun.h"
#include "book/store.h"

/*
 * Of one kind of record. Nobody else writes while an act is open and nothing is
 * deleted, so what it added has ids that follow each other: from..to, and 0..-1
 * when there is none. The ids of others that it changed may come twice.
 */
struct touched_kind {
    int64_t from, to;
    int64_t *changed;
    size_t count;
    bool noted; /* of these a note, or whether it is withdrawn */
};

struct touched {
    struct touched_kind of[NOUN_COUNT];
};

/* Release it with touched_clear, also when it failed. */
bool touched_read(struct book *book, struct touched *out, struct error *err);
void touched_clear(struct touched *t);

bool touched_is_new(const struct touched_kind *k, int64_t id);

#endif
