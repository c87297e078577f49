/* Skeins whose colours go together. See book/ask.h. */
#include "book/axis.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>

#include "base/mem.h"
#include "book/record.h"
#include "book/shelf.h"

/* Skeins that may be members, in the order of their numbers. */
struct choices {
    struct choice {
        struct scan_row row;
        uint32_t lane;
    } * choice;
    size_t count;
};

static bool gather(struct book *book, const struct palette_ask *ask,
                   struct choices *all, struct palette_answer *out,
                   struct error *err)
{
    struct axis mordants;
    struct scan scan;
    struct choice c;
    bool there, ok = axis_begin(book, GRID_MORDANT, &mordants, err);

    ok = ok && scan_begin(book, &ask->filter,
                          SCAN_COLOUR | SCAN_WHO | SCAN_POT |
                              axis_wants(GRID_MORDANT),
                          &scan, err);
    while (ok && (ok = scan_next(&scan, &c.row, &there, err)) && there) {
        if (c.row.lack != ASK_HAS_COLOUR) {
            out->left_out[c.row.lack]++;
            continue;
        }
        ok = axis_value(book, &mordants, &c.row, &c.lane, err);
        all->choice = mem_room(all->choice, all->count, sizeof *all->choice);
        all->choice[all->count++] = c;
    }
    scan_end(&scan);
    axis_clear(&mordants);
    if (all->count)
        qsort(all->choice, all->count, sizeof *all->choice, scan_order);
    return ok;
}

static bool has(const int64_t *ids, size_t n, int64_t id)
{
    for (size_t i = 0; i < n; i++)
        if (ids[i] == id)
            return true;
    return false;
}

/* Pots by their place in the list of those there are, from 1 on. */
static size_t pot_of(struct id_map *pots, int64_t pot)
{
    int64_t *at;

    if (pot <= 0)
        return 0;
    at = id_map_at(pots, pot);
    if (!at)
        id_map_put(pots, pot, (int64_t)pots->count + 1);
    return (size_t)*id_map_at(pots, pot);
}

static struct palette_colour *colours(const struct palette_ask *ask,
                                      const struct choices *all)
{
    struct palette_colour *out = mem_new(all->count, sizeof *out);
    struct id_map pots = {0};

    for (size_t i = 0; i < all->count; i++) {
        const struct choice *c = &all->choice[i];
        out[i] = (struct palette_colour){
            .lab = c->row.lab,
            .pot = pot_of(&pots, c->row.pot),
            .lane = (size_t)c->lane + 1,
            .must = has(ask->keep, ask->keeps, c->row.id),
            .never = has(ask->leave, ask->leaves, c->row.id)};
    }
    id_map_clear(&pots);
    return out;
}

/* Names a skein that shall be a member and cannot be. */
static bool check_kept(struct book *book, const struct palette_ask *ask,
                       const struct choices *all, struct error *err)
{
    for (size_t i = 0; i < ask->keeps; i++) {
        struct text label = {0};
        size_t k = 0;
        while (k < all->count && all->choice[k].row.id != ask->keep[i])
            k++;
        if (k < all->count && !has(ask->leave, ask->leaves, ask->keep[i]))
            continue;
        if (record_label(book, NOUN_SKEIN, ask->keep[i], &label, err))
            error_set(err, ERR_INPUT,
                      k < all->count
                          ? "skein %s cannot be kept and left out"
                          : "skein %s cannot be kept: it has no colour to go "
                            "by, or is not among those asked for",
                      text_str(&label));
        text_clear(&label);
        return false;
    }
    return true;
}

static bool read_members(struct book *book, const struct palette_ask *ask,
                         const struct choices *all, struct palette_answer *out,
                         struct error *err)
{
    struct lore lore;
    bool ok = lore_load(book, &lore, err);

    assert(all->choice); /* whoever was chosen is among them */
    out->skein = mem_new(out->palette.members, sizeof *out->skein);
    for (size_t i = 0; ok && i < out->palette.members; i++)
        ok = shelf_skein(book, &lore, all->choice[out->palette.place[i]].row.id,
                         &ask->filter, &out->skein[i], err);
    lore_free(&lore);
    return ok;
}

bool ask_palette(struct book *book, const struct palette_ask *ask,
                 struct palette_answer *out, struct error *err)
{
    struct choices all = {0};
    struct palette_colour *colour = NULL;
    bool ok;

    *out = (struct palette_answer){0};
    ok = store_look(book, err) && gather(book, ask, &all, out, err) &&
         check_kept(book, ask, &all, err);
    if (ok) {
        out->among = all.count;
        colour = colours(ask, &all);
        ok = palette_choose(colour, all.count, &ask->request, &out->palette) ||
             error_set(err, ERR_INPUT,
                       ask->request.one_pot
                           ? "no pot gave %zu colours on different mordants: "
                             "ask for fewer, or not for one pot"
                           : "fewer than %zu skeins with a colour to choose "
                             "from: ask for fewer, or for more kinds of skein",
                       ask->request.members);
    }
    ok = ok && read_members(book, ask, &all, out, err);
    if (ok) {
        out->step = mem_new(out->palette.members, sizeof *out->step);
        palette_steps(colour, &out->palette, out->step);
    }
    store_look_end(book);
    free(colour);
    free(all.choice);
    if (!ok)
        palette_answer_clear(out);
    return ok;
}

void palette_answer_clear(struct palette_answer *a)
{
    for (size_t i = 0; a->skein && i < a->palette.members; i++)
        ask_skein_clear(&a->skein[i]);
    free(a->skein);
    free(a->step);
    *a = (struct palette_answer){0};
}

/* ---- targets --------------------------------------------------------------
 */

/* The middle of all names that are meant. */
static bool middle_of(const char *words, struct lab *out)
{
    bool in[COLOUR_NAMES];
    size_t n;

    colour_name_match(words, in, &n);
    *out = (struct lab){0, 0, 0};
    for (size_t i = 0; i < COLOUR_NAMES; i++) {
        if (!in[i])
            continue;
        out->L += colour_names[i].centroid.L / (double)n;
        out->a += colour_names[i].centroid.a / (double)n;
        out->b += colour_names[i].centroid.b / (double)n;
    }
    return n > 0;
}

bool ask_target_read(struct book *book, const struct ask_filter *filter,
                     const char *words, struct lab *out, struct error *err)
{
    struct ask_skein skein;
    double v[3];
    int64_t id;
    bool ok;

    if (text_reals(words, v, 3) && v[0] >= 0 && v[0] <= 110 &&
        fabs(v[1]) <= 200 && fabs(v[2]) <= 200) {
        *out = (struct lab){v[0], v[1], v[2]};
        return ask_filter_is_usual_light(filter) ||
               error_set(err, ERR_INPUT,
                         "\"%s\" is a colour for D50, 2 degree: leave the "
                         "light out, or say a skein",
                         words);
    }
    if (middle_of(words, out))
        return true;
    if (!record_find(book, NOUN_SKEIN, words, &id, err))
        return error_set(err, ERR_INPUT,
                         "\"%s\" is no colour: write L,a,b, the name of a "
                         "colour, or a skein",
                         words);
    if (!ask_skein(book, id, filter, &skein, err))
        return false;
    ok = skein.lack == ASK_HAS_COLOUR ||
         error_set(err, ERR_INPUT, "skein %s: %s", skein.label,
                   ask_lack_words(skein.lack, filter->wet));
    *out = skein.reading.colour.lab;
    ask_skein_clear(&skein);
    return ok;
}
