/* History as the triggers tell it. See noted.h. */
#include "book/noted.h"

#include <assert.h>
#include <string.h>

enum { TABLE, ID, NAMES, FIRST }; /* arguments */

/* IS NOT, of two values of one column. */
static bool is_another(sqlite3_value *a, sqlite3_value *b)
{
    const int type = sqlite3_value_type(a);
    size_t size;

    if (type != sqlite3_value_type(b))
        return true;
    switch (type) {
    case SQLITE_NULL:
        return false;
    case SQLITE_INTEGER:
        return sqlite3_value_int64(a) != sqlite3_value_int64(b);
    case SQLITE_FLOAT:
        return sqlite3_value_double(a) != sqlite3_value_double(b);
    }
    size = (size_t)sqlite3_value_bytes(a); /* of text too */
    return size != (size_t)sqlite3_value_bytes(b) ||
           (size &&
            memcmp(sqlite3_value_blob(a), sqlite3_value_blob(b), size) != 0);
}

static sqlite3_stmt *row_of(struct book *book, sqlite3_value **value)
{
    struct stmt q;
    struct error err;

    if (!stmt_begin(book, STMT_HISTORY_ADD, &q, &err))
        return NULL;
    if (book->in_act) /* else in an upgrade, which is no act */
        stmt_int(&q, ":act", book->act_id);
    sqlite3_bind_value(q.st, 2, value[TABLE]);
    sqlite3_bind_value(q.st, 3, value[ID]);
    return q.st;
}

/* What a failing disk says reaches the statement that the trigger is of. */
static bool run(sqlite3_context *context, sqlite3_stmt *st)
{
    const int rc = sqlite3_step(st);

    sqlite3_reset(st);
    if (rc != SQLITE_DONE)
        sqlite3_result_error_code(context, rc);
    return rc == SQLITE_DONE;
}

static void note(sqlite3_context *context, int count, sqlite3_value **value)
{
    sqlite3_stmt *st = row_of(sqlite3_user_data(context), value);
    const char *name;

    if (!st)
        sqlite3_result_error_code(
            context, sqlite3_errcode(sqlite3_context_db_handle(context)));
    else if (count <= NAMES)
        run(context, st);
    if (!st || count <= NAMES)
        return;
    assert((count - FIRST) % 2 == 0);
    name = (const char *)sqlite3_value_text(value[NAMES]);
    for (int i = FIRST; name && i + 1 < count; i += 2) {
        const size_t n = strcspn(name, ",");

        if (is_another(value[i], value[i + 1])) {
            sqlite3_bind_text(st, 4, name, (int)n, SQLITE_STATIC);
            sqlite3_bind_value(st, 5, value[i]);
            sqlite3_bind_value(st, 6, value[i + 1]);
            if (!run(context, st))
                return;
        }
        name += n + (name[n] != '\0');
    }
}

void noted_begin(struct book *book)
{
    sqlite3_create_function(book->db, "noted", -1,
                            SQLITE_UTF8 | SQLITE_INNOCUOUS, book, note, NULL,
                            NULL);
}
