/*
 * The table, the grey card, paper tags and ties, and the hanks on it, as they
 * would look in even light of the reference colour.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "exact.h"
#include "scene.h"

/* Reflectances of things that are not measured; invented. */
static const struct light linen = {{0.50, 0.46, 0.385}};
static const struct light oak = {{0.34, 0.255, 0.165}};
static const struct light slate = {{0.075, 0.080, 0.088}};
static const struct light cloth = {{0.72, 0.69, 0.60}};
static const struct light paper = {{0.70, 0.67, 0.60}};
static const struct light pencil = {{0.09, 0.09, 0.10}};
static const struct light cotton = {{0.66, 0.63, 0.55}};

/* ---- the table ---- */

static struct light scaled(struct light c, double by)
{
    return (struct light){{c.v[0] * by, c.v[1] * by, c.v[2] * by}};
}

static struct light wood_at(uint64_t seed, double x, double y)
{
    double board = floor(y / 430 + 0.37), seam = y / 430 + 0.37 - board;
    uint64_t grown = seed + (uint64_t)(int64_t)board * 7919;
    double ring = y / 26 + 3.2 * noise_cloud(grown, x / 900, y / 160, 3);
    double line = ring - floor(ring);
    double pore = noise_plane(grown + 5, x / 46, y / 1.7);
    double tint = 1 + 0.10 * (hash_unit(grown, 3, 4) - 0.5);
    struct light c;

    tint *= 0.90 + 0.20 * line * (2 - line) * 0.8;
    tint *= 1 + 0.05 * noise_cloud(grown + 8, x / 120, y / 9, 3);
    tint *= pore > 0.62 ? 0.86 : 1;
    tint *= 0.35 + 0.65 * smooth_step(seam < 0.5 ? seam : 1 - seam, 0, 0.007);
    c = scaled(oak, tint);
    c.v[2] *= 1.06 - 0.10 * line;
    return c;
}

/* A plain weave: warp and weft take turns on top. */
static struct light linen_at(uint64_t seed, double x, double y)
{
    double pitch = 7.5;
    double wx = x / pitch + 0.25 * noise_plane(seed, x / 90, y / 25);
    double wy = y / pitch + 0.25 * noise_plane(seed + 1, x / 25, y / 90);
    double i = floor(wx), j = floor(wy);
    bool warp = ((int64_t)i + (int64_t)j) % 2 != 0;
    double across = warp ? wx - i : wy - j, along = warp ? wy - j : wx - i;
    double round = 4 * across * (1 - across), hill = 4 * along * (1 - along);
    double thick = warp ? hash_unit(seed + 2, (int64_t)i, 0)
                        : hash_unit(seed + 3, (int64_t)j, 0);
    double fibre = noise_plane(seed + 4, warp ? x : x / 5, warp ? y / 5 : y);

    return scaled(linen, (0.55 + 0.30 * round + 0.15 * hill) *
                             (0.92 + 0.16 * thick) * (1 + 0.06 * fibre) * 1.12);
}

static struct light slate_at(uint64_t seed, double x, double y)
{
    double bed = noise_cloud(seed, x / 210, y / 60, 5);
    double grit = noise_plane(seed + 7, x / 1.6, y / 1.6);

    return scaled(slate, 1 + 0.22 * bed + 0.10 * grit);
}

/* A bleached cloth with a few soft folds. */
static struct light cloth_at(uint64_t seed, double x, double y)
{
    double fold = noise_cloud(seed, x / 320, y / 240, 2);
    double thread = noise_plane(seed + 3, x / 2.2, y / 2.2);

    return scaled(cloth, 1 + 0.06 * fold + 0.05 * thread);
}

static struct light table_at(const struct scene *s, double x, double y)
{
    static const struct light *const plain[] = {[TABLE_WOOD] = &oak,
                                                [TABLE_LINEN] = &linen,
                                                [TABLE_SLATE] = &slate,
                                                [TABLE_CLOTH] = &cloth};

