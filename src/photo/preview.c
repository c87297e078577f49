/* A small copy of a photo. See the header. */
#include "photo/preview.h"

#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "photo/write.h"

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

static void write_upright(const struct picture *p, const struct photo *photo,
                          unsigned char **out, size_t *out_size)
{
    struct photo_written what = {.orientation = 1,
                                 .quality = QUALITY,
                                 .icc = photo->icc,
                                 .icc_size = photo->icc_size};
    const ptrdiff_t origin = place(&p->photo, 0, 0);
    struct photo_writer *writer;
    unsigned char *row;
    ptrdiff_t across, down;

    photo_upright_size(&p->photo, &what.width, &what.height);
    across = what.width > 1 ? place(&p->photo, 1, 0) - origin : 0;
    down = what.height > 1 ? place(&p->photo, 0, 1) - origin : 0;
    row = mem_new(what.width, 3);
    writer = photo_writer_new(&what);
    for (uint32_t y = 0; y < what.height; y++) {
        const unsigned char *from = p->rgb + origin + down * (ptrdiff_t)y;

        for (uint32_t x = 0; x < what.width; x++, from += across)
            memcpy(row + 3 * (size_t)x, from, 3);
        photo_writer_row(writer, row);
    }
    photo_writer_end(writer, out, out_size);
    photo_writer_free(writer);
    free(row);
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
