/*
 * One hank of plied yarn, laid flat: two layers of strands that run down one
 * side, round the end and up the other, each of two twisted plies.
 */
#include <math.h>
#include <stdlib.h>

#include "base/mem.h"
#include "exact.h"
#include "scene.h"

/* The rounded end of a hank is this much shorter than a half circle. */
#define END_SHAPE 0.8

/* From upper left; a unit vector, z towards the camera. */
static const double sun[3] = {-0.46, -0.40, 0.792};

/* What changes along a strand, one entry for each pixel of its length. */
struct knot {
    double off, height;  /* of the strand's centre */
    double slope;        /* d off / d length */
    double cosine, sine; /* of the twist */
    double dye;          /* strength of the dye, less 1 */
};

/* A closed loop at a distance c from the middle of the hank. */
struct strand {
    double c, radius, height, length, turn; /* turn: radians a pixel */
    size_t knots;
    struct knot *knot;
    uint64_t seed;
};

struct hank {
    const struct skein *k;
    double straight; /* half the length of the straight part */
    double half;     /* half the width */
    double pitch;    /* from one strand to the next of its layer */
    size_t count;
    struct strand *strand; /* upper and lower layer in turn, outwards */
};

/* Where a point lies in a hank. */
struct spot {
    double c;        /* distance from the middle line, along the loops */
    double end_part; /* 0 at the tip of an end, 1 where it becomes straight */
    double along;    /* in the straight part: from its upper end */
    int part;        /* 0 upper end, 1 straight, 2 lower end */
    bool left;
    double wx, wy; /* unit vector towards the middle, in the picture */
};

static double end_length(double c)
{
    return c * (1 + END_SHAPE) * 0.785398;
}

/* How much lower the hank lies at c than in its middle. */
static double mound(const struct hank *h, double c)
{
    return 0.08 * c * c / h->half;
}

static double whole_turns(double x)
{
    double n = floor(x + 0.5);

    return n < 1 ? 1 : n;
}

static void strand_twist(struct strand *s, struct chance *luck)
{
    double pitch = s->radius * chance_between(luck, 5.2, 5.8);
    double turns = whole_turns(s->length / pitch);
    double phase = chance_unit(luck);

    s->turn = turns * 6.283185307179586 / s->length;
    for (size_t i = 0; i < s->knots; i++) {
        double t = phase + turns * (double)i / (double)s->knots;

        s->knot[i].cosine = exact_cos_turns(t);
        s->knot[i].sine = exact_sin_turns(t);
    }
}

static void strand_wander(struct strand *s, const struct skein *k,
                          struct chance *luck)
{
    double d = 2 * s->radius;
    /* One strand in five strays across its neighbours, but none far out of
     * the hank or away from its middle. */
    double room = clamp(0.5 * (k->w / 2 - s->c), 0.25 * d, 0.3 * s->c + d / 6);
    double far = clamp(d * (chance_unit(luck) < 0.15 ? 0.85 : 0.33), 0, room);
    int64_t slow = (int64_t)whole_turns(s->length / (22 * d));
    int64_t quick = (int64_t)whole_turns(s->length / (5 * d));
    int64_t dye = (int64_t)whole_turns(s->length / (9 * d));

    for (size_t i = 0; i < s->knots; i++) {
        double t = (double)i / (double)s->knots;
        double a = noise_ring(s->seed, t * (double)slow, slow);
        double b = noise_ring(s->seed + 1, t * (double)quick, quick);
        double h = noise_ring(s->seed + 2, t * (double)slow, slow);
        double e = noise_ring(s->seed + 3, t * (double)dye, dye);

        s->knot[i].off = far * a + 0.10 * d * b;
        s->knot[i].height = 0.20 * d * h + 0.06 * d * b;
        /* Even chances blended by a smooth step have an SD of 0.43. */
        s->knot[i].dye = k->unlevel * e / 0.43;
    }
    for (size_t i = 0; i < s->knots; i++) {
        const struct knot *next = &s->knot[(i + 1) % s->knots];

        s->knot[i].slope = next->off - s->knot[i].off;
    }
}

static void strand_lay(struct hank *h, struct strand *s, double c, bool upper,
                       struct chance *luck)
{
    double d = h->k->strand;

    s->c = c;
    s->seed = chance_bits(luck);
    s->radius = 0.5 * d * chance_between(luck, 0.96, 1.04);
    s->height = (upper ? 0.75 * d : 0) - mound(h, c) +
                d * chance_between(luck, -0.05, 0.05);
    s->length = 4 * end_length(c) + 4 * h->straight;
    s->knots = (size_t)s->length + 1;
    s->knot = mem_new(s->knots, sizeof *s->knot);
    strand_twist(s, luck);
    strand_wander(s, h->k, luck);
}

