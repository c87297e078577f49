/*
 * A phone's JPEG: Exif, profile, 4:2:0, pixels turned as the orientation
 * says. And the comparison of two of them.
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <jpeglib.h>

#include "base/mem.h"
#include "scene.h"

/* ---- Exif: a little-endian TIFF in an APP1 segment (CIPA DC-008) ---- */

struct exif {
    unsigned char at[512];
    size_t size;
};

static void put16(struct exif *e, size_t at, unsigned value)
{
    e->at[at] = value & 0xff;
    e->at[at + 1] = (value >> 8) & 0xff;
}

static void put32(struct exif *e, size_t at, uint32_t value)
{
    put16(e, at, value & 0xffff);
    put16(e, at + 2, value >> 16);
}

enum { ASCII = 2, SHORT = 3, LONG = 4, RATIONAL = 5, UNDEFINED = 7 };

/* The TIFF begins behind "Exif\0\0"; offsets count from there. */
#define TIFF 6

/* A folder of n entries at the end; its entries are filled one by one. */
static size_t folder(struct exif *e, unsigned n)
{
    size_t at = e->size;

    put16(e, at, n);
    e->size += 2 + 12 * n + 4;
    return at + 2;
}

static void entry(struct exif *e, size_t *at, unsigned tag, unsigned type,
                  uint32_t count, uint32_t value)
{
    put16(e, *at, tag);
    put16(e, *at + 2, type);
    put32(e, *at + 4, count);
    put32(e, *at + 8, value);
    *at += 12;
}

static void entry_text(struct exif *e, size_t *at, unsigned tag,
                       const char *text)
{
    uint32_t n = (uint32_t)strlen(text) + 1;

    if (n <= 4) {
        entry(e, at, tag, ASCII, n, 0);
        memcpy(e->at + *at - 4, text, n);
        return;
    }
    entry(e, at, tag, ASCII, n, (uint32_t)(e->size - TIFF));
    memcpy(e->at + e->size, text, n);
    e->size += n + n % 2;
}

static void entry_ratio(struct exif *e, size_t *at, unsigned tag,
                        uint32_t above, uint32_t below)
{
    entry(e, at, tag, RATIONAL, 1, (uint32_t)(e->size - TIFF));
    put32(e, e->size, above);
    put32(e, e->size + 4, below);
    e->size += 8;
}

static struct exif exif_of(const struct scene *s, int width, int height)
{
    struct exif e = {.size = TIFF + 8};
    size_t at;

    memcpy(e.at, "Exif\0\0II*\0\10\0\0\0", TIFF + 8);
    at = folder(&e, 9);
    entry_text(&e, &at, 0x010f, s->make);
    entry_text(&e, &at, 0x0110, s->model);
    entry(&e, &at, 0x0112, SHORT, 1, (uint32_t)s->orientation);
    entry_ratio(&e, &at, 0x011a, 72, 1); /* resolution: not known */
    entry_ratio(&e, &at, 0x011b, 72, 1);
    entry(&e, &at, 0x0128, SHORT, 1, 2);
    entry_text(&e, &at, 0x0132, s->taken);
    entry(&e, &at, 0x0213, SHORT, 1, 1); /* chroma lies in the middle */
    entry(&e, &at, 0x8769, LONG, 1, (uint32_t)(e.size - TIFF));
    at = folder(&e, 11);
    entry_ratio(&e, &at, 0x829a, 1, 60);              /* exposure, s */
    entry_ratio(&e, &at, 0x829d, 18, 10);             /* f-number */
    entry(&e, &at, 0x8827, SHORT, 1, 125);            /* ISO speed */
    entry(&e, &at, 0x9000, UNDEFINED, 4, 0x32333230); /* "0232" */
    entry_text(&e, &at, 0x9003, s->taken);            /* DateTimeOriginal */
    entry(&e, &at, 0x9101, UNDEFINED, 4, 0x00030201); /* Y, Cb, Cr */
    entry(&e, &at, 0xa000, UNDEFINED, 4, 0x30303130); /* "0100" */
    entry(&e, &at, 0xa001, SHORT, 1, s->encoding == ENCODING_SRGB ? 1 : 0xffff);
    entry(&e, &at, 0xa002, LONG, 1, (uint32_t)width);
    entry(&e, &at, 0xa003, LONG, 1, (uint32_t)height);
    entry(&e, &at, 0xa402, SHORT, 1, 0); /* exposure chosen by the camera */
    return e;
}

/* ---- writing ---- */

/* Where the pixel X,Y of a W x H upright picture is stored. */
static void turned(int orientation, int w, int h, int *x, int *y)
{
    int X = *x, Y = *y;

    if (orientation == 2 || orientation == 3)
        *x = w - 1 - X;
    if (orientation == 3 || orientation == 4)
        *y = h - 1 - Y;
    if (orientation < 5)
        return;
    *x = orientation < 7 ? Y : h - 1 - Y;
    *y = orientation == 5 || orientation == 8 ? X : w - 1 - X;
}

static unsigned char *stored_pixels(const struct scene *s,
                                    const unsigned char *rgb, int *width,
                                    int *height)
{
    int w = s->width, h = s->height;
    unsigned char *out = mem_new((size_t)w * (size_t)h, 3);

    *width = s->orientation > 4 ? h : w;
    *height = s->orientation > 4 ? w : h;
    for (int y = 0; y < h; y++)
        for (int x = 0; x < w; x++) {
            int i = x, j = y;

            turned(s->orientation, w, h, &i, &j);
            memcpy(out + 3 * ((size_t)j * (size_t)*width + (size_t)i), rgb, 3);
            rgb += 3;
        }
    return out;
}

