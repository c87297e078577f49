/* The skeins of a pot, and what it refuses. */
#include "pot_support.h"

/* ---- skeins -----------------------------------------------------------------
 */

static void a_number_names_a_skein_or_gives_the_number(void **state)
{
    struct book *book = *state;
    const struct pot_skein first[] = {
        {0}, {.number = "137", .name = "lumpy"}, {0}};
    const struct pot_skein again[] = {{.number = "137"}, {.which = "2"}};
    struct pot_result r = logged(
        book, (struct pot_entry){.name = "a", .skein = first, .skein_count = 3},
        NULL);
    int64_t lumpy = r.skein[1].id;

    assert_int_equal(r.skein[1].number, 137);
    assert_true(r.skein[1].is_new);
    pot_result_clear(&r);
    /* The numbers of the other two are past 137 or before it, and free. */
    refused(book,
            (struct pot_entry){.name = "b", .skein = again, .skein_count = 2},
            "number=2");
    r = logged(
        book, (struct pot_entry){.name = "b", .skein = again, .skein_count = 1},
        NULL);
    assert_int_equal(r.skein[0].id, lumpy);
    assert_false(r.skein[0].is_new);
    check_life(book, lumpy, "dye dye");
    pot_result_clear(&r);
}

static void a_skein_is_named_once_in_a_pot(void **state)
{
    struct book *book = *state;
    const struct pot_skein twice[] = {{.number = "5"}, {.number = "5"}};
    const struct pot_skein bare[] = {{.number = "5"}, {.which = " 5 "}};
    struct pot_result r;

    refused(book,
            (struct pot_entry){.name = "a", .skein = twice, .skein_count = 2},
            "named twice");
    assert_int_equal(count_of(book, NOUN_SKEIN), 0);
    r = logged(
        book, (struct pot_entry){.name = "a", .skein = twice, .skein_count = 1},
        NULL);
    pot_result_clear(&r);
    refused(book,
            (struct pot_entry){.name = "b", .skein = twice, .skein_count = 2},
            "named twice");
    refused(book,
            (struct pot_entry){.name = "b", .skein = bare, .skein_count = 2},
            "named twice");
    /* The same round again: it is in it already. */
    refused(book,
            (struct pot_entry){
                .of = "a", .round = "first", .skein = twice, .skein_count = 1},
            "already");
}

static void a_spare_skein_keeps_the_mordant_it_has(void **state)
{
    struct book *book = *state;
    struct text echo = {0};
    struct error err;
    int64_t spare[2], treatment, id;
    char number[2][8];

    check_ok(book_act_begin(book, "test", &err), &err);
    check_ok(record_add(book, NOUN_TREATMENT,
                        &(struct record_value){"kind", "mordant"}, 1,
                        &treatment, NULL, &err),
             &err);
    check_ok(record_add(
                 book, NOUN_MATERIAL,
                 (struct record_value[]){{"name", "alum"}, {"kind", "mordant"}},
                 2, &id, NULL, &err),
             &err);
    check_ok(record_add(book, NOUN_DOSE,
                        (struct record_value[]){{"material", "alum"},
                                                {"treatment", "#1"}},
                        2, &id, NULL, &err),
             &err);
    for (int i = 0; i < 2; i++) {
        struct id_text {
            char s[24];
        } skein;
        check_ok(record_add(book, NOUN_SKEIN, NULL, 0, &spare[i], NULL, &err),
                 &err);
        snprintf(skein.s, sizeof skein.s, "#%d", (int)spare[i]);
        snprintf(number[i], sizeof number[i], "%d", i + 1);
        check_ok(record_add(book, NOUN_ENTRY,
                            (struct record_value[]){{"skein", skein.s},
                                                    {"treatment", "#1"}},
                            2, &id, NULL, &err),
                 &err);
    }
    check_ok(book_act_end(book, &err), &err);

    const struct pot_skein skein[] = {
        {.which = number[0]},
        {.which = number[1], .mordants = WORDS("alum: 12 %", "iron: 2 %")},
        {.name = "new"},
    };
    const struct pot_skein none[] = {
        {.which = number[0], .mordants = WORDS("none")}};
    refused(book,
            (struct pot_entry){.name = "x", .skein = none, .skein_count = 1},
            "its life has one: alum");
    struct pot_result r =
        logged(book,
               (struct pot_entry){.name = "madder",
                                  .mordants = WORDS("copper: 2 %"),
                                  .skein = skein,
                                  .skein_count = 3},
               &echo);
    check_life(book, spare[0], "mordant dye");
    check_life(book, spare[1], "mordant mordant dye");
    check_life(book, r.skein[2].id, "mordant dye");
    check_says(text_str(&echo), "skein 1 keeps its recorded mordant: alum");
    check_says(text_str(&echo), "skein 2: alum is recorded in its life");
    char *doses = doses_in(book);
    check_text("doses", doses,
               "alum||mordant|\n"
               "iron|2 %|mordant|\n"
               "copper|2 %|mordant|\n");
    free(doses);
    text_clear(&echo);
    pot_result_clear(&r);
}

