/*
 * The first skeins of an answer and how many there are in all, as a walk,
 * tallies, faces and the index of colours have them, are those of a look at
 * every skein, whatever was done to the book.
 * link: -Wl,--wrap=scan_first,--wrap=scan_faces
 */
#include "support.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/history.h"
#include "book/id_set.h"
#include "book/record.h"
#include "book/scan.h"
#include "large_support.h"
#include "shelf_support.h"

enum { LARGE = 11000 };

static struct book *book;
static int walks, counts;

bool __real_scan_first(struct scan *scan, size_t limit, struct scan_row **row,
                       size_t *count, size_t by_lack[ASK_LACKS], bool *done,
                       struct error *err);
bool __wrap_scan_first(struct scan *scan, size_t limit, struct scan_row **row,
                       size_t *count, size_t by_lack[ASK_LACKS], bool *done,
                       struct error *err);
bool __real_scan_faces(struct book *of, const int64_t *id, size_t count,
                       size_t of_id[PACK_FACE_KINDS],
                       size_t all[PACK_FACE_KINDS], struct error *err);
bool __wrap_scan_faces(struct book *of, const int64_t *id, size_t count,
                       size_t of_id[PACK_FACE_KINDS],
                       size_t all[PACK_FACE_KINDS], struct error *err);

bool __wrap_scan_first(struct scan *scan, size_t limit, struct scan_row **row,
                       size_t *count, size_t by_lack[ASK_LACKS], bool *done,
                       struct error *err)
{
    bool ok = __real_scan_first(scan, limit, row, count, by_lack, done, err);

    walks += ok && *done;
    return ok;
}

bool __wrap_scan_faces(struct book *of, const int64_t *id, size_t count,
                       size_t of_id[PACK_FACE_KINDS],
                       size_t all[PACK_FACE_KINDS], struct error *err)
{
    counts += all != NULL;
    return __real_scan_faces(of, id, count, of_id, all, err);
}

/* Dyers who come before and after others by name but not by id, numbers that
 * fall while ids rise, own words that are colours, codes that are words, days
 * that are years, and days of two years. */
static const char odd[] =
    "INSERT INTO dyer (name) VALUES ('Zoe'), ('Bea');"
    "UPDATE skein SET dyer_id = 3 + id % 2, number = 100000 - id WHERE id % 7 ="
    " 3 AND id > 300;"
    "UPDATE skein SET number = 200000 - id WHERE dyer_id = 1 AND id % 5 = 0;"
    "UPDATE skein SET colour = 'olive of the hem', colour_key = 'olive of the"
    " hem' WHERE id % 23 = 4;"
    "UPDATE skein SET code = 'fox', code_key = 'fox' WHERE id % 1777 = 9;"
    "UPDATE treatment SET on_from = substr(on_from, 1, 4) || '-01-01', on_to ="
    " substr(on_from, 1, 4) || '-12-31' WHERE id % 11 = 2 AND on_from IS NOT"
    " NULL;"
    "UPDATE treatment SET on_to = date(on_from, '13 months') WHERE id % 17 = 5;"
    "UPDATE reading SET L = 40 + id % 9, a = id % 5 - 2, b = 25 + id % 7 WHERE"
    " id % 13 = 6;"
    "UPDATE skein SET withdrawn = 1 WHERE id % 97 = 11 OR id BETWEEN 5000 AND"
    " 7000;";

static int make_book(void **state)
{
    struct error err;

    (void)state;
    check_ok(book_open(":memory:", &book, &err), &err);
    check_ok(large_fill(book, LARGE + 2100, &err), &err);
    check_ok(book_act_begin(book, "test", &err), &err);
    check_ok(store_exec(book, odd, &err), &err);
    check_ok(book_act_end(book, &err), &err);
    return 0;
}

static int close_book(void **state)
{
    (void)state;
    book_close(book);
    return 0;
}

/* ---- the slow way ---------------------------------------------------------
 */

/* All skeins, none left out by what a filter begins with. */
static bool next(struct scan *scan, struct scan_row *row)
{
    struct error err;
    bool there;

    scan->only.is = false;
    check_ok(scan_next(scan, row, &there, &err), &err);
    return there;
}

