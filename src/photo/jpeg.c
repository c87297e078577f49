/*
 * Decodes through libjpeg-turbo, row by row. The only file that knows of
 * setjmp: what must survive the jump lives in struct decoder.
 */
#include "photo/photo.h"

#include <assert.h>
#include <setjmp.h>
#include <stdio.h> /* jpeglib.h needs it */
#include <stdlib.h>

#include <jerror.h>
#include <jpeglib.h>

#include "base/mem.h"
#include "photo/packed.h"

#define MAX_SCANS 100 /* cameras write 1, progressive encoders about 10 */
/* In all scans together, or a small file could take minutes: 12 scans of the
 * largest picture. */
#define MAX_SCANNED_PIXELS 2500000000u
#define MAX_MEMORY_BYTES (512L << 20)
#define MCU_ROWS_ABOVE 2 /* upsampling looks one row up, and one to spare */

enum stage { STAGE_HEADER, STAGE_ROWS, STAGE_END };

struct decoder {
    struct jpeg_decompress_struct jpeg; /* jpeg.client_data is this struct */
    struct jpeg_error_mgr errors;
    struct jpeg_progress_mgr progress;
    jmp_buf jump;
    enum stage stage;
    bool refused;             /* err says why */
    bool input_ended;         /* the file has no end marker */
    unsigned components_seen; /* bit i: some scan held component i */
    const struct photo *photo;
    unsigned shrink;     /* pixels of the picture to one of ours, each way */
    uint32_t first, end; /* rows that are wanted, shrunken ones */
    bool skipping;       /* inside jpeg_skip_scanlines */
    const unsigned char *data;
    size_t size;
    photo_sink *sink;
    void *self;
    unsigned char *row;
    struct photo_decoded *out;
    struct error *err;
};

static struct decoder *decoder_of(j_common_ptr jpeg)
{
    return jpeg->client_data;
}

/* Leaves the decoder; err has been set. */
static _Noreturn void leave(struct decoder *d)
{
    d->refused = true;
    longjmp(d->jump, 1);
}

/* Rows of the picture in a row of MCUs. */
static uint32_t mcu_rows(const struct decoder *d)
{
    return 8u * (unsigned)d->jpeg.max_v_samp_factor;
}

/* How far the decoder has come, in rows of the picture. libjpeg counts the rows
 * it skips only afterwards, its rows of MCUs as it goes; of the last of these
 * it would not yet have handed on what upsampling needs for the next. */
static uint32_t rows_done(const struct decoder *d)
{
    if (d->skipping && d->jpeg.output_iMCU_row)
        return d->jpeg.output_iMCU_row * mcu_rows(d) -
               (uint32_t)d->jpeg.max_v_samp_factor;
    return d->jpeg.output_scanline * d->shrink;
}

static _Noreturn void refuse_damaged(struct decoder *d)
{
    uint32_t row = rows_done(d), height = d->photo->height;

    if (jpeg_has_multiple_scans(&d->jpeg))
        error_set(d->err, ERR_INPUT,
                  "the photo is cut short or damaged, and being progressive "
                  "no part of it can be trusted: copy it from the camera "
                  "again");
    else if (d->input_ended)
        error_set(d->err, ERR_INPUT,
                  "the file is cut short and holds only about %u of its "
                  "picture's %u rows: copy it from the camera again",
                  row, height);
    else
        error_set(d->err, ERR_INPUT,
                  "the photo is damaged (noticed at row %u of %u) and no part "
                  "of it can be trusted: copy it from the camera again",
                  row, height);
    leave(d);
}

/* libjpeg cannot go on. Never returns. */
static void on_error(j_common_ptr jpeg)
{
    struct decoder *d = decoder_of(jpeg);
    char text[JMSG_LENGTH_MAX];

    if (d->stage == STAGE_END) { /* whole, but the end marker is not one */
        d->out->notes |= PHOTO_NOTE_NO_END_MARKER;
        longjmp(d->jump, 1);
    }
    switch (jpeg->err->msg_code) {
    case JERR_NO_BACKING_STORE:
    case JERR_OUT_OF_MEMORY:
        error_set(d->err, ERR_LIMIT,
                  "the photo takes too much memory to be read: save it "
                  "smaller, or not progressive");
        break;
    case JERR_ARITH_NOTIMPL:
        error_set(d->err, ERR_INPUT,
                  "the photo uses arithmetic coding, which this computer's "
                  "JPEG library leaves out: save it as an ordinary JPEG");
        break;
    default: /* another library's number */
        jpeg->err->format_message(jpeg, text);
        error_set(d->err, ERR_INPUT,
                  "the photo is damaged (%s): copy it from the camera again",
                  text);
        break;
    }
    leave(d);
}

