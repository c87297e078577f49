/*
 * Tests of skeins: which two readings a grade comes from, against looking at
 * every pair; that nothing else in the book changes an answer, nor the order
 * it was written in; when a test is due; how far a grade may be from it. The
 * grades themselves are held against tables in test_colour.c.
 */
#include "ask_support.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/fastness.h"
#include "colour/grade.h"

static const struct day today = {2026, 6, 1};

static struct fast_answer ask(void)
{
    struct fast_request r = {.filter = ask_filter_any(), .today = today};
    struct fast_answer a;
    struct error err;

    check_ok(ask_fastness(ask_book, &r, &a, &err), &err);
    return a;
}

static uint32_t chance;

/* 0 to n - 1 */
static int draw(int n)
{
    chance = chance * 1664525u + 1013904223u;
    return (int)((chance >> 8) % (uint32_t)n);
}

/* ---- random books --------------------------------------------------------
 */

#define SKEINS 6
#define READINGS 10 /* of each skein */
#define DAYS 40

static const char *const part_names[] = {"whole", "covered", "exposed"};
enum { WHOLE, COVERED, EXPOSED };

struct drawn_reading {
    int day, part;
    bool wet, eye, other_light;
    int step; /* 0: undyed, 1: dyed, 2: then washed or dipped */
    struct lab lab;
};

struct drawn_skein {
    struct drawn_reading reading[READINGS];
    bool washed;        /* its last step was a wash, else a dip */
    int kind, start[2]; /* two tests of one kind; the later start or -1 */
};

/* No two readings of a skein on one day: which of those counts is told by the
 * order they were written in. */
static void draw_skein(struct drawn_skein *s)
{
    int days[DAYS] = {0};

    for (int i = 0; i < DAYS; i++) {
        const int k = draw(i + 1);

        days[i] = days[k];
        days[k] = i;
    }
    s->washed = draw(2);
    s->kind = draw(FAST_KINDS);
    s->start[0] = draw(DAYS / 2);
    s->start[1] = draw(2) ? s->start[0] + 1 + draw(DAYS / 2) : -1;
    for (int i = 0; i < READINGS; i++) {
        struct drawn_reading *r = &s->reading[i];

        *r = (struct drawn_reading){.day = days[i],
                                    .part = draw(2) ? WHOLE : draw(3),
                                    .wet = draw(6) == 0,
                                    .eye = draw(6) == 0,
                                    .other_light = draw(6) == 0,
                                    .step = draw(4) ? 1 : draw(3)};
        r->lab = (struct lab){30 + draw(400) / 10.0, draw(600) / 10.0 - 30,
                              draw(600) / 10.0 - 30};
    }
}

static void day_words(int day, char out[11])
{
    day_iso(day_add((struct day){2026, 3, 1}, day), out);
}

static void write_reading(int skein, const struct drawn_reading *r,
                          const int64_t entry[3])
{
    char on[11], of[16], lab[64], after[24];
    const struct record_value v[] = {
        {"skein", of},
        {"part", part_names[r->part]},
        {"wet", r->wet ? "yes" : "no"},
        {"on", on},
        {"lab", lab},
        {"source", r->eye ? "eye" : "instrument"},
        {"illuminant", r->other_light ? "D65" : "D50"},
        {"observer", r->other_light ? "10" : "2"},
        {"geometry", "d/8"},
        {"after-entry", after},
    };
    int64_t id;

    day_words(r->day, on);
    snprintf(of, sizeof of, "%d", skein + 1);
    snprintf(lab, sizeof lab, "%.1f,%.1f,%.1f", r->lab.L, r->lab.a, r->lab.b);
    snprintf(after, sizeof after, "#%lld", (long long)entry[r->step]);
    id = ask_add(NOUN_READING, v, ARRAY_LEN(v) - !r->step);
    /* Before any: it is made after the last step, and no option says so. */
    if (!r->step) {
        struct error err;
        const struct record_value none = {"after-entry", ""};

        check_ok(book_act_begin(ask_book, "test", &err), &err);
        check_ok(record_edit(ask_book, NOUN_READING, id, &none, 1, NULL, &err),
                 &err);
        check_ok(book_act_end(ask_book, &err), &err);
    }
}

