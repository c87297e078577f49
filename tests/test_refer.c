/* Places of known colour beside the card: src/measure/refer.c and what it
 * makes of whole pictures, drawn here so that their colours are known. */
#include "picture.h"

#define STEPS 5

/* From white to black, beside the card; what steps of paint or paper have (no
 * source: they are drawn so). */
static const struct lab step_lab[STEPS] = {{94, -0.4, 1.2},
                                           {80, -0.6, 0.3},
                                           {66, -0.5, -0.2},
                                           {36, -0.3, -0.4},
                                           {21, 0.2, -0.5}};
static const struct box step_box[STEPS] = {{340, 280, 40, 150},
                                           {395, 280, 40, 150},
                                           {450, 280, 40, 150},
                                           {505, 280, 40, 150},
                                           {560, 280, 40, 150}};

/* A picture with a row of steps, by a camera that bends the tones. */
static struct picture steps_picture(double tone)
{
    struct picture p = picture_plain();

    for (int i = 0; i < STEPS; i++) {
        const struct box b = {step_box[i].x - 6, step_box[i].y - 6,
                              step_box[i].w + 12, step_box[i].h + 12};

        picture_add(&p, (struct patch){b, step_lab[i], 0, 0, false});
    }
    p.exposure = 0.85;
    p.tone = tone;
    p.red = 1.1;
    p.blue = 0.85;
    return p;
}

static struct measure_reference neutral(struct box box, struct lab lab)
{
    return (struct measure_reference){
        .kind = MEASURE_NEUTRAL,
        .name = "a step",
        .box = box,
        .value = {lab, 0.5, 0.3, 0.3, true},
    };
}

static void steps_references(struct measure_reference out[STEPS])
{
    for (int i = 0; i < STEPS; i++) {
        out[i] = neutral(step_box[i], step_lab[i]);
        snprintf(out[i].name, sizeof out[i].name, "step %d", i + 1);
    }
}

static const struct box regions[2] = {{340, 60, 240, 160}, {60, 280, 200, 160}};

/* Measures both skeins with the first n of the references. */
static struct measure_result *measured_with(const struct picture *p,
                                            const struct measure_reference *r,
                                            size_t n, bool *ok,
                                            struct error *err)
{
    struct measure_request request = request_for(regions, 2);

    request.reference = r;
    request.references = n;
    return picture_measured(p, &request, ok, err);
}

static struct measure_result *must_measure(const struct picture *p,
                                           const struct measure_reference *r,
                                           size_t n)
{
    struct error err = {0};
    bool ok;
    struct measure_result *out = measured_with(p, r, n, &ok, &err);

    check_ok(ok, &err);
    for (size_t i = 0; i < out->regions; i++)
        assert_false(out->region[i].refused);
    return out;
}

static double worst(const struct measure_result *r)
{
    return fmax(lab_de00(r->region[0].lab, skein_lab),
                lab_de00(r->region[1].lab, lower_lab));
}

/* ---- what neutrals are for ---------------------------------------------- */

/* One grey fixes one level of the curve; each more fixes another. */
static void test_neutrals_undo_a_tone_curve(void **state)
{
    static const size_t order[STEPS] = {0, 4, 2, 3, 1}; /* ends first */
    struct measure_reference all[STEPS], r[STEPS];
    const struct picture p = steps_picture(0.45);
    double errors[STEPS + 1];

    (void)state;
    steps_references(all);
    for (size_t i = 0; i < STEPS; i++)
        r[i] = all[order[i]];
    for (size_t n = 0; n <= STEPS; n++) {
        struct measure_result *out = must_measure(&p, r, n);

        errors[n] = worst(out);
        assert_int_equal(out->method.neutrals, n + 1);
        assert_true(out->method.card_alone == (n == 0));
        assert_int_equal(out->method.chart_model, -1);
        assert_true(isfinite(out->method.tone_dL) == (n >= 3));
        free(out);
    }
    printf("#   card alone %.2f, with all steps %.2f dE00 at worst\n",
           errors[0], errors[STEPS]);
    assert_true(errors[0] > 4);
    assert_true(errors[2] < errors[0]);
    assert_true(errors[STEPS] < 1);
}

/* Between them they are exactly what they are said to be. */
static void test_each_neutral_reads_its_own_values(void **state)
{
    const struct picture p = steps_picture(0.45);
    struct measure_request request = request_for(step_box, STEPS);
    struct measure_reference r[STEPS];
    struct error err = {0};
    struct measure_result *out;
    bool ok;

    (void)state;
    steps_references(r);
    request.reference = r;
    request.references = STEPS;
    out = picture_measured(&p, &request, &ok, &err);
    check_ok(ok, &err);
    for (size_t i = 0; i < STEPS; i++) {
        check_near("L", out->region[i].lab.L, step_lab[i].L, 1e-6);
        check_near("a", out->region[i].lab.a, step_lab[i].a, 1e-6);
        check_near("b", out->region[i].lab.b, step_lab[i].b, 1e-6);
    }
    free(out);
}

