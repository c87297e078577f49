/* Small pictures of a card and skeins, made in the test with libjpeg, for the
 * tests of src/measure. */
#ifndef HANKLAB_TESTS_PICTURE_H
#define HANKLAB_TESTS_PICTURE_H

#include "support.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <jpeglib.h>
#include <lcms2.h>

#include "colour/icc.h"
#include "measure/measure.h"

/* One rectangle of the upright picture; later ones lie over earlier ones. */
struct patch {
    struct box box;
    struct lab lab;
    double noise;  /* of luminance, relative, a pixel */
    double ripple; /* of luminance, in squares of 64 pixels */
    bool raw;      /* lab holds codes 0..255 instead */
};

enum picture_exif {
    EXIF_NONE,
    EXIF_PLAIN, /* make and model, no colour space */
    EXIF_SRGB,
    EXIF_ADOBE,
    EXIF_UNCALIBRATED,
};

#define PATCHES 24

struct picture {
    int w, h; /* upright */
    struct patch patch[PATCHES];
    size_t patches;
    enum icc_builtin encoding;
    bool embed; /* the profile of the encoding */
    enum picture_exif exif;
    int orientation;
    double exposure, slope_x, drift_x; /* the last two a pixel of 640 */
    double red, blue;                  /* white balance */
    double tone;                       /* an S in the codes; 0.5 is strong */
    double sensor; /* noise of each channel, relative: dithers rounding */
    int quality, sampling; /* 1: 4:4:4, 2: 4:2:0 */
    bool progressive;
    /* The last word on the pixels, and on how they are coded; or NULL. */
    void (*retouch)(unsigned char *rgb, int w, int h);
    void (*code)(struct jpeg_compress_struct *c);
};

static const struct box card_box = {60, 60, 200, 160};
static const struct box skein_box = {340, 60, 240, 160};
static const struct box lower_box = {60, 280, 200, 160};
static const struct lab card_lab = {50.3, -0.2, 0.4};
static const struct lab skein_lab = {47, 38, 22};
static const struct lab lower_lab = {72, 2, 48};

/* A card above left, two skeins above right and below, on wood; measured
 * without a note. */
static inline struct picture picture_plain(void)
{
    return (struct picture){
        .w = 640,
        .h = 480,
        .patch = {{{0, 0, 640, 480}, {62, 6, 18}, 0.03, 0, false},
                  {{50, 50, 220, 180}, card_lab, 0, 0, false},
                  {{330, 50, 260, 180}, skein_lab, 0.10, 0, false},
                  {{50, 270, 220, 180}, lower_lab, 0.10, 0, false}},
        .patches = 4,
        .encoding = ICC_SRGB,
        .exif = EXIF_SRGB,
        .orientation = 1,
        .exposure = 0.95,
        .red = 1,
        .blue = 1,
        .sensor = 0.04,
        .quality = 95,
        .sampling = 1,
    };
}

static inline void picture_add(struct picture *p, struct patch patch)
{
    assert_true(p->patches < PATCHES);
    p->patch[p->patches++] = patch;
}

/* ---- pixels ------------------------------------------------------------- */

static inline const struct patch *patch_at(const struct picture *p, int x,
                                           int y)
{
    for (size_t i = p->patches; i-- > 0;) {
        const struct box *b = &p->patch[i].box;

        if (x >= b->x && x < b->x + b->w && y >= b->y && y < b->y + b->h)
            return &p->patch[i];
    }
    return NULL;
}

/* A number of -1 to 1 that depends on the place alone. */
static inline double noise_at(int x, int y, int layer)
{
    uint32_t h = (uint32_t)x * 374761393u + (uint32_t)y * 668265263u +
                 (uint32_t)layer * 1442695041u;

    h = (h ^ h >> 13) * 1274126177u;
    h = (h ^ h >> 16) * 2246822519u;
    return (double)(h >> 8) / 8388608.0 - 1;
}

/* The published curves, written anew: IEC 61966-2-1, and 563/256. */
static inline unsigned char code_of(enum icc_builtin encoding, double light,
                                    double tone)
{
    const double v = light < 0 ? 0 : light > 1 ? 1 : light;
    const double code = encoding == ICC_ADOBE_RGB ? pow(v, 256.0 / 563)
                        : v <= 0.0031308          ? 12.92 * v
                                         : 1.055 * pow(v, 1 / 2.4) - 0.055;

    return (unsigned char)lround(
        255 * (code + tone * code * (1 - code) * (2 * code - 1)));
}

