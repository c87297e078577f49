/* Taking acts back and bringing past states back. See book/history.h. */
#include "book/history.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/field.h"
#include "book/fill.h"
#include "book/store.h"

/* One record to restore: each field to the old value of a history row. */
struct restore {
    char table[32];
    int64_t row;
    struct text set; /* "f = (SELECT old FROM history WHERE id = 7), ..." */
    bool began;      /* it did not exist before: withdraw it */
};

static void restores_free(struct restore *list, size_t count)
{
    for (size_t i = 0; i < count; i++)
        text_clear(&list[i].set);
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
        char *part = sqlite3_mprintf(
            "%s\"%w\" = (SELECT old FROM history WHERE id = %lld)",
            r->set.len ? ", " : "", field, (long long)stmt_get_int(q, 3));
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

static bool restore_all(struct book *book, struct restore *list, size_t count,
                        struct error *err)
{
    bool ok = true;

    for (size_t i = 0; ok && i < count; i++) {
        struct restore *r = &list[i];
        const char *set = r->began ? "withdrawn = 1" : text_str(&r->set);
        char *sql = sqlite3_mprintf("UPDATE \"%w\" SET %s WHERE id = %lld",
                                    r->table, set, (long long)r->row);
        ok = store_exec(book, sql, err) || name_taken(book, r->table, err);
        sqlite3_free(sql);
    }
    for (size_t i = 0; ok && i < count; i++) {
        const struct noun *noun = noun_find(list[i].table);
        ok = !noun || fill_back(book, noun, list[i].row, err);
    }
    return ok;
}

/* Since which later act a standing record points to one that undoing `act`
 * withdrew; 0: none does. */
static bool user_of(struct book *book, const struct restore *r,
                    const struct noun *user, const struct field *f, int64_t act,
                    int64_t *since, struct error *err)
{
    char *sql = sqlite3_mprintf(
        "SELECT max(h.act_id) FROM \"%w\" u JOIN history h ON h.of_table = '%q'"
        " AND h.row_id = u.id AND (h.field IS NULL OR h.field IN ('%q_id',"
        " 'withdrawn')) WHERE u.\"%w_id\" = :row AND u.withdrawn = 0 AND"
        " h.act_id > :act AND (SELECT withdrawn FROM \"%w\" WHERE id = :row)",
        user->name, user->name, f->column, f->column, r->table);
    struct stmt q;
    bool row, ok = stmt_prepare(book, sql, &q, err);

    sqlite3_free(sql);
    if (!ok)
        return false;
    stmt_int(&q, ":row", r->row);
    stmt_int(&q, ":act", act);
    if (!stmt_step(&q, &row, err))
        return false;
    *since = row ? stmt_get_int(&q, 0) : 0;
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

/* ERR_INPUT: "skein 1 was measured in act 5". Always false. */
static bool is_used(struct book *book, const struct noun *noun, int64_t record,
                    enum noun_id user, int64_t since, int64_t act,
                    struct error *err)
{
    struct text label = {0};

    if (record_label(book, noun->id, record, &label, err))
        error_set(err, ERR_INPUT,
                  "act %lld cannot be undone: %s %s was %s in act %lld; undo "
                  "that one first",
                  (long long)act, noun->name, text_str(&label), how_used(user),
                  (long long)since);
    text_clear(&label);
    return false;
}

static bool not_used(struct book *book, const struct restore *r, int64_t act,
                     struct error *err)
{
    const struct noun *noun = noun_find(r->table);

    for (size_t n = 0; noun && n < noun_count; n++)
        for (size_t k = 0; k < nouns[n].field_count; k++) {
            const struct field *f = &nouns[n].fields[k];
            int64_t since;
            if (f->kind != FIELD_REF || f->ref != noun->id)
                continue;
            if (!user_of(book, r, &nouns[n], f, act, &since, err))
                return false;
            if (since)
                return is_used(book, noun, r->row, nouns[n].id, since, act,
                               err);
        }
    return true;
}

/* Nothing that stands may point to what undoing `act` withdrew. A skein is
 * named before what was done to it. */
static bool none_used(struct book *book, const struct restore *list,
                      size_t count, int64_t act, struct error *err)
{
    for (int skeins = 1; skeins >= 0; skeins--)
        for (size_t i = 0; i < count; i++)
            if (!!skeins == !strcmp(list[i].table, "skein") &&
                !not_used(book, &list[i], act, err))
                return false;
    return true;
}

static struct history_act *act_in(struct history_act *acts, size_t count,
                                  int64_t id)
{
    for (size_t i = 0; i < count; i++)
        if (acts[i].id == id)
            return &acts[i];
    return NULL;
}

/* The last act that can be taken back. */
static struct history_act *last_act(struct history_act *acts, size_t count)
{
    for (size_t i = 0; i < count; i++)
        if (!acts[i].undone && !acts[i].undoes && strcmp(acts[i].what, "init"))
            return &acts[i];
    return NULL;
}

/* Whether act x can be passed over when act `id` is taken back: it was taken
 * back itself, or it took back something later than `id`. */
static bool cancels_out(const struct history_act *x, int64_t id)
{
    return x->undone || x->undoes > id;
}

/* A later act that touched one of the same records and stands; 0 if none. */
static bool later_act(struct book *book, struct history_act *acts, size_t count,
                      int64_t id, int64_t *later, struct error *err)
{
    struct stmt q;
    bool row, ok;

    *later = 0;
    if (!stmt_begin(book, STMT_LATER_ACTS, &q, err))
        return false;
    stmt_int(&q, ":act", id);
    while ((ok = stmt_step(&q, &row, err)) && row && !*later) {
        struct history_act *x = act_in(acts, count, stmt_get_int(&q, 0));
        if (x && !cancels_out(x, id))
            *later = x->id;
    }
    stmt_done(&q);
    return ok;
}

static bool may_undo(struct book *book, struct history_act *acts, size_t count,
                     int64_t act, struct history_act **target,
                     struct error *err)
{
    int64_t later;

    *target = act ? act_in(acts, count, act) : last_act(acts, count);
    if (!*target)
        return act ? history_act_there(book, act, err)
                   : error_set(err, ERR_MISSING, "there is nothing to undo");
    if ((*target)->undone)
        return error_set(err, ERR_INPUT, "act %lld has been undone already",
                         (long long)act);
    if (!strcmp((*target)->what, "init"))
        return error_set(err, ERR_INPUT,
                         "the beginning of the book cannot be "
                         "undone");
    if (!later_act(book, acts, count, (*target)->id, &later, err))
        return false;
    if (later)
        return error_set(err, ERR_INPUT,
                         "act %lld (%s) cannot be undone: act "
                         "%lld (%s) changed the same records later; undo that "
                         "one first",
                         (long long)(*target)->id, (*target)->what,
                         (long long)later, act_in(acts, count, later)->what);
    return true;
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
    struct history_act *acts = NULL, *target;
    struct restore *list = NULL;
    size_t count = 0, n = 0;
    struct stmt q;
    bool ok = false;

    if (!book_act_begin(book, "undo", err))
        return false;
    if (!history_acts_all(book, &acts, &count, err) ||
        !may_undo(book, acts + 1, count - 1, act, &target, err) ||
        !stmt_begin(book, STMT_RESTORE_ACT, &q, err))
        goto done;
    *done = target->id;
    stmt_int(&q, ":act", target->id);
    ok = gather(&q, &list, &n, err) && restore_all(book, list, n, err) &&
         none_used(book, list, n, target->id, err) &&
         mark(book, target->id, err) && book_act_end(book, err);

done:
    book_act_cancel(book);
    restores_free(list, n);
    history_acts_free(acts, count);
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
    if (ok && !changes)
        ok = error_set(err, ERR_INPUT,
                       "this %s has not changed since act "
                       "%lld",
                       noun->name, (long long)act);
    ok = ok && book_act_end(book, err);
    book_act_cancel(book);
    return ok;
}
