/* The book: made, opened, refused, kept; records, steps and history. */
#define _XOPEN_SOURCE 700 /* nftw */

#include "support.h"

#include <ftw.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include <sqlite3.h>

#include "book/book.h"
#include "book/history.h"
#include "book/record.h"
#include "book/store.h"

static int fresh_book(void **state)
{
    struct error err;
    struct book *book;

    check_ok(book_open(":memory:", &book, &err), &err);
    *state = book;
    return 0;
}

static int close_book(void **state)
{
    book_close(*state);
    return 0;
}

#define ADD(book, noun, ...)                                                   \
    add(book, noun, (struct record_value[]){__VA_ARGS__},                      \
        sizeof((struct record_value[]){__VA_ARGS__}) /                         \
            sizeof(struct record_value))

static int64_t add(struct book *book, enum noun_id noun,
                   const struct record_value *v, size_t n)
{
    struct error err;
    int64_t id = 0;

    check_ok(book_act_begin(book, "test", &err), &err);
    check_ok(record_add(book, noun, v, n, &id, NULL, &err), &err);
    check_ok(book_act_end(book, &err), &err);
    return id;
}

static void every_statement_can_be_prepared(void **state)
{
    struct book *book = *state;
    struct error err;
    struct stmt q;

    for (int i = 0; i < STMT_COUNT; i++) {
        check_ok(stmt_begin(book, (enum stmt_id)i, &q, &err), &err);
        stmt_done(&q);
    }
}

static void every_noun_can_be_read_back(void **state)
{
    struct book *book = *state;
    struct error err;
    struct record r;

    for (int i = 0; i < NOUN_COUNT; i++) {
        bool there = record_read(book, (enum noun_id)i, 9999, &r, &err);
        assert_false(there);
        check_text(nouns[i].name,
                   err.kind == ERR_MISSING ? "missing" : err.text, "missing");
    }
}

static void a_skein_of_only_a_name_is_welcome_and_gets_a_number(void **state)
{
    struct book *book = *state;
    struct error err;
    struct record r;
    int64_t id = ADD(book, NOUN_SKEIN, {"name", "the lumpy one"});

    check_ok(record_read(book, NOUN_SKEIN, id, &r, &err), &err);
    check_text("number", record_get(&r, "number")->words, "1");
    assert_null(record_get(&r, "weight"));
    check_text("label", r.label, "1");
    record_clear(&r);
}

static void words_are_kept_beside_what_they_were_read_as(void **state)
{
    struct book *book = *state;
    struct error err;
    struct record r;
    int64_t id = ADD(book, NOUN_SKEIN, {"weight", "1 3/4 oz"});

    check_ok(record_read(book, NOUN_SKEIN, id, &r, &err), &err);
    check_text("words", record_get(&r, "weight")->words, "1 3/4 oz");
    check_near("C03", record_get(&r, "weight")->low, 49.6116, 1e-3);
    record_clear(&r);
}

static void a_wrong_value_changes_nothing(void **state)
{
    struct book *book = *state;
    struct error err;
    struct record_value v[] = {{"name", "x"}, {"weight", "-4 g"}};
    int64_t id, *ids;
    size_t n;

    check_ok(book_act_begin(book, "test", &err), &err);
    assert_false(record_add(book, NOUN_SKEIN, v, 2, &id, NULL, &err));
    assert_int_equal(err.kind, ERR_INPUT);
    book_act_cancel(book);
    check_ok(record_ids(book, NOUN_SKEIN, true, &ids, &n, &err), &err);
    assert_int_equal(n, 0);
    free(ids);
}

static void a_new_name_of_a_material_keeps_the_old_one_findable(void **state)
{
    struct book *book = *state;
    struct error err;
    struct record_value v = {"name", "velvet-foot pax"};
    int64_t id = ADD(book, NOUN_MATERIAL, {"name", "brown pax"}), found;

    check_ok(book_act_begin(book, "test", &err), &err);
    check_ok(record_edit(book, NOUN_MATERIAL, id, &v, 1, NULL, &err), &err);
    check_ok(book_act_end(book, &err), &err);
    check_ok(record_find(book, NOUN_MATERIAL, "Brown  Pax", &found, &err),
             &err);
    assert_int_equal(found, id);
    check_ok(record_find(book, NOUN_MATERIAL, "velvet-foot pax", &found, &err),
             &err);
    assert_int_equal(found, id);
}

