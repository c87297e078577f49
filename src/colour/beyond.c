/* A lower bound of CIEDE2000. See beyond.h. */
#include "colour/beyond.h"

#include <math.h>

/*
 * dE00^2 = (dL / SL)^2 + x^2 + y^2 + RT x y with x = dC' / SC, y = dH' / SH.
 * The last three are at least (1 - |RT| / 2) (x^2 + y^2), |RT| / 2 at most sin
 * 60 degrees (C' / 25)^3.5 and SH less than SC, for T <= 1.5725. dC'^2 + dH'^2
 * is the distance in a' and b, not less than that in a and b. C' is the mean of
 * both, at most 1.5 times that of the chromas without the stretch, and at most
 * 6.4 above it. Between two hues of 0 to 180 degrees RT is none: those are 85
 * from blue, and sin(60 exp(-(85 / 25)^2)) degrees less than 1e-5. LAB_BLUE is
 * not so near to 0 that hues half a turn apart are taken for the other way
 * round.
 */
static const double sin60 = 0.86602540378443865;
static const double no_turn = 1e-5;
static const double rounding = 1 + 1e-9;

/* C', at most; chroma is the mean of the two. */
static double most_chroma(double chroma)
{
    return fmin(1.5 * chroma, chroma + 6.4);
}

static double most_turn(double C)
{
    const double t = fmin(C / 25, 1);

    return sin60 * t * t * t * sqrt(t);
}

bool lab_is_beyond(struct lab x, struct lab y, double most)
{
    const double L = (x.L + y.L) / 2 - 50;
    const double dL = (y.L - x.L) / (1 + 0.015 * L * L / sqrt(20 + L * L));
    const double rest = most * most * rounding - dL * dL;
    const double da = y.a - x.a, db = y.b - x.b;
    double C, turn;

    if (rest < 0)
        return true;
    C = most_chroma(
        (sqrt(x.a * x.a + x.b * x.b) + sqrt(y.a * y.a + y.b * y.b)) / 2);
    turn = x.b > LAB_BLUE && y.b > LAB_BLUE ? no_turn : most_turn(C);
    return (1 - turn) * (da * da + db * db) >
           rest * (1 + 0.045 * C) * (1 + 0.045 * C);
}

/*
 * The distance in a and b is at most this function of itself, which rises with
 * it: without the bends of C' and the turn it is linear, which bounds the
 * distance, and what is bounded once is bounded again, ever nearer.
 */
static double reach(double chroma, double most, bool turns)
{
    const double turned = most / sqrt(1 - (turns ? sin60 : no_turn));
    double ab = turned * (1 + 0.045 * (chroma + 6.4)) / (1 - 0.0225 * turned);

    for (int i = 0; i < 8; i++) {
        const double C = most_chroma(chroma + ab / 2);

        ab =
            most * (1 + 0.045 * C) / sqrt(1 - (turns ? most_turn(C) : no_turn));
    }
    return ab;
}

/* SL is at most 1 + 0.015 |L - 50|, of which L is half of dL from that of x. */
static void ellipsoid(struct lab x, double most, bool turns, double *L,
                      double *ab)
{
    most *= rounding;
    *L = most * (1 + 0.015 * fabs(x.L - 50)) / (1 - 0.0075 * most);
    *ab = reach(sqrt(x.a * x.a + x.b * x.b), most, turns);
}

void lab_reach(struct lab x, double most, double *L, double *ab)
{
    ellipsoid(x, most, true, L, ab);
    if (x.b - *ab > LAB_BLUE)
        ellipsoid(x, most, false, L, ab);
}

void lab_reach_above(struct lab x, double most, double *L, double *ab)
{
    ellipsoid(x, most, false, L, ab);
}
