/* Makes JPEGs with libjpeg, and Exif by hand. See the header. */
#include "jpeg_make.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <jpeglib.h>

#include "support.h"

void jpeg_pixel(unsigned x, unsigned y, unsigned char rgb[3])
{
    unsigned grain = (x * 7919u + y * 104729u) * 2654435761u >> 27; /* 0..31 */

    rgb[0] = (unsigned char)(60 + x * 2 % 128 / 2 + grain / 2);
    rgb[1] = (unsigned char)(90 + y % 96 / 2 + grain / 2);
    rgb[2] = (unsigned char)(40 + (x + y) % 120 / 2 + grain / 2);
}

static void fail_jpeg(j_common_ptr jpeg)
{
    char text[JMSG_LENGTH_MAX];

    jpeg->err->format_message(jpeg, text);
    fail_msg("libjpeg: %s", text);
    abort();
}

/* One scan a component; or all that progression allows without splitting
 * bits: the DC of all, then each AC coefficient of each component. */
static int list_scans(const struct jpeg_recipe *r, jpeg_scan_info scans[190])
{
    int n = 0;

    for (int i = 0; i < 3 && r->separate_scans; i++)
        scans[n++] = (jpeg_scan_info){
            .comps_in_scan = 1, .component_index = {i}, .Se = DCTSIZE2 - 1};
    if (!r->many_scans)
        return n;
    scans[n++] =
        (jpeg_scan_info){.comps_in_scan = 3, .component_index = {0, 1, 2}};
    for (int i = 0; i < 3; i++)
        for (int k = 1; k < DCTSIZE2; k++)
            scans[n++] = (jpeg_scan_info){
                .comps_in_scan = 1, .component_index = {i}, .Ss = k, .Se = k};
    return n;
}

static void set_colours(struct jpeg_compress_struct *c,
                        const struct jpeg_recipe *r)
{
    c->input_components = r->components ? r->components : 3;
    c->in_color_space = c->input_components == 1   ? JCS_GRAYSCALE
                        : c->input_components == 4 ? JCS_CMYK
                                                   : JCS_RGB;
    jpeg_set_defaults(c);
    if (r->rgb)
        jpeg_set_colorspace(c, JCS_RGB);
    jpeg_set_quality(c, r->quality ? r->quality : 92, TRUE);
    for (int i = 0; i < c->num_components; i++) {
        c->comp_info[i].h_samp_factor = r->chroma_h ? r->chroma_h : 1;
        c->comp_info[i].v_samp_factor = r->chroma_v ? r->chroma_v : 1;
    }
    c->comp_info[0].h_samp_factor = r->h ? r->h : 1;
    c->comp_info[0].v_samp_factor = r->v ? r->v : 1;
}

/* xorshift32, Marsaglia, J. Stat. Softw. 8 (2003) 14. */
static unsigned char noise(uint32_t *state)
{
    *state ^= *state << 13;
    *state ^= *state >> 17;
    *state ^= *state << 5;
    return (unsigned char)(*state >> 24);
}

static void write_rows(struct jpeg_compress_struct *c, bool by_chance)
{
    uint32_t state = 2463534242u;
    int n = c->input_components;
    unsigned char *row = mem_new(c->image_width, 4);

    while (c->next_scanline < c->image_height) {
        for (unsigned x = 0; x < c->image_width; x++) {
            unsigned char rgb[4] = {0};
            jpeg_pixel(x, c->next_scanline, rgb);
            for (int i = 0; i < 4 && by_chance; i++)
                rgb[i] = noise(&state);
            memcpy(row + (size_t)n * x, rgb, (size_t)n);
        }
        jpeg_write_scanlines(c, &row, 1);
    }
    free(row);
}

struct jpeg_bytes jpeg_make(const struct jpeg_recipe *r)
{
    struct jpeg_compress_struct c = {0};
    struct jpeg_error_mgr errors;
    jpeg_scan_info scans[190];
    unsigned char *data = NULL;
    unsigned long size = 0;
    struct jpeg_bytes out = {0};

