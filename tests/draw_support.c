/* Random draws. See draw_support.h. */
#include "draw_support.h"

#include <math.h>

/* Marsaglia, Xorshift RNGs, J. Stat. Software 8 (2003) no. 14. */
double uniform(uint64_t *s)
{
    *s ^= *s << 13;
    *s ^= *s >> 7;
    *s ^= *s << 17;
    return ((double)(*s >> 11) + 0.5) / 9007199254740992.0;
}

double normal(uint64_t *s) /* Box and Muller */
{
    const double r = sqrt(-2 * log(uniform(s)));

    return r * cos(2 * acos(-1) * uniform(s));
}

struct lab drawn(struct lab at, struct cov3 cov, uint64_t *s)
{
    const double l11 = sqrt(cov.LL), l21 = l11 > 0 ? cov.La / l11 : 0,
                 l31 = l11 > 0 ? cov.Lb / l11 : 0,
                 l22 = sqrt(fmax(cov.aa - l21 * l21, 0)),
                 l32 = l22 > 0 ? (cov.ab - l31 * l21) / l22 : 0,
                 l33 = sqrt(fmax(cov.bb - l31 * l31 - l32 * l32, 0));
    const double n1 = normal(s), n2 = normal(s), n3 = normal(s);

    return (struct lab){at.L + l11 * n1, at.a + l21 * n1 + l22 * n2,
                        at.b + l31 * n1 + l32 * n2 + l33 * n3};
}
