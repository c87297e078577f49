/* How far colours lie apart. See the header. */
#include "dye/spread.h"

#include <assert.h>
#include <stdlib.h>

#include "base/mem.h"

struct far {
    size_t at;
    double d;
};

static int farthest_first(const void *x, const void *y)
{
    const struct far *a = x, *b = y;

    if (a->d != b->d)
        return a->d > b->d ? -1 : 1;
    return (a->at > b->at) - (a->at < b->at);
}

static void find_pair(const struct lab *colour, const struct far *far, size_t n,
                      struct colour_spread *out)
{
    out->one = out->other = far[0].at;
    for (size_t i = 0; i < n; i++)
        for (size_t k = i + 1; k < n; k++) {
            const double d = lab_de00(colour[far[i].at], colour[far[k].at]);

            if (d > out->largest) {
                out->largest = d;
                out->one = far[i].at < far[k].at ? far[i].at : far[k].at;
                out->other = far[i].at < far[k].at ? far[k].at : far[i].at;
            }
        }
}

struct colour_spread colour_spread(const struct lab *colour, size_t n,
                                   double *from_mean)
{
    struct colour_spread out = {.mcdm = 0};
    struct far *far = mem_new(n, sizeof *far);

    assert(n > 0);
    for (size_t i = 0; i < n; i++) {
        out.mean.L += colour[i].L / (double)n;
        out.mean.a += colour[i].a / (double)n;
        out.mean.b += colour[i].b / (double)n;
    }
    for (size_t i = 0; i < n; i++) {
        far[i] = (struct far){i, lab_de00(out.mean, colour[i])};
        out.mcdm += far[i].d / (double)n;
        if (from_mean)
            from_mean[i] = far[i].d;
    }
    qsort(far, n, sizeof *far, farthest_first);
    find_pair(colour, far, n < SPREAD_PAIRS ? n : SPREAD_PAIRS, &out);
    free(far);
    return out;
}
