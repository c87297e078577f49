/* A few Exif fields, read within bounds. See the header. */
#include "photo/exif.h"

#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include "base/mem.h"
#include "photo/printable.h"
#include "photo/tiff.h"

enum tag {
    TAG_INTEROP_INDEX = 0x0001, /* in the interoperability directory */
    TAG_GPS_LATITUDE = 0x0002,  /* in the GPS directory */
    TAG_GPS_LONGITUDE = 0x0004,
    TAG_MAKE = 0x010F,
    TAG_MODEL = 0x0110,
    TAG_ORIENTATION = 0x0112,
    TAG_SOFTWARE = 0x0131,
    TAG_PRIMARIES = 0x013F,
    TAG_EXPOSURE = 0x829A,
    TAG_F_NUMBER = 0x829D,
    TAG_EXIF_IFD = 0x8769,
    TAG_GPS_IFD = 0x8825,
    TAG_ISO = 0x8827,
    TAG_TAKEN = 0x9003,
    TAG_COLOUR_SPACE = 0xA001,
    TAG_INTEROP_IFD = 0xA005,
    TAG_CUSTOM_RENDERED = 0xA401,
    TAG_SCENE = 0xA406,
    TAG_CONTRAST = 0xA408,
    TAG_SATURATION = 0xA409,
};

/* Where the directories are, and what the colour space is judged from. */
struct reader {
    struct exif *out;
    uint32_t exif_ifd, gps_ifd, interop_ifd; /* 0 when there is none */
    bool has_space, adobe_primaries, r03, r98;
    uint32_t space; /* 1 sRGB, 2 Adobe RGB by habit, 65535 uncalibrated */
};

static void take_ifd(struct tiff *t, const struct tiff_field *f, uint32_t *ifd)
{
    if (!*ifd && !tiff_whole(t, f, 0, ifd))
        t->damaged = true;
}

static void take_text(struct tiff *t, const struct tiff_field *f, char out[64])
{
    if (f->count == 0)
        return;
    if (!f->value || (f->type != TIFF_ASCII && f->type != TIFF_UTF8))
        t->damaged = true;
    else if (!out[0])
        printable_copy(f->value, f->size, out, 64);
}

/* One of the few numbers that a setting has; 0 is its default. */
static void take_setting(struct tiff *t, const struct tiff_field *f, int *out)
{
    uint32_t x;

    if (tiff_whole(t, f, 0, &x) && x < 100)
        *out = (int)x;
}

/* A positive number, whole or broken; the first one said wins. */
static void take_real(struct tiff *t, const struct tiff_field *f, double *out)
{
    uint32_t whole;
    double x = tiff_whole(t, f, 0, &whole) ? whole : tiff_real(t, f, 0);

    if (!f->value)
        t->damaged = true;
    else if (isnan(*out) && x > 0)
        *out = x;
}

static void take_orientation(struct tiff *t, const struct tiff_field *f,
                             int *out)
{
    uint32_t x;

    if (*out != EXIF_TURN_UNSAID)
        return;
    *out = EXIF_TURN_ODD;
    if (f->type != TIFF_BYTE && tiff_whole(t, f, 0, &x) && x >= 1 && x <= 8)
        *out = (int)x;
}

/* Red, green and blue of Adobe RGB (1998), section 4.3.1, each x then y. */
static bool is_adobe_rgb(const struct tiff *t, const struct tiff_field *f)
{
    static const double xy[6] = {0.64, 0.33, 0.21, 0.71, 0.15, 0.06};

    for (uint32_t i = 0; i < ARRAY_LEN(xy); i++)
        if (!(fabs(tiff_real(t, f, i) - xy[i]) < 0.005))
            return false;
    return true;
}

static void visit_ifd0(void *self, struct tiff *t, const struct tiff_field *f)
{
    struct reader *r = self;

    switch (f->tag) {
    case TAG_MAKE:
        take_text(t, f, r->out->make);
        break;
    case TAG_MODEL:
        take_text(t, f, r->out->model);
        break;
    case TAG_SOFTWARE:
        take_text(t, f, r->out->software);
        break;
    case TAG_ORIENTATION:
        take_orientation(t, f, &r->out->orientation);
        break;
    case TAG_PRIMARIES:
        r->adobe_primaries = is_adobe_rgb(t, f);
        break;
    case TAG_EXIF_IFD:
        take_ifd(t, f, &r->exif_ifd);
        break;
    case TAG_GPS_IFD:
        take_ifd(t, f, &r->gps_ifd);
        break;
    default: /* one of hundreds that we do not need */
        break;
    }
}

/* "2026:05:03 14:05:06" (Exif 4.6.5) as "2026-05-03 14:05:06"; anything else,
 * and the blanks and noughts of a clock that was never set, is left out. */
