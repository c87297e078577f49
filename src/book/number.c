/* Numbers of skeins. See book/number.h. */
#include "book/number.h"

#include "book/store.h"

bool number_next(struct book *book, int64_t *out, struct error *err)
{
    struct stmt q;
    bool row;

    if (!stmt_begin(book, STMT_SKEIN_NEXT, &q, err))
        return false;
    stmt_int(&q, ":of", book_dyer(book));
    if (!stmt_step(&q, &row, err))
        return false;
    *out = row ? stmt_get_int(&q, 0) : 1;
    stmt_done(&q);
    return true;
}

bool number_skein(struct book *book, int64_t number, int64_t *id,
                  struct error *err)
{
    struct stmt q;
    bool row;

    if (!stmt_begin(book, STMT_SKEIN_OF_NUMBER, &q, err))
        return false;
    stmt_int(&q, ":dyer", book_dyer(book));
    stmt_int(&q, ":number", number);
    if (!stmt_step(&q, &row, err))
        return false;
    *id = row ? stmt_get_int(&q, 0) : 0;
    stmt_done(&q);
    return true;
}
