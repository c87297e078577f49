/* Reading the history. See book/history.h. */
#include "book/history.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "base/mem.h"
#include "book/field.h"
#include "book/store.h"

static void mark_undone(struct history_act *acts, size_t count)
{
    /* Newest first: an undo that stands is met before what it took back. */
    for (size_t i = 0; i < count; i++) {
        if (acts[i].undone || !acts[i].undoes)
            continue;
        for (size_t k = i + 1; k < count; k++)
            if (acts[k].id == acts[i].undoes)
                acts[k].undone = true;
    }
}

static bool count_records(struct book *book, struct history_act *act,
                          struct error *err)
{
    struct stmt q;
    bool row;

    if (!stmt_begin(book, STMT_ACT_RECORDS, &q, err))
        return false;
    stmt_int(&q, ":act", act->id);
    if (!stmt_step(&q, &row, err))
        return false;
    act->records = row ? (size_t)stmt_get_int(&q, 0) : 0;
    stmt_done(&q);
    return true;
}

/* "from Aino: ", when it took in what others had done. */
static bool add_giver(struct book *book, const struct history_act *act,
                      struct text *out, struct error *err)
{
    struct stmt q;
    bool row;

    if (strcmp(act->what, "import") != 0)
        return true;
    if (!stmt_begin(book, STMT_ACT_GIVER, &q, err))
        return false;
    stmt_int(&q, ":act", act->id);
    if (!stmt_step(&q, &row, err))
        return false;
    if (row && !stmt_is_null(&q, 0))
        text_addf(out, "from %s: ", stmt_get_text(&q, 0));
    stmt_done(&q);
    return true;
}

/* "bath 4 weld on madder, skeins 2, 3, 4 and 2 more" */
static bool add_about(struct book *book, struct history_act *act,
                      struct error *err)
{
    enum { MOST = 5 };
    const struct noun *before = NULL, *noun;
    struct text t = {0};
    struct stmt q;
    size_t n = 0;
    bool row, ok;

    if (!add_giver(book, act, &t, err) ||
        !stmt_begin(book, STMT_ACT_ABOUT, &q, err)) {
        text_clear(&t);
        return false;
    }
    stmt_int(&q, ":act", act->id);
    while ((ok = stmt_step(&q, &row, err)) && row) {
        noun = noun_find(stmt_get_text(&q, 0));
        if (!noun || ++n > MOST)
            continue;
        text_add(&t, n > 1 ? ", " : "");
        if (noun != before)
            text_addf(&t, "%s ",
                      stmt_get_int(&q, 2) > 1 ? noun->plural : noun->name);
        before = noun;
        if (!(ok = record_label(book, noun->id, stmt_get_int(&q, 1), &t, err)))
            break;
    }
    stmt_done(&q);
    if (n > MOST)
        text_addf(&t, " and %zu more", n - MOST);
    act->about = t.len ? text_take(&t) : NULL;
    return ok;
}

static void act_clear(struct history_act *act)
{
    free(act->what);
    free(act->device);
    free(act->about);
}

bool history_acts_all(struct book *book, struct history_act **out,
                      size_t *count, struct error *err)
{
    struct stmt q;
    struct history_act *acts = NULL;
    size_t n = 0;
    bool row, ok;

    *out = NULL;
    *count = 0;
    if (!stmt_begin(book, STMT_ACTS, &q, err))
        return false;
    while ((ok = stmt_step(&q, &row, err)) && row) {
        if (n % 64 == 0)
            acts = mem_resize(acts, n + 64, sizeof *acts);
        acts[n++] = (struct history_act){
            .id = stmt_get_int(&q, 0),
            .at = stmt_get_int(&q, 1),
            .offset_min = (int)stmt_get_int(&q, 2),
            .what = mem_text(stmt_get_text(&q, 3)),
            .device = mem_text(stmt_get_text(&q, 4)),
            .undoes = stmt_get_int(&q, 5),
        };
    }
    stmt_done(&q);
    if (!ok) {
        history_acts_free(acts, n);
        return false;
    }
    mark_undone(acts, n);
    *out = acts;
    *count = n;
    return true;
}

/* Acts from `first` on, at most `limit`, with what they touched; the others go.
 */
