/* src/measure/: worked numbers, and what must hold for any picture. Its checks
 * and refusals: test_measure_checks.c. */
#include "picture.h"

#include "measure/area.h"
#include "measure/check.h"
#include "measure/spread.h"

/* ---- worked numbers ----------------------------------------------------- */

/* sRGB to XYZ (D50), to six digits, as the worked examples use it: IEC
 * 61966-2-1 primaries adapted by Bradford. */
static struct light worked_light(void)
{
    struct light light = {
        .m = {{{0.436066, 0.385147, 0.143066},
               {0.222488, 0.716873, 0.060608},
               {0.013916, 0.097076, 0.714096}}},
    };

    for (int c = 0; c < 3; c++)
        for (int v = 0; v < 256; v++)
            light.curve[c][v] = v / 255.0 <= 0.04045
                                    ? v / 255.0 / 12.92
                                    : pow((v / 255.0 + 0.055) / 1.055, 2.4);
    light.back = mat3_inverse(&light.m);
    return light;
}

static void check_lab(const char *row, struct lab got, double L, double a,
                      double b, double tolerance)
{
    check_near(row, got.L, L, tolerance);
    check_near(row, got.a, a, tolerance);
    check_near(row, got.b, b, tolerance);
}

/* Worked apart in double arithmetic from the matrix above and the curve of IEC
 * 61966-2-1. */
static void test_code_119_is_lab_50(void **state)
{
    static const unsigned char rgb[3] = {119, 119, 119};
    const struct light light = worked_light();
    double v[3];

    (void)state;
    light_row(&light, rgb, 1, v, NULL);
    check_near("light", v[0], 0.184475, 5e-7);
    check_lab("code 119", lab_from_xyz(light_xyz(&light, v)), 50.0338, 0.0107,
              -0.0098, 1e-4);
}

/* The worked example of docs/colour.md, section 8; rounding of the given
 * numbers to six digits leaves 1e-4 in Lab. */
static void
test_correction_by_one_card_agrees_with_the_worked_example(void **state)
{
    static const double card[3] = {0.2310, 0.2050, 0.1640};
    static const double skein[3] = {0.1450, 0.0420, 0.0260};
    static const struct lab stated = {49.5, -0.4, 0.6};
    const struct light light = worked_light();
    const struct xyz c = light_xyz(&light, card), s = light_xyz(&light, skein);
    struct correction fix;
    struct xyz done;

    (void)state;
    check_near("card X", c.X, 0.203149, 1e-6);
    check_near("card Y", c.Y, 0.208293, 1e-6);
    check_near("card Z", c.Z, 0.140227, 1e-6);
    assert_true(correction_from_card(c, stated, &fix));
    check_near("gain 0", fix.gain[0], 0.834155, 2e-6);
    check_near("gain 1", fix.gain[1], 0.878477, 2e-6);
    check_near("gain 2", fix.gain[2], 1.049704, 2e-6);
    done = correction_apply(&fix, s);
    check_near("skein X", done.X, 0.069862, 1e-6);
    check_near("skein Y", done.Y, 0.054703, 1e-6);
    check_near("skein Z", done.Z, 0.025718, 1e-6);
    check_lab("before", lab_from_xyz(s), 30.3868, 20.9384, 17.9042, 1e-4);
    check_lab("after", lab_from_xyz(done), 28.0348, 18.6414, 12.9748, 2e-4);
}

/* The card reads its own Lab after correction, whatever the light. */
static void test_a_corrected_card_reads_its_own_values(void **state)
{
    (void)state;
    for (int i = 0; i < 200; i++) {
        const struct xyz card = {0.05 + 0.4 * (noise_at(i, 1, 0) + 1) / 2,
                                 0.05 + 0.4 * (noise_at(i, 2, 0) + 1) / 2,
                                 0.05 + 0.4 * (noise_at(i, 3, 0) + 1) / 2};
        const struct lab stated = {50 + 30 * noise_at(i, 4, 0),
                                   3 * noise_at(i, 5, 0),
                                   3 * noise_at(i, 6, 0)};
        struct correction fix;

        if (!correction_from_card(card, stated, &fix))
            continue; /* a cone below nought: no such light */
        check_lab("card", lab_from_xyz(correction_apply(&fix, card)), stated.L,
                  stated.a, stated.b, 1e-9);
    }
}