static void write_steps(int skein, const struct drawn_skein *s,
                        int64_t entry[3])
{
    const char *const kinds[] = {"dye", s->washed ? "wash" : "dip"};
    char of[16];

    snprintf(of, sizeof of, "%d", skein + 1);
    entry[0] = 0;
    for (int i = 0; i < 2; i++) {
        char t[24];

        snprintf(t, sizeof t, "#%lld",
                 (long long)ADD(NOUN_TREATMENT, {"kind", kinds[i]}));
        if (!i)
            ADD(NOUN_DOSE, {"material", skein % 2 ? "madder" : "weld"},
                {"treatment", t}, {"amount", "60 %"});
        entry[i + 1] = ADD(NOUN_ENTRY, {"skein", of}, {"treatment", t});
    }
}

static void write_test(int skein, const struct drawn_skein *s, int which)
{
    char of[16], start[11];

    if (s->start[which] < 0)
        return;
    snprintf(of, sizeof of, "%d", skein + 1);
    day_words(s->start[which], start);
    ADD(NOUN_TEST, {"skein", of}, {"kind", fast_kind_names[s->kind]},
        {"start", start});
}

/* Skeins in their order, what is of them in another. */
static void write_book(const struct drawn_skein *s, bool backwards)
{
    ADD(NOUN_MATERIAL, {"name", "madder"});
    ADD(NOUN_MATERIAL, {"name", "weld"});
    for (int i = 0; i < SKEINS; i++)
        ADD(NOUN_SKEIN, {"weight", "20 g"});
    for (int n = 0; n < SKEINS; n++) {
        const int i = backwards ? SKEINS - 1 - n : n;
        int64_t entry[3];

        write_steps(i, &s[i], entry);
        if (backwards) {
            write_test(i, &s[i], 1);
            write_test(i, &s[i], 0);
        }
        for (int k = 0; k < READINGS; k++)
            write_reading(i, &s[i].reading[backwards ? READINGS - 1 - k : k],
                          entry);
        if (!backwards) {
            write_test(i, &s[i], 0);
            write_test(i, &s[i], 1);
        }
    }
}

/* ---- the slow way --------------------------------------------------------
 */

static bool counts(const struct drawn_reading *r)
{
    return !r->wet && !r->eye && !r->other_light;
}

/* The header's rule, word by word, for one pair. 0: it is none; the greater the
 * better otherwise. */
static int worth(const struct drawn_skein *s, int which,
                 const struct drawn_reading *o, const struct drawn_reading *t)
{
    const int start = s->start[which];
    const int next = which == 0 && s->start[1] >= 0 ? s->start[1] : 9999;
    const bool light = s->kind == FAST_LIGHT;
    int way = 0;

    if (!counts(o) || !counts(t) || o->step > t->step)
        return 0;
    if (o->step != t->step &&
        !(s->kind == FAST_WASH && s->washed && o->step == 1 && t->step == 2))
        return 0;
    if (light && t->part == EXPOSED && t->day >= start && t->day < next) {
        if (o->part == COVERED && o->day >= start && o->day < next)
            way = 3;
        else if (o->part == WHOLE && o->day <= start)
            way = 2;
    } else if (t->part == WHOLE && t->day > start && t->day < next &&
               o->part == WHOLE && o->day <= start) {
        way = 1;
    }
    return way ? way * 10000 + t->day * 100 + o->day : 0;
}

static bool slowly(const struct drawn_skein *s, int which, double *de_f)
{
    int best = 0;

    for (int i = 0; i < READINGS; i++)
        for (int k = 0; k < READINGS; k++) {
            const int w = worth(s, which, &s->reading[i], &s->reading[k]);

            if (w <= best)
                continue;
            best = w;
            *de_f = grade_de_f(s->reading[i].lab, s->reading[k].lab);
        }
    return best > 0;
}

