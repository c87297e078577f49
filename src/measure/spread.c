/* The uncertainty of a corrected colour. See the header. */
#include "measure/spread.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "measure/check.h"

/* One sigma each; argued in docs/colour.md. Those without a unit are CIELAB
 * units, C stands for chroma. */
static const struct {
    double rounding_margin;              /* A3, a factor */
    double repeat_L, repeat_a, repeat_b; /* A4 for a single picture */
    double small_ab;
    double gamut;          /* light cut off, of the brightest channel's */
    double light_floor;    /* B1, relative */
    double light_share;    /* B1, of the difference foretold */
    double light_unsure;   /* B1, at most so much is believed of a
                              slope that may be noise */
    double tone, tone_hdr; /* B3, of the exponent */
    double camera_L, camera_ab, camera_C, camera_lamp; /* B4; a factor */
    double profile_exif_C, profile_none_C;             /* B5 */
    double instrument_L, instrument_ab;                /* B6 */
} size = {
    .rounding_margin = 1.3,
    .repeat_L = 0.6,
    .repeat_a = 0.4,
    .repeat_b = 0.5,
    .small_ab = 1,
    .gamut = 0.02,
    .light_floor = 0.015,
    .light_share = 0.5,
    .light_unsure = 0.08,
    .tone = 0.30,
    .tone_hdr = 0.45,
    .camera_L = 0.5,
    .camera_ab = 0.5,
    .camera_C = 0.04,
    .camera_lamp = 2,
    .profile_exif_C = 0.01,
    .profile_none_C = 0.04,
    .instrument_L = 1.0,
    .instrument_ab = 0.4,
};

const char *measure_part_text(enum measure_part part)
{
    switch (part) {
    case MEASURE_SKEIN:
        return "the skein differs from place to place";
    case MEASURE_CARD:
        return "the card differs from place to place";
    case MEASURE_ROUNDING:
        return "rounding in the JPEG";
    case MEASURE_REPEAT:
        return "another picture of the same skein";
    case MEASURE_SMALL:
        return "a box too small to keep off its edges";
    case MEASURE_GAMUT:
        return "a colour outside the picture's colour space";
    case MEASURE_LIGHT:
        return "light that may differ between card and skein";
    case MEASURE_CARD_VALUE:
        return "the card's own values";
    case MEASURE_TONE:
        return "the camera's tone curve, away from the card's lightness";
    case MEASURE_CAMERA:
        return "the camera does not see as the eye does";
    case MEASURE_PROFILE:
        return "a colour space that was only assumed";
    case MEASURE_INSTRUMENT:
        return "a picture is no instrument";
    }
    return "";
}

static struct cov3 along(const double v[3])
{
    return (struct cov3){.LL = v[0] * v[0],
                         .La = v[0] * v[1],
                         .Lb = v[0] * v[2],
                         .aa = v[1] * v[1],
                         .ab = v[1] * v[2],
                         .bb = v[2] * v[2]};
}

static double chroma(struct lab c)
{
    return hypot(c.a, c.b);
}

/* ---- A1, A2: places differ ---------------------------------------------- */

/* Covariance of the mean of n triples. */
static struct cov3 cov_of_mean(double (*v)[3], size_t n)
{
    double mean[3] = {0};
    struct cov3 sum = {0};

    if (n < 2)
        return sum;
    for (size_t i = 0; i < n; i++)
        for (int k = 0; k < 3; k++)
            mean[k] += v[i][k] / (double)n;
    for (size_t i = 0; i < n; i++) {
        const double d[3] = {v[i][0] - mean[0], v[i][1] - mean[1],
                             v[i][2] - mean[2]};

        sum = cov3_add(sum, along(d));
    }
    return cov3_scale(sum, 1 / ((double)n * (double)(n - 1)));
}

/* Three to six tiles a side, two blocks or more each where there are enough. */
static uint32_t tiles_along(uint32_t blocks)
{
    uint32_t n = blocks / 2 < 3 ? 3 : blocks / 2 > 6 ? 6 : blocks / 2;

    return n < blocks ? n : blocks;
}

static size_t tiles_of(const struct area *area, struct tile out[36])
{
    return area_tiles(area, tiles_along(area->nx), tiles_along(area->ny), true,
                      out);
}

struct cov3 spread_places(const struct spread_input *in)
{
    struct tile tile[36];
    double v[36][3];
    const size_t n = tiles_of(in->skein, tile);

