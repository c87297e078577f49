/* Pieces of skeins. See cuts.h. */
#include "book/cuts.h"

#include <stdlib.h>

#include "base/mem.h"

bool cuts_load(struct book *book, struct cuts *out, struct error *err)
{
    struct stmt q;
    bool row, ok;

    if (out->loaded)
        return true;
    if (!stmt_begin(book, STMT_ASK_CUTS, &q, err))
        return false;
    while ((ok = stmt_step(&q, &row, err)) && row) {
        out->cut = mem_room(out->cut, out->count, sizeof *out->cut);
        out->cut[out->count++] = (struct cut){
            stmt_get_int(&q, 0), stmt_get_int(&q, 1), stmt_get_int(&q, 2)};
    }
    stmt_done(&q);
    out->loaded = ok;
    return ok;
}

void cuts_clear(struct cuts *cuts)
{
    free(cuts->cut);
    *cuts = (struct cuts){0};
}

static size_t first_cut_of(const struct cuts *cuts, int64_t parent)
{
    size_t low = 0, high = cuts->count;

    while (low < high) {
        size_t mid = (low + high) / 2;
        if (cuts->cut[mid].parent < parent)
            low = mid + 1;
        else
            high = mid;
    }
    return low;
}

/* Whether a piece is in by this cut and was not from its beginning. */
static bool passes_on(struct id_map *in, const struct cut *c)
{
    const int64_t *since = id_map_at(in, c->parent);
    const int64_t *now;

    if (!since || *since > c->ordinal)
        return false;
    now = id_map_at(in, c->child);
    if (now && *now == 0)
        return false;
    id_map_put(in, c->child, 0);
    return true;
}

void cuts_descend(struct id_map *in, const struct cuts *cuts)
{
    int64_t *next = NULL;
    size_t waiting = 0;

    for (size_t i = 0; i < cuts->count; i++) {
        const struct cut *c = &cuts->cut[i];
        if (!passes_on(in, c))
            continue;
        next = mem_room(next, waiting, sizeof *next);
        next[waiting++] = c->child;
        while (waiting) {
            const int64_t parent = next[--waiting];
            for (size_t k = first_cut_of(cuts, parent);
                 k < cuts->count && cuts->cut[k].parent == parent; k++)
                if (passes_on(in, &cuts->cut[k])) {
                    next = mem_room(next, waiting, sizeof *next);
                    next[waiting++] = cuts->cut[k].child;
                }
        }
    }
    free(next);
}