static void check_against_slow(const struct drawn_skein *s,
                               const struct fast_answer *a, size_t *graded)
{
    size_t tests = 0;

    for (int i = 0; i < SKEINS; i++)
        for (int which = 0; which < 2; which++) {
            const struct fast_test *found = NULL;
            char start[11];
            double de_f = 0;
            bool has;

            if (s[i].start[which] < 0)
                continue;
            tests++;
            day_words(s[i].start[which], start);
            for (size_t n = 0; n < a->count; n++)
                if (a->test[n].number == i + 1 &&
                    !strcmp(a->test[n].start, start))
                    found = &a->test[n];
            if (!found) {
                fail_msg("the test of skein %d is not there", i + 1);
                return;
            }
            has = slowly(&s[i], which, &de_f);
            assert_int_equal(found->lack == FAST_GRADED, has);
            if (has)
                check_near("dE_F", found->de_f, de_f, 1e-9);
            *graded += has;
        }
    assert_int_equal(a->count, tests);
}

/* All that is told of it, by the names of things. */
static char *told(const struct fast_answer *a)
{
    struct text t = {0};

    for (size_t i = 0; i < a->count; i++) {
        const struct fast_test *x = &a->test[i];

        text_addf(&t, "%s %s ", x->label, fast_kind_names[x->kind]);
        fast_dye_words(x->dyestuffs, x->mordants, x->dips, x->no_mordant, &t);
        text_addf(&t, " %s ", x->start);
        fast_state_words(x, &t);
        fast_lack_words(x, &t);
        if (x->lack == FAST_GRADED)
            text_addf(&t, " %.6f %.6f %.6f %d", x->de_f, x->de_f_low,
                      x->de_f_high, x->changed);
        text_add(&t, "\n");
    }
    for (size_t i = 0; i < a->groups; i++)
        text_addf(&t, "%s %s %zu %.6f\n", fast_kind_names[a->group[i].kind],
                  a->group[i].dyestuffs, a->group[i].tests, a->group[i].de_f);
    return text_take(&t);
}

/* The filter by grade, against the grades: whoever has one of the kind, and
 * none that is less. */
static void check_filter(const struct fast_answer *a, const char *kind,
                         const char *grade)
{
    const int least = grade_twice(grade);
    struct ask_filter f = ask_filter_any();
    struct ask_skeins got;
    struct error err;
    char words[16];
    size_t wanted = 0;

    snprintf(words, sizeof words, "%s%s%s", kind, *kind ? " " : "", grade);
    check_ok(ask_filter_read(ask_book, &f, "fastness", words, &err), &err);
    check_ok(ask_skeins(ask_book, &f, 0, &got, &err), &err);
    for (int i = 1; i <= SKEINS; i++) {
        bool any = false, less = false, there = false;

        for (size_t n = 0; n < a->graded; n++) {
            const struct fast_test *t = &a->test[n];
            if (t->number != i ||
                (*kind && strcmp(kind, fast_kind_names[t->kind]) != 0))
                continue;
            any = true;
            less = less || grade_twice(grade_step(t->de_f)) < least;
        }
        for (size_t n = 0; n < got.count; n++)
            there = there || got.skein[n].number == i;
        if (there != (any && !less))
            fail_msg("fastness %s: skein %d", words, i);
        wanted += there;
    }
    assert_int_equal(got.count, wanted);
    ask_skeins_free(&got);
}

static void check_filters(const struct fast_answer *a)
{
    static const char *const grades[] = {"1", "1-2", "3", "5"};

    for (size_t g = 0; g < ARRAY_LEN(grades); g++) {
        check_filter(a, "", grades[g]);
        for (int k = 0; k < FAST_KINDS; k++)
            check_filter(a, fast_kind_names[k], grades[g]);
    }
}

/* What has nothing to do with any of the tests. */
static void write_more(void)
{
    ADD(NOUN_DYER, {"name", "Aino"});
    ADD(NOUN_MATERIAL, {"name", "alkanet"});
    ADD(NOUN_SKEIN, {"name", "spare"});
    ADD(NOUN_READING, {"skein", "7"}, {"lab", "50,0,0"}, {"source", "eye"});
    ADD(NOUN_SKEIN, {"name", "hers"}, {"dyer", "Aino"});
    ADD(NOUN_FIBRE, {"name", "wool"});
    ADD(NOUN_READING, {"fibre", "wool"}, {"lab", "85,1,12"},
        {"source", "instrument"}, {"illuminant", "D50"}, {"observer", "2"},
        {"geometry", "d/8"});
}

