/* Photographs for the bench. See photo.h. */
#include "photo.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include <jpeglib.h>

#include "base/mem.h"
#include "base/text.h"
#include "bench.h"
#include "cli/cli.h"
#include "measure/measure.h"
#include "truth_support.h"

#define SCENE "tests/figures/twelve.scene"
#define SCENE_MPX 12.0

/* ---- drawing ------------------------------------------------------------- */

/* Which words of a line are lengths in pixels, the keyword being 0. */
static const struct {
    const char *word;
    bool is[8];
} lengths[] = {
    {"size", {[1] = true, [2] = true}},
    {"card", {[1] = true, [2] = true, [3] = true, [4] = true}},
    {"skein", {[2] = true, [3] = true, [4] = true, [5] = true, [7] = true}},
};

static void scale_line(const char *line, double by, FILE *out)
{
    const bool *is = NULL;
    char words[256], *next = words, *word;

    snprintf(words, sizeof words, "%s", line);
    for (size_t i = 0; i < ARRAY_LEN(lengths); i++)
        if (!strncmp(line, lengths[i].word, strlen(lengths[i].word)) &&
            line[strlen(lengths[i].word)] == ' ')
            is = lengths[i].is;
    if (!is) {
        fputs(line, out);
        return;
    }
    for (int i = 0; (word = strtok_r(next, " \n", &next)) != NULL; i++)
        if (i < 8 && is[i])
            fprintf(out, "%s%.0f", i ? " " : "", strtod(word, NULL) * by);
        else
            fprintf(out, "%s%s", i ? " " : "", word);
    putc('\n', out);
}

/* The scene with all its lengths so many times as long; the yarn's strands
 * stay as many. */
static void scene_scale(const char *to, double by)
{
    FILE *in = bench_open(SCENE, "r"), *out = bench_open(to, "w");
    char line[256];

    while (fgets(line, sizeof line, in))
        scale_line(line, by, out);
    fclose(in);
    if (fclose(out))
        bench_die(to, "cannot be written");
}

static void print_box(char out[64], char tap[64], const struct table *t,
                      size_t row, const char *prefix)
{
    const struct box b = table_box(t, row, prefix);

    snprintf(out, 64, "%lld,%lld,%lld,%lld", (long long)b.x, (long long)b.y,
             (long long)b.w, (long long)b.h);
    snprintf(tap, 64, "%.0f,%.0f", (double)b.x + (double)b.w / 2,
             (double)b.y + (double)b.h / 2);
}

static void read_truth(struct photo_drawn *out, const char *path)
{
    struct table t = table_read_path(path);
    struct lab card;

    if (t.rows != PHOTO_SKEINS)
        bench_die(path, "has not three skeins");
    print_box(out->card_box, out->card_tap, &t, 0, "card_");
    card = table_lab(&t, 0, "card_");
    snprintf(out->card_lab, sizeof out->card_lab, "%.3f,%.3f,%.3f", card.L,
             card.a, card.b);
    for (size_t i = 0; i < PHOTO_SKEINS; i++)
        print_box(out->box[i], out->tap[i], &t, i, "");
    table_clear(&t);
}

static void save_progressively(const char *folder)
{
    char from[450], to[450], said[100];
    const char *const argv[] = {"jpegtran", "-copy", "all", "-progressive",
                                "-outfile", to,      from,  NULL};

    snprintf(from, sizeof from, "%s/photo.jpg", folder);
    snprintf(to, sizeof to, "%s/progressive.jpg", folder);
    bench_ask(argv, said, sizeof said);
}

/* Drawn by this build already. Larger ones take a minute. */
static bool is_drawn(const char *path, struct stat *st)
{
    struct stat tool;

    return !stat(path, st) && !stat(bench_program("scene"), &tool) &&
           st->st_mtime >= tool.st_mtime;
}

static void draw_anew(const char *folder, double mpx)
{
    char scene[420], begun[400], tool[512];
    const char *const clear[] = {"/bin/rm", "-rf", folder, begun, NULL};
    const char *const make[] = {"/bin/mkdir", "-p", begun, NULL};
    const char *const draw[] = {tool, "fixtures/lots.csv", begun, scene, NULL};

    snprintf(begun, sizeof begun, "%s.begun", folder);
    snprintf(scene, sizeof scene, "%s/photo.scene", begun);
    snprintf(tool, sizeof tool, "%s", bench_program("scene"));
    bench_run(clear);
    bench_run(make);
    scene_scale(scene, sqrt(mpx / SCENE_MPX));
    bench_run(draw);
    save_progressively(begun);
    if (rename(begun, folder))
        bench_die(folder, "cannot be made");
}