    if (!s->trimmings)
        return scaled(*plain[s->table],
                      1 + 0.2 * noise_plane(s->seed, x / 90, y / 4));
    switch (s->table) {
    case TABLE_WOOD:
        return wood_at(s->seed, x, y);
    case TABLE_LINEN:
        return linen_at(s->seed, x, y);
    case TABLE_SLATE:
        return slate_at(s->seed, x, y);
    case TABLE_CLOTH:
        return cloth_at(s->seed, x, y);
    }
    return linen;
}

/* ---- flat things: card and tags ---- */

/* A rectangle, a little turned: its centre, half sizes and lean. */
struct sheet {
    double x, y, half_w, half_h, lean;
};

static struct sheet grey_sheet(const struct grey *g)
{
    return (struct sheet){g->at.x + g->at.w / 2.0, g->at.y + g->at.h / 2.0,
                          g->at.w / 2.0, g->at.h / 2.0, 0};
}

static struct sheet card_sheet(const struct scene *s)
{
    return (struct sheet){s->card.x + s->card.w / 2.0,
                          s->card.y + s->card.h / 2.0, s->card.w / 2.0,
                          s->card.h / 2.0, s->card_tilt_pct / 100};
}

/* The tag lies beyond the upper end of its skein. */
static struct sheet tag_sheet(const struct skein *k)
{
    double size = k->w > 150 ? 1 : k->w / 150;

    return (struct sheet){k->x + (hash_unit(k->seed, 1, 1) - 0.5) * 50 -
                              k->h * k->tilt_pct / 200,
                          k->y - k->h / 2 - 52 * size, 56 * size, 33 * size,
                          0.24 * (hash_unit(k->seed, 2, 2) - 0.5)};
}

/* How far outside a sheet a point is; below 0 inside. */
static double sheet_outside(struct sheet b, double x, double y)
{
    double n = sqrt(1 + b.lean * b.lean);
    double u = fabs((x - b.x) - b.lean * (y - b.y)) / n - b.half_w;
    double v = fabs((y - b.y) + b.lean * (x - b.x)) / n - b.half_h;

    if (u > 0 && v > 0)
        return sqrt(u * u + v * v);
    return u > v ? u : v;
}

static double hank_outside(const struct skein *k, double x, double y)
{
    double dx = x - k->x, dy = y - k->y, half = k->w / 2;
    double q = 2 * dy / k->h, straight = k->h / 2 - half * 0.8, past;

    dx -= k->tilt_pct / 100 * dy + k->bend * (1 - q * q);
    past = fabs(dy) > straight ? (fabs(dy) - straight) / 0.8 : 0;
    return sqrt(dx * dx + past * past) - half;
}

/* What is left of the light beside a thing: dark where it touches, and a soft
 * shadow away from the light, which comes from upper left. */
static double shadow_of(double touching, double cast, double soft)
{
    return (1 - 0.40 * (1 - smooth_step(touching, -0.9 * soft, 0.6 * soft))) *
           (1 - 0.45 * (1 - smooth_step(cast, -1.3 * soft, 1.3 * soft)));
}

static double sheet_shadow(struct sheet b, double x, double y, double soft)
{
    double far = sheet_outside(b, x, y);

    if (far > 4 * soft)
        return 1;
    return shadow_of(far, sheet_outside(b, x - 3, y - 3), soft);
}

static double shadow_at(const struct scene *s, double x, double y)
{
    double left = sheet_shadow(card_sheet(s), x, y, 7);

    for (size_t i = 0; i < s->skeins; i++) {
        const struct skein *k = &s->skein[i];
        double rise = k->strand < 12 ? 0.75 * k->strand : 9;

        if (fabs(x - k->x) < k->w + 4 * rise)
            left *= shadow_of(hank_outside(k, x, y),
                              hank_outside(k, x - rise, y - rise), 1.4 * rise);
        if (s->trimmings && y < k->y)
            left *= sheet_shadow(tag_sheet(k), x, y, 5);
    }
    return left;
}

