/*
 * src/photo/packed.c against libjpeg's own arrays, which are the oracle: the
 * same rows, warnings and refusals; and how little it takes.
 *
 * link: -Wl,--wrap=packed_pays
 */
#include "jpeg_make.h"
#include "support.h"

#include <setjmp.h>
#include <stdlib.h>
#include <string.h>

#include <jerror.h>

#include "support.h"
#include "photo/packed.h"

/* ---- photo_decode, packed or not as we say --------------------------------
 */

static bool forced;

bool __wrap_packed_pays(const struct jpeg_decompress_struct *jpeg);
bool __real_packed_pays(const struct jpeg_decompress_struct *jpeg);

bool __wrap_packed_pays(const struct jpeg_decompress_struct *jpeg)
{
    return forced || __real_packed_pays(jpeg);
}

/* ---- libjpeg alone, as a viewer uses it -----------------------------------
 */

struct how {
    bool packed, smooth, each_scan;
};

struct seen {
    uint64_t hash; /* of all rows, FNV-1a */
    size_t rows;
    long warnings;
    int error;     /* what ended it, 0 for nothing */
    double packed; /* bytes for each coefficient */
    jmp_buf jump;
};

static void on_error(j_common_ptr jpeg)
{
    struct seen *s = jpeg->client_data;

    s->error = jpeg->err->msg_code;
    longjmp(s->jump, 1);
}

static void on_message(j_common_ptr jpeg, int level)
{
    struct seen *s = jpeg->client_data;

    s->warnings += level < 0;
}

/* Smoothing the second row of MCUs, libjpeg-turbo 2.1.5 looks one row further
 * than it asked for; we never have it smooth. A row above and below may be
 * mixed with those. */
static bool is_sure(const struct jpeg_decompress_struct *d, unsigned y)
{
    const unsigned mcu = 8 * (unsigned)d->max_v_samp_factor;

    return !d->do_block_smoothing || y + 1 < mcu || y > 2 * mcu;
}

static void take_rows(struct jpeg_decompress_struct *d, struct seen *s)
{
    JSAMPARRAY row = d->mem->alloc_sarray(
        (j_common_ptr)d, JPOOL_IMAGE,
        d->output_width * (unsigned)d->output_components, 1);

    while (d->output_scanline < d->output_height) {
        const bool sure = is_sure(d, d->output_scanline);
        const size_t n = d->output_width * (size_t)d->output_components;

        jpeg_read_scanlines(d, row, 1);
        for (size_t i = 0; i < n && sure; i++)
            s->hash = (s->hash ^ row[0][i]) * 1099511628211u;
        s->rows++;
    }
}

static void take_each_scan(struct jpeg_decompress_struct *d, struct seen *s)
{
    while (!jpeg_input_complete(d)) {
        jpeg_start_output(d, d->input_scan_number);
        take_rows(d, s);
        jpeg_finish_output(d);
    }
}

static double coefficients(const struct jpeg_decompress_struct *d)
{
    double n = 0;

    for (int i = 0; i < d->num_components; i++)
        n += 64.0 * d->comp_info[i].width_in_blocks *
             d->comp_info[i].height_in_blocks;
    return n;
}

static void take(struct jpeg_decompress_struct *d, const struct jpeg_bytes *j,
                 const struct how *how, struct seen *s)
{
    long room;

    if (setjmp(s->jump))
        return;
    jpeg_create_decompress(d);
    jpeg_mem_src(d, j->data, j->size);
    jpeg_read_header(d, TRUE);
    d->do_block_smoothing = how->smooth;
    d->buffered_image = how->each_scan;
    d->mem->max_memory_to_use = 512L << 20;
    if (how->packed)
        packed_use(d);
    room = d->mem->max_memory_to_use;
    jpeg_start_decompress(d);
    if (how->each_scan)
        take_each_scan(d, s);
    else
        take_rows(d, s);
    s->packed = (double)(room - d->mem->max_memory_to_use) / coefficients(d);
    jpeg_finish_decompress(d);
}

static struct seen look(const struct jpeg_bytes *j, struct how how)
{
    struct jpeg_decompress_struct d = {0};
    struct jpeg_error_mgr errors;
    struct seen s = {.hash = 14695981039346656037u};

