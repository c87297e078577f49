/* What a camera does to tones, learnt from one picture for others: the name
 * that two pictures share, the curve through another card, and whole pictures
 * drawn here so that their colours are known. */
#include "picture.h"

#include "measure/refer_camera.h"

/* ---- which pictures share a curve --------------------------------------- */

static struct photo photo_plain(void)
{
    return (struct photo){
        .make = "Oravis", .model = "Oravis 7", .software = "1.02"};
}

static struct camera_name name_of(const struct photo *p)
{
    struct camera_name name;

    assert_true(camera_name(p, "sRGB", &name));
    return name;
}

/* Exif 2.32 (CIPA DC-008-2019): SceneCaptureType, Contrast, Saturation and
 * CustomRendered are 0 where the camera is set as usual. */
static void test_the_mode_says_what_bends_the_tones(void **state)
{
    struct photo p = photo_plain();

    (void)state;
    check_text("make", name_of(&p).make, "Oravis");
    check_text("model", name_of(&p).model, "Oravis 7");
    check_text("plain", name_of(&p).mode, "sRGB, software 1.02");
    p.iso = 800;
    p.exposure_s = 0.01;
    check_text("exposed", name_of(&p).mode, "sRGB, software 1.02");
    p.software[0] = '\0';
    p.scene = 1;
    p.contrast = 2;
    p.saturation = 1;
    check_text("set", name_of(&p).mode,
               "sRGB, landscape scene, hard contrast, low saturation");
    p.scene = 7; /* none of Exif's */
    p.contrast = p.saturation = 0;
    p.notes = PHOTO_NOTE_RENDERED | PHOTO_NOTE_GAIN_MAP;
    check_text("rendered", name_of(&p).mode,
               "sRGB, scene 7, special rendering, gain map");
}

static void
test_an_edited_or_nameless_picture_shares_its_curve_with_none(void **state)
{
    struct camera_name name;
    struct photo p = photo_plain();

    (void)state;
    p.notes = PHOTO_NOTE_EDITED;
    assert_false(camera_name(&p, "sRGB", &name));
    p = photo_plain();
    p.model[0] = '\0';
    assert_false(camera_name(&p, "sRGB", &name));
    p = photo_plain();
    p.make[0] = '\0';
    assert_true(camera_name(&p, "sRGB", &name));
}

static void test_the_longest_names_fit(void **state)
{
    struct photo p = photo_plain();
    struct camera_name name;
    char profile[80];

    (void)state;
    memset(profile, 'p', sizeof profile - 1);
    profile[79] = '\0';
    memset(p.software, 's', sizeof p.software - 1);
    p.scene = 3;
    p.contrast = p.saturation = 2;
    p.notes = PHOTO_NOTE_RENDERED | PHOTO_NOTE_GAIN_MAP;
    assert_true(camera_name(&p, profile, &name));
    assert_non_null(strstr(name.mode, "gain map"));
}

static void test_the_newest_of_a_name_serves(void **state)
{
    struct photo p = photo_plain();
    struct camera c[3] = {{.points = 2}, {.points = 3}, {.points = 4}};
    struct camera_name name = name_of(&p);

    (void)state;
    c[0].name = c[1].name = c[2].name = name;
    p.scene = 2;
    c[2].name = name_of(&p);
    assert_ptr_equal(camera_find(c, 3, &name), &c[1]);
    assert_ptr_equal(camera_find(c, 3, &c[2].name), &c[2]);
    snprintf(name.make, sizeof name.make, "Vennelo");
    assert_null(camera_find(c, 3, &name));
    assert_null(camera_find(NULL, 0, &c[2].name));
}

/* ---- the curve through another card ------------------------------------- */

/* Light is v to the power of 1.3: between cards only the exposure differs. */
static struct camera camera_power(void)
{
    struct camera c = {.points = 2, .neutrals = 5};

    for (int i = 0; i < 3; i++) {
        c.is[i][0] = 0.02;
        c.is[i][1] = 0.8;
        for (int k = 0; k < 2; k++)
            c.light[i][k] = 0.7 * pow(c.is[i][k], 1.3);
    }
    return c;
}

/* Only back and m are looked at. */
static struct light light_srgb(void)
{
    /* IEC 61966-2-1 adapted to D50 (ICC): as in any sRGB profile. */
    struct light l = {.m = {{{0.4360, 0.3851, 0.1431},
                             {0.2225, 0.7169, 0.0606},
                             {0.0139, 0.0971, 0.7141}}}};

    l.back = mat3_inverse(&l.m);
    return l;
}