    for (size_t i = 0; i < n; i++) {
        const struct lab lab = lab_from_xyz(correction_apply(
            in->correction, light_xyz(in->light, tile[i].light)));

        v[i][0] = lab.L;
        v[i][1] = lab.a;
        v[i][2] = lab.b;
    }
    return cov_of_mean(v, n);
}

static struct cov3 card_places(const struct spread_input *in, struct lab lab)
{
    struct tile tile[36];
    double v[36][3];
    const size_t n = tiles_of(in->card, tile);
    const struct xyz mean = light_xyz(in->light, in->card_stats->light);

    for (size_t i = 0; i < n; i++) {
        const struct xyz at = light_xyz(in->light, tile[i].light);

        v[i][0] = at.X / mean.X;
        v[i][1] = at.Y / mean.Y;
        v[i][2] = at.Z / mean.Z;
    }
    return cov3_from_relative(lab, cov_of_mean(v, n));
}

/* ---- A3: rounding ------------------------------------------------------- */

/* d of spread_rounding: n cells whose means have standard deviation sd codes.
 */
static double dither(const struct running *cells, int dc)
{
    const double quantum = dc / 8.0, pi = acos(-1);
    const double step = sqrt(1 + quantum * quantum);
    double variance = running_sd(cells) * running_sd(cells);

    if (cells->n < 4)
        return 1;
    /* What few cells show is believed less, by one standard error; and
     * quantising has itself scattered their means (Sheppard). */
    variance *= 1 - sqrt(2 / (cells->n - 1));
    variance = fmax(variance - quantum * quantum / 12, 0);
    return fmax(1 / sqrt(cells->n),
                exp(-2 * pi * pi * variance / (step * step)));
}

struct mat3 spread_rounding(int dc_luma, int dc_chroma, const double d[3])
{
    /* Columns: what one code of Y, Cb, Cr adds to red, green, blue (ITU-T
     * T.871). */
    static const struct mat3 rgb = {
        {{1, 0, 1.402}, {1, -0.344136, -0.714136}, {1, 1.772, 0}}};
    const double dc[3] = {dc_luma / 8.0, dc_chroma / 8.0, dc_chroma / 8.0};
    struct mat3 ycc = {{{0}}}, out;

    for (int i = 0; i < 3; i++)
        ycc.at[i][i] = (1 + dc[i] * dc[i]) / 12 * d[i] * d[i];
    out = mat3_spread(&rgb, &ycc);
    for (int i = 0; i < 3; i++)
        out.at[i][i] += d[0] * d[0] / 12;
    return out;
}

/* The code whose light the mean is: brighter than the mean code. */
static void codes_of(const struct light *light, const struct stats *stats,
                     double code[3])
{
    for (int c = 0; c < 3; c++) {
        int v = 0;

        while (!light->table && v < 255 && light->curve[c][v] < stats->light[c])
            v++;
        code[c] = light->table ? stats->code[c] : v;
    }
}

/* Covariance of the area's XYZ, as the profile gives it. */
static struct mat3 rounding_of(const struct spread_input *in,
                               const struct area *area,
                               const struct stats *stats)
{
    const double d[3] = {
        dither(&area->luma.Y, in->photo->dc_luma),
        dither(&area->chroma.Cb, in->photo->dc_chroma),
        dither(&area->chroma.Cr, in->photo->dc_chroma),
    };
    struct mat3 cov, slope;
    double code[3];

    cov = spread_rounding(in->photo->dc_luma, in->photo->dc_chroma, d);
    codes_of(in->light, stats, code);
    slope = light_slope(in->light, code);
    cov = mat3_spread(&slope, &cov);
    for (int i = 0; i < 9; i++)
        cov.at[i / 3][i % 3] *= size.rounding_margin * size.rounding_margin;
    return cov;
}

/* How L, a, b of the corrected skein move with its XYZ before correction. */
static struct mat3 skein_slope(const struct spread_input *in, struct xyz at)
{
    const double step = 1e-5;
    struct mat3 j;

    for (int c = 0; c < 3; c++) {
        struct xyz low = at, high = at;
        struct lab x, y;

        *(c == 0 ? &low.X : c == 1 ? &low.Y : &low.Z) -= step;
        *(c == 0 ? &high.X : c == 1 ? &high.Y : &high.Z) += step;
        x = lab_from_xyz(correction_apply(in->correction, low));
        y = lab_from_xyz(correction_apply(in->correction, high));
        j.at[0][c] = (y.L - x.L) / (2 * step);
        j.at[1][c] = (y.a - x.a) / (2 * step);
        j.at[2][c] = (y.b - x.b) / (2 * step);
    }
    return j;
}