static void on_output(j_common_ptr jpeg)
{
    (void)jpeg; /* nothing goes to standard error */
}

/* MCU rows between two restart markers, whole picture when there are none. */
static uint32_t rows_between_restarts(const struct jpeg_decompress_struct *jpeg)
{
    uint32_t mcu_w = 8u * (unsigned)jpeg->max_h_samp_factor;
    uint32_t per_row = (jpeg->image_width + mcu_w - 1) / mcu_w;

    if (jpeg->restart_interval == 0)
        return jpeg->image_height;
    return (jpeg->restart_interval + per_row - 1) / per_row;
}

/* Notes that no row can be trusted from so many MCU rows above this one. */
static void damage(struct decoder *d, uint32_t mcu_rows_above)
{
    uint64_t above = (uint64_t)mcu_rows(d) * (MCU_ROWS_ABOVE + mcu_rows_above);
    uint32_t row = rows_done(d);

    row = row > above ? (uint32_t)(row - above) : 0;
    if (row == 0 || jpeg_has_multiple_scans(&d->jpeg))
        refuse_damaged(d);
    if (row < d->out->damaged_row)
        d->out->damaged_row = row;
}

/* Whether the n bytes before the marker that libjpeg stands at are nought:
 * some encoders fill up with them. */
static bool is_padding(const struct decoder *d, size_t n)
{
    const unsigned char *marker = d->jpeg.src->next_input_byte;

    if (d->input_ended || n > (size_t)(marker - d->data))
        return false;
    for (size_t i = 1; i <= n; i++)
        if (marker[-(ptrdiff_t)i])
            return false;
    return true;
}

static void on_warning(struct decoder *d, const struct jpeg_error_mgr *e)
{
    switch (e->msg_code) {
    case JWRN_JFIF_MAJOR:
    case JWRN_ADOBE_XFORM:
    case JWRN_NOT_SEQUENTIAL:
        d->out->notes |= PHOTO_NOTE_ODD_HEADER;
        break;
    case JWRN_EXTRANEOUS_DATA: /* i[0]: how many bytes nobody asked for */
        if (d->stage == STAGE_HEADER)
            d->out->notes |= PHOTO_NOTE_STRAY_BYTES;
        else if (is_padding(d, (size_t)e->msg_parm.i[0]))
            d->out->notes |= PHOTO_NOTE_ODD_HEADER;
        else
            damage(d, rows_between_restarts(&d->jpeg));
        break;
    case JWRN_JPEG_EOF:
        d->input_ended = true;
        /* The arithmetic decoder takes noughts for the missing data without
         * a word; the Huffman decoder says JWRN_HIT_MARKER. */
        if (d->jpeg.arith_code && d->stage != STAGE_HEADER)
            damage(d, 0);
        break;
    default: /* HIT_MARKER, HUFF_BAD_CODE, MUST_RESYNC and the like */
        if (d->stage == STAGE_HEADER)
            d->out->notes |= PHOTO_NOTE_ODD_HEADER;
        else
            damage(d, d->input_ended ? 0 : rows_between_restarts(&d->jpeg));
        break;
    }
}

static void on_message(j_common_ptr jpeg, int level)
{
    if (level < 0)
        on_warning(decoder_of(jpeg), jpeg->err);
}

static int most_scans(const struct photo *photo)
{
    unsigned n = MAX_SCANNED_PIXELS / (photo->width * photo->height);

    return n < MAX_SCANS ? (int)n : MAX_SCANS;
}

/* Called once an MCU row, also while the scans of a progressive file are
 * read, which is the only place where a bomb of them can be stopped. */
