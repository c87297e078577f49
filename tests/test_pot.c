/* One pot, many skeins, one go: what records it makes, round after round. */
#include "pot_support.h"

#include "book/history.h"

/* ---- what is recorded -------------------------------------------------------
 */

static void nothing_but_a_name_is_a_pot(void **state)
{
    struct book *book = *state;
    struct pot_result r =
        logged(book, (struct pot_entry){.name = "big kettle"}, NULL);

    assert_int_equal(r.bath_number, 1);
    assert_true(r.new_bath);
    assert_int_equal(r.round, 0);
    assert_int_equal(r.skeins, 0);
    assert_int_equal(r.notes, 0);
    check_text("name", words_of(book, NOUN_BATH, r.bath_id, "name"),
               "big kettle");
    assert_int_equal(count_of(book, NOUN_TREATMENT), 1);
    assert_int_equal(count_of(book, NOUN_SKEIN), 0);
    pot_result_clear(&r);
}

static void one_go_is_one_act(void **state)
{
    struct book *book = *state;
    struct history_act *acts;
    struct error err;
    size_t n;
    int64_t before = book_act(book);
    struct pot_result r =
        logged(book,
               (struct pot_entry){.name = "madder",
                                  .dyestuffs = WORDS("madder: 100 %"),
                                  .mordants = WORDS("alum: 12 %"),
                                  .dips = WORDS("iron: 2 %"),
                                  .ph = "7-8",
                                  .skeins = "4"},
               NULL);

    assert_int_equal(book_act(book), before + 1);
    check_ok(history_acts(book, 0, 1, &acts, &n, &err), &err);
    check_text("what", acts[0].what, "log");
    history_acts_free(acts, n);
    pot_result_clear(&r);
}

static void a_skein_goes_through_mordant_dye_and_dip_in_that_order(void **state)
{
    struct book *book = *state;
    struct pot_result r =
        logged(book,
               (struct pot_entry){.name = "weld",
                                  .dyestuffs = WORDS("weld: 1:1"),
                                  .mordants = WORDS("alum: 12 %"),
                                  .assists = WORDS("cream of tartar: 6 %"),
                                  .dips = WORDS("iron: 2 %"),
                                  .weight = "20 g",
                                  .skeins = "2"},
               NULL);
    char *doses = doses_in(book);

    check_life(book, r.skein[0].id, "mordant dye dip");
    check_life(book, r.skein[1].id, "mordant dye dip");
    check_text("doses", doses,
               "alum|12 %|mordant|\n"
               "cream of tartar|6 %|assist|\n"
               "weld|1:1|dyestuff|\n"
               "iron|2 %|modifier|\n");
    free(doses);
    /* One treatment of each kind, not one a skein. */
    assert_int_equal(count_of(book, NOUN_TREATMENT), 3);
    pot_result_clear(&r);
}

static void mordants_in_one_pot_are_told_apart(void **state)
{
    struct book *book = *state;
    struct text echo = {0};
    const struct pot_skein skein[] = {
        {.weight = "22 g"},
        {.weight = "25 g"},
        {.weight = "48 g", .mordants = WORDS("iron: 2 %")},
        {.weight = "10 g", .mordants = WORDS("none")},
        {.weight = "5 g", .mordants = WORDS("iron: 2 %")},
    };
    struct pot_result r =
        logged(book,
               (struct pot_entry){.name = "madder",
                                  .mordants = WORDS("alum: 12 %"),
                                  .assists = WORDS("cream of tartar: 6 %"),
                                  .skein = skein,
                                  .skein_count = 5},
               &echo);
    char *doses = doses_in(book);

    /* Three mordant treatments and the dyeing. */
    assert_int_equal(count_of(book, NOUN_TREATMENT), 4);
    check_text("doses", doses,
               "alum|12 %|mordant|\n"
               "cream of tartar|6 %|assist|\n"
               "iron|2 %|mordant|\n"
               "no mordant||mordant|\n");
    free(doses);
    check_says(text_str(&echo),
               "alum for skeins 1, 2: 12 % of the fibre: 5.64 g on 47 g");
    check_says(text_str(&echo),
               "iron for skeins 3, 5: 2 % of the fibre: 1.06 g on 53 g");
    check_says(text_str(&echo), "no mordant for skein 4, said on purpose");
    text_clear(&echo);
    pot_result_clear(&r);
}

