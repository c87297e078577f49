/* src/measure/chart.c and lay.c: a camera's colours from a chart, and where the
 * chart's patches lie. */
#include "support.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "colour/icc.h"
#include "measure/chart.h"
#include "measure/lay.h"

#define PATCHES 30 /* 24 colours, 6 greys */

static struct mat3 srgb(void)
{
    struct icc *icc = icc_open_builtin(ICC_SRGB);
    double light[3][256];
    struct mat3 m = {{{0}}};

    icc_curves(icc, light, m.at);
    icc_close(icc);
    return m;
}

/* Colours all round, and greys; drawn, not published. */
static void chart_labs(struct chart_patch out[PATCHES])
{
    for (int i = 0; i < 24; i++) {
        const double h = 2 * acos(-1) * i / 12;
        const double C = i < 12 ? 28 : 14;

        out[i].lab = (struct lab){i < 12 ? 45 + 2.5 * (i % 5) : 62, C * cos(h),
                                  C * sin(h)};
        out[i].grey = false;
    }
    for (int i = 0; i < 6; i++) {
        out[24 + i].lab = (struct lab){96 - 15.0 * i, 0.2, -0.3};
        out[24 + i].grey = true;
    }
}

/* What a camera makes of them: the terms of a model, then an exponent. */
static void photograph(struct chart_patch *patch, size_t n,
                       const struct mat3 *camera, double cross, double exponent)
{
    for (size_t i = 0; i < n; i++) {
        const struct xyz c = xyz_from_lab(patch[i].lab);
        const double v[3] = {c.X, c.Y, c.Z};
        double rgb[3];

        mat3_apply(camera, v, rgb);
        for (int k = 0; k < 3; k++) {
            const double mixed =
                rgb[k] + cross * (rgb[(k + 1) % 3] - rgb[(k + 2) % 3]);

            patch[i].is[k] = pow(mixed, 1 / exponent);
        }
    }
}

static struct tone tone_of(const struct chart_patch *patch, size_t n,
                           const struct mat3 *m)
{
    const struct mat3 back = mat3_inverse(m);
    struct tone_grey grey[PATCHES];
    struct tone_report report;
    struct tone tone;
    size_t greys = 0;

    for (size_t i = 0; i < n; i++) {
        const struct xyz c = xyz_from_lab(patch[i].lab);
        const double v[3] = {c.X, c.Y, c.Z};

        if (!patch[i].grey)
            continue;
        memcpy(grey[greys].is, patch[i].is, sizeof grey->is);
        mat3_apply(&back, v, grey[greys++].should);
    }
    assert_int_equal(tone_fit(grey, greys, m, &tone, &report), TONE_FINE);
    return tone;
}

/* ---- the fit ------------------------------------------------------------ */

/* A camera that sees what the eye does, but for its tones: the greys alone do
 * it, and no matrix is taken. */
static void test_a_camera_like_the_eye_needs_no_matrix(void **state)
{
    const struct mat3 m = srgb(), back = mat3_inverse(&m);
    struct chart_patch patch[PATCHES];
    struct chart_report report;
    struct chart chart;
    struct tone tone;

    (void)state;
    chart_labs(patch);
    photograph(patch, PATCHES, &back, 0, 0.8);
    tone = tone_of(patch, PATCHES, &m);
    chart_fit(patch, PATCHES, &tone, &m, &chart, &report);
    assert_int_equal(chart.model, CHART_TONE);
    check_near("told", report.model[CHART_TONE].mean, 0, 1e-6);
}

/* One whose channels mix is undone by either model, told by leaving out. */
static void test_a_mixing_camera_is_undone_by_a_matrix(void **state)
{
    const struct mat3 m = srgb(), back = mat3_inverse(&m);
    struct chart_patch patch[PATCHES];
    struct chart_report report;
    struct chart chart;
    struct tone tone;

    (void)state;
    chart_labs(patch);
    photograph(patch, PATCHES, &back, 0.15, 1);
    tone = tone_of(patch, PATCHES, &m);
    chart_fit(patch, PATCHES, &tone, &m, &chart, &report);
    assert_int_not_equal(chart.model, CHART_TONE);
    assert_true(report.model[CHART_TONE].mean > 2);
    assert_true(report.model[CHART_MATRIX].mean < 0.5);
    for (size_t i = 0; i < PATCHES; i++) {
        const struct lab lab =
            lab_from_xyz(chart_apply(&chart, patch[i].is, &m));

        assert_true(lab_de00(lab, patch[i].lab) < 0.5);
    }
}

