/* Private to the book: the columns of a kind of record, as they are handed on
 * to another book. */
#ifndef HANKLAB_BOOK_ROWS_H
#define HANKLAB_BOOK_ROWS_H

#include "book/noun.h"
#include "book/store.h"

enum row_kind { ROW_WHOLE, ROW_REAL, ROW_TEXT, ROW_BYTES, ROW_REF };

struct row_column {
    char name[32];             /* "fibre_id" */
    char json[32];             /* "fibre"; a reference is a uid */
    const struct field *field; /* whose it is; NULL: the program's own */
    enum row_kind kind;
    enum noun_id ref; /* ROW_REF */
    bool key;         /* follows from another: a name's folded form */
    bool private;     /* left out unless asked for */
    bool own;         /* of this book alone: never handed on */
    bool needed;      /* NOT NULL */
};

struct row_table {
    const struct noun *noun;
    struct row_column *column;
    size_t count;
};

/* Whether records of that kind are handed on. What a camera does is not: it
 * would tell how another's photos are read. */
bool rows_shared(enum noun_id noun);

/* Whether a record belongs to the one its field names: it goes where that one
 * goes, and adds to what that one is. */
bool rows_is_part(const struct field *field);

/* Release with rows_clear. */
bool rows_of(struct book *book, enum noun_id noun, struct row_table *out,
             struct error *err);
void rows_clear(struct row_table *table);

/* Kinds so that each comes after those it names. */
void rows_order(enum noun_id order[NOUN_COUNT]);

#endif
