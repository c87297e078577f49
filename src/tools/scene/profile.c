/*
 * The two profiles a phone embeds, made by Little CMS and freed of what would
 * change from run to run or from machine to machine: the date, the platform.
 */
#include <lcms2.h>
#include <lcms2_plugin.h> /* MD5 */
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "scene.h"

/* Bytes of an ICC header (ICC.1:2022, 7.2). */
#define ICC_DATE 24     /* 12 bytes: year, month, day, hour, minute, second */
#define ICC_PLATFORM 40 /* 4 bytes: the machine's maker; 0 for none */
#define ICC_FLAGS 44    /* 4 bytes */
#define ICC_INTENT 64   /* 4 bytes */
#define ICC_ID 84       /* 16 bytes: MD5 of the profile */

static const cmsCIExyY d65 = {0.3127, 0.3290, 1};
/* IEC 61966-2-1, and SMPTE EG 432-1 with D65. */
static const cmsCIExyYTRIPLE primaries[] = {
    [ENCODING_SRGB] = {{0.64, 0.33, 1}, {0.30, 0.60, 1}, {0.15, 0.06, 1}},
    [ENCODING_P3] = {{0.680, 0.320, 1}, {0.265, 0.690, 1}, {0.150, 0.060, 1}},
};
static const char *const names[] = {
    [ENCODING_SRGB] = "sRGB",
    [ENCODING_P3] = "Display P3",
};

static void describe(cmsHPROFILE profile, cmsTagSignature tag, const char *text)
{
    cmsMLU *mlu = cmsMLUalloc(NULL, 1);

    if (!mlu || !cmsMLUsetASCII(mlu, "en", "US", text) ||
        !cmsWriteTag(profile, tag, mlu))
        die("profile", "cannot be described");
    cmsMLUfree(mlu);
}

static cmsHPROFILE make(enum encoding e)
{
    /* a, b, c, d, where the curve bends: IEC 61966-2-1, type 4 of ICC.1. */
    const cmsFloat64Number bend[5] = {2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92,
                                      0.04045};
    cmsToneCurve *curve = cmsBuildParametricToneCurve(NULL, 4, bend);
    cmsToneCurve *curves[3] = {curve, curve, curve};
    cmsHPROFILE profile = cmsCreateRGBProfile(&d65, &primaries[e], curves);

    if (!profile)
        die("profile", "cannot be made");
    cmsFreeToneCurve(curve);
    cmsSetProfileVersion(profile, 4.3);
    describe(profile, cmsSigProfileDescriptionTag, names[e]);
    describe(profile, cmsSigCopyrightTag, "no copyright, use freely");
    return profile;
}

static unsigned char *saved(cmsHPROFILE profile, size_t *size)
{
    cmsUInt32Number n = 0;
    unsigned char *bytes;

    if (!cmsSaveProfileToMem(profile, NULL, &n))
        die("profile", "has no size");
    bytes = mem_new(n, 1);
    if (!cmsSaveProfileToMem(profile, bytes, &n))
        die("profile", "cannot be saved");
    *size = n;
    return bytes;
}

static void colorants(cmsHPROFILE profile, struct matrix *out)
{
    static const cmsTagSignature tag[3] = {
        cmsSigRedColorantTag, cmsSigGreenColorantTag, cmsSigBlueColorantTag};

    for (int c = 0; c < 3; c++) {
        const cmsCIEXYZ *xyz = cmsReadTag(profile, tag[c]);

        if (!xyz)
            die("profile", "has no colorants");
        out->v[0][c] = xyz->X;
        out->v[1][c] = xyz->Y;
        out->v[2][c] = xyz->Z;
    }
}

/* The ID of these very bytes (ICC.1:2022, 7.2.18): their MD5 with flags, intent
 * and ID at nought. cmsMD5computeID would write the profile anew, with the
 * platform that was taken out. */
static void sign(unsigned char *bytes, size_t size)
{
    cmsHANDLE md5 = cmsMD5alloc(NULL);
    cmsProfileID id;

    if (!md5)
        die("profile", "cannot be signed");
    memset(bytes + ICC_FLAGS, 0, 4);
    memset(bytes + ICC_INTENT, 0, 4);
    memset(bytes + ICC_ID, 0, sizeof id);
    cmsMD5add(md5, bytes, (cmsUInt32Number)size);
    cmsMD5finish(&id, md5);
    memcpy(bytes + ICC_ID, &id, sizeof id);
}

unsigned char *profile_bytes(enum encoding e, size_t *size,
                             struct matrix *xyz_from_rgb)
{
    static const unsigned char date[12] = {0x07, 0xe9, 0, 1, 0, 1};
    cmsHPROFILE profile = make(e);
    unsigned char *bytes = saved(profile, size);

    cmsCloseProfile(profile);
    memcpy(bytes + ICC_DATE, date, sizeof date); /* 1 January 2025 */
    memset(bytes + ICC_PLATFORM, 0, 4);
    sign(bytes, *size);
    profile = cmsOpenProfileFromMem(bytes, (cmsUInt32Number)*size);
    if (!profile)
        die("profile", "cannot be read back");
    colorants(profile, xyz_from_rgb);
    cmsCloseProfile(profile);
    return bytes;
}
