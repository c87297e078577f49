/* One pass over the shelf. See scan.h. */
#include "book/scan.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/shelf.h"
#include "book/weigh.h"

/* ---- the pass -------------------------------------------------------------
 */

/* Whether the dye of a pot was as strong as asked; skeins of one pot mostly
 * follow each other, so the last answer is kept. */
static bool is_weighed(struct scan *scan, int64_t pot, bool *fits,
                       struct error *err)
{
    struct ask_range asked = scan->filter->per_fibre_pct;

    *fits = isnan(asked.low);
    if (*fits || pot <= 0)
        return true;
    if (pot != scan->weighed &&
        !weigh_dyestuff(scan->book, pot, &scan->per_fibre, err))
        return false;
    scan->weighed = pot;
    *fits =
        scan->per_fibre.low <= asked.high && scan->per_fibre.high >= asked.low;
    return true;
}

static bool load_dyers(struct scan *scan, struct error *err)
{
    struct stmt q;
    bool row, ok;

    if (!stmt_begin(scan->book, STMT_ASK_DYERS, &q, err))
        return false;
    while ((ok = stmt_step(&q, &row, err)) && row) {
        scan->dyer = mem_room(scan->dyer, scan->dyers, sizeof *scan->dyer);
        id_map_put(&scan->dyer_at, stmt_get_int(&q, 0), (int64_t)scan->dyers);
        scan->dyer[scan->dyers++] = (struct scan_dyer){
            stmt_get_int(&q, 0), mem_text(stmt_get_text(&q, 1))};
    }
    stmt_done(&q);
    return ok;
}

/* The colour the shelf keeps is that of a filter that says nothing of it. */
static bool is_usual(const struct ask_filter *f)
{
    return !f->wet && !strcmp(f->part, "whole") && ask_filter_is_usual_light(f);
}

/* Pages from one to another in the order of the ids, with the parts that are
 * needed. */
static bool begin_pages(struct scan *scan, int64_t from, int64_t to,
                        struct error *err)
{
    stmt_done(&scan->q);
    scan->cells[PACK_WHAT] = NULL;
    if (!stmt_begin(scan->book, STMT_SHELF_PAGES, &scan->q, err))
        return false;
    stmt_int(&scan->q, ":from", from);
    stmt_int(&scan->q, ":to", to);
    stmt_int(&scan->q, ":pot", scan->needs[PACK_POT]);
    stmt_int(&scan->q, ":colour", scan->needs[PACK_COLOUR]);
    stmt_int(&scan->q, ":who", scan->needs[PACK_WHO]);
    return true;
}

/* Leaves those that are among others, too. */
static void keep_common(struct scan_only *only, const int64_t *id, size_t count)
{
    size_t n = 0, at = 0;

    for (size_t i = 0; i < only->count; i++) {
        while (at < count && id[at] < only->id[i])
            at++;
        if (at < count && id[at] == only->id[i])
            only->id[n++] = id[at];
    }
    only->count = n;
}

void scan_only(struct scan *scan, int64_t *id, size_t count)
{
    struct scan_only *only = &scan->only;

    if (!only->is) {
        *only = (struct scan_only){.is = true, .id = id, .count = count};
        return;
    }
    keep_common(only, id, count);
    free(id);
}

/* Of all that pass, each is in every set that lets no others through. */
static void narrow(struct scan *scan)
{
    static const struct id_map none = {0};

    for (size_t i = 0; i < scan->sieve.sets; i++)
        if (!scan->sieve.set[i].without) {
            size_t count;
            int64_t *id = id_map_ids(&scan->sieve.set[i].skein, &none, &count);
            scan_only(scan, id, count);
        }
}

/* So many skeins of a pass take as long as one that is looked up by itself, and
 * as long as one that is passed by on a walk; measured. */
enum { PASS_LOOK = 120, PASS_STEP = 6 };

/* How many skeins are on the shelf. */
static bool count_shelf(struct book *book, size_t *out, struct error *err)
{
    struct stmt q;
    bool row, ok = stmt_begin(book, STMT_TALLY, &q, err);

    *out = 0;
    while (ok && (ok = stmt_step(&q, &row, err)) && row)
        *out += (size_t)stmt_get_int(&q, 2);
    stmt_done(&q);
    return ok;
}

