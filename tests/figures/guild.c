/* Books of a guild. See guild.h. */
#include "guild.h"

#include <stdio.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <unistd.h>

#include "bench.h"

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
