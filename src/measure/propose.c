/* Card and skeins without a tap. See the header. */
#include "measure/propose.h"

#include <math.h>
#include <stdlib.h>

#include "base/mem.h"

/* ---- where to begin ----------------------------------------------------- */

struct start {
    double rough; /* how much the 9 blocks about it differ */
    size_t at;
};

static int calmest_first(const void *a, const void *b)
{
    const struct start *x = a, *y = b;

    if (x->rough != y->rough)
        return x->rough < y->rough ? -1 : 1;
    return x->at < y->at ? -1 : x->at > y->at;
}

/* Largest difference of a trait among the 9 blocks, as a share of its limit. */
static double roughness(const struct map *map, enum grow_kind kind, size_t at)
{
    const int64_t nx = map->nx, x = (int64_t)at % nx, y = (int64_t)at / nx;
    double most = 0;

    for (int64_t j = y - 1; j <= y + 1; j++)
        for (int64_t i = x - 1; i <= x + 1; i++) {
            if (i < 0 || j < 0 || i >= nx || j >= map->ny)
                continue;
            for (int k = 0; k < MAP_TRAITS; k++)
                most = fmax(most, fabs(map->block[j * nx + i].trait[k] -
                                       map->block[at].trait[k]) /
                                      grow_limits[kind].mean[k]);
        }
    return most;
}

/* All blocks in the order in which regions are to grow from them: from the
 * midst of even places, not from their rims. */
static struct start *starts(const struct map *map, enum grow_kind kind)
{
    const size_t n = (size_t)map->nx * map->ny;
    struct start *out = mem_new(n, sizeof *out);

    for (size_t i = 0; i < n; i++)
        out[i] = (struct start){roughness(map, kind, i), i};
    qsort(out, n, sizeof *out, calmest_first);
    return out;
}

/* ---- the card ----------------------------------------------------------- */

static double brightest(const struct map *map)
{
    double most = 0;

    for (size_t i = 0; i < (size_t)map->nx * map->ny; i++)
        most = fmax(most, map->block[i].Y);
    return most;
}

static bool may_be_card(const struct map_block *b, double white)
{
    return b->cv < CHECK_CARD_SMOOTH && b->Y > CHECK_CARD_DIM &&
           b->Y < CHECK_CARD_LIGHT && b->Y < CHECK_CARD_WHITE * white &&
           fabs(b->trait[1]) < CHECK_CARD_COLOUR &&
           fabs(b->trait[2]) < CHECK_CARD_COLOUR && !b->low && !b->high;
}

/* A region's worth as a card: large, even, not at the border. 0: none. */
static double worth(const struct map *map, const struct grown *g)
{
    const double w = map->width, h = map->height;
    const double x = (double)g->box.x + (double)g->box.w / 2;
    const double y = (double)g->box.y + (double)g->box.h / 2;
    const double border = fmin(fmin(x / w, 1 - x / w), fmin(y / h, 1 - y / h));
    const double share = (double)g->blocks / ((double)map->nx * map->ny);

    if (g->fault != GROW_FOUND || g->borders || g->cv > CHECK_CARD_SMOOTH ||
        share > CHECK_CARD_MOST || g->side[0] > CHECK_CARD_LONG * g->side[1])
        return 0;
    return sqrt(share) * fmax(1 - g->cv / CHECK_CARD_SMOOTH, 0.1) * border;
}

bool propose_card(struct grower *g, struct box *out)
{
    const struct map *map = g->map;
    const size_t least = (size_t)(CHECK_CARD_LEAST * (double)g->blocks) + 1;
    const double white = brightest(map);
    struct start *start = starts(map, GROW_CARD);
    unsigned char *taken = mem_new(g->blocks, 1);
    double best = 0, next = 0;
    struct box box = {0};
    bool sure;

    for (size_t i = 0; i < g->blocks; i++) {
        const size_t at = start[i].at;
        struct grown region;
        double value;

        if (taken[at] || !may_be_card(&map->block[at], white))
            continue;
        region = grow_from(g, GROW_CARD, at, least, taken);
        value = worth(map, &region);
        if (value > best) {
            next = best;
            best = value;
            box = region.box;
        } else if (value > next) {
            next = value;
        }
    }
    free(start);
    free(taken);
    sure = best > 0 && best >= CHECK_CARD_BETTER * next;
    if (sure)
        *out = box;
    return sure;
}

