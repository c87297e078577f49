/* Four bytes, then tagged fields: read as a camera's notes (Exif) and as an
 * index of further pictures (MPF), which lie in the same bytes. */
#include <assert.h>
#include <math.h>
#include <stdint.h>
#include <string.h>

#include "base/text.h"
#include "photo/exif.h"
#include "photo/mpf.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

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

static void check_taken(const char *s)
{
    check_text(s, sizeof((struct exif *)NULL)->taken);
    assert(!s[0] || strlen(s) == strlen("2026-05-03 14:05:06"));
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct segment s = {.marker = MARKER_APP2, .body = data, .size = size};

    if (size < 4)
        return 0;
    struct exif exif = exif_read(data + 4, size - 4);
    assert(exif.orientation >= EXIF_TURN_ODD && exif.orientation <= 8);
    assert(exif.space <= PHOTO_EXIF_UNCALIBRATED);
    check_text(exif.make, sizeof exif.make);
    check_text(exif.model, sizeof exif.model);
    check_text(exif.software, sizeof exif.software);
    check_taken(exif.taken);
    check_number(exif.exposure_s);
    check_number(exif.f_number);
    check_number(exif.iso);
    struct mpf mpf = mpf_read(data, size, &s);
    assert(mpf.pictures <= size / 16);
    assert(!mpf.gain_map || mpf.pictures > 1);
    return 0;
}
