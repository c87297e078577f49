/* Questions to the book: the colour of a skein, comparing, tables, lives. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "ask_support.h"

/* ---- the colour of a skein ------------------------------------------------
 */

static void check_lack(int64_t id, enum ask_lack want)
{
    struct ask_skein s = ask_one(id);

    check_text(s.label, ask_lack_words(s.lack, false),
               ask_lack_words(want, false));
    ask_skein_clear(&s);
}

static void check_L(int64_t id, double want)
{
    struct ask_skein s = ask_one(id);

    assert_int_equal(s.lack, ASK_HAS_COLOUR);
    check_near(s.label, s.reading.colour.lab.L, want, 0);
    ask_skein_clear(&s);
}

static void other_readings_never_slip_in(void **state)
{
    int64_t id = ADD(NOUN_SKEIN, {"name", "a"});

    (void)state;
    check_lack(id, ASK_NEVER);
    ADD(NOUN_READING, {"skein", "1"}, {"lab", "10,1,1"}, {"illuminant", "D50"},
        {"observer", "2"}, {"geometry", "45/0"});
    check_L(id, 10);
    ADD(NOUN_TREATMENT, {"kind", "wash"});
    ADD(NOUN_ENTRY, {"skein", "1"}, {"treatment", "#1"});
    check_lack(id, ASK_EARLIER);
    ADD(NOUN_READING, {"skein", "1"}, {"lab", "20,1,1"}, {"wet", "yes"},
        {"illuminant", "D50"}, {"observer", "2"}, {"geometry", "45/0"});
    check_lack(id, ASK_WETNESS);
    ADD(NOUN_READING, {"skein", "1"}, {"lab", "30,1,1"}, {"part", "exposed"},
        {"illuminant", "D50"}, {"observer", "2"}, {"geometry", "45/0"});
    check_lack(id, ASK_OTHER_PART);
    ADD(NOUN_READING, {"skein", "1"}, {"lab", "40,1,1"}, {"source", "eye"});
    check_lack(id, ASK_BY_EYE);
    ADD(NOUN_READING, {"skein", "1"}, {"lab", "50,1,1"}, {"illuminant", "D65"},
        {"observer", "10"}, {"geometry", "45/0"});
    check_lack(id, ASK_OTHER_LIGHT);
    ADD(NOUN_READING, {"skein", "1"}, {"lab", "60,1,1"}, {"observer", "10"},
        {"illuminant", "D50"}, {"geometry", "45/0"});
    check_lack(id, ASK_OTHER_LIGHT);
    ADD(NOUN_READING, {"skein", "1"}, {"lab", "70,1,1"}, {"illuminant", "D50"},
        {"observer", "2"}, {"geometry", "45/0"});
    check_L(id, 70);
}

static void the_latest_reading_goes_by_its_day(void **state)
{
    int64_t id = ADD(NOUN_SKEIN, {"name", "a"});

    (void)state;
    ADD(NOUN_READING, {"skein", "1"}, {"lab", "10,1,1"}, {"on", "2024-05-03"},
        {"illuminant", "D50"}, {"observer", "2"}, {"geometry", "45/0"});
    check_L(id, 10);
    ADD(NOUN_READING, {"skein", "1"}, {"lab", "20,1,1"}, {"on", "2023-05-03"},
        {"illuminant", "D50"}, {"observer", "2"}, {"geometry", "45/0"});
    check_L(id, 10); /* written down later, read before */
    ADD(NOUN_READING, {"skein", "1"}, {"lab", "30,1,1"}, {"illuminant", "D50"},
        {"observer", "2"}, {"geometry", "45/0"});
    check_L(id, 30); /* without a day: of the day it was written down */
    ADD(NOUN_READING, {"skein", "1"}, {"lab", "40,1,1"}, {"on", "2024"},
        {"illuminant", "D50"}, {"observer", "2"}, {"geometry", "45/0"});
    check_L(id, 30);
}

