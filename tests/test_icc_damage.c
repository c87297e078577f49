/* src/colour/icc.c: the profiles it refuses, and what damage it can tell. */
#include "icc_support.h"

#include <stdio.h>

static const char kind[] = "it is not of a kind that describes a picture";

static void test_other_kinds_of_profile_are_refused_by_name(void **state)
{
    cmsToneCurve *line = cmsBuildGamma(NULL, 2.2);
    cmsHPROFILE srgb = cmsCreate_sRGBProfile();
    cmsHTRANSFORM t = cmsCreateTransform(srgb, TYPE_RGB_8, srgb, TYPE_RGB_8,
                                         INTENT_PERCEPTUAL, 0);
    const struct {
        const char *row;
        cmsHPROFILE profile;
        const char *why;
    } rows[] = {
        {"grey", cmsCreateGrayProfile(cmsD50_xyY(), line),
         "it is not for red, green and blue"},
        {"Lab", cmsCreateLab4Profile(NULL), kind},
        {"device link", cmsTransform2DeviceLink(t, 4.3, 0), kind},
        {"XYZ", cmsCreateXYZProfile(), kind},
        {"ink limit", cmsCreateInkLimitingDeviceLink(cmsSigCmykData, 200),
         kind},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        size_t size;
        unsigned char *bytes = saved(rows[i].profile, false, &size);

        check_refused(rows[i].row, bytes, size, rows[i].why);
        free(bytes);
    }
    cmsDeleteTransform(t);
    cmsCloseProfile(srgb);
    cmsFreeToneCurve(line);
}

