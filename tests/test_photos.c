/*
 * Measuring whole pictures: the project's own, with their truth in
 * fixtures/truth.csv, and real photographs of charts and odd files, in the
 * folder that HANKLAB_TEST_PHOTOS names (skipped when it is not set).
 */
#include "truth_support.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- helpers ------------------------------------------------------------ */

static bool notes_say(const struct measure_notes *notes, const char *part)
{
    for (size_t i = 0; i < notes->count; i++)
        if (strstr(notes->text[i], part))
            return true;
    return false;
}

/* ---- the project's own pictures ----------------------------------------- */

/* In even light and without a tone curve a reading is as near as the JPEG's
 * rounding lets it (docs/colour.md: 0.3 for texture at quality 90 and more, 0.5
 * allowed); in any light the truth lies within 2 sigmas. */
static void test_fixtures_read_as_their_truth_says(void **state)
{
    struct shots all = shots_of_folder("fixtures");
    const struct errors e = shots_errors(&all, true);
    struct cover covered = {0};

    (void)state;
    for (size_t i = 0; i < all.count; i++) {
        const struct shot *s = &all.shot[i];

        if (s->got.refused)
            fail_msg("%s: %s", s->file, s->got.why);
        cover_coordinates(&covered, &s->got, s->truth);
        if (s->even_light && !s->tone_curve)
            check_near(s->file, lab_de00(s->got.lab, s->truth), 0, 0.5);
    }
    printf("#   fixtures in even light: %zu skeins, mean %.2f, worst %.2f "
           "dE00; all: %zu of %zu coordinates within 2 sigmas\n",
           e.n, errors_mean(&e), e.worst, covered.within, covered.of);
    assert_true(e.n > 0);
    assert_int_equal(covered.within, covered.of);
    free(all.shot);
}

/* ---- charts ------------------------------------------------------------- */

/* What a grey card alone is expected to give, CIEDE2000 over the chart's
 * colours that are not clipped: worked out apart with gains on each linear
 * channel instead of cones, hence the tolerance. */
static const struct expectation {
    const char *image;
    size_t least;       /* colours measured */
    double mean, worst; /* 0: any */
    const char *say;    /* in a note of the card, or its refusal */
} expectations[] = {
    {"charts/booth-dslr-a.jpg", 18, 6.9, 11.8, NULL},
    {"charts/booth-dslr-b.jpg", 18, 7.4, 11.3, "small"},
    {"charts/chamber-a.jpg", 18, 13.3, 24.6, NULL},
    {"charts/outdoor-compact-a.jpg", 4, 4.8, 8.1, "small"},
    {"charts/phone-indoor-a.jpg", 18, 5.6, 11.6, NULL},
    {"charts/phone-indoor-b.jpg", 0, 0, 0, "changes from side to side"},
    {"charts/phone-flash-a.jpg", 12, 0, 0, "texture"},
    {"charts/phone-glare-a.jpg", 3, 0, 0, "falls off across the card"},
};

static void check_chart(const struct expectation *e, const struct chart *c,
                        const struct measure_result *r)
{
    struct cover covered = {0};
    const struct errors got = chart_errors(c, r, &covered);
    const double mean = errors_mean(&got);

    printf("#   %s: %zu of 18 colours, mean %.2f, worst %.2f dE00", e->image,
           got.n, mean, got.worst);
    if (e->mean > 0)
        printf(" (expected %.1f, %.1f)", e->mean, e->worst);
    printf("; %zu of %zu coordinates within 2 sigmas\n", covered.within,
           covered.of);
    if (got.n < e->least)
        fail_msg("%s: only %zu colours", e->image, got.n);
    if (e->mean > 0) {
        check_near(e->image, mean, e->mean, 0.8);
        check_near(e->image, got.worst, e->worst, 1.0);
        assert_true(cover_pct(covered) >= 70);
    }
}

