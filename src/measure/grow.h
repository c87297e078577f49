/*
 * Regions of a map that grow from a place until their colour changes: the card
 * and the skeins (docs/colour.md). What cannot be told from its surroundings
 * is refused, never guessed.
 */
#ifndef HANKLAB_MEASURE_GROW_H
#define HANKLAB_MEASURE_GROW_H

#include "measure/check.h"
#include "measure/map.h"

/* Why there is no region. */
enum grow_fault {
    GROW_FOUND,
    GROW_DAMAGED, /* the file is, there */
    GROW_SMALL,
    GROW_LARGE,   /* too much of the picture */
    GROW_BORDERS, /* two or more borders of the picture */
    GROW_SHAPE,   /* no card, no skein has it */
    GROW_OUTLINE, /* it ends nowhere in particular */
    GROW_ASIDE,   /* its box lies elsewhere */
};

struct grown {
    enum grow_fault fault;
    size_t blocks;         /* of the region, before what is taken off its rim */
    double shape, side[2]; /* see grow_shape; of what is left, in blocks */
    double outline; /* share of its rim where the colour really changes */
    double cv;      /* median over its blocks */
    int borders;    /* how many of the picture's it touches */
    struct box box; /* the largest inside, pixels of the upright picture */
};

/* What growing works with; one for all the regions of a map. */
struct grower {
    const struct map *map; /* borrowed */
    size_t blocks;
    unsigned char *in, *spare, *grown; /* marks of the map's blocks */
    size_t *queue;
};

void grower_init(struct grower *g, const struct map *map);
void grower_clear(struct grower *g);

/*
 * Grows a region of a kind from a block.
 *
 * least  a region of fewer blocks is GROW_SMALL, and not looked at further
 * taken  marks, borrowed: blocks marked belong to something else, and those
 *        of the region are marked; or NULL
 */
struct grown grow_from(struct grower *g, enum grow_kind kind, size_t seed,
                       size_t least, unsigned char *taken);

/* Area of a set of unit squares over that of the rectangle with the same
 * second moments: 1 for a solid rectangle in any position, 1.05 for an
 * ellipse, less when ragged or holed; 0 for none. sides, if not NULL, gets the
 * longer and the shorter side of that rectangle. */
double grow_shape(const unsigned char *in, uint32_t nx, uint32_t ny,
                  double sides[2]);

/* The largest rectangle of marked squares, the first of those that are
 * equally large; w 0 for none. */
struct box grow_rectangle(const unsigned char *in, uint32_t nx, uint32_t ny);

#endif
