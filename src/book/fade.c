/* How a bath faded from round to round. See book/ask.h. */
#include "book/shelf.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/fade_fit.h"
#include "book/record.h"

/* One skein in one lane: the last of its steps there. */
struct stay {
    int64_t skein, ordinal, entry, dye, fibre_id;
    char *mordants, *dips, *label; /* mordants and dips: names */
    char *mordant_set, *fibre;
    bool has_round;
    int64_t round;
    struct ask_reading reading;
    enum ask_lack lack;
};

struct stays {
    struct stay *stay;
    size_t count;
};

static void stay_clear(struct stay *s)
{
    free(s->mordants);
    free(s->dips);
    free(s->label);
    free(s->mordant_set);
    free(s->fibre);
}

static void stays_free(struct stays *s)
{
    for (size_t i = 0; i < s->count; i++)
        stay_clear(&s->stay[i]);
    free(s->stay);
    *s = (struct stays){0};
}

static bool same(const char *a, const char *b)
{
    return a && b ? !strcmp(a, b) : a == b;
}

/* Steps come skein by skein in order, so a stay that goes on is the last. */
static void add_step(struct stays *all, struct stay step)
{
    struct stay *last = all->count ? &all->stay[all->count - 1] : NULL;

    if (last && last->skein == step.skein && last->dye == step.dye &&
        same(last->mordants, step.mordants) && same(last->dips, step.dips)) {
        last->ordinal = step.ordinal;
        last->entry = step.entry;
        stay_clear(&step);
        return;
    }
    if (all->count % 32 == 0)
        all->stay = mem_resize(all->stay, all->count + 32, sizeof *all->stay);
    all->stay[all->count++] = step;
}

static bool load(struct book *book, int64_t bath, struct stays *out,
                 struct error *err)
{
    struct names names;
    struct stmt q = {0};
    bool row, ok;

    *out = (struct stays){0};
    if (!names_load(book, &names, err))
        return false;
    ok = stmt_begin(book, STMT_FADE_STEPS, &q, err);
    if (ok)
        stmt_int(&q, ":bath", bath);
    while (ok && (ok = stmt_step(&q, &row, err)) && row)
        add_step(out,
                 (struct stay){
                     .skein = stmt_get_int(&q, 0),
                     .ordinal = stmt_get_int(&q, 1),
                     .entry = stmt_get_int(&q, 2),
                     .mordants = names_of_set(&names, stmt_get_text(&q, 3)),
                     .dips = names_of_set(&names, stmt_get_text(&q, 4)),
                     .has_round = !stmt_is_null(&q, 5),
                     .round = stmt_get_int(&q, 5),
                     .dye = stmt_get_int(&q, 6),
                     .label = mem_text(stmt_get_text(&q, 7)),
                     .mordant_set = mem_text(stmt_get_text(&q, 3)),
                     .fibre_id = stmt_get_int(&q, 8),
                     .fibre = mem_text(stmt_get_text(&q, 9))});
    stmt_done(&q);
    names_free(&names);
    return ok;
}

/* Whether a stay without a colour says nothing: a piece that was only cut off
 * is its parent over again, and one that was dipped can be measured no more as
 * it was before. */
static bool is_moot(const struct stays *all, size_t i)
{
    const struct stay *s = &all->stay[i], *next = s + 1;

    return s->ordinal == 0 || (i + 1 < all->count && next->skein == s->skein &&
                               next->dye == s->dye);
}

/* Finds each one's colour, and leaves out what is moot without one. */
static bool read_all(struct book *book, const struct ask_filter *filter,
                     struct stays *all, struct error *err)
{
    size_t kept = 0;
    bool ok = true;

    for (size_t i = 0; i < all->count; i++) {
        struct stay *s = &all->stay[i];
        ok = ok && shelf_reading(book, s->skein, s->entry, filter, &s->reading,
                                 &s->lack, err);
        if (ok && s->lack != ASK_HAS_COLOUR && is_moot(all, i)) {
            stay_clear(s);
        } else {
            all->stay[kept++] = *s;
        }
    }
    all->count = kept;
    return ok;
}

static bool load_rounds(struct book *book, int64_t bath, struct fade *out,
                        struct error *err)
{
    struct stmt q;
    bool row, ok;

