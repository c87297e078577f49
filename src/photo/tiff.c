/* Directories of tagged fields, read within bounds. See the header. */
#include "photo/tiff.h"

#include <math.h>

static unsigned u16(const struct tiff *t, const unsigned char *p)
{
    return t->big ? (unsigned)p[0] << 8 | p[1] : (unsigned)p[1] << 8 | p[0];
}

static uint32_t u32(const struct tiff *t, const unsigned char *p)
{
    return t->big ? (uint32_t)u16(t, p) << 16 | u16(t, p + 2)
                  : (uint32_t)u16(t, p + 2) << 16 | u16(t, p);
}

bool tiff_open(struct tiff *t, const unsigned char *p, size_t size,
               uint32_t *first_ifd)
{
    *t = (struct tiff){.p = p, .size = size};
    if (size < 8 || p[0] != p[1] || (p[0] != 'I' && p[0] != 'M'))
        return false;
    t->big = p[0] == 'M';
    *first_ifd = u32(t, p + 4);
    return u16(t, p + 2) == 42;
}

/* Bytes of one value; 0 for a type that TIFF 6.0 and Exif do not know. */
static size_t type_size(unsigned type)
{
    static const unsigned char sizes[] = {0, 1, 1, 2, 4, 8, 1,
                                          1, 2, 4, 8, 4, 8};

    if (type == TIFF_UTF8)
        return 1;
    return type < sizeof sizes ? sizes[type] : 0;
}

static struct tiff_field field_at(const struct tiff *t, size_t at)
{
    const unsigned char *p = t->p + at;
    struct tiff_field f = {
        .tag = u16(t, p), .type = u16(t, p + 2), .count = u32(t, p + 4)};
    uint64_t size = (uint64_t)type_size(f.type) * f.count;
    uint64_t from = size <= 4 ? at + 8 : u32(t, p + 8);

    if (size && from + size <= t->size) {
        f.value = t->p + from;
        f.size = (size_t)size;
    }
    return f;
}

static bool is_seen(const struct tiff *t, uint32_t ifd)
{
    for (unsigned i = 0; i < t->ifds; i++)
        if (t->seen[i] == ifd)
            return true;
    return false;
}

void tiff_walk(struct tiff *t, uint32_t ifd, tiff_visitor *visit, void *self)
{
    uint64_t at = ifd;

    if (is_seen(t, ifd) || t->ifds == TIFF_MAX_IFDS || at + 2 > t->size) {
        t->damaged = true;
        return;
    }
    t->seen[t->ifds++] = ifd;
    unsigned n = u16(t, t->p + at);
    at += 2;
    for (unsigned i = 0; i < n; i++, at += 12) {
        if (at + 12 > t->size || t->fields == TIFF_MAX_FIELDS) {
            t->damaged = true;
            return;
        }
        t->fields++;
        struct tiff_field f = field_at(t, (size_t)at);
        visit(self, t, &f);
    }
    /* What follows is the thumbnail's directory: not read, but a loop shows
     * that somebody tampered. */
    if (at + 4 <= t->size && is_seen(t, u32(t, t->p + at)))
        t->damaged = true;
}

bool tiff_whole(const struct tiff *t, const struct tiff_field *f, uint32_t i,
                uint32_t *out)
{
    if (!f->value || i >= f->count)
        return false;
    switch (f->type) {
    case TIFF_BYTE:
        *out = f->value[i];
        return true;
    case TIFF_SHORT:
        *out = u16(t, f->value + 2 * (size_t)i);
        return true;
    case TIFF_LONG:
        *out = u32(t, f->value + 4 * (size_t)i);
        return true;
    default: /* a number out of the file, not an enum of ours */
        return false;
    }
}

double tiff_real(const struct tiff *t, const struct tiff_field *f, uint32_t i)
{
    if (!f->value || f->type != TIFF_RATIONAL || i >= f->count)
        return (double)NAN;
    double over = u32(t, f->value + 8 * (size_t)i);
    double under = u32(t, f->value + 8 * (size_t)i + 4);
    return under > 0 ? over / under : (double)NAN;
}
