/* RGB profiles by Little CMS, each in a context of its own so that nothing
 * global is touched. See the header. */
#include "colour/icc.h"

#include <assert.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <lcms2.h>
#include <lcms2_plugin.h> /* the MD5 of the profile ID */

#include "base/mem.h"

/* Offsets in the header of a profile: ICC.1:2022, table 17. */
enum {
    AT_SIZE = 0,
    AT_CLASS = 12,
    AT_SPACE = 16,
    AT_PCS = 20,
    AT_DATE = 24,
    AT_SIGNATURE = 36,
    AT_FLAGS = 44,
    AT_ATTRIBUTES = 56,
    AT_INTENT = 64,
    AT_ID = 84,
    HEADER_BYTES = 128,
    ID_BYTES = 16,
};

/* What the probe allows. Profiles in use keep within a thirtieth of these. */
#define WHITE_MISS 0.01 /* of X, Y, Z from the white of the PCS */
#define BLACK_MOST 0.01 /* Y of code 0 */
#define GREY_CAST 1.0   /* |a*|, |b*| of equal codes */
#define GREY_STEPS 17
#define MIDDLE_LEAST 0.12 /* Y of code 128: a gamma of 3.1 */
#define MIDDLE_MOST 0.51  /* and of 1 */
#define CURVE_KINK                                                             \
    0.004                /* second difference of a curve between codes; the    \
                            sharpest in use (gamma 2.6) has 0.00007 */
#define MATRIX_MISS 2e-5 /* XYZ by curves and matrix from XYZ by Little CMS */

struct icc {
    cmsContext context;
    cmsHPROFILE profile;
    cmsHTRANSFORM to_xyz;
    bool matrix;
    bool camera; /* class scnr: its greys need not be grey */
    double light[3][256];
    double m[3][3];
    char name[80];
};

/* ---- opening ------------------------------------------------------------ */

/* What Little CMS complains of is in no dyer's words; the checks say it. */
static void keep_quiet(cmsContext context, cmsUInt32Number code,
                       const char *text)
{
    (void)context;
    (void)code;
    (void)text;
}

static struct icc *icc_new(void)
{
    struct icc *icc = mem_new(1, sizeof *icc);

    icc->context = cmsCreateContext(NULL, NULL);
    assert(icc->context);
    cmsSetLogErrorHandlerTHR(icc->context, keep_quiet);
    return icc;
}

void icc_close(struct icc *icc)
{
    if (!icc)
        return;
    if (icc->to_xyz)
        cmsDeleteTransform(icc->to_xyz);
    if (icc->profile)
        cmsCloseProfile(icc->profile);
    cmsDeleteContext(icc->context);
    free(icc);
}

static bool make_transform(struct icc *icc)
{
    cmsHPROFILE xyz = cmsCreateXYZProfileTHR(icc->context);

    if (!xyz)
        return false;
    icc->to_xyz = cmsCreateTransformTHR(
        icc->context, icc->profile, TYPE_RGB_8, xyz, TYPE_XYZ_DBL,
        INTENT_RELATIVE_COLORIMETRIC, cmsFLAGS_NOOPTIMIZE | cmsFLAGS_NOCACHE);
    cmsCloseProfile(xyz);
    return icc->to_xyz != NULL;
}

void icc_to_xyz(const struct icc *icc, const unsigned char *rgb,
                struct xyz *out, size_t n)
{
    enum { BATCH = 1 << 20 };

    for (size_t i = 0; i < n; i += BATCH)
        cmsDoTransform(icc->to_xyz, rgb + 3 * i, out + i,
                       (cmsUInt32Number)(n - i < BATCH ? n - i : BATCH));
}

static struct xyz xyz_of(const struct icc *icc, int r, int g, int b)
{
    const unsigned char rgb[3] = {(unsigned char)r, (unsigned char)g,
                                  (unsigned char)b};
    struct xyz out;

    icc_to_xyz(icc, rgb, &out, 1);
    return out;
}

/* Appends code point c; anything that is no printable character of the basic
 * plane becomes a question mark. */
static size_t put_utf8(char *to, unsigned long c)
{
    if (c < 0x20 || (c >= 0x7F && c < 0xA0) || (c >= 0xD800 && c < 0xE000) ||
        (c >= 0x200B && c < 0x2010) || (c >= 0x2028 && c < 0x2030) ||
        (c >= 0x2066 && c < 0x2070) || c >= 0xFFF0)
        c = '?';
    if (c < 0x80) {
        to[0] = (char)c;
        return 1;
    }
    if (c < 0x800) {
        to[0] = (char)(0xC0 | c >> 6);
        to[1] = (char)(0x80 | (c & 0x3F));
        return 2;
    }
    to[0] = (char)(0xE0 | c >> 12);
    to[1] = (char)(0x80 | (c >> 6 & 0x3F));
    to[2] = (char)(0x80 | (c & 0x3F));
    return 3;
}