static void test_header_faults_are_refused_each_in_its_words(void **state)
{
    static const struct {
        const char *row;
        size_t at;
        const char *put;
        size_t n;
        const char *why;
    } rows[] = {
        {"signature", 36, "acsq", 4, "it is no colour profile"},
        {"abstract", 12, "abst", 4, kind},
        {"named", 12, "nmcl", 4, kind},
        {"CMYK", 16, "CMYK", 4, "it is not for red, green and blue"},
        {"PCS", 20, "RGB ", 4, "it connects to no known colour space"},
        {"size", 0, "\0\0\1\0", 4, NULL},
        {"huge count", 128, "\x7F\xFF\xFF\xFF", 4, NULL},
        {"ID", 84, "0123456789abcdef", 16, "its checksum is wrong"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        size_t size;
        unsigned char *bytes = rgb_bytes(&encodings[0], false, &size);

        memcpy(bytes + rows[i].at, rows[i].put, rows[i].n);
        check_refused(rows[i].row, bytes, size, rows[i].why);
        free(bytes);
    }
}

/* A curve by a letter: gammas 2.2, 1.8 and 4.2; straight with a bump, falling,
 * and with a black that is not black. */
static cmsToneCurve *curve_of(char letter)
{
    cmsFloat32Number line[256];

    for (int i = 0; i < 256; i++) {
        double x = i / 255.0;

        if (letter == 'b')
            line[i] = (cmsFloat32Number)(i == 101 ? x + 0.008 : x);
        else
            line[i] = (cmsFloat32Number)(letter == 'f' ? 1 - x : 0.05 + x);
    }
    return letter == 'g'   ? cmsBuildGamma(NULL, 2.2)
           : letter == 'l' ? cmsBuildGamma(NULL, 1.8)
           : letter == 'd' ? cmsBuildGamma(NULL, 4.2)
                           : cmsBuildTabulatedToneCurveFloat(NULL, 256, line);
}

static void test_profiles_that_fail_the_probe_are_refused(void **state)
{
    static const cmsCIExyY d65 = {0.3127, 0.3290, 1};
    static const cmsCIExyYTRIPLE swapped = {
        {0.30, 0.60, 1}, {0.64, 0.33, 1}, {0.15, 0.06, 1}};
    static const cmsCIEXYZ off = {0.5, 0.25, 0.02};
    static const struct {
        const char *row, *curves, *why;
    } rows[] = {
        {"falling", "fff", "its white is not white"},
        {"pale", "ppp", "its black is not black"},
        {"bump", "bbb", "one of its curves is broken"},
        {"two gammas", "glg", "its greys are not grey"},
        {"dark", "ddd", "its middle grey is too light or too dark"},
        {"red colorant", "ggg", "its white is not white"},
        {"swapped", "ggg", "its red, green and blue are out of place"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        cmsToneCurve *curves[3];
        cmsHPROFILE p;
        unsigned char *bytes;
        size_t size;

        for (int c = 0; c < 3; c++)
            curves[c] = curve_of(rows[i].curves[c]);
        p = cmsCreateRGBProfile(&d65,
                                !strcmp(rows[i].row, "swapped")
                                    ? &swapped
                                    : &encodings[0].primaries,
                                curves);
        assert_non_null(p);
        cmsFreeToneCurveTriple(curves);
        if (!strcmp(rows[i].row, "red colorant"))
            assert_true(cmsWriteTag(p, cmsSigRedColorantTag, &off));
        bytes = saved(p, false, &size);
        check_refused(rows[i].row, bytes, size, rows[i].why);
        free(bytes);
    }
}

/* Cut anywhere it is refused; with a size field that agrees again it may be
 * taken, but only if what was lost held no colour. */
static void test_a_profile_cut_short_is_refused_or_harmless(void **state)
{
    size_t size;
    unsigned char *bytes = rgb_bytes(&encodings[1], false, &size);
    struct icc *whole = opened(bytes, size);

    (void)state;
    for (size_t n = 0; n < size; n++) {
        unsigned char *cut = mem_new(n, 1); /* so that overreads show */
        struct icc *icc = NULL;
        struct error err = {0};

        memcpy(cut, bytes, n);
        check_refused("cut", cut, n, NULL);
        if (n >= 4) {
            cut[0] = cut[1] = 0;
            cut[2] = (unsigned char)(n >> 8);
            cut[3] = (unsigned char)n;
        }
        if (icc_open(cut, n, &icc, &err)) {
            check_near("cut", furthest(icc, whole), 0, 0);
            assert_true(n > size / 2);
        }
        icc_close(icc);
        free(cut);
    }
    icc_close(whole);
    free(bytes);
}

static void test_more_than_4_mb_is_refused(void **state)
{
    size_t size, big = ICC_MAX_BYTES + 1;
    unsigned char *bytes = rgb_bytes(&encodings[0], false, &size);

    (void)state;
    bytes = mem_resize(bytes, big, 1);
    memset(bytes + size, 0, big - size);
    check_refused("4 MB", bytes, big, "it is larger than 4 MB");
    free(bytes);
}

/* ---- damage ------------------------------------------------------------- */

struct flips {
    int tried, taken, changed; /* changed: taken, and a colour moved > 0.5 */
    double worst;
};

static struct flips flip_all(unsigned char *bytes, size_t size)
{
    struct flips f = {0};
    struct icc *whole = opened(bytes, size);

    for (size_t bit = 0; bit < 8 * size; bit++) {
        struct icc *icc = NULL;
        struct error err = {0};

        bytes[bit / 8] ^= (unsigned char)(1 << bit % 8);
        f.tried++;
        if (icc_open(bytes, size, &icc, &err)) {
            double d = furthest(icc, whole);

            f.taken++;
            f.changed += d > 0.5;
            f.worst = fmax(f.worst, d);
        }
        icc_close(icc);
        bytes[bit / 8] ^= (unsigned char)(1 << bit % 8);
    }
    icc_close(whole);
    return f;
}

/* With an ID only the fields that its MD5 leaves out may change, and they
 * hold no colour. */
static void test_a_flipped_bit_never_shows_beside_an_id(void **state)
{
    size_t size;
    unsigned char *bytes = rgb_bytes(&encodings[1], true, &size);
    struct flips f = flip_all(bytes, size);

    (void)state;
    assert_true(f.taken < 250); /* flags, attributes, intent: 128 bits */
    check_near("with ID", f.worst, 0, 0);
    free(bytes);
}

/* Without one, nothing tells a gamma of 2.45 from 2.2. What can be told is
 * told: Little CMS alone would take over 90 % of these. */
static void test_flipped_bits_without_an_id_are_mostly_told(void **state)
{
    size_t size;

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(encodings); i++) {
        unsigned char *bytes = rgb_bytes(&encodings[i], false, &size);
        struct flips f = flip_all(bytes, size);

        printf("#   %s: %d single bits flipped, %d profiles refused, %d of "
               "the others moved a colour by more than 0.5, at most %.2f "
               "dE00\n",
               encodings[i].name, f.tried, f.tried - f.taken, f.changed,
               f.worst);
        assert_true(f.changed * 100 < f.tried);
        free(bytes);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_other_kinds_of_profile_are_refused_by_name),
        cmocka_unit_test(test_header_faults_are_refused_each_in_its_words),
        cmocka_unit_test(test_profiles_that_fail_the_probe_are_refused),
        cmocka_unit_test(test_a_profile_cut_short_is_refused_or_harmless),
        cmocka_unit_test(test_more_than_4_mb_is_refused),
        cmocka_unit_test(test_a_flipped_bit_never_shows_beside_an_id),
        cmocka_unit_test(test_flipped_bits_without_an_id_are_mostly_told),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
