/* Pixels: every coding, and how far each sort of damage can be trusted. */
#include "support.h"

#include <stdlib.h>
#include <string.h>

#include "jpeg_make.h"
#include "photo/photo.h"

/* What a decode handed on. */
struct picture {
    unsigned char *rgb; /* width * height * 3 */
    uint32_t width, height, rows, stop_at;
    struct photo_decoded decoded;
    struct error err;
    bool ok;
};

static bool take_row(void *self, const unsigned char *rgb, uint32_t y)
{
    struct picture *p = self;
    size_t n = (size_t)p->width * 3;

    assert_int_equal(y, p->rows);
    memcpy(p->rgb + n * y, rgb, n);
    p->rows++;
    return !p->stop_at || p->rows < p->stop_at;
}

/* Opens and decodes; when it cannot be opened, ok is false and rgb NULL. */
static struct picture decode_until(const struct jpeg_bytes *j, uint32_t stop)
{
    struct picture p = {.stop_at = stop};
    struct photo photo;

    if (!photo_open(j->data, j->size, &photo, &p.err))
        return p;
    p.width = photo.width;
    p.height = photo.height;
    p.rgb = mem_new((size_t)p.width * p.height, 3);
    p.ok = photo_decode(&photo, j->data, j->size, take_row, &p, &p.decoded,
                        &p.err);
    photo_clear(&photo);
    return p;
}

static struct picture decode(const struct jpeg_bytes *j)
{
    return decode_until(j, 0);
}

static struct picture decode_well(const char *row, const struct jpeg_bytes *j)
{
    struct picture p = decode(j);

    if (!p.ok)
        fail_msg("%s: %s", row, p.err.text);
    assert_int_equal(p.rows, p.height);
    assert_int_equal(p.decoded.damaged_row, p.height);
    return p;
}

/* The first row in which two pictures of one size differ. */
static uint32_t first_difference(const struct picture *a,
                                 const struct picture *b)
{
    size_t n = (size_t)a->width * 3;

    for (uint32_t y = 0; y < a->height; y++)
        if (memcmp(a->rgb + n * y, b->rgb + n * y, n))
            return y;
    return a->height;
}

static void check_same(const char *row, const struct picture *a,
                       const struct picture *b)
{
    assert_int_equal(a->width, b->width);
    assert_int_equal(a->height, b->height);
    if (first_difference(a, b) < a->height)
        fail_msg("%s: row %u differs", row, first_difference(a, b));
}

/* Refused as damaged, or right in every row above damaged_row. */
static void check_trust(const char *row, const struct picture *whole,
                        const struct picture *p)
{
    if (!p->ok) {
        assert_int_equal(p->err.kind, ERR_INPUT);
        assert_non_null(strstr(p->err.text, "copy it from the camera again"));
        return;
    }
    assert_true(p->decoded.damaged_row > 0);
    assert_int_equal((p->decoded.notes & PHOTO_NOTE_DAMAGED_BELOW) != 0,
                     p->decoded.damaged_row < p->height);
    if (first_difference(whole, p) < p->decoded.damaged_row)
        fail_msg("%s: row %u is wrong, trusted up to %u", row,
                 first_difference(whole, p), p->decoded.damaged_row);
}

/* At quality 100 and 4:4:4 what is left is rounding: of coefficients (0.3
 * code standard, so hardly over 1.5) and of Y, Cb and Cr (0.5), which blue
 * takes 1.772 times from Cb (T.871). */
static void test_pixels_are_those_that_were_put_in(void **state)
{
    static const struct jpeg_recipe recipes[] = {
        {.quality = 100},
        {.quality = 100, .rgb = true},
        {.quality = 100, .progressive = true},
        {.quality = 100, .arithmetic = true},
        {.quality = 100, .restart_mcus = 5},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(recipes); i++) {
        struct jpeg_bytes j = jpeg_make(&recipes[i]);
        struct picture p = decode_well("q100", &j);
        for (unsigned y = 0; y < p.height; y++)
            for (unsigned x = 0; x < p.width; x++) {
                unsigned char want[3];
                jpeg_pixel(x, y, want);
                for (int c = 0; c < 3; c++)
                    check_near("pixel", p.rgb[(y * p.width + x) * 3 + c],
                               want[c], 5);
            }
        assert_int_equal(p.decoded.notes, 0);
        free(p.rgb);
        free(j.data);
    }
}