static bool fill_in(struct book *book, struct history_act *acts, size_t all,
                    size_t first, size_t limit, size_t *n, struct error *err)
{
    bool ok = true;

    *n = all - first < limit ? all - first : limit;
    for (size_t i = first; ok && i < first + *n; i++)
        ok = count_records(book, &acts[i], err) &&
             add_about(book, &acts[i], err) &&
             history_later(book, acts, all, acts[i].id, &acts[i].later, err);
    for (size_t i = 0; i < all; i++)
        if (!ok || i < first || i >= first + *n)
            act_clear(&acts[i]);
    for (size_t i = 0; i < *n; i++)
        acts[i] = acts[first + i];
    return ok;
}

bool history_acts(struct book *book, int64_t before, size_t limit,
                  struct history_act **out, size_t *count, struct error *err)
{
    struct history_act *acts;
    size_t all, n, first = 0;

    *out = NULL;
    *count = 0;
    if (!history_acts_all(book, &acts, &all, err))
        return false;
    while (before && first < all && acts[first].id >= before)
        first++;
    if (!fill_in(book, acts, all, first, limit, &n, err)) {
        free(acts);
        return false;
    }
    *out = acts;
    *count = n;
    return true;
}

void history_acts_free(struct history_act *acts, size_t count)
{
    for (size_t i = 0; i < count; i++)
        act_clear(&acts[i]);
    free(acts);
}

void history_act_when(const struct history_act *act, char out[24])
{
    const time_t at = (time_t)(act->at / 1000 + (int64_t)act->offset_min * 60);
    struct tm parts;

    if (!gmtime_r(&at, &parts) || !strftime(out, 24, "%Y-%m-%d %H:%M", &parts))
        snprintf(out, 24, "?");
}

const char *history_act_by(const struct history_act *act)
{
    return act->device ? act->device : "command line";
}

const char *history_act_words(const struct history_act *act)
{
    static const struct {
        const char *what, *words;
    } known[] = {{"init", "the book begun"},
                 {"log", "logged"},
                 {"treat", "treated"},
                 {"measure", "measured"},
                 {"photo", "photo kept"},
                 {"cut", "cut"},
                 {"ply", "plied"},
                 {"withdraw", "put away"},
                 {"back", "brought back"},
                 {"bring back", "brought back"},
                 {"undo", "taken back"},
                 {"import", "taken in"},
                 {"plan make", "planned"},
                 {"plan when", "planned"},
                 {"plan done", "a planned step done"}};
    const char *verb = strchr(act->what, ' ');

    for (size_t i = 0; i < ARRAY_LEN(known); i++)
        if (!strcmp(act->what, known[i].what))
            return known[i].words;
    return !verb                        ? act->what
           : !strcmp(verb, " add")      ? "new"
           : !strcmp(verb, " edit")     ? "changed"
           : !strcmp(verb, " withdraw") ? "put away"
           : !strcmp(verb, " back")     ? "brought back"
                                        : act->what;
}

bool history_act_there(struct book *book, int64_t act, struct error *err)
{
    struct stmt q;
    bool row;

    if (!stmt_begin(book, STMT_ACT_THERE, &q, err))
        return false;
    stmt_int(&q, ":id", act);
    if (!stmt_step(&q, &row, err))
        return false;
    stmt_done(&q);
    return row || error_set(err, ERR_MISSING,
                            "there is no act %lld; the history lists them",
                            (long long)act);
}

/* The field whose words a column holds. A colour's three columns have no
 * words, so each stands for itself. */
static const struct field *field_of(const struct noun *noun, const char *column,
                                    bool *itself)
{
    char names[16][32];

    for (size_t i = 0; i < noun->field_count; i++) {
        const struct field *f = &noun->fields[i];
        size_t n = field_columns(f, names);
        *itself = f->kind == FIELD_LAB || f->kind == FIELD_SIGMA;
        for (size_t k = 0; k < (*itself ? n : 1); k++)
            if (!strcmp(names[k], column))
                return f;
    }
    return NULL;
}

