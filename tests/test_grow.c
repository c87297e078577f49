/* Regions of a map: their shape, their box, and what they must not take. */
#include "support.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "measure/grow.h"

enum { NX = 60, NY = 40, N = NX * NY };
#define SIDE INT64_C(8) /* of a block */

/* A map by hand: 8 x 8 blocks of one colour. */
static struct map plain(void)
{
    struct map map = {.width = 8 * NX,
                      .height = 8 * NY,
                      .side = 8,
                      .nx = NX,
                      .ny = NY,
                      .block = mem_new(N, sizeof *map.block)};

    for (size_t i = 0; i < N; i++)
        map.block[i] = (struct map_block){.trait = {-1, 0.3, -0.6}, .cv = 0.1};
    return map;
}

static struct map_block *at(struct map *map, int x, int y)
{
    return &map->block[y * NX + x];
}

/* Another colour in a rectangle. */
static void lay(struct map *map, struct box b, double Y, double RG, double BG,
                double cv)
{
    for (int64_t y = b.y; y < b.y + b.h; y++)
        for (int64_t x = b.x; x < b.x + b.w; x++)
            *at(map, (int)x, (int)y) =
                (struct map_block){.trait = {Y, RG, BG}, .cv = cv};
}

static struct grown grow(const struct map *map, enum grow_kind kind, int x,
                         int y, unsigned char *taken)
{
    struct grower g;
    struct grown out;

    grower_init(&g, map);
    out = grow_from(&g, kind, (size_t)y * NX + (size_t)x, 0, taken);
    grower_clear(&g);
    return out;
}

/* ---- shape -------------------------------------------------------------- */

static double shape_of(const unsigned char *in, double sides[2])
{
    return grow_shape(in, NX, NY, sides);
}

/* Row 11 of the worked numbers behind docs/colour.md: exactly 1, which without
 * the 1/12 would be 1.0114 for 12 x 8 and 1.0475 for 6 x 4. */
static void test_a_solid_rectangle_has_shape_one(void **state)
{
    static const int size[][2] = {{12, 8}, {6, 4}, {1, 1}, {1, 17}, {60, 40}};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(size); i++) {
        unsigned char in[N] = {0};
        double sides[2];

        for (int y = 0; y < size[i][1]; y++)
            for (int x = 0; x < size[i][0]; x++)
                in[y * NX + x] = 1;
        check_near("shape", shape_of(in, sides), 1, 1e-12);
        check_near("longer", sides[0], fmax(size[i][0], size[i][1]), 1e-9);
        check_near("shorter", sides[1], fmin(size[i][0], size[i][1]), 1e-9);
    }
}

static void test_other_shapes_have_other_numbers(void **state)
{
    unsigned char none[N] = {0}, disc[N] = {0}, frame[N] = {0}, turned[N] = {0};

    (void)state;
    for (int y = 0; y < NY; y++)
        for (int x = 0; x < NX; x++) {
            const double u = x - 30, v = y - 20;
            const double a = 0.9848 * u + 0.1736 * v; /* 10 degrees */
            const double b = 0.9848 * v - 0.1736 * u;

            disc[y * NX + x] = hypot(u / 25, v / 15) <= 1;
            frame[y * NX + x] = fabs(u) <= 20 && fabs(v) <= 15 &&
                                (fabs(u) > 15 || fabs(v) > 10);
            turned[y * NX + x] = fabs(a) <= 20 && fabs(b) <= 12;
        }
    check_near("none", shape_of(none, NULL), 0, 0);
    check_near("ellipse", shape_of(disc, NULL), acos(-1) / 3, 0.01);
    assert_true(shape_of(frame, NULL) < 0.5);
    check_near("turned", shape_of(turned, NULL), 1, 0.01);
}

/* ---- the largest rectangle ---------------------------------------------- */

static bool full(const unsigned char *in, int x, int y, int w, int h)
{
    for (int j = y; j < y + h; j++)
        for (int i = x; i < x + w; i++)
            if (!in[j * 9 + i])
                return false;
    return true;
}

/* Against every rectangle there is. */
static void test_the_largest_rectangle_is_the_largest(void **state)
{
    uint32_t luck = 1;

    (void)state;
    for (int round = 0; round < 300; round++) {
        unsigned char in[9 * 7];
        int most = 0;
        struct box b;

        for (size_t i = 0; i < sizeof in; i++) {
            luck = luck * 1664525u + 1013904223u;
            in[i] = (luck >> 24) % 4 > 0;
        }
        for (int y = 0; y < 7; y++)
            for (int x = 0; x < 9; x++)
                for (int h = 1; y + h <= 7; h++)
                    for (int w = 1; x + w <= 9; w++)
                        if (w * h > most && full(in, x, y, w, h))
                            most = w * h;
        b = grow_rectangle(in, 9, 7);
        assert_int_equal(b.w * b.h, most);
        assert_true(full(in, (int)b.x, (int)b.y, (int)b.w, (int)b.h));
    }
}

