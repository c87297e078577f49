/* How the words of a pot are read; questions and cautions. */
#include "pot_support.h"

#include "dye/caution.h"
#include "dye/substance.h"

/* ---- words ------------------------------------------------------------------
 */

static void skeins_are_read_from_one_line(void **state)
{
    struct pot_skein s;
    struct error err;

    (void)state;
    check_ok(pot_skein_read(" 137 ; weight = 20 g;mordant=iron: 2 %;"
                            " Mordant=alum ; ; dip=none; note=a; b=c ",
                            &s, &err),
             &err);
    check_text("which", s.which, "137");
    check_text("weight", s.weight, "20 g");
    assert_int_equal(s.mordants.count, 2);
    check_text("mordant", s.mordants.word[1], "alum");
    check_text("dip", s.dips.word[0], "none");
    check_text("note", s.note, "a; b=c");
    pot_skein_clear(&s);
    pot_skein_clear(&s);

    check_ok(pot_skein_read("", &s, &err), &err);
    assert_null(s.which);
    pot_skein_clear(&s);
    check_ok(pot_skein_read("name==SUM(A1)", &s, &err), &err);
    check_text("a leading =", s.name, "=SUM(A1)");
    pot_skein_clear(&s);

    assert_false(pot_skein_read("137; wieght=20 g", &s, &err));
    check_says(err.text, "wieght");
    assert_false(pot_skein_read("weight=20 g; weight=21 g", &s, &err));
    check_says(err.text, "twice");
    assert_false(pot_skein_read("weight=20 g; lumpy", &s, &err));
    check_says(err.text, "lumpy");
    assert_false(pot_skein_read("=20 g", &s, &err));
}

