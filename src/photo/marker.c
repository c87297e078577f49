/* What a JPEG says of itself before its first scan. See photo.h. */
#include "photo/photo.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "photo/exif.h"
#include "photo/profile.h"
#include "photo/kind.h"
#include "photo/mpf.h"
#include "photo/segment.h"

#define MAX_PIXELS_PER_BYTE 1000 /* a plain white wall has about 150 */
#define COARSE_DC_STEP 17        /* the usual tables below quality 50 */

/* What the walk has gathered, judged once it is over. */
struct header {
    const unsigned char *data;
    size_t size;
    struct photo *out;
    bool has_frame, has_exif, has_mpf, has_gain_map;
    int xmp_orientation; /* 0 when not said */
    bool xmp_gps;
    unsigned pictures;
    int table_of[3];    /* quantisation table of each component */
    int dc_of_table[4]; /* DC step of each table, 0 while not defined */
    struct profile_parts profile;
};

void photo_clear(struct photo *photo)
{
    if (!photo)
        return;
    free(photo->icc);
    *photo = (struct photo){0};
}

static unsigned be16(const unsigned char *p)
{
    return (unsigned)p[0] << 8 | p[1];
}

static bool refuse_cut(struct error *err)
{
    return error_set(err, ERR_INPUT,
                     "the file ends before its picture begins: copy it from "
                     "the camera again");
}

static bool check_is_jpeg(const unsigned char *data, size_t size,
                          struct error *err)
{
    static const unsigned char start[] = {0xFF, MARKER_SOI, 0xFF};
    const char *kind;

    if (size > PHOTO_MAX_BYTES)
        return error_set(
            err, ERR_LIMIT,
            "the photo has %zu MiB; at most %u MiB can be read: set "
            "the camera to a smaller picture",
            size >> 20, PHOTO_MAX_BYTES >> 20);
    if (size == 0)
        return error_set(err, ERR_INPUT,
                         "the file is empty: copy it from the camera again");
    if (size >= sizeof start && !memcmp(data, start, sizeof start))
        return true;
    kind = kind_name(data, size);
    if (size < sizeof start && !memcmp(data, start, size))
        return refuse_cut(err);
    if (kind && strstr(kind, "HEIC"))
        return error_set(err, ERR_INPUT,
                         "this is %s, not a JPEG photo: in the phone's camera "
                         "settings choose JPEG (\"most compatible\", not "
                         "\"high efficiency\"), or export it as JPEG without "
                         "changing it",
                         kind);
    if (kind)
        return error_set(err, ERR_INPUT,
                         "this is %s, not a JPEG photo: set the camera to save "
                         "JPEG, or export it as JPEG without changing it",
                         kind);
    return error_set(err, ERR_INPUT,
                     "this is not a JPEG photo: name a picture as the camera "
                     "saved it");
}

static bool check_components(int n, struct error *err)
{
    if (n == 3)
        return true;
    if (n == 1)
        return error_set(err, ERR_INPUT,
                         "a grey picture holds no colour: take the photo in "
                         "colour");
    if (n == 4)
        return error_set(err, ERR_INPUT,
                         "this is a CMYK picture, converted for print and no "
                         "camera file: use the photo it was made from");
    return error_set(err, ERR_INPUT,
                     "the picture has %d colour components where a photo has "
                     "3: use the camera's own file",
                     n);
}