struct light *picture_pixel(const struct picture *p, int x, int y)
{
    return &p->at[(size_t)y * (size_t)p->width + (size_t)x];
}

static void blend(struct light *to, struct light colour, double alpha)
{
    for (int c = 0; c < 3; c++)
        to->v[c] += alpha * (colour.v[c] - to->v[c]);
}

static void sheet_draw(struct picture *p, struct sheet b, struct light colour,
                       double grain, uint64_t seed)
{
    double reach = b.half_w + b.half_h + 4;
    int y0 = (int)clamp(b.y - reach, 0, p->height);
    int y1 = (int)clamp(b.y + reach, 0, p->height);
    int x0 = (int)clamp(b.x - reach, 0, p->width);
    int x1 = (int)clamp(b.x + reach, 0, p->width);

    for (int y = y0; y < y1; y++)
        for (int x = x0; x < x1; x++) {
            double out = sheet_outside(b, x + 0.5, y + 0.5);
            double edge = out > -2.5 ? 0.90 : 1;
            double shade = 1 + grain * noise_plane(seed, x / 1.9, y / 1.9);

            if (out < 0.5)
                blend(picture_pixel(p, x, y), scaled(colour, shade * edge),
                      clamp(0.5 - out, 0, 1));
        }
}

/* ---- pencilled numbers ---- */

/* Strokes in a box 4 wide and 6 high: from x, y to x, y. */
static const char *const digit_strokes[10] = {
    "1030 3041 4145 4536 3616 1605 0501 0110",
    "1120 2026 1636",
    "0110 1030 3041 4142 4206 0646",
    "0110 1030 3041 4142 4233 2333 3344 4445 4536 3616 1605",
    "3004 0444 3036",
    "4000 0003 0332 3243 4345 4536 3616 1605",
    "3010 1001 0105 0516 1636 3645 4544 4433 3313 1304",
    "0040 4016",
    "1030 3041 4142 4204 0405 0516 1636 3645 4544 4402 0201 0110",
    "4233 3313 1302 0201 0110 1030 3041 4145 4536 3616 1605",
};

static void dab(struct picture *p, double x, double y, double size)
{
    int r = (int)size + 2;

    for (int j = (int)y - r; j <= (int)y + r; j++)
        for (int i = (int)x - r; i <= (int)x + r; i++) {
            double dx = i + 0.5 - x, dy = j + 0.5 - y;
            double far = sqrt(dx * dx + dy * dy);

            if (i >= 0 && j >= 0 && i < p->width && j < p->height)
                blend(picture_pixel(p, i, j), pencil,
                      0.30 * clamp(size + 0.5 - far, 0, 1));
        }
}

static void stroke(struct picture *p, struct sheet b, const double from[2],
                   const double to[2], double size)
{
    double dx = to[0] - from[0], dy = to[1] - from[1];
    int steps = (int)(sqrt(dx * dx + dy * dy) * 1.4) + 1;

    for (int i = 0; i <= steps; i++) {
        double u = from[0] + dx * i / steps, v = from[1] + dy * i / steps;

        dab(p, b.x + u + b.lean * v, b.y + v - b.lean * u, size);
    }
}

static void tag_write(struct picture *p, struct sheet b, int number)
{
    char text[12];
    double unit = b.half_h * 0.20;
    int n = snprintf(text, sizeof text, "%d", number);

    for (int i = 0; i < n; i++) {
        const char *at = digit_strokes[text[i] - '0'];
        double left = (6.2 * i - 3.1 * n + 1.1) * unit, top = -3 * unit;

        for (;; at += 5) {
            double from[2] = {left + (at[0] - '0') * unit,
                              top + (at[1] - '0') * unit};
            double to[2] = {left + (at[2] - '0') * unit,
                            top + (at[3] - '0') * unit};

            stroke(p, b, from, to, 0.42 * unit);
            if (!at[4])
                break;
        }
    }
}

