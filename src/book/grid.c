/* A table of mean colours by two things. See book/ask.h. */
#include "book/shelf.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/axis.h"
#include "book/grid_kept.h"
#include "book/scan.h"

/* A skein in the grid: its places on the axes before they are in order. */
struct point {
    struct lab lab; /* NaN: not measured */
    uint32_t row, column;
    enum ask_lack lack;
};

/* Which skein that is. */
struct who {
    struct scan_row row;
    char *label;
    size_t point;
};

/* What a pass over the shelf gathers. */
struct work {
    struct axis rows, columns;
    struct id_map unlike;
    struct point *point;
    struct who *who;               /* if labels are asked for */
    struct colour_reading *colour; /* if there is a pin */
    size_t count;
};

static void work_clear(struct work *w)
{
    axis_clear(&w->rows);
    axis_clear(&w->columns);
    id_map_clear(&w->unlike);
    for (size_t i = 0; w->who && i < w->count; i++)
        free(w->who[i].label);
    free(w->point);
    free(w->who);
    free(w->colour);
}

/* What is not of one fresh dye alone, by recipe. */
enum unlike { DIPPED = 1, OVER_DYED = 2, EXHAUST = 4 };
static const char unlike[] = "SELECT id, (dips <> '') + 2 * (layers > 1) + 4 *"
                             " (coalesce(round, 0) > 0) FROM recipe";

static bool load_unlike(struct book *book, struct id_map *out,
                        struct error *err)
{
    struct stmt q;
    bool row, ok = stmt_prepare(book, unlike, &q, err);

    while (ok && (ok = stmt_step(&q, &row, err)) && row)
        id_map_put(out, stmt_get_int(&q, 0), stmt_get_int(&q, 1));
    stmt_done(&q);
    return ok;
}

static void count_unlike(const struct work *w, const struct scan_row *row,
                         struct grid *out)
{
    const int64_t *is = id_map_at(&w->unlike, row->recipe);

    if (row->lack != ASK_HAS_COLOUR) {
        out->left_out[row->lack]++;
        return;
    }
    out->dipped += is && *is & DIPPED;
    out->over_dyed += is && *is & OVER_DYED;
    out->exhausts += is && *is & EXHAUST;
}

static bool add_colour(struct scan *scan, const struct scan_row *row,
                       struct work *w, struct error *err)
{
    struct ask_reading r;
    enum ask_lack lack;

    if (!shelf_reading_now(scan->book, row->id, scan->filter, &r, &lack, err))
        return false;
    w->colour = mem_room(w->colour, w->count - 1, sizeof *w->colour);
    w->colour[w->count - 1] = r.colour;
    return true;
}

static bool add_point(struct scan *scan, const struct grid_request *request,
                      const struct scan_row *row, struct work *w,
                      struct error *err)
{
    struct point *p;

    w->point = mem_room(w->point, w->count, sizeof *w->point);
    p = &w->point[w->count];
    p->lab = row->lab;
    p->lack = row->lack;
    if (!axis_value(scan->book, &w->rows, row, &p->row, err) ||
        !axis_value(scan->book, &w->columns, row, &p->column, err))
        return false;
    if (request->labels) {
        w->who = mem_room(w->who, w->count, sizeof *w->who);
        w->who[w->count] = (struct who){*row, scan_label(scan, row), w->count};
    }
    w->count++;
    return !request->pin || add_colour(scan, row, w, err);
}

static unsigned wants(const struct grid_request *request)
{
    return SCAN_COLOUR | (request->labels ? SCAN_WHO : 0) |
           axis_wants(request->rows) | axis_wants(request->columns);
}

static bool gather(struct scan *scan, const struct grid_request *request,
                   struct work *w, struct grid *out, struct error *err)
{
    struct book *book = scan->book;
    struct scan_row row;
    bool there, ok;

    ok = axis_begin(book, request->rows, &w->rows, err) &&
         axis_begin(book, request->columns, &w->columns, err) &&
         load_unlike(book, &w->unlike, err);
    while (ok && (ok = scan_next(scan, &row, &there, err)) && there) {
        count_unlike(w, &row, out);
        ok = add_point(scan, request, &row, w, err);
    }
    return ok && axis_order(book, &w->rows, err) &&
           axis_order(book, &w->columns, err);
}

/* ---- cells ----------------------------------------------------------------
 */

static size_t cell_of(const struct work *w, size_t i)
{
    return w->rows.place[w->point[i].row] * w->columns.names +
           w->columns.place[w->point[i].column];
}

