/* A folder of photos whose regions a list says, on one core and on two, with
 * how far it is on a terminal. One of them is spoiled, which stops none. */
#include "bench.h"

#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "photo.h"

/* So many measured, drawn in so many sizes, the largest of so many Mpx. */
enum { PHOTOS = 200, SIZES = 5, MPX = 12, ROW = 256 };

static char list[512], card[64]; /* its colour, in each of them */

/* "1.jpg,region,496,368,160,200" */
static void add_row(FILE *to, int n, const char *what, const char *box)
{
    fprintf(to, "%d.jpg,%s,%s\n", n, what, box);
}

static void prepare(const char *folder)
{
    static struct photo_drawn size[SIZES];
    char path[600];
    FILE *to, *spoiled;

    for (int i = 0; i < SIZES; i++)
        photo_draw(&size[i], MPX - i);
    snprintf(card, sizeof card, "%s", size[0].card_lab);
    snprintf(list, sizeof list, "%s/list.csv", folder);
    to = bench_open(list, "w");
    fputs("photo,what,x,y,w,h\n", to);
    for (int n = 0; n <= PHOTOS; n++) {
        const struct photo_drawn *photo = &size[n % SIZES];
        snprintf(path, sizeof path, "%s/%d.jpg", folder, n);
        if (n == PHOTOS / 2) {
            spoiled = bench_open(path, "w");
            fputs("no photo", spoiled);
            fclose(spoiled);
        } else {
            bench_run(
                (const char *const[]){"/bin/cp", photo->path, path, NULL});
        }
        add_row(to, n, "card", photo->card_box);
        for (int i = 0; i < PHOTO_SKEINS; i++)
            add_row(to, n, "region", photo->box[i]);
    }
    if (fclose(to))
        bench_die(list, "cannot be written");
}

/* All but the spoiled one are measured, a row each region, and what is said to
 * a terminal has the last of the progress in it. */
static int measure(const char *cores)
{
    static char said[ROW * PHOTOS * (PHOTO_SKEINS + 1)];
    char terminal[512], program[512], last[64];
    const char *const argv[] = {terminal,  program,      "measure", "--list",
                                list,      "--card-lab", card,      "--csv",
                                "--cores", cores,        NULL};
    int rows = 0;

    snprintf(terminal, sizeof terminal, "%s", bench_program("terminal"));
    snprintf(program, sizeof program, "%s", bench_program("hanklab"));
    snprintf(last, sizeof last, "%d of %d photos", PHOTOS + 1, PHOTOS + 1);
    if (bench_ask(argv, said, sizeof said) != 1 || !strstr(said, last))
        return 1;
    for (const char *s = said; (s = strstr(s, ", region ")) != NULL; s++)
        rows++;
    return rows == PHOTOS * PHOTO_SKEINS ? 0 : 1;
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
    .title = "a folder of 200 photos of 8 to 12 Mpx and a spoiled one, the "
             "card and three skeins of each",
    .prepare = prepare,
    .step = {{"on one core", one_core}, {"on two cores", two_cores}},
    .reach = {{"photos a second on two cores, of those on one", 1, 0,
               BENCH_WALL, true, 1.5, NULL}},
};
