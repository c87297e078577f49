/*
 * An invented phone: lens, the lamp's colour and its fall over the table,
 * sensor noise, tone curve, and 8-bit codes of sRGB or Display P3.
 */
#include <math.h>
#include <stdlib.h>

#include "base/mem.h"
#include "exact.h"
#include "scene.h"

#define CODES 4096

/* ---- the lens ---- */

static void soften(struct light *at, size_t n, size_t step, double side)
{
    struct light before = at[0];

    for (size_t i = 0; i < n; i++) {
        struct light here = at[i * step];
        struct light after = i + 1 < n ? at[(i + 1) * step] : here;

        for (int c = 0; c < 3; c++)
            at[i * step].v[c] =
                here.v[c] + side * (before.v[c] + after.v[c] - 2 * here.v[c]);
        before = here;
    }
}

static void lens(struct picture *p, double side)
{
    size_t width = (size_t)p->width, height = (size_t)p->height;

    for (size_t y = 0; y < height; y++)
        soften(p->at + y * width, width, 1, side);
    for (size_t x = 0; x < width; x++)
        soften(p->at + x, height, width, side);
}

/* ---- lamp and sensor ---- */

/* What the lamp, the lens's corners and the exposure make of a white place. */
static struct light light_at(const struct scene *s, double x, double y)
{
    double u = x / s->width - 0.5, v = y / s->height - 0.5;
    double fall = (1 + s->slope_x_pct / 100 * u + s->slope_y_pct / 100 * v) *
                  (1 - s->vignette_pct / 100 * 2 * (u * u + v * v));
    double warm = s->warm_slope_pct / 100 * u;
    struct light e;

    fall *= s->exposure;
    e.v[0] = fall * s->lamp.v[0] * (1 + warm);
    e.v[1] = fall * s->lamp.v[1];
    e.v[2] = fall * s->lamp.v[2] * (1 - warm);
    return e;
}

/* Photons and electronics; 1 gives about 1.6 codes in the middle greys. */
static double sensor(struct chance *luck, double signal, double noise)
{
    double photons = signal > 0 ? 1.5e-4 * signal : 0;

    return signal + noise * sqrt(photons + 6.4e-7) * chance_normal(luck);
}

/* The faint blotches that a phone's noise filter leaves: a factor of about
 * 1 +- 0.008 in each channel. */
static double blotch(struct noise *n, double noise, int x, int y)
{
    return 1 + 0.022 * noise * noise_near(n, x / 13.0, y / 13.0);
}

/* ---- tone and codes ---- */

/* The curve of sRGB and Display P3. Source: IEC 61966-2-1. */
static double encode(double v)
{
    if (v <= 0.0031308)
        return 12.92 * v;
    return 1.055 * exact_pow(v, 1 / 2.4) - 0.055;
}

/* Codes by the square root of linear light, where they are nearly even. */
static double *code_table(double tone, double power)
{
    double *code = mem_new(CODES + 2, sizeof *code);

    for (int i = 0; i <= CODES; i++) {
        double q = (double)i / CODES, v = q * q, e;

        if (power != 1 && i > 0)
            v = 0.56 * exact_pow(v / 0.56, power);
        e = encode(clamp(v, 0, 1));

        /* An S about the middle: its slope is 1 - tone at both ends and
         * 1 + tone / 2 between. */
        e += tone * e * (1 - e) * (2 * e - 1);
        code[i] = 255 * e;
    }
    code[CODES + 1] = code[CODES];
    return code;
}

static unsigned char code_of(const double *code, double v)
{
    double q = sqrt(clamp(v, 0, 1)) * CODES;
    int i = (int)q;

    return (unsigned char)(code[i] + (code[i + 1] - code[i]) * (q - i) + 0.5);
}

static struct matrix rgb_from_light(enum encoding e)
{
    struct matrix xyz_from_rgb, back;
    size_t size;

    free(profile_bytes(e, &size, &xyz_from_rgb));
    back = matrix_inverse(&xyz_from_rgb);
    return matrix_product(&back, &xyz_from_light);
}

unsigned char *camera_expose(const struct scene *s, struct picture *p)
{
    unsigned char *rgb = mem_new((size_t)p->width * (size_t)p->height, 3);
    struct matrix to_rgb = rgb_from_light(s->encoding);
    struct chance luck = {s->seed ^ UINT64_C(0x5eed)};
    double *code = code_table(s->tone, s->power);
    unsigned char *to = rgb;
    struct noise blotches[3] = {
        {.seed = s->seed + 40}, {.seed = s->seed + 41}, {.seed = s->seed + 42}};

    if (s->blur > 0)
        lens(p, s->blur);
    for (int y = 0; y < p->height; y++)
        for (int x = 0; x < p->width; x++) {
            struct light e = light_at(s, x + 0.5, y + 0.5), v;
            const struct light *at = picture_pixel(p, x, y);

            for (int c = 0; c < 3; c++)
                v.v[c] = sensor(&luck,
                                at->v[c] * e.v[c] *
                                    blotch(&blotches[c], s->noise, x, y),
                                s->noise);
            v = matrix_apply(&to_rgb, v);
            for (int c = 0; c < 3; c++)
                *to++ = code_of(code, v.v[c]);
        }
    free(code);
    return rgb;
}