static void a_typed_uncertainty_is_used_and_none_is_said(void **state)
{
    struct ask_skein a, b;

    (void)state;
    ADD(NOUN_SKEIN, {"name", "a"});
    ADD(NOUN_SKEIN, {"name", "b"});
    ADD(NOUN_READING, {"skein", "1"}, {"lab", "50,1,1"}, {"u", "0.3,0.2,0.1"},
        {"illuminant", "D50"}, {"observer", "2"}, {"geometry", "45/0"});
    ADD(NOUN_READING, {"skein", "2"}, {"lab", "50,1,1"}, {"illuminant", "D50"},
        {"observer", "2"}, {"geometry", "45/0"});
    a = ask_one(1);
    b = ask_one(2);
    assert_false(a.reading.assumed_u);
    check_near("a", a.reading.colour.abs.LL, 0.09, 1e-12);
    assert_true(b.reading.assumed_u);
    assert_true(b.reading.colour.abs.LL > b.reading.colour.set.LL);
    ask_skein_clear(&a);
    ask_skein_clear(&b);
}

static void how_it_was_made_is_said_in_one_phrase(void **state)
{
    struct ask_skein s;
    struct text t = {0};

    (void)state;
    ADD(NOUN_MATERIAL, {"name", "madder"});
    ADD(NOUN_MATERIAL, {"name", "weld"});
    ADD(NOUN_MATERIAL, {"name", "alum"}, {"kind", "mordant"});
    ADD(NOUN_MATERIAL, {"name", "iron"}, {"kind", "mordant"});
    ADD(NOUN_SKEIN, {"name", "a"});
    ADD(NOUN_TREATMENT, {"kind", "mordant"});
    ADD(NOUN_DOSE, {"material", "alum"}, {"treatment", "#1"});
    ask_pot("kettle", "100 %");
    ADD(NOUN_BATH, {"name", "jar"});
    ADD(NOUN_DOSE, {"material", "weld"}, {"bath", "jar"});
    ADD(NOUN_TREATMENT, {"kind", "dye"}, {"bath", "jar"}, {"round", "first"});
    ADD(NOUN_TREATMENT, {"kind", "dye"}, {"bath", "kettle"}, {"round", "2"});
    ADD(NOUN_TREATMENT, {"kind", "dip"});
    ADD(NOUN_DOSE, {"material", "iron"}, {"treatment", "#4"});
    static const char *const want[] = {
        "not dyed", "not dyed, on alum",
        "weld on alum, first bath of bath 2 jar",
        "madder over weld on alum, exhaust 2 of bath 1 kettle",
        "madder over weld on alum, exhaust 2 of bath 1 kettle, dipped in iron"};
    for (int i = 0; i < 5; i++) {
        char treatment[24];
        snprintf(treatment, sizeof treatment, "#%d", i);
        if (i)
            ADD(NOUN_ENTRY, {"skein", "1"}, {"treatment", treatment});
        s = ask_one(1);
        ask_recipe_words(&s, &t);
        check_text("made", text_str(&t), want[i]);
        text_reset(&t);
        ask_skein_clear(&s);
    }
    text_clear(&t);
}

/* ---- comparing ------------------------------------------------------------
 */

static void check_setup(const char *row, int64_t a, int64_t b, bool want)
{
    struct error err;
    bool same;

    check_ok(ask_same_setup(ask_book, a, b, &same, &err), &err);
    if (same != want)
        fail_msg("%s: %s", row, same ? "taken for one" : "not taken for one");
    check_ok(ask_same_setup(ask_book, b, a, &same, &err), &err);
    assert_int_equal(same, want);
}

static void one_set_up_is_one_photo_or_card_camera_and_day(void **state)
{
    static const char day[] = "2026-05-03 14:05:06";
    static const char next[] = "2026-05-04 14:05:06";
    int64_t card = ADD(NOUN_CARD, {"name", "card"}, {"lab", "49.5,0,0"});
    int64_t other = ADD(NOUN_CARD, {"name", "other"}, {"lab", "49.5,0,0"});
    int64_t a, b;

    (void)state;
    ADD(NOUN_SKEIN, {"name", "a"});
    a = ask_photo("1", 1, card, "phone", day);
    check_setup("itself", a, a, true);
    b = ask_photo("1", 1, card, "phone", day);
    check_setup("photo", a, b, true);
    b = ask_photo("1", 1, other, "phone", day);
    check_setup("photo, other card", a, b, false);
    b = ask_photo("1", 2, card, "phone", day);
    check_setup("card, camera, day", a, b, true);
    b = ask_photo("1", 3, card, "phone", next);
    check_setup("day", a, b, false);
    b = ask_photo("1", 4, card, "camera", day);
    check_setup("camera", a, b, false);
    b = ask_photo("1", 5, other, "phone", day);
    check_setup("card", a, b, false);
    a = ask_photo("1", 6, 0, "phone", day);
    b = ask_photo("1", 7, 0, "phone", day);
    check_setup("unknown cards", a, b, false);
    b = ask_photo("1", 6, 0, "phone", day);
    check_setup("unknown card, one photo", a, b, true);
    a = ask_photo("1", 8, card, "", day);
    b = ask_photo("1", 9, card, "", day);
    check_setup("unknown cameras", a, b, false);
    a = ask_photo("1", 10, card, "phone", "");
    b = ask_photo("1", 11, card, "phone", "");
    check_setup("unknown days", a, b, false);
}

