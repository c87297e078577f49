/* The card's correction: gains on Bradford's cones. See the header. */
#include "measure/correct.h"

#include <math.h>

#include "measure/matrix.h"

/* Lam 1985, as in ICC.1:2022 annex E. Of the spaces at hand these cones are
 * nearest to the space in which a camera sets its white balance. */
static const struct mat3 bradford = {{{0.8951, 0.2664, -0.1614},
                                      {-0.7502, 1.7135, 0.0367},
                                      {0.0389, -0.0685, 1.0296}}};

static void cones_of(struct xyz x, double out[3])
{
    const double v[3] = {x.X, x.Y, x.Z};

    mat3_apply(&bradford, v, out);
}

bool correction_from_card(struct xyz card, struct lab stated,
                          struct correction *out)
{
    double is[3], should[3];

    cones_of(card, is);
    cones_of(xyz_from_lab(stated), should);
    for (int i = 0; i < 3; i++) {
        if (!(is[i] > 0 && should[i] > 0))
            return false;
        out->gain[i] = should[i] / is[i];
        if (!isfinite(out->gain[i]))
            return false;
    }
    return true;
}

struct xyz correction_apply(const struct correction *c, struct xyz x)
{
    const struct mat3 back = mat3_inverse(&bradford);
    double v[3];

    cones_of(x, v);
    for (int i = 0; i < 3; i++)
        v[i] *= c->gain[i];
    mat3_apply(&back, v, v);
    return (struct xyz){v[0], v[1], v[2]};
}