    d.err = jpeg_std_error(&errors);
    d.client_data = &s;
    errors.error_exit = on_error;
    errors.emit_message = on_message;
    take(&d, j, &how, &s);
    jpeg_destroy_decompress(&d);
    return s;
}

/* ---- pictures -------------------------------------------------------------
 */

static void fail_jpeg(j_common_ptr jpeg)
{
    char text[JMSG_LENGTH_MAX];

    jpeg->err->format_message(jpeg, text);
    fail_msg("libjpeg: %s", text);
    abort();
}

/* The same coefficients, in the scans that libjpeg thinks usual. */
static struct jpeg_bytes made_progressive(const char *path)
{
    struct jpeg_decompress_struct d = {0};
    struct jpeg_compress_struct c = {0};
    struct jpeg_error_mgr errors;
    struct jpeg_bytes out = {0};
    unsigned char *data = NULL, *file;
    unsigned long n = 0;
    size_t size;
    jvirt_barray_ptr *arrays;

    c.err = d.err = jpeg_std_error(&errors);
    errors.error_exit = fail_jpeg;
    file = file_read(path, &size);
    jpeg_create_decompress(&d);
    jpeg_create_compress(&c);
    jpeg_mem_src(&d, file, size);
    jpeg_read_header(&d, TRUE);
    arrays = jpeg_read_coefficients(&d);
    jpeg_copy_critical_parameters(&d, &c);
    jpeg_simple_progression(&c);
    jpeg_mem_dest(&c, &data, &n);
    jpeg_write_coefficients(&c, arrays);
    jpeg_finish_compress(&c);
    jpeg_insert(&out, 0, data, n);
    jpeg_destroy_compress(&c);
    jpeg_destroy_decompress(&d);
    free(data);
    free(file);
    return out;
}

/* Side x side pixels, 4:4:4, whose every coefficient is value or -value. */
static struct jpeg_bytes all_coefficients(unsigned side, int value)
{
    struct jpeg_compress_struct c = {0};
    struct jpeg_error_mgr errors;
    struct jpeg_bytes out = {0};
    unsigned char *data = NULL;
    unsigned long n = 0;
    jvirt_barray_ptr array[3];

    c.err = jpeg_std_error(&errors);
    errors.error_exit = fail_jpeg;
    jpeg_create_compress(&c);
    c.image_width = c.image_height = side;
    c.input_components = 3;
    c.in_color_space = JCS_RGB;
    jpeg_set_defaults(&c);
    for (int i = 0; i < 3; i++) {
        c.comp_info[i].h_samp_factor = c.comp_info[i].v_samp_factor = 1;
        array[i] = c.mem->request_virt_barray((j_common_ptr)&c, JPOOL_IMAGE,
                                              TRUE, side / 8, side / 8, 1);
    }
    jpeg_simple_progression(&c);
    jpeg_mem_dest(&c, &data, &n);
    jpeg_write_coefficients(&c, array);
    for (unsigned i = 0; i < 3 * (side / 8); i++) {
        JBLOCKARRAY rows = c.mem->access_virt_barray(
            (j_common_ptr)&c, array[i % 3], i / 3, 1, TRUE);
        for (unsigned k = 0; k < 64 * (side / 8); k++)
            rows[0][k / 64][k % 64] =
                (JCOEF)((k * 2654435761u + i) >> 16 & 1 ? value : -value);
    }
    jpeg_finish_compress(&c);
    jpeg_insert(&out, 0, data, n);
    jpeg_destroy_compress(&c);
    free(data);
    return out;
}

static const char *const photos[] = {"fixtures/madder-alum.jpg",
                                     "fixtures/tansy-alum.jpg",
                                     "fixtures/walnut-iron.jpg"};

