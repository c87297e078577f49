/* Two materials that are one. See record_join in book/record.h. */
#include "book/record.h"

#include <assert.h>

#include "book/field.h"
#include "book/store.h"

/* Runs a statement with the ids of both. */
static bool on_both(struct book *book, enum stmt_id id, int64_t from,
                    int64_t to, struct stmt *q, struct error *err)
{
    if (!stmt_begin(book, id, q, err))
        return false;
    stmt_int(q, ":from", from);
    stmt_int(q, ":to", to);
    return true;
}

/* A dyestuff and a mordant are not one stuff, nor is "no mordant" any. */
static bool may_join(struct book *book, int64_t from, int64_t to,
                     struct error *err)
{
    struct stmt q;
    bool row;

    if (!on_both(book, STMT_JOIN_KINDS, from, to, &q, err) ||
        !stmt_step(&q, &row, err))
        return false;
    if (row)
        error_set(err, ERR_INPUT,
                  "%s is kept as %s and %s as %s: make them of one kind first, "
                  "with --kind",
                  stmt_get_text(&q, 0), stmt_get_text(&q, 1),
                  stmt_get_text(&q, 2), stmt_get_text(&q, 3));
    stmt_done(&q);
    return !row;
}

/* What points to the one points to the other, the withdrawn too: they may be
 * brought back. */
static bool point_to(struct book *book, const char *table, const char *column,
                     int64_t from, int64_t to, struct error *err)
{
    struct text sql = {0};
    struct stmt q;
    bool ok;

    text_addf(&sql, "UPDATE %s SET %s_id = :to WHERE %s_id = :from", table,
              column, column);
    ok = stmt_prepare(book, text_str(&sql), &q, err);
    text_clear(&sql);
    if (!ok)
        return false;
    stmt_int(&q, ":to", to);
    stmt_int(&q, ":from", from);
    return stmt_run(&q, err);
}

static bool point_all(struct book *book, int64_t from, int64_t to,
                      struct error *err)
{
    for (size_t n = 0; n < noun_count; n++)
        for (size_t k = 0; k < nouns[n].field_count; k++) {
            const struct field *f = &nouns[n].fields[k];
            if (f->kind == FIELD_REF && f->ref == NOUN_MATERIAL &&
                !point_to(book, nouns[n].name, f->column, from, to, err))
                return false;
        }
    return true;
}

bool record_join(struct book *book, int64_t from, int64_t to, struct error *err)
{
    struct stmt q;

    assert(book->in_act);
    return may_join(book, from, to, err) &&
           record_withdraw(book, NOUN_MATERIAL, from, true, err) &&
           point_all(book, from, to, err) &&
           on_both(book, STMT_JOIN_FACTS, from, to, &q, err) &&
           stmt_run(&q, err) &&
           on_both(book, STMT_JOIN_NAMES, from, to, &q, err) &&
           stmt_run(&q, err);
}
