/*
 * A project in the book: made, weighed against the cupboard, done step by step
 * as planned or otherwise, taken back. Arithmetic by docs/worked.md; what is
 * a usual amount or heat by docs/planning.md. It is Friday, 10 o'clock.
 *
 * link: -Wl,--wrap=time
 */
#include "project_support.h"

#include "book/history.h"

static struct project read(struct book *book, int64_t id)
{
    struct project p;
    struct error err;

    check_ok(project_read(book, id, &p, &err), &err);
    return p;
}

static void add(struct book *book, enum noun_id noun,
                const struct record_value *v, size_t n)
{
    struct error err;
    int64_t id;

    check_ok(book_act_begin(book, "test", &err), &err);
    check_ok(record_add(book, noun, v, n, &id, NULL, &err), &err);
    check_ok(book_act_end(book, &err), &err);
}

#define ADD(book, noun, ...)                                                   \
    add(book, noun, (const struct record_value[]){__VA_ARGS__},                \
        sizeof((const struct record_value[]){__VA_ARGS__}) /                   \
            sizeof(struct record_value))

static struct pot_result done(struct book *book, const struct project *p,
                              const char *name, struct pot_entry changed)
{
    struct pot_result r;
    struct error err;

    check_ok(project_done(book, p->id, task(p, name)->number, &changed, &r,
                          NULL, &err),
             &err);
    return r;
}

/* ---- making
 * ------------------------------------------------------------------
 */

/* Five colours for a blanket stripe from two dyestuffs, a hank of 100 g and
 * 400 m a colour group, ready by Sunday evening, two burners, three pots. */
static void five_colours_for_a_blanket_stripe(void **state)
{
    struct book *book = *state;
    struct project p;

    ADD(book, NOUN_MATERIAL, {"name", "alum"}, {"kind", "mordant"});
    ADD(book, NOUN_SUPPLY, {"material", "alum"}, {"amount", "20 g"});
    ADD(book, NOUN_MATERIAL, {"name", "weld"});
    ADD(book, NOUN_SUPPLY, {"material", "weld"}, {"amount", "500 g"},
        {"state", "fresh"}, {"fresh-per-dry", "4"});
    p = make(book, &blanket);
    assert_int_equal(p.wishes, 5);
    check_text("skein", p.wish[3].skeins, "4");
    check_text("amount", p.wish[3].amount, "240 m = 60 g");
    check_text("how", p.wish[4].how,
               "weld 100 % on alum 12 %, cream of tartar 6 %, exhaust 1, "
               "dipped in iron 2 %");
    assert_int_equal(count_of(book, NOUN_SKEIN), 5);
    assert_false(p.late);
    assert_true(p.shortest);
    assert_true(moment_between(p.ends, p.ready) >= 0);
    assert_true(moment_between((struct moment){{2026, 11, 27}, 600},
                               p.task[0].begins) >= 0);
    /* W01 and its like: 12 % and 6 % of 200 g; 60 % of 40 g; 2 % of 40 g. */
    check_near("alum", need(&p, "alum")->g, 24, 1e-9);
    check_near("tartar", need(&p, "cream of tartar")->g, 12, 1e-9);
    check_near("madder", need(&p, "madder")->g, 24, 1e-9);
    check_near("iron", need(&p, "iron")->g, 0.8, 1e-9);
    check_near("alum is short", need(&p, "alum")->short_g, 4, 1e-9);
    check_near("no madder", need(&p, "madder")->short_g, 24, 1e-9);
    check_near("weld as dry", need(&p, "weld")->left_g, 125, 1e-9);
    check_near("weld suffices", need(&p, "weld")->short_g, 0, 1e-9);
    check_near("iron as a solution", need(&p, "iron")->stock_ml, 80, 1e-9);
    check_says(p.said, "madder: skeins of 100 g in all, off 1 hank of 100 g; "
                       "nothing over");
    check_says(text_str(&p.caution), "Poisonous if swallowed");
    check_text("never a boil", task(&p, "mordant")->heat, "85 C");
    check_says(task(&p, "mordant")->source, "common practice");
    project_clear(&p);
}

static void what_is_only_tried_is_not_kept(void **state)
{
    struct book *book = *state;
    struct project_words w = blanket;
    size_t before = all_records(book);
    struct project p;

    w.only_try = true;
    p = make(book, &w);
    assert_int_equal(p.tasks, 15);
    assert_int_equal(all_records(book), before);
    project_clear(&p);
}

