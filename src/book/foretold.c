/* The colours that baths would give next. See foretold.h. */
#include "book/foretold.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"

/* Whether something is in the bath already that no round was dyed with. */
static bool has_more_in_it(const struct fade *f, int64_t last_round)
{
    for (size_t i = 0; i < f->additions; i++)
        if (f->addition[i].before_round > last_round)
            return true;
    return false;
}

/* The fit of the rounds up to the last; NULL when it foretells nothing. */
static const struct exhaust *
fit_of(const struct fade *f, const struct fade_lane *lane, int64_t *round)
{
    const struct fade_stretch *s;

    if (!lane->stretches)
        return NULL;
    s = &lane->stretch[lane->stretches - 1];
    *round = f->round[s->from].round + (int64_t)s->fit.rounds;
    return s->fit.state == EXHAUST_FITTED && !has_more_in_it(f, *round - 1)
               ? &s->fit
               : NULL;
}

/* Leaves of a skein only what holds for the next one made so. */
static void forget(struct ask_skein *s)
{
    free(s->label);
    free(s->name);
    free(s->code);
    free(s->own_word);
    free(s->word_before);
    free(s->on_words);
    s->label = s->name = s->code = s->own_word = s->word_before = s->on_words =
        NULL;
    s->id = s->number = s->ordinal = s->entry_id = s->dye_id = 0;
    s->unfinished = false;
    s->weight_g = (double)NAN;
    s->per_fibre_low = s->per_fibre_high = (double)NAN;
    s->from[0] = s->to[0] = s->reading.day[0] = '\0';
    s->reading.id = 0;
    s->reading.assumed_u = s->reading.photo = false;
    s->reading.level = (struct lab){(double)NAN, (double)NAN, (double)NAN};
}

static char *label_of(const struct fade *f, const struct fade_lane *lane,
                      const struct ask_skein *s)
{
    struct text t = {0};

    text_addf(&t, "foretold %s %s", s->bath, lane->mordants);
    if (f->fibres)
        text_addf(&t, ", %s", lane->fibre);
    return text_take(&t);
}

static bool is_as(const struct ask_skein *s, const struct fade_lane *lane,
                  int64_t bath)
{
    return s->bath_id == bath && !s->dips && s->mordants &&
           !strcmp(s->mordants, lane->mordants) &&
           s->fibre_id == lane->fibre_id;
}

/* A skein that is as the lane left it stands for it, the last one first. */
static bool add_lane(struct book *book, struct lore *lore,
                     const struct ask_filter *filter, int64_t bath,
                     const struct id_map *passes, const struct fade *f,
                     const struct fade_lane *lane, struct foretold *out,
                     struct error *err)
{
    int64_t round = 0;
    const struct exhaust *fit = fit_of(f, lane, &round);

    if (!fit || (filter->has_round && filter->round != round))
        return true;
    for (size_t i = f->rounds; i-- > 0;) {
        const int64_t id = lane->cell[i].skein;
        struct ask_skein s;
        if (!id || !id_map_at(passes, id))
            continue;
        if (!shelf_skein(book, lore, id, filter, &s, err))
            return false;
        if (!is_as(&s, lane, bath)) {
            ask_skein_clear(&s);
            continue;
        }
        forget(&s);
        s.label = label_of(f, lane, &s);
        s.has_round = true;
        s.round = round;
        s.reading.colour =
            (struct colour_reading){fit->next, fit->next_cov, fit->next_cov};
        out->told = mem_room(out->told, out->count, sizeof *out->told);
        out->told[out->count++] = (struct told){s, bath, id};
        return true;
    }
    return true;
}

bool foretold_add(struct book *book, struct lore *lore,
                  const struct ask_filter *filter, int64_t bath,
                  const struct id_map *passes, struct foretold *out,
                  struct error *err)
{
    struct fade f;
    bool ok;

    if (!ask_fade(book, bath, filter, (double)NAN, &f, err))
        return false;
    ok = true;
    for (size_t i = 0; ok && i < f.lanes; i++)
        ok = add_lane(book, lore, filter, bath, passes, &f, &f.lane[i], out,
                      err);
    fade_clear(&f);
    return ok;
}

void foretold_clear(struct foretold *foretold)
{
    for (size_t i = 0; i < foretold->count; i++)
        ask_skein_clear(&foretold->told[i].skein);
    free(foretold->told);
    *foretold = (struct foretold){0};
}
