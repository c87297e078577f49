/*
 * What the book has already is taken for a project: spare skeins with a mordant
 * on them, and the heat and time of before. Arithmetic by docs/worked.md; how
 * near two strengths are the same is our own choice (docs/planning.md).
 *
 * link: -Wl,--wrap=time
 */
#include "project_support.h"

#include "book/history.h"

/* The next number, mordanted. */
static void spare(struct book *book, const char *fibre, const char *dose)
{
    const char *const with[] = {dose};
    struct pot_skein s[] = {{.weight = "8 g", .fibre = fibre}};
    struct pot_entry mordant = {
        .kind = "mordant", .with = {with, 1}, .skein = s, .skein_count = 1};
    struct pot_result r;
    struct error err;

    check_ok(pot_treat(book, &mordant, &r, NULL, &err), &err);
    pot_result_clear(&r);
}

static void tests_take_spare_skeins(void **state)
{
    struct book *book = *state;
    struct project_words w = blanket;
    struct project p;

    spare(book, NULL, "alum: 12 %");
    w.wishes.count = 1;
    w.tests = "2 x 10 g";
    p = make(book, &w);
    check_text("the spare", task(&p, "exhaust 1")->skeins, "1");
    check_text("a new one", task(&p, "exhaust 2")->skeins, "3");
    check_text("not mordanted again", task(&p, "mordant")->skeins, "2, 3");
    check_near("alum for 50 g", need(&p, "alum")->g, 6, 1e-9);
    project_clear(&p);
}

/* What is recorded of a spare and is not as wanted: no test takes it. */
static void tests_take_no_spare_of_another_kind(void **state)
{
    static const struct {
        const char *fibre, *mordant;
        bool taken;
    } rows[] = {
        {"singles", "alum: 12 %", false}, {"two-ply", "alum: 8 %", false},
        {"two-ply", "iron: 12 %", false}, {"two-ply", "alum: 12.5 %", true},
        {"Two-ply", "alum", true},
    };
    struct book *book = *state;
    struct project_words w = blanket;

    w.wishes.count = 1;
    w.tests = "1 x 10 g";
    w.only_try = true;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        char number[12];
        struct project p;
        int64_t act;

        snprintf(number, sizeof number, "%zu", i + 1);
        spare(book, rows[i].fibre, rows[i].mordant);
        act = book_act(book);
        p = make(book, &w);
        if (rows[i].taken != !strcmp(task(&p, "exhaust 1")->skeins, number))
            fail_msg("%s with %s: taken is %s", rows[i].fibre, rows[i].mordant,
                     task(&p, "exhaust 1")->skeins);
        project_clear(&p);
        if (rows[i].taken) { /* out of the way of the next */
            struct error err;
            int64_t id;
            check_ok(history_undo(book, act, &id, &err), &err);
        }
    }
}

static void a_skein_of_the_book_takes_a_colour(void **state)
{
    const char *const on[] = {"pale; dyestuff=weld: 50 %; on=1"};
    const char *const more[] = {
        "olive; dyestuff=weld: 50 %; mordant=iron: 2 %; on=2"};
    const char *const twice[] = {"pale; dyestuff=weld: 50 %; on=3",
                                 "paler; dyestuff=weld: 5 %; on=3"};
    struct book *book = *state;
    struct project_words w = {.name = "spare", .wishes = {on, 1}};
    struct project p;
    struct error err;

    spare(book, "singles", "alum: 12 %");
    spare(book, "singles", "iron: 4 %");
    spare(book, "singles", "alum: 12 %");
    p = make(book, &w);
    check_near("of its weight", need(&p, "weld")->g, 4, 1e-9);
    assert_int_equal(p.needs, 1);
    check_says(text_str(&p.caution), "alum: Mild"); /* that it has on it */
    assert_null(strstr(p.said ? p.said : "", "another"));

    w.name = "again";
    not_made(book, w, "skein 1 is planned in project \"spare\" already");
    check_ok(book_act_begin(book, "test", &err), &err);
    check_ok(record_withdraw(book, NOUN_PROJECT, p.id, true, &err), &err);
    check_ok(book_act_end(book, &err), &err);
    project_clear(&p);
    p = make(book, &w);
    project_clear(&p);

    w = (struct project_words){
        .name = "other", .yarn = "two-ply", .wishes = {more, 1}};
    p = make(book, &w);
    check_says(p.said, "olive: skein 2 has iron 4 %, not 2 %");
    check_says(p.said, "olive: skein 2 is singles, not two-ply");
    check_says(text_str(&p.caution), "iron: Poisonous if swallowed");
    project_clear(&p);
    w = (struct project_words){.name = "twice", .wishes = {twice, 2}};
    not_made(book, w, "paler: another colour takes skein 3 already");
}

/* What stood cold before stands cold again, as long, and holds no burner. */
static void what_was_cold_before_needs_no_burner(void **state)
{
    static const struct {
        const char *material, *heat, *minutes, *as;
    } rows[] = {{"alum acetate", "20 C", "48 h", "20 C"},
                {"rhubarb leaf", "cold", "3 days", "cold"}};
    struct book *book = *state;

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const char *const dose[] = {rows[i].material};
        struct pot_skein s[] = {{.weight = "20 g"}};
        struct pot_entry before = {.kind = "mordant",
                                   .with = {dose, 1},
                                   .temperature = rows[i].heat,
                                   .minutes = rows[i].minutes,
                                   .skein = s,
                                   .skein_count = 1};
        struct text wish = {0};
        struct project_words w = {.name = rows[i].material};
        struct pot_result r;
        struct project p;
        struct error err;

        check_ok(pot_treat(book, &before, &r, NULL, &err), &err);
        pot_result_clear(&r);
        text_addf(&wish, "gold = 20 g; dyestuff=weld: 50 %%; mordant=%s: 8 %%",
                  rows[i].material);
        const char *const wishes[] = {text_str(&wish)};
        w.wishes = (struct pot_words){wishes, 1};
        p = make(book, &w);
        check_text("heat", task(&p, "mordant")->heat, rows[i].as);
        check_text("time", task(&p, "mordant")->minutes,
                   i ? "3 days" : "2 days");
        check_text("source", task(&p, "mordant")->source,
                   "as you did it before");
        assert_null(task(&p, "mordant")->vessel);
        assert_int_equal(task(&p, "mordant")->takes_min, i ? 4320 : 2880);
        project_clear(&p);
        text_clear(&wish);
    }
}

int main(void)
{
    setenv("TZ", "UTC", 1);
    tzset();
    const struct CMUnitTest tests[] = {
        TEST(tests_take_spare_skeins),
        TEST(tests_take_no_spare_of_another_kind),
        TEST(a_skein_of_the_book_takes_a_colour),
        TEST(what_was_cold_before_needs_no_burner),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
