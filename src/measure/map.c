/* A coarse map of a whole picture. See the header. */
#include "measure/map.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "measure/check.h"

/* A row of blocks on its way. */
struct sums {
    double light[3], Y, YY;
    int low, high;
};

struct taking {
    const struct photo *photo;
    const struct light *light;
    uint32_t nx, ny; /* stored */
    struct map_block *stored;
    struct sums *sums;
    double *row;
    struct xyz *scratch;
};

/* ---- rows --------------------------------------------------------------- */

static void add_pixels(struct sums *s, const double luminance[3],
                       const double *light, const unsigned char *rgb)
{
    for (int i = 0; i < MAP_PIXELS; i++, light += 3, rgb += 3) {
        const double y = luminance[0] * light[0] + luminance[1] * light[1] +
                         luminance[2] * light[2];

        for (int c = 0; c < 3; c++)
            s->light[c] += light[c];
        s->Y += y;
        s->YY += y * y;
        s->low += rgb[0] <= CHECK_CODE_LOW || rgb[1] <= CHECK_CODE_LOW ||
                  rgb[2] <= CHECK_CODE_LOW;
        s->high += rgb[0] >= CHECK_CODE_HIGH || rgb[1] >= CHECK_CODE_HIGH ||
                   rgb[2] >= CHECK_CODE_HIGH;
    }
}

static double ln(double light)
{
    return log(fmax(light, 0) + CHECK_MAP_FLOOR);
}

static struct map_block block_of(const struct sums *s)
{
    const double n = MAP_PIXELS * MAP_PIXELS, Y = s->Y / n;
    const double variance = fmax(s->YY / n - Y * Y, 0) * n / (n - 1);
    struct map_block b = {.Y = Y, .low = s->low, .high = s->high};

    for (int c = 0; c < 3; c++)
        b.light[c] = s->light[c] / n;
    b.cv = Y > 0 ? sqrt(variance) / Y : 0;
    b.trait[0] = ln(b.Y);
    b.trait[1] = ln(b.light[0]) - ln(b.light[1]);
    b.trait[2] = ln(b.light[2]) - ln(b.light[1]);
    return b;
}

static bool take_row(void *self, const unsigned char *rgb, uint32_t y)
{
    struct taking *t = self;
    const uint32_t row = y / MAP_PIXELS;

    if (row >= t->ny)
        return true;
    light_row(t->light, rgb, (size_t)t->nx * MAP_PIXELS, t->row, t->scratch);
    for (uint32_t i = 0; i < t->nx; i++) {
        const size_t at = (size_t)3 * MAP_PIXELS * i;

        add_pixels(&t->sums[i], t->light->m.at[1], t->row + at, rgb + at);
    }
    if (y % MAP_PIXELS == MAP_PIXELS - 1) {
        for (uint32_t i = 0; i < t->nx; i++)
            t->stored[(size_t)row * t->nx + i] = block_of(&t->sums[i]);
        memset(t->sums, 0, t->nx * sizeof *t->sums);
    }
    return true;
}

/* ---- turning ------------------------------------------------------------ */

/* Lays the stored blocks upright. What remains over lies at the end of the
 * stored axes: it is in front where an axis runs back. */
static void turn(const struct taking *t, struct map *map)
{
    const struct photo *photo = t->photo;
    const bool lies = photo->orientation >= 5;
    const struct box first = photo_box_stored(photo, (struct box){0, 0, 1, 1});
    const uint32_t over_x = first.x ? photo->width % map->side : 0;
    const uint32_t over_y = first.y ? photo->height % map->side : 0;
    const int64_t side = map->side;

    map->x = lies ? over_y : over_x;
    map->y = lies ? over_x : over_y;
    map->nx = lies ? t->ny : t->nx;
    map->ny = lies ? t->nx : t->ny;
    map->block = mem_new((size_t)map->nx * map->ny, sizeof *map->block);
    for (uint32_t j = 0; j < map->ny; j++)
        for (uint32_t i = 0; i < map->nx; i++) {
            const struct box at = photo_box_stored(
                photo,
                (struct box){map->x + side * i, map->y + side * j, side, side});

            map->block[(size_t)j * map->nx + i] =
                t->stored[(size_t)(at.y / side) * t->nx +
                          (size_t)(at.x / side)];
        }
}

static uint32_t side_for(const struct photo *photo)
{
    const double pixels = (double)photo->width * photo->height;

    return pixels < CHECK_MAP_SMALL ? 8 : pixels < CHECK_MAP_MEDIUM ? 16 : 32;
}

bool map_take(const struct photo *photo, const unsigned char *data, size_t size,
              const struct light *light, struct map *out, struct error *err)
{
    struct taking t = {.photo = photo, .light = light};
    struct photo_decoded decoded;
    bool ok;

    *out = (struct map){.side = side_for(photo)};
    photo_upright_size(photo, &out->width, &out->height);
    t.nx = photo->width / out->side;
    t.ny = photo->height / out->side;
    t.stored = mem_new((size_t)t.nx * t.ny, sizeof *t.stored);
    t.sums = mem_new(t.nx, sizeof *t.sums);
    t.row = mem_new((size_t)3 * MAP_PIXELS * t.nx, sizeof *t.row);
    t.scratch = mem_new((size_t)MAP_PIXELS * t.nx, sizeof *t.scratch);
    ok = photo_decode_small(photo, data, size, out->side / MAP_PIXELS, take_row,
                            &t, &decoded, err);
    if (ok) {
        for (size_t i = 0; i < (size_t)t.nx * t.ny; i++)
            t.stored[i].lost = (i / t.nx + 1) * out->side > decoded.damaged_row;
        /* Of a progressive file no more may have been read than shows. */
        out->sound = !photo->progressive && !decoded.notes &&
                     decoded.damaged_row == photo->height;
        turn(&t, out);
    }
    free(t.stored);
    free(t.sums);
    free(t.row);
    free(t.scratch);
    return ok;
}

void map_clear(struct map *map)
{
    free(map->block);
    memset(map, 0, sizeof *map);
}

static uint32_t block_along(uint32_t at, uint32_t first, uint32_t side,
                            uint32_t n)
{
    const uint32_t i = at < first ? 0 : (at - first) / side;

    return i < n ? i : n - 1;
}

size_t map_at(const struct map *map, uint32_t x, uint32_t y)
{
    return (size_t)block_along(y, map->y, map->side, map->ny) * map->nx +
           block_along(x, map->x, map->side, map->nx);
}