static void a_misread_tag_is_found_to_look_at_alone(void **state)
{
    struct book *book = *state;
    struct error err;
    int64_t id = ADD(book, NOUN_SKEIN, {"code", "B0-1"}), found;

    check_ok(record_find_shown(book, NOUN_SKEIN, "8o-7", &found, &err), &err);
    assert_int_equal(found, id);
    assert_false(record_find(book, NOUN_SKEIN, "8o-7", &found, &err));
    assert_non_null(strstr(err.text, "misread"));
}

static void count(struct book *book, const char *sql, int64_t want)
{
    struct error err;
    struct stmt q;
    bool row;

    check_ok(stmt_prepare(book, sql, &q, &err), &err);
    check_ok(stmt_step(&q, &row, &err), &err);
    check_near(sql, (double)(row ? stmt_get_int(&q, 0) : -1), (double)want, 0);
    stmt_done(&q);
}

static void nothing_is_deleted(void **state)
{
    struct book *book = *state;
    struct error err;
    int64_t id = ADD(book, NOUN_SKEIN, {"name", "x"});

    assert_false(store_exec(book, "DELETE FROM skein", &err));
    check_ok(book_act_begin(book, "test", &err), &err);
    check_ok(record_withdraw(book, NOUN_SKEIN, id, true, &err), &err);
    assert_false(record_withdraw(book, NOUN_SKEIN, id, true, &err));
    check_ok(book_act_end(book, &err), &err);
    count(book, "SELECT count(*) FROM skein", 1);
    count(book, "SELECT count(*) FROM history WHERE of_table = 'skein'", 2);
}

static void steps_follow_the_pot(void **state)
{
    struct book *book = *state;
    int64_t id = ADD(book, NOUN_SKEIN, {"name", "a"});

    ADD(book, NOUN_MATERIAL, {"name", "madder"});
    ADD(book, NOUN_MATERIAL, {"name", "alum"}, {"kind", "mordant"});
    ADD(book, NOUN_MATERIAL, {"name", "iron"}, {"kind", "mordant"});
    ADD(book, NOUN_BATH, {"name", "kettle"});
    ADD(book, NOUN_DOSE, {"material", "madder"}, {"bath", "kettle"},
        {"amount", "100 %"});
    ADD(book, NOUN_TREATMENT, {"kind", "mordant"});
    ADD(book, NOUN_DOSE, {"material", "alum"}, {"treatment", "#1"});
    ADD(book, NOUN_ENTRY, {"skein", "1"}, {"treatment", "#1"});
    ADD(book, NOUN_TREATMENT, {"kind", "dye"}, {"bath", "1"},
        {"round", "exhaust 2"});
    ADD(book, NOUN_ENTRY, {"skein", "1"}, {"treatment", "#2"});
    count(book,
          "SELECT round FROM step JOIN recipe r ON r.id = recipe_id WHERE last"
          " = 1",
          2);
    count(book,
          "SELECT count(*) FROM step JOIN recipe r ON r.id = recipe_id JOIN "
          "material m ON mordants = ',' || m.id || ',' WHERE name = 'alum' AND "
          "ordinal = 2",
          1);
    ADD(book, NOUN_TREATMENT, {"kind", "dip"});
    ADD(book, NOUN_DOSE, {"material", "iron"}, {"treatment", "#3"});
    ADD(book, NOUN_ENTRY, {"skein", "1"}, {"treatment", "#3"});
    count(book,
          "SELECT count(*) FROM step JOIN recipe r ON r.id = recipe_id JOIN "
          "material m ON dips = ',' || m.id || ',' WHERE name = 'iron'",
          1);
    /* A cut piece brings its parent's life with it. */
    ADD(book, NOUN_SKEIN, {"name", "half"});
    ADD(book, NOUN_ORIGIN, {"child", "2"}, {"parent", "1"}, {"amount", "5 g"});
    count(book,
          "SELECT round FROM step JOIN recipe r ON r.id = recipe_id WHERE"
          " skein_id = 2 AND last = 1",
          2);
    (void)id;
}

/* ---- taken back and done again ----------------------------------------------
 */

static void undo(struct book *book, int64_t act)
{
    struct error err;
    int64_t done;

    check_ok(history_undo(book, act, &done, &err), &err);
}

