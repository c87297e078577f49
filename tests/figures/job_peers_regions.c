/*
 * Three skeins of a photograph measured by what others have for it: a script
 * with a library, or a command line. They know of no card, so that their
 * answers are held against ours without it.
 */
#include "bench.h"

#include <math.h>
#include <stdio.h>

#include "base/mem.h"
#include "peer.h"
#include "photo.h"

/* CIEDE2000. Ours is a mean of light and leaves the border of a box out; a mean
 * of L*, a* and b* is up to a unit from that (docs/colour.md). */
#define SAME 1.5

static struct photo_drawn photo;

/* clang-format off */
#define BOXES photo.path, photo.box[0], photo.box[1], photo.box[2], NULL
static const char *const imagecms[] = {
    PEER_PYTHON, "tests/figures/peers/regions_imagecms.py", BOXES};
static const char *const numpy[] = {
    PEER_PYTHON, "tests/figures/peers/regions_numpy.py", BOXES};
static const char *const sharp[] = {
    PEER_NODE, "tests/figures/peers/regions_sharp.js", BOXES};
static const char *const culori[] = {
    PEER_NODE, "tests/figures/peers/regions_culori.js", BOXES};
static const char *const magick[] = {
    "/bin/sh", "tests/figures/peers/regions_magick.sh", BOXES};
static const char *const vips[] = {
    "/bin/sh", "tests/figures/peers/regions_vips.sh", BOXES};
/* clang-format on */

static struct peer peer[] = {
    {"Pillow and ImageCms, 8 bits", "python3-pil"},
    {"Pillow and numpy, the profile's matrix typed in",
     "python3-pil, python3-numpy"},
    {"sharp, to Lab", PEER_NPM},
    {"sharp and culori, pixel by pixel", PEER_NPM},
    {"ImageMagick, -colorspace Lab", "imagemagick"},
    {"vips, icc_import, nine commands", "libvips-tools"},
};

static void check(struct peer *p, const char *const argv[],
                  const struct lab ours[PHOTO_SKEINS])
{
    struct lab theirs[PHOTO_SKEINS];
    double most = 0;

    if (!photo_colours_said(argv, theirs)) {
        peer_not_there(p);
        return;
    }
    for (size_t i = 0; i < PHOTO_SKEINS; i++)
        most = fmax(most, lab_de00(ours[i], theirs[i]));
    if (most <= SAME)
        peer_note(p, true, "the same colours, %.2f CIEDE2000 apart at most",
                  most);
    else
        peer_note(p, false, "gives other colours, by up to %.1f CIEDE2000",
                  most);
}

static void prepare(const char *folder)
{
    struct lab ours[PHOTO_SKEINS];

    (void)folder;
    photo_draw(&photo, 12);
    photo_colours(&photo, ours);
    for (size_t i = 0; i < ARRAY_LEN(peer); i++)
        check(&peer[i], job_peers_regions.step[1 + i].argv, ours);
}

static int measure(void)
{
    return photo_boxes(&photo, photo.path, true);
}

static void tell(void)
{
    peers_tell(peer, ARRAY_LEN(peer));
}

const struct bench_job job_peers_regions = {
    .name = "peers",
    .title = "three skeins of a photo of 4000 x 3000 pixels, whole processes",
    .prepare = prepare,
    .step = {{"hanklab measure, four boxes: with the card", measure},
             {peer[0].row, .argv = imagecms},
             {peer[1].row, .argv = numpy},
             {peer[2].row, .argv = sharp},
             {peer[3].row, .argv = culori},
             {peer[4].row, .argv = magick},
             {peer[5].row, .argv = vips}},
    .tell = tell,
    .reach = {{"hanklab measure, of Pillow and ImageCms", 0, 1, BENCH_CPU,
               false, 0.25, NULL}},
};