static bool check_size(uint32_t w, uint32_t h, size_t bytes, struct error *err)
{
    uint64_t pixels = (uint64_t)w * h;

    if (w == 0 || h == 0)
        return error_set(err, ERR_INPUT,
                         "the file does not say how %s the picture is: save it "
                         "as an ordinary JPEG",
                         h == 0 ? "high" : "wide");
    if (w < PHOTO_MIN_SIDE || h < PHOTO_MIN_SIDE)
        return error_set(err, ERR_INPUT,
                         "%ux%u pixels are too small to measure: each side "
                         "must have at least %d",
                         w, h, PHOTO_MIN_SIDE);
    if (w > PHOTO_MAX_SIDE || h > PHOTO_MAX_SIDE || pixels > PHOTO_MAX_PIXELS)
        return error_set(err, ERR_LIMIT,
                         "%ux%u pixels are too many: set the camera to at most "
                         "%u million, and %u a side",
                         w, h, PHOTO_MAX_PIXELS / 1000000, PHOTO_MAX_SIDE);
    if (pixels > (uint64_t)bytes * MAX_PIXELS_PER_BYTE)
        return error_set(err, ERR_LIMIT,
                         "a file of %zu bytes cannot hold %ux%u pixels: copy "
                         "it from the camera again",
                         bytes, w, h);
    return true;
}

/* Sampling factors as libjpeg wants them: 1..4, and whole ratios. */
static bool read_sampling(struct header *head, const unsigned char *component,
                          struct error *err)
{
    int h[3], v[3], most_h = 1, most_v = 1, step_h = 1, step_v = 1;
    bool ok = true;

    for (int i = 0; i < 3; i++) {
        h[i] = component[3 * i + 1] >> 4;
        v[i] = component[3 * i + 1] & 15;
        head->table_of[i] = component[3 * i + 2];
        ok = ok && h[i] >= 1 && h[i] <= 4 && v[i] >= 1 && v[i] <= 4 &&
             head->table_of[i] < 4;
        most_h = h[i] > most_h ? h[i] : most_h;
        most_v = v[i] > most_v ? v[i] : most_v;
    }
    for (int i = 0; i < 3 && ok; i++) {
        ok = most_h % h[i] == 0 && most_v % v[i] == 0;
        step_h = most_h / h[i] > step_h ? most_h / h[i] : step_h;
        step_v = most_v / v[i] > step_v ? most_v / v[i] : step_v;
    }
    if (!ok)
        return error_set(err, ERR_INPUT,
                         "the picture's colour sampling makes no sense: copy "
                         "the file from the camera again");
    head->out->mcu_w = 8 * most_h;
    head->out->mcu_h = 8 * most_v;
    head->out->chroma_h = step_h;
    head->out->chroma_v = step_v;
    return true;
}

/* A frame header, T.81 B.2.2. */
static bool read_frame(struct header *head, const struct segment *s,
                       struct error *err)
{
    const unsigned char *p = s->body;

    if (head->has_frame || s->size < 6 || s->size != 6 + 3 * (size_t)p[5])
        return error_set(err, ERR_INPUT,
                         "the file's picture header is damaged: copy it from "
                         "the camera again");
    if (p[0] != 8)
        return error_set(err, ERR_INPUT,
                         "the picture has %d bits a sample where a photo has "
                         "8: save it as an ordinary JPEG",
                         p[0]);
    head->out->height = be16(p + 1);
    head->out->width = be16(p + 3);
    head->out->components = p[5];
    head->out->progressive =
        s->marker == MARKER_SOF2 || s->marker == MARKER_SOF10;
    head->has_frame = true;
    return check_components(p[5], err) &&
           check_size(head->out->width, head->out->height, head->size, err) &&
           read_sampling(head, p + 6, err);
}

/* Quantisation tables, T.81 B.2.4.1; the first step of each is the DC's. A
 * malformed one is left to libjpeg to refuse. */
static void read_tables(struct header *head, const struct segment *s)
{
    const unsigned char *p = s->body;
    size_t left = s->size;

    while (left > 0) {
        size_t wide = p[0] >> 4 ? 2 : 1, need = 1 + 64 * wide;
        if (left < need || (p[0] & 15) > 3)
            return;
        head->dc_of_table[p[0] & 15] = wide == 2 ? (int)be16(p + 1) : (int)p[1];
        p += need;
        left -= need;
    }
}

