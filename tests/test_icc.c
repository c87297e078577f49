/* src/colour/icc.c against published figures and against Little CMS's own
 * profiles of every kind. What is refused: test_icc_damage.c. */
#include "icc_support.h"

/* ---- published figures -------------------------------------------------- */

static void check_conversions(const struct encoding *e, const struct icc *icc,
                              double tolerance)
{
    struct table t = table_read("conversions.csv");
    double light[3][256], m[3][3];
    int seen = 0;

    assert_true(icc_is_matrix(icc));
    icc_curves(icc, light, m);
    for (size_t i = 0; i < t.rows; i++) {
        const char *name = table_text(&t, i, "name");
        const unsigned char rgb[3] = {(unsigned char)table_real(&t, i, "R8"),
                                      (unsigned char)table_real(&t, i, "G8"),
                                      (unsigned char)table_real(&t, i, "B8")};
        struct xyz xyz;
        struct lab lab, by_curves;
        double v[3];

        if (strcmp(table_text(&t, i, "encoding"), e->name) != 0)
            continue;
        seen++;
        icc_to_xyz(icc, rgb, &xyz, 1);
        lab = lab_of(xyz);
        check_lab(name, lab,
                  (struct lab){table_real(&t, i, "L_D50"),
                               table_real(&t, i, "a_D50"),
                               table_real(&t, i, "b_D50")},
                  tolerance);
        for (int r = 0; r < 3; r++)
            v[r] = m[r][0] * light[0][rgb[0]] + m[r][1] * light[1][rgb[1]] +
                   m[r][2] * light[2][rgb[2]];
        by_curves = lab_of((struct xyz){v[0], v[1], v[2]});
        check_lab(name, by_curves, lab, 2e-3);
    }
    assert_int_equal(seen, 64);
    table_clear(&t);
}

/* conversions.csv: computed by Little CMS, checked against colour-science
 * (0.0001), culori and colorjs.io; 0.02 is asked for, and far more is met. */
static void test_builtin_profiles_agree_with_the_conversion_table(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(encodings); i++) {
        struct icc *icc = icc_open_builtin(encodings[i].which);

        check_conversions(&encodings[i], icc, 0.02);
        icc_close(icc);
    }
}

/* Saving rounds the matrix to 1/65536 (s15Fixed16), hence 0.05. */
static void test_saved_profiles_agree_with_the_conversion_table(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(encodings); i++)
        for (int with_id = 0; with_id < 2; with_id++) {
            size_t size;
            unsigned char *bytes = rgb_bytes(&encodings[i], with_id, &size);
            struct icc *icc = opened(bytes, size);

            check_conversions(&encodings[i], icc, 0.05);
            icc_close(icc);
            free(bytes);
        }
}

static void read_matrix(const char *name, double m[3][3])
{
    struct table t = table_read("bradford.csv");
    int rows = 0;

    for (size_t i = 0; i < t.rows; i++)
        if (!strcmp(table_text(&t, i, "matrix"), name)) {
            double *row = m[(int)table_real(&t, i, "row") - 1];

            row[0] = table_real(&t, i, "c1");
            row[1] = table_real(&t, i, "c2");
            row[2] = table_real(&t, i, "c3");
            rows++;
        }
    assert_int_equal(rows, 3);
    table_clear(&t);
}

static double det3(double m[3][3])
{
    return m[0][0] * (m[1][1] * m[2][2] - m[1][2] * m[2][1]) -
           m[0][1] * (m[1][0] * m[2][2] - m[1][2] * m[2][0]) +
           m[0][2] * (m[1][0] * m[2][1] - m[1][1] * m[2][0]);
}

/* Colorants from first principles: primaries scaled so that they add up to
 * the white (whitepoints.csv, CIE 015), then adapted with the Bradford matrix
 * of bradford.csv, with no help from Little CMS. */