void photo_draw(struct photo_drawn *out, double mpx)
{
    char folder[300], truth[400];
    struct stat st;

    snprintf(folder, sizeof folder, "%s/photo-%.0f", bench_program("drawn"),
             mpx);
    snprintf(truth, sizeof truth, "%s/truth.csv", folder);
    snprintf(out->path, sizeof out->path, "%s/photo.jpg", folder);
    snprintf(out->progressive, sizeof out->progressive, "%s/progressive.jpg",
             folder);
    if (!is_drawn(out->path, &st))
        draw_anew(folder, mpx);
    read_truth(out, truth);
    if (stat(out->path, &st))
        bench_die(out->path, "was not drawn");
    out->mb = (double)st.st_size / 1e6;
    /* Two bytes each; two of four chroma samples are not there (4:2:0). */
    out->coefficients_mb = mpx * 1.5 * 2;
}

/* ---- steps --------------------------------------------------------------- */

/* libjpeg's own error handler ends this process, which is what is wanted. */
int photo_decode_all(const char *path)
{
    struct jpeg_decompress_struct jpeg;
    struct jpeg_error_mgr errors;
    FILE *f = fopen(path, "rb");
    JSAMPARRAY row;

    if (!f)
        return BENCH_NOT_THERE;
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

/* The command in this process, or a process of its own in this one's place. */
static int hanklab(const char *path, const char *const argv[], bool whole)
{
    int n = 0;

    if (access(path, R_OK))
        return BENCH_NOT_THERE;
    while (argv[n])
        n++;
    if (!whole)
        return cli_main(n, (char **)argv);
    execv(bench_program("hanklab"), (char *const *)argv);
    return 1;
}

int photo_boxes(const struct photo_drawn *p, const char *path, bool whole)
{
    return hanklab(path,
                   (const char *const[]){"hanklab", "measure", path,
                                         "--card-box", p->card_box,
                                         "--card-lab", p->card_lab, "--region",
                                         p->box[0], "--region", p->box[1],
                                         "--region", p->box[2], "--json", NULL},
                   whole);
}

int photo_taps(const struct photo_drawn *p, const char *path, bool whole)
{
    return hanklab(path,
                   (const char *const[]){
                       "hanklab", "measure", path, "--card-tap", p->card_tap,
                       "--card-lab", p->card_lab, "--tap", p->tap[0], "--tap",
                       p->tap[1], "--tap", p->tap[2], "--json", NULL},
                   whole);
}

int photo_propose(const struct photo_drawn *p, bool whole)
{
    return hanklab(
        p->path,
        (const char *const[]){"hanklab", "measure", p->path, "--auto", NULL},
        whole);
}

/* ---- colours ------------------------------------------------------------- */

static struct box box_of(const char *words)
{
    double v[4];

    if (!text_reals(words, v, 4))
        bench_die(words, "is no box");
    return (struct box){(int64_t)v[0], (int64_t)v[1], (int64_t)v[2],
                        (int64_t)v[3]};
}

void photo_colours(const struct photo_drawn *p, struct lab out[PHOTO_SKEINS])
{
    struct measure_result *result = mem_new(1, sizeof *result);
    struct box box[PHOTO_SKEINS];
    struct measure_request r = {.card_box = box_of(p->card_box),
                                .card = measure_card_unknown(),
                                .region = box,
                                .regions = PHOTO_SKEINS};
    unsigned char *data = NULL;
    struct error err;
    size_t size;

    for (size_t i = 0; i < PHOTO_SKEINS; i++)
        box[i] = box_of(p->box[i]);
    if (!file_load(p->path, PHOTO_MAX_BYTES, &data, &size, &err) ||
        !measure_jpeg(data, size, &r, result, &err))
        bench_die(p->path, err.text);
    for (size_t i = 0; i < PHOTO_SKEINS; i++)
        out[i] = result->region[i].uncorrected;
    free(data);
    free(result);
}

bool photo_colours_said(const char *const argv[], struct lab out[PHOTO_SKEINS])
{
    char said[512], *next = said, *line;
    const int status = bench_ask(argv, said, sizeof said);
    double v[3];

    if (status == BENCH_NOT_THERE)
        return false;
    for (size_t i = 0; i < PHOTO_SKEINS; i++) {
        line = strtok_r(next, "\n", &next);
        if (status != 0 || !line || !text_reals(line, v, 3))
            bench_die(argv[1], "did not measure");
        out[i] = (struct lab){v[0], v[1], v[2]};
    }
    return true;
}