static size_t sum(const size_t by_lack[ASK_LACKS])
{
    size_t n = 0;

    for (size_t i = 0; i < ASK_LACKS; i++)
        n += by_lack[i];
    return n;
}

/* Skeins that have come to a recipe, unless by a pot that does not pass. */
static bool add_come(const struct scan *scan, int64_t recipe,
                     struct id_set *out, struct error *err)
{
    const struct sieve *s = &scan->sieve;
    struct stmt q;
    bool row, ok = stmt_begin(scan->book, STMT_RECIPE_SKEINS, &q, err);

    if (ok)
        stmt_int(&q, ":recipe", recipe);
    while (ok && (ok = stmt_step(&q, &row, err)) && row) {
        const int64_t pot = stmt_get_int(&q, 1); /* 0: not dyed */

        if (!s->by_pot || (pot ? sieve_pot(s, pot) : !s->dyed))
            id_set_put(out, stmt_get_int(&q, 0));
    }
    stmt_done(&q);
    return ok;
}

/* Where few skeins have come to the recipes that pass, it is one of these. */
static bool narrow_by_recipe(struct scan *scan, struct error *err)
{
    static const struct id_set none = {0};
    const struct sieve *s = &scan->sieve;
    struct id_set come = {0};
    size_t all, count;
    int64_t *id;
    bool ok = count_shelf(scan->book, &all, err);

    if (!ok || sum(s->by_lack) * PASS_LOOK > all)
        return ok;
    id = id_set_ids(&s->recipe, &none, &count);
    for (size_t i = 0; ok && i < count; i++)
        ok = add_come(scan, id[i], &come, err);
    free(id);
    if (ok) {
        id = id_set_ids(&come, &none, &count);
        scan_only(scan, id, count);
    }
    id_set_clear(&come);
    return ok;
}

bool scan_begin(struct book *book, const struct ask_filter *filter,
                unsigned wants, struct scan *out, struct error *err)
{
    *out = (struct scan){.book = book,
                         .filter = filter,
                         .wants = wants,
                         .usual = is_usual(filter),
                         .at = PACK_SKEINS};
    if (!sieve_make(book, filter, &out->sieve, err))
        return false;
    out->needs[PACK_WHAT] = true;
    out->needs[PACK_POT] = wants & SCAN_POT || out->sieve.by_pot ||
                           !isnan(filter->per_fibre_pct.low);
    out->needs[PACK_COLOUR] = wants & SCAN_COLOUR && out->usual;
    out->needs[PACK_WHO] = wants & SCAN_WHO || out->sieve.owner;
    narrow(out);
    return !out->sieve.by_recipe || narrow_by_recipe(out, err);
}

void scan_end(struct scan *scan)
{
    stmt_done(&scan->q);
    sieve_clear(&scan->sieve);
    for (size_t i = 0; i < scan->dyers; i++)
        free(scan->dyer[i].prefix);
    free(scan->dyer);
    id_map_clear(&scan->dyer_at);
    free(scan->only.id);
    *scan = (struct scan){0};
}

/* Turns to the next page; *there false after the last. */
static bool turn(struct scan *scan, bool *there, struct error *err)
{
    if (!stmt_step(&scan->q, there, err))
        return false;
    if (!*there)
        return true;
    scan->at = 0;
    scan->first = stmt_get_int(&scan->q, 0) * PACK_SKEINS;
    for (int part = 0; part < PACK_PARTS; part++) {
        if (!scan->needs[part])
            continue;
        scan->cells[part] =
            pack_cells(&scan->q, 1 + part, (enum pack_part)part, err);
        if (!scan->cells[part])
            return false;
    }
    return true;
}

