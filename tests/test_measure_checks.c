/* src/measure/: every warning and refusal, and which profile is taken. */
#include "picture.h"

#include "measure/check.h"

/* ---- the table of limits ------------------------------------------------ */

enum outcome { CLEAN, WARNS, REFUSES };

/* A square of raw codes in the middle of a box, aligned to the JPEG's blocks.
 */
static void dab(struct picture *p, struct box on, int64_t side, int code)
{
    const struct box at = {(on.x + on.w / 2) / 8 * 8, (on.y + on.h / 2) / 8 * 8,
                           side, side};

    picture_add(
        p, (struct patch){.box = at, .lab = {code, code, code}, .raw = true});
}

static void expose(struct picture *p, double how, double unused)
{
    (void)unused;
    p->exposure = how;
}

static void dab_card(struct picture *p, double side, double code)
{
    dab(p, card_box, (int64_t)side, (int)code);
}

static void dab_skein(struct picture *p, double side, double code)
{
    dab(p, skein_box, (int64_t)side, (int)code);
}

static void bright(struct picture *p, double how, double unused)
{
    (void)unused;
    p->exposure = how;
    p->sensor = 0.01;
    for (size_t i = 2; i < 4; i++)
        p->patch[i].lab = (struct lab){30, 3, 3};
}

static void ripple_card(struct picture *p, double how, double unused)
{
    (void)unused;
    p->patch[1].ripple = how;
}

static void slope(struct picture *p, double how, double unused)
{
    (void)unused;
    p->slope_x = how;
}

static void drift(struct picture *p, double how, double unused)
{
    (void)unused;
    p->drift_x = how;
}

static void cast(struct picture *p, double red, double blue)
{
    p->red = red;
    p->blue = blue;
    p->exposure = 0.5;
}

static void grain_card(struct picture *p, double how, double unused)
{
    (void)unused;
    p->patch[1].noise = how;
}

static void dark_skein(struct picture *p, double side, double code)
{
    p->patch[2].lab = (struct lab){22, 3, 3};
    p->patch[2].noise = 0.02;
    if (side > 0)
        dab_skein(p, side, code);
}

static void coloured(struct picture *p, double L, double b)
{
    p->patch[2].lab = (struct lab){L, 0, b};
    p->patch[2].noise = 0.02;
    p->exposure = 0.8;
}

/* More light on the skein than on the card. */
static void shining(struct picture *p, double L, double b)
{
    coloured(p, L, b);
    p->exposure = 0.28;
}

/* The picture's strongest blue beside a dim card. */
static void blue(struct picture *p, double how, double unused)
{
    (void)unused;
    p->exposure = how;
    p->patch[2].lab = (struct lab){5, 5, 250};
    p->patch[2].raw = true;
}

/* Points four times as bright as the rest, in so many blocks of the grid. */
static void glints(struct picture *p, double how, double unused)
{
    (void)unused;
    p->patch[2].lab = (struct lab){30, 2, 2};
    for (int i = 0; i < (int)how; i++) {
        const struct box at = {376 + 40 * (i % 4), 96 + 32 * (i / 4), 8, 8};

        picture_add(p, (struct patch){.box = at, .lab = {70, 2, 2}});
    }
}

