/* Where skeins belong on the axes of a grid. See axis.h. */
#include "book/axis.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/shelf.h"
#include "book/weigh.h"

const char *const grid_axis_names[GRID_AXES] = {
    "dyestuff", "mordant", "dip", "round",  "fibre",
    "bath",     "year",    "ph",  "supply", "per-fibre"};

bool grid_axis_find(const char *name, enum grid_axis *out)
{
    for (int i = 0; i < GRID_AXES; i++)
        if (text_same(name, grid_axis_names[i])) {
            *out = (enum grid_axis)i;
            return true;
        }
    return false;
}

/* ---- where a value is from -------------------------------------------------
 *
 * What stands for "not recorded" and "not dyed" is a set of nothing and none, 1
 * and 0, or below 0.
 */

#define SQL_PH_OF                                                              \
    "ph p WHERE p.withdrawn = 0 AND p.ph_low IS NOT NULL AND"                  \
    " (p.treatment_id = t.id OR p.treatment_id IS NULL AND p.bath_id ="        \
    " t.bath_id AND coalesce(p.moment, '') <> 'stored' AND NOT EXISTS (SELECT" \
    " 1 FROM ph own WHERE own.treatment_id = t.id AND own.withdrawn = 0 AND"   \
    " own.ph_low IS NOT NULL))"

static const char *const sql[GRID_AXES] = {
    /* Few: all values at once, with their keys. */
    [GRID_DYESTUFF] = "SELECT id, iif(last_dyestuffs = '' AND layers > 0, ',',"
                      " last_dyestuffs) FROM recipe",
    [GRID_MORDANT] = "SELECT id, mordants FROM recipe",
    [GRID_DIP] = "SELECT id, dips FROM recipe",
    [GRID_ROUND] = "SELECT id, coalesce(round, -1 - (layers > 0)) FROM recipe",
    [GRID_FIBRE] = "SELECT s.id, f.name FROM fibre f CROSS JOIN skein s ON"
                   " s.fibre_id = f.id",
    /* Many: that of a key when it is met. */
    [GRID_BATH] = "SELECT iif(:key < 0, (SELECT layers > 0 FROM recipe WHERE id"
                  " = -:key), coalesce((SELECT 'bath ' || CASE WHEN d.mine THEN"
                  " '' ELSE d.name || '/' END || b.number FROM treatment t JOIN"
                  " bath b ON b.id = t.bath_id JOIN dyer d ON d.id = b.dyer_id"
                  " WHERE t.id = :key), 1))",
    [GRID_YEAR] =
        "SELECT on_from || ' ' || on_to FROM treatment WHERE id = :key",
    [GRID_PH] = "SELECT (SELECT min(p.ph_low) || ' ' || max(p.ph_high) FROM"
                " " SQL_PH_OF ") FROM treatment t WHERE t.id = :key",
    [GRID_SUPPLY] = "SELECT :key",
    [GRID_PER_FIBRE] = NULL, /* weighed */
};
static const bool many[GRID_AXES] = {[GRID_BATH] = true,
                                     [GRID_YEAR] = true,
                                     [GRID_PH] = true,
                                     [GRID_SUPPLY] = true,
                                     [GRID_PER_FIBRE] = true};

/* Of what a skein has its value: its recipe, its pot or itself. */
static int64_t key_in(enum grid_axis which, const struct scan_row *row)
{
    switch (which) {
    case GRID_DYESTUFF:
    case GRID_MORDANT:
    case GRID_DIP:
    case GRID_ROUND:
        return row->recipe;
    case GRID_FIBRE:
        return row->id;
    case GRID_BATH:
        return row->pot > 0 ? row->pot : -row->recipe;
    case GRID_YEAR:
        return row->pot > 0 ? row->pot : -row->pot;
    case GRID_PH:
    case GRID_SUPPLY:
    case GRID_PER_FIBRE:
        return row->pot > 0 ? row->pot : 0;
    case GRID_AXES:
        break;
    }
    return 0;
}

unsigned axis_wants(enum grid_axis which)
{
    return many[which] ? SCAN_POT : 0;
}

/* ---- each value once ------------------------------------------------------
 */

