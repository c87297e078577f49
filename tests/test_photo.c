/*
 * What a JPEG says of itself: frames, further pictures, refusals,
 * and where a box of the upright picture lies in the stored one.
 */
#include "support.h"

#include <fcntl.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "jpeg_make.h"
#include "photo/photo.h"

static void test_a_plain_photo_says_its_size_and_sampling(void **state)
{
    static const struct {
        const char *row;
        struct jpeg_recipe recipe;
        int mcu_w, mcu_h, chroma_h, chroma_v;
    } rows[] = {
        {"4:4:4", {.h = 1, .v = 1}, 8, 8, 1, 1},
        {"4:2:2", {.h = 2, .v = 1}, 16, 8, 2, 1},
        {"4:2:0", {.h = 2, .v = 2}, 16, 16, 2, 2},
        {"4:4:0", {.h = 1, .v = 2}, 8, 16, 1, 2},
        {"4:1:1", {.h = 4, .v = 1}, 32, 8, 4, 1},
        {"4:1:0", {.h = 4, .v = 2}, 32, 16, 4, 2},
        {"3x1", {.h = 3, .v = 1}, 24, 8, 3, 1},
        {"progressive", {.progressive = true, .h = 2, .v = 2}, 16, 16, 2, 2},
        {"arithmetic", {.arithmetic = true}, 8, 8, 1, 1},
        {"RGB", {.rgb = true}, 8, 8, 1, 1},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct jpeg_bytes j = jpeg_make(&rows[i].recipe);
        struct photo p = photo_opens(rows[i].row, &j);
        assert_int_equal(p.width, 96);
        assert_int_equal(p.height, 80);
        assert_int_equal(p.components, 3);
        assert_int_equal(p.orientation, 1);
        assert_int_equal(p.progressive, rows[i].recipe.progressive);
        check_near(rows[i].row, p.mcu_w, rows[i].mcu_w, 0);
        check_near(rows[i].row, p.mcu_h, rows[i].mcu_h, 0);
        check_near(rows[i].row, p.chroma_h, rows[i].chroma_h, 0);
        check_near(rows[i].row, p.chroma_v, rows[i].chroma_v, 0);
        assert_int_equal(p.icc_state, PHOTO_ICC_NONE);
        assert_int_equal(p.exif_space, PHOTO_EXIF_NOTHING);
        check_text(rows[i].row, p.make, "");
        assert_true(isnan(p.exposure_s) && isnan(p.f_number) && isnan(p.iso));
        assert_int_equal(p.notes, PHOTO_NOTE_STRIPPED);
        photo_clear(&p);
        free(j.data);
    }
}

/* T.81 table K.1 and K.2 scaled by the usual quality rule: the DC steps are
 * 16 and 17 at quality 50. */
static void test_dc_steps_follow_the_quality(void **state)
{
    static const struct {
        const char *row;
        int quality, luma, chroma;
        bool low;
    } rows[] = {{"q100", 100, 1, 1, false}, {"q92", 92, 3, 3, false},
                {"q75", 75, 8, 9, false},   {"q51", 51, 16, 17, true},
                {"q50", 50, 16, 17, true},  {"q30", 30, 27, 28, true}};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct jpeg_bytes j =
            jpeg_make(&(struct jpeg_recipe){.quality = rows[i].quality});
        struct photo p = photo_opens(rows[i].row, &j);
        check_near(rows[i].row, p.dc_luma, rows[i].luma, 0);
        check_near(rows[i].row, p.dc_chroma, rows[i].chroma, 0);
        check_near(rows[i].row, (p.notes & PHOTO_NOTE_LOW_QUALITY) != 0,
                   rows[i].low, 0);
        photo_clear(&p);
        free(j.data);
    }
}

static void test_a_wide_quantisation_table_is_read(void **state)
{
    struct jpeg_bytes j = jpeg_plain();
    unsigned char table[1 + 128] = {0x10, 0x01, 0x2C}; /* 300 */
    struct photo p;

    (void)state;
    for (size_t i = 1; i < 64; i++)
        table[2 + 2 * i] = 1;
    jpeg_add_before(&j, 0xDA, 0xDB, table, sizeof table);
    p = photo_opens("16 bit", &j);
    assert_int_equal(p.dc_luma, 300);
    assert_true(p.notes & PHOTO_NOTE_LOW_QUALITY);
    photo_clear(&p);
    free(j.data);
}

