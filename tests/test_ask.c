/*
 * Questions to the book, on random shelves, against the same reckoned the slow
 * way from what the shelf was made of (shelf_support.c): over-dyed, dipped,
 * cut and plied skeins, poured baths, withdrawn records, readings of all kinds.
 */
#include "shelf_support.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define SHELVES 3

struct fixture {
    struct shelf shelf;
    struct ids ids;
    struct book *book;
};

static struct fixture fixtures[SHELVES];

static int make_shelves(void **state)
{
    struct error err;

    (void)state;
    for (int i = 0; i < SHELVES; i++) {
        struct fixture *f = &fixtures[i];
        shelf_make(&f->shelf, 20260503u + (uint64_t)i);
        check_ok(book_open(":memory:", &f->book, &err), &err);
        shelf_write(&f->shelf, f->book, (uint64_t)i, &f->ids);
    }
    return 0;
}

static int close_shelves(void **state)
{
    (void)state;
    for (int i = 0; i < SHELVES; i++)
        book_close(fixtures[i].book);
    return 0;
}

static bool same(double x, double y)
{
    return fabs(x - y) < 1e-9;
}

static bool same_lab(struct lab x, struct lab y)
{
    return same(x.L, y.L) && same(x.a, y.a) && same(x.b, y.b);
}

static unsigned bit_of(const char *name)
{
    for (int i = 0; i < MATERIALS; i++)
        if (!strcmp(m_materials[i].name, name))
            return 1u << i;
    fail_msg("no %s", name);
    return 0;
}

/* ---- which skeins ---------------------------------------------------------
 */

/* What is asked for, in bits of materials. */
struct question {
    unsigned dyestuffs, mordants, dips;
    int round, bath; /* -1 any */
    bool no_dip, ever, only;
};

static bool suits(const struct question *q, const struct m_state *is,
                  unsigned dyestuff)
{
    return (is->last & dyestuff) == dyestuff &&
           (q->round < 0 || is->round == q->round) &&
           (q->bath < 0 || is->bath == q->bath);
}

/* Whether any state of a life up to an entry (-2: all of it), before a cut
 * too, suits one dyestuff, or has the dips. */
static bool ever(const struct shelf *s, const struct question *q, int skein,
                 int upto, unsigned dyestuff, unsigned dips)
{
    struct m_state state[STEPS];
    int entry[STEPS], n = m_life(s, skein, state, entry), end = n;

    for (int i = n; i >= 0 && upto != -2; i--)
        if (entry[i] == upto || i == 0) {
            end = i;
            break;
        }
    for (int i = 0; i <= end; i++)
        if (dips ? (state[i].dips & dips) != 0 : suits(q, &state[i], dyestuff))
            return true;
    for (int i = 0; i < s->origins; i++)
        if (s->origin[i].child == skein && !s->origin[i].withdrawn &&
            ever(s, q, s->origin[i].parent, s->origin[i].after, dyestuff, dips))
            return true;
    return false;
}

static bool passes_ever(const struct shelf *s, const struct question *q,
                        int skein)
{
    bool all = q->dyestuffs || ever(s, q, skein, -2, 0, 0);

    for (int i = 0; i < MATERIALS; i++) {
        unsigned bit = 1u << i;
        if ((q->dyestuffs & bit) && !ever(s, q, skein, -2, bit, 0))
            all = false;
        if ((q->dips & bit) && !ever(s, q, skein, -2, 0, bit))
            all = false;
    }
    return all && !(q->no_dip && ever(s, q, skein, -2, 0, ~0u));
}

static bool passes(const struct shelf *s, const struct question *q, int skein)
{
    struct m_state state[STEPS];
    int entry[STEPS], n = m_life(s, skein, state, entry);
    const struct m_state *is = &state[n];
    unsigned dyed = q->ever ? is->dyestuffs : is->last;

    if (s->skein[skein].withdrawn ||
        (is->mordants & q->mordants) != q->mordants)
        return false;
    if (q->only && ((q->dyestuffs && dyed != q->dyestuffs) ||
                    (q->mordants && is->mordants != q->mordants) ||
                    (q->dips && is->dips != q->dips)))
        return false;
    if (q->ever)
        return passes_ever(s, q, skein);
    return suits(q, is, q->dyestuffs) && (is->dips & q->dips) == q->dips &&
           !(q->no_dip && is->dips);
}