static void hank_wind(struct hank *h, const struct skein *k)
{
    struct chance luck = {k->seed};
    size_t side = (size_t)(k->w / 2 / (0.86 * k->strand));

    h->k = k;
    h->half = k->w / 2;
    h->straight = k->h / 2 - h->half * END_SHAPE;
    h->pitch = (h->half - k->strand / 2) / ((double)side - 0.55);
    h->count = 2 * side;
    h->strand = mem_new(h->count, sizeof *h->strand);
    for (size_t i = 0; i < side; i++) {
        double c = ((double)i + 0.45) * h->pitch;

        strand_lay(h, &h->strand[2 * i], c, true, &luck);
        strand_lay(h, &h->strand[2 * i + 1], c - 0.4 * h->pitch, false, &luck);
    }
}

static void hank_clear(struct hank *h)
{
    for (size_t i = 0; i < h->count; i++)
        free(h->strand[i].knot);
    free(h->strand);
}

/* Into the hank's own axes: u to the right, v down, from its centre. */
static void local(const struct skein *k, double x, double y, double *u,
                  double *v)
{
    double s = k->tilt_pct / 100, n = sqrt(1 + s * s);
    double dx = x - k->x, dy = y - k->y, q;

    *v = (dy + s * dx) / n;
    q = 2 * *v / k->h;
    *u = (dx - s * dy) / n - k->bend * (1 - q * q);
}

/* How wide the hank is for its width: the ties draw it together, each at one
 * end of its straight part, and nobody lays one quite straight. */
static double girth(const struct hank *h, double v)
{
    double far = (fabs(v) - h->straight) / (1.4 * h->k->strand);

    return 1 - 0.10 / (1 + far * far / 2) +
           0.025 * noise_plane(h->k->seed + 31, v / (0.9 * h->k->w), 0);
}

static struct spot spot_find(const struct hank *h, double u, double v)
{
    struct spot s = {.part = 1};
    double past = fabs(v) - h->straight, n;

    u /= girth(h, v);
    if (past < 0) /* the middle line wanders too, between the ends */
        u += h->k->strand * clamp(-past / (2 * h->k->w), 0, 1) *
             noise_plane(h->k->seed + 32, v / (14 * h->k->strand), 0);
    s.left = u < 0;
    s.c = fabs(u);
    s.along = v + h->straight;
    s.wx = u < 0 ? 1 : -1;
    if (past <= 0)
        return s;
    s.part = v < 0 ? 0 : 2;
    past /= END_SHAPE;
    n = fabs(u) + past;
    s.end_part = n > 0 ? fabs(u) / n : 0;
    s.c = sqrt(u * u + past * past);
    if (s.c > 0) {
        s.wx = -u / s.c;
        s.wy = (v < 0 ? past : -past) / s.c;
    }
    return s;
}

/* Where along a strand the spot is: 0 at the upper tip, running down the left
 * side and up the right. */
static double spot_length(const struct hank *h, const struct strand *s,
                          const struct spot *p)
{
    double end = end_length(s->c), at;

    if (p->part == 0)
        at = p->end_part * end;
    else if (p->part == 1)
        at = end + p->along;
    else
        at = 2 * end + 2 * h->straight - p->end_part * end;
    return p->left ? at : s->length - at;
}

/* The uppermost surface seen so far at one spot. */
struct surface {
    double z;
    double nw, ns, nz; /* its normal: to the middle, along, up */
    double du, at, dye;
    uint64_t seed;
};

static struct knot knot_between(const struct strand *s, double at)
{
    double x =
        clamp(at * (double)s->knots / s->length, 0, (double)s->knots - 1e-6);
    size_t i = (size_t)x, j = (i + 1) % s->knots;
    double t = x - (double)i;
    const struct knot *a = &s->knot[i], *b = &s->knot[j];

#define MIX(field) (a->field + (b->field - a->field) * t)
    return (struct knot){MIX(off),    MIX(height), a->slope,
                         MIX(cosine), MIX(sine),   MIX(dye)};
#undef MIX
}

