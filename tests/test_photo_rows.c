/* Some rows of a picture, or an eighth of it: the same pixels and the same
 * damage as all of it gives, for less work. */
#include "support.h"

#include <stdlib.h>
#include <string.h>

#include "jpeg_make.h"
#include "photo/photo.h"

struct picture {
    unsigned char *rgb; /* of the whole picture; what was not handed on is 0 */
    uint32_t width, height, next, rows;
    struct photo_decoded decoded;
    struct error err;
    bool ok;
};

static bool take_row(void *self, const unsigned char *rgb, uint32_t y)
{
    struct picture *p = self;
    const size_t n = (size_t)p->width * 3;

    assert_true(y >= p->next && y < p->height);
    p->next = y + 1;
    p->rows++;
    memcpy(p->rgb + n * y, rgb, n);
    return true;
}

/* Rows first to end - 1; end 0 is an eighth of the picture, each way. */
static struct picture decode(const struct jpeg_bytes *j, uint32_t first,
                             uint32_t end)
{
    struct photo photo = photo_opens("made", j);
    struct picture p = {.width = photo.width, .height = photo.height};

    if (!end) {
        p.width = (p.width + 7) / 8;
        p.height = (p.height + 7) / 8;
    }
    p.rgb = mem_new((size_t)p.width * p.height, 3);
    p.ok = end ? photo_decode_rows(&photo, j->data, j->size, first, end,
                                   take_row, &p, &p.decoded, &p.err)
               : photo_decode_small(&photo, j->data, j->size, 8, take_row, &p,
                                    &p.decoded, &p.err);
    photo_clear(&photo);
    return p;
}

static void check_rows(const char *row, const struct picture *whole,
                       const struct picture *p, uint32_t first, uint32_t end)
{
    const size_t n = (size_t)whole->width * 3;

    for (uint32_t y = first; y < end; y++)
        if (memcmp(whole->rgb + n * y, p->rgb + n * y, n) != 0)
            fail_msg("%s: row %u of %u to %u differs", row, y, first, end);
}

static const struct {
    const char *row;
    struct jpeg_recipe recipe;
} coded[] = {
    {"4:4:4", {.height = 300}},
    {"4:2:0", {.height = 300, .h = 2, .v = 2}},
    {"4:2:2", {.height = 300, .h = 2}},
    {"4:4:0", {.height = 300, .v = 2}},
    {"4:1:0", {.height = 300, .h = 4, .v = 2}},
    {"4:2:0, restarts", {.height = 300, .h = 2, .v = 2, .restart_mcus = 6}},
    {"4:2:0, arithmetic", {.height = 300, .h = 2, .v = 2, .arithmetic = true}},
    {"4:2:0, progressive",
     {.height = 300, .h = 2, .v = 2, .progressive = true}},
    {"4:2:0, a scan a component",
     {.height = 300, .h = 2, .v = 2, .separate_scans = true}},
    {"RGB", {.height = 300, .rgb = true}},
};

static void test_rows_are_those_of_the_whole_picture(void **state)
{
    static const uint32_t some[][2] = {{0, 300},   {0, 1},     {299, 300},
                                       {31, 33},   {32, 64},   {33, 150},
                                       {100, 101}, {127, 201}, {150, 300}};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(coded); i++) {
        struct jpeg_bytes j = jpeg_make(&coded[i].recipe);
        struct picture whole = decode(&j, 0, 300);

        check_ok(whole.ok, &whole.err);
        assert_int_equal(whole.rows, 300);
        for (size_t k = 0; k < ARRAY_LEN(some); k++) {
            const uint32_t first = some[k][0], end = some[k][1];
            struct picture p = decode(&j, first, end);

            check_ok(p.ok, &p.err);
            assert_int_equal(p.rows, end - first);
            assert_int_equal(p.decoded.damaged_row, 300);
            assert_int_equal(p.decoded.notes, 0);
            check_rows(coded[i].row, &whole, &p, first, end);
            free(p.rgb);
        }
        free(whole.rgb);
        free(j.data);
    }
}