static int64_t last_act(struct book *book)
{
    struct history_act *acts = NULL;
    struct error err;
    size_t n = 0;
    int64_t id;

    check_ok(history_acts(book, 0, 1, &acts, &n, &err), &err);
    id = acts[0].id;
    history_acts_free(acts, n);
    return id;
}

static void a_name_is_free_again_when_its_record_is_gone(void **state)
{
    static const enum noun_id named[] = {NOUN_DYER, NOUN_MATERIAL, NOUN_FIBRE,
                                         NOUN_WATER, NOUN_CARD};
    struct book *book = *state;

    for (size_t i = 0; i < ARRAY_LEN(named); i++) {
        struct error err;
        int64_t id = ADD(book, named[i], {"name", "mine and yours"}), again, at;
        bool back;

        undo(book, 0);
        again = ADD(book, named[i], {"name", "mine and yours"});
        assert_int_not_equal(id, again);
        check_ok(record_find(book, named[i], "mine and yours", &at, &err),
                 &err);
        assert_int_equal(at, again);
        check_ok(book_act_begin(book, "test", &err), &err);
        back = record_withdraw(book, named[i], id, false, &err);
        book_act_cancel(book);
        assert_false(back);
        assert_int_equal(err.kind, ERR_INPUT);
    }
}

static void an_undo_that_would_name_two_alike_is_refused_in_words(void **state)
{
    struct book *book = *state;
    struct error err;
    struct record_value v = {"name", "bluefaced"};
    int64_t id = ADD(book, NOUN_FIBRE, {"name", "merino"}), act, done;

    check_ok(book_act_begin(book, "test", &err), &err);
    act = book_act(book);
    check_ok(record_edit(book, NOUN_FIBRE, id, &v, 1, NULL, &err), &err);
    check_ok(book_act_end(book, &err), &err);
    ADD(book, NOUN_FIBRE, {"name", "merino"});
    assert_false(history_undo(book, act, &done, &err));
    check_text("refused", err.text,
               "another fibre has that name by now: rename or withdraw it "
               "first");
}

/* design: an act is undone only when nothing later stands on it. */
static void an_act_whose_records_are_used_later_is_not_undone(void **state)
{
    struct book *book = *state;
    struct error err;
    int64_t done, made, used;
    char words[40];

    ADD(book, NOUN_SKEIN, {"name", "lumpy"});
    made = last_act(book);
    ADD(book, NOUN_READING, {"skein", "1"}, {"lab", "41,44,27"},
        {"source", "eye"});
    used = last_act(book);
    assert_false(history_undo(book, made, &done, &err));
    assert_int_equal(err.kind, ERR_INPUT);
    assert_non_null(strstr(err.text, "skein 1 was measured in act "));
    count(book, "SELECT withdrawn FROM skein", 0);
    /* A reading that was brought back stands since then. */
    undo(book, used);
    check_ok(book_act_begin(book, "test", &err), &err);
    used = book_act(book);
    check_ok(record_withdraw(book, NOUN_READING, 1, false, &err), &err);
    check_ok(book_act_end(book, &err), &err);
    assert_false(history_undo(book, made, &done, &err));
    snprintf(words, sizeof words, "measured in act %lld;", (long long)used);
    assert_non_null(strstr(err.text, words));
    /* With the reading gone the skein may go. */
    undo(book, used);
    undo(book, made);
    count(book, "SELECT withdrawn FROM skein", 1);

    ADD(book, NOUN_MATERIAL, {"name", "indigo"});
    made = last_act(book);
    ADD(book, NOUN_BATH, {"name", "blue"});
    ADD(book, NOUN_DOSE, {"material", "indigo"}, {"bath", "blue"});
    assert_false(history_undo(book, made, &done, &err));
    assert_non_null(
        strstr(err.text, "material indigo was put into a pot in act "));

    ADD(book, NOUN_BATH, {"name", "green"});
    made = last_act(book);
    ADD(book, NOUN_TREATMENT, {"kind", "dye"}, {"bath", "green"});
    assert_false(history_undo(book, made, &done, &err));
    assert_non_null(strstr(err.text, "bath 2 green was used in act "));
}