static void a_project_is_one_act(void **state)
{
    struct book *book = *state;
    struct project p = make(book, &blanket);
    struct error err;
    int64_t id;

    check_ok(history_undo(book, book_act(book), &id, &err), &err);
    assert_false(project_find(book, "blanket stripe", &id, &err));
    project_clear(&p);
    p = make(book, &blanket); /* its name is free again, its numbers not */
    check_text("numbers are never used again", p.wish[0].skeins, "6");
    project_clear(&p);
    not_made(book, blanket, "there is a project \"blanket stripe\" already");
}

static void what_cannot_be_planned_is_refused(void **state)
{
    static const struct {
        const char *wish, *why;
    } rows[] = {
        {"rust", "say what it shall be dyed with"},
        {"= 120 m; dyestuff=madder: 60 %", "say a name and how much"},
        {"rust; dyestuff=madder: 60 %", "say how much"},
        {"rust = much; dyestuff=madder: 60 %", "is not how much"},
        {"rust = 20 %; dyestuff=madder: 60 %", "is not how much"},
        {"rust = 20 g; dyestuff=madder: 60 g", "as a part of the fibre"},
        {"rust = 20 g; dyestuff=madder: 60 %; mordant=chrome: 3 %",
         "never planned"},
        {"rust = 20 g; dyestuff=madder: 60 %; mordant=tin: 3 %",
         "never planned"},
        {"rust = 20 g; dyestuff=madder: 60 %; colour=red", "there is no"},
        {"rust = 20 g; like=77", "77"},
        {"rust = 99 x 20 g; dyestuff=madder: 60 %", "cannot be planned"},
        {"rust = 40 x 20 g; dyestuff=madder: 60 %", "two projects"},
        {"rust = 1 hank; dyestuff=madder: 60 %", "what a hank weighs"},
        {"rust = 0 hanks; dyestuff=madder: 60 %", "is not how much"},
    };
    struct book *book = *state;
    struct project_words w = {.name = "x"};
    size_t before = all_records(book);

    not_made(book, w, "which colours");
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        w.wishes = (struct pot_words){&rows[i].wish, 1};
        not_made(book, w, rows[i].why);
    }
    w.wishes = (struct pot_words){stripe, 1};
    not_made(book, w, "how heavy metres are");
    w = blanket;
    w.ready = "Thursday 2026-11-26";
    not_made(book, w, "ready");
    w.ready = "2026-11-26";
    not_made(book, w, "over already");
    w.ready = "9999-01-01";
    not_made(book, w, "far off");
    w = blanket;
    w.pots = "many";
    not_made(book, w, "pots");
    w.pots = "0";
    not_made(book, w, "a pot");
    w = blanket;
    w.hours = "22-8";
    not_made(book, w, "hours");
    w.hours = "9-10";
    not_made(book, w, "longer than the hours");
    w = blanket;
    w.times = WORDS("stew=1 h");
    not_made(book, w, "names no step");
    assert_int_equal(all_records(book), before);
}

/* A plan looks ahead: on 2026-11-27 "6 December" is to come, "6 January" is of
 * the next year, and 29 February of the next that has one. */
static void a_day_without_a_year_is_the_next_one(void **state)
{
    static const struct {
        const char *ready, *iso;
    } rows[] = {
        {"6 December", "2026-12-06 18:00"},
        {"6 Dec 17:30", "2026-12-06 17:30"},
        {"December 6, 17:30", "2026-12-06 17:30"},
        {"by 6 January", "2027-01-06 18:00"},
        {"27 November", "2026-11-27 18:00"},
        {"29 February", "2028-02-29 18:00"},
        {"6.12.", "2026-12-06 18:00"},
    };
    struct book *book = *state;
    struct project_words w = blanket;

    w.only_try = true;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        char iso[17];
        struct project p;
        w.ready = rows[i].ready;
        p = make(book, &w);
        moment_iso(p.ready, iso);
        check_text(rows[i].ready, iso, rows[i].iso);
        project_clear(&p);
    }
    w.ready = "6 December 2025";
    not_made(book, w, "over already");
    w.ready = "27 November 9:00"; /* rather a slip than of the next year */
    not_made(book, w, "over already");
    w.ready = "yesterday";
    not_made(book, w, "over already");
}

static void too_late_is_said(void **state)
{
    struct book *book = *state;
    struct project_words w = blanket;
    struct project p;

    w.ready = "tonight";
    p = make(book, &w);
    assert_true(p.late);
    project_clear(&p);
}

