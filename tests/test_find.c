/*
 * Finding card and skeins: what docs/colour.md promises, on drawn photographs
 * of which every pixel is known, on small pictures made here in all eight
 * orientations, and on photographs.
 */
#include "find_support.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "picture.h"
#include "truth_support.h"

/* ---- drawn photographs -------------------------------------------------- */

static void print_count(const char *what, struct finds_count c)
{
    printf("#   %s: %zu right (%.1f %%), %zu refused, %zu wrong\n", what,
           c.right, finds_pct(c), c.refused, c.wrong);
}

static void print_finds(const char *what, const struct finds *f)
{
    char words[80];

    snprintf(words, sizeof words, "%s, taps on cards", what);
    print_count(words, f->card_taps);
    snprintf(words, sizeof words, "%s, taps on skeins", what);
    print_count(words, f->skein_taps);
    snprintf(words, sizeof words, "%s, cards by themselves", what);
    print_count(words, f->cards);
    snprintf(words, sizeof words, "%s, skeins by themselves", what);
    print_count(words, f->skeins);
}

/* At least 95 % of taps found, all of them pure to 99 % (the bounds that were
 * set for finding); never a wrong card or skein by itself. */
static void check_finds(const char *what, const struct finds *f)
{
    print_finds(what, f);
    assert_true(finds_pct(f->card_taps) >= 95);
    assert_true(finds_pct(f->skein_taps) >= 95);
    assert_int_equal(f->card_taps.wrong, 0);
    assert_int_equal(f->skein_taps.wrong, 0);
    assert_int_equal(f->cards.wrong, 0);
    assert_int_equal(f->skeins.wrong, 0);
    /* Silence everywhere would be right, and of no use. */
    assert_true(finds_pct(f->cards) >= 90);
    assert_true(finds_pct(f->skeins) >= 90);
}

static void test_card_and_skeins_of_the_fixtures_are_found(void **state)
{
    const struct finds f = finds_of_fixtures(false);

    (void)state;
    check_finds("fixtures", &f);
}

static void test_card_and_skeins_by_chance_are_found(void **state)
{
    const struct finds varied = finds_of_set("varied", 30, 77, false);
    const struct finds even = finds_of_set("even", 10, 77, false);

    (void)state;
    check_finds("any light", &varied);
    check_finds("even light", &even);
}

/* Two of the three are without a colour of their own; the third is wool on an
 * iron mordant, which shows. */
static void test_white_wool_on_white_cloth_asks_for_a_box(void **state)
{
    const struct finds f = finds_on_table("undyed", "cloth", false);

    (void)state;
    print_finds("white cloth", &f);
    assert_int_equal(f.skein_taps.wrong, 0);
    assert_int_equal(f.skein_taps.refused, 10);
    assert_int_equal(f.skein_taps.right, 5);
    assert_int_equal(f.skeins.wrong, 0);
    assert_int_equal(f.skeins.refused, 2);
    assert_int_equal(f.card_taps.right, 5);
    assert_int_equal(f.cards.right, 1);
}

/* ---- small pictures ----------------------------------------------------- */

/* A card and two skeins; strands of 8 pixels make a skein rough. */
static struct picture small_picture(void)
{
    struct picture p = picture_plain();

    p.patch[2].noise = p.patch[3].noise = 0.2;
    return p;
}

static struct find_result *found_in(const struct picture *p,
                                    const struct find_wanted *request)
{
    struct find_result *r = mem_new(1, sizeof *r);
    struct error err = {0};
    size_t size;
    unsigned char *data = picture_jpeg(p, &size);

    check_ok(find_jpeg(data, size, request, r, &err), &err);
    free(data);
    return r;
}

/* One block either way: the decoder's rounding is not the same from both
 * sides, and a block that stands on a limit may fall to either. */