/* The formula of docs/colour.md, section 10 (A3), worked apart for DC
 * steps of 2 to 14. */
static void test_rounding_agrees_with_the_worked_examples(void **state)
{
    static const struct {
        int luma, chroma;
        double r, g, b;
    } rows[] = {{2, 2, 0.5881, 0.4770, 0.6707},
                {3, 3, 0.6043, 0.4880, 0.6905},
                {5, 5, 0.6535, 0.5216, 0.7504},
                {8, 9, 0.7881, 0.6072, 0.9181},
                {13, 14, 1.0257, 0.7743, 1.2040}};
    static const double whole[3] = {1, 1, 1};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const struct mat3 c =
            spread_rounding(rows[i].luma, rows[i].chroma, whole);

        check_near("red", sqrt(c.at[0][0]), rows[i].r, 1e-4);
        check_near("green", sqrt(c.at[1][1]), rows[i].g, 3e-4);
        check_near("blue", sqrt(c.at[2][2]), rows[i].b, 1e-4);
    }
}

/* The light of one code more, relative: the derivative of the curve of IEC
 * 61966-2-1, worked apart. */
static void test_light_of_a_code_agrees_with_the_worked_examples(void **state)
{
    static const struct {
        int code;
        double relative;
    } rows[] = {{30, 0.05452}, {60, 0.03242}, {119, 0.01804}, {200, 0.01121}};
    const struct light light = worked_light();

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const double v = rows[i].code, code[3] = {v, v, v};
        const struct mat3 slope = light_slope(&light, code);
        const double y = slope.at[1][0] + slope.at[1][1] + slope.at[1][2];

        check_near("slope", y / (light.curve[0][rows[i].code] * 0.999969),
                   rows[i].relative, 2e-5);
    }
}

/* The worked numbers of docs/colour.md, section 10 (B3). */
static void test_tone_curve_agrees_with_the_worked_examples(void **state)
{
    static const struct {
        double L, want;
    } rows[] = {{20, 4.31}, {35, 2.55}, {75, 5.98}, {49.5, 0}};
    const struct light light = worked_light();

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const struct cov3 c =
            spread_tone(0.20, &light, (struct lab){rows[i].L, 0, 0},
                        (struct lab){49.5, 0, 0});

        check_near("B3", sqrt(c.LL), rows[i].want, 0.005);
    }
}

/* A camera's curve really bent by a little: each of red, green and blue is
 * raised to 1 + u about the card's. */
static void test_tone_curve_bends_red_green_and_blue(void **state)
{
    static const struct lab card = {49.5, -0.4, 0.6};
    static const struct lab skeins[] = {
        {46, 42, 27}, {72, -4, 60}, {28, 6, 12}, {85, 0, 12}, {35, 2, -22}};
    const double u = 1e-5;
    const struct light light = worked_light();

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(skeins); i++) {
        const struct lab is = skeins[i];
        const struct xyz at = xyz_from_lab(is), grey = xyz_from_lab(card);
        const struct cov3 c = spread_tone(u, &light, is, card);
        double rgb[3] = {at.X, at.Y, at.Z}, of[3] = {grey.X, grey.Y, grey.Z};
        struct lab bent;

        mat3_apply(&light.back, rgb, rgb);
        mat3_apply(&light.back, of, of);
        for (int k = 0; k < 3; k++)
            rgb[k] = of[k] * pow(rgb[k] / of[k], 1 + u);
        bent = lab_from_xyz(light_xyz(&light, rgb));
        check_near("L", sqrt(c.LL) / u, fabs(bent.L - is.L) / u, 0.01);
        check_near("a", sqrt(c.aa) / u, fabs(bent.a - is.a) / u, 0.01);
        check_near("b", sqrt(c.bb) / u, fabs(bent.b - is.b) / u, 0.01);
        check_near("L with a", c.La / u / u,
                   (bent.L - is.L) / u * (bent.a - is.a) / u, 0.2);
    }
}