/* Finlayson and others 2015: a root polynomial does not change with exposure,
 * the tone being straight. */
static void test_models_scale_with_the_light(void **state)
{
    const struct mat3 m = srgb(), back = mat3_inverse(&m);
    struct chart_patch patch[PATCHES];
    struct chart chart;

    (void)state;
    chart_labs(patch);
    photograph(patch, PATCHES, &back, 0.1, 1);
    for (int model = 0; model < CHART_MODELS; model++) {
        assert_true(chart_fit_as(patch, PATCHES, (enum chart_model)model, true,
                                 &m, &chart));
        for (size_t i = 0; i < 24; i++) {
            const double half[3] = {patch[i].is[0] / 2, patch[i].is[1] / 2,
                                    patch[i].is[2] / 2};
            const struct xyz whole = chart_apply(&chart, patch[i].is, &m);
            const struct xyz less = chart_apply(&chart, half, &m);

            check_near("X", less.X / whole.X, 0.5, 0.01);
            check_near("Y", less.Y / whole.Y, 0.5, 0.01);
        }
    }
}

/* Its values in another order: told by leaving out, far beyond what a chart is
 * believed with. */
static void test_a_wrong_order_is_seen(void **state)
{
    const struct mat3 m = srgb(), back = mat3_inverse(&m);
    struct chart_patch patch[PATCHES];
    struct chart_report report;
    struct chart chart;
    struct tone tone;

    (void)state;
    chart_labs(patch);
    photograph(patch, PATCHES, &back, 0, 0.8);
    for (size_t i = 0; i < 12; i++) {
        const struct lab swap = patch[i].lab;

        patch[i].lab = patch[(i + 7) % 24].lab;
        patch[(i + 7) % 24].lab = swap;
    }
    tone = tone_of(patch, PATCHES, &m);
    chart_fit(patch, PATCHES, &tone, &m, &chart, &report);
    assert_true(report.model[chart.model].mean > 8);
}

static void test_the_hull_holds_what_lies_among_the_patches(void **state)
{
    const struct mat3 m = srgb(), back = mat3_inverse(&m);
    struct chart_patch patch[PATCHES],
        other[2] = {{.lab = {50, 5, -8}}, {.lab = {45, 60, 42}}};
    struct tone tone;

    (void)state;
    chart_labs(patch);
    photograph(patch, PATCHES, &back, 0, 0.8);
    photograph(other, 2, &back, 0, 0.8);
    tone = tone_of(patch, PATCHES, &m);
    assert_true(chart_holds(patch, PATCHES, &tone, other[0].is));
    assert_false(chart_holds(patch, PATCHES, &tone, other[1].is));
    for (size_t i = 0; i < PATCHES; i++)
        assert_true(chart_holds(patch, PATCHES, &tone, patch[i].is));
}

/* ---- where patches lie -------------------------------------------------- */

static struct patches *named(int rows, int columns, bool turned)
{
    struct patches *p = mem_new(1, sizeof *p);

    for (int r = 0; r < rows; r++)
        for (int c = 0; c < columns; c++)
            p->patch[p->count++] =
                (struct patch){.row = turned ? c + 1 : r + 1,
                               .column = turned ? r + 1 : c + 1};
    return p;
}

static void check_box(const char *row, struct box b, double x, double y)
{
    check_near(row, (double)b.x + (double)b.w / 2, x, 1);
    check_near(row, (double)b.y + (double)b.h / 2, y, 1);
    assert_true(b.w >= 8 && b.h >= 8);
}

static void test_patches_lie_in_their_grid(void **state)
{
    static const struct point straight[4] = {
        {100, 50}, {700, 50}, {700, 450}, {100, 450}};
    struct box box[24];
    struct error err = {0};

    (void)state;
    for (int turned = 0; turned < 2; turned++) {
        struct patches *p = named(4, 6, turned);

        check_ok(lay_chart(p, straight, box, &err), &err);
        for (int i = 0; i < 24; i++) {
            const int row = i / 6, column = i % 6;

            check_box("straight", box[i], 150 + 100 * column, 100 + 100 * row);
            assert_int_equal(box[i].w, 56);
        }
        for (size_t i = 0; i < p->count; i++) /* no rows: by the corners */
            p->patch[i].row = p->patch[i].column = 0;
        check_ok(lay_chart(p, straight, box, &err), &err);
        check_box("unnamed", box[7], 250, 200);
        free(p);
    }
}