static void check_box(const char *row, const struct find_place *got,
                      const struct find_place *want)
{
    const double block = 8;

    if (!got->found)
        fail_msg("%s: %s", row, got->why);
    assert_true(want->found);
    check_near(row, (double)got->box.x, (double)want->box.x, block);
    check_near(row, (double)got->box.y, (double)want->box.y, block);
    check_near(row, (double)(got->box.x + got->box.w),
               (double)(want->box.x + want->box.w), block);
    check_near(row, (double)(got->box.y + got->box.h),
               (double)(want->box.y + want->box.h), block);
}

/* The same taps, told in the upright picture, however it is stored: 640 x 480
 * is a whole number of blocks either way. Quality 100, for the tables of less
 * quantise a picture on its side otherwise than an upright one. */
static void test_all_eight_orientations_give_the_same_boxes(void **state)
{
    static const struct find_tap tap[] = {{450, 140}, {160, 360}};
    const struct find_wanted taps = {
        .card_tapped = true, .card_tap = {160, 140}, .tap = tap, .taps = 2};
    const struct find_wanted alone = {.proposes = true};
    struct picture p = small_picture();
    struct find_result *upright, *proposed;

    (void)state;
    p.quality = 100;
    upright = found_in(&p, &taps);
    proposed = found_in(&p, &alone);
    assert_int_equal(proposed->skeins, 2);
    for (int o = 1; o <= 8; o++) {
        struct find_result *a, *b;

        p.orientation = o;
        a = found_in(&p, &taps);
        b = found_in(&p, &alone);
        assert_int_equal(a->width, 640);
        assert_int_equal(b->skeins, 2);
        check_box("card tapped", &a->card, &upright->card);
        check_box("card proposed", &b->card, &proposed->card);
        for (int i = 0; i < 2; i++) {
            check_box("tapped", &a->skein[i], &upright->skein[i]);
            check_box("proposed", &b->skein[i], &proposed->skein[i]);
        }
        free(a);
        free(b);
    }
    free(upright);
    free(proposed);
}

static bool lies_in(struct box a, struct box b)
{
    return a.x >= b.x && a.y >= b.y && a.x + a.w <= b.x + b.w &&
           a.y + a.h <= b.y + b.h;
}

static void test_a_box_keeps_to_its_thing_wherever_it_is_tapped(void **state)
{
    struct picture p = small_picture();
    struct find_tap tap[24];
    struct find_wanted request = {.tap = tap, .taps = 0};
    struct find_result *r;

    (void)state;
    p.slope_x = 0.0004; /* 29 % more light at one side */
    for (int y = 70; y < 220; y += 40)
        for (int x = 350; x < 580; x += 40)
            tap[request.taps++] = (struct find_tap){x, y};
    r = found_in(&p, &request);
    for (size_t i = 0; i < r->skeins; i++) {
        if (!r->skein[i].found)
            fail_msg("tap %zu: %s", i, r->skein[i].why);
        assert_true(lies_in(r->skein[i].box, p.patch[2].box));
        assert_true(r->skein[i].box.w * r->skein[i].box.h >
                    p.patch[2].box.w * p.patch[2].box.h / 2);
    }
    free(r);
}

static void test_what_cannot_be_found_says_what_to_do(void **state)
{
    static const struct find_tap tap[] = {{10, 10}, {700, 10}, {450, 140}};
    const struct find_wanted request = {
        .card_tapped = true, .card_tap = {20, 250}, .tap = tap, .taps = 3};
    struct picture p = small_picture();
    struct find_result *r = found_in(&p, &request);

    (void)state;
    assert_false(r->card.found);
    assert_non_null(strstr(r->card.why, "draw a box"));
    assert_false(r->skein[0].found);
    check_text("table", r->skein[0].why,
               "The skein at 10,10 cannot be told from what it lies on: draw a "
               "box on it, or lay it on another colour.");
    assert_false(r->skein[1].found);
    check_text("outside", r->skein[1].why,
               "700,10 lies outside the picture of 640 x 480 pixels: tap on "
               "the skein.");
    assert_true(r->skein[2].found);
    free(r);
}