static void test_the_pair_is_the_one_that_looking_at_all_finds(void **state)
{
    size_t graded = 0;

    (void)state;
    for (int book = 0; book < 16; book++) {
        struct drawn_skein s[SKEINS];
        struct fast_answer a;
        char *before, *after, *turned;

        chance = (uint32_t)book * 7919u + 1;
        for (int i = 0; i < SKEINS; i++)
            draw_skein(&s[i]);
        write_book(s, false);
        a = ask();
        check_against_slow(s, &a, &graded);
        check_filters(&a);
        before = told(&a);
        fast_answer_clear(&a);
        write_more();
        a = ask();
        after = told(&a);
        fast_answer_clear(&a);
        ask_book_close(NULL);
        ask_book_open(NULL);
        write_book(s, true);
        a = ask();
        turned = told(&a);
        fast_answer_clear(&a);
        assert_string_equal(before, after);
        assert_string_equal(before, turned);
        ask_book_close(NULL);
        ask_book_open(NULL);
        free(before);
        free(after);
        free(turned);
    }
    /* Enough of them have a grade, and enough none. */
    assert_in_range(graded, 25, 125);
}

/* ---- days ----------------------------------------------------------------
 */

static enum fast_state state_of(const char *start, const char *due,
                                const char *end)
{
    struct fast_answer a;
    enum fast_state state;
    struct error err;
    const int64_t id = ADD(NOUN_TEST, {"skein", "1"}, {"start", start},
                           {"due", due}, {"end", end});

    struct fast_request only = {
        .filter = ask_filter_any(), .today = today, .only_due = true};

    a = ask();
    assert_int_equal(a.count, 1);
    state = a.test[0].state;
    assert_int_equal(a.due, state == FAST_DUE || state == FAST_LATE);
    fast_answer_clear(&a);
    check_ok(ask_fastness(ask_book, &only, &a, &err), &err);
    assert_int_equal(a.count, state == FAST_DUE || state == FAST_LATE);
    fast_answer_clear(&a);
    check_ok(book_act_begin(ask_book, "test", &err), &err);
    check_ok(record_withdraw(ask_book, NOUN_TEST, id, true, &err), &err);
    check_ok(book_act_end(ask_book, &err), &err);
    return state;
}

/* Today is 2026-06-01; a week is seven days, the last of them included. */
static void test_it_is_due_within_a_week_and_then_late(void **state)
{
    (void)state;
    ADD(NOUN_SKEIN, {"weight", "20 g"});
    assert_int_equal(state_of("2026-04-01", "2026-06-08", ""), FAST_DUE);
    assert_int_equal(state_of("2026-04-01", "2026-06-09", ""), FAST_RUNNING);
    assert_int_equal(state_of("2026-04-01", "2026-06-01", ""), FAST_DUE);
    assert_int_equal(state_of("2026-04-01", "2026-05-31", ""), FAST_LATE);
    assert_int_equal(state_of("2026-04-01", "2026-05-31", "2026-05-30"),
                     FAST_ENDED);
    assert_int_equal(state_of("2026-04-01", "", ""), FAST_RUNNING);
    assert_int_equal(state_of("2026-06-02", "2026-08-01", ""), FAST_PLANNED);
    /* A month as a whole: from its first day on, late after its last. */
    assert_int_equal(state_of("2026-04-01", "June 2026", ""), FAST_DUE);
    assert_int_equal(state_of("2026-04-01", "May 2026", ""), FAST_LATE);
    assert_int_equal(state_of("2026-04-01", "July 2026", ""), FAST_RUNNING);
}