/* Corners say how the chart lies: upside down, on its side, mirrored. */
static void test_a_turned_chart_is_followed(void **state)
{
    static const struct point corner[3][4] = {
        {{700, 450}, {100, 450}, {100, 50}, {700, 50}},
        {{450, 100}, {450, 700}, {50, 700}, {50, 100}},
        {{700, 50}, {100, 50}, {100, 450}, {700, 450}},
    };
    static const double first[3][2] = {{650, 400}, {400, 150}, {650, 100}};
    static const double second[3][2] = {{550, 400}, {400, 250}, {550, 100}};
    struct patches *p = named(4, 6, false);
    struct box box[24];
    struct error err = {0};

    (void)state;
    for (int i = 0; i < 3; i++) {
        check_ok(lay_chart(p, corner[i], box, &err), &err);
        check_box("first", box[0], first[i][0], first[i][1]);
        check_box("second", box[1], second[i][0], second[i][1]);
    }
    free(p);
}

/* Seen at a slant and leaning by 30 degrees: the middles of patches that were
 * projected by hand with the same corners (a plane 400 x 300 at a distance). */
static void test_a_slanting_chart_is_followed(void **state)
{
    struct patches *p = named(3, 4, false);
    struct point corner[4];
    struct box box[12];
    struct error err = {0};
    const double lean = acos(-1) / 6;

    (void)state;
    for (int pass = 0; pass < 2; pass++) {
        double at[12][2];

        for (int i = 0; i < 16; i++) {
            const int row = i / 4, column = i % 4;
            const double u = i < 12               ? 100 * column + 50
                             : i == 13 || i == 14 ? 400
                                                  : 0;
            const double v = i < 12 ? 100 * row + 50 : i > 13 ? 300 : 0;
            const double x = u * cos(lean) - v * sin(lean);
            const double y = u * sin(lean) + v * cos(lean);
            const double w = 1 + pass * 0.0006 * y;
            const double px = 400 + 2 * x / w, py = 60 + 2 * y / w;

            if (i < 12) {
                at[i][0] = px;
                at[i][1] = py;
            } else {
                corner[i - 12] = (struct point){px, py};
            }
        }
        check_ok(lay_chart(p, corner, box, &err), &err);
        for (int i = 0; i < 12; i++)
            check_box("slant", box[i], at[i][0], at[i][1]);
    }
    free(p);
}

static void test_corners_that_cannot_be_are_refused(void **state)
{
    static const struct point bow[4] = {
        {100, 50}, {700, 450}, {700, 50}, {100, 450}};
    static const struct point flat[4] = {{0, 0}, {10, 0}, {20, 0}, {30, 0}};
    static const struct point small[4] = {
        {10, 10}, {40, 10}, {40, 30}, {10, 30}};
    struct patches *p = named(4, 6, false);
    struct box box[24];
    struct error err = {0};

    (void)state;
    assert_false(lay_chart(p, bow, box, &err));
    assert_non_null(strstr(err.text, "no quadrangle"));
    assert_false(lay_chart(p, flat, box, &err));
    assert_false(lay_chart(p, small, box, &err));
    assert_non_null(strstr(err.text, "fewer than"));
    p->patch[3].column = 3;
    assert_false(
        lay_chart(p, (struct point[4]){{0, 0}, {600, 0}, {600, 400}, {0, 400}},
                  box, &err));
    assert_non_null(strstr(err.text, "row 1, column 3"));
    free(p);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_a_camera_like_the_eye_needs_no_matrix),
        cmocka_unit_test(test_a_mixing_camera_is_undone_by_a_matrix),
        cmocka_unit_test(test_models_scale_with_the_light),
        cmocka_unit_test(test_a_wrong_order_is_seen),
        cmocka_unit_test(test_the_hull_holds_what_lies_among_the_patches),
        cmocka_unit_test(test_patches_lie_in_their_grid),
        cmocka_unit_test(test_a_turned_chart_is_followed),
        cmocka_unit_test(test_a_slanting_chart_is_followed),
        cmocka_unit_test(test_corners_that_cannot_be_are_refused),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