static void one_instrument_is_one_set_up(void **state)
{
    int64_t id[4];

    (void)state;
    ADD(NOUN_SKEIN, {"name", "a"});
    id[0] = ADD(NOUN_READING, {"skein", "1"}, {"lab", "50,1,1"},
                {"instrument", "the guild's"}, {"geometry", "d/8"},
                {"illuminant", "D50"}, {"observer", "2"});
    id[1] = ADD(NOUN_READING, {"skein", "1"}, {"lab", "50,1,1"},
                {"instrument", "The Guild's"}, {"geometry", "d/8"},
                {"illuminant", "D50"}, {"observer", "2"});
    id[2] = ADD(NOUN_READING, {"skein", "1"}, {"lab", "50,1,1"},
                {"instrument", "the guild's"}, {"geometry", "45/0"},
                {"illuminant", "D50"}, {"observer", "2"});
    id[3] = ADD(NOUN_READING, {"skein", "1"}, {"lab", "50,1,1"},
                {"illuminant", "D50"}, {"observer", "2"}, {"geometry", "45/0"});
    check_setup("name", id[0], id[1], true);
    check_setup("geometry", id[0], id[2], false);
    check_setup("not said", id[0], id[3], false);
    check_setup("neither said", id[3], id[3], false);
}

static void evenness_is_the_spread_over_the_skein(void **state)
{
    struct ask_skein s;
    struct ask_reading r = {.colour.lab = {50, 0, 0}, .level = {1, 0, 0}};

    (void)state;
    ADD(NOUN_SKEIN, {"name", "a"});
    ADD(NOUN_SKEIN, {"name", "b"});
    ask_photo("1", 1, 0, "phone", "2026-05-03 14:05:06");
    ADD(NOUN_READING, {"skein", "2"}, {"lab", "50,1,1"}, {"illuminant", "D50"},
        {"observer", "2"}, {"geometry", "45/0"});
    s = ask_one(1);
    assert_true(ask_unevenness(&s.reading) > 0.5);
    ask_skein_clear(&s);
    s = ask_one(2);
    assert_true(isnan(ask_unevenness(&s.reading)));
    ask_skein_clear(&s);
    /* At L* 50 a step of L* is a step of dE00 (S_L = 1); the metric is taken
     * from a step of 0.05. */
    check_near("L", ask_unevenness(&r), 1, 1e-3);
}

/* ---- fade and grid --------------------------------------------------------
 */