static void set_ids(const struct fixture *f, unsigned set, struct ask_ids *out)
{
    for (int i = MATERIALS - 1; i >= 0; i--)
        if (set >> i & 1)
            out->id[out->count++] = f->ids.material[i];
}

static struct ask_filter filter_of(const struct fixture *f,
                                   const struct question *q)
{
    struct ask_filter filter = ask_filter_any();

    set_ids(f, q->dyestuffs, &filter.dyestuffs);
    set_ids(f, q->mordants, &filter.mordants);
    set_ids(f, q->dips, &filter.dips);
    filter.has_round = q->round >= 0;
    filter.round = q->round;
    filter.bath = q->bath >= 0 ? f->ids.bath[q->bath] : 0;
    filter.no_dip = q->no_dip;
    filter.ever = q->ever;
    filter.only = q->only;
    return filter;
}

/* Asks the book, and checks skeins, their order and their colours; returns how
 * many have a colour. */
static size_t check_question(const struct fixture *f, const struct question *q)
{
    const struct shelf *s = &f->shelf;
    struct ask_filter filter = filter_of(f, q);
    struct ask_skeins got;
    struct error err;
    size_t at = 0, coloured = 0;

    check_ok(ask_skeins(f->book, &filter, 0, &got, &err), &err);
    for (int i = 0; i < s->skeins; i++) {
        struct m_state state[STEPS];
        int entry[STEPS] = {0}, colour;
        const struct ask_skein *is;
        if (!passes(s, q, i))
            continue;
        if (at == got.count || got.skein[at].number != i + 1)
            fail_msg("skein %d is missing", i + 1);
        is = &got.skein[at];
        colour = m_colour(s, i, entry[m_life(s, i, state, entry)]);
        assert_int_equal(is->lack == ASK_HAS_COLOUR, colour >= 0);
        if (colour >= 0) {
            assert_true(
                same_lab(is->reading.colour.lab, s->reading[colour].lab));
            coloured++;
        }
        at++;
    }
    if (at != got.count)
        fail_msg("skein %s is too many", got.skein[at].label);
    ask_skeins_free(&got);
    return coloured;
}

/* The first query the step table is for. */
static void madder_on_alum_in_exhaust_2_not_dipped_later(void **state)
{
    struct question q = {.dyestuffs = bit_of("madder"),
                         .mordants = bit_of("alum"),
                         .round = 2,
                         .bath = -1,
                         .no_dip = true};
    size_t found = 0;

    (void)state;
    for (int i = 0; i < SHELVES; i++)
        found += check_question(&fixtures[i], &q);
    assert_true(found > 0);
}

static void skeins_pass_any_filter_as_reckoned_slowly(void **state)
{
    uint64_t seed = 7;
    size_t found = 0;

    (void)state;
    for (int i = 0; i < 240; i++) {
        struct question q = {.round = dice(&seed, 8) - 4,
                             .bath = dice(&seed, 30) - 20,
                             .no_dip = dice(&seed, 4) == 0,
                             .ever = dice(&seed, 2) == 0,
                             .only = dice(&seed, 4) == 0};
        q.round = q.round < 0 ? -1 : q.round;
        q.bath = q.bath < 0 ? -1 : q.bath;
        for (int m = 0; m < MATERIALS; m++) {
            unsigned bit = 1u << m;
            if (!strcmp(m_materials[m].kind, "dyestuff"))
                q.dyestuffs |= dice(&seed, 6) ? 0 : bit;
            else if (!strcmp(m_materials[m].kind, "mordant"))
                q.mordants |= dice(&seed, 6) ? 0 : bit;
            if (!q.no_dip)
                q.dips |= dice(&seed, 15) ? 0 : bit;
        }
        found += check_question(&fixtures[i % SHELVES], &q);
    }
    assert_true(found > 300);
}

