/* Private to the book: what a skein went through, and which two of its readings
 * a test goes by. */
#ifndef HANKLAB_BOOK_FAST_PAIR_H
#define HANKLAB_BOOK_FAST_PAIR_H

#include "book/fastness.h"
#include "book/store.h"

struct fast_step {
    int64_t entry; /* 0: before any */
    bool wash;
    char *dyestuffs, *mordants, *dips; /* sets, as a recipe has them */
};

struct fast_seen {
    struct ask_reading reading;
    char part[8];
    char from[11], to[11]; /* the days it can be from */
    size_t step;           /* after which, or SIZE_MAX */
    enum ask_lack lack;    /* why it does not count, but for its part */
};

struct fast_past {
    struct fast_step *step; /* in order */
    size_t steps;
    struct fast_seen *seen; /* the latest last */
    size_t count;
};

/* A test as the book holds it, beside what is told of it. */
struct fast_held {
    struct fast_test test;
    char from[11], to[11]; /* of its start; "": not known */
    char due_from[11];
    char next[11];         /* when the next of its kind began, or "" */
    int64_t before, after; /* readings it names, or 0 */
};

/* A column's text, or NULL; a day's, or "". */
char *fast_text_at(struct stmt *q, int column);
void fast_copy_at(struct stmt *q, int column, char out[11]);

/* Release with fast_past_clear, after a failure too. */
bool fast_past_load(struct book *book, int64_t skein,
                    const struct ask_filter *filter, struct fast_past *out,
                    struct error *err);
void fast_past_clear(struct fast_past *past);

/* The two readings, as book/fastness.h has the rule: o of what it was, t of
 * what was tested. */
bool fast_find_pair(const struct fast_past *past, const struct fast_held *test,
                    const struct fast_seen **o, const struct fast_seen **t);

/* What is missing when there are none, into the test. */
void fast_tell_lack(const struct fast_past *past, struct fast_held *test);

#endif
