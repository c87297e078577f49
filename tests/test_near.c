/*
 * The nearest colours by their index are those that a look at all skeins finds,
 * equally far ones in their order and the rest counted, whatever was done to
 * the book.
 * link: -Wl,--wrap=near_load
 */
#include "support.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/mem.h"
#include "book/history.h"
#include "book/near.h"
#include "book/record.h"
#include "book/scan.h"
#include "colour/beyond.h"
#include "large_support.h"
#include "near_support.h"
#include "shelf_support.h"

enum { LARGE = 8000, MORE = 3000 };

static struct book *book;
static int looks, given_up; /* of the index */

bool __real_near_load(struct book *of, const struct lab *target, size_t targets,
                      double most, size_t wanted, double *effort,
                      struct near *out, struct error *err);
bool __wrap_near_load(struct book *of, const struct lab *target, size_t targets,
                      double most, size_t wanted, double *effort,
                      struct near *out, struct error *err);

bool __wrap_near_load(struct book *of, const struct lab *target, size_t targets,
                      double most, size_t wanted, double *effort,
                      struct near *out, struct error *err)
{
    bool ok =
        __real_near_load(of, target, targets, most, wanted, effort, out, err);

    looks++;
    given_up += *effort < 0;
    return ok;
}

/* Colours that are hard: many alike, mirrored about the greys (equally far from
 * a grey), blues, where the ellipses of CIEDE2000 lean, and at the ends of what
 * a reading may hold. Every third has an older reading elsewhere, every fourth
 * one of another light, every fifth one that was withdrawn. */
static const char hard[] =
    "CREATE TEMP TABLE hard AS WITH RECURSIVE n (i) AS (SELECT 0 UNION ALL"
    " SELECT i + 1 FROM n WHERE i < 2999) SELECT 20001 + i AS id, i % 7 AS "
    "kind,"
    " i * 16807 % 6007 * 0.01 AS x, i * 48271 % 7001 * 0.01 AS y, i % 2 * 2 - 1"
    " AS way FROM n;"
    "INSERT INTO skein (id, dyer_id, number) SELECT id, 1 + id % 2, 100000 - id"
    " FROM hard;"
    "INSERT INTO reading (dyer_id, skein_id, L, a, b, source, illuminant,"
    " observer_deg, geometry, on_from, on_to, withdrawn) SELECT 1, id, CASE"
    " kind WHEN 0 THEN 50 WHEN 1 THEN 50 + way * round(x / 10) WHEN 4 THEN way "
    "*"
    " 77.5 + 72.5 ELSE 20 + x END, CASE kind WHEN 0 THEN 0 WHEN 1 THEN 0 WHEN 2"
    " THEN way * round(y / 8) WHEN 3 THEN x / 4 WHEN 4 THEN way * 200 ELSE y - "
    "35"
    " END, CASE kind WHEN 0 THEN 0 WHEN 1 THEN 0 WHEN 2 THEN way * 4 WHEN 3 "
    "THEN"
    " -70 + y WHEN 4 THEN way * -200 ELSE x - 20 END, 'instrument', light, 2,"
    " '45/0', day, day, gone FROM (SELECT h.*, 'D50' AS light, '2025-05-02' AS"
    " day, 0 AS gone FROM hard h UNION ALL SELECT id, (kind + 1) % 7, y, x, "
    "way,"
    " 'D50', '2025-05-01', 0 FROM hard WHERE id % 3 = 0 UNION ALL SELECT id, "
    "kind"
    " + 2, y, x, -way, 'D65', '2025-05-03', 0 FROM hard WHERE id % 4 = 0 UNION"
    " ALL SELECT id, kind, y, y, -way, 'D50', '2025-05-04', 1 FROM hard WHERE "
    "id"
    " % 5 = 0);";

