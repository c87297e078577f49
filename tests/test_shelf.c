/* What can be rebuilt from the records is at all times what rebuilding would
 * make of it: the steps of each skein, and the shelf with its colours. */
#include "support.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/text.h"
#include "book/history.h"
#include "book/record.h"
#include "book/scan.h"
#include "book/step.h"
#include "book/store.h"
#include "large_support.h"
#include "near_support.h"
#include "shelf_support.h"

/* All rows of a table as text. */
static void add_rows(struct book *book, const char *sql, struct text *t)
{
    struct stmt q;
    struct error err;
    bool row;

    check_ok(stmt_prepare(book, sql, &q, &err), &err);
    for (;;) {
        check_ok(stmt_step(&q, &row, &err), &err);
        if (!row)
            break;
        for (int c = 0; c < sqlite3_column_count(q.st); c++) {
            const char *s = stmt_get_text(&q, c);
            text_addf(t, "%s|", s ? s : "-");
        }
        text_add(t, "\n");
    }
    stmt_done(&q);
}

/* Each skein of the shelf; its recipe is that of its last step. */
static void add_shelf(struct book *book, struct text *t)
{
    const struct ask_filter any = ask_filter_any();
    struct scan scan;
    struct scan_row row;
    struct error err;
    bool there;

    check_ok(
        scan_begin(book, &any, SCAN_COLOUR | SCAN_WHO | SCAN_POT, &scan, &err),
        &err);
    for (;;) {
        struct stmt q;
        bool last;
        check_ok(scan_next(&scan, &row, &there, &err), &err);
        if (!there)
            break;
        text_addf(t, "%lld %d %.17g %.17g %.17g %s %zu %lld %lld\n",
                  (long long)row.id, (int)row.lack, row.lab.L, row.lab.a,
                  row.lab.b, row.name ? row.name->name : "-", row.dyer,
                  (long long)row.number, (long long)row.pot);
        check_ok(stmt_prepare(book,
                              "SELECT 1 FROM step WHERE skein_id = :skein AND"
                              " last = 1 AND recipe_id = :recipe",
                              &q, &err),
                 &err);
        stmt_int(&q, ":skein", row.id);
        stmt_int(&q, ":recipe", row.recipe);
        check_ok(stmt_step(&q, &last, &err), &err);
        assert_true(last);
        stmt_done(&q);
    }
    scan_end(&scan);
}

/* The steps with what recipes say, how many skeins have them, and the shelf:
 * ids of recipes differ. */
static char *rebuilt_text(struct book *book)
{
    struct text t = {0};

    add_rows(book,
             "SELECT skein_id, ordinal, entry_id, treatment_id, last,"
             " r.dyestuffs, r.mordants, r.dips, r.last_dyestuffs, r.layers,"
             " r.round, dye_treatment_id, bath_id FROM step s JOIN recipe r ON"
             " r.id = s.recipe_id ORDER BY skein_id, ordinal",
             &t);
    add_rows(book,
             "SELECT r.last_dyestuffs, r.mordants, r.dips, r.dyestuffs,"
             " r.layers, r.round, lack, skeins FROM tally t LEFT JOIN recipe r"
             " ON r.id = t.recipe_id WHERE skeins <> 0 ORDER BY 1, 2, 3, 4, 5,"
             " 6, 7",
             &t);
    add_shelf(book, &t);
    return text_take(&t);
}

static void check_rebuilt(struct book *book)
{
    char *kept = rebuilt_text(book), *made;
    struct error err;

    check_ok(store_exec(book,
                        "BEGIN; DELETE FROM shelf; DELETE FROM step; DELETE"
                        " FROM recipe",
                        &err),
             &err);
    check_ok(step_rebuild(book, &err), &err);
    made = rebuilt_text(book);
    check_ok(store_exec(book, "ROLLBACK", &err), &err);
    assert_string_equal(kept, made);
    assert_true(strlen(made) > 1000);
    free(kept);
    free(made);
}

/* One random act, of those that change what a skein is; what is refused
 * changes nothing. Returns whether it was done. */
static bool act(struct book *book, uint64_t *d)
{
    static const enum noun_id gone[] = {NOUN_READING,  NOUN_SKEIN,  NOUN_ENTRY,
                                        NOUN_DOSE,     NOUN_ORIGIN, NOUN_POUR,
                                        NOUN_TREATMENT};
    char of[24], lab[40];
    struct record_value v[] = {{"skein", of}, {"lab", lab}};
    struct error err;
    int64_t id = 1 + dice(d, 100), made;
    size_t what = (size_t)dice(d, 10);
    bool ok;

    snprintf(of, sizeof of, "#%d", 1 + dice(d, 100));
    snprintf(lab, sizeof lab, "%d,%d,%d", 20 + dice(d, 60), dice(d, 40),
             dice(d, 50));
    check_ok(book_act_begin(book, "test", &err), &err);
    ok = what < ARRAY_LEN(gone)
             ? record_withdraw(book, gone[what], id, dice(d, 4) > 0, &err)
             : record_add(book, NOUN_READING, v, 2, &made, NULL, &err);
    if (ok)
        check_ok(book_act_end(book, &err), &err);
    else
        book_act_cancel(book);
    return ok;
}

