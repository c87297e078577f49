/* Books of a guild. See guild.h. */
#include "guild.h"

#include <stdio.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <unistd.h>

#include "bench.h"

const struct lab guild_target[GUILD_TARGETS] = {
    {45, 40, 25}, {75, -2, 55}, {35, 8, 12},   {60, 15, 35}, {82, 1, 14},
    {52, 30, 18}, {68, 4, 62},  {28, 5, 8},    {47, 12, 28}, {70, 22, 30},
    {38, 35, 16}, {80, -4, 38}, {55, -10, 24}, {33, 28, 14}, {63, 33, 40},
    {42, 20, 6},  {58, 2, 44},  {74, 10, 22},  {49, -6, 36}, {66, 18, 48},
};
void guild_must(bool ok, const struct error *err)
{
    if (!ok)
        bench_die("guild", err->text);
}

/* Made beside its place: one that was cut off is not taken for whole. */
const char *guild_book(long skeins)
{
    static char folder[8][512];
    static int next;
    char *path = folder[next++ % 8], begun[600], number[24];

    mkdir(bench_program("books"), 0777);
    snprintf(path, sizeof folder[0], "%s/%d-%ld", bench_program("books"),
             book_schema_version(), skeins);
    if (access(path, F_OK) == 0)
        return path;
    snprintf(begun, sizeof begun, "%s.%ld", path, (long)getpid());
    snprintf(number, sizeof number, "%ld", skeins);
    bench_run(
        (const char *const[]){bench_program("guild"), begun, number, NULL});
    if (rename(begun, path))
        bench_die(path, "cannot be made");
    return path;
}

struct book *guild_open(const char *folder)
{
    struct book *book;
    struct error err;

    guild_must(book_open(folder, &book, &err), &err);
    return book;
}
