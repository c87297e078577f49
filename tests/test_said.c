/* What notes say is found by its words, whatever was done to the notes. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "ask_support.h"
#include "base/mem.h"
#include "book/check.h"
#include "book/history.h"
#include "shelf_support.h"

/* The labels of the skeins found, "1 2 "; "!" and the error when refused. */
static char *found(const char *words)
{
    struct ask_filter f = ask_filter_any();
    struct ask_skeins all;
    struct text t = {0};
    struct error err;

    if (!ask_filter_read(ask_book, &f, "text", words, &err)) {
        text_addf(&t, "!%s", err.text);
        return text_take(&t);
    }
    check_ok(ask_skeins(ask_book, &f, 0, &all, &err), &err);
    for (size_t i = 0; i < all.count; i++)
        text_addf(&t, "%s ", all.skein[i].label);
    ask_skeins_free(&all);
    return text_take(&t);
}

static void check_found(const char *words, const char *want)
{
    char *got = found(words);

    check_text(words, got, want);
    free(got);
}

static void check_sound(void)
{
    const struct check_wish wish = {0};
    struct check c;
    struct error err;

    check_ok(check_book(ask_book, &wish, &c, &err), &err);
    if (c.faults)
        fail_msg("%s", text_str(&c.told));
    check_clear(&c);
}

/* ---- which words ----------------------------------------------------------
 */

static void marks_capitals_order_and_endings_do_not_matter(void **state)
{
    (void)state;
    ADD(NOUN_SKEIN, {"note", "Värjätty mökillä, ÖRAS; café 2026"});
    ADD(NOUN_SKEIN, {"note", "varjatty"});
    check_found("värjätty", "1 2 ");
    check_found("VARJATTY", "1 2 ");
    check_found("mök", "1 ");
    check_found("öras MOKILLA", "1 ");
    check_found("2026 cafe", "1 ");
    check_found("jätty", "");       /* the middle of a word */
    check_found("mökillä tin", ""); /* each of them */
    ADD(NOUN_SKEIN, {"note", "mordant"});
    ADD(NOUN_SKEIN, {"name", "kettle"}); /* no note */
    check_found("kettle", "");
}

/* The search has a language of its own, which is not the dyer's. */
static void whatever_is_typed_is_words(void **state)
{
    static const char *const nasty[] = {"\"",       "\"\"",
                                        "a\"",      "NEAR(a b)",
                                        "a AND",    "OR",
                                        "NOT a",    "note:a",
                                        "^a",       "a*",
                                        "-a",       "{note}:a",
                                        "a + b",    "(a",
                                        "a)",       "'; DROP",
                                        "\\",       "%",
                                        "said:a",   "a NEAR/2 b",
                                        "\xC3\xA4", "\xC3",
                                        "z\xFFy",   "\1a",
                                        ":text",    "of_table:skein"};

    char many[601], *got;

    (void)state;
    ADD(NOUN_SKEIN, {"note", "a b"});
    for (size_t i = 0; i < ARRAY_LEN(nasty); i++) {
        got = found(nasty[i]);
        if (*got == '!' && !strstr(got, "write words of a note"))
            fail_msg("%s: %s", nasty[i], got);
        free(got);
    }
    check_found("a*", "1 ");
    check_found("(b)", "1 ");
    check_found("of_table:skein", "");
    check_found("skein", ""); /* what kind it is is no word of the note */
    check_found("--", "!text: write words of a note, not \"--\"");
    memset(many, 'a', sizeof many - 1);
    for (size_t i = 1; i < sizeof many; i += 2)
        many[i] = ' ';
    many[sizeof many - 1] = '\0';
    got = found(many);
    assert_non_null(strstr(got, "too long"));
    free(got);
}

/* ---- of what ---------------------------------------------------------------
 */

