/* Counts the pictures of a file and looks for a gain map. See the header. */
#include "photo/mpf.h"

#include "photo/tiff.h"

#define ENTRY_BYTES 16    /* attribute, size, offset, two dependents */
#define MAX_LOOKED_INTO 8 /* pictures; phones write 2 to 4 */
#define MAX_SEGMENTS 64   /* before the scan of a further picture */

enum tag { TAG_PICTURES = 0xB001, TAG_ENTRIES = 0xB002 };

struct reader {
    uint32_t pictures;
    const unsigned char *entries;
    size_t size;
};

static void visit(void *self, struct tiff *t, const struct tiff_field *f)
{
    struct reader *r = self;

    if (f->tag == TAG_PICTURES)
        tiff_whole(t, f, 0, &r->pictures);
    if (f->tag == TAG_ENTRIES && f->value) {
        r->entries = f->value;
        r->size = f->size;
    }
}

/* Whether the picture that starts at this offset is a gain map. */
static bool is_gain_map(const unsigned char *data, size_t size, size_t at)
{
    struct segments in = {.data = data, .size = size, .at = at + 2};
    struct segment s;

    if (at > size || size - at < 4 || data[at] != 0xFF ||
        data[at + 1] != MARKER_SOI)
        return false;
    for (int i = 0; i < MAX_SEGMENTS && segment_next(&in, &s); i++) {
        if (s.marker == MARKER_SOS || s.marker == MARKER_EOI)
            break;
        if (segment_is_gain_map(&s))
            return true;
    }
    return false;
}

struct mpf mpf_read(const unsigned char *data, size_t size,
                    const struct segment *s)
{
    struct mpf out = {0};
    struct reader r = {0};
    struct tiff t;
    uint32_t first;

    if (!tiff_open(&t, s->body + 4, s->size - 4, &first))
        return out;
    tiff_walk(&t, first, visit, &r);
    size_t n = r.size / ENTRY_BYTES, base = (size_t)(t.p - data);
    out.pictures = r.pictures < n ? r.pictures : (unsigned)n;
    for (size_t i = 1; i < out.pictures && i < MAX_LOOKED_INTO; i++) {
        struct tiff_field offset = {.type = TIFF_LONG,
                                    .count = 1,
                                    .size = 4,
                                    .value = r.entries + ENTRY_BYTES * i + 8};
        uint32_t at;
        if (tiff_whole(&t, &offset, 0, &at) &&
            is_gain_map(data, size, base + at))
            out.gain_map = true;
    }
    return out;
}
