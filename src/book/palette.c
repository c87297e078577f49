/* Skeins whose colours go together. See book/ask.h. */
#include "book/axis.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>

#include "base/mem.h"
#include "book/foretold.h"
#include "book/record.h"

/* What may be a member: skeins in the order of their numbers, then what is
 * foretold. */
struct choices {
    struct choice {
        struct scan_row row; /* of what is foretold that of a skein like it */
        uint32_t lane;
        struct told *told; /* or NULL */
        bool must, never;
    } * choice;
    size_t count;
    struct foretold foretold;
};

static void choices_clear(struct choices *all)
{
    free(all->choice);
    foretold_clear(&all->foretold);
    *all = (struct choices){0};
}

static struct choice *add_choice(struct choices *all)
{
    all->choice = mem_room(all->choice, all->count, sizeof *all->choice);
    return &all->choice[all->count++];
}

static bool gather(struct book *book, const struct ask_filter *filter,
                   struct axis *mordants, struct choices *all,
                   size_t left_out[ASK_LACKS], struct error *err)
{
    struct scan scan;
    struct choice c = {.told = NULL};
    bool there, ok = scan_begin(book, filter,
                                SCAN_COLOUR | SCAN_WHO | SCAN_POT |
                                    axis_wants(GRID_MORDANT),
                                &scan, err);

    while (ok && (ok = scan_next(&scan, &c.row, &there, err)) && there) {
        if (c.row.lack != ASK_HAS_COLOUR) {
            left_out[c.row.lack]++;
            continue;
        }
        ok = axis_value(book, mordants, &c.row, &c.lane, err);
        *add_choice(all) = c;
    }
    scan_end(&scan);
    if (all->count)
        qsort(all->choice, all->count, sizeof *all->choice, scan_order);
    return ok;
}

/* ---- what is foretold ------------------------------------------------------
 */

static bool bath_of(struct book *book, int64_t pot, int64_t *out,
                    struct error *err)
{
    struct stmt q;
    bool row;

    *out = 0;
    if (pot <= 0)
        return true;
    if (!stmt_begin(book, STMT_PALETTE_BATH, &q, err))
        return false;
    stmt_int(&q, ":of", pot);
    if (!stmt_step(&q, &row, err))
        return false;
    *out = row ? stmt_get_int(&q, 0) : 0;
    stmt_done(&q);
    return true;
}

/* What the baths of some skeins would give next, in the skeins' order. */
static bool foretell(struct book *book, const struct ask_filter *filter,
                     const struct choices *of, struct foretold *out,
                     struct error *err)
{
    struct id_map passes = {0}, pots = {0}, baths = {0};
    struct lore lore;
    bool ok = lore_load(book, &lore, err);

    for (size_t i = 0; i < of->count; i++)
        id_map_put(&passes, of->choice[i].row.id, (int64_t)i);
    for (size_t i = 0; ok && i < of->count; i++) {
        const int64_t pot = of->choice[i].row.pot;
        int64_t bath;
        if (pot <= 0 || id_map_at(&pots, pot))
            continue;
        id_map_put(&pots, pot, 1);
        ok = bath_of(book, pot, &bath, err);
        if (!ok || !bath || id_map_at(&baths, bath))
            continue;
        id_map_put(&baths, bath, 1);
        ok = foretold_add(book, &lore, filter, bath, &passes, out, err);
    }
    lore_free(&lore);
    id_map_clear(&passes);
    id_map_clear(&pots);
    id_map_clear(&baths);
    return ok;
}

/* Coming rounds are pots of their own: numbers that no treatment has. */
#define COMING ((int64_t)1 << 62)

/* A bath passes by its skeins of any round; what is not dyed yet is of no day
 * and not unfinished. */
static bool add_foretold(struct book *book, const struct palette_ask *ask,
                         struct axis *mordants, struct choices *all,
                         struct error *err)
{
    struct ask_filter any_round = ask->filter;
    struct choices of = {0};
    size_t left_out[ASK_LACKS] = {0};
    bool ok;

    if (*any_round.from || *any_round.to || any_round.month ||
        any_round.unfinished)
        return true;
    any_round.has_round = false;
    ok = gather(book, &any_round, mordants, &of, left_out, err) &&
         foretell(book, &ask->filter, &of, &all->foretold, err);
    for (size_t i = 0; ok && i < all->foretold.count; i++) {
        struct told *told = &all->foretold.told[i];
        struct choice *c = add_choice(all);
        size_t like = 0;
        assert(of.choice); /* it was foretold by one of them */
        while (of.choice[like].row.id != told->like)
            like++;
        *c = of.choice[like];
        c->told = told;
        c->row.id = 0;
        c->row.pot = COMING | told->bath;
        c->row.lab = told->skein.reading.colour.lab;
    }
    choices_clear(&of);
    return ok;
}

/* ---- the dyer's own choice -------------------------------------------------
 */

/* The one that is called so; NULL for one that may not be a member. */
static bool find(struct book *book, const char *words,
                 const struct choices *all, struct choice **out,
                 struct error *err)
{
    int64_t id;