/* One word for each record a skein went through; only its skeins are found. */
static void a_note_is_found_from_all_a_skein_went_through(void **state)
{
    const struct record_value photo = {"note", "wordpicture"};
    struct error err;

    (void)state;
    ADD(NOUN_MATERIAL, {"name", "madder"}, {"note", "wordmaterial"});
    ADD(NOUN_ALIAS, {"material", "madder"}, {"name", "krappi"},
        {"note", "wordalias"});
    ADD(NOUN_SUPPLY, {"material", "madder"}, {"name", "m26"},
        {"note", "wordsupply"});
    ADD(NOUN_WATER, {"name", "well"}, {"note", "wordwater"});
    ADD(NOUN_FIBRE, {"name", "wool"}, {"note", "wordfibre"});
    ADD(NOUN_BATH, {"name", "kettle"}, {"water", "well"}, {"note", "wordbath"});
    ADD(NOUN_EXTRACTION, {"bath", "kettle"}, {"note", "wordextraction"});
    ADD(NOUN_DOSE, {"material", "madder"}, {"bath", "kettle"},
        {"supply", "m26"}, {"amount", "50 g"}, {"note", "worddose"});
    ADD(NOUN_PH, {"bath", "kettle"}, {"ph", "7"}, {"note", "wordbathph"});
    ask_dye("kettle", "first", NULL);
    ask_dye("kettle", "exhaust 1", NULL);
    ADD(NOUN_DOSE, {"material", "madder"}, {"bath", "kettle"},
        {"before-round", "exhaust 1"}, {"note", "wordtopped"});
    ADD(NOUN_TREATMENT, {"kind", "wash"}, {"note", "wordtreatment"});
    ADD(NOUN_ENTRY, {"skein", "2"}, {"treatment", "#3"}, {"note", "wordentry"});
    ADD(NOUN_PH, {"treatment", "#3"}, {"ph", "6"}, {"note", "wordph"});
    ADD(NOUN_SKEIN, {"fibre", "wool"}, {"note", "wordskein"});
    ADD(NOUN_SIGHT, {"skein", "3"}, {"glow", "faint"}, {"note", "wordsight"});
    ADD(NOUN_READING, {"skein", "3"}, {"lab", "40,40,30"}, {"source", "eye"},
        {"note", "wordreading"});
    ask_photo("3", 7, 0, "a camera", "2026-09-01");
    check_ok(book_act_begin(ask_book, "test", &err), &err);
    check_ok(record_edit(ask_book, NOUN_PHOTO, 1, &photo, 1, NULL, &err), &err);
    check_ok(book_act_end(ask_book, &err), &err);
    ask_add(NOUN_CARD,
            (struct record_value[]){{"name", "card"}, {"note", "wordcard"}}, 2);
    check_found("wordmaterial", "1 2 ");
    check_found("wordalias", "1 2 ");
    check_found("wordsupply", "1 2 ");
    check_found("wordwater", "1 2 ");
    check_found("wordbath", "1 2 ");
    check_found("wordbathph", "1 2 ");
    check_found("wordextraction", "1 2 ");
    check_found("worddose", "1 2 ");
    check_found("wordtopped", "2 "); /* put in when 1 was out */
    check_found("wordtreatment", "2 ");
    check_found("wordentry", "2 ");
    check_found("wordph", "2 ");
    check_found("wordfibre", "3 ");
    check_found("wordskein", "3 ");
    check_found("wordsight", "3 ");
    check_found("wordreading", "3 ");
    check_found("wordcard", "");
    check_found("wordpicture", "3 ");
    check_found("worddose wordsupply", ""); /* not in one note */
}

/* A piece has gone through what its parent had by then, and through no more;
 * a note of the parent itself is of the parent alone. */
static void a_piece_has_the_notes_of_its_life(void **state)
{
    (void)state;
    ADD(NOUN_SKEIN, {"note", "parent"});
    ADD(NOUN_SKEIN, {"name", "piece"});
    ADD(NOUN_TREATMENT, {"kind", "scour"}, {"note", "earlier"});
    ADD(NOUN_TREATMENT, {"kind", "wash"}, {"note", "later"});
    ADD(NOUN_ENTRY, {"skein", "1"}, {"treatment", "#1"});
    ADD(NOUN_ENTRY, {"skein", "1"}, {"treatment", "#2"});
    ADD(NOUN_ORIGIN, {"child", "2"}, {"parent", "1"}, {"after-entry", "#1"});
    check_found("earlier", "1 2 ");
    check_found("later", "1 ");
    check_found("parent", "1 ");
}

/* ---- whatever is done ------------------------------------------------------
 */