static void after_any_act_it_is_what_rebuilding_makes_of_it(void **state)
{
    struct shelf shelf;
    struct ids ids;
    struct book *book;
    struct error err;
    uint64_t seed = 11;
    int64_t undone;
    int acts = 0, back = 0;

    (void)state;
    shelf_make(&shelf, 20260503);
    check_ok(book_open(":memory:", &book, &err), &err);
    shelf_write(&shelf, book, 1, &ids);
    check_rebuilt(book);
    for (int i = 0; i < 120; i++) {
        acts += act(book, &seed);
        if (dice(&seed, 4) == 0)
            back += history_undo(book, 0, &undone, &err);
        if (i % 6 == 0)
            check_rebuilt(book);
    }
    assert_true(acts > 40 && back > 5);
    book_close(book);
}

static void check_found(struct book *book, int want)
{
    const struct ask_filter any = ask_filter_any();
    struct ask_skeins all;
    struct error err;

    check_ok(ask_skeins(book, &any, 0, &all, &err), &err);
    assert_int_equal(all.count, want);
    for (size_t i = 1; i < all.count; i++)
        assert_true(all.skein[i - 1].mine > all.skein[i].mine ||
                    all.skein[i - 1].number < all.skein[i].number);
    ask_skeins_free(&all);
}

/* Pages are of 128 skeins: the first of one, the last of one, and all of the
 * last page but one. */
static void a_skein_leaves_its_page_and_comes_back(void **state)
{
    static const int gone[] = {127, 128, 129, 255, 256, 1000};
    struct book *book;
    struct error err;

    (void)state;
    check_ok(book_open(":memory:", &book, &err), &err);
    check_ok(large_fill(book, 1000, &err), &err);
    check_found(book, 1000);
    for (int back = 0; back < 2; back++) {
        for (size_t i = 0; i < ARRAY_LEN(gone); i++) {
            check_ok(book_act_begin(book, "test", &err), &err);
            check_ok(record_withdraw(book, NOUN_SKEIN, gone[i], !back, &err),
                     &err);
            check_ok(book_act_end(book, &err), &err);
            check_found(book, 1000 - (back ? 5 - (int)i : (int)i + 1));
        }
        check_rebuilt(book);
    }
    book_close(book);
}

/* ---- the nearest of many ---------------------------------------------------
 */

static void check_nearest(struct book *book, const struct find_request *r,
                          struct lab target, struct distance *want)
{
    const size_t n = near_slowly(book, &r->filter, target, r->like, want, NULL);
    struct find_answer a;
    struct error err;

    check_ok(ask_find(book, r, &a, &err), &err);
    assert_int_equal(a.found, n);
    assert_int_equal(a.count, r->limit);
    for (size_t i = 0; i < a.count; i++) {
        check_near("dE00", a.row[i].de00, want[i].de00, 1e-12);
        assert_int_equal(a.row[i].skein.id, want[i].id);
    }
    find_answer_clear(&a);
}

/* Skeins with a number and a colour, two of each colour: so many. */
static const char many_skeins[] =
    "INSERT INTO skein (dyer_id, number) WITH RECURSIVE n (i) AS (SELECT 1"
    " UNION ALL SELECT i + 1 FROM n WHERE i < 100000) SELECT 1, i FROM n;"
    "INSERT INTO reading (dyer_id, skein_id, L, a, b, source, illuminant,"
    " observer_deg, geometry) SELECT 1, id, 20 + (id / 2 * 16807 % 6007) * "
    "0.01,"
    " -30 + (id / 2 * 48271 % 7001) * 0.01,"
    " -20 + (id / 2 * 69621 % 9001) * 0.01, 'instrument', 'D50', 2, '45/0'"
    " FROM skein";

/* The fourth colour is where the ellipses of dE00 lean (R_T); two skeins
 * of each colour are equally far. */
