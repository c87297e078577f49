/* Taking acts back and bringing past states back. See book/history.h. */
#include "book/history.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/face.h"
#include "book/field.h"
#include "book/fill.h"
#include "book/store.h"

/* One record to restore: each field to the old value of a history row. */
struct restore {
    char table[32];
    int64_t row;
    struct text set; /* "f = (SELECT old FROM history WHERE id = ?), ..." */
    int64_t *from;   /* its ids, in that order */
    size_t fields;
    bool began; /* it did not exist before: withdraw it */
};

static void restores_free(struct restore *list, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        text_clear(&list[i].set);
        free(list[i].from);
    }
    free(list);
}

/* Rows are (table, record, field, history id), sorted by record. Names come
 * from the schema; quoting guards against a book somebody tampered with. */
static bool gather(struct stmt *q, struct restore **out, size_t *count,
                   struct error *err)
{
    struct restore *list = NULL, *r = NULL;
    size_t n = 0;
    bool row, ok;

    while ((ok = stmt_step(q, &row, err)) && row) {
        const char *table = stmt_get_text(q, 0), *field = stmt_get_text(q, 2);
        int64_t id = stmt_get_int(q, 1);
        if (!r || r->row != id || strcmp(r->table, table)) {
            list = mem_resize(list, n + 1, sizeof *list);
            r = &list[n++];
            *r = (struct restore){.row = id};
            snprintf(r->table, sizeof r->table, "%s", table);
        }
        if (!field) {
            r->began = true;
            continue;
        }
        char *part =
            sqlite3_mprintf("%s\"%w\" = (SELECT old FROM history WHERE id = ?)",
                            r->set.len ? ", " : "", field);
        r->from = mem_room(r->from, r->fields, sizeof *r->from);
        r->from[r->fields++] = stmt_get_int(q, 3);
        text_add(&r->set, part);
        sqlite3_free(part);
    }
    stmt_done(q);
    *out = list;
    *count = n;
    return ok;
}

/* Says so when that is why a record could not be restored. Always false. */
static bool name_taken(struct book *book, const char *table, struct error *err)
{
    if (sqlite3_extended_errcode(book->db) == SQLITE_CONSTRAINT_UNIQUE)
        error_set(err, ERR_INPUT,
                  "another %s has that name by now: rename or withdraw it "
                  "first",
                  table);
    return false;
}

/* The statement serves the next record, too, when as much of it was changed. */
static bool restore_one(struct book *book, const struct restore *r,
                        struct stmt *q, struct text *prepared,
                        struct error *err)
{
    char *sql = sqlite3_mprintf("UPDATE \"%w\" SET %s WHERE id = ?", r->table,
                                r->began ? "withdrawn = 1" : text_str(&r->set));
    int at = 0;
    bool ok = true;

    if (strcmp(sql, text_str(prepared)) != 0) {
        stmt_done(q);
        text_reset(prepared);
        text_add(prepared, sql);
        ok = stmt_prepare(book, sql, q, err);
    }
    sqlite3_free(sql);
    if (!ok)
        return false;
    for (size_t i = 0; !r->began && i < r->fields; i++)
        sqlite3_bind_int64(q->st, ++at, r->from[i]);
    sqlite3_bind_int64(q->st, ++at, r->row);
    ok = sqlite3_step(q->st) == SQLITE_DONE || store_error(book, err) ||
         name_taken(book, r->table, err);
    sqlite3_reset(q->st);
    return ok;
}

static bool restore_all(struct book *book, struct restore *list, size_t count,
                        struct error *err)
{
    struct text prepared = {0};
    struct stmt q = {0};
    bool ok = true;

    for (size_t i = 0; ok && i < count; i++)
        ok = restore_one(book, &list[i], &q, &prepared, err);
    text_clear(&prepared);
    stmt_done(&q);
    for (size_t i = 0; ok && i < count; i++) {
        const struct noun *noun = noun_find(list[i].table);
        ok = !noun || fill_back(book, noun, list[i].row, err);
    }
    return ok;
}

/* A record that undoing `act` withdrew, and a later act since which a standing
 * one points to it. */
struct use {
    int64_t row, since;
    enum noun_id user;
};

/* The first of a kind that a field of `user` points to; row 0: none. Begins
 * with what was done later, which is little. */