/* Two numbers each for what changes the picture. */
static const struct {
    const char *row;
    enum check which;
    void (*change)(struct picture *p, double a, double b);
    double a, b;
    enum outcome want;
} rows[] = {
    {"one black dab", CHECK_CARD_CLIPPED, dab_card, 8, 0, WARNS},
    {"larger", CHECK_CARD_CLIPPED, dab_card, 24, 0, REFUSES},
    {"white", CHECK_CARD_CLIPPED, dab_card, 24, 255, REFUSES},
    {"dim", CHECK_CARD_DARK, expose, 0.20, 0, WARNS},
    {"dark", CHECK_CARD_DARK, expose, 0.06, 0, REFUSES},
    {"light", CHECK_CARD_BRIGHT, bright, 4.3, 0, WARNS},
    {"lighter", CHECK_CARD_BRIGHT, bright, 4.95, 0, REFUSES},
    {"spots", CHECK_CARD_UNEVEN, ripple_card, 0.06, 0, WARNS},
    {"squares", CHECK_CARD_UNEVEN, ripple_card, 0.16, 0, REFUSES},
    {"slope", CHECK_CARD_GRADIENT, slope, 0.0006, 0, WARNS},
    {"steep", CHECK_CARD_GRADIENT, slope, 0.0020, 0, REFUSES},
    {"drift", CHECK_CARD_DRIFT, drift, 0.0003, 0, WARNS},
    {"two lights", CHECK_CARD_DRIFT, drift, 0.0006, 0, REFUSES},
    {"reddish", CHECK_CARD_CAST, cast, 1.55, 1, WARNS},
    {"lamp", CHECK_CARD_CAST, cast, 1, 0.4, REFUSES},
    {"grain", CHECK_CARD_TEXTURE, grain_card, 0.12, 0, WARNS},
    {"cloth", CHECK_CARD_TEXTURE, grain_card, 0.30, 0, REFUSES},
    {"white dab", CHECK_SKEIN_HIGH, dab_skein, 16, 255, WARNS},
    {"white square", CHECK_SKEIN_HIGH, dab_skein, 40, 255, REFUSES},
    {"black dab", CHECK_SKEIN_LOW, dark_skein, 40, 0, WARNS},
    {"black square", CHECK_SKEIN_LOW, dark_skein, 96, 0, REFUSES},
    {"dark skein", CHECK_SKEIN_DARK, coloured, 4, 1, WARNS},
    {"glints", CHECK_SKEIN_GLINTS, glints, 8, 0, WARNS},
    {"strong yellow", CHECK_SKEIN_GAMUT, coloured, 75, 110, WARNS},
    {"lighter than white", CHECK_SKEIN_WHITE, coloured, 103, 0, WARNS},
    {"far lighter", CHECK_SKEIN_WHITE, shining, 152, 0, REFUSES},
    {"strong blue", CHECK_SKEIN_CHROMA, blue, 0.6, 0, WARNS},
    {"no blue there is", CHECK_SKEIN_CHROMA, blue, 0.25, 0, REFUSES},
    {"other light", CHECK_LIGHT_DIFFERENCE, slope, 0.0005, 0, WARNS},
    {"far other light", CHECK_LIGHT_DIFFERENCE, slope, 0.0012, 0, REFUSES},
};

static bool of_card(enum check which)
{
    return which <= CHECK_CARD_TEXTURE;
}

/* The words of a check: in a note they begin with a capital. */
static bool says(const char *text, enum check which)
{
    return strstr(text, check_limits[which].what + 1) != NULL;
}

static bool warned(const struct measure_notes *notes, enum check which)
{
    return notes_say(notes, check_limits[which].what + 1);
}

static void check_sentence(const char *text)
{
    const size_t n = strlen(text);

    if (n < 20 || n >= MEASURE_NOTE_BYTES - 1 || !strchr(".?", text[n - 1]) ||
        text[0] < 'A' || text[0] > 'Z')
        fail_msg("no sentence: \"%s\"", text);
}

static void check_row(size_t i, const struct measure_result *r, bool ok,
                      const struct error *err)
{
    const enum check which = rows[i].which;
    const struct measure_region *region = &r->region[0];

    for (size_t k = 0; k < r->card_notes.count; k++)
        check_sentence(r->card_notes.text[k]);
    for (size_t k = 0; k < region->notes.count; k++)
        check_sentence(region->notes.text[k]);
    if (of_card(which) && rows[i].want == REFUSES) {
        if (ok || !says(err->text, which))
            fail_msg("%s: %s", rows[i].row, ok ? "was taken" : err->text);
        assert_int_equal(err->kind, ERR_INPUT);
        assert_true(isfinite(region->uncorrected.L));
        return;
    }
    if (!ok)
        fail_msg("%s: %s", rows[i].row, err->text);
    if (of_card(which) && !warned(&r->card_notes, which))
        fail_msg("%s: no warning", rows[i].row);
    if (of_card(which))
        return;
    if (region->refused != (rows[i].want == REFUSES))
        fail_msg("%s: %s", rows[i].row,
                 region->refused ? region->why : "was taken");
    if (region->refused) {
        check_sentence(region->why);
        assert_true(says(region->why, which));
        assert_true(isnan(region->lab.L) && isnan(region->abs.LL));
        assert_true(isfinite(region->uncorrected.L));
    } else if (!warned(&region->notes, which)) {
        fail_msg("%s: no warning", rows[i].row);
    }
}

