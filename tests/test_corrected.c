/* src/measure/corrected.c: a copy of a picture as its card corrects it, and
 * the strip below it. */
#include "picture.h"

#include "measure/corrected.h"
#include "measure/strip.h"

static const struct box regions[2] = {{340, 60, 240, 160}, {60, 280, 200, 160}};
static const char *const names[2] = {"skein 4", "skein 17"};

/* A picture too dark and too red, in another space than sRGB. */
static struct picture picture_off(int orientation)
{
    struct picture p = picture_plain();

    p.encoding = ICC_DISPLAY_P3;
    p.embed = true;
    p.exif = EXIF_PLAIN;
    p.orientation = orientation;
    p.exposure = 0.7;
    p.red = 1.15;
    p.blue = 0.9;
    return p;
}

struct copied {
    unsigned char *jpeg;
    size_t size;
    struct measure_result *of; /* the original's result */
};

static void copied_clear(struct copied *c)
{
    free(c->jpeg);
    free(c->of);
}

static struct copied copied(const struct picture *p)
{
    const struct measure_request request = request_for(regions, 2);
    struct copied c = {.of = mem_new(1, sizeof *c.of)};
    struct error err = {0};
    size_t size;
    unsigned char *jpeg = picture_jpeg(p, &size);

    check_ok(measure_jpeg(jpeg, size, &request, c.of, &err), &err);
    check_ok(corrected_jpeg(jpeg, size, &request, c.of, names, &c.jpeg, &c.size,
                            &err),
             &err);
    free(jpeg);
    return c;
}

/* What our own measuring makes of the boxes in a copy; `uncorrected` and
 * `card_before` are its colours as sRGB says them. */
static struct measure_result *read_copy(const struct copied *c,
                                        const struct box *box, size_t n)
{
    struct measure_request request = request_for(box, n);
    struct measure_result *out = mem_new(1, sizeof *out);
    struct error err = {0};

    check_ok(measure_jpeg(c->jpeg, c->size, &request, out, &err), &err);
    return out;
}

static void check_same(const char *row, struct lab got, struct lab want,
                       double tolerance)
{
    if (!(lab_de00(got, want) <= tolerance))
        fail_msg("%s: got %.3f %.3f %.3f, want %.3f %.3f %.3f", row, got.L,
                 got.a, got.b, want.L, want.a, want.b);
}

/* Even areas keep up to half a code of Y, Cb and Cr (docs/colour.md, A3): 0.9
 * of a code of blue, 0.5 in b*, 0.2 in L*; together under 0.6 CIEDE2000 near
 * grey. Measured 0.5 at most. */
static void test_card_and_swatches_read_as_they_are_said_to_be(void **state)
{
    (void)state;
    for (int orientation = 1; orientation <= 8; orientation++) {
        const struct picture p = picture_off(orientation);
        struct copied c = copied(&p);
        const struct strip strip = strip_plan(640, 480, 2);
        struct box box[4] = {regions[0], regions[1], strip_swatch(&strip, 0),
                             strip_swatch(&strip, 1)};
        struct measure_result *r;

        for (int i = 2; i < 4; i++)
            box[i].y += 480;
        r = read_copy(&c, box, 4);
        assert_int_equal(r->width, 640);
        assert_int_equal(r->height, 480 + strip.height);
        assert_int_equal(r->orientation, orientation);
        assert_string_equal(r->rule, "embedded in the picture");
        check_same("card", r->card_before, card_lab, 0.6);
        for (size_t i = 0; i < 4; i++) {
            assert_false(r->region[i].refused);
            check_same(i < 2 ? "skein" : "swatch", r->region[i].uncorrected,
                       c.of->region[i % 2].lab, 0.6);
        }
        assert_true(lab_de00(c.of->card_before, card_lab) > 5);
        free(r);
        copied_clear(&c);
    }
}

static void test_nothing_but_the_orientation_is_left_of_exif(void **state)
{
    const struct picture p = picture_off(6);
    struct copied c = copied(&p), again = copied(&p);
    struct photo photo = {0};
    struct error err = {0};

    (void)state;
    check_ok(photo_open(c.jpeg, c.size, &photo, &err), &err);
    assert_string_equal(photo.make, "");
    assert_string_equal(photo.model, "");
    assert_int_equal(photo.orientation, 6);
    assert_int_equal(photo.notes & PHOTO_NOTE_EXIF_DAMAGED, 0);
    assert_int_equal(photo.icc_state, PHOTO_ICC_WHOLE);
    /* the same bytes at another time */
    assert_int_equal(c.size, again.size);
    assert_memory_equal(c.jpeg, again.jpeg, c.size);
    photo_clear(&photo);
    copied_clear(&c);
    copied_clear(&again);
}