/* Whether the skein at hand passes all but the dyestuff per fibre. */
static bool passes(const struct scan *scan, const struct pack_skein *is,
                   int64_t id)
{
    const struct sieve *s = &scan->sieve;

    return is->recipe &&
           (!s->by_recipe || id_set_has(&s->recipe, is->recipe)) &&
           (!s->owner ||
            pack_dyer(scan->cells[PACK_WHO], scan->at) == s->owner) &&
           (!s->by_pot ||
            sieve_pot(s, pack_pot(scan->cells[PACK_POT], scan->at))) &&
           (!s->sets || sieve_skein(s, id));
}

/* The colour, as the filter wants it. */
static bool look(struct scan *scan, const struct pack_skein *is,
                 struct scan_row *row, struct error *err)
{
    struct ask_reading r;

    row->lack = is->lack;
    row->lab = (struct lab){(double)NAN, (double)NAN, (double)NAN};
    if (scan->usual && is->lack != ASK_HAS_COLOUR)
        return true;
    if (scan->usual) {
        if (scan->wants & SCAN_COLOUR)
            row->lab = pack_lab(scan->cells[PACK_COLOUR], scan->at);
        if (is->name >= 1 && is->name <= COLOUR_NAMES)
            row->name = &colour_names[is->name - 1];
        return true;
    }
    if (!shelf_reading_now(scan->book, row->id, scan->filter, &r, &row->lack,
                           err))
        return false;
    if (row->lack != ASK_HAS_COLOUR)
        return true;
    row->lab = r.colour.lab;
    row->name = colour_name_nearest(row->lab);
    return true;
}

static void take_who(const struct scan *scan, struct scan_row *row)
{
    const unsigned char *who = scan->cells[PACK_WHO];
    const int64_t *at = id_map_at(&scan->dyer_at, pack_dyer(who, scan->at));

    row->dyer = at ? (size_t)*at : scan->dyers;
    row->number = pack_number(who, scan->at);
}

/* Fills in the row if the skein at hand passes. */
static bool take(struct scan *scan, struct scan_row *row, bool *fits,
                 struct error *err)
{
    struct pack_skein is;
    const int64_t id = scan->first + (int64_t)scan->at;

    pack_what(scan->cells[PACK_WHAT], scan->at, &is);
    *fits = passes(scan, &is, id);
    if (!*fits)
        return true;
    *row = (struct scan_row){.id = id, .recipe = is.recipe};
    if (scan->needs[PACK_POT])
        row->pot = pack_pot(scan->cells[PACK_POT], scan->at);
    if (!is_weighed(scan, row->pot, fits, err))
        return false;
    if (*fits && scan->wants & SCAN_WHO)
        take_who(scan, row);
    return !*fits || look(scan, &is, row, err);
}

/* Whether its page is at hand. */
static bool is_at_hand(const struct scan *scan, int64_t id)
{
    return scan->cells[PACK_WHAT] &&
           id / PACK_SKEINS == scan->first / PACK_SKEINS;
}

/* Has a skein at hand; *there false when nothing of its page was ever on the
 * shelf. */
static bool turn_to(struct scan *scan, int64_t id, bool *there,
                    struct error *err)
{
    const int64_t page = id / PACK_SKEINS;

    *there = true;
    if (!is_at_hand(scan, id) &&
        (!begin_pages(scan, page, page, err) || !turn(scan, there, err)))
        return false;
    if (*there)
        scan->at = (size_t)(id - scan->first);
    return true;
}

/* What a question that only counts does without. */
static bool begin(struct scan *scan, struct error *err)
{
    scan->begun = true;
    return (!(scan->wants & SCAN_WHO) || scan->dyers ||
            load_dyers(scan, err)) &&
           (scan->only.is || begin_pages(scan, 0, PACK_FIRST(1) - 1, err));
}

bool scan_one(struct scan *scan, int64_t id, struct scan_row *row, bool *fits,
              struct error *err)
{
    return (scan->begun || begin(scan, err)) && turn_to(scan, id, fits, err) &&
           (!*fits || take(scan, row, fits, err));
}