static void on_progress(j_common_ptr jpeg)
{
    struct decoder *d = decoder_of(jpeg);
    int most = most_scans(d->photo);

    for (int i = 0; i < d->jpeg.comps_in_scan; i++)
        d->components_seen |= 1u << d->jpeg.cur_comp_info[i]->component_index;
    if (d->jpeg.input_scan_number <= most)
        return;
    error_set(d->err, ERR_LIMIT,
              "the photo has more than %d scans, as no camera writes: save it "
              "as an ordinary JPEG",
              most);
    leave(d);
}

/* A file cut between two scans gives no warning but lacks a component, or the
 * last bits of its coefficients (coef_bits: -1 not sent, 0 complete). */
static void check_scans(struct decoder *d)
{
    const struct jpeg_decompress_struct *jpeg = &d->jpeg;

    if (d->components_seen != (1u << jpeg->num_components) - 1)
        refuse_damaged(d);
    if (!jpeg->coef_bits)
        return;
    for (int c = 0; c < jpeg->num_components; c++) {
        if (jpeg->coef_bits[c][0] < 0)
            refuse_damaged(d);
        for (int k = 0; k < DCTSIZE2 && d->input_ended; k++)
            if (jpeg->coef_bits[c][k] != 0)
                refuse_damaged(d);
    }
}

/* Whether the scans read so far hold all that an eighth of the picture needs:
 * the means of the blocks, and all of what is sampled more coarsely, which
 * libjpeg then makes of more. */
static bool eighth_is_whole(const struct jpeg_decompress_struct *jpeg)
{
    for (int c = 0; c < jpeg->num_components; c++) {
        const jpeg_component_info *info = &jpeg->comp_info[c];
        const bool coarse = info->h_samp_factor < jpeg->max_h_samp_factor ||
                            info->v_samp_factor < jpeg->max_v_samp_factor;

        for (int k = 0; k < (coarse ? DCTSIZE2 : 1); k++)
            if (jpeg->coef_bits[c][k] != 0)
                return false;
    }
    return true;
}

/* Begins to hand rows on as soon as no later scan would change them: the last
 * is often the largest, and refines what an eighth of a picture does not show.
 */
static void start_early(struct decoder *d)
{
    struct jpeg_decompress_struct *jpeg = &d->jpeg;
    int got = 0;

    jpeg->buffered_image = TRUE;
    jpeg_start_decompress(jpeg);
    while (got != JPEG_REACHED_EOI &&
           !(got == JPEG_SCAN_COMPLETED && eighth_is_whole(jpeg))) {
        got = jpeg_consume_input(jpeg);
        on_progress((j_common_ptr)jpeg);
    }
    if (got == JPEG_REACHED_EOI)
        check_scans(d);
    jpeg_start_output(jpeg, jpeg->input_scan_number);
}

static void start(struct decoder *d)
{
    struct jpeg_decompress_struct *jpeg = &d->jpeg;

    jpeg_create_decompress(jpeg); /* keeps err and client_data */
    jpeg->mem->max_memory_to_use = MAX_MEMORY_BYTES;
    jpeg->progress = &d->progress;
    jpeg_mem_src(jpeg, d->data, d->size);
    jpeg_read_header(jpeg, TRUE);
    if (jpeg->image_width != d->photo->width ||
        jpeg->image_height != d->photo->height || jpeg->num_components != 3) {
        error_set(d->err, ERR_BUG, "these are not the bytes that were opened");
        leave(d);
    }
    d->stage = STAGE_ROWS;
    if (jpeg_has_multiple_scans(jpeg) && packed_pays(jpeg))
        packed_use(jpeg);
    jpeg->out_color_space = JCS_RGB;
    jpeg->scale_num = 1;
    jpeg->scale_denom = d->shrink;
    jpeg->dct_method = JDCT_ISLOW;
    jpeg->do_fancy_upsampling = TRUE;
    jpeg->do_block_smoothing = FALSE;
    if (d->shrink == 8 && jpeg->progressive_mode) {
        start_early(d);
        return;
    }
    jpeg_start_decompress(jpeg);
    if (jpeg_has_multiple_scans(jpeg))
        check_scans(d);
}

