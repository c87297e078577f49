/* Photographs reckoned from spectra. See the header. */
#include "spectra_support.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <jpeglib.h>
#include <lcms2.h>

#include "base/mem.h"
#include "measure/matrix.h"

#define BANDS 81 /* 380 to 780 nm by 5 */
#define PATCHES 24
#define NEUTRAL_5 21     /* of the chart: the card */
#define FIRST_NEUTRAL 18 /* six of them */
#define SIDE 48          /* pixels of a patch */
#define ACROSS 12

struct spectrum {
    double at[BANDS];
};

static double nm(int band)
{
    return 380 + 5.0 * band;
}

const char *spectra(void)
{
    return getenv("HANKLAB_TEST_SPECTRA");
}

/* ---- the files -----------------------------------------------------------*/

static struct table spectral_table(const char *name)
{
    char path[512];

    snprintf(path, sizeof path, "%s/%s", spectra(), name);
    return table_read_path(path);
}

static struct spectrum column(const struct table *t, size_t c)
{
    struct spectrum s;

    assert_int_equal(t->rows, BANDS);
    for (size_t i = 0; i < BANDS; i++)
        s.at[i] = strtod(t->field[i * t->columns + c], NULL);
    return s;
}

struct world {
    struct spectrum cmf[3], light, d50, sees[3];
    struct spectrum chart[PATCHES];
};

static struct world world_of(struct spectral_shot shot)
{
    struct world w = {0};
    struct table cmf = spectral_table("cmf-cie1931-2deg-5nm.csv");
    struct table light = spectral_table("illuminants-5nm.csv");
    struct table camera = spectral_table("camera-sensitivities-5nm.csv");
    struct table chart = spectral_table("chart24-iso17321-5nm.csv");

    assert_int_equal(camera.columns, 1 + 3 * SPECTRAL_CAMERAS);
    for (size_t c = 0; c < 3; c++) {
        w.cmf[c] = column(&cmf, 1 + c);
        w.sees[c] = column(&camera, 1 + 3 * (size_t)shot.camera + c);
    }
    for (size_t c = 1; c < light.columns; c++) {
        if (!strcmp(light.name[c], shot.light))
            w.light = column(&light, c);
        if (!strcmp(light.name[c], "D50"))
            w.d50 = column(&light, c);
    }
    for (size_t c = 0; c < PATCHES; c++)
        w.chart[c] = column(&chart, 1 + c);
    table_clear(&cmf);
    table_clear(&light);
    table_clear(&camera);
    table_clear(&chart);
    return w;
}

/* ---- wool ------------------------------------------------------------------
 *
 * No open spectra of naturally dyed wool are known, so these are made up:
 * undyed wool darker towards the violet, and dyes as sums of bands of K/S
 * (Kubelka, Munk), from memory of what absorbs where.
 */

static double undyed(double at)
{
    return 0.28 + 0.47 / (1 + exp(-(at - 430) / 45));
}

static double band(double at, double centre, double width)
{
    const double d = (at - centre) / width;

    return exp(-d * d / 2);
}

static double absorbs(int dye, double at)
{
    switch (dye) {
    case 0: /* like madder */
        return band(at, 510, 45) + 0.45 * band(at, 420, 50);
    case 1: /* like weld */
        return band(at, 395, 38);
    case 2: /* like indigo */
        return band(at, 655, 48) + 0.25 * band(at, 420, 45);
    case 3: /* like cochineal */
        return 0.9 * band(at, 525, 32) + 0.8 * band(at, 565, 24);
    case 4: /* like walnut */
        return exp(-(at - 380) / 130);
    case 5: /* like logwood */
        return band(at, 580, 65) + 0.3 * band(at, 400, 50);
    default: /* like iron */
        return 0.6 + 0.4 * exp(-(at - 380) / 200);
    }
}

static struct spectrum wool(int which)
{
    static const double strength[7] = {0.15, 0.4, 0.9, 2, 4, 8, 15};
    static const int pair[6][2] = {{0, 1}, {1, 2}, {0, 6},
                                   {1, 6}, {0, 2}, {3, 4}};
    const double s = strength[which % 7];
    struct spectrum out;

    for (int i = 0; i < BANDS; i++) {
        const double R = undyed(nm(i));
        double k = (1 - R) * (1 - R) / (2 * R);

        if (which < 49)
            k += s * absorbs(which / 7, nm(i));
        else if (which < 91)
            k += s * (0.6 * absorbs(pair[(which - 49) / 7][0], nm(i)) +
                      0.4 * absorbs(pair[(which - 49) / 7][1], nm(i)));
        out.at[i] = 1 + k - sqrt(k * k + 2 * k);
    }
    return out;
}

