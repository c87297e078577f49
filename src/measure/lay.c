/* Where the patches of a chart lie in a picture. See the header. */
#include "measure/lay.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"

/* How much of a cell's side is read, from the middle: the rest may be the gap
 * between patches, a shadow, or corners put by eye. */
#define MIDDLE 0.56

/* A patch of fewer pixels a side cannot be read. */
#define LEAST_SIDE 8

/* From the unit square to the picture: x = (a u + b v + c)/(g u + h v + 1). */
struct view {
    double a, b, c, d, e, f, g, h;
};

static struct point seen(const struct view *view, double u, double v)
{
    const double w = view->g * u + view->h * v + 1;

    return (struct point){(view->a * u + view->b * v + view->c) / w,
                          (view->d * u + view->e * v + view->f) / w};
}

/* Which way the corner turns; the same for all four of a quadrangle without
 * a dent. */
static double turn(struct point a, struct point b, struct point c)
{
    return (b.x - a.x) * (c.y - b.y) - (b.y - a.y) * (c.x - b.x);
}

/* The projective map of the unit square onto a quadrangle: P. Heckbert,
 * Fundamentals of Texture Mapping, Berkeley 1989, section 2.2.3. */
static bool view_onto(const struct point p[4], struct view *out)
{
    const double dx1 = p[1].x - p[2].x, dx2 = p[3].x - p[2].x;
    const double dy1 = p[1].y - p[2].y, dy2 = p[3].y - p[2].y;
    const double sx = p[0].x - p[1].x + p[2].x - p[3].x;
    const double sy = p[0].y - p[1].y + p[2].y - p[3].y;
    const double det = dx1 * dy2 - dx2 * dy1;
    const double first = turn(p[3], p[0], p[1]);

    for (int i = 0; i < 3; i++)
        if (!(first * turn(p[i], p[i + 1], p[(i + 2) % 4]) > 0))
            return false;
    out->g = (sx * dy2 - dx2 * sy) / det;
    out->h = (dx1 * sy - sx * dy1) / det;
    out->a = p[1].x - p[0].x + out->g * p[1].x;
    out->b = p[3].x - p[0].x + out->h * p[3].x;
    out->c = p[0].x;
    out->d = p[1].y - p[0].y + out->g * p[1].y;
    out->e = p[3].y - p[0].y + out->h * p[3].y;
    out->f = p[0].y;
    return isfinite(out->g) && isfinite(out->h);
}

/* Length of the first row by that of the first column, in the picture. */
static double aspect_of(const struct point p[4])
{
    const double across = hypot(p[1].x - p[0].x, p[1].y - p[0].y) +
                          hypot(p[2].x - p[3].x, p[2].y - p[3].y);
    const double down = hypot(p[3].x - p[0].x, p[3].y - p[0].y) +
                        hypot(p[2].x - p[1].x, p[2].y - p[1].y);

    return across / down;
}

/* ---- the grid ----------------------------------------------------------- */

struct grid {
    int rows, columns;
    bool named;  /* rows and columns are the file's own */
    bool turned; /* its rows are columns */
};

/* How far a cell is from square, in ln. */
static double oblong(int rows, int columns, double aspect)
{
    return fabs(log(aspect * rows / columns));
}

static struct grid grid_of(const struct patches *p, double aspect)
{
    struct grid g = {.named = true};
    const int n = (int)p->count;

    for (size_t i = 0; i < p->count; i++) {
        g.named = g.named && p->patch[i].row > 0 && p->patch[i].column > 0;
        g.rows = p->patch[i].row > g.rows ? p->patch[i].row : g.rows;
        g.columns =
            p->patch[i].column > g.columns ? p->patch[i].column : g.columns;
    }
    if (g.named) {
        g.turned = oblong(g.columns, g.rows, aspect) <
                   oblong(g.rows, g.columns, aspect);
        return g;
    }
    g.rows = 1;
    for (int rows = 1; rows <= n; rows++)
        if (n % rows == 0 &&
            oblong(rows, n / rows, aspect) < oblong(g.rows, n / g.rows, aspect))
            g.rows = rows;
    g.columns = n / g.rows;
    return g;
}

