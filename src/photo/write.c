/* A JPEG written row by row. See the header. */
#include "photo/write.h"

#include <stdio.h> /* jpeglib.h needs it */
#include <stdlib.h>

#include <jpeglib.h>

#include "base/mem.h"

struct photo_writer {
    struct jpeg_compress_struct jpeg;
    struct jpeg_error_mgr errors;
    unsigned char *bytes;
    unsigned long size;
};

/* Without memory the program ends, as in base/mem.h; nothing else goes wrong
 * with a picture of ours. */
static void on_error(j_common_ptr jpeg)
{
    (void)jpeg;
    abort();
}

/* Exif 2.32 with one entry, Orientation; TIFF 6.0, little-endian. */
static void write_orientation(struct jpeg_compress_struct *jpeg,
                              int orientation)
{
    unsigned char exif[] = {'E', 'x', 'i',  'f', 0, 0, /* then the header */
                            'I', 'I', 42,   0,   8, 0, 0, 0, /* and 1 entry */
                            1,   0,   0x12, 1,   3, 0, 1, 0, 0,
                            0,   0,   0,    0,   0, 0, 0, 0, 0};

    exif[24] = (unsigned char)orientation;
    jpeg_write_marker(jpeg, JPEG_APP0 + 1, exif, sizeof exif);
}

struct photo_writer *photo_writer_new(const struct photo_written *what)
{
    struct photo_writer *w = mem_new(1, sizeof *w);

    w->jpeg.err = jpeg_std_error(&w->errors);
    w->errors.error_exit = on_error;
    jpeg_create_compress(&w->jpeg);
    jpeg_mem_dest(&w->jpeg, &w->bytes, &w->size);
    w->jpeg.image_width = what->width;
    w->jpeg.image_height = what->height;
    w->jpeg.input_components = 3;
    w->jpeg.in_color_space = JCS_RGB;
    jpeg_set_defaults(&w->jpeg);
    jpeg_set_quality(&w->jpeg, what->quality, TRUE);
    jpeg_start_compress(&w->jpeg, TRUE);
    if (what->orientation > 1)
        write_orientation(&w->jpeg, what->orientation);
    if (what->icc)
        jpeg_write_icc_profile(&w->jpeg, what->icc, (unsigned)what->icc_size);
    return w;
}

void photo_writer_row(struct photo_writer *w, unsigned char *rgb)
{
    jpeg_write_scanlines(&w->jpeg, &rgb, 1);
}

void photo_writer_end(struct photo_writer *w, unsigned char **out, size_t *size)
{
    jpeg_finish_compress(&w->jpeg);
    *out = w->bytes;
    *size = w->size;
    w->bytes = NULL;
}

void photo_writer_free(struct photo_writer *w)
{
    if (!w)
        return;
    jpeg_destroy_compress(&w->jpeg);
    free(w->bytes);
    free(w);
}
