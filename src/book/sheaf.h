/*
 * Private to the book: rows for one table, gathered in memory and put into it
 * by one statement. What SQLite makes ready for a statement (cursors, the lists
 * of its checks, a journal to take it back) it then makes ready once, not for
 * each row.
 */
#ifndef HANKLAB_BOOK_SHEAF_H
#define HANKLAB_BOOK_SHEAF_H

#include "base/text.h"
#include "book/store.h"

enum { SHEAF_COLUMNS = 64 };

/* All zero is an empty one; a column that no row has stays out. */
struct sheaf {
    char column[SHEAF_COLUMNS][32];
    size_t columns;
    struct sheaf_value {
        enum { SHEAF_NULL, SHEAF_INT, SHEAF_REAL, SHEAF_TEXT, SHEAF_BLOB } is;
        union {
            int64_t whole;
            double real;
            size_t at; /* in bytes */
        };
        size_t size;
    } * value;
    size_t values;
    size_t *first; /* value of each row; the row has those up to the next's */
    size_t rows;
    size_t next; /* the column that most likely comes next */
    struct text bytes;
};

void sheaf_row(struct sheaf *s);

/* Sets a column of the row that was begun last; NULL unless it is set. Names
 * and values are copied; a name has at most 31 bytes. */
void sheaf_int(struct sheaf *s, const char *column, int64_t value);
void sheaf_real(struct sheaf *s, const char *column, double value);
void sheaf_text(struct sheaf *s, const char *column, const char *value);
void sheaf_blob(struct sheaf *s, const char *column, const void *value,
                size_t size);
void sheaf_id(struct sheaf *s, const char *column, int64_t id); /* 0: NULL */

/*
 * Puts the rows into a table, all or none, and forgets them, also when it
 * failed: they are to be gathered again.
 *
 * end  what else the statement says: "" or " ON CONFLICT ..."
 *
 * err  ERR_STORE  the book could not be written
 *      ERR_BUG    anything else, such as a row that it does not take:
 *                 store_code tells which
 */
bool sheaf_put(struct sheaf *s, struct book *book, const char *table,
               const char *end, struct error *err);

/* The same where the table's values are told by expressions in which :name is a
 * column of the sheaf, NULL if no row has it. */
bool sheaf_put_as(struct sheaf *s, struct book *book, const char *insert,
                  const char *values, struct error *err);

void sheaf_clear(struct sheaf *s);

#endif