static void the_nearest_of_many_come_as_a_sort_has_them(void **state)
{
    enum { MANY = 100000 };
    static const struct lab target[] = {{45, 30, 20}, {80, 0, 0},
                                        {20, -20, 5}, {35, 5, -10},
                                        {50, 49, 69}, {62, 0, 0.1}};
    static const int64_t like[] = {21, 50001};
    struct distance *want = mem_new(MANY, sizeof *want);
    struct book *book;
    struct error err;

    (void)state;
    check_ok(book_open(":memory:", &book, &err), &err);
    check_ok(book_act_begin(book, "test", &err), &err);
    check_ok(store_exec(book, many_skeins, &err), &err);
    check_ok(book_act_end(book, &err), &err);
    for (size_t i = 0; i < ARRAY_LEN(target); i++) {
        const struct find_request r = {.filter = ask_filter_any(),
                                       .has_target = true,
                                       .target = target[i],
                                       .tolerance = 2,
                                       .limit = i % 2 ? 300 : 200};
        check_nearest(book, &r, target[i], want);
    }
    for (size_t i = 0; i < ARRAY_LEN(like); i++) {
        const struct find_request r = {.filter = ask_filter_any(),
                                       .like = like[i],
                                       .tolerance = 2,
                                       .limit = 100};
        struct ask_skein s;
        check_ok(ask_skein(book, like[i], &r.filter, &s, &err), &err);
        assert_int_equal(s.lack, ASK_HAS_COLOUR);
        check_nearest(book, &r, s.reading.colour.lab, want);
        ask_skein_clear(&s);
    }
    book_close(book);
    free(want);
}

/* What scan_next gives for a filter, in a text; all: each skein of the shelf is
 * looked at. */
static char *passing(struct book *book, const struct ask_filter *filter,
                     bool all, bool *few)
{
    struct text t = {0};
    struct scan scan;
    struct scan_row row;
    struct error err;
    bool there;

    check_ok(scan_begin(book, filter, SCAN_COLOUR | SCAN_WHO, &scan, &err),
             &err);
    *few = scan.only.is;
    if (all)
        scan.only.is = false;
    for (;;) {
        check_ok(scan_next(&scan, &row, &there, &err), &err);
        if (!there)
            break;
        text_addf(&t, "%lld %d %g %zu %lld\n", (long long)row.id, (int)row.lack,
                  row.lab.L, row.dyer, (long long)row.number);
    }
    scan_end(&scan);
    return text_take(&t);
}

/* Filters that begin with a set of skeins, some of which are withdrawn, and
 * one that has none. */
static void a_filter_that_lets_few_through_looks_at_few(void **state)
{
    static const char *const filters[][4] = {
        {"glow", "strong"},
        {"glow", "any"},
        {"unfinished", ""},
        {"supply", "madder 2025"},
        {"fibre", "silk"},
        {"ever", "", "dyestuff", "weld"},
        {"ever", "", "no-dip", ""},
        {"unfinished", "", "glow", "faint"},
        {"ever", "", "dip", "soda"},
        {"text", "nobody said this"},
        {"ever", "", "round", "first"}};
    struct book *book;
    struct error err;
    int few = 0;

    (void)state;
    check_ok(book_open(":memory:", &book, &err), &err);
    check_ok(large_fill(book, 1000, &err), &err);
    check_ok(book_act_begin(book, "test", &err), &err);
    for (int64_t id = 20; id <= 1000; id += 60) /* among those that glow */
        check_ok(record_withdraw(book, NOUN_SKEIN, id, true, &err), &err);
    check_ok(book_act_end(book, &err), &err);
    check_ok(store_exec(book, "DELETE FROM shelf WHERE id & 255 = 4", &err),
             &err); /* as if nothing of a page had ever been on it */
    for (size_t i = 0; i < ARRAY_LEN(filters); i++) {
        struct ask_filter f = ask_filter_any();
        char *found, *want;
        bool is;
        for (int k = 0; k < 4 && filters[i][k]; k += 2)
            check_ok(ask_filter_read(book, &f, filters[i][k], filters[i][k + 1],
                                     &err),
                     &err);
        found = passing(book, &f, false, &is);
        want = passing(book, &f, true, &is);
        assert_string_equal(found, want);
        few += is;
        free(found);
        free(want);
    }
    assert_in_range(few, 8, 10);
    book_close(book);
}