static struct scan begin(const struct ask_filter *filter, unsigned wants)
{
    struct scan scan;
    struct error err;

    check_ok(scan_begin(book, filter, wants, &scan, &err), &err);
    return scan;
}

/* Whether its own word has the words in it, or its code is them. */
static bool is_said(int64_t skein, const char *words)
{
    struct stmt q;
    struct error err;
    bool row, is;

    check_ok(stmt_prepare(book,
                          "SELECT instr(colour, :words) OR code = :words FROM"
                          " skein WHERE id = :id",
                          &q, &err),
             &err);
    stmt_text(&q, ":words", words);
    stmt_int(&q, ":id", skein);
    check_ok(stmt_step(&q, &row, &err), &err);
    is = stmt_get_int(&q, 0) != 0;
    stmt_done(&q);
    return is;
}

/* What of the answer is told by each skein alone. */
static void check_counts(const struct find_request *r,
                         const struct find_answer *a)
{
    struct scan scan = begin(&r->filter, SCAN_COLOUR);
    struct scan_row row;
    size_t found = 0, with_colour = 0, left_out[ASK_LACKS] = {0};

    while (next(&scan, &row)) {
        const bool has_colour = row.lack == ASK_HAS_COLOUR;
        const bool is = !r->words || is_said(row.id, r->words) ||
                        (row.name && a->in[row.name - colour_names]);
        found += is;
        with_colour += is && has_colour;
        left_out[row.lack] += !is && !has_colour && a->names;
    }
    scan_end(&scan);
    assert_int_equal(a->found, found);
    assert_int_equal(a->found_with_colour, with_colour);
    for (int i = 0; i < ASK_LACKS; i++)
        assert_int_equal(a->left_out[i], left_out[i]);
}

/* The first of all of them. */
static void check_first(const struct find_request *r)
{
    struct find_request slow = *r;
    struct find_answer a, all;
    struct error err;

    slow.limit = 0;
    check_ok(ask_find(book, r, &a, &err), &err);
    check_ok(ask_find(book, &slow, &all, &err), &err);
    check_counts(r, &a);
    assert_int_equal(all.count, a.found);
    assert_int_equal(a.count, a.found < r->limit ? a.found : r->limit);
    for (size_t i = 0; i < a.count; i++) {
        const struct find_row *x = &a.row[i], *y = &all.row[i];
        assert_int_equal(x->skein.id, y->skein.id);
        assert_true(x->de00 == y->de00 || (x->de00 != x->de00 && !a.ranked) ||
                    x->skein.lack != ASK_HAS_COLOUR);
        assert_true(x->by_word == y->by_word && x->by_code == y->by_code &&
                    x->by_colour == y->by_colour);
    }
    find_answer_clear(&a);
    find_answer_clear(&all);
}

/* ---- the tests ------------------------------------------------------------
 */

static void filter_by(struct ask_filter *f, const char *name, const char *words)
{
    struct error err;

    check_ok(ask_filter_read(book, f, name, words, &err), &err);
}

static const char *const filters[][6] = {
    {NULL},
    {"dyestuff", "madder"},
    {"dyestuff", "cochineal", "round", "exhaust 2"},
    {"dyestuff", "weld", "mordant", "iron"},
    {"dyestuff", "weld", "mordant", "iron", "date", "2019"},
    {"dyestuff", "madder", "dyestuff", "weld", "only", ""},
    {"dip", "soda"},
    {"no-dip", "", "only", ""},
    {"mordant", "alum", "round", "first"},
    {"ever", "", "dyestuff", "tansy"},
    {"ever", "", "mordant", "iron"},
    {"date", "2018"},
    {"date", "autumn", "dyestuff", "dock"},
    {"bath", "30"},
    {"owner", "Bea", "dyestuff", "madder"},
    {"light", "D65/2", "dyestuff", "birch"},
    {"supply", "madder 2025"},
    {"fibre", "silk"},
    {"fibre", "silk", "glow", "any"},
    {"unfinished", ""},
    {"per-fibre", "20..60", "dyestuff", "dock", "mordant", "iron"},
};

