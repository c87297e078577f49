/*
 * What colour the wool takes: Kubelka-Munk with one constant, in three wide
 * bands, two colouring matters to a dyestuff.
 *
 * The coefficients are invented so that the pots of fixtures/lots.csv come out
 * as such pots plausibly do; they were fitted to nothing that was measured.
 */
#include <math.h>
#include <string.h>

#include "base/mem.h"
#include "exact.h"
#include "scene.h"

/* Linear BT.2020 adapted to D50, to XYZ. Source: ITU-R BT.2020 primaries and
 * white, Bradford to the ICC's D50. */
const struct matrix xyz_from_light = {{
    {0.673480, 0.165671, 0.125049},
    {0.279043, 0.675344, 0.045613},
    {-0.001933, 0.029983, 0.796851},
}};

enum lane { LANE_NONE, LANE_ALUM, LANE_IRON, LANE_DIP, LANES };

/* K/S that the mordant itself adds to wool. */
static const double blank[LANES][3] = {
    [LANE_NONE] = {0, 0, 0},
    [LANE_ALUM] = {0.004, 0.006, 0.03},
    [LANE_IRON] = {0.10, 0.13, 0.30},
    [LANE_DIP] = {0.05, 0.07, 0.18},
};

/* A colouring matter: the share that the wool takes of what is left in each
 * round, and the K/S it gives in the first, by mordant. */
struct matter {
    double uptake;
    double ks[LANES][3];
};

static const struct dyestuff {
    const char *name;
    double usual_pct; /* of the dry fibre, for these coefficients */
    struct matter matter[2];
} dyestuffs[] = {
    {"madder root",
     60,
     {{0.42,
       {{0.30, 0.95, 0.80},
        {1.05, 6.1, 5.4},
        {4.0, 8.0, 8.0},
        {3.1, 7.4, 7.2}}},
      {0.26,
       {{0.06, 0.35, 1.7},
        {0.05, 0.60, 4.3},
        {0.9, 1.7, 4.4},
        {0.65, 1.4, 4.0}}}}},
    {"weld",
     100,
     {{0.46,
       {{0.02, 0.03, 0.9},
        {0.02, 0.03, 3.4},
        {1.9, 2.2, 8.2},
        {1.15, 1.25, 7.2}}},
      {0.30,
       {{0.03, 0.06, 0.5},
        {0.05, 0.08, 0.9},
        {1.1, 1.2, 2.6},
        {0.65, 0.72, 2.0}}}}},
    {"walnut hulls",
     150,
     {{0.36,
       {{2.5, 4.3, 8.2}, {2.0, 3.7, 8.6}, {5.2, 6.6, 9.5}, {4.8, 6.3, 9.4}}},
      {0.24,
       {{0.9, 1.5, 3.4}, {0.8, 1.5, 4.2}, {3.6, 4.2, 6.0}, {3.2, 3.9, 6.0}}}}},
    {"tansy",
     200,
     {{0.48,
       {{0.02, 0.04, 0.6},
        {0.05, 0.09, 2.3},
        {1.15, 1.15, 4.6},
        {0.75, 0.72, 3.6}}},
      {0.30,
       {{0.05, 0.09, 0.4},
        {0.12, 0.18, 0.6},
        {1.25, 1.25, 2.1},
        {0.9, 0.85, 1.7}}}}},
    {"velvet-foot pax",
     150,
     {{0.34,
       {{0.45, 0.62, 0.50},
        {0.8, 0.95, 0.75},
        {2.9, 3.3, 2.7},
        {2.0, 2.25, 1.8}}},
      {0.56,
       {{0.45, 0.42, 1.3},
        {1.3, 1.05, 2.9},
        {2.4, 1.75, 4.6},
        {1.9, 1.45, 3.9}}}}},
};

static const struct lab undyed = {85, 1.5, 12};

static double ks_of(double reflectance)
{
    return (1 - reflectance) * (1 - reflectance) / (2 * reflectance);
}

static double reflectance_of(double ks)
{
    return 1 + ks - sqrt(ks * ks + 2 * ks);
}

/* K/S of ground and dye to a yarn. d ln(rho) / d ln(s) is
 * -s / sqrt(t^2 + 2 t), where t is the whole K/S. */
static struct yarn yarn_of_ks(const double ground[3], const double dye[3])
{
    struct yarn y;