/* tiff:Orientation, as an attribute or an element; 0 when not said. */
static int xmp_orientation(const struct segment *s)
{
    static const char name[] = "tiff:Orientation";
    const unsigned char *end = s->body + s->size, *p = segment_find(s, name);

    if (!p)
        return 0;
    p += sizeof name - 1;
    while (p < end && strchr("=>\"' \t\r\n", *p) && *p)
        p++;
    return p < end && *p >= '1' && *p <= '8' ? *p - '0' : 0;
}

static bool names_editor(const char *software)
{
    static const char *const editors[] = {
        "photoshop",    "lightroom",     "camera raw", "gimp",
        "snapseed",     "darktable",     "rawtherap",  "capture one",
        "affinity",     "paint",         "picasa",     "pixelmator",
        "imagemagick",  "photoscape",    "acdsee",     "irfanview",
        "xnview",       "libformat",     "instagram",  "vsco",
        "pixlr",        "picsart",       "digikam",    "luminar",
        "photo editor", "photo gallery",
    };
    char lower[64] = "";

    for (size_t i = 0; software[i]; i++)
        lower[i] = (char)(software[i] >= 'A' && software[i] <= 'Z'
                              ? software[i] + ('a' - 'A')
                              : software[i]);
    for (size_t i = 0; i < ARRAY_LEN(editors); i++)
        if (strstr(lower, editors[i]))
            return true;
    return false;
}

static void read_exif(struct header *head, const struct segment *s)
{
    struct photo *out = head->out;
    struct exif exif;

    if (head->has_exif) {
        out->notes |= PHOTO_NOTE_EXIF_TWICE;
        return;
    }
    head->has_exif = true;
    exif = exif_read(s->body + 6, s->size - 6);
    if (exif.orientation >= 1)
        out->orientation = exif.orientation;
    out->exif_space = exif.space;
    memcpy(out->make, exif.make, sizeof out->make);
    memcpy(out->model, exif.model, sizeof out->model);
    memcpy(out->software, exif.software, sizeof out->software);
    memcpy(out->taken, exif.taken, sizeof out->taken);
    out->exposure_s = exif.exposure_s;
    out->f_number = exif.f_number;
    out->iso = exif.iso;
    out->has_gps = exif.has_gps;
    out->scene = exif.scene;
    out->contrast = exif.contrast;
    out->saturation = exif.saturation;
    if (exif.damaged)
        out->notes |= PHOTO_NOTE_EXIF_DAMAGED;
    if (exif.orientation == EXIF_TURN_ODD)
        out->notes |= PHOTO_NOTE_ORIENTATION_ODD;
    if (exif.rendered)
        out->notes |= PHOTO_NOTE_RENDERED;
    if (names_editor(exif.software))
        out->notes |= PHOTO_NOTE_EDITED;
}

/* Metadata: none of it can make the file unreadable. */
static void read_extras(struct header *head, const struct segment *s)
{
    if (segment_is_exif(s))
        read_exif(head, s);
    if (segment_is_xmp(s)) {
        if (!head->xmp_orientation)
            head->xmp_orientation = xmp_orientation(s);
        if (segment_find(s, "exif:GPSLatitude"))
            head->xmp_gps = true;
    }
    if (segment_is_gain_map(s))
        head->has_gain_map = true;
    if (segment_is_mpf(s) && !head->has_mpf) {
        struct mpf mpf = mpf_read(head->data, head->size, s);
        head->has_mpf = true;
        head->pictures = mpf.pictures;
        head->has_gain_map = head->has_gain_map || mpf.gain_map;
    }
    if (s->marker == MARKER_APP2)
        profile_take(&head->profile, s->body, s->size);
}

