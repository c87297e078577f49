/* Where skeins belong on the axes of a grid. See axis.h. */
#include "book/axis.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/scan.h"
#include "book/shelf.h"

const char *const grid_axis_names[GRID_AXES] = {
    "dyestuff", "mordant", "dip", "round", "fibre",
    "bath",     "year",    "ph",  "supply"};

bool grid_axis_find(const char *name, enum grid_axis *out)
{
    for (int i = 0; i < GRID_AXES; i++)
        if (text_same(name, grid_axis_names[i])) {
            *out = (enum grid_axis)i;
            return true;
        }
    return false;
}

/* ---- what is asked of the shelf -------------------------------------------
 *
 * One column for each axis. What stands for "not recorded" and "not dyed" is
 * a set of nothing and none, 1 and 0, or below 0.
 */

#define SQL_PH_OF                                                              \
    "ph p WHERE p.withdrawn = 0 AND p.ph_low IS NOT NULL AND"                  \
    " (p.treatment_id = h.dye_treatment_id OR p.treatment_id IS NULL AND"      \
    " p.bath_id = h.bath_id AND coalesce(p.moment, '') <> 'stored' AND NOT"    \
    " EXISTS (SELECT 1 FROM ph own WHERE own.treatment_id ="                   \
    " h.dye_treatment_id AND own.withdrawn = 0 AND own.ph_low IS NOT NULL))"

static const char *const columns[GRID_AXES] = {
    [GRID_DYESTUFF] = "h.last_dyestuffs",
    [GRID_MORDANT] = "h.mordants",
    [GRID_DIP] = "h.dips",
    [GRID_ROUND] = "coalesce(h.round, -1 - (h.layers > 0))",
    [GRID_FIBRE] = "(SELECT f.name FROM skein s JOIN fibre f ON f.id ="
                   " s.fibre_id WHERE s.id = h.skein_id)",
    [GRID_BATH] = "CASE WHEN h.bath_id IS NULL THEN h.layers > 0 ELSE (SELECT"
                  " 'bath ' || CASE WHEN d.mine THEN '' ELSE d.name || '/' END"
                  " || b.number FROM bath b JOIN dyer d ON d.id = b.dyer_id"
                  " WHERE b.id = h.bath_id) END",
    [GRID_YEAR] = "(SELECT t.on_from || ' ' || t.on_to FROM treatment t WHERE"
                  " t.id = " SCAN_THEN ")",
    [GRID_PH] =
        "(SELECT min(p.ph_low) || ' ' || max(p.ph_high) FROM " SQL_PH_OF ")",
    [GRID_SUPPLY] = "h.dye_treatment_id",
};

const char *axis_column(enum grid_axis axis)
{
    return columns[axis];
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

uint32_t axis_add(struct axis *axis, const char *value)
{
    const char *s = value ? value : "";
    size_t at;

    if (axis->values && !strcmp(axis->value[axis->last], s))
        return axis->last; /* skeins of one pot follow each other */
    make_slots(axis);
    at = slot_of(axis, s);
    if (!axis->slot[at]) {
        axis->value = mem_room(axis->value, axis->values, sizeof *axis->value);
        axis->value[axis->values++] = mem_text(s);
        axis->slot[at] = axis->values;
    }
    axis->last = axis->slot[at] - 1;
    return axis->last;
}

void axis_clear(struct axis *axis)
{
    for (size_t i = 0; i < axis->values; i++)
        free(axis->value[i]);
    for (size_t i = 0; axis->name && i < axis->names; i++)
        free(axis->name[i]);
    free(axis->value);
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

    for (size_t i = 0; i < axis->values; i++)
        order[i] = &key[i];
    if (axis->values)
        qsort(order, axis->values, sizeof *order, by_key_of);
    axis->place = mem_new(axis->values, sizeof *axis->place);
    axis->name = mem_new(axis->values, sizeof *axis->name);
    for (size_t i = 0; i < axis->values; i++) {
        if (!i || by_key(order[i], order[i - 1])) {
            axis->name[axis->names++] = mem_text(order[i]->name);
            axis->known += isfinite(order[i]->order[0]) != 0;
        }
        axis->place[order[i] - key] = axis->names - 1;
    }
    free(order);
}

bool axis_order(struct book *book, enum grid_axis which, struct axis *axis,
                struct error *err)
{
    struct key *key = mem_new(axis->values, sizeof *key);
    struct names names;
    bool ok = names_load(book, &names, err);

    for (size_t i = 0; ok && i < axis->values; i++)
        ok = key_of(book, &names, which, axis->value[i], &key[i], err);
    if (ok)
        put_in_order(axis, key);
    for (size_t i = 0; i < axis->values; i++)
        free(key[i].name);
    free(key);
    names_free(&names);
    return ok;
}
