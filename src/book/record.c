/* Adding, changing and withdrawing records. See book/record.h. */
#include "book/record.h"

#include <assert.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/field.h"
#include "book/fill.h"
#include "book/gather.h"
#include "book/put.h"
#include "book/together.h"

static const char *a(const struct noun *noun)
{
    return strchr("aeiou", noun->name[0]) ? "an" : "a";
}

/* Whose it is: "dyer", of every noun that has an owner. */
static bool read_owner(struct book *book, const struct noun *noun,
                       const char *words, struct cells *cells,
                       struct error *err)
{
    int64_t id;

    if (!words || !*words)
        return true;
    if (!record_find(book, NOUN_DYER, words, &id, err))
        return false;
    cells_int(cells, noun->owner, id);
    return true;
}

/* A light, and the observer when it is said behind it. */
static bool read_light(struct book *book, const struct noun *noun,
                       const char *words, const struct record_value *values,
                       size_t count, struct cells *cells, struct text *echo,
                       struct error *err)
{
    const char *twice = NULL;
    char *light, *observer;
    bool both = field_light(words ? words : "", &light, &observer), ok;

    for (size_t i = 0; both && i < count; i++)
        if (!strcmp(values[i].field, "observer") && values[i].words &&
            *values[i].words && !text_same(values[i].words, observer))
            twice = values[i].words;
    ok = twice ? error_set(err, ERR_INPUT, "observer: both %s and %s are said",
                           observer, twice)
               : field_read(book, noun_field(noun, "illuminant"),
                            both ? light : words, cells, echo, err) &&
                     (!both || field_read(book, noun_field(noun, "observer"),
                                          observer, cells, echo, err));
    free(light);
    free(observer);
    return ok;
}

static bool read_values(struct book *book, const struct noun *noun,
                        const struct record_value *values, size_t count,
                        bool may_own, struct cells *cells, struct text *echo,
                        struct error *err)
{
    for (size_t i = 0; i < count; i++) {
        const struct field *f = noun_field(noun, values[i].field);
        if (!f && may_own && noun->owner && !strcmp(values[i].field, "dyer")) {
            if (!read_owner(book, noun, values[i].words, cells, err))
                return false;
            continue;
        }
        if (!f)
            return error_set(err, ERR_INPUT, "%s %s has no %s", a(noun),
                             noun->name, values[i].field);
        if (noun->id == NOUN_READING && !strcmp(f->name, "illuminant")
                ? !read_light(book, noun, values[i].words, values, count, cells,
                              echo, err)
                : !field_read(book, f, values[i].words, cells, echo, err))
            return false;
    }
    return true;
}

/* Fills presets and asks for what a record cannot be without. */
static bool complete(struct book *book, const struct noun *noun,
                     struct cells *cells, struct error *err)
{
    for (size_t i = 0; i < noun->field_count; i++) {
        const struct field *f = &noun->fields[i];
        if (f->preset && field_is_null(f, cells) &&
            !field_read(book, f, f->preset, cells, NULL, err))
            return false;
        if ((f->flags & FIELD_NEEDED) && field_is_null(f, cells))
            return error_set(err, ERR_INPUT, "%s: %s %s needs it: %s", f->name,
                             a(noun), noun->name, f->help);
    }
    return true;
}

/* INSERT with every column of the noun, so that one statement does for all. */
static bool insert_statement(struct book *book, const struct noun *noun,
                             struct stmt *q, struct error *err)
{
    struct text sql = {0}, marks = {0};
    char columns[16][32];
    sqlite3_stmt **slot = &book->insert[noun->id];

    *q = (struct stmt){.book = book};
    if (!*slot) {
        const char *comma = "";
        text_addf(&sql, "INSERT INTO %s (", noun->name);
        if (noun->owner) {
            text_addf(&sql, "%s", noun->owner);
            text_addf(&marks, ":%s", noun->owner);
            comma = ", ";
        }
        for (size_t i = 0; i < noun->field_count; i++) {
            size_t n = field_columns(&noun->fields[i], columns);
            for (size_t k = 0; k < n; k++) {
                text_addf(&sql, "%s%s", comma, columns[k]);
                text_addf(&marks, "%s:%s", comma, columns[k]);
                comma = ", ";
            }
        }
        text_addf(&sql, ") VALUES (%s)", text_str(&marks));
        if (sqlite3_prepare_v3(book->db, text_str(&sql), -1,
                               SQLITE_PREPARE_PERSISTENT, slot,
                               NULL) != SQLITE_OK)
            store_error(book, err);
        text_clear(&sql);
        text_clear(&marks);
    }
    q->st = *slot;
    if (q->st)
        sqlite3_clear_bindings(q->st);
    return q->st != NULL;
}

