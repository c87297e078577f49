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

/* Whether the file has a say in it: not in whose it is, nor in what is this
 * book's alone, nor in what was left out of it, nor in numbers, which here may
 * have had to be others, nor in what a photo's bytes decide. */
static bool is_compared(const struct take *t, const struct row_table *table,
                        const struct row_column *c)
{
    static const char *const of_bytes[] = {"bytes", "has_gps", "width_px",
                                           "height_px", "orientation"};

    if (c->key || c->own || c->kind == ROW_BYTES ||
        (c->kind == ROW_REF && !c->field) || (c->private && !t->json.places) ||
        !strcmp(c->name, "number"))
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

    if (!take_check(t, r, err))
        return false;
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

/* What taking it in brought and undoing that took away comes back; under
 * another name, or as what is here by then, where its name was given away. */
static bool revive(struct take *t, struct take_record *r, int64_t id,
                   const struct take_value *here, bool *differs,
                   struct error *err)
{
    bool known = false, any = false;
    int64_t other = 0;

    if (!take_adopt(t, r, &other, &known, err))
        return false;
    if (known || (other && other != id))
        return !other || take_note(t, r, other, err);
    t->taken->fresh[r->table->noun->id]++;
    return differ(t, r, id, false, here, differs, &any, err) &&
           change(t, r, id, differs, err);
}

/* What is known of a record that differs. */
struct standing {
    bool mine;    /* it is, or is part of, what is mine */
    bool hers;    /* the same of the dyer whose file it is */
    bool adds;    /* as the file has it, it would be part of what is mine */
    bool touched; /* changed by hand here */
    int64_t came_at;
};

static bool look_at(struct take *t, const struct take_record *r, int64_t id,
                    struct standing *s, struct error *err)
{
    const enum noun_id noun = r->table->noun->id;

    *s = (struct standing){.adds = false};
    return is_touched(t, r, id, &s->touched, &s->came_at, err) &&
           take_is_of(t, noun, id, t->book->dyer_id, &s->mine, err) &&
           take_is_of(t, noun, id, t->giver, &s->hers, err) &&
           (t->own || take_adds_to_mine(t, r, &s->adds, err));
}

/* Mine stays, and so do names that dyers share; hers is changed by her alone,
 * and where it was not changed here. */
static bool judge(struct take *t, struct take_record *r, int64_t id,
                  bool adopted, const struct take_value *here, bool *differs,
                  bool withdrawn, struct error *err)
{
    const enum noun_id noun = r->table->noun->id;
    const bool shared = noun == NOUN_MATERIAL || noun == NOUN_ALIAS;
    struct standing s;

    if (!look_at(t, r, id, &s, err))
        return false;
    if (!adopted && !s.mine && !s.adds && s.came_at && withdrawn &&
        !r->withdrawn && !s.touched && r->changed_at >= s.came_at)
        return revive(t, r, id, here, differs, err);
    if (adopted || shared || s.mine || s.adds)
        return tell(t, EXCHANGE_YOURS, r, id, here, differs, withdrawn, err);
    if (r->changed_at < s.came_at) {
        t->taken->older++;
        return true;
    }
    if (s.touched && r->changed_at == s.came_at) { /* changed here alone */
        t->taken->same++;
        return true;
    }
    if (s.touched || !s.hers)
        return tell(t, EXCHANGE_CONFLICT, r, id, here, differs, withdrawn, err);
    return tell(t, EXCHANGE_CHANGED, r, id, here, differs, withdrawn, err) &&
           change(t, r, id, differs, err);
}

bool take_here(struct take *t, struct take_record *r, int64_t id, bool adopted,
               struct error *err)
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