/* Where the tones are straight, curves change nothing but for the rounding of
 * the steps themselves. */
static void test_without_a_curve_neutrals_do_no_harm(void **state)
{
    const struct picture p = steps_picture(0);
    struct measure_reference r[STEPS];
    struct measure_result *one, *all;

    (void)state;
    steps_references(r);
    one = must_measure(&p, NULL, 0);
    all = must_measure(&p, r, STEPS);
    printf("#   worst by the card alone %.2f, with all steps %.2f dE00\n",
           worst(one), worst(all));
    assert_true(worst(all) < 0.5 && worst(all) < worst(one) + 0.1);
    free(one);
    free(all);
}

/* Turned pictures read the same. */
static void test_orientation_does_not_matter(void **state)
{
    struct picture p = steps_picture(0.4);
    struct measure_reference r[STEPS];
    struct measure_result *upright, *turned;

    (void)state;
    steps_references(r);
    upright = must_measure(&p, r, STEPS);
    for (int o = 2; o <= 8; o++) {
        p.orientation = o;
        turned = must_measure(&p, r, STEPS);
        assert_true(lab_de00(upright->region[0].lab, turned->region[0].lab) <
                    0.15);
        free(turned);
    }
    free(upright);
}

/* ---- limits ------------------------------------------------------------- */

/* More neutrals never widen part B3; it holds the truth all along. */
static void test_limits_narrow_with_the_neutrals(void **state)
{
    static const size_t counts[] = {0, 1, 3, 5};
    const struct picture p = steps_picture(0.3);
    struct measure_reference r[STEPS];
    double before[2] = {HUGE_VAL, HUGE_VAL};

    (void)state;
    steps_references(r);
    for (size_t i = 0; i < ARRAY_LEN(counts); i++) {
        struct measure_result *out = must_measure(&p, r, counts[i]);
        const struct lab truth[2] = {skein_lab, lower_lab};

        for (int k = 0; k < 2; k++) {
            const struct measure_region *g = &out->region[k];

            assert_true(cov3_is_valid(g->abs));
            if (k == 1) /* lighter than the card: between it and white */
                assert_true(g->part[MEASURE_TONE].LL < before[k]);
            before[k] = g->part[MEASURE_TONE].LL;
            assert_true(fabs(g->lab.L - truth[k].L) <= 2 * sqrt(g->abs.LL));
            assert_true(fabs(g->lab.a - truth[k].a) <= 2 * sqrt(g->abs.aa));
            assert_true(fabs(g->lab.b - truth[k].b) <= 2 * sqrt(g->abs.bb));
        }
        free(out);
    }
}

/* What is less sure of a neutral is less sure of the skein: its values, and
 * how it could be read. */
static void test_unsure_neutrals_widen_the_limits(void **state)
{
    struct picture p = steps_picture(0.3);
    struct measure_reference r[STEPS];
    struct measure_result *sure, *unsure, *poor;

    (void)state;
    steps_references(r);
    sure = must_measure(&p, r, STEPS);
    r[0].value.uL = 3;
    unsure = must_measure(&p, r, STEPS);
    r[0].value.uL = 0.5;
    p.quality = 60;
    poor = must_measure(&p, r, STEPS);
    for (int k = 0; k < 2; k++) {
        const struct cov3 *a = sure->region[k].part;
        const struct cov3 *b = unsure->region[k].part;

        assert_true(b[MEASURE_CARD_VALUE].LL >= a[MEASURE_CARD_VALUE].LL);
        assert_true(poor->region[k].part[MEASURE_ROUNDING].LL >
                    a[MEASURE_ROUNDING].LL);
    }
    assert_true(unsure->region[1].abs.LL > sure->region[1].abs.LL);
    free(sure);
    free(unsure);
    free(poor);
}

/* With the card and one neutral alone, the value of either moves a colour as
 * the other stays: the parts add up to moving both together, which moves all
 * light in proportion. */
static void test_values_add_up_like_one_card(void **state)
{
    const struct picture p = steps_picture(0);
    struct measure_reference r[1] = {neutral(step_box[0], step_lab[0])};
    struct measure_result *one, *two;

    (void)state;
    one = must_measure(&p, NULL, 0);
    two = must_measure(&p, r, 1);
    assert_true(two->region[1].part[MEASURE_CARD_VALUE].LL > 0);
    assert_true(two->region[1].part[MEASURE_CARD_VALUE].LL <
                2 * one->region[1].part[MEASURE_CARD_VALUE].LL);
    free(one);
    free(two);
}

/* ---- what is refused or left out ---------------------------------------- */

