/* Sums over the blocks of a box. See the header. */
#include "measure/area.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "measure/check.h"

enum { CLIP_LOW = 1, CLIP_HIGH = 2 };

/* ---- the grid ----------------------------------------------------------- */

static void plan_cells(struct cells *cells, struct box used, int w, int h)
{
    int64_t last = (used.x + used.w) / w;

    cells->w = w;
    cells->h = h;
    cells->first = (used.x + w - 1) / w * w;
    cells->n = last * w > cells->first ? (size_t)(last - cells->first / w) : 0;
    cells->sum = mem_new(3 * cells->n, sizeof *cells->sum);
}

/* n + 1 edges over a length: blocks of `side`, the rest left over at both
 * ends; or for side 0 blocks as equal as whole pixels allow. Halves of pixels
 * are rounded towards the left or the top of the upright picture, so that a
 * turned copy has the same blocks: back is set where the axis runs back. */
static uint32_t *edges(uint32_t n, int64_t side, int64_t length, bool back)
{
    uint32_t *edge = mem_new(n + 1, sizeof *edge);

    for (uint32_t i = 0; i <= n; i++) {
        const uint32_t at = back ? n - i : i;
        const int64_t x =
            side ? (length - side * n) / 2 + side * at : length * at / n;

        edge[i] = (uint32_t)(back ? length - x : x);
    }
    return edge;
}

/* Whether the stored columns and rows run against the upright picture's. */
static bool columns_run_back(int orientation)
{
    return orientation == 2 || orientation == 3 || orientation == 7 ||
           orientation == 8;
}

static bool rows_run_back(int orientation)
{
    return orientation == 3 || orientation == 4 || orientation == 6 ||
           orientation == 7;
}

static int64_t at_least(int64_t x, int64_t least)
{
    return x < least ? least : x;
}

bool box_inside(struct box b, uint32_t width, uint32_t height)
{
    return b.x >= 0 && b.y >= 0 && b.w > 0 && b.h > 0 && b.w <= width &&
           b.h <= height && b.x <= (int64_t)width - b.w &&
           b.y <= (int64_t)height - b.h;
}

bool area_plan(struct area *area, struct box stored, const struct photo *photo,
               uint32_t few, uint32_t fewest)
{
    const int64_t mx = photo->mcu_w + 2, my = photo->mcu_h + 2;
    int64_t w = at_least(stored.w - 2 * mx, 0);
    int64_t h = at_least(stored.h - 2 * my, 0);
    int64_t side = CHECK_BLOCK_LARGEST;

    memset(area, 0, sizeof *area);
    if (stored.w * stored.h < CHECK_BOX_PIXELS)
        return false;
    while (side > CHECK_BLOCK_SMALLEST && (w / side) * (h / side) < few)
        side /= 2;
    area->box = area->used = stored;
    area->small = (w / side) * (h / side) < fewest;
    if (area->small) {
        area->nx = (uint32_t)at_least(stored.w / CHECK_BLOCK_SMALLEST, 1);
        area->ny = (uint32_t)at_least(stored.h / CHECK_BLOCK_SMALLEST, 1);
        side = 0;
    } else {
        area->used = (struct box){stored.x + mx, stored.y + my, w, h};
        area->nx = (uint32_t)(w / side);
        area->ny = (uint32_t)(h / side);
    }
    area->edge_x = edges(area->nx, side, area->used.w,
                         columns_run_back(photo->orientation));
    area->edge_y =
        edges(area->ny, side, area->used.h, rows_run_back(photo->orientation));
    area->block = mem_new((size_t)area->nx * area->ny, sizeof *area->block);
    area->light = mem_new(3 * (size_t)area->used.w, sizeof *area->light);
    area->scratch = mem_new((size_t)area->used.w, sizeof *area->scratch);
    plan_cells(&area->luma, area->used, 8, 8);
    plan_cells(&area->chroma, area->used, photo->mcu_w, photo->mcu_h);
    return true;
}

void area_clear(struct area *area)
{
    free(area->edge_x);
    free(area->edge_y);
    free(area->block);
    free(area->light);
    free(area->scratch);
    free(area->luma.sum);
    free(area->chroma.sum);
    memset(area, 0, sizeof *area);
}

/* ---- rows --------------------------------------------------------------- */

static void running_add(struct running *r, double x)
{
    const double d = x - r->mean;

    r->n += 1;
    r->mean += d / r->n;
    r->square += d * (x - r->mean);
}

