/* A hank into pieces: the worked examples of docs/worked.md, and that the parts
 * make the whole, whatever they are. */
#include "support.h"

#include <math.h>
#include <stdio.h>

#include "dye/split.h"
#include "draw_support.h"

static struct split_plan planned(const struct split_words *words)
{
    struct split_plan p;
    struct error err;

    check_ok(split_plan(words, &p, &err), &err);
    return p;
}

/* The rows by their numbers; arithmetic, no source needed. */
static void test_worked_examples(void **state)
{
    static const char *const s04[] = {"120 m", "90 m", "60 m", "50 m", "40 m"};
    static const double s04_g[] = {30, 22.5, 15, 12.5, 10};
    static const char *const s05[] = {"150 m", "120 m", "90 m", "60 m"};
    static const char *const s06[] = {"8 x 40 m"};
    struct split_words w = {.weight = "100 g",
                            .length = "400 m",
                            .piece = s04,
                            .pieces = 5,
                            .reserve = "10 %"};
    struct split_plan p = planned(&w);

    (void)state;
    for (size_t i = 0; i < 5; i++)
        check_near("S04 g", p.piece[i].g, s04_g[i], 1e-9);
    check_near("S04 pieces", p.pieces_m, 360, 1e-9);
    check_near("S04 reserve", p.reserve_m, 40, 1e-9);
    check_near("S04 over", p.over_m, 0, 1e-9);
    split_plan_clear(&p);
    w.allowance = "10 %";
    p = planned(&w);
    check_near("S11 pieces", p.pieces_m, 396, 1e-9);
    check_near("S11", p.over_m, -36, 1e-9);
    split_plan_clear(&p);
    w.allowance = NULL;
    w.piece = s05;
    w.pieces = 4;
    p = planned(&w);
    check_near("S05", p.over_m, -60, 1e-9);
    check_near("S05 no reserve", p.over_without_reserve_m, -20, 1e-9);
    split_plan_clear(&p);
    w = (struct split_words){.weight = "100 g",
                             .length = "400 m",
                             .piece = s06,
                             .pieces = 1,
                             .loop = "1.5 m"};
    p = planned(&w);
    assert_int_equal(p.count, 8);
    check_near("S06 wraps", p.piece[7].wraps, 27, 0);
    check_near("S06 m", p.piece[7].m, 40.5, 1e-9);
    check_near("S06 g", p.piece[7].g, 10.125, 1e-9);
    check_near("S06 left", p.over_m, 76, 1e-9);
    check_near("S06 left g", p.over_m / p.m_per_g, 19, 1e-9);
    assert_false(p.wraps_less);
    split_plan_clear(&p);
    /* An eighth is 33 1/3 wraps: 34 for each would take 408 m. */
    for (int i = 0; i < 2; i++) {
        static const char *const s12[][1] = {{"8 x 1/8"}, {"8 x 12.5 g"}};
        w.piece = s12[i];
        p = planned(&w);
        assert_int_equal(p.count, 8);
        assert_true(p.wraps_less);
        check_near("S12 wraps", p.piece[7].wraps, 33, 0);
        check_near("S12 m", p.piece[7].m, 49.5, 1e-9);
        check_near("S12 g", p.piece[7].g, 12.375, 1e-9);
        check_near("S12 left", p.over_m, 4, 1e-9);
        split_plan_clear(&p);
    }
}

static void check_plan(const struct split_plan *p)
{
    double all = 0, lack = 0;
    bool late = false;

    for (size_t i = 0; i < p->count; i++) {
        const struct split_piece *piece = &p->piece[i];

        all += piece->m;
        lack += piece->lack_m;
        assert_true(p->wraps_less || piece->m >= piece->want_m * (1 - 1e-6));
        assert_true(!p->wraps_less || (piece->m > piece->want_m - p->loop_m &&
                                       piece->wraps >= 1 && p->over_m >= 0));
        assert_true(piece->lack_m >= 0 && piece->lack_m <= piece->m);
        assert_true(!late || piece->lack_m == piece->m); /* all behind it */
        late = piece->lack_m > 0;
        if (isnan(p->loop_m))
            continue;
        check_near("whole wraps", piece->wraps, round(piece->wraps), 0);
        assert_true(piece->m < piece->want_m + p->loop_m * (1 + 1e-9));
    }
    check_near("whole", all + p->reserve_m + p->over_m, p->hank_m, 1e-6);
    check_near("grams", all / p->m_per_g, p->pieces_m / p->m_per_g, 1e-6);
    check_near("lacks", lack, fmin(fmax(0, -p->over_m), all), 1e-6);
}

static void test_parts_make_the_whole(void **state)
{
    uint64_t d = 4;

    (void)state;
    for (int round = 0; round < 2000; round++) {
        char word[9][40];
        const char *piece[6];
        struct split_words w = {word[6], word[7], NULL, piece,
                                0,       NULL,    NULL, NULL};
        struct split_plan p, less;
        struct error err;

        w.pieces = 1 + (size_t)(5 * uniform(&d));
        for (size_t i = 0; i < w.pieces; i++) {
            snprintf(word[i], sizeof word[i], "%.3f %s", 1 + 150 * uniform(&d),
                     uniform(&d) < 0.7 ? "m" : "g");
            piece[i] = word[i];
        }
        snprintf(word[6], sizeof word[6], "%.2f g", 20 + 200 * uniform(&d));
        snprintf(word[7], sizeof word[7], "%.2f m", 50 + 800 * uniform(&d));
        snprintf(word[8], sizeof word[8], "%.2f m", 0.5 + 2 * uniform(&d));
        w.loop = uniform(&d) < 0.5 ? word[8] : NULL;
        w.reserve = uniform(&d) < 0.5 ? "10 %" : NULL;
        w.allowance = uniform(&d) < 0.5 ? "5 %" : NULL;
        check_ok(split_plan(&w, &p, &err), &err);
        check_plan(&p);
        if (w.pieces > 1) { /* with a piece less no more is short */
            w.pieces--;
            check_ok(split_plan(&w, &less, &err), &err);
            assert_true(fmin(less.over_m, 0) >= fmin(p.over_m, 0));
            split_plan_clear(&less);
        }
        split_plan_clear(&p);
    }
}

/* A heavier hank of the same yarn is never shorter. */
static void test_more_yarn_is_never_less(void **state)
{
    const char *const piece[] = {"red = 120 m", "40 g"};
    double before = -1e9;

    (void)state;
    for (int g = 20; g < 300; g += 7) {
        char weight[20];
        const struct split_words w = {weight, NULL,   "10 m = 2.5 g", piece,
                                      2,      "10 %", NULL,           "1.5 m"};
        struct split_plan p;
        struct error err;

        snprintf(weight, sizeof weight, "%d g", g);
        check_ok(split_plan(&w, &p, &err), &err);
        assert_true(p.over_m > before);
        before = p.over_m;
        split_plan_clear(&p);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_worked_examples),
        cmocka_unit_test(test_parts_make_the_whole),
        cmocka_unit_test(test_more_yarn_is_never_less),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
