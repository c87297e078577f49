/* The correction of a colour. See the header. */
#include "measure/correct.h"

#include <math.h>

/* Lam 1985, as in ICC.1:2022 annex E. Of the spaces at hand these cones are
 * nearest to the space in which a camera sets its white balance. */
static const struct mat3 bradford = {{{0.8951, 0.2664, -0.1614},
                                      {-0.7502, 1.7135, 0.0367},
                                      {0.0389, -0.0685, 1.0296}}};

void cones_from_xyz(struct xyz x, double out[3])
{
    const double v[3] = {x.X, x.Y, x.Z};

    mat3_apply(&bradford, v, out);
}

void xyz_from_cones(const double cone[3], double out[3])
{
    const struct mat3 back = mat3_inverse(&bradford);

    mat3_apply(&back, cone, out);
}

bool correction_from_card(struct xyz card, struct lab stated,
                          struct correction *out)
{
    double is[3], should[3];

    *out = (struct correction){.chart = NULL};
    cones_from_xyz(card, is);
    cones_from_xyz(xyz_from_lab(stated), should);
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
    double v[3] = {x.X, x.Y, x.Z};

    if (c->chart) {
        mat3_apply(c->from_xyz, v, v);
        return chart_apply(c->chart, v, c->to_xyz);
    }
    cones_from_xyz(x, v);
    for (int i = 0; i < 3; i++)
        v[i] *= c->gain[i];
    xyz_from_cones(v, v);
    return (struct xyz){v[0], v[1], v[2]};
}