static void take_name(struct icc *icc)
{
    static const char unnamed[] = "unnamed profile";
    wchar_t wide[sizeof icc->name] = {0};
    size_t n = 0;

    cmsGetProfileInfo(icc->profile, cmsInfoDescription, "en", "US", wide,
                      sizeof wide);
    wide[sizeof icc->name - 1] = 0;
    for (size_t i = 0; wide[i] && n + 4 < sizeof icc->name; i++)
        n += put_utf8(icc->name + n, (unsigned long)wide[i]);
    while (n && icc->name[n - 1] == ' ')
        n--;
    icc->name[n] = '\0';
    if (!n)
        memcpy(icc->name, unnamed, sizeof unnamed);
}

/* ---- curves and matrix -------------------------------------------------- */

static bool has_table(cmsHPROFILE profile)
{
    static const cmsTagSignature tables[] = {
        cmsSigAToB0Tag, cmsSigAToB1Tag, cmsSigAToB2Tag, cmsSigDToB0Tag,
        cmsSigDToB1Tag, cmsSigDToB2Tag, cmsSigDToB3Tag,
    };

    for (size_t i = 0; i < ARRAY_LEN(tables); i++)
        if (cmsIsTag(profile, tables[i]))
            return true;
    return false;
}

static bool read_curves(struct icc *icc)
{
    static const cmsTagSignature curve[3] = {cmsSigRedTRCTag, cmsSigGreenTRCTag,
                                             cmsSigBlueTRCTag};
    static const cmsTagSignature colorant[3] = {
        cmsSigRedColorantTag, cmsSigGreenColorantTag, cmsSigBlueColorantTag};

    for (int c = 0; c < 3; c++) {
        const cmsToneCurve *trc = cmsReadTag(icc->profile, curve[c]);
        const cmsCIEXYZ *xyz = cmsReadTag(icc->profile, colorant[c]);

        if (!trc || !xyz)
            return false;
        for (int v = 0; v < 256; v++)
            icc->light[c][v] = (double)cmsEvalToneCurveFloat(
                trc, (cmsFloat32Number)(v / 255.0));
        icc->m[0][c] = xyz->X;
        icc->m[1][c] = xyz->Y;
        icc->m[2][c] = xyz->Z;
    }
    return true;
}

/* Whether curves and matrix give what the transform gives, on a coarse grid
 * of codes: only then may they stand in for it. */
static bool curves_agree(const struct icc *icc)
{
    for (int i = 0; i < 6 * 6 * 6; i++) {
        const int code[3] = {i / 36 * 51, i / 6 % 6 * 51, i % 6 * 51};
        struct xyz want = xyz_of(icc, code[0], code[1], code[2]);
        double got[3] = {0, 0, 0};

        for (int r = 0; r < 3; r++)
            for (int c = 0; c < 3; c++)
                got[r] += icc->m[r][c] * icc->light[c][code[c]];
        if (!(fabs(got[0] - want.X) <= MATRIX_MISS &&
              fabs(got[1] - want.Y) <= MATRIX_MISS &&
              fabs(got[2] - want.Z) <= MATRIX_MISS))
            return false;
    }
    return true;
}

/* Makes the transform, and the curves where the profile is nothing else. */
static bool prepare(struct icc *icc)
{
    if (!make_transform(icc))
        return false;
    icc->matrix = cmsIsMatrixShaper(icc->profile) && !has_table(icc->profile) &&
                  read_curves(icc) && curves_agree(icc);
    return true;
}

bool icc_is_matrix(const struct icc *icc)
{
    return icc->matrix;
}

void icc_curves(const struct icc *icc, double light[3][256], double m[3][3])
{
    assert(icc->matrix);
    memcpy(light, icc->light, sizeof icc->light);
    memcpy(m, icc->m, sizeof icc->m);
}

const char *icc_name(const struct icc *icc)
{
    return icc->name;
}

/* ---- is it fit to measure with? ----------------------------------------- */

static bool bad(struct error *err, const char *why)
{
    return error_set(err, ERR_INPUT, "%s", why);
}

static uint32_t be32(const unsigned char *p)
{
    return (uint32_t)p[0] << 24 | (uint32_t)p[1] << 16 | (uint32_t)p[2] << 8 |
           p[3];
}

static bool is_tag(const unsigned char *p, const char *tag)
{
    return !memcmp(p, tag, 4);
}

