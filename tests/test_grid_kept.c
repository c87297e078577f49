/*
 * The grid that is kept in memory is never an old one: after any act, of this
 * program or another, undone, given up or still open, it is what is reckoned
 * anew.
 * link: -Wl,--wrap=grid_kept_take
 */
#include "support.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/mem.h"
#include "base/text.h"
#include "book/grid_kept.h"
#include "book/history.h"
#include "book/record.h"
#include "large_support.h"
#include "shelf_support.h"

static char dir[64];
static struct book *book[2]; /* two programs that have it open */
static int asked, taken;     /* of what is kept */

bool __real_grid_kept_take(const struct book *of, const struct grid_request *r,
                           struct grid_state state, struct grid *out);
bool __wrap_grid_kept_take(const struct book *of, const struct grid_request *r,
                           struct grid_state state, struct grid *out);

bool __wrap_grid_kept_take(const struct book *of, const struct grid_request *r,
                           struct grid_state state, struct grid *out)
{
    const bool is = __real_grid_kept_take(of, r, state, out);

    asked++;
    taken += is;
    return is;
}

static int make_book(void **state)
{
    struct error err;

    (void)state;
    snprintf(dir, sizeof dir, "/tmp/hanklab-grid-XXXXXX");
    assert_non_null(mkdtemp(dir));
    check_ok(book_create(dir, "me", &err), &err);
    for (int i = 0; i < 2; i++)
        check_ok(book_open(dir, &book[i], &err), &err);
    check_ok(large_fill(book[0], 600, &err), &err);
    return 0;
}

static int remove_book(void **state)
{
    char path[80];

    (void)state;
    for (int i = 0; i < 2; i++)
        book_close(book[i]);
    snprintf(path, sizeof path, "%s/book.db", dir);
    assert_int_equal(unlink(path), 0);
    assert_int_equal(rmdir(dir), 0);
    return 0;
}

/* All that a grid says. */
static char *said(struct book *of, const struct grid_request *r)
{
    struct text t = {0};
    struct error err;
    struct grid g;

    check_ok(ask_grid(of, r, &g, &err), &err);
    text_addf(&t, "%zu %zu %zu %zu %zu\n", g.known_rows, g.known_columns,
              g.dipped, g.over_dyed, g.exhausts);
    for (int i = 0; i < ASK_LACKS; i++)
        text_addf(&t, "%zu ", g.left_out[i]);
    for (size_t i = 0; i < g.rows; i++)
        text_addf(&t, "\n%s", g.row[i]);
    for (size_t i = 0; i < g.columns; i++)
        text_addf(&t, "\n%s", g.column[i]);
    for (size_t i = 0; i < g.rows * g.columns; i++) {
        const struct grid_place *p = &g.place[i];

        text_addf(&t, "\n%zu %zu %d %s %.17g %.17g %.17g %.17g", p->skeins,
                  p->measured, (int)p->lack, p->labels ? p->labels : "-",
                  p->mean.lab.L, p->mean.lab.a, p->mean.lab.b, p->spread);
    }
    grid_clear(&g);
    return text_take(&t);
}

/* Asked for, again, and without what is kept; now and then of other axes. */
static void check_grid(struct book *of, uint64_t *d)
{
    const struct grid_request r = {.filter = ask_filter_any(),
                                   .rows =
                                       dice(d, 4) ? GRID_DYESTUFF : GRID_FIBRE,
                                   .columns = GRID_MORDANT,
                                   .labels = dice(d, 4) != 0,
                                   .tolerance = 2};
    char *first = said(of, &r), *again = said(of, &r), *anew;

    grid_kept_clear(of);
    anew = said(of, &r);
    assert_string_equal(first, anew);
    assert_string_equal(again, anew);
    assert_true(strlen(anew) > 500);
    free(first);
    free(again);
    free(anew);
}

/* A reading more, a skein out or back, a material of another name. */
static bool change(struct book *in, uint64_t *d)
{
    char skein[24], lab[40], name[24];
    const struct record_value v[] = {{"skein", skein}, {"lab", lab}};
    const struct record_value called[] = {{"name", name}};
    struct error err;
    int64_t id;

    snprintf(skein, sizeof skein, "#%d", 1 + dice(d, 600));
    snprintf(lab, sizeof lab, "%d,%d,%d", 20 + dice(d, 60), dice(d, 40),
             dice(d, 50));
    snprintf(name, sizeof name, "called %d", dice(d, 1000000));
    switch (dice(d, 3)) {
    case 0:
        return record_add(in, NOUN_READING, v, 2, &id, NULL, &err);
    case 1:
        return record_withdraw(in, NOUN_SKEIN, 1 + dice(d, 600), dice(d, 3) > 0,
                               &err);
    default:
        return record_edit(in, NOUN_MATERIAL, 10 + dice(d, 12), called, 1, NULL,
                           &err);
    }
}

static void a_kept_grid_is_never_an_old_one(void **state)
{
    uint64_t d = 5;
    struct error err;
    int64_t undone;
    int acts = 0, back = 0;

    (void)state;
    for (int i = 0; i < 60; i++) {
        struct book *in = book[dice(&d, 2)];
        bool ok;

        check_ok(book_act_begin(in, "test", &err), &err);
        ok = change(in, &d);
        if (dice(&d, 4) == 0) /* within the act, of which others see nothing */
            check_grid(book[dice(&d, 2)], &d);
        if (ok && dice(&d, 4)) {
            check_ok(book_act_end(in, &err), &err);
            acts++;
        } else {
            book_act_cancel(in);
        }
        if (back < acts && dice(&d, 4) == 0)
            back += history_undo(book[dice(&d, 2)], 0, &undone, &err);
        for (int k = 0; k < 2; k++)
            check_grid(book[k], &d);
    }
    assert_true(acts > 20 && back > 5 && taken > 100 && asked > 2 * taken);
}

/* Kept for all skeins alone: filters and pins are reckoned each time. */
static void what_is_asked_for_otherwise_is_not_taken(void **state)
{
    struct grid_request r = {.filter = ask_filter_any(),
                             .rows = GRID_DYESTUFF,
                             .columns = GRID_MORDANT,
                             .tolerance = 2};
    struct error err;
    char *all, *some, *wet;

    (void)state;
    all = said(book[0], &r);
    check_ok(ask_filter_read(book[0], &r.filter, "mordant", "alum", &err),
             &err);
    some = said(book[0], &r);
    r.filter = ask_filter_any();
    check_ok(ask_filter_read(book[0], &r.filter, "wet", "", &err), &err);
    wet = said(book[0], &r);
    assert_string_not_equal(all, some);
    assert_string_not_equal(all, wet);
    free(all);
    free(some);
    free(wet);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_kept_grid_is_never_an_old_one),
        cmocka_unit_test(what_is_asked_for_otherwise_is_not_taken),
    };

    return cmocka_run_group_tests(tests, make_book, remove_book);
}
