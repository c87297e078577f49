/* src/measure/field.c: uneven light from places of one colour. */
#include "picture.h"

#include "measure/field.h"

static struct field_place place(double x, double y, double light, int group)
{
    return (struct field_place){
        .x = x, .y = y, .cone = {light, light, light}, .group = group};
}

static double at(const struct field *f, double x, double y)
{
    double v[3];
    bool far;

    field_at(f, x, y, v, &far);
    return v[1];
}

/* ln of light that is curved both ways. */
static double curved(double x, double y)
{
    return exp(-0.2 + 0.0003 * x - 0.0002 * y - 2e-7 * x * x + 1e-7 * x * y -
               1.5e-7 * y * y);
}

/* Worked by hand from the formula of docs/colour.md, section 8: E is .20 at 100
 * and .26 at 900; at 600 t = .625 and E = .235638. */
static void test_two_cards_agree_with_the_worked_example(void **state)
{
    const struct field_place two[2] = {place(100, 50, .20, 0),
                                       place(900, 50, .26, 0)};
    struct field f;

    (void)state;
    assert_true(field_fit(two, 2, 100, 50, &f));
    assert_int_equal(f.kind, FIELD_LINE);
    check_near("at 600", .20 * at(&f, 600, 50), .235638, 5e-7);
    check_near("across", .20 * at(&f, 600, 400), .235638, 5e-7);
    check_near("at the card", at(&f, 100, 50), 1, 1e-12);
    check_near("at the other", .20 * at(&f, 900, 50), .26, 1e-12);
}

static void test_light_is_not_followed_far_beyond(void **state)
{
    const struct field_place two[2] = {place(0, 0, .2, 0),
                                       place(800, 0, .3, 0)};
    struct field f;
    double v[3];
    bool far;

    (void)state;
    assert_true(field_fit(two, 2, 0, 0, &f));
    field_at(&f, 1000, 0, v, &far);
    assert_false(far);
    check_near("a quarter beyond", v[0], pow(1.5, 1.25), 1e-9);
    field_at(&f, 3000, 0, v, &far);
    assert_true(far);
    check_near("and no more", v[0], pow(1.5, 1.25), 1e-9);
}

/* Each model finds its own kind of light back, from as many places as it needs
 * and from more. */
static void test_each_model_finds_its_light_back(void **state)
{
    struct field_place p[25];
    struct field f;
    size_t n = 0;

    (void)state;
    p[0] = place(100, 100, exp(0.1), 0);
    p[1] = place(900, 150, exp(0.1 + 0.0001 * 800 + 0.0003 * 50), 0);
    p[2] = place(500, 700, exp(0.1 + 0.0001 * 400 + 0.0003 * 600), 0);
    assert_true(field_fit(p, 3, 100, 100, &f));
    assert_int_equal(f.kind, FIELD_PLANE);
    check_near("plane", at(&f, 700, 300), exp(0.0001 * 600 + 0.0003 * 200),
               1e-9);
    for (int i = 0; i < 5; i++)
        for (int k = 0; k < 5; k++)
            p[n++] = place(200 * i, 150 * k, curved(200 * i, 150 * k), 0);
    for (n = 15; n <= 25; n += 10) {
        assert_true(field_fit(p, n, 0, 0, &f));
        assert_int_equal(f.kind, FIELD_QUADRATIC);
        check_near("left", f.residual, 0, 1e-9);
        check_near("quadratic", at(&f, 150, 320),
                   curved(150, 320) / curved(0, 0), 1e-9);
    }
    assert_true(field_fit(p, 5, 0, 0, &f)); /* all in one column */
    assert_int_equal(f.kind, FIELD_LINE);
}

/* The sheet's own colour is of no account: only its differences are. */
static void test_a_sheet_may_have_any_colour(void **state)
{
    struct field_place p[26];
    struct field f;

    (void)state;
    for (int i = 0; i < 25; i++) {
        const int row = i / 5, column = i % 5;
        const double x = 200 * column, y = 150 * row;

        p[i] = place(x, y, 3.7 * curved(x, y), 1);
    }
    p[25] = place(330, 210, curved(330, 210), 0);
    assert_true(field_fit(p, 26, 330, 210, &f));
    check_near("elsewhere", at(&f, 700, 500),
               curved(700, 500) / curved(330, 210), 1e-9);
    check_near("the card", at(&f, 330, 210), 1, 1e-12);
}

static void test_light_that_cannot_be_followed_is_refused(void **state)
{
    struct field_place p[16] = {{0}};
    struct field f;

    (void)state;
    assert_false(field_fit(p, 0, 0, 0, &f));
    p[0] = place(0, 0, .2, 0);
    assert_false(field_fit(p, 1, 0, 0, &f));
    assert_true(isnan(f.residual));
    p[1] = place(0, 0, .3, 0); /* two in one place */
    assert_false(field_fit(p, 2, 0, 0, &f));
    for (int i = 0; i < 16; i++) { /* a shadow over every other place */
        const int row = i / 4, column = i % 4;

        p[i] = place(100 * column, 100 * row, i % 2 ? .2 : .23, 0);
    }
    assert_false(field_fit(p, 16, 0, 0, &f));
    assert_true(f.residual > 0.02);
    assert_int_equal(f.kind, FIELD_NONE);
}

/* ---- in pictures -------------------------------------------------------- */

static const struct box regions[2] = {{340, 60, 240, 160}, {60, 280, 200, 160}};
static const struct box again_box = {560, 290, 60, 140};

