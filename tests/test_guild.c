/* The book that is made for measuring how fast a large one is. */
#include "support.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/mem.h"
#include "book/ask.h"
#include "book/check.h"
#include "book/cut.h"
#include "book/noun.h"
#include "book/picture.h"
#include "book/rack.h"
#include "book/store.h"

enum { SKEINS = 400 };

static struct book *made(const char *dir)
{
    const char *build = getenv("BUILD");
    char guild[512], skeins[16];
    const pid_t child = fork();
    struct book *book;
    struct error err;
    int status = -1;

    snprintf(guild, sizeof guild, "%s/guild", build ? build : "build/gcc");
    snprintf(skeins, sizeof skeins, "%d", SKEINS);
    if (child == 0) {
        execl(guild, guild, dir, skeins, (char *)NULL);
        _exit(127);
    }
    assert_true(child > 0 && waitpid(child, &status, 0) == child);
    assert_int_equal(status, 0);
    check_ok(book_open(dir, &book, &err), &err);
    return book;
}

static void unmake(struct book *book, const char *dir)
{
    char path[64];

    book_close(book);
    snprintf(path, sizeof path, "%s/book.db", dir);
    assert_int_equal(unlink(path), 0);
    rmdir(dir);
}

static int64_t number(struct book *book, const char *sql)
{
    struct stmt q;
    struct error err;
    bool row;
    int64_t n;

    check_ok(stmt_prepare(book, sql, &q, &err), &err);
    check_ok(stmt_step(&q, &row, &err), &err);
    n = stmt_get_int(&q, 0);
    stmt_done(&q);
    return n;
}

/* Written past the triggers and the checks of the tables. */
static void its_records_are_as_if_they_had_been_typed(void **state)
{
    char dir[] = "/tmp/hanklab-guild-XXXXXX";
    const struct check_wish only_look = {0};
    struct book *book;
    struct check c;
    struct error err;

    (void)state;
    assert_non_null(mkdtemp(dir));
    book = made(dir);
    check_ok(check_book(book, &only_look, &c, &err), &err);
    assert_int_equal(c.skeins, SKEINS);
    assert_in_range(c.readings, SKEINS / 2, 2 * SKEINS);
    assert_int_equal(c.faults, c.photos); /* all are missing, and no more */
    check_clear(&c);
    for (size_t i = 0; i < noun_count; i++) {
        char sql[256];
        snprintf(sql, sizeof sql,
                 "SELECT count(*) FROM %s x WHERE NOT EXISTS (SELECT 1 FROM"
                 " history h WHERE h.of_table = '%s' AND h.row_id = x.id AND"
                 " h.field IS NULL)",
                 nouns[i].name, nouns[i].name);
        assert_int_equal(number(book, sql), 0);
    }
    assert_int_equal(number(book, "SELECT count(*) FROM sqlite_schema WHERE"
                                  " type = 'trigger'"),
                     3 * (int64_t)noun_count);
    unmake(book, dir);
}

/* All but what init says of itself. */
static void it_is_the_same_each_time(void **state)
{
    static const char sum[] =
        "SELECT sum(unicode(uid) * id % 1000003) + sum(round(1000 * (L + a +"
        " b))) FROM reading";
    char one[] = "/tmp/hanklab-guild-XXXXXX",
         two[] = "/tmp/hanklab-guild-XXXXXX";
    struct book *first, *second;

    (void)state;
    assert_non_null(mkdtemp(one));
    assert_non_null(mkdtemp(two));
    first = made(one);
    second = made(two);
    assert_int_equal(number(first, sum), number(second, sum));
    assert_true(number(first, sum) > 0);
    unmake(first, one);
    unmake(second, two);
}

/* One skein is cut into two halves, two of different pots are plied. */
static void cut_and_ply(struct book *book)
{
    static const char *const halves[] = {"1/2", "1/2"}, *const strands[] = {
                                                            "5", "150"};
    static const struct record_value name[] = {{"name", "plied"}};
    int64_t ids[2], id, *parents;
    struct error err;
    size_t n;

    check_ok(skein_cut(book, 7, halves, 2, ids, NULL, &err), &err);
    check_ok(
        skein_ply(book, strands, 2, name, 1, &id, &parents, &n, NULL, &err),
        &err);
    free(parents);
}

static bool same(const char *a, const char *b)
{
    return a && b ? !strcmp(a, b) : a == b;
}