/* ---- the grid ----------------------------------------------------------- */

/* The rules of docs/colour.md: a margin of one MCU and 2 px, then the largest
 * of 32, 16, 8, 4 px that gives 30 blocks; under 12 of 4 px the whole box. */
static void test_a_box_carries_a_grid_that_suits_its_size(void **state)
{
    static const struct {
        int64_t w, h;
        int mcu;
        uint32_t nx, ny;
        bool small, refused;
    } rows[] = {
        {260, 220, 8, 7, 6, false, false}, /* 32 px */
        {120, 120, 8, 6, 6, false, false}, /* 16 px */
        {68, 60, 8, 6, 5, false, false},   /* 8 px */
        {44, 44, 8, 6, 6, false, false},   /* 4 px */
        {36, 40, 8, 4, 5, false, false},   /* 4 px, 20 of them */
        {32, 31, 8, 8, 7, true, false},    /* 9 left: the whole box */
        {60, 60, 16, 6, 6, false, false},  /* 4:2:0 keeps further off */
        {50, 50, 16, 3, 3, true, false},   {17, 17, 16, 4, 4, true, false},
        {8, 8, 16, 2, 2, true, false},     {3, 30, 8, 1, 7, true, false},
        {7, 9, 8, 0, 0, true, true},       {1, 63, 8, 0, 0, true, true},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const struct photo photo = {.mcu_w = rows[i].mcu, .mcu_h = rows[i].mcu};
        const struct box box = {100, 100, rows[i].w, rows[i].h};
        struct area area;
        const bool ok = area_plan(&area, box, &photo, 30, 12);
        char row[32];

        snprintf(row, sizeof row, "%d x %d", (int)rows[i].w, (int)rows[i].h);
        assert_int_equal(ok, !rows[i].refused);
        if (ok && !(rows[i].w == 50)) {
            check_near(row, area.nx, rows[i].nx, 0);
            check_near(row, area.ny, rows[i].ny, 0);
        }
        if (ok)
            check_near(row, area.small, rows[i].small, 0);
        area_clear(&area);
    }
}

/* ---- whole pictures ----------------------------------------------------- */

static double worst(const struct measure_result *x,
                    const struct measure_result *y)
{
    double d = 0;

    for (size_t i = 0; i < x->regions; i++)
        d = fmax(d, lab_de00(x->region[i].lab, y->region[i].lab));
    return d;
}

/* A plain picture comes back within the rounding of a JPEG (docs/colour.md:
 * 0.3 for texture at quality 90 and more), with no note at all. */
static void test_known_colours_come_back(void **state)
{
    struct picture p = picture_plain();
    struct measure_result *r;

    (void)state;
    for (int sampling = 1; sampling <= 2; sampling++) {
        p.sampling = sampling;
        r = measured(&p);
        check_near("red", lab_de00(r->region[0].lab, skein_lab), 0, 0.3);
        check_near("yellow", lab_de00(r->region[1].lab, lower_lab), 0, 0.3);
        assert_int_equal(r->card_notes.count, 0);
        assert_int_equal(r->region[0].notes.count, 0);
        assert_int_equal(r->region[1].notes.count, 0);
        check_text("profile", r->profile, "sRGB");
        check_text("camera", r->camera, "Own One");
        free(r);
    }
}

static void test_the_card_as_a_region_reads_its_own_values(void **state)
{
    const struct measure_request request = request_for(&card_box, 1);
    struct picture p = picture_plain();
    struct measure_result *r;
    struct error err = {0};
    bool ok;

    (void)state;
    p.exposure = 0.6;
    p.red = 1.2;
    r = picture_measured(&p, &request, &ok, &err);
    check_ok(ok, &err);
    check_lab("card", r->region[0].lab, card_lab.L, card_lab.a, card_lab.b,
              1e-9);
    assert_true(notes_say(&r->region[0].notes, "reaches over the card's"));
    free(r);
}

