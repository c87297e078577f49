/* Profiles made by Little CMS, for the tests of src/colour/icc.c. */
#ifndef HANKLAB_TESTS_ICC_SUPPORT_H
#define HANKLAB_TESTS_ICC_SUPPORT_H

#include "support.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <lcms2.h>

#include "colour/icc.h"

static inline struct lab lab_of(struct xyz c)
{
    cmsCIEXYZ xyz = {c.X, c.Y, c.Z};
    cmsCIELab lab;

    cmsXYZ2Lab(NULL, &lab, &xyz);
    return (struct lab){lab.L, lab.a, lab.b};
}

static inline void check_lab(const char *row, struct lab got, struct lab want,
                             double tolerance)
{
    check_near(row, got.L, want.L, tolerance);
    check_near(row, got.a, want.a, tolerance);
    check_near(row, got.b, want.b, tolerance);
}

static inline double de00(struct lab x, struct lab y)
{
    const cmsCIELab a = {x.L, x.a, x.b}, b = {y.L, y.a, y.b};

    return cmsCIE2000DeltaE(&a, &b, 1, 1, 1);
}

static const struct encoding {
    const char *name;
    enum icc_builtin which;
    cmsCIExyYTRIPLE primaries;
} encodings[] = {
    {"srgb", ICC_SRGB, {{0.64, 0.33, 1}, {0.30, 0.60, 1}, {0.15, 0.06, 1}}},
    {"display-p3",
     ICC_DISPLAY_P3,
     {{0.680, 0.320, 1}, {0.265, 0.690, 1}, {0.15, 0.06, 1}}},
    {"adobe-rgb",
     ICC_ADOBE_RGB,
     {{0.64, 0.33, 1}, {0.21, 0.71, 1}, {0.15, 0.06, 1}}},
};

/* A profile in the making, saved by Little CMS with or without its ID. */
static inline unsigned char *saved(cmsHPROFILE profile, bool with_id,
                                   size_t *size)
{
    cmsUInt32Number n = 0;
    unsigned char *bytes;

    if (with_id)
        assert_true(cmsMD5computeID(profile));
    assert_true(cmsSaveProfileToMem(profile, NULL, &n));
    bytes = mem_new(n, 1);
    assert_true(cmsSaveProfileToMem(profile, bytes, &n));
    cmsCloseProfile(profile);
    *size = n;
    return bytes;
}

static inline cmsHPROFILE rgb_profile(const struct encoding *e)
{
    static const double srgb[5] = {2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92,
                                   0.04045};
    static const cmsCIExyY d65 = {0.3127, 0.3290, 1};
    cmsToneCurve *curve = e->which == ICC_ADOBE_RGB
                              ? cmsBuildGamma(NULL, 563 / 256.0)
                              : cmsBuildParametricToneCurve(NULL, 4, srgb);
    cmsToneCurve *curves[3] = {curve, curve, curve};
    cmsHPROFILE profile = cmsCreateRGBProfile(&d65, &e->primaries, curves);

    assert_non_null(profile);
    cmsFreeToneCurve(curve);
    return profile;
}

static inline unsigned char *rgb_bytes(const struct encoding *e, bool with_id,
                                       size_t *size)
{
    return saved(rgb_profile(e), with_id, size);
}

static inline int sample_srgb(const cmsUInt16Number in[], cmsUInt16Number out[],
                              void *transform)
{
    cmsDoTransform(transform, in, out, 1);
    return 1;
}

/* An sRGB made of one table, 33 points a side, to 16-bit Lab. */
static inline cmsHPROFILE table_profile(double version)
{
    cmsHPROFILE srgb = cmsCreate_sRGBProfile();
    cmsHPROFILE lab =
        version < 4 ? cmsCreateLab2Profile(NULL) : cmsCreateLab4Profile(NULL);
    cmsHTRANSFORM t = cmsCreateTransform(
        srgb, TYPE_RGB_16, lab, version < 4 ? TYPE_LabV2_16 : TYPE_Lab_16,
        INTENT_RELATIVE_COLORIMETRIC, cmsFLAGS_NOOPTIMIZE | cmsFLAGS_NOCACHE);
    cmsHPROFILE p = cmsCreateProfilePlaceholder(NULL);
    cmsPipeline *pipe = cmsPipelineAlloc(NULL, 3, 3);
    cmsStage *table = cmsStageAllocCLut16bit(NULL, 33, 3, 3, NULL);

    cmsStageSampleCLut16bit(table, sample_srgb, t, 0);
    cmsPipelineInsertStage(pipe, cmsAT_END,
                           cmsStageAllocToneCurves(NULL, 3, NULL));
    cmsPipelineInsertStage(pipe, cmsAT_END, table);
    cmsPipelineInsertStage(pipe, cmsAT_END,
                           cmsStageAllocToneCurves(NULL, 3, NULL));
    cmsSetProfileVersion(p, version);
    cmsSetDeviceClass(p, cmsSigInputClass);
    cmsSetColorSpace(p, cmsSigRgbData);
    cmsSetPCS(p, cmsSigLabData);
    assert_true(cmsWriteTag(p, cmsSigAToB0Tag, pipe));
    assert_true(cmsWriteTag(p, cmsSigMediaWhitePointTag, cmsD50_XYZ()));
    cmsPipelineFree(pipe);
    cmsDeleteTransform(t);
    cmsCloseProfile(srgb);
    cmsCloseProfile(lab);
    return p;
}

static inline struct icc *opened(const unsigned char *bytes, size_t size)
{
    struct icc *icc = NULL;
    struct error err = {0};

    check_ok(icc_open(bytes, size, &icc, &err), &err);
    return icc;
}

static inline void check_refused(const char *row, const unsigned char *bytes,
                                 size_t size, const char *why)
{
    struct icc *icc = NULL;
    struct error err = {0};

    if (icc_open(bytes, size, &icc, &err))
        fail_msg("%s: was taken", row);
    assert_null(icc);
    assert_int_equal(err.kind, ERR_INPUT);
    if (why)
        check_text(row, err.text, why);
    else if (!err.text[0] || strchr(err.text, '\n'))
        fail_msg("%s: no line said why", row);
}

/* The largest CIEDE2000 difference between two profiles over a grid. */
static inline double furthest(const struct icc *x, const struct icc *y)
{
    double worst = 0;

    for (int i = 0; i < 6 * 6 * 6; i++) {
        const unsigned char rgb[3] = {(unsigned char)(i / 36 * 51),
                                      (unsigned char)(i / 6 % 6 * 51),
                                      (unsigned char)(i % 6 * 51)};
        struct xyz a, b;

        icc_to_xyz(x, rgb, &a, 1);
        icc_to_xyz(y, rgb, &b, 1);
        worst = fmax(worst, de00(lab_of(a), lab_of(b)));
    }
    return worst;
}

#endif