static uint32_t hash(const char *s)
{
    uint32_t h = 2166136261u; /* FNV-1a */

    for (; *s; s++)
        h = (h ^ (unsigned char)*s) * 16777619u;
    return h;
}

/* The slot a value is in, or belongs into. */
static size_t slot_of(const struct axis *axis, const char *s)
{
    size_t at = hash(s) & (axis->slots - 1);

    while (axis->slot[at] && strcmp(axis->value[axis->slot[at] - 1], s) != 0)
        at = (at + 1) & (axis->slots - 1);
    return at;
}

/* Twice as many slots as values, at least, a power of two. */
static void make_slots(struct axis *axis)
{
    if (axis->slots > 2 * (size_t)axis->values)
        return;
    free(axis->slot);
    axis->slots = axis->slots ? axis->slots * 4 : 64;
    axis->slot = mem_new(axis->slots, sizeof *axis->slot);
    for (uint32_t i = 0; i < axis->values; i++)
        axis->slot[slot_of(axis, axis->value[i])] = i + 1;
}

/* The index of a value, which is added when it is new; NULL is "". */
static uint32_t index_of(struct axis *axis, const char *value)
{
    const char *s = value ? value : "";
    size_t at;

    make_slots(axis);
    at = slot_of(axis, s);
    if (!axis->slot[at]) {
        axis->value = mem_room(axis->value, axis->values, sizeof *axis->value);
        axis->used = mem_room(axis->used, axis->values, sizeof *axis->used);
        axis->used[axis->values] = false;
        axis->value[axis->values++] = mem_text(s);
        axis->slot[at] = axis->values;
    }
    return axis->slot[at] - 1;
}

bool axis_begin(struct book *book, enum grid_axis which, struct axis *out,
                struct error *err)
{
    struct stmt q;
    bool row, ok;

    *out = (struct axis){.which = which};
    if (many[which])
        return true;
    ok = stmt_prepare(book, sql[which], &q, err);
    while (ok && (ok = stmt_step(&q, &row, err)) && row)
        id_map_put(&out->at, stmt_get_int(&q, 0),
                   index_of(out, stmt_get_text(&q, 1)));
    stmt_done(&q);
    return ok;
}

/* ---- dyestuff per fibre in bands
 *
 * Each band is twice the one before, since a colour deepens by doublings, and
 * the weights that are usual, 50 and 100 %, lie in the middle of theirs. */

#define BAND_PCT 35.0 /* the lower end of band 0, which belongs to it */

static double band_from(int band)
{
    return ldexp(BAND_PCT, band);
}

static int band_of(double pct)
{
    int band = (int)floor(log2(pct / BAND_PCT));

    /* A logarithm may be off by its last bit. */
    if (pct < band_from(band))
        band--;
    return pct >= band_from(band + 1) ? band + 1 : band;
}

/* "0 1": the bands it may be in; "none" without any dyestuff. */
static bool meet_bands(struct book *book, struct axis *axis, int64_t key,
                       uint32_t *out, struct error *err)
{
    struct ask_range pct;
    struct text t = {0};

    if (!weigh_dyestuff(book, key, &pct, err))
        return false;
    if (pct.low > 0)
        text_addf(&t, "%d %d", band_of(pct.low), band_of(pct.high));
    else if (pct.high <= 0)
        text_add(&t, "none");
    else if (pct.high > 0)
        text_addf(&t, "below %d", band_of(pct.high));
    *out = index_of(axis, text_str(&t));
    id_map_put(&axis->at, key, *out);
    text_clear(&t);
    return true;
}

static bool meet(struct book *book, struct axis *axis, int64_t key,
                 uint32_t *out, struct error *err)
{
    struct stmt q;
    bool row, ok = stmt_prepare(book, sql[axis->which], &q, err);

    if (ok) {
        stmt_int(&q, ":key", key);
        ok = stmt_step(&q, &row, err);
    }
    if (ok) {
        *out = index_of(axis, row ? stmt_get_text(&q, 0) : NULL);
        id_map_put(&axis->at, key, *out);
    }
    stmt_done(&q);
    return ok;
}

