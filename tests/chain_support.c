/* The chain and its reference. See the header. */
#include "chain_support.h"

#include <math.h>
#include <string.h>

#include "measure/correct.h"
#include "measure/light.h"
#include "support.h"

typedef long double real;

struct square {
    real at[3][3];
};

static void apply(const struct square *m, const real v[3], real out[3])
{
    for (int i = 0; i < 3; i++)
        out[i] = m->at[i][0] * v[0] + m->at[i][1] * v[1] + m->at[i][2] * v[2];
}

static struct square product(const struct square *m, const struct square *n)
{
    struct square p = {{{0}}};

    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            for (int k = 0; k < 3; k++)
                p.at[i][j] += m->at[i][k] * n->at[k][j];
    return p;
}

static struct square inverse(const struct square *m)
{
    struct square p;
    real det = 0;

    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++) {
            const int r = (j + 1) % 3, s = (j + 2) % 3;
            const int t = (i + 1) % 3, u = (i + 2) % 3;

            p.at[i][j] = m->at[r][t] * m->at[s][u] - m->at[r][u] * m->at[s][t];
        }
    for (int k = 0; k < 3; k++)
        det += m->at[0][k] * p.at[k][0];
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            p.at[i][j] /= det;
    return p;
}

/* Lam 1985, as ICC.1:2022 annex E prints it. */
static const struct square bradford = {{{0.8951L, 0.2664L, -0.1614L},
                                        {-0.7502L, 1.7135L, 0.0367L},
                                        {0.0389L, -0.0685L, 1.0296L}}};
static const real d50[3] = {0.9642L, 1, 0.8249L};

static void from_xy(real x, real y, real out[3])
{
    out[0] = x / y;
    out[1] = 1;
    out[2] = (1 - x - y) / y;
}

/* Linear sRGB to XYZ (D50): primaries and white of IEC 61966-2-1, adapted by
 * Bradford. */
static struct square srgb_to_xyz(void)
{
    static const real xy[3][2] = {
        {0.64L, 0.33L}, {0.30L, 0.60L}, {0.15L, 0.06L}};
    const struct square cones_back = inverse(&bradford);
    struct square primaries, back, scale = {{{0}}}, m;
    real white[3], part[3], is[3], should[3];

    for (int c = 0; c < 3; c++) {
        real xyz[3];

        from_xy(xy[c][0], xy[c][1], xyz);
        for (int i = 0; i < 3; i++)
            primaries.at[i][c] = xyz[i];
    }
    from_xy(0.3127L, 0.3290L, white);
    back = inverse(&primaries);
    apply(&back, white, part);
    for (int i = 0; i < 3; i++)
        for (int c = 0; c < 3; c++)
            primaries.at[i][c] *= part[c];
    apply(&bradford, white, is);
    apply(&bradford, d50, should);
    for (int i = 0; i < 3; i++)
        scale.at[i][i] = should[i] / is[i];
    m = product(&scale, &bradford);
    m = product(&cones_back, &m);
    return product(&m, &primaries);
}

static real linear(int code)
{
    const real v = code / 255.0L;

    return v <= 0.04045L ? v / 12.92L : powl((v + 0.055L) / 1.055L, 2.4L);
}

static void xyz_of(struct lab lab, real out[3])
{
    const real fy = ((real)lab.L + 16) / 116;
    const real f[3] = {fy + (real)lab.a / 500, fy, fy - (real)lab.b / 200};

    for (int i = 0; i < 3; i++)
        out[i] = d50[i] * (f[i] > 6.0L / 29 ? f[i] * f[i] * f[i]
                                            : (f[i] - 16.0L / 116) * 108 / 841);
}

static struct lab lab_of(const real xyz[3])
{
    real f[3];

    for (int i = 0; i < 3; i++) {
        const real t = xyz[i] / d50[i];

        f[i] = t > 216.0L / 24389 ? cbrtl(t) : t * 841 / 108 + 16.0L / 116;
    }
    return (struct lab){(double)(116 * f[1] - 16),
                        (double)(500 * (f[0] - f[1])),
                        (double)(200 * (f[1] - f[2]))};
}

static struct lab reference(const struct square *m, const unsigned char card[3],
                            struct lab stated, const unsigned char rgb[3])
{
    const struct square back = inverse(&bradford);
    real v[3], xyz[3], cone[3], is[3], should[3];

    for (int c = 0; c < 3; c++)
        v[c] = linear(card[c]);
    apply(m, v, xyz);
    apply(&bradford, xyz, is);
    xyz_of(stated, xyz);
    apply(&bradford, xyz, should);
    for (int c = 0; c < 3; c++)
        v[c] = linear(rgb[c]);
    apply(m, v, xyz);
    apply(&bradford, xyz, cone);
    for (int c = 0; c < 3; c++)
        cone[c] *= should[c] / is[c];
    apply(&back, cone, xyz);
    return lab_of(xyz);
}

static struct xyz light_of(const struct light *light,
                           const unsigned char rgb[3])
{
    double v[3];

    light_row(light, rgb, 1, v, NULL);
    return light_xyz(light, v);
}

struct chain chain_compare(void)
{
    static const struct {
        unsigned char code[3];
        struct lab stated;
    } cards[] = {{{119, 119, 119}, {49.6, -0.3, 0.5}},
                 {{131, 122, 108}, {49.6, -0.3, 0.5}},
                 {{150, 112, 70}, {52.1, 0.4, -0.6}},
                 {{96, 118, 140}, {46.2, -0.6, 1.1}},
                 {{225, 228, 219}, {93.5, -0.4, 2.1}}};
    const struct square m = srgb_to_xyz();
    struct light light = {.icc = icc_open_builtin(ICC_SRGB)};
    struct chain out = {0};

    icc_curves(light.icc, light.curve, light.m.at);
    for (size_t k = 0; k < ARRAY_LEN(cards); k++) {
        const struct lab stated = cards[k].stated;
        struct correction fix;
        struct lab card;

        assert_true(correction_from_card(light_of(&light, cards[k].code),
                                         stated, &fix));
        card = lab_from_xyz(
            correction_apply(&fix, light_of(&light, cards[k].code)));
        out.card =
            fmax(out.card,
                 fmax(fabs(card.L - stated.L),
                      fmax(fabs(card.a - stated.a), fabs(card.b - stated.b))));
        for (int i = 0; i < 18 * 18 * 18; i++) {
            const unsigned char rgb[3] = {(unsigned char)(15 * (i % 18)),
                                          (unsigned char)(15 * (i / 18 % 18)),
                                          (unsigned char)(15 * (i / 324))};
            const struct lab got =
                lab_from_xyz(correction_apply(&fix, light_of(&light, rgb)));

            out.worst =
                fmax(out.worst,
                     lab_de00(got, reference(&m, cards[k].code, stated, rgb)));
            out.colours++;
        }
    }
    light_clear(&light);
    return out;
}