/* The same coefficients, coded another way, are the same pixels. */
static void test_codings_of_one_picture_agree(void **state)
{
    static const int sampling[][2] = {{1, 1}, {2, 1}, {2, 2}, {1, 2}, {4, 1}};
    static const struct {
        const char *row;
        struct jpeg_recipe recipe;
    } rows[] = {
        {"progressive", {.progressive = true}},
        {"a scan a component", {.separate_scans = true}},
        {"restart markers", {.restart_mcus = 3}},
        {"arithmetic", {.arithmetic = true}},
        {"arithmetic, progressive", {.arithmetic = true, .progressive = true}},
        {"progressive, restart markers",
         {.progressive = true, .restart_mcus = 3}},
    };

    (void)state;
    for (size_t s = 0; s < ARRAY_LEN(sampling); s++) {
        struct jpeg_recipe plain = {.h = sampling[s][0], .v = sampling[s][1]};
        struct jpeg_bytes base = jpeg_make(&plain);
        struct picture want = decode_well("baseline", &base);
        for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
            struct jpeg_recipe r = rows[i].recipe;
            r.h = plain.h, r.v = plain.v;
            struct jpeg_bytes j = jpeg_make(&r);
            struct picture got = decode_well(rows[i].row, &j);
            check_same(rows[i].row, &want, &got);
            free(got.rgb);
            free(j.data);
        }
        free(want.rgb);
        free(base.data);
    }
}

static void test_odd_sampling_gives_the_picture_or_a_refusal(void **state)
{
    static const struct {
        const char *row;
        struct jpeg_recipe recipe;
    } rows[] = {
        {"4:1:0", {.h = 4, .v = 2}},
        {"3x1", {.h = 3}},
        {"all 2x2", {.h = 2, .v = 2, .chroma_h = 2, .chroma_v = 1}},
        {"chroma finer than luma", {.chroma_h = 2, .chroma_v = 2}},
        {"chroma finer in height", {.h = 2, .chroma_h = 2, .chroma_v = 2}},
        {"chroma 4x1", {.chroma_h = 4}},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct jpeg_recipe r = rows[i].recipe;
        double sum[3] = {0}, want[3] = {0};
        r.quality = 100;
        struct jpeg_bytes j = jpeg_make(&r);
        struct picture p = decode_well(rows[i].row, &j);
        for (unsigned k = 0; k < p.width * p.height; k++) {
            unsigned char rgb[3];
            jpeg_pixel(k % p.width, k / p.width, rgb);
            for (int c = 0; c < 3; c++)
                sum[c] += p.rgb[3 * k + c], want[c] += rgb[c];
        }
        for (int c = 0; c < 3; c++) /* subsampling keeps the mean */
            check_near(rows[i].row, sum[c] / p.width / p.height,
                       want[c] / p.width / p.height, 0.5);
        free(p.rgb);
        free(j.data);
    }
}

static void test_a_sink_may_stop(void **state)
{
    struct jpeg_bytes j = jpeg_plain();
    struct picture p = decode_until(&j, 7);

    (void)state;
    check_ok(p.ok, &p.err);
    assert_int_equal(p.rows, 7);
    assert_int_equal(p.decoded.damaged_row, p.height);
    assert_int_equal(p.decoded.notes, 0);
    free(p.rgb);
    free(j.data);
}

static void test_other_bytes_than_those_opened_are_refused(void **state)
{
    struct jpeg_bytes j = jpeg_plain(),
                      wide = jpeg_make(&(struct jpeg_recipe){.width = 128});
    struct photo photo = photo_opens("plain", &j);
    struct photo_decoded out;
    struct picture p = {.width = 128};
    struct error err = {0};

    (void)state;
    assert_false(
        photo_decode(&photo, wide.data, wide.size, take_row, &p, &out, &err));
    assert_int_equal(err.kind, ERR_BUG);
    photo_clear(&photo);
    free(wide.data);
    free(j.data);
}

static void test_what_follows_the_picture_is_ignored(void **state)
{
    struct jpeg_bytes j = jpeg_plain(), more = jpeg_plain();
    struct picture want = decode_well("plain", &j), got;
    static const unsigned char video[5016] = "\0\0\0\x18"
                                             "ftypmp42\xFF\xD8";

    (void)state;
    jpeg_insert(&more, more.size, video, sizeof video);
    got = decode_well("a video behind it", &more);
    check_same("video", &want, &got);
    assert_int_equal(got.decoded.notes, 0);
    free(got.rgb);
    jpeg_insert(&j, j.size, more.data, more.size);
    got = decode_well("a picture behind it", &j);
    check_same("second picture", &want, &got);
    assert_int_equal(got.decoded.notes, 0);
    free(got.rgb);
    free(want.rgb);
    free(more.data);
    free(j.data);
}