static void test_all_eight_orientations_give_the_same_colours(void **state)
{
    struct picture p = picture_plain();
    struct measure_result *upright = measured(&p);

    (void)state;
    for (int o = 2; o <= 8; o++) {
        struct measure_result *r;

        p.orientation = o;
        r = measured(&p);
        assert_int_equal(r->orientation, o);
        assert_int_equal(r->width, 640);
        assert_int_equal(r->height, 480);
        check_near("turned", worst(r, upright), 0, 0.01);
        free(r);
    }
    free(upright);
}

static void test_encodings_of_one_scene_agree(void **state)
{
    struct picture p = picture_plain();
    struct measure_result *srgb, *r;

    (void)state;
    p.embed = true;
    srgb = measured(&p);
    for (int e = ICC_DISPLAY_P3; e <= ICC_ADOBE_RGB; e++) {
        p.encoding = (enum icc_builtin)e;
        p.exif = EXIF_PLAIN;
        r = measured(&p);
        check_near("encoding", worst(r, srgb), 0, 0.4);
        check_text("rule", r->rule, "embedded in the picture");
        free(r);
    }
    free(srgb);
}

static void test_exposure_moves_colours_little(void **state)
{
    static const double exposure[] = {0.7, 0.8, 0.9, 1.1, 1.2, 1.3};
    struct picture p = picture_plain();
    struct measure_result *plain = measured(&p), *r;
    const double as_is = p.exposure;

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(exposure); i++) {
        p.exposure = as_is * exposure[i];
        r = measured(&p);
        check_near("exposure", worst(r, plain), 0, 0.3);
        free(r);
    }
    free(plain);
}

/* White balance off by a tenth: taken out to what the wrong primaries of the
 * cones leave (docs/colour.md: 0.8 to 1.9 on the mean, 6.8 at worst). */
static void test_a_colour_cast_is_mostly_taken_out(void **state)
{
    struct picture p = picture_plain();
    struct measure_result *r;

    (void)state;
    p.red = 1.12;
    p.blue = 0.88;
    r = measured(&p);
    check_near("red", lab_de00(r->region[0].lab, skein_lab), 0, 2);
    check_near("yellow", lab_de00(r->region[1].lab, lower_lab), 0, 2);
    assert_true(lab_de00(r->region[0].uncorrected, skein_lab) > 2);
    free(r);
}

/* A label or a gap of 3 % of the box, dark, white or blue. */
static void test_a_foreign_patch_moves_colours_little(void **state)
{
    static const struct lab foreign[] = {{8, 0, 0}, {93, 0, 2}, {35, 10, -40}};
    struct picture p = picture_plain();
    struct measure_result *plain = measured(&p), *r;

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(foreign); i++) {
        struct picture q = p;

        picture_add(
            &q, (struct patch){.box = {400, 120, 34, 34}, .lab = foreign[i]});
        picture_add(
            &q, (struct patch){.box = {100, 330, 31, 31}, .lab = foreign[i]});
        r = measured(&q);
        check_near("foreign", worst(r, plain), 0, 0.15);
        free(r);
    }
    free(plain);
}

static void test_the_same_bytes_give_the_same_answer(void **state)
{
    const struct picture p = picture_plain();
    struct measure_result *x = measured(&p), *y = measured(&p);

    (void)state;
    assert_memory_equal(x, y, sizeof *x);
    free(x);
    free(y);
}

