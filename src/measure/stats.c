/* What an area's sums say. See the header. */
#include "measure/stats.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "measure/check.h"

/* ---- planes ------------------------------------------------------------- */

/* Sums of squares and products about the means. */
struct moments {
    double x, y, v; /* means */
    double xx, xy, yy, xv, yv;
};

static struct moments moments_of(const double *value, const struct tile *place,
                                 size_t n)
{
    struct moments m = {0};

    for (size_t i = 0; i < n; i++) {
        m.x += place[i].x / (double)n;
        m.y += place[i].y / (double)n;
        m.v += value[i] / (double)n;
    }
    for (size_t i = 0; i < n; i++) {
        const double x = place[i].x - m.x, y = place[i].y - m.y;
        const double v = value[i] - m.v;

        m.xx += x * x;
        m.xy += x * y;
        m.yy += y * y;
        m.xv += x * v;
        m.yv += y * v;
    }
    return m;
}

struct plane plane_fit(const double *value, const struct tile *place, size_t n)
{
    const struct moments m = moments_of(value, place, n);
    const double det = m.xx * m.yy - m.xy * m.xy;
    struct plane p = {.mean = m.v};
    double freedom = (double)n - 1, left = 0;

    if (det > 1e-9 * m.xx * m.yy) {
        p.gx = (m.yy * m.xv - m.xy * m.yv) / det;
        p.gy = (m.xx * m.yv - m.xy * m.xv) / det;
        p.xx = m.yy / det;
        p.yy = m.xx / det;
        p.xy = -m.xy / det;
        freedom -= 2;
    } else if (m.xx > 0) {
        p.gx = m.xv / m.xx;
        p.xx = 1 / m.xx;
        freedom -= 1;
    } else if (m.yy > 0) {
        p.gy = m.yv / m.yy;
        p.yy = 1 / m.yy;
        freedom -= 1;
    }
    for (size_t i = 0; i < n; i++) {
        const double d = value[i] - m.v - p.gx * (place[i].x - m.x) -
                         p.gy * (place[i].y - m.y);

        left += d * d;
    }
    p.sd = freedom > 0 ? sqrt(left / freedom) : 0;
    p.xx *= p.sd * p.sd;
    p.xy *= p.sd * p.sd;
    p.yy *= p.sd * p.sd;
    return p;
}

/* ---- figures of the blocks ---------------------------------------------- */

static int by_value(const void *a, const void *b)
{
    const double *x = a, *y = b;

    return *x < *y ? -1 : *x > *y;
}

/* Sorts v. */
static double median(double *v, size_t n)
{
    qsort(v, n, sizeof *v, by_value);
    return n % 2 ? v[n / 2] : (v[n / 2 - 1] + v[n / 2]) / 2;
}

/* Light that may be nought or, outside the profile, less; its logarithm shall
 * be a number. */
static double ln(double light)
{
    return log(fmax(light, 1e-6));
}

static void take_planes(const struct area *area, const struct light *light,
                        struct stats *out)
{
    const size_t n = (size_t)area->nx * area->ny;
    struct tile *tile = mem_new(n, sizeof *tile);
    double *v = mem_new(n, sizeof *v);
    const size_t got = area_tiles(area, area->nx, area->ny, false, tile);

    for (size_t i = 0; i < got; i++)
        v[i] = ln(light_xyz(light, tile[i].light).Y);
    out->Y = plane_fit(v, tile, got);
    for (size_t i = 0; i < got; i++)
        v[i] = ln(tile[i].light[0]) - ln(tile[i].light[1]);
    out->RG = plane_fit(v, tile, got);
    for (size_t i = 0; i < got; i++)
        v[i] = ln(tile[i].light[2]) - ln(tile[i].light[1]);
    out->BG = plane_fit(v, tile, got);
    free(tile);
    free(v);
}

static void take_texture(const struct area *area, struct stats *out)
{
    const size_t n = (size_t)area->nx * area->ny;
    double *v = mem_new(n, sizeof *v), typical, glints = 0;

    for (size_t i = 0; i < n; i++)
        v[i] = area->block[i].Y / area->block[i].pixels;
    typical = median(v, n);
    for (size_t i = 0; i < n; i++) {
        const struct block *b = &area->block[i];
        const double mean = b->Y / b->pixels;
        const double variance = b->YY / b->pixels - mean * mean;

        v[i] = mean > 0 ? sqrt(fmax(variance, 0)) / mean : 0;
        glints += b->peak > 4 * typical;
    }
    out->texture = median(v, n);
    out->glints = glints / (double)n;
    free(v);
}

static void take_means(const struct area *area, struct stats *out)
{
    const size_t n = (size_t)area->nx * area->ny;
    double light[3] = {0}, code[3] = {0}, kept = 0, all = 0;

    for (size_t i = 0; i < n; i++) {
        const struct block *b = &area->block[i];

        all += b->pixels;
        kept += b->kept ? b->pixels : 0;
        for (int c = 0; c < 3; c++) {
            code[c] += b->code[c];
            light[c] += b->kept ? b->light[c] : 0;
        }
    }
    for (int c = 0; c < 3; c++) {
        out->light[c] = light[c] / kept;
        out->code[c] = code[c] / all;
        out->lost[c] = (double)area->low[c] / all;
    }
    out->low = (double)(area->clipped[1] + area->clipped[3]) / all;
    out->high = (double)(area->clipped[2] + area->clipped[3]) / all;
    out->clipped = 1 - (double)area->clipped[0] / all;
}

struct stats stats_take(struct area *area, const struct light *light)
{
    struct stats out = {
        .blocks = area->nx * area->ny,
        .width = (double)area->used.w,
        .height = (double)area->used.h,
        .x = (double)area->used.x + (double)area->used.w / 2,
        .y = (double)area->used.y + (double)area->used.h / 2,
    };

    out.kept = area_trim(area);
    take_means(area, &out);
    take_texture(area, &out);
    take_planes(area, light, &out);
    return out;
}

/* ---- levelness ---------------------------------------------------------- */

struct lab stats_level(const struct area *area, const struct light *light,
                       const struct correction *correction)
{
    struct lab out = {(double)NAN, (double)NAN, (double)NAN};
    uint32_t side = CHECK_BLOCK_LARGEST, tx = 0, ty = 0;
    struct tile *tile;
    double *v[3];
    size_t n;

    for (; side >= CHECK_BLOCK_SMALLEST; side /= 2) {
        tx = (uint32_t)area->used.w / side;
        ty = (uint32_t)area->used.h / side;
        if (tx * ty >= 6)
            break;
    }
    tx = tx < area->nx ? tx : area->nx;
    ty = ty < area->ny ? ty : area->ny;
    if (tx * ty < 6)
        return out;
    tile = mem_new((size_t)tx * ty, sizeof *tile);
    n = area_tiles(area, tx, ty, false, tile);
    for (int i = 0; i < 3; i++)
        v[i] = mem_new(n, sizeof *v[i]);
    for (size_t i = 0; i < n; i++) {
        const struct lab lab = lab_from_xyz(
            correction_apply(correction, light_xyz(light, tile[i].light)));

        v[0][i] = lab.L;
        v[1][i] = lab.a;
        v[2][i] = lab.b;
    }
    out.L = plane_fit(v[0], tile, n).sd;
    out.a = plane_fit(v[1], tile, n).sd;
    out.b = plane_fit(v[2], tile, n).sd;
    for (int i = 0; i < 3; i++)
        free(v[i]);
    free(tile);
    return out;
}