static void test_charts_read_as_near_as_one_grey_card_allows(void **state)
{
    struct table t;

    (void)state;
    if (!photos())
        skip();
    t = photo_table("chart-patches.csv");
    for (size_t i = 0; i < ARRAY_LEN(expectations); i++) {
        const struct expectation *e = &expectations[i];
        const struct chart c = chart_of(&t, e->image);
        struct error err = {0};
        struct measure_result *r;
        bool ok;

        r = chart_measure(&c, e->image, &ok, &err);
        if (e->say && !notes_say(&r->card_notes, e->say) &&
            !(!ok && strstr(err.text, e->say)))
            fail_msg("%s: \"%s\" was not said", e->image, e->say);
        if (e->least > 0) {
            check_ok(ok, &err);
            check_chart(e, &c, r);
        } else {
            printf("#   %s: refused, %s\n", e->image, err.text);
            assert_false(ok);
        }
        free(r);
    }
    table_clear(&t);
}

/* More of a chart that is known brings its colours nearer, in no picture
 * farther; left out, a colour is told by the others alone. What is asked of the
 * pictures whose chart is known to be of its make: by the greys 3.2 in a light
 * booth, by the whole chart 2.4 (what they read, and a little more). */
static void test_charts_read_nearer_the_more_of_them_is_known(void **state)
{
    static const struct {
        const char *image;
        double neutrals, all;
    } rows[] = {
        {"charts/booth-dslr-a.jpg", 3.2, 2.4},
        {"charts/booth-dslr-b.jpg", 3.2, 2.4},
        {"charts/chamber-a.jpg", 6.1, 2.4},
        {"charts/outdoor-compact-a.jpg", 3.7, 3.7},
        {"charts/phone-indoor-a.jpg", 5.6, 5.6},
    };
    struct table t;

    (void)state;
    if (!photos())
        skip();
    t = photo_table("chart-patches.csv");
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const struct chart c = chart_of(&t, rows[i].image);
        struct cover inside[3] = {{0}};
        double mean[3];

        for (int k = 0; k < 3; k++) {
            struct error err = {0};
            bool ok;
            const struct errors e = chart_read(
                &c, rows[i].image, (enum chart_known)k, &inside[k], &ok, &err);

            check_ok(ok, &err);
            mean[k] = errors_mean(&e);
        }
        printf("#   %s: by one grey %.2f, by all %.2f, by the chart %.2f\n",
               rows[i].image, mean[0], mean[1], mean[2]);
        assert_true(mean[1] < mean[0] && mean[1] < rows[i].neutrals);
        assert_true(mean[2] <= mean[1] && mean[2] < rows[i].all);
        assert_true(cover_pct(inside[1]) >= 80 && cover_pct(inside[2]) >= 90);
    }
    table_clear(&t);
}

/* Two photographs by one camera: what one shows of it brings the other, by a
 * grey alone, as near as that one's own greys would: from 7 to about 3. By the
 * whole chart nearer still, which flatters: it is the same chart. */
static void test_a_camera_learnt_from_one_chart_serves_the_next(void **state)
{
    static const char *const image[] = {"charts/booth-dslr-a.jpg",
                                        "charts/booth-dslr-b.jpg"};
    struct table t;

    (void)state;
    if (!photos())
        skip();
    t = photo_table("chart-patches.csv");
    for (int i = 0; i < 4; i++) {
        const char *from = image[i % 2], *to = image[1 - i % 2];
        const bool whole = i >= 2;
        const struct chart learnt = chart_of(&t, from);
        const struct camera camera =
            chart_camera(&learnt, from,
                         whole ? CHART_KNOWN_ALL_OTHER : CHART_KNOWN_NEUTRALS);
        struct chart c = chart_of(&t, to);
        struct cover inside = {0};
        struct error err = {0};
        struct errors e;
        bool ok;

        c.camera = &camera;
        e = chart_read(&c, to, CHART_KNOWN_CARD, &inside, &ok, &err);
        check_ok(ok, &err);
        printf("#   %s by %s of %s: mean %.2f, worst %.2f dE00; %zu of %zu "
               "coordinates within 2 sigmas\n",
               to, whole ? "the chart" : "the greys", from, errors_mean(&e),
               e.worst, inside.within, inside.of);
        assert_int_equal(e.n, 18);
        assert_true(errors_mean(&e) < (whole ? 2.4 : 3.2));
        assert_true(cover_pct(inside) >= 90);
    }
    table_clear(&t);
}

