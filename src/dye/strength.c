/* Colour strength by Kubelka and Munk. See dye/strength.h. */
#include "dye/strength.h"

#include <math.h>

#define LEAST_RHO 0.002
#define MOST_RHO 0.98
#define DEEP_RHO 0.01

/* Linear BT.2020 to XYZ under D50 by Bradford, and its inverse. A test makes
 * the first anew through Little CMS. */
static const double to_xyz[3][3] = {
    {0.673480, 0.165671, 0.125049},
    {0.279043, 0.675344, 0.045613},
    {-0.001933, 0.029983, 0.796851},
};
static const double from_xyz[3][3] = {
    {1.647232, -0.393612, -0.235967},
    {-0.682617, 1.647612, 0.012810},
    {0.029681, -0.062949, 1.253886},
};

static struct channels apply(const double (*m)[3], struct channels x)
{
    struct channels out = {{0}};

    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            out.v[i] += m[i][j] * x.v[j];
    return out;
}

struct channels reflectance_from_lab(struct lab c)
{
    struct xyz xyz = xyz_from_lab(c);

    return apply(from_xyz, (struct channels){{xyz.X, xyz.Y, xyz.Z}});
}

struct lab lab_from_reflectance(struct channels rho)
{
    struct channels xyz = apply(to_xyz, rho);

    return lab_from_xyz((struct xyz){xyz.v[0], xyz.v[1], xyz.v[2]});
}

double ks_from_reflectance(double rho)
{
    return (1 - rho) * (1 - rho) / (2 * rho);
}

double reflectance_from_ks(double ks)
{
    return 1 + ks - sqrt(ks * ks + 2 * ks);
}

static double held(double rho)
{
    return fmin(fmax(rho, LEAST_RHO), MOST_RHO);
}

static struct channels held_from_lab(struct lab c)
{
    struct channels rho = reflectance_from_lab(c);

    for (int i = 0; i < 3; i++)
        rho.v[i] = held(rho.v[i]);
    return rho;
}

struct channels ks_from_lab(struct lab c)
{
    struct channels x = held_from_lab(c);

    for (int i = 0; i < 3; i++)
        x.v[i] = ks_from_reflectance(x.v[i]);
    return x;
}

/* Covariance of the K/S of a colour: through rho by differences of 0.01, then
 * through d(K/S)/d rho = -(1 - rho^2) / (2 rho^2). */
static struct cov3 ks_cov(struct colour_reading of)
{
    const double h = 0.01;
    const struct lab at = of.lab;
    const struct lab up[3] = {
        {at.L + h, at.a, at.b}, {at.L, at.a + h, at.b}, {at.L, at.a, at.b + h}};
    const struct lab down[3] = {
        {at.L - h, at.a, at.b}, {at.L, at.a - h, at.b}, {at.L, at.a, at.b - h}};
    const struct channels rho = held_from_lab(at);
    double t[3][3];

    for (int j = 0; j < 3; j++) {
        const struct channels x = reflectance_from_lab(up[j]);
        const struct channels y = reflectance_from_lab(down[j]);
        for (int i = 0; i < 3; i++)
            t[i][j] = (x.v[i] - y.v[i]) / (2 * h) * -(1 - rho.v[i] * rho.v[i]) /
                      (2 * rho.v[i] * rho.v[i]);
    }
    return cov3_carry(t, of.set);
}

struct strength strength_of(struct colour_reading dyed,
                            struct colour_reading undyed)
{
    const struct channels x = ks_from_lab(dyed.lab),
                          blank = ks_from_lab(undyed.lab),
                          rho = reflectance_from_lab(dyed.lab);
    struct strength out = {.cov = cov3_add(ks_cov(dyed), ks_cov(undyed))};

    for (int i = 0; i < 3; i++) {
        out.s.v[i] = x.v[i] - blank.v[i];
        out.too_deep = out.too_deep || rho.v[i] < DEEP_RHO;
    }
    return out;
}

struct lab strength_colour(struct channels s, struct lab undyed)
{
    const struct channels blank = ks_from_lab(undyed);
    struct channels rho;

    for (int i = 0; i < 3; i++)
        rho.v[i] = reflectance_from_ks(fmax(0, s.v[i] + blank.v[i]));
    return lab_from_reflectance(rho);
}
