/* Baths of six skeins written down one by one, each safe on the disk before
 * the next, in a book of 100,000; against as many bare writes of 8 KB. */
#include "bench.h"

#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

#include "base/mem.h"
#include "book/pot.h"
#include "guild.h"

enum { BATHS = 50, PAGE = 8192 };

static char folder[512], bare[512];

static void prepare(const char *where)
{
    snprintf(folder, sizeof folder, "%s/book", where);
    snprintf(bare, sizeof bare, "%s/bare", where);
    bench_run((const char *const[]){"/bin/cp", "-r", guild_book(100000), folder,
                                    NULL});
}

static int write_bare(void)
{
    static const char page[PAGE];
    const int fd = open(bare, O_WRONLY | O_CREAT, 0600);

    for (int i = 0; i < BATHS; i++)
        if (pwrite(fd, page, PAGE, (off_t)PAGE * i) != PAGE || fdatasync(fd))
            return 1;
    return close(fd);
}

static int log_baths(void)
{
    static const char *const dyestuff[] = {"madder: 60 %"}, *const mordant[] = {
                                                                "alum: 12 %"};
    const struct pot_entry pot = {.name = "Madder for the border",
                                  .dyestuffs = {dyestuff, 1},
                                  .mordants = {mordant, 1},
                                  .on = "2026-05-03",
                                  .temperature = "70",
                                  .minutes = "60",
                                  .fibre = "two-ply wool",
                                  .weight = "20 g",
                                  .skeins = "6",
                                  .note = "came out level"};
    struct book *book = guild_open(folder);
    struct pot_result result;
    struct text echo = {0};
    struct error err;

    for (int i = 0; i < BATHS; i++) {
        guild_must(pot_log(book, &pot, &result, &echo, &err), &err);
        pot_result_clear(&result);
        text_clear(&echo);
    }
    book_close(book);
    return 0;
}

const struct bench_job job_log = {
    .name = "log",
    .title = "fifty baths of six skeins into a book of 100,000, each durable",
    .prepare = prepare,
    .step = {{"fifty times 8 KB and fdatasync", write_bare},
             {"fifty baths logged", log_baths}},
    .reach = {{"baths a second, of bare writes a second", 1, 0, BENCH_WALL,
               true, 0.3, NULL}},
};
