/* Taking in what another dyer handed on. See book/exchange.h. */
#include "book/take.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/record.h"
#include "book/step.h"

/* ---- what other files of the work use ------------------------------------ */

const struct row_column *take_column(const struct row_table *table,
                                     const char *name, size_t *at)
{
    for (size_t i = 0; i < table->count; i++)
        if (!strcmp(table->column[i].name, name)) {
            if (at)
                *at = i;
            return &table->column[i];
        }
    return NULL;
}

void take_tell(struct take *t, enum exchange_what what, const struct noun *noun,
               char *label, const char *field, char *here, char *there)
{
    struct exchange_taken *taken = t->taken;

    if (taken->items == EXCHANGE_ITEMS) {
        free(label);
        free(here);
        free(there);
        return;
    }
    taken->item = mem_room(taken->item, taken->items, sizeof *taken->item);
    taken->item[taken->items++] =
        (struct exchange_item){what, noun, label, field, here, there};
}

char *take_words(struct take *t, const struct row_column *c,
                 const struct take_value *v)
{
    struct text out = {0};
    struct error err;

    if (v->is == TAKE_NONE)
        return NULL;
    if (c->kind == ROW_REF)
        record_label(t->book, c->ref, v->whole, &out, &err);
    else if (v->is == TAKE_TEXT)
        text_add(&out, v->text);
    else if (v->is == TAKE_REAL)
        text_add_real(&out, v->real, 4);
    else if (c->field && c->field->kind == FIELD_FLAG)
        text_add(&out, v->whole ? "yes" : "no");
    else
        text_addf(&out, "%lld", (long long)v->whole);
    return text_take(&out);
}

void take_bind(struct stmt *q, const char *name, const struct take_value *v)
{
    switch (v->is) {
    case TAKE_NONE:
        stmt_null(q, name);
        break;
    case TAKE_WHOLE:
        stmt_int(q, name, v->whole);
        break;
    case TAKE_REAL:
        stmt_real(q, name, v->real);
        break;
    case TAKE_TEXT:
        stmt_text(q, name, v->text);
        break;
    case TAKE_BYTES:
        stmt_blob(q, name, v->bytes, v->size);
        break;
    }
}

/* ---- whose it is --------------------------------------------------------- */

/* One number of one row. */
static bool ask_row(struct take *t, const char *sql, int64_t id, int64_t *out,
                    struct error *err)
{
    struct stmt q;
    bool row = false;

    if (!stmt_prepare(t->book, sql, &q, err))
        return false;
    stmt_int(&q, ":id", id);
    if (!stmt_step(&q, &row, err))
        return false;
    *out = row ? stmt_get_int(&q, 0) : 0;
    stmt_done(&q);
    return true;
}

bool take_is_of(struct take *t, enum noun_id noun, int64_t id, int64_t dyer,
                bool *is, struct error *err)
{
    const struct noun *of = &nouns[noun];
    struct text sql = {0};
    int64_t other = 0;
    bool ok = true;

    *is = noun == NOUN_DYER && id == dyer;
    if (noun == NOUN_DYER || !dyer)
        return true;
    if (of->owner) {
        text_addf(&sql, "SELECT %s FROM %s WHERE id = :id", of->owner,
                  of->name);
        ok = ask_row(t, text_str(&sql), id, &other, err);
        *is = other == dyer;
    }
    for (size_t i = 0; ok && !*is && i < of->field_count; i++) {
        const struct field *f = &of->fields[i];
        if (!rows_is_part(f))
            continue;
        text_reset(&sql);
        text_addf(&sql, "SELECT %s_id FROM %s WHERE id = :id", f->column,
                  of->name);
        ok = ask_row(t, text_str(&sql), id, &other, err) &&
             (!other || take_is_of(t, f->ref, other, dyer, is, err));
    }
    text_clear(&sql);
    return ok;
}

bool take_adds_to_mine(struct take *t, const struct take_record *r, bool *adds,
                       struct error *err)
{
    const int64_t me = t->book->dyer_id;

    *adds = false;
    for (size_t i = 0; i < r->table->count && !*adds; i++) {
        const struct row_column *c = &r->table->column[i];
        const struct take_value *v = &r->value[i];
        if (c->kind != ROW_REF || v->is == TAKE_NONE)
            continue;
        if (!c->field)
            *adds = v->whole == me;
        else if (rows_is_part(c->field) &&
                 !take_is_of(t, c->ref, v->whole, me, adds, err))
            return false;
    }
    return true;
}

/* ---- uids ---------------------------------------------------------------- */