/* What hangs on the rack is what a skein is when it is read in full. */
static void check_hank(struct book *book, int64_t id, const struct rack_hank *h,
                       size_t *as)
{
    const struct ask_filter any = ask_filter_any();
    const struct lab *c;
    struct text got = {0}, want = {0};
    struct ask_skein s;
    struct error err;

    check_ok(ask_skein(book, id, &any, &s, &err), &err);
    c = ask_skein_colour(&s);
    check_text("label", h->label, s.label);
    assert_true(same(h->code, s.code) && same(h->mordants, s.mordants) &&
                same(h->dips, s.dips) && same(h->as, s.as));
    assert_true(!s.bath_id ||
                (same(h->bath, s.bath) && same(h->on_words, s.on_words)));
    assert_int_equal(h->bath_id, s.bath_id);
    assert_int_equal(h->unfinished, s.unfinished);
    assert_int_equal(h->no_mordant, s.no_mordant);
    assert_int_equal(h->has_round, s.has_round);
    assert_true(!s.has_round || h->round == s.round);
    assert_int_equal(h->lack, s.lack);
    assert_int_equal(h->name != NULL, c != NULL);
    if (c)
        assert_memory_equal(&h->lab, c, sizeof *c);
    ask_colour_words(&s, &want);
    text_addf(&got, "%s%s%s",
              h->name ? h->name->name : ask_lack_words(h->lack, false),
              h->as ? ", as skein " : "", h->as ? h->as : "");
    check_text("colour", text_str(&got), text_str(&want));
    *as += s.as != NULL;
    text_clear(&got);
    text_clear(&want);
    ask_skein_clear(&s);
}

static void hanks_are_their_skeins(void **state)
{
    char dir[] = "/tmp/hanklab-guild-XXXXXX";
    struct rack_hank *hank;
    struct book *book;
    struct rack rack;
    struct error err;
    size_t as = 0;

    (void)state;
    assert_non_null(mkdtemp(dir));
    book = made(dir);
    cut_and_ply(book);
    check_ok(rack_of(book, &rack, &err), &err);
    check_ok(rack_hanks(book, rack.place, rack.count, &hank, &err), &err);
    for (size_t i = 0; i < rack.count; i++)
        check_hank(book, rack.place[i].skein, &hank[i], &as);
    assert_true(as > 0);
    rack_hanks_free(hank, rack.count);
    rack_clear(&rack);
    unmake(book, dir);
}

/* Against every skein read whole and put in order, as a small rack is. */
static void its_rack_is_that_of_all_its_skeins(void **state)
{
    char dir[] = "/tmp/hanklab-guild-XXXXXX";
    const struct ask_filter any = ask_filter_any();
    struct ask_skein **all;
    struct ask_skeins read, hung;
    struct rack rack;
    struct book *book;
    struct error err;
    size_t n = 0, ups, measured = 0, unfinished = 0;
    int64_t *up;

    (void)state;
    assert_non_null(mkdtemp(dir));
    book = made(dir);
    cut_and_ply(book);
    check_ok(cut_up(book, &up, &ups, &err), &err);
    check_ok(ask_skeins(book, &any, 0, &read, &err), &err);
    all = mem_new(read.count, sizeof(struct ask_skein *));
    for (size_t i = 0; i < read.count; i++) {
        unfinished += read.skein[i].unfinished;
        if (cut_is_up(up, ups, read.skein[i].id))
            continue;
        all[n++] = &read.skein[i];
        measured += read.skein[i].lack == ASK_HAS_COLOUR;
    }
    qsort(all, n, sizeof(struct ask_skein *), picture_rack_order);
    check_ok(rack_of(book, &rack, &err), &err);
    assert_true(cut_is_up(up, ups, 7));
    assert_int_equal(rack.in_pieces, ups);
    assert_int_equal(rack.count, n);
    assert_int_equal(rack.measured, measured);
    for (size_t i = 0; i < n; i++) { /* two dyers may have one number */
        const struct rack_place *p = &rack.place[i];
        assert_int_equal(p->bath, all[i]->bath_id);
        assert_int_equal(p->round,
                         all[i]->has_round ? all[i]->round : INT64_MAX);
        assert_int_equal(p->number, all[i]->number);
    }
    check_ok(rack_skeins(book, rack.place + 3, 5, &hung, &err), &err);
    assert_int_equal(hung.count, 5);
    assert_int_equal(hung.skein[4].id, rack.place[7].skein);
    assert_int_equal(rack.unfinished_count, unfinished);
    assert_true(unfinished > 1 &&
                rack.unfinished[0].skein > rack.unfinished[1].skein);
    ask_skeins_free(&hung);
    ask_skeins_free(&read);
    rack_clear(&rack);
    free(all);
    free(up);
    unmake(book, dir);
}

/* ---- short cuts, against the long way -------------------------------------
 */