static void
facts_of_a_skein_in_the_book_are_filled_in_not_overwritten(void **state)
{
    struct book *book = *state;
    struct text echo = {0};
    const struct pot_skein begun[] = {{.name = "lumpy", .colour = "yellow"}};
    const struct pot_skein filled[] = {{.which = "1",
                                        .weight = "20 g",
                                        .code = "A3",
                                        .colour = "olive",
                                        .note = "felted a little"}};
    const struct pot_skein later[] = {{.which = "1", .weight = "19 g"}};
    const struct pot_skein same[] = {{.which = "1", .weight = "20g"}};
    const struct pot_skein other[] = {{.which = "1", .code = "B8"}};
    struct pot_result r = logged(
        book, (struct pot_entry){.name = "a", .skein = begun, .skein_count = 1},
        NULL);
    int64_t lumpy = r.skein[0].id, *entry;
    struct error err;
    size_t n;

    pot_result_clear(&r);
    r = logged(book,
               (struct pot_entry){.of = "a", .skein = filled, .skein_count = 1},
               &echo);
    pot_result_clear(&r);
    check_text("weight", words_of(book, NOUN_SKEIN, lumpy, "weight"), "20 g");
    check_text("colour", words_of(book, NOUN_SKEIN, lumpy, "colour"), "olive");
    check_says(text_str(&echo), "colour was \"yellow\", is now \"olive\"");
    refused(book,
            (struct pot_entry){.of = "a", .skein = other, .skein_count = 1},
            "code is recorded as \"A3\"");

    r = logged(book,
               (struct pot_entry){.of = "a", .skein = later, .skein_count = 1},
               NULL);
    pot_result_clear(&r);
    r = logged(book,
               (struct pot_entry){.of = "a", .skein = same, .skein_count = 1},
               NULL);
    pot_result_clear(&r);
    check_text("weight", words_of(book, NOUN_SKEIN, lumpy, "weight"), "20 g");
    check_ok(
        record_children(book, NOUN_ENTRY, "skein", lumpy, &entry, &n, &err),
        &err);
    assert_int_equal(n, 4);
    check_text("note", words_of(book, NOUN_ENTRY, entry[1], "note"),
               "felted a little");
    check_text("then", words_of(book, NOUN_ENTRY, entry[2], "weight"), "19 g");
    check_text("same", words_of(book, NOUN_ENTRY, entry[3], "weight"), "");
    free(entry);
    text_clear(&echo);
}