static const struct jpeg_recipe recipes[] = {
    {.progressive = true},
    {.progressive = true, .h = 2, .v = 2},
    {.progressive = true, .h = 2, .v = 2, .width = 131, .height = 97},
    {.progressive = true, .h = 2, .v = 1, .width = 65, .height = 65},
    {.progressive = true, .h = 1, .v = 2, .width = 8, .height = 1},
    {.progressive = true, .h = 4, .v = 1, .width = 99, .height = 77},
    {.progressive = true, .chroma_h = 2, .chroma_v = 2, .width = 70},
    {.progressive = true, .width = 641, .height = 479},
    {.progressive = true, .components = 1, .width = 101, .height = 103},
    {.progressive = true, .components = 4, .width = 101, .height = 103},
    {.progressive = true, .rgb = true, .quality = 100},
    {.progressive = true, .noise = true, .quality = 100, .width = 200},
    {.progressive = true, .noise = true, .h = 2, .v = 2, .quality = 5},
    {.progressive = true, .many_scans = true},
    {.progressive = true, .arithmetic = true, .h = 2, .v = 2},
    {.progressive = true, .restart_mcus = 5, .h = 2, .v = 2},
    {.separate_scans = true, .h = 2, .v = 2, .width = 90},
};

/* ---- tests ----------------------------------------------------------------
 */

/* Cut after so many quarters, or with a byte turned over there. */
static void spoil(struct jpeg_bytes *j, int quarters, bool cut)
{
    const size_t at = j->size * (size_t)quarters / 4;

    if (quarters == 4)
        return;
    if (cut)
        j->size = at;
    else
        j->data[at] ^= 0x55;
}

static void check_alike(const char *name, const struct jpeg_bytes *whole,
                        int quarters, bool cut, struct how how)
{
    struct jpeg_bytes j = {mem_new(whole->size, 1), whole->size};
    struct seen plain, packed;

    memcpy(j.data, whole->data, j.size);
    spoil(&j, quarters, cut);
    plain = look(&j, how);
    how.packed = true;
    packed = look(&j, how);
    if (plain.hash != packed.hash || plain.rows != packed.rows ||
        plain.warnings != packed.warnings || plain.error != packed.error)
        fail_msg("%s, %d quarters%s%s%s: %zu rows and %zu, %ld warnings and "
                 "%ld, error %d and %d",
                 name, quarters, cut ? ", cut" : "",
                 how.smooth ? ", smoothed" : "",
                 how.each_scan ? ", each scan" : "", plain.rows, packed.rows,
                 plain.warnings, packed.warnings, plain.error, packed.error);
    if (quarters == 4) {
        assert_int_equal(plain.error, 0);
        assert_true(plain.rows > 0 && packed.packed > 0);
    }
    free(j.data);
}

static void check_all_ways(const char *name, const struct jpeg_bytes *j)
{
    for (int q = 1; q <= 4; q++)
        for (int ways = 0; ways < (q == 4 ? 4 : 8); ways++)
            check_alike(
                name, j, q, ways < 4,
                (struct how){.smooth = ways & 1, .each_scan = (ways & 2) != 0});
}

static void test_every_coding_gives_the_rows_of_plain_arrays(void **state)
{
    char name[24];

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(recipes); i++) {
        snprintf(name, sizeof name, "recipe %zu", i);
        struct jpeg_bytes j = jpeg_make(&recipes[i]);
        check_all_ways(name, &j);
        free(j.data);
    }
}

static void test_photos_give_the_rows_of_plain_arrays(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(photos); i++) {
        struct jpeg_bytes j = made_progressive(photos[i]);
        struct how how = {0};

        check_alike(photos[i], &j, 4, true, how);
        how.smooth = true;
        check_alike(photos[i], &j, 2, true, how);
        check_alike(photos[i], &j, 3, false, how);
        how.each_scan = true;
        check_alike(photos[i], &j, 4, true, how);
        free(j.data);
    }
}

struct decoded {
    uint64_t hash;
    uint32_t width, rows;
    bool ok;
    struct photo_decoded how;
    struct error err;
};

static bool take_row(void *self, const unsigned char *rgb, uint32_t y)
{
    struct decoded *d = self;

    (void)y;
    for (size_t i = 0; i < 3 * (size_t)d->width; i++)
        d->hash = (d->hash ^ rgb[i]) * 1099511628211u;
    d->rows++;
    return true;
}

static struct decoded decode(const struct jpeg_bytes *j, unsigned shrink,
                             bool pack)
{
    struct decoded d = {0};
    struct photo photo;

    forced = pack;
    if (!photo_open(j->data, j->size, &photo, &d.err))
        return d;
    d.width = (photo.width + shrink - 1) / shrink;
    d.ok = photo_decode_small(&photo, j->data, j->size, shrink, take_row, &d,
                              &d.how, &d.err);
    forced = false;
    photo_clear(&photo);
    return d;
}

