/* An uncertain colour as colours. See range.h. */
#include "colour/range.h"

#include <math.h>

#include "base/mem.h"
#include "colour/axes.h"

#define CHI2_95_3 7.815 /* NIST/SEMATECH e-Handbook, 1.3.6.7.4 */

static struct lab along(struct lab at, const double axis[3], double reach)
{
    return (struct lab){fmin(100, fmax(0, at.L + reach * axis[0])),
                        at.a + reach * axis[1], at.b + reach * axis[2]};
}

static void swap(struct range_axis *x, struct range_axis *y)
{
    const struct range_axis kept = *x;

    *x = *y;
    *y = kept;
}

void range_of(struct lab at, struct cov3 abs, struct range_axis out[RANGE_AXES])
{
    const struct lab none = {(double)NAN, (double)NAN, (double)NAN};
    double value[3], axis[3][3];

    for (int i = 0; i < RANGE_AXES; i++)
        out[i] = (struct range_axis){{none, none}, (double)NAN};
    if (!cov3_is_valid(abs))
        return;
    cov3_axes(abs, value, axis);
    for (int i = 0; i < RANGE_AXES; i++) {
        const double reach = sqrt(CHI2_95_3 * fmax(0, value[i]));
        const struct lab a = along(at, axis[i], reach);
        const struct lab b = along(at, axis[i], -reach);
        const bool up = difference_rises(b, a);

        out[i].end[0] = up ? a : b;
        out[i].end[1] = up ? b : a;
        out[i].de00 =
            fmax(lab_de00(at, out[i].end[0]), lab_de00(at, out[i].end[1]));
    }
    for (int i = 0; i < RANGE_AXES; i++)
        for (int k = i + 1; k < RANGE_AXES; k++)
            if (out[k].de00 > out[i].de00)
                swap(&out[i], &out[k]);
}

double range_unevenness(struct lab at, struct lab sd)
{
    const struct cov3 g = cov3_de00_metric(at);

    /* The three are known, not how they go together. */
    return sqrt(g.LL * sd.L * sd.L + g.aa * sd.a * sd.a + g.bb * sd.b * sd.b);
}

const char *range_even_words(double unevenness)
{
    static const struct {
        double below;
        const char *words;
    } steps[] = {{1, "even"},
                 {2, "nearly even"},
                 {4, "uneven"},
                 {INFINITY, "streaky or patchy"}};

    for (size_t i = 0; i < ARRAY_LEN(steps); i++)
        if (unevenness < steps[i].below)
            return steps[i].words;
    return "";
}