static void bind_cell(struct stmt *q, const struct cell *c)
{
    char name[sizeof c->column + 1] = ":";

    memcpy(name + 1, c->column, strlen(c->column) + 1);
    switch (c->kind) {
    case CELL_NULL:
        stmt_null(q, name);
        break;
    case CELL_INT:
        stmt_int(q, name, c->whole);
        break;
    case CELL_REAL:
        stmt_real(q, name, c->real);
        break;
    case CELL_TEXT:
        stmt_text(q, name, c->text);
        break;
    }
}

/* What SQLite refused, in the dyer's words. */
static bool refused(struct book *book, const struct noun *noun,
                    struct error *err)
{
    int code = sqlite3_extended_errcode(book->db);

    if (code == SQLITE_CONSTRAINT_UNIQUE &&
        strstr(sqlite3_errmsg(book->db), ".number"))
        return error_set(err, ERR_INPUT,
                         "number: another %s has it already; leave it out for "
                         "the next free one",
                         noun->name);
    if (code == SQLITE_CONSTRAINT_UNIQUE)
        return error_set(err, ERR_INPUT, "there is such a %s already",
                         noun->name);
    if ((code & 0xFF) == SQLITE_CONSTRAINT)
        return error_set(err, ERR_INPUT,
                         "these facts do not go together in %s %s", a(noun),
                         noun->name);
    return false;
}

bool put_cells(struct book *book, enum noun_id id_of, const struct cells *cells,
               int64_t *id, struct error *err)
{
    const struct noun *noun = &nouns[id_of];
    struct stmt q = {0};
    bool ok = (!book->gather || gather_put(book, err)) &&
              insert_statement(book, noun, &q, err);

    for (size_t i = 0; ok && i < cells->count; i++)
        bind_cell(&q, &cells->cell[i]);
    if (ok && !stmt_run(&q, err)) {
        refused(book, noun, err);
        ok = false;
    }
    if (ok)
        *id = sqlite3_last_insert_rowid(book->db);
    stmt_done(&q);
    return ok;
}

bool put_whole(struct book *book, enum noun_id noun, struct cells *cells,
               int64_t *id, struct error *err)
{
    return complete(book, &nouns[noun], cells, err) &&
           fill_new(book, &nouns[noun], cells, err) &&
           put_cells(book, noun, cells, id, err);
}

/* Its number, when it has one, counted with what is gathered. */
static bool fill_number(struct book *book, enum noun_id noun,
                        struct cells *cells, struct error *err)
{
    const struct cell *number = cells_get(cells, "number");
    const int64_t given =
        number && number->kind == CELL_INT ? number->whole : 0;
    int64_t next;

    if (noun != NOUN_SKEIN && noun != NOUN_BATH)
        return true;
    if (!gather_number(book, noun, cells_get(cells, nouns[noun].owner)->whole,
                       given, &next, err))
        return false;
    if (!given)
        cells_int(cells, "number", next);
    return true;
}

bool put_gathered(struct book *book, enum noun_id noun, struct cells *cells,
                  int64_t *id, struct error *err)
{
    return complete(book, &nouns[noun], cells, err) &&
           fill_number(book, noun, cells, err) &&
           fill_made(book, &nouns[noun], cells, err) &&
           gather_record(book, noun, cells, id, err);
}

bool record_add(struct book *book, enum noun_id id_of,
                const struct record_value *values, size_t count, int64_t *id,
                struct text *echo, struct error *err)
{
    const struct noun *noun = &nouns[id_of];
    struct cells cells;
    bool ok;

    assert(book->in_act);
    cells.count = 0;
    if (noun->owner)
        cells_int(&cells, noun->owner, book->dyer_id);
    ok = read_values(book, noun, values, count, true, &cells, echo, err) &&
         put_whole(book, id_of, &cells, id, err);
    cells_clear(&cells);
    return ok;
}

static bool keep_alias(struct book *book, enum stmt_id how, int64_t material,
                       const char *new_key, struct error *err)
{
    struct stmt q;

    if (!stmt_begin(book, how, &q, err))
        return false;
    stmt_int(&q, ":id", material);
    stmt_text(&q, ":key", new_key);
    return stmt_run(&q, err);
}