static int make_book(void **state)
{
    struct error err;

    (void)state;
    check_ok(book_open(":memory:", &book, &err), &err);
    check_ok(large_fill(book, LARGE, &err), &err);
    check_ok(book_act_begin(book, "test", &err), &err);
    check_ok(store_exec(book, hard, &err), &err);
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

static void check_nearest(const struct find_request *r, struct lab target)
{
    static struct distance want[LARGE + MORE];
    size_t lacking[ASK_LACKS] = {0};
    const size_t n =
        near_slowly(book, &r->filter, target, r->like, want, lacking);
    struct find_answer a;
    struct error err;

    check_ok(ask_find(book, r, &a, &err), &err);
    assert_int_equal(a.found, n);
    assert_int_equal(a.found_with_colour, n);
    assert_int_equal(a.count, n < r->limit ? n : r->limit);
    for (size_t i = 0; i < a.count; i++) {
        assert_true(a.row[i].de00 == want[i].de00);
        assert_int_equal(a.row[i].skein.id, want[i].id);
    }
    for (int i = 0; i < ASK_LACKS; i++)
        assert_int_equal(a.left_out[i], lacking[i]);
    find_answer_clear(&a);
}

/* ---- the tests ----------------------------------------------------------- */

static double within(uint64_t *d, double low, double high)
{
    return low + (high - low) * dice(d, 10001) / 10000;
}

/* Also beyond what the book may hold, and just what skeins have. */
static struct lab any_target(uint64_t *d)
{
    switch (dice(d, 6)) {
    case 0:
        return (struct lab){50, 0, 0};
    case 1:
        return (struct lab){within(d, 20, 60), within(d, 0, 20),
                            within(d, -70, 0)};
    case 2:
        return (struct lab){within(d, -50, 200), within(d, -300, 300),
                            within(d, -300, 300)};
    case 3:
        return (struct lab){within(d, 20, 80), 0, dice(d, 9) - 4};
    default:
        return (struct lab){within(d, 20, 80), within(d, -10, 40),
                            within(d, 0, 60)};
    }
}

static void filter_by(struct ask_filter *f, const char *name, const char *words)
{
    struct error err;

    check_ok(ask_filter_read(book, f, name, words, &err), &err);
}

/* What an index by colour can answer, and what it has to leave to a pass. */
static struct find_request any_request(uint64_t *d)
{
    static const size_t limits[] = {1, 7, 20, 20, 90};
    struct find_request r = {.filter = ask_filter_any(),
                             .has_target = true,
                             .target = any_target(d),
                             .tolerance = 2,
                             .limit = limits[dice(d, 5)]};

    switch (dice(d, 20)) {
    case 0:
        filter_by(&r.filter, "mordant", "alum");
        break;
    case 1:
        filter_by(&r.filter, "dyestuff", "madder");
        filter_by(&r.filter, "round", "first");
        break;
    case 2:
        filter_by(&r.filter, "no-dip", "");
        filter_by(&r.filter, "owner", "Aino");
        break;
    case 3:
        filter_by(&r.filter, "light", "D65/2");
        break;
    case 4:
        filter_by(&r.filter, "wet", "");
        break;
    case 5:
        filter_by(&r.filter, "ever", "");
        filter_by(&r.filter, "dyestuff", "weld");
        break;
    default:
        break;
    }
    return r;
}

static void check_like(int64_t id)
{
    struct find_request r = {
        .filter = ask_filter_any(), .like = id, .tolerance = 2, .limit = 20};
    struct ask_skein s;
    struct error err;

    check_ok(ask_skein(book, id, &r.filter, &s, &err), &err);
    if (s.lack == ASK_HAS_COLOUR) {
        check_nearest(&r, s.reading.colour.lab);
        filter_by(&r.filter, "mordant", "iron"); /* which it may not pass */
        check_nearest(&r, s.reading.colour.lab);
    }
    ask_skein_clear(&s);
}

static void the_nearest_are_those_of_all(void **state)
{
    uint64_t d = 20260503;

    (void)state;
    looks = given_up = 0;
    for (int i = 0; i < 75; i++) {
        const struct find_request r = any_request(&d);
        check_nearest(&r, r.target);
    }
    for (int i = 0; i < 10; i++)
        check_like(i % 2 ? 1 + dice(&d, LARGE) : 20001 + dice(&d, MORE));
    assert_true(looks > 150 && given_up > 5 && given_up < looks / 4);
}

/* A reading is added, withdrawn or back, changed, so is a skein or what was
 * done to it. */
static bool act(uint64_t *d)
{
    static const enum noun_id of[] = {NOUN_READING, NOUN_SKEIN, NOUN_ENTRY,
                                      NOUN_TREATMENT};
    char skein[24], lab[60];
    const struct record_value v[] = {{"skein", skein}, {"lab", lab}};
    const int what = dice(d, 7);
    struct error err;
    int64_t id;
    bool ok;

    snprintf(skein, sizeof skein, "#%d", 1 + dice(d, LARGE));
    snprintf(lab, sizeof lab, "%d,%d,%d", 48 + dice(d, 4), dice(d, 3),
             dice(d, 3));
    check_ok(book_act_begin(book, "test", &err), &err);
    if (what < 4)
        ok = record_withdraw(book, of[what], 1 + dice(d, 8000), dice(d, 3) > 0,
                             &err);
    else if (what == 4)
        ok = record_edit(book, NOUN_READING, 1 + dice(d, 8000), v + 1, 1, NULL,
                         &err);
    else
        ok = record_add(book, NOUN_READING, v, 2, &id, NULL, &err);
    if (ok)
        check_ok(book_act_end(book, &err), &err);
    else
        book_act_cancel(book);
    return ok;
}

static void whatever_was_done_to_the_book(void **state)
{
    uint64_t d = 7;
    int acts = 0, back = 0;

    (void)state;
    for (int i = 0; i < 40; i++) {
        struct find_request r = {.filter = ask_filter_any(),
                                 .has_target = true,
                                 .target = {50, 1, 1},
                                 .tolerance = 2,
                                 .limit = 20};
        struct error err;
        int64_t undone;

        acts += act(&d);
        if (back < acts && dice(&d, 3) == 0)
            back += history_undo(book, 0, &undone, &err);
        if (i % 2)
            r = any_request(&d);
        check_nearest(&r, r.target);
    }
    assert_true(acts > 10 && back > 4);
}

static void check_within(double most, struct lab x, struct lab y, double L,
                         double ab)
{
    const double dL = (y.L - x.L) / L, da = (y.a - x.a) / ab;
    const double db = (y.b - x.b) / ab;

    if (dL * dL + da * da + db * db > 1 + 1e-9)
        fail_msg("%g of %g,%g,%g: %g,%g,%g", most, x.L, x.a, x.b, y.L, y.a,
                 y.b);
}

/* Each pair of colours that is not beyond a distance lies within reach of it.
 */
static void within_reach_is_all_that_is_not_beyond(void **state)
{
    uint64_t d = 3;
    int near = 0, above = 0;

    (void)state;
    for (int i = 0; i < 300000; i++) {
        struct lab x = any_target(&d), y;
        const double most = 0.01 + 15.9 * within(&d, 0, 1) * within(&d, 0, 1);
        const double far = within(&d, 0, 1) * within(&d, 0, 1) * 8 * most;
        double L, ab;

        if (i % 4 == 0)
            x = (struct lab){x.L, x.a / 50, x.b / 50};
        y.L = x.L + within(&d, -far, far);
        y.a = x.a + within(&d, -far, far);
        y.b = x.b + within(&d, -far, far);
        if (lab_is_beyond(x, y, most))
            continue;
        near++;
        lab_reach(x, most, &L, &ab);
        check_within(most, x, y, L, ab);
        if (x.b <= LAB_BLUE || y.b <= LAB_BLUE)
            continue;
        above++;
        lab_reach_above(x, most, &L, &ab);
        check_within(most, x, y, L, ab);
    }
    assert_true(near > 60000 && above > 20000);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_nearest_are_those_of_all),
        cmocka_unit_test(whatever_was_done_to_the_book),
        cmocka_unit_test(within_reach_is_all_that_is_not_beyond),
    };

    return cmocka_run_group_tests(tests, make_book, close_book);
}