/* ---- the life of a skein --------------------------------------------------
 */

static void add_life(const struct shelf *s, int skein, int upto, int *life,
                     int *count)
{
    struct m_state state[STEPS];
    int entry[STEPS], n = m_life(s, skein, state, entry), end = n;

    for (int i = 0; i < s->skeins; i++) /* parents by their numbers */
        for (int k = 0; k < s->origins; k++)
            if (s->origin[k].child == skein && s->origin[k].parent == i &&
                !s->origin[k].withdrawn)
                add_life(s, i, s->origin[k].after, life, count);
    for (int i = n; i >= 0 && upto != -2; i--)
        if (entry[i] == upto || i == 0) {
            end = i;
            break;
        }
    for (int i = 1; i <= end; i++) {
        bool known = false;
        for (int k = 0; k < *count; k++)
            known = known || life[k] == entry[i];
        if (!known)
            life[(*count)++] = entry[i];
    }
}

/* Two cuts of one skein into another may be told in either order: with the
 * same steps, since the later one has the earlier one's. */
static void a_life_goes_back_through_cuts_and_plies(void **state)
{
    size_t cut = 0;

    (void)state;
    for (int i = 0; i < SHELVES; i++) {
        const struct fixture *f = &fixtures[i];
        for (int k = 0; k < f->shelf.skeins; k++) {
            int want[STEPS * 64] = {0}, count = 0, at = 0;
            struct life life;
            struct error err;
            add_life(&f->shelf, k, -2, want, &count);
            check_ok(ask_life(f->book, f->ids.skein[k], &life, &err), &err);
            for (size_t n = 0; n < life.count; n++)
                if (life.event[n].kind == LIFE_STEP) {
                    assert_true(at < count);
                    assert_int_equal(life.event[n].entry_id,
                                     f->ids.entry[want[at]]);
                    at++;
                } else {
                    assert_true(life.event[n].into_id != 0);
                    cut++;
                }
            assert_int_equal(at, count);
            life_clear(&life);
        }
    }
    assert_true(cut > 100);
}

/* ---- means ----------------------------------------------------------------
 */

struct group {
    struct lab lab[SKEINS];
    int count, skeins;
};

static struct lab mean_of(const struct group *g)
{
    struct lab m = {0, 0, 0};

    for (int i = 0; i < g->count; i++) {
        m.L += g->lab[i].L / g->count;
        m.a += g->lab[i].a / g->count;
        m.b += g->lab[i].b / g->count;
    }
    return m;
}

static double spread_of(const struct group *g)
{
    struct lab m = mean_of(g);
    double sum = 0;

    for (int i = 0; i < g->count; i++)
        sum += lab_de00(m, g->lab[i]);
    return sum / g->count;
}

static void add_to(const struct shelf *s, struct group *g, int colour)
{
    g->skeins++;
    if (colour >= 0)
        g->lab[g->count++] = s->reading[colour].lab;
}

/* The skeins of one dyestuff and mordant cell, by the names it goes by. */
static struct group cell_of(const struct shelf *s, const char *row,
                            const char *column)
{
    struct group g = {.count = 0};

    for (int i = 0; i < s->skeins; i++) {
        struct m_state state[STEPS];
        int entry[STEPS], n = m_life(s, i, state, entry);
        char dyestuffs[200], mordants[200];
        if (s->skein[i].withdrawn)
            continue;
        m_names(state[n].last, dyestuffs);
        m_names(state[n].mordants, mordants);
        if (!*dyestuffs)
            strcpy(dyestuffs,
                   state[n].layers ? "dyestuff not recorded" : "not dyed");
        if (!*mordants)
            strcpy(mordants, "mordant not recorded");
        if (!strcmp(dyestuffs, row) && !strcmp(mordants, column))
            add_to(s, &g, m_colour(s, i, entry[n]));
    }
    return g;
}