static void like(struct book *book, int64_t id, struct find_answer *out)
{
    const struct find_request r = {
        .filter = ask_filter_any(), .like = id, .tolerance = 2, .limit = 60};
    struct error err;

    check_ok(ask_find(book, &r, out, &err), &err);
}

/* How many rows were read in the set-up of x. */
static int check_rows(struct book *book, const struct ask_skein *x,
                      const struct find_answer *a)
{
    struct error err;
    int same = 0;

    for (size_t i = 0; i < a->count; i++) {
        const struct comparison *c = &a->row[i].compared;
        struct comparison want;
        bool is;

        if (a->row[i].skein.lack != ASK_HAS_COLOUR)
            continue;
        check_ok(ask_compare(book, x, &a->row[i].skein, 2, &want, &is, &err),
                 &err);
        assert_true(c->de00 == want.de00 && c->T == want.T && c->U == want.U);
        assert_int_equal(c->verdict, want.verdict);
        same += is;
    }
    return same;
}

static size_t tied(struct book *book, const struct find_answer *a)
{
    struct comparison c;
    struct error err;
    size_t n = 1;

    for (; n < a->count; n++) {
        if (a->row[n].skein.lack != ASK_HAS_COLOUR)
            break;
        check_ok(ask_compare(book, &a->row[0].skein, &a->row[n].skein, 2, &c,
                             NULL, &err),
                 &err);
        if (c.verdict == VERDICT_DIFFERENT)
            break;
    }
    return n > 1 ? n : 0;
}

/* Its readings are mostly of photos of six skeins. */
static void what_is_like_another_is_compared_in_its_set_up(void **state)
{
    char dir[] = "/tmp/hanklab-guild-XXXXXX";
    const struct ask_filter any = ask_filter_any();
    struct ask_skeins all;
    struct book *book;
    struct error err;
    int same = 0, rows = 0, ties = 0;

    (void)state;
    assert_non_null(mkdtemp(dir));
    book = made(dir);
    check_ok(ask_skeins(book, &any, 0, &all, &err), &err);
    for (size_t i = 0; i < all.count; i += 5) {
        struct find_answer a;

        if (all.skein[i].lack != ASK_HAS_COLOUR)
            continue;
        like(book, all.skein[i].id, &a);
        same += check_rows(book, &all.skein[i], &a);
        assert_int_equal(a.tied, tied(book, &a));
        rows += (int)a.count;
        ties += a.tied > 1;
        find_answer_clear(&a);
    }
    assert_true(same > 20 && same < rows / 2 && ties > 20);
    ask_skeins_free(&all);
    unmake(book, dir);
}

/* In the order of time, all of them, and of each skein the last. */
static void its_colours_are_the_last_of_all_readings(void **state)
{
    char dir[] = "/tmp/hanklab-guild-XXXXXX";
    const struct ask_filter any = ask_filter_any();
    struct ask_skeins all;
    struct book *book;
    struct error err;
    int several = 0;

    (void)state;
    assert_non_null(mkdtemp(dir));
    book = made(dir);
    check_ok(store_exec(book,
                        "INSERT INTO reading (dyer_id, skein_id,"
                        " after_entry_id, L, a, b, source, instrument,"
                        " geometry, on_words, on_from, on_to) SELECT dyer_id,"
                        " skein_id, after_entry_id, L + id % 3, a, b,"
                        " 'instrument', 'x', '45/0', on_words, day, day FROM"
                        " (SELECT *, date(on_to, (id % 5 - 2) || ' days') AS"
                        " day FROM reading WHERE skein_id IS NOT NULL AND"
                        " withdrawn = 0)",
                        &err),
             &err);
    check_ok(ask_skeins(book, &any, 0, &all, &err), &err);
    for (size_t i = 0; i < all.count; i++) {
        const struct ask_skein *s = &all.skein[i];
        struct ask_reading *r;
        size_t n;

        check_ok(ask_readings(book, s, &any, &r, &n, &err), &err);
        assert_int_equal(n > 0, s->lack == ASK_HAS_COLOUR);
        if (n)
            assert_int_equal(r->id, s->reading.id);
        several += n > 1 && r[0].id < r[1].id;
        free(r);
    }
    assert_true(several > 20);
    ask_skeins_free(&all);
    unmake(book, dir);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(its_records_are_as_if_they_had_been_typed),
        cmocka_unit_test(it_is_the_same_each_time),
        cmocka_unit_test(hanks_are_their_skeins),
        cmocka_unit_test(its_rack_is_that_of_all_its_skeins),
        cmocka_unit_test(what_is_like_another_is_compared_in_its_set_up),
        cmocka_unit_test(its_colours_are_the_last_of_all_readings),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