static struct find_request any_request(uint64_t *d)
{
    static const char *const words[] = {NULL,     NULL,     "fox",   "moss",
                                        "olive",  "of the", "brown", "pink",
                                        "yellow", "o",      "grey",  "hem"};
    static const size_t limits[] = {1, 3, 9, 20, 20, 200};
    const char *const *f =
        filters[dice(d, 4) ? 0 : dice(d, ARRAY_LEN(filters))];
    struct find_request r = {.filter = ask_filter_any(),
                             .words = words[dice(d, ARRAY_LEN(words))],
                             .tolerance = 2,
                             .limit = limits[dice(d, ARRAY_LEN(limits))]};

    if (!r.words)
        f = filters[dice(d, ARRAY_LEN(filters))];
    for (int i = 0; i < 6 && f[i]; i += 2)
        filter_by(&r.filter, f[i], f[i + 1]);
    return r;
}

static void the_first_are_those_of_all(void **state)
{
    uint64_t d = 20260504;

    (void)state;
    walks = counts = 0;
    for (int i = 0; i < 70; i++) {
        const struct find_request r = any_request(&d);
        check_first(&r);
    }
    assert_in_range(walks, 10, 70);
}

/* Of words that mean a name, and are own words and codes of others. */
static void names_are_counted_by_faces(void **state)
{
    static const char *const words[] = {"olive",  "brown", "pink",
                                        "yellow", "grey",  "light olive"};

    (void)state;
    counts = 0;
    for (size_t i = 0; i < 2 * ARRAY_LEN(words); i++) {
        const struct find_request r = {.filter = ask_filter_any(),
                                       .words = words[i / 2],
                                       .tolerance = 2,
                                       .limit = i % 2 ? 20 : 3};
        check_first(&r);
    }
    assert_in_range(counts, 4, 12);
}

/* A skein is withdrawn or back, gets another word, colour, number or owner, or
 * what was done to it changes. */
static bool act(uint64_t *d)
{
    static const enum noun_id of[] = {NOUN_READING, NOUN_SKEIN, NOUN_ENTRY,
                                      NOUN_TREATMENT};
    static const struct record_value v[] = {{"colour", "fox"},
                                            {"colour", "olive"},
                                            {"number", "7"},
                                            {"owner", "Zoe"},
                                            {"code", "moss"}};
    const int what = dice(d, 7);
    const int64_t id = 1 + dice(d, 8000);
    struct error err;
    bool ok;

    check_ok(book_act_begin(book, "test", &err), &err);
    if (what < 4)
        ok = record_withdraw(book, of[what], id, dice(d, 3) > 0, &err);
    else
        ok = record_edit(book, NOUN_SKEIN, id, &v[dice(d, ARRAY_LEN(v))], 1,
                         NULL, &err);
    if (ok)
        check_ok(book_act_end(book, &err), &err);
    else
        book_act_cancel(book);
    return ok;
}

static void whatever_was_done_to_the_book(void **state)
{
    uint64_t d = 5;
    int acts = 0, back = 0;

    (void)state;
    for (int i = 0; i < 20; i++) {
        const struct find_request r = any_request(&d);
        struct error err;
        int64_t undone;

        for (int k = 0; k < 4; k++)
            acts += act(&d);
        if (back < acts && dice(&d, 3) == 0)
            back += history_undo(book, 0, &undone, &err);
        check_first(&r);
    }
    assert_true(acts > 25 && back > 2);
}

/* Faces are the names and lacks of the shelf, also of some skeins alone, of
 * which others are withdrawn or never were. */