/* Looks whether a strand's two plies lie above what was seen. */
static void surface_try(const struct hank *h, const struct strand *s,
                        const struct spot *p, struct surface *top)
{
    double ply = 0.62 * s->radius, arm = 0.42 * s->radius;
    double at, w;
    struct knot k;

    at = spot_length(h, s, p);
    k = knot_between(s, at);
    w = s->c + k.off - p->c; /* grows towards the middle */
    if (fabs(w) > ply + arm)
        return;
    for (int i = 0; i < 2; i++) {
        double side = i ? -1 : 1;
        double du = (w - side * arm * k.cosine) / ply, rise, z;

        if (fabs(du) >= 1)
            continue;
        rise = sqrt(1 - du * du);
        z = s->height + k.height + side * arm * k.sine + ply * rise;
        if (z <= top->z)
            continue;
        top->z = z;
        top->nw = du;
        top->nz = rise;
        /* The ply climbs and turns along its helix. */
        top->ns = -du * (-side * arm * k.sine * s->turn - k.slope) -
                  rise * (side * arm * k.cosine * s->turn);
        top->du = du;
        top->at = at;
        top->dye = k.dye;
        top->seed = s->seed + (uint64_t)i;
    }
}

/* How light falls on a surface and what comes back of it. */
static struct light surface_light(const struct hank *h, const struct spot *p,
                                  const struct surface *top)
{
    const struct yarn *y = &h->k->yarn;
    double d = h->k->strand, depth, open, bulge, nx, ny, n, lit, fibre;
    struct light out;

    bulge = 0.16 * p->c / h->half; /* the hank lies like a flat mound */
    nx = (top->nw - bulge) * p->wx - top->ns * p->wy;
    ny = (top->nw - bulge) * p->wy + top->ns * p->wx;
    n = sqrt(nx * nx + ny * ny + top->nz * top->nz);
    depth = clamp((1.25 * d - mound(h, p->c) - top->z) / d, 0, 2.2);
    open = 1 / (1 + 0.45 * depth * depth);
    lit = (nx * sun[0] + ny * sun[1] + top->nz * sun[2]) / n;
    lit = 0.40 * open + 0.60 * clamp(0.15 + 0.85 * lit, 0, 1) * open * open;
    fibre = 0.10 * noise_plane(top->seed, top->at * 0.16 + 2.2 * top->du,
                               3.4 * top->du - top->at * 0.05) +
            0.07 * noise_plane(top->seed + 9, top->at * 0.7, 5 * top->du);
    for (int c = 0; c < 3; c++) {
        /* In a gap light has met the wool several times. */
        double deep = 1 - 0.75 * (1 - open) * (1 - y->reflectance.v[c]);

        out.v[c] = y->reflectance.v[c] * lit * deep * (1 + fibre) *
                       (1 + y->response.v[c] * top->dye) +
                   0.006 * open;
    }
    return out;
}

/* One sample; false where the table shows. */
static bool hank_sample(const struct hank *h, double x, double y,
                        struct light *out)
{
    struct surface top = {.z = -1e9, .nz = 1};
    struct spot p;
    double u, v, first;

    local(h->k, x, y, &u, &v);
    if (fabs(u) > h->half + 3 * h->k->strand || fabs(v) > h->k->h)
        return false;
    p = spot_find(h, u, v);
    /* Strands wander 1.6 diameters at most and reach half of one. */
    first = (p.c - 2.2 * h->k->strand) / h->pitch;
    for (size_t i = first > 0 ? 2 * (size_t)first : 0;
         i < h->count && h->strand[i].c < p.c + 2.2 * h->k->strand; i++)
        surface_try(h, &h->strand[i], &p, &top);
    if (top.z < -1e8) {
        if (p.c > h->half - h->k->strand)
            return false;
        top.z = -h->k->strand; /* between the strands: the dark inside */
    }
    *out = surface_light(h, &p, &top);
    return true;
}

/* A piece of the picture with the hank on it, light times coverage. */
struct patch {
    struct place at;
    struct light *light;
    double *cover;
};

/* One sample in the middle of a pixel, or two on one of its diagonals. */
static void patch_sample(const struct hank *h, int samples, struct patch *p)
{
    for (int i = 0; i < p->at.w * p->at.h; i++) {
        int right = i % p->at.w, below = i / p->at.w;
        double x = p->at.x + right, y = p->at.y + below;

        for (int j = 0; j < samples; j++) {
            double down = (j + 0.5) / samples;
            double across = (right + below) % 2 ? down : 1 - down;
            struct light c;

            if (!hank_sample(h, x + across, y + down, &c))
                continue;
            p->cover[i] += 1.0 / samples;
            for (int n = 0; n < 3; n++)
                p->light[i].v[n] += c.v[n] / samples;
        }
    }
}

static void patch_lay_over(struct patch *p, double x, double y, double alpha,
                           struct light colour)
{
    int i = (int)floor(x) - p->at.x, j = (int)floor(y) - p->at.y, at;

    if (i < 0 || j < 0 || i >= p->at.w || j >= p->at.h)
        return;
    at = j * p->at.w + i;
    for (int n = 0; n < 3; n++)
        p->light[at].v[n] =
            p->light[at].v[n] * (1 - alpha) + alpha * colour.v[n];
    p->cover[at] = p->cover[at] * (1 - alpha) + alpha;
}

