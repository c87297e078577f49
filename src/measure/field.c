/* Uneven light. See the header. */
#include "measure/field.h"

#include <math.h>
#include <string.h>

#include "measure/correct.h"

enum { UNKNOWNS = FIELD_TERMS + FIELD_GROUPS };

/* Places spread less than this across, as a share of along, are one line. */
#define LINE_ACROSS 0.1

/* So many places before a quadratic is tried: two more than it has unknowns. */
enum { QUADRATIC_PLACES = 8 };

/* A residual that nothing shows, as a share of the range (choice). */
#define UNSEEN 0.25

/* A direction in which the places hold nothing, as a share of the diagonal. */
#define SINGULAR 1e-9

const char *field_name(enum field_kind kind)
{
    switch (kind) {
    case FIELD_NONE:
        break;
    case FIELD_LINE:
        return "a line";
    case FIELD_PLANE:
        return "a plane";
    case FIELD_QUADRATIC:
        return "a quadratic";
    }
    return "";
}

/* ---- coordinates -------------------------------------------------------- */

static size_t terms_of(enum field_kind kind)
{
    return kind == FIELD_LINE ? 1 : kind == FIELD_PLANE ? 2 : FIELD_TERMS;
}

/* Own coordinates of a place: along the line, or right and down. */
static void own(const struct field *f, double x, double y, double out[2])
{
    const double u = (x - f->x) / f->scale, v = (y - f->y) / f->scale;

    out[0] = f->kind == FIELD_LINE ? u * f->along_x + v * f->along_y : u;
    out[1] = f->kind == FIELD_LINE ? 0 : v;
}

static void terms(const struct field *f, const double at[2],
                  double out[FIELD_TERMS])
{
    const double all[FIELD_TERMS] = {at[0], at[1], at[0] * at[0], at[0] * at[1],
                                     at[1] * at[1]};

    memcpy(out, all, terms_of(f->kind) * sizeof *out);
}

/* Middle, unit and direction of the places; returns how thin they lie. */
static double survey(const struct field_place *p, size_t n, struct field *f)
{
    double xx = 0, xy = 0, yy = 0, angle, along, across;

    f->x = f->y = 0;
    for (size_t i = 0; i < n; i++) {
        f->x += p[i].x / (double)n;
        f->y += p[i].y / (double)n;
    }
    for (size_t i = 0; i < n; i++) {
        xx += (p[i].x - f->x) * (p[i].x - f->x);
        xy += (p[i].x - f->x) * (p[i].y - f->y);
        yy += (p[i].y - f->y) * (p[i].y - f->y);
    }
    angle = atan2(2 * xy, xx - yy) / 2;
    f->along_x = cos(angle);
    f->along_y = sin(angle);
    along = (xx + yy) / 2 + hypot((xx - yy) / 2, xy);
    across = fmax((xx + yy) / 2 - hypot((xx - yy) / 2, xy), 0);
    f->scale = fmax(sqrt(along / (double)n), 1);
    return sqrt(across / fmax(along, 1));
}

static void reach(const struct field_place *p, size_t n, struct field *f)
{
    f->low[0] = f->low[1] = HUGE_VAL;
    f->high[0] = f->high[1] = -HUGE_VAL;
    for (size_t i = 0; i < n; i++) {
        double at[2];

        own(f, p[i].x, p[i].y, at);
        for (int k = 0; k < 2; k++) {
            f->low[k] = fmin(f->low[k], at[k]);
            f->high[k] = fmax(f->high[k], at[k]);
        }
    }
}

/* ---- the fit ------------------------------------------------------------ */

/* Solves a symmetric system by Cholesky's method; false when it is singular. */
static bool solve(double a[UNKNOWNS][UNKNOWNS], double b[UNKNOWNS], size_t n)
{
    for (size_t i = 0; i < n; i++) {
        const double whole = a[i][i];

        for (size_t j = 0; j <= i; j++) {
            double sum = a[i][j];

            for (size_t k = 0; k < j; k++)
                sum -= a[i][k] * a[j][k];
            if (i != j)
                a[i][j] = sum / a[j][j];
            else if (sum > SINGULAR * whole)
                a[i][i] = sqrt(sum);
            else
                return false;
        }
        for (size_t k = 0; k < i; k++)
            b[i] -= a[i][k] * b[k];
        b[i] /= a[i][i];
    }
    for (size_t i = n; i-- > 0;) {
        for (size_t k = i + 1; k < n; k++)
            b[i] -= a[k][i] * b[k];
        b[i] /= a[i][i];
    }
    return true;
}

/* The colours of the groups come first, so that a group without a place can be
 * left away. */
static size_t row_of(const struct field *f, const struct field_place *p,
                     size_t groups, double out[UNKNOWNS])
{
    double at[2];

    for (size_t g = 0; g < groups; g++)
        out[g] = p->group == (int)g || groups == 1;
    own(f, p->x, p->y, at);
    terms(f, at, out + groups);
    return groups + terms_of(f->kind);
}