/* One of them would be taken for the other's light. */
static void test_two_like_cards_are_left_to_the_dyer(void **state)
{
    const struct find_wanted request = {.proposes = true};
    struct picture p = small_picture();
    struct find_result *r;

    (void)state;
    p.patch[3] = (struct patch){{50, 270, 220, 180}, {46, 0, 0}, 0, 0, false};
    r = found_in(&p, &request);
    assert_false(r->card.found);
    assert_non_null(strstr(r->card.why, "tap on it"));
    assert_int_equal(r->skeins, 0);
    assert_non_null(strstr(r->why, "tap on each"));
    free(r);
}

static void test_a_known_card_is_no_skein_and_lets_skeins_be_found(void **state)
{
    const struct find_wanted request = {.proposes = true,
                                        .card_box = {60, 60, 200, 160}};
    struct picture p = small_picture();
    struct find_result *r;

    (void)state;
    p.patch[1].noise = 0.3; /* a card as rough as yarn */
    r = found_in(&p, &request);
    assert_false(r->card.found); /* nobody asked for it */
    check_text("card", r->card.why, "");
    assert_int_equal(r->skeins, 2);
    assert_true(lies_in(r->skein[0].box, p.patch[2].box));
    assert_true(lies_in(r->skein[1].box, p.patch[3].box));
    free(r);
}

static void test_skeins_come_row_by_row(void **state)
{
    static const struct box at[] = {{330, 40, 90, 120},
                                    {520, 60, 90, 120},
                                    {330, 270, 90, 120},
                                    {520, 250, 90, 120}};
    const struct find_wanted request = {.proposes = true};
    struct picture p = small_picture();
    struct find_result *r;

    (void)state;
    p.patches = 2;
    for (size_t i = 0; i < ARRAY_LEN(at); i++)
        picture_add(
            &p, (struct patch){
                    at[3 - i], {40 + 8 * (double)i, 30, 20}, 0.3, 0, false});
    r = found_in(&p, &request);
    assert_int_equal(r->skeins, 4);
    for (size_t i = 0; i < 4; i++)
        assert_true(lies_in(r->skein[i].box, at[i]));
    free(r);
}

/* ---- files -------------------------------------------------------------- */

static void test_files_are_refused_as_measuring_refuses_them(void **state)
{
    static const unsigned char png[] = {0x89, 'P', 'N', 'G', 13, 10, 26, 10};
    const struct find_wanted request = {.proposes = true};
    const struct find_wanted many = {.taps = MEASURE_MAX_REGIONS + 1};
    struct find_result *r = mem_new(1, sizeof *r);
    struct error err = {0};

    (void)state;
    assert_false(find_jpeg(png, sizeof png, &request, r, &err));
    assert_non_null(strstr(err.text, "PNG"));
    assert_false(find_jpeg(png, sizeof png, &many, r, &err));
    assert_int_equal(err.kind, ERR_LIMIT);
    free(r);
}

static void test_nothing_is_found_where_the_file_is_damaged(void **state)
{
    static const struct find_tap tap[] = {{450, 140}, {160, 400}};
    const struct find_wanted request = {.tap = tap, .taps = 2};
    struct picture p = small_picture();
    struct find_result *r = mem_new(1, sizeof *r);
    struct error err = {0};
    size_t size;
    unsigned char *data = picture_jpeg(&p, &size);

    (void)state;
    check_ok(find_jpeg(data, size * 3 / 4, &request, r, &err), &err);
    assert_true(r->skein[0].found);
    assert_false(r->skein[1].found);
    assert_non_null(strstr(r->skein[1].why, "damaged"));
    free(data);
    free(r);
}

static bool is_sound(const unsigned char *data, size_t size)
{
    const struct find_wanted request = {.proposes = true};
    struct find_result *r = mem_new(1, sizeof *r);
    struct error err = {0};
    bool sound;

    check_ok(find_jpeg(data, size, &request, r, &err), &err);
    sound = r->sound;
    free(r);
    return sound;
}