/* Light that grows by a fifth from left to right, a second card at the right
 * edge below. */
static struct picture uneven(double slope)
{
    struct picture p = picture_plain();

    picture_add(&p, (struct patch){{550, 280, 80, 160}, card_lab, 0, 0, false});
    p.exposure = 0.7;
    p.slope_x = slope;
    return p;
}

static struct measure_result *follow(const struct picture *p,
                                     enum measure_reference_kind kind,
                                     const struct box *box, size_t n)
{
    struct measure_reference r[8] = {{.kind = kind}};
    struct measure_request request = request_for(regions, 2);
    struct measure_result *out;
    struct error err = {0};
    bool ok;

    for (size_t i = 0; i < n; i++) {
        r[i].kind = kind;
        r[i].box = box[i];
        r[i].value = request.card;
        snprintf(r[i].name, sizeof r[i].name, "place %zu", i);
    }
    request.reference = r;
    request.references = n;
    out = picture_measured(p, &request, &ok, &err);
    check_ok(ok, &err);
    return out;
}

static void test_a_second_card_makes_the_light_even(void **state)
{
    const struct picture p = uneven(0.0004);
    struct measure_result *alone = follow(&p, MEASURE_CARD_AGAIN, NULL, 0);
    struct measure_result *two = follow(&p, MEASURE_CARD_AGAIN, &again_box, 1);
    const struct measure_region *g = &two->region[0];

    (void)state;
    printf("#   12 %% more light: %.2f dE00 by one card, %.2f by two\n",
           lab_de00(alone->region[0].lab, skein_lab),
           lab_de00(g->lab, skein_lab));
    assert_true(lab_de00(alone->region[0].lab, skein_lab) > 1.5);
    /* The light is taken as constant across the line, which it is not. */
    assert_true(lab_de00(g->lab, skein_lab) < 0.7);
    assert_int_equal(two->method.light_places, 2);
    check_text("by", two->method.light, "a line");
    check_near("light", g->light, exp(0.0004 * 300), 0.04);
    assert_true(isnan(alone->region[0].light));
    assert_true(g->part[MEASURE_LIGHT].LL <
                alone->region[0].part[MEASURE_LIGHT].LL);
    assert_true(cov3_is_valid(g->abs));
    assert_false(two->method.card_alone);
    assert_int_equal(two->method.neutrals, 1);
    free(alone);
    free(two);
}

/* The table itself as a sheet, in boxes all round. */
static void test_a_sheet_makes_the_light_even(void **state)
{
    static const struct box sheet[] = {
        {0, 0, 640, 44},    {0, 60, 44, 400},     {596, 60, 44, 400},
        {276, 60, 46, 380}, {330, 260, 260, 200},
    };
    struct picture p = picture_plain();
    struct measure_result *alone, *even;

    (void)state;
    p.patch[0].lab = (struct lab){70, -2, 6};
    p.patch[0].noise = 0.01;
    p.exposure = 0.7;
    p.slope_x = 0.0004;
    alone = follow(&p, MEASURE_SHEET, NULL, 0);
    even = follow(&p, MEASURE_SHEET, sheet, ARRAY_LEN(sheet));
    check_text("by", even->method.light, "a quadratic");
    assert_true(even->method.light_residual < 0.02);
    assert_true(lab_de00(even->region[0].lab, skein_lab) < 0.6);
    assert_true(lab_de00(alone->region[0].lab, skein_lab) > 1.5);
    free(alone);
    free(even);
}

/* The more uneven the light, the wider part B1. */
static void test_limits_widen_with_the_unevenness(void **state)
{
    static const double slope[] = {0, 0.0002, 0.0004, 0.0006, 0.0008};
    double before = 0;

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(slope); i++) {
        const struct picture p = uneven(slope[i]);
        struct measure_result *r =
            follow(&p, MEASURE_CARD_AGAIN, &again_box, 1);

        assert_true(r->region[0].part[MEASURE_LIGHT].LL > before * 0.999);
        before = r->region[0].part[MEASURE_LIGHT].LL;
        free(r);
    }
}

/* A shadow on the second card is no slope of light. */
static void test_a_shadow_is_not_taken_for_a_slope(void **state)
{
    static const struct box boxes[3] = {
        {560, 290, 60, 60}, {560, 370, 60, 60}, {280, 20, 40, 30}};
    struct picture p = uneven(0);
    struct measure_result *r;

    (void)state;
    picture_add(&p, (struct patch){{270, 10, 60, 50}, card_lab, 0, 0, false});
    picture_add(&p, (struct patch){{550, 360, 80, 80},
                                   {card_lab.L - 8, card_lab.a, card_lab.b},
                                   0,
                                   0,
                                   false});
    r = follow(&p, MEASURE_CARD_AGAIN, boxes, 3);
    assert_true(notes_say(&r->card_notes, "do not follow"));
    assert_int_equal(r->method.light_places, 0);
    free(r);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_two_cards_agree_with_the_worked_example),
        cmocka_unit_test(test_light_is_not_followed_far_beyond),
        cmocka_unit_test(test_each_model_finds_its_light_back),
        cmocka_unit_test(test_a_sheet_may_have_any_colour),
        cmocka_unit_test(test_light_that_cannot_be_followed_is_refused),
        cmocka_unit_test(test_a_second_card_makes_the_light_even),
        cmocka_unit_test(test_a_sheet_makes_the_light_even),
        cmocka_unit_test(test_limits_widen_with_the_unevenness),
        cmocka_unit_test(test_a_shadow_is_not_taken_for_a_slope),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
