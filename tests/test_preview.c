/* src/photo/preview.c: the small copies that pages show. */
#include "support.h"

#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "jpeg_make.h"
#include "photo/preview.h"

struct picture {
    struct photo photo;
    unsigned char *rgb;
};

static bool take(void *self, const unsigned char *rgb, uint32_t y)
{
    struct picture *p = self;
    const size_t n = 3 * (size_t)p->photo.width;

    memcpy(p->rgb + n * y, rgb, n);
    return true;
}

static struct picture picture_of(const unsigned char *data, size_t size)
{
    struct picture p = {0};
    struct photo_decoded decoded;
    struct error err = {0};

    if (!photo_open(data, size, &p.photo, &err))
        fail_msg("%s", err.text);
    p.rgb = mem_new((size_t)p.photo.width * p.photo.height, 3);
    if (!photo_decode(&p.photo, data, size, take, &p, &decoded, &err))
        fail_msg("%s", err.text);
    return p;
}

static void picture_clear(struct picture *p)
{
    photo_clear(&p->photo);
    free(p->rgb);
}

static struct picture preview_of(const unsigned char *data, size_t size,
                                 uint32_t longest)
{
    unsigned char *small;
    size_t small_size;
    struct error err = {0};
    struct picture p;

    if (!photo_preview(data, size, longest, &small, &small_size, &err))
        fail_msg("%s", err.text);
    p = picture_of(small, small_size);
    free(small);
    return p;
}

/* Which stored pixel is shown at upright X, Y: Exif 2.32, 4.6.4 A. */
static const unsigned char *shown_at(const struct picture *p, int64_t X,
                                     int64_t Y)
{
    const int64_t W = p->photo.width, H = p->photo.height;
    const int64_t to[9][2] = {
        {0, 0},         {X, Y}, {W - 1 - X, Y}, {W - 1 - X, H - 1 - Y},
        {X, H - 1 - Y}, {Y, X}, {Y, H - 1 - X}, {W - 1 - Y, H - 1 - X},
        {W - 1 - Y, X}};
    const int64_t *at = to[p->photo.orientation];

    return p->rgb + 3 * (at[1] * W + at[0]);
}

static struct jpeg_bytes turned(unsigned orientation)
{
    struct jpeg_bytes j = jpeg_plain();
    const struct exif_field field = {
        .tag = 0x112, .type = 3, .count = 1, .n = {orientation}};
    unsigned char body[256];

    jpeg_add(&j, 0xE1, body, exif_make(false, &field, 1, body, sizeof body));
    return j;
}

/* Two codes is what writing it anew at its quality costs, on the whole; a
 * picture turned the wrong way is some twenty off. */
static void test_a_copy_lies_upright(void **state)
{
    (void)state;
    for (unsigned o = 1; o <= 8; o++) {
        struct jpeg_bytes j = turned(o);
        struct picture was = picture_of(j.data, j.size);
        struct picture is = preview_of(j.data, j.size, 96);
        uint32_t width, height;
        double off = 0;

        assert_int_equal(was.photo.orientation, o);
        assert_int_equal(is.photo.orientation, 1);
        photo_upright_size(&was.photo, &width, &height);
        assert_int_equal(is.photo.width, width);
        assert_int_equal(is.photo.height, height);
        for (uint32_t y = 0; y < height; y++)
            for (uint32_t x = 0; x < width; x++)
                for (int c = 0; c < 3; c++)
                    off += abs(is.rgb[3 * (y * (size_t)width + x) + c] -
                               shown_at(&was, x, y)[c]);
        off /= 3.0 * width * height;
        if (off > 5)
            fail_msg("orientation %u: %.1f codes off", o, off);
        picture_clear(&is);
        picture_clear(&was);
        free(j.data);
    }
}

static void test_a_copy_is_no_larger_than_asked(void **state)
{
    static const struct {
        unsigned w, h;
        uint32_t longest;
        unsigned want_w, want_h;
    } rows[] = {
        {1600, 1200, 1600, 1600, 1200}, {1600, 1200, 1599, 800, 600},
        {1601, 1203, 480, 401, 301},    {1200, 1600, 480, 300, 400},
        {1600, 1200, 100, 200, 150}, /* an eighth is the smallest */
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct jpeg_recipe recipe = {
            .width = rows[i].w, .height = rows[i].h, .h = 2, .v = 2};
        struct jpeg_bytes j = jpeg_make(&recipe);
        struct picture p = preview_of(j.data, j.size, rows[i].longest);

        assert_int_equal(p.photo.width, rows[i].want_w);
        assert_int_equal(p.photo.height, rows[i].want_h);
        picture_clear(&p);
        free(j.data);
    }
}

/* The profile stays, or the colours on the screen would change; where and with
 * what it was taken does not go out. */
static void test_a_copy_keeps_the_profile_and_no_exif(void **state)
{
    unsigned char *data;
    size_t size;
    struct error err = {0};
    struct photo photo = {0};
    struct picture p;

    (void)state;
    if (!file_load("fixtures/tansy-iron.jpg", PHOTO_MAX_BYTES, &data, &size,
                   &err) ||
        !photo_open(data, size, &photo, &err))
        fail_msg("%s", err.text);
    p = preview_of(data, size, 480);
    assert_true(photo.icc_size > 0 && *photo.make);
    assert_int_equal(p.photo.icc_size, photo.icc_size);
    assert_memory_equal(p.photo.icc, photo.icc, photo.icc_size);
    assert_string_equal(p.photo.make, "");
    assert_string_equal(p.photo.taken, "");
    picture_clear(&p);
    photo_clear(&photo);
    free(data);
}

static void test_what_is_no_photo_is_refused(void **state)
{
    struct jpeg_bytes j = jpeg_plain();
    unsigned char *out;
    size_t size;
    struct error err = {0};

    (void)state;
    assert_false(photo_preview(j.data, 100, 480, &out, &size, &err));
    assert_int_equal(err.kind, ERR_INPUT);
    assert_null(out);
    free(j.data);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_a_copy_lies_upright),
        cmocka_unit_test(test_a_copy_is_no_larger_than_asked),
        cmocka_unit_test(test_a_copy_keeps_the_profile_and_no_exif),
        cmocka_unit_test(test_what_is_no_photo_is_refused),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