static bool first_use(struct book *book, const struct noun *of,
                      const struct noun *user, const struct field *f,
                      int64_t act, struct use *out, struct error *err)
{
    char *sql = sqlite3_mprintf(
        "SELECT t.id, max(h.act_id) FROM history h CROSS JOIN \"%w\" u ON u.id"
        " = h.row_id CROSS JOIN \"%w\" t ON t.id = u.\"%w_id\" WHERE"
        " h.act_id > :act AND h.of_table = '%q' AND (h.field IS NULL OR h.field"
        " IN ('%q_id', 'withdrawn')) AND u.withdrawn = 0 AND t.withdrawn = 1"
        " AND EXISTS (SELECT 1 FROM history b WHERE b.of_table = '%q' AND"
        " b.row_id = t.id AND b.act_id = :act) GROUP BY t.id LIMIT 1",
        user->name, of->name, f->column, user->name, f->column, of->name);
    struct stmt q;
    bool row, ok = stmt_prepare(book, sql, &q, err);

    sqlite3_free(sql);
    *out = (struct use){.user = user->id};
    if (!ok)
        return false;
    stmt_int(&q, ":act", act);
    if (!stmt_step(&q, &row, err))
        return false;
    out->row = row ? stmt_get_int(&q, 0) : 0;
    out->since = row ? stmt_get_int(&q, 1) : 0;
    stmt_done(&q);
    return true;
}

/* "skein 1 was ..." */
static const char *how_used(enum noun_id user)
{
    switch (user) {
    case NOUN_READING:
        return "measured";
    case NOUN_ENTRY:
    case NOUN_DOSE:
        return "put into a pot";
    case NOUN_ORIGIN:
        return "cut or plied";
    case NOUN_POUR:
        return "poured over";
    case NOUN_SIGHT:
        return "seen on a photo";
    case NOUN_CAMERA:
        return "learnt from";
    case NOUN_TEST:
        return "put to a test";
    case NOUN_WISH:
    case NOUN_TASK:
        return "planned";
    case NOUN_DYER:
    case NOUN_MATERIAL:
    case NOUN_ALIAS:
    case NOUN_SUPPLY:
    case NOUN_FIBRE:
    case NOUN_WATER:
    case NOUN_SKEIN:
    case NOUN_BATH:
    case NOUN_EXTRACTION:
    case NOUN_TREATMENT:
    case NOUN_PH:
    case NOUN_PHOTO:
    case NOUN_CARD:
    case NOUN_REGION:
    case NOUN_PROJECT:
    case NOUN_COUNT:
        return "used";
    }
    return "used";
}

/* All acts there are, the newest first. */
struct acts {
    const struct history_act *act;
    size_t count;
};

static const struct history_act *act_in(const struct acts *acts, int64_t id)
{
    for (size_t i = 0; i < acts->count; i++)
        if (acts->act[i].id == id)
            return &acts->act[i];
    return NULL;
}

/* "act 4 (log)"; the page does not number acts, so there it is "what was done
 * on 2026-05-03 14:05 (logged)". */
static void say_act(const struct history_act *act, struct text *out)
{
    char at[24];

    history_act_when(act, at);
    if (face_is_page())
        text_addf(out, "what was done on %s (%s)", at, history_act_words(act));
    else
        text_addf(out, "act %lld (%s)", (long long)act->id, act->what);
}

/* ERR_INPUT: "act 2 cannot be undone: skein 1 was measured in act 5". Always
 * false. */
static bool is_used(struct book *book, const struct noun *noun, int64_t record,
                    enum noun_id user, const struct history_act *since,
                    int64_t act, struct error *err)
{
    struct text label = {0};
    char at[24];

    history_act_when(since, at);
    if (!record_label(book, noun->id, record, &label, err)) {
        text_clear(&label);
        return false;
    }
    if (face_is_page())
        error_set(err, ERR_INPUT,
                  "this cannot be undone: %s %s was %s on %s; undo that first",
                  noun->name, text_str(&label), how_used(user), at);
    else
        error_set(err, ERR_INPUT,
                  "act %lld cannot be undone: %s %s was %s in act %lld; undo "
                  "that one first",
                  (long long)act, noun->name, text_str(&label), how_used(user),
                  (long long)since->id);
    text_clear(&label);
    return false;
}

