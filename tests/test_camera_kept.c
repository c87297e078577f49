/* What the book keeps of cameras: src/book/camera.c. */
#include "support.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "book/camera.h"
#include "book/photo.h"
#include "book/record.h"
#include "book/store.h"

/* Points on a curve, and without a chart. */
static struct camera camera_of(size_t points)
{
    struct camera c = {.name = {.make = "Oravis", .model = "Oravis 7"},
                       .points = points,
                       .neutrals = points,
                       .left_out_dL = 0.75};

    snprintf(c.name.mode, sizeof c.name.mode, "sRGB, software 1.02");
    for (int i = 0; i < 3; i++)
        for (size_t k = 0; k < points; k++) {
            c.is[i][k] = 0.9 * pow(0.8, (double)(points - k)) + 0.01 * i;
            c.light[i][k] = pow(c.is[i][k], 1.3);
        }
    return c;
}

static struct book *book_new(int64_t *photo)
{
    const struct photo_facts facts = {.shows = "colour"};
    const struct kept_file file = {.bytes = 1};
    struct error err = {0};
    struct book *book;

    check_ok(book_open(":memory:", &book, &err), &err);
    check_ok(book_act_begin(book, "test", &err), &err);
    check_ok(photo_record(book, &file, &facts, photo, &err), &err);
    return book;
}

static void test_the_book_gives_back_what_it_was_told(void **state)
{
    static const double rows[3][CAMERA_TERMS] = {{0.5, 0.33, 0.13, 0.02, 0, 1},
                                                 {0.2, 0.8, 0.01, 0, 0.03, -1},
                                                 {0, 0.05, 0.75, 0, 0, 0.04}};
    struct camera with = camera_of(CAMERA_POINTS), plain = camera_of(2), *got;
    struct error err = {0};
    int64_t photo, id[2];
    struct book *book = book_new(&photo);
    size_t n;

    (void)state;
    plain.left_out_dL = (double)NAN;
    with.terms = CAMERA_TERMS;
    memcpy(with.from_terms, rows, sizeof rows);
    with.left_out_de00 = 1.25;
    with.left_sL = 0.5;
    with.left_sa = 1.5;
    with.left_sb = 2.5;
    check_ok(camera_record(book, &plain, photo, "", &id[0], &err), &err);
    check_ok(
        camera_record(book, &with, photo, "2026-05-03 14:05:06", &id[1], &err),
        &err);
    check_ok(cameras_read(book, &got, &n, &err), &err);
    assert_int_equal(n, 2);
    check_text("from", got[1].from, "camera #2, learnt from photo #1");
    check_text("mode", got[1].name.mode, with.name.mode);
    assert_int_equal(got[0].terms, 0);
    assert_true(isnan(got[0].left_out_dL));
    assert_int_equal(got[1].points, with.points);
    assert_int_equal(got[1].neutrals, with.neutrals);
    for (int c = 0; c < 3; c++) {
        for (size_t i = 0; i < with.points; i++) {
            check_near("is", got[1].is[c][i], with.is[c][i], 1e-8);
            check_near("light", got[1].light[c][i], with.light[c][i], 1e-8);
        }
        for (int k = 0; k < CAMERA_TERMS; k++)
            check_near("matrix", got[1].from_terms[c][k], rows[c][k], 1e-9);
    }
    check_near("off", got[1].left_out_de00, 1.25, 0);
    check_near("off b", got[1].left_sb, 2.5, 0);
    free(got);
    check_ok(record_withdraw(book, NOUN_CAMERA, id[1], true, &err), &err);
    check_ok(cameras_read(book, &got, &n, &err), &err);
    assert_int_equal(n, 1);
    check_text("from", got[0].from, "camera #1, learnt from photo #1");
    free(got);
    book_close(book);
}

/* A file that was tampered with. */
static void test_a_curve_that_does_not_rise_is_refused(void **state)
{
    static const char *const bad[] = {"",
                                      "0.1,0.2",
                                      "0.1,0.2 0.1,0.3",
                                      "0.1,0.3 0.2,0.2",
                                      "0,0.1 0.2,0.2",
                                      "0.1,0.2 0.3",
                                      "0.1,0.2 0.3,nan",
                                      "0.1,0.2 0.2,0.3 0.3,0.4"};
    const struct camera camera = camera_of(2);
    int64_t photo, id;
    struct book *book = book_new(&photo);

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(bad); i++) {
        struct camera *got;
        struct error err = {0};
        char sql[128];
        size_t n;

        check_ok(camera_record(book, &camera, photo, "", &id, &err), &err);
        snprintf(sql, sizeof sql, "UPDATE camera SET green = '%s'", bad[i]);
        check_ok(store_exec(book, sql, &err), &err);
        assert_false(cameras_read(book, &got, &n, &err));
        assert_int_equal(err.kind, ERR_STORE);
        assert_non_null(strstr(err.text, "curve of camera"));
        assert_null(got);
    }
    book_close(book);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_the_book_gives_back_what_it_was_told),
        cmocka_unit_test(test_a_curve_that_does_not_rise_is_refused),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