    c.err = jpeg_std_error(&errors);
    errors.error_exit = fail_jpeg;
    jpeg_create_compress(&c);
    jpeg_mem_dest(&c, &data, &size);
    c.image_width = r->width ? r->width : 96;
    c.image_height = r->height ? r->height : 80;
    set_colours(&c, r);
    if (r->progressive)
        jpeg_simple_progression(&c);
    if (r->separate_scans || r->many_scans) {
        c.num_scans = list_scans(r, scans);
        c.scan_info = scans;
    }
    c.restart_interval = (unsigned)r->restart_mcus;
    c.arith_code = r->arithmetic;
    jpeg_start_compress(&c, TRUE);
    write_rows(&c, r->noise);
    jpeg_finish_compress(&c);
    jpeg_destroy_compress(&c);
    jpeg_insert(&out, 0, data, size);
    free(data);
    return out;
}

struct jpeg_bytes jpeg_plain(void)
{
    return jpeg_make(&(struct jpeg_recipe){.h = 2, .v = 2});
}

void jpeg_insert(struct jpeg_bytes *j, size_t at, const void *bytes, size_t n)
{
    j->data = mem_resize(j->data, j->size + n + 1, 1);
    memmove(j->data + at + n, j->data + at, j->size - at);
    if (n)
        memcpy(j->data + at, bytes, n);
    j->size += n;
}

void jpeg_remove(struct jpeg_bytes *j, size_t at, size_t n)
{
    memmove(j->data + at, j->data + at + n, j->size - at - n);
    j->size -= n;
}

static void add_at(struct jpeg_bytes *j, size_t at, int marker,
                   const void *body, size_t n)
{
    unsigned char head[4] = {0xFF, (unsigned char)marker,
                             (unsigned char)((n + 2) >> 8),
                             (unsigned char)(n + 2)};

    assert_true(n <= 65533);
    jpeg_insert(j, at, body, n);
    jpeg_insert(j, at, head, sizeof head);
}

void jpeg_add(struct jpeg_bytes *j, int marker, const void *body, size_t n)
{
    add_at(j, 2, marker, body, n);
}

void jpeg_add_before(struct jpeg_bytes *j, int before, int marker,
                     const void *body, size_t n)
{
    add_at(j, jpeg_find(j, before), marker, body, n);
}

void jpeg_add_mpf(struct jpeg_bytes *j, unsigned pictures, unsigned said,
                  const size_t at[2])
{
    unsigned char body[4 + 8 + 2 + 24 + 4 + 48] = "MPF\0MM\0*\0\0\0\x08\0\x02"
                                                  "\xB0\x01\0\x04\0\0\0\x01";
    unsigned n = 16 * pictures;

    body[25] = (unsigned char)said;
    memcpy(body + 26, "\xB0\x02\0\x07\0\0\0", 7);
    body[33] = (unsigned char)n;
    body[37] = 38;
    for (unsigned i = 1; i < pictures; i++)
        for (int k = 0; k < 4; k++)
            body[42 + 16 * i + 8 + (unsigned)k] =
                (unsigned char)(at[i - 1] >> (24 - 8 * k));
    jpeg_add(j, 0xE2, body, 42 + n);
}

size_t jpeg_find(const struct jpeg_bytes *j, int marker)
{
    size_t at = 2;

    while (at + 4 <= j->size && j->data[at] == 0xFF) {
        if (j->data[at + 1] == marker)
            return at;
        at += 2u + ((size_t)j->data[at + 2] << 8 | j->data[at + 3]);
    }
    return 0;
}

size_t jpeg_scan(const struct jpeg_bytes *j)
{
    size_t at = jpeg_find(j, 0xDA);

    return at + 2u + ((size_t)j->data[at + 2] << 8 | j->data[at + 3]);
}

/* Where an Exif segment is being put together. */
struct writer {
    unsigned char *p; /* the TIFF part */
    bool big;
    size_t used, cap;
};