/* Passes over rows up to `to`, or up to two rows of MCUs before it: what is
 * handed on next then has the rows around it that upsampling looks at, as if
 * none had been skipped. Their data are still read, and damage in them found.
 */
static void skip_to(struct decoder *d, uint32_t to)
{
    const uint32_t mcu = mcu_rows(d) / d->shrink;
    const uint32_t at = d->jpeg.output_scanline;

    to = to / mcu * mcu;
    if (to <= at + 2 * mcu)
        return;
    d->skipping = true;
    jpeg_skip_scanlines(&d->jpeg, to - at - 2 * mcu);
    d->skipping = false;
}

/* Reads rows up to `to`; false when the sink wants no more. */
static bool read_to(struct decoder *d, uint32_t to)
{
    struct jpeg_decompress_struct *jpeg = &d->jpeg;

    while (jpeg->output_scanline < to) {
        const uint32_t y = jpeg->output_scanline;

        jpeg_read_scanlines(jpeg, &d->row, 1);
        if (y >= d->first && y < d->end && !d->sink(d->self, d->row, y))
            return false;
    }
    return true;
}

/* False when refused, by libjpeg or by us. Changes no local after setjmp. */
static bool run(struct decoder *d)
{
    struct jpeg_decompress_struct *const jpeg = &d->jpeg;

    if (setjmp(d->jump))
        return !d->refused;
    start(d);
    d->row = mem_new(jpeg->output_width, 3);
    skip_to(d, d->first);
    if (!read_to(d,
                 d->end < jpeg->output_height ? d->end : jpeg->output_height))
        return true;
    if (jpeg->buffered_image) /* the rest of the file is not asked for */
        return true;
    skip_to(d, jpeg->output_height);
    read_to(d, jpeg->output_height);
    d->stage = STAGE_END;
    jpeg_finish_decompress(jpeg);
    if (d->input_ended && d->out->damaged_row == d->photo->height)
        d->out->notes |= PHOTO_NOTE_NO_END_MARKER;
    return true;
}

/* Everything a caller may ask for. */
static bool decode(const struct photo *photo, const unsigned char *data,
                   size_t size, unsigned shrink, uint32_t first, uint32_t end,
                   photo_sink *sink, void *self, struct photo_decoded *out,
                   struct error *err)
{
    struct decoder *d = mem_new(1, sizeof *d);

    *out = (struct photo_decoded){.damaged_row = photo->height};
    d->photo = photo;
    d->shrink = shrink;
    d->first = first;
    d->end = end;
    d->data = data;
    d->size = size;
    d->sink = sink;
    d->self = self;
    d->out = out;
    d->err = err;
    d->jpeg.err = jpeg_std_error(&d->errors);
    d->jpeg.client_data = d;
    d->errors.error_exit = on_error;
    d->errors.emit_message = on_message;
    d->errors.output_message = on_output;
    d->progress.progress_monitor = on_progress;
    bool ok = run(d);
    if (out->damaged_row < photo->height)
        out->notes |= PHOTO_NOTE_DAMAGED_BELOW;
    jpeg_destroy_decompress(&d->jpeg);
    free(d->row);
    free(d);
    return ok;
}

bool photo_decode_small(const struct photo *photo, const unsigned char *data,
                        size_t size, unsigned shrink, photo_sink *sink,
                        void *self, struct photo_decoded *out,
                        struct error *err)
{
    assert(shrink == 1 || shrink == 2 || shrink == 4 || shrink == 8);
    return decode(photo, data, size, shrink, 0, photo->height, sink, self, out,
                  err);
}

bool photo_decode_rows(const struct photo *photo, const unsigned char *data,
                       size_t size, uint32_t first, uint32_t end,
                       photo_sink *sink, void *self, struct photo_decoded *out,
                       struct error *err)
{
    assert(first < end && end <= photo->height);
    return decode(photo, data, size, 1, first, end, sink, self, out, err);
}

bool photo_decode(const struct photo *photo, const unsigned char *data,
                  size_t size, photo_sink *sink, void *self,
                  struct photo_decoded *out, struct error *err)
{
    return decode(photo, data, size, 1, 0, photo->height, sink, self, out, err);
}