static void test_harmless_oddities_are_noted(void **state)
{
    static const struct {
        const char *row;
        int marker, at; /* byte from that segment's FF */
        unsigned char byte;
    } rows[] = {
        {"JFIF 7.01", 0xE0, 9, 7},
        {"wrong last coefficient", 0xDA, 12, 0},
        {"Adobe transform 7", 0xEE, 15, 7},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct jpeg_bytes j = jpeg_plain();
        struct picture want = decode_well("plain", &j), got;
        if (rows[i].marker == 0xEE) {
            jpeg_remove(&j, jpeg_find(&j, 0xE0), 18);
            jpeg_add(&j, 0xEE, "Adobe\0\x64\0\0\0\0\1", 12);
        }
        j.data[jpeg_find(&j, rows[i].marker) + rows[i].at] = rows[i].byte;
        got = decode_well(rows[i].row, &j);
        check_near(rows[i].row, got.decoded.notes, PHOTO_NOTE_ODD_HEADER, 0);
        check_same(rows[i].row, &want, &got);
        free(got.rgb);
        free(want.rgb);
        free(j.data);
    }
}

/* A picture of 20 or more MCU rows, so that damage leaves some to trust. */
static const struct jpeg_recipe tall[] = {
    {.height = 640, .h = 2, .v = 2},
    {.height = 320, .quality = 60},
    {.height = 320, .restart_mcus = 12},
    {.height = 320, .restart_mcus = 5, .arithmetic = true},
    {.height = 320, .arithmetic = true},
    {.height = 640, .h = 1, .v = 2, .restart_mcus = 7},
};

static void test_a_cut_file_is_right_above_the_damaged_row(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(tall); i++) {
        struct jpeg_bytes j = jpeg_make(&tall[i]);
        struct picture whole = decode_well("whole", &j);
        size_t size = j.size, start = jpeg_scan(&j);
        int part = 0;
        for (j.size = start; j.size < size - 2; j.size += 1 + j.size % 61) {
            struct picture p = decode(&j);
            check_trust("cut", &whole, &p);
            if (p.ok && p.decoded.damaged_row == p.height)
                fail_msg("recipe %zu, %zu of %zu bytes: no damage seen", i,
                         j.size, size);
            part += p.ok;
            free(p.rgb);
        }
        assert_true(part > 10);
        free(whole.rgb);
        free(j.data);
    }
}

/* Half the data: about half the rows stay, less the two MCU rows above the
 * cut (and the one that was cut). */
static void test_a_file_cut_in_half_keeps_nearly_half_its_rows(void **state)
{
    struct jpeg_bytes j = jpeg_make(&tall[0]);
    struct picture p;

    (void)state;
    j.size = jpeg_scan(&j) + (j.size - jpeg_scan(&j)) / 2;
    p = decode(&j);
    check_ok(p.ok, &p.err);
    assert_true(p.decoded.notes & PHOTO_NOTE_DAMAGED_BELOW);
    assert_true(p.decoded.damaged_row > 240 && p.decoded.damaged_row < 320);
    free(p.rgb);
    free(j.data);
}

static void test_only_the_end_marker_missing_is_a_note(void **state)
{
    static const struct jpeg_recipe recipes[] = {
        {.h = 2, .v = 2},
        {.quality = 30, .height = 320},
        {.restart_mcus = 3},
        {.progressive = true, .h = 2, .v = 2},
        {.separate_scans = true}};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(recipes); i++) {
        struct jpeg_bytes j = jpeg_make(&recipes[i]);
        struct picture whole = decode_well("whole", &j), p;
        j.size -= 2;
        p = decode_well("no end marker", &j);
        assert_int_equal(p.decoded.notes, PHOTO_NOTE_NO_END_MARKER);
        check_same("no end marker", &whole, &p);
        free(p.rgb);
        j.size += 2;
        if (i < 3) { /* of one scan: spoilt only after the last row */
            j.data[j.size - 1] = 0xF5;
            p = decode_well("another marker", &j);
            assert_int_equal(p.decoded.notes, PHOTO_NOTE_NO_END_MARKER);
            check_same("another marker", &whole, &p);
            free(p.rgb);
        }
        free(whole.rgb);
        free(j.data);
    }
}