static void refused(const struct picture *p, const struct measure_reference *r,
                    size_t n, const char *say)
{
    struct error err = {0};
    struct measure_result *out;
    bool ok;

    out = measured_with(p, r, n, &ok, &err);
    assert_false(ok);
    assert_int_equal(err.kind, ERR_INPUT);
    if (!strstr(err.text, say))
        fail_msg("\"%s\" is not in \"%s\"", say, err.text);
    free(out);
}

static void test_wrong_neutrals_are_refused(void **state)
{
    const struct picture p = steps_picture(0.3);
    struct measure_reference r[STEPS];

    (void)state;
    steps_references(r);
    r[1].value.lab = step_lab[2];
    r[2].value.lab = step_lab[1];
    refused(&p, r, STEPS, "is no lighter in the picture");
    steps_references(r);
    r[4].value.lab.L = 0.5;
    refused(&p, r, STEPS, "step 5");
    steps_references(r);
    r[2].box.x = 700;
    refused(&p, r, STEPS, "the box of step 3, 700");
    r[2].box = (struct box){450, 280, 6, 6};
    refused(&p, r, STEPS, "step 3 is too small");
}

/* An unknown card would bend the curve towards what it is not. */
static void test_an_unknown_card_goes_with_no_neutrals(void **state)
{
    const struct picture p = steps_picture(0.3);
    struct measure_request request = request_for(regions, 2);
    struct measure_reference r[STEPS];
    struct error err = {0};
    bool ok;

    (void)state;
    steps_references(r);
    request.card = measure_card_unknown();
    request.reference = r;
    request.references = STEPS;
    free(picture_measured(&p, &request, &ok, &err));
    assert_false(ok);
    assert_non_null(strstr(err.text, "must be known"));
}

static void test_a_burnt_out_step_is_left_out(void **state)
{
    struct picture p = steps_picture(0.3);
    struct measure_reference r[STEPS];
    struct measure_result *out;

    (void)state;
    p.exposure = 1.25;
    steps_references(r);
    out = must_measure(&p, r, STEPS);
    assert_true(notes_say(&out->card_notes, "left out: step 1"));
    assert_int_equal(out->method.neutrals, STEPS);
    free(out);
}

/* Of no use, but no harm either: the very numbers of the card alone. */
static void test_a_neutral_like_the_card_changes_nothing(void **state)
{
    const struct picture p = steps_picture(0.3);
    const struct measure_reference r[1] = {
        neutral((struct box){100, 80, 100, 100}, card_lab)};
    struct measure_result *one, *with;

    (void)state;
    one = must_measure(&p, NULL, 0);
    with = must_measure(&p, r, 1);
    assert_true(notes_say(&with->card_notes, "No neutral is much lighter"));
    assert_true(with->method.card_alone);
    for (int k = 0; k < 2; k++) {
        assert_memory_equal(&one->region[k].lab, &with->region[k].lab,
                            sizeof one->region[k].lab);
        assert_memory_equal(&one->region[k].abs, &with->region[k].abs,
                            sizeof one->region[k].abs);
    }
    free(one);
    free(with);
}

/* Two kinds of light bend the channels apart; a camera that brightens places
 * by themselves makes the steps contradict each other. */
static void test_what_the_neutrals_show_is_remarked(void **state)
{
    struct picture p = steps_picture(0.3);
    struct measure_reference r[STEPS];
    struct measure_result *out;

    (void)state;
    steps_references(r);
    for (int i = 0; i < 2; i++) { /* light steps warmer, dark ones cooler */
        p.patch[4 + i].lab.b += 16;
        p.patch[7 + i].lab.b -= 7;
    }
    out = must_measure(&p, r, STEPS);
    assert_true(notes_say(&out->card_notes, "bend apart"));
    free(out);
    p = steps_picture(0.3);
    p.patch[4].lab.L = 86;
    p.patch[6].lab.L = 70;
    p.patch[7].lab.L = 28;
    out = must_measure(&p, r, STEPS);
    assert_true(notes_say(&out->card_notes, "do not foretell each other"));
    free(out);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_neutrals_undo_a_tone_curve),
        cmocka_unit_test(test_each_neutral_reads_its_own_values),
        cmocka_unit_test(test_without_a_curve_neutrals_do_no_harm),
        cmocka_unit_test(test_orientation_does_not_matter),
        cmocka_unit_test(test_limits_narrow_with_the_neutrals),
        cmocka_unit_test(test_unsure_neutrals_widen_the_limits),
        cmocka_unit_test(test_values_add_up_like_one_card),
        cmocka_unit_test(test_wrong_neutrals_are_refused),
        cmocka_unit_test(test_an_unknown_card_goes_with_no_neutrals),
        cmocka_unit_test(test_a_burnt_out_step_is_left_out),
        cmocka_unit_test(test_a_neutral_like_the_card_changes_nothing),
        cmocka_unit_test(test_what_the_neutrals_show_is_remarked),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