    if (!stmt_begin(book, STMT_FADE_ROUNDS, &q, err))
        return false;
    stmt_int(&q, ":bath", bath);
    while ((ok = stmt_step(&q, &row, err)) && row) {
        out->round =
            mem_resize(out->round, out->rounds + 1, sizeof *out->round);
        out->round[out->rounds++] =
            (struct fade_round){.known = !stmt_is_null(&q, 0),
                                .round = stmt_get_int(&q, 0),
                                .skeins = (size_t)stmt_get_int(&q, 1),
                                .fibre_g = stmt_get_real(&q, 2),
                                .temperature_c = stmt_get_real(&q, 3),
                                .minutes = stmt_get_real(&q, 4),
                                .ph = stmt_get_real(&q, 5)};
    }
    stmt_done(&q);
    if (ok && !out->rounds)
        ok = error_set(err, ERR_INPUT, "nothing was dyed in bath %s yet",
                       out->bath);
    return ok;
}

/* Numbers below the last that no treatment has. */
static void find_skipped(struct fade *out)
{
    int64_t next = 0;

    for (size_t i = 0; i < out->rounds; i++) {
        if (!out->round[i].known)
            break;
        for (; next < out->round[i].round; next++) {
            out->skipped =
                mem_resize(out->skipped, out->skips + 1, sizeof *out->skipped);
            out->skipped[out->skips++] = next;
        }
        next++;
    }
}

static bool load_additions(struct book *book, int64_t bath, struct fade *out,
                           struct error *err)
{
    struct stmt q;
    bool row, ok;

    if (!stmt_begin(book, STMT_FADE_ADDED, &q, err))
        return false;
    stmt_int(&q, ":bath", bath);
    while ((ok = stmt_step(&q, &row, err)) && row) {
        out->addition = mem_resize(out->addition, out->additions + 1,
                                   sizeof *out->addition);
        out->addition[out->additions++] = (struct fade_addition){
            stmt_get_int(&q, 0), mem_text(stmt_get_text(&q, 1))};
    }
    stmt_done(&q);
    return ok;
}

/* ---- lanes ----------------------------------------------------------------
 */

/* By name, what is not known last. */
static int known_first(const char *a, const char *b)
{
    if (!a != !b)
        return a ? -1 : 1;
    return a ? text_order(a, b) : 0;
}

/* By mordant, without a dip before with one, then by fibre. */
static int lane_order(const struct fade_lane *a, const struct fade_lane *b)
{
    int order = known_first(a->mordants, b->mordants);

    if (!order && !a->dips != !b->dips)
        return a->dips ? 1 : -1;
    if (!order && a->dips)
        order = text_order(a->dips, b->dips);
    return order ? order : known_first(a->fibre, b->fibre);
}

static int by_lane(const void *a, const void *b)
{
    return lane_order(a, b);
}

/* Where one fibre alone is known of all, the others are taken for it: not
 * every row of a pot has it written down. */
static void settle_fibre(struct stays *all, struct fade *out)
{
    const struct stay *known = NULL;

    for (size_t i = 0; i < all->count; i++) {
        const struct stay *s = &all->stay[i];
        if (s->fibre_id && known && s->fibre_id != known->fibre_id)
            out->fibres = true;
        if (s->fibre_id)
            known = s;
    }
    for (size_t i = 0; known && !out->fibres && i < all->count; i++)
        if (!all->stay[i].fibre_id) {
            all->stay[i].fibre_id = known->fibre_id;
            all->stay[i].fibre = mem_text(known->fibre);
        }
}

static bool is_of(const struct stay *s, const struct fade_lane *lane)
{
    return same(s->mordants, lane->mordants) && same(s->dips, lane->dips) &&
           s->fibre_id == lane->fibre_id;
}

static void make_lanes(const struct stays *all, struct fade *out)
{
    out->lane = mem_new(all->count, sizeof *out->lane);
    for (size_t i = 0; i < all->count; i++) {
        const struct stay *s = &all->stay[i];
        size_t k = 0;
        while (k < out->lanes && !is_of(s, &out->lane[k]))
            k++;
        if (k == out->lanes)
            out->lane[out->lanes++] =
                (struct fade_lane){.mordants = mem_text(s->mordants),
                                   .dips = mem_text(s->dips),
                                   .fibre = mem_text(s->fibre),
                                   .mordant_set = mem_text(s->mordant_set),
                                   .fibre_id = s->fibre_id};
    }
    if (out->lanes)
        qsort(out->lane, out->lanes, sizeof *out->lane, by_lane);
}

