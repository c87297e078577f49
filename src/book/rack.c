/* The rack. See book/rack.h. */
#include "book/rack.h"

#include <stdlib.h>

#include "base/mem.h"
#include "book/cut.h"
#include "book/scan.h"
#include "book/shelf.h"

/* Statements of two numbers, put into a map from the one to the other. */
static bool load(struct book *book, enum stmt_id id, struct id_map *out,
                 struct error *err)
{
    struct stmt q;
    bool row, ok;

    if (!stmt_begin(book, id, &q, err))
        return false;
    while ((ok = stmt_step(&q, &row, err)) && row)
        id_map_put(out, stmt_get_int(&q, 0), stmt_get_int(&q, 1));
    stmt_done(&q);
    return ok;
}

/* What is known of recipes and pots, rather than asked of each skein. */
struct known {
    struct id_map round, bath;
    int64_t *cut_up;
    size_t cut_ups;
};

static struct rack_place place_of(const struct known *known,
                                  const struct scan_row *row)
{
    const int64_t *round = id_map_at(&known->round, row->recipe);
    const int64_t *bath =
        row->pot > 0 ? id_map_at(&known->bath, row->pot) : NULL;

    return (struct rack_place){row->id, bath ? *bath : 0,
                               round ? *round : INT64_MAX, row->number};
}

static int in_order(const void *a, const void *b)
{
    const struct rack_place *x = a, *y = b;

    if (x->bath != y->bath)
        return x->bath > y->bath ? -1 : 1;
    if (x->round != y->round)
        return x->round < y->round ? -1 : 1;
    if (x->number != y->number)
        return x->number < y->number ? -1 : 1;
    return (x->skein > y->skein) - (x->skein < y->skein);
}

static bool hang_all(struct scan *scan, const struct known *known,
                     struct rack *out, struct error *err)
{
    struct scan_row row;
    bool there, ok;

    while ((ok = scan_next(scan, &row, &there, err)) && there) {
        if (cut_is_up(known->cut_up, known->cut_ups, row.id)) {
            out->in_pieces++;
            continue;
        }
        out->place = mem_room(out->place, out->count, sizeof *out->place);
        out->place[out->count++] = place_of(known, &row);
        out->measured += row.lack == ASK_HAS_COLOUR;
    }
    return ok;
}

size_t rack_rod(const struct rack_place *place, size_t n)
{
    size_t k = 0;

    while (k < n && place[k].bath == place[0].bath)
        k++;
    return k;
}

static bool wait_all(struct book *book, struct rack *out, struct error *err)
{
    struct stmt q;
    bool row, ok = stmt_begin(book, STMT_RACK_UNFINISHED, &q, err);

    if (!ok)
        return false;
    while ((ok = stmt_step(&q, &row, err)) && row) {
        out->unfinished = mem_room(out->unfinished, out->unfinished_count,
                                   sizeof *out->unfinished);
        out->unfinished[out->unfinished_count++] =
            (struct rack_place){.skein = stmt_get_int(&q, 0)};
    }
    stmt_done(&q);
    return ok && ask_empty_baths(book, &out->bare, &out->bare_count, err);
}

static bool fill(struct book *book, struct rack *out, struct error *err)
{
    const struct ask_filter any = ask_filter_any();
    struct known known = {0};
    struct scan scan = {0};
    bool ok;

    ok = load(book, STMT_RACK_ROUNDS, &known.round, err) &&
         load(book, STMT_RACK_BATHS, &known.bath, err) &&
         cut_up(book, &known.cut_up, &known.cut_ups, err) &&
         scan_begin(book, &any, SCAN_WHO | SCAN_POT, &scan, err) &&
         hang_all(&scan, &known, out, err) && wait_all(book, out, err);
    scan_end(&scan);
    id_map_clear(&known.round);
    id_map_clear(&known.bath);
    free(known.cut_up);
    return ok;
}

bool rack_of(struct book *book, struct rack *out, struct error *err)
{
    bool ok;

    *out = (struct rack){0};
    ok = book_look(book, err) && fill(book, out, err);
    book_look_end(book);
    if (!ok) {
        rack_clear(out);
        return false;
    }
    if (out->count)
        qsort(out->place, out->count, sizeof *out->place, in_order);
    for (size_t i = 0; i < out->count;
         i += rack_rod(out->place + i, out->count - i))
        out->baths += out->place[i].bath != 0;
    return true;
}

void rack_clear(struct rack *rack)
{
    free(rack->place);
    free(rack->unfinished);
    free(rack->bare);
    *rack = (struct rack){0};
}

