/* What colour a planned dyeing will give: that of skeins dyed so before, or
 * the next round of a bath by its fade. See project_work.h. */
#include "book/project_work.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/ask.h"

/* False when a material is not in the book: nothing was dyed so. */
static bool name_all(struct book *book, const struct plan_doses *d,
                     struct ask_ids *ids)
{
    struct error none;

    for (size_t i = 0; i < d->count; i++)
        if (ids->count == ASK_IDS ||
            !record_find(book, NOUN_MATERIAL, d->dose[i].name,
                         &ids->id[ids->count++], &none))
            return false;
    return true;
}

/* Percent of all dyestuff; NaN when one has none. */
static double dyestuff_pct(const struct plan_skein *s)
{
    double sum = 0;

    for (size_t i = 0; i < s->dyestuffs.count; i++)
        sum += s->dyestuffs.dose[i].pct;
    return sum;
}

/* With as much dyestuff for the fibre, within a tenth. */
static bool filter_for(struct book *book, const struct plan_skein *s,
                       struct ask_filter *f)
{
    const double pct = dyestuff_pct(s);

    *f = ask_filter_any();
    f->per_fibre_pct = (struct ask_range){0.9 * pct, 1.1 * pct};
    f->only = true;
    f->no_dip = s->dips.count == 0;
    return name_all(book, &s->dyestuffs, &f->dyestuffs) &&
           name_all(book, &s->mordants, &f->mordants) &&
           name_all(book, &s->dips, &f->dips);
}

static void expect(struct project_wish *wish, struct lab lab, bool foretold,
                   struct text *by)
{
    wish->expected = true;
    wish->foretold = foretold;
    wish->lab = lab;
    free(wish->by);
    wish->by = text_take(by);
}

/* The newest measured one that was dyed so; like: that one, if it was, and no
 * other where it is not known how much dyestuff it shall be. */
static bool from_skeins(const struct ask_skeins *list,
                        const struct plan_skein *plan, int64_t like,
                        struct project_wish *wish)
{
    const struct ask_skein *best = NULL;
    struct text by = {0};

    for (size_t i = 0; i < list->count; i++) {
        const struct ask_skein *s = &list->skein[i];
        if (s->lack == ASK_HAS_COLOUR && s->has_round &&
            s->round == plan->round && s->layers == 1 &&
            (plan->mordants.count || !s->mordants) &&
            (s->id == like || !isnan(dyestuff_pct(plan))) &&
            (!best || best->id != like))
            best = s;
    }
    if (!best)
        return false;
    text_addf(&by, "as skein %s", best->label);
    expect(wish, best->reading.colour.lab, false, &by);
    return true;
}

/* Of one bath: whether its fade tells the round. */
static bool from_bath(struct book *book, const struct ask_filter *filter,
                      const struct ask_skein *s, int round,
                      struct project_wish *wish, bool *found, struct error *err)
{
    struct fade fade;
    struct text by = {0};

    if (!ask_fade(book, s->bath_id, filter, (double)NAN, &fade, err))
        return err->kind == ERR_INPUT; /* nothing was dyed in it */
    for (size_t i = 0; i < fade.lanes && !*found; i++) {
        const struct fade_lane *lane = &fade.lane[i];
        const struct fade_stretch *last =
            lane->stretches ? &lane->stretch[lane->stretches - 1] : NULL;
        if (!last || last->fit.state != EXHAUST_FITTED || lane->dips ||
            !text_same(lane->mordants, s->mordants) ||
            last->from + last->rounds != fade.rounds ||
            !fade.round[fade.rounds - 1].known ||
            fade.round[fade.rounds - 1].round != round - 1)
            continue;
        text_addf(&by, "foretold from bath %s", s->bath);
        expect(wish, last->fit.next, true, &by);
        *found = true;
    }
    fade_clear(&fade);
    return true;
}

static bool from_baths(struct book *book, const struct ask_filter *filter,
                       const struct ask_skeins *list, int round,
                       struct project_wish *wish, struct error *err)
{
    bool found = false, ok = true;

    for (size_t i = list->count; ok && !found && i-- > 0;) {
        const struct ask_skein *s = &list->skein[i];
        if (s->bath_id && s->has_round && s->round == round - 1 && s->mordants)
            ok = from_bath(book, filter, s, round, wish, &found, err);
    }
    return ok;
}

bool project_expect(struct book *book, struct project_wish *wish,
                    struct error *err)
{
    struct text aside = {0};
    struct recipe r;
    struct ask_filter filter, bare;
    struct ask_skeins list;
    struct error none;
    int64_t like = 0;
    bool ok = true;

    if (wish->like &&
        !record_find_any(book, NOUN_SKEIN, wish->like, &like, &none))
        like = 0;
    if (!wish->recipe || !recipe_read(book, wish->recipe, &r, &aside, &none)) {
        text_clear(&aside);
        return true; /* it was changed by hand to what is no recipe */
    }
    if (filter_for(book, &r.plan, &filter) &&
        (ok = ask_skeins(book, &filter, 0, &list, err))) {
        bare = ask_filter_any();
        if (!from_skeins(&list, &r.plan, like, wish) && r.plan.round > 0 &&
            r.plan.dips.count == 0)
            ok = from_baths(book, &bare, &list, r.plan.round, wish, err);
        ask_skeins_free(&list);
    }
    recipe_clear(&r);
    text_clear(&aside);
    return ok;
}