static bool check_header(const unsigned char *data, size_t size,
                         struct error *err)
{
    const unsigned char *class = data + AT_CLASS;

    if (size < HEADER_BYTES + 4)
        return bad(err, "it is cut short");
    if (size > ICC_MAX_BYTES)
        return bad(err, "it is larger than 4 MB");
    if (be32(data + AT_SIZE) != size)
        return error_set(err, ERR_INPUT,
                         "it says it has %lu bytes, but %zu are there",
                         (unsigned long)be32(data + AT_SIZE), size);
    if (!is_tag(data + AT_SIGNATURE, "acsp"))
        return bad(err, "it is no colour profile");
    if (!is_tag(class, "mntr") && !is_tag(class, "scnr") &&
        !is_tag(class, "prtr") && !is_tag(class, "spac"))
        return bad(err, "it is not of a kind that describes a picture");
    if (!is_tag(data + AT_SPACE, "RGB "))
        return bad(err, "it is not for red, green and blue");
    if (!is_tag(data + AT_PCS, "XYZ ") && !is_tag(data + AT_PCS, "Lab "))
        return bad(err, "it connects to no known colour space");
    return true;
}

/* Whether the profile ID is the MD5 of the bytes with intent, ID and n bytes
 * at `zero` set to nought. */
static bool id_agrees(const struct icc *icc, const unsigned char *data,
                      size_t size, size_t zero, size_t n)
{
    unsigned char header[HEADER_BYTES];
    cmsProfileID id;
    cmsHANDLE md5 = cmsMD5alloc(icc->context);

    assert(md5);
    memcpy(header, data, sizeof header);
    memset(header + zero, 0, n);
    memset(header + AT_INTENT, 0, 4);
    memset(header + AT_ID, 0, ID_BYTES);
    cmsMD5add(md5, header, sizeof header);
    cmsMD5add(md5, data + sizeof header,
              (cmsUInt32Number)(size - sizeof header));
    cmsMD5finish(&id, md5);
    return !memcmp(&id, data + AT_ID, ID_BYTES);
}

/* The standard (ICC.1, 7.2.18) leaves out the flags; cmsMD5computeID leaves
 * out the attributes. Both occur. cmsMD5computeID itself will not do here: it
 * digests a profile as rewritten, not these bytes. */
static bool check_id(const struct icc *icc, const unsigned char *data,
                     size_t size, struct error *err)
{
    static const unsigned char none[ID_BYTES];

    if (!memcmp(data + AT_ID, none, ID_BYTES) ||
        id_agrees(icc, data, size, AT_FLAGS, 4) ||
        id_agrees(icc, data, size, AT_ATTRIBUTES, 8))
        return true;
    return bad(err, "its checksum is wrong");
}

static bool check_ends(const struct icc *icc, struct error *err)
{
    const cmsCIEXYZ *d50 = cmsD50_XYZ();
    struct xyz white = xyz_of(icc, 255, 255, 255);

    if (!(fabs(white.X - d50->X) <= WHITE_MISS &&
          fabs(white.Y - d50->Y) <= WHITE_MISS &&
          fabs(white.Z - d50->Z) <= WHITE_MISS))
        return bad(err, "its white is not white");
    if (!(xyz_of(icc, 0, 0, 0).Y < BLACK_MOST))
        return bad(err, "its black is not black");
    return true;
}

static bool check_greys(const struct icc *icc, struct error *err)
{
    double last = -1, middle;

    for (int i = 0; i < GREY_STEPS; i++) {
        int v = (i * 255 + (GREY_STEPS - 1) / 2) / (GREY_STEPS - 1);
        struct xyz grey = xyz_of(icc, v, v, v);
        cmsCIEXYZ xyz = {grey.X, grey.Y, grey.Z};
        cmsCIELab lab;

        if (!(grey.Y > last))
            return bad(err, "its greys do not grow lighter");
        last = grey.Y;
        cmsXYZ2Lab(NULL, &lab, &xyz);
        if (!icc->camera &&
            !(fabs(lab.a) < GREY_CAST && fabs(lab.b) < GREY_CAST))
            return bad(err, "its greys are not grey");
    }
    middle = xyz_of(icc, 128, 128, 128).Y;
    if (!(middle >= MIDDLE_LEAST && middle <= MIDDLE_MOST))
        return bad(err, "its middle grey is too light or too dark");
    return true;
}