static void test_other_files_are_called_by_their_name(void **state)
{
    static const struct {
        const char *row;
        const char *bytes;
        size_t size;
        const char *say;
    } rows[] = {
        {"PNG", "\x89PNG\r\n\x1A\n\0\0\0\rIHDR", 16, "a PNG picture"},
        {"HEIC",
         "\0\0\0\x18"
         "ftypheic\0\0\0\0",
         16, "a HEIC picture"},
        {"HEIF",
         "\0\0\0\x18"
         "ftypmif1\0\0\0\0",
         16, "a HEIC picture"},
        {"AVIF",
         "\0\0\0\x18"
         "ftypavif\0\0\0\0",
         16, "an AVIF picture"},
        {"video",
         "\0\0\0\x18"
         "ftypmp42\0\0\0\0",
         16, "a video"},
        {"WebP", "RIFF\x24\0\0\0WEBPVP8 ", 16, "a WebP picture"},
        {"GIF", "GIF89a\x10\0\x10\0", 10, "a GIF picture"},
        {"TIFF II", "II*\0\x08\0\0\0", 8, "a TIFF picture"},
        {"TIFF MM", "MM\0*\0\0\0\x08", 8, "a TIFF picture"},
        {"PDF", "%PDF-1.4\n", 9, "a PDF document"},
        {"BMP", "BM6\0\0\0", 6, "a BMP picture"},
        {"JPEG XL", "\xFF\x0A\xFA\x1F", 4, "a JPEG XL picture"},
        {"JPEG 2000", "\0\0\0\x0CjP  \r\n\x87\n", 12, "a JPEG 2000 picture"},
        {"ZIP", "PK\x03\x04\x14\0", 6, "a ZIP archive"},
        {"web page", "<!DOCTYPE html>", 15, "a web page"},
        {"empty", "", 0, "the file is empty"},
        {"one byte", "\xFF", 1, "ends before its picture"},
        {"two bytes", "\xFF\xD8", 2, "ends before its picture"},
        {"text", "skein,weight\n", 13, "not a JPEG"},
        {"start marker and text", "\xFF\xD8 hello", 8, "not a JPEG"},
        {"start and end", "\xFF\xD8\xFF\xD9", 4, "no picture in the file"},
        {"only the start", "\xFF\xD8\xFF", 3, "ends before its picture"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct jpeg_bytes j = {0};
        jpeg_insert(&j, 0, rows[i].bytes, rows[i].size);
        photo_refuses(rows[i].row, &j, ERR_INPUT, rows[i].say);
        free(j.data);
    }
}

/* Changes bytes of the frame header: its offset from the FF, and the byte. */
static void test_frames_that_cannot_be_measured_are_refused(void **state)
{
    static const struct {
        const char *row;
        struct {
            int at, byte;
        } set[4];
        enum error_kind kind;
        const char *say;
    } rows[] = {
        {"12 bits", {{4, 12}}, ERR_INPUT, "12 bits"},
        {"16 bits", {{4, 16}}, ERR_INPUT, "16 bits"},
        {"lossless", {{1, 0xC3}}, ERR_INPUT, "lossless"},
        {"hierarchical", {{1, 0xC5}}, ERR_INPUT, "hierarchical"},
        {"arithmetic lossless", {{1, 0xCB}}, ERR_INPUT, "lossless"},
        {"JPEG extension", {{1, 0xC8}}, ERR_INPUT, "lossless"},
        {"reserved marker", {{1, 0xF7}}, ERR_INPUT, "marker F7"},
        {"second start", {{1, 0xD8}}, ERR_INPUT, "marker D8"},
        {"height 0", {{5, 0}, {6, 0}}, ERR_INPUT, "how high"},
        {"width 0", {{7, 0}, {8, 0}}, ERR_INPUT, "how wide"},
        {"1x1", {{5, 0}, {6, 1}, {7, 0}, {8, 1}}, ERR_INPUT, "1x1 pixels"},
        {"63 high", {{6, 63}}, ERR_INPUT, "96x63 pixels are too small"},
        {"63 wide", {{8, 63}}, ERR_INPUT, "63x80 pixels are too small"},
        {"65500x65500",
         {{5, 0xFF}, {6, 0xDC}, {7, 0xFF}, {8, 0xDC}},
         ERR_LIMIT,
         "65500x65500 pixels are too many"},
        {"65535 wide", {{7, 0xFF}, {8, 0xFF}}, ERR_LIMIT, "65535x80"},
        {"13056x13056",
         {{5, 51}, {6, 0}, {7, 51}, {8, 0}},
         ERR_LIMIT,
         "cannot hold 13056x13056"},
        {"2 components", {{9, 2}}, ERR_INPUT, "header is damaged"},
        {"4 said, 3 there", {{9, 4}}, ERR_INPUT, "header is damaged"},
        {"no sampling", {{11, 0x02}}, ERR_INPUT, "sampling"},
        {"5x1", {{11, 0x51}}, ERR_INPUT, "sampling"},
        {"3x2 over 2x2", {{11, 0x32}, {14, 0x22}}, ERR_INPUT, "sampling"},
        {"table 4", {{12, 4}}, ERR_INPUT, "sampling"},
        {"table 3, not there", {{12, 3}}, ERR_INPUT, "quantisation table"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct jpeg_bytes j = jpeg_plain();
        size_t at = jpeg_find(&j, 0xC0);
        for (size_t k = 0; k < 4 && rows[i].set[k].at; k++)
            j.data[at + rows[i].set[k].at] = (unsigned char)rows[i].set[k].byte;
        photo_refuses(rows[i].row, &j, rows[i].kind, rows[i].say);
        free(j.data);
    }
}

static void test_grey_and_print_pictures_are_refused(void **state)
{
    static const struct {
        const char *row;
        int components;
        const char *say;
    } rows[] = {{"grey", 1, "grey picture"}, {"CMYK", 4, "CMYK"}};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct jpeg_bytes j =
            jpeg_make(&(struct jpeg_recipe){.components = rows[i].components});
        photo_refuses(rows[i].row, &j, ERR_INPUT, rows[i].say);
        free(j.data);
    }
}

static void test_two_frames_and_no_frame_are_refused(void **state)
{
    struct jpeg_bytes j = jpeg_plain();
    size_t at = jpeg_find(&j, 0xC0);
    unsigned char frame[19];

    (void)state;
    memcpy(frame, j.data + at, sizeof frame);
    jpeg_insert(&j, at, frame, sizeof frame);
    photo_refuses("two frames", &j, ERR_INPUT, "header is damaged");
    jpeg_remove(&j, at, 2 * sizeof frame);
    photo_refuses("no frame", &j, ERR_INPUT, "no picture");
    free(j.data);
}

/* A header cut anywhere is refused, and nothing is read past its end (the
 * sanitizers watch; each cut has a block of its own). */
static void test_a_header_cut_anywhere_is_refused(void **state)
{
    struct jpeg_bytes j = jpeg_plain();
    size_t end = jpeg_scan(&j);

    (void)state;
    for (size_t n = 0; n < end; n++) {
        struct jpeg_bytes cut = {.data = malloc(n ? n : 1), .size = n};
        assert_non_null(cut.data);
        memcpy(cut.data, j.data, n);
        photo_refuses("cut", &cut, ERR_INPUT, "");
        free(cut.data);
    }
    free(j.data);
}

static void test_bytes_between_segments_are_noted(void **state)
{
    static const struct {
        const char *row;
        const char *bytes;
        size_t size;
        bool noted;
    } rows[] = {
        {"fill bytes", "\xFF\xFF\xFF", 3, false},
        {"stray bytes", "\x12\x34\x56\x78\x9A", 5, true},
        {"stuffed nought", "\xFF\0\xFF\0", 4, true},
        {"restart marker", "\xFF\xD3", 2, false},
        {"comment of length 0", "\xFF\xFE\0\0", 4, false},
        {"comment of length 1, its body astray", "\xFF\xFE\0\x01hi", 6, true},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct jpeg_bytes j = jpeg_plain();
        jpeg_insert(&j, jpeg_find(&j, 0xDB), rows[i].bytes, rows[i].size);
        struct photo p = photo_opens(rows[i].row, &j);
        check_near(rows[i].row, (p.notes & PHOTO_NOTE_STRAY_BYTES) != 0,
                   rows[i].noted, 0);
        photo_clear(&p);
        free(j.data);
    }
}

static void test_too_much_before_the_picture_is_refused(void **state)
{
    struct jpeg_bytes j = jpeg_plain();
    static unsigned char comment[65533];
    size_t each = sizeof comment + 4, n = (60u << 20) / each;
    unsigned char *all = mem_new(n, each);

    (void)state;
    for (size_t i = 0; i < n; i++)
        memcpy(all + i * each, "\xFF\xFE\xFF\xFF", 4);
    jpeg_insert(&j, 2, all, n * each);
    free(all);
    photo_refuses("60 MB of comments", &j, ERR_LIMIT, "32 MiB");
    free(j.data);
}

static void test_a_file_over_the_limit_is_refused_unread(void **state)
{
    static const unsigned char few[3] = {0xFF, 0xD8, 0xFF};
    struct photo p;
    struct error err;

    (void)state;
    assert_false(photo_open(few, (size_t)PHOTO_MAX_BYTES + 1, &p, &err));
    assert_int_equal(err.kind, ERR_LIMIT);
}

#define XMP "http://ns.adobe.com/xap/1.0/\0"

static void test_xmp_is_asked_for_turn_place_and_gain_map(void **state)
{
    static const struct {
        const char *row;
        const char *xmp;
        unsigned notes;
        bool gps;
    } rows[] = {
        {"same turn", "<x tiff:Orientation=\"1\"/>", 0, false},
        {"other turn", "<x tiff:Orientation=\"6\"/>",
         PHOTO_NOTE_XMP_ORIENTATION, false},
        {"other turn, element", "<tiff:Orientation> 8</tiff:Orientation>",
         PHOTO_NOTE_XMP_ORIENTATION, false},
        {"no turn at all", "<x tiff:Orientation=\"9\"/>", 0, false},
        {"ends in the name", "<x tiff:Orientation=", 0, false},
        {"place", "<x exif:GPSLatitude=\"60,10.1N\"/>", 0, true},
        {"gain map", "<x hdrgm:Version=\"1.0\"/>", PHOTO_NOTE_GAIN_MAP, false},
        {"gain map as an item", "<x Item:Semantic=\"GainMap\"/>",
         PHOTO_NOTE_GAIN_MAP, false},
        {"nothing of it", "<x dc:title=\"gain\"/>", 0, false},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct jpeg_bytes j = jpeg_plain();
        char body[200];
        size_t n = sizeof XMP - 1;
        memcpy(body, XMP, n);
        memcpy(body + n, rows[i].xmp, strlen(rows[i].xmp));
        jpeg_add(&j, 0xE1, body, n + strlen(rows[i].xmp));
        struct photo p = photo_opens(rows[i].row, &j);
        check_near(rows[i].row, p.notes & ~(unsigned)PHOTO_NOTE_STRIPPED,
                   rows[i].notes, 0);
        check_near(rows[i].row, p.has_gps, rows[i].gps, 0);
        photo_clear(&p);
        free(j.data);
    }
}

static void test_further_pictures_are_counted_and_looked_into(void **state)
{
    static const struct {
        const char *row;
        unsigned pictures, said;
        const char *second; /* what the second one has before its scan */
        unsigned notes;
    } rows[] = {
        {"one picture", 1, 1, NULL, 0},
        {"a preview", 2, 2, "<x/>", PHOTO_NOTE_MORE_PICTURES},
        {"an older gain map", 2, 2, "<HDRGainMap:HDRGainMapVersion>",
         PHOTO_NOTE_GAIN_MAP},
        {"a gain map", 2, 2, "<x hdrgm:GainMapMax=\"2\"/>",
         PHOTO_NOTE_GAIN_MAP},
        {"a gain map and one more", 3, 3, "<x hdrgm:GainMapMax=\"2\"/>",
         PHOTO_NOTE_GAIN_MAP | PHOTO_NOTE_MORE_PICTURES},
        {"an offset outside", 2, 2, NULL, PHOTO_NOTE_MORE_PICTURES},
        {"more said than listed", 2, 200, NULL, PHOTO_NOTE_MORE_PICTURES},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct jpeg_bytes j = jpeg_plain(), second = jpeg_plain();
        size_t at[2] = {0xFFFFFF00u, 3};
        if (rows[i].second) {
            char body[120];
            size_t n = sizeof XMP - 1, len = strlen(rows[i].second);
            memcpy(body, XMP, n);
            memcpy(body + n, rows[i].second, len);
            jpeg_add(&second, 0xE1, body, n + len);
            /* Counted from the MPF segment's own TIFF header, 10 bytes in. */
            at[0] = j.size + 46 + (size_t)16 * rows[i].pictures - 10;
        }
        jpeg_add_mpf(&j, rows[i].pictures, rows[i].said, at);
        jpeg_insert(&j, j.size, second.data, second.size);
        struct photo p = photo_opens(rows[i].row, &j);
        check_near(rows[i].row, p.notes & ~(unsigned)PHOTO_NOTE_STRIPPED,
                   rows[i].notes, 0);
        photo_clear(&p);
        free(second.data);
        free(j.data);
    }
}

static void test_iso_gain_map_segment_is_noted(void **state)
{
    struct jpeg_bytes j = jpeg_plain();
    struct photo p;

    (void)state;
    jpeg_add(&j, 0xE2, "urn:iso:std:iso:ts:21496:-1\0\0\0\0\0", 32);
    p = photo_opens("ISO 21496-1", &j);
    assert_int_equal(p.notes, PHOTO_NOTE_GAIN_MAP | PHOTO_NOTE_STRIPPED);
    photo_clear(&p);
    free(j.data);
}

static void test_every_note_has_its_sentence(void **state)
{
    (void)state;
    for (int i = 0; i < PHOTO_NOTES; i++) {
        const char *text = photo_note_text((enum photo_note)(1 << i));
        assert_true(strlen(text) > 40 && strlen(text) < 200);
        assert_true(text[strlen(text) - 1] == '.');
        for (int k = 0; k < i; k++)
            assert_string_not_equal(text,
                                    photo_note_text((enum photo_note)(1 << k)));
    }
}

/* The eight ways of Exif 2.32 4.6.4 A, written out pixel by pixel: which
 * stored pixel is shown at upright X, Y. */
static void shown_at(int orientation, int64_t W, int64_t H, int64_t X,
                     int64_t Y, int64_t *x, int64_t *y)
{
    const int64_t to[9][2] = {
        {0, 0},         {X, Y}, {W - 1 - X, Y}, {W - 1 - X, H - 1 - Y},
        {X, H - 1 - Y}, {Y, X}, {Y, H - 1 - X}, {W - 1 - Y, H - 1 - X},
        {W - 1 - Y, X}};

    *x = to[orientation][0];
    *y = to[orientation][1];
}

static void test_boxes_turn_as_their_pixels_do(void **state)
{
    static const struct box boxes[] = {
        {0, 0, 1, 1}, {2, 3, 4, 5}, {0, 0, 7, 7}, {6, 1, 1, 6}, {3, 3, 0, 0}};

    (void)state;
    for (int o = 1; o <= 8; o++) {
        struct photo p = {
            .width = o < 5 ? 7 : 9, .height = o < 5 ? 9 : 7, .orientation = o};
        uint32_t w, h;
        photo_upright_size(&p, &w, &h);
        assert_int_equal(w, 7);
        assert_int_equal(h, 9);
        for (size_t i = 0; i < ARRAY_LEN(boxes); i++) {
            struct box u = boxes[i], s = photo_box_stored(&p, u);
            assert_int_equal(s.w * s.h, u.w * u.h);
            for (int64_t Y = u.y; Y < u.y + u.h; Y++)
                for (int64_t X = u.x; X < u.x + u.w; X++) {
                    int64_t x, y;
                    shown_at(o, p.width, p.height, X, Y, &x, &y);
                    assert_true(x >= s.x && x < s.x + s.w);
                    assert_true(y >= s.y && y < s.y + s.h);
                }
        }
    }
}

/* Worked by hand: orientation 6 is what a phone held upright writes; the
 * picture's upper left corner then lies in the stored lower left. */
static void test_upright_corner_of_a_phone_photo(void **state)
{
    struct photo p = {.width = 4000, .height = 3000, .orientation = 6};
    struct box s = photo_box_stored(&p, (struct box){0, 0, 100, 50});

    (void)state;
    assert_int_equal(s.x, 0);
    assert_int_equal(s.y, 2900);
    assert_int_equal(s.w, 50);
    assert_int_equal(s.h, 100);
}

static void test_files_load_whole_or_say_why_not(void **state)
{
    char dir[] = "/tmp/hanklab-photo-XXXXXX", path[64], fifo[64], gone[64];
    unsigned char *data = NULL;
    size_t size;
    struct error err = {0};

    (void)state;
    assert_non_null(mkdtemp(dir));
    snprintf(path, sizeof path, "%s/a\nb.jpg", dir);
    snprintf(fifo, sizeof fifo, "%s/fifo", dir);
    snprintf(gone, sizeof gone, "%s/gone", dir);
    int fd = open(path, O_WRONLY | O_CREAT | O_EXCL, 0600);
    assert_true(fd >= 0);
    assert_int_equal(write(fd, "skein", 5), 5);
    close(fd);

    check_ok(file_load(path, 5, &data, &size, &err), &err);
    assert_int_equal(size, 5);
    assert_memory_equal(data, "skein", 5);
    free(data);
    data = NULL;
    assert_false(file_load(path, 4, &data, &size, &err));
    assert_int_equal(err.kind, ERR_LIMIT);
    assert_null(strchr(err.text, '\n'));
    assert_non_null(strstr(err.text, "a b.jpg"));

    assert_false(file_load(dir, 5, &data, &size, &err));
    assert_int_equal(err.kind, ERR_INPUT);
    assert_non_null(strstr(err.text, "folder"));
    assert_false(file_load(gone, 5, &data, &size, &err));
    assert_int_equal(err.kind, ERR_MISSING);
    assert_int_equal(mkfifo(fifo, 0600), 0);
    assert_false(file_load(fifo, 5, &data, &size, &err));
    assert_int_equal(err.kind, ERR_INPUT);
    assert_non_null(strstr(err.text, "pipe"));
    assert_false(file_load("/dev/null", 5, &data, &size, &err));
    assert_int_equal(err.kind, ERR_INPUT);
    /* The kernel says that this one has no bytes, and then gives some. */
    if (!access("/proc/self/stat", R_OK)) {
        assert_false(file_load("/proc/self/stat", 5, &data, &size, &err));
        assert_non_null(strstr(err.text, "changed"));
    }
    chmod(path, 0);
    if (geteuid() != 0) {
        assert_false(file_load(path, 5, &data, &size, &err));
        assert_int_equal(err.kind, ERR_INPUT);
    }
    assert_null(data);
    unlink(path);
    unlink(fifo);
    rmdir(dir);
}

static void test_an_empty_file_loads_and_is_refused_as_a_photo(void **state)
{
    char path[] = "/tmp/hanklab-photo-XXXXXX";
    int fd = mkstemp(path);
    unsigned char *data = NULL;
    size_t size = 1;
    struct photo p;
    struct error err = {0};

    (void)state;
    assert_true(fd >= 0);
    close(fd);
    check_ok(file_load(path, 5, &data, &size, &err), &err);
    assert_non_null(data);
    assert_int_equal(size, 0);
    assert_false(photo_open(data, size, &p, &err));
    free(data);
    unlink(path);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_a_plain_photo_says_its_size_and_sampling),
        cmocka_unit_test(test_dc_steps_follow_the_quality),
        cmocka_unit_test(test_a_wide_quantisation_table_is_read),
        cmocka_unit_test(test_other_files_are_called_by_their_name),
        cmocka_unit_test(test_frames_that_cannot_be_measured_are_refused),
        cmocka_unit_test(test_grey_and_print_pictures_are_refused),
        cmocka_unit_test(test_two_frames_and_no_frame_are_refused),
        cmocka_unit_test(test_a_header_cut_anywhere_is_refused),
        cmocka_unit_test(test_bytes_between_segments_are_noted),
        cmocka_unit_test(test_too_much_before_the_picture_is_refused),
        cmocka_unit_test(test_a_file_over_the_limit_is_refused_unread),
        cmocka_unit_test(test_xmp_is_asked_for_turn_place_and_gain_map),
        cmocka_unit_test(test_further_pictures_are_counted_and_looked_into),
        cmocka_unit_test(test_iso_gain_map_segment_is_noted),
        cmocka_unit_test(test_every_note_has_its_sentence),
        cmocka_unit_test(test_boxes_turn_as_their_pixels_do),
        cmocka_unit_test(test_upright_corner_of_a_phone_photo),
        cmocka_unit_test(test_files_load_whole_or_say_why_not),
        cmocka_unit_test(test_an_empty_file_loads_and_is_refused_as_a_photo),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