/* Words that mean no colour, a code (its key reads 7 as i), and neither. */
static void words_find_what_looking_at_each_skein_finds(void **state)
{
    static const char *const words[] = {"fox", "moss", "o", "nothing", "A7"};
    struct book *book;
    struct error err;

    (void)state;
    check_ok(book_open(":memory:", &book, &err), &err);
    check_ok(large_fill(book, 1000, &err), &err);
    check_ok(book_act_begin(book, "test", &err), &err);
    check_ok(store_exec(book,
                        "UPDATE skein SET code = 'A7', code_key = 'ai' WHERE"
                        " id IN (3, 6, 700)",
                        &err),
             &err);
    check_ok(record_withdraw(book, NOUN_SKEIN, 700, true, &err), &err);
    check_ok(book_act_end(book, &err), &err);
    for (size_t i = 0; i < ARRAY_LEN(words); i++) {
        const struct find_request r = {
            .filter = ask_filter_any(), .words = words[i], .tolerance = 2};
        char sql[256];
        struct find_answer a;
        struct stmt q;
        bool row;
        check_ok(ask_find(book, &r, &a, &err), &err);
        assert_int_equal(a.names, 0);
        snprintf(sql, sizeof sql,
                 "SELECT count(*) FROM skein WHERE withdrawn = 0 AND"
                 " (instr(colour, '%s') OR code = '%s')",
                 words[i], words[i]);
        check_ok(stmt_prepare(book, sql, &q, &err), &err);
        check_ok(stmt_step(&q, &row, &err), &err);
        assert_int_equal(a.found, stmt_get_int(&q, 0));
        assert_int_equal(a.count, a.found);
        stmt_done(&q);
        find_answer_clear(&a);
    }
    book_close(book);
}

/* A page that was cut short is said, not read. */
static void a_damaged_page_is_said(void **state)
{
    const struct ask_filter any = ask_filter_any();
    struct ask_skeins all;
    struct book *book;
    struct error err;

    (void)state;
    check_ok(book_open(":memory:", &book, &err), &err);
    check_ok(large_fill(book, 300, &err), &err);
    for (int part = 0; part < PACK_PARTS; part++) {
        char sql[128];
        snprintf(sql, sizeof sql,
                 "BEGIN; UPDATE shelf SET cells = zeroblob(length(cells) - 1)"
                 " WHERE id = %lld",
                 (long long)PACK_FIRST(part) + 2);
        check_ok(store_exec(book, sql, &err), &err);
        if (part == PACK_WHAT || part == PACK_WHO) {
            assert_false(ask_skeins(book, &any, 0, &all, &err));
            assert_int_equal(err.kind, ERR_STORE);
            assert_non_null(strstr(err.text, "damaged"));
        }
        check_ok(store_exec(book, "ROLLBACK", &err), &err);
    }
    book_close(book);
}

/* A book from before there was a shelf: what is made for it when it is opened
 * is what a new book has. */
static void a_book_from_before_the_shelf_gets_it(void **state)
{
    char dir[] = "/tmp/hanklab-shelf-XXXXXX", path[64];
    struct shelf shelf;
    struct ids ids;
    struct book *book;
    struct error err;
    char *before, *after;

    (void)state;
    assert_non_null(mkdtemp(dir));
    check_ok(book_create(dir, "me", &err), &err);
    check_ok(book_open(dir, &book, &err), &err);
    shelf_make(&shelf, 4);
    shelf_write(&shelf, book, 1, &ids);
    before = rebuilt_text(book);
    check_ok(store_exec(book,
                        "DROP TABLE said; "
                        "DROP TABLE shelf; DROP TABLE step; DROP TABLE recipe; "
                        "DROP INDEX treatment_on; DROP INDEX dose_supply; "
                        "DROP TABLE camera; DROP TABLE test; DROP TRIGGER "
                        "history_reading_change; "
                        "DROP TRIGGER history_region_change; "
                        "ALTER TABLE reading DROP COLUMN corrected_by; "
                        "ALTER TABLE region DROP COLUMN known; "
                        "DROP TABLE task; DROP TABLE wish; "
                        "DROP TABLE project; "
                        "PRAGMA user_version = 1",
                        &err),
             &err);
    book_close(book);
    check_ok(book_open(dir, &book, &err), &err);
    after = rebuilt_text(book);
    assert_string_equal(before, after);
    book_close(book);
    snprintf(path, sizeof path, "%s/book-v0001.db", dir);
    assert_int_equal(unlink(path), 0); /* it was copied aside */
    snprintf(path, sizeof path, "%s/book.db", dir);
    assert_int_equal(unlink(path), 0);
    rmdir(dir);
    free(before);
    free(after);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(after_any_act_it_is_what_rebuilding_makes_of_it),
        cmocka_unit_test(a_skein_leaves_its_page_and_comes_back),
        cmocka_unit_test(the_nearest_of_many_come_as_a_sort_has_them),
        cmocka_unit_test(a_filter_that_lets_few_through_looks_at_few),
        cmocka_unit_test(words_find_what_looking_at_each_skein_finds),
        cmocka_unit_test(a_damaged_page_is_said),
        cmocka_unit_test(a_book_from_before_the_shelf_gets_it),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