static void sets_do_not_depend_on_the_order_they_are_said_in(void **state)
{
    struct book *book = *state;
    const struct pot_skein skein[] = {
        {.dips = WORDS("iron: 2 %", "soda ash: 1 %")},
        {.dips = WORDS("soda ash: 1 %", "Iron: 2  %")},
        {.dips = WORDS("none")},
        {.dips = WORDS("iron: 3 %")},
    };
    struct pot_result r = logged(book,
                                 (struct pot_entry){.name = "tansy",
                                                    .dips = WORDS("copper"),
                                                    .skein = skein,
                                                    .skein_count = 4,
                                                    .skeins = "5"},
                                 NULL);

    /* dye; iron and soda; iron alone, another amount; the pot's copper. */
    assert_int_equal(count_of(book, NOUN_TREATMENT), 4);
    check_life(book, r.skein[1].id, "dye dip");
    check_life(book, r.skein[2].id, "dye");
    check_life(book, r.skein[4].id, "dye dip");
    pot_result_clear(&r);
}

/* Table W04, P01 and W06 of the worked examples in docs/worked.md. */
static void grams_are_of_the_summed_dry_weights(void **state)
{
    struct book *book = *state;
    struct text echo = {0};
    const struct pot_skein w04[] = {
        {.weight = "22 g"}, {.weight = "25 g"}, {.weight = "48 g"}};
    const struct pot_skein p01[] = {
        {.weight = "18 g", .mordants = WORDS("alum: 12 %")},
        {.weight = "31 g", .mordants = WORDS("iron: 2 %")}};
    const struct pot_skein w06[] = {{.weight = "75 g"}};
    struct pot_result r;

    r = logged(book,
               (struct pot_entry){.name = "W04",
                                  .mordants = WORDS("alum: 12 %"),
                                  .skein = w04,
                                  .skein_count = 3},
               &echo);
    check_says(text_str(&echo), "11.4 g on 95 g");
    pot_result_clear(&r);
    r = logged(book,
               (struct pot_entry){.name = "P01",
                                  .dyestuffs = WORDS("madder: 60 %"),
                                  .skein = p01,
                                  .skein_count = 2},
               &echo);
    check_says(text_str(&echo), "29.4 g on 49 g");
    pot_result_clear(&r);
    r = logged(book,
               (struct pot_entry){.name = "W06",
                                  .mordants = WORDS("alum: 9 g"),
                                  .skein = w06,
                                  .skein_count = 1},
               &echo);
    check_says(text_str(&echo), "alum: 9 g = 12 % of 75 g");
    pot_result_clear(&r);
    text_clear(&echo);
}

/* R01 and R03: the same two numbers, a factor of four apart. */
static void a_ratio_states_which_side_is_the_fibre(void **state)
{
    struct book *book = *state;
    struct text echo = {0};
    const struct pot_skein skein[] = {{.weight = "50 g"}};
    struct pot_result r;

    r = logged(book,
               (struct pot_entry){.name = "R01",
                                  .dyestuffs = WORDS("tansy: 2:1"),
                                  .skein = skein,
                                  .skein_count = 1},
               &echo);
    check_says(text_str(&echo),
               "tansy: 2:1 dyestuff to fibre = 100 g for 50 g");
    pot_result_clear(&r);
    text_reset(&echo);
    r = logged(book,
               (struct pot_entry){.name = "R03",
                                  .dyestuffs = WORDS("tansy: 1:2 (yarn:dye)"),
                                  .skein = skein,
                                  .skein_count = 1},
               &echo);
    check_says(text_str(&echo), "100 g for 50 g");
    pot_result_clear(&r);
    text_clear(&echo);
}

static void
grams_are_not_reckoned_on_fibre_that_was_not_weighed_dry(void **state)
{
    struct book *book = *state;
    struct text echo = {0};
    const struct pot_skein some[] = {{.weight = "20 g"}, {.name = "lumpy"}};
    const struct pot_skein wet[] = {{.weight = "60 g", .weighed = "wet"}};
    const struct pot_skein guess[] = {{.weight = "20 g", .weighed = "guessed"},
                                      {.weight = "20 g"}};
    struct pot_result r;

    r = logged(book,
               (struct pot_entry){.name = "some",
                                  .mordants = WORDS("alum: 12 %"),
                                  .skein = some,
                                  .skein_count = 2},
               &echo);
    check_says(text_str(&echo), "grams not known: 1 of 2 skeins has no dry");
    pot_result_clear(&r);
    text_reset(&echo);
    r = logged(book,
               (struct pot_entry){.name = "wet",
                                  .mordants = WORDS("alum: 12 %"),
                                  .skein = wet,
                                  .skein_count = 1},
               &echo);
    check_says(text_str(&echo), "grams not known: no dry weight is recorded");
    pot_result_clear(&r);
    text_reset(&echo);
    r = logged(book,
               (struct pot_entry){.name = "guess",
                                  .mordants = WORDS("alum: 10 %"),
                                  .skein = guess,
                                  .skein_count = 2},
               &echo);
    check_says(text_str(&echo), "4 g on 40 g (1 of 2 weights not taken dry)");
    pot_result_clear(&r);
    text_clear(&echo);
}

