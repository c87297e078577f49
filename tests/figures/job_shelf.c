/* make bench T=shelf: questions to a book of 100,000 skeins. */
#include "bench.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/ask.h"
#include "large_support.h"

#define SKEINS 100000
#define CUT_SKEIN 891 /* cut off one that was dyed twice: 33 * 27 */

static char folder[512];

static void die(const struct error *err)
{
    fprintf(stderr, "bench: shelf: %s\n", err->text);
    exit(1);
}

static struct book *opened(void)
{
    struct book *book;
    struct error err;

    if (!book_open(folder, &book, &err))
        die(&err);
    return book;
}

static void prepare(const char *where)
{
    struct book *book;
    struct error err;

    snprintf(folder, sizeof folder, "%s", where);
    if (!book_create(folder, "me", &err))
        die(&err);
    book = opened();
    if (!large_fill(book, SKEINS, &err))
        die(&err);
    book_close(book);
}

static int only_open(void)
{
    book_close(opened());
    return 0;
}

/* A filter of pairs of name and words, NULL at the end. */
static struct ask_filter filter_of(struct book *book, const char *const *words)
{
    struct ask_filter f = ask_filter_any();
    struct error err;

    for (; *words; words += 2)
        if (!ask_filter_read(book, &f, words[0], words[1], &err))
            die(&err);
    return f;
}

static int skeins(const char *const *words)
{
    struct book *book = opened();
    struct ask_filter f = filter_of(book, words);
    struct ask_skeins all;
    struct error err;
    bool some;

    if (!ask_skeins(book, &f, 0, &all, &err))
        die(&err);
    some = all.count > 0;
    ask_skeins_free(&all);
    book_close(book);
    return some ? 0 : 1;
}

static int find(const char *words, const char *const *filter)
{
    struct book *book = opened();
    struct find_request r = {.filter = filter_of(book, filter),
                             .words = words,
                             .has_target = !words,
                             .target = {45, 30, 20},
                             .tolerance = 2,
                             .limit = 20};
    struct find_answer a;
    struct error err;
    bool some;

    if (!ask_find(book, &r, &a, &err))
        die(&err);
    some = a.count > 0;
    find_answer_clear(&a);
    book_close(book);
    return some ? 0 : 1;
}

static const char *const any[] = {NULL};

static int madder_on_alum_in_exhaust_2_not_dipped(void)
{
    static const char *const words[] = {"dyestuff", "madder", "mordant",
                                        "alum",     "round",  "exhaust 2",
                                        "no-dip",   "",       NULL};

    return skeins(words);
}

static int life_of_a_cut(void)
{
    struct book *book = opened();
    struct life life;
    struct error err;
    bool some;

    if (!ask_life(book, CUT_SKEIN, &life, &err))
        die(&err);
    some = life.count > 2;
    life_clear(&life);
    book_close(book);
    return some ? 0 : 1;
}

static int dyestuff_by_mordant(void)
{
    struct book *book = opened();
    struct grid_request r = {.filter = ask_filter_any(),
                             .rows = GRID_DYESTUFF,
                             .columns = GRID_MORDANT,
                             .tolerance = 2};
    struct grid g;
    struct error err;
    bool some;

    if (!ask_grid(book, &r, &g, &err))
        die(&err);
    some = g.rows > 10;
    grid_clear(&g);
    book_close(book);
    return some ? 0 : 1;
}

static int find_near(void)
{
    return find(NULL, any);
}

static int find_olive(void)
{
    return find("olive", any);
}

static int find_of_a_summer(void)
{
    static const char *const words[] = {"date", "summer 2019", "ph", "6..8",
                                        NULL};

    return find(NULL, words);
}

static int find_of_a_supply(void)
{
    static const char *const words[] = {"supply", "madder 2025", NULL};

    return find(NULL, words);
}

static double fifty_ms(void)
{
    return 0.050;
}

#define IN_50_MS(words, step)                                                  \
    {                                                                          \
        words ", of 50 ms", step, step, BENCH_CPU, false, 1, fifty_ms          \
    }

const struct bench_job job_shelf = {
    .name = "shelf",
    .title = "questions to a book of 100,000 skeins, against opening it",
    .prepare = prepare,
    .step = {{"open the book", only_open},
             {"madder on alum, exhaust 2, not dipped",
              madder_on_alum_in_exhaust_2_not_dipped},
             {"life of an over-dyed, cut skein", life_of_a_cut},
             {"dyestuff by mordant", dyestuff_by_mordant},
             {"find near a colour", find_near},
             {"find olive", find_olive},
             {"find by summer and pH", find_of_a_summer},
             {"find by supply", find_of_a_supply}},
    .reach = {IN_50_MS("madder on alum, exhaust 2, not dipped", 1),
              IN_50_MS("life of an over-dyed, cut skein", 2),
              IN_50_MS("dyestuff by mordant", 3)},
};