static void put(const struct writer *w, size_t at, uint32_t x, int bytes)
{
    for (int i = 0; i < bytes; i++) {
        int shift = 8 * (w->big ? bytes - 1 - i : i);
        w->p[at + (size_t)i] = (unsigned char)(x >> shift);
    }
}

static size_t reserve(struct writer *w, size_t n)
{
    size_t at = w->used;

    assert_true(w->cap - w->used >= n);
    memset(w->p + at, 0, n);
    w->used += n;
    return at;
}

static void put_field(struct writer *w, size_t at, const struct exif_field *f)
{
    static const int sizes[] = {0, 1, 1, 2, 4, 4};
    bool text = f->type < 3 || f->type > 5;
    uint32_t count = f->count ? f->count : (uint32_t)strlen(f->text) + 1;
    int size = text ? 1 : sizes[f->type];
    uint32_t numbers = f->type == 5 ? 2 * count : count;
    size_t to = at + 8;

    put(w, at, f->tag, 2);
    put(w, at + 2, f->type, 2);
    put(w, at + 4, count, 4);
    if (numbers * (size_t)size > 4) {
        to = reserve(w, numbers * (size_t)size);
        put(w, at + 8, (uint32_t)to, 4);
    }
    if (text)
        memcpy(w->p + to, f->text, count);
    for (uint32_t i = 0; i < numbers && !text; i++)
        put(w, to + i * (size_t)size, f->n[i], size);
}

size_t exif_make(bool big, const struct exif_field *field, size_t fields,
                 unsigned char *out, size_t cap)
{
    /* Each directory's pointer: where it stands, and its tag. */
    static const struct {
        int in;
        unsigned tag;
    } pointer[] = {
        {-1, 0}, {EXIF_IFD0, 0x8769}, {EXIF_IFD0, 0x8825}, {EXIF_SUB, 0xA005}};
    struct writer w = {.p = out + 6, .big = big, .cap = cap - 6};
    size_t count[4] = {0}, at[4], pointer_at[4] = {0};

    memcpy(out, "Exif\0\0", 6);
    memcpy(out + 6, big ? "MM\0*\0\0\0\x08" : "II*\0\x08\0\0\0", 8);
    w.used = 8;
    for (size_t i = 0; i < fields; i++)
        count[field[i].ifd]++;
    for (int d = 3; d > 0; d--)
        count[pointer[d].in] += count[d] > 0;
    for (int d = 0; d < 4; d++) {
        if (count[d] == 0)
            continue;
        at[d] = reserve(&w, 2 + 12 * count[d] + 4);
        put(&w, at[d], (uint32_t)count[d], 2);
        if (d)
            put(&w, pointer_at[d] + 8, (uint32_t)at[d], 4);
        size_t next = at[d] + 2;
        for (int e = d + 1; e < 4; e++) {
            if (count[e] == 0 || pointer[e].in != d)
                continue;
            put_field(&w, next,
                      &(struct exif_field){
                          .tag = pointer[e].tag, .type = 4, .count = 1});
            pointer_at[e] = next;
            next += 12;
        }
        for (size_t i = 0; i < fields; i++)
            if ((int)field[i].ifd == d) {
                put_field(&w, next, &field[i]);
                next += 12;
            }
    }
    return 6 + w.used;
}

struct photo photo_opens(const char *row, const struct jpeg_bytes *j)
{
    struct photo photo;
    struct error err = {0};

    if (!photo_open(j->data, j->size, &photo, &err))
        fail_msg("%s: %s", row, err.text);
    return photo;
}

void photo_refuses(const char *row, const struct jpeg_bytes *j,
                   enum error_kind kind, const char *say)
{
    struct photo photo;
    struct error err = {0};

    if (photo_open(j->data, j->size, &photo, &err))
        fail_msg("%s: was opened", row);
    if (err.kind != kind || !strstr(err.text, say))
        fail_msg("%s: kind %d, \"%s\"", row, err.kind, err.text);
    assert_null(photo.icc);
}