static void compress(struct jpeg_compress_struct *jpeg, const struct scene *s,
                     unsigned char *pixels)
{
    struct exif exif =
        exif_of(s, (int)jpeg->image_width, (int)jpeg->image_height);
    struct matrix unused;
    size_t icc_size;
    unsigned char *icc = profile_bytes(s->encoding, &icc_size, &unused);

    jpeg_set_defaults(jpeg); /* 4:2:0 */
    jpeg_set_quality(jpeg, s->quality, TRUE);
    jpeg->dct_method = JDCT_ISLOW;
    jpeg->optimize_coding = TRUE;
    jpeg->write_JFIF_header = FALSE; /* as phones do: Exif comes first */
    jpeg_start_compress(jpeg, TRUE);
    jpeg_write_marker(jpeg, JPEG_APP0 + 1, exif.at, (unsigned)exif.size);
    jpeg_write_icc_profile(jpeg, icc, (unsigned)icc_size);
    while (jpeg->next_scanline < jpeg->image_height) {
        JSAMPROW row =
            pixels + (size_t)jpeg->next_scanline * jpeg->image_width * 3;

        jpeg_write_scanlines(jpeg, &row, 1);
    }
    jpeg_finish_compress(jpeg);
    free(icc);
}

void jpeg_save(const struct scene *s, const unsigned char *rgb,
               const char *path)
{
    struct jpeg_compress_struct jpeg;
    struct jpeg_error_mgr trouble; /* libjpeg's own: ends the program */
    FILE *file = fopen(path, "wb");
    int width, height;
    unsigned char *pixels;

    if (!file)
        die(path, "cannot be written");
    pixels = stored_pixels(s, rgb, &width, &height);
    jpeg.err = jpeg_std_error(&trouble);
    jpeg_create_compress(&jpeg);
    jpeg_stdio_dest(&jpeg, file);
    jpeg.image_width = (JDIMENSION)width;
    jpeg.image_height = (JDIMENSION)height;
    jpeg.input_components = 3;
    jpeg.in_color_space = JCS_RGB;
    compress(&jpeg, s, pixels);
    jpeg_destroy_compress(&jpeg);
    if (fclose(file))
        die(path, "cannot be written");
    free(pixels);
}

/* ---- comparing ---- */

struct opened {
    FILE *file;
    struct jpeg_decompress_struct jpeg;
    struct jpeg_error_mgr trouble;
};

static void jpeg_start(const char *path, struct opened *o)
{
    o->file = fopen(path, "rb");
    if (!o->file)
        die(path, "cannot be read");
    o->jpeg.err = jpeg_std_error(&o->trouble);
    jpeg_create_decompress(&o->jpeg);
    jpeg_stdio_src(&o->jpeg, o->file);
    jpeg_save_markers(&o->jpeg, JPEG_APP0 + 1, 0xffff);
    jpeg_save_markers(&o->jpeg, JPEG_APP0 + 2, 0xffff);
    jpeg_read_header(&o->jpeg, TRUE);
    o->jpeg.dct_method = JDCT_ISLOW;
    jpeg_start_decompress(&o->jpeg);
}

static void jpeg_end(struct opened *o)
{
    jpeg_abort_decompress(&o->jpeg);
    jpeg_destroy_decompress(&o->jpeg);
    fclose(o->file);
}

static bool markers_same(jpeg_saved_marker_ptr a, jpeg_saved_marker_ptr b)
{
    while (a && b) {
        if (a->marker != b->marker || a->data_length != b->data_length ||
            memcmp(a->data, b->data, a->data_length) != 0)
            return false;
        a = a->next;
        b = b->next;
    }
    return !a && !b;
}

/* The largest difference of two pictures of the same size. */
static int pixels_apart(struct opened *a, struct opened *b)
{
    size_t n = (size_t)a->jpeg.output_width * 3;
    unsigned char *row[2] = {mem_new(n, 1), mem_new(n, 1)};
    int most = 0;

    while (a->jpeg.output_scanline < a->jpeg.output_height) {
        jpeg_read_scanlines(&a->jpeg, &row[0], 1);
        jpeg_read_scanlines(&b->jpeg, &row[1], 1);
        for (size_t i = 0; i < n; i++) {
            int d = abs(row[0][i] - row[1][i]);

            most = d > most ? d : most;
        }
    }
    free(row[0]);
    free(row[1]);
    return most;
}

int jpeg_compare(const char *path_a, const char *path_b)
{
    struct opened a, b;
    int apart, differs = 0;

    jpeg_start(path_a, &a);
    jpeg_start(path_b, &b);
    if (a.jpeg.output_width != b.jpeg.output_width ||
        a.jpeg.output_height != b.jpeg.output_height) {
        printf("%s: another size\n", path_a);
        differs = 1;
    } else if (apart = pixels_apart(&a, &b), apart > 1) {
        printf("%s: pixels differ by up to %d codes\n", path_a, apart);
        differs = 1;
    }
    if (!markers_same(a.jpeg.marker_list, b.jpeg.marker_list)) {
        printf("%s: another Exif or profile\n", path_a);
        differs = 1;
    }
    jpeg_end(&a);
    jpeg_end(&b);
    return differs;
}