bool rack_skeins(struct book *book, const struct rack_place *place, size_t n,
                 struct ask_skeins *out, struct error *err)
{
    const struct ask_filter any = ask_filter_any();
    struct lore lore = {0};
    bool ok;

    *out = (struct ask_skeins){.skein = mem_new(n, sizeof *out->skein),
                               .found = n};
    ok = book_look(book, err) && lore_load(book, &lore, err);
    for (; ok && out->count < n; out->count += ok)
        ok = shelf_skein(book, &lore, place[out->count].skein, &any,
                         &out->skein[out->count], err);
    lore_free(&lore);
    book_look_end(book);
    if (!ok)
        ask_skeins_free(out);
    return ok;
}

/* ---- hanks ----------------------------------------------------------------
 *
 * The shelf has a skein's colour, recipe and pot, so that little else is read
 * of each.
 */

/* *piece whether it was cut off another, or plied. */
static bool take_tag(struct book *book, int64_t skein, struct rack_hank *out,
                     bool *piece, struct error *err)
{
    struct stmt q;
    bool row;

    if (!stmt_begin(book, STMT_RACK_TAG, &q, err))
        return false;
    stmt_int(&q, ":skein", skein);
    if (!stmt_step(&q, &row, err))
        return false;
    if (row) {
        out->code = mem_text(stmt_get_text(&q, 0));
        out->unfinished = stmt_get_int(&q, 1) != 0;
        *piece = stmt_get_int(&q, 2) != 0;
    }
    stmt_done(&q);
    return true;
}

static bool take_words(struct book *book, struct lore *lore,
                       const struct scan_row *row, struct rack_hank *out,
                       struct error *err)
{
    const struct lore_recipe *r = lore_recipe_of(book, lore, row->recipe, err);
    const struct lore_pot *p =
        r ? lore_pot_of(book, lore, row->pot, err) : NULL;

    if (!p)
        return false;
    out->mordants = mem_text(r->mordants);
    out->dips = mem_text(r->dips);
    out->no_mordant = r->no_mordant;
    out->has_round = r->has_round;
    out->round = r->round;
    out->bath = mem_text(p->bath);
    out->on_words = mem_text(p->on_words);
    return true;
}

/* A piece that was not read may go by the colour of another. */
static bool take_other(struct book *book, struct lore *lore, int64_t skein,
                       struct rack_hank *out, struct error *err)
{
    const struct ask_filter any = ask_filter_any();
    struct ask_skein s;

    if (!shelf_skein(book, lore, skein, &any, &s, err))
        return false;
    out->as = mem_text(s.as);
    if (s.as) {
        out->lab = s.as_reading.colour.lab;
        out->name = colour_name_nearest(out->lab);
    }
    ask_skein_clear(&s);
    return true;
}

static bool take_hank(struct scan *scan, struct lore *lore,
                      const struct rack_place *place, struct rack_hank *out,
                      struct error *err)
{
    struct scan_row row;
    bool there, piece = false;

    if (!scan_one(scan, place->skein, &row, &there, err))
        return false;
    if (!there)
        return error_set(err, ERR_MISSING, "there is no skein #%lld",
                         (long long)place->skein);
    *out = (struct rack_hank){.label = scan_label(scan, &row),
                              .bath_id = place->bath,
                              .lack = row.lack,
                              .lab = row.lab,
                              .name = row.name};
    return take_tag(scan->book, place->skein, out, &piece, err) &&
           take_words(scan->book, lore, &row, out, err) &&
           (row.lack != ASK_NEVER || !piece ||
            take_other(scan->book, lore, place->skein, out, err));
}

bool rack_hanks(struct book *book, const struct rack_place *place, size_t n,
                struct rack_hank **out, struct error *err)
{
    const struct ask_filter any = ask_filter_any();
    struct scan scan = {0};
    struct lore lore = {0};
    bool ok;

    *out = mem_new(n, sizeof **out);
    ok = book_look(book, err) && lore_load(book, &lore, err) &&
         scan_begin(book, &any, SCAN_COLOUR | SCAN_WHO | SCAN_POT, &scan, err);
    for (size_t i = 0; ok && i < n; i++)
        ok = take_hank(&scan, &lore, &place[i], &(*out)[i], err);
    scan_end(&scan);
    lore_free(&lore);
    book_look_end(book);
    if (!ok) {
        rack_hanks_free(*out, n);
        *out = NULL;
    }
    return ok;
}

void rack_hanks_free(struct rack_hank *hank, size_t n)
{
    for (size_t i = 0; hank && i < n; i++) {
        free(hank[i].label);
        free(hank[i].code);
        free(hank[i].mordants);
        free(hank[i].dips);
        free(hank[i].bath);
        free(hank[i].on_words);
        free(hank[i].as);
    }
    free(hank);
}