struct cov3 spread_rounded(const struct spread_input *in)
{
    const struct mat3 slope =
        skein_slope(in, light_xyz(in->light, in->skein_stats->light));
    struct mat3 skein = rounding_of(in, in->skein, in->skein_stats);

    skein = mat3_spread(&slope, &skein);
    return mat3_cov(&skein);
}

static struct cov3 rounding(const struct spread_input *in, struct lab lab)
{
    const struct xyz card = light_xyz(in->light, in->card_stats->light);
    const double v[3] = {card.X, card.Y, card.Z};
    struct mat3 rel = rounding_of(in, in->card, in->card_stats);

    for (int i = 0; i < 9; i++)
        rel.at[i / 3][i % 3] /= v[i / 3] * v[i % 3];
    return cov3_add(spread_rounded(in),
                    cov3_from_relative(lab, mat3_cov(&rel)));
}

/* ---- a colour cut off --------------------------------------------------- */

/* Of the light of a channel at nought nothing is known but that the space of
 * the picture has no room for it. */
static struct cov3 gamut(const struct spread_input *in)
{
    const struct stats *s = in->skein_stats;
    const double brightest = fmax(s->light[0], fmax(s->light[1], s->light[2]));
    struct mat3 lost = {{{0}}};
    const struct mat3 slope = skein_slope(in, light_xyz(in->light, s->light));

    for (int c = 0; c < 3; c++) {
        const double u = size.gamut * brightest * s->lost[c];

        lost.at[c][c] = u * u;
    }
    lost = mat3_spread(&in->light->m, &lost);
    lost = mat3_spread(&slope, &lost);
    return mat3_cov(&lost);
}

/* ---- slopes of light ---------------------------------------------------- */

/* A slope over n cells that each are off by a relative error u; the cells lie
 * evenly over the width. */
static double slope_variance(double u, double n, double width)
{
    return (12 * u * u / fmax(n, 1) + CHECK_CARD_EVEN * CHECK_CARD_EVEN) /
           (width * width);
}

/* Blocks that share a cell of the JPEG are wrong together: there are no more
 * independent ones than cells. */
static void widen(struct plane *plane, const struct stats *stats, double u,
                  double cells)
{
    const double shared = fmax(stats->blocks / fmax(cells, 1), 1);

    plane->xx *= shared;
    plane->xy *= shared;
    plane->yy *= shared;
    plane->xx += slope_variance(u, cells, stats->width);
    plane->yy += slope_variance(u, cells, stats->height);
}

/* Relative covariance of linear red, green and blue in one cell, by rounding
 * alone. */
static struct mat3 cell_rounding(const struct photo *photo,
                                 const struct light *light,
                                 const struct stats *stats)
{
    static const double whole[3] = {1, 1, 1};
    struct mat3 cov = spread_rounding(photo->dc_luma, photo->dc_chroma, whole);
    struct mat3 slope;
    double code[3];

    codes_of(light, stats, code);
    slope = light_slope(light, code);
    cov = mat3_spread(&slope, &cov);
    cov = mat3_spread(&light->back, &cov);
    for (int i = 0; i < 9; i++)
        cov.at[i / 3][i % 3] /=
            fmax(stats->light[i / 3] * stats->light[i % 3], 1e-12);
    return cov;
}

void spread_widen(const struct photo *photo, const struct light *light,
                  const struct area *card, struct stats *stats)
{
    const struct mat3 c = cell_rounding(photo, light, stats);
    const double pixels = stats->width * stats->height;
    const double luma = pixels / (card->luma.w * card->luma.h);
    const double chroma_cells = pixels / (card->chroma.w * card->chroma.h);

    widen(&stats->Y, stats, sqrt(c.at[1][1]), luma);
    widen(&stats->RG, stats, sqrt(c.at[0][0] + c.at[1][1] - 2 * c.at[0][1]),
          chroma_cells);
    widen(&stats->BG, stats, sqrt(c.at[2][2] + c.at[1][1] - 2 * c.at[2][1]),
          chroma_cells);
}

double spread_range(const struct plane *plane, const struct stats *stats)
{
    const double w = stats->width, h = stats->height;
    const double range = fabs(plane->gx) * w + fabs(plane->gy) * h;

    return fmax(range - 2 * sqrt(plane->xx * w * w + plane->yy * h * h), 0);
}