static void what_a_skein_is_called_means_that_skein(void **state)
{
    struct book *book = *state;
    const struct pot_skein skein[] = {{.which = "lumpy", .code = "A3"}};
    const struct pot_skein by_code[] = {{.which = "a3"}};
    struct pot_result r = logged(
        book, (struct pot_entry){.name = "a", .skein = skein, .skein_count = 1},
        NULL);

    assert_true(r.skein[0].is_new);
    pot_result_clear(&r);
    r = logged(
        book, (struct pot_entry){.name = "b", .skein = skein, .skein_count = 1},
        NULL);
    assert_false(r.skein[0].is_new);
    pot_result_clear(&r);
    r = logged(
        book,
        (struct pot_entry){.name = "c", .skein = by_code, .skein_count = 1},
        NULL);
    assert_false(r.skein[0].is_new);
    check_life(book, r.skein[0].id, "dye dye dye");
    pot_result_clear(&r);
}

static void a_new_skein_called_as_another_is_pointed_out(void **state)
{
    struct book *book = *state;
    const struct pot_skein skein[] = {{.name = "lumpy"}};
    struct pot_result r = logged(
        book, (struct pot_entry){.name = "a", .skein = skein, .skein_count = 1},
        NULL);
    char *notes;

    assert_int_equal(r.notes, 0);
    pot_result_clear(&r);
    r = logged(
        book, (struct pot_entry){.name = "a", .skein = skein, .skein_count = 1},
        NULL);
    notes = notes_of(&r);
    assert_true(r.skein[0].is_new);
    check_says(notes, "bath 1 is called \"a\" too");
    check_says(notes, "skein 2 is a new one called \"lumpy\"");
    free(notes);
    pot_result_clear(&r);
}

static void a_mordant_without_a_skein_is_of_one_unfinished_skein(void **state)
{
    struct book *book = *state;
    struct pot_result r = logged(
        book,
        (struct pot_entry){.name = "x", .mordants = WORDS("alum: a pinch")},
        NULL);

    assert_int_equal(r.skeins, 1);
    check_life(book, r.skein[0].id, "mordant dye");
    check_text("finished",
               words_of(book, NOUN_SKEIN, r.skein[0].id, "finished"), "no");
    pot_result_clear(&r);
    refused(book,
            (struct pot_entry){.name = "x",
                               .skeins = "1",
                               .skein = (struct pot_skein[]){{0}, {0}},
                               .skein_count = 2},
            "2 are described");
    refused(book, (struct pot_entry){.name = "x", .skeins = "many"}, "many");
    refused(book, (struct pot_entry){.name = "x", .skeins = "-1"}, "-1");
}

/* ---- refusals ---------------------------------------------------------------
 */