/* Damage above, among and below the rows: seen where the whole picture shows
 * it, and never trusted further down. */
static void test_damage_is_found_outside_of_the_rows_too(void **state)
{
    uint32_t random = 7;
    size_t seen = 0, tried = 0;

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(coded); i++) {
        struct jpeg_bytes j = jpeg_make(&coded[i].recipe);
        const size_t start = jpeg_scan(&j);
        struct picture whole = decode(&j, 0, 300);

        for (int k = 0; k < 120; k++) {
            struct picture all, p;
            unsigned char flip;
            size_t at;

            random = random * 1664525u + 1013904223u;
            at = start + random % (j.size - 2 - start);
            flip = (unsigned char)(1u << (random >> 29));
            j.data[at] ^= flip;
            all = decode(&j, 0, 300);
            p = decode(&j, 120, 180);
            tried++;
            if (!all.ok || all.decoded.damaged_row < 300) {
                seen++;
                if (p.ok && p.decoded.damaged_row > all.decoded.damaged_row)
                    fail_msg("%s: damaged from %u, with all rows from %u",
                             coded[i].row, p.decoded.damaged_row,
                             all.ok ? all.decoded.damaged_row : 0);
                if (p.ok && p.decoded.damaged_row > 120)
                    check_rows(coded[i].row, &whole, &p, 120,
                               p.decoded.damaged_row < 180
                                   ? p.decoded.damaged_row
                                   : 180);
            }
            j.data[at] ^= flip;
            free(all.rgb);
            free(p.rgb);
        }
        free(whole.rgb);
        free(j.data);
    }
    print_message("%zu of %zu changed bytes were seen\n", seen, tried);
    assert_true(seen > 200);
}

/* A progressive file is not read to its end for an eighth of it; it is the
 * same coefficients coded another way, so it must be the same eighth. */
static void test_an_eighth_is_the_same_however_it_is_coded(void **state)
{
    static const int sampling[][2] = {{1, 1}, {2, 1}, {2, 2}, {1, 2}, {4, 1}};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(sampling); i++) {
        struct jpeg_recipe r = {
            .height = 300, .h = sampling[i][0], .v = sampling[i][1]};
        struct jpeg_bytes base = jpeg_make(&r);
        struct picture want = decode(&base, 0, 0);

        for (int arithmetic = 0; arithmetic < 2; arithmetic++) {
            struct jpeg_bytes j;
            struct picture p;

            r.progressive = true;
            r.arithmetic = arithmetic;
            j = jpeg_make(&r);
            p = decode(&j, 0, 0);
            check_ok(p.ok, &p.err);
            assert_int_equal(p.rows, p.height);
            check_rows("eighth", &want, &p, 0, want.height);
            free(p.rgb);
            free(j.data);
        }
        free(want.rgb);
        free(base.data);
    }
}

/* Cut at every place, a progressive file gives the eighth of the whole, or is
 * refused: never one made of half its scans. */
static void test_an_eighth_of_a_cut_file_is_whole_or_refused(void **state)
{
    const struct jpeg_recipe r = {
        .height = 300, .h = 2, .v = 2, .progressive = true};
    struct jpeg_bytes j = jpeg_make(&r);
    struct picture want = decode(&j, 0, 0);
    const size_t size = j.size;
    size_t read = 0, refused = 0;

    (void)state;
    for (j.size = jpeg_scan(&j); j.size < size; j.size += 7) {
        struct picture p = decode(&j, 0, 0);

        if (p.ok)
            check_rows("cut", &want, &p, 0, want.height);
        else
            assert_int_equal(p.err.kind, ERR_INPUT);
        *(p.ok ? &read : &refused) += 1;
        free(p.rgb);
    }
    assert_true(read > 10 && refused > 10);
    free(want.rgb);
    free(j.data);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_rows_are_those_of_the_whole_picture),
        cmocka_unit_test(test_damage_is_found_outside_of_the_rows_too),
        cmocka_unit_test(test_an_eighth_is_the_same_however_it_is_coded),
        cmocka_unit_test(test_an_eighth_of_a_cut_file_is_whole_or_refused),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