static void a_dose_is_read_with_all_that_is_said_of_it(void **state)
{
    static const char late[] = "weld: 50 g; minute=20; added=after; "
                               "known=weighed; note=late; too late";
    struct book *book = *state;
    struct error err;
    int64_t *id;
    size_t n;
    struct pot_result r = logged(
        book,
        (struct pot_entry){
            .name = "three at once",
            .dyestuffs = WORDS("velvet-foot pax: 300 g fresh", late, "tansy",
                               "onion skins: a handful", "madder 50 %",
                               "walnut hulls: about 60 g",
                               "cochineal: 8 % extract", "larch bark: ?"),
        },
        NULL);
    pot_result_clear(&r);
    check_ok(record_ids(book, NOUN_DOSE, false, &id, &n, &err), &err);
    assert_int_equal(n, 8);
    static const struct {
        size_t at;
        const char *field, *want;
    } rows[] = {
        {0, "material", "velvet-foot pax"},
        {0, "state", "fresh"},
        {1, "minute", "20"},
        {1, "added", "after"},
        {1, "known", "weighed"},
        {1, "note", "late; too late"},
        {2, "amount", ""},
        {2, "known", ""}, /* not recorded is not unknown */
        {3, "amount", "a handful"},
        {4, "material", "madder"},
        {4, "amount", "50 %"},
        {5, "known", "guessed"},
        {6, "amount", "8 %"},
        {6, "state", "extract"},
        {7, "known", "unknown"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        check_text(rows[i].field,
                   words_of(book, NOUN_DOSE, id[rows[i].at], rows[i].field),
                   rows[i].want);
    free(id);
}

static void what_people_type_comes_back_as_typed(void **state)
{
    struct book *book = *state;
    static char long_note[4001];
    struct pot_result r;

    memset(long_note, 'x', 4000);
    memcpy(long_note,
           "\xC2\xBD tsp \"good glug\"\tpasted\tcells \xF0\x9F\xA7\xB6", 37);
    r = logged(book,
               (struct pot_entry){.name = "=karhunk\xC3\xA4\xC3\xA4p\xC3\xA4 "
                                          "\xC3\xBE\xC3\xB3rl\xC3\xA1kur",
                                  .dyestuffs = WORDS("karhunk\xC3\xA4\xC3\xA4"
                                                     "p\xC3\xA4: a few"),
                                  .note = long_note,
                                  .ph = "strip looked green",
                                  .minutes = "overnight",
                                  .temperature = "hand-warm"},
               NULL);
    check_text("name", words_of(book, NOUN_BATH, r.bath_id, "name"),
               "=karhunk\xC3\xA4\xC3\xA4p\xC3\xA4 \xC3\xBE\xC3\xB3rl\xC3\xA1"
               "kur");
    struct record rec;
    struct error err;
    check_ok(record_read(book, NOUN_TREATMENT, r.treatment_id, &rec, &err),
             &err);
    check_text("note", record_get(&rec, "note")->words, long_note);
    check_text("minutes", record_get(&rec, "minutes")->words, "overnight");
    record_clear(&rec);
    pot_result_clear(&r);
}

/* ---- questions and cautions -------------------------------------------------
 */

static void odd_amounts_are_asked_about_and_kept(void **state)
{
    struct book *book = *state;
    static const struct {
        const char *mordant, *part; /* NULL: nothing is asked */
    } rows[] = {
        {"alum: 120 %", "Was 12 % meant?"},
        {"alum: 1.2 %", "Was 12 % meant?"},
        {"alum: 12 %", NULL},
        {"alum: 8 %", NULL},
        {"alum: 25 %", NULL},
        {"alum: 40 %", "8 to 25 % is usual."},
        {"alum: 24 g", "120 % of the fibre"}, /* on 20 g */
        {"iron: 20 %", "Was 2 % meant?"},
        {"iron: 2 %", NULL},
        {"rhubarb leaf: 50 %", NULL},
        {"alum: a pinch", NULL},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct pot_result r =
            logged(book,
                   (struct pot_entry){.name = "x",
                                      .mordants = WORDS(rows[i].mordant),
                                      .weight = "20 g",
                                      .skeins = "1"},
                   NULL);
        char *notes = notes_of(&r);
        if (rows[i].part)
            check_says(notes, rows[i].part);
        else if (strstr(notes, "usual"))
            fail_msg("%s was asked about: %s", rows[i].mordant, notes);
        free(notes);
        pot_result_clear(&r);
    }
}

static void chrome_and_tin_are_recorded_and_never_reckoned(void **state)
{
    struct book *book = *state;
    struct text echo = {0};
    struct pot_result r =
        logged(book,
               (struct pot_entry){.name = "grandmother's",
                                  .mordants = WORDS("chrome: 3 %", "tin: 4 %"),
                                  .weight = "100 g",
                                  .skeins = "1"},
               &echo);
    char *notes = notes_of(&r), *doses = doses_in(book);

    check_says(text_str(&echo), "chrome: 3 %, recorded and never reckoned");
    check_says(text_str(&echo), "tin: 4 %, recorded and never reckoned");
    assert_null(strstr(text_str(&echo), "3 g"));
    check_says(notes, "Chromium(VI) causes cancer");
    check_text("doses", doses, "chrome|3 %|mordant|\ntin|4 %|mordant|\n");
    free(notes);
    free(doses);
    text_clear(&echo);
    pot_result_clear(&r);
}

static void a_caution_comes_once_a_material(void **state)
{
    struct book *book = *state;
    const struct pot_entry pot = {
        .name = "x",
        .mordants = WORDS("alum: 12 %", "copper sulphate: 2 %"),
        .dips = WORDS("copper sulphate: 2 %"),
        .skeins = "2"};
    struct pot_result r = logged(book, pot, NULL);
    char *notes = notes_of(&r);
    const char *hit = strstr(notes, "copper sulphate: Harmful");

    assert_non_null(hit);
    assert_null(strstr(hit + 1, "copper sulphate: Harmful"));
    free(notes);
    pot_result_clear(&r);
    /* The second time it is known. */
    r = logged(book, pot, NULL);
    assert_int_equal(r.cautions, 0);
    pot_result_clear(&r);
}

static void iron_and_alum_in_one_pot_are_pointed_out(void **state)
{
    struct book *book = *state;
    const struct pot_skein skein[] = {{.mordants = WORDS("iron: 2 %")}, {0}};
    struct pot_result r =
        logged(book,
               (struct pot_entry){.name = "x",
                                  .mordants = WORDS("alum: 12 %"),
                                  .skein = skein,
                                  .skein_count = 2},
               NULL);
    char *notes = notes_of(&r);

    check_says(notes, "can dull alum skeins");
    free(notes);
    pot_result_clear(&r);
}

/* Keys and texts of trade rules; whole words only. */
static void cautions_belong_to_names(void **state)
{
    static const struct {
        const char *name, *latin, *keys; /* in order, comma between */
    } rows[] = {
        {"alum", NULL, "alum"},
        {"Potassium Alum", NULL, "alum"},
        {"aluminium acetate", NULL, ""},
        {"Iron", NULL, "ferrous sulfate"},
        {"copperas", NULL, "ferrous sulfate"},
        {"ironbark", NULL, ""},
        {"copper sulfate", NULL, "copper sulfate"},
        {"tin", NULL, "stannous chloride"},
        {"tinder", NULL, ""},
        {"chrome", NULL, "potassium dichromate"},
        {"washing soda", NULL, "washing soda"},
        {"baking soda", NULL, ""},
        {"caustic soda", NULL, "lime and caustic soda"},
        {"lime blossom", NULL, ""},
        {"rhubarb leaves", NULL, "oxalic acid"},
        {"rhubarb root", NULL, ""},
        {"tansy", NULL, "tansy"},
        {"walnut hulls", NULL, "walnut hulls"},
        {"velvet-foot pax", NULL, "velvet-foot pax,wild mushrooms"},
        {"red ones", "Cortinarius semisanguineus", "webcaps,wild mushrooms"},
        {"webcaps", NULL, "webcaps,wild mushrooms"},
        {"wolf lichen", NULL, "wolf lichen,lichens"},
        {"madder", "Rubia tinctorum", ""},
        {"vinegar", NULL, ""},
        {"weld", NULL, ""},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const struct caution *c[CAUTION_MAX];
        size_t n = caution_for(rows[i].name, rows[i].latin, c);
        struct text keys = {0};
        for (size_t k = 0; k < n; k++)
            text_addf(&keys, "%s%s", k ? "," : "", c[k]->key);
        check_text(rows[i].name, text_str(&keys), rows[i].keys);
        text_clear(&keys);
    }
    check_text("general", caution_general("pots")->key, "pots");
}

static void substances_are_told_by_their_names(void **state)
{
    static const struct {
        const char *name, *kind; /* NULL: not known */
    } rows[] = {
        {"iron", "mordant"},         {"Alum", "mordant"},
        {"copper", "mordant"},       {"cream of tartar", "assist"},
        {"vinegar", "acid"},         {"citric acid", "acid"},
        {"lemon juice", "acid"},     {"washing soda", "alkali"},
        {"chalk", "alkali"},         {"ammonia", "alkali"},
        {"rhubarb leaf", "mordant"}, {"madder", NULL},
        {"copper salt", "mordant"},  {"pine soap", "cleanser"},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const char *kind = substance_kind(rows[i].name);
        check_text(rows[i].name, kind ? kind : "-",
                   rows[i].kind ? rows[i].kind : "-");
    }
}

static void a_new_material_gets_the_kind_it_is_used_as(void **state)
{
    struct book *book = *state;
    struct error err;
    struct text echo = {0};
    static const struct {
        const char *name, *kind;
    } rows[] = {{"weld", "dyestuff"},       {"alum", "mordant"},
                {"tartar", "assist"},       {"vinegar", "acid"},
                {"chalk", "alkali"},        {"iron", "mordant"},
                {"moon water", "modifier"}, {"soda", "alkali"}};
    struct pot_result r =
        logged(book,
               (struct pot_entry){.name = "x",
                                  .dyestuffs = WORDS("weld"),
                                  .mordants = WORDS("alum"),
                                  .assists = WORDS("tartar"),
                                  .acids = WORDS("vinegar"),
                                  .alkalis = WORDS("chalk"),
                                  .dips = WORDS("iron", "moon water", "soda"),
                                  .skeins = "1"},
               &echo);
    pot_result_clear(&r);
    check_says(text_str(&echo), "iron is new in the book: a mordant");
    check_says(text_str(&echo), "tartar is new in the book: an assist");
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        int64_t id;
        check_ok(record_find(book, NOUN_MATERIAL, rows[i].name, &id, &err),
                 &err);
        check_text(rows[i].name, words_of(book, NOUN_MATERIAL, id, "kind"),
                   rows[i].kind);
    }
    text_reset(&echo);
    r = logged(
        book,
        (struct pot_entry){.name = "y", .dyestuffs = WORDS("Weld", "copper")},
        &echo);
    assert_null(strstr(text_str(&echo), "Weld is new"));
    char *notes = notes_of(&r);
    check_says(notes, "copper is entered as a dyestuff; was mordant meant?");
    free(notes);
    text_clear(&echo);
    pot_result_clear(&r);
}

static void a_name_that_is_nearly_another_is_asked_about(void **state)
{
    struct book *book = *state;
    static const struct {
        const char *name, *meant; /* NULL: nothing is asked */
    } rows[] = {{"mader", "was madder meant?"},
                {"weed", "was weld meant?"},
                {"woad", NULL}, /* two letters of four are too many */
                {"rubia", NULL},
                {"wallnut huls", "was walnut hulls meant?"},
                {"walnut leaves", NULL}};
    struct pot_result r = logged(
        book,
        (struct pot_entry){
            .name = "x", .dyestuffs = WORDS("madder", "weld", "walnut hulls")},
        NULL);

    assert_int_equal(r.notes, 0);
    pot_result_clear(&r);
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        r = logged(book,
                   (struct pot_entry){.name = rows[i].name,
                                      .dyestuffs = WORDS(rows[i].name),
                                      .only_try = true},
                   NULL);
        assert_int_equal(r.notes, rows[i].meant ? 1 : 0);
        if (rows[i].meant)
            check_says(r.note[0], rows[i].meant);
        pot_result_clear(&r);
    }
}

