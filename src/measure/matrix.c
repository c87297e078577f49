/* Three by three, as often as measuring needs it. See the header. */
#include "measure/matrix.h"

void mat3_apply(const struct mat3 *m, const double v[3], double out[3])
{
    const double x = v[0], y = v[1], z = v[2];

    for (int r = 0; r < 3; r++)
        out[r] = m->at[r][0] * x + m->at[r][1] * y + m->at[r][2] * z;
}

struct mat3 mat3_inverse(const struct mat3 *m)
{
    struct mat3 out;
    double det = 0;

    for (int r = 0; r < 3; r++)
        for (int c = 0; c < 3; c++) {
            const double *r1 = m->at[(r + 1) % 3], *r2 = m->at[(r + 2) % 3];
            const int c1 = (c + 1) % 3, c2 = (c + 2) % 3;

            out.at[c][r] = r1[c1] * r2[c2] - r1[c2] * r2[c1];
        }
    for (int c = 0; c < 3; c++)
        det += m->at[0][c] * out.at[c][0];
    for (int i = 0; i < 9; i++)
        out.at[i / 3][i % 3] /= det;
    return out;
}

static struct mat3 times(const struct mat3 *a, const struct mat3 *b)
{
    struct mat3 out = {{{0}}};

    for (int r = 0; r < 3; r++)
        for (int c = 0; c < 3; c++)
            for (int k = 0; k < 3; k++)
                out.at[r][c] += a->at[r][k] * b->at[k][c];
    return out;
}

struct mat3 mat3_spread(const struct mat3 *j, const struct mat3 *c)
{
    const struct mat3 jc = times(j, c);
    struct mat3 back;

    for (int i = 0; i < 9; i++)
        back.at[i % 3][i / 3] = j->at[i / 3][i % 3];
    return times(&jc, &back);
}

struct cov3 mat3_cov(const struct mat3 *c)
{
    return (struct cov3){.LL = c->at[0][0],
                         .La = c->at[0][1],
                         .Lb = c->at[0][2],
                         .aa = c->at[1][1],
                         .ab = c->at[1][2],
                         .bb = c->at[2][2]};
}
