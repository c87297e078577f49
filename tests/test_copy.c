/* Copies of photos to be handed on: the colour is all there, and whose and
 * where it was is not. */
#include "support.h"

#include <stdlib.h>
#include <string.h>

#include "jpeg_make.h"
#include "photo/copy.h"

enum { TEXT = 2, SHORT = 3, RATIONAL = 5, UNDEFINED = 7 };

/* Every word that must not be found in a copy has this in it. */
#define SECRET "Velvet Wood"

/* Tags by Exif 2.32 tables 4, 7, 15 and, of XP..., common practice. */
static const struct exif_field fields[] = {
    {EXIF_IFD0, 0x010E, TEXT, 0, "at " SECRET, {0}},
    {EXIF_IFD0, 0x010F, TEXT, 0, "Meadow", {0}},
    {EXIF_IFD0, 0x0110, TEXT, 0, "Box 3", {0}},
    {EXIF_IFD0, 0x0112, SHORT, 1, NULL, {6}},
    {EXIF_IFD0, 0x0131, TEXT, 0, "1.0", {0}},
    {EXIF_IFD0, 0x013B, TEXT, 0, "Artist of " SECRET, {0}},
    {EXIF_IFD0, 0x8298, TEXT, 0, "(c) " SECRET, {0}},
    {EXIF_SUB, 0x829A, RATIONAL, 1, NULL, {1, 125}},
    {EXIF_SUB, 0x829D, RATIONAL, 1, NULL, {28, 10}},
    {EXIF_SUB, 0x8827, SHORT, 1, NULL, {200}},
    {EXIF_SUB, 0x9003, TEXT, 0, "2026:05:03 14:05:06", {0}},
    {EXIF_SUB, 0x927C, UNDEFINED, 16, "maker " SECRET, {0}},
    {EXIF_SUB, 0x9286, UNDEFINED, 16, "hello " SECRET, {0}},
    {EXIF_SUB, 0xA001, SHORT, 1, NULL, {65535}},
    {EXIF_SUB, 0xA401, SHORT, 1, NULL, {1}},
    {EXIF_SUB, 0xA406, SHORT, 1, NULL, {2}},
    {EXIF_SUB, 0xA408, SHORT, 1, NULL, {1}},
    {EXIF_SUB, 0xA409, SHORT, 1, NULL, {2}},
    {EXIF_SUB, 0xA430, TEXT, 0, "owner " SECRET, {0}},
    {EXIF_SUB, 0xA431, TEXT, 0, "serial " SECRET, {0}},
    {EXIF_GPS, 0x0002, RATIONAL, 3, NULL, {60, 1, 10, 1, 0, 1}},
    {EXIF_GPS, 0x001B, TEXT, 0, "found at " SECRET, {0}},
    {EXIF_INTEROP, 0x0001, TEXT, 0, "R03", {0}},
};

static bool holds(const unsigned char *data, size_t size, const char *word)
{
    const size_t n = strlen(word);

    for (size_t i = 0; i + n <= size; i++)
        if (!memcmp(data + i, word, n))
            return true;
    return false;
}

/* A photo with secrets in every place that there is for them. */
static struct jpeg_bytes secretive(const struct jpeg_recipe *recipe, bool big)
{
    static const char xmp[] =
        "http://ns.adobe.com/xap/1.0/\0<x exif:GPSLatitude=\"" SECRET "\"/>";
    static const char iptc[] = "Photoshop 3.0\0" SECRET;
    struct jpeg_bytes j = jpeg_make(recipe);
    unsigned char body[2048];

    jpeg_add(&j, 0xFE, SECRET, sizeof SECRET);
    jpeg_add(&j, 0xED, iptc, sizeof iptc);
    jpeg_add(&j, 0xE1, xmp, sizeof xmp - 1);
    jpeg_add(&j, 0xE1, body,
             exif_make(big, fields, ARRAY_LEN(fields), body, sizeof body));
    jpeg_insert(&j, j.size, "behind: " SECRET, 20);
    assert_true(holds(j.data, j.size, SECRET));
    return j;
}

static struct jpeg_bytes copy_of(const struct jpeg_bytes *j)
{
    struct jpeg_bytes c = {0};
    struct error err;

    check_ok(photo_copy(j->data, j->size, &c.data, &c.size, &err), &err);
    return c;
}

struct sum {
    uint64_t sum;
    uint32_t width, rows;
};

