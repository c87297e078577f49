/*
 * Scenes by chance, small and many, for tests of how accurate a reading is.
 */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/mem.h"
#include "exact.h"
#include "scene.h"

/* How far the same skein comes out when it is laid anew, SD of L*, a*, b*:
 * the prior of docs/colour.md for a single photo. */
static const struct lab relaid = {0.6, 0.4, 0.5};

static const struct place slots[SCENE_SKEINS] = {
    {208, 218, 0, 0}, {346, 222, 0, 0}, {484, 220, 0, 0}, {0, 0, 0, 0}};

/* A colour that such a dye pot may give: inside sRGB with room for the
 * brightest fibres, and not too dark to measure. */
static struct lab any_colour(struct chance *luck)
{
    static const struct {
        struct lab from, to;
    } families[] = {
        {{36, 28, 14}, {66, 46, 32}}, /* madder reds to corals */
        {{60, -6, 28}, {80, 4, 58}},  /* yellows */
        {{38, -8, 14}, {64, 0, 34}},  /* olives and mosses */
        {{26, 4, 8}, {56, 14, 26}},   /* browns */
        {{32, -5, 0}, {66, 6, 14}},   /* grey-greens and grey-violets */
        {{74, 0, 8}, {84, 3, 22}},    /* undyed and nearly spent */
    };
    size_t count = ARRAY_LEN(families);
    size_t i = (size_t)(chance_unit(luck) * (double)count);
    struct lab lo = families[i].from, hi = families[i].to;

    return (struct lab){chance_between(luck, lo.L, hi.L),
                        chance_between(luck, lo.a, hi.a),
                        chance_between(luck, lo.b, hi.b)};
}

static void skein_put(struct skein *k, struct place slot, struct chance *luck)
{
    k->x = slot.x + chance_between(luck, -3, 3);
    k->y = slot.y + chance_between(luck, -6, 6);
    k->w = chance_between(luck, 118, 124);
    k->h = chance_between(luck, 345, 375);
    k->tilt_pct = chance_between(luck, -2, 2);
    k->bend = chance_between(luck, -4, 4);
    k->strand = chance_between(luck, 8.5, 10);
    k->unlevel = chance_between(luck, 0.02, 0.07);
    k->seed = chance_bits(luck);
}

/* What the photographer does: expose so that the palest skein is not burnt
 * out. Threads in full light shine half as bright again as the mean. */
static double exposure_for(const struct scene *s, double wanted)
{
    double brightest = 0;

    for (size_t i = 0; i < s->skeins; i++)
        for (int c = 0; c < 3; c++)
            if (s->skein[i].yarn.reflectance.v[c] > brightest)
                brightest = s->skein[i].yarn.reflectance.v[c];
    return wanted * brightest > 0.56 ? 0.56 / brightest : wanted;
}

static struct scene bare(struct chance *luck)
{
    struct scene s = scene_default();

    s.width = 560;
    s.height = 440;
    s.seed = chance_bits(luck);
    s.trimmings = false;
    s.samples = 1;
    s.table = (enum table_top)(chance_unit(luck) * 3);
    s.card = (struct place){12, (int)chance_between(luck, 40, 230), 124, 160};
    s.card_tilt_pct = chance_between(luck, -3, 3);
    s.card_lab = (struct lab){chance_between(luck, 46, 54),
                              chance_between(luck, -0.8, 0.8),
                              chance_between(luck, -0.8, 0.8)};
    s.noise = chance_between(luck, 0.5, 1.5);
    s.quality = (int)chance_between(luck, 85, 93);
    s.orientation = 1 + (int)(chance_unit(luck) * 8);
    s.encoding = chance_unit(luck) < 0.5 ? ENCODING_SRGB : ENCODING_P3;
    s.skeins = 3;
    for (size_t i = 0; i < s.skeins; i++) {
        s.skein[i].number = (int)i + 1;
        skein_put(&s.skein[i], slots[i], luck);
        s.skein[i].yarn = yarn_of_lab(any_colour(luck));
    }
    s.exposure = exposure_for(&s, chance_between(luck, 0.85, 1.1));
    return s;
}

/* A lamp between a bulb and the blue sky, most of it taken out by the
 * camera. */
static void lamp_put(struct scene *s, struct chance *luck, double strength)
{
    double warm = strength * chance_between(luck, -1, 1);
    double green = 0.2 * strength * chance_between(luck, -1, 1);

    s->lamp = (struct light){{1 + warm, 1 + green, 1 - 1.2 * warm}};
}