/* ---- growing ------------------------------------------------------------ */

static const struct box thing = {10, 8, 14, 20};

/* The rim is taken off, one block on each side, and more at the corners. */
static void test_a_region_ends_where_the_colour_does(void **state)
{
    struct map map = plain();
    struct grown g;

    (void)state;
    lay(&map, thing, -2, 0.3, -0.6, 0.2);
    g = grow(&map, GROW_SKEIN, 15, 15, NULL);
    assert_int_equal(g.fault, GROW_FOUND);
    assert_int_equal(g.blocks, 14 * 20);
    assert_true(g.box.x >= SIDE * 11 && g.box.y >= SIDE * 9);
    assert_true(g.box.x + g.box.w <= SIDE * 23 &&
                g.box.y + g.box.h <= SIDE * 27);
    assert_true(g.box.w * g.box.h >= SIDE * SIDE * 12 * 16);
    check_near("shape", g.shape, 1, 0.03);
    check_near("outline", g.outline, 1, 1e-12);
    check_near("cv", g.cv, 0.2, 1e-12);
    free(map.block);
}

/* By light, by red and by blue alone. */
static void test_each_trait_ends_a_region(void **state)
{
    static const double other[][3] = {
        {-1.6, 0.3, -0.6}, {-1, 0.5, -0.6}, {-1, 0.3, -0.3}};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(other); i++) {
        struct map map = plain();
        struct grown g;

        lay(&map, thing, other[i][0], other[i][1], other[i][2], 0.1);
        g = grow(&map, GROW_SKEIN, 15, 15, NULL);
        assert_int_equal(g.fault, GROW_FOUND);
        assert_int_equal(g.blocks, 14 * 20);
        free(map.block);
    }
}

static void test_what_is_too_like_its_surroundings_is_refused(void **state)
{
    struct map map = plain();
    struct grown g;

    (void)state;
    lay(&map, thing, -1.05, 0.32, -0.6, 0.2);
    g = grow(&map, GROW_SKEIN, 15, 15, NULL);
    assert_int_equal(g.fault, GROW_LARGE);
    free(map.block);
}

/* A third of the picture, from one border to the other. */
static void test_a_band_across_the_picture_is_no_skein(void **state)
{
    struct map map = plain();
    struct grown g;

    (void)state;
    lay(&map, (struct box){20, 0, 15, NY}, -2, 0.3, -0.6, 0.2);
    g = grow(&map, GROW_SKEIN, 27, 20, NULL);
    assert_int_equal(g.fault, GROW_BORDERS);
    assert_int_equal(g.borders, 2);
    free(map.block);
}

/* It would end by the table's slow change of light and by nothing else. */
static void test_a_slope_of_light_is_no_edge(void **state)
{
    struct map map = plain();
    struct grown g;

    (void)state;
    for (int y = 0; y < NY; y++)
        for (int x = 0; x < NX; x++)
            at(&map, x, y)->trait[0] = -0.03 * (abs(x - 30) + abs(y - 20));
    g = grow(&map, GROW_SKEIN, 30, 20, NULL);
    assert_int_equal(g.fault, GROW_OUTLINE);
    assert_true(g.outline < 0.1);
    free(map.block);
}

/* With tighter limits the neighbour that let it leak is left alone. */
static void test_a_leak_is_tried_again_with_tighter_limits(void **state)
{
    struct map map = plain();
    struct grown g;

    (void)state;
    lay(&map, thing, -1.22, 0.3, -0.6, 0.2);
    g = grow(&map, GROW_SKEIN, 15, 15, NULL);
    assert_int_equal(g.fault, GROW_FOUND);
    assert_int_equal(g.blocks, 14 * 20);
    free(map.block);
}

/* A tie of other yarn across it, and a tag: the box keeps to one side. */
static void test_what_does_not_belong_is_left_out_of_the_box(void **state)
{
    struct map map = plain();
    struct grown g;

    (void)state;
    lay(&map, thing, -2, 0.3, -0.6, 0.2);
    lay(&map, (struct box){10, 13, 14, 1}, -0.7, 0.1, -0.1, 0.2);
    lay(&map, (struct box){22, 20, 2, 3}, -0.3, 0, 0, 0.01);
    g = grow(&map, GROW_SKEIN, 15, 20, NULL);
    assert_int_equal(g.fault, GROW_FOUND);
    assert_true(g.box.y >= SIDE * 14);
    assert_true(g.box.x + g.box.w <= SIDE * 22 || g.box.y >= SIDE * 23);
    free(map.block);
}

