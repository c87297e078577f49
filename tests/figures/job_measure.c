/*
 * Measuring a photograph of 12 million pixels with a card and three skeins,
 * as a dyer does: a whole process, its start and the reading of the file too.
 * The yardstick is what nobody can do without: every row decoded.
 */
#include "bench.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <jpeglib.h>

#include "truth_support.h"

enum { SKEINS = 3 };

static char photo[512];
static char card_box[64], card_lab[64], region[SKEINS][64];
static char card_tap[64], tap[SKEINS][64]; /* the middles of the boxes */

static void print_box(char out[64], const struct table *t, size_t row,
                      const char *prefix)
{
    const struct box b = table_box(t, row, prefix);

    snprintf(out, 64, "%lld,%lld,%lld,%lld", (long long)b.x, (long long)b.y,
             (long long)b.w, (long long)b.h);
}

static void print_middle(char out[64], const struct table *t, size_t row,
                         const char *prefix)
{
    const struct box b = table_box(t, row, prefix);

    snprintf(out, 64, "%.0f,%.0f", (double)b.x + (double)b.w / 2,
             (double)b.y + (double)b.h / 2);
}

static void prepare(const char *folder)
{
    const char *const draw[] = {bench_program("scene"), "fixtures/lots.csv",
                                folder, "tests/figures/twelve.scene", NULL};
    char path[512];
    struct table t;
    struct lab card;

    bench_run(draw);
    snprintf(photo, sizeof photo, "%s/twelve.jpg", folder);
    snprintf(path, sizeof path, "%s/truth.csv", folder);
    t = table_read_path(path);
    if (t.rows != SKEINS)
        fail_msg("%s has not %d skeins", path, SKEINS);
    print_box(card_box, &t, 0, "card_");
    card = table_lab(&t, 0, "card_");
    snprintf(card_lab, sizeof card_lab, "%.3f,%.3f,%.3f", card.L, card.a,
             card.b);
    for (size_t i = 0; i < SKEINS; i++)
        print_box(region[i], &t, i, "");
    print_middle(card_tap, &t, 0, "card_");
    for (size_t i = 0; i < SKEINS; i++)
        print_middle(tap[i], &t, i, "");
    table_clear(&t);
}

/* libjpeg's own error handler ends this process, which is what is wanted. */
static int decode(void)
{
    struct jpeg_decompress_struct jpeg;
    struct jpeg_error_mgr errors;
    FILE *f = fopen(photo, "rb");
    JSAMPARRAY row;

    if (!f)
        return 1;
    jpeg.err = jpeg_std_error(&errors);
    jpeg_create_decompress(&jpeg);
    jpeg_stdio_src(&jpeg, f);
    jpeg_read_header(&jpeg, TRUE);
    jpeg_start_decompress(&jpeg);
    row = jpeg.mem->alloc_sarray((j_common_ptr)&jpeg, JPOOL_IMAGE,
                                 3 * jpeg.output_width, 1);
    while (jpeg.output_scanline < jpeg.output_height)
        jpeg_read_scanlines(&jpeg, row, 1);
    jpeg_finish_decompress(&jpeg);
    jpeg_destroy_decompress(&jpeg);
    fclose(f);
    return 0;
}

static int measure(void)
{
    const char *program = bench_program("hanklab");

    execl(program, program, "measure", photo, "--card-box", card_box,
          "--card-lab", card_lab, "--region", region[0], "--region", region[1],
          "--region", region[2], "--json", (char *)NULL);
    return 1;
}

static int measure_taps(void)
{
    const char *program = bench_program("hanklab");

    execl(program, program, "measure", photo, "--card-tap", card_tap,
          "--card-lab", card_lab, "--tap", tap[0], "--tap", tap[1], "--tap",
          tap[2], "--json", (char *)NULL);
    return 1;
}

static int propose(void)
{
    const char *program = bench_program("hanklab");

    execl(program, program, "measure", photo, "--auto", (char *)NULL);
    return 1;
}

static int djpeg(void)
{
    execlp("djpeg", "djpeg", "-outfile", "/dev/null", photo, (char *)NULL);
    return BENCH_NOT_THERE;
}

const struct bench_job job_measure = {
    .name = "measure",
    .title = "a photo of 4000 x 3000 pixels, one card, three skeins",
    .prepare = prepare,
    .step = {{"libjpeg-turbo decodes every row, and no more", decode},
             {"hanklab measure, the whole process", measure},
             {"the same with four taps for the boxes", measure_taps},
             {"hanklab measure --auto, which only looks", propose},
             {"djpeg to nothing, the whole process", djpeg}},
};
