/* A record of a file that came, and the one that is here. See take.h. */
#include "book/take.h"

#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/record.h"

/* The record as it is here, in the order of the columns. Texts lie in q, which
 * is open until it is done. */
static bool read_here(struct take *t, const struct row_table *table, int64_t id,
                      struct stmt *q, struct take_value *value, bool *withdrawn,
                      struct error *err)
{
    struct text sql = {0};
    bool row = false, ok;

    text_add(&sql, "SELECT withdrawn");
    for (size_t i = 0; i < table->count; i++)
        text_addf(&sql, ", %s", table->column[i].name);
    text_addf(&sql, " FROM %s WHERE id = :id", table->noun->name);
    ok = stmt_prepare(t->book, text_str(&sql), q, err);
    text_clear(&sql);
    if (!ok)
        return false;
    stmt_int(q, ":id", id);
    if (!stmt_step(q, &row, err))
        return false;
    *withdrawn = stmt_get_int(q, 0);
    for (size_t i = 0; i < table->count; i++) {
        const int at = (int)i + 1;
        struct take_value *v = &value[i];
        *v = (struct take_value){.is = TAKE_NONE};
        if (stmt_is_null(q, at) || table->column[i].kind == ROW_BYTES)
            continue;
        v->is = table->column[i].kind == ROW_TEXT   ? TAKE_TEXT
                : table->column[i].kind == ROW_REAL ? TAKE_REAL
                                                    : TAKE_WHOLE;
        v->whole = v->is == TAKE_WHOLE ? stmt_get_int(q, at) : 0;
        v->real = v->is == TAKE_REAL ? stmt_get_real(q, at) : 0;
        v->text = v->is == TAKE_TEXT ? stmt_get_text(q, at) : NULL;
    }
    return true;
}

static bool same(const struct take_value *a, const struct take_value *b)
{
    if (a->is != b->is)
        return false;
    switch (a->is) {
    case TAKE_WHOLE:
        return a->whole == b->whole;
    case TAKE_REAL:
        return !(a->real < b->real) && !(a->real > b->real);
    case TAKE_TEXT:
        return !strcmp(a->text, b->text);
    case TAKE_NONE:
    case TAKE_BYTES:
        return true;
    }
    return true;
}

/* Whether the file has a say in it: not in what is this book's alone, nor in
 * what was left out of it, nor in numbers, which here may have had to be
 * others, nor in what a photo's bytes decide. */
static bool is_compared(const struct take *t, const struct row_table *table,
                        const struct row_column *c)
{
    static const char *const of_bytes[] = {"bytes", "has_gps", "width_px",
                                           "height_px", "orientation"};

    if (c->key || c->own || c->kind == ROW_BYTES ||
        (c->private && !t->json.places) || !strcmp(c->name, "number"))
        return false;
    for (size_t i = 0; table->noun->id == NOUN_PHOTO && i < ARRAY_LEN(of_bytes);
         i++)
        if (!strcmp(c->name, of_bytes[i]))
            return false;
    return true;
}

/* A name that another has here, so that this one had to take another. */
static bool had_to_differ(struct take *t, const struct take_record *r, size_t i,
                          int64_t id, bool *had, struct error *err)
{
    const struct row_table *table = r->table;
    size_t dyer;

    *had = false;
    if (strcmp(table->column[i].name, "name") != 0 ||
        r->value[i].is != TAKE_TEXT)
        return true;
    return take_name_taken(
        t, table->noun->id,
        take_column(table, "dyer_id", &dyer) ? r->value[dyer].whole : 0,
        r->value[i].text, id, had, err);
}

/* Marks the columns in which file and book differ. Of what is here under
 * another uid only what the file says is worth telling. */
static bool differ(struct take *t, const struct take_record *r, int64_t id,
                   bool adopted, const struct take_value *here, bool *differs,
                   bool *any, struct error *err)
{
    const struct row_table *table = r->table;

    for (size_t i = 0; i < table->count; i++) {
        bool had = false;
        differs[i] = is_compared(t, table, &table->column[i]) &&
                     !same(&here[i], &r->value[i]) &&
                     (!adopted || r->value[i].is != TAKE_NONE);
        if (differs[i] && !had_to_differ(t, r, i, id, &had, err))
            return false;
        differs[i] = differs[i] && !had;
        *any = *any || differs[i];
    }
    return true;
}

/* ---- what becomes of it -------------------------------------------------- */

/* Since when it was changed by hand here, undone changes left out; and when it
 * was last changed where it came from. */
static bool is_touched(struct take *t, const struct take_record *r, int64_t id,
                       bool *touched, int64_t *came_at, struct error *err)
{
    struct stmt q;
    bool row = false;

    if (!stmt_begin(t->book, STMT_CAME_SINCE, &q, err))
        return false;
    stmt_text(&q, ":table", r->table->noun->name);
    stmt_int(&q, ":row", id);
    if (!stmt_step(&q, &row, err))
        return false;
    *touched = row && stmt_get_int(&q, 0);
    *came_at = row ? stmt_get_int(&q, 1) : 0;
    stmt_done(&q);
    return true;
}

