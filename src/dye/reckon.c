/* The arithmetic of the dyepot. See the header. */
#include "dye/reckon.h"

#include <math.h>

#include "base/mem.h"
#include "base/text.h"

static const double nothing = (double)NAN;

/* A number that can be a weight, a length, a volume or a percentage. */
static double size_of(double x)
{
    return x >= 0 && isfinite(x) ? x : nothing;
}

/* The same where it divides. */
static double divisor(double x)
{
    return x > 0 && isfinite(x) ? x : nothing;
}

double celsius_of(double fahrenheit)
{
    return (fahrenheit - 32) * 5 / 9;
}

double fahrenheit_of(double celsius)
{
    return celsius * 9 / 5 + 32;
}

/* ---- fibre, mordant, dyestuff -------------------------------------------- */

double fibre_sum_g(const double *fibre_g, size_t n)
{
    double sum = 0;

    for (size_t i = 0; i < n; i++)
        sum += size_of(fibre_g[i]);
    return sum;
}

double wof_grams(double pct, double fibre_g)
{
    return size_of(pct) * size_of(fibre_g) / 100;
}

double wof_pct(double grams, double fibre_g)
{
    return wof_pct_per(grams, fibre_g);
}

double wof_pct_per(double amount, double per)
{
    return 100 * size_of(amount) / divisor(per);
}

double dyestuff_per_fibre(double first, double second, bool fibre_first)
{
    return fibre_first ? divisor(second) / divisor(first)
                       : divisor(first) / divisor(second);
}

double dyestuff_grams(double per_fibre, double fibre_g)
{
    return size_of(per_fibre) * size_of(fibre_g);
}

double wof_cumulative_pct(double dyestuff_g, const double *fibre_g, size_t n)
{
    return wof_pct(dyestuff_g, fibre_sum_g(fibre_g, n + 1));
}

double dry_grams(double fresh_g, double fresh_per_dry)
{
    return size_of(fresh_g) / divisor(fresh_per_dry);
}

bool scale_too_coarse(double grams, double scale_step_g)
{
    return scale_step_g / 2 > grams / 10;
}

/* ---- liquor ----------------------------------------------------------------
 */

double liquor_l(double l_per_kg, double fibre_g)
{
    return size_of(l_per_kg) * size_of(fibre_g) / 1000;
}

double liquor_l_per_kg(double litres, double fibre_g)
{
    return size_of(litres) * 1000 / divisor(fibre_g);
}

double liquor_fibre_g(double litres, double l_per_kg)
{
    return size_of(litres) * 1000 / divisor(l_per_kg);
}

/* ---- stock solutions, vinegar, soda -------------------------------------- */

double stock_ml(double grams, double stock_pct)
{
    return size_of(grams) * 100 / divisor(stock_pct);
}

double stock_grams(double ml, double stock_pct)
{
    return size_of(ml) * size_of(stock_pct) / 100;
}

double stock_dilute_ml(double want_ml, double want_pct, double stock_pct)
{
    if (!(want_pct <= stock_pct))
        return nothing;
    return size_of(want_ml) * size_of(want_pct) / divisor(stock_pct);
}

struct stock stock_make(enum stock_meaning meaning, double pct, double size)
{
    struct stock s = {size_of(pct) * size_of(size) / 100, nothing, nothing};

    switch (meaning) {
    case STOCK_WV:
        s.up_to_ml = size_of(size);
        break;
    case STOCK_WW:
        s.water_g = size_of(size - s.solute_g);
        break;
    case STOCK_INTO:
        s.water_g = size_of(size);
        break;
    }
    return s;
}

double stock_ww_pct(enum stock_meaning meaning, double pct, double g_per_ml)
{
    switch (meaning) {
    case STOCK_WV:
        return size_of(pct) / divisor(g_per_ml);
    case STOCK_WW:
        return size_of(pct);
    case STOCK_INTO:
        return 100 * size_of(pct) / (100 + size_of(pct));
    }
    return nothing;
}

double vinegar_acid_g(double ml, double acid_pct)
{
    return stock_grams(ml, acid_pct);
}

double vinegar_ml_as(double ml, double acid_pct, double other_pct)
{
    return stock_ml(vinegar_acid_g(ml, acid_pct), other_pct);
}

/* Na2CO3 and Na2CO3.10H2O in g/mol, from the standard atomic weights. */
#define SODA_ASH 105.988
#define SODA_CRYSTALS 286.141

double soda_ash_g(double crystals_g)
{
    return size_of(crystals_g) * (SODA_ASH / SODA_CRYSTALS);
}

double soda_crystals_g(double ash_g)
{
    return size_of(ash_g) * (SODA_CRYSTALS / SODA_ASH);
}

/* ---- spoons ----------------------------------------------------------------
 */

struct grams_range spoon_grams(enum spoon_of of, double teaspoons)
{
    static const struct grams_range each[] = {
        [SPOON_ALUM] = {4.7, 6.0},
        [SPOON_TARTAR] = {4.5, 5.3},
        [SPOON_SODA_ASH] = {4.0, 4.5},
    };
    double n = size_of(teaspoons);

    return (struct grams_range){each[of].low_g * n, each[of].high_g * n};
}

bool spoon_of_ml(const char *name, double low_ml, double high_ml,
                 struct grams_range *out)
{
    static const struct {
        const char *name;
        enum spoon_of of;
    } known[] = {{"alum", SPOON_ALUM},
                 {"cream of tartar", SPOON_TARTAR},
                 {"soda ash", SPOON_SODA_ASH}};

    for (size_t i = 0; i < ARRAY_LEN(known); i++)
        if (text_same(name, known[i].name)) {
            out->low_g =
                spoon_grams(known[i].of, low_ml / ML_PER_METRIC_TSP).low_g;
            out->high_g =
                spoon_grams(known[i].of, high_ml / ML_PER_US_TSP).high_g;
            return true;
        }
    return false;
}

/* ---- splitting a hank ------------------------------------------------------
 */

double yarn_m_per_g(double metres, double grams)
{
    return size_of(metres) / divisor(grams);
}

double yarn_m(double grams, double m_per_g)
{
    return size_of(grams) * size_of(m_per_g);
}

double yarn_g(double metres, double m_per_g)
{
    return size_of(metres) / divisor(m_per_g);
}

double loop_wraps(double metres, double loop_m)
{
    double wraps = size_of(metres) / divisor(loop_m);

    return ceil(wraps - 1e-6);
}