/* ---- rounds -----------------------------------------------------------------
 */

static void exhausts_go_on_without_limit(void **state)
{
    struct book *book = *state;
    struct pot_result r =
        logged(book,
               (struct pot_entry){.name = "webcaps",
                                  .dyestuffs = WORDS("red webcap: 50 %"),
                                  .skeins = "1"},
               NULL);
    pot_result_clear(&r);

    for (int round = 1; round <= 6; round++) {
        r = logged(book, (struct pot_entry){.of = "webcaps", .skeins = "1"},
                   NULL);
        assert_int_equal(r.round, round);
        assert_false(r.new_bath);
        pot_result_clear(&r);
    }
    /* An exhaust has its dyestuff from the bath. */
    assert_int_equal(count_of(book, NOUN_DOSE), 1);
    assert_int_equal(count_of(book, NOUN_BATH), 1);
}

static void a_round_may_be_left_out(void **state)
{
    struct book *book = *state;
    struct pot_result r = logged(
        book, (struct pot_entry){.name = "weld", .round = "exhaust 1"}, NULL);
    pot_result_clear(&r);

    r = logged(book, (struct pot_entry){.of = "1", .round = "3"}, NULL);
    assert_int_equal(r.round, 3);
    pot_result_clear(&r);
    r = logged(book, (struct pot_entry){.of = "1", .skeins = "1"}, NULL);
    assert_int_equal(r.round, 4);
    pot_result_clear(&r);
}

static void exhaust_5_of_a_pot_nobody_wrote_down(void **state)
{
    struct book *book = *state;
    struct text echo = {0};
    struct pot_result r =
        logged(book,
               (struct pot_entry){.name = "aunt's madder",
                                  .round = "exhaust 5",
                                  .dyestuffs = WORDS("madder: 100 %"),
                                  .weight = "20 g",
                                  .skeins = "2"},
               &echo);
    char *doses = doses_in(book);

    assert_int_equal(r.round, 5);
    check_text("round", words_of(book, NOUN_TREATMENT, r.treatment_id, "round"),
               "exhaust 5");
    /* Its madder went in before its first bath, whose fibre is not known:
     * these 40 g are not what the 100 % were of. */
    check_text("dose", doses, "madder|100 %|dyestuff|\n");
    check_says(text_str(&echo), "grams not known");
    free(doses);
    text_clear(&echo);
    pot_result_clear(&r);
}

static void a_bath_topped_up_midway_says_before_which_round(void **state)
{
    struct book *book = *state;
    struct text echo = {0};
    struct pot_result r =
        logged(book,
               (struct pot_entry){.name = "madder",
                                  .dyestuffs = WORDS("madder: 100 %"),
                                  .weight = "20 g",
                                  .skeins = "2"},
               NULL);
    pot_result_clear(&r);
    r = logged(book,
               (struct pot_entry){.of = "madder",
                                  .round = "exhaust 2",
                                  .dyestuffs = WORDS("madder: 50 %"),
                                  .acids = WORDS("vinegar: 20 ml"),
                                  .weight = "10 g",
                                  .skeins = "3"},
               &echo);
    char *doses = doses_in(book);

    check_text("doses", doses,
               "madder|100 %|dyestuff|\n"
               "madder|50 %|dyestuff|exhaust 2\n"
               "vinegar|20 ml|acid|exhaust 2\n");
    check_says(text_str(&echo), "15 g on 30 g");
    free(doses);
    text_clear(&echo);
    pot_result_clear(&r);
}