/* As a yarn's label has it (common practice, no source): 60 % of 100 m at 4 m
 * a gram, 25 g, is 15 g. */
static void a_hank_is_read_as_its_label_says_it(void **state)
{
    static const char *const hanks[] = {
        "100 g = 400 m", "100 g / 400 m",   "400 m/100 g",
        "400 m = 100 g", "1/10 kg / 400 m", "400m/100g",
    };
    const char *const wish[] = {"red = 100 m; dyestuff=madder: 60 %"};
    struct book *book = *state;
    struct project_words w = {.name = "x", .wishes = {wish, 1}};

    w.only_try = true;
    for (size_t i = 0; i < ARRAY_LEN(hanks); i++) {
        struct project p;
        w.hank = hanks[i];
        p = make(book, &w);
        check_near(hanks[i], need(&p, "madder")->g, 15, 1e-9);
        check_text(hanks[i], p.hank, "100 g = 400 m");
        project_clear(&p);
    }
    w.hank = "400 m";
    not_made(book, w, "is no weight");
    w.hank = "100 g / 50 g";
    not_made(book, w, "is no length");
}

/* 60 % of so many times 100 g; "2 hanks" hang as two skeins. */
static void a_hank_is_how_much(void **state)
{
    static const struct {
        const char *wish, *skeins;
        double g;
    } rows[] = {
        {"red = 1 hank; dyestuff=madder: 60 %", "1", 60},
        {"red = 2 hanks; dyestuff=madder: 60 %", "1, 2", 120},
        {"red = 3 x 1 hank; dyestuff=madder: 60 %", "1, 2, 3", 180},
        {"red = 1/2 hank; dyestuff=madder: 60 %", "1", 30},
        {"red = 2 x 1/2 hank; dyestuff=madder: 60 %", "1, 2", 60},
    };
    static const char *const many[] = {
        "red = 999 hanks; dyestuff=madder: 60 %"};
    struct book *book = *state;
    struct project_words w = {.name = "x", .hank = "100 g", .only_try = true};

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        w.wishes = (struct pot_words){&rows[i].wish, 1};
        struct project p = make(book, &w);
        check_near(rows[i].wish, need(&p, "madder")->g, rows[i].g, 1e-9);
        check_text(rows[i].wish, p.wish[0].skeins, rows[i].skeins);
        project_clear(&p);
    }
    w.wishes = (struct pot_words){many, 1};
    not_made(book, w, "two projects");
}

/* ---- ways and colours that are known ----------------------------------------
 */

static int64_t measured(struct book *book, const char *skein, const char *lab)
{
    ADD(book, NOUN_READING, {"skein", skein}, {"lab", lab},
        {"source", "instrument"}, {"illuminant", "D50"}, {"observer", "2"},
        {"geometry", "d/8"});
    return 0;
}

static void a_wish_like_a_skein_takes_its_way_and_colour(void **state)
{
    struct book *book = *state;
    struct pot_skein s[] = {{.weight = "20 g"}};
    const char *const like[] = {"rust = 30 g; like=1"};
    struct project_words w = {.name = "again", .wishes = {like, 1}};
    struct pot_result r =
        logged(book,
               (struct pot_entry){.name = "kettle",
                                  .dyestuffs = WORDS("madder: 50 %"),
                                  .mordants = WORDS("alum: 10 %"),
                                  .acids = WORDS("vinegar: 10 ml"),
                                  .temperature = "75",
                                  .minutes = "40",
                                  .on = "2026-05-03",
                                  .skein = s,
                                  .skein_count = 1},
               NULL);
    struct project p;

    pot_result_clear(&r);
    measured(book, "1", "40,44,25");
    p = make(book, &w);
    check_text("recipe", p.wish[0].recipe,
               "dyestuff=madder: 50 %; mordant=alum: 10 %; round=first");
    assert_true(p.wish[0].expected);
    check_near("L", p.wish[0].lab.L, 40, 1e-9);
    check_text("by", p.wish[0].by, "as skein 1");
    check_says(p.said, "vinegar: 10 ml as well, which is not planned");
    check_text("heat as before", task(&p, "dye: madder")->heat, "75 C");
    check_text("time as before", task(&p, "dye: madder")->minutes, "40 min");
    check_text("source", task(&p, "dye: madder")->source,
               "as you did it on 2026-05-03");
    project_clear(&p);

    const char *const words[] = {
        "red = 10 g; dyestuff=madder: 48 %; mordant=alum",
        "deep = 10 g; dyestuff=madder: 80 %; mordant=alum",
        "pale = 10 g; like=1; round=exhaust 1"};
    w = (struct project_words){
        .name = "words", .wishes = {words, 3}, .times = WORDS("dye=60 C, 2 h")};
    p = make(book, &w);
    check_text("as one dyed so", p.wish[0].by, "as skein 1");
    assert_false(p.wish[1].expected); /* stronger than any that was seen */
    assert_false(p.wish[2].expected); /* like it, and yet another round */
    check_text("her own word first", task(&p, "dye: madder")->heat, "60 C");
    project_clear(&p);
}