/* ---- ties ---- */

/* A thin cotton thread round the hank, just outside the box that is
 * measured; sign -1 is the upper one. */
static void tie_draw(struct picture *p, const struct skein *k, int sign)
{
    double half = k->w / 2, rise = 0.32 * k->strand;
    double level = sign * (k->h / 2 - half * 0.8), lean = k->tilt_pct / 100;
    int steps = (int)(k->w * 4);

    for (int i = 0; i < steps; i++) {
        double u = (2.0 * i / steps - 1) * half * 0.885;
        double sag = 0.05 * half * noise_plane(k->seed + 77, u / 40, sign);
        double q = 2 * level / k->h, twist = u / (2.6 * rise);
        double x = k->x + u + lean * level + k->bend * (1 - q * q);
        double y = k->y + level + sag - lean * u;

        twist -= floor(twist);
        for (int j = -8; j <= 8; j++) {
            double t = j / 8.0, px = x + 0.6 * rise * t, py = y + rise * t;
            double shade =
                sqrt(1 - 0.9 * t * t) * (0.75 + 0.25 * twist) * (1 - 0.25 * t);

            if (px >= 0 && py >= 0 && px < p->width && py < p->height)
                blend(picture_pixel(p, (int)px, (int)py), scaled(cotton, shade),
                      0.45);
        }
    }
}

/* ---- all of it ---- */

struct place card_box(const struct scene *s)
{
    double lean = fabs(s->card_tilt_pct) / 100;
    double inset_x = 6 + lean * s->card.h / 2,
           inset_y = 6 + lean * s->card.w / 2;

    return (struct place){
        (int)(s->card.x + inset_x), (int)(s->card.y + inset_y),
        (int)(s->card.w - 2 * inset_x), (int)(s->card.h - 2 * inset_y)};
}

int scene_thing(const struct scene *s, double x, double y)
{
    for (size_t i = s->skeins; i > 0; i--)
        if (hank_outside(&s->skein[i - 1], x, y) < 0)
            return (int)i;
    return sheet_outside(card_sheet(s), x, y) < 0 ? SCENE_CARD : 0;
}

struct light picture_mean(const struct picture *p, struct place box)
{
    struct light sum = {{0, 0, 0}};

    for (int y = box.y; y < box.y + box.h; y++)
        for (int x = box.x; x < box.x + box.w; x++)
            for (int c = 0; c < 3; c++)
                sum.v[c] += picture_pixel(p, x, y)->v[c];
    return scaled(sum, 1.0 / ((double)box.w * box.h));
}

struct picture scene_draw(const struct scene *s)
{
    struct picture p = {s->width, s->height, NULL};

    p.at = mem_new((size_t)s->width * (size_t)s->height, sizeof *p.at);
    for (int y = 0; y < s->height; y++)
        for (int x = 0; x < s->width; x++)
            *picture_pixel(&p, x, y) =
                scaled(table_at(s, x, y), shadow_at(s, x + 0.5, y + 0.5));
    for (size_t i = 0; i < s->greys; i++)
        sheet_draw(&p, grey_sheet(&s->grey[i]), light_from_lab(s->grey[i].lab),
                   0.006, s->seed + i + 1);
    sheet_draw(&p, card_sheet(s), light_from_lab(s->card_lab), 0.006, s->seed);
    for (size_t i = 0; i < s->skeins; i++) {
        const struct skein *k = &s->skein[i];

        if (s->trimmings) {
            sheet_draw(&p, tag_sheet(k), paper, 0.02, k->seed);
            tag_write(&p, tag_sheet(k), k->number);
        }
        yarn_draw(s, k, &p);
        if (s->trimmings) {
            tie_draw(&p, k, -1);
            tie_draw(&p, k, 1);
        }
    }
    return p;
}