/* The glossy card lies in veiling glare: more than half of its patches are
 * refused, or warned of by light unlike the card's. */
static void test_glare_is_flagged(void **state)
{
    struct table t;
    struct chart c;
    struct measure_result *r;
    struct error err = {0};
    int flagged = 0;
    bool ok;

    (void)state;
    if (!photos())
        skip();
    t = photo_table("chart-patches.csv");
    c = chart_of(&t, "charts/phone-glare-a.jpg");
    r = chart_measure(&c, "charts/phone-glare-a.jpg", &ok, &err);
    for (size_t i = 0; ok && i < c.n; i++)
        flagged += r->region[i].refused || r->region[i].notes.count > 0;
    assert_true(!ok || flagged > 12);
    assert_true(!ok || r->card_notes.count >= 2);
    free(r);
    table_clear(&t);
}

/* ---- profiles ----------------------------------------------------------- */

/* One scene in three profiles. The table's figures are plain means of light
 * over bits of a busy scene; ours leave out a fifth of the places, so each may
 * differ from it by more than the three do from one another. That ours are
 * what they should be is for tests/oracle.py to say. */
static void test_three_profiles_of_one_scene_agree(void **state)
{
    struct table t;
    struct lab seen[3][8];
    size_t n = 0, per = 0;
    double apart = 0, off = 0;

    (void)state;
    if (!photos())
        skip();
    t = photo_table("profile-check.csv");
    for (size_t i = 0; i < t.rows; i++) {
        const struct box box = table_box(&t, i, "");
        const struct measure_request request = {.card_box = box,
                                                .card = measure_card_unknown(),
                                                .region = &box,
                                                .regions = 1};
        struct error err = {0};
        struct measure_result *r;
        bool ok;

        r = photo_measure(photos(), table_text(&t, i, "image"), &request, &ok,
                          &err);
        if (i > 0 && strcmp(table_text(&t, i, "image"),
                            table_text(&t, i - 1, "image")) != 0) {
            n++;
            per = 0;
        }
        assert_true(n < 3 && per < 8);
        seen[n][per++] = r->region[0].uncorrected;
        off =
            fmax(off, lab_de00(r->region[0].uncorrected, table_lab(&t, i, "")));
        free(r);
    }
    assert_int_equal(n, 2);
    for (size_t k = 0; k < per; k++)
        for (size_t j = 1; j < 3; j++)
            apart = fmax(apart, lab_de00(seen[0][k], seen[j][k]));
    printf("#   three profiles: at most %.2f dE00 apart, %.2f from the plain "
           "means\n",
           apart, off);
    check_near("apart", apart, 0, 0.8); /* each within 0.4 of the mean */
    check_near("off", off, 0, 3);
    table_clear(&t);
}

/* ---- odd files ---------------------------------------------------------- */