static void test_colorants_are_the_primaries_adapted_by_bradford(void **state)
{
    double adapt[3][3], light[3][256], m[3][3];
    const double w[3] = {0.3127 / 0.3290, 1, (1 - 0.3127 - 0.3290) / 0.3290};

    (void)state;
    read_matrix("D65 (0.3127 0.3290) to ICC D50", adapt);
    for (size_t i = 0; i < ARRAY_LEN(encodings); i++) {
        const cmsCIExyYTRIPLE *p = &encodings[i].primaries;
        const double x[3] = {p->Red.x, p->Green.x, p->Blue.x};
        const double y[3] = {p->Red.y, p->Green.y, p->Blue.y};
        double c[3][3], s[3], det;
        struct icc *icc = icc_open_builtin(encodings[i].which);

        for (int k = 0; k < 3; k++) {
            c[0][k] = x[k] / y[k];
            c[1][k] = 1;
            c[2][k] = (1 - x[k] - y[k]) / y[k];
        }
        det = det3(c);
        for (int k = 0; k < 3; k++) { /* Cramer */
            double d[3][3];

            memcpy(d, c, sizeof d);
            for (int r = 0; r < 3; r++)
                d[r][k] = w[r];
            s[k] = det3(d) / det;
        }
        icc_curves(icc, light, m);
        for (int r = 0; r < 3; r++)
            for (int k = 0; k < 3; k++)
                check_near(encodings[i].name, m[r][k],
                           s[k] *
                               (adapt[r][0] * c[0][k] + adapt[r][1] * c[1][k] +
                                adapt[r][2] * c[2][k]),
                           2e-6);
        icc_close(icc);
    }
}

/* The white of every profile is the white of the connection space, row "D50
 * (ICC PCS)" of whitepoints.csv (ICC.1); 1e-4 for the rounding of saving. */
static void test_white_is_the_white_of_the_connection_space(void **state)
{
    struct table t = table_read("whitepoints.csv");
    static const unsigned char white[3] = {255, 255, 255};
    int seen = 0;

    (void)state;
    for (size_t row = 0; row < t.rows; row++) {
        if (strcmp(table_text(&t, row, "illuminant"), "D50 (ICC PCS)") != 0)
            continue;
        for (size_t i = 0; i < ARRAY_LEN(encodings); i++) {
            size_t size;
            unsigned char *bytes = rgb_bytes(&encodings[i], false, &size);
            struct icc *icc = opened(bytes, size);
            struct xyz got;

            icc_to_xyz(icc, white, &got, 1);
            check_near("X", 100 * got.X, table_real(&t, row, "X"), 0.01);
            check_near("Y", 100 * got.Y, table_real(&t, row, "Y"), 0.01);
            check_near("Z", 100 * got.Z, table_real(&t, row, "Z"), 0.01);
            icc_close(icc);
            free(bytes);
            seen++;
        }
    }
    assert_int_equal(seen, 3);
    table_clear(&t);
}

/* IEC 61966-2-1: code 119 is 0.184475 of full light. */
static void test_curve_of_srgb_is_the_published_formula(void **state)
{
    struct icc *icc = icc_open_builtin(ICC_SRGB);
    double light[3][256], m[3][3];

    (void)state;
    icc_curves(icc, light, m);
    check_near("119", light[0][119], 0.184475, 1e-6);
    for (int v = 0; v < 256; v++) {
        double s = v / 255.0;
        double want = s <= 0.04045 ? s / 12.92 : pow((s + 0.055) / 1.055, 2.4);

        for (int c = 0; c < 3; c++) /* single precision inside Little CMS */
            check_near("sRGB", light[c][v], want, 1.5e-7);
    }
    icc_close(icc);
}

