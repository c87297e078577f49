/*
 * The marker segments before a JPEG's first scan.
 *
 * Source: ITU-T T.81 (1992) annex B. Between segments we skip what libjpeg
 * skips, so that both see the same picture.
 */
#ifndef HANKLAB_PHOTO_SEGMENT_H
#define HANKLAB_PHOTO_SEGMENT_H

#include <stdbool.h>
#include <stddef.h>

enum marker { /* T.81 table B.1; the ones that matter here */
              MARKER_SOF0 = 0xC0,
              MARKER_SOF2 = 0xC2,
              MARKER_DHT = 0xC4,
              MARKER_SOF9 = 0xC9,
              MARKER_SOF10 = 0xCA,
              MARKER_DAC = 0xCC,
              MARKER_SOF15 = 0xCF,
              MARKER_RST0 = 0xD0,
              MARKER_RST7 = 0xD7,
              MARKER_SOI = 0xD8,
              MARKER_EOI = 0xD9,
              MARKER_SOS = 0xDA,
              MARKER_DQT = 0xDB,
              MARKER_DNL = 0xDC,
              MARKER_DRI = 0xDD,
              MARKER_APP0 = 0xE0,
              MARKER_APP1 = 0xE1,
              MARKER_APP2 = 0xE2,
              MARKER_APP15 = 0xEF,
              MARKER_COM = 0xFE,
              MARKER_TEM = 0x01,
};

struct segment {
    int marker;
    const unsigned char *body; /* size bytes after the length, borrowed */
    size_t size;
};

/* Goes through a file from offset `at`. */
struct segments {
    const unsigned char *data;
    size_t size, at;
    size_t stray; /* bytes skipped so far that belong to no segment */
};

/* The next one; false when the file ends before its end. */
bool segment_next(struct segments *in, struct segment *out);

/* The place of text in the body, NULL when it is not there. */
const unsigned char *segment_find(const struct segment *s, const char *text);

/* Segments of APP1 and APP2 by what they hold. */
bool segment_is_exif(const struct segment *s);
bool segment_is_xmp(const struct segment *s);
bool segment_is_mpf(const struct segment *s);

/*
 * Whether it says that the picture has, or is, a gain map: ISO 21496-1, the
 * older XMP names (hdrgm, GainMap, HDRGainMap).
 */
bool segment_is_gain_map(const struct segment *s);

#endif