static const struct odd {
    const char *file;
    const char *refused; /* in the error; NULL: its pixels are read */
    const char *profile, *rule;
    const char *note;
    int orientation;
} odds[] = {
    {"odd/p3-dslr.jpg", NULL, "Display P3", "embedded in the picture", NULL, 1},
    {"odd/adobergb-dslr.jpg", NULL, "Adobe RGB (1998)",
     "embedded in the picture", NULL, 1},
    {"odd/srgb-dslr.jpg", NULL, "sRGB IEC61966-2.1", "embedded in the picture",
     NULL, 1},
    {"odd/gainmap-small.jpg", NULL, "sRGB IEC61966-2.1",
     "embedded in the picture", "HDR", 1},
    {"odd/phone-p3-gainmap.jpg", NULL, "Display P3", "embedded in the picture",
     "HDR", 1},
    {"odd/phone-gainmap-cut.jpg", "cut short", NULL, NULL, NULL, 1},
    {"odd/mpo-stereo.jpg", NULL, "sRGB", "Exif says sRGB", "several pictures",
     1},
    {"odd/orient-1.jpg", NULL, "sRGB", "assumed: the picture names none",
     "colour space", 1},
    {"odd/orient-3.jpg", NULL, "sRGB", "assumed: the picture names none",
     "colour space", 3},
    {"odd/orient-6.jpg", NULL, "sRGB", "assumed: the picture names none",
     "colour space", 6},
    {"odd/orient-8.jpg", NULL, "sRGB", "assumed: the picture names none",
     "colour space", 8},
    {"odd/cmyk-a.jpg", "CMYK", NULL, NULL, NULL, 0},
    {"odd/cmyk-adobe.jpg", "CMYK", NULL, NULL, NULL, 0},
    {"odd/gray-nocolour.jpg", "grey picture", NULL, NULL, NULL, 0},
    {"odd/progressive-maker-srgb.jpg", NULL, "sRGB v1.31 (Canon)",
     "embedded in the picture", NULL, 1},
    {"odd/phone-srgb.jpg", NULL, "sRGB IEC61966-2.1", "embedded in the picture",
     NULL, 1},
    {"odd/phone-orient6.jpg", NULL, "sRGB", "Exif says sRGB", NULL, 6},
    {"odd/phone-440.jpg", NULL, "sRGB", "Exif says sRGB", NULL, 1},
    {"odd/phone-cropped.jpg", NULL, "sRGB IEC61966-2.1",
     "embedded in the picture", NULL, 1},
    {"odd/phone-444.jpg", NULL, "sRGB IEC61966-2.1", "embedded in the picture",
     NULL, 1},
    {"odd/icc-corrupt.jpg", "colour profile cannot be trusted", NULL, NULL,
     NULL, 1},
    {"odd/icc-many-chunks.jpg", NULL, "TIFF RGB", "embedded in the picture",
     NULL, 1},
    {"odd/truncated.jpg", "damaged where the card lies", NULL, NULL,
     "missing or damaged", 1},
    {"odd/icc-xyb.jpg", "its white is not white", NULL, NULL, NULL, 1},
    {"odd/arithmetic.jpg", NULL, "sRGB", "assumed: the picture names none",
     "guess", 1},
    {"odd/junk-header.jpg", NULL, "sRGB", "assumed: the picture names none",
     "stray bytes", 1},
};

static const struct odd *odd_called(const char *file)
{
    for (size_t i = 0; i < ARRAY_LEN(odds); i++)
        if (!strcmp(odds[i].file, file))
            return &odds[i];
    fail_msg("%s: nothing is expected of it", file);
    return NULL;
}

/* No odd picture has a grey card in it: what counts is what is said of the
 * file and that its pixels are read, or why not. */
static void check_odd(const struct odd *o, const struct measure_result *r,
                      bool ok, const struct error *err)
{
    if (o->note && !notes_say(&r->card_notes, o->note))
        fail_msg("%s: \"%s\" was not noted", o->file, o->note);
    if (o->refused) {
        if (ok || !strstr(err->text, o->refused))
            fail_msg("%s: %s", o->file, ok ? "was taken" : err->text);
        assert_true(isnan(r->region[0].lab.L));
        assert_true(isnan(r->region[0].uncorrected.L));
        return;
    }
    check_text(o->file, r->profile, o->profile);
    check_text(o->file, r->rule, o->rule);
    assert_int_equal(r->orientation, o->orientation);
    if (!isfinite(r->region[0].uncorrected.L))
        fail_msg("%s: %s", o->file, ok ? r->region[0].why : err->text);
}