static void what_cannot_be_read_stores_nothing(void **state)
{
    struct book *book = *state;
    const struct pot_skein good[] = {{.weight = "20 g"}};
    const struct pot_skein bad_weight[] = {{.weight = "20 g"},
                                           {.weight = "20 ml"}};
    const struct pot_skein bad_dip[] = {{.dips = WORDS("iron: -2 %")}};
    const struct pot_skein both[] = {{.mordants = WORDS("none", "alum")}};
    const struct {
        const char *why;
        struct pot_entry pot;
        const char *part;
    } rows[] = {
        {"pH 14.5", {.name = "x", .ph = "14.5"}, "ph"},
        {"a day that is none", {.name = "x", .on = "31.2.2026"}, "31.2.2026"},
        {"bath 3", {.name = "x", .round = "bath 3"}, "round"},
        {"exhaust -1", {.name = "x", .round = "exhaust -1"}, "round"},
        {"180 of no unit", {.name = "x", .temperature = "180"}, "180"},
        {"no such pot", {.of = "weld"}, "no bath \"weld\""},
        {"no pot at all", {.skeins = "1"}, "what you call the pot"},
        {"both", {.name = "x", .of = "1"}, "not both"},
        {"kind", {.name = "x", .kind = "soup"}, "soup"},
        {"below nothing",
         {.name = "x", .dyestuffs = WORDS("weld: -1 g")},
         "weld"},
        {"metres", {.name = "x", .dyestuffs = WORDS("weld: 5 m")}, "weld"},
        {"only a ratio",
         {.name = "x", .dyestuffs = WORDS("2:1")},
         "does not begin with a name"},
        {"no name", {.name = "x", .dyestuffs = WORDS(": 12 %")}, "name"},
        {"no such supply",
         {.name = "x", .dyestuffs = WORDS("weld: 5 g; supply=2019")},
         "supply"},
        {"no such key",
         {.name = "x", .dyestuffs = WORDS("weld; grams=5")},
         "grams"},
        {"unknown but weighed",
         {.name = "x", .dyestuffs = WORDS("?: 20 g")},
         "name of your own"},
        {"extraction", {.name = "x", .extraction = "1 h; heat=80"}, "heat"},
        {"skein 2 of 2",
         {.name = "x", .skein = bad_weight, .skein_count = 2},
         "skein 2 of this pot: weight"},
        {"a dip", {.name = "x", .skein = bad_dip, .skein_count = 1}, "iron"},
        {"none and alum",
         {.name = "x", .skein = both, .skein_count = 1},
         "alum as well"},
        {"the last thing of many",
         {.name = "x",
          .dyestuffs = WORDS("weld", "madder: 100 %", "tansy: 2:1"),
          .mordants = WORDS("alum: 12 %"),
          .skein = good,
          .skein_count = 1,
          .skeins = "9",
          .dips = WORDS("iron: 2 %", "copper: 2 m")},
         "copper"},
    };
    size_t before = all_records(book);

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        refused(book, rows[i].pot, rows[i].part);
        if (all_records(book) != before)
            fail_msg("%s left something behind", rows[i].why);
    }
    /* And nothing of it hinders what comes after. */
    struct pot_result r = logged(book, (struct pot_entry){.name = "x"}, NULL);
    assert_int_equal(r.bath_number, 1);
    pot_result_clear(&r);
}

static void a_trial_stores_nothing(void **state)
{
    struct book *book = *state;
    struct text echo = {0};
    size_t before = all_records(book);
    struct pot_result r =
        logged(book,
               (struct pot_entry){.name = "x",
                                  .mordants = WORDS("alum: 12 %"),
                                  .weight = "85 g",
                                  .skeins = "1",
                                  .only_try = true},
               &echo);

    check_says(text_str(&echo), "10.2 g on 85 g"); /* W02 */
    assert_int_equal(all_records(book), before);
    text_clear(&echo);
    pot_result_clear(&r);
}

static void a_mordant_or_modifier_bath_is_no_dye_pot(void **state)
{
    struct book *book = *state;
    struct error err;
    int64_t id;

    check_ok(book_act_begin(book, "test", &err), &err);
    check_ok(record_add(book, NOUN_BATH,
                        (struct record_value[]){{"name", "alum bucket"},
                                                {"kind", "mordant"}},
                        2, &id, NULL, &err),
             &err);
    check_ok(record_add(book, NOUN_BATH, &(struct record_value){"name", "gone"},
                        1, &id, NULL, &err),
             &err);
    check_ok(record_withdraw(book, NOUN_BATH, id, true, &err), &err);
    check_ok(book_act_end(book, &err), &err);
    refused(book, (struct pot_entry){.of = "alum bucket"}, "mordant bath");
    refused(book, (struct pot_entry){.of = "2"}, "withdrawn");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST(a_number_names_a_skein_or_gives_the_number),
        TEST(a_skein_is_named_once_in_a_pot),
        TEST(a_spare_skein_keeps_the_mordant_it_has),
        TEST(facts_of_a_skein_in_the_book_are_filled_in_not_overwritten),
        TEST(what_a_skein_is_called_means_that_skein),
        TEST(a_new_skein_called_as_another_is_pointed_out),
        TEST(a_mordant_without_a_skein_is_of_one_unfinished_skein),
        TEST(what_cannot_be_read_stores_nothing),
        TEST(a_trial_stores_nothing),
        TEST(a_mordant_or_modifier_bath_is_no_dye_pot),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
