/* A lower bound of CIEDE2000. See beyond.h. */
#include "colour/beyond.h"

#include <math.h>

/*
 * dE00^2 = (dL / SL)^2 + x^2 + y^2 + RT x y with x = dC' / SC, y = dH' / SH.
 * The last three are at least (1 - |RT| / 2) (x^2 + y^2), |RT| / 2 at most sin
 * 60 degrees (C' / 25)^3.5 and SH less than SC, for T <= 1.5725. dC'^2 + dH'^2
 * is the distance in a' and b, not less than that in a and b. C' is the mean of
 * both, at most 1.5 times that of the chromas without the stretch, and at most
 * 6.4 above it.
 */
bool lab_is_beyond(struct lab x, struct lab y, double most)
{
    static const double sin60 = 0.86602540378443865;
    static const double rounding = 1 + 1e-9;
    const double L = (x.L + y.L) / 2 - 50;
    const double dL = (y.L - x.L) / (1 + 0.015 * L * L / sqrt(20 + L * L));
    const double rest = most * most * rounding - dL * dL;
    const double da = y.a - x.a, db = y.b - x.b;
    double C, t, turn;

    if (rest < 0)
        return true;
    C = (sqrt(x.a * x.a + x.b * x.b) + sqrt(y.a * y.a + y.b * y.b)) / 2;
    C = fmin(1.5 * C, C + 6.4);
    t = fmin(C / 25, 1);
    turn = sin60 * t * t * t * sqrt(t);
    return (1 - turn) * (da * da + db * db) >
           rest * (1 + 0.045 * C) * (1 + 0.045 * C);
}