static void test_odd_files_are_read_rightly_or_refused_in_words(void **state)
{
    struct table t;
    int read = 0, refused = 0;

    (void)state;
    if (!photos())
        skip();
    t = photo_table("odd.csv");
    for (size_t i = 0; i < t.rows; i++) {
        const struct odd *o = odd_called(table_text(&t, i, "file"));
        long w, h;
        char *end;
        struct box box;
        struct measure_request request = {
            .card = measure_card_unknown(), .region = &box, .regions = 1};
        struct error err = {0};
        struct measure_result *r;
        bool ok;

        w = strtol(table_text(&t, i, "size"), &end, 10);
        h = strtol(end + 1, NULL, 10);
        if (o->orientation >= 5) {
            const long turn = w;

            w = h;
            h = turn;
        }
        box = (struct box){w / 4, h / 2, w / 2, h / 3};
        request.card_box = box;
        r = photo_measure(photos(), o->file, &request, &ok, &err);
        check_odd(o, r, ok, &err);
        read += !o->refused;
        refused += o->refused != NULL;
        free(r);
    }
    printf("#   odd files: %d read, %d refused\n", read, refused);
    assert_int_equal(t.rows, ARRAY_LEN(odds));
    table_clear(&t);
}

/* The four are one landscape that looks alike when turned upright. */
static void test_turned_copies_of_a_photograph_agree(void **state)
{
    static const char *const file[] = {"odd/orient-1.jpg", "odd/orient-3.jpg",
                                       "odd/orient-6.jpg", "odd/orient-8.jpg"};
    static const struct box box[] = {
        {100, 100, 300, 200}, {900, 300, 250, 250}, {1300, 800, 300, 250}};
    const struct measure_request request = {.card_box = {100, 100, 300, 200},
                                            .card = measure_card_unknown(),
                                            .region = box,
                                            .regions = ARRAY_LEN(box)};
    struct measure_result *r[ARRAY_LEN(file)];
    struct error err = {0};
    bool ok;

    (void)state;
    if (!photos())
        skip();
    for (size_t i = 0; i < ARRAY_LEN(file); i++)
        r[i] = photo_measure(photos(), file[i], &request, &ok, &err);
    for (size_t i = 1; i < ARRAY_LEN(file); i++)
        for (size_t k = 0; k < ARRAY_LEN(box); k++)
            check_near(file[i],
                       lab_de00(r[i]->region[k].uncorrected,
                                r[0]->region[k].uncorrected),
                       0, 0.5); /* each was compressed anew */
    for (size_t i = 0; i < ARRAY_LEN(file); i++)
        free(r[i]);
}

/* With a profile named by the dyer the damaged one is no hindrance. */
static void test_a_damaged_profile_gives_way_to_an_assumed_one(void **state)
{
    static const struct box box = {300, 200, 200, 200};
    struct measure_request request = {.card_box = {300, 200, 200, 200},
                                      .card = measure_card_unknown(),
                                      .region = &box,
                                      .regions = 1,
                                      .assume = MEASURE_PROFILE_SRGB};
    struct measure_result *r;
    struct error err = {0};
    bool ok;

    (void)state;
    if (!photos())
        skip();
    r = photo_measure(photos(), "odd/icc-corrupt.jpg", &request, &ok, &err);
    check_text("profile", r->profile, "sRGB");
    check_text("rule", r->rule, "assumed, as asked");
    assert_true(isfinite(r->region[0].uncorrected.L));
    assert_true(notes_say(&r->card_notes, "cannot be trusted"));
    free(r);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_fixtures_read_as_their_truth_says),
        cmocka_unit_test(test_charts_read_as_near_as_one_grey_card_allows),
        cmocka_unit_test(test_charts_read_nearer_the_more_of_them_is_known),
        cmocka_unit_test(test_a_camera_learnt_from_one_chart_serves_the_next),
        cmocka_unit_test(test_glare_is_flagged),
        cmocka_unit_test(test_three_profiles_of_one_scene_agree),
        cmocka_unit_test(test_odd_files_are_read_rightly_or_refused_in_words),
        cmocka_unit_test(test_turned_copies_of_a_photograph_agree),
        cmocka_unit_test(test_a_damaged_profile_gives_way_to_an_assumed_one),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