static void a_pot_begun_with_a_name_is_filled_in_next_morning(void **state)
{
    struct book *book = *state;
    struct pot_result begun = logged(
        book, (struct pot_entry){.name = "walnut", .vessel = "kettle"}, NULL);
    struct pot_result r;
    struct text echo = {0};

    /* It holds a name alone: this is its first bath, and how to say another. */
    r = logged(book,
               (struct pot_entry){.of = "walnut",
                                  .dyestuffs = WORDS("walnut hulls: 1:1"),
                                  .temperature = "80",
                                  .vessel = "Kettle",
                                  .note = "smelt of autumn",
                                  .skeins = "2"},
               &echo);
    assert_int_equal(r.round, 0);
    check_says(text_str(&echo), "bath 1 held no more than a name: this is its "
                                "first bath (if it is a later one, say");
    text_clear(&echo);
    assert_true(r.joined);
    assert_int_equal(r.treatment_id, begun.treatment_id);
    check_text("temperature",
               words_of(book, NOUN_TREATMENT, r.treatment_id, "temperature"),
               "80");
    pot_result_clear(&r);

    /* A contradiction is another lift of the same round. */
    r = logged(book,
               (struct pot_entry){.of = "walnut",
                                  .round = "first",
                                  .temperature = "60",
                                  .skeins = "1"},
               NULL);
    assert_false(r.joined);
    assert_int_not_equal(r.treatment_id, begun.treatment_id);
    pot_result_clear(&r);
    pot_result_clear(&begun);
}

static void a_note_on_a_round_keeps_the_one_before(void **state)
{
    struct book *book = *state;
    struct pot_result r =
        logged(book, (struct pot_entry){.name = "p", .note = "one"}, NULL);

    pot_result_clear(&r);
    r = logged(book,
               (struct pot_entry){.of = "p", .round = "first", .note = "two"},
               NULL);
    check_text("note", words_of(book, NOUN_TREATMENT, r.treatment_id, "note"),
               "one\ntwo");
    pot_result_clear(&r);
}

static void a_vat_has_dips_and_no_rounds(void **state)
{
    struct book *book = *state;
    struct pot_result r =
        logged(book,
               (struct pot_entry){.name = "indigo",
                                  .kind = "vat",
                                  .dyestuffs = WORDS("indigo: 50 g"),
                                  .vat_dips = "3",
                                  .airing = "15 min",
                                  .skeins = "1"},
               NULL);

    assert_int_equal(r.round, -1);
    check_life(book, r.skein[0].id, "vat");
    check_text("dips", words_of(book, NOUN_TREATMENT, r.treatment_id, "dips"),
               "3");
    pot_result_clear(&r);
    r = logged(book, (struct pot_entry){.of = "indigo", .skeins = "1"}, NULL);
    assert_int_equal(r.round, -1);
    pot_result_clear(&r);
    refused(book, (struct pot_entry){.of = "indigo", .round = "exhaust 1"},
            "vat");
    refused(book, (struct pot_entry){.name = "madder", .vat_dips = "3"},
            "only a vat");
    refused(book, (struct pot_entry){.of = "indigo", .kind = "dye"}, "vat");
}

static void old_jars_poured_together_are_a_new_pot(void **state)
{
    struct book *book = *state;
    struct pot_result r;

    for (int i = 0; i < 3; i++) {
        r = logged(book, (struct pot_entry){.name = "jar"}, NULL);
        pot_result_clear(&r);
    }
    r = logged(book,
               (struct pot_entry){.name = "mix of three jars",
                                  .poured = WORDS("1: 2 l", "2", "3: 1/2 l"),
                                  .round = "exhaust 1",
                                  .skeins = "1"},
               NULL);
    assert_int_equal(count_of(book, NOUN_POUR), 3);
    assert_int_equal(r.round, 1);
    pot_result_clear(&r);
    refused(book, (struct pot_entry){.of = "1", .poured = WORDS("4")},
            "forebear");
    refused(book,
            (struct pot_entry){.name = "x", .poured = WORDS("no such: 1 l")},
            "no such");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST(nothing_but_a_name_is_a_pot),
        TEST(one_go_is_one_act),
        TEST(a_skein_goes_through_mordant_dye_and_dip_in_that_order),
        TEST(mordants_in_one_pot_are_told_apart),
        TEST(sets_do_not_depend_on_the_order_they_are_said_in),
        TEST(grams_are_of_the_summed_dry_weights),
        TEST(a_ratio_states_which_side_is_the_fibre),
        TEST(grams_are_not_reckoned_on_fibre_that_was_not_weighed_dry),
        TEST(exhausts_go_on_without_limit),
        TEST(a_round_may_be_left_out),
        TEST(exhaust_5_of_a_pot_nobody_wrote_down),
        TEST(a_bath_topped_up_midway_says_before_which_round),
        TEST(a_pot_begun_with_a_name_is_filled_in_next_morning),
        TEST(a_note_on_a_round_keeps_the_one_before),
        TEST(a_vat_has_dips_and_no_rounds),
        TEST(old_jars_poured_together_are_a_new_pot),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