/* An exhaust that nobody has seen is foretold from two that were. */
static void an_exhaust_is_foretold(void **state)
{
    static const char *const lab[] = {"40,44,25", "50,36,22"};
    struct book *book = *state;
    const char *const wish[] = {
        "peach = 20 g; dyestuff=madder: 60 %; mordant=alum: 12 %; "
        "round=exhaust 2"};
    struct project_words w = {.name = "pale", .wishes = {wish, 1}};
    struct project p;

    for (int i = 0; i < 2; i++) {
        struct pot_skein s[] = {{.weight = "20 g", .fibre = "two-ply"}};
        struct pot_entry pot = {.dyestuffs = WORDS("madder: 60 %"),
                                .mordants = WORDS("alum: 12 %"),
                                .skein = s,
                                .skein_count = 1};
        char number[2] = {(char)('1' + i), '\0'};
        pot.name = i ? NULL : "kettle";
        pot.of = i ? "1" : NULL;
        if (i)
            pot.dyestuffs.count = 0;
        struct pot_result r = logged(book, pot, NULL);
        pot_result_clear(&r);
        measured(book, number, lab[i]);
    }
    ADD(book, NOUN_READING, {"fibre", "two-ply"}, {"lab", "85,0,10"},
        {"mordant", "alum"}, {"source", "instrument"}, {"illuminant", "D50"},
        {"observer", "2"}, {"geometry", "d/8"});
    p = make(book, &w);
    assert_true(p.wish[0].expected);
    assert_true(p.wish[0].foretold);
    check_says(p.wish[0].by, "foretold from bath 1");
    assert_true(p.wish[0].lab.L > 50 && p.wish[0].lab.L < 85);
    project_clear(&p);
}

/* What is planned beside the colours is counted: two rounds of 20 g have to
 * come before this one, and two tests of 5 g behind it. */
static void skeins_that_are_no_colour_are_told(void **state)
{
    struct book *book = *state;
    const char *const wish[] = {"peach = 20 g; dyestuff=madder: 60 %; "
                                "round=exhaust 2"};
    struct project_words w = {
        .name = "pale", .wishes = {wish, 1}, .tests = "2 x 5 g"};
    struct text told = {0};
    struct project p = make(book, &w);

    project_extra_words(&p, &told);
    check_text("told", text_str(&told), " and 4 test skeins (50 g)");
    project_clear(&p);
    text_reset(&told);
    p = make(book, &blanket);
    project_extra_words(&p, &told);
    check_text("none", text_str(&told), "");
    project_clear(&p);
    text_clear(&told);
}

/* ---- doing
 * -------------------------------------------------------------------
 */