bool axis_value(struct book *book, struct axis *axis,
                const struct scan_row *row, uint32_t *out, struct error *err)
{
    const int64_t key = key_in(axis->which, row);
    const int64_t *known = id_map_at(&axis->at, key);

    if (known)
        *out = (uint32_t)*known;
    else if (!key || !many[axis->which])
        *out = index_of(axis, NULL);
    else if (!(axis->which == GRID_PER_FIBRE ? meet_bands
                                             : meet)(book, axis, key, out, err))
        return false;
    axis->used[*out] = true;
    return true;
}

void axis_clear(struct axis *axis)
{
    for (size_t i = 0; i < axis->values; i++)
        free(axis->value[i]);
    for (size_t i = 0; axis->name && i < axis->names; i++)
        free(axis->name[i]);
    id_map_clear(&axis->at);
    free(axis->value);
    free(axis->used);
    free(axis->slot);
    free(axis->place);
    free(axis->name);
    *axis = (struct axis){0};
}

char **axis_take(struct axis *axis)
{
    char **name = axis->name;

    axis->name = NULL;
    return name;
}

/* ---- names and order ------------------------------------------------------
 */

/* What a value is called, and numbers to order by before the name. */
struct key {
    char *name;
    double order[2]; /* infinite: not known, at the end */
};

static struct key named(const char *name, const char *unknown)
{
    return (struct key){mem_text(name ? name : unknown),
                        {name ? 0 : (double)INFINITY, 0}};
}

static bool supplies_of(struct book *book, int64_t dye, char **out,
                        struct error *err)
{
    struct stmt q;
    char **text = NULL;
    size_t n = 0;
    bool row, ok;

    if (!stmt_begin(book, STMT_GRID_SUPPLIES, &q, err))
        return false;
    stmt_id(&q, ":treatment", dye);
    while ((ok = stmt_step(&q, &row, err)) && row) {
        text = mem_resize(text, n + 1, sizeof *text);
        text[n++] = mem_text(stmt_get_text(&q, 0));
    }
    stmt_done(&q);
    *out = texts_join(text, n, " + ");
    for (size_t i = 0; i < n; i++)
        free(text[i]);
    free(text);
    return ok;
}

static struct key undyed(bool dyed, const char *unknown)
{
    return named(NULL, dyed ? unknown : "not dyed");
}

static struct key dyestuff_key(const struct names *names, const char *value)
{
    char *set = names_of_set(names, value);
    struct key key =
        set ? named(set, NULL) : undyed(*value, "dyestuff not recorded");

    free(set);
    return key;
}

static struct key mordant_key(const struct names *names, const char *value)
{
    char *set = names_of_set(names, value);
    struct key key = named(set, "mordant not recorded");

    free(set);
    return key;
}

static struct key dip_key(const struct names *names, const char *value)
{
    char *set = names_of_set(names, value);
    struct key key = named(set ? set : "no dip", NULL);

    key.order[0] = set ? 0 : -1;
    free(set);
    return key;
}

static struct key round_key(const char *value)
{
    long long round = strtoll(value, NULL, 10);
    struct text t = {0};

    if (round < 0)
        return undyed(round != -1, "round not recorded");
    ask_round_words(round, &t);
    return (struct key){text_take(&t), {(double)round, 0}};
}

/* "bath 3", "bath Aino/3" */
static struct key bath_key(const char *value)
{
    const char *slash = strrchr(value, '/');

    if (strchr("01", *value))
        return undyed(*value == '1', "bath not recorded");
    return (struct key){
        mem_text(value),
        {slash ? 1 : 0, strtod(slash ? slash + 1 : value + 5, NULL)}};
}

/* Two days. */
static struct key year_key(const char *value)
{
    const char *blank = strchr(value, ' ');
    double from = strtod(value, NULL), to;
    struct text t = {0};

    if (!blank)
        return named(NULL, "year not known");
    to = strtod(blank, NULL); /* ISO days start with the year */
    text_addf(&t, "%.0f", from);
    if (to > from)
        text_addf(&t, " to %.0f", to);
    return (struct key){text_take(&t), {from, to}};
}

/* Whole steps of pH, each of them ten-fold. */
static struct key ph_key(const char *value)
{
    const char *blank = strchr(value, ' ');
    double low = text_round(strtod(value, NULL), 0), high;
    struct text t = {0};

