/* Pieces of skeins. See cuts.h. */
#include "book/cuts.h"

#include <stdlib.h>

#include "base/mem.h"

/* Skeins whose pieces have to be looked at. */
struct waiting {
    int64_t *id;
    size_t count;
};

static void add(struct waiting *w, int64_t id)
{
    w->id = mem_room(w->id, w->count, sizeof *w->id);
    w->id[w->count++] = id;
}

/* At most so many cuts there are. */
static bool count_cuts(struct book *book, int64_t *out, struct error *err)
{
    struct stmt q;
    bool row, ok = stmt_begin(book, STMT_ASK_LAST_CUT, &q, err) &&
                   stmt_step(&q, &row, err);

    *out = ok ? stmt_get_int(&q, 0) : 0;
    stmt_done(&q);
    return ok;
}

/* Those that are in and were cut. */
static bool load_cut(struct book *book, const struct id_map *in,
                     struct waiting *out, struct error *err)
{
    struct stmt q;
    bool row, ok = stmt_begin(book, STMT_ASK_PARENTS, &q, err);

    while (ok && (ok = stmt_step(&q, &row, err)) && row)
        if (id_map_at(in, stmt_get_int(&q, 0)))
            add(out, stmt_get_int(&q, 0));
    stmt_done(&q);
    return ok;
}

/* Who is asked for pieces takes as long as three cuts that are passed by. */
static bool load_waiting(struct book *book, const struct id_map *in,
                         struct waiting *out, struct error *err)
{
    int64_t cuts;

    if (!count_cuts(book, &cuts, err))
        return false;
    if (cuts < 3 * (int64_t)in->count)
        return load_cut(book, in, out, err);
    for (size_t i = 0; i < in->slots; i++)
        if (in->slot[i].id)
            add(out, in->slot[i].id);
    return true;
}

/* Whether a piece is in by this cut, after that step of its parent, and was
 * not from its beginning. */
static bool passes_on(struct id_map *in, int64_t parent, int64_t child,
                      int64_t ordinal)
{
    const int64_t *since = id_map_at(in, parent);
    const int64_t *now;

    if (!since || *since > ordinal)
        return false;
    now = id_map_at(in, child);
    if (now && *now == 0)
        return false;
    id_map_put(in, child, 0);
    return true;
}

static bool descend_from(struct book *book, int64_t parent, struct id_map *in,
                         struct waiting *next, struct error *err)
{
    struct stmt q;
    bool row, ok = stmt_begin(book, STMT_ASK_CUTS, &q, err);

    if (ok)
        stmt_int(&q, ":parent", parent);
    while (ok && (ok = stmt_step(&q, &row, err)) && row)
        if (passes_on(in, parent, stmt_get_int(&q, 0), stmt_get_int(&q, 1)))
            add(next, stmt_get_int(&q, 0));
    stmt_done(&q);
    return ok;
}

bool cuts_descend(struct book *book, struct id_map *in, struct error *err)
{
    struct waiting next = {0};
    bool ok = load_waiting(book, in, &next, err);

    while (ok && next.count)
        ok = descend_from(book, next.id[--next.count], in, &next, err);
    free(next.id);
    return ok;
}