static inline void pixel_at(const struct picture *p, double back[3][3], int x,
                            int y, unsigned char rgb[3])
{
    const struct patch *patch = patch_at(p, x, y);
    const struct xyz xyz = xyz_from_lab(patch->lab);
    double light = p->exposure * (1 + patch->noise * noise_at(x, y, 3)) *
                   exp(p->slope_x * (x - 160));
    const double tint[3] = {p->red * exp(p->drift_x * (x - 160)), 1, p->blue};

    if ((x / 64 + y / 64) % 2)
        light *= 1 + patch->ripple;
    for (int c = 0; c < 3; c++) {
        const double v =
            back[c][0] * xyz.X + back[c][1] * xyz.Y + back[c][2] * xyz.Z;

        rgb[c] = code_of(
            p->encoding,
            light * tint[c] * v * (1 + p->sensor * noise_at(x, y, c)), p->tone);
    }
    if (patch->raw) {
        rgb[0] = (unsigned char)patch->lab.L;
        rgb[1] = (unsigned char)patch->lab.a;
        rgb[2] = (unsigned char)patch->lab.b;
    }
}

/* Where stored pixel (x, y) lies in the upright picture: the eight cases of
 * Exif's Orientation (CIPA DC-008, tag 274) told by the corner each row and
 * column begins at. */
static inline void upright_of(const struct picture *p, int x, int y, int *ux,
                              int *uy)
{
    const bool turned = p->orientation >= 5;
    const int o = p->orientation;
    const int a = turned ? y : x, b = turned ? x : y;

    *ux = o == 2 || o == 3 || o == 7 || o == 6 ? p->w - 1 - a : a;
    *uy = o == 3 || o == 4 || o == 7 || o == 8 ? p->h - 1 - b : b;
}

static inline void invert(double m[3][3], double out[3][3])
{
    const double det = m[0][0] * (m[1][1] * m[2][2] - m[1][2] * m[2][1]) -
                       m[0][1] * (m[1][0] * m[2][2] - m[1][2] * m[2][0]) +
                       m[0][2] * (m[1][0] * m[2][1] - m[1][1] * m[2][0]);

    for (int r = 0; r < 3; r++)
        for (int c = 0; c < 3; c++)
            out[c][r] =
                (m[(r + 1) % 3][(c + 1) % 3] * m[(r + 2) % 3][(c + 2) % 3] -
                 m[(r + 1) % 3][(c + 2) % 3] * m[(r + 2) % 3][(c + 1) % 3]) /
                det;
}

static inline unsigned char *picture_pixels(const struct picture *p, int w,
                                            int h)
{
    unsigned char *rgb = mem_new((size_t)w * (size_t)h, 3);
    struct icc *icc = icc_open_builtin(p->encoding);
    double light[3][256], m[3][3], back[3][3];

    icc_curves(icc, light, m);
    icc_close(icc);
    invert(m, back);
    for (int y = 0; y < h; y++)
        for (int x = 0; x < w; x++) {
            int ux, uy;

            upright_of(p, x, y, &ux, &uy);
            pixel_at(p, back, ux, uy,
                     rgb + 3 * ((size_t)y * (size_t)w + (size_t)x));
        }
    if (p->retouch)
        p->retouch(rgb, w, h);
    return rgb;
}

/* ---- file --------------------------------------------------------------- */

/* The profile of an encoding, saved by Little CMS. */
static inline unsigned char *profile_bytes(enum icc_builtin which, size_t *size)
{
    static const double srgb[5] = {2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92,
                                   0.04045};
    static const cmsCIExyY d65 = {0.3127, 0.3290, 1};
    static const cmsCIExyYTRIPLE primaries[] = {
        [ICC_SRGB] = {{0.64, 0.33, 1}, {0.30, 0.60, 1}, {0.15, 0.06, 1}},
        [ICC_DISPLAY_P3] = {{0.680, 0.320, 1},
                            {0.265, 0.690, 1},
                            {0.15, 0.06, 1}},
        [ICC_ADOBE_RGB] = {{0.64, 0.33, 1}, {0.21, 0.71, 1}, {0.15, 0.06, 1}},
    };
    cmsToneCurve *curve = which == ICC_ADOBE_RGB
                              ? cmsBuildGamma(NULL, 563 / 256.0)
                              : cmsBuildParametricToneCurve(NULL, 4, srgb);
    cmsToneCurve *curves[3] = {curve, curve, curve};
    cmsHPROFILE icc = cmsCreateRGBProfile(&d65, &primaries[which], curves);
    cmsUInt32Number n = 0;
    unsigned char *bytes;

    assert_true(cmsSaveProfileToMem(icc, NULL, &n));
    bytes = mem_new(n, 1);
    assert_true(cmsSaveProfileToMem(icc, bytes, &n));
    cmsFreeToneCurve(curve);
    cmsCloseProfile(icc);
    *size = n;
    return bytes;
}

