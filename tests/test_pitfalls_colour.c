/*
 * What goes wrong with photographs out in the world, each case measured whole:
 * codings, retouched pictures and profiles. A row's number is that of the list
 * in tests/pitfall-rows.test.sh; the rest: test_pitfalls.c.
 */
#include "picture.h"

#include <pthread.h>

#include "icc_support.h"
#include "jpeg_make.h"

static const struct box both[2] = {{340, 60, 240, 160}, {60, 280, 200, 160}};

/* ---- codings ------------------------------------------------------------ */

static void sample(struct jpeg_compress_struct *c, int luma_h, int luma_v,
                   int chroma_h, int chroma_v)
{
    for (int i = 0; i < 3; i++) {
        c->comp_info[i].h_samp_factor = i ? chroma_h : luma_h;
        c->comp_info[i].v_samp_factor = i ? chroma_v : luma_v;
    }
}

static void code_422(struct jpeg_compress_struct *c)
{
    sample(c, 2, 1, 1, 1);
}

static void code_440(struct jpeg_compress_struct *c)
{
    sample(c, 1, 2, 1, 1);
}

static void code_411(struct jpeg_compress_struct *c)
{
    sample(c, 4, 1, 1, 1);
}

static void code_410(struct jpeg_compress_struct *c)
{
    sample(c, 4, 2, 1, 1);
}

static void code_3x1(struct jpeg_compress_struct *c)
{
    sample(c, 3, 1, 1, 1);
}

static void code_odd_440(struct jpeg_compress_struct *c)
{
    sample(c, 2, 2, 2, 1);
}

static void code_coarse_luma(struct jpeg_compress_struct *c)
{
    sample(c, 1, 1, 2, 2);
}

static void code_scans(struct jpeg_compress_struct *c)
{
    static const jpeg_scan_info scan[] = {
        {.comps_in_scan = 1, .component_index = {0}, .Se = 63},
        {.comps_in_scan = 1, .component_index = {1}, .Se = 63},
        {.comps_in_scan = 1, .component_index = {2}, .Se = 63}};

    c->scan_info = scan;
    c->num_scans = ARRAY_LEN(scan);
}

static void code_restarts(struct jpeg_compress_struct *c)
{
    c->restart_interval = 7;
}

static void code_arithmetic(struct jpeg_compress_struct *c)
{
    c->arith_code = TRUE;
    jpeg_simple_progression(c);
}

static void code_rgb(struct jpeg_compress_struct *c)
{
    jpeg_set_colorspace(c, JCS_RGB);
}

static void code_hard(struct jpeg_compress_struct *c)
{
    jpeg_set_quality(c, 45, TRUE);
}

/* ---- retouched ---------------------------------------------------------- */

enum { RADIUS = 2 };

static int clamp(int v, int most)
{
    return v < 0 ? 0 : v > most ? most : v;
}

/* An unsharp mask: what differs from the mean of 5 x 5 pixels, once more. */
static void sharpen(unsigned char *rgb, int w, int h)
{
    const size_t n = 3 * (size_t)w * (size_t)h;
    unsigned char *was = mem_new(n, 1);

    memcpy(was, rgb, n);
    for (int i = 0; i < (int)n; i++) {
        const int x = i / 3 % w, y = i / 3 / w;
        int sum = 0;

        for (int dy = -RADIUS; dy <= RADIUS; dy++)
            for (int dx = -RADIUS; dx <= RADIUS; dx++)
                sum +=
                    was[3 * (clamp(y + dy, h - 1) * w + clamp(x + dx, w - 1)) +
                        i % 3];
        rgb[i] = (unsigned char)clamp(2 * was[i] - sum / 25, 255);
    }
    free(was);
}

