/* How measuring grows with the photograph, from 2 to 48 million pixels. */
#include "bench.h"

#include "photo.h"

enum { SIZES = 5 };

static const double sizes[SIZES] = {2, 6, 12, 24, 48};
static struct photo_drawn photo[SIZES];

static void prepare(const char *folder)
{
    (void)folder;
    for (int i = 0; i < SIZES; i++)
        photo_draw(&photo[i], sizes[i]);
}

/* A step is a function without arguments: three for each size. */
#define STEPS_OF(i)                                                            \
    static int decode_##i(void)                                                \
    {                                                                          \
        return photo_decode_all(photo[i].path);                                \
    }                                                                          \
    static int boxes_##i(void)                                                 \
    {                                                                          \
        return photo_boxes(&photo[i], photo[i].path, false);                   \
    }                                                                          \
    static int taps_##i(void)                                                  \
    {                                                                          \
        return photo_taps(&photo[i], photo[i].path, false);                    \
    }

STEPS_OF(0)
STEPS_OF(1)
STEPS_OF(2)
STEPS_OF(3)
STEPS_OF(4)

#define NAMED(i, mpx)                                                          \
    {mpx " Mpx, decoded", decode_##i}, {mpx " Mpx, boxes", boxes_##i},         \
    {                                                                          \
        mpx " Mpx, taps", taps_##i                                             \
    }
#define POINTS(mpx)                                                            \
    {"decoded", mpx}, {"boxes", mpx},                                          \
    {                                                                          \
        "taps", mpx                                                            \
    }

static const struct bench_growth growth = {
    .title = "Measuring one photo: processor time, 1 being the decoding of "
             "the smallest",
    .along = "million pixels",
    .point = {POINTS(2), POINTS(6), POINTS(12), POINTS(24), POINTS(48)},
};

const struct bench_job job_growth = {
    .name = "photo-growth",
    .title = "one card and three skeins, the larger the photo",
    .prepare = prepare,
    .step = {NAMED(0, "2"), NAMED(1, "6"), NAMED(2, "12"), NAMED(3, "24"),
             NAMED(4, "48")},
    .growth = &growth,
};