/* Whether there is another skein, passing or not, which is then at hand. */
static bool go_on(struct scan *scan, bool *there, struct error *err)
{
    struct scan_only *only = &scan->only;

    *there = true;
    if (!scan->begun && !begin(scan, err))
        return false;
    if (!only->is)
        return scan->at < PACK_SKEINS || turn(scan, there, err);
    *there = false;
    while (!*there && only->next < only->count)
        if (!turn_to(scan, only->id[only->next++], there, err))
            return false;
    return true;
}

/* Whether recipes and sets alone tell what passes. */
static bool is_by_sets(const struct scan *scan)
{
    const struct sieve *s = &scan->sieve;

    return scan->usual && !s->by_pot && !s->owner &&
           isnan(scan->filter->per_fibre_pct.low);
}

bool scan_is_whole(const struct scan *scan)
{
    return is_by_sets(scan) && !scan->sieve.sets && !scan->sieve.by_recipe;
}

/* Of those that are looked at, by their faces. */
static bool tally_only(struct scan *scan, size_t by_lack[ASK_LACKS],
                       struct error *err)
{
    const struct scan_only *only = &scan->only;
    int64_t *id = mem_new(only->count, sizeof *id);
    size_t face[PACK_FACE_KINDS] = {0}, n = 0;
    bool ok;

    for (size_t i = 0; i < only->count; i++)
        if (sieve_skein(&scan->sieve, only->id[i]))
            id[n++] = only->id[i];
    ok = scan_faces(scan->book, id, n, face, NULL, err);
    for (size_t i = PACK_FACE_NAMES; i < PACK_FACE_KINDS; i++)
        by_lack[i / PACK_FACE_NAMES - 1] += face[i];
    free(id);
    return ok;
}

bool scan_tally(struct scan *scan, size_t by_lack[ASK_LACKS], bool *known,
                struct error *err)
{
    const struct sieve *s = &scan->sieve;

    memset(by_lack, 0, ASK_LACKS * sizeof *by_lack);
    *known = is_by_sets(scan) && !(s->by_recipe && scan->only.is) &&
             !(s->sets && !scan->only.is);
    if (*known && scan->only.is)
        return tally_only(scan, by_lack, err);
    if (*known)
        memcpy(by_lack, s->by_lack, sizeof s->by_lack);
    return true;
}

/* ---- faces ----------------------------------------------------------------
 */

static bool count_faces(struct stmt *q, const int64_t **id, const int64_t *end,
                        size_t of_id[PACK_FACE_KINDS],
                        size_t all[PACK_FACE_KINDS], struct error *err)
{
    const int64_t first =
        (stmt_get_int(q, 0) - PACK_FIRST(PACK_FACE)) * PACK_FACES;
    const unsigned char *cells = pack_cells(q, 1, PACK_FACE, err);

    for (size_t i = 0; cells && all && i < PACK_FACES; i++)
        all[pack_face(cells, i)]++;
    while (*id < end && **id < first) /* of a page that is not there */
        ++*id;
    for (; cells && *id < end && **id < first + PACK_FACES; ++*id)
        of_id[pack_face(cells, (size_t)(**id - first))]++;
    return cells != NULL;
}

bool scan_faces(struct book *book, const int64_t *id, size_t count,
                size_t of_id[PACK_FACE_KINDS], size_t all[PACK_FACE_KINDS],
                struct error *err)
{
    const int64_t *end = id + count;
    int64_t from = 0, to = PACK_FIRST(1) - 1;
    struct stmt q;
    bool row, ok;

    if (!all && !count)
        return true;
    if (!all) {
        from = id[0] / PACK_FACES;
        to = end[-1] / PACK_FACES;
    }
    ok = stmt_begin(book, STMT_SHELF_FACES, &q, err);
    if (ok) {
        stmt_int(&q, ":from", PACK_FIRST(PACK_FACE) + from);
        stmt_int(&q, ":to", PACK_FIRST(PACK_FACE) + to);
    }
    while (ok && (ok = stmt_step(&q, &row, err)) && row)
        ok = count_faces(&q, &id, end, of_id, all, err);
    stmt_done(&q);
    return ok;
}

/* ---- the first of them ----------------------------------------------------
 */