/* The third query the step table is for. */
static void dyestuff_by_mordant_has_the_mean_colours(void **state)
{
    (void)state;
    for (int i = 0; i < SHELVES; i++) {
        const struct fixture *f = &fixtures[i];
        struct grid_request r = {.filter = ask_filter_any(),
                                 .rows = GRID_DYESTUFF,
                                 .columns = GRID_MORDANT,
                                 .tolerance = 2};
        struct grid g;
        struct error err;
        size_t skeins = 0, want = 0;
        check_ok(ask_grid(f->book, &r, &g, &err), &err);
        for (size_t k = 0; k < g.rows * g.columns; k++) {
            struct group slow = cell_of(&f->shelf, g.row[k / g.columns],
                                        g.column[k % g.columns]);
            const struct grid_place *p = &g.place[k];
            assert_int_equal(p->skeins, slow.skeins);
            assert_int_equal(p->measured, slow.count);
            skeins += p->skeins;
            if (slow.count) {
                assert_true(same_lab(p->mean.lab, mean_of(&slow)));
                assert_true(same(p->spread, spread_of(&slow)));
            }
        }
        for (int k = 0; k < f->shelf.skeins; k++)
            want += !f->shelf.skein[k].withdrawn;
        assert_int_equal(skeins, want);
        assert_true(g.rows > 4 && g.columns > 3);
        grid_clear(&g);
    }
}

static bool same_names(const struct m_state *x, const struct m_state *y)
{
    char a[4][200];

    m_names(x->mordants, a[0]);
    m_names(y->mordants, a[1]);
    m_names(x->dips, a[2]);
    m_names(y->dips, a[3]);
    return !strcmp(a[0], a[1]) && !strcmp(a[2], a[3]);
}

/* Skeins of one bath, round, mordants and dips at any time of their lives. */
static struct group lane_cell(const struct shelf *s, int bath, int round,
                              const struct fade_lane *lane)
{
    struct group g = {.count = 0};

    for (int i = 0; i < s->skeins; i++) {
        struct m_state state[STEPS];
        int entry[STEPS], n = m_life(s, i, state, entry);
        for (int k = 0; k <= n && !s->skein[i].withdrawn; k++) {
            const struct m_state *is = &state[k], *then = &state[k + 1];
            char mordants[200], dips[200];
            int colour = m_colour(s, i, entry[k]);
            if (is->bath != bath || is->round != round)
                continue;
            m_names(is->mordants, mordants);
            m_names(is->dips, dips);
            if (strcmp(mordants, lane->mordants ? lane->mordants : "") != 0 ||
                strcmp(dips, lane->dips ? lane->dips : "") != 0)
                continue;
            if (k < n && then->dye == is->dye && same_names(then, is))
                continue; /* washed later: the last of the lane counts */
            if (colour >= 0 || (k > 0 && !(k < n && then->dye == is->dye)))
                add_to(s, &g, colour);
        }
    }
    return g;
}

static void check_lane(const struct fixture *f, const struct fade *fade,
                       int bath, const struct fade_lane *lane, size_t *seen)
{
    struct lab first = {0}, before = {0};
    bool has_before = false;

    for (size_t i = 0; i < fade->rounds; i++) {
        const struct fade_round *round = &fade->round[i];
        const struct fade_cell *c = &lane->cell[i];
        struct group slow = lane_cell(
            &f->shelf, bath, round->known ? (int)round->round : -1, lane);
        struct lab mean = mean_of(&slow);
        assert_int_equal(c->measured, slow.count);
        assert_int_equal(c->measured + c->lacking, slow.skeins);
        *seen += c->measured;
        if (slow.count) {
            assert_true(same_lab(c->mean.lab, mean));
            assert_true(same(c->spread, spread_of(&slow)));
        }
        if (slow.count && round->known && has_before) {
            assert_true(same(c->before, lab_de00(before, mean)));
            assert_true(same(c->first, lab_de00(first, mean)));
        } else {
            assert_true(isnan(c->before) && isnan(c->first));
        }
        if (!slow.count)
            continue; /* the next is held against the last that was measured */
        before = mean;
        if (!has_before)
            first = mean;
        has_before = true;
    }
}