bool take_find(struct take *t, enum noun_id noun, const unsigned char uid[16],
               int64_t *id, struct error *err)
{
    struct text sql = {0};
    struct stmt q;
    bool row = false, ok;

    /* What stands before what is withdrawn. A material that was made one with
     * another is no longer what it was; a photo is what its bytes are. */
    text_addf(&sql,
              "SELECT id FROM (SELECT id, withdrawn FROM %s WHERE uid = :uid "
              "UNION ALL SELECT t.id, t.withdrawn FROM came c JOIN %s t ON "
              "t.id = c.row_id WHERE c.of_uid = :uid AND c.of_table = '%s' AND "
              "t.uid <> :uid AND (t.withdrawn = 0 OR c.of_table = 'photo')) "
              "ORDER BY withdrawn LIMIT 1",
              nouns[noun].name, nouns[noun].name, nouns[noun].name);
    ok = stmt_prepare(t->book, text_str(&sql), &q, err);
    text_clear(&sql);
    if (!ok)
        return false;
    stmt_blob(&q, ":uid", uid, 16);
    if (!stmt_step(&q, &row, err))
        return false;
    *id = row ? stmt_get_int(&q, 0) : 0;
    stmt_done(&q);
    return true;
}

static bool is_uid_of(struct take *t, enum noun_id noun, int64_t id,
                      const unsigned char uid[16], bool *is, struct error *err)
{
    struct text sql = {0};
    struct stmt q;
    bool ok;

    text_addf(&sql, "SELECT 1 FROM %s WHERE id = :id AND uid = :uid",
              nouns[noun].name);
    ok = stmt_prepare(t->book, text_str(&sql), &q, err);
    text_clear(&sql);
    if (!ok)
        return false;
    stmt_int(&q, ":id", id);
    stmt_blob(&q, ":uid", uid, 16);
    if (!stmt_step(&q, is, err))
        return false;
    stmt_done(&q);
    return true;
}

bool take_note(struct take *t, const struct take_record *r, int64_t id,
               struct error *err)
{
    struct stmt q;

    if (!stmt_begin(t->book, STMT_CAME, &q, err))
        return false;
    stmt_blob(&q, ":uid", r->uid, 16);
    stmt_text(&q, ":table", r->table->noun->name);
    stmt_int(&q, ":row", id);
    stmt_int(&q, ":at", r->changed_at);
    return stmt_run(&q, err);
}

/* A key for the map of what was left out; never 0. */
static int64_t left_key(const unsigned char uid[16])
{
    int64_t key;

    memcpy(&key, uid, sizeof key);
    return key ? key : 1;
}

/* Finds the local records that a record names. *drop: one of them was left
 * out, so this is too. */
static bool find_named(struct take *t, struct take_record *r, bool *drop,
                       struct error *err)
{
    for (size_t i = 0; i < r->table->count; i++) {
        const struct row_column *c = &r->table->column[i];
        struct take_value *v = &r->value[i];
        int64_t id;
        if (c->kind != ROW_REF || v->is == TAKE_NONE)
            continue;
        if (!take_find(t, c->ref, v->bytes, &id, err))
            return false;
        if (!id && !id_map_at(&t->left, left_key(v->bytes)))
            return error_set(err, ERR_INPUT,
                             "in the file, %s %zu names a %s that is not in "
                             "it: ask for all of it again",
                             r->table->noun->name, r->number,
                             nouns[c->ref].name);
        *drop = *drop || !id;
        v->is = TAKE_WHOLE;
        v->whole = id;
    }
    return true;
}

/* ---- one record ---------------------------------------------------------- */

/* "dose madder, 50 g" where it can be said, else "dose 12 of the file". */
static char *label_there(struct take *t, const struct take_record *r)
{
    struct text out = {0};
    size_t at;

    for (size_t i = 0; i < r->table->count; i++) {
        const struct row_column *c = &r->table->column[i];
        struct error err;
        if (c->kind != ROW_REF || r->value[i].is != TAKE_WHOLE ||
            !r->value[i].whole || !c->field || !rows_is_part(c->field))
            continue;
        text_addf(&out, "of %s ", nouns[c->ref].name);
        record_label(t->book, c->ref, r->value[i].whole, &out, &err);
        return text_take(&out);
    }
    if (take_column(r->table, "number", &at))
        text_addf(&out, "%lld", (long long)r->value[at].whole);
    else if (take_column(r->table, "name", &at) && r->value[at].text)
        text_add(&out, r->value[at].text);
    else
        text_addf(&out, "%zu of the file", r->number);
    return text_take(&out);
}

/* Notes that it, and what names it, stay out. */
static void leave_out(struct take *t, const struct take_record *r)
{
    id_map_put(&t->left, left_key(r->uid), 1);
}

static bool take_unknown(struct take *t, struct take_record *r, bool drop,
                         struct error *err)
{
    bool adds = drop, known = false;
    int64_t id = 0;

    if (!drop && !t->own && !take_adds_to_mine(t, r, &adds, err))
        return false;
    if (adds) {
        leave_out(t, r);
        t->taken->count[EXCHANGE_ADDS]++;
        take_tell(t, EXCHANGE_ADDS, r->table->noun, label_there(t, r), "", NULL,
                  NULL);
        return true;
    }
    if (!take_adopt(t, r, &id, &known, err))
        return false;
    if (known) {
        leave_out(t, r);
        return true;
    }
    if (!id)
        return take_new(t, r, err);
    return take_note(t, r, id, err) && take_here(t, r, id, true, err);
}