static void what_was_skipped_and_put_in_later_is_said(void **state)
{
    struct ask_filter any = ask_filter_any();
    struct fade f;
    struct error err;

    (void)state;
    ADD(NOUN_MATERIAL, {"name", "madder"});
    ask_pot("kettle", "100 %");
    assert_false(ask_fade(ask_book, 1, &any, (double)NAN, &f, &err));
    check_text("why", err.text, "nothing was dyed in bath 1 kettle yet");
    ask_dye("kettle", "exhaust 1", NULL);
    ask_dye("kettle", "exhaust 3", NULL);
    ask_dye("kettle", NULL, NULL);
    ADD(NOUN_DOSE, {"material", "madder"}, {"bath", "kettle"},
        {"amount", "50 g"}, {"before-round", "exhaust 3"});
    ADD(NOUN_READING, {"skein", "1"}, {"lab", "40,40,30"},
        {"illuminant", "D50"}, {"observer", "2"}, {"geometry", "45/0"});
    ADD(NOUN_READING, {"skein", "2"}, {"lab", "60,30,25"},
        {"illuminant", "D50"}, {"observer", "2"}, {"geometry", "45/0"});
    check_ok(ask_fade(ask_book, 1, &any, (double)NAN, &f, &err), &err);
    assert_int_equal(f.rounds, 3);
    assert_false(f.round[2].known);
    assert_int_equal(f.skips, 2);
    assert_int_equal(f.skipped[0], 0);
    assert_int_equal(f.skipped[1], 2);
    assert_int_equal(f.additions, 1);
    assert_int_equal(f.addition[0].before_round, 3);
    check_text("what", f.addition[0].what, "madder, 50 g");
    assert_int_equal(f.lanes, 1);
    check_near("before", f.lane[0].cell[1].before,
               lab_de00((struct lab){40, 40, 30}, (struct lab){60, 30, 25}),
               1e-12);
    assert_int_equal(f.lane[0].cell[2].lacking, 1);
    fade_clear(&f);
}

/* The ends of a band are our own choice: 35 % and its doublings. */
static void dyestuff_per_fibre_stands_in_bands(void **state)
{
    static const struct {
        const char *dose, *band;
    } cases[] = {{"0 %", "0 %"},
                 {"3 %", "2.19 to 4.38 %"},
                 {"17.5 %", "17.5 to 35 %"},
                 {"30-40 %", "17.5 to 70 %"},
                 {"34.999 %", "17.5 to 35 %"},
                 {"35 %", "35 to 70 %"},
                 {"70 %", "70 to 140 %"},
                 {"2:1", "140 to 280 %"},
                 {"a bucket", "dyestuff per fibre not known"}};
    struct grid_request r = {.filter = ask_filter_any(),
                             .rows = GRID_DYESTUFF,
                             .columns = GRID_PER_FIBRE,
                             .labels = true,
                             .tolerance = 2};
    struct error err;

    (void)state;
    ADD(NOUN_MATERIAL, {"name", "madder"});
    for (size_t i = 0; i < ARRAY_LEN(cases); i++) {
        struct grid g;
        char name[32];

        snprintf(name, sizeof name, "pot %zu", i);
        ask_pot(name, cases[i].dose);
        ask_dye(name, "first", NULL);
        check_ok(record_find(ask_book, NOUN_BATH, name, &r.filter.bath, &err),
                 &err);
        check_ok(ask_grid(ask_book, &r, &g, &err), &err);
        assert_int_equal(g.columns, 1);
        check_text(cases[i].dose, g.column[0], cases[i].band);
        assert_int_equal(g.known_columns, *cases[i].dose != 'a');
        grid_clear(&g);
    }
}

static void a_pinned_cell_is_named_as_the_table_calls_it(void **state)
{
    struct grid_request r = {.filter = ask_filter_any(),
                             .rows = GRID_FIBRE,
                             .columns = GRID_ROUND,
                             .tolerance = 2};
    struct grid g;
    struct error err;

    (void)state;
    ADD(NOUN_SKEIN, {"fibre", "wool, thin"});
    ADD(NOUN_SKEIN, {"fibre", "silk"});
    ADD(NOUN_READING, {"skein", "1"}, {"lab", "80,0,10"}, {"illuminant", "D50"},
        {"observer", "2"}, {"geometry", "45/0"});
    r.pin = "Wool, thin,not dyed";
    check_ok(ask_grid(ask_book, &r, &g, &err), &err);
    assert_int_equal(g.rows, 2);
    check_text("row", g.row[0], "silk");
    assert_true(g.has_pin);
    assert_int_equal(g.pin, 1);
    check_near("pinned", g.place[1].pinned.de00, 0, 0);
    grid_clear(&g);
    r.pin = "silk,not dyed";
    assert_false(ask_grid(ask_book, &r, &g, &err));
    assert_non_null(strstr(err.text, "nothing is measured"));
    r.pin = "silk";
    assert_false(ask_grid(ask_book, &r, &g, &err));
    assert_non_null(strstr(err.text, "there is no cell"));
}

/* Two readings of 0.6 in L each, of which 0.3 is their own: the mean of two
 * has 0.3 / sqrt(2) of its own, and what they share whole. */