static int64_t read_on(const char *on, const char *lab)
{
    return ADD(NOUN_READING, {"skein", "1"}, {"on", on}, {"lab", lab},
               {"source", "instrument"}, {"illuminant", "D50"},
               {"observer", "2"}, {"geometry", "d/8"});
}

/* One test names two of three readings of one day, which no day could tell
 * apart; the other names none. */
static void test_a_named_reading_counts(void **state)
{
    char before[24], after[24];
    struct fast_answer a;

    (void)state;
    ADD(NOUN_SKEIN, {"weight", "20 g"});
    snprintf(before, sizeof before, "#%lld",
             (long long)read_on("2026-05-01", "40,20,10"));
    snprintf(after, sizeof after, "#%lld",
             (long long)read_on("2026-05-01", "44,20,10"));
    read_on("2026-05-01", "60,20,10");
    ADD(NOUN_TEST, {"skein", "1"}, {"kind", "wash"}, {"before", before},
        {"after", after});
    ADD(NOUN_TEST, {"skein", "1"}, {"kind", "rub"}, {"start", "2026-05-01"});
    a = ask();
    assert_int_equal(a.count, 2);
    assert_int_equal(a.graded, 1);
    check_near("dE*ab", a.test[0].de76, 4, 1e-9);
    assert_int_equal(a.test[1].lack, FAST_NO_AFTER);
    fast_answer_clear(&a);
}

/* ---- how far a grade may be from it --------------------------------------
 */

/* One of the standard normal distribution, by the sum of twelve. */
static double normal(void)
{
    double sum = -6;

    for (int i = 0; i < 12; i++)
        sum += draw(1 << 20) / (double)(1 << 20);
    return sum;
}

/* Of many drawn differences about 95 in 100 lie within the range of the true
 * one, and both its ends are needed. */
static void test_a_range_holds_as_many_as_it_says(void **state)
{
    static const struct lab from[] = {{42, 45, 28}, {80, -3, 60}, {30, 2, -25}};
    static const double move[][3] = {{3, -4, -2}, {6, 2, -15}, {1.5, 0, 4}};
    const struct cov3 u = cov3_diagonal(0.5, 0.4, 0.6);
    enum { DRAWS = 4000 };

    (void)state;
    chance = 5;
    for (size_t i = 0; i < ARRAY_LEN(from); i++) {
        const struct lab true_one = {from[i].L + move[i][0],
                                     from[i].a + move[i][1],
                                     from[i].b + move[i][2]};
        const double de_f = grade_de_f(from[i], true_one);
        int within = 0;

        for (int n = 0; n < DRAWS; n++) {
            const struct lab read = {true_one.L + 0.5 * normal(),
                                     true_one.a + 0.4 * normal(),
                                     true_one.b + 0.6 * normal()};
            double low, high;

            grade_range(from[i], read, u, &low, &high);
            assert_true(low <= high);
            within += low <= de_f && de_f <= high;
        }
        /* 95.45 in 100 of a straight line's; curved a little. */
        assert_in_range(within * 100 / DRAWS, 93, 98);
    }
}

static void test_a_range_is_a_point_without_uncertainty(void **state)
{
    const struct lab x = {42, 45, 28}, y = {45, 40, 26};
    double low, high;

    (void)state;
    grade_range(x, y, (struct cov3){0}, &low, &high);
    check_near("low", low, grade_de_f(x, y), 0);
    check_near("high", high, grade_de_f(x, y), 0);
    grade_range(x, x, cov3_diagonal(0.5, 0.5, 0.5), &low, &high);
    check_near("of no change", low, 0, 0);
    assert_true(high > 1); /* two sigmas of lightness alone are one */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(
            test_the_pair_is_the_one_that_looking_at_all_finds, ask_book_open,
            ask_book_close),
        cmocka_unit_test_setup_teardown(
            test_it_is_due_within_a_week_and_then_late, ask_book_open,
            ask_book_close),
        cmocka_unit_test_setup_teardown(test_a_named_reading_counts,
                                        ask_book_open, ask_book_close),
        cmocka_unit_test(test_a_range_holds_as_many_as_it_says),
        cmocka_unit_test(test_a_range_is_a_point_without_uncertainty),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
