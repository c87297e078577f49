/*
 * Other questions to a book of a million skeins: against the same in plain SQL,
 * against a book of a thousand, and against 10 ms of processor time.
 */
#include "bench.h"

#include <stdio.h>
#include <stdlib.h>

#include "base/mem.h"
#include "guild.h"

enum { AGAIN = 10 };

static const char *small, *large;

static void prepare(const char *where)
{
    (void)where;
    small = guild_book(1000);
    large = guild_book(1000000);
}

/* ---- opening ------------------------------------------------------------- */

static int open_and_ask(const char *folder)
{
    const struct ask_filter any = ask_filter_any();
    struct book *book = guild_open(folder);
    struct life life;
    struct ask_skein skein;
    struct error err;

    guild_must(ask_skein(book, 500, &any, &skein, &err) &&
                   ask_life(book, 500, &life, &err),
               &err);
    life_clear(&life);
    ask_skein_clear(&skein);
    book_close(book);
    return 0;
}

static int open_small(void)
{
    return open_and_ask(small);
}

static int open_large(void)
{
    return open_and_ask(large);
}

/* ---- a table of means ---------------------------------------------------- */

/* What one would write who has the tables: the last reading that counts, the
 * last recipe. */
static const char means[] =
    "SELECT r.last_dyestuffs, r.mordants, r.round, avg(c.L), avg(c.a),"
    " avg(c.b), count(*) FROM reading c JOIN step s ON s.skein_id = c.skein_id"
    " AND s.last = 1 AND s.entry_id IS c.after_entry_id JOIN recipe r ON r.id ="
    " s.recipe_id WHERE c.withdrawn = 0 AND c.wet = 0 AND c.part = 'whole' AND"
    " c.illuminant = 'D50' AND c.observer_deg = 2 GROUP BY 1, 2, 3";

static int join(void)
{
    struct book *book = guild_open(large);
    struct stmt q;
    struct error err;
    bool row;
    int n = 0;

    guild_must(stmt_prepare(book, means, &q, &err), &err);
    for (;; n++) {
        guild_must(stmt_step(&q, &row, &err), &err);
        if (!row)
            break;
    }
    stmt_done(&q);
    book_close(book);
    return n > 100 ? 0 : 1;
}

static int grids(int times)
{
    struct book *book = guild_open(large);
    const struct grid_request r = {.filter = ask_filter_any(),
                                   .rows = GRID_DYESTUFF,
                                   .columns = GRID_MORDANT,
                                   .tolerance = 2};
    struct grid g;
    struct error err;

    for (int i = 0; i < times; i++) {
        guild_must(ask_grid(book, &r, &g, &err), &err);
        grid_clear(&g);
    }
    book_close(book);
    return 0;
}

static int grid_once(void)
{
    return grids(1);
}

static int grid_again(void)
{
    return grids(1 + AGAIN);
}

/* ---- finding ------------------------------------------------------------- */

static int find(const char *words, const char *const *filter)
{
    struct book *book = guild_open(large);
    struct find_request r = {.filter = ask_filter_any(),
                             .words = words,
                             .tolerance = 2,
                             .limit = 20};
    struct find_answer a;
    struct error err;
    size_t n;

    for (; *filter; filter += 2)
        guild_must(ask_filter_read(book, &r.filter, filter[0], filter[1], &err),
                   &err);
    guild_must(ask_find(book, &r, &a, &err), &err);
    n = a.count;
    find_answer_clear(&a);
    book_close(book);
    return n == 20 ? 0 : 1;
}

static const char *const any[] = {NULL};

static int find_word(void)
{
    return find("peat", any);
}

static int find_colour(void)
{
    return find("olive", any);
}

static int find_text(void)
{
    static const char *const f[] = {"text", "apron spring", NULL};

    return find(NULL, f);
}

static int find_filtered(void)
{
    static const char *const f[] = {"dyestuff", "crottle", "mordant", "iron",
                                    "date",     "2015",    NULL};

    return find(NULL, f);
}

static int find_wide(void)
{
    static const char *const f[] = {"dyestuff", "madder", NULL};

    return find(NULL, f);
}

static double ten_ms(void)
{
    return 0.010;
}

#define FOUND(words, step)                                                     \
    {                                                                          \
        words ", of 10 ms", step, step, BENCH_CPU, false, 1, ten_ms            \
    }

const struct bench_job job_guild = {
    .name = "guild",
    .title = "a book of a million skeins (opening it counted)",
    .prepare = prepare,
    .step = {{"a skein and its life, among 1,000", open_small},
             {"the same among 1,000,000", open_large},
             {"means by dyestuff, mordant and round, SQL join", join},
             {"grid, dyestuff by mordant", grid_once},
             {"grid, and ten times again", grid_again},
             {"find an own word", find_word},
             {"find olive", find_colour},
             {"find by words of notes", find_text},
             {"find crottle on iron of 2015", find_filtered},
             {"find madder", find_wide}},
    .reach = {{"a skein, of that among 1,000", 1, 0, BENCH_CPU, false, 1.2,
               NULL},
              {"grid, of the join", 3, 2, BENCH_CPU, false, 0.6, NULL},
              {"grid and ten times, of the join", 4, 2, BENCH_CPU, false, 0.7,
               NULL},
              FOUND("an own word", 5),
              FOUND("olive", 6),
              FOUND("words of notes", 7),
              FOUND("crottle on iron of 2015", 8),
              FOUND("madder", 9)},
};
