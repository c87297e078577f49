/* A table of mean colours by two things. See book/ask.h. */
#include "book/shelf.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"

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

/* Where a skein belongs on an axis: what it is called there, and numbers to
 * order by before the name. */
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

static struct key round_key(const struct ask_skein *s)
{
    struct text t = {0};

    if (!s->has_round)
        return named(NULL, s->layers ? "round not recorded" : "not dyed");
    ask_round_words(s->round, &t);
    return (struct key){text_take(&t), {(double)s->round, 0}};
}

static struct key bath_key(const struct ask_skein *s)
{
    struct text t = {0};
    const char *slash;

    if (!s->bath)
        return named(NULL, s->layers ? "bath not recorded" : "not dyed");
    slash = strrchr(s->bath, '/');
    text_addf(&t, "bath %s", s->bath);
    return (struct key){
        text_take(&t),
        {slash ? 1 : 0, strtod(slash ? slash + 1 : s->bath, NULL)}};
}

static struct key year_key(const struct ask_skein *s)
{
    double from = strtod(s->from, NULL), to = strtod(s->to, NULL);
    struct text t = {0};

    if (!*s->from)
        return named(NULL, "year not known");
    text_addf(&t, "%.0f", from); /* ISO days start with the year */
    if (to > from)
        text_addf(&t, " to %.0f", to);
    return (struct key){text_take(&t), {from, to}};
}

/* Whole steps of pH, each of them ten-fold. */
static struct key ph_key(const struct ask_skein *s)
{
    double low = text_round(s->ph_low, 0), high = text_round(s->ph_high, 0);
    struct text t = {0};

    if (isnan(low))
        return named(NULL, "pH not known");
    text_addf(&t, "pH %.0f", low);
    if (high > low)
        text_addf(&t, " to %.0f", high);
    return (struct key){text_take(&t), {low, high}};
}

static bool key_of(struct book *book, const struct ask_skein *s,
                   enum grid_axis axis, struct key *out, struct error *err)
{
    char *supplies = NULL;

    switch (axis) {
    case GRID_DYESTUFF:
        *out = named(s->last_dyestuffs,
                     s->layers ? "dyestuff not recorded" : "not dyed");
        return true;
    case GRID_MORDANT:
        *out = named(s->mordants, "mordant not recorded");
        return true;
    case GRID_DIP:
        *out = named(s->dips ? s->dips : "no dip", "");
        out->order[0] = s->dips ? 0 : -1;
        return true;
    case GRID_ROUND:
        *out = round_key(s);
        return true;
    case GRID_FIBRE:
        *out = named(s->fibre, "fibre not recorded");
        return true;
    case GRID_BATH:
        *out = bath_key(s);
        return true;
    case GRID_YEAR:
        *out = year_key(s);
        return true;
    case GRID_PH:
        *out = ph_key(s);
        return true;
    case GRID_SUPPLY:
        if (!supplies_of(book, s->dye_id, &supplies, err))
            return false;
        *out = named(supplies, "supply not recorded");
        free(supplies);
        return true;
    case GRID_AXES:
        break;
    }
    return error_set(err, ERR_BUG, "no such axis");
}

/* ---- axes -----------------------------------------------------------------
 */

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

/* The keys of all skeins along one axis, and each one once in order. */
struct axis {
    struct key *of, *each;
    size_t count, all;
};

static void axis_clear(struct axis *axis)
{
    for (size_t i = 0; axis->of && i < axis->all; i++)
        free(axis->of[i].name);
    free(axis->of);
    free(axis->each);
    *axis = (struct axis){0};
}

static bool axis_make(struct book *book, const struct ask_skeins *skeins,
                      enum grid_axis which, struct axis *out, struct error *err)
{
    bool ok = true;

    *out = (struct axis){.of = mem_new(skeins->count, sizeof *out->of),
                         .each = mem_new(skeins->count, sizeof *out->each),
                         .all = skeins->count};
    for (size_t i = 0; ok && i < skeins->count; i++)
        ok = key_of(book, &skeins->skein[i], which, &out->of[i], err);
    if (!ok)
        return false;
    if (out->all) {
        memcpy(out->each, out->of, out->all * sizeof *out->each);
        qsort(out->each, out->all, sizeof *out->each, by_key);
    }
    for (size_t i = 0; i < out->all; i++)
        if (!i || by_key(&out->each[i], &out->each[out->count - 1]))
            out->each[out->count++] = out->each[i];
    return true;
}

static size_t axis_place(const struct axis *axis, size_t skein)
{
    const struct key *hit = bsearch(&axis->of[skein], axis->each, axis->count,
                                    sizeof *axis->each, by_key);

    assert(hit);
    return (size_t)(hit - axis->each);
}

static char **axis_names(const struct axis *axis)
{
    char **names = mem_new(axis->count, sizeof *names);

    for (size_t i = 0; i < axis->count; i++)
        names[i] = mem_text(axis->each[i].name);
    return names;
}

/* ---- cells ----------------------------------------------------------------
 */