/* A quarter of the pixels, and straight lines between them. */
static void enlarge(unsigned char *rgb, int w, int h)
{
    const ptrdiff_t row = 3 * (ptrdiff_t)w;

    for (int y = 0; y < h; y++)
        for (int x = 1; x < w; x += 2)
            for (int c = 0; c < 3; c++) {
                unsigned char *p = rgb + row * y + 3 * (ptrdiff_t)x + c;

                *p = (unsigned char)((p[-3] + p[x + 1 < w ? 3 : -3]) / 2);
            }
    for (int y = 1; y < h; y += 2)
        for (int i = 0; i < 3 * w; i++) {
            unsigned char *p = rgb + row * y + i;

            *p = (unsigned char)((p[-row] + p[y + 1 < h ? row : -row]) / 2);
        }
}

static void enlarge_and_sharpen(unsigned char *rgb, int w, int h)
{
    enlarge(rgb, w, h);
    sharpen(rgb, w, h);
}

/* ---- the table ---------------------------------------------------------- */

/* Each measured without a note but the one said, and as near the truth as
 * JPEG's rounding lets it: 0.3 for texture at quality 90 and more
 * (docs/colour.md), 1.5 where half of it is gone. */
static const struct {
    const char *row;
    void (*code)(struct jpeg_compress_struct *c);
    void (*retouch)(unsigned char *rgb, int w, int h);
    double near;
    const char *note;
} rows[] = {
    {"27 4:2:2", code_422, NULL, 0.3, NULL},
    {"28 4:4:0", code_440, NULL, 0.3, NULL},
    {"28 4:4:0 in odd figures", code_odd_440, NULL, 0.3, NULL},
    {"28 4:1:1", code_411, NULL, 0.3, NULL},
    {"28 4:1:0", code_410, NULL, 0.3, NULL},
    {"28 3x1", code_3x1, NULL, 0.3, NULL},
    {"29 luma below chroma", code_coarse_luma, NULL, 0.3, NULL},
    {"30 a scan a component", code_scans, NULL, 0.3, NULL},
    {"31 restart markers", code_restarts, NULL, 0.3, NULL},
    {"26 arithmetic", code_arithmetic, NULL, 0.3, NULL},
    {"59 RGB", code_rgb, NULL, 0.3, NULL},
    {"64 quality 45", code_hard, NULL, 1.5, "compressed hard"},
    {"66 sharpened", NULL, sharpen, 0.3, NULL},
    {"66 enlarged", NULL, enlarge, 0.3, NULL},
    {"66 both", NULL, enlarge_and_sharpen, 0.3, NULL},
};

/* The boxes reach to the very edges of what they lie on. */
static void test_other_codings_measure_as_the_plain_one(void **state)
{
    static const struct box edge[2] = {{330, 50, 260, 180},
                                       {50, 270, 220, 180}};
    struct measure_request request = request_for(edge, 2);
    struct cov3 plain = {0};

    (void)state;
    request.card_box = (struct box){50, 50, 220, 180};
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct picture p = picture_plain();
        struct error err = {0};
        struct measure_result *r;
        bool ok;

        p.code = rows[i].code;
        p.retouch = rows[i].retouch;
        r = picture_measured(&p, &request, &ok, &err);
        if (!ok)
            fail_msg("%s: %s", rows[i].row, err.text);
        if (rows[i].note && !notes_say(&r->card_notes, rows[i].note))
            fail_msg("%s: \"%s\" was not said", rows[i].row, rows[i].note);
        if (r->card_notes.count != (rows[i].note ? 1 : 0))
            fail_msg("%s: %s", rows[i].row, r->card_notes.text[0]);
        check_near(rows[i].row, lab_de00(r->region[0].lab, skein_lab), 0,
                   rows[i].near);
        check_near(rows[i].row, lab_de00(r->region[1].lab, lower_lab), 0,
                   rows[i].near);
        /* Row 64: rounding grows with the steps. */
        if (i == 0)
            plain = r->region[0].part[MEASURE_ROUNDING];
        if (rows[i].note)
            assert_true(r->region[0].part[MEASURE_ROUNDING].aa > plain.aa);
        free(r);
    }
}