static void test_slopes_are_kept_and_the_card_reads_its_own_value(void **state)
{
    const struct camera camera = camera_power();
    const struct light light = light_srgb();
    const struct lab stated = {50, 1, -1};
    const double is[3] = {0.20, 0.15, 0.11};
    const double twice[3] = {0.40, 0.30, 0.22};
    struct chart chart;
    struct lab card;
    struct xyz c, d;

    (void)state;
    assert_true(camera_chart(&camera, is, stated, &light, &chart));
    c = chart_apply(&chart, is, &light.m);
    card = lab_from_xyz(c);
    check_near("L", card.L, stated.L, 1e-9);
    check_near("a", card.a, stated.a, 1e-9);
    check_near("b", card.b, stated.b, 1e-9);
    d = chart_apply(&chart, twice, &light.m);
    check_near("twice the light as seen", d.Y / c.Y, pow(2, 1.3), 1e-9);
    assert_false(
        camera_chart(&camera, (double[3]){0, 1, 1}, stated, &light, &chart));
}

static void
test_the_card_reads_its_own_value_through_a_charts_colours(void **state)
{
    static const double rows[3][CAMERA_TERMS] = {
        {0.50, 0.33, 0.13, 0.02},
        {0.20, 0.80, 0.01, 0, 0.03},
        {0.02, 0.05, 0.75, 0, 0, 0.04}};
    const struct light light = light_srgb();
    const struct lab stated = {50, 1, -1};
    const double is[3] = {0.20, 0.15, 0.11};
    struct camera camera = camera_power();
    struct chart chart;
    struct lab card;

    (void)state;
    memcpy(camera.from_terms, rows, sizeof rows);
    for (camera.terms = 3; camera.terms <= CAMERA_TERMS; camera.terms += 3) {
        assert_true(camera_chart(&camera, is, stated, &light, &chart));
        card = lab_from_xyz(chart_apply(&chart, is, &light.m));
        check_near("L", card.L, stated.L, 1e-9);
        check_near("a", card.a, stated.a, 1e-9);
        check_near("b", card.b, stated.b, 1e-9);
    }
}

/* ---- whole pictures ----------------------------------------------------- */

#define STEPS 5
static const struct lab step_lab[STEPS] = {{94, -0.4, 1.2},
                                           {80, -0.6, 0.3},
                                           {66, -0.5, -0.2},
                                           {36, -0.3, -0.4},
                                           {21, 0.2, -0.5}};
static const struct box regions[2] = {{340, 60, 240, 160}, {60, 280, 200, 160}};

static struct picture with_steps(double tone, struct measure_reference *out)
{
    struct picture p = picture_plain();

    for (int i = 0; i < STEPS; i++) {
        const struct box b = {340 + 55 * i, 280, 40, 150};
        const struct box drawn = {b.x - 6, b.y - 6, b.w + 12, b.h + 12};

        picture_add(&p, (struct patch){drawn, step_lab[i], 0, 0, false});
        out[i] = (struct measure_reference){
            .kind = MEASURE_NEUTRAL,
            .box = b,
            .value = {step_lab[i], 0.5, 0.3, 0.3, true}};
        snprintf(out[i].name, sizeof out[i].name, "step %d", i + 1);
    }
    p.exposure = 0.85;
    p.tone = tone;
    p.red = 1.1;
    p.blue = 0.85;
    return p;
}

/* Another day: other light, the same camera. */
static struct picture later(double tone)
{
    struct picture p = picture_plain();

    p.exposure = 0.95;
    p.tone = tone;
    p.red = 0.95;
    return p;
}

static struct measure_result *take(const struct picture *p,
                                   const struct measure_reference *r, size_t n,
                                   const struct camera *camera)
{
    struct measure_request request = request_for(regions, 2);
    struct measure_result *out;
    struct error err = {0};
    bool ok;

    request.reference = r;
    request.references = n;
    request.camera = camera;
    request.cameras = camera != NULL;
    out = picture_measured(p, &request, &ok, &err);
    check_ok(ok, &err);
    return out;
}

static struct camera learnt(double tone)
{
    struct measure_reference r[STEPS];
    const struct picture p = with_steps(tone, r);
    struct measure_result *out = take(&p, r, STEPS, NULL);
    struct camera camera = out->learnt;

    assert_int_equal(camera.points, STEPS + 1);
    assert_int_equal(camera.neutrals, STEPS + 1);
    check_text("nothing against it", out->not_learnt, "");
    snprintf(camera.from, sizeof camera.from, "camera #7");
    free(out);
    return camera;
}

static double worst(const struct measure_result *r)
{
    return fmax(lab_de00(r->region[0].lab, skein_lab),
                lab_de00(r->region[1].lab, lower_lab));
}

