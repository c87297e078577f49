/* The columns of records as they are handed on. See rows.h. */
#include "book/rows.h"

#include <assert.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/field.h"

bool rows_shared(enum noun_id noun)
{
    return noun != NOUN_CAMERA;
}

bool rows_is_part(const struct field *f)
{
    return f->kind == FIELD_REF && (f->flags & FIELD_PART);
}

/* The field a column belongs to. */
static const struct field *field_of(const struct noun *noun, const char *column)
{
    char names[16][32];

    for (size_t i = 0; i < noun->field_count; i++) {
        const size_t n = field_columns(&noun->fields[i], names);
        for (size_t k = 0; k < n; k++)
            if (!strcmp(names[k], column))
                return &noun->fields[i];
    }
    return NULL;
}

static enum row_kind kind_of(const char *type)
{
    return !strcmp(type, "INTEGER") ? ROW_WHOLE
           : !strcmp(type, "REAL")  ? ROW_REAL
           : !strcmp(type, "BLOB")  ? ROW_BYTES
                                    : ROW_TEXT;
}

static bool ends(const char *s, const char *end)
{
    const size_t n = strlen(s), k = strlen(end);

    return n > k && !strcmp(s + n - k, end);
}

static void describe(const struct noun *noun, const char *name,
                     const char *type, bool needed, struct row_column *c)
{
    *c = (struct row_column){.kind = kind_of(type), .needed = needed};
    snprintf(c->name, sizeof c->name, "%s", name);
    snprintf(c->json, sizeof c->json, "%s", name);
    c->field = field_of(noun, name);
    c->key = ends(name, "_key");
    c->private = c->field && (c->field->flags & FIELD_PRIVATE);
    c->own = (noun->id == NOUN_DYER && !strcmp(name, "mine")) ||
             (noun->id == NOUN_CARD && !strcmp(name, "usual"));
    if (!ends(name, "_id"))
        return;
    c->json[strlen(name) - 3] = '\0';
    c->kind = ROW_REF;
    assert(c->field || (noun->owner && !strcmp(noun->owner, name)));
    c->ref = c->field ? c->field->ref : NOUN_DYER;
}

bool rows_of(struct book *book, enum noun_id noun, struct row_table *out,
             struct error *err)
{
    struct stmt q;
    bool row = false, ok;

    *out = (struct row_table){.noun = &nouns[noun]};
    if (!stmt_prepare(book,
                      "SELECT name, type, \"notnull\" FROM pragma_table_info"
                      "(:t) WHERE name NOT IN ('id', 'uid', 'withdrawn')",
                      &q, err))
        return false;
    stmt_text(&q, ":t", nouns[noun].name);
    while ((ok = stmt_step(&q, &row, err)) && row) {
        out->column = mem_room(out->column, out->count, sizeof *out->column);
        describe(out->noun, stmt_get_text(&q, 0), stmt_get_text(&q, 1),
                 stmt_get_int(&q, 2), &out->column[out->count++]);
    }
    stmt_done(&q);
    if (!ok)
        rows_clear(out);
    return ok;
}

void rows_clear(struct row_table *table)
{
    free(table->column);
    *table = (struct row_table){0};
}

static bool all_placed(const struct noun *noun, const bool placed[NOUN_COUNT])
{
    for (size_t i = 0; i < noun->field_count; i++)
        if (noun->fields[i].kind == FIELD_REF && !placed[noun->fields[i].ref])
            return false;
    return !noun->owner || placed[NOUN_DYER];
}

void rows_order(enum noun_id order[NOUN_COUNT])
{
    bool placed[NOUN_COUNT] = {0};
    size_t n = 0;

    for (size_t before = NOUN_COUNT; n < NOUN_COUNT;) {
        assert(n != before); /* kinds that name each other in a ring */
        before = n;
        for (size_t i = 0; i < NOUN_COUNT; i++)
            if (!placed[i] && all_placed(&nouns[i], placed)) {
                order[n++] = nouns[i].id;
                placed[i] = true;
            }
    }
}
