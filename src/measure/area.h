/*
 * What is kept of a box while the rows of the picture go by: sums over the
 * blocks of its own grid, never its pixels (docs/colour.md).
 */
#ifndef HANKLAB_MEASURE_AREA_H
#define HANKLAB_MEASURE_AREA_H

#include "measure/light.h"

/* Sums over the pixels of one block. */
struct block {
    double light[3]; /* linear red, green, blue */
    double Y, YY;    /* luminance and its square */
    double peak;     /* largest luminance */
    uint32_t code[3];
    uint32_t pixels;
    bool kept; /* not among the trimmed: set by area_trim */
};

/* Mean and spread of numbers that come one by one. */
struct running {
    double n, mean, square;
};

/* Means over the cells of the JPEG itself, aligned to (0, 0): those of 8x8
 * pixels show how luma was rounded, those of an MCU how chroma was. */
struct cells {
    int w, h;
    int64_t first; /* column of the first whole cell */
    size_t n;      /* whole cells in a row of them */
    uint32_t *sum; /* 3 codes a cell */
    struct running Y, Cb, Cr;
};

struct area {
    struct box box;            /* in stored pixels */
    struct box used;           /* the box without its margin: what is summed */
    bool small;                /* no room for a margin: the whole box is used */
    uint32_t nx, ny;           /* blocks */
    uint32_t *edge_x, *edge_y; /* nx + 1, ny + 1 offsets in `used` */
    struct block *block;
    uint32_t row;        /* of blocks, that the next pixels belong to */
    uint64_t clipped[4]; /* pixels: clean, low, high, both */
    uint64_t low[3];     /* pixels with a low red, green, blue */
    struct cells luma, chroma;
    double *light; /* one row */
    struct xyz *scratch;
};

/* Whether a box lies in an upright picture of that size. */
bool box_inside(struct box b, uint32_t width, uint32_t height);

/*
 * Lays the grid. few is the number of blocks below which a smaller block is
 * taken, fewest that below which the box is read whole.
 *
 * False when the box has fewer than CHECK_BOX_PIXELS.
 */
bool area_plan(struct area *area, struct box stored, const struct photo *photo,
               uint32_t few, uint32_t fewest);
void area_clear(struct area *area); /* all zero is an empty one */

/* Takes row y of the stored picture; rows come in order. */
void area_row(struct area *area, const struct light *light,
              const unsigned char *rgb, uint32_t y);

/*
 * Marks the blocks to be kept: sorted by luminance, a tenth is dropped at
 * either end. Places are dropped, not pixels, so that gaps and shadows between
 * the strands stay in as an instrument sees them. Returns how many are left.
 */
uint32_t area_trim(struct area *area);

/* A group of blocks. */
struct tile {
    double light[3]; /* mean */
    double x, y;     /* its middle, in pixels from the middle of the area */
};

/* Divides the grid into tx by ty tiles (at most nx, ny) and writes those that
 * have pixels to out, which holds tx * ty; kept takes only kept blocks.
 * Returns how many. */
size_t area_tiles(const struct area *area, uint32_t tx, uint32_t ty, bool kept,
                  struct tile *out);

double running_sd(const struct running *r); /* 0 for fewer than 2 */

#endif