static void rounds_of_a_bath_fade_as_reckoned_slowly(void **state)
{
    size_t seen = 0;

    (void)state;
    for (int i = 0; i < SHELVES; i++)
        for (int b = 0; b < 10; b++) {
            const struct fixture *f = &fixtures[i];
            struct ask_filter any = ask_filter_any();
            struct fade fade;
            struct error err;
            if (!ask_fade(f->book, f->ids.bath[b], &any, (double)NAN, &fade,
                          &err)) {
                assert_non_null(strstr(err.text, "nothing was dyed"));
                continue;
            }
            for (size_t k = 1; k < fade.rounds; k++)
                assert_true(!fade.round[k].known ||
                            fade.round[k].round > fade.round[k - 1].round);
            for (size_t k = 0; k < fade.lanes; k++)
                check_lane(f, &fade, b, &fade.lane[k], &seen);
            fade_clear(&fade);
        }
    assert_true(seen > 100);
}

/* ---- find -----------------------------------------------------------------
 */

static char *labels_of(struct book *book, const struct find_request *r)
{
    struct find_answer a;
    struct error err;
    struct text t = {0};

    check_ok(ask_find(book, r, &a, &err), &err);
    for (size_t i = 0; i < a.count; i++)
        text_addf(&t, "%s:%.9f ", a.row[i].skein.label, a.row[i].de00);
    find_answer_clear(&a);
    return text_take(&t);
}

static struct find_request near(struct lab target)
{
    return (struct find_request){.filter = ask_filter_any(),
                                 .has_target = true,
                                 .target = target,
                                 .tolerance = 2};
}

static void the_nearest_come_first_and_none_is_missed(void **state)
{
    (void)state;
    for (int i = 0; i < SHELVES; i++) {
        const struct shelf *s = &fixtures[i].shelf;
        struct find_request r = near((struct lab){45, 5, 25});
        struct find_answer a;
        struct error err;
        size_t coloured = 0, rest = 0;
        check_ok(ask_find(fixtures[i].book, &r, &a, &err), &err);
        for (int k = 0; k < s->skeins; k++) {
            struct m_state st[STEPS];
            int entry[STEPS], n = m_life(s, k, st, entry),
                              c = m_colour(s, k, entry[n]);
            coloured += c >= 0 && !s->skein[k].withdrawn;
            rest += c < 0 && !s->skein[k].withdrawn;
        }
        assert_int_equal(a.count, coloured);
        for (int k = 0; k < ASK_LACKS; k++)
            rest -= a.left_out[k];
        assert_int_equal(rest, 0); /* each of the others is counted once */
        for (size_t k = 0; k < a.count; k++) {
            const struct find_row *row = &a.row[k];
            assert_true(same(
                row->de00, lab_de00(row->skein.reading.colour.lab, r.target)));
            assert_true(row->at_most >= row->de00);
            assert_true(!k || row->de00 > row[-1].de00 ||
                        (row->de00 >= row[-1].de00 &&
                         row->skein.number > row[-1].skein.number));
        }
        find_answer_clear(&a);
    }
}

static void a_colour_name_finds_what_is_nearest_to_one_of_its_kind(void **state)
{
    (void)state;
    for (int i = 0; i < SHELVES; i++) {
        struct find_request r = {
            .filter = ask_filter_any(), .words = "olive", .tolerance = 2};
        struct find_answer a;
        struct ask_skeins all;
        struct error err;
        size_t want = 0;
        check_ok(ask_skeins(fixtures[i].book, &r.filter, 0, &all, &err), &err);
        check_ok(ask_find(fixtures[i].book, &r, &a, &err), &err);
        for (size_t k = 0; k < all.count; k++) {
            const struct ask_skein *s = &all.skein[k];
            const struct colour_name *name =
                s->lack ? NULL : colour_name_nearest(s->reading.colour.lab);
            want += (name && strstr(name->name, "olive")) ||
                    (s->own_word && strstr(s->own_word, "olive"));
        }
        assert_int_equal(a.count, want);
        assert_true(a.count > 10 && a.names > 10);
        for (size_t k = 0; k < a.count; k++)
            assert_true(a.row[k].by_word || a.row[k].by_colour);
        find_answer_clear(&a);
        ask_skeins_free(&all);
    }
}

