/* Recipes that come near a colour. See book/ask.h. */
#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/scan.h"
#include "book/shelf.h"
#include "book/undyed.h"
#include "book/weigh.h"

/* Skeins with a colour, by recipe, then by number. */
struct made {
    struct scan_row *row;
    size_t count;
};

static int by_recipe(const void *x, const void *y)
{
    const struct scan_row *a = x, *b = y;

    if (a->recipe != b->recipe)
        return a->recipe < b->recipe ? -1 : 1;
    return scan_order(a, b);
}

static bool gather(struct book *book, const struct match_request *request,
                   struct made *out, struct match_answer *answer,
                   struct error *err)
{
    struct scan scan;
    struct scan_row row;
    bool there, ok = scan_begin(book, &request->filter, SCAN_COLOUR | SCAN_WHO,
                                &scan, err);

    while (ok && (ok = scan_next(&scan, &row, &there, err)) && there) {
        if (row.lack != ASK_HAS_COLOUR) {
            answer->left_out[row.lack]++;
            continue;
        }
        out->row = mem_room(out->row, out->count, sizeof *out->row);
        out->row[out->count++] = row;
    }
    scan_end(&scan);
    if (out->count)
        qsort(out->row, out->count, sizeof *out->row, by_recipe);
    return ok;
}

/* ---- one recipe as it was dyed --------------------------------------------
 */

static size_t nearest_of(const struct scan_row *row, size_t n,
                         struct lab target)
{
    size_t best = 0;
    double least = (double)INFINITY;

    for (size_t i = 0; i < n; i++) {
        const double d = lab_de00(row[i].lab, target);
        if (d < least) {
            least = d;
            best = i;
        }
    }
    return best;
}

static struct match_row *add_row(struct match_answer *a)
{
    a->row = mem_room(a->row, a->count, sizeof *a->row);
    a->row[a->count] = (struct match_row){.skeins = 0};
    return &a->row[a->count++];
}

static void judge(const struct match_request *request, struct match_row *row,
                  struct colour_reading colour)
{
    const struct colour_reading aim = {.lab = request->target};

    row->compared = compare_readings(aim, colour, false, request->tolerance);
    row->de00 = row->compared.de00;
}

/* ---- what lies between weights --------------------------------------------
 */

/* One dyestuff, once, in a first bath and not dipped. */
static bool is_plain(const struct ask_skein *s)
{
    return s->last_dyestuffs && !strstr(s->last_dyestuffs, " + ") &&
           s->layers == 1 && !s->dips && (!s->has_round || s->round == 0) &&
           s->dye_id && s->fibre_id;
}

/* A skein of a recipe with what it was dyed with. */
struct dyed {
    struct ask_skein skein;
    double wof_pct; /* NaN: not known */
};

static bool read_dyed(struct book *book, struct lore *lore,
                      const struct match_request *request, int64_t id,
                      struct dyed *out, struct error *err)
{
    struct ask_range pct;

    if (!shelf_skein(book, lore, id, &request->filter, &out->skein, err))
        return false;
    out->wof_pct = (double)NAN;
    if (!is_plain(&out->skein))
        return true;
    if (!weigh_dyestuff(book, out->skein.dye_id, &pct, err))
        return false;
    out->wof_pct = (pct.low + pct.high) / 2;
    return true;
}

/* The points of one fibre; how many. */
static size_t points_of(const struct dyed *dyed, size_t n, int64_t fibre,
                        struct depth_point *out)
{
    size_t count = 0;

    for (size_t i = 0; i < n; i++)
        if (dyed[i].skein.fibre_id == fibre && dyed[i].wof_pct > 0)
            out[count++] = (struct depth_point){dyed[i].wof_pct,
                                                dyed[i].skein.reading.colour};
    return count;
}

static bool is_first_of_fibre(const struct dyed *dyed, size_t i)
{
    for (size_t k = 0; k < i; k++)
        if (dyed[k].skein.fibre_id == dyed[i].skein.fibre_id)
            return false;
    return dyed[i].wof_pct > 0;
}

/* The recipe's mordants as the book holds them; release with free(). */
static bool mordant_set(struct book *book, int64_t recipe, char **out,
                        struct error *err)
{
    struct stmt q;
    bool row;

    *out = NULL;
    if (!stmt_begin(book, STMT_ASK_RECIPE, &q, err))
        return false;
    stmt_int(&q, ":recipe", recipe);
    if (!stmt_step(&q, &row, err))
        return false;
    if (row)
        *out = mem_text(stmt_get_text(&q, 2));
    stmt_done(&q);
    return true;
}

/* Adds a row for what weights in between give, where it comes nearer than any
 * skein made so. */