/* Old names of a material stay findable as aliases, scientific ones too: a
 * wrong species is what gets put right. */
static bool keep_old_names(struct book *book, int64_t material,
                           struct cells *cells, struct error *err)
{
    const struct cell *name = cells_get(cells, "name_key");
    const struct cell *latin = cells_get(cells, "latin");
    char *key = text_fold(latin && latin->kind == CELL_TEXT ? latin->text : "");
    bool ok = (!latin ||
               keep_alias(book, STMT_ALIAS_KEEP_LATIN, material, key, err)) &&
              (!name || name->kind != CELL_TEXT ||
               keep_alias(book, STMT_ALIAS_KEEP, material, name->text, err));

    free(key);
    return ok;
}

static bool update(struct book *book, const struct noun *noun, int64_t id,
                   const struct cells *cells, struct error *err)
{
    struct text sql = {0};
    struct stmt q = {0};
    bool ok = false;

    if (book->gather && !gather_put(book, err))
        return false;
    text_addf(&sql, "UPDATE %s SET ", noun->name);
    for (size_t i = 0; i < cells->count; i++)
        text_addf(&sql, "%s%s = :%s", i ? ", " : "", cells->cell[i].column,
                  cells->cell[i].column);
    text_add(&sql, " WHERE id = :row_id");
    if (!stmt_prepare(book, text_str(&sql), &q, err))
        goto done;
    for (size_t i = 0; i < cells->count; i++)
        bind_cell(&q, &cells->cell[i]);
    stmt_int(&q, ":row_id", id);
    ok = stmt_run(&q, err);
    if (!ok)
        refused(book, noun, err);

done:
    stmt_done(&q);
    text_clear(&sql);
    return ok;
}

static bool is_there(struct book *book, const struct noun *noun, int64_t id,
                     bool *withdrawn, struct error *err)
{
    struct text sql = {0};
    struct stmt q = {0};
    bool ok, row = false;

    text_addf(&sql, "SELECT withdrawn FROM %s WHERE id = :id", noun->name);
    ok = stmt_prepare(book, text_str(&sql), &q, err);
    text_clear(&sql);
    if (!ok)
        return false;
    stmt_int(&q, ":id", id);
    if (!stmt_step(&q, &row, err))
        return false;
    *withdrawn = row && stmt_get_int(&q, 0);
    stmt_done(&q);
    return row || error_set(err, ERR_MISSING, "there is no %s #%lld",
                            noun->name, (long long)id);
}

bool record_stands(struct book *book, enum noun_id noun, int64_t id,
                   const char *before, struct error *err)
{
    struct text label = {0};
    bool withdrawn, ok = is_there(book, &nouns[noun], id, &withdrawn, err);

    if (ok && withdrawn)
        ok = record_label(book, noun, id, &label, err) &&
             error_set(err, ERR_INPUT,
                       "%s %s was withdrawn; bring it back before it is %s",
                       nouns[noun].name, text_str(&label), before);
    text_clear(&label);
    return ok;
}

static bool may_edit(const struct noun *noun, const struct record_value *values,
                     size_t count, struct error *err)
{
    for (size_t i = 0; i < count; i++) {
        const struct field *f = noun_field(noun, values[i].field);
        if (f && (f->flags & FIELD_FIXED))
            return error_set(err, ERR_INPUT,
                             "the %s of %s %s is never changed: "
                             "withdraw it and add another",
                             f->name, a(noun), noun->name);
    }
    return true;
}

/* What another skein of that dyer is called by, too: a remark. */
static bool remark_namesake(struct book *book, int64_t skein, const char *words,
                            struct text *echo, struct error *err)
{
    struct text label = {0};
    struct stmt q;
    char *key = text_fold(words ? words : "");
    bool row = false, ok = stmt_begin(book, STMT_SKEIN_CALLED, &q, err);

    if (ok) {
        stmt_int(&q, ":of", skein);
        stmt_text(&q, ":key", key);
        ok = stmt_step(&q, &row, err);
    }
    if (ok && row && *key) {
        ok = record_label(book, NOUN_SKEIN, stmt_get_int(&q, 0), &label, err);
        text_addf(echo, "\"%s\": skein %s is called so too\n", words,
                  text_str(&label));
    }
    if (ok)
        stmt_done(&q);
    free(key);
    text_clear(&label);
    return ok;
}