#define SKEIN_COUNT 12
#define WORD_COUNT 5
static const char *const words[WORD_COUNT] = {"alpha", "beta", "gamma", "delta",
                                              "epsilon"};

/* What one act does to a note, a skein, or to what was done before. */
static void act(uint64_t *seed)
{
    struct error err;
    int64_t id = 1 + dice(seed, SKEIN_COUNT), done;
    const struct record_value note = {"note", words[dice(seed, WORD_COUNT)]},
                              none = {"note", ""},
                              place = {"place", note.words};
    struct record is;
    int what = dice(seed, 7);

    if (what == 5) { /* some of these are refused, which changes nothing */
        (void)history_undo(ask_book, 0, &done, &err);
        return;
    }
    if (what == 6) {
        (void)history_bring_back(ask_book, &nouns[NOUN_SKEIN], id,
                                 1 + dice(seed, 40), &err);
        return;
    }
    check_ok(book_act_begin(ask_book, "test", &err), &err);
    if (what == 4) {
        check_ok(record_read(ask_book, NOUN_SKEIN, id, &is, &err), &err);
        check_ok(record_withdraw(ask_book, NOUN_SKEIN, id, !is.withdrawn, &err),
                 &err);
        record_clear(&is);
    } else {
        check_ok(record_edit(ask_book, NOUN_SKEIN, id,
                             what == 0   ? &none
                             : what == 1 ? &place
                                         : &note,
                             1, NULL, &err),
                 &err);
    }
    check_ok(book_act_end(ask_book, &err), &err);
}

/* Reckoned from the records themselves. */
static char *expected(const char *word)
{
    struct text t = {0};
    struct error err;

    for (int64_t id = 1; id <= SKEIN_COUNT; id++) {
        struct record is;
        const struct record_field *note;
        check_ok(record_read(ask_book, NOUN_SKEIN, id, &is, &err), &err);
        note = record_get(&is, "note");
        if (!is.withdrawn && note && !strcmp(note->words, word))
            text_addf(&t, "%lld ", (long long)id);
        record_clear(&is);
    }
    return text_take(&t);
}

static void after_any_act_notes_are_found_as_they_are(void **state)
{
    uint64_t seed = 26;
    size_t hits = 0;

    (void)state;
    for (int i = 0; i < SKEIN_COUNT; i++)
        ADD(NOUN_SKEIN, {"note", words[dice(&seed, WORD_COUNT)]});
    for (int i = 0; i < 400; i++) {
        act(&seed);
        for (int w = 0; w < WORD_COUNT; w++) {
            char *want = expected(words[w]);
            hits += *want != '\0';
            check_found(words[w], want);
            free(want);
        }
    }
    assert_true(hits > 500);
    check_sound();
}

/* In one act a record may begin, change and change back. */
static void several_changes_in_one_act_leave_one_note(void **state)
{
    const struct record_value a = {"note", "first"}, b = {"note", "second"};
    struct error err;
    int64_t id, done;

    (void)state;
    check_ok(book_act_begin(ask_book, "test", &err), &err);
    check_ok(record_add(ask_book, NOUN_SKEIN, &a, 1, &id, NULL, &err), &err);
    check_ok(record_edit(ask_book, NOUN_SKEIN, id, &b, 1, NULL, &err), &err);
    check_ok(book_act_end(ask_book, &err), &err);
    check_found("first", "");
    check_found("second", "1 ");
    check_ok(book_act_begin(ask_book, "test", &err), &err);
    check_ok(record_edit(ask_book, NOUN_SKEIN, id, &a, 1, NULL, &err), &err);
    check_ok(record_withdraw(ask_book, NOUN_SKEIN, id, true, &err), &err);
    check_ok(book_act_end(ask_book, &err), &err);
    check_found("first", "");
    check_ok(history_undo(ask_book, 0, &done, &err), &err);
    check_found("second", "1 ");
    check_sound();
}

#define T(f) cmocka_unit_test_setup_teardown(f, ask_book_open, ask_book_close)

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(marks_capitals_order_and_endings_do_not_matter),
        T(whatever_is_typed_is_words),
        T(a_note_is_found_from_all_a_skein_went_through),
        T(a_piece_has_the_notes_of_its_life),
        T(after_any_act_notes_are_found_as_they_are),
        T(several_changes_in_one_act_leave_one_note),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
