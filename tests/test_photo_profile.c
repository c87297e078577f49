/* Profiles out of their APP2 chunks, whole, shuffled and broken. */
#include "support.h"

#include <stdlib.h>
#include <string.h>

#include "jpeg_make.h"
#include "photo/photo.h"

#define ICC "ICC_PROFILE" /* 12 bytes with its NUL */

/* Adds one ICC chunk before the frame. */
static void add_chunk(struct jpeg_bytes *j, int number, int count,
                      const unsigned char *bytes, size_t n)
{
    unsigned char body[65533];

    memcpy(body, ICC, 12);
    body[12] = (unsigned char)number;
    body[13] = (unsigned char)count;
    memcpy(body + 14, bytes, n);
    jpeg_add_before(j, 0xC0, 0xE2, body, n + 14);
}

static void test_profiles_come_back_from_their_chunks(void **state)
{
    static const int counts[] = {1, 2, 6, 255};
    unsigned char profile[255 * 40];

    (void)state;
    for (size_t i = 0; i < sizeof profile; i++)
        profile[i] = (unsigned char)(i * 31 % 251);
    for (size_t i = 0; i < ARRAY_LEN(counts); i++) {
        for (int reversed = 0; reversed < 2; reversed++) {
            struct jpeg_bytes j = jpeg_plain();
            int n = counts[i];
            for (int c = 1; c <= n; c++) {
                int number = reversed ? n + 1 - c : c;
                add_chunk(&j, number, n,
                          profile + (size_t)40 * (size_t)(number - 1), 40);
            }
            struct photo p = photo_opens("chunks", &j);
            assert_int_equal(p.icc_state, PHOTO_ICC_WHOLE);
            assert_int_equal(p.icc_size, 40 * n);
            assert_memory_equal(p.icc, profile, p.icc_size);
            assert_int_equal(p.notes, PHOTO_NOTE_NO_CAMERA);
            photo_clear(&p);
            assert_null(p.icc);
            free(j.data);
        }
    }
}

/* Each row is chunks as number, count, content, length. */
static void test_profiles_with_wrong_chunks_are_broken(void **state)
{
    static const struct {
        const char *row;
        struct {
            int number, count;
            const char *content;
            int n;
        } chunk[3];
        enum photo_icc want;
        size_t size;
    } rows[] = {
        {"one missing", {{1, 2, "aaa", 3}}, PHOTO_ICC_BROKEN, 0},
        {"first missing", {{2, 2, "aaa", 3}}, PHOTO_ICC_BROKEN, 0},
        {"middle missing",
         {{1, 3, "aaa", 3}, {3, 3, "ccc", 3}},
         PHOTO_ICC_BROKEN,
         0},
        {"same chunk twice",
         {{1, 2, "aaa", 3}, {1, 2, "aaa", 3}, {2, 2, "bb", 2}},
         PHOTO_ICC_WHOLE,
         5},
        {"two that differ",
         {{1, 1, "aaa", 3}, {1, 1, "aab", 3}},
         PHOTO_ICC_BROKEN,
         0},
        {"two lengths",
         {{1, 1, "aaa", 3}, {1, 1, "aaa", 2}},
         PHOTO_ICC_BROKEN,
         0},
        {"number 0", {{0, 1, "aaa", 3}}, PHOTO_ICC_BROKEN, 0},
        {"number 0 of 0", {{0, 0, "aaa", 3}}, PHOTO_ICC_BROKEN, 0},
        {"number over count", {{3, 2, "aaa", 3}}, PHOTO_ICC_BROKEN, 0},
        {"counts differ",
         {{1, 2, "aaa", 3}, {2, 3, "bb", 2}},
         PHOTO_ICC_BROKEN,
         0},
        {"broken, then whole",
         {{0, 0, "aaa", 3}, {1, 1, "bb", 2}},
         PHOTO_ICC_BROKEN,
         0},
        {"nothing in it", {{1, 1, "", 0}}, PHOTO_ICC_BROKEN, 0},
        {"one empty chunk",
         {{1, 2, "aaa", 3}, {2, 2, "", 0}},
         PHOTO_ICC_WHOLE,
         3},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct jpeg_bytes j = jpeg_plain();
        for (size_t c = 0; c < 3 && rows[i].chunk[c].content; c++)
            add_chunk(&j, rows[i].chunk[c].number, rows[i].chunk[c].count,
                      (const unsigned char *)rows[i].chunk[c].content,
                      (size_t)rows[i].chunk[c].n);
        struct photo p = photo_opens(rows[i].row, &j);
        check_near(rows[i].row, p.icc_state, rows[i].want, 0);
        assert_int_equal(p.icc_size, rows[i].size);
        assert_int_equal(p.icc != NULL, rows[i].want == PHOTO_ICC_WHOLE);
        assert_false(p.notes & PHOTO_NOTE_STRIPPED);
        photo_clear(&p);
        free(j.data);
    }
}

static void test_a_profile_of_16_mb_is_broken_by_its_size(void **state)
{
    struct jpeg_bytes j = jpeg_plain();
    static unsigned char noise[65519];
    struct photo p;

    (void)state;
    for (int c = 1; c <= 255; c++)
        add_chunk(&j, c, 255, noise, sizeof noise);
    p = photo_opens("16.7 MB", &j);
    assert_int_equal(p.icc_state, PHOTO_ICC_BROKEN);
    photo_clear(&p);
    free(j.data);
}

static void test_other_app2_segments_are_no_profile(void **state)
{
    static const struct {
        const char *row;
        const char *body;
        size_t size;
    } rows[] = {{"short", ICC "\0\x01", 13},
                {"other name", "ICC_PROFILF\0\1\1abc", 17},
                {"gain map", "urn:iso:std:iso:ts:21496:-1\0\0\0\0\0", 32},
                {"empty", "", 0}};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct jpeg_bytes j = jpeg_plain();
        jpeg_add(&j, 0xE2, rows[i].body, rows[i].size);
        struct photo p = photo_opens(rows[i].row, &j);
        check_near(rows[i].row, p.icc_state, PHOTO_ICC_NONE, 0);
        photo_clear(&p);
        free(j.data);
    }
}

static void test_a_profile_after_the_frame_counts(void **state)
{
    struct jpeg_bytes j = jpeg_plain();
    struct photo p;

    (void)state;
    jpeg_add_before(&j, 0xDA, 0xE2, ICC "\0\x01\x01xyz", 17);
    p = photo_opens("after the frame", &j);
    assert_int_equal(p.icc_state, PHOTO_ICC_WHOLE);
    assert_int_equal(p.icc_size, 3);
    photo_clear(&p);
    free(j.data);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_profiles_come_back_from_their_chunks),
        cmocka_unit_test(test_profiles_with_wrong_chunks_are_broken),
        cmocka_unit_test(test_a_profile_of_16_mb_is_broken_by_its_size),
        cmocka_unit_test(test_other_app2_segments_are_no_profile),
        cmocka_unit_test(test_a_profile_after_the_frame_counts),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