static bool add_row(void *self, const unsigned char *rgb, uint32_t y)
{
    struct sum *s = self;

    (void)y;
    for (uint32_t i = 0; i < 3 * s->width; i++)
        s->sum = s->sum * 1099511628211u + rgb[i];
    s->rows++;
    return true;
}

static struct sum pixels(const struct jpeg_bytes *j)
{
    struct photo p = photo_opens("pixels", j);
    struct sum s = {.width = p.width};
    struct photo_decoded d;
    struct error err;

    check_ok(photo_decode(&p, j->data, j->size, add_row, &s, &d, &err), &err);
    assert_int_equal(s.rows, p.height);
    photo_clear(&p);
    return s;
}

static const struct jpeg_recipe recipes[] = {
    {0},
    {.progressive = true},
    {.restart_mcus = 3},
    {.separate_scans = true},
    {.h = 2, .v = 2},
    {.rgb = true},
};

static void test_a_copy_has_the_same_pixels_and_no_secret(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(recipes); i++)
        for (int big = 0; big < 2; big++) {
            struct jpeg_bytes j = secretive(&recipes[i], big), c = copy_of(&j);

            assert_false(holds(c.data, c.size, SECRET));
            assert_true(pixels(&j).sum == pixels(&c).sum);
            free(j.data);
            free(c.data);
        }
}

static void test_a_copy_says_the_same_of_its_colour(void **state)
{
    (void)state;
    for (int big = 0; big < 2; big++) {
        struct jpeg_bytes j = secretive(&recipes[0], big), c = copy_of(&j);
        struct photo was = photo_opens("original", &j);
        struct photo is = photo_opens("copy", &c);

        check_text("make", is.make, was.make);
        check_text("model", is.model, was.model);
        check_text("software", is.software, was.software);
        check_text("taken", is.taken, "2026-05-03 14:05:06");
        check_near("exposure", is.exposure_s, was.exposure_s, 1e-12);
        check_near("aperture", is.f_number, was.f_number, 1e-9);
        check_near("ISO", is.iso, was.iso, 0);
        assert_int_equal(is.orientation, 6);
        assert_int_equal(is.exif_space, PHOTO_EXIF_ADOBE_RGB);
        assert_int_equal(is.scene, 2);
        assert_int_equal(is.contrast, 1);
        assert_int_equal(is.saturation, 2);
        assert_true(is.notes & PHOTO_NOTE_RENDERED);
        assert_true(was.has_gps);
        assert_false(is.has_gps);
        photo_clear(&was);
        photo_clear(&is);
        free(j.data);
        free(c.data);
    }
}

/* It may be handed on further and still be known by its hash. */
static void test_a_copy_of_a_copy_is_the_same_bytes(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(recipes); i++) {
        struct jpeg_bytes j = secretive(&recipes[i], true), c = copy_of(&j);
        struct jpeg_bytes again = copy_of(&c);

        assert_int_equal(again.size, c.size);
        assert_memory_equal(again.data, c.data, c.size);
        free(j.data);
        free(c.data);
        free(again.data);
    }
}

/* The profile is what a colour is read by. */
static void test_a_copy_keeps_its_profile(void **state)
{
    static const char icc[] = "ICC_PROFILE\0\1\1 not judged here";
    struct jpeg_bytes j = jpeg_plain(), c;
    struct photo p;

    (void)state;
    jpeg_add(&j, 0xE2, icc, sizeof icc - 1);
    c = copy_of(&j);
    p = photo_opens("profile", &c);
    assert_int_equal(p.icc_state, PHOTO_ICC_WHOLE);
    assert_int_equal(p.icc_size, sizeof icc - 1 - 14);
    photo_clear(&p);
    free(j.data);
    free(c.data);
}

static void test_what_is_no_photo_is_refused(void **state)
{
    struct error err = {0};
    unsigned char *out = NULL;
    size_t size;

    (void)state;
    assert_false(
        photo_copy((const unsigned char *)"GIF89a", 6, &out, &size, &err));
    assert_int_equal(err.kind, ERR_INPUT);
    assert_null(out);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_a_copy_has_the_same_pixels_and_no_secret),
        cmocka_unit_test(test_a_copy_says_the_same_of_its_colour),
        cmocka_unit_test(test_a_copy_of_a_copy_is_the_same_bytes),
        cmocka_unit_test(test_a_copy_keeps_its_profile),
        cmocka_unit_test(test_what_is_no_photo_is_refused),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