static void take_moment(struct tiff *t, const struct tiff_field *f,
                        char out[20])
{
    static const char form[] = "dddd:dd:dd dd:dd:dd";
    static const unsigned char days[] = {31, 29, 31, 30, 31, 30,
                                         31, 31, 30, 31, 30, 31};
    int n[14], k = 0;

    if (!f->value || f->type != TIFF_ASCII) {
        t->damaged = true;
        return;
    }
    if (out[0] || f->size < sizeof form - 1)
        return;
    for (size_t i = 0; i < sizeof form - 1; i++) {
        int c = f->value[i], want = (unsigned char)form[i];
        if (want != 'd' ? c != want : c < '0' || c > '9')
            return;
        if (form[i] == 'd')
            n[k++] = c - '0';
    }
    int year = n[0] * 1000 + n[1] * 100 + n[2] * 10 + n[3];
    int month = n[4] * 10 + n[5], day = n[6] * 10 + n[7];
    int hour = n[8] * 10 + n[9], min = n[10] * 10 + n[11];
    int second = n[12] * 10 + n[13];
    if (year < 1000 || month < 1 || month > 12 || day < 1 ||
        day > days[month - 1] || hour > 23 || min > 59 || second > 60)
        return;
    memcpy(out, f->value, sizeof form - 1);
    out[4] = out[7] = '-';
    out[sizeof form - 1] = '\0';
}

static void visit_exif(void *self, struct tiff *t, const struct tiff_field *f)
{
    struct reader *r = self;
    uint32_t x;

    switch (f->tag) {
    case TAG_EXPOSURE:
        take_real(t, f, &r->out->exposure_s);
        break;
    case TAG_F_NUMBER:
        take_real(t, f, &r->out->f_number);
        break;
    case TAG_ISO:
        take_real(t, f, &r->out->iso);
        break;
    case TAG_TAKEN:
        take_moment(t, f, r->out->taken);
        break;
    case TAG_COLOUR_SPACE:
        if (!tiff_whole(t, f, 0, &x))
            t->damaged = true;
        else if (!r->has_space)
            r->space = x, r->has_space = true;
        break;
    case TAG_CUSTOM_RENDERED:
        if (tiff_whole(t, f, 0, &x) && x != 0)
            r->out->rendered = true;
        break;
    case TAG_SCENE:
        take_setting(t, f, &r->out->scene);
        break;
    case TAG_CONTRAST:
        take_setting(t, f, &r->out->contrast);
        break;
    case TAG_SATURATION:
        take_setting(t, f, &r->out->saturation);
        break;
    case TAG_INTEROP_IFD:
        take_ifd(t, f, &r->interop_ifd);
        break;
    default: /* one of hundreds that we do not need */
        break;
    }
}

static void visit_interop(void *self, struct tiff *t,
                          const struct tiff_field *f)
{
    struct reader *r = self;

    if (f->tag != TAG_INTEROP_INDEX)
        return;
    if (!f->value || f->type != TIFF_ASCII || f->size < 3)
        t->damaged = true;
    else if (!memcmp(f->value, "R03", 3))
        r->r03 = true;
    else if (!memcmp(f->value, "R98", 3))
        r->r98 = true;
}

/* Cameras without a fix write the field with noughts: that is no place. */
static void visit_gps(void *self, struct tiff *t, const struct tiff_field *f)
{
    struct reader *r = self;

    (void)t;
    if (f->tag != TAG_GPS_LATITUDE && f->tag != TAG_GPS_LONGITUDE)
        return;
    for (size_t i = 0; i < f->size; i++)
        if (f->value[i])
            r->out->has_gps = true;
}

/* Some cameras mark Adobe RGB by R03 or primaries only and say 65535; others
 * by 2, which Exif does not define but everybody understands. */
static enum photo_exif_space judge_space(const struct reader *r)
{
    if (r->r03 || r->adobe_primaries || (r->has_space && r->space == 2))
        return PHOTO_EXIF_ADOBE_RGB;
    if (r->has_space)
        return r->space == 1 ? PHOTO_EXIF_SRGB : PHOTO_EXIF_UNCALIBRATED;
    return r->r98 ? PHOTO_EXIF_SRGB : PHOTO_EXIF_NOTHING;
}

struct exif exif_read(const unsigned char *tiff, size_t size)
{
    const double unsaid = (double)NAN;
    struct exif out = {.exposure_s = unsaid, .f_number = unsaid, .iso = unsaid};
    struct reader r = {.out = &out};
    struct tiff t;
    uint32_t first;

    if (!tiff_open(&t, tiff, size, &first)) {
        out.damaged = true;
        return out;
    }
    tiff_walk(&t, first, visit_ifd0, &r);
    if (r.exif_ifd)
        tiff_walk(&t, r.exif_ifd, visit_exif, &r);
    if (r.interop_ifd)
        tiff_walk(&t, r.interop_ifd, visit_interop, &r);
    if (r.gps_ifd)
        tiff_walk(&t, r.gps_ifd, visit_gps, &r);
    out.space = judge_space(&r);
    out.damaged = t.damaged;
    return out;
}
