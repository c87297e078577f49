/*
 * The arithmetic of the dyepot: pure functions of plain numbers. Percentages
 * are of the dry weight of the fibre (WOF) and exceed 100 freely.
 *
 * Every function gives NaN when an argument is NaN, below 0, or 0 where it
 * would divide. docs/worked.md works the examples.
 */
#ifndef HANKLAB_DYE_RECKON_H
#define HANKLAB_DYE_RECKON_H

#include <stdbool.h>
#include <stddef.h>

/* ---- units ------------------------------------------------------------------
 * Exact: international yard and pound agreement of 1959; US gallon of 231
 * cubic inches; imperial gallon of 4.54609 L (UK Units of Measurement
 * Regulations 1995). */
#define G_PER_OZ 28.349523125
#define G_PER_LB 453.59237
#define L_PER_US_GAL 3.785411784
#define L_PER_IMP_GAL 4.54609
#define M_PER_IN 0.0254
#define M_PER_YD 0.9144
/* A US gallon is 8 pints or 128 fluid ounces, an imperial one 8 or 160. */
#define ML_PER_US_PINT (L_PER_US_GAL * 1000 / 8)
#define ML_PER_IMP_PINT (L_PER_IMP_GAL * 1000 / 8)
#define ML_PER_US_FL_OZ (L_PER_US_GAL * 1000 / 128)
#define ML_PER_IMP_FL_OZ (L_PER_IMP_GAL * 1000 / 160)
/* 2 US tablespoons or 6 US teaspoons to the US fluid ounce; the metric and
 * Australian spoons are common practice, no source. */
#define ML_PER_US_TBSP (ML_PER_US_FL_OZ / 2)
#define ML_PER_METRIC_TBSP 15.0
#define ML_PER_AU_TBSP 20.0
#define ML_PER_US_TSP (ML_PER_US_FL_OZ / 6)
#define ML_PER_METRIC_TSP 5.0

double celsius_of(double fahrenheit); /* any finite number */
double fahrenheit_of(double celsius);

/* ---- fibre, mordant, dyestuff -------------------------------------------- */

double fibre_sum_g(const double *fibre_g, size_t n);

/* Grams of mordant or dyestuff for a percentage, and back. */
double wof_grams(double wof_pct, double fibre_g);
double wof_pct(double grams, double fibre_g);

/* Percent from a weight per weight in any one unit: 4 oz per 16 oz is 25. */
double wof_pct_per(double amount, double per);

/* Dyestuff per fibre (2 means 2:1) from the two sides of a written ratio;
 * fibre_first: the first side is the fibre. */
double dyestuff_per_fibre(double first, double second, bool fibre_first);

double dyestuff_grams(double dyestuff_per_fibre, double fibre_g);

/* Percent on all wool up to and with bath n (0 is the first), when the
 * dyestuff went in once and each bath took fibre_g[i] grams. */
double wof_cumulative_pct(double dyestuff_g, const double *fibre_g, size_t n);

/* Fresh mushrooms weigh about ten times their dried weight (common practice,
 * no source): always an estimate, to be shown as one. */
#define MUSHROOM_FRESH_PER_DRY 10.0
double dry_grams(double fresh_g, double fresh_per_dry);

/* Whether half a step of the scale is more than a tenth of the weight (our
 * own choice): then a stock solution is better. */
bool scale_too_coarse(double grams, double scale_step_g);

/* ---- liquor ----------------------------------------------------------------
 */

double liquor_l(double liquor_l_per_kg, double fibre_g);
double liquor_l_per_kg(double litres, double fibre_g);
/* The most fibre that litres of liquor take. */
double liquor_fibre_g(double litres, double liquor_l_per_kg);

/* ---- stock solutions, vinegar, soda ---------------------------------------
 * A stock is w/v unless said: its percentage is grams in 100 ml of it. */

double stock_ml(double grams, double stock_pct); /* ml that hold grams */
double stock_grams(double ml, double stock_pct); /* grams that ml hold */
/* ml of stock in want_ml of a weaker one; NaN if want_pct is above it. */
double stock_dilute_ml(double want_ml, double want_pct, double stock_pct);

/* The three meanings of "a 10 % solution" in use. */
enum stock_meaning {
    STOCK_WV,   /* 10 g made up to 100 ml */
    STOCK_WW,   /* 10 g in 100 g in all: 90 g of water */
    STOCK_INTO, /* 10 g into 100 ml of water: 9.1 % w/w */
};

struct stock {
    double solute_g;
    double water_g;  /* to weigh or pour (1 g is 1 ml); NaN when made up */
    double up_to_ml; /* final volume; NaN unless made up */
};

/* What makes size of it: final ml (WV), final g (WW), ml of water (INTO). */
struct stock stock_make(enum stock_meaning meaning, double pct, double size);

/* Percent by weight. g_per_ml is the density of the solution, used for WV. */
double stock_ww_pct(enum stock_meaning meaning, double pct, double g_per_ml);

/* Grams of acetic acid in vinegar of acid_pct (g per 100 ml), and how much of
 * another strength holds as much. */
double vinegar_acid_g(double ml, double acid_pct);
double vinegar_ml_as(double ml, double acid_pct, double other_pct);

/* Soda ash (anhydrous) that does what washing-soda crystals (decahydrate) do;
 * molar masses 105.99 and 286.14 g/mol. And back. */
double soda_ash_g(double crystals_g);
double soda_crystals_g(double ash_g);

/* One name, several strengths: what of another form of a salt holds as much of
 * its metal as one gram of the usual form. From molar masses. */
struct salt_form {
    const char *other; /* "aluminium sulfate" */
    const char *metal;
    double low_g, high_g; /* it is sold with more or less water in it */
};

/* For alum, iron and copper, by name; a name that says another form has the
 * usual one as its other. False when there is none. */
bool salt_form(const char *name, struct salt_form *out);

/* ---- spoons ----------------------------------------------------------------
 * Always an estimate. Level US teaspoons; the ends are the lightest and the
 * heaviest of three published pairs of spoons and weights (common practice, no
 * source): alum 4.7 to 6.0 g, cream of tartar 4.5 to 5.3 g; soda ash 4 to
 * 4.5 g ("about 4 g or a little more"). */
enum spoon_of { SPOON_ALUM, SPOON_TARTAR, SPOON_SODA_ASH };
struct grams_range {
    double low_g, high_g;
};
struct grams_range spoon_grams(enum spoon_of of, double teaspoons);

/* Makes grams of a spoon's volume, low_ml to high_ml, of what is called so;
 * false when it is none of these. */
bool spoon_of_ml(const char *name, double low_ml, double high_ml,
                 struct grams_range *out);

/* ---- splitting a hank ------------------------------------------------------
 */

double yarn_m_per_g(double metres, double grams);
double yarn_m(double grams, double m_per_g);
double yarn_g(double metres, double m_per_g);

/* Whole wraps on a loop that give at least metres; a length that is a whole
 * number of wraps to a millionth takes no wrap more. */
double loop_wraps(double metres, double loop_m);

#endif
