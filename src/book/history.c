/* Reading the history. See book/history.h. */
#include "book/history.h"

#include <stdlib.h>

#include "base/mem.h"
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

bool history_acts(struct book *book, size_t limit, struct history_act **out,
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
    for (size_t i = limit; limit && i < n; i++) {
        free(acts[i].what);
        free(acts[i].device);
    }
    *count = limit && n > limit ? limit : n;
    *out = acts;
    for (size_t i = 0; i < *count; i++) {
        if (!stmt_begin(book, STMT_ACT_RECORDS, &q, err))
            return false;
        stmt_int(&q, ":act", acts[i].id);
        if (!stmt_step(&q, &row, err))
            return false;
        acts[i].records = row ? (size_t)stmt_get_int(&q, 0) : 0;
        stmt_done(&q);
    }
    return true;
}

void history_acts_free(struct history_act *acts, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        free(acts[i].what);
        free(acts[i].device);
    }
    free(acts);
}

bool history_changes(struct book *book, int64_t act, const struct noun *noun,
                     int64_t record, struct history_change **out, size_t *count,
                     struct error *err)
{
    struct stmt q;
    struct history_change *list = NULL;
    size_t n = 0;
    bool row, ok;

    *out = NULL;
    *count = 0;
    if (!stmt_begin(book, act ? STMT_CHANGES_ACT : STMT_CHANGES_RECORD, &q,
                    err))
        return false;
    if (act) {
        stmt_int(&q, ":act", act);
    } else {
        stmt_text(&q, ":table", noun->name);
        stmt_int(&q, ":row", record);
    }
    while ((ok = stmt_step(&q, &row, err)) && row) {
        if (n % 64 == 0)
            list = mem_resize(list, n + 64, sizeof *list);
        list[n++] = (struct history_change){
            .act = stmt_get_int(&q, 0),
            .noun = noun_find(stmt_get_text(&q, 1)),
            .record = stmt_get_int(&q, 2),
            .field = mem_text(stmt_get_text(&q, 3)),
            .old = mem_text(stmt_get_text(&q, 4)),
            .new = mem_text(stmt_get_text(&q, 5)),
        };
    }
    stmt_done(&q);
    for (size_t i = 0; ok && i < n; i++) {
        struct text label = {0};
        if (list[i].noun)
            ok = record_label(book, list[i].noun->id, list[i].record, &label,
                              err);
        list[i].label = text_take(&label);
    }
    if (!ok) {
        history_changes_free(list, n);
        return false;
    }
    *out = list;
    *count = n;
    return true;
}

void history_changes_free(struct history_change *changes, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        free(changes[i].label);
        free(changes[i].field);
        free(changes[i].old);
        free(changes[i].new);
    }
    free(changes);
}