static bool add_between(struct book *book, const struct match_request *request,
                        const struct undyed *undyed, const struct dyed *dyed,
                        size_t n, size_t first, int64_t recipe, double measured,
                        struct match_answer *out, struct error *err)
{
    const struct ask_skein *of = &dyed[first].skein;
    struct depth_point *point = mem_new(n, sizeof *point);
    struct depth *depth = mem_new(1, sizeof *depth);
    struct fade_lane lane = {.mordants = of->mordants,
                             .fibre_id = of->fibre_id};
    size_t points = points_of(dyed, n, of->fibre_id, point);
    bool ok = mordant_set(book, recipe, &lane.mordant_set, err);

    if (ok)
        undyed_of(undyed, &lane);
    if (ok && lane.undyed &&
        depth_fit(point, points, lane.undyed_colour, depth)) {
        const struct depth_aim aim = depth_nearest(depth, request->target);
        if (aim.de00 < measured) {
            struct match_row *row = add_row(out);
            row->reckoned = true;
            row->aim = aim;
            row->least_pct = depth->least_pct;
            row->most_pct = depth->most_pct;
            row->weights = depth->n;
            row->levelled = depth->levelled;
            row->skeins = points;
            judge(request, row, aim.colour);
            ok = ask_skein(book, of->id, &request->filter, &row->skein, err);
        }
    }
    free(lane.mordant_set);
    free(lane.undyed_label);
    free(depth);
    free(point);
    return ok;
}

/* Row after row of one recipe. */
static bool add_recipe(struct book *book, struct lore *lore,
                       const struct undyed *undyed,
                       const struct match_request *request,
                       const struct scan_row *row, size_t n,
                       struct match_answer *out, struct error *err)
{
    const size_t nearest = nearest_of(row, n, request->target);
    struct match_row *own = add_row(out);
    struct dyed *dyed;
    double measured;
    bool ok;

    own->skeins = n;
    if (!shelf_skein(book, lore, row[nearest].id, &request->filter, &own->skein,
                     err))
        return false;
    judge(request, own, own->skein.reading.colour);
    measured = own->de00;
    if (n < 2 || !is_plain(&own->skein) || !undyed->count)
        return true;
    dyed = mem_new(n, sizeof *dyed);
    ok = true;
    for (size_t i = 0; ok && i < n; i++)
        ok = read_dyed(book, lore, request, row[i].id, &dyed[i], err);
    for (size_t i = 0; ok && i < n; i++)
        if (is_first_of_fibre(dyed, i))
            ok = add_between(book, request, undyed, dyed, n, i, row->recipe,
                             measured, out, err);
    for (size_t i = 0; i < n; i++)
        ask_skein_clear(&dyed[i].skein);
    free(dyed);
    return ok;
}

/* ---- all of them ----------------------------------------------------------
 */

static int by_nearness(const void *x, const void *y)
{
    const struct match_row *a = x, *b = y;

    if (a->de00 != b->de00)
        return a->de00 < b->de00 ? -1 : 1;
    return (a->skein.number > b->skein.number) -
           (a->skein.number < b->skein.number);
}

static void cut(const struct match_request *request, struct match_answer *a)
{
    a->found = a->count;
    if (a->count)
        qsort(a->row, a->count, sizeof *a->row, by_nearness);
    while (request->limit && a->count > request->limit)
        ask_skein_clear(&a->row[--a->count].skein);
}

bool ask_match(struct book *book, const struct match_request *request,
               struct match_answer *out, struct error *err)
{
    struct made made = {0};
    struct lore lore = {.recipes = NULL};
    struct undyed undyed = {.one = NULL};
    bool ok;

    assert(request->tolerance > 0);
    *out = (struct match_answer){0};
    ok = book_look(book, err) && gather(book, request, &made, out, err) &&
         lore_load(book, &lore, err) &&
         undyed_load(book, &request->filter, &undyed, err);
    for (size_t from = 0, end; ok && from < made.count; from = end) {
        for (end = from + 1; end < made.count; end++)
            if (made.row[end].recipe != made.row[from].recipe)
                break;
        ok = add_recipe(book, &lore, &undyed, request, &made.row[from],
                        end - from, out, err);
    }
    book_look_end(book);
    undyed_free(&undyed);
    lore_free(&lore);
    free(made.row);
    if (ok)
        cut(request, out);
    else
        match_answer_clear(out);
    return ok;
}

void match_answer_clear(struct match_answer *a)
{
    for (size_t i = 0; i < a->count; i++)
        ask_skein_clear(&a->row[i].skein);
    free(a->row);
    *a = (struct match_answer){0};
}

struct lab match_row_lab(const struct match_row *row)
{
    return row->reckoned ? row->aim.colour.lab : row->skein.reading.colour.lab;
}

void match_row_words(const struct match_row *row, struct text *out)
{
    const struct ask_skein *s = &row->skein;

    if (!row->reckoned) {
        ask_recipe_words(s, out);
        text_addf(out, ": skein %s", s->label);
        return;
    }
    text_addf(out, "%s on %s, %.3g %% of the fibre", s->last_dyestuffs,
              s->mordants ? s->mordants : "an unknown mordant",
              row->aim.wof_pct);
}