double running_sd(const struct running *r)
{
    return r->n < 2 ? 0 : sqrt(r->square / (r->n - 1));
}

/* A row of cells is full: their means join the others. Weights of ITU-T
 * T.871 (JFIF). */
static void cells_close(struct cells *cells)
{
    const double n = (double)cells->w * cells->h;

    for (size_t i = 0; i < cells->n; i++) {
        const double r = cells->sum[3 * i] / n;
        const double g = cells->sum[3 * i + 1] / n;
        const double b = cells->sum[3 * i + 2] / n;
        const double y = 0.299 * r + 0.587 * g + 0.114 * b;

        running_add(&cells->Y, y);
        running_add(&cells->Cb, (b - y) / 1.772);
        running_add(&cells->Cr, (r - y) / 1.402);
    }
    memset(cells->sum, 0, 3 * cells->n * sizeof *cells->sum);
}

/* Whether the row of cells that row y belongs to lies in the area. */
static bool cells_whole(const struct cells *cells, struct box used, int64_t y)
{
    const int64_t top = y - y % cells->h;

    return top >= used.y && top + cells->h <= used.y + used.h;
}

static bool cells_end(const struct cells *cells, int64_t y)
{
    return y % cells->h == cells->h - 1;
}

/* A cell of the MCU is made of cells of 8 x 8. */
static void cells_gather(const struct cells *small, struct cells *large)
{
    const size_t n = (size_t)large->w / small->w;
    const uint32_t *from =
        small->sum + 3 * ((large->first - small->first) / small->w);

    for (size_t i = 0; i < large->n; i++)
        for (size_t k = 0; k < n; k++, from += 3)
            for (int c = 0; c < 3; c++)
                large->sum[3 * i + c] += from[c];
}

static void cells_row(struct area *area, const unsigned char *rgb, int64_t y)
{
    struct cells *small = &area->luma, *large = &area->chroma;
    const unsigned char *p = rgb + 3 * small->first;

    if (!cells_whole(small, area->used, y))
        return;
    for (size_t i = 0; i < small->n; i++, p += 24) {
        uint32_t r = 0, g = 0, b = 0;

        for (int x = 0; x < 24; x += 3) {
            r += p[x];
            g += p[x + 1];
            b += p[x + 2];
        }
        small->sum[3 * i] += r;
        small->sum[3 * i + 1] += g;
        small->sum[3 * i + 2] += b;
    }
    if (!cells_end(small, y))
        return;
    if (cells_whole(large, area->used, y)) {
        if (large->n)
            cells_gather(small, large);
        if (cells_end(large, y))
            cells_close(large);
    }
    cells_close(small);
}

/* Whether a code may have been cut off: those of the two ends. */
static const unsigned char cut_off[256] = {
    [0] = 1, [CHECK_CODE_LOW] = 1, [CHECK_CODE_HIGH] = 1, [255] = 1};
static_assert(CHECK_CODE_LOW == 1 && CHECK_CODE_HIGH == 254,
              "cut_off has each code that count_clipped counts");

/* Counts those of n pixels that have a code that may have been cut off. */
static void count_clipped(struct area *area, const unsigned char *rgb,
                          uint32_t n)
{
    for (uint32_t i = 0; i < n; i++, rgb += 3) {
        int clip = 0;

        for (int c = 0; c < 3; c++) {
            area->low[c] += rgb[c] <= CHECK_CODE_LOW;
            clip |= rgb[c] <= CHECK_CODE_LOW    ? CLIP_LOW
                    : rgb[c] >= CHECK_CODE_HIGH ? CLIP_HIGH
                                                : 0;
        }
        area->clipped[clip]++;
    }
}

/* Adds n pixels to a block: light holds theirs where the profile is a table,
 * else their codes are looked up here, which is most of the work of a box. */