static bool remark_names(struct book *book, int64_t skein,
                         const struct record_value *values, size_t count,
                         struct text *echo, struct error *err)
{
    for (size_t i = 0; echo && i < count; i++)
        if ((!strcmp(values[i].field, "code") ||
             !strcmp(values[i].field, "name")) &&
            !remark_namesake(book, skein, values[i].words, echo, err))
            return false;
    return true;
}

/* ---- another round -------------------------------------------------------
 */

struct dyed_as {
    int64_t bath, round; /* bath 0: it is no round of a pot */
};

static bool read_dyed_as(struct book *book, int64_t treatment,
                         struct dyed_as *out, struct error *err)
{
    struct stmt q;
    bool row = false, ok = stmt_begin(book, STMT_ROUND_OF, &q, err);

    *out = (struct dyed_as){0};
    if (ok)
        stmt_int(&q, ":of", treatment);
    if (!ok || !stmt_step(&q, &row, err))
        return false;
    if (row)
        *out = (struct dyed_as){stmt_get_int(&q, 0), stmt_get_int(&q, 1)};
    stmt_done(&q);
    return true;
}

/* Another dyeing of that pot and round; 0: there is none. */
static bool find_other(struct book *book, int64_t treatment,
                       const struct dyed_as *as, int64_t *other,
                       struct error *err)
{
    struct stmt q;
    bool row, ok = stmt_begin(book, STMT_ROUND_OTHER, &q, err);

    if (!ok)
        return false;
    stmt_int(&q, ":bath", as->bath);
    stmt_int(&q, ":round", as->round);
    stmt_int(&q, ":of", treatment);
    ok = stmt_step(&q, &row, err);
    if (ok)
        *other = row ? stmt_get_int(&q, 0) : 0;
    stmt_done(&q);
    return ok;
}

/* What was put or poured in before that round, to the round it is now. */
static bool move_parts(struct book *book, enum noun_id noun,
                       const struct dyed_as *was, const struct dyed_as *now,
                       struct text *echo, struct error *err)
{
    char round[32] = "first";
    const struct record_value before = {"before-round", round};
    int64_t *ids = NULL;
    size_t n = 0;
    bool ok = record_children(book, noun, "bath", was->bath, &ids, &n, err);

    if (now->round)
        snprintf(round, sizeof round, "exhaust %lld", (long long)now->round);
    for (size_t i = 0; ok && i < n; i++) {
        struct text label = {0};
        const struct record_field *f;
        struct record r;
        bool moves;
        ok = record_read(book, noun, ids[i], &r, err);
        if (!ok)
            break;
        f = record_get(&r, "before-round");
        moves = f && f->low == (double)was->round;
        record_clear(&r);
        if (!moves)
            continue;
        ok = record_edit(book, noun, ids[i], &before, 1, NULL, err) &&
             record_label(book, noun, ids[i], &label, err);
        if (echo)
            text_addf(echo, "%s goes with it\n", text_str(&label));
        text_clear(&label);
    }
    free(ids);
    return ok;
}

/* A dyeing that is another round of its pot takes along what went in for it;
 * that two are one round is said. */
static bool follow_round(struct book *book, int64_t treatment,
                         const struct dyed_as *was, struct text *echo,
                         struct error *err)
{
    struct dyed_as now;
    int64_t stays = 0, there = 0;

    if (!read_dyed_as(book, treatment, &now, err))
        return false;
    if (!was->bath || now.bath != was->bath || now.round == was->round)
        return true;
    if (!find_other(book, treatment, was, &stays, err) ||
        !find_other(book, treatment, &now, &there, err))
        return false;
    if (there && echo)
        text_addf(echo,
                  "treatment #%lld is that round too: hanklab undo, if they "
                  "are not one\n",
                  (long long)there);
    return stays || !was->round ||
           (move_parts(book, NOUN_DOSE, was, &now, echo, err) &&
            move_parts(book, NOUN_POUR, was, &now, echo, err));
}

bool record_edit(struct book *book, enum noun_id id_of, int64_t id,
                 const struct record_value *values, size_t count,
                 struct text *echo, struct error *err)
{
    const struct noun *noun = &nouns[id_of];
    struct cells *cells = mem_new(1, sizeof *cells);
    struct dyed_as was = {0};
    bool ok = false, withdrawn;

