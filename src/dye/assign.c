/* The assignment problem by shortest augmenting paths. See assign.h. */
#include "dye/assign.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

#include "base/mem.h"

struct assignment {
    size_t n, m;
    const double *cost; /* n rows of m */
    double *u, *v;      /* what targets and columns are worth; from 1 */
    size_t *of;         /* the target of a column, 0 none; from 1 */
    size_t *way;
    double *least;
    bool *seen;
};

/* Finds a path for target i that makes the sum least. */
static void augment(struct assignment *a, size_t i)
{
    size_t column = 0;

    a->of[0] = i;
    for (size_t j = 0; j <= a->m; j++) {
        a->least[j] = HUGE_VAL;
        a->seen[j] = false;
    }
    do {
        const size_t row = a->of[column];
        double step = HUGE_VAL;
        size_t next = 0;
        a->seen[column] = true;
        for (size_t j = 1; j <= a->m; j++) {
            double c;
            if (a->seen[j])
                continue;
            c = a->cost[(row - 1) * a->m + j - 1] - a->u[row] - a->v[j];
            if (c < a->least[j]) {
                a->least[j] = c;
                a->way[j] = column;
            }
            if (a->least[j] < step) {
                step = a->least[j];
                next = j;
            }
        }
        for (size_t j = 0; j <= a->m; j++)
            if (a->seen[j]) {
                a->u[a->of[j]] += step;
                a->v[j] -= step;
            } else {
                a->least[j] -= step;
            }
        column = next;
    } while (a->of[column]);
    for (; column; column = a->way[column])
        a->of[column] = a->of[a->way[column]];
}

void assign(const double *cost, size_t n, size_t m, size_t *column)
{
    struct assignment a = {.n = n,
                           .m = m,
                           .cost = cost,
                           .u = mem_new(n + 1, sizeof *a.u),
                           .v = mem_new(m + 1, sizeof *a.v),
                           .of = mem_new(m + 1, sizeof *a.of),
                           .way = mem_new(m + 1, sizeof *a.way),
                           .least = mem_new(m + 1, sizeof *a.least),
                           .seen = mem_new(m + 1, sizeof *a.seen)};

    for (size_t i = 1; i <= n; i++)
        augment(&a, i);
    for (size_t j = 1; j <= m; j++)
        if (a.of[j])
            column[a.of[j] - 1] = j - 1;
    free(a.u);
    free(a.v);
    free(a.of);
    free(a.way);
    free(a.least);
    free(a.seen);
}