/* ---- skeins ------------------------------------------------------------- */

static bool is_skein(const struct map *map, const struct grown *g)
{
    const double side = map->side;

    return g->fault == GROW_FOUND && !g->borders && g->cv > CHECK_SKEIN_ROUGH &&
           g->shape >= CHECK_SKEIN_SOLID && g->outline >= CHECK_SKEIN_OUTLINE &&
           (double)g->box.w * (double)g->box.h >=
               CHECK_SKEIN_FILLED * (double)g->blocks * side * side;
}

static int by_top(const void *a, const void *b)
{
    const struct box *x = a, *y = b;

    return x->y != y->y ? (x->y < y->y ? -1 : 1)
                        : (x->x > y->x) - (x->x < y->x);
}

static int by_left(const void *a, const void *b)
{
    const struct box *x = a, *y = b;

    return x->x != y->x ? (x->x < y->x ? -1 : 1)
                        : (x->y > y->y) - (x->y < y->y);
}

/* Those that begin above the middle of the topmost are in its row. */
void find_order(struct box *box, size_t n)
{
    qsort(box, n, sizeof *box, by_top);
    for (size_t i = 0, end; i < n; i = end) {
        for (end = i + 1; end < n && box[end].y < box[i].y + box[i].h / 2;)
            end++;
        qsort(box + i, end - i, sizeof *box, by_left);
    }
}

/* The end of a hank beyond its tie, a tassel: too small beside the others. */
static size_t without_scraps(struct box *box, size_t n)
{
    double most = 0;
    size_t kept = 0;

    for (size_t i = 0; i < n; i++)
        most = fmax(most, (double)box[i].w * (double)box[i].h);
    for (size_t i = 0; i < n; i++)
        if ((double)box[i].w * (double)box[i].h >= CHECK_SKEIN_SCRAP * most)
            box[kept++] = box[i];
    return kept;
}

static void take_box(const struct map *map, struct box box,
                     unsigned char *taken)
{
    for (int64_t y = box.y; y < box.y + box.h; y += map->side)
        for (int64_t x = box.x; x < box.x + box.w; x += map->side)
            taken[map_at(map, (uint32_t)x, (uint32_t)y)] = 1;
}

static size_t middle_of(const struct map *map, struct box b)
{
    return map_at(map, (uint32_t)(b.x + b.w / 2), (uint32_t)(b.y + b.h / 2));
}

static bool known(const struct map *map, size_t middle, const struct box *box,
                  size_t n)
{
    const int64_t x = map->x + (int64_t)(middle % map->nx) * map->side;
    const int64_t y = map->y + (int64_t)(middle / map->nx) * map->side;

    for (size_t i = 0; i < n; i++)
        if (x >= box[i].x && x < box[i].x + box[i].w && y >= box[i].y &&
            y < box[i].y + box[i].h)
            return true;
    return false;
}

size_t propose_skeins(struct grower *g, struct box card, struct box *out,
                      size_t most)
{
    const struct map *map = g->map;
    const size_t least = (size_t)(CHECK_SKEIN_LEAST * (double)g->blocks) + 1;
    struct start *start = starts(map, GROW_SKEIN);
    unsigned char *taken = mem_new(g->blocks, 1);
    size_t n = 0;

    take_box(map, card, taken);
    for (size_t i = 0; i < g->blocks && n < most; i++) {
        struct grown region;
        size_t middle;

        if (taken[start[i].at])
            continue;
        region = grow_from(g, GROW_SKEIN, start[i].at, least, taken);
        if (!is_skein(map, &region))
            continue;
        /* It may have begun in a shadow beside the yarn: what counts is what
         * a tap on its middle finds. */
        middle = middle_of(map, region.box);
        region = grow_from(g, GROW_SKEIN, middle, least, NULL);
        if (is_skein(map, &region) && !known(map, middle, out, n))
            out[n++] = region.box;
    }
    n = without_scraps(out, n);
    find_order(out, n);
    free(start);
    free(taken);
    return n;
}
