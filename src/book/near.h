/* Private to the book: readings by their colour, through an index of cells
 * (schema/0009_near.sql), so that the nearest are found without a look at all
 * the others. */
#ifndef HANKLAB_BOOK_NEAR_H
#define HANKLAB_BOOK_NEAR_H

#include "book/store.h"
#include "colour/lab.h"

/* A reading that may be the colour its skein goes by. */
struct near_one {
    double de00; /* from the nearest target */
    int64_t skein;
    struct lab lab;
};

struct near {
    struct near_one *one;
    size_t count;
    double enough; /* within it lie as many as are wanted, of those that were
                      looked at alone; INFINITY: there are not so many */
};

/*
 * Those within a distance of a target, the nearest first, each once; release
 * with near_clear.
 *
 * wanted  how many, for `enough`; 0: it is not asked for
 * effort  how many more rows may be looked at, of which those that were are
 *         taken; below 0 it was too much, and nothing is told
 */
bool near_load(struct book *book, const struct lab *target, size_t targets,
               double most, size_t wanted, double *effort, struct near *out,
               struct error *err);
void near_clear(struct near *near); /* allowed on a zeroed one */

#endif