/* ---- eye and camera ------------------------------------------------------*/

static void sum_of(const struct spectrum *reflects,
                   const struct spectrum *light, const struct spectrum by[3],
                   double out[3])
{
    for (int c = 0; c < 3; c++) {
        double white = 0;

        out[c] = 0;
        for (int i = 0; i < BANDS; i++) {
            out[c] += reflects->at[i] * light->at[i] * by[c].at[i];
            white += light->at[i] * by[c].at[i];
        }
        out[c] /= white;
    }
}

/* The truth: under D50, as measuring tells colours. */
static struct lab seen(const struct world *w, const struct spectrum *s)
{
    double x[3];

    sum_of(s, &w->d50, w->cmf, x);
    return lab_from_xyz((struct xyz){0.9642 * x[0], x[1], 0.8249 * x[2]});
}

/* sRGB to XYZ, D50 (the colorants of the ICC's sRGB profiles). */
static const struct mat3 srgb = {{{0.436066, 0.385147, 0.143066},
                                  {0.222488, 0.716873, 0.060608},
                                  {0.013916, 0.097076, 0.714096}}};

/* From balanced camera values to linear sRGB, as its maker might have found
 * it: least squares over Munsell chips in D50, white kept. */
static struct mat3 camera_matrix(const struct world *w)
{
    struct table chips = spectral_table("munsell-matte-1269-5nm.csv");
    const struct mat3 back = mat3_inverse(&srgb);
    struct mat3 cc = {{{0}}}, xc = {{{0}}}, inverse, out = {{{0}}};

    for (size_t row = 0; row <= chips.rows; row += 9) {
        struct spectrum s;
        double cam[3], xyz[3], want[3], weight = row ? 1 : 1e4;

        for (int i = 0; i < BANDS; i++) /* the first stands for white */
            s.at[i] = row ? strtod(chips.field[(row - 1) * chips.columns + 1 +
                                               (size_t)i],
                                   NULL)
                          : 1;
        sum_of(&s, &w->d50, w->sees, cam);
        sum_of(&s, &w->d50, w->cmf, xyz);
        xyz[0] *= 0.9642;
        xyz[2] *= 0.8249;
        mat3_apply(&back, xyz, want);
        for (int i = 0; i < 3; i++)
            for (int j = 0; j < 3; j++) {
                cc.at[i][j] += weight * cam[i] * cam[j];
                xc.at[i][j] += weight * want[i] * cam[j];
            }
    }
    table_clear(&chips);
    inverse = mat3_inverse(&cc);
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            for (int k = 0; k < 3; k++)
                out.at[i][j] += xc.at[i][k] * inverse.at[k][j];
    return out;
}

/* Exposure 0.8; white balance off by 10 %. IEC 61966-2-1. */
static void code_of(const struct world *w, const struct mat3 *m,
                    const struct spectrum *s, double tone, double out[3])
{
    static const double off[3] = {0.8 * 1.1, 0.8, 0.8 * 0.9};
    static const double pi = 3.14159265358979323846;
    double cam[3];

    sum_of(s, &w->light, w->sees, cam);
    for (int c = 0; c < 3; c++)
        cam[c] *= off[c];
    mat3_apply(m, cam, out);
    for (int c = 0; c < 3; c++) {
        double v = fmin(fmax(out[c], 0), 1);

        v = v <= 0.0031308 ? 12.92 * v : 1.055 * pow(v, 1 / 2.4) - 0.055;
        out[c] = 255 * (v - tone * sin(2 * pi * v) / (2 * pi));
    }
}

/* ---- the picture ---------------------------------------------------------*/

static struct box place_of(size_t patch)
{
    return (struct box){(int64_t)(patch % ACROSS) * SIDE,
                        (int64_t)(patch / ACROSS) * SIDE, SIDE, SIDE};
}

static void write_profile(struct jpeg_compress_struct *jpeg)
{
    cmsHPROFILE profile = cmsCreate_sRGBProfile();
    cmsUInt32Number size = 0;
    unsigned char *bytes;

    cmsSaveProfileToMem(profile, NULL, &size);
    bytes = mem_new(size, 1);
    cmsSaveProfileToMem(profile, bytes, &size);
    jpeg_write_icc_profile(jpeg, bytes, size);
    free(bytes);
    cmsCloseProfile(profile);
}

/* Flat patches with two codes of noise, so that rounding does not stand
 * still. */