static void unevenness_put(struct scene *s, struct chance *luck, double pct)
{
    s->slope_x_pct = pct * chance_between(luck, -1, 1);
    s->slope_y_pct = pct * chance_between(luck, -1, 1);
    s->warm_slope_pct = 0.25 * pct * chance_between(luck, -1, 1);
    s->vignette_pct = 0.6 * pct * chance_unit(luck);
}

static void relay(struct scene *s, struct chance *luck)
{
    for (size_t i = 0; i < s->skeins; i++) {
        skein_put(&s->skein[i], slots[i], luck);
        s->skein[i].lay = (struct lab){relaid.L * chance_normal(luck),
                                       relaid.a * chance_normal(luck),
                                       relaid.b * chance_normal(luck)};
    }
}

static void name_put(struct scene *s, const char *kind, int n, const char *end)
{
    snprintf(s->name, sizeof s->name, "%s-%04d%s", kind, n, end);
}

/* The same card, lamp and camera n times: the yarn is laid anew, the light is
 * a little stronger or weaker, and falls a little otherwise. */
static void repeat_put(struct scene *out, size_t n, struct chance *luck)
{
    lamp_put(&out[0], luck, 0.08);
    unevenness_put(&out[0], luck, 4);
    for (size_t i = 1; i < n; i++)
        out[i] = out[0];
    for (size_t i = 0; i < n; i++) {
        relay(&out[i], luck);
        out[i].seed = chance_bits(luck);
        out[i].exposure *= chance_between(luck, 0.95, 1.05);
        out[i].slope_x_pct += 3 * chance_normal(luck);
        out[i].slope_y_pct += 3 * chance_normal(luck);
    }
}

static struct lab moved(struct lab from, struct lab along, double by)
{
    return (struct lab){from.L + by * along.L, from.a + by * along.a,
                        from.b + by * along.b};
}

/* So far along that it is `apart` CIEDE2000 away. */
static struct lab away(struct lab from, struct lab along, double apart)
{
    double lo = 0, hi = 40;

    for (int i = 0; i < 40; i++) {
        const double mid = (lo + hi) / 2;

        *(lab_de00(from, moved(from, along, mid)) < apart ? &lo : &hi) = mid;
    }
    return moved(from, along, lo);
}

/* Three skeins on a line of colours, the second between the others: 2 from the
 * first and 3 from the third. */
static void apart_put(struct scene out[SCENE_PHOTOS], struct chance *luck)
{
    const struct lab middle = any_colour(luck);
    const struct lab along = {chance_between(luck, -1, 1),
                              chance_between(luck, -1, 1),
                              chance_between(luck, -1, 1)};
    const struct lab back = {-along.L, -along.a, -along.b};

    out[0].skein[0].yarn = yarn_of_lab(away(middle, back, 2));
    out[0].skein[1].yarn = yarn_of_lab(middle);
    out[0].skein[2].yarn = yarn_of_lab(away(middle, along, 3));
    out[0].exposure = exposure_for(&out[0], out[0].exposure);
    repeat_put(out, SCENE_PHOTOS, luck);
}

/* Steps of grey beside one skein, and another day other skeins beside the card
 * alone, by one camera that bends the tones. */
static void camera_put(struct scene out[2], struct chance *luck)
{
    static const struct lab steps[] = {{94, -0.4, 1.2},
                                       {80, -0.6, 0.3},
                                       {66, -0.5, -0.2},
                                       {36, -0.3, -0.4},
                                       {21, 0.2, -0.5}};

    out[1] = bare(luck);
    out[1].encoding = out[0].encoding;
    out[0].exposure = chance_between(luck, 0.8, 0.95);
    out[0].tone = out[1].tone = chance_between(luck, 0.1, 0.45);
    for (int i = 0; i < 2; i++) {
        lamp_put(&out[i], luck, 0.08);
        unevenness_put(&out[i], luck, 3);
    }
    out[0].skeins = 1;
    out[0].greys = ARRAY_LEN(steps);
    for (size_t i = 0; i < ARRAY_LEN(steps); i++)
        out[0].grey[i] =
            (struct grey){{284 + 52 * (int)i, 70, 48, 300}, steps[i]};
}