static bool is_here(const struct stay *s, const struct fade_lane *lane,
                    const struct fade_round *round)
{
    return is_of(s, lane) && s->has_round == round->known &&
           (!round->known || s->round == round->round);
}

static void fill_cell(const struct stays *all, const struct fade_lane *lane,
                      const struct fade_round *round, struct fade_cell *cell)
{
    const struct ask_reading **reading = mem_new(all->count, sizeof *reading);
    struct text labels = {0}, without = {0};

    for (size_t i = 0; i < all->count; i++) {
        const struct stay *s = &all->stay[i];
        if (!is_here(s, lane, round))
            continue;
        if (s->lack != ASK_HAS_COLOUR) {
            text_addf(&without, "%s%s", without.len ? ", " : "", s->label);
            if (!cell->lacking++ && s->lack == ASK_OTHER_LIGHT)
                snprintf(cell->other_light, sizeof cell->other_light, "%s/%d",
                         s->reading.illuminant, s->reading.observer_deg);
            else if (s->lack != ASK_OTHER_LIGHT)
                cell->other_light[0] = '\0';
            continue;
        }
        text_addf(&labels, "%s%s", labels.len ? ", " : "", s->label);
        if (!cell->measured)
            cell->skein = s->skein;
        reading[cell->measured++] = &s->reading;
    }
    cell->mean = shelf_mean(reading, cell->measured, &cell->spread);
    cell->labels = text_take(&labels);
    cell->unmeasured = text_take(&without);
    cell->before = cell->first = (double)NAN;
    free(reading);
}

/* A round of unknown number has neither a round before nor a first. */
static void fill_lane(const struct stays *all, const struct fade *out,
                      struct fade_lane *lane)
{
    const struct fade_cell *first = NULL, *before = NULL;

    lane->cell = mem_new(out->rounds, sizeof *lane->cell);
    for (size_t i = 0; i < out->rounds; i++) {
        struct fade_cell *cell = &lane->cell[i];
        fill_cell(all, lane, &out->round[i], cell);
        if (!cell->measured || !out->round[i].known)
            continue;
        if (before) {
            cell->before = lab_de00(before->mean.lab, cell->mean.lab);
            cell->first = lab_de00(first->mean.lab, cell->mean.lab);
        } else {
            first = cell;
        }
        before = cell;
    }
}

bool ask_fade(struct book *book, int64_t bath, const struct ask_filter *filter,
              double next_g, struct fade *out, struct error *err)
{
    struct stays all = {0};
    struct undyed undyed = {.one = NULL};
    struct text label = {0};
    bool ok;

    *out = (struct fade){0};
    ok = record_label(book, NOUN_BATH, bath, &label, err);
    out->bath = text_take(&label);
    ok = ok && load_rounds(book, bath, out, err) &&
         load_additions(book, bath, out, err) && load(book, bath, &all, err) &&
         read_all(book, filter, &all, err) &&
         undyed_load(book, filter, &undyed, err);
    for (size_t i = 0; ok && i < all.count; i++)
        out->left_out[all.stay[i].lack]++;
    if (ok) {
        find_skipped(out);
        settle_fibre(&all, out);
        make_lanes(&all, out);
    }
    for (size_t i = 0; ok && i < out->lanes; i++) {
        fill_lane(&all, out, &out->lane[i]);
        fade_fit(&undyed, next_g, out, &out->lane[i]);
    }
    undyed_free(&undyed);
    stays_free(&all);
    if (!ok)
        fade_clear(out);
    return ok;
}

void fade_clear(struct fade *fade)
{
    for (size_t i = 0; i < fade->lanes; i++) {
        for (size_t k = 0; fade->lane[i].cell && k < fade->rounds; k++) {
            free(fade->lane[i].cell[k].labels);
            free(fade->lane[i].cell[k].unmeasured);
        }
        free(fade->lane[i].cell);
        free(fade->lane[i].mordants);
        free(fade->lane[i].dips);
        free(fade->lane[i].fibre);
        free(fade->lane[i].mordant_set);
        free(fade->lane[i].undyed_label);
        free(fade->lane[i].stretch);
    }
    for (size_t i = 0; i < fade->additions; i++)
        free(fade->addition[i].what);
    free(fade->addition);
    free(fade->skipped);
    free(fade->round);
    free(fade->lane);
    free(fade->bath);
    *fade = (struct fade){0};
}
