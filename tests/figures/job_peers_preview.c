/* The small copy of a photograph that a page shows, by what others have for
 * it. */
#include "bench.h"

#include <stdio.h>
#include <stdlib.h>

#include "base/mem.h"
#include "colour/icc.h"
#include "peer.h"
#include "photo.h"
#include "photo/photo.h"

/* Ours is an eighth of the photo, which libjpeg makes by itself. */
enum { LONGEST = 480, LONGEST_OF_OURS = 500 };
/* CIEDE2000 of the pictures' mean: how they are made smaller, 8 bits, and of
 * some a change to sRGB. */
#define SAME 1.0

enum { OURS, MAGICK, VIPS, SHARP, PILLOW, COPIES };

static struct photo_drawn photo;
static char small[512], copy[COPIES][512], vips_copy[520];

/* clang-format off */
static const char *const ours[] = {small, photo.path, "480", copy[OURS], NULL};
static const char *const magick[] = {
    "/usr/bin/convert", "-define", "jpeg:size=960x960", photo.path,
    "-auto-orient", "-thumbnail", "480x480", "-quality", "82", copy[MAGICK],
    NULL};
static const char *const vips[] = {
    "vipsthumbnail", photo.path, "--size", "480", "-o", vips_copy, NULL};
static const char *const sharp[] = {
    PEER_NODE, "tests/figures/peers/preview_sharp.js", photo.path, copy[SHARP],
    NULL};
static const char *const pillow[] = {
    PEER_PYTHON, "tests/figures/peers/preview_pillow.py", photo.path,
    copy[PILLOW], NULL};
/* clang-format on */

static struct peer peer[COPIES] = {
    [OURS] = {"ours, in a program of its own", ""},
    [MAGICK] = {"ImageMagick, -thumbnail, jpeg:size said", "imagemagick"},
    [VIPS] = {"vipsthumbnail", "libvips-tools"},
    [SHARP] = {"sharp, resize", PEER_NPM},
    [PILLOW] = {"Pillow, draft and thumbnail", "python3-pil"},
};

/* ---- what a copy looks like ---------------------------------------------- */

struct mean {
    uint32_t width;
    struct icc *icc;
    struct xyz *row, sum;
};

static bool add_row(void *self, const unsigned char *rgb, uint32_t y)
{
    struct mean *m = self;

    (void)y;
    icc_to_xyz(m->icc, rgb, m->row, m->width);
    for (uint32_t x = 0; x < m->width; x++) {
        m->sum.X += m->row[x].X;
        m->sum.Y += m->row[x].Y;
        m->sum.Z += m->row[x].Z;
    }
    return true;
}

/* By its own profile; without, it is sRGB. Its longer side in pixels. */
static uint32_t look(const char *path, struct lab *mean)
{
    unsigned char *data = NULL;
    struct photo p = {0};
    struct photo_decoded decoded;
    struct mean m = {0};
    struct error err;
    uint32_t longest;
    size_t size;
    double n;

    if (!file_load(path, PHOTO_MAX_BYTES, &data, &size, &err) ||
        !photo_open(data, size, &p, &err))
        bench_die(path, err.text);
    if (p.icc_state != PHOTO_ICC_WHOLE)
        m.icc = icc_open_builtin(ICC_SRGB);
    else if (!icc_open(p.icc, p.icc_size, &m.icc, &err))
        bench_die(path, err.text);
    m.width = p.width;
    m.row = mem_new(p.width, sizeof *m.row);
    if (!photo_decode(&p, data, size, add_row, &m, &decoded, &err))
        bench_die(path, err.text);
    n = (double)p.width * p.height;
    *mean = lab_from_xyz((struct xyz){m.sum.X / n, m.sum.Y / n, m.sum.Z / n});
    icc_close(m.icc);
    free(m.row);
    free(data);
    longest = p.width > p.height ? p.width : p.height;
    photo_clear(&p);
    return longest;
}

static void check(int i, struct lab right)
{
    const char *const *argv = job_peers_preview.step[i].argv;
    struct peer *p = &peer[i];
    char said[256];
    const int status = bench_ask(argv, said, sizeof said);
    struct lab mean;
    uint32_t longest;
    double apart;

    if (status == BENCH_NOT_THERE) {
        peer_not_there(p);
        return;
    }
    if (status != 0)
        bench_die(p->name, "made no copy");
    longest = look(copy[i], &mean);
    apart = lab_de00(right, mean);
    peer_note(p,
              apart <= SAME && longest >= LONGEST && longest <= LONGEST_OF_OURS,
              "%u pixels, its mean colour %.2f CIEDE2000 from the photo's",
              (unsigned)longest, apart);
}

static void prepare(const char *folder)
{
    struct lab right;

    photo_draw(&photo, 12);
    snprintf(small, sizeof small, "%s", bench_program("small"));
    for (int i = 0; i < COPIES; i++)
        snprintf(copy[i], sizeof copy[i], "%s/%d.jpg", folder, i);
    snprintf(vips_copy, sizeof vips_copy, "%s[Q=82]", copy[VIPS]);
    look(photo.path, &right);
    for (int i = 0; i < COPIES; i++)
        check(i, right);
}

static void tell(void)
{
    peers_tell(peer, COPIES);
}

const struct bench_job job_peers_preview = {
    .name = "peers",
    .title = "a copy of 480 pixels of that photo, whole processes",
    .prepare = prepare,
    .step = {[OURS] = {peer[OURS].row, .argv = ours},
             [MAGICK] = {peer[MAGICK].row, .argv = magick},
             [VIPS] = {peer[VIPS].row, .argv = vips},
             [SHARP] = {peer[SHARP].row, .argv = sharp},
             [PILLOW] = {peer[PILLOW].row, .argv = pillow}},
    .tell = tell,
};
