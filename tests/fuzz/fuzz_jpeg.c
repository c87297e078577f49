/*
 * Bytes to what a photo says of itself, and its rows; those of several scans
 * with their coefficients packed too.
 *
 * link: -Wl,--wrap=packed_pays
 */
#include <assert.h>
#include <math.h>
#include <stdint.h>
#include <string.h>

#include "base/text.h"
#include "photo/packed.h"
#include "photo/photo.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* Larger ones are opened only, so that each input takes a moment. */
#define MAX_PIXELS (1u << 17)

static bool pack;

bool __wrap_packed_pays(const struct jpeg_decompress_struct *jpeg);

bool __wrap_packed_pays(const struct jpeg_decompress_struct *jpeg)
{
    (void)jpeg;
    return pack;
}

struct rows {
    uint32_t width, next;
    uint32_t stop; /* rows to take; beyond the last row to see the end too */
    uint32_t sum, sum_of_half;
    uint32_t half;
    uint32_t first, sum_from_first; /* of rows first to half - 1 */
};

static bool take(void *self, const unsigned char *rgb, uint32_t y)
{
    struct rows *r = self;

    assert(y == r->next && y < r->stop);
    for (size_t i = 0; i < 3 * (size_t)r->width; i++) {
        r->sum = r->sum * 31 + rgb[i];
        if (y >= r->first && y < r->half)
            r->sum_from_first = r->sum_from_first * 31 + rgb[i];
    }
    if (++r->next == r->half)
        r->sum_of_half = r->sum;
    return r->next < r->stop;
}

static void check_error(const struct error *err)
{
    assert(err->kind == ERR_INPUT || err->kind == ERR_LIMIT);
    assert(err->text[0] && strlen(err->text) < sizeof err->text - 1);
    assert(!strchr(err->text, '\n'));
}

static void check_text(const char *s, size_t cap)
{
    assert(memchr(s, '\0', cap) && text_is_utf8(s, strlen(s)));
    for (; *s; s++)
        assert((unsigned char)*s >= ' ' && *s != 0x7F);
}

static void check_number(double x)
{
    assert(isnan(x) || (x > 0 && x <= UINT32_MAX));
}

static void check_notes(unsigned notes)
{
    assert(notes < 1u << PHOTO_NOTES);
    for (int i = 0; i < PHOTO_NOTES; i++)
        if (notes & 1u << i)
            assert(photo_note_text((enum photo_note)(1u << i))[0]);
}

static void check_boxes(const struct photo *p)
{
    uint32_t w, h;

    photo_upright_size(p, &w, &h);
    struct box all = photo_box_stored(p, (struct box){0, 0, w, h});
    assert(all.x == 0 && all.y == 0 && all.w == p->width && all.h == p->height);
}

static void check_photo(const struct photo *p)
{
    assert(p->width >= PHOTO_MIN_SIDE && p->width <= PHOTO_MAX_SIDE);
    assert(p->height >= PHOTO_MIN_SIDE && p->height <= PHOTO_MAX_SIDE);
    assert((uint64_t)p->width * p->height <= PHOTO_MAX_PIXELS);
    assert(p->orientation >= 1 && p->orientation <= 8 && p->components == 3);
    assert(p->mcu_w >= 8 && p->mcu_w <= 32 && p->mcu_h >= 8 && p->mcu_h <= 32);
    assert(p->chroma_h >= 1 && p->chroma_h <= 4);
    assert(p->chroma_v >= 1 && p->chroma_v <= 4);
    assert(p->dc_luma > 0 && p->dc_chroma > 0);
    assert((p->icc_state == PHOTO_ICC_WHOLE) == (p->icc && p->icc_size));
    check_text(p->make, sizeof p->make);
    check_text(p->model, sizeof p->model);
    check_text(p->software, sizeof p->software);
    check_text(p->taken, sizeof p->taken);
    check_number(p->exposure_s);
    check_number(p->f_number);
    check_number(p->iso);
    check_notes(p->notes);
    check_boxes(p);
}

/* Packed gives the same, or the same refusal. */
static void check_packed(const struct photo *p, const uint8_t *data,
                         size_t size, bool ok, const struct rows *plain,
                         const struct photo_decoded *how,
                         const struct error *err)
{
    struct rows rows = {.width = p->width, .stop = p->height + 1};
    struct photo_decoded packed;
    struct error packed_err = {0};

    pack = true;
    assert(ok ==
           photo_decode(p, data, size, take, &rows, &packed, &packed_err));
    pack = false;
    assert(rows.next == plain->next && rows.sum == plain->sum);
    assert(packed.notes == how->notes &&
           packed.damaged_row == how->damaged_row);
    assert(!strcmp(packed_err.text, err->text));
}

static void check_decode(const struct photo *p, const uint8_t *data,
                         size_t size)
{
    const uint32_t h = p->height;
    struct rows whole = {
        .width = p->width, .stop = h + 1, .half = h / 2, .first = h / 4};
    struct rows some = {.width = p->width,
                        .next = h / 4,
                        .stop = h / 2 + 1,
                        .half = h / 2,
                        .first = h / 4};
    struct rows part = {.width = p->width, .stop = h / 2, .half = h / 2};
    struct photo_decoded how;
    struct error err = {0};
    const bool ok = photo_decode(p, data, size, take, &whole, &how, &err);

    check_packed(p, data, size, ok, &whole, &how, &err);
    if (!ok) {
        check_error(&err);
        return;
    }
    assert(whole.next == h && how.damaged_row > 0 && how.damaged_row <= h);
    assert((how.damaged_row < h) == !!(how.notes & PHOTO_NOTE_DAMAGED_BELOW));
    check_notes(how.notes);
    /* Some rows are those of the whole, as far as the whole can be trusted. */
    if (how.damaged_row == h) {
        assert(photo_decode_rows(p, data, size, h / 4, h / 2, take, &some, &how,
                                 &err));
        assert(some.next == h / 2 && how.damaged_row == h &&
               some.sum_from_first == whole.sum_from_first);
    }
    /* What is right once is right again, and when the reader stops early. */
    assert(photo_decode(p, data, size, take, &part, &how, &err));
    assert(part.next == h / 2 && part.sum_of_half == whole.sum_of_half);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct photo photo;
    struct error err = {0};

    if (!photo_open(data, size, &photo, &err)) {
        check_error(&err);
        assert(!photo.icc);
        return 0;
    }
    check_photo(&photo);
    if (photo.width * photo.height <= MAX_PIXELS)
        check_decode(&photo, data, size);
    photo_clear(&photo);
    return 0;
}
