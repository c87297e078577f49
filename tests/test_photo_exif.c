/* Exif: the fields that matter, in both byte orders, and the ways they lie. */
#include "support.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "jpeg_make.h"
#include "photo/exif.h"
#include "photo/photo.h"

enum { BYTE = 1, TEXT = 2, SHORT = 3, LONG = 4, RATIONAL = 5 };

#define ODD PHOTO_NOTE_ORIENTATION_ODD

/* A photo with these fields in one Exif segment. */
static struct photo with_fields(const char *row, bool big,
                                const struct exif_field *field, size_t n)
{
    struct jpeg_bytes j = jpeg_plain();
    unsigned char body[2048];
    struct photo p;

    jpeg_add(&j, 0xE1, body, exif_make(big, field, n, body, sizeof body));
    p = photo_opens(row, &j);
    free(j.data);
    return p;
}

static void test_orientation_is_read_or_taken_as_upright(void **state)
{
    static const struct {
        const char *row;
        struct exif_field f;
        int want;
        unsigned notes;
    } rows[] = {
        {"0", {.type = SHORT, .count = 1, .n = {0}}, 1, ODD},
        {"1", {.type = SHORT, .count = 1, .n = {1}}, 1, 0},
        {"2", {.type = SHORT, .count = 1, .n = {2}}, 2, 0},
        {"3", {.type = SHORT, .count = 1, .n = {3}}, 3, 0},
        {"4", {.type = SHORT, .count = 1, .n = {4}}, 4, 0},
        {"5", {.type = SHORT, .count = 1, .n = {5}}, 5, 0},
        {"6", {.type = SHORT, .count = 1, .n = {6}}, 6, 0},
        {"7", {.type = SHORT, .count = 1, .n = {7}}, 7, 0},
        {"8", {.type = SHORT, .count = 1, .n = {8}}, 8, 0},
        {"9", {.type = SHORT, .count = 1, .n = {9}}, 1, ODD},
        {"65535", {.type = SHORT, .count = 1, .n = {65535}}, 1, ODD},
        {"long 6", {.type = LONG, .count = 1, .n = {6}}, 6, 0},
        {"long 65542", {.type = LONG, .count = 1, .n = {65542}}, 1, ODD},
        {"two shorts", {.type = SHORT, .count = 2, .n = {8, 1}}, 8, 0},
        {"text", {.type = TEXT, .text = "6"}, 1, ODD},
        {"byte", {.type = BYTE, .count = 1, .text = "\6"}, 1, ODD},
        {"rational", {.type = RATIONAL, .count = 1, .n = {6, 1}}, 1, ODD},
        {"no such type", {.type = 99, .count = 1, .text = "\6"}, 1, ODD},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        for (int big = 0; big < 2; big++) {
            struct exif_field f = rows[i].f;
            f.tag = 0x0112;
            struct photo p = with_fields(rows[i].row, big, &f, 1);
            check_near(rows[i].row, p.orientation, rows[i].want, 0);
            check_near(rows[i].row, p.notes,
                       rows[i].notes | PHOTO_NOTE_NO_CAMERA, 0);
            photo_clear(&p);
        }
}

static void test_a_camera_s_fields_are_read_in_both_byte_orders(void **state)
{
    static const struct exif_field fields[] = {
        {EXIF_IFD0, 0x010F, TEXT, 0, "Meadow  ", {0}},
        {EXIF_IFD0, 0x0110, TEXT, 0, "Box Camera 3\n", {0}},
        {EXIF_IFD0, 0x0112, SHORT, 1, NULL, {6}},
        {EXIF_IFD0, 0x0131, TEXT, 0, "1.04", {0}},
        {EXIF_SUB, 0x829A, RATIONAL, 1, NULL, {1, 125}},
        {EXIF_SUB, 0x829D, RATIONAL, 1, NULL, {28, 10}},
        {EXIF_SUB, 0x8827, SHORT, 1, NULL, {200}},
        {EXIF_SUB, 0x9003, TEXT, 0, "2026:05:03 14:05:06", {0}},
        {EXIF_SUB, 0xA001, SHORT, 1, NULL, {1}},
        {EXIF_SUB, 0xA401, SHORT, 1, NULL, {0}},
        {EXIF_GPS, 0x0002, RATIONAL, 3, NULL, {60, 1, 10, 1, 0, 1}},
        {EXIF_INTEROP, 0x0001, TEXT, 0, "R98", {0}},
    };

    (void)state;
    for (int big = 0; big < 2; big++) {
        struct photo p = with_fields("camera", big, fields, ARRAY_LEN(fields));
        check_text("make", p.make, "Meadow");
        check_text("model", p.model, "Box Camera 3");
        check_text("software", p.software, "1.04");
        check_text("taken", p.taken, "2026-05-03 14:05:06");
        check_near("exposure", p.exposure_s, 0.008, 1e-15);
        check_near("aperture", p.f_number, 2.8, 1e-15);
        check_near("ISO", p.iso, 200, 0);
        assert_int_equal(p.orientation, 6);
        assert_int_equal(p.exif_space, PHOTO_EXIF_SRGB);
        assert_true(p.has_gps);
        assert_int_equal(p.notes, 0);
        photo_clear(&p);
    }
}

/* The rules of which profile to take when there is none in the file. */
static void test_colour_space_is_judged_from_all_that_exif_says(void **state)
{
    static const struct exif_field none = {
        .tag = 0xC000, .type = SHORT, .count = 1};
    static const struct exif_field r03 = {EXIF_INTEROP, 1, TEXT, 0, "R03", {0}};
    static const struct exif_field r98 = {EXIF_INTEROP, 1, TEXT, 0, "R98", {0}};
    static const struct exif_field adobe_primaries = {
        EXIF_IFD0, 0x013F,
        RATIONAL,  6,
        NULL,      {64, 100, 33, 100, 21, 100, 71, 100, 15, 100, 6, 100}};
    static const struct exif_field srgb_primaries = {
        EXIF_IFD0, 0x013F,
        RATIONAL,  6,
        NULL,      {64, 100, 33, 100, 30, 100, 60, 100, 15, 100, 6, 100}};
    static const struct {
        const char *row;
        int space; /* -1: not said */
        const struct exif_field *beside;
        enum photo_exif_space want;
    } rows[] = {
        {"nothing", -1, &none, PHOTO_EXIF_NOTHING},
        {"1", 1, &none, PHOTO_EXIF_SRGB},
        {"2", 2, &none, PHOTO_EXIF_ADOBE_RGB},
        {"65535", 65535, &none, PHOTO_EXIF_UNCALIBRATED},
        {"65535 R03", 65535, &r03, PHOTO_EXIF_ADOBE_RGB},
        {"65535 R98", 65535, &r98, PHOTO_EXIF_UNCALIBRATED},
        {"65535, Adobe primaries", 65535, &adobe_primaries,
         PHOTO_EXIF_ADOBE_RGB},
        {"65535, sRGB primaries", 65535, &srgb_primaries,
         PHOTO_EXIF_UNCALIBRATED},
        {"1 R03", 1, &r03, PHOTO_EXIF_ADOBE_RGB},
        {"only R03", -1, &r03, PHOTO_EXIF_ADOBE_RGB},
        {"only R98", -1, &r98, PHOTO_EXIF_SRGB},
        {"0", 0, &none, PHOTO_EXIF_UNCALIBRATED},
        {"1, Adobe primaries", 1, &adobe_primaries, PHOTO_EXIF_ADOBE_RGB},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct exif_field f[2] = {
            *rows[i].beside,
            {EXIF_SUB, 0xA001, SHORT, 1, NULL, {(uint32_t)rows[i].space}}};
        struct photo p =
            with_fields(rows[i].row, true, f, rows[i].space < 0 ? 1 : 2);
        check_near(rows[i].row, p.exif_space, rows[i].want, 0);
        assert_false(p.notes & PHOTO_NOTE_STRIPPED);
        photo_clear(&p);
    }
}

static void test_moments_that_never_were_are_left_out(void **state)
{
    static const struct {
        const char *said, *want;
    } rows[] = {
        {"2026:05:03 14:05:06", "2026-05-03 14:05:06"},
        {"2024:02:29 00:00:00", "2024-02-29 00:00:00"},
        {"2026:12:31 23:59:60", "2026-12-31 23:59:60"},
        {"0000:00:00 00:00:00", ""},
        {"    :  :     :  :  ", ""},
        {"2026:13:01 00:00:00", ""},
        {"2026:02:30 00:00:00", ""},
        {"2026:05:03 24:00:00", ""},
        {"2026:05:03T14:05:06", ""},
        {"2026-05-03 14:05:06", ""},
        {"2026:05:03", ""},
        {"", ""},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct exif_field f = {EXIF_SUB, 0x9003, TEXT, 0, rows[i].said, {0}};
        struct photo p = with_fields(rows[i].said, false, &f, 1);
        check_text(rows[i].said, p.taken, rows[i].want);
        photo_clear(&p);
    }
}

static void test_names_become_printable(void **state)
{
    static const struct {
        const char *row, *said, *want;
    } rows[] = {
        {"blanks", "  Box  ", "Box"},
        {"controls", "a\tb\x1B[31mc\x7F", "a b [31mc"},
        {"UTF-8", "K\xC3\xA4the", "K\xC3\xA4the"},
        {"Latin-1", "K\xE4the", "K?the"},
        {"cut character", "K\xC3", "K?"},
        {"C1 control",
         "a\xC2\x9B"
         "31m",
         "a 31m"},
        {"surrogate", "\xED\xA0\x80", "???"},
        {"overlong", "\xC0\xAF", "??"},
        {"beyond U+10FFFF", "\xF4\x90\x80\x80", "????"},
        {"four bytes", "\xF0\x9F\x90\x91", "\xF0\x9F\x90\x91"},
        {"64 bytes are cut",
         "0123456789012345678901234567890123456789012345678901234567890123456",
         "012345678901234567890123456789012345678901234567890123456789012"},
        {"cut at a whole character",
         "01234567890123456789012345678901234567890123456789012345678901"
         "\xC3\xA4",
         "01234567890123456789012345678901234567890123456789012345678901"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct exif_field f = {EXIF_IFD0, 0x0110, TEXT, 0, rows[i].said, {0}};
        struct photo p = with_fields(rows[i].row, false, &f, 1);
        check_text(rows[i].row, p.model, rows[i].want);
        photo_clear(&p);
    }
}

static void test_numbers_that_say_nothing_are_not_numbers(void **state)
{
    static const struct exif_field fields[] = {
        {EXIF_SUB, 0x829A, RATIONAL, 1, NULL, {1, 0}},
        {EXIF_SUB, 0x829D, RATIONAL, 1, NULL, {0, 1}},
        {EXIF_SUB, 0x8827, SHORT, 1, NULL, {0}},
        {EXIF_GPS, 0x0002, RATIONAL, 3, NULL, {0}},
        {EXIF_GPS, 0x0007, RATIONAL, 3, NULL, {13, 1}},
    };
    struct photo p = with_fields("noughts", true, fields, ARRAY_LEN(fields));

    (void)state;
    assert_true(isnan(p.exposure_s) && isnan(p.f_number) && isnan(p.iso));
    assert_false(p.has_gps);
    assert_int_equal(p.notes, PHOTO_NOTE_NO_CAMERA);
    photo_clear(&p);
}

static void test_editors_and_special_modes_are_noted(void **state)
{
    static const struct {
        const char *software;
        uint32_t rendered;
        unsigned notes;
    } rows[] = {
        {"GIMP 2.10.32", 0, PHOTO_NOTE_EDITED},
        {"Adobe Photoshop 21.0 (Windows)", 0, PHOTO_NOTE_EDITED},
        {"18.7.1", 0, 0},
        {"J327T1UVS4ASH2", 0, 0},
        {"HDR+ 1.0.621982163zd", 1, PHOTO_NOTE_RENDERED},
        {"V 05.50", 8, PHOTO_NOTE_RENDERED},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct exif_field f[] = {
            {EXIF_IFD0, 0x010F, TEXT, 0, "Meadow", {0}},
            {EXIF_IFD0, 0x0131, TEXT, 0, rows[i].software, {0}},
            {EXIF_SUB, 0xA401, SHORT, 1, NULL, {rows[i].rendered}}};
        struct photo p = with_fields(rows[i].software, false, f, 3);
        check_near(rows[i].software, p.notes, rows[i].notes, 0);
        photo_clear(&p);
    }
}

/* Exif 2.32, 4.6.5: SceneCaptureType, Contrast, Saturation. */
static void test_how_the_camera_was_set_to_render_is_read(void **state)
{
    const struct exif_field f[] = {{EXIF_IFD0, 0x0110, TEXT, 0, "Oravis", {0}},
                                   {EXIF_SUB, 0xA406, SHORT, 1, NULL, {3}},
                                   {EXIF_SUB, 0xA408, SHORT, 1, NULL, {2}},
                                   {EXIF_SUB, 0xA409, SHORT, 1, NULL, {1}}};
    struct photo p = with_fields("settings", false, f, ARRAY_LEN(f));

    (void)state;
    assert_int_equal(p.scene, 3);
    assert_int_equal(p.contrast, 2);
    assert_int_equal(p.saturation, 1);
    photo_clear(&p);
    p = with_fields("unsaid", false, f, 1);
    assert_int_equal(p.scene, 0);
    assert_int_equal(p.contrast, 0);
    assert_int_equal(p.saturation, 0);
    photo_clear(&p);
}

static void test_of_two_exif_segments_the_first_is_used(void **state)
{
    static const struct exif_field
        first = {.tag = 0x0112, .type = SHORT, .count = 1, .n = {6}},
        second = {.tag = 0x0112, .type = SHORT, .count = 1, .n = {8}};
    struct jpeg_bytes j = jpeg_plain();
    unsigned char body[200];
    struct photo p;

    (void)state;
    jpeg_add(&j, 0xE1, body, exif_make(false, &second, 1, body, sizeof body));
    jpeg_add(&j, 0xE1, body, exif_make(true, &first, 1, body, sizeof body));
    p = photo_opens("two Exif", &j);
    assert_int_equal(p.orientation, 6);
    assert_int_equal(p.notes, PHOTO_NOTE_EXIF_TWICE | PHOTO_NOTE_NO_CAMERA);
    photo_clear(&p);
    free(j.data);
}

/* A sound Exif with an orientation of 6, its bytes in TIFF offsets: header
 * 0..7, directory at 8: count, one field at 10, next directory at 22. */
static size_t small_exif(unsigned char out[64])
{
    static const struct exif_field f = {
        .tag = 0x0112, .type = SHORT, .count = 1, .n = {6}};

    return exif_make(false, &f, 1, out, 64) - 6;
}

static void test_damaged_exif_is_noted_and_the_rest_read(void **state)
{
    static const struct {
        const char *row;
        int at; /* in the TIFF part; its length when it is to be cut */
        const char *bytes;
        int n;
        int turn; /* what is still read */
    } rows[] = {
        {"byte order XX", 0, "XX", 2, 0},
        {"byte order IM", 0, "IM", 2, 0},
        {"byte order turned round", 0, "MM", 2, 0},
        {"not 42", 2, "\x2B", 1, 0},
        {"directory outside", 4, "\xFF\xFF\xFF\x7F", 4, 0},
        {"directory at the very end", 4, "\x1A\0\0\0", 4, 0},
        {"more fields than bytes", 8, "\xFF\xFF", 2, 6},
        {"next directory is itself", 22, "\x08\0\0\0", 4, 6},
        {"cut in the header", 7, NULL, 0, 0},
        {"cut in the field", 20, NULL, 0, 0},
        {"empty", 0, NULL, 0, 0},
        {"directory pointer to itself", 10, "\x69\x87\4\0\1\0\0\0\x08\0\0\0",
         12, 0},
        {"directory pointer outside", 10, "\x69\x87\4\0\1\0\0\0\0\0\1\0", 12,
         0},
        {"directory pointer of text", 10, "\x69\x87\2\0\1\0\0\0\x08\0\0\0", 12,
         0},
        {"text outside", 10, "\x0F\1\2\0\x40\0\0\0\x0A\0\0\0", 12, 0},
        {"text of 4 GB", 10, "\x0F\1\2\0\xFF\xFF\xFF\xFF\x0A\0\0\0", 12, 0},
        {"text of a huge type", 10, "\x0F\1\x0C\0\0\0\0\x20\x0A\0\0\0", 12, 0},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        unsigned char body[64], *tight;
        size_t n = small_exif(body);
        if (rows[i].bytes)
            memcpy(body + 6 + rows[i].at, rows[i].bytes, (size_t)rows[i].n);
        else
            n = (size_t)rows[i].at;
        /* A block of its own, so that one byte too far is seen. */
        tight = mem_new(n, 1);
        memcpy(tight, body + 6, n);
        struct exif e = exif_read(tight, n);
        free(tight);
        check_near(rows[i].row, e.damaged, true, 0);
        check_near(rows[i].row, e.orientation, rows[i].turn, 0);
        check_text(rows[i].row, e.make, "");
    }
}

static void test_damaged_exif_does_not_stop_the_photo(void **state)
{
    struct jpeg_bytes j = jpeg_plain();
    struct photo p;

    (void)state;
    jpeg_add(&j, 0xE1, "Exif\0\0XX*\0\x08\0\0\0", 14);
    p = photo_opens("garbage", &j);
    assert_int_equal(p.notes, PHOTO_NOTE_EXIF_DAMAGED | PHOTO_NOTE_NO_CAMERA);
    assert_int_equal(p.orientation, 1);
    photo_clear(&p);
    free(j.data);
}

/* 65 kB of fields, each of them worth a look: only so many get one. */
static void test_a_directory_of_thousands_of_fields_is_given_up(void **state)
{
    unsigned char *body = mem_new(65533, 1);
    struct exif e;

    (void)state;
    memcpy(body, "MM\0*\0\0\0\x08\x15\x53", 10); /* 5459 fields */
    for (size_t at = 10; at + 12 <= 65533; at += 12)
        memcpy(body + at, "\x01\x0F\0\2\0\0\xFF\0\0\0\0\0", 12);
    e = exif_read(body, 65533);
    assert_true(e.damaged);
    free(body);
}

/* Every byte of a rich Exif changed in turn: nothing reads outside. */
static void test_any_changed_byte_is_survived(void **state)
{
    static const struct exif_field fields[] = {
        {EXIF_IFD0, 0x010F, TEXT, 0, "Meadow", {0}},
        {EXIF_IFD0, 0x0112, SHORT, 1, NULL, {6}},
        {EXIF_SUB, 0x829A, RATIONAL, 1, NULL, {1, 125}},
        {EXIF_SUB, 0x9003, TEXT, 0, "2026:05:03 14:05:06", {0}},
        {EXIF_GPS, 0x0002, RATIONAL, 3, NULL, {60, 1, 10, 1, 0, 1}},
        {EXIF_INTEROP, 0x0001, TEXT, 0, "R98", {0}},
    };
    static const unsigned char values[] = {0x00, 0x01, 0x7F, 0x80, 0xFF};
    unsigned char body[512];
    int damaged = 0;

    (void)state;
    for (int big = 0; big < 2; big++) {
        size_t n = exif_make(big, fields, ARRAY_LEN(fields), body, 512) - 6;
        unsigned char *tight = mem_new(n, 1);
        for (size_t i = 0; i < n * ARRAY_LEN(values); i++) {
            memcpy(tight, body + 6, n);
            tight[i / ARRAY_LEN(values)] = values[i % ARRAY_LEN(values)];
            struct exif e = exif_read(tight, n);
            assert_true(e.orientation >= -1 && e.orientation <= 8);
            assert_true(strlen(e.make) < sizeof e.make);
            damaged += e.damaged;
        }
        free(tight);
    }
    assert_true(damaged > 100);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_orientation_is_read_or_taken_as_upright),
        cmocka_unit_test(test_a_camera_s_fields_are_read_in_both_byte_orders),
        cmocka_unit_test(test_colour_space_is_judged_from_all_that_exif_says),
        cmocka_unit_test(test_moments_that_never_were_are_left_out),
        cmocka_unit_test(test_names_become_printable),
        cmocka_unit_test(test_numbers_that_say_nothing_are_not_numbers),
        cmocka_unit_test(test_editors_and_special_modes_are_noted),
        cmocka_unit_test(test_how_the_camera_was_set_to_render_is_read),
        cmocka_unit_test(test_of_two_exif_segments_the_first_is_used),
        cmocka_unit_test(test_damaged_exif_is_noted_and_the_rest_read),
        cmocka_unit_test(test_damaged_exif_does_not_stop_the_photo),
        cmocka_unit_test(test_a_directory_of_thousands_of_fields_is_given_up),
        cmocka_unit_test(test_any_changed_byte_is_survived),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