/* Which kinds a later act left standing; the act that is open withdraws. */
static bool find_later(struct book *book, int64_t act, bool later[NOUN_COUNT],
                       struct error *err)
{
    struct stmt q;
    bool row, ok = stmt_begin(book, STMT_UNDO_LATER, &q, err);

    if (!ok)
        return false;
    stmt_int(&q, ":act", act);
    stmt_int(&q, ":now", book->act_id);
    while ((ok = stmt_step(&q, &row, err)) && row) {
        const struct noun *noun = noun_find(stmt_get_text(&q, 0));
        if (noun)
            later[noun->id] = true;
    }
    if (ok)
        stmt_done(&q);
    return ok;
}

static bool not_used(struct book *book, const struct noun *noun,
                     const bool later[NOUN_COUNT], const struct acts *acts,
                     int64_t act, struct error *err)
{
    struct use first = {0}, use;

    for (size_t n = 0; noun && n < noun_count; n++)
        for (size_t k = 0; later[n] && k < nouns[n].field_count; k++) {
            const struct field *f = &nouns[n].fields[k];
            if (f->kind != FIELD_REF || f->ref != noun->id)
                continue;
            if (!first_use(book, noun, &nouns[n], f, act, &use, err))
                return false;
            if (use.row && (!first.row || use.row < first.row))
                first = use;
        }
    return !first.row || is_used(book, noun, first.row, first.user,
                                 act_in(acts, first.since), act, err);
}

/* Nothing that stands may point to what undoing `act` withdrew. A skein is
 * named before what was done to it. */
static bool none_used(struct book *book, const struct restore *list,
                      size_t count, const struct acts *acts, int64_t act,
                      struct error *err)
{
    bool later[NOUN_COUNT] = {0};

    if (!find_later(book, act, later, err))
        return false;
    for (int skeins = 1; skeins >= 0; skeins--)
        for (size_t i = 0; i < count; i++)
            if ((!i || strcmp(list[i].table, list[i - 1].table) != 0) &&
                !!skeins == !strcmp(list[i].table, "skein") &&
                !not_used(book, noun_find(list[i].table), later, acts, act,
                          err))
                return false;
    return true;
}

/* The last act that can be taken back. */
static const struct history_act *last_act(const struct acts *acts)
{
    for (size_t i = 0; i < acts->count; i++)
        if (!acts->act[i].undone && !acts->act[i].undoes &&
            strcmp(acts->act[i].what, "init"))
            return &acts->act[i];
    return NULL;
}

/* Whether act x can be passed over when act `id` is taken back: it was taken
 * back itself, or it took back something later than `id`. */
static bool cancels_out(const struct history_act *x, int64_t id)
{
    return x->undone || x->undoes > id;
}

bool history_later(struct book *book, const struct history_act *acts,
                   size_t count, int64_t act, int64_t *later, struct error *err)
{
    const struct acts all = {acts, count};
    struct stmt q;
    bool row, ok;

    *later = 0;
    if (!stmt_begin(book, STMT_LATER_ACTS, &q, err))
        return false;
    stmt_int(&q, ":act", act);
    while ((ok = stmt_step(&q, &row, err)) && row && !*later) {
        const struct history_act *x = act_in(&all, stmt_get_int(&q, 0));
        if (x && !cancels_out(x, act))
            *later = x->id;
    }
    stmt_done(&q);
    return ok;
}

static bool has_later(const struct acts *acts, const struct history_act *act,
                      int64_t later, struct error *err)
{
    struct text what = {0};

    say_act(act_in(acts, later), &what);
    if (face_is_page())
        error_set(err, ERR_INPUT,
                  "this cannot be undone: %s changed the same records later; "
                  "undo that first",
                  text_str(&what));
    else
        error_set(err, ERR_INPUT,
                  "act %lld (%s) cannot be undone: %s changed the same records "
                  "later; undo that one first",
                  (long long)act->id, act->what, text_str(&what));
    text_clear(&what);
    return false;
}