static bool read_segment(struct header *head, const struct segment *s,
                         struct error *err)
{
    switch (s->marker) {
    case MARKER_SOF0:
    case MARKER_SOF0 + 1: /* extended sequential */
    case MARKER_SOF2:
    case MARKER_SOF9: /* the same with arithmetic coding */
    case MARKER_SOF10:
        return read_frame(head, s, err);
    case MARKER_DQT:
        read_tables(head, s);
        return true;
    case MARKER_DHT:
    case MARKER_DAC:
    case MARKER_DRI:
    case MARKER_DNL:
    case MARKER_COM:
    case MARKER_TEM:
        return true;
    case MARKER_EOI:
        return error_set(err, ERR_INPUT,
                         "there is no picture in the file: copy it from the "
                         "camera again");
    default: /* a byte out of the file, not an enum of ours */
        if (s->marker >= MARKER_APP0 && s->marker <= MARKER_APP15) {
            read_extras(head, s);
            return true;
        }
        if (s->marker >= MARKER_RST0 && s->marker <= MARKER_RST7)
            return true;
        if (s->marker > MARKER_SOF2 && s->marker <= MARKER_SOF15)
            return error_set(err, ERR_INPUT,
                             "a lossless or hierarchical JPEG cannot be read: "
                             "save it as an ordinary JPEG");
        return error_set(err, ERR_INPUT,
                         "the file's header is damaged (marker %02X): copy it "
                         "from the camera again",
                         (unsigned)s->marker);
    }
}

/* All that can be said once every segment is known. */
static bool judge(struct header *head, struct error *err)
{
    struct photo *out = head->out;
    int *table_of = head->table_of, *dc = head->dc_of_table;

    if (!head->has_frame)
        return error_set(err, ERR_INPUT,
                         "there is no picture in the file: copy it from the "
                         "camera again");
    for (int i = 0; i < 3; i++)
        if (dc[table_of[i]] == 0)
            return error_set(err, ERR_INPUT,
                             "a part of the file's header is missing (a "
                             "quantisation table): copy it from the camera "
                             "again");
    out->dc_luma = dc[table_of[0]];
    out->dc_chroma =
        dc[table_of[1]] > dc[table_of[2]] ? dc[table_of[1]] : dc[table_of[2]];
    out->icc_state = profile_join(&head->profile, &out->icc, &out->icc_size);
    out->has_gps = out->has_gps || head->xmp_gps;
    if (out->dc_luma >= COARSE_DC_STEP || out->dc_chroma >= COARSE_DC_STEP)
        out->notes |= PHOTO_NOTE_LOW_QUALITY;
    if (head->xmp_orientation && head->xmp_orientation != out->orientation)
        out->notes |= PHOTO_NOTE_XMP_ORIENTATION;
    if (head->has_gain_map)
        out->notes |= PHOTO_NOTE_GAIN_MAP;
    if (head->pictures > (head->has_gain_map ? 2 : 1))
        out->notes |= PHOTO_NOTE_MORE_PICTURES;
    if (!head->has_exif && out->icc_state == PHOTO_ICC_NONE)
        out->notes |= PHOTO_NOTE_STRIPPED;
    else if (!out->make[0] && !out->model[0])
        out->notes |= PHOTO_NOTE_NO_CAMERA;
    return true;
}

static bool walk(struct header *head, struct error *err)
{
    struct segments in = {.data = head->data, .size = head->size, .at = 2};
    struct segment s;

    for (;;) {
        if (!segment_next(&in, &s))
            return refuse_cut(err);
        if (in.at > PHOTO_MAX_METADATA)
            return error_set(
                err, ERR_LIMIT,
                "more than %u MiB come before the picture: save it "
                "as an ordinary JPEG",
                PHOTO_MAX_METADATA >> 20);
        if (s.marker == MARKER_SOS)
            break;
        if (!read_segment(head, &s, err))
            return false;
    }
    if (in.stray)
        head->out->notes |= PHOTO_NOTE_STRAY_BYTES;
    return judge(head, err);
}

bool photo_open(const unsigned char *data, size_t size, struct photo *out,
                struct error *err)
{
    const double unsaid = (double)NAN;
    struct header head = {.data = data, .size = size, .out = out};

    *out = (struct photo){.orientation = 1,
                          .exposure_s = unsaid,
                          .f_number = unsaid,
                          .iso = unsaid};
    if (check_is_jpeg(data, size, err) && walk(&head, err))
        return true;
    photo_clear(out);
    return false;
}