static bool take_one(struct take *t, enum noun_id noun, size_t n,
                     struct error *err)
{
    struct take_record r;
    int64_t id = 0;
    bool drop = false, own = false, ok;

    ok = take_record_read(&t->json, &t->table[noun], n, &r, err) &&
         find_named(t, &r, &drop, err) && take_find(t, noun, r.uid, &id, err);
    if (ok && id && !drop)
        ok = is_uid_of(t, noun, id, r.uid, &own, err) &&
             take_here(t, &r, id, !own, err);
    else if (ok && !id)
        ok = take_unknown(t, &r, drop, err);
    take_record_clear(&r);
    return ok;
}

static bool take_all(struct take *t, struct error *err)
{
    enum noun_id order[NOUN_COUNT];

    rows_order(order);
    for (size_t i = 0; i < NOUN_COUNT; i++) {
        const enum noun_id noun = order[i];
        if (!t->json.of[noun].count)
            continue;
        if (!rows_of(t->book, noun, &t->table[noun], err))
            return false;
        for (size_t n = 0; n < t->json.of[noun].count; n++)
            if (!take_one(t, noun, n, err))
                return false;
        if (noun == NOUN_DYER &&
            !take_find(t, noun, t->json.dyer_uid, &t->giver, err))
            return false;
    }
    return true;
}

/* ---- the whole ----------------------------------------------------------- */

static bool open_file(struct take *t, const struct exchange_file *file,
                      unsigned char **json, size_t *size, struct error *err)
{
    const struct archive_far far = {file->ask, file->answer};
    struct text name = {0};
    bool ok;

    if (file->answer)
        ok = archive_open_far(&far, &t->archive, err);
    else if (file->path)
        ok = archive_open(file->path, &t->archive, err);
    else
        ok = archive_open_bytes(file->data, file->size, &t->archive, err);
    if (!ok)
        return false;
    t->folder = archive_folder(t->archive, "hanklab.json", err);
    if (!t->folder && err->kind != ERR_MISSING)
        return false; /* what unpacks it is no more */
    if (!t->folder)
        return error_set(err, ERR_INPUT,
                         "there is no hanklab.json in the file: it was not "
                         "written by \"hanklab export\"");
    text_addf(&name, "%shanklab.json", t->folder);
    ok = archive_read(t->archive, text_str(&name), EXCHANGE_JSON_MAX, json,
                      size, err);
    text_clear(&name);
    return ok;
}

size_t exchange_news(const struct exchange_taken *taken)
{
    size_t n = taken->count[EXCHANGE_CHANGED];

    for (size_t i = 0; i < NOUN_COUNT; i++)
        n += taken->fresh[i];
    return n;
}

/* Ends the act, or gives it up when it was only looked at or came to nothing.
 */
static bool end_act(struct take *t, struct error *err)
{
    struct touched touched;
    bool ok;

    if (!t->look && exchange_news(t->taken)) {
        if (!book_act_end(t->book, err))
            return false;
        t->taken->act = t->book->act_id;
        return true;
    }
    ok = touched_read(t->book, &touched, err) &&
         step_refresh(t->book, &touched, err);
    touched_clear(&touched);
    if (ok)
        book_act_cancel(t->book);
    return ok;
}

bool exchange_take(struct book *book, const struct exchange_file *file,
                   bool look, bool own, struct exchange_taken *out,
                   struct error *err)
{
    struct take t = {.book = book, .taken = out, .look = look, .own = own};
    unsigned char *json = NULL;
    size_t size = 0;
    bool ok = false;

    *out = (struct exchange_taken){0};
    if (!open_file(&t, file, &json, &size, err) ||
        !take_json_open((const char *)json, size, &t.json, err))
        goto done;
    out->from = mem_text(t.json.dyer_name);
    memcpy(out->made_on, t.json.made_on, sizeof out->made_on);
    ok = book_act_begin(book, "import", err) && take_all(&t, err) &&
         end_act(&t, err);

done:
    book_act_cancel(book);
    for (size_t n = 0; n < NOUN_COUNT; n++)
        rows_clear(&t.table[n]);
    id_map_clear(&t.left);
    take_json_clear(&t.json);
    archive_close(t.archive);
    free(t.folder);
    free(json);
    return ok;
}

void exchange_taken_clear(struct exchange_taken *taken)
{
    for (size_t i = 0; i < taken->items; i++) {
        free(taken->item[i].label);
        free(taken->item[i].here);
        free(taken->item[i].there);
    }
    free(taken->item);
    free(taken->from);
    free(taken->skeins);
    *taken = (struct exchange_taken){0};
}
