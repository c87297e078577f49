/* A copy as the grey card corrects it. See the header. */
#include "measure/corrected.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "measure/correct.h"
#include "measure/light.h"
#include "measure/strip.h"
#include "photo/write.h"

#define QUALITY 92 /* of libjpeg's 100 */
#define STEPS                                                                  \
    65535 /* of linear light: a twentieth of a code where it is dark */

struct copy {
    struct photo photo;
    struct light light;
    struct mat3 to_srgb;      /* the picture's linear light to that of sRGB */
    uint16_t code[STEPS + 1]; /* of sRGB's linear light, 256 to a code */
    struct photo whole;       /* size and orientation only: picture and strip */
    struct box at;            /* where the picture lies in it, as stored */
    struct box strip_at;
    unsigned char *strip; /* as stored */
    struct photo_writer *writer;
    double *linear;
    struct xyz *scratch;
    unsigned char *row; /* of the whole */
    uint32_t rows;      /* written */
};

/* ---- colours ------------------------------------------------------------ */

static struct mat3 srgb_from_xyz(void)
{
    struct icc *srgb = icc_open_builtin(ICC_SRGB);
    double curve[3][256];
    struct mat3 m;

    icc_curves(srgb, curve, m.at);
    icc_close(srgb);
    return mat3_inverse(&m);
}

/* IEC 61966-2-1. */
static void fill_codes(uint16_t code[STEPS + 1])
{
    for (int i = 0; i <= STEPS; i++) {
        const double v = i / (double)STEPS;
        const double x =
            v <= 0.0031308 ? 12.92 * v : 1.055 * pow(v, 1 / 2.4) - 0.055;

        code[i] = (uint16_t)lround(255 * 256 * x);
    }
}

/* Linear light of sRGB to codes, those outside cut off; `up` of 256 is where
 * each is rounded up. */
static void codes_of(const struct copy *copy, const double light[3],
                     const uint32_t up[3], unsigned char rgb[3])
{
    for (int c = 0; c < 3; c++) {
        const double v = fmin(fmax(light[c], 0), 1);

        rgb[c] = (unsigned char)((copy->code[lround(STEPS * v)] + up[c]) >> 8);
    }
}

/* A pixel of the picture. Rounding up and down by chance, the same each time,
 * leaves the mean of an even area as it is. */
static void pixel(const struct copy *copy, const double light[3],
                  uint32_t *chance, unsigned char rgb[3])
{
    double v[3];
    uint32_t up[3];

    *chance = *chance * 1664525u + 1013904223u; /* Numerical Recipes, 7.1 */
    for (int c = 0; c < 3; c++)
        up[c] = *chance >> (24 - 8 * c) & 0xFF;
    mat3_apply(&copy->to_srgb, light, v);
    codes_of(copy, v, up, rgb);
}

/* Linear light to XYZ, the gains, and on to sRGB. Linear, so that its columns
 * are what becomes of red, green and blue. */
static void compose(struct copy *copy, const double gain[3])
{
    const struct mat3 back = srgb_from_xyz();
    struct correction correction = {.chart = NULL};

    memcpy(correction.gain, gain, sizeof correction.gain);
    for (int c = 0; c < 3; c++) {
        double v[3] = {c == 0, c == 1, c == 2};
        const struct xyz xyz =
            correction_apply(&correction, light_xyz(&copy->light, v));
        const double w[3] = {xyz.X, xyz.Y, xyz.Z};

        mat3_apply(&back, w, v);
        for (int r = 0; r < 3; r++)
            copy->to_srgb.at[r][c] = v[r];
    }
}

/* ---- the strip ---------------------------------------------------------- */

/* The stored size of picture and strip together. */
static bool plan_whole(struct copy *copy, uint32_t strip, struct error *err)
{
    const bool lies = copy->photo.orientation >= 5;
    uint32_t width, height;

    photo_upright_size(&copy->photo, &width, &height);
    if (strip > PHOTO_MAX_SIDE - height)
        return error_set(err, ERR_LIMIT,
                         "with its swatches the corrected copy would be higher "
                         "than a JPEG may be, %u pixels: measure fewer skeins "
                         "at a time",
                         PHOTO_MAX_SIDE);
    copy->whole.orientation = copy->photo.orientation;
    copy->whole.width = copy->photo.width + (lies ? strip : 0);
    copy->whole.height = copy->photo.height + (lies ? 0 : strip);
    copy->at =
        photo_box_stored(&copy->whole, (struct box){0, 0, width, height});
    return true;
}

static void draw_strip(struct copy *copy, const struct strip *strip,
                       const struct canvas *canvas,
                       const struct measure_result *result,
                       const char *const *name)
{
    const struct mat3 back = srgb_from_xyz();
    unsigned char rgb[3 * MEASURE_MAX_REGIONS];
    const char *shown[MEASURE_MAX_REGIONS];
    const uint32_t nearest[3] = {128, 128, 128};
    size_t n = 0;

    for (size_t i = 0; i < result->regions; i++) {
        const struct xyz xyz = xyz_from_lab(result->region[i].lab);
        double v[3] = {xyz.X, xyz.Y, xyz.Z};

        if (result->region[i].refused)
            continue;
        mat3_apply(&back, v, v);
        codes_of(copy, v, nearest, rgb + 3 * n);
        shown[n++] = name[i];
    }
    strip_draw(strip, canvas, shown, rgb, n);
}