/* Loose fibres, which lie across the strands and stand out at the edge. */
static void patch_fibres(const struct hank *h, struct patch *p)
{
    const struct skein *k = h->k;
    struct chance luck = {k->seed ^ 0x66};
    int count = (int)(k->w * k->h / 200);
    struct light colour;

    for (int i = 0; i < count; i++) {
        double u = h->half * chance_between(&luck, -1, 1);
        double v = k->h * chance_between(&luck, -0.46, 0.46);
        double angle = chance_unit(&luck), bent = 0;
        double x = k->x + u + k->bend * (1 - 4 * v * v / (k->h * k->h)) +
                   v * k->tilt_pct / 100;
        double y = k->y + v;
        int steps = (int)(k->strand * chance_between(&luck, 0.7, 3.2));
        double shade = chance_between(&luck, 0.35, 0.95);

        for (int c = 0; c < 3; c++)
            colour.v[c] = k->yarn.reflectance.v[c] * shade;
        for (int j = 0; j < steps; j++) {
            bent += 0.0015 * chance_between(&luck, -1, 1);
            angle += bent;
            x += 0.7 * exact_cos_turns(angle);
            y += 0.7 * exact_sin_turns(angle);
            patch_lay_over(p, x, y, 0.15, colour);
        }
    }
}

/* Scales the patch so that the mean of its box is the yarn's colour as laid,
 * whatever share of shadow the strands happen to have. */
static void patch_level(const struct skein *k, struct patch *p)
{
    struct place box = skein_box(k);
    struct light sum = {{0, 0, 0}}, want;
    struct lab lab = lab_from_light(k->yarn.reflectance);

    lab.L += k->lay.L;
    lab.a += k->lay.a;
    lab.b += k->lay.b;
    want = light_from_lab(lab);
    for (int y = box.y; y < box.y + box.h; y++)
        for (int x = box.x; x < box.x + box.w; x++)
            for (int c = 0; c < 3; c++)
                sum.v[c] +=
                    p->light[(y - p->at.y) * p->at.w + x - p->at.x].v[c];
    for (int c = 0; c < 3; c++) {
        double gain = want.v[c] * box.w * box.h / sum.v[c];

        for (int i = 0; i < p->at.w * p->at.h; i++)
            p->light[i].v[c] *= gain;
    }
}

static struct place patch_place(const struct skein *k, const struct picture *on)
{
    double lean = fabs(k->tilt_pct) / 100 * k->h / 2 + fabs(k->bend);
    double rx = k->w / 2 + lean + 3 * k->strand;
    double ry = k->h / 2 + 3 * k->strand;
    int x0 = (int)clamp(k->x - rx, 0, on->width);
    int y0 = (int)clamp(k->y - ry, 0, on->height);
    int x1 = (int)clamp(k->x + rx, 0, on->width);
    int y1 = (int)clamp(k->y + ry, 0, on->height);

    return (struct place){x0, y0, x1 - x0, y1 - y0};
}

void yarn_draw(const struct scene *s, const struct skein *k, struct picture *on)
{
    struct hank hank;
    struct patch p = {.at = patch_place(k, on)};
    size_t n = (size_t)p.at.w * (size_t)p.at.h;

    hank_wind(&hank, k);
    p.light = mem_new(n, sizeof *p.light);
    p.cover = mem_new(n, sizeof *p.cover);
    patch_sample(&hank, s->samples, &p);
    if (s->trimmings)
        patch_fibres(&hank, &p);
    patch_level(k, &p);
    for (size_t i = 0; i < n; i++) {
        size_t x = (size_t)p.at.x + i % (size_t)p.at.w;
        size_t y = (size_t)p.at.y + i / (size_t)p.at.w;
        struct light *to = &on->at[y * (size_t)on->width + x];

        for (int c = 0; c < 3; c++)
            to->v[c] = to->v[c] * (1 - p.cover[i]) + p.light[i].v[c];
    }
    free(p.light);
    free(p.cover);
    hank_clear(&hank);
}

struct place skein_box(const struct skein *k)
{
    double half_h = 0.82 * (k->h / 2 - k->w / 2 * END_SHAPE);
    double lean = fabs(k->tilt_pct) / 100 * half_h;
    double half_w = 0.39 * k->w - lean - fabs(k->bend) / 4;
    double x = k->x + k->bend * 0.8;

    return (struct place){(int)(x - half_w), (int)(k->y - half_h),
                          (int)(2 * half_w), (int)(2 * half_h)};
}