/* A column's text as the dyer would say it; NULL stays NULL. */
static bool in_words(struct book *book, const struct field *f, const char *text,
                     char **out, struct error *err)
{
    struct text t = {0};
    bool ok = true;

    if (!text)
        return true;
    if (!f || f->kind == FIELD_FLAG)
        text_add(&t, strcmp(text, "0") ? "yes" : "no");
    else if (f->kind == FIELD_ROUND && !strcmp(text, "0"))
        text_add(&t, "first bath");
    else if (f->kind == FIELD_ROUND)
        text_addf(&t, "exhaust %s", text);
    else if (f->kind == FIELD_REF)
        ok = record_label(book, f->ref, strtoll(text, NULL, 10), &t, err);
    else
        text_add(&t, text);
    *out = text_take(&t);
    return ok;
}

static bool tell(struct book *book, struct history_change *c, struct error *err)
{
    const struct field *f = NULL;
    struct text label = {0};
    bool ok, itself = false;

    if (!c->noun)
        return true;
    ok = record_label(book, c->noun->id, c->record, &label, err);
    c->label = text_take(&label);
    if (!ok || !c->field)
        return ok;
    if (!strcmp(c->field, "withdrawn"))
        c->what = "withdrawn";
    else if ((f = field_of(c->noun, c->field, &itself)))
        c->what = itself ? c->field : f->name;
    return !c->what || (in_words(book, f, c->old, &c->was, err) &&
                        in_words(book, f, c->new, &c->is, err));
}

/* Of a skein or a bath what was done with it too. */
static enum stmt_id changes_of(int64_t act, const struct noun *noun)
{
    return act                      ? STMT_CHANGES_ACT
           : noun->id == NOUN_SKEIN ? STMT_CHANGES_SKEIN
           : noun->id == NOUN_BATH  ? STMT_CHANGES_BATH
                                    : STMT_CHANGES_RECORD;
}

/* Takes the rows of a statement whose values are bound. */
static bool take_rows(struct book *book, struct stmt *q,
                      struct history_change **out, size_t *count,
                      struct error *err)
{
    struct history_change *list = NULL;
    size_t n = 0;
    bool row, ok;

    while ((ok = stmt_step(q, &row, err)) && row) {
        if (n % 64 == 0)
            list = mem_resize(list, n + 64, sizeof *list);
        list[n++] = (struct history_change){
            .act = stmt_get_int(q, 0),
            .noun = noun_find(stmt_get_text(q, 1)),
            .record = stmt_get_int(q, 2),
            .field = mem_text(stmt_get_text(q, 3)),
            .old = mem_text(stmt_get_text(q, 4)),
            .new = mem_text(stmt_get_text(q, 5)),
        };
    }
    stmt_done(q);
    for (size_t i = 0; ok && i < n; i++)
        ok = tell(book, &list[i], err);
    if (!ok) {
        history_changes_free(list, n);
        return false;
    }
    *out = list;
    *count = n;
    return true;
}

bool history_changes(struct book *book, int64_t act, const struct noun *noun,
                     int64_t record, struct history_change **out, size_t *count,
                     struct error *err)
{
    struct stmt q;

    *out = NULL;
    *count = 0;
    if (act && !history_act_there(book, act, err))
        return false;
    if (!stmt_begin(book, changes_of(act, noun), &q, err))
        return false;
    if (act)
        stmt_int(&q, ":act", act);
    else
        stmt_int(&q, ":row", record);
    if (changes_of(act, noun) == STMT_CHANGES_RECORD)
        stmt_text(&q, ":table", noun->name);
    return take_rows(book, &q, out, count, err);
}

bool history_changes_first(struct book *book, int64_t act, bool edits,
                           size_t most, struct history_change **out,
                           size_t *count, bool *more, struct error *err)
{
    struct stmt q;

    *out = NULL;
    *count = 0;
    if (!stmt_begin(book, STMT_CHANGES_FIRST, &q, err))
        return false;
    stmt_int(&q, ":act", act);
    stmt_int(&q, ":edits", edits);
    stmt_int(&q, ":most", (int64_t)most + 1);
    if (!take_rows(book, &q, out, count, err))
        return false;
    *more = *count > most;
    return true;
}

void history_changes_free(struct history_change *changes, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        free(changes[i].label);
        free(changes[i].field);
        free(changes[i].old);
        free(changes[i].new);
        free(changes[i].was);
        free(changes[i].is);
    }
    free(changes);
}
