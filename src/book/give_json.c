/* Records as JSON, and as tables. See give.h. */
#include "book/give.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/json.h"
#include "base/mem.h"
#include "book/field_words.h"
#include "book/record.h"
#include "book/rows.h"
#include "draw/terminal.h"

/* ---- JSON ---------------------------------------------------------------- */

/* When it was last changed by hand, here or where it came from; taking a file
 * in, undoing that and taking it in after all are no change. */
#define CHANGED_AT                                                             \
    "coalesce((SELECT max(a.at) FROM history h JOIN act a ON a.id = h.act_id " \
    "WHERE h.of_table = '%s' AND h.row_id = t.id AND a.what <> 'import' AND "  \
    "NOT EXISTS (SELECT 1 FROM act i LEFT JOIN act j ON j.id = i.undoes_id "   \
    "WHERE i.id = a.undoes_id AND 'import' IN (i.what, j.what))), "            \
    "(SELECT max(changed_at) FROM came WHERE of_table = '%s' AND row_id = "    \
    "t.id), 0)"

static void select_of(const struct row_table *table, struct text *sql)
{
    const char *name = table->noun->name;

    text_addf(sql, "SELECT t.id, lower(hex(t.uid)), t.withdrawn, " CHANGED_AT,
              name, name);
    for (size_t i = 0; i < table->count; i++) {
        const struct row_column *c = &table->column[i];
        if (c->kind == ROW_REF)
            text_addf(sql, ", (SELECT lower(hex(uid)) FROM %s WHERE id = t.%s)",
                      nouns[c->ref].name, c->name);
        else if (c->kind == ROW_BYTES)
            text_addf(sql, ", lower(hex(t.%s))", c->name);
        else
            text_addf(sql, ", t.%s", c->name);
    }
    text_addf(sql,
              " FROM chosen c JOIN %s t ON t.id = c.id WHERE c.noun = :noun "
              "ORDER BY t.id",
              name);
}

static void add_hash(struct json *j, const char *name,
                     const unsigned char sha256[32])
{
    struct text t = {0};

    for (int i = 0; i < 32; i++)
        text_addf(&t, "%02x", sha256[i]);
    json_add_string(j, name, text_str(&t));
    text_clear(&t);
}

/* Of a photo what is true of the copy. */
static bool add_of_copy(struct json *j, const struct give_photo *p,
                        const struct row_column *c)
{
    if (!strcmp(c->name, "sha256"))
        add_hash(j, c->json, p->sha256);
    else if (!strcmp(c->name, "original_sha256"))
        add_hash(j, c->json, p->original);
    else if (!strcmp(c->name, "bytes"))
        json_add_whole(j, c->json, (int64_t)p->size);
    else if (!strcmp(c->name, "has_gps"))
        json_add_whole(j, c->json, 0);
    else
        return false;
    return true;
}

static void add_value(struct json *j, struct stmt *q, int at,
                      const struct row_column *c)
{
    if (stmt_is_null(q, at))
        return;
    switch (c->kind) {
    case ROW_WHOLE:
        json_add_whole(j, c->json, stmt_get_int(q, at));
        break;
    case ROW_REAL:
        json_add_exact(j, c->json, stmt_get_real(q, at));
        break;
    case ROW_TEXT:
    case ROW_BYTES:
    case ROW_REF:
        json_add_string(j, c->json, stmt_get_text(q, at));
        break;
    }
}

/* One a line, so that two files can be compared by eye. */
static void add_record(struct give *give, struct json *j, struct stmt *q,
                       const struct row_table *table)
{
    const struct give_photo *photo =
        table->noun->id == NOUN_PHOTO ? give_photo_of(give, stmt_get_int(q, 0))
                                      : NULL;

    json_add_object(j, NULL);
    json_add_string(j, "uid", stmt_get_text(q, 1));
    json_add_whole(j, "changed_at", stmt_get_int(q, 3));
    if (stmt_get_int(q, 2))
        json_add_bool(j, "withdrawn", true);
    for (size_t i = 0; i < table->count; i++) {
        const struct row_column *c = &table->column[i];
        if (c->key || c->own || (c->private && !give->pick->places))
            continue;
        if (!photo || !add_of_copy(j, photo, c))
            add_value(j, q, 4 + (int)i, c);
    }
    json_end(j);
    text_add(j->out, "\n");
}