static void test_a_refused_region_has_no_swatch(void **state)
{
    const struct picture p = picture_off(1);
    const struct measure_request request = request_for(regions, 2);
    struct copied c = copied(&p);
    unsigned char *jpeg, *out = NULL;
    struct photo photo = {0};
    struct error err = {0};
    size_t size, n;

    (void)state;
    jpeg = picture_jpeg(&p, &size);
    c.of->region[0].refused = c.of->region[1].refused = true;
    check_ok(corrected_jpeg(jpeg, size, &request, c.of, names, &out, &n, &err),
             &err);
    check_ok(photo_open(out, n, &photo, &err), &err);
    assert_int_equal(photo.height, 480 + strip_plan(640, 480, 0).height);
    photo_clear(&photo);
    free(out);
    free(jpeg);
    copied_clear(&c);
}

static void test_damaged_bytes_give_no_copy(void **state)
{
    const struct picture p = picture_off(1);
    const struct measure_request request = request_for(regions, 2);
    struct copied c = copied(&p);
    struct error err = {0};
    unsigned char *out;
    size_t n;

    (void)state;
    assert_false(corrected_jpeg((const unsigned char *)"GIF89a", 6, &request,
                                c.of, names, &out, &n, &err));
    assert_null(out);
    assert_int_equal(err.kind, ERR_INPUT);
    copied_clear(&c);
}

/* Every swatch lies inside the strip, none over another. */
static void test_swatches_fit_their_strip(void **state)
{
    static const struct {
        uint32_t width, height;
        size_t n;
    } rows[] = {{64, 64, 1},    {64, 64, 256},     {640, 480, 3},
                {480, 640, 30}, {4000, 3000, 256}, {3000, 4000, 12},
                {65500, 64, 2}, {64, 3000, 7}};

    (void)state;
    for (size_t r = 0; r < ARRAY_LEN(rows); r++) {
        const struct strip s =
            strip_plan(rows[r].width, rows[r].height, rows[r].n);

        for (size_t i = 0; i < rows[r].n; i++) {
            const struct box b = strip_swatch(&s, i);

            assert_true(b.x >= 0 && b.x + b.w <= s.width);
            assert_true(b.y >= 0 && b.y + b.h < s.height);
            if (i) {
                const struct box a = strip_swatch(&s, i - 1);

                assert_true(b.x >= a.x + a.w || b.y >= a.y + a.h);
            }
        }
    }
}

/* The red of a pixel on a canvas 60 wide. */
static int at(const unsigned char *rgb, size_t x, size_t y)
{
    return rgb[3 * (y * 60 + x)];
}

/* Ink where the letter "l" has its stem, none to its left; a letter that does
 * not fit is not begun. */
static void test_letters_leave_ink(void **state)
{
    static const unsigned char ink[3] = {0, 0, 0}, paper[3] = {255, 255, 255};
    unsigned char rgb[3 * 60 * 40];
    const struct canvas canvas = {60, 40, rgb};
    size_t dark = 0;

    (void)state;
    canvas_fill(&canvas, 0, 0, 60, 40, paper);
    letters_draw(&canvas, 4, 4, 4, 30, "ll\xC3\xA9", ink);
    assert_int_equal(at(rgb, 12, 14), 0);  /* x 2, y 2.5 of its box */
    assert_int_equal(at(rgb, 5, 14), 255); /* x 0.3 */
    for (size_t y = 0; y < 40; y++)
        for (size_t x = 28; x < 60; x++)
            dark += at(rgb, x, y) < 128;
    assert_int_equal(dark, 0); /* the first began at 4, the next at 27.2 */
    letters_draw(&canvas, -100, -100, 4, 1000, "clipped everywhere", ink);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_card_and_swatches_read_as_they_are_said_to_be),
        cmocka_unit_test(test_nothing_but_the_orientation_is_left_of_exif),
        cmocka_unit_test(test_a_refused_region_has_no_swatch),
        cmocka_unit_test(test_damaged_bytes_give_no_copy),
        cmocka_unit_test(test_swatches_fit_their_strip),
        cmocka_unit_test(test_letters_leave_ink),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
