/*
 * JPEG bytes: what a file says of itself, and its pixels row by row.
 *
 * Nothing here knows of cards or wool. All input is hostile: every offset and
 * count is checked against the bytes that are there.
 */
#ifndef HANKLAB_PHOTO_PHOTO_H
#define HANKLAB_PHOTO_PHOTO_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/error.h"

#define PHOTO_MAX_BYTES (200u << 20)
#define PHOTO_MAX_PIXELS 200000000u
#define PHOTO_MIN_SIDE 64
#define PHOTO_MAX_SIDE 65500u /* libjpeg's own limit */
#define PHOTO_MAX_METADATA (32u << 20)

/* Things worth telling the dyer; a set of bits. photo_note_text has the
 * sentence for each. */
enum photo_note {
    PHOTO_NOTE_ORIENTATION_ODD = 1 << 0, /* not 1..8: taken as upright */
    PHOTO_NOTE_EXIF_DAMAGED = 1 << 1,
    PHOTO_NOTE_EXIF_TWICE = 1 << 2,      /* first one used */
    PHOTO_NOTE_XMP_ORIENTATION = 1 << 3, /* XMP disagrees, Exif used */
    PHOTO_NOTE_GAIN_MAP = 1 << 4,        /* HDR file: base picture used */
    PHOTO_NOTE_MORE_PICTURES = 1 << 5,   /* MPF, beyond the gain map */
    PHOTO_NOTE_EDITED = 1 << 6,          /* Software names an editor */
    PHOTO_NOTE_NO_CAMERA = 1 << 7,       /* no make, no model, not stripped */
    PHOTO_NOTE_STRIPPED = 1 << 8,        /* no Exif and no profile */
    PHOTO_NOTE_LOW_QUALITY = 1 << 9,     /* DC step of 17 or more */
    PHOTO_NOTE_STRAY_BYTES = 1 << 10,    /* between segments */
    PHOTO_NOTE_NO_END_MARKER = 1 << 11,
    PHOTO_NOTE_DAMAGED_BELOW = 1 << 12, /* rows from damaged_row on */
    PHOTO_NOTE_ODD_HEADER = 1 << 13,    /* harmless decoder warnings */
    PHOTO_NOTE_RENDERED = 1 << 14,      /* Exif CustomRendered */
};
#define PHOTO_NOTES 15

/* One sentence, under 200 bytes, that says what it means for the colour and
 * what to do next time; never NULL, "" for what is no single bit of the above.
 */
const char *photo_note_text(enum photo_note note);

enum photo_icc {
    PHOTO_ICC_NONE,
    PHOTO_ICC_WHOLE,  /* icc, icc_size hold it; not yet judged */
    PHOTO_ICC_BROKEN, /* chunks missing, in conflict, or over 4 MB */
};

enum photo_exif_space { /* what Exif alone says of the colour space */
                        PHOTO_EXIF_NOTHING, /* no Exif, or it does not say */
                        PHOTO_EXIF_SRGB,
                        PHOTO_EXIF_ADOBE_RGB,    /* ColorSpace 2, R03, or its
                                                    primaries */
                        PHOTO_EXIF_UNCALIBRATED, /* 65535 or another number, and
                                                    nothing else */
};

/* What the header says. */
struct photo {
    uint32_t width, height; /* as stored, before orientation */
    int orientation;        /* 1..8 */
    int components;         /* always 3 after photo_open */
    bool progressive;
    int mcu_w, mcu_h;       /* pixels of one MCU: 8 or 16, rarely 24 or 32 */
    int chroma_h, chroma_v; /* pixels per sample of the coarsest component:
                               1 or 2, rarely 3 or 4 */
    int dc_luma, dc_chroma; /* DC steps of the first component, and the larger
                               of the other two's */
    unsigned notes;         /* enum photo_note bits */
    enum photo_icc icc_state;
    unsigned char *icc; /* owned */
    size_t icc_size;
    enum photo_exif_space exif_space;
    char make[64], model[64], software[64]; /* printable UTF-8 or "" */
    char taken[20];                         /* "2026-05-03 14:05:06" or "" */
    double exposure_s, f_number, iso;       /* NaN when not said */
    bool has_gps; /* Exif or XMP says where it was taken */
    /* Exif's numbers for how the camera was set to render; 0: as usual. */
    int scene, contrast, saturation;
};

/* All zero is an empty one. */
void photo_clear(struct photo *photo);