/* The mean of each cell, and how far its skeins are from it. */
static void average(const struct work *w, struct grid *out)
{
    for (size_t i = 0; i < w->count; i++) {
        struct grid_place *p = &out->place[cell_of(w, i)];
        struct lab c = w->point[i].lab;
        if (!p->skeins++ || w->point[i].lack < p->lack)
            p->lack = w->point[i].lack;
        if (isnan(c.L))
            continue;
        p->measured++;
        p->mean.lab.L += c.L;
        p->mean.lab.a += c.a;
        p->mean.lab.b += c.b;
    }
    for (size_t i = 0; i < out->rows * out->columns; i++) {
        struct grid_place *p = &out->place[i];
        double n = p->measured ? (double)p->measured : (double)NAN;
        p->mean.lab.L /= n;
        p->mean.lab.a /= n;
        p->mean.lab.b /= n;
        p->spread = p->measured ? 0 : (double)NAN;
    }
    for (size_t i = 0; i < w->count; i++) {
        struct grid_place *p = &out->place[cell_of(w, i)];
        if (!isnan(w->point[i].lab.L))
            p->spread +=
                lab_de00(w->point[i].lab, p->mean.lab) / (double)p->measured;
    }
}

static void add_uncertainty(const struct work *w, struct grid *out)
{
    for (size_t i = 0; i < w->count; i++) {
        struct grid_place *p = &out->place[cell_of(w, i)];
        if (isnan(w->point[i].lab.L))
            continue;
        p->mean.set = cov3_add(p->mean.set, w->colour[i].set);
        p->mean.abs = cov3_add(p->mean.abs, w->colour[i].abs);
    }
    for (size_t i = 0; i < out->rows * out->columns; i++) {
        struct grid_place *p = &out->place[i];
        if (p->measured)
            shelf_mean_uncertainty(p->measured, &p->mean);
    }
}

/* "31, Aino/4", in the order of the numbers. */
static void add_labels(struct work *w, struct grid *out)
{
    size_t cells = out->rows * out->columns;
    struct text *labels = mem_new(cells, sizeof *labels);

    if (w->count)
        qsort(w->who, w->count, sizeof *w->who, scan_order);
    for (size_t i = 0; i < w->count; i++) {
        struct text *t = &labels[cell_of(w, w->who[i].point)];
        if (w->who[i].row.lack == ASK_HAS_COLOUR)
            text_addf(t, "%s%s", t->len ? ", " : "", w->who[i].label);
    }
    for (size_t i = 0; i < cells; i++)
        out->place[i].labels = text_take(&labels[i]);
    free(labels);
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

static void make_cells(const struct grid_request *request, struct work *w,
                       struct grid *out)
{
    out->rows = w->rows.names;
    out->columns = w->columns.names;
    out->known_rows = w->rows.known;
    out->known_columns = w->columns.known;
    out->row = axis_take(&w->rows);
    out->column = axis_take(&w->columns);
    out->place = mem_new(out->rows * out->columns, sizeof *out->place);
    average(w, out);
    if (request->labels)
        add_labels(w, out);
}

/* Within a look. One of the whole shelf without a pin is kept, but not in an
 * act, which may be taken back. */
static bool make(struct book *book, const struct grid_request *request,
                 struct work *w, struct grid *out, struct error *err)
{
    const struct grid_state state = grid_state_now(book);
    struct scan scan;
    bool keep, kept, ok;

    ok = scan_begin(book, &request->filter, wants(request), &scan, err);
    keep = ok && !request->pin && !book->in_act && scan_is_whole(&scan);
    kept = keep && grid_kept_take(book, request, state, out);
    ok = ok && (kept || gather(&scan, request, w, out, err));
    if (ok && !kept)
        make_cells(request, w, out);
    if (ok && keep && !kept)
        grid_kept_put(book, request, state, out);
    scan_end(&scan);
    return ok;
}

bool ask_grid(struct book *book, const struct grid_request *request,
              struct grid *out, struct error *err)
{
    struct work w = {0};
    bool ok;

    assert(request->tolerance > 0);
    *out = (struct grid){0};
    ok = book_look(book, err) && make(book, request, &w, out, err);
    book_look_end(book);
    if (ok && request->pin) {
        add_uncertainty(&w, out);
        ok = find_pin(request, out, err);
    }
    if (ok && out->has_pin)
        compare_all(request, out);
    work_clear(&w);
    if (!ok)
        grid_clear(out);
    return ok;
}

const char *grid_axis_words(enum grid_axis rows, enum grid_axis columns)
{
    return rows == GRID_PER_FIBRE || columns == GRID_PER_FIBRE
               ? "per-fibre: dyestuff in percent of the fibre, by bands; 35 to "
                 "70 % is 35 % and more, but less than 70 %"
               : "";
}

const char *grid_state(const struct grid *grid, size_t place)
{
    const struct grid_place *p = &grid->place[place];

    if (p->measured)
        return NULL;
    if (p->skeins)
        return p->lack == ASK_OTHER_LIGHT ? "read under another light"
                                          : "not measured";
    return place / grid->columns < grid->known_rows &&
                   place % grid->columns < grid->known_columns
               ? "never tried"
               : "";
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
