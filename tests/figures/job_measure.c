/*
 * Measuring a photograph with a card and three skeins, as a dyer does, the
 * reading of the file and the answer in JSON too, nothing kept: in this
 * process, and as a program that starts for it. The yardstick is what nobody
 * can do without: every row decoded.
 */
#include "bench.h"

#include <math.h>
#include <stdio.h>
#include <unistd.h>

#include "colour/lab.h"
#include "peer.h"
#include "photo.h"

static struct photo_drawn photo;
/* clang-format off */
static const char *const pillow[] = {
    PEER_PYTHON, "tests/figures/peers/regions_imagecms.py", photo.path,
    photo.box[0], photo.box[1], photo.box[2], NULL};
/* clang-format on */

static void prepare_12(const char *folder)
{
    (void)folder;
    photo_draw(&photo, 12);
}

static void prepare_48(const char *folder)
{
    (void)folder;
    photo_draw(&photo, 48);
}

static int decode(void)
{
    return photo_decode_all(photo.path);
}

static int boxes(void)
{
    return photo_boxes(&photo, photo.path, false);
}

static int taps(void)
{
    return photo_taps(&photo, photo.path, false);
}

static int propose(void)
{
    return photo_propose(&photo, false);
}

static int whole_boxes(void)
{
    return photo_boxes(&photo, photo.path, true);
}

static int whole_taps(void)
{
    return photo_taps(&photo, photo.path, true);
}

static int djpeg(void)
{
    execlp("djpeg", "djpeg", "-outfile", "/dev/null", photo.path, (char *)NULL);
    return BENCH_NOT_THERE;
}

static int progressive_decode(void)
{
    return photo_decode_all(photo.progressive);
}

static int progressive_boxes(void)
{
    return photo_boxes(&photo, photo.progressive, true);
}

static int progressive_taps(void)
{
    return photo_taps(&photo, photo.progressive, true);
}

static double file_and_16(void)
{
    return photo.mb + 16;
}

static double coefficients_and_24(void)
{
    return photo.coefficients_mb + 24;
}

/* ---- whether both are right -----------------------------------------------
 */

/* Ours adds up light and leaves the border of a box out; a mean of L*, a* and
 * b*, each of 8 bits, is up to a unit from that (docs/colour.md). */
static void tell(void)
{
    struct lab ours[PHOTO_SKEINS], theirs[PHOTO_SKEINS];
    double most = 0;

    printf("\nThe file has %.1f MB. ", photo.mb);
    if (!photo_colours_said(pillow, theirs)) {
        puts("Pillow with ImageCms is not installed (python3-pil).");
        return;
    }
    photo_colours(&photo, ours);
    for (size_t i = 0; i < PHOTO_SKEINS; i++)
        most = fmax(most, lab_de00(ours[i], theirs[i]));
    printf("Pillow's three colours, a mean of L\\*, a\\* and b\\* of 8 bits, "
           "lie at most %.2f CIEDE2000 from ours without the card.\n",
           most);
    if (most > 1.5)
        bench_die("Pillow", "measured another colour: it is no peer so");
}

enum {
    DECODE,
    BOXES,
    TAPS,
    AUTO,
    WHOLE_BOXES,
    WHOLE_TAPS,
    DJPEG,
    PILLOW,
    PROGRESSIVE_DECODE,
    PROGRESSIVE_BOXES,
    PROGRESSIVE_TAPS
};

/* The same of either size. */
/* clang-format off: a row a line */
#define STEPS                                                                  \
    {                                                                          \
        {"libjpeg-turbo decodes every row, and no more", decode, NULL},        \
            {"measure by four boxes, in the same process", boxes, NULL},       \
            {"by four taps", taps, NULL},                                      \
            {"--auto, which looks for card and skeins", propose, NULL},        \
            {"hanklab measure, four boxes, the whole process", whole_boxes,    \
             NULL},                                                            \
            {"the same, four taps", whole_taps, NULL},                         \
            {"djpeg to nothing", djpeg, NULL},                                 \
            {"Pillow and ImageCms, three regions", .argv = pillow},            \
            {"saved progressively: libjpeg-turbo decodes", progressive_decode, \
             NULL},                                                            \
            {"saved progressively: four boxes, whole", progressive_boxes,      \
             NULL},                                                            \
            {"saved progressively: four taps, whole", progressive_taps, NULL}, \
    }
#define AT_MOST(words, step, than, what, reach)                                \
    {                                                                          \
        words, step, than, what, false, reach, NULL                            \
    }
#define REACHES                                                                \
    {                                                                          \
        AT_MOST("boxes, of the decode", BOXES, DECODE, BENCH_CPU, 1.2),        \
            AT_MOST("taps, of the decode", TAPS, DECODE, BENCH_CPU, 1.8),      \
            AT_MOST("--auto, of the decode", AUTO, DECODE, BENCH_CPU, 1.8),    \
            AT_MOST("whole, boxes, of djpeg", WHOLE_BOXES, DJPEG, BENCH_CPU,   \
                    1.5),                                                      \
            AT_MOST("whole, boxes, of Pillow", WHOLE_BOXES, PILLOW, BENCH_CPU, \
                    0.25),                                                     \
            AT_MOST("progressive, boxes, of its decode", PROGRESSIVE_BOXES,    \
                    PROGRESSIVE_DECODE, BENCH_CPU, 1.2),                       \
            AT_MOST("progressive, taps, of its decode", PROGRESSIVE_TAPS,      \
                    PROGRESSIVE_DECODE, BENCH_CPU, 1.8),                       \
            {"whole, boxes, of the file and 16 MB",                            \
             WHOLE_BOXES,                                                      \
             WHOLE_BOXES,                                                      \
             BENCH_PEAK,                                                       \
             false,                                                            \
             1,                                                                \
             file_and_16},                                                     \
            {"whole, taps, of the file and 16 MB",                             \
             WHOLE_TAPS,                                                       \
             WHOLE_TAPS,                                                       \
             BENCH_PEAK,                                                       \
             false,                                                            \
             1,                                                                \
             file_and_16},                                                     \
            {"progressive, of its coefficients and 24 MB",                     \
             PROGRESSIVE_BOXES,                                                \
             PROGRESSIVE_BOXES,                                                \
             BENCH_PEAK,                                                       \
             false,                                                            \
             1,                                                                \
             coefficients_and_24},                                             \
    }
/* clang-format on */

const struct bench_job job_measure = {
    .name = "measure",
    .title = "a photo of 4000 x 3000 pixels, one card, three skeins",
    .prepare = prepare_12,
    .step = STEPS,
    .tell = tell,
    .reach = REACHES,
};

const struct bench_job job_measure_48 = {
    .name = "measure-48",
    .title = "the same of 8000 x 6000 pixels",
    .prepare = prepare_48,
    .step = STEPS,
    .tell = tell,
    .reach = REACHES,
};