/*
 * Errors of the sizes of docs/colour.md, one sigma each, and all normal: how
 * the yarn is laid (A4) and light that differs between card and skein (B1) for
 * each photograph, the rest once for all. Of the lamp nothing is said to the
 * reader, so B4 counts twice.
 */
static const struct {
    double light, tone, camera_L, camera_ab, camera_C;
    struct lab card, instrument;
} stated = {.light = 0.015,
            .tone = 0.30,
            .camera_L = 1,
            .camera_ab = 1,
            .camera_C = 0.08,
            .card = {0.5, 0.3, 0.3},
            .instrument = {1, 0.4, 0.4}};

/* Nearer to normal in its tails than chance_normal. */
static double tailed(struct chance *luck)
{
    double sum = 0;

    for (int i = 0; i < 9; i++)
        sum += chance_normal(luck);
    return sum / 3;
}

static struct lab tailed_lab(struct chance *luck, struct lab sd)
{
    return (struct lab){sd.L * tailed(luck), sd.a * tailed(luck),
                        sd.b * tailed(luck)};
}

static struct lab camera_of(struct lab at, struct chance *luck)
{
    const double C2 = at.a * at.a + at.b * at.b;
    const double ab = stated.camera_ab + stated.camera_C * sqrt(C2);

    return moved(tailed_lab(luck, stated.instrument),
                 tailed_lab(luck, (struct lab){stated.camera_L, ab, ab}), 1);
}

static void stated_put(struct scene out[SCENE_PHOTOS], struct chance *luck)
{
    struct lab colour[SCENE_SKEINS] = {{0}}, camera[SCENE_SKEINS] = {{0}};

    out[0].card_told = tailed_lab(luck, stated.card);
    /* What was there is what was read to the power of 1 and the error; with
     * less than 0.4 of it no camera would be usable. */
    out[0].power = 1 / clamp(1 + stated.tone * tailed(luck), 0.4, 3);
    for (size_t i = 0; i < out[0].skeins; i++) {
        colour[i] = any_colour(luck);
        camera[i] = camera_of(colour[i], luck);
        out[0].skein[i].yarn = yarn_of_lab(colour[i]);
    }
    out[0].exposure = exposure_for(&out[0], 0.85);
    for (int k = 1; k < SCENE_PHOTOS; k++)
        out[k] = out[0];
    for (int k = 0; k < SCENE_PHOTOS; k++) {
        out[k].seed = chance_bits(luck);
        out[k].exposure *= chance_between(luck, 0.95, 1.05);
        for (size_t i = 0; i < out[k].skeins; i++) {
            struct skein *s = &out[k].skein[i];
            /* a cube root of light moves by a third of what it does */
            const struct lab lit = {colour[i].L + 16, colour[i].a, colour[i].b};

            skein_put(s, slots[i], luck);
            s->lay = tailed_lab(luck, relaid);
            s->lay = moved(s->lay, lit, stated.light / 3 * tailed(luck));
            s->told = moved(camera[i], s->lay, -1);
        }
    }
}

bool scene_random(const char *kind, uint64_t seed, int n,
                  struct scene out[SCENE_PHOTOS], size_t *count)
{
    static const char *const ends[SCENE_PHOTOS] = {"-a", "-b", "-c", "-d"};
    struct chance luck = {seed * UINT64_C(1000003) + (uint64_t)n};

    out[0] = bare(&luck);
    *count = 1;
    if (!strcmp(kind, "even")) {
        lamp_put(&out[0], &luck, 0.02);
    } else if (!strcmp(kind, "varied")) {
        lamp_put(&out[0], &luck, 0.12);
        unevenness_put(&out[0], &luck, 14);
        if (chance_unit(&luck) < 0.4)
            out[0].tone = chance_between(&luck, 0.05, 0.35);
        relay(&out[0], &luck);
    } else if (!strcmp(kind, "repeat")) {
        repeat_put(out, 2, &luck);
        *count = 2;
    } else if (!strcmp(kind, "apart")) {
        apart_put(out, &luck);
        *count = SCENE_PHOTOS;
    } else if (!strcmp(kind, "stated")) {
        stated_put(out, &luck);
        *count = SCENE_PHOTOS;
    } else if (!strcmp(kind, "camera")) {
        camera_put(out, &luck);
        *count = 2;
    } else {
        return false;
    }
    for (size_t i = 0; i < *count; i++)
        name_put(&out[i], kind, n, *count > 1 ? ends[i] : "");
    return true;
}
