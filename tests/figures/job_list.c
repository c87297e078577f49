/* A folder of photos whose regions a list says, on one core and on two. One of
 * them is spoiled, which stops none. */
#include "bench.h"

#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "photo.h"

enum { PHOTOS = 24, MPX = 12, ROW = 256 };

static struct photo_drawn photo;
static char list[512];

/* "1.jpg,region,496,368,160,200" */
static void add_row(FILE *to, int n, const char *what, const char *box)
{
    fprintf(to, "%d.jpg,%s,%s\n", n, what, box);
}

static void prepare(const char *folder)
{
    char path[600];
    FILE *to, *spoiled;

    photo_draw(&photo, MPX);
    snprintf(list, sizeof list, "%s/list.csv", folder);
    to = bench_open(list, "w");
    fputs("photo,what,x,y,w,h\n", to);
    for (int n = 0; n <= PHOTOS; n++) {
        snprintf(path, sizeof path, "%s/%d.jpg", folder, n);
        if (n == PHOTOS / 2) {
            spoiled = bench_open(path, "w");
            fputs("no photo", spoiled);
            fclose(spoiled);
        } else {
            bench_run((const char *const[]){"/bin/cp", photo.path, path, NULL});
        }
        add_row(to, n, "card", photo.card_box);
        for (int i = 0; i < PHOTO_SKEINS; i++)
            add_row(to, n, "region", photo.box[i]);
    }
    if (fclose(to))
        bench_die(list, "cannot be written");
}

/* All but the spoiled one are measured: a row each, and one of headings. */
static int measure(const char *cores)
{
    static char said[ROW * PHOTOS * PHOTO_SKEINS];
    char program[512];
    const char *const argv[] = {
        program,        "measure", "--list",  list,  "--card-lab",
        photo.card_lab, "--csv",   "--cores", cores, NULL};
    int rows = 0;

    snprintf(program, sizeof program, "%s", bench_program("hanklab"));
    if (!freopen("/dev/null", "w", stderr) || /* its progress, and the one */
        bench_ask(argv, said, sizeof said) != 1)
        return 1;
    for (const char *s = said; (s = strchr(s, '\n')) != NULL; s++)
        rows++;
    return rows == PHOTOS * PHOTO_SKEINS + 1 ? 0 : 1;
}

static int one_core(void)
{
    return measure("1");
}

static int two_cores(void)
{
    return measure("2");
}

const struct bench_job job_list = {
    .name = "list",
    .title = "a folder of 24 photos of 12 Mpx and a spoiled one, the card and "
             "three skeins of each",
    .prepare = prepare,
    .step = {{"on one core", one_core}, {"on two cores", two_cores}},
    .reach = {{"photos a second on two cores, of those on one", 1, 0,
               BENCH_WALL, true, 1.5, NULL}},
};