/* The strip as it is stored: turned and mirrored as the picture is. */
static void turn_strip(struct copy *copy, const struct canvas *upright)
{
    const int64_t below = copy->at.w * copy->at.h / upright->width;
    unsigned char *stored;

    copy->strip_at = photo_box_stored(
        &copy->whole, (struct box){0, below, upright->width, upright->height});
    stored = mem_new((size_t)(copy->strip_at.w * copy->strip_at.h), 3);
    for (int64_t y = 0; y < upright->height; y++)
        for (int64_t x = 0; x < upright->width; x++) {
            const struct box to = photo_box_stored(
                &copy->whole, (struct box){x, below + y, 1, 1});

            memcpy(stored + 3 * ((to.y - copy->strip_at.y) * copy->strip_at.w +
                                 to.x - copy->strip_at.x),
                   upright->rgb + 3 * (y * upright->width + x), 3);
        }
    copy->strip = stored;
}

static bool make_strip(struct copy *copy, const struct measure_result *result,
                       const char *const *name, struct error *err)
{
    struct canvas upright;
    struct strip strip;
    size_t swatches = 0;

    for (size_t i = 0; i < result->regions; i++)
        swatches += !result->region[i].refused;
    photo_upright_size(&copy->photo, &upright.width, &upright.height);
    strip = strip_plan(upright.width, upright.height, swatches);
    if (!plan_whole(copy, strip.height, err))
        return false;
    upright.height = strip.height;
    upright.rgb = mem_new((size_t)upright.width * upright.height, 3);
    draw_strip(copy, &strip, &upright, result, name);
    turn_strip(copy, &upright);
    free(upright.rgb);
    return true;
}

/* ---- rows --------------------------------------------------------------- */

static void write_row(struct copy *copy)
{
    const struct box *s = &copy->strip_at;
    const int64_t y = copy->rows++ - s->y;

    if (y >= 0 && y < s->h)
        memcpy(copy->row + 3 * s->x, copy->strip + 3 * y * s->w,
               3 * (size_t)s->w);
    photo_writer_row(copy->writer, copy->row);
}

static bool take_row(void *self, const unsigned char *rgb, uint32_t y)
{
    struct copy *copy = self;
    unsigned char *to = copy->row + 3 * copy->at.x;
    uint32_t chance = y * 2654435761u;

    while (copy->rows < copy->at.y)
        write_row(copy);
    light_row(&copy->light, rgb, copy->photo.width, copy->linear,
              copy->scratch);
    for (size_t x = 0; x < copy->photo.width; x++)
        pixel(copy, copy->linear + 3 * x, &chance, to + 3 * x);
    write_row(copy);
    return true;
}

static bool write_copy(struct copy *copy, const unsigned char *data,
                       size_t size, unsigned char **out, size_t *out_size,
                       struct error *err)
{
    struct photo_written what = {.width = copy->whole.width,
                                 .height = copy->whole.height,
                                 .orientation = copy->whole.orientation,
                                 .quality = QUALITY};
    struct photo_decoded decoded;
    unsigned char *icc = icc_srgb_bytes(&what.icc_size);

    what.icc = icc;
    copy->writer = photo_writer_new(&what);
    free(icc);
    copy->row = mem_new(what.width, 3);
    copy->linear = mem_new(copy->photo.width, 3 * sizeof *copy->linear);
    copy->scratch = mem_new(copy->photo.width, sizeof *copy->scratch);
    if (!photo_decode(&copy->photo, data, size, take_row, copy, &decoded, err))
        return false;
    while (copy->rows < what.height)
        write_row(copy);
    photo_writer_end(copy->writer, out, out_size);
    return true;
}

bool corrected_jpeg(const unsigned char *data, size_t size,
                    const struct measure_request *request,
                    const struct measure_result *result,
                    const char *const *name, unsigned char **out,
                    size_t *out_size, struct error *err)
{
    struct copy *copy = mem_new(1, sizeof *copy);
    struct measure_notes notes = {0};
    bool ok =
        photo_open(data, size, &copy->photo, err) &&
        light_choose(&copy->photo, request->assume, &copy->light, &notes, err);

    *out = NULL;
    if (ok) {
        fill_codes(copy->code);
        compose(copy, result->gain);
        ok = make_strip(copy, result, name, err) &&
             write_copy(copy, data, size, out, out_size, err);
    }
    photo_writer_free(copy->writer);
    free(copy->strip);
    free(copy->row);
    free(copy->linear);
    free(copy->scratch);
    light_clear(&copy->light);
    photo_clear(&copy->photo);
    free(copy);
    return ok;
}
