/* The coarse map of a picture: what a block says, and where it lies. */
#include "support.h"

#include <math.h>
#include <stdlib.h>

#include "measure/check.h"
#include "measure/map.h"
#include "picture.h"

/* The bytes are cut to a share of them: 1 for all. */
static struct map map_of(const struct picture *p, double share)
{
    struct measure_notes unused = {0};
    struct photo photo = {0};
    struct light light = {0};
    struct map map = {0};
    struct error err = {0};
    size_t size;
    unsigned char *data = picture_jpeg(p, &size);

    size = (size_t)((double)size * share);
    check_ok(photo_open(data, size, &photo, &err), &err);
    check_ok(light_choose(&photo, MEASURE_PROFILE_FILE, &light, &unused, &err),
             &err);
    check_ok(map_take(&photo, data, size, &light, &map, &err), &err);
    light_clear(&light);
    photo_clear(&photo);
    free(data);
    return map;
}

/* One colour of sRGB codes everywhere. */
static struct picture flat(int w, int h, double r, double g, double b)
{
    struct picture p = picture_plain();

    p.w = w;
    p.h = h;
    p.patch[0] = (struct patch){{0, 0, w, h}, {r, g, b}, 0, 0, true};
    p.patches = 1;
    p.quality = 100;
    return p;
}

/* IEC 61966-2-1: code 119 is 0.184475 of light, 188 is 0.502886. */
static void test_a_block_holds_the_light_of_its_codes(void **state)
{
    const struct picture p = flat(160, 120, 188, 119, 119);
    struct map map = map_of(&p, 1);

    (void)state;
    assert_int_equal(map.nx, 20);
    assert_int_equal(map.ny, 15);
    for (int i = 0; i < 20 * 15; i++) {
        const struct map_block *b = &map.block[i];

        /* One code of rounding, which is 1.8 % at 119 and 1.2 % at 188. */
        check_near("red", b->light[0], 0.502886, 0.007);
        check_near("green", b->light[1], 0.184475, 0.0035);
        check_near("blue", b->light[2], 0.184475, 0.0035);
        check_near("Y", b->trait[0], log(b->Y + CHECK_MAP_FLOOR), 1e-12);
        check_near("R/G", b->trait[1], log(0.503886 / 0.185475), 0.04);
        check_near("B/G", b->trait[2], 0, 0.04);
        check_near("cv", b->cv, 0, 0.01);
        assert_int_equal(b->low + b->high, 0);
        assert_false(b->lost);
    }
    map_clear(&map);
}

static void test_pixels_that_may_be_cut_off_are_counted(void **state)
{
    struct picture p = flat(160, 120, 255, 119, 119);
    struct map map;

    (void)state;
    picture_add(&p,
                (struct patch){{80, 0, 80, 120}, {119, 119, 0}, 0, 0, true});
    map = map_of(&p, 1);
    assert_int_equal(map.block[0].high, 16);
    assert_int_equal(map.block[0].low, 0);
    assert_int_equal(map.block[19].low, 16);
    assert_int_equal(map.block[19].high, 0);
    map_clear(&map);
}

/* Half the pixels of each block have half the light of the others: mean 0.75,
 * standard deviation 0.25 of the lighter; 16 pixels make that 16/15 in the
 * square. Stripes as wide as a pixel of the shrunken picture. */
static void test_variation_inside_a_block_is_seen(void **state)
{
    struct picture p = flat(64, 64, 188, 188, 188);
    struct map map;

    (void)state;
    for (int x = 0; x < 32; x += 4)
        picture_add(&p,
                    (struct patch){{x, 0, 2, 64}, {137, 137, 137}, 0, 0, true});
    map = map_of(&p, 1); /* 137: 0.250158 */
    for (size_t i = 0; i < 4; i++)
        check_near("stripes", map.block[i].cv,
                   (0.502886 - 0.250158) / (0.502886 + 0.250158) *
                       sqrt(16.0 / 15),
                   0.02);
    for (size_t i = 5; i < 8; i++)
        check_near("plain", map.block[i].cv, 0, 0.01);
    map_clear(&map);
}

/* Blocks of 8, 16, 32 pixels below 1.5 and 6 million pixels and from there
 * on; what makes no whole block is in none. */
static void test_larger_pictures_have_larger_blocks(void **state)
{
    static const struct {
        int w, h;
        uint32_t side;
    } rows[] = {
        {1000, 1499, 8}, {1000, 1500, 16}, {2000, 2999, 16}, {2000, 3000, 32}};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const struct picture p = flat(rows[i].w, rows[i].h, 119, 119, 119);
        struct map map = map_of(&p, 1);

        assert_int_equal(map.side, rows[i].side);
        assert_int_equal(map.nx, (uint32_t)rows[i].w / rows[i].side);
        assert_int_equal(map.ny, (uint32_t)rows[i].h / rows[i].side);
        assert_int_equal(map.width, rows[i].w);
        assert_int_equal(map.height, rows[i].h);
        map_clear(&map);
    }
}

/* A picture of no whole number of blocks with a light corner: wherever the
 * stored grid begins, that corner is told in upright pixels. */
static void test_a_block_lies_where_it_is_said_in_all_orientations(void **state)
{
    struct picture p = flat(203, 150, 60, 60, 60);

    (void)state;
    picture_add(&p,
                (struct patch){{96, 40, 107, 110}, {200, 60, 60}, 0, 0, true});
    for (int o = 1; o <= 8; o++) {
        struct map map;

        p.orientation = o;
        map = map_of(&p, 1);
        assert_int_equal(map.nx, 25);
        assert_int_equal(map.ny, 18);
        for (uint32_t j = 0; j < map.ny; j++)
            for (uint32_t i = 0; i < map.nx; i++) {
                const int64_t x = map.x + 8 * i, y = map.y + 8 * j;
                const double red = map.block[(size_t)j * map.nx + i].trait[1];

                if (x >= 96 && y >= 40)
                    assert_true(red > 1);
                else if (x + 8 <= 96 || y + 8 <= 40)
                    assert_true(fabs(red) < 0.2);
                assert_int_equal(map_at(&map, (uint32_t)x + 7, (uint32_t)y + 7),
                                 j * map.nx + i);
            }
        assert_int_equal(map_at(&map, 202, 149), 25 * 18 - 1);
        assert_int_equal(map_at(&map, 0, 0), 0);
        map_clear(&map);
    }
}

static void test_blocks_below_a_cut_are_lost(void **state)
{
    struct picture p = picture_plain();
    struct map map = map_of(&p, 0.6);
    uint32_t lost = 0;

    (void)state;
    for (uint32_t j = 0; j < map.ny; j++) {
        const bool here = map.block[(size_t)j * map.nx].lost;

        assert_true(here >=
                    (j > 0 && map.block[(size_t)(j - 1) * map.nx].lost));
        for (uint32_t i = 0; i < map.nx; i++)
            assert_int_equal(map.block[(size_t)j * map.nx + i].lost, here);
        lost += here;
    }
    assert_true(lost > map.ny / 5 && lost < map.ny * 3 / 5);
    map_clear(&map);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_a_block_holds_the_light_of_its_codes),
        cmocka_unit_test(test_pixels_that_may_be_cut_off_are_counted),
        cmocka_unit_test(test_variation_inside_a_block_is_seen),
        cmocka_unit_test(test_larger_pictures_have_larger_blocks),
        cmocka_unit_test(
            test_a_block_lies_where_it_is_said_in_all_orientations),
        cmocka_unit_test(test_blocks_below_a_cut_are_lost),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