static bool check_primaries(const struct icc *icc, struct error *err)
{
    struct xyz r = xyz_of(icc, 255, 0, 0);
    struct xyz g = xyz_of(icc, 0, 255, 0);
    struct xyz b = xyz_of(icc, 0, 0, 255);
    double det = r.X * (g.Y * b.Z - b.Y * g.Z) - g.X * (r.Y * b.Z - b.Y * r.Z) +
                 b.X * (r.Y * g.Z - g.Y * r.Z);

    if (!(r.Y > 0 && g.Y > 0 && b.Y > 0 && det > 0))
        return bad(err, "its red, green and blue are out of place");
    return true;
}

/* A damaged entry of a curve stands out from its neighbours. */
static bool check_curves(const struct icc *icc, struct error *err)
{
    for (int c = 0; c < 3 && icc->matrix; c++) {
        const double *light = icc->light[c];

        for (int v = 1; v < 256; v++) {
            double kink =
                v < 255 ? light[v - 1] - 2 * light[v] + light[v + 1] : 0;

            if (!(light[v] >= light[v - 1] && fabs(kink) <= CURVE_KINK))
                return bad(err, "one of its curves is broken");
        }
    }
    return true;
}

bool icc_open(const unsigned char *data, size_t size, struct icc **out,
              struct error *err)
{
    struct icc *icc = NULL;

    *out = NULL;
    if (!check_header(data, size, err))
        return false;
    icc = icc_new();
    icc->camera = is_tag(data + AT_CLASS, "scnr");
    if (!check_id(icc, data, size, err))
        goto fail;
    icc->profile =
        cmsOpenProfileFromMemTHR(icc->context, data, (cmsUInt32Number)size);
    if (!icc->profile || !prepare(icc)) {
        bad(err, "it cannot be read");
        goto fail;
    }
    if (!check_ends(icc, err) || !check_greys(icc, err) ||
        !check_primaries(icc, err) || !check_curves(icc, err))
        goto fail;
    take_name(icc);
    *out = icc;
    return true;

fail:
    icc_close(icc);
    return false;
}

/* ---- built in ----------------------------------------------------------- */

/* CIE x, y of red, green, blue; white is D65 (0.3127, 0.3290) in all three.
 * Sources: IEC 61966-2-1; SMPTE EG 432-1 (P3); Adobe RGB (1998), 2005-05. */
static const struct builtin {
    const char *name;
    cmsCIExyYTRIPLE primaries;
    bool srgb_curve; /* else gamma 563/256 */
} builtins[] = {
    [ICC_SRGB] = {"sRGB",
                  {{0.64, 0.33, 1}, {0.30, 0.60, 1}, {0.15, 0.06, 1}},
                  true},
    [ICC_DISPLAY_P3] = {"Display P3",
                        {{0.680, 0.320, 1}, {0.265, 0.690, 1}, {0.15, 0.06, 1}},
                        true},
    [ICC_ADOBE_RGB] = {"Adobe RGB (1998)",
                       {{0.64, 0.33, 1}, {0.21, 0.71, 1}, {0.15, 0.06, 1}},
                       false},
};

struct icc *icc_open_builtin(enum icc_builtin which)
{
    /* Little CMS type 4: (a x + b)^g from d on, c x below. */
    static const double srgb[5] = {2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92,
                                   0.04045};
    static const cmsCIExyY d65 = {0.3127, 0.3290, 1};
    const struct builtin *b = &builtins[which];
    struct icc *icc = icc_new();
    cmsToneCurve *curve =
        b->srgb_curve ? cmsBuildParametricToneCurve(icc->context, 4, srgb)
                      : cmsBuildGamma(icc->context, 563 / 256.0);
    cmsToneCurve *curves[3] = {curve, curve, curve};
    bool ok;

    assert(curve);
    icc->profile =
        cmsCreateRGBProfileTHR(icc->context, &d65, &b->primaries, curves);
    cmsFreeToneCurve(curve);
    ok = icc->profile && prepare(icc) && icc->matrix;
    assert(ok);
    (void)ok;
    memcpy(icc->name, b->name, strlen(b->name) + 1);
    return icc;
}

unsigned char *icc_srgb_bytes(size_t *size)
{
    /* Otherwise the moment it is saved at: IEC 61966-2-1 is of October 1999. */
    static const unsigned char date[12] = {1999 >> 8, 1999 & 0xFF, 0, 10, 0, 1};
    struct icc *icc = icc_new();
    unsigned char *bytes = NULL;
    cmsUInt32Number n = 0;

    icc->profile = cmsCreate_sRGBProfileTHR(icc->context);
    if (icc->profile && cmsSaveProfileToMem(icc->profile, NULL, &n))
        bytes = mem_new(n, 1);
    assert(bytes);
    cmsSaveProfileToMem(icc->profile, bytes, &n);
    memcpy(bytes + AT_DATE, date, sizeof date);
    icc_close(icc);
    *size = n;
    return bytes;
}