static void count(const struct ask_skein *s, struct grid *out)
{
    if (s->lack != ASK_HAS_COLOUR) {
        out->left_out[s->lack]++;
        return;
    }
    out->dipped += s->dips != NULL;
    out->over_dyed += s->layers > 1;
    out->exhausts += s->has_round && s->round > 0;
}

/* Adds a skein to its cell; the order is that of the numbers. */
static void add_to(const struct ask_skein *s, struct grid_place *place,
                   struct text *labels)
{
    place->skeins++;
    if (s->lack != ASK_HAS_COLOUR)
        return;
    place->measured++;
    text_addf(labels, "%s%s", labels->len ? ", " : "", s->label);
}

/* Puts the readings cell by cell, then takes each cell's mean. */
static void average(const struct ask_skeins *skeins, const size_t *at,
                    struct grid *out)
{
    size_t cells = out->rows * out->columns;
    size_t *next = mem_new(cells + 1, sizeof *next);
    const struct ask_reading **reading =
        mem_new(skeins->count, sizeof *reading);

    for (size_t i = 0; i < cells; i++)
        next[i + 1] = next[i] + out->place[i].measured;
    for (size_t i = 0; i < skeins->count; i++)
        if (skeins->skein[i].lack == ASK_HAS_COLOUR)
            reading[next[at[i]]++] = &skeins->skein[i].reading;
    for (size_t i = 0; i < cells; i++) {
        struct grid_place *p = &out->place[i];
        p->mean = shelf_mean(reading + next[i] - p->measured, p->measured,
                             &p->spread);
    }
    free(next);
    free(reading);
}

static void fill(const struct ask_skeins *skeins, const struct axis *rows,
                 const struct axis *columns, struct grid *out)
{
    size_t cells = rows->count * columns->count;
    size_t *at = mem_new(skeins->count, sizeof *at);
    struct text *labels = mem_new(cells, sizeof *labels);

    out->row = axis_names(rows);
    out->column = axis_names(columns);
    out->rows = rows->count;
    out->columns = columns->count;
    out->place = mem_new(cells, sizeof *out->place);
    for (size_t i = 0; i < skeins->count; i++) {
        const struct ask_skein *s = &skeins->skein[i];
        at[i] = axis_place(rows, i) * out->columns + axis_place(columns, i);
        count(s, out);
        add_to(s, &out->place[at[i]], &labels[at[i]]);
    }
    for (size_t i = 0; i < cells; i++)
        out->place[i].labels = text_take(&labels[i]);
    average(skeins, at, out);
    free(labels);
    free(at);
}

/* Names may have commas in them, so each comma is tried. */
static bool find_pin(const struct grid_request *request, struct grid *out,
                     struct error *err)
{
    for (const char *cut = strchr(request->pin, ','); cut;
         cut = strchr(cut + 1, ',')) {
        char *row = mem_text_n(request->pin, (size_t)(cut - request->pin));
        for (size_t i = 0; i < out->rows * out->columns; i++)
            if (text_same(row, out->row[i / out->columns]) &&
                text_same(cut + 1, out->column[i % out->columns])) {
                out->has_pin = true;
                out->pin = i;
            }
        free(row);
    }
    if (!out->has_pin)
        return error_set(err, ERR_INPUT,
                         "pin: there is no cell \"%s\"; write it as ROW,COLUMN "
                         "by the names in the table",
                         request->pin);
    return out->place[out->pin].measured ||
           error_set(err, ERR_INPUT, "pin: nothing is measured in \"%s\"",
                     request->pin);
}

/* Cells are means of different photos as a rule: no set-up is shared. */
static void compare_all(const struct grid_request *request, struct grid *out)
{
    for (size_t i = 0; i < out->rows * out->columns; i++)
        if (out->place[i].measured)
            out->place[i].pinned =
                compare_readings(out->place[out->pin].mean, out->place[i].mean,
                                 false, request->tolerance);
}

bool ask_grid(struct book *book, const struct grid_request *request,
              struct grid *out, struct error *err)
{
    struct ask_skeins skeins = {0};
    struct axis rows = {0}, columns = {0};
    bool ok;

    assert(request->tolerance > 0);
    *out = (struct grid){0};
    ok = ask_skeins(book, &request->filter, &skeins, err) &&
         axis_make(book, &skeins, request->rows, &rows, err) &&
         axis_make(book, &skeins, request->columns, &columns, err);
    if (ok)
        fill(&skeins, &rows, &columns, out);
    if (ok && request->pin)
        ok = find_pin(request, out, err);
    if (ok && out->has_pin)
        compare_all(request, out);
    axis_clear(&rows);
    axis_clear(&columns);
    ask_skeins_free(&skeins);
    if (!ok)
        grid_clear(out);
    return ok;
}

void grid_clear(struct grid *grid)
{
    for (size_t i = 0; i < grid->rows; i++)
        free(grid->row[i]);
    for (size_t i = 0; i < grid->columns; i++)
        free(grid->column[i]);
    for (size_t i = 0; i < grid->rows * grid->columns; i++)
        free(grid->place[i].labels);
    free(grid->row);
    free(grid->column);
    free(grid->place);
    *grid = (struct grid){0};
}