static void a_mean_is_surer_only_of_what_is_each_ones_own(void **state)
{
    struct grid_request r = {.filter = ask_filter_any(),
                             .rows = GRID_DYESTUFF,
                             .columns = GRID_MORDANT,
                             .pin = "not dyed,mordant not recorded",
                             .tolerance = 2};
    struct ask_skein one;
    struct grid g;
    struct error err;

    (void)state;
    ADD(NOUN_SKEIN, {"name", "a"});
    ADD(NOUN_SKEIN, {"name", "b"});
    ADD(NOUN_READING, {"skein", "1"}, {"lab", "50,1,1"}, {"illuminant", "D50"},
        {"observer", "2"}, {"geometry", "45/0"});
    ADD(NOUN_READING, {"skein", "2"}, {"lab", "52,1,1"}, {"illuminant", "D50"},
        {"observer", "2"}, {"geometry", "45/0"});
    one = ask_one(1);
    check_ok(ask_grid(ask_book, &r, &g, &err), &err);
    assert_int_equal(g.rows * g.columns, 1);
    check_near("mean", g.place[0].mean.lab.L, 51, 1e-12);
    check_near("set", g.place[0].mean.set.LL, one.reading.colour.set.LL / 2,
               1e-12);
    check_near("abs", g.place[0].mean.abs.LL,
               one.reading.colour.abs.LL - one.reading.colour.set.LL / 2,
               1e-12);
    grid_clear(&g);
    ask_skein_clear(&one);
}

static void a_skein_cut_and_plied_again_is_told_once(void **state)
{
    struct life life;
    struct error err;

    (void)state;
    for (int i = 0; i < 5; i++)
        ADD(NOUN_SKEIN, {"name", "x"});
    ADD(NOUN_TREATMENT, {"kind", "scour"});
    ADD(NOUN_ENTRY, {"skein", "1"}, {"treatment", "#1"});
    ADD(NOUN_ORIGIN, {"child", "2"}, {"parent", "1"}, {"amount", "50 g"});
    ADD(NOUN_ORIGIN, {"child", "3"}, {"parent", "2"}, {"amount", "20 g"});
    ADD(NOUN_ORIGIN, {"child", "4"}, {"parent", "2"}, {"amount", "30 g"});
    ADD(NOUN_ORIGIN, {"child", "5"}, {"parent", "3"});
    ADD(NOUN_ORIGIN, {"child", "5"}, {"parent", "4"});
    check_ok(ask_life(ask_book, 5, &life, &err), &err);
    static const struct {
        enum life_kind kind;
        const char *skein, *into;
        double grams;
    } want[] = {{LIFE_STEP, "1", NULL, 0}, {LIFE_CUT, "1", "2", 50},
                {LIFE_CUT, "2", "3", 20},  {LIFE_CUT, "3", "5", -1},
                {LIFE_CUT, "2", "4", 30},  {LIFE_CUT, "4", "5", -1}};
    assert_int_equal(life.count, ARRAY_LEN(want));
    for (size_t i = 0; i < life.count; i++) {
        const struct life_event *e = &life.event[i];
        assert_int_equal(e->kind, want[i].kind);
        check_text("skein", e->skein, want[i].skein);
        check_text("into", e->into, want[i].into);
        if (want[i].grams > 0)
            check_near("grams", e->grams, want[i].grams, 1e-9);
        else
            assert_true(isnan(e->grams));
    }
    life_clear(&life);
}

#define T(f) cmocka_unit_test_setup_teardown(f, ask_book_open, ask_book_close)

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(other_readings_never_slip_in),
        T(the_latest_reading_goes_by_its_day),
        T(a_typed_uncertainty_is_used_and_none_is_said),
        T(how_it_was_made_is_said_in_one_phrase),
        T(one_set_up_is_one_photo_or_card_camera_and_day),
        T(one_instrument_is_one_set_up),
        T(evenness_is_the_spread_over_the_skein),
        T(what_was_skipped_and_put_in_later_is_said),
        T(dyestuff_per_fibre_stands_in_bands),
        T(a_pinned_cell_is_named_as_the_table_calls_it),
        T(a_mean_is_surer_only_of_what_is_each_ones_own),
        T(a_skein_cut_and_plied_again_is_told_once),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