static void a_step_becomes_what_it_was_planned_for(void **state)
{
    struct book *book = *state;
    struct project p, after;
    struct pot_skein weighed[] = {{.which = "1", .weight = "42 g"}};
    struct pot_result r;

    ADD(book, NOUN_MATERIAL, {"name", "madder"});
    ADD(book, NOUN_SUPPLY, {"material", "madder"}, {"amount", "100 g"});
    ADD(book, NOUN_MATERIAL, {"name", "alum"}, {"kind", "mordant"});
    ADD(book, NOUN_SUPPLY, {"material", "alum"}, {"amount", "100 g"});
    p = make(book, &blanket);
    r = done(book, &p, "soak", (struct pot_entry){0});
    assert_int_equal(r.treatment_id, 0);
    pot_result_clear(&r);
    r = done(book, &p, "mordant",
             (struct pot_entry){.with = WORDS("alum: 10 %"),
                                .temperature = "176 F"});
    assert_int_equal(r.skeins, 5);
    pot_result_clear(&r);
    r = done(book, &p, "extract: madder", (struct pot_entry){.minutes = "1 h"});
    check_says(r.bath, "1");
    pot_result_clear(&r);
    r = done(
        book, &p, "dye: madder, first",
        (struct pot_entry){
            .skein = weighed, .skein_count = 1, .on = "2026-11-28", .ph = "7"});
    pot_result_clear(&r);
    r = done(book, &p, "dye: madder, exhaust 1",
             (struct pot_entry){.on = "today"});
    pot_result_clear(&r);
    r = done(book, &p, "rinse and dry: madder, first", (struct pot_entry){0});
    pot_result_clear(&r);
    check_life(book, 1, "mordant dye wash");
    check_life(book, 2, "mordant dye");
    check_text("round", words_of(book, NOUN_TREATMENT, 3, "round"),
               "exhaust 1");

    after = read(book, p.id);
    assert_int_equal(after.done, 6);
    check_text("otherwise", task(&after, "mordant")->differed,
               "alum 10 %, planned 12 %; no cream of tartar; heat 176 F, "
               "planned 85 C");
    check_text("changed, of the same supply",
               words_of(book, NOUN_DOSE, 1, "supply"), "alum #2");
    assert_null(task(&after, "extract: madder")->differed);
    check_text("day", task(&after, "dye: madder, first")->done_on,
               "2026-11-28");
    check_text("as it was read", task(&after, "dye: madder, exh")->done_on,
               "2026-11-27");
    check_text("planned is kept", task(&after, "mordant")->dose[0].words,
               "12 %");
    assert_int_equal(after.needs, 2); /* weld and iron */
    project_clear(&after);
    const char *const more[] = {"red = 20 g; dyestuff=madder: 50 %"};
    struct project_words w = {.name = "more", .wishes = {more, 1}};
    after = make(book, &w);
    /* The only supply was taken from: 60 % of 40 g, as they were weighed out
     * for the extraction, though the skein weighed 42 g then. */
    check_near("madder left", need(&after, "madder")->left_g, 100 - 24, 1e-9);
    project_clear(&after);
    project_clear(&p);
}

/* The plan keeps its words; the material they mean may be called otherwise. */
static void a_renamed_material_is_what_was_planned(void **state)
{
    const struct record_value name = {"name", "madder root"};
    struct book *book = *state;
    struct project p = make(book, &blanket), after;
    struct pot_result r =
        done(book, &p, "extract: madder",
             (struct pot_entry){.minutes = "1 h", .note = "strained twice"});
    struct error err;
    int64_t id;

    pot_result_clear(&r);
    check_ok(record_find(book, NOUN_MATERIAL, "madder", &id, &err), &err);
    check_ok(book_act_begin(book, "test", &err), &err);
    check_ok(record_edit(book, NOUN_MATERIAL, id, &name, 1, NULL, &err), &err);
    check_ok(book_act_end(book, &err), &err);
    after = read(book, p.id);
    assert_null(task(&after, "extract: madder")->differed);
    check_text("its note", task(&after, "extract: madder")->note,
               "strained twice");
    project_clear(&after);
    project_clear(&p);
}

static void what_cannot_be_done_is_refused(void **state)
{
    struct book *book = *state;
    struct project p = make(book, &blanket);
    struct pot_entry none = {0}, with = {.with = WORDS("weld")};
    int dye = task(&p, "dye: madder, first")->number;
    struct pot_result r;
    struct error err;

    assert_false(project_done(book, p.id, dye, &none, &r, NULL, &err));
    check_says(err.text, "comes first");
    assert_false(project_done(book, p.id, 99, &none, &r, NULL, &err));
    assert_int_equal(err.kind, ERR_MISSING);
    r = done(book, &p, "extract: madder", none);
    pot_result_clear(&r);
    assert_false(project_done(book, p.id, dye, &with, &r, NULL, &err));
    check_says(err.text, "where it is drawn out");
    r = done(book, &p, "dye: madder, first", none);
    char *notes = notes_of(&r);
    check_says(notes, "\"mordant: alum 12 %, cream of tartar 6 %\", comes "
                      "before and is not marked");
    free(notes);
    pot_result_clear(&r);
    assert_false(project_done(book, p.id, dye, &none, &r, NULL, &err));
    check_says(err.text, "done already, on 2026-11-27: bath 1");
    project_clear(&p);
}