    assert(book->in_act);
    if (!is_there(book, noun, id, &withdrawn, err) ||
        (id_of == NOUN_TREATMENT && !read_dyed_as(book, id, &was, err)) ||
        !may_edit(noun, values, count, err) ||
        !read_values(book, noun, values, count, false, cells, echo, err))
        goto done;
    for (size_t i = 0; i < count; i++) {
        const struct field *f = noun_field(noun, values[i].field);
        if ((f->flags & FIELD_NEEDED) && field_is_null(f, cells)) {
            error_set(err, ERR_INPUT, "%s: %s %s cannot be without it", f->name,
                      a(noun), noun->name);
            goto done;
        }
        if (f->preset && field_is_null(f, cells) &&
            !field_read(book, f, f->preset, cells, NULL, err))
            goto done;
    }
    if (!cells->count) {
        error_set(err, ERR_INPUT,
                  "say what to change: a field and its new value");
        goto done;
    }
    if (id_of == NOUN_MATERIAL && !keep_old_names(book, id, cells, err))
        goto done;
    if (!fill_edit(book, noun, id, cells, err))
        goto done;
    ok = update(book, noun, id, cells, err) &&
         (id_of != NOUN_SKEIN ||
          remark_names(book, id, values, count, echo, err)) &&
         (id_of != NOUN_TREATMENT || follow_round(book, id, &was, echo, err));
    if (ok && withdrawn && echo)
        text_addf(echo, "this %s is withdrawn, and stays so\n", noun->name);

done:
    cells_clear(cells);
    free(cells);
    return ok;
}

/* "No mordant" and the book's own dyer are never withdrawn. */
static bool may_withdraw(struct book *book, const struct noun *noun, int64_t id,
                         struct error *err)
{
    struct stmt q;
    bool row;

    if (noun->id != NOUN_MATERIAL && noun->id != NOUN_DYER)
        return true;
    if (!stmt_begin(book,
                    noun->id == NOUN_DYER ? STMT_DYER_IS_MINE
                                          : STMT_MATERIAL_IS_NONE,
                    &q, err))
        return false;
    stmt_int(&q, ":of", id);
    if (!stmt_step(&q, &row, err))
        return false;
    stmt_done(&q);
    return !row ||
           error_set(err, ERR_INPUT, "no book can be without this %s: it stays",
                     noun->name);
}

/* That record alone. */
static bool set_withdrawn(struct book *book, enum noun_id id_of, int64_t id,
                          bool withdrawn, struct error *err)
{
    const struct noun *noun = &nouns[id_of];
    struct cells *cells;
    bool already, ok;

    assert(book->in_act);
    if (!is_there(book, noun, id, &already, err))
        return false;
    if (already == withdrawn)
        return error_set(err, ERR_INPUT, "this %s is %swithdrawn", noun->name,
                         already ? "already " : "not ");
    if (withdrawn && !may_withdraw(book, noun, id, err))
        return false;
    cells = mem_new(1, sizeof *cells);
    cells_int(cells, "withdrawn", withdrawn);
    ok = update(book, noun, id, cells, err);
    if (!ok && sqlite3_extended_errcode(book->db) == SQLITE_CONSTRAINT_UNIQUE)
        error_set(err, ERR_INPUT,
                  "another %s has that name by now: rename or withdraw it "
                  "first",
                  noun->name);
    ok = ok && (withdrawn || fill_back(book, noun, id, err));
    cells_clear(cells);
    free(cells);
    return ok;
}

bool record_withdraw(struct book *book, enum noun_id id_of, int64_t id,
                     bool withdrawn, struct error *err)
{
    return set_withdrawn(book, id_of, id, withdrawn, err) &&
           (withdrawn || together_back(book, &nouns[id_of], id, err));
}

bool record_revive(struct book *book, enum noun_id noun, const char *name,
                   int64_t *id, struct error *err)
{
    struct text label = {0};
    bool ok = record_find_any(book, noun, name, id, err);

    if (!ok && err->kind == ERR_INPUT)
        err->kind = ERR_MISSING; /* of several none is just that one */
    ok = ok && record_label(book, noun, *id, &label, err);
    if (ok && !text_same(text_str(&label), name)) /* found by its number */
        ok = error_set(err, ERR_MISSING, "there is no %s \"%.60s\"",
                       nouns[noun].name, name);
    text_clear(&label);
    return ok && set_withdrawn(book, noun, *id, false, err);
}