static void block_add(struct area *area, struct block *block,
                      const struct light *profile, const double *light,
                      const unsigned char *rgb, uint32_t n)
{
    const double *luminance = profile->m.at[1];
    const double lr = luminance[0], lg = luminance[1], lb = luminance[2];
    double sr = 0, sg = 0, sb = 0, sum_y = 0, sum_yy = 0, peak = block->peak;
    uint32_t r = 0, g = 0, b = 0;
    unsigned clipped = 0;

    for (size_t i = 0; i < 3 * (size_t)n; i += 3) {
        const unsigned char cr = rgb[i], cg = rgb[i + 1], cb = rgb[i + 2];
        const double red = light ? light[i] : profile->curve[0][cr];
        const double green = light ? light[i + 1] : profile->curve[1][cg];
        const double blue = light ? light[i + 2] : profile->curve[2][cb];
        const double y = lr * red + lg * green + lb * blue;

        sum_y += y;
        sum_yy += y * y;
        peak = y > peak ? y : peak;
        sr += red;
        sg += green;
        sb += blue;
        r += cr;
        g += cg;
        b += cb;
        clipped |= cut_off[cr] | cut_off[cg] | cut_off[cb];
    }
    block->light[0] += sr;
    block->light[1] += sg;
    block->light[2] += sb;
    block->Y += sum_y;
    block->YY += sum_yy;
    block->peak = peak;
    block->code[0] += r;
    block->code[1] += g;
    block->code[2] += b;
    block->pixels += n;
    if (clipped)
        count_clipped(area, rgb, n);
    else
        area->clipped[0] += n;
}

void area_row(struct area *area, const struct light *light,
              const unsigned char *rgb, uint32_t y)
{
    const struct box used = area->used;
    const int64_t down = (int64_t)y - used.y;
    const unsigned char *row = rgb + 3 * used.x;

    if (down < 0 || down >= used.h)
        return;
    cells_row(area, rgb, y);
    while (area->row < area->ny && down >= area->edge_y[area->row + 1])
        area->row++;
    if (area->row == area->ny || down < area->edge_y[0])
        return;
    if (light->table)
        light_row(light, row, (size_t)used.w, area->light, area->scratch);
    for (uint32_t i = 0; i < area->nx; i++) {
        const size_t from = area->edge_x[i];

        block_add(area, &area->block[(size_t)area->row * area->nx + i], light,
                  light->table ? area->light + 3 * from : NULL, row + 3 * from,
                  area->edge_x[i + 1] - area->edge_x[i]);
    }
}

/* ---- blocks ------------------------------------------------------------- */

struct ranked {
    double Y;
    size_t at;
};

static int by_luminance(const void *a, const void *b)
{
    const struct ranked *x = a, *y = b;

    if (x->Y != y->Y)
        return x->Y < y->Y ? -1 : 1;
    return x->at < y->at ? -1 : x->at > y->at;
}

uint32_t area_trim(struct area *area)
{
    const size_t n = (size_t)area->nx * area->ny, drop = n / 10;
    struct ranked *rank = mem_new(n, sizeof *rank);

    for (size_t i = 0; i < n; i++)
        rank[i] = (struct ranked){area->block[i].Y / area->block[i].pixels, i};
    qsort(rank, n, sizeof *rank, by_luminance);
    for (size_t i = 0; i < n; i++)
        area->block[rank[i].at].kept = i >= drop && i < n - drop;
    free(rank);
    return (uint32_t)(n - 2 * drop);
}

static bool tile_take(const struct area *area, const uint32_t x[2],
                      const uint32_t y[2], bool kept, struct tile *out)
{
    double pixels = 0;

    *out = (struct tile){0};
    for (uint32_t j = y[0]; j < y[1]; j++)
        for (uint32_t i = x[0]; i < x[1]; i++) {
            const struct block *b = &area->block[(size_t)j * area->nx + i];

            if (kept && !b->kept)
                continue;
            for (int c = 0; c < 3; c++)
                out->light[c] += b->light[c];
            pixels += b->pixels;
        }
    for (int c = 0; c < 3 && pixels > 0; c++)
        out->light[c] /= pixels;
    out->x = (area->edge_x[x[0]] + area->edge_x[x[1]]) / 2.0 -
             (double)area->used.w / 2;
    out->y = (area->edge_y[y[0]] + area->edge_y[y[1]]) / 2.0 -
             (double)area->used.h / 2;
    return pixels > 0;
}

size_t area_tiles(const struct area *area, uint32_t tx, uint32_t ty, bool kept,
                  struct tile *out)
{
    size_t n = 0;

    for (uint32_t j = 0; j < ty; j++)
        for (uint32_t i = 0; i < tx; i++) {
            const uint32_t x[2] = {
                (uint32_t)((uint64_t)area->nx * i / tx),
                (uint32_t)((uint64_t)area->nx * (i + 1) / tx)};
            const uint32_t y[2] = {
                (uint32_t)((uint64_t)area->ny * j / ty),
                (uint32_t)((uint64_t)area->ny * (j + 1) / ty)};

            if (tile_take(area, x, y, kept, &out[n]))
                n++;
        }
    return n;
}
