/* libjpeg's virtual arrays of coefficients, packed. See the header. */
#include "photo/packed.h"

#include <assert.h>
#include <stdint.h>
#include <string.h>

#include <jerror.h>

enum { CELL_BYTES = 504, CELLS_AT_ONCE = 128 };
#define SHARE_BESIDE (24L << 20) /* of 64 MiB, what the rest leaves */
#define LEAST (1L << 20)         /* the cells begun are not all full */

/* A packed row is a chain of these, and keeps them when it is packed anew. */
struct cell {
    struct cell *next;
    unsigned char bytes[CELL_BYTES];
};

/* What libjpeg knows by its name alone is the memory manager's to define. */
struct jvirt_barray_control {
    JDIMENSION width;   /* blocks */
    JDIMENSION height;  /* rows */
    struct cell **row;  /* of each row its chain; NULL is all nought */
    struct cell *spare; /* spares of them lie behind each other */
    int spares;
    JBLOCKARRAY window; /* rows first to first + rows - 1, unpacked */
    JDIMENSION first, rows;
    bool written;
};

/* Where in a chain we read or write. */
struct place {
    struct cell **next;
    unsigned char *at;
    size_t left;
};

static struct cell *new_cell(j_common_ptr jpeg, jvirt_barray_ptr a)
{
    const long bytes = CELLS_AT_ONCE * (long)sizeof(struct cell);

    if (!a->spares) {
        jpeg->mem->max_memory_to_use -= bytes;
        if (jpeg->mem->max_memory_to_use < 0)
            ERREXIT(jpeg, JERR_NO_BACKING_STORE);
        a->spare = jpeg->mem->alloc_large(jpeg, JPOOL_IMAGE, (size_t)bytes);
        a->spares = CELLS_AT_ONCE;
    }
    a->spares--;
    a->spare->next = NULL;
    return a->spare++;
}

static void step(struct place *p)
{
    p->at = (*p->next)->bytes;
    p->next = &(*p->next)->next;
    p->left = CELL_BYTES;
}

static unsigned get(struct place *p)
{
    if (!p->left)
        step(p);
    p->left--;
    return *p->at++;
}

static void unpack_block(struct place *p, JCOEF block[DCTSIZE2])
{
    uint64_t map = 0;

    for (int i = 0; i < 64; i += 8)
        map |= (uint64_t)get(p) << i;
    memset(block, 0, sizeof(JBLOCK));
    for (int k = 0; map; k++, map >>= 1) {
        unsigned code = 0, byte, shift = 0;

        if (!(map & 1))
            continue;
        do {
            byte = get(p);
            code |= (byte & 127) << shift;
            shift += 7;
        } while (byte & 128);
        block[k] = (JCOEF)(code & 1 ? -(int)(code >> 1) - 1 : (int)(code >> 1));
    }
}

/* The packed block's bytes in out, and how many. */
static size_t pack_block(const JCOEF block[DCTSIZE2],
                         unsigned char out[8 + 3 * DCTSIZE2])
{
    uint64_t map = 0;
    size_t n = 8;

    for (int k = 0; k < DCTSIZE2; k++) {
        const int value = block[k];
        /* Small numbers of either sign become small ones without: 0, -1, 1. */
        unsigned code = value < 0 ? -2 * value - 1 : 2 * value;

        if (!code)
            continue;
        map |= (uint64_t)1 << k;
        for (; code > 127; code >>= 7)
            out[n++] = (unsigned char)(code | 128);
        out[n++] = (unsigned char)code;
    }
    for (int i = 0; i < 8; i++)
        out[i] = (unsigned char)(map >> 8 * i);
    return n;
}

static void pack_row(j_common_ptr jpeg, jvirt_barray_ptr a, JDIMENSION y,
                     JBLOCKROW blocks)
{
    struct place p = {.next = &a->row[y]};
    unsigned char packed[8 + 3 * DCTSIZE2];

    for (JDIMENSION x = 0; x < a->width; x++) {
        const unsigned char *from = packed;

        for (size_t n = pack_block(blocks[x], packed), some; n; n -= some) {
            if (!p.left) {
                if (!*p.next)
                    *p.next = new_cell(jpeg, a);
                step(&p);
            }
            some = n < p.left ? n : p.left;
            memcpy(p.at, from, some);
            from += some;
            p.at += some;
            p.left -= some;
        }
    }
}

static void unpack_row(jvirt_barray_ptr a, JDIMENSION y, JBLOCKROW blocks)
{
    struct place p = {.next = &a->row[y]};

    if (!a->row[y]) {
        memset(blocks, 0, a->width * sizeof(JBLOCK));
        return;
    }
    for (JDIMENSION x = 0; x < a->width; x++)
        unpack_block(&p, blocks[x]);
}

static JBLOCKARRAY access_array(j_common_ptr jpeg, jvirt_barray_ptr a,
                                JDIMENSION first, JDIMENSION rows,
                                boolean writable)
{
    assert(first <= a->height && rows <= a->height - first);
    for (JDIMENSION i = 0; i < a->rows && a->written; i++)
        pack_row(jpeg, a, a->first + i, a->window[i]);
    for (JDIMENSION i = 0; i < rows; i++)
        unpack_row(a, first + i, a->window[i]);
    a->first = first;
    a->rows = rows;
    a->written = writable;
    return a->window;
}

/* libjpeg asks for arrays that begin as nought, and of one picture only. */
static jvirt_barray_ptr request_array(j_common_ptr jpeg, int pool,
                                      boolean pre_zero, JDIMENSION width,
                                      JDIMENSION height, JDIMENSION window)
{
    jvirt_barray_ptr a = jpeg->mem->alloc_small(jpeg, pool, sizeof *a);
    const size_t chains = height * sizeof *a->row;

    (void)pre_zero;
    assert(pool == JPOOL_IMAGE);
    *a = (struct jvirt_barray_control){.width = width, .height = height};
    a->row = jpeg->mem->alloc_large(jpeg, pool, chains);
    memset(a->row, 0, chains);
    a->window = jpeg->mem->alloc_barray(jpeg, pool, width, window);
    return a;
}

/* What libjpeg's own arrays take. */
static long plain_bytes(const struct jpeg_decompress_struct *jpeg)
{
    long blocks = 0;

    for (int i = 0; i < jpeg->num_components; i++)
        blocks += (long)jpeg->comp_info[i].width_in_blocks *
                  (long)jpeg->comp_info[i].height_in_blocks;
    return blocks * (long)sizeof(JBLOCK);
}

bool packed_pays(const struct jpeg_decompress_struct *jpeg)
{
    const long picture = 3L * jpeg->image_width * jpeg->image_height;
    const long plain = plain_bytes(jpeg);

    return plain > picture + picture / 2 + SHARE_BESIDE ||
           plain > jpeg->mem->max_memory_to_use;
}

void packed_use(struct jpeg_decompress_struct *jpeg)
{
    const long most = plain_bytes(jpeg) / 4 * 3 + LEAST;

    if (jpeg->mem->max_memory_to_use > most)
        jpeg->mem->max_memory_to_use = most;
    jpeg->mem->request_virt_barray = request_array;
    jpeg->mem->access_virt_barray = access_array;
}