static void test_a_later_picture_needs_only_the_card(void **state)
{
    const struct camera camera = learnt(0.45);
    const struct picture p = later(0.45);
    struct measure_result *card = take(&p, NULL, 0, NULL);
    struct measure_result *kept = take(&p, NULL, 0, &camera);

    (void)state;
    printf("#   card alone %.2f, with the camera's curve %.2f dE00 at worst\n",
           worst(card), worst(kept));
    assert_true(worst(card) > 4);
    assert_true(worst(kept) < 1);
    assert_true(card->method.card_alone && !kept->method.card_alone);
    check_text("words", kept->method.words,
               "grey card and the curve of camera #7");
    assert_true(notes_say(&kept->card_notes, "curve of camera #7"));
    assert_false(notes_say(&card->card_notes, "camera #7"));
    assert_int_equal(kept->learnt.points, 0);
    assert_non_null(strstr(kept->not_learnt, "no neutrals"));
    for (int i = 0; i < 2; i++) {
        const struct lab truth = i ? lower_lab : skein_lab;
        const struct measure_region *r = &kept->region[i];

        assert_true(fabs(r->lab.L - truth.L) <= 2 * sqrt(r->abs.LL));
        /* Part B3 lies between one card's and several neutrals'. */
        assert_true(r->part[MEASURE_TONE].LL <
                    card->region[i].part[MEASURE_TONE].LL);
    }
    free(card);
    free(kept);
}

/* Several neutrals of its own are surer than what was kept. */
static void test_its_width_lies_between_the_card_and_neutrals(void **state)
{
    const struct camera camera = learnt(0.45);
    struct measure_reference r[STEPS];
    const struct picture p = with_steps(0.45, r);
    struct measure_result *card = take(&p, NULL, 0, NULL);
    struct measure_result *kept = take(&p, NULL, 0, &camera);
    struct measure_result *own = take(&p, r, STEPS, &camera);

    (void)state;
    for (int i = 0; i < 2; i++) {
        assert_true(own->region[i].part[MEASURE_TONE].LL <
                    kept->region[i].part[MEASURE_TONE].LL);
        assert_true(kept->region[i].part[MEASURE_TONE].LL <
                    card->region[i].part[MEASURE_TONE].LL);
    }
    check_text("its own neutrals serve", own->method.words,
               "6 neutrals, a curve");
    assert_false(notes_say(&own->card_notes, "contradict"));
    free(card);
    free(kept);
    free(own);
}

static void test_another_camera_is_not_guessed_at(void **state)
{
    struct camera camera = learnt(0.45);
    const struct picture p = later(0.45);
    struct measure_result *card = take(&p, NULL, 0, NULL), *other;

    (void)state;
    snprintf(camera.name.mode, sizeof camera.name.mode, "sRGB, night scene");
    other = take(&p, NULL, 0, &camera);
    assert_true(other->method.card_alone);
    assert_memory_equal(&other->region[0].lab, &card->region[0].lab,
                        sizeof(struct lab));
    free(card);
    free(other);
}

/* One more neutral than the card is too few for a curve, and enough to see
 * that the curve is another's. */
static void test_a_neutral_that_contradicts_it_is_told(void **state)
{
    const struct camera camera = learnt(0.45);
    struct measure_reference r[STEPS];
    struct picture p = with_steps(0, r);
    struct measure_result *out = take(&p, r + 4, 1, &camera);

    (void)state;
    assert_true(notes_say(&out->card_notes, "contradict the curve of camera"));
    free(out);
    p = with_steps(0.45, r);
    out = take(&p, r + 4, 1, &camera);
    assert_false(notes_say(&out->card_notes, "contradict"));
    free(out);
}

/* A neutral as light as the card shows no curve: the kept one does. */
static void test_a_neutral_like_the_card_leaves_it_to_the_camera(void **state)
{
    const struct camera camera = learnt(0.45);
    const struct picture p = later(0.45);
    const struct measure_reference again = {.kind = MEASURE_NEUTRAL,
                                            .name = "a neutral",
                                            .box = {70, 70, 80, 80},
                                            .value = {card_lab, 1, 1, 1, true}};
    struct measure_result *out = take(&p, &again, 1, &camera);

    (void)state;
    check_text("words", out->method.words,
               "grey card and the curve of camera #7");
    assert_true(worst(out) < 1);
    free(out);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_the_mode_says_what_bends_the_tones),
        cmocka_unit_test(
            test_an_edited_or_nameless_picture_shares_its_curve_with_none),
        cmocka_unit_test(test_the_longest_names_fit),
        cmocka_unit_test(test_the_newest_of_a_name_serves),
        cmocka_unit_test(test_slopes_are_kept_and_the_card_reads_its_own_value),
        cmocka_unit_test(
            test_the_card_reads_its_own_value_through_a_charts_colours),
        cmocka_unit_test(test_a_later_picture_needs_only_the_card),
        cmocka_unit_test(test_its_width_lies_between_the_card_and_neutrals),
        cmocka_unit_test(test_another_camera_is_not_guessed_at),
        cmocka_unit_test(test_a_neutral_that_contradicts_it_is_told),
        cmocka_unit_test(test_a_neutral_like_the_card_leaves_it_to_the_camera),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