static bool add_records(struct give *give, struct json *j, enum noun_id noun,
                        struct error *err)
{
    struct row_table table;
    struct text sql = {0};
    struct stmt q = {0};
    bool ok, row = false;

    if (!rows_of(give->book, noun, &table, err))
        return false;
    select_of(&table, &sql);
    ok = stmt_prepare(give->book, text_str(&sql), &q, err);
    if (ok) {
        stmt_int(&q, ":noun", noun);
        json_add_array(j, nouns[noun].plural);
        while ((ok = stmt_step(&q, &row, err)) && row) {
            add_record(give, j, &q, &table);
            give->given->count[noun]++;
        }
        json_end(j);
    }
    stmt_done(&q);
    text_clear(&sql);
    rows_clear(&table);
    return ok;
}

bool give_json(struct give *give, struct text *out, struct error *err)
{
    enum noun_id order[NOUN_COUNT];
    struct json j = json_to(out);

    rows_order(order);
    json_add_object(&j, NULL);
    json_add_string(&j, "hanklab", "exchange");
    json_add_whole(&j, "version", book_schema_version());
    json_add_string(&j, "made_at", give->made);
    json_add_string(&j, "dyer", give->dyer_uid);
    json_add_string(&j, "dyer_name", give->dyer);
    json_add_bool(&j, "places", give->pick->places);
    for (size_t i = 0; i < NOUN_COUNT; i++)
        if (rows_shared(order[i]) && !add_records(give, &j, order[i], err))
            return false;
    json_end(&j);
    return true;
}

/* ---- tables -------------------------------------------------------------- */

static bool is_told(const struct give *give, const struct field *f)
{
    return give->pick->places || !(f->flags & FIELD_PRIVATE);
}

static void add_heads(const struct give *give, const struct noun *noun,
                      struct text_table *t)
{
    t->columns = 1 + (noun->owner != NULL);
    table_add(t, noun->name);
    if (noun->owner)
        table_add(t, "dyer");
    for (size_t i = 0; i < noun->field_count; i++) {
        const struct field *f = &noun->fields[i];
        if (!is_told(give, f))
            continue;
        table_add(t, f->name);
        if (field_words_meant(f))
            table_addf(t, "%s as read", f->name);
        t->columns += 1 + field_words_meant(f);
    }
}

static bool add_row(struct give *give, const struct noun *noun, int64_t id,
                    struct text_table *t, struct error *err)
{
    struct record r;
    struct text dyer = {0};
    bool ok = record_read(give->book, noun->id, id, &r, err);

    if (!ok)
        return false;
    table_add(t, r.label);
    if (noun->owner) {
        ok = record_label(give->book, NOUN_DYER, r.owner_id, &dyer, err);
        table_add(t, text_str(&dyer));
    }
    for (size_t i = 0; i < noun->field_count; i++) {
        if (!is_told(give, &noun->fields[i]))
            continue;
        table_add(t, r.field[i].words);
        if (field_words_meant(&noun->fields[i]))
            table_add(t, r.field[i].understood);
    }
    record_clear(&r);
    text_clear(&dyer);
    return ok;
}

bool give_table(struct give *give, enum noun_id noun, struct text *out,
                struct error *err)
{
    struct text_table t = {0};
    int64_t *ids;
    size_t count;
    bool ok = give_ids(give, noun, &ids, &count, err);

    add_heads(give, &nouns[noun], &t);
    for (size_t i = 0; ok && i < count; i++)
        ok = add_row(give, &nouns[noun], ids[i], &t, err);
    table_write_csv(&t, out);
    free(ids);
    return ok;
}
