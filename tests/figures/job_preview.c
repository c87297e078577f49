/* The small copies of a photo that the page shows, made once for each photo. */
#include "bench.h"

#include <stdio.h>
#include <stdlib.h>

#include "photo.h"
#include "photo/preview.h"

static struct photo_drawn small, large;

static void prepare(const char *folder)
{
    (void)folder;
    photo_draw(&small, 12);
    photo_draw(&large, 48);
}

static int preview(const char *path)
{
    unsigned char *data = NULL, *jpeg = NULL;
    struct error err;
    size_t size, jpeg_size;
    const bool ok = file_load(path, PHOTO_MAX_BYTES, &data, &size, &err) &&
                    photo_preview(data, size, 480, &jpeg, &jpeg_size, &err);

    free(jpeg);
    free(data);
    return ok ? 0 : 1;
}

static int decode_12(void)
{
    return photo_decode_all(small.path);
}

static int preview_12(void)
{
    return preview(small.path);
}

static int decode_48(void)
{
    return photo_decode_all(large.path);
}

static int preview_48(void)
{
    return preview(large.path);
}

const struct bench_job job_preview = {
    .name = "preview",
    .title = "a copy of 480 pixels for the page, in this process",
    .prepare = prepare,
    .step = {{"12 Mpx: libjpeg-turbo decodes every row", decode_12},
             {"12 Mpx: the copy", preview_12},
             {"48 Mpx: libjpeg-turbo decodes every row", decode_48},
             {"48 Mpx: the copy", preview_48}},
    .reach = {{"12 Mpx, of the decode", 1, 0, BENCH_CPU, false, 0.85, NULL},
              {"48 Mpx, of the decode", 3, 2, BENCH_CPU, false, 0.85, NULL}},
};
