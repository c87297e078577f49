/* A JPEG without what is nobody's business. See photo/copy.h. */
#include "photo/copy.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "photo/photo.h"
#include "photo/segment.h"
#include "photo/tiff.h"

struct bytes {
    unsigned char *p;
    size_t size, room;
};

static void add(struct bytes *b, const void *p, size_t n)
{
    if (b->room - b->size < n) {
        b->room = 2 * (b->size + n);
        b->p = mem_resize(b->p, b->room, 1);
    }
    memcpy(b->p + b->size, p, n);
    b->size += n;
}

static void add_u16(struct bytes *b, unsigned x)
{
    const unsigned char two[] = {(unsigned char)(x >> 8), (unsigned char)x};

    add(b, two, 2);
}

static void add_u32(struct bytes *b, uint32_t x)
{
    add_u16(b, x >> 16);
    add_u16(b, x & 0xFFFF);
}

/* ---- Exif made anew ------------------------------------------------------ */

/* A directory of TIFF 6.0, and the values too long for its fields. */
struct directory {
    struct bytes fields, values;
    unsigned count;
    size_t at;   /* where it begins in the TIFF part */
    size_t size; /* of the directory once all its fields are there */
};

/* A directory of so many fields. */
static struct directory directory_at(size_t at, unsigned fields)
{
    return (struct directory){.at = at, .size = 2 + 12 * fields + 4};
}

static void begin_field(struct directory *d, unsigned tag, unsigned type,
                        size_t count)
{
    add_u16(&d->fields, tag);
    add_u16(&d->fields, type);
    add_u32(&d->fields, (uint32_t)count);
    d->count++;
}

static void add_short(struct directory *d, unsigned tag, unsigned x)
{
    begin_field(d, tag, TIFF_SHORT, 1);
    add_u16(&d->fields, x);
    add_u16(&d->fields, 0);
}

static void add_long(struct directory *d, unsigned tag, size_t x)
{
    begin_field(d, tag, TIFF_LONG, 1);
    add_u32(&d->fields, (uint32_t)x);
}

/* Longer values follow the directory, at even places. */
static void add_value(struct directory *d, const void *p, size_t n)
{
    add_u32(&d->fields, (uint32_t)(d->at + d->size + d->values.size));
    add(&d->values, p, n);
    if (n % 2)
        add(&d->values, "", 1);
}

static void add_text(struct directory *d, unsigned tag, const char *s)
{
    const size_t n = strlen(s) + 1;
    const unsigned char short_one[4] = {0};

    begin_field(d, tag, TIFF_ASCII, n);
    if (n > 4) {
        add_value(d, s, n);
        return;
    }
    add(&d->fields, s, n);
    add(&d->fields, short_one, 4 - n);
}

/* 1/125 stays that, and 2.8 is 28/10; six digits are enough for either. */
static void add_real(struct directory *d, unsigned tag, double x)
{
    const double inverse = 1 / x;
    struct bytes b = {0};
    uint32_t over = 1, under = 1;

    if (x < 1 && inverse < 1e9 &&
        fabs(inverse - round(inverse)) < 1e-6 * inverse) {
        under = (uint32_t)round(inverse);
    } else {
        while (under < 1000000 && x * under < 1e8 &&
               fabs(x * under - round(x * under)) > 1e-9 * x * under)
            under *= 10;
        over = (uint32_t)round(fmin(x * under, 4e9));
    }
    add_u32(&b, over);
    add_u32(&b, under);
    begin_field(d, tag, TIFF_RATIONAL, 1);
    add_value(d, b.p, b.size);
    free(b.p);
}

/* Closes a directory into out. */
static void end_directory(struct directory *d, struct bytes *out)
{
    add_u16(out, d->count);
    add(out, d->fields.p, d->fields.size);
    add_u32(out, 0); /* no directory after it: no thumbnail */
    if (d->values.size)
        add(out, d->values.p, d->values.size);
    free(d->fields.p);
    free(d->values.p);
}

/* Exif 2.32's names for what struct photo holds, in the order of their tags. */
static void add_settings(struct directory *d, const struct photo *p)
{
    char taken[20];

    if (!isnan(p->exposure_s))
        add_real(d, 0x829A, p->exposure_s);
    if (!isnan(p->f_number))
        add_real(d, 0x829D, p->f_number);
    if (!isnan(p->iso))
        add_long(d, 0x8827, (size_t)fmin(p->iso, 4e9));
    if (p->taken[0]) {
        memcpy(taken, p->taken, sizeof taken);
        taken[4] = taken[7] = ':';
        add_text(d, 0x9003, taken);
    }
    if (p->exif_space != PHOTO_EXIF_NOTHING)
        add_short(d, 0xA001,
                  p->exif_space == PHOTO_EXIF_SRGB        ? 1
                  : p->exif_space == PHOTO_EXIF_ADOBE_RGB ? 2
                                                          : 0xFFFF);
    if (p->notes & PHOTO_NOTE_RENDERED)
        add_short(d, 0xA401, 1);
    if (p->scene)
        add_short(d, 0xA406, (unsigned)p->scene);
    if (p->contrast)
        add_short(d, 0xA408, (unsigned)p->contrast);
    if (p->saturation)
        add_short(d, 0xA409, (unsigned)p->saturation);
}