static void faces_are_those_of_the_shelf(void **state)
{
    static size_t want[PACK_FACE_KINDS], want_all[PACK_FACE_KINDS];
    static size_t some[PACK_FACE_KINDS], all[PACK_FACE_KINDS];
    const struct ask_filter any = ask_filter_any();
    struct id_set ids = {0}, none = {0};
    struct scan scan = begin(&any, 0);
    struct scan_row row;
    struct error err;
    uint64_t d = 1;
    size_t n, there = 0;
    int64_t *id;

    (void)state;
    memset(want, 0, sizeof want);
    memset(want_all, 0, sizeof want_all);
    memset(some, 0, sizeof some);
    memset(all, 0, sizeof all);
    for (int i = 0; i < 900; i++)
        id_set_put(&ids, 1 + dice(&d, 2 * LARGE));
    while (next(&scan, &row)) {
        const int64_t name = row.name ? row.name - colour_names + 1 : 0;
        const int64_t face = ((int64_t)row.lack + 1) * PACK_FACE_NAMES + name;
        want_all[face]++;
        want[face] += id_set_has(&ids, row.id);
        there += id_set_has(&ids, row.id);
    }
    scan_end(&scan);
    id = id_set_ids(&ids, &none, &n);
    assert_in_range(there, n / 4, n - n / 4);
    check_ok(scan_faces(book, id, n, some, all, &err), &err);
    want[0] = some[0]; /* not on the shelf */
    want_all[0] = all[0];
    assert_memory_equal(some, want, sizeof want);
    assert_memory_equal(all, want_all, sizeof want);
    memset(some, 0, sizeof some);
    check_ok(scan_faces(book, id, n, some, NULL, &err), &err);
    want[0] = some[0];
    assert_memory_equal(some, want, sizeof want);
    free(id);
    id_set_clear(&ids);
}

/* Treatments that touch some days, by way of the index of their first ones. */
static void days_let_through_what_touches_them(void **state)
{
    static const char *const days[] = {
        "2018",        "2019-03", "2020-12-31", "2021-01-01",
        "winter 2020", "2016",    "1999",       "summer 2024"};
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(days); i++) {
        struct ask_filter f = ask_filter_any();
        struct sieve sieve;
        struct stmt q;
        struct error err;
        bool row;
        size_t n = 0;

        filter_by(&f, "date", days[i]);
        check_ok(sieve_make(book, &f, &sieve, &err), &err);
        check_ok(stmt_prepare(book,
                              "SELECT id FROM treatment WHERE on_from <= :to"
                              " AND on_to >= :from",
                              &q, &err),
                 &err);
        stmt_text(&q, ":from", f.from);
        stmt_text(&q, ":to", f.to);
        for (;; n++) {
            check_ok(stmt_step(&q, &row, &err), &err);
            if (!row)
                break;
            assert_true(sieve_pot(&sieve, stmt_get_int(&q, 0)));
        }
        stmt_done(&q);
        assert_int_equal(sieve.pot.count, n);
        assert_true(n > 10 || i == 6);
        sieve_clear(&sieve);
    }
}

/* Nothing there, nothing of such words, nobody has come to such a recipe; and
 * far more asked for than there are. */
static void what_is_not_there_is_not_found(void **state)
{
    static const char *const words[] = {NULL, "olive", "nowhere said"};
    struct book *empty;
    struct error err;

    (void)state;
    check_ok(book_open(":memory:", &empty, &err), &err);
    for (size_t i = 0; i < ARRAY_LEN(words); i++) {
        struct find_request r = {.filter = ask_filter_any(),
                                 .words = words[i],
                                 .tolerance = 2,
                                 .limit = 20};
        struct find_answer a;
        check_ok(ask_find(empty, &r, &a, &err), &err);
        assert_int_equal(a.found, 0);
        find_answer_clear(&a);
        r.words = "nowhere said";
        r.limit = 1000000000;
        check_ok(ask_find(book, &r, &a, &err), &err);
        assert_int_equal(a.found, 0);
        find_answer_clear(&a);
        r.words = NULL;
        r.has_target = true;
        r.target = (struct lab){45, 40, 25};
        check_ok(ask_find(book, &r, &a, &err), &err);
        assert_true(a.found == a.count && a.count > LARGE / 2);
        find_answer_clear(&a);
    }
    book_close(empty);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_first_are_those_of_all),
        cmocka_unit_test(what_is_not_there_is_not_found),
        cmocka_unit_test(names_are_counted_by_faces),
        cmocka_unit_test(days_let_through_what_touches_them),
        cmocka_unit_test(faces_are_those_of_the_shelf),
        cmocka_unit_test(whatever_was_done_to_the_book),
        cmocka_unit_test(faces_are_those_of_the_shelf),
    };

    return cmocka_run_group_tests(tests, make_book, close_book);
}