/* One cone: its terms, and the sum of squares that is left. */
static bool fit_cone(const struct field_place *p, size_t n, size_t groups,
                     int c, struct field *f, double *left)
{
    double a[UNKNOWNS][UNKNOWNS] = {{0}}, b[UNKNOWNS] = {0}, row[UNKNOWNS];
    size_t unknowns = 0;

    for (size_t i = 0; i < n; i++) {
        unknowns = row_of(f, &p[i], groups, row);
        for (size_t j = 0; j < unknowns; j++) {
            for (size_t k = 0; k < unknowns; k++)
                a[j][k] += row[j] * row[k];
            b[j] += row[j] * log(p[i].cone[c]);
        }
    }
    if (!solve(a, b, unknowns))
        return false;
    memcpy(f->term[c], b + groups, terms_of(f->kind) * sizeof *b);
    *left = 0;
    for (size_t i = 0; i < n; i++) {
        double d = log(p[i].cone[c]);

        row_of(f, &p[i], groups, row);
        for (size_t j = 0; j < unknowns; j++)
            d -= row[j] * b[j];
        *left += d * d;
    }
    return true;
}

/* ln of the light in own coordinates. */
static double ln_at(const struct field *f, const double at[2], int c)
{
    double term[FIELD_TERMS], sum = 0;

    terms(f, at, term);
    for (size_t i = 0; i < terms_of(f->kind); i++)
        sum += f->term[c][i] * term[i];
    return sum;
}

static double range_of(const struct field *f, const struct field_place *p,
                       size_t n, int c)
{
    double low = HUGE_VAL, high = -HUGE_VAL;

    for (size_t i = 0; i < n; i++) {
        double at[2];

        own(f, p[i].x, p[i].y, at);
        low = fmin(low, ln_at(f, at, c));
        high = fmax(high, ln_at(f, at, c));
    }
    return high - low;
}

static bool fit(const struct field_place *p, size_t n, size_t groups,
                struct field *f)
{
    const double spare = (double)n - (double)groups - (double)terms_of(f->kind);

    if (spare < 0)
        return false;
    f->residual = 0;
    for (int c = 0; c < 3; c++) {
        double left;

        if (!fit_cone(p, n, groups, c, f, &left))
            return false;
        f->residual =
            fmax(f->residual, spare > 0 ? sqrt(left / spare)
                                        : UNSEEN * range_of(f, p, n, c));
    }
    reach(p, n, f);
    return true;
}

bool field_fit(const struct field_place *place, size_t n, double x, double y,
               struct field *out)
{
    size_t groups = 1;
    double thin, at[2];
    bool ok = false;

    *out = (struct field){.places = n, .residual = (double)NAN};
    if (n < 2)
        return false;
    for (size_t i = 1; i < n; i++)
        if (place[i].group != place[0].group)
            groups = 2;
    thin = survey(place, n, out);
    if (thin >= LINE_ACROSS && n >= QUADRATIC_PLACES + groups - 1) {
        out->kind = FIELD_QUADRATIC;
        ok = fit(place, n, groups, out);
    }
    if (!ok && thin >= LINE_ACROSS) {
        out->kind = FIELD_PLANE;
        ok = fit(place, n, groups, out);
    }
    if (!ok) {
        out->kind = FIELD_LINE;
        ok = fit(place, n, groups, out);
    }
    /* Where nothing is left over, the residual is a guess and refuses none. */
    if (!ok ||
        (n > groups + terms_of(out->kind) && out->residual > FIELD_RESIDUAL)) {
        out->kind = FIELD_NONE;
        out->residual = ok ? out->residual : (double)NAN;
        return false;
    }
    own(out, x, y, at);
    for (int c = 0; c < 3; c++)
        out->at_card[c] = ln_at(out, at, c);
    return true;
}

/* ---- at a place --------------------------------------------------------- */

void field_at(const struct field *field, double x, double y, double out[3],
              bool *far)
{
    double at[2];

    *far = false;
    own(field, x, y, at);
    for (int k = 0; k < 2; k++) {
        const double more = FIELD_REACH * (field->high[k] - field->low[k]);
        const double kept =
            fmin(fmax(at[k], field->low[k] - more), field->high[k] + more);

        *far = *far || kept != at[k];
        at[k] = kept;
    }
    for (int c = 0; c < 3; c++)
        out[c] = exp(ln_at(field, at, c) - field->at_card[c]);
}

static void flatten_block(const struct light *light, const double by[3],
                          struct block *b)
{
    const struct xyz was = light_xyz(light, b->light);
    double cone[3], xyz[3], factor;

    cones_from_xyz(was, cone);
    for (int c = 0; c < 3; c++)
        cone[c] /= by[c];
    xyz_from_cones(cone, xyz);
    mat3_apply(&light->back, xyz, b->light);
    factor = was.Y > 0 ? xyz[1] / was.Y : 1 / by[1];
    b->Y *= factor;
    b->YY *= factor * factor;
    b->peak *= factor;
}

void field_flatten(const struct field *field, const struct light *light,
                   struct area *area)
{
    for (uint32_t j = 0; j < area->ny; j++)
        for (uint32_t i = 0; i < area->nx; i++) {
            const double x = (double)area->used.x +
                             (area->edge_x[i] + area->edge_x[i + 1]) / 2.0;
            const double y = (double)area->used.y +
                             (area->edge_y[j] + area->edge_y[j + 1]) / 2.0;
            double by[3];
            bool far;

            field_at(field, x, y, by, &far);
            flatten_block(light, by, &area->block[(size_t)j * area->nx + i]);
        }
}