    for (int c = 0; c < 3; c++) {
        double t = ground[c] + dye[c];

        y.reflectance.v[c] = reflectance_of(t);
        y.response.v[c] = t > 0 ? -dye[c] / sqrt(t * t + 2 * t) : 0;
    }
    return y;
}

static enum lane lane_of(const struct lot *lot)
{
    if (lot->dip)
        return LANE_DIP;
    if (lot->iron)
        return LANE_IRON;
    return lot->alum ? LANE_ALUM : LANE_NONE;
}

static double left_after(double uptake, int rounds)
{
    double left = 1;

    while (rounds-- > 0)
        left *= 1 - uptake;
    return left;
}

bool yarn_of_lot(const struct lot *lot, struct yarn *out)
{
    struct light wool = light_from_lab(undyed);
    enum lane lane = lane_of(lot);
    const struct dyestuff *d = NULL;
    double ground[3], dye[3] = {0, 0, 0};

    for (size_t i = 0; i < ARRAY_LEN(dyestuffs); i++)
        if (!strcmp(dyestuffs[i].name, lot->dyestuff))
            d = &dyestuffs[i];
    if (!d && lot->dyestuff[0])
        return false;
    for (int c = 0; c < 3; c++) {
        ground[c] = ks_of(wool.v[c]) + blank[lane][c];
        for (int m = 0; d && m < 2; m++)
            dye[c] += d->matter[m].ks[lane][c] *
                      left_after(d->matter[m].uptake, lot->round) *
                      lot->dyestuff_pct / d->usual_pct;
    }
    *out = yarn_of_ks(ground, dye);
    return true;
}

struct yarn yarn_of_lab(struct lab lab)
{
    struct light colour = light_from_lab(lab), wool = light_from_lab(undyed);
    double ground[3], dye[3];

    for (int c = 0; c < 3; c++) {
        double t = ks_of(clamp(colour.v[c], 0.005, 0.98));

        ground[c] = ks_of(wool.v[c]) < t ? ks_of(wool.v[c]) : t;
        dye[c] = t - ground[c];
    }
    return yarn_of_ks(ground, dye);
}

/* ---- CIELAB and matrices, in arithmetic that is the same everywhere ---- */

static const double white[3] = {0.9642, 1, 0.8249};

struct light matrix_apply(const struct matrix *m, struct light v)
{
    struct light out;

    for (int i = 0; i < 3; i++)
        out.v[i] =
            m->v[i][0] * v.v[0] + m->v[i][1] * v.v[1] + m->v[i][2] * v.v[2];
    return out;
}

struct matrix matrix_product(const struct matrix *m, const struct matrix *n)
{
    struct matrix out;

    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            out.v[i][j] = m->v[i][0] * n->v[0][j] + m->v[i][1] * n->v[1][j] +
                          m->v[i][2] * n->v[2][j];
    return out;
}

struct matrix matrix_inverse(const struct matrix *m)
{
    struct matrix out;
    double det = 0;

    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++) {
            int a = (j + 1) % 3, b = (j + 2) % 3;
            int c = (i + 1) % 3, d = (i + 2) % 3;

            out.v[i][j] = m->v[a][c] * m->v[b][d] - m->v[a][d] * m->v[b][c];
        }
    for (int k = 0; k < 3; k++)
        det += m->v[0][k] * out.v[k][0];
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            out.v[i][j] /= det;
    return out;
}

static double f_of(double t)
{
    if (t > 216.0 / 24389)
        return exact_pow(t, 1.0 / 3);
    return (24389.0 / 27 * t + 16) / 116;
}

static double f_back(double f)
{
    if (f > 6.0 / 29)
        return f * f * f;
    return (116 * f - 16) * 27 / 24389;
}

struct lab lab_from_light(struct light c)
{
    struct light xyz = matrix_apply(&xyz_from_light, c);
    double x = f_of(xyz.v[0] / white[0]), y = f_of(xyz.v[1] / white[1]);
    double z = f_of(xyz.v[2] / white[2]);

    return (struct lab){116 * y - 16, 500 * (x - y), 200 * (y - z)};
}

struct light light_from_lab(struct lab lab)
{
    double y = (lab.L + 16) / 116;
    struct matrix back = matrix_inverse(&xyz_from_light);
    struct light xyz = {{white[0] * f_back(y + lab.a / 500),
                         white[1] * f_back(y),
                         white[2] * f_back(y - lab.b / 200)}};

    return matrix_apply(&back, xyz);
}