static void test_names_are_those_in_the_profile(void **state)
{
    static const struct {
        const wchar_t *put;
        const char *want;
    } rows[] = {
        {L"My camera", "My camera"},
        {L"Lilla fj\x00E4ll \x20AC", "Lilla fj\xC3\xA4ll \xE2\x82\xAC"},
        {L"two\nlines\x1B[31m", "two?lines?[31m"},
        {L"", "unnamed profile"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        cmsHPROFILE p = rgb_profile(&encodings[0]);
        cmsMLU *text = cmsMLUalloc(NULL, 1);
        unsigned char *bytes;
        struct icc *icc;
        size_t size;

        cmsMLUsetWide(text, "en", "US", rows[i].put);
        cmsWriteTag(p, cmsSigProfileDescriptionTag, text);
        cmsMLUfree(text);
        bytes = saved(p, false, &size);
        icc = opened(bytes, size);
        check_text("name", icc_name(icc), rows[i].want);
        icc_close(icc);
        free(bytes);
    }
}

/* ---- other kinds of profile --------------------------------------------- */

/* Between 33 points a straight line misses the cube root by up to 2 units
 * in the dark; from code 51 on it is below 0.3. */
static void test_table_profiles_are_read_through_their_table(void **state)
{
    static const double version[] = {2.1, 4.3};
    struct icc *srgb = icc_open_builtin(ICC_SRGB);

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(version); i++) {
        size_t size;
        unsigned char *bytes = saved(table_profile(version[i]), true, &size);
        struct icc *icc = opened(bytes, size);

        assert_false(icc_is_matrix(icc));
        for (int k = 0; k < 5 * 5 * 5; k++) {
            const unsigned char rgb[3] = {(unsigned char)(51 + k / 25 * 51),
                                          (unsigned char)(51 + k / 5 % 5 * 51),
                                          (unsigned char)(51 + k % 5 * 51)};
            struct xyz x, y;

            icc_to_xyz(icc, rgb, &x, 1);
            icc_to_xyz(srgb, rgb, &y, 1);
            check_near("table", de00(lab_of(x), lab_of(y)), 0, 0.3);
        }
        icc_close(icc);
        free(bytes);
    }
    icc_close(srgb);
}

/* A matrix beside a table: Little CMS goes by the table, and so must we. */
static void test_a_table_wins_over_curves_in_one_profile(void **state)
{
    cmsHPROFILE p = rgb_profile(&encodings[1]), q = table_profile(4.3);
    cmsPipeline *table = cmsPipelineDup(cmsReadTag(q, cmsSigAToB0Tag));
    unsigned char *bytes;
    struct icc *icc;
    size_t size;

    (void)state;
    cmsSetPCS(p, cmsSigLabData);
    assert_true(cmsWriteTag(p, cmsSigAToB0Tag, table));
    cmsPipelineFree(table);
    cmsCloseProfile(q);
    bytes = saved(p, false, &size);
    icc = opened(bytes, size);
    assert_false(icc_is_matrix(icc));
    icc_close(icc);
    free(bytes);
}

static void test_old_and_new_versions_are_read(void **state)
{
    static const double version[] = {2.1, 2.4, 4.0, 4.3, 4.4};
    struct icc *p3 = icc_open_builtin(ICC_DISPLAY_P3);

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(version); i++) {
        cmsHPROFILE p = rgb_profile(&encodings[1]);
        unsigned char *bytes;
        struct icc *icc;
        size_t size;

        cmsSetProfileVersion(p, version[i]);
        bytes = saved(p, true, &size);
        icc = opened(bytes, size);
        assert_true(icc_is_matrix(icc));
        check_near("P3", furthest(icc, p3), 0, 0.02);
        icc_close(icc);
        free(bytes);
    }
    icc_close(p3);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_builtin_profiles_agree_with_the_conversion_table),
        cmocka_unit_test(test_saved_profiles_agree_with_the_conversion_table),
        cmocka_unit_test(test_colorants_are_the_primaries_adapted_by_bradford),
        cmocka_unit_test(test_white_is_the_white_of_the_connection_space),
        cmocka_unit_test(test_curve_of_srgb_is_the_published_formula),
        cmocka_unit_test(test_names_are_those_in_the_profile),
        cmocka_unit_test(test_table_profiles_are_read_through_their_table),
        cmocka_unit_test(test_a_table_wins_over_curves_in_one_profile),
        cmocka_unit_test(test_old_and_new_versions_are_read),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