static void what_no_skein_took_is_not_silently_lost(void **state)
{
    struct book *book = *state;
    const struct pot_skein own[] = {
        {.mordants = WORDS("iron"), .dips = WORDS("none")}};
    struct pot_result r = logged(book,
                                 (struct pot_entry){.name = "x",
                                                    .mordants = WORDS("alum"),
                                                    .assists = WORDS("tartar"),
                                                    .dips = WORDS("copper"),
                                                    .skein = own,
                                                    .skein_count = 1},
                                 NULL);

    assert_int_equal(r.notes, 3);
    check_says(r.note[0], "alum: no skein of this pot took it as mordant");
    check_says(r.note[2], "copper: no skein of this pot took it as modifier");
    pot_result_clear(&r);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST(skeins_are_read_from_one_line),
        TEST(a_dose_is_read_with_all_that_is_said_of_it),
        TEST(what_people_type_comes_back_as_typed),
        TEST(odd_amounts_are_asked_about_and_kept),
        TEST(chrome_and_tin_are_recorded_and_never_reckoned),
        TEST(a_caution_comes_once_a_material),
        TEST(iron_and_alum_in_one_pot_are_pointed_out),
        TEST(cautions_belong_to_names),
        TEST(substances_are_told_by_their_names),
        TEST(a_new_material_gets_the_kind_it_is_used_as),
        TEST(a_name_that_is_nearly_another_is_asked_about),
        TEST(what_no_skein_took_is_not_silently_lost),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