/*
 * Walks the markers up to the first scan; decodes nothing.
 *
 * data  size bytes, borrowed for the call only
 * err   ERR_INPUT  not a JPEG (and then what it is: PNG, HEIC, WebP, GIF,
 *                  TIFF, PDF, empty), grey, CMYK, no picture in it, too
 *                  small, 12-bit, lossless
 *       ERR_LIMIT  more bytes, pixels or metadata than we agree to handle, or
 *                  absurdly many pixels for its bytes
 */
bool photo_open(const unsigned char *data, size_t size, struct photo *out,
                struct error *err);

/* Takes one row of 8-bit RGB, `width` pixels, borrowed for the call only. y
 * counts stored rows from 0. Return false to stop early: the decode then ends
 * well, as if the picture had ended there. */
typedef bool photo_sink(void *self, const unsigned char *rgb, uint32_t y);

/* How the decode went. */
struct photo_decoded {
    unsigned notes;       /* enum photo_note bits found while decoding */
    uint32_t damaged_row; /* first row that cannot be trusted; height if none */
};

/*
 * Decodes, handing each row to sink as it comes; no picture is kept.
 *
 * Full size, accurate integer DCT, fancy upsampling, no block smoothing, so
 * that a reading repeats. Rows are in the file's own order and colour space:
 * neither the orientation nor the profile has been applied.
 *
 * Where a file merely ends early, the rows above its end are right: trust ends
 * two MCU rows above it. Where the data themselves are wrong, the decoder may
 * notice only long after the fault, or at the very end: trust then ends at the
 * last restart marker before it, and without such markers nothing can be
 * trusted. Rows from damaged_row on are handed on too, and it is known only
 * at the end. A changed byte can still go unnoticed.
 *
 * err   ERR_INPUT  too damaged to read (no row can be trusted), or damaged
 *                  with more than one scan (progressive)
 *       ERR_LIMIT  more than 100 scans (fewer above 25 million pixels), or
 *                  more memory than 512 MiB
 */
bool photo_decode(const struct photo *photo, const unsigned char *data,
                  size_t size, photo_sink *sink, void *self,
                  struct photo_decoded *out, struct error *err);

/*
 * The same for rows first to end - 1 alone, the same pixels as photo_decode
 * hands on. The rest of the file is still read, so that its damage is found;
 * the row it is said to begin at may be nearer to the top. Saves what the other
 * rows would cost beyond that, about half their time.
 */
bool photo_decode_rows(const struct photo *photo, const unsigned char *data,
                       size_t size, uint32_t first, uint32_t end,
                       photo_sink *sink, void *self, struct photo_decoded *out,
                       struct error *err);

/*
 * The same, with the picture shrunk by 1, 2, 4 or 8 each way: rows have
 * width/shrink pixels, rounded up, and so for height; damaged_row still counts
 * rows of the whole picture. Each pixel is a mean of codes, not of light: for
 * finding things, never for their colour. Takes about half the time at 8,
 * where of a progressive file no more is read than shows: damage further on is
 * left for photo_decode to find.
 */
bool photo_decode_small(const struct photo *photo, const unsigned char *data,
                        size_t size, unsigned shrink, photo_sink *sink,
                        void *self, struct photo_decoded *out,
                        struct error *err);

/* A rectangle in pixels. */
struct box {
    int64_t x, y, w, h;
};

/* Width and height as displayed upright. */
void photo_upright_size(const struct photo *photo, uint32_t *width,
                        uint32_t *height);

/* A box of the upright picture as a box of the stored one. The box must lie
 * in the upright picture. */
struct box photo_box_stored(const struct photo *photo, struct box upright);

/*
 * Reads a whole file into memory.
 *
 * data  set only on success, never NULL then; release with free()
 * err   ERR_MISSING no such file; ERR_INPUT a folder, a pipe, no permission,
 *       changed while it was read; ERR_LIMIT over max bytes
 */
bool file_load(const char *path, size_t max, unsigned char **data, size_t *size,
               struct error *err);

/* The same in two steps, for a program that may open nothing when it reads. fd
 * is to be closed; name is what the lines call the file. */
bool file_open(const char *path, int *fd, struct error *err);
bool file_load_from(int fd, const char *name, size_t max, unsigned char **data,
                    size_t *size, struct error *err);

/*
 * Writes a file that is not there yet; what could not be written whole is
 * removed again.
 *
 * err   ERR_INPUT  there is one already, or it cannot be made; ERR_STORE the
 *       disk is full
 */
bool file_write_new(const char *path, const unsigned char *data, size_t size,
                    struct error *err);

#endif