/* A progressive picture looks whole long before it is, and so does one that
 * lacks its last component. */
static void test_a_cut_file_of_several_scans_is_refused(void **state)
{
    static const struct jpeg_recipe recipes[] = {
        {.progressive = true, .h = 2, .v = 2},
        {.progressive = true, .arithmetic = true},
        {.progressive = true, .restart_mcus = 4},
        {.separate_scans = true},
        {.separate_scans = true, .arithmetic = true}};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(recipes); i++) {
        struct jpeg_bytes j = jpeg_make(&recipes[i]);
        size_t size = j.size;
        for (j.size = jpeg_scan(&j); j.size < size - 2; j.size++) {
            struct picture p = decode(&j);
            if (p.ok)
                fail_msg("recipe %zu: %zu of %zu bytes", i, j.size, size);
            assert_int_equal(p.err.kind, ERR_INPUT);
            free(p.rgb);
        }
        free(j.data);
    }
}

/* Cut between two scans and given an end marker again: no warning at all. */
static void test_a_missing_component_is_refused(void **state)
{
    struct jpeg_bytes j =
        jpeg_make(&(struct jpeg_recipe){.separate_scans = true});
    struct picture p;
    size_t at = j.size - 2;

    (void)state;
    while (!(j.data[at] == 0xFF && j.data[at + 1] == 0xDA))
        at--;
    jpeg_remove(&j, at, j.size - 2 - at);
    p = decode(&j);
    assert_false(p.ok);
    assert_int_equal(p.err.kind, ERR_INPUT);
    assert_int_equal(p.rows, 0);
    free(p.rgb);
    free(j.data);
}

static void test_a_changed_byte_is_right_above_the_damaged_row(void **state)
{
    uint32_t random = 1;

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(tall); i++) {
        struct jpeg_bytes j = jpeg_make(&tall[i]);
        struct picture whole = decode_well("whole", &j);
        size_t start = jpeg_scan(&j);
        int seen = 0;
        for (int k = 0; k < 150; k++) {
            random = random * 1664525u + 1013904223u;
            size_t at = start + random % (j.size - 2 - start);
            unsigned char flip = (unsigned char)(1u << (random >> 29));
            j.data[at] ^= flip;
            struct picture p = decode(&j);
            /* Nothing is claimed of damage that nobody can see. */
            if (!p.ok || p.decoded.damaged_row < p.height) {
                check_trust("changed byte", &whole, &p);
                seen++;
            }
            free(p.rgb);
            j.data[at] ^= flip;
        }
        if (!tall[i].arithmetic)
            assert_true(seen > 20);
        free(whole.rgb);
        free(j.data);
    }
}

static const char noughts[29];
static const struct {
    const char *row;
    struct jpeg_recipe recipe;
    bool to_be_read;
    int set_height;      /* in the header; 0 leaves it */
    size_t zeros_at_pct; /* of the data */
    const char *before_end;
    size_t n;
    unsigned notes;
} wrong_data[] = {
    {"header taller than the data", {.height = 320}, false, 400, 0, NULL, 0, 0},
    {"the same with restarts",
     {.height = 320, .restart_mcus = 12},
     true,
     400,
     0,
     NULL,
     0,
     PHOTO_NOTE_DAMAGED_BELOW},
    {"200 noughts in the data", {.height = 320}, false, 0, 60, NULL, 0, 0},
    {"the same with restarts",
     {.height = 320, .restart_mcus = 12},
     true,
     0,
     60,
     NULL,
     0,
     PHOTO_NOTE_DAMAGED_BELOW},
    {"data left over",
     {.height = 320},
     false,
     0,
     0,
     "skeins in a row, wool on wool",
     29,
     0},
    {"the same with restarts",
     {.height = 320, .restart_mcus = 12},
     true,
     0,
     0,
     "skeins in a row, wool on wool",
     29,
     PHOTO_NOTE_DAMAGED_BELOW},
    {"noughts left over",
     {.height = 320},
     true,
     0,
     0,
     noughts,
     29,
     PHOTO_NOTE_ODD_HEADER},
};

/* Eight bytes or fewer left over go unseen: libjpeg has them in its bit
 * buffer by then.
 *
 * Without restart markers the fault can lie anywhere above what shows it;
 * with them, only since the last. */
