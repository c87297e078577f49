/*
 * Draws photographs of dyed yarn beside a grey card, and writes down the truth
 * about them. Run by the build and by tests:
 *
 *     scene [--masks] LOTS OUTDIR FILE.scene...
 *     scene [--masks] --set KIND --count N --seed S OUTDIR
 *     scene --compare A.jpg B.jpg
 *
 * The first two write OUTDIR/NAME.jpg and OUTDIR/truth.csv; with --masks, in
 * place of both, OUTDIR/NAME.pgm, whose grey says what lies where (scene.h).
 * The format of a scene file is in fixtures/README.md.
 */
#include <errno.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "scene/scene.h"

void die(const char *where, const char *what)
{
    fprintf(stderr, "scene: %s: %s\n", where, what);
    exit(1);
}

static void truth_head(FILE *truth)
{
    fputs("file,skein,x,y,w,h,L,a,b,card_x,card_y,card_w,card_h,card_L,card_a,"
          "card_b,even_light,tone_curve\n",
          truth);
}

static void truth_rows(const struct scene *s, const struct picture *drawn,
                       FILE *truth)
{
    struct place card = card_box(s);
    struct lab grey = lab_from_light(picture_mean(drawn, card));

    for (size_t i = 0; i < s->skeins; i++) {
        struct place box = skein_box(&s->skein[i]);
        struct lab lab = lab_from_light(picture_mean(drawn, box));

        const struct lab *told = &s->skein[i].told;

        fprintf(truth, "%s.jpg,%d,%d,%d,%d,%d,%.3f,%.3f,%.3f,", s->name,
                s->skein[i].number, box.x, box.y, box.w, box.h, lab.L + told->L,
                lab.a + told->a, lab.b + told->b);
        fprintf(truth, "%d,%d,%d,%d,%.3f,%.3f,%.3f,%d,%d\n", card.x, card.y,
                card.w, card.h, grey.L + s->card_told.L,
                grey.a + s->card_told.a, grey.b + s->card_told.b,
                scene_is_even(s), s->tone > 0 || s->power != 1);
    }
}

static void photograph(const struct scene *s, const char *folder, FILE *truth)
{
    struct picture drawn = scene_draw(s);
    unsigned char *rgb;
    char path[4096];

    truth_rows(s, &drawn, truth);
    rgb = camera_expose(s, &drawn);
    snprintf(path, sizeof path, "%s/%s.jpg", folder, s->name);
    jpeg_save(s, rgb, path);
    free(rgb);
    free(drawn.at);
}

static void mask(const struct scene *s, const char *folder)
{
    char path[4096];
    FILE *f;

    snprintf(path, sizeof path, "%s/%s.pgm", folder, s->name);
    f = fopen(path, "w");
    if (!f)
        die(path, strerror(errno));
    fprintf(f, "P5 %d %d 255\n", s->width, s->height);
    for (int y = 0; y < s->height; y++)
        for (int x = 0; x < s->width; x++)
            putc(scene_thing(s, x + 0.5, y + 0.5), f);
    if (ferror(f) || fclose(f))
        die(path, "cannot be written");
}

/* truth is NULL where only the mask is wanted. */
static void take(const struct scene *s, const char *folder, FILE *truth)
{
    if (truth)
        photograph(s, folder, truth);
    else
        mask(s, folder);
}

static FILE *truth_open(const char *folder)
{
    char path[4096];
    FILE *truth;

    snprintf(path, sizeof path, "%s/truth.csv", folder);
    truth = fopen(path, "w");
    if (!truth)
        die(path, strerror(errno));
    truth_head(truth);
    return truth;
}

static void truth_close(FILE *truth)
{
    if (truth && (ferror(truth) || fclose(truth)))
        die("truth.csv", "cannot be written");
}

static int draw_files(int count, char **arg, bool masks)
{
    struct lots lots = lots_read(arg[0]);
    FILE *truth = masks ? NULL : truth_open(arg[1]);

    for (int i = 2; i < count; i++) {
        struct scene s = scene_read(arg[i], &lots);

        take(&s, arg[1], truth);
    }
    truth_close(truth);
    free(lots.lot);
    return 0;
}

static int draw_set(const char *kind, int count, uint64_t seed,
                    const char *folder, bool masks)
{
    FILE *truth = masks ? NULL : truth_open(folder);
    struct scene s[SCENE_PHOTOS];
    size_t n;

    for (int i = 1; i <= count; i++) {
        if (!scene_random(kind, seed, i, s, &n))
            die(kind, "no such set: even, varied, repeat, apart, camera "
                      "or stated");
        for (size_t j = 0; j < n; j++)
            take(&s[j], folder, truth);
    }
    truth_close(truth);
    return 0;
}

int main(int argc, char **argv)
{
    const bool masks = argc > 1 && !strcmp(argv[1], "--masks");

    if (argc == 4 && !strcmp(argv[1], "--compare"))
        return jpeg_compare(argv[2], argv[3]);
    argc -= masks;
    argv += masks;
    if (argc == 8 && !strcmp(argv[1], "--set") && !strcmp(argv[3], "--count") &&
        !strcmp(argv[5], "--seed"))
        return draw_set(argv[2], (int)strtol(argv[4], NULL, 10),
                        strtoull(argv[6], NULL, 10), argv[7], masks);
    if (argc > 3 && argv[1][0] != '-')
        return draw_files(argc - 1, argv + 1, masks);
    die("usage", "scene [--masks] LOTS OUTDIR FILE.scene... | [--masks] --set "
                 "KIND --count N --seed S OUTDIR | --compare A.jpg B.jpg");
}
