/* Every fixed statement of the book by name; the texts stand in sql.def. */
#ifndef HANKLAB_BOOK_SQL_H
#define HANKLAB_BOOK_SQL_H

enum stmt_id {
#define STMT(id, text) id,
#include "book/sql.def"
#undef STMT
    STMT_COUNT
};

#endif