/* A reference that was set by a later edit counts too. */
static void what_a_later_edit_points_to_stays(void **state)
{
    struct book *book = *state;
    struct error err;
    struct record_value v = {"fibre", "merino"};
    int64_t skein = ADD(book, NOUN_SKEIN, {"name", "lumpy"}), done, made;

    ADD(book, NOUN_FIBRE, {"name", "merino"});
    made = last_act(book);
    check_ok(book_act_begin(book, "test", &err), &err);
    check_ok(record_edit(book, NOUN_SKEIN, skein, &v, 1, NULL, &err), &err);
    check_ok(book_act_end(book, &err), &err);
    assert_false(history_undo(book, made, &done, &err));
    assert_non_null(strstr(err.text, "fibre merino was used in act "));
}

static void no_material_comes_back_under_another_ones_alias(void **state)
{
    struct book *book = *state;
    struct error err;
    int64_t rocket, done, gone;

    ADD(book, NOUN_MATERIAL, {"name", "madder"});
    rocket = ADD(book, NOUN_MATERIAL, {"name", "rocket"});
    check_ok(book_act_begin(book, "test", &err), &err);
    gone = book_act(book);
    check_ok(record_withdraw(book, NOUN_MATERIAL, rocket, true, &err), &err);
    check_ok(book_act_end(book, &err), &err);
    ADD(book, NOUN_ALIAS, {"name", "rocket"}, {"material", "madder"});
    assert_false(history_undo(book, gone, &done, &err));
    check_text("refused", err.text,
               "another material has that name by now: rename or withdraw it "
               "first");
    check_ok(book_act_begin(book, "test", &err), &err);
    assert_false(record_withdraw(book, NOUN_MATERIAL, rocket, false, &err));
    book_act_cancel(book);
    assert_int_equal(err.kind, ERR_INPUT);
}

static void what_is_withdrawn_is_found_by_its_name(void **state)
{
    static const enum noun_id named[] = {NOUN_MATERIAL, NOUN_FIBRE, NOUN_WATER,
                                         NOUN_SKEIN,    NOUN_BATH,  NOUN_CARD};
    struct book *book = *state;
    struct error err;
    int64_t id, at;

    for (size_t i = 0; i < ARRAY_LEN(named); i++) {
        id = ADD(book, named[i], {"name", "Mine and yours"});
        undo(book, 0);
        assert_false(record_find(book, named[i], "mine and yours", &at, &err));
        check_ok(record_find_any(book, named[i], "mine and yours", &at, &err),
                 &err);
        assert_int_equal(at, id);
    }
    ADD(book, NOUN_MATERIAL, {"name", "madder"});
    ADD(book, NOUN_ALIAS, {"name", "garance"}, {"material", "madder"});
    undo(book, 0);
    check_ok(record_find_any(book, NOUN_ALIAS, "Garance", &at, &err), &err);
    id = ADD(book, NOUN_SUPPLY, {"name", "third year"}, {"material", "madder"});
    undo(book, 0);
    check_ok(record_find_any(book, NOUN_SUPPLY, "third year", &at, &err), &err);
    assert_int_equal(at, id);
}

/* Entered the wrong way round, put right, and the mistake brought back. */
static void no_skein_becomes_its_own_forebear(void **state)
{
    struct book *book = *state;
    struct error err;
    int64_t origin;
    bool ended;

    ADD(book, NOUN_SKEIN, {"name", "hank"});
    ADD(book, NOUN_SKEIN, {"name", "piece"});
    origin = ADD(book, NOUN_ORIGIN, {"child", "1"}, {"parent", "2"});
    undo(book, 0);
    ADD(book, NOUN_ORIGIN, {"child", "2"}, {"parent", "1"});
    check_ok(book_act_begin(book, "test", &err), &err);
    check_ok(record_withdraw(book, NOUN_ORIGIN, origin, false, &err), &err);
    ended = book_act_end(book, &err);
    assert_false(ended);
    check_text("refused", err.text,
               "that would make the skein its own forebear");
    count(book, "SELECT count(*) FROM origin WHERE withdrawn = 0", 1);
}

