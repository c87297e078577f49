/*
 * Chance, noise and mathematics whose last bit is the same everywhere.
 * libm's exp, pow and sin may differ between machines; sqrt and floor may not.
 */
#include "exact.h"

#include <math.h>

static uint64_t mix(uint64_t z)
{
    z = (z ^ (z >> 30)) * UINT64_C(0xbf58476d1ce4e5b9);
    z = (z ^ (z >> 27)) * UINT64_C(0x94d049bb133111eb);
    return z ^ (z >> 31);
}

uint64_t chance_bits(struct chance *c)
{
    c->state += UINT64_C(0x9e3779b97f4a7c15);
    return mix(c->state);
}

static double unit(uint64_t bits)
{
    return (double)(bits >> 11) * 0x1p-53;
}

double chance_unit(struct chance *c)
{
    return unit(chance_bits(c));
}

double chance_between(struct chance *c, double lo, double hi)
{
    return lo + (hi - lo) * chance_unit(c);
}

double chance_normal(struct chance *c)
{
    uint64_t bits = chance_bits(c);
    uint64_t sum = (bits & 0xffff) + ((bits >> 16) & 0xffff) +
                   ((bits >> 32) & 0xffff) + (bits >> 48);

    /* Each part has mean 32767.5; the sum of four even chances of width 1
     * has the variance 1/3. */
    return ((double)sum - 131070.0) * (1.7320508075688772 / 65536.0);
}

double hash_unit(uint64_t seed, int64_t i, int64_t j)
{
    return unit(mix(seed * UINT64_C(0xa0761d6478bd642f) +
                    (uint64_t)i * UINT64_C(0x9e3779b97f4a7c15) +
                    (uint64_t)j * UINT64_C(0xd1b54a32d192ed03)));
}

static double ease(double t)
{
    return t * t * (3 - 2 * t);
}

double noise_ring(uint64_t seed, double x, int64_t period)
{
    double base = floor(x);
    int64_t i = (int64_t)base % period;
    double a, b;

    if (i < 0)
        i += period;
    a = hash_unit(seed, i, 0);
    b = hash_unit(seed, (i + 1) % period, 0);
    return 2 * (a + (b - a) * ease(x - base)) - 1;
}

double noise_near(struct noise *n, double x, double y)
{
    double bx = floor(x), by = floor(y);
    int64_t i = (int64_t)bx, j = (int64_t)by;
    double tx = ease(x - bx), ty = ease(y - by), top, bottom;

    if (!n->known || i != n->i || j != n->j) {
        for (int k = 0; k < 4; k++)
            n->corner[k] = hash_unit(n->seed, i + k % 2, j + k / 2);
        n->i = i;
        n->j = j;
        n->known = true;
    }
    top = n->corner[0] + (n->corner[1] - n->corner[0]) * tx;
    bottom = n->corner[2] + (n->corner[3] - n->corner[2]) * tx;
    return 2 * (top + (bottom - top) * ty) - 1;
}

double noise_plane(uint64_t seed, double x, double y)
{
    struct noise n = {.seed = seed};

    return noise_near(&n, x, y);
}

double noise_cloud(uint64_t seed, double x, double y, int octaves)
{
    double sum = 0, weight = 0.6;

    for (int k = 0; k < octaves; k++) {
        sum += weight * noise_plane(seed + (uint64_t)k, x, y);
        weight /= 2;
        x = 2 * x + 17.3;
        y = 2 * y + 5.9;
    }
    return sum;
}

double exact_log(double x)
{
    int e;
    double m = frexp(x, &e), s, s2, sum = 0;

    if (m < 0.70710678118654752) {
        m *= 2;
        e--;
    }
    s = (m - 1) / (m + 1); /* ln m = 2 artanh s, |s| < 0.172 */
    s2 = s * s;
    for (int k = 21; k >= 1; k -= 2)
        sum = sum * s2 + 1.0 / k;
    return 2 * s * sum + e * 0.69314718055994531;
}

double exact_exp(double x)
{
    double k = floor(x / 0.69314718055994531 + 0.5);
    double r = x - k * 0.69314718055994531, sum = 1;

    for (int n = 16; n >= 1; n--)
        sum = 1 + sum * r / n;
    return ldexp(sum, (int)k);
}

double exact_pow(double x, double y)
{
    return exact_exp(y * exact_log(x));
}

double exact_sin_turns(double turns)
{
    double t = turns - floor(turns + 0.5); /* -0.5 .. 0.5 */
    double x, x2, sum = 1;

    if (t > 0.25)
        t = 0.5 - t;
    else if (t < -0.25)
        t = -0.5 - t;
    x = t * 6.283185307179586;
    x2 = x * x;
    for (int n = 20; n >= 2; n -= 2)
        sum = 1 - sum * x2 / (n * (n + 1));
    return x * sum;
}

double exact_cos_turns(double turns)
{
    return exact_sin_turns(turns + 0.25);
}

double clamp(double x, double lo, double hi)
{
    return x < lo ? lo : x > hi ? hi : x;
}

double smooth_step(double x, double lo, double hi)
{
    return ease(clamp((x - lo) / (hi - lo), 0, 1));
}