    if (!blank)
        return named(NULL, "pH not known");
    high = text_round(strtod(blank, NULL), 0);
    text_addf(&t, "pH %.0f", low);
    if (high > low)
        text_addf(&t, " to %.0f", high);
    return (struct key){text_take(&t), {low, high}};
}

/* "35 to 70 %" */
static struct key bands_key(const char *value)
{
    const char *last = strrchr(value, ' ');
    double from = 0, to;
    struct text t = {0};

    if (!strcmp(value, "none"))
        return (struct key){mem_text("0 %"), {0, 0}};
    if (!last)
        return named(NULL, "dyestuff per fibre not known");
    to = band_from((int)strtol(last, NULL, 10) + 1);
    if (*value == 'b') {
        text_addf(&t, "below %.3g %%", to);
    } else {
        from = band_from((int)strtol(value, NULL, 10));
        text_addf(&t, "%.3g to %.3g %%", from, to);
    }
    return (struct key){text_take(&t), {from, to}};
}

static bool supply_key(struct book *book, const char *value, struct key *out,
                       struct error *err)
{
    char *supplies = NULL;

    if (!supplies_of(book, strtoll(value, NULL, 10), &supplies, err))
        return false;
    *out = named(supplies, "supply not recorded");
    free(supplies);
    return true;
}

static bool key_of(struct book *book, const struct names *names,
                   enum grid_axis axis, const char *value, struct key *out,
                   struct error *err)
{
    switch (axis) {
    case GRID_DYESTUFF:
        *out = dyestuff_key(names, value);
        return true;
    case GRID_MORDANT:
        *out = mordant_key(names, value);
        return true;
    case GRID_DIP:
        *out = dip_key(names, value);
        return true;
    case GRID_ROUND:
        *out = round_key(value);
        return true;
    case GRID_FIBRE:
        *out = named(*value ? value : NULL, "fibre not recorded");
        return true;
    case GRID_BATH:
        *out = bath_key(value);
        return true;
    case GRID_YEAR:
        *out = year_key(value);
        return true;
    case GRID_PH:
        *out = ph_key(value);
        return true;
    case GRID_SUPPLY:
        return supply_key(book, value, out, err);
    case GRID_PER_FIBRE:
        *out = bands_key(value);
        return true;
    case GRID_AXES:
        break;
    }
    return error_set(err, ERR_BUG, "no such axis");
}

static int by_key(const void *x, const void *y)
{
    const struct key *a = x, *b = y;

    for (int i = 0; i < 2; i++) {
        if (a->order[i] < b->order[i])
            return -1;
        if (a->order[i] > b->order[i])
            return 1;
    }
    return text_order(a->name, b->name);
}

static int by_key_of(const void *x, const void *y)
{
    return by_key(*(const struct key *const *)x, *(const struct key *const *)y);
}

/* Different values may be called the same: two pots of one supply. */
static void put_in_order(struct axis *axis, const struct key *key)
{
    const struct key **order = mem_new(axis->values, sizeof *order);
    size_t used = 0;

    for (size_t i = 0; i < axis->values; i++)
        if (axis->used[i])
            order[used++] = &key[i];
    if (used)
        qsort(order, used, sizeof *order, by_key_of);
    axis->place = mem_new(axis->values, sizeof *axis->place);
    axis->name = mem_new(used, sizeof *axis->name);
    for (size_t i = 0; i < used; i++) {
        if (!i || by_key(order[i], order[i - 1])) {
            axis->name[axis->names++] = mem_text(order[i]->name);
            axis->known += isfinite(order[i]->order[0]) != 0;
        }
        axis->place[order[i] - key] = axis->names - 1;
    }
    free(order);
}

bool axis_order(struct book *book, struct axis *axis, struct error *err)
{
    struct key *key = mem_new(axis->values, sizeof *key);
    struct names names;
    bool ok = names_load(book, &names, err);

    for (size_t i = 0; ok && i < axis->values; i++)
        if (axis->used[i])
            ok =
                key_of(book, &names, axis->which, axis->value[i], &key[i], err);
    if (ok)
        put_in_order(axis, key);
    for (size_t i = 0; i < axis->values; i++)
        free(key[i].name);
    free(key);
    names_free(&names);
    return ok;
}