static int by_id(const void *x, const void *y)
{
    const int64_t *a = x, *b = y;

    return (*a > *b) - (*a < *b);
}

static bool is_looked_at(const struct scan_only *only, int64_t id)
{
    return !only->is || (only->count && bsearch(&id, only->id, only->count,
                                                sizeof *only->id, by_id));
}

/* Those of one dyer, until there are enough or the walk has been too long. */
static bool walk(struct scan *scan, int64_t dyer, size_t limit,
                 struct scan_row *out, size_t *count, double *effort,
                 struct error *err)
{
    struct stmt q;
    bool there, fits, ok = stmt_begin(scan->book, STMT_SKEIN_ORDER, &q, err);

    if (ok)
        stmt_int(&q, ":dyer", dyer);
    while (ok && limit > *count && *effort > 0 &&
           (ok = stmt_step(&q, &there, err)) && there) {
        const int64_t id = stmt_get_int(&q, 0);

        *effort -= PASS_STEP;
        if (!is_looked_at(&scan->only, id) || !sieve_skein(&scan->sieve, id))
            continue;
        if (!is_at_hand(scan, id))
            *effort -= PASS_LOOK;
        ok = scan_one(scan, id, &out[*count], &fits, err);
        *count += ok && fits;
    }
    stmt_done(&q);
    return ok;
}

/* Has the pass begin anew. */
static void go_back(struct scan *scan)
{
    stmt_done(&scan->q);
    scan->begun = false;
    scan->cells[PACK_WHAT] = NULL;
    scan->at = PACK_SKEINS;
}

/* Whether a walk is likely to be shorter than a pass. Where all pass those that
 * come one behind the other are of one page, as they were made. */
static bool is_worth(const struct scan *scan, double all, double found,
                     double limit, double *effort)
{
    const bool whole = scan_is_whole(scan);
    const double each = PASS_STEP + (scan->only.is || whole ? 0 : PASS_LOOK);

    *effort =
        scan->only.is ? fmin(all, (double)scan->only.count * PASS_LOOK) : all;
    return all * (found > limit ? limit / found : 1) * each +
               (whole ? 0 : limit * PASS_LOOK) <
           *effort;
}

bool scan_first(struct scan *scan, size_t limit, struct scan_row **row,
                size_t *count, size_t by_lack[ASK_LACKS], bool *done,
                struct error *err)
{
    const size_t most =
        scan->only.is ? scan->only.count : sum(scan->sieve.by_lack);
    double effort = 0;
    size_t all;
    bool ok = count_shelf(scan->book, &all, err);

    *row = NULL;
    *count = 0;
    *done = false;
    if (!ok ||
        !is_worth(scan, (double)all, (double)most, (double)limit, &effort))
        return ok;
    ok = scan_tally(scan, by_lack, done, err) && (!*done || begin(scan, err));
    if (!ok || !*done)
        return ok;
    *row = mem_new(limit, sizeof **row);
    for (size_t i = 0; ok && i < scan->dyers; i++)
        ok = walk(scan, scan->dyer[i].id, limit, *row, count, &effort, err);
    go_back(scan);
    *done = ok && effort > 0;
    if (!*done) {
        free(*row);
        *row = NULL;
        *count = 0;
    }
    return ok;
}

/* ---- all of them ----------------------------------------------------------
 */

bool scan_next(struct scan *scan, struct scan_row *row, bool *there,
               struct error *err)
{
    bool fits = false;

    do {
        if (!go_on(scan, there, err))
            return false;
        if (!*there)
            return true;
        if (!take(scan, row, &fits, err))
            return false;
        scan->at++;
    } while (!fits);
    return true;
}

char *scan_label(const struct scan *scan, const struct scan_row *row)
{
    struct text t = {0};

    text_addf(&t, "%s%lld", scan->dyer[row->dyer].prefix,
              (long long)row->number);
    return text_take(&t);
}

int scan_order(const void *x, const void *y)
{
    const struct scan_row *a = x, *b = y;

    if (a->dyer != b->dyer)
        return a->dyer < b->dyer ? -1 : 1;
    return (a->number > b->number) - (a->number < b->number);
}