static struct measure_result *bytes_measured(const struct jpeg_bytes *j)
{
    const struct measure_request request = request_for(both, 2);
    struct measure_result *r = mem_new(1, sizeof *r);
    struct error err = {0};

    check_ok(measure_jpeg(j->data, j->size, &request, r, &err), &err);
    return r;
}

/* Row 59: by the mark of Adobe alone (T.872, 6.5.3), or by the names of the
 * components alone. */
static void test_red_green_and_blue_are_known_by_either_sign(void **state)
{
    struct picture p = picture_plain();
    struct jpeg_bytes good = {0};
    struct measure_result *want, *r;

    (void)state;
    p.code = code_rgb;
    good.data = picture_jpeg(&p, &good.size);
    want = bytes_measured(&good);
    for (int by_mark = 0; by_mark < 2; by_mark++) {
        struct jpeg_bytes j = {0};

        jpeg_insert(&j, 0, good.data, good.size);
        if (by_mark) {
            for (size_t i = 0; i < 3; i++) {
                j.data[jpeg_find(&j, 0xC0) + 10 + 3 * i] =
                    (unsigned char)(i + 1);
                j.data[jpeg_find(&j, 0xDA) + 5 + 2 * i] =
                    (unsigned char)(i + 1);
            }
        } else {
            jpeg_remove(&j, jpeg_find(&j, 0xEE), 16);
        }
        r = bytes_measured(&j);
        assert_memory_equal(r, want, sizeof *r);
        free(r);
        free(j.data);
    }
    free(want);
    free(good.data);
}

/* ---- profiles ----------------------------------------------------------- */

static struct jpeg_bytes with_profile(unsigned char *icc, size_t size)
{
    const struct picture p = picture_plain();
    struct jpeg_bytes j = {0};

    j.data = picture_jpeg_icc(&p, icc, size, &j.size);
    free(icc);
    return j;
}

/* A table to Lab for relative colorimetry, and beside it one for pictures
 * that please, all black: the wrong one would be refused. */
static cmsHPROFILE two_tables(double version)
{
    cmsHPROFILE p = table_profile(version);
    cmsPipeline *right = cmsPipelineDup(cmsReadTag(p, cmsSigAToB0Tag));
    cmsPipeline *black = cmsPipelineAlloc(NULL, 3, 3);
    static const cmsUInt16Number nought[3 * 8];

    cmsPipelineInsertStage(black, cmsAT_END,
                           cmsStageAllocToneCurves(NULL, 3, NULL));
    cmsPipelineInsertStage(black, cmsAT_END,
                           cmsStageAllocCLut16bit(NULL, 2, 3, 3, nought));
    cmsPipelineInsertStage(black, cmsAT_END,
                           cmsStageAllocToneCurves(NULL, 3, NULL));
    assert_true(cmsWriteTag(p, cmsSigAToB1Tag, right));
    assert_true(cmsWriteTag(p, cmsSigAToB0Tag, black));
    cmsPipelineFree(right);
    cmsPipelineFree(black);
    return p;
}

/* Row 55. A table of 33 points a side adds up to 0.3 (test_icc.c). */
static void test_pictures_with_a_table_profile_are_measured(void **state)
{
    static const double version[] = {2.1, 4.3};

    (void)state;
    for (size_t i = 0; i < 4; i++) {
        cmsHPROFILE icc =
            i < 2 ? table_profile(version[i % 2]) : two_tables(version[i % 2]);
        size_t size;
        unsigned char *bytes = saved(icc, true, &size);
        struct jpeg_bytes j = with_profile(bytes, size);
        struct measure_result *r = bytes_measured(&j);

        check_text("rule", r->rule, "embedded in the picture");
        if (r->card_notes.count)
            fail_msg("table %zu: %s", i, r->card_notes.text[0]);
        check_near("red", lab_de00(r->region[0].lab, skein_lab), 0, 0.6);
        check_near("yellow", lab_de00(r->region[1].lab, lower_lab), 0, 0.6);
        for (int k = 0; k < 2; k++)
            assert_true(cov3_is_valid(r->region[k].abs));
        free(r);
        free(j.data);
    }
}

