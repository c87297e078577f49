/* What an act did so far. See touched.h. */
#include "book/touched.h"

#include <stdlib.h>
#include <string.h>

#include "base/mem.h"

bool touched_is_new(const struct touched_kind *k, int64_t id)
{
    return id >= k->from && id <= k->to;
}

static void add(struct touched_kind *k, int64_t id, const char *field)
{
    if (!field) {
        k->from = k->to < 0 ? id : k->from;
        k->to = id;
    } else if (!touched_is_new(k, id)) {
        k->changed = mem_room(k->changed, k->count, sizeof *k->changed);
        k->changed[k->count++] = id;
        k->noted =
            k->noted || !strcmp(field, "note") || !strcmp(field, "withdrawn");
    }
}

bool touched_read(struct book *book, struct touched *out, struct error *err)
{
    const struct noun *noun = NULL;
    struct stmt q;
    bool row, ok = stmt_begin(book, STMT_TOUCHED, &q, err);

    for (size_t i = 0; i < NOUN_COUNT; i++)
        out->of[i] = (struct touched_kind){.to = -1};
    if (!ok)
        return false;
    stmt_int(&q, ":act", book->act_id);
    while ((ok = stmt_step(&q, &row, err)) && row) {
        const char *table = stmt_get_text(&q, 0);
        if (!noun || strcmp(noun->name, table) != 0)
            noun = noun_find(table);
        if (noun)
            add(&out->of[noun->id], stmt_get_int(&q, 1), stmt_get_text(&q, 2));
    }
    stmt_done(&q);
    return ok;
}

void touched_clear(struct touched *t)
{
    for (size_t i = 0; i < NOUN_COUNT; i++)
        free(t->of[i].changed);
}