static void no_bath_becomes_its_own_forebear(void **state)
{
    struct book *book = *state;
    struct error err;
    struct record_value v[] = {{"bath", "1"}, {"parent", "3"}};
    int64_t id;
    bool ended;

    for (int i = 0; i < 3; i++)
        ADD(book, NOUN_BATH, {"kind", "dye"});
    ADD(book, NOUN_POUR, {"bath", "2"}, {"parent", "1"});
    ADD(book, NOUN_POUR, {"bath", "3"}, {"parent", "2"});
    check_ok(book_act_begin(book, "test", &err), &err);
    check_ok(record_add(book, NOUN_POUR, v, 2, &id, NULL, &err), &err);
    ended = book_act_end(book, &err);
    assert_false(ended);
    check_text("refused", err.text,
               "that would make the bath its own forebear");
}

static void what_no_book_can_be_without_is_never_withdrawn(void **state)
{
    struct book *book = *state;
    struct error err;
    int64_t none, me = book_dyer(book);

    check_ok(record_find(book, NOUN_MATERIAL, "none", &none, &err), &err);
    check_ok(book_act_begin(book, "test", &err), &err);
    assert_false(record_withdraw(book, NOUN_MATERIAL, none, true, &err));
    assert_int_equal(err.kind, ERR_INPUT);
    assert_false(record_withdraw(book, NOUN_DYER, me, true, &err));
    assert_int_equal(err.kind, ERR_INPUT);
    book_act_cancel(book);
}

/* What was read after a step would be of another skein. */
static void an_entry_keeps_its_skein(void **state)
{
    struct book *book = *state;
    struct error err;
    struct record_value v = {"skein", "2"};
    int64_t id;

    ADD(book, NOUN_SKEIN, {"name", "a"});
    ADD(book, NOUN_SKEIN, {"name", "b"});
    ADD(book, NOUN_TREATMENT, {"kind", "wash"});
    id = ADD(book, NOUN_ENTRY, {"skein", "1"}, {"treatment", "#1"});
    check_ok(book_act_begin(book, "test", &err), &err);
    assert_false(record_edit(book, NOUN_ENTRY, id, &v, 1, NULL, &err));
    assert_int_equal(err.kind, ERR_INPUT);
    book_act_cancel(book);
}

static void a_number_that_no_record_can_have_is_refused(void **state)
{
    struct book *book = *state;
    struct error err;
    int64_t id;

    assert_false(record_find(book, NOUN_TREATMENT, "0", &id, &err));
    check_text("0", err.text,
               "\"#0\" names no treatment: write # and a number");
    assert_false(record_find(book, NOUN_SKEIN, "#-5", &id, &err));
    check_text("#-5", err.text, "\"#-5\" names no skein: write # and a number");
}

/* ---- on disk ----------------------------------------------------------------
 */

static char folder[64];

static int temp_folder(void **state)
{
    (void)state;
    snprintf(folder, sizeof folder, "/tmp/hanklab-test-XXXXXX");
    return mkdtemp(folder) ? 0 : -1;
}

static int drop(const char *path, const struct stat *st, int type,
                struct FTW *at)
{
    (void)st;
    (void)type;
    (void)at;
    return remove(path);
}

static int drop_folder(void **state)
{
    (void)state;
    return nftw(folder, drop, 16, FTW_DEPTH | FTW_PHYS);
}

static void write_file(const char *name, const char *text)
{
    char path[128];
    FILE *f;

    snprintf(path, sizeof path, "%s/%s", folder, name);
    f = fopen(path, "wb");
    assert_non_null(f);
    fputs(text, f);
    fclose(f);
}

static void expect_refusal(const char *part)
{
    struct book *book = NULL;
    struct error err;

    assert_false(book_open(folder, &book, &err));
    if (!strstr(err.text, part))
        fail_msg("got \"%s\", want \"%s\" in it", err.text, part);
}

static void a_book_is_made_once_and_opened_again(void **state)
{
    struct error err;
    struct book *book;

    (void)state;
    expect_refusal("there is no book in");
    check_ok(book_create(folder, "Weaving group", &err), &err);
    assert_false(book_create(folder, "Weaving group", &err));
    assert_int_equal(err.kind, ERR_INPUT);
    check_ok(book_open(folder, &book, &err), &err);
    book_close(book);
}

/* As a full disk or a pulled plug leaves it: a file and nothing in it. */
static void a_book_that_was_only_begun_is_finished(void **state)
{
    struct error err;
    struct book *book;

    (void)state;
    write_file("book.db", "");
    expect_refusal("finish it with \"hanklab init\"");
    check_ok(book_create(folder, "Weaving group", &err), &err);
    check_ok(book_open(folder, &book, &err), &err);
    book_close(book);
}

