/* What comes back with a record. See book/together.h. */
#include "book/together.h"

#include <stdlib.h>

#include "base/mem.h"
#include "book/record.h"
#include "book/store.h"

/* Comes back only when it is asked for. */
static bool is_result(enum noun_id noun)
{
    return noun == NOUN_SKEIN || noun == NOUN_READING || noun == NOUN_DYER;
}

static bool is_part(const struct noun *noun)
{
    for (size_t i = 0; i < noun->field_count; i++)
        if (noun->fields[i].flags & FIELD_PART)
            return !is_result(noun->id);
    return false;
}

/* "that row was withdrawn by the act that last withdrew the record" */
static void add_same_act(struct text *sql, const struct noun *noun,
                         const char *row)
{
    text_addf(sql,
              "EXISTS (SELECT 1 FROM history WHERE of_table = '%s' AND row_id "
              "= %s AND field = 'withdrawn' AND new = 1 AND act_id = :act)",
              noun->name, row);
}

/* "nothing withdrawn is in the way of that part" */
static void add_may_stand(struct text *sql, const struct noun *part)
{
    for (size_t i = 0; i < part->field_count; i++) {
        const struct field *f = &part->fields[i];
        if (f->kind != FIELD_REF)
            continue;
        text_addf(sql,
                  " AND NOT EXISTS (SELECT 1 FROM %s x WHERE x.id = p.%s_id "
                  "AND x.withdrawn = 1",
                  nouns[f->ref].name, f->column);
        if (!is_result(f->ref)) {
            text_add(sql, " AND NOT ");
            add_same_act(sql, &nouns[f->ref], "x.id");
        }
        text_add(sql, ")");
    }
}

/* Brings back the rows of `noun` that a statement names; ends its text. */
static bool back_all(struct book *book, const struct noun *noun,
                     struct text *sql, int64_t id, int64_t act,
                     struct error *err)
{
    int64_t *ids = NULL;
    size_t n = 0;
    struct stmt q;
    bool row, ok = stmt_prepare(book, text_str(sql), &q, err);

    text_clear(sql);
    if (!ok)
        return false;
    stmt_int(&q, ":id", id);
    stmt_int(&q, ":act", act);
    while ((ok = stmt_step(&q, &row, err)) && row) {
        ids = mem_resize(ids, n + 1, sizeof *ids);
        ids[n++] = stmt_get_int(&q, 0);
    }
    stmt_done(&q);
    for (size_t i = 0; ok && i < n; i++) {
        struct record now;
        ok = record_read(book, noun->id, ids[i], &now, err);
        if (!ok)
            break;
        /* One of the others may have brought it back. */
        ok = !now.withdrawn ||
             record_withdraw(book, noun->id, ids[i], false, err);
        record_clear(&now);
    }
    free(ids);
    return ok;
}

/* What is of the cupboard is named by many pots, and brings none of them back:
 * only what is of it alone, the other names of a material. */
static bool comes_with(const struct noun *part, const struct field *f,
                       const struct noun *noun)
{
    return f->kind == FIELD_REF && f->ref == noun->id && is_part(part) &&
           (noun->group != noun_groups[0] || (f->flags & FIELD_PART));
}

static bool back_below(struct book *book, const struct noun *noun, int64_t id,
                       int64_t act, struct error *err)
{
    bool ok = true;

    for (size_t i = 0; ok && i < noun->field_count; i++) {
        const struct field *f = &noun->fields[i];
        struct text sql = {0};
        if (f->kind != FIELD_REF || is_result(f->ref))
            continue;
        text_addf(&sql,
                  "SELECT x.id FROM %s p JOIN %s x ON x.id = p.%s_id WHERE "
                  "p.id = :id AND x.withdrawn = 1 AND ",
                  noun->name, nouns[f->ref].name, f->column);
        add_same_act(&sql, &nouns[f->ref], "x.id");
        ok = back_all(book, &nouns[f->ref], &sql, id, act, err);
    }
    return ok;
}

static bool back_parts(struct book *book, const struct noun *noun, int64_t id,
                       int64_t act, struct error *err)
{
    bool ok = true;

    for (size_t i = 0; ok && i < noun_count; i++)
        for (size_t k = 0; ok && k < nouns[i].field_count; k++) {
            const struct noun *part = &nouns[i];
            const struct field *f = &part->fields[k];
            struct text sql = {0};
            if (!comes_with(part, f, noun))
                continue;
            text_addf(&sql,
                      "SELECT p.id FROM %s p WHERE p.%s_id = :id AND "
                      "p.withdrawn = 1 AND ",
                      part->name, f->column);
            add_same_act(&sql, part, "p.id");
            add_may_stand(&sql, part);
            text_add(&sql, " ORDER BY p.id");
            ok = back_all(book, part, &sql, id, act, err);
        }
    return ok;
}

bool together_back(struct book *book, const struct noun *noun, int64_t id,
                   struct error *err)
{
    struct stmt q;
    int64_t act;
    bool row;

    if (!stmt_begin(book, STMT_WITHDREW, &q, err))
        return false;
    stmt_text(&q, ":table", noun->name);
    stmt_int(&q, ":row", id);
    if (!stmt_step(&q, &row, err))
        return false;
    act = row ? stmt_get_int(&q, 0) : 0;
    stmt_done(&q);
    return back_below(book, noun, id, act, err) &&
           back_parts(book, noun, id, act, err);
}
