/* A small copy of a photo. See the header. */
#include "photo/preview.h"

#include <stdio.h> /* jpeglib.h needs it */
#include <stdlib.h>
#include <string.h>

#include <jpeglib.h>

#include "base/mem.h"

#define QUALITY 82 /* of libjpeg's 100: nothing is to be seen of it */

/* The small picture as it is stored, three bytes a pixel. */
struct picture {
    struct photo photo; /* its size and orientation only */
    unsigned char *rgb;
};

static unsigned shrink_to(const struct photo *photo, uint32_t longest)
{
    const uint32_t side =
        photo->width > photo->height ? photo->width : photo->height;
    unsigned shrink = 1;

    while (shrink < 8 && side / shrink > longest)
        shrink *= 2;
    return shrink;
}

static bool take_row(void *self, const unsigned char *rgb, uint32_t y)
{
    struct picture *p = self;
    const size_t n = 3 * (size_t)p->photo.width;

    memcpy(p->rgb + n * y, rgb, n);
    return true;
}

/* Where a pixel of the upright picture begins in the stored one. */
static ptrdiff_t place(const struct photo *photo, int64_t x, int64_t y)
{
    const struct box at = photo_box_stored(photo, (struct box){x, y, 1, 1});

    return (ptrdiff_t)(3 * (at.y * photo->width + at.x));
}

/* Without memory the program ends, as in base/mem.h; nothing else goes wrong
 * with a picture of ours. */
static void on_error(j_common_ptr jpeg)
{
    (void)jpeg;
    abort();
}

static void write_upright(const struct picture *p, const struct photo *photo,
                          unsigned char **out, size_t *out_size)
{
    struct jpeg_compress_struct jpeg = {0};
    struct jpeg_error_mgr errors;
    const ptrdiff_t origin = place(&p->photo, 0, 0);
    unsigned long size = 0;
    uint32_t width, height;
    unsigned char *row;
    ptrdiff_t across, down;

    photo_upright_size(&p->photo, &width, &height);
    across = width > 1 ? place(&p->photo, 1, 0) - origin : 0;
    down = height > 1 ? place(&p->photo, 0, 1) - origin : 0;
    row = mem_new(width, 3);
    jpeg.err = jpeg_std_error(&errors);
    errors.error_exit = on_error;
    jpeg_create_compress(&jpeg);
    jpeg_mem_dest(&jpeg, out, &size);
    jpeg.image_width = width;
    jpeg.image_height = height;
    jpeg.input_components = 3;
    jpeg.in_color_space = JCS_RGB;
    jpeg_set_defaults(&jpeg);
    jpeg_set_quality(&jpeg, QUALITY, TRUE);
    jpeg_start_compress(&jpeg, TRUE);
    if (photo->icc)
        jpeg_write_icc_profile(&jpeg, photo->icc, (unsigned)photo->icc_size);
    for (uint32_t y = 0; y < height; y++) {
        const unsigned char *from = p->rgb + origin + down * (ptrdiff_t)y;

        for (uint32_t x = 0; x < width; x++, from += across)
            memcpy(row + 3 * (size_t)x, from, 3);
        jpeg_write_scanlines(&jpeg, &row, 1);
    }
    jpeg_finish_compress(&jpeg);
    jpeg_destroy_compress(&jpeg);
    free(row);
    *out_size = size;
}

bool photo_preview(const unsigned char *data, size_t size, uint32_t longest,
                   unsigned char **out, size_t *out_size, struct error *err)
{
    struct photo photo = {0};
    struct photo_decoded decoded;
    struct picture p = {0};
    unsigned shrink;
    bool ok;

    *out = NULL;
    if (!photo_open(data, size, &photo, err))
        return false;
    shrink = shrink_to(&photo, longest);
    p.photo.width = (photo.width + shrink - 1) / shrink;
    p.photo.height = (photo.height + shrink - 1) / shrink;
    p.photo.orientation = photo.orientation;
    p.rgb = mem_new((size_t)p.photo.width * p.photo.height, 3);
    ok = photo_decode_small(&photo, data, size, shrink, take_row, &p, &decoded,
                            err);
    if (ok)
        write_upright(&p, &photo, out, out_size);
    free(p.rgb);
    photo_clear(&photo);
    return ok;
}
