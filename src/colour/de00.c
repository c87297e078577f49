/*
 * CIEDE2000 without angles: a shelf of skeins is a hundred thousand of these,
 * and most of the time would go into arc tangents and cosines. See lab.h.
 *
 * Directions of hue are unit vectors. dH' = 2 sqrt(C1 C2) sin(dh / 2) is had
 * from cross and dot product of the two, the mean hue is their sum, and the
 * cosines of its multiples are polynomials of it. Symbols are those of Sharma,
 * Wu, Dalal (2005), whose conventions for hues half a turn apart and for greys
 * are kept.
 */
#include <math.h>
#include <stdbool.h>

#include "colour/lab.h"

static const double pi = 3.14159265358979323846;

struct vec {
    double x, y;
};

static double dot(struct vec u, struct vec v)
{
    return u.x * v.x + u.y * v.y;
}

static double cross(struct vec u, struct vec v)
{
    return u.x * v.y - u.y * v.x;
}

static struct vec unit(struct vec v)
{
    const double length = sqrt(dot(v, v));

    if (length == 0)
        return (struct vec){0, 0};
    return (struct vec){v.x / length, v.y / length};
}

/* c^7 / (c^7 + 25^7) */
static double seventh(double c)
{
    const double t = c / 25, t3 = t * t * t, t7 = t3 * t3 * t;

    return t7 / (t7 + 1);
}

/* Whether the hue of v lies ahead of that of u; of two that are half a turn
 * apart, but for rounding, the one of the larger angle does. */
static bool is_ahead(struct vec u, struct vec v)
{
    const double c = cross(u, v);

    if (fabs(c) > -1e-9 * dot(u, v))
        return c > 0;
    return u.y > 0 || (u.y == 0 && u.x > 0);
}

/* dH'; chromas is C1' C2'. The difference of chromas and dot product is exact
 * only where it is large. */
static double hue_difference(struct vec u, struct vec v, double chromas)
{
    const double d = dot(u, v);

    if (d > 0)
        return cross(u, v) / sqrt((chromas + d) / 2);
    return (is_ahead(u, v) ? 1 : -1) * sqrt(2 * fmax(chromas - d, 0));
}

/* The direction of the mean hue, that of the other one beside a grey. */
static struct vec mean_hue(struct vec u, struct vec v)
{
    const struct vec p = unit(u), q = unit(v);
    const struct vec sum = {p.x + q.x, p.y + q.y};
    const struct vec gap = {q.x - p.x, q.y - p.y};

    if (dot(sum, sum) >= 0.5)
        return unit(sum);
    if (dot(gap, gap) < 0.5)
        return (struct vec){1, 0}; /* two greys */
    return unit(is_ahead(u, v) ? (struct vec){gap.y, -gap.x}
                               : (struct vec){-gap.y, gap.x});
}

/* T */
static double hue_weight(struct vec h)
{
    static const double cos30 = 0.86602540378443865, sin30 = 0.5;
    static const double cos6 = 0.99452189536827333, sin6 = 0.10452846326765347;
    static const double cos63 = 0.45399049973954675, sin63 = 0.8910065241883679;
    const double c2 = h.x * h.x - h.y * h.y, s2 = 2 * h.x * h.y;
    const double c3 = h.x * c2 - h.y * s2, s3 = h.y * c2 + h.x * s2;
    const double c4 = c2 * c2 - s2 * s2, s4 = 2 * s2 * c2;

    return 1 - 0.17 * (h.x * cos30 + h.y * sin30) + 0.24 * c2 +
           0.32 * (c3 * cos6 - s3 * sin6) - 0.20 * (c4 * cos63 + s4 * sin63);
}

/* RT; from 0 to 143 degrees it is below 1e-11 and left out. */
static double rotation(struct vec h, double chroma)
{
    static const double cos275 = 0.087155742747658174;
    static const double sin275 = -0.99619469809174555;
    double away, turn;

    if (h.y >= 0 && h.x > -0.8)
        return 0;
    away = acos(fmin(h.x * cos275 + h.y * sin275, 1)) * 180 / pi / 25;
    turn = pi / 3 * exp(-away * away);
    return -2 * sqrt(seventh(chroma)) * sin(turn);
}

double lab_de00(struct lab x, struct lab y)
{
    const double mean =
        (sqrt(x.a * x.a + x.b * x.b) + sqrt(y.a * y.a + y.b * y.b)) / 2;
    const double stretch = 1.5 - 0.5 * sqrt(seventh(mean));
    const struct vec u = {x.a * stretch, x.b}, v = {y.a * stretch, y.b};
    const double Cx = sqrt(dot(u, u)), Cy = sqrt(dot(v, v));
    const double C = (Cx + Cy) / 2, L = (x.L + y.L) / 2 - 50;
    const struct vec h = mean_hue(u, v);
    const double SL = 1 + 0.015 * L * L / sqrt(20 + L * L);
    const double dL = (y.L - x.L) / SL;
    const double dC = (Cy - Cx) / (1 + 0.045 * C);
    const double dH =
        hue_difference(u, v, Cx * Cy) / (1 + 0.015 * C * hue_weight(h));

    return sqrt(dL * dL + dC * dC + dH * dH + rotation(h, C) * dC * dH);
}