static void check_untrusted(const char *row, const struct jpeg_bytes *j,
                            const char *why)
{
    const struct measure_request request = request_for(both, 2);
    struct measure_result *r = mem_new(1, sizeof *r);
    struct error err = {0};

    if (measure_jpeg(j->data, j->size, &request, r, &err))
        fail_msg("%s: was taken", row);
    assert_int_equal(err.kind, ERR_INPUT);
    if (!strstr(err.text, "colour profile cannot be trusted") ||
        !strstr(err.text, why))
        fail_msg("%s: %s", row, err.text);
    free(r);
}

/* Row 57: a grey profile in a colour picture, and a colour profile in a grey
 * one, which is refused for being grey. Row 52: 16.7 MB of noise. */
static void test_profiles_that_do_not_suit_are_refused(void **state)
{
    cmsToneCurve *line = cmsBuildGamma(NULL, 2.2);
    size_t size;
    unsigned char *bytes =
        saved(cmsCreateGrayProfile(cmsD50_xyY(), line), true, &size);
    struct jpeg_bytes j = with_profile(bytes, size);
    static unsigned char chunk[65533];
    struct error err = {0};
    struct photo photo;

    (void)state;
    check_untrusted("grey profile", &j, "it is not for red, green and blue");
    free(j.data);
    cmsFreeToneCurve(line);

    j = jpeg_make(&(struct jpeg_recipe){.components = 1});
    bytes = rgb_bytes(&encodings[0], true, &size);
    memcpy(chunk, "ICC_PROFILE\0\1\1", 14);
    memcpy(chunk + 14, bytes, size);
    jpeg_add(&j, 0xE2, chunk, 14 + size);
    assert_false(photo_open(j.data, j.size, &photo, &err));
    assert_true(strstr(err.text, "a grey picture holds no colour") != NULL);
    free(bytes);
    free(j.data);

    j = with_profile(NULL, 0);
    memcpy(chunk, "ICC_PROFILE", 12);
    for (size_t i = 14; i < sizeof chunk; i++)
        chunk[i] = (unsigned char)(noise_at((int)i, 0, 0) * 127 + 128);
    chunk[13] = 255;
    for (int i = 1; i <= 255; i++) {
        chunk[12] = (unsigned char)i;
        jpeg_add(&j, 0xE2, chunk, sizeof chunk);
    }
    check_untrusted("16.7 MB", &j, "or it is over 4 MB");
    free(j.data);
}

/* ---- two at once -------------------------------------------------------- */

static void *measure_in_a_thread(void *bytes)
{
    return bytes_measured(bytes);
}

/* Row 70: in two threads at once, by curves and through a table. */
static void test_two_threads_give_the_same_bytes(void **state)
{
    (void)state;
    for (int table = 0; table < 2; table++) {
        size_t size = 0;
        unsigned char *bytes =
            table ? saved(table_profile(4.3), true, &size) : NULL;
        struct jpeg_bytes j = with_profile(bytes, size);
        struct measure_result *want = bytes_measured(&j);
        pthread_t thread[2];

        for (int i = 0; i < 2; i++)
            assert_int_equal(
                pthread_create(&thread[i], NULL, measure_in_a_thread, &j), 0);
        for (int i = 0; i < 2; i++) {
            void *got = NULL;

            assert_int_equal(pthread_join(thread[i], &got), 0);
            assert_memory_equal(got, want, sizeof *want);
            free(got);
        }
        free(want);
        free(j.data);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_other_codings_measure_as_the_plain_one),
        cmocka_unit_test(test_red_green_and_blue_are_known_by_either_sign),
        cmocka_unit_test(test_pictures_with_a_table_profile_are_measured),
        cmocka_unit_test(test_profiles_that_do_not_suit_are_refused),
        cmocka_unit_test(test_two_threads_give_the_same_bytes),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