static void test_wrong_data_are_trusted_up_to_a_restart_at_most(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(wrong_data); i++) {
        struct jpeg_bytes j = jpeg_make(&wrong_data[i].recipe);
        struct picture whole = decode_well("whole", &j), p;
        size_t start = jpeg_scan(&j);
        if (wrong_data[i].set_height) {
            j.data[jpeg_find(&j, 0xC0) + 5] = 1;
            j.data[jpeg_find(&j, 0xC0) + 6] =
                (unsigned char)(wrong_data[i].set_height - 256);
        }
        if (wrong_data[i].zeros_at_pct)
            memset(j.data + start +
                       wrong_data[i].zeros_at_pct * (j.size - start) / 100,
                   0, 200);
        jpeg_insert(&j, j.size - 2, wrong_data[i].before_end, wrong_data[i].n);
        p = decode(&j);
        check_near(wrong_data[i].row, p.ok, wrong_data[i].to_be_read, 0);
        check_near(wrong_data[i].row, p.decoded.notes, wrong_data[i].notes, 0);
        whole.height = p.height < whole.height ? p.height : whole.height;
        check_trust(wrong_data[i].row, &whole, &p);
        free(p.rgb);
        free(whole.rgb);
        free(j.data);
    }
}

static void test_lost_and_wrong_restart_markers_are_seen(void **state)
{
    (void)state;
    for (int lost = 0; lost < 2; lost++) {
        struct jpeg_bytes j = jpeg_make(&tall[2]);
        struct picture whole = decode_well("whole", &j), p;
        size_t at = jpeg_scan(&j) + (j.size - jpeg_scan(&j)) / 2;
        while (j.data[at] != 0xFF || (j.data[at + 1] & 0xF8) != 0xD0)
            at++;
        if (lost)
            jpeg_remove(&j, at, 2);
        else
            j.data[at + 1] = 0xD0 | ((j.data[at + 1] + 3) & 7);
        p = decode(&j);
        check_ok(p.ok, &p.err);
        assert_true(p.decoded.damaged_row < p.height);
        check_trust(lost ? "lost" : "wrong", &whole, &p);
        free(p.rgb);
        free(whole.rgb);
        free(j.data);
    }
}

static void test_a_bomb_of_scans_is_refused(void **state)
{
    struct jpeg_bytes j = jpeg_make(&(struct jpeg_recipe){.many_scans = true});
    struct picture p = decode(&j);

    (void)state;
    assert_false(p.ok);
    assert_int_equal(p.err.kind, ERR_LIMIT);
    assert_non_null(strstr(p.err.text, "100 scans"));
    assert_int_equal(p.rows, 0);
    free(p.rgb);
    free(j.data);
}

static void put(struct jpeg_bytes *j, const void *bytes, size_t n)
{
    jpeg_insert(j, j->size, bytes, n);
}

/* A progressive picture of 6000 x 6000 grey pixels in n scans, by hand: DC
 * differences of nought are a bit each, and 16384 blocks or more that end at
 * once (EOB14, T.81 G.1.2.2) are a bit and 14 more. */
static struct jpeg_bytes grey_in_scans(int n)
{
    enum { BLOCKS = 750 * 750 };
    static const unsigned char nought[(3 * BLOCKS + 7) / 8];
    static const unsigned char head[] =
        "\xFF\xD8\xFF\xC2\0\x11\x08\x17\x70\x17\x70\3\1\x11\0\2\x11\0\3\x11\0"
        "\xFF\xC4\0\x14\0\1\0\0\0\0\0\0\0\0\0\0\0\0\0\0\0\0"
        "\xFF\xC4\0\x14\x10\1\0\0\0\0\0\0\0\0\0\0\0\0\0\0\0\xE0"
        "\xFF\xDB\0\x43";
    struct jpeg_bytes j = {0};
    unsigned char table[65], run[2 * (BLOCKS / 16384 + 1)] = {0};

    memset(table, 1, sizeof table);
    table[0] = 0;
    put(&j, head, sizeof head - 1);
    put(&j, table, sizeof table);
    put(&j, "\xFF\xDA\0\x0C\3\1\0\2\0\3\0\0\0\0", 14);
    put(&j, nought, sizeof nought);
    for (int i = 1; i < n; i++) {
        unsigned char scan[] = "\xFF\xDA\0\x08\1\1\0\1\1\0";
        scan[5] = (unsigned char)(1 + i / 63);
        scan[7] = scan[8] = (unsigned char)(1 + i % 63);
        put(&j, scan, sizeof scan - 1);
        put(&j, run, sizeof run);
    }
    put(&j, "\xFF\xD9", 2);
    return j;
}