/* Texture and slope in a flat patch: the levelness shows the uneven dye. */
static void test_levelness_tells_an_uneven_skein(void **state)
{
    struct picture p = picture_plain();
    struct measure_result *even, *uneven;

    (void)state;
    even = measured(&p);
    p.patch[2].ripple = 0.10;
    uneven = measured(&p);
    assert_true(even->region[0].level.L < 0.3);
    /* squares of +-5 % of the light: 5 % is 1.05 of L at 47 */
    check_near("L", uneven->region[0].level.L, 1.0, 0.35);
    assert_true(uneven->region[0].level.a < 1);
    check_near("other", uneven->region[1].level.L, even->region[1].level.L,
               1e-9);
    free(even);
    free(uneven);
}

/* ---- uncertainty -------------------------------------------------------- */

/* The sum over L, a, b: one alone may fall, as where a slope of light evens
 * out the rounding of chroma. Three hundredths are left for the parts that
 * are themselves estimates, from a few tiles or cells. */
static void check_total(const char *row, struct cov3 worse, struct cov3 than)
{
    const double now = worse.LL + worse.aa + worse.bb;
    const double before = than.LL + than.aa + than.bb;

    if (!(now >= 0.97 * before))
        fail_msg("%s: uncertainty fell from %.4f to %.4f", row, sqrt(before),
                 sqrt(now));
}

static void check_not_less(const char *row, struct cov3 worse, struct cov3 than)
{
    const double slack = 1e-9;

    if (!(worse.LL >= than.LL - slack && worse.aa >= than.aa - slack &&
          worse.bb >= than.bb - slack))
        fail_msg("%s: uncertainty fell from %.4f %.4f %.4f to %.4f %.4f %.4f",
                 row, sqrt(than.LL), sqrt(than.aa), sqrt(than.bb),
                 sqrt(worse.LL), sqrt(worse.aa), sqrt(worse.bb));
}

static void test_uncertainty_is_the_sum_of_its_parts(void **state)
{
    const struct picture p = picture_plain();
    struct measure_result *r = measured(&p);

    (void)state;
    for (size_t i = 0; i < r->regions; i++) {
        const struct measure_region *region = &r->region[i];
        struct cov3 sum = {0};

        for (int k = 0; k < MEASURE_PARTS; k++) {
            assert_true(cov3_is_valid(region->part[k]));
            assert_true(strlen(measure_part_text((enum measure_part)k)) > 5);
            sum = cov3_add(sum, region->part[k]);
            if (k == MEASURE_SET_PARTS - 1)
                check_near("set", region->set.LL, sum.LL, 1e-12);
        }
        check_near("LL", region->abs.LL, sum.LL, 1e-12);
        check_near("ab", region->abs.ab, sum.ab, 1e-12);
        assert_true(cov3_is_valid(region->set));
        assert_true(cov3_is_valid(region->abs));
        check_not_less("absolute", region->abs, region->set);
    }
    free(r);
}

static void test_uncertainty_never_falls_with_quality(void **state)
{
    static const int quality[] = {98, 90, 80, 70, 60, 50};
    struct picture p = picture_plain();
    struct measure_result *better = NULL;

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(quality); i++) {
        struct measure_result *r;

        p.quality = quality[i];
        r = measured(&p);
        for (size_t k = 0; better && k < 2; k++)
            check_total("set", r->region[k].set, better->region[k].set);
        free(better);
        better = r;
    }
    free(better);
}

static void test_uncertainty_never_falls_with_size(void **state)
{
    static const int64_t side[] = {150, 110, 80, 60, 44, 32, 20, 10};
    const struct picture p = picture_plain();
    struct cov3 larger = {0};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(side); i++) {
        const struct box box = {460 - side[i] / 2, 140 - side[i] / 2, side[i],
                                side[i]};
        const struct measure_request request = request_for(&box, 1);
        struct error err = {0};
        struct measure_result *r;
        bool ok;

        r = picture_measured(&p, &request, &ok, &err);
        check_ok(ok, &err);
        check_total("size", r->region[0].set, larger);
        assert_int_equal(notes_say(&r->region[0].notes, "edges are in it"),
                         side[i] < 34);
        larger = r->region[0].set;
        free(r);
    }
}

