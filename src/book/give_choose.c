/* What goes with what was picked. See give.h. */
#include "book/give.h"

#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/rows.h"

/* Runs SQL made from our own tables, with the kinds bound that it names. */
static bool run(struct book *book, const char *sql, int64_t noun, int64_t ref,
                bool *any, struct error *err)
{
    struct stmt q;

    if (!stmt_prepare(book, sql, &q, err))
        return false;
    if (sqlite3_bind_parameter_index(q.st, ":noun"))
        stmt_int(&q, ":noun", noun);
    if (sqlite3_bind_parameter_index(q.st, ":ref"))
        stmt_int(&q, ":ref", ref);
    if (!stmt_run(&q, err))
        return false;
    if (any && sqlite3_changes(book->db))
        *any = true;
    return true;
}

static bool add(struct give *give, const struct text *sql, int64_t noun,
                int64_t ref, bool *any, struct error *err)
{
    return run(give->book, text_str(sql), noun, ref, any, err);
}

/* What records name comes with them, withdrawn or not. */
static bool add_named(struct give *give, const struct noun *noun,
                      const char *column, enum noun_id ref, bool *any,
                      struct error *err)
{
    struct text sql = {0};
    bool ok;

    text_addf(&sql,
              "INSERT OR IGNORE INTO chosen SELECT :ref, t.%s FROM chosen c "
              "JOIN %s t ON t.id = c.id WHERE c.noun = :noun AND t.%s IS NOT "
              "NULL",
              column, noun->name, column);
    ok = add(give, &sql, noun->id, ref, any, err);
    text_clear(&sql);
    return ok;
}

/* Their parts come too; of what was done outside a bath only where amounts are
 * counted by all that was in it. */
static bool add_parts(struct give *give, const struct noun *noun,
                      const struct field *f, bool *any, struct error *err)
{
    struct text sql = {0};
    bool ok;

    text_addf(&sql,
              "INSERT OR IGNORE INTO chosen SELECT :noun, t.id FROM chosen c "
              "JOIN %s t ON t.%s_id = c.id WHERE c.noun = :ref AND t.withdrawn "
              "= 0",
              noun->name, f->column);
    if (noun->id == NOUN_ENTRY)
        text_add(&sql, " AND NOT (SELECT withdrawn FROM skein WHERE id = "
                       "t.skein_id)");
    if (noun->id == NOUN_ENTRY && f->ref == NOUN_TREATMENT)
        text_add(&sql, " AND ((SELECT bath_id FROM treatment WHERE id = "
                       "t.treatment_id) IS NOT NULL OR EXISTS (SELECT 1 FROM "
                       "dose d WHERE d.treatment_id = t.treatment_id AND "
                       "d.withdrawn = 0 AND d.amount_unit IS NOT NULL AND "
                       "d.amount_unit <> 'wof_pct'))");
    ok = add(give, &sql, noun->id, f->ref, any, err);
    text_clear(&sql);
    return ok;
}

static bool add_all_of(struct give *give, const struct noun *noun, bool *any,
                       struct error *err)
{
    for (size_t i = 0; i < noun->field_count; i++) {
        const struct field *f = &noun->fields[i];
        struct text column = {0};
        bool ok = true;
        if (f->kind != FIELD_REF || !rows_shared(f->ref))
            continue;
        text_addf(&column, "%s_id", f->column);
        ok = add_named(give, noun, text_str(&column), f->ref, any, err) &&
             (!rows_is_part(f) || add_parts(give, noun, f, any, err));
        text_clear(&column);
        if (!ok)
            return false;
    }
    return !noun->owner ||
           add_named(give, noun, noun->owner, NOUN_DYER, any, err);
}

static bool begin(struct give *give, struct error *err)
{
    const struct exchange_pick *pick = give->pick;
    struct stmt q;

    if (!run(give->book,
             "CREATE TEMP TABLE IF NOT EXISTS chosen (noun INTEGER, id "
             "INTEGER, PRIMARY KEY (noun, id)) WITHOUT ROWID",
             0, 0, NULL, err) ||
        !run(give->book, "DELETE FROM temp.chosen", 0, 0, NULL, err))
        return false;
    for (size_t i = 0; !pick->all && i < pick->skeins; i++) {
        if (!stmt_prepare(give->book,
                          "INSERT OR IGNORE INTO chosen VALUES (:noun, :id)",
                          &q, err))
            return false;
        stmt_int(&q, ":noun", NOUN_SKEIN);
        stmt_int(&q, ":id", pick->skein[i]);
        if (!stmt_run(&q, err))
            return false;
        give->asked += (size_t)sqlite3_changes(give->book->db);
    }
    return true;
}

static bool is_planned(enum noun_id noun)
{
    return noun == NOUN_PROJECT || noun == NOUN_WISH || noun == NOUN_TASK;
}

/* Of a liquor that a plan had drawn out and nothing was dyed in, neither the
 * bath nor a part of it goes without the plan. */
static void leave_liquor(const struct noun *noun, struct text *sql)
{
    const char *bath = noun->id == NOUN_BATH ? "id" : NULL;

    for (size_t i = 0; i < noun->field_count; i++)
        if (rows_is_part(&noun->fields[i]) && noun->fields[i].ref == NOUN_BATH)
            bath = "bath_id";
    if (bath)
        text_addf(sql,
                  " AND coalesce(%s, 0) NOT IN (SELECT k.bath_id FROM task k "
                  "WHERE k.kind = 'extract' AND k.bath_id IS NOT NULL AND NOT "
                  "EXISTS (SELECT 1 FROM treatment r WHERE r.bath_id = "
                  "k.bath_id AND r.withdrawn = 0))",
                  bath);
}

static bool add_whole_book(struct give *give, struct error *err)
{
    const bool plans = give->pick->plans;
    struct text sql = {0};
    bool ok = true;

    for (size_t n = 0; ok && n < NOUN_COUNT; n++) {
        if (!rows_shared(nouns[n].id) || (is_planned(nouns[n].id) && !plans))
            continue;
        text_reset(&sql);
        text_addf(&sql,
                  "INSERT INTO chosen SELECT :noun, id FROM %s WHERE withdrawn "
                  "= 0",
                  nouns[n].name);
        if (!plans)
            leave_liquor(&nouns[n], &sql);
        ok = add(give, &sql, nouns[n].id, 0, NULL, err);
    }
    text_clear(&sql);
    return ok;
}

bool give_choose(struct give *give, struct error *err)
{
    bool any = true;

    if (!begin(give, err) || (give->pick->all && !add_whole_book(give, err)))
        return false;
    while (any) {
        any = false;
        for (size_t n = 0; n < NOUN_COUNT; n++)
            if (rows_shared(nouns[n].id) &&
                !add_all_of(give, &nouns[n], &any, err))
                return false;
    }
    return true;
}

bool give_ids(struct give *give, enum noun_id noun, int64_t **ids,
              size_t *count, struct error *err)
{
    struct stmt q;
    bool row = false, ok;

    *ids = NULL;
    *count = 0;
    if (!stmt_prepare(give->book,
                      "SELECT id FROM chosen WHERE noun = :noun ORDER BY id",
                      &q, err))
        return false;
    stmt_int(&q, ":noun", noun);
    while ((ok = stmt_step(&q, &row, err)) && row) {
        *ids = mem_room(*ids, *count, sizeof **ids);
        (*ids)[(*count)++] = stmt_get_int(&q, 0);
    }
    stmt_done(&q);
    if (!ok) {
        free(*ids);
        *ids = NULL;
    }
    return ok;
}