/* Exif: make, model, orientation, and a folder with the colour space. */
static inline void write_exif(struct jpeg_compress_struct *c,
                              const struct picture *p)
{
    static const int space[] = {
        [EXIF_SRGB] = 1, [EXIF_ADOBE] = 2, [EXIF_UNCALIBRATED] = 65535};
    const int names = p->exif == EXIF_PLAIN ? 0 : space[p->exif];
    unsigned char e[] = {
        'E',  'x',  'i', 'f', 0, 0, 'I', 'I', 42,  0,   8,   0, 0, 0, /* TIFF */
        4,    0,                                                /* entries */
        0x0F, 1,    2,   0,   4, 0, 0,   0,   'O', 'w', 'n', 0, /* Make */
        0x10, 1,    2,   0,   4, 0, 0,   0,   'O', 'n', 'e', 0, /* Model */
        0x12, 1,    3,   0,   1, 0, 0,   0,   0,   0,   0,   0, /* Orientation
                                                                 */
        0x69, 0x87, 4,   0,   1, 0, 0,   0,   62,  0,   0,   0, /* Exif folder
                                                                 */
        0,    0,    0,   0,                                     /* no more */
        1,    0,                                                /* entries */
        0x01, 0xA0, 3,   0,   1, 0, 0,   0,   0,   0,   0,   0, /* ColorSpace */
        0,    0,    0,   0,
    };

    if (p->exif == EXIF_NONE)
        return;
    e[6 + 10 + 24 + 8] = (unsigned char)p->orientation;
    e[6 + 64 + 8] = (unsigned char)(names & 0xFF);
    e[6 + 64 + 9] = (unsigned char)(names >> 8);
    if (p->exif == EXIF_PLAIN)
        e[6 + 64] = 2; /* PixelXDimension instead */
    jpeg_write_marker(c, JPEG_APP0 + 1, e, sizeof e);
}

static inline void write_icc(struct jpeg_compress_struct *c,
                             const unsigned char *icc, size_t size)
{
    jpeg_write_icc_profile(c, icc, (unsigned)size);
}

/* The JPEG; icc replaces the embedded profile when it is not NULL. */
static inline unsigned char *picture_jpeg_icc(const struct picture *p,
                                              const unsigned char *icc,
                                              size_t icc_size, size_t *size)
{
    const bool turned = p->orientation >= 5;
    const int w = turned ? p->h : p->w, h = turned ? p->w : p->h;
    unsigned char *rgb = picture_pixels(p, w, h), *out = NULL;
    struct jpeg_compress_struct c;
    struct jpeg_error_mgr err;
    unsigned long n = 0;

    c.err = jpeg_std_error(&err);
    jpeg_create_compress(&c);
    jpeg_mem_dest(&c, &out, &n);
    c.image_width = (JDIMENSION)w;
    c.image_height = (JDIMENSION)h;
    c.input_components = 3;
    c.in_color_space = JCS_RGB;
    jpeg_set_defaults(&c);
    jpeg_set_quality(&c, p->quality, TRUE);
    c.comp_info[0].h_samp_factor = c.comp_info[0].v_samp_factor = p->sampling;
    c.dct_method = JDCT_ISLOW;
    if (p->progressive)
        jpeg_simple_progression(&c);
    if (p->code)
        p->code(&c);
    jpeg_start_compress(&c, TRUE);
    write_exif(&c, p);
    if (icc)
        write_icc(&c, icc, icc_size);
    while (c.next_scanline < c.image_height) {
        JSAMPROW row = rgb + 3 * (size_t)w * c.next_scanline;

        jpeg_write_scanlines(&c, &row, 1);
    }
    jpeg_finish_compress(&c);
    jpeg_destroy_compress(&c);
    free(rgb);
    *size = n;
    return out;
}

static inline unsigned char *picture_jpeg(const struct picture *p, size_t *size)
{
    size_t icc_size = 0;
    unsigned char *icc =
        p->embed ? profile_bytes(p->encoding, &icc_size) : NULL;
    unsigned char *out = picture_jpeg_icc(p, icc, icc_size, size);

    free(icc);
    return out;
}

/* ---- measured ----------------------------------------------------------- */

static inline struct measure_request request_for(const struct box *region,
                                                 size_t regions)
{
    return (struct measure_request){
        .card_box = card_box,
        .card =
            {.lab = card_lab, .uL = 0.5, .ua = 0.3, .ub = 0.3, .known = true},
        .region = region,
        .regions = regions,
    };
}

/* Measures; the result is the caller's to free, whether it went well or not. */
static inline struct measure_result *
picture_measured(const struct picture *p, const struct measure_request *request,
                 bool *ok, struct error *err)
{
    struct measure_result *out = mem_new(1, sizeof *out);
    size_t size;
    unsigned char *jpeg = picture_jpeg(p, &size);

    *ok = measure_jpeg(jpeg, size, request, out, err);
    free(jpeg);
    return out;
}

/* Measures the two skeins; a failure fails the test. */
static inline struct measure_result *measured(const struct picture *p)
{
    static const struct box region[2] = {{340, 60, 240, 160},
                                         {60, 280, 200, 160}};
    const struct measure_request request = request_for(region, 2);
    struct error err = {0};
    struct measure_result *out;
    bool ok;

    out = picture_measured(p, &request, &ok, &err);
    check_ok(ok, &err);
    for (size_t i = 0; i < 2; i++)
        if (out->region[i].refused)
            fail_msg("region %zu: %s", i, out->region[i].why);
    return out;
}

static inline bool notes_say(const struct measure_notes *notes,
                             const char *part)
{
    for (size_t i = 0; i < notes->count; i++)
        if (strstr(notes->text[i], part))
            return true;
    return false;
}

#endif