static void what_was_done_is_taken_back_with_its_mark(void **state)
{
    struct book *book = *state;
    struct project p = make(book, &blanket), after;
    struct error err;
    int64_t id;
    struct pot_result r = done(book, &p, "mordant", (struct pot_entry){0});

    pot_result_clear(&r);
    check_ok(history_undo(book, book_act(book), &id, &err), &err);
    after = read(book, p.id);
    assert_int_equal(after.done, 0);
    assert_int_equal(task(&after, "mordant")->treatment_id, 0);
    check_life(book, 1, "");
    r = done(book, &p, "mordant", (struct pot_entry){0});
    pot_result_clear(&r);
    check_life(book, 1, "mordant");
    project_clear(&after);
    project_clear(&p);
}

static void what_is_left_is_planned_anew(void **state)
{
    struct book *book = *state;
    struct project p = make(book, &blanket), after;
    struct project_words later = {
        .ready = "Wednesday noon", .burners = "1", .hours = "9-20"};
    struct pot_result r = done(book, &p, "soak", (struct pot_entry){0});
    struct error err;

    pot_result_clear(&r);
    check_ok(project_when(book, p.id, &later, &err), &err);
    after = read(book, p.id);
    assert_false(after.late);
    assert_true(moment_between(p.ends, after.ends) > 0);
    assert_int_equal(
        moment_between(task(&p, "soak")->begins, task(&after, "soak")->begins),
        0); /* as it was planned */
    for (size_t i = 0; i < after.tasks; i++)
        if (!after.task[i].done && after.task[i].vessel &&
            strstr(after.task[i].vessel, "burner"))
            check_says(after.task[i].vessel, "burner 1");
    project_clear(&after);
    later.pots = "none";
    assert_false(project_when(book, p.id, &later, &err));
    later.pots = "3 x 1 l"; /* the mordant for 200 g: 6 l */
    assert_false(project_when(book, p.id, &later, &err));
    check_says(err.text, "takes 6 l and so a pot of 8 l");
    later.pots = NULL;
    later.jars = "4 x 1 l";
    assert_false(project_when(book, p.id, &later, &err));
    check_says(err.text, "no step that is left was planned for one");
    project_clear(&p);
}

/* How far from the shortest it may be is said of the times as they are. */
static void what_is_said_of_old_times_goes_with_them(void **state)
{
    const struct record_value sooner = {"soonest", "2026-11-28 12:00"};
    const struct project_words later = {.ready = "Wednesday noon"};
    struct book *book = *state;
    struct project p = make(book, &blanket);
    struct text says = {0};
    struct error err;
    int64_t id = p.id;

    assert_true(p.shortest);
    assert_null(strstr(p.said, "sooner"));
    text_addf(&says, "none ends more than %d min sooner",
              moment_between((struct moment){{2026, 11, 28}, 720}, p.ends));
    project_clear(&p);
    check_ok(book_act_begin(book, "test", &err), &err);
    check_ok(record_edit(book, NOUN_PROJECT, id, &sooner, 1, NULL, &err), &err);
    check_ok(book_act_end(book, &err), &err);
    p = read(book, id);
    check_says(p.said, text_str(&says));
    check_says(p.said, "madder: skeins of 100 g in all");
    project_clear(&p);
    check_ok(project_when(book, id, &later, &err), &err);
    p = read(book, id);
    assert_null(strstr(p.said, "sooner"));
    check_says(p.said, "madder: skeins of 100 g in all");
    project_clear(&p);
    text_clear(&says);
}

int main(void)
{
    setenv("TZ", "UTC", 1);
    tzset();
    const struct CMUnitTest tests[] = {
        TEST(five_colours_for_a_blanket_stripe),
        TEST(what_is_only_tried_is_not_kept),
        TEST(a_project_is_one_act),
        TEST(what_cannot_be_planned_is_refused),
        TEST(a_day_without_a_year_is_the_next_one),
        TEST(a_hank_is_read_as_its_label_says_it),
        TEST(a_hank_is_how_much),
        TEST(too_late_is_said),
        TEST(a_wish_like_a_skein_takes_its_way_and_colour),
        TEST(an_exhaust_is_foretold),
        TEST(skeins_that_are_no_colour_are_told),
        TEST(a_step_becomes_what_it_was_planned_for),
        TEST(a_renamed_material_is_what_was_planned),
        TEST(what_cannot_be_done_is_refused),
        TEST(what_was_done_is_taken_back_with_its_mark),
        TEST(what_is_left_is_planned_anew),
        TEST(what_is_said_of_old_times_goes_with_them),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