/* A tap on a gap between two strands begins beside it. */
static void test_a_tap_on_an_odd_block_begins_beside_it(void **state)
{
    struct map map = plain();
    struct grown g;

    (void)state;
    lay(&map, thing, -2, 0.3, -0.6, 0.2);
    at(&map, 15, 15)->trait[0] = -3;
    g = grow(&map, GROW_SKEIN, 15, 15, NULL);
    assert_int_equal(g.fault, GROW_FOUND);
    assert_true(g.blocks >= 14 * 20 - 1);
    free(map.block);
}

static void test_what_is_taken_is_left_alone(void **state)
{
    unsigned char taken[N] = {0};
    struct map map = plain();
    struct grown g;
    size_t n = 0;

    (void)state;
    lay(&map, thing, -2, 0.3, -0.6, 0.2);
    for (int y = 8; y < 18; y++)
        memset(taken + (ptrdiff_t)y * NX + 10, 1, 14);
    g = grow(&map, GROW_SKEIN, 15, 23, taken);
    assert_int_equal(g.blocks, 14 * 10);
    for (size_t i = 0; i < N; i++)
        n += taken[i];
    assert_int_equal(n, 14 * 20);
    free(map.block);
}

/* ---- the card ----------------------------------------------------------- */

static void test_a_card_is_smooth_even_and_a_rectangle(void **state)
{
    struct map map = plain();

    (void)state;
    lay(&map, thing, -1.6, 0, 0, 0.01);
    assert_int_equal(grow(&map, GROW_CARD, 15, 15, NULL).fault, GROW_FOUND);
    lay(&map, thing, -1.6, 0, 0, 0.06); /* a weave */
    assert_int_equal(grow(&map, GROW_CARD, 15, 15, NULL).fault, GROW_SMALL);
    lay(&map, thing, -1.6, 0, 0, 0.01);
    lay(&map, (struct box){10, 18, 7, 10}, -1, 0.3, -0.6, 0.1); /* an L */
    assert_int_equal(grow(&map, GROW_CARD, 20, 15, NULL).fault, GROW_SHAPE);
    free(map.block);
}

/* Grain of one and a half times the usual limit: the limits give way. */
static void test_grain_does_not_hide_a_card(void **state)
{
    struct map map = plain();
    uint32_t luck = 7;
    struct grown g;

    (void)state;
    lay(&map, thing, -1.6, 0, 0, 0.01);
    for (int64_t y = thing.y; y < thing.y + thing.h; y++)
        for (int64_t x = thing.x; x < thing.x + thing.w; x++) {
            luck = luck * 1664525u + 1013904223u;
            at(&map, (int)x, (int)y)->trait[1] =
                0.075 * ((luck >> 8) / 8388608.0 - 1);
        }
    g = grow(&map, GROW_CARD, 15, 15, NULL);
    assert_int_equal(g.fault, GROW_FOUND);
    assert_true(g.blocks > 14 * 20 * 9 / 10);
    free(map.block);
}

static void test_nothing_grows_where_the_file_is_damaged(void **state)
{
    struct map map = plain();
    struct grown g;

    (void)state;
    lay(&map, thing, -2, 0.3, -0.6, 0.2);
    for (int y = 20; y < NY; y++)
        for (int x = 0; x < NX; x++)
            at(&map, x, y)->lost = true;
    assert_int_equal(grow(&map, GROW_SKEIN, 15, 25, NULL).fault, GROW_DAMAGED);
    g = grow(&map, GROW_SKEIN, 15, 12, NULL);
    assert_int_equal(g.blocks, 14 * 12);
    assert_true(g.box.y + g.box.h <= SIDE * 20);
    free(map.block);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_a_solid_rectangle_has_shape_one),
        cmocka_unit_test(test_other_shapes_have_other_numbers),
        cmocka_unit_test(test_the_largest_rectangle_is_the_largest),
        cmocka_unit_test(test_a_region_ends_where_the_colour_does),
        cmocka_unit_test(test_each_trait_ends_a_region),
        cmocka_unit_test(test_what_is_too_like_its_surroundings_is_refused),
        cmocka_unit_test(test_a_band_across_the_picture_is_no_skein),
        cmocka_unit_test(test_a_slope_of_light_is_no_edge),
        cmocka_unit_test(test_a_leak_is_tried_again_with_tighter_limits),
        cmocka_unit_test(test_what_does_not_belong_is_left_out_of_the_box),
        cmocka_unit_test(test_a_tap_on_an_odd_block_begins_beside_it),
        cmocka_unit_test(test_what_is_taken_is_left_alone),
        cmocka_unit_test(test_a_card_is_smooth_even_and_a_rectangle),
        cmocka_unit_test(test_grain_does_not_hide_a_card),
        cmocka_unit_test(test_nothing_grows_where_the_file_is_damaged),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