static void a_book_without_a_folder_is_refused(void **state)
{
    struct error err;

    (void)state;
    assert_false(book_create("", "me", &err));
    assert_int_equal(err.kind, ERR_INPUT);
}

static void what_is_no_book_is_refused(void **state)
{
    (void)state;
    write_file("book.db", "This is a shopping list, not a database at all....");
    expect_refusal("not a hanklab book");
}

static void another_programs_database_is_refused(void **state)
{
    sqlite3 *db;
    char path[128];

    (void)state;
    snprintf(path, sizeof path, "%s/book.db", folder);
    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    sqlite3_exec(db, "CREATE TABLE t (x)", NULL, NULL, NULL);
    sqlite3_close(db);
    expect_refusal("another program");
}

static void a_newer_book_is_refused_by_name(void **state)
{
    struct error err;
    sqlite3 *db;
    char path[128];

    (void)state;
    check_ok(book_create(folder, "me", &err), &err);
    snprintf(path, sizeof path, "%s/book.db", folder);
    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    sqlite3_exec(db, "PRAGMA user_version = 999", NULL, NULL, NULL);
    sqlite3_close(db);
    expect_refusal("newer hanklab (book version 999");
}

static void two_programs_share_a_book(void **state)
{
    struct error err;
    struct book *one, *two;
    struct record_value v = {"name", "x"};
    int64_t id, before;

    (void)state;
    check_ok(book_create(folder, "me", &err), &err);
    check_ok(book_open(folder, &one, &err), &err);
    check_ok(book_open(folder, &two, &err), &err);
    before = book_data_version(two);
    check_ok(book_act_begin(one, "test", &err), &err);
    sqlite3_busy_timeout(two->db, 10);
    assert_false(book_act_begin(two, "test", &err));
    assert_non_null(strstr(err.text, "another program is writing"));
    check_ok(record_add(one, NOUN_SKEIN, &v, 1, &id, NULL, &err), &err);
    check_ok(book_act_end(one, &err), &err);
    assert_true(book_data_version(two) != before);
    check_ok(book_act_begin(two, "test", &err), &err);
    check_ok(record_add(two, NOUN_SKEIN, &v, 1, &id, NULL, &err), &err);
    check_ok(book_act_end(two, &err), &err);
    count(one, "SELECT max(number) FROM skein", 2);
    book_close(one);
    book_close(two);
}

#define FRESH(f) cmocka_unit_test_setup_teardown(f, fresh_book, close_book)
#define DISK(f) cmocka_unit_test_setup_teardown(f, temp_folder, drop_folder)

int main(void)
{
    const struct CMUnitTest tests[] = {
        FRESH(every_statement_can_be_prepared),
        FRESH(every_noun_can_be_read_back),
        FRESH(a_skein_of_only_a_name_is_welcome_and_gets_a_number),
        FRESH(words_are_kept_beside_what_they_were_read_as),
        FRESH(a_wrong_value_changes_nothing),
        FRESH(a_new_name_of_a_material_keeps_the_old_one_findable),
        FRESH(a_misread_tag_is_found_to_look_at_alone),
        FRESH(nothing_is_deleted),
        FRESH(steps_follow_the_pot),
        FRESH(a_name_is_free_again_when_its_record_is_gone),
        FRESH(an_undo_that_would_name_two_alike_is_refused_in_words),
        FRESH(an_act_whose_records_are_used_later_is_not_undone),
        FRESH(what_a_later_edit_points_to_stays),
        FRESH(no_material_comes_back_under_another_ones_alias),
        FRESH(what_is_withdrawn_is_found_by_its_name),
        FRESH(no_skein_becomes_its_own_forebear),
        FRESH(no_bath_becomes_its_own_forebear),
        FRESH(a_number_that_no_record_can_have_is_refused),
        FRESH(what_no_book_can_be_without_is_never_withdrawn),
        FRESH(an_entry_keeps_its_skein),
        DISK(a_book_is_made_once_and_opened_again),
        DISK(a_book_that_was_only_begun_is_finished),
        cmocka_unit_test(a_book_without_a_folder_is_refused),
        DISK(what_is_no_book_is_refused),
        DISK(another_programs_database_is_refused),
        DISK(a_newer_book_is_refused_by_name),
        DISK(two_programs_share_a_book),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
