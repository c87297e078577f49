/*
 * A coarse map of a whole picture, for finding card and skeins in it and for
 * nothing else: their colours are measured in the boxes that are found
 * (docs/colour.md).
 *
 * Square blocks of 8, 16 or 32 pixels aligned to (0, 0) of the stored picture,
 * so that a picture is about 60 to 130 blocks wide whatever its size. It is
 * decoded shrunken, 4 x 4 pixels to a block, which takes about half the time;
 * pixels are not kept. The map itself is upright.
 */
#ifndef HANKLAB_MEASURE_MAP_H
#define HANKLAB_MEASURE_MAP_H

#include "measure/light.h"

/* Pixels of the shrunken picture along a side of a block. */
#define MAP_PIXELS 4

/* What the growing of a region looks at, in this order: ln Y, ln R/G, ln B/G,
 * each with CHECK_MAP_FLOOR added to the light. */
#define MAP_TRAITS 3

struct map_block {
    double light[3]; /* mean linear red, green, blue */
    double Y;
    double trait[MAP_TRAITS];
    double cv;     /* coefficient of variation of luminance inside */
    int low, high; /* of its pixels, those that may have been cut off */
    bool lost;     /* the file is damaged here */
};

struct map {
    uint32_t width, height; /* of the picture, upright */
    uint32_t side;          /* of a block, pixels of the picture */
    uint32_t x, y;          /* where the first block lies */
    uint32_t nx, ny;
    struct map_block *block; /* nx ny of them, row by row */
    bool sound; /* all of the file was read, and nothing was wrong with it */
};

/*
 * Decodes the picture into a map; what remains over at the edges for want of
 * a whole block is in none.
 *
 * err  as photo_decode
 */
bool map_take(const struct photo *photo, const unsigned char *data, size_t size,
              const struct light *light, struct map *out, struct error *err);
void map_clear(struct map *map); /* all zero is an empty one */

/* The block that holds a pixel; those at the edges hold what remains over. */
size_t map_at(const struct map *map, uint32_t x, uint32_t y);

#endif