static bool may_undo(struct book *book, const struct acts *acts, int64_t act,
                     const struct history_act **target, struct error *err)
{
    int64_t later;

    *target = act ? act_in(acts, act) : last_act(acts);
    if (!*target)
        return error_set(err, ERR_MISSING, "there is nothing to undo");
    if ((*target)->undone && face_is_page())
        return error_set(err, ERR_INPUT, "this has been undone already");
    if ((*target)->undone)
        return error_set(err, ERR_INPUT, "act %lld has been undone already",
                         (long long)act);
    if (!strcmp((*target)->what, "init"))
        return error_set(err, ERR_INPUT,
                         "the beginning of the book cannot be "
                         "undone");
    return history_later(book, acts->act, acts->count, (*target)->id, &later,
                         err) &&
           (!later || has_later(acts, *target, later, err));
}

static bool mark(struct book *book, int64_t undoes, struct error *err)
{
    struct stmt q;

    if (!stmt_begin(book, STMT_ACT_UNDOES, &q, err))
        return false;
    stmt_int(&q, ":undoes", undoes);
    stmt_int(&q, ":id", book->act_id);
    return stmt_run(&q, err);
}

bool history_undo(struct book *book, int64_t act, int64_t *done,
                  struct error *err)
{
    struct history_act *all = NULL;
    struct acts acts = {0}; /* all but the one that is open */
    const struct history_act *target;
    struct restore *list = NULL;
    size_t n = 0;
    struct stmt q;
    bool ok = false;

    /* Before this act has a number itself. */
    if ((act && !history_act_there(book, act, err)) ||
        !book_act_begin(book, "undo", err))
        return false;
    if (!history_acts_all(book, &all, &acts.count, err))
        goto done;
    acts = (struct acts){all + 1, acts.count - 1};
    if (!may_undo(book, &acts, act, &target, err) ||
        !stmt_begin(book, STMT_RESTORE_ACT, &q, err))
        goto done;
    *done = target->id;
    stmt_int(&q, ":act", target->id);
    ok = gather(&q, &list, &n, err) && restore_all(book, list, n, err) &&
         none_used(book, list, n, &acts, target->id, err) &&
         mark(book, target->id, err) && book_act_end(book, err);

done:
    book_act_cancel(book);
    restores_free(list, n);
    history_acts_free(all, all ? acts.count + 1 : 0);
    return ok;
}

/* Restores one record to what it was after an act; inside an act. */
static bool rewind_record(struct book *book, const struct noun *noun,
                          int64_t record, int64_t act, size_t *changes,
                          struct error *err)
{
    struct restore *list = NULL;
    struct stmt q;
    bool ok;

    *changes = 0;
    if (act >= book->act_id) /* the one that is open is the last */
        return error_set(err, ERR_MISSING,
                         "there is no act %lld; the history lists them",
                         (long long)act);
    if (!history_act_there(book, act, err) ||
        !stmt_begin(book, STMT_RESTORE_RECORD, &q, err))
        return false;
    stmt_text(&q, ":table", noun->name);
    stmt_int(&q, ":row", record);
    stmt_int(&q, ":act", act);
    ok = gather(&q, &list, changes, err);
    if (ok && *changes && list[0].began)
        ok = error_set(err, ERR_MISSING, "this %s was not in the book yet",
                       noun->name);
    ok = ok && restore_all(book, list, *changes, err);
    restores_free(list, *changes);
    return ok;
}

bool history_record_at(struct book *book, const struct noun *noun,
                       int64_t record, int64_t act, struct record *out,
                       struct error *err)
{
    size_t changes;
    bool ok;

    /* The past is put in place, read, and the act given up again. */
    if (!book_act_begin(book, "look back", err))
        return false;
    ok = rewind_record(book, noun, record, act, &changes, err) &&
         record_read(book, noun->id, record, out, err);
    book_act_cancel(book);
    return ok;
}

bool history_bring_back(struct book *book, const struct noun *noun,
                        int64_t record, int64_t act, struct error *err)
{
    size_t changes;
    bool ok;

    if (!book_act_begin(book, "bring back", err))
        return false;
    ok = rewind_record(book, noun, record, act, &changes, err);
    if (ok && !changes && face_is_page())
        ok = error_set(err, ERR_INPUT, "this %s is as it was then already",
                       noun->name);
    else if (ok && !changes)
        ok = error_set(err, ERR_INPUT,
                       "this %s has not changed since act "
                       "%lld",
                       noun->name, (long long)act);
    ok = ok && book_act_end(book, err);
    book_act_cancel(book);
    return ok;
}