double spread_light_difference(const struct stats *card,
                               const struct stats *skein, bool *sure)
{
    double x = skein->x - card->x, y = skein->y - card->y;
    const struct plane *p = &card->Y;
    const double reach = CHECK_SLOPE_REACH * sqrt(card->width * card->height);
    const double distance = hypot(x, y);
    double d, variance;

    if (distance > reach) {
        x *= reach / distance;
        y *= reach / distance;
    }
    d = fabs(p->gx * x + p->gy * y);
    variance = p->xx * x * x + 2 * p->xy * x * y + p->yy * y * y;
    *sure = d > CHECK_SLOPE_SIGMAS * sqrt(fmax(variance, 0));
    return d;
}

/* ---- B1 to B6 ----------------------------------------------------------- */

static struct cov3 uneven_light(const struct spread_input *in, struct lab lab)
{
    bool sure;
    double d = spread_light_difference(in->card_stats, in->skein_stats, &sure);
    double e[3];

    if (!sure)
        d = fmin(d, size.light_unsure);
    e[0] = e[1] = e[2] = hypot(size.light_floor, size.light_share * d);
    return cov3_from_relative(lab, along(e));
}

static struct cov3 card_value(const struct measure_card *card, struct lab lab)
{
    const double factor = (lab.L + 16) / (card->lab.L + 16);

    return cov3_scale(cov3_diagonal(card->uL, card->ua, card->ub),
                      factor * factor);
}

struct cov3 spread_tone(double u_gamma, const struct light *light,
                        struct lab lab, struct lab card)
{
    const struct xyz at = xyz_from_lab(lab), grey = xyz_from_lab(card);
    const double least = 1e-4; /* of light: nothing in a picture is darker */
    double rgb[3] = {at.X, at.Y, at.Z}, of_card[3] = {grey.X, grey.Y, grey.Z};
    double e[3];

    mat3_apply(&light->back, rgb, rgb);
    mat3_apply(&light->back, of_card, of_card);
    for (int c = 0; c < 3; c++) {
        const double is = fmax(rgb[c], least);

        e[c] = u_gamma * is * log(is / fmax(of_card[c], least));
    }
    mat3_apply(&light->m, e, e);
    e[0] /= fmax(at.X, least);
    e[1] /= fmax(at.Y, least);
    e[2] /= fmax(at.Z, least);
    return cov3_from_relative(lab, along(e));
}

static struct cov3 camera(const struct measure_request *request, struct lab lab)
{
    const double factor = request->daylight ? 1 : size.camera_lamp;
    const double ab = size.camera_ab + size.camera_C * chroma(lab);

    return cov3_diagonal(factor * size.camera_L, factor * ab, factor * ab);
}

static struct cov3 profile(const struct light *light, struct lab lab)
{
    double ab = 0;

    switch (light->evidence) {
    case EVIDENCE_EMBEDDED:
        break;
    case EVIDENCE_EXIF:
        ab = size.profile_exif_C * chroma(lab);
        break;
    case EVIDENCE_NONE:
        ab = size.profile_none_C * chroma(lab);
        break;
    }
    return cov3_diagonal(0, ab, ab);
}

void spread_parts(const struct spread_input *in, struct lab lab,
                  struct cov3 part[MEASURE_PARTS])
{
    const double boxes = (double)in->card->small + (double)in->skein->small;
    const double small = size.small_ab * sqrt(boxes);
    const unsigned hdr = PHOTO_NOTE_GAIN_MAP | PHOTO_NOTE_RENDERED;
    const double u_gamma = in->photo->notes & hdr ? size.tone_hdr : size.tone;

    part[MEASURE_SKEIN] = spread_places(in);
    part[MEASURE_CARD] = card_places(in, lab);
    part[MEASURE_ROUNDING] = rounding(in, lab);
    part[MEASURE_REPEAT] =
        cov3_diagonal(size.repeat_L, size.repeat_a, size.repeat_b);
    part[MEASURE_SMALL] = cov3_diagonal(0, small, small);
    part[MEASURE_GAMUT] = gamut(in);
    part[MEASURE_LIGHT] = uneven_light(in, lab);
    part[MEASURE_CARD_VALUE] = card_value(&in->request->card, lab);
    part[MEASURE_TONE] =
        spread_tone(u_gamma, in->light, lab, in->request->card.lab);
    part[MEASURE_CAMERA] = camera(in->request, lab);
    part[MEASURE_PROFILE] = profile(in->light, lab);
    part[MEASURE_INSTRUMENT] = cov3_diagonal(
        size.instrument_L, size.instrument_ab, size.instrument_ab);
    if (in->refer->field.kind != FIELD_NONE)
        part[MEASURE_LIGHT] = spread_field(
            in, lab, in->refer->count ? in->refer->u_gamma : u_gamma);
    if (in->refer->count)
        spread_refer(in, lab, u_gamma / size.tone, part);
}