static unsigned char *picture_of(double (*code)[3], size_t patches,
                                 unsigned long *size)
{
    const unsigned rows = (unsigned)((patches + ACROSS - 1) / ACROSS);
    struct jpeg_compress_struct jpeg = {0};
    struct jpeg_error_mgr errors;
    unsigned char *out = NULL, *row = mem_new(3, (size_t)ACROSS * SIDE);
    unsigned seed = 1;

    jpeg.err = jpeg_std_error(&errors);
    jpeg_create_compress(&jpeg);
    jpeg_mem_dest(&jpeg, &out, size);
    jpeg.image_width = ACROSS * SIDE;
    jpeg.image_height = rows * SIDE;
    jpeg.input_components = 3;
    jpeg.in_color_space = JCS_RGB;
    jpeg_set_defaults(&jpeg);
    jpeg_set_quality(&jpeg, 95, TRUE);
    for (int c = 0; c < 3; c++) /* 4:4:4 */
        jpeg.comp_info[c].h_samp_factor = jpeg.comp_info[c].v_samp_factor = 1;
    jpeg_start_compress(&jpeg, TRUE);
    write_profile(&jpeg);
    for (unsigned y = 0; y < rows * SIDE; y++) {
        for (unsigned x = 0; x < ACROSS * SIDE; x++) {
            const size_t patch = y / SIDE * ACROSS + x / SIDE;

            for (int c = 0; c < 3; c++) {
                double v = patch < patches ? code[patch][c] : 128;

                seed = seed * 1664525u + 1013904223u;
                v += (seed >> 8) / 4194304.0 - 2;
                row[3 * x + c] = (unsigned char)lround(fmin(fmax(v, 0), 255));
            }
        }
        jpeg_write_scanlines(&jpeg, &row, 1);
    }
    jpeg_finish_compress(&jpeg);
    jpeg_destroy_compress(&jpeg);
    free(row);
    return out;
}

/* ---- measured ------------------------------------------------------------*/

static size_t references_of(const struct world *w, enum spectral_known known,
                            struct measure_reference out[PATCHES])
{
    size_t n = 0;

    for (size_t i = known == SPECTRAL_GREYS ? FIRST_NEUTRAL : 0;
         known != SPECTRAL_CARD && i < PATCHES; i++) {
        if (i == NEUTRAL_5)
            continue;
        out[n] = (struct measure_reference){
            .kind = known == SPECTRAL_GREYS ? MEASURE_NEUTRAL : MEASURE_PATCH,
            .box = place_of(i),
            .value = {seen(w, &w->chart[i]), 0.5, 0.3, 0.3, true}};
        snprintf(out[n].name, sizeof out[n].name, "patch %zu", i + 1);
        n++;
    }
    return n;
}

size_t spectral_read(struct spectral_shot shot, struct errors *errors,
                     struct cover *coordinates, double off[SPECTRAL_WOOLS])
{
    const struct world w = world_of(shot);
    const struct mat3 m = camera_matrix(&w);
    struct measure_reference reference[PATCHES];
    struct box box[SPECTRAL_WOOLS];
    struct measure_request request = {
        .card_box = place_of(NEUTRAL_5),
        .card = {seen(&w, &w.chart[NEUTRAL_5]), 0.5, 0.3, 0.3, true},
        .reference = reference,
        .references = references_of(&w, shot.known, reference),
        .region = box,
        .regions = SPECTRAL_WOOLS,
        .daylight = shot.light[0] == 'D'};
    struct measure_result *result = mem_new(1, sizeof *result);
    double code[PATCHES + SPECTRAL_WOOLS][3];
    struct lab truth[SPECTRAL_WOOLS];
    struct error err = {0};
    unsigned long size = 0;
    unsigned char *jpeg;
    size_t n = 0;

    for (size_t i = 0; i < PATCHES; i++)
        code_of(&w, &m, &w.chart[i], shot.tone, code[i]);
    for (size_t i = 0; i < SPECTRAL_WOOLS; i++) {
        const struct spectrum s = wool((int)i);

        code_of(&w, &m, &s, shot.tone, code[PATCHES + i]);
        box[i] = place_of(PATCHES + i);
        truth[i] = seen(&w, &s);
    }
    jpeg = picture_of(code, PATCHES + SPECTRAL_WOOLS, &size);
    if (!measure_jpeg(jpeg, size, &request, result, &err))
        fail_msg("%s: %s", shot.light, err.text);
    for (size_t i = 0; i < SPECTRAL_WOOLS; i++) {
        const struct measure_region *r = &result->region[i];

        if (r->refused) {
            coordinates->refused++;
            continue;
        }
        off[n] = lab_de00(r->lab, truth[i]);
        errors_add(errors, off[n++]);
        cover_coordinates(coordinates, r, truth[i]);
    }
    free(jpeg);
    free(result);
    return n;
}
