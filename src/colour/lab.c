/* CIELAB, XYZ, differences and screen colours: Little CMS reckons, this file
 * chooses what may be asked of it. See the header and docs/colour.md. */
#include "colour/lab.h"

#include <assert.h>
#include <math.h>
#include <stdatomic.h>
#include <stdlib.h>

#include <lcms2.h>

#include "base/mem.h"

static cmsCIELab cms_lab(struct lab c)
{
    return (cmsCIELab){.L = c.L, .a = c.a, .b = c.b};
}

struct lab lab_from_xyz(struct xyz c)
{
    cmsCIEXYZ in = {.X = c.X, .Y = c.Y, .Z = c.Z};
    cmsCIELab out;

    cmsXYZ2Lab(NULL, &out, &in); /* NULL: the D50 of the connection space */
    return (struct lab){out.L, out.a, out.b};
}

struct xyz xyz_from_lab(struct lab c)
{
    cmsCIELab in = cms_lab(c);
    cmsCIEXYZ out;

    cmsLab2XYZ(NULL, &out, &in);
    return (struct xyz){out.X, out.Y, out.Z};
}

struct lch lch_from_lab(struct lab c)
{
    cmsCIELab in = cms_lab(c);
    cmsCIELCh out;

    cmsLab2LCh(&out, &in);
    /* Adding 360 to a hue a hair below 0 may round to 360 itself. */
    return (struct lch){out.L, out.C, out.h >= 360 ? 0 : out.h};
}

double lab_cmc(struct lab standard, struct lab sample, double l, double c)
{
    cmsCIELab p = cms_lab(standard), q = cms_lab(sample);

    assert(l > 0 && c > 0);
    /* Little CMS returns 0 when both L* are 0. Without a lightness difference
     * L* takes no part in the formula, so both may be lifted alike. */
    if (standard.L == 0 && sample.L == 0)
        p.L = q.L = 1;
    return cmsCMCdeltaE(&p, &q, l, c);
}

double lab_de76(struct lab x, struct lab y)
{
    cmsCIELab p = cms_lab(x), q = cms_lab(y);

    return cmsDeltaE(&p, &q);
}

/* ---- screen colours -------------------------------------------------------
 *
 * One pair of transforms serves the whole process. It is made at the first
 * use; when two threads come first together, each makes one and the slower
 * throws its own away. Without Little CMS's one-colour cache (NOCACHE) a
 * transform is not written to, so threads may share it. */

struct screen {
    cmsContext context;
    cmsHTRANSFORM to, from;
};

static _Atomic(struct screen *) the_screen;

static void screen_free(struct screen *s)
{
    cmsDeleteTransform(s->to);
    cmsDeleteTransform(s->from);
    cmsDeleteContext(s->context);
    free(s);
}

static struct screen *screen_new(void)
{
    const cmsUInt32Number flags = cmsFLAGS_NOOPTIMIZE | cmsFLAGS_NOCACHE;
    struct screen *s = mem_new(1, sizeof *s);
    cmsHPROFILE lab, srgb;

    s->context = cmsCreateContext(NULL, NULL);
    assert(s->context);
    lab = cmsCreateLab4ProfileTHR(s->context, NULL);
    srgb = cmsCreate_sRGBProfileTHR(s->context);
    assert(lab && srgb);
    s->to =
        cmsCreateTransformTHR(s->context, lab, TYPE_Lab_DBL, srgb, TYPE_RGB_DBL,
                              INTENT_RELATIVE_COLORIMETRIC, flags);
    s->from =
        cmsCreateTransformTHR(s->context, srgb, TYPE_RGB_DBL, lab, TYPE_Lab_DBL,
                              INTENT_RELATIVE_COLORIMETRIC, flags);
    cmsCloseProfile(lab);
    cmsCloseProfile(srgb);
    assert(s->to && s->from);
    return s;
}

static const struct screen *screen(void)
{
    struct screen *s = atomic_load(&the_screen), *first = NULL;

    if (s)
        return s;
    s = screen_new();
    if (!atomic_compare_exchange_strong(&the_screen, &first, s)) {
        screen_free(s);
        s = first;
    }
    return s;
}

/* The 8-bit code of v (0..1). More than half a code outside, or NaN, is
 * clipped. */
static unsigned char code_of(double v, int *clipped)
{
    const double x = v * 255;

    if (!(x >= -0.5 && x <= 255.5))
        *clipped = 1;
    if (!(x > 0)) /* so NaN is black */
        return 0;
    return x >= 255 ? 255 : (unsigned char)lround(x);
}

struct srgb8 srgb8_from_lab(struct lab c, int *outside)
{
    cmsCIELab in = cms_lab(c);
    double rgb[3];
    int clipped = 0;
    struct srgb8 out;

    cmsDoTransform(screen()->to, &in, rgb, 1);
    out.r = code_of(rgb[0], &clipped);
    out.g = code_of(rgb[1], &clipped);
    out.b = code_of(rgb[2], &clipped);
    if (outside)
        *outside = clipped;
    return out;
}

void srgb8_words(struct srgb8 c, char out[8])
{
    static const char digits[] = "0123456789abcdef";
    const unsigned char code[] = {c.r, c.g, c.b};

    *out++ = '#';
    for (int i = 0; i < 3; i++) {
        *out++ = digits[code[i] >> 4];
        *out++ = digits[code[i] & 15];
    }
    *out = '\0';
}

struct lab lab_from_srgb8(struct srgb8 c)
{
    const double rgb[3] = {c.r / 255.0, c.g / 255.0, c.b / 255.0};
    cmsCIELab out;

    cmsDoTransform(screen()->from, rgb, &out, 1);
    return (struct lab){out.L, out.a, out.b};
}