static void
test_a_sound_file_gives_the_same_read_no_further_than_boxes(void **state)
{
    static const struct box box[] = {{340, 60, 240, 160}};
    struct measure_request request = request_for(box, 1);
    struct measure_result *all = mem_new(1, sizeof *all),
                          *part = mem_new(1, sizeof *part);
    struct picture p = small_picture();
    struct error err = {0};
    size_t size;
    unsigned char *data = picture_jpeg(&p, &size);

    (void)state;
    assert_true(is_sound(data, size));
    check_ok(measure_jpeg(data, size, &request, all, &err), &err);
    request.sound = true;
    check_ok(measure_jpeg(data, size, &request, part, &err), &err);
    assert_false(all->region[0].refused || part->region[0].refused);
    assert_memory_equal(&all->region[0].lab, &part->region[0].lab,
                        sizeof all->region[0].lab);
    assert_memory_equal(all->region[0].part, part->region[0].part,
                        sizeof all->region[0].part);
    assert_memory_equal(all->gain, part->gain, sizeof all->gain);
    assert_int_equal(all->card_notes.count, part->card_notes.count);
    assert_int_equal(all->region[0].notes.count, part->region[0].notes.count);
    /* It is read no further, or it would tell of the damage below. */
    check_ok(measure_jpeg(data, size * 2 / 3, &request, part, &err), &err);
    assert_false(notes_say(&part->card_notes, "damaged"));
    request.sound = false;
    check_ok(measure_jpeg(data, size * 2 / 3, &request, part, &err), &err);
    assert_true(notes_say(&part->card_notes, "damaged"));
    free(data);
    free(all);
    free(part);
}

static void test_a_file_not_read_whole_or_odd_is_not_called_sound(void **state)
{
    struct picture p = small_picture();
    size_t size;
    unsigned char *data = picture_jpeg(&p, &size);

    (void)state;
    assert_false(is_sound(data, size * 3 / 4));
    assert_false(is_sound(data, size - 2)); /* the end marker */
    free(data);
    p.progressive = true;
    data = picture_jpeg(&p, &size);
    assert_false(is_sound(data, size));
    free(data);
}

/* ---- photographs -------------------------------------------------------- */

/* Patches of 17 to 105 pixels, with black lines between them: a tap on one is
 * found or refused, and never reaches into the next. */
static void test_taps_on_photographs_of_charts_keep_to_a_patch(void **state)
{
    struct finds_count c;

    (void)state;
    if (!photos())
        skip();
    c = finds_on_charts();
    print_count("taps on patches of charts", c);
    assert_true(c.right >= 60);
    assert_int_equal(c.wrong, 0);
}

static void test_no_card_is_seen_where_there_is_none(void **state)
{
    struct finds_count c;

    (void)state;
    if (!photos())
        skip();
    c = finds_without_card();
    printf("#   photographs without a card: %zu silent, %zu with one seen, %zu "
           "that cannot be read\n",
           c.right, c.wrong, c.refused);
    assert_int_equal(c.wrong, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_card_and_skeins_of_the_fixtures_are_found),
        cmocka_unit_test(test_card_and_skeins_by_chance_are_found),
        cmocka_unit_test(test_white_wool_on_white_cloth_asks_for_a_box),
        cmocka_unit_test(test_all_eight_orientations_give_the_same_boxes),
        cmocka_unit_test(test_a_box_keeps_to_its_thing_wherever_it_is_tapped),
        cmocka_unit_test(test_what_cannot_be_found_says_what_to_do),
        cmocka_unit_test(test_two_like_cards_are_left_to_the_dyer),
        cmocka_unit_test(
            test_a_known_card_is_no_skein_and_lets_skeins_be_found),
        cmocka_unit_test(test_skeins_come_row_by_row),
        cmocka_unit_test(test_files_are_refused_as_measuring_refuses_them),
        cmocka_unit_test(test_nothing_is_found_where_the_file_is_damaged),
        cmocka_unit_test(
            test_a_sound_file_gives_the_same_read_no_further_than_boxes),
        cmocka_unit_test(test_a_file_not_read_whole_or_odd_is_not_called_sound),
        cmocka_unit_test(test_taps_on_photographs_of_charts_keep_to_a_patch),
        cmocka_unit_test(test_no_card_is_seen_where_there_is_none),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