static void test_uncertainty_never_falls_with_uneven_light(void **state)
{
    static const double slope[] = {0, 0.0002, 0.0003, 0.0005, 0.0007};
    struct picture p = picture_plain();
    struct measure_result *better = NULL;

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(slope); i++) {
        struct measure_result *r;

        p.slope_x = slope[i];
        r = measured(&p);
        if (better) {
            check_not_less("light", r->region[0].part[MEASURE_LIGHT],
                           better->region[0].part[MEASURE_LIGHT]);
            check_total("set", r->region[0].set, better->region[0].set);
        }
        free(better);
        better = r;
    }
    free(better);
}

/* A flat card and flat skeins of any colour, light, quality and noise: A1 to A3
 * are then all there is, and two sigmas of them should cover 95 % of the
 * coordinates. */
static void count_covered(int seed, int *covered, int *of)
{
    static const int quality[] = {95, 85, 75, 60};
    struct picture p = picture_plain();
    struct measure_result *r;

    p.quality = quality[seed % 4];
    p.sensor = seed / 4 % 3 * 0.015;
    p.exposure = 0.8 + 0.2 * noise_at(seed, 1, 0);
    p.red = 1 + 0.05 * noise_at(seed, 2, 0);
    p.blue = 1 + 0.05 * noise_at(seed, 3, 0);
    for (int k = 2; k < 4; k++) {
        p.patch[k].noise = 0;
        p.patch[k].lab = (struct lab){55 + 25 * noise_at(seed, k, 1),
                                      25 * noise_at(seed, k, 2),
                                      25 + 25 * noise_at(seed, k, 3)};
    }
    r = measured(&p);
    for (int k = 0; k < 2; k++) {
        const struct measure_region *region = &r->region[k];
        const struct cov3 c =
            cov3_add(region->part[MEASURE_SKEIN],
                     cov3_add(region->part[MEASURE_CARD],
                              region->part[MEASURE_ROUNDING]));
        const double v[3] = {c.LL, c.aa, c.bb};
        const struct lab *want = &p.patch[2 + k].lab;
        const double d[3] = {region->lab.L - want->L, region->lab.a - want->a,
                             region->lab.b - want->b};

        for (int n = 0; n < 3; n++)
            *covered += d[n] * d[n] <= 4 * v[n];
        *of += 3;
    }
    free(r);
}

static void test_rounding_is_as_uncertain_as_it_says(void **state)
{
    int covered = 0, of = 0;

    (void)state;
    for (int seed = 0; seed < 96; seed++)
        count_covered(seed, &covered, &of);
    printf("#   rounding and scatter: %d of %d coordinates within 2 sigmas\n",
           covered, of);
    assert_in_range(100 * covered, 93 * of, 99 * of);
}

/* What the dyer says of card and light counts: an unknown card, lamps. */
static void test_uncertainty_rises_with_what_is_not_known(void **state)
{
    const struct picture p = picture_plain();
    struct measure_request request = request_for(&skein_box, 1);
    struct measure_result *known, *unknown, *day;
    struct error err = {0};
    bool ok;

    (void)state;
    known = picture_measured(&p, &request, &ok, &err);
    request.daylight = true;
    day = picture_measured(&p, &request, &ok, &err);
    request.card = measure_card_unknown();
    request.daylight = false;
    unknown = picture_measured(&p, &request, &ok, &err);
    check_not_less("lamp", known->region[0].abs, day->region[0].abs);
    check_near("set", known->region[0].set.LL, day->region[0].set.LL, 1e-12);
    /* B2: 6 units at the card's 49.5 are 6 (L + 16) / 65.5 at the skein */
    check_near("card", sqrt(unknown->region[0].part[MEASURE_CARD_VALUE].LL),
               6 * (unknown->region[0].lab.L + 16) / 65.5, 1e-9);
    check_near("card L", unknown->region[0].lab.L, known->region[0].lab.L - 0.8,
               0.3);
    assert_true(notes_say(&unknown->card_notes, "are not known"));
    free(known);
    free(unknown);
    free(day);
}

