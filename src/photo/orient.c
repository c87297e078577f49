/*
 * Where a box of the upright picture lies in the stored one.
 *
 * Exif 2.32 table 6 (TIFF 6.0 Orientation): the eight ways to turn and mirror.
 */
#include "photo/photo.h"

#include <assert.h>

void photo_upright_size(const struct photo *photo, uint32_t *width,
                        uint32_t *height)
{
    bool lies = photo->orientation >= 5;

    *width = lies ? photo->height : photo->width;
    *height = lies ? photo->width : photo->height;
}

struct box photo_box_stored(const struct photo *photo, struct box u)
{
    int64_t W = photo->width, H = photo->height;
    uint32_t upright_w, upright_h;

    photo_upright_size(photo, &upright_w, &upright_h);
    assert(u.x >= 0 && u.w >= 0 && u.x <= upright_w && u.w <= upright_w - u.x);
    assert(u.y >= 0 && u.h >= 0 && u.y <= upright_h && u.h <= upright_h - u.y);
    switch (photo->orientation) {
    case 2: /* mirrored left to right */
        return (struct box){W - u.x - u.w, u.y, u.w, u.h};
    case 3: /* upside down */
        return (struct box){W - u.x - u.w, H - u.y - u.h, u.w, u.h};
    case 4: /* mirrored top to bottom */
        return (struct box){u.x, H - u.y - u.h, u.w, u.h};
    case 5: /* rows and columns exchanged */
        return (struct box){u.y, u.x, u.h, u.w};
    case 6: /* to be turned a quarter clockwise */
        return (struct box){u.y, H - u.x - u.w, u.h, u.w};
    case 7: /* exchanged across the other diagonal */
        return (struct box){W - u.y - u.h, H - u.x - u.w, u.h, u.w};
    case 8: /* to be turned a quarter counter-clockwise */
        return (struct box){W - u.y - u.h, u.x, u.h, u.w};
    default: /* 1 */
        return u;
    }
}