static bool change(struct take *t, const struct take_record *r, int64_t id,
                   const bool *differs, struct error *err)
{
    const struct row_table *table = r->table;
    struct text sql = {0};
    struct stmt q = {0};
    bool ok;

    text_addf(&sql, "UPDATE %s SET withdrawn = :withdrawn", table->noun->name);
    for (size_t i = 0; i < table->count; i++)
        if (differs[i] || table->column[i].key)
            text_addf(&sql, ", %s = :%s", table->column[i].name,
                      table->column[i].name);
    text_add(&sql, " WHERE id = :id");
    ok = stmt_prepare(t->book, text_str(&sql), &q, err);
    text_clear(&sql);
    if (!ok)
        return false;
    stmt_int(&q, ":withdrawn", r->withdrawn);
    stmt_int(&q, ":id", id);
    for (size_t i = 0; i < table->count; i++) {
        const struct row_column *c = &table->column[i];
        char name[40];
        snprintf(name, sizeof name, ":%s", c->name);
        if (c->key) {
            char *key = take_key(table, i, r);
            stmt_text(&q, name, key);
            free(key);
        } else if (differs[i]) {
            take_bind(&q, name, &r->value[i]);
        }
    }
    return stmt_run(&q, err) && take_note(t, r, id, err);
}

/* A row for each field that differs; what follows from words is not told. */
static bool tell(struct take *t, enum exchange_what what,
                 const struct take_record *r, int64_t id,
                 const struct take_value *here, const bool *differs,
                 bool withdrawn, struct error *err)
{
    const struct row_table *table = r->table;
    const struct field *told = NULL;
    struct text label = {0};

    if (!record_label(t->book, table->noun->id, id, &label, err))
        return false;
    t->taken->count[what]++;
    for (size_t i = 0; i < table->count; i++) {
        const struct row_column *c = &table->column[i];
        if (!differs[i] || (c->field && c->field == told))
            continue;
        told = c->field;
        take_tell(t, what, table->noun, mem_text(text_str(&label)),
                  c->field ? c->field->title : c->json,
                  take_words(t, c, &here[i]), take_words(t, c, &r->value[i]));
    }
    if (withdrawn != r->withdrawn)
        take_tell(t, what, table->noun, mem_text(text_str(&label)), "Withdrawn",
                  mem_text(withdrawn ? "yes" : "no"),
                  mem_text(r->withdrawn ? "yes" : "no"));
    text_clear(&label);
    return true;
}

/* Names that dyers share stay as they are here; so does what is mine. */
static bool is_kept(struct take *t, enum noun_id noun, int64_t id, bool *kept,
                    struct error *err)
{
    *kept = noun == NOUN_MATERIAL || noun == NOUN_ALIAS;
    return *kept || take_is_mine(t, noun, id, kept, err);
}

static bool judge(struct take *t, const struct take_record *r, int64_t id,
                  bool adopted, const struct take_value *here,
                  const bool *differs, bool withdrawn, struct error *err)
{
    bool kept = adopted, touched = false;
    int64_t came_at = 0;

    if (!is_touched(t, r, id, &touched, &came_at, err))
        return false;
    if (!adopted && withdrawn && !r->withdrawn && !touched) {
        t->taken->fresh[r->table->noun->id]++; /* taking it in was undone */
        return change(t, r, id, differs, err);
    }
    if (!kept && !is_kept(t, r->table->noun->id, id, &kept, err))
        return false;
    if (kept)
        return tell(t, EXCHANGE_YOURS, r, id, here, differs, withdrawn, err);
    if (r->changed_at < came_at) {
        t->taken->older++;
        return true;
    }
    if (touched && r->changed_at == came_at) { /* changed here alone */
        t->taken->same++;
        return true;
    }
    return tell(t, touched ? EXCHANGE_CONFLICT : EXCHANGE_CHANGED, r, id, here,
                differs, withdrawn, err) &&
           (touched || change(t, r, id, differs, err));
}

bool take_here(struct take *t, const struct take_record *r, int64_t id,
               bool adopted, struct error *err)
{
    const size_t n = r->table->count;
    struct take_value *here = mem_new(n, sizeof *here);
    bool *differs = mem_new(n, sizeof *differs);
    bool withdrawn = false, any = false, ok;
    struct stmt q = {0};

    ok = read_here(t, r->table, id, &q, here, &withdrawn, err) &&
         differ(t, r, id, adopted, here, differs, &any, err);
    if (ok && !any && (withdrawn == r->withdrawn || adopted))
        t->taken->same++;
    else if (ok)
        ok = judge(t, r, id, adopted, here, differs, withdrawn, err);
    stmt_done(&q);
    free(here);
    free(differs);
    return ok;
}