/* As a measurement reads it, small copies and refusals too. */
static void test_a_photo_is_read_or_refused_alike(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(recipes); i++) {
        struct jpeg_bytes j = jpeg_make(&recipes[i]);
        for (int q = 4; q > 0; q--) {
            spoil(&j, q, true);
            for (unsigned shrink = 1; shrink <= 8; shrink *= 8) {
                struct decoded a = decode(&j, shrink, false),
                               b = decode(&j, shrink, true);
                assert_int_equal(a.ok, b.ok);
                assert_int_equal(a.rows, b.rows);
                assert_true(a.hash == b.hash);
                assert_int_equal(a.how.notes, b.how.notes);
                assert_int_equal(a.how.damaged_row, b.how.damaged_row);
                assert_string_equal(a.err.text, b.err.text);
            }
        }
        free(j.data);
    }
}

/* The sums of packed.h. Of the allowance of 1.5 bytes a coefficient there has
 * to be room left for what no photo exceeds. */
static void test_it_takes_what_the_header_says(void **state)
{
    static const struct how packed = {.packed = true};
    struct jpeg_bytes ones = all_coefficients(1024, 1),
                      large = all_coefficients(1024, 1000),
                      chance =
                          jpeg_make(&(struct jpeg_recipe){.width = 1024,
                                                          .height = 1024,
                                                          .progressive = true,
                                                          .quality = 100,
                                                          .noise = true});
    struct seen s;

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(photos); i++) {
        struct jpeg_bytes j = made_progressive(photos[i]);
        s = look(&j, packed);
        print_message("#   %s: %.2f bytes a coefficient\n", photos[i],
                      s.packed);
        assert_true(s.packed < 0.5);
        free(j.data);
    }
    s = look(&ones, packed);
    print_message("#   all 1 or -1: %.2f\n", s.packed);
    assert_int_equal(s.error, 0);
    assert_true(s.packed < 1.2);
    s = look(&chance, packed);
    print_message("#   noise at quality 100: %.2f\n", s.packed);
    assert_int_equal(s.error, 0);
    assert_true(s.packed < 1.4);
    assert_int_equal(look(&large, packed).error, JERR_NO_BACKING_STORE);
    assert_int_equal(look(&large, (struct how){0}).error, 0);
    struct decoded d = decode(&large, 1, true);
    assert_int_equal(d.err.kind, ERR_LIMIT);
    assert_non_null(strstr(d.err.text, "too much memory"));
    free(ones.data);
    free(large.data);
    free(chance.data);
}

/* Every number that a coefficient can be. */
static void test_every_value_comes_back(void **state)
{
    struct jpeg_decompress_struct d = {0};
    struct jpeg_error_mgr errors;
    jvirt_barray_ptr a;
    JBLOCKARRAY rows;

    (void)state;
    d.err = jpeg_std_error(&errors);
    errors.error_exit = fail_jpeg;
    jpeg_create_decompress(&d);
    packed_use(&d);
    d.mem->max_memory_to_use = 1L << 20;
    a = d.mem->request_virt_barray((j_common_ptr)&d, JPOOL_IMAGE, TRUE, 16, 70,
                                   3);
    for (unsigned y = 0; y < 64; y++) {
        rows = d.mem->access_virt_barray((j_common_ptr)&d, a, y, 1, TRUE);
        for (int k = 0; k < 1024; k++)
            rows[0][k / 64][k % 64] = (JCOEF)((int)y * 1024 + k - 32768);
    }
    for (unsigned y = 0; y < 68; y++) {
        rows = d.mem->access_virt_barray((j_common_ptr)&d, a, y, 3, FALSE);
        for (int k = 0; k < 3 * 1024; k++) {
            const int n = (int)y * 1024 + k;
            assert_int_equal(rows[k / 1024][k % 1024 / 64][k % 64],
                             n < 65536 ? n - 32768 : 0);
        }
    }
    jpeg_destroy_decompress(&d);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_every_coding_gives_the_rows_of_plain_arrays),
        cmocka_unit_test(test_photos_give_the_rows_of_plain_arrays),
        cmocka_unit_test(test_a_photo_is_read_or_refused_alike),
        cmocka_unit_test(test_it_takes_what_the_header_says),
        cmocka_unit_test(test_every_value_comes_back),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
