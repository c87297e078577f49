/* A dip of skeins that were dyed before, said with their pot: it comes behind
 * that dyeing and is no new round. See book/pot.h. */
#include "book/pot_work.h"

#include "book/face.h"

/* Whether something was said that only a pot has. */
static bool says_a_pot(const struct pot_entry *p)
{
    return said(p->round) || said(p->kind) || p->poured.count ||
           p->dyestuffs.count || p->acids.count || p->alkalis.count ||
           said(p->ph) || said(p->extraction) || said(p->water) ||
           said(p->volume) || said(p->vat_dips) || said(p->airing);
}

/* Whether every skein there is, is in the book and was dipped, and nothing
 * else was done. */
static bool only_dipped(const struct work *w)
{
    const struct pot_entry *p = w->pot;

    if (says_a_pot(p) || p->mordants.count || p->assists.count ||
        said(p->fibre) || said(p->weight) || said(p->skeins))
        return false;
    for (size_t i = 0; i < w->skeins; i++) {
        const struct pot_skein *s = w->skein[i].said;
        const struct pot_words *dips = s->dips.count ? &s->dips : &p->dips;
        if (w->skein[i].is_new || s->mordants.count || !dips->count ||
            text_same(dips->word[0], "none"))
            return false;
    }
    return p->dips.count || w->skeins;
}

/* The last entry of a skein in a dyeing of this bath: there, or 0. */
static bool find_dyeing(struct work *w, struct pot_one *one, struct error *err)
{
    struct stmt q;
    bool row;

    if (!stmt_begin(w->book, STMT_ENTRY_OF_BATH, &q, err))
        return false;
    stmt_int(&q, ":skein", one->id);
    stmt_int(&q, ":bath", w->result->bath_id);
    if (!stmt_step(&q, &row, err))
        return false;
    one->there = row ? stmt_get_int(&q, 0) : 0;
    stmt_done(&q);
    return true;
}

static bool all_dyed(struct work *w, bool *out, struct error *err)
{
    int64_t layers;
    bool is_null;

    *out = w->skeins > 0;
    for (size_t i = 0; i < w->skeins; i++) {
        if (!pot_ask(w->book, STMT_SKEIN_LAYERS, w->skein[i].id, &layers,
                     &is_null, err))
            return false;
        *out = *out && layers > 0;
    }
    return true;
}

bool pot_dip_alone(struct work *w, bool *alone, struct error *err)
{
    bool all = true, dyed;

    *alone = false;
    if (!only_dipped(w))
        return true;
    if (w->result->new_bath) {
        if (!all_dyed(w, &dyed, err))
            return false;
        return !dyed ||
               error_set(
                   err, ERR_INPUT,
                   "a dip of skeins that were dyed before is no new pot: "
                   "%s is for that; if they were dyed in this pot too, say "
                   "with which dyestuff (\"?\": not known)",
                   face_says("hanklab treat dip", "\"Dip, wash or mordant\""));
    }
    if (!w->skeins)
        return error_set(err, ERR_INPUT,
                         "say which skeins were dipped, or of which round "
                         "all were, as in \"first\"");
    for (size_t i = 0; i < w->skeins; i++) {
        if (!find_dyeing(w, &w->skein[i], err))
            return false;
        all = all && w->skein[i].there;
    }
    for (size_t i = 0; !all && i < w->skeins; i++)
        w->skein[i].there = 0;
    if (all)
        pot_echo(w, "dipped after bath %s, which is no new round of it",
                 w->result->bath);
    *alone = all;
    return true;
}