/* 36 million pixels may have 2500 / 36 = 69 scans. */
static void test_a_large_picture_may_have_fewer_scans(void **state)
{
    (void)state;
    for (int n = 69; n <= 70; n++) {
        struct jpeg_bytes j = grey_in_scans(n);
        struct picture p = decode(&j);
        assert_int_equal(p.ok, n == 69);
        assert_true(p.ok || strstr(p.err.text, "more than 69 scans"));
        assert_int_equal(p.err.kind, p.ok ? ERR_NONE : ERR_LIMIT);
        free(p.rgb);
        free(j.data);
    }
}

/* Unpacked, 10000 x 10000 would take 600 MB; what it has takes little. */
static void test_a_picture_that_claims_to_be_large_is_refused(void **state)
{
    struct jpeg_bytes j = jpeg_make(&(struct jpeg_recipe){.progressive = true});
    static const unsigned char filler[60000];
    struct picture p = {0};
    struct photo photo;

    (void)state;
    memcpy(j.data + jpeg_find(&j, 0xC2) + 5, "\x27\x10\x27\x10", 4);
    jpeg_add(&j, 0xFE, filler, sizeof filler);
    jpeg_add(&j, 0xFE, filler, sizeof filler);
    photo = photo_opens("10000 x 10000", &j);
    p.width = photo.width;
    assert_false(
        photo_decode(&photo, j.data, j.size, take_row, &p, &p.decoded, &p.err));
    assert_int_equal(p.err.kind, ERR_INPUT);
    assert_non_null(strstr(p.err.text, "cut short or damaged"));
    photo_clear(&photo);
    free(j.data);
}

/* Anywhere in the file, header too: refused or read, nothing worse. */
static void test_any_changed_byte_is_survived(void **state)
{
    static const struct jpeg_recipe recipes[] = {
        {.h = 2, .v = 2, .restart_mcus = 2},
        {.progressive = true},
        {.arithmetic = true, .h = 2}};
    static const unsigned char values[] = {0x00, 0x3F, 0xFF};
    int refused = 0, read = 0;

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(recipes); i++) {
        struct jpeg_recipe r = recipes[i];
        r.width = r.height = 64;
        r.quality = 40;
        struct jpeg_bytes j = jpeg_make(&r);
        for (size_t k = 0; k < j.size * ARRAY_LEN(values); k++) {
            unsigned char *at = j.data + k / ARRAY_LEN(values), old = *at;
            *at = values[k % ARRAY_LEN(values)];
            struct picture p = decode(&j);
            assert_true(p.ok || p.err.text[0]);
            p.ok ? read++ : refused++;
            free(p.rgb);
            *at = old;
        }
        free(j.data);
    }
    assert_true(refused > 500 && read > 500);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_pixels_are_those_that_were_put_in),
        cmocka_unit_test(test_codings_of_one_picture_agree),
        cmocka_unit_test(test_odd_sampling_gives_the_picture_or_a_refusal),
        cmocka_unit_test(test_a_sink_may_stop),
        cmocka_unit_test(test_other_bytes_than_those_opened_are_refused),
        cmocka_unit_test(test_what_follows_the_picture_is_ignored),
        cmocka_unit_test(test_harmless_oddities_are_noted),
        cmocka_unit_test(test_a_cut_file_is_right_above_the_damaged_row),
        cmocka_unit_test(test_a_file_cut_in_half_keeps_nearly_half_its_rows),
        cmocka_unit_test(test_only_the_end_marker_missing_is_a_note),
        cmocka_unit_test(test_a_cut_file_of_several_scans_is_refused),
        cmocka_unit_test(test_a_missing_component_is_refused),
        cmocka_unit_test(test_a_changed_byte_is_right_above_the_damaged_row),
        cmocka_unit_test(test_wrong_data_are_trusted_up_to_a_restart_at_most),
        cmocka_unit_test(test_lost_and_wrong_restart_markers_are_seen),
        cmocka_unit_test(test_a_bomb_of_scans_is_refused),
        cmocka_unit_test(test_a_large_picture_may_have_fewer_scans),
        cmocka_unit_test(test_a_picture_that_claims_to_be_large_is_refused),
        cmocka_unit_test(test_any_changed_byte_is_survived),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