/* ---- the order of records does not matter ---------------------------------
 */

static void check_same_grid(struct book *x, struct book *y)
{
    for (int rows = 0; rows < GRID_AXES; rows++) {
        struct grid_request r = {.filter = ask_filter_any(),
                                 .rows = (enum grid_axis)rows,
                                 .columns = rows == GRID_ROUND ? GRID_BATH
                                                               : GRID_ROUND,
                                 .labels = true,
                                 .tolerance = 2};
        struct grid a, b;
        struct error err;
        check_ok(ask_grid(x, &r, &a, &err), &err);
        check_ok(ask_grid(y, &r, &b, &err), &err);
        assert_int_equal(a.rows, b.rows);
        assert_int_equal(a.columns, b.columns);
        for (size_t i = 0; i < a.rows; i++)
            assert_string_equal(a.row[i], b.row[i]);
        for (size_t i = 0; i < a.columns; i++)
            assert_string_equal(a.column[i], b.column[i]);
        for (size_t i = 0; i < a.rows * a.columns; i++)
            assert_string_equal(a.place[i].labels, b.place[i].labels);
        grid_clear(&a);
        grid_clear(&b);
    }
}

static void answers_do_not_depend_on_the_order_of_records(void **state)
{
    struct fixture *f = &fixtures[0];
    struct find_request r = near((struct lab){50, 10, 30}), w = r;
    struct ids ids;
    struct book *other;
    struct error err;
    char *before = labels_of(f->book, &r), *after, *words, *others;

    (void)state;
    w.has_target = false;
    w.words = "brown";
    words = labels_of(f->book, &w);
    check_ok(book_open(":memory:", &other, &err), &err);
    shelf_write(&f->shelf, other, 4711, &ids);
    after = labels_of(other, &r);
    assert_string_equal(before, after);
    others = labels_of(other, &w);
    assert_string_equal(words, others);
    check_same_grid(f->book, other);
    free(before);
    free(after);
    free(words);
    free(others);
    book_close(other);
}

static void unrelated_records_change_no_order(void **state)
{
    struct shelf *s = &fixtures[1].shelf;
    struct find_request r = near((struct lab){50, 10, 30});
    struct book *book;
    struct ids ids;
    struct error err;
    struct record_value v[] = {{"name", "later"}, {"colour", "none of these"}};
    int64_t id;
    char *before, *after;

    (void)state;
    check_ok(book_open(":memory:", &book, &err), &err);
    shelf_write(s, book, 99, &ids);
    before = labels_of(book, &r);
    check_ok(book_act_begin(book, "test", &err), &err);
    for (int i = 0; i < 20; i++)
        check_ok(record_add(book, NOUN_SKEIN, v, 2, &id, NULL, &err), &err);
    check_ok(book_act_end(book, &err), &err);
    after = labels_of(book, &r);
    assert_string_equal(before, after);
    free(before);
    free(after);
    book_close(book);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(madder_on_alum_in_exhaust_2_not_dipped_later),
        cmocka_unit_test(skeins_pass_any_filter_as_reckoned_slowly),
        cmocka_unit_test(a_life_goes_back_through_cuts_and_plies),
        cmocka_unit_test(dyestuff_by_mordant_has_the_mean_colours),
        cmocka_unit_test(rounds_of_a_bath_fade_as_reckoned_slowly),
        cmocka_unit_test(the_nearest_come_first_and_none_is_missed),
        cmocka_unit_test(
            a_colour_name_finds_what_is_nearest_to_one_of_its_kind),
        cmocka_unit_test(answers_do_not_depend_on_the_order_of_records),
        cmocka_unit_test(unrelated_records_change_no_order),
    };

    return cmocka_run_group_tests(tests, make_shelves, close_shelves);
}