/* Normal enough: the sum of twelve even numbers, of variance 1. */
static double normal_at(int x, int y)
{
    double sum = 0;

    for (int k = 0; k < 12; k++)
        sum += noise_at(x, y, k) / 2;
    return sum;
}

/* Cards without any slope, whose chroma is wrong by whole cells of 16 pixels
 * and read in blocks of 8, four to a cell: a slope found is a standard error
 * in the mean square. Over 500 cards the root strays by 3 % (chance), and the
 * standard errors are themselves found from 64 cells (1 %). */
static void test_a_slope_knows_that_blocks_share_cells(void **state)
{
    enum { SIDE = 16, CARDS = 500 };
    static struct tile tile[SIDE * SIDE];
    static double v[SIDE * SIDE];
    const struct light light = worked_light();
    const struct photo photo = {.dc_luma = 1, .dc_chroma = 1};
    const struct area area = {.luma = {.w = 8, .h = 8},
                              .chroma = {.w = 16, .h = 16}};
    double square = 0;

    (void)state;
    for (int card = 0; card < CARDS; card++) {
        struct stats s = {.light = {0.2, 0.2, 0.2},
                          .code = {124, 124, 124},
                          .blocks = SIDE * SIDE,
                          .width = 8 * SIDE,
                          .height = 8 * SIDE};

        for (int i = 0; i < SIDE * SIDE; i++) {
            const int x = i % SIDE, y = i / SIDE;

            tile[i] = (struct tile){.x = 8 * x - 60, .y = 8 * y - 60};
            v[i] = 0.2 * normal_at(x / 2 + 50 * card, y / 2);
        }
        s.RG = plane_fit(v, tile, ARRAY_LEN(tile));
        spread_widen(&photo, &light, &area, &s);
        square += s.RG.gx * s.RG.gx / s.RG.xx + s.RG.gy * s.RG.gy / s.RG.yy;
    }
    check_near("standard errors", sqrt(square / (2 * CARDS)), 1, 0.1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_code_119_is_lab_50),
        cmocka_unit_test(
            test_correction_by_one_card_agrees_with_the_worked_example),
        cmocka_unit_test(test_a_corrected_card_reads_its_own_values),
        cmocka_unit_test(test_rounding_agrees_with_the_worked_examples),
        cmocka_unit_test(test_light_of_a_code_agrees_with_the_worked_examples),
        cmocka_unit_test(test_tone_curve_agrees_with_the_worked_examples),
        cmocka_unit_test(test_tone_curve_bends_red_green_and_blue),
        cmocka_unit_test(test_a_box_carries_a_grid_that_suits_its_size),
        cmocka_unit_test(test_known_colours_come_back),
        cmocka_unit_test(test_the_card_as_a_region_reads_its_own_values),
        cmocka_unit_test(test_all_eight_orientations_give_the_same_colours),
        cmocka_unit_test(test_encodings_of_one_scene_agree),
        cmocka_unit_test(test_exposure_moves_colours_little),
        cmocka_unit_test(test_a_colour_cast_is_mostly_taken_out),
        cmocka_unit_test(test_a_foreign_patch_moves_colours_little),
        cmocka_unit_test(test_the_same_bytes_give_the_same_answer),
        cmocka_unit_test(test_levelness_tells_an_uneven_skein),
        cmocka_unit_test(test_a_slope_knows_that_blocks_share_cells),
        cmocka_unit_test(test_uncertainty_is_the_sum_of_its_parts),
        cmocka_unit_test(test_uncertainty_never_falls_with_quality),
        cmocka_unit_test(test_uncertainty_never_falls_with_size),
        cmocka_unit_test(test_uncertainty_never_falls_with_uneven_light),
        cmocka_unit_test(test_rounding_is_as_uncertain_as_it_says),
        cmocka_unit_test(test_uncertainty_rises_with_what_is_not_known),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