static void test_every_limit_warns_and_refuses(void **state)
{
    int seen[CHECKS] = {0};
    const struct measure_request request = request_for(&skein_box, 1);

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct picture p = picture_plain();
        struct measure_result *r;
        struct error err = {0};
        bool ok;

        rows[i].change(&p, rows[i].a, rows[i].b);
        r = picture_measured(&p, &request, &ok, &err);
        check_row(i, r, ok, &err);
        seen[rows[i].which] |= rows[i].want == REFUSES ? 2 : 1;
        free(r);
    }
    for (int k = 0; k < CHECKS; k++)
        if (k != CHECK_CARD_BLOCKS && k != CHECK_SKEIN_BLOCKS &&
            k != CHECK_SKEIN_ON_CARD && k != CHECK_SKEIN_ON_SKEIN)
            check_near(check_limits[k].what, seen[k],
                       isfinite(check_limits[k].refuse) ? 3 : 1, 0);
}

/* The two limits on blocks: few warn, fewer make the box small. */
static void test_few_blocks_are_told(void **state)
{
    static const struct {
        int64_t card, skein;
        const char *card_note, *skein_note;
    } sizes[] = {
        {160, 160, NULL, NULL},
        {38, 160, "The card's box is small (16 places)", NULL},
        {30, 160, "The card's box is so small (30 x 30 pixels)", NULL},
        {160, 38, NULL, "The skein's box is small (16 places)"},
        {160, 20, NULL, "The box is so small (20 x 20 pixels)"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(sizes); i++) {
        const struct picture p = picture_plain();
        const struct box box = {400, 80, sizes[i].skein,
                                sizes[i].skein > 120 ? 120 : sizes[i].skein};
        struct measure_request request = request_for(&box, 1);
        struct measure_result *r;
        struct error err = {0};
        bool ok;

        request.card_box.w = request.card_box.h = sizes[i].card;
        r = picture_measured(&p, &request, &ok, &err);
        check_ok(ok, &err);
        assert_int_equal(notes_say(&r->card_notes, "card's box is"),
                         sizes[i].card_note != NULL);
        if (sizes[i].card_note &&
            !notes_say(&r->card_notes, sizes[i].card_note))
            fail_msg("got: %s", r->card_notes.text[0]);
        assert_int_equal(r->region[0].notes.count, sizes[i].skein_note != NULL);
        if (sizes[i].skein_note &&
            !notes_say(&r->region[0].notes, sizes[i].skein_note))
            fail_msg("got: %s", r->region[0].notes.text[0]);
        free(r);
    }
}

/* Boxes one over the other are told; no box is held against itself. */
static void test_boxes_that_lie_over_others_are_told(void **state)
{
    static const struct {
        struct box box[2];
        const char *want; /* of the first box */
    } rows_over[] = {
        {{{400, 80, 120, 120}, {400, 220, 120, 120}}, NULL},
        {{{400, 80, 120, 120}, {400, 180, 120, 120}}, NULL},
        {{{400, 80, 120, 120}, {400, 140, 120, 120}},
         "over that of another skein (50 % of it)"},
        {{{60, 60, 100, 100}, {400, 80, 120, 120}}, "over the card's"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows_over); i++) {
        const struct picture p = picture_plain();
        const struct measure_request request = request_for(rows_over[i].box, 2);
        struct measure_result *r;
        struct error err = {0};
        bool ok;
        const char *want = rows_over[i].want;

        r = picture_measured(&p, &request, &ok, &err);
        check_ok(ok, &err);
        assert_false(r->region[0].refused);
        assert_int_equal(
            notes_say(&r->region[0].notes, want ? want : "reaches over"),
            want != NULL);
        free(r);
    }
}

/* ---- requests ----------------------------------------------------------- */

static void test_requests_that_cannot_be_met_are_refused_in_words(void **state)
{
    static const struct {
        struct box card;
        double L, a, uL;
        size_t regions;
        const char *want;
        enum error_kind kind;
    } bad[] = {
        {{0, 0, 0, 0}, 50, 0, 1, 1, "no grey card is marked", ERR_INPUT},
        {{-1, 60, 100, 100}, 50, 0, 1, 1, "does not lie inside", ERR_INPUT},
        {{600, 60, 41, 100}, 50, 0, 1, 1, "does not lie inside", ERR_INPUT},
        {{60, 400, 40, 81}, 50, 0, 1, 1, "640 x 480", ERR_INPUT},
        {{60, 60, -5, 10}, 50, 0, 1, 1, "does not lie inside", ERR_INPUT},
        {{INT64_MAX, 0, INT64_MAX, 9}, 50, 0, 1, 1, "inside", ERR_INPUT},
        {{60, 60, 7, 9}, 50, 0, 1, 1, "too small (7 x 9 pixels)", ERR_INPUT},
        {{60, 60, 100, 100}, 50, 0, 1, 0, "no skein is marked", ERR_INPUT},
        {{60, 60, 100, 100}, 50, 0, 1, 257, "more than 256", ERR_LIMIT},
        {{60, 60, 100, 100}, 0, 0, 1, 1, "not those of a grey card", ERR_INPUT},
        {{60, 60, 100, 100}, 50, 30, 1, 1, "grey card", ERR_INPUT},
        {{60, 60, 100, 100}, 50, 0, -1, 1, "uncertainty", ERR_INPUT},
        {{400, 80, 100, 100}, 50, 0, 1, 1, "colour cast", ERR_INPUT},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(bad); i++) {
        const struct picture p = picture_plain();
        struct measure_request request = request_for(&skein_box, 1);
        struct measure_result *r;
        struct error err = {0};
        bool ok;

        request.card_box = bad[i].card;
        request.card.lab.L = bad[i].L;
        request.card.lab.a = bad[i].a;
        request.card.uL = bad[i].uL;
        request.regions = bad[i].regions;
        r = picture_measured(&p, &request, &ok, &err);
        if (ok || !strstr(err.text, bad[i].want))
            fail_msg("row %zu: %s", i, ok ? "was taken" : err.text);
        assert_int_equal(err.kind, bad[i].kind);
        assert_true(err.text[strlen(err.text) - 1] != '.');
        free(r);
    }
}

static void test_one_bad_region_does_not_spoil_the_others(void **state)
{
    static const struct box box[] = {{340, 60, 240, 160},
                                     {630, 60, 20, 20},
                                     {400, 100, 6, 6},
                                     {400, 300, 80, 80},
                                     {60, 280, 200, 160}};
    const struct measure_request request = request_for(box, ARRAY_LEN(box));
    struct picture p = picture_plain();
    struct measure_result *r;
    struct error err = {0};
    bool ok;

    (void)state;
    picture_add(&p, (struct patch){.box = {390, 290, 100, 100},
                                   .lab = {255, 255, 255},
                                   .raw = true});
    r = picture_measured(&p, &request, &ok, &err);
    check_ok(ok, &err);
    assert_false(r->region[0].refused);
    assert_true(strstr(r->region[1].why, "does not lie inside") != NULL);
    assert_true(strstr(r->region[2].why, "too small (6 x 6 pixels)") != NULL);
    assert_true(strstr(r->region[3].why, "burnt out (100 %)") != NULL);
    assert_false(r->region[4].refused);
    check_near("red", lab_de00(r->region[0].lab, skein_lab), 0, 0.3);
    check_near("yellow", lab_de00(r->region[4].lab, lower_lab), 0, 0.3);
    for (int i = 1; i <= 3; i++) {
        check_sentence(r->region[i].why);
        assert_true(isnan(r->region[i].lab.L));
    }
    assert_int_equal(isnan(r->region[1].uncorrected.L), 1);
    free(r);
}

static void test_boxes_over_and_over_the_picture_are_refused(void **state)
{
    struct box whole[5] = {{0}};
    const struct measure_request request = request_for(whole, 5);
    const struct picture p = picture_plain();
    struct measure_result *r;
    struct error err = {0};
    bool ok;

    (void)state;
    for (size_t i = 0; i < 5; i++)
        whole[i] = (struct box){0, 0, 640, 480};
    r = picture_measured(&p, &request, &ok, &err);
    assert_false(ok);
    assert_int_equal(err.kind, ERR_LIMIT);
    assert_true(strstr(err.text, "5 times over") != NULL);
    free(r);
}

/* ---- damage ------------------------------------------------------------- */

/* Cut after two thirds: what lies above is measured, what lies below is not,
 * and a card below refuses the whole. */
static void test_a_file_cut_short_gives_only_what_is_there(void **state)
{
    static const struct box box[] = {{340, 60, 240, 160}, {60, 280, 200, 160}};
    struct measure_request request = request_for(box, 2);
    struct measure_result *r = mem_new(1, sizeof *r);
    struct picture p = picture_plain();
    struct error err = {0};
    size_t size;
    unsigned char *jpeg = picture_jpeg(&p, &size);

    (void)state;
    check_ok(measure_jpeg(jpeg, size * 2 / 3, &request, r, &err), &err);
    assert_false(r->region[0].refused);
    assert_true(strstr(r->region[1].why, "damaged where this box") != NULL);
    assert_true(notes_say(&r->card_notes, "missing or damaged"));
    request.card_box = lower_box;
    assert_false(measure_jpeg(jpeg, size * 2 / 3, &request, r, &err));
    assert_true(strstr(err.text, "damaged where the card lies") != NULL);
    free(jpeg);
    p.progressive = true;
    jpeg = picture_jpeg(&p, &size);
    request.card_box = card_box;
    check_ok(measure_jpeg(jpeg, size, &request, r, &err), &err);
    check_near("progressive", lab_de00(r->region[0].lab, skein_lab), 0, 0.3);
    assert_false(measure_jpeg(jpeg, size * 2 / 3, &request, r, &err));
    free(jpeg);
    free(r);
}

static void test_what_is_no_jpeg_is_named(void **state)
{
    static const unsigned char png[] = "\x89PNG\r\n\x1A\n";
    const struct measure_request request = request_for(&skein_box, 1);
    struct measure_result *r = mem_new(1, sizeof *r);
    struct error err = {0};

    (void)state;
    assert_false(measure_jpeg(png, sizeof png, &request, r, &err));
    assert_true(strstr(err.text, "PNG") != NULL);
    assert_false(measure_jpeg(png, 0, &request, r, &err));
    assert_int_equal(err.kind, ERR_INPUT);
    free(r);
}

/* ---- which profile ------------------------------------------------------ */

static const struct {
    const char *row;
    bool embed, spoilt;
    enum icc_builtin encoding;
    enum picture_exif exif;
    enum measure_profile assume;
    const char *profile, *rule; /* NULL: refused */
    const char *say;            /* in a note, or in the refusal */
    double profile_ab;          /* part B5, of C* */
} choices[] = {
    {"embedded sRGB", true, false, ICC_SRGB, EXIF_SRGB, MEASURE_PROFILE_FILE,
     "RGB built-in", "embedded in the picture", NULL, 0},
    {"embedded P3", true, false, ICC_DISPLAY_P3, EXIF_UNCALIBRATED,
     MEASURE_PROFILE_FILE, "RGB built-in", "embedded in the picture", NULL, 0},
    {"Exif against it", true, false, ICC_DISPLAY_P3, EXIF_SRGB,
     MEASURE_PROFILE_FILE, "RGB built-in", "embedded in the picture",
     "Exif says sRGB but", 0},
    {"dyer against it", true, false, ICC_SRGB, EXIF_SRGB, MEASURE_PROFILE_P3,
     "RGB built-in", "embedded in the picture", "Display P3 was not assumed",
     0},
    {"dyer agrees", true, false, ICC_DISPLAY_P3, EXIF_UNCALIBRATED,
     MEASURE_PROFILE_P3, "RGB built-in", "embedded in the picture", NULL, 0},
    {"spoilt", true, true, ICC_SRGB, EXIF_SRGB, MEASURE_PROFILE_FILE, NULL,
     NULL, "the picture's colour profile cannot be trusted", 0},
    {"spoilt, assumed", true, true, ICC_SRGB, EXIF_SRGB, MEASURE_PROFILE_SRGB,
     "sRGB", "assumed, as asked", "cannot be trusted", 0.04},
    {"Exif sRGB", false, false, ICC_SRGB, EXIF_SRGB, MEASURE_PROFILE_FILE,
     "sRGB", "Exif says sRGB", NULL, 0.01},
    {"Exif Adobe", false, false, ICC_ADOBE_RGB, EXIF_ADOBE,
     MEASURE_PROFILE_FILE, "Adobe RGB (1998)", "Exif says Adobe RGB", NULL,
     0.01},
    {"uncalibrated", false, false, ICC_SRGB, EXIF_UNCALIBRATED,
     MEASURE_PROFILE_FILE, NULL, NULL, "not sRGB but carries no profile", 0},
    {"uncalibrated, P3", false, false, ICC_DISPLAY_P3, EXIF_UNCALIBRATED,
     MEASURE_PROFILE_P3, "Display P3", "assumed, as asked", NULL, 0.04},
    {"no Exif", false, false, ICC_SRGB, EXIF_NONE, MEASURE_PROFILE_FILE, "sRGB",
     "assumed: the picture names none", "guess", 0.04},
    {"no colour space", false, false, ICC_SRGB, EXIF_PLAIN,
     MEASURE_PROFILE_FILE, "sRGB", "assumed: the picture names none",
     "names no colour space", 0.04},
    {"no Exif, Adobe", false, false, ICC_ADOBE_RGB, EXIF_NONE,
     MEASURE_PROFILE_ADOBE_RGB, "Adobe RGB (1998)", "assumed, as asked", NULL,
     0.04},
};

static void check_choice(size_t i, const struct measure_result *r, bool ok,
                         const struct error *err)
{
    const struct measure_region *region = &r->region[0];

    if (!choices[i].rule) {
        if (ok || !strstr(err->text, choices[i].say))
            fail_msg("%s: %s", choices[i].row, ok ? "was taken" : err->text);
        assert_int_equal(err->kind, ERR_INPUT);
        return;
    }
    if (!ok)
        fail_msg("%s: %s", choices[i].row, err->text);
    check_text(choices[i].row, r->profile, choices[i].profile);
    check_text(choices[i].row, r->rule, choices[i].rule);
    if (choices[i].say && !notes_say(&r->card_notes, choices[i].say))
        fail_msg("%s: \"%s\" was not said", choices[i].row, choices[i].say);
    if (!choices[i].say && choices[i].exif != EXIF_NONE)
        assert_int_equal(r->card_notes.count, 0);
    check_near(choices[i].row, lab_de00(region->lab, skein_lab), 0, 0.35);
    check_near(choices[i].row, sqrt(region->part[MEASURE_PROFILE].aa),
               choices[i].profile_ab * hypot(region->lab.a, region->lab.b),
               1e-9);
}

static void test_profile_rules(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(choices); i++) {
        struct measure_request request = request_for(&skein_box, 1);
        struct measure_result *r = mem_new(1, sizeof *r);
        struct picture p = picture_plain();
        struct error err = {0};
        unsigned char *icc = NULL, *jpeg;
        size_t icc_size = 0, size;
        bool ok;

        p.encoding = choices[i].encoding;
        p.exif = choices[i].exif;
        request.assume = choices[i].assume;
        if (choices[i].embed)
            icc = profile_bytes(p.encoding, &icc_size);
        if (icc && choices[i].spoilt)
            memset(icc + 140, 0x5A, 100); /* its table of tags */
        jpeg = picture_jpeg_icc(&p, icc, icc_size, &size);
        ok = measure_jpeg(jpeg, size, &request, r, &err);
        check_choice(i, r, ok, &err);
        free(jpeg);
        free(icc);
        free(r);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_every_limit_warns_and_refuses),
        cmocka_unit_test(test_few_blocks_are_told),
        cmocka_unit_test(test_boxes_that_lie_over_others_are_told),
        cmocka_unit_test(test_requests_that_cannot_be_met_are_refused_in_words),
        cmocka_unit_test(test_one_bad_region_does_not_spoil_the_others),
        cmocka_unit_test(test_boxes_over_and_over_the_picture_are_refused),
        cmocka_unit_test(test_a_file_cut_short_gives_only_what_is_there),
        cmocka_unit_test(test_what_is_no_jpeg_is_named),
        cmocka_unit_test(test_profile_rules),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