    *out = NULL;
    for (size_t i = 0; i < all->count; i++)
        if (all->choice[i].told &&
            text_same(all->choice[i].told->skein.label, words))
            *out = &all->choice[i];
    if (*out)
        return true;
    if (!record_find(book, NOUN_SKEIN, words, &id, err))
        return false;
    for (size_t i = 0; i < all->count; i++)
        if (all->choice[i].row.id == id)
            *out = &all->choice[i];
    return true;
}

static bool mark(struct book *book, const struct palette_ask *ask,
                 struct choices *all, struct error *err)
{
    struct choice *c;

    for (size_t i = 0; i < ask->withouts; i++) {
        if (!find(book, ask->without[i], all, &c, err))
            return false;
        if (c)
            c->never = true;
    }
    for (size_t i = 0; i < ask->keeps; i++) {
        if (!find(book, ask->keep[i], all, &c, err))
            return false;
        if (!c || c->never)
            return error_set(err, ERR_INPUT,
                             c ? "skein %s cannot be kept and left out"
                               : "skein %s cannot be kept: it has no colour to "
                                 "go by, or is not among those asked for",
                             ask->keep[i]);
        c->must = true;
    }
    return true;
}

/* ---- choosing --------------------------------------------------------------
 */

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

static struct palette_colour *colours(const struct choices *all)
{
    struct palette_colour *out = mem_new(all->count, sizeof *out);
    struct id_map pots = {0};

    for (size_t i = 0; i < all->count; i++) {
        const struct choice *c = &all->choice[i];
        out[i] = (struct palette_colour){.lab = c->row.lab,
                                         .pot = pot_of(&pots, c->row.pot),
                                         .lane = (size_t)c->lane + 1,
                                         .must = c->must,
                                         .never = c->never};
    }
    id_map_clear(&pots);
    return out;
}

/* Why there is no palette; always false. */
static bool none(const struct palette_ask *ask,
                 const struct palette_colour *colour, size_t count,
                 struct error *err)
{
    struct palette_request near = ask->request;
    struct palette p;

    near.least_apart = 0;
    if (near.members > 1)
        near.aim = PALETTE_APART;
    if (ask->request.least_apart > 0 &&
        palette_choose(colour, count, &near, &p))
        return error_set(err, ERR_INPUT,
                         "no %zu of them were found %.4g apart; %s%.1f: ask "
                         "for fewer, or for less",
                         near.members, ask->request.least_apart,
                         p.exact ? "at most they are " : "others are ",
                         text_round(p.worth, 1));
    return error_set(err, ERR_INPUT,
                     near.one_pot
                         ? "no pot gave %zu colours on different mordants: "
                           "ask for fewer, or not for one pot"
                         : "fewer than %zu skeins with a colour to choose "
                           "from: ask for fewer, or for more kinds of skein",
                     near.members);
}

static bool take_members(struct book *book, const struct palette_ask *ask,
                         struct choices *all, struct palette_answer *out,
                         struct error *err)
{
    struct lore lore;
    bool ok = lore_load(book, &lore, err);

    assert(all->choice); /* whoever was chosen is among them */
    out->skein = mem_new(out->palette.members, sizeof *out->skein);
    for (size_t i = 0; ok && i < out->palette.members; i++) {
        struct choice *c = &all->choice[out->palette.place[i]];
        out->foretold[i] = c->told != NULL;
        out->kept[i] = c->must;
        if (c->told) {
            out->skein[i] = c->told->skein;
            c->told->skein = (struct ask_skein){0};
        } else {
            ok = shelf_skein(book, &lore, c->row.id, &ask->filter,
                             &out->skein[i], err);
        }
    }
    lore_free(&lore);
    return ok;
}

static bool choose(struct book *book, const struct palette_ask *ask,
                   struct choices *all, struct palette_answer *out,
                   struct error *err)
{
    struct palette_colour *colour = colours(all);
    bool ok;

    out->among_foretold = all->foretold.count;
    out->among = all->count - out->among_foretold;
    ok = palette_choose(colour, all->count, &ask->request, &out->palette) ||
         none(ask, colour, all->count, err);
    ok = ok && take_members(book, ask, all, out, err);
    if (ok) {
        out->step = mem_new(out->palette.members, sizeof *out->step);
        palette_steps(colour, &out->palette, out->step);
    }
    free(colour);
    return ok;
}

bool ask_palette(struct book *book, const struct palette_ask *ask,
                 struct palette_answer *out, struct error *err)
{
    struct choices all = {0};
    struct axis mordants = {0};
    bool ok;

    *out = (struct palette_answer){0};
    ok = book_look(book, err) &&
         axis_begin(book, GRID_MORDANT, &mordants, err) &&
         gather(book, &ask->filter, &mordants, &all, out->left_out, err) &&
         (!ask->foretold || add_foretold(book, ask, &mordants, &all, err)) &&
         mark(book, ask, &all, err) && choose(book, ask, &all, out, err);
    book_look_end(book);
    axis_clear(&mordants);
    choices_clear(&all);
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
