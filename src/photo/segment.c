/* Marker segments, one after the other. See the header. */
#include "photo/segment.h"

#include <string.h>

#include "base/mem.h"

/* The next marker code, skipping what lies before it; -1 at the end. */
static int next_marker(struct segments *in)
{
    const unsigned char *p = in->data;

    for (;;) {
        while (in->at < in->size && p[in->at] != 0xFF)
            in->at++, in->stray++;
        while (in->at < in->size && p[in->at] == 0xFF)
            in->at++;
        if (in->at >= in->size)
            return -1;
        if (p[in->at++] != 0)
            return p[in->at - 1];
        in->stray += 2;
    }
}

bool segment_next(struct segments *in, struct segment *out)
{
    int marker = next_marker(in);

    if (marker < 0)
        return false;
    *out = (struct segment){.marker = marker, .body = in->data + in->at};
    if (marker == MARKER_TEM || (marker >= MARKER_RST0 && marker <= MARKER_EOI))
        return true;
    if (in->size - in->at < 2)
        return false;
    size_t length = (size_t)in->data[in->at] << 8 | in->data[in->at + 1];
    if (length < 2) /* a lie; take the length itself as all there is */
        length = 2;
    if (in->size - in->at < length)
        return false;
    out->body += 2;
    out->size = length - 2;
    in->at += length;
    return true;
}

/* Whether the body starts with these n bytes. */
static bool starts(const struct segment *s, const char *bytes, size_t n)
{
    return s->size >= n && !memcmp(s->body, bytes, n);
}

const unsigned char *segment_find(const struct segment *s, const char *text)
{
    const unsigned char *p = s->body, *end = s->body + s->size;
    size_t n = strlen(text);

    while ((size_t)(end - p) >= n) {
        p = memchr(p, text[0], (size_t)(end - p) - n + 1);
        if (!p)
            return NULL;
        if (!memcmp(p, text, n))
            return p;
        p++;
    }
    return NULL;
}

bool segment_is_exif(const struct segment *s) /* Exif 4.7.2 */
{
    return s->marker == MARKER_APP1 && starts(s, "Exif\0", 5) && s->size >= 6;
}

bool segment_is_xmp(const struct segment *s) /* XMP part 3, 1.1.3 */
{
    static const char name[] = "http://ns.adobe.com/xap/1.0/"; /* with NUL */

    return s->marker == MARKER_APP1 && starts(s, name, sizeof name);
}

bool segment_is_mpf(const struct segment *s) /* CIPA DC-007 5.1 */
{
    return s->marker == MARKER_APP2 && starts(s, "MPF\0", 4);
}

bool segment_is_gain_map(const struct segment *s)
{
    static const char iso[] = "urn:iso:std:iso:ts:21496:-1"; /* with NUL */
    static const char *const names[] = {"hdrgm:", "HDRGainMap", "hdrgainmap",
                                        "Semantic=\"GainMap\"",
                                        "Semantic>GainMap"};

    if (s->marker == MARKER_APP2)
        return starts(s, iso, sizeof iso);
    if (segment_is_xmp(s))
        for (size_t i = 0; i < ARRAY_LEN(names); i++)
            if (segment_find(s, names[i]))
                return true;
    return false;
}