/* Row and column of the nth patch, from 0, as they lie. */
static void cell_of(const struct patches *p, const struct grid *g, size_t n,
                    int *row, int *column)
{
    const struct patch *patch = &p->patch[n];

    *row = g->named ? patch->row - 1 : (int)n / g->columns;
    *column = g->named ? patch->column - 1 : (int)n % g->columns;
    if (g->turned) {
        const int swap = *row;

        *row = *column;
        *column = swap;
    }
}

/* Two patches of one place: the file means something else by its ids. */
static bool check_apart(const struct patches *p, struct error *err)
{
    for (size_t i = 0; i < p->count; i++)
        for (size_t j = i + 1; j < p->count; j++)
            if (p->patch[i].row > 0 && p->patch[i].column > 0 &&
                p->patch[i].row == p->patch[j].row &&
                p->patch[i].column == p->patch[j].column)
                return error_set(err, ERR_INPUT,
                                 "the chart's file has two patches in row %d, "
                                 "column %d: give each its own",
                                 p->patch[i].row, p->patch[i].column);
    return true;
}

/* ---- boxes -------------------------------------------------------------- */

/* Whether q lies within the quadrangle p, which has no dent. */
static bool within(const struct point p[4], struct point q)
{
    const double way = turn(p[0], p[1], p[2]);

    for (int i = 0; i < 4; i++)
        if (way * turn(p[i], p[(i + 1) % 4], q) < 0)
            return false;
    return true;
}

/* The largest upright rectangle about the middle of a cell that keeps to its
 * inner part. */
static bool box_in(const struct view *view, double u, double v, double du,
                   double dv, struct box *out)
{
    const struct point inner[4] = {
        seen(view, u - du, v - dv), seen(view, u + du, v - dv),
        seen(view, u + du, v + dv), seen(view, u - du, v + dv)};
    const struct point at = seen(view, u, v);
    double w = 0, h = 0;

    for (int i = 0; i < 4; i++) {
        w = fmax(w, fabs(inner[i].x - at.x));
        h = fmax(h, fabs(inner[i].y - at.y));
    }
    for (int left = 64; left > 0; left--) {
        const double less = (left - 1e-6) / 64; /* edges may coincide */
        const double x = w * less, y = h * less;

        if (within(inner, (struct point){at.x - x, at.y - y}) &&
            within(inner, (struct point){at.x + x, at.y - y}) &&
            within(inner, (struct point){at.x + x, at.y + y}) &&
            within(inner, (struct point){at.x - x, at.y + y})) {
            out->x = (int64_t)floor(at.x - x + 0.5);
            out->y = (int64_t)floor(at.y - y + 0.5);
            out->w = (int64_t)floor(at.x + x + 0.5) - out->x;
            out->h = (int64_t)floor(at.y + y + 0.5) - out->y;
            return out->w >= LEAST_SIDE && out->h >= LEAST_SIDE;
        }
    }
    return false;
}

bool lay_chart(const struct patches *patches, const struct point corner[4],
               struct box *box, struct error *err)
{
    struct grid grid;
    struct view view;

    if (!view_onto(corner, &view))
        return error_set(err, ERR_INPUT,
                         "the chart's corners are no quadrangle: give them in "
                         "order round the chart, from the first patch to the "
                         "end of its row");
    if (!check_apart(patches, err))
        return false;
    grid = grid_of(patches, aspect_of(corner));
    for (size_t i = 0; i < patches->count; i++) {
        const int rows = grid.turned ? grid.columns : grid.rows;
        const int columns = grid.turned ? grid.rows : grid.columns;
        int row, column;

        cell_of(patches, &grid, i, &row, &column);
        if (!box_in(&view, (column + 0.5) / columns, (row + 0.5) / rows,
                    MIDDLE / 2 / columns, MIDDLE / 2 / rows, &box[i]))
            return error_set(err, ERR_INPUT,
                             "patch %s of the chart would have fewer than %d "
                             "pixels a side: see that the corners are right, "
                             "or go nearer with the camera",
                             patches->patch[i].id, LEAST_SIDE);
    }
    return true;
}