static unsigned count_settings(const struct photo *p)
{
    return !isnan(p->exposure_s) + !isnan(p->f_number) + !isnan(p->iso) +
           (p->taken[0] != '\0') + (p->exif_space != PHOTO_EXIF_NOTHING) +
           ((p->notes & PHOTO_NOTE_RENDERED) != 0) + (p->scene != 0) +
           (p->contrast != 0) + (p->saturation != 0);
}

/* The whole APP1 segment. */
static void add_exif(const struct photo *p, struct bytes *out)
{
    static const unsigned char head[] = {'M', 'M', 0, 42, 0, 0, 0, 8};
    const unsigned of_settings = count_settings(p);
    const unsigned n = (p->make[0] != '\0') + (p->model[0] != '\0') + 1 +
                       (p->software[0] != '\0') + (of_settings != 0);
    struct directory d = directory_at(sizeof head, n), settings;
    struct bytes tiff = {0};

    if (p->make[0])
        add_text(&d, 0x010F, p->make);
    if (p->model[0])
        add_text(&d, 0x0110, p->model);
    add_short(&d, 0x0112, (unsigned)p->orientation);
    if (p->software[0])
        add_text(&d, 0x0131, p->software);
    settings = directory_at(d.at + d.size + d.values.size, of_settings);
    if (of_settings)
        add_long(&d, 0x8769, settings.at);
    add_settings(&settings, p);
    add(&tiff, head, sizeof head);
    end_directory(&d, &tiff);
    if (of_settings)
        end_directory(&settings, &tiff);
    add_u16(out, 0xFF00 | MARKER_APP1);
    add_u16(out, (unsigned)(2 + 6 + tiff.size));
    add(out, "Exif\0", 6);
    add(out, tiff.p, tiff.size);
    free(tiff.p);
}

/* ---- the picture --------------------------------------------------------- */

/* What pixels cannot be without: tables, frames, scans, JFIF's and Adobe's
 * word on what the components are, and the profile. */
static bool is_needed(const struct segment *s)
{
    if (s->marker == MARKER_APP2)
        return s->size >= 12 && !memcmp(s->body, "ICC_PROFILE", 12);
    if (s->marker == MARKER_APP0)
        return s->size >= 5 && !memcmp(s->body, "JFIF", 5);
    if (s->marker == MARKER_APP15 - 1)
        return s->size >= 5 && !memcmp(s->body, "Adobe", 5);
    return s->marker != MARKER_COM &&
           (s->marker < MARKER_APP0 || s->marker > MARKER_APP15);
}

static bool has_length(int marker)
{
    return marker != MARKER_TEM &&
           (marker < MARKER_RST0 || marker > MARKER_EOI);
}

static void add_segment(const struct segment *s, struct bytes *out)
{
    add_u16(out, 0xFF00 | (unsigned)s->marker);
    if (!has_length(s->marker))
        return;
    add_u16(out, (unsigned)s->size + 2);
    add(out, s->body, s->size);
}

/* Entropy-coded data up to the next marker that is none of their own: T.81
 * B.1.1.5. */
static void copy_scan(struct segments *in, struct bytes *out)
{
    const size_t from = in->at;

    while (in->at < in->size) {
        const unsigned char *p = in->data + in->at;

        if (*p == 0xFF && in->at + 1 < in->size && p[1] != 0 && p[1] != 0xFF &&
            (p[1] < MARKER_RST0 || p[1] > MARKER_RST7))
            break;
        in->at++;
    }
    add(out, in->data + from, in->at - from);
}

/* A JFIF thumbnail is a picture too: density alone is kept. */
static void add_jfif(const struct segment *s, struct bytes *out)
{
    struct segment head = *s;
    unsigned char body[14];

    if (s->size < sizeof body)
        return;
    memcpy(body, s->body, sizeof body);
    body[12] = body[13] = 0;
    head.body = body;
    head.size = sizeof body;
    add_segment(&head, out);
}

bool photo_copy(const unsigned char *data, size_t size, unsigned char **out,
                size_t *out_size, struct error *err)
{
    struct segments in = {.data = data, .size = size, .at = 2};
    struct bytes b = {0};
    struct photo photo;
    struct segment s;
    bool exif = false;

    if (!photo_open(data, size, &photo, err))
        return false;
    add_u16(&b, 0xFF00 | MARKER_SOI);
    while (segment_next(&in, &s)) {
        if (segment_is_exif(&s) && !exif) {
            add_exif(&photo, &b);
            exif = true;
        }
        if (!is_needed(&s))
            continue;
        if (s.marker == MARKER_APP0)
            add_jfif(&s, &b);
        else
            add_segment(&s, &b);
        if (s.marker == MARKER_EOI)
            break;
        if (s.marker == MARKER_SOS)
            copy_scan(&in, &b);
    }
    photo_clear(&photo);
    *out = b.p;
    *out_size = b.size;
    return true;
}
