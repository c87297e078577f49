/* src/dye/reckon.c. Rows are the worked examples of the same number in
 * docs/worked.md. Where nothing else is said the source is arithmetic on
 * the exact constants of reckon.h, done by hand beside the code. */
#include "support.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "dye/amount.h"
#include "dye/reckon.h"
#include "dye/substance.h"

/* Half of the last decimal that the worked examples print. */
#define CENT 0.005
#define TENTH 0.05

static double grams_of(const char *words)
{
    struct error err = {0};
    struct amount a = {0};

    check_ok(
        amount_read(words, (struct amount_context){AMOUNT_G, false}, &a, &err),
        &err);
    assert_int_equal(a.unit, AMOUNT_G);
    check_near(words, a.high, a.low, 0);
    return a.low;
}

/* ---- units ----------------------------------------------------------------
 */

/* Sources: arithmetic; F and C from their definition, C = (F - 32) 5/9. */
static void test_reckon_converts_temperatures_both_ways(void **state)
{
    static const double c01[][2] = {{115, 46.1}, {140, 60.0}, {160, 71.1},
                                    {180, 82.2}, {190, 87.8}, {200, 93.3}};
    static const double c02[][2] = {
        {46, 114.8}, {70, 158}, {80, 176}, {90, 194}};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(c01); i++)
        check_near("C01", celsius_of(c01[i][0]), c01[i][1], TENTH);
    for (size_t i = 0; i < ARRAY_LEN(c02); i++)
        check_near("C02", fahrenheit_of(c02[i][0]), c02[i][1], 1e-9);
    check_near("boiling", celsius_of(212), 100, 1e-12);
    check_near("freezing", fahrenheit_of(0), 32, 0);
    check_near("equal", celsius_of(-40), -40, 1e-12);
    for (int c = -20; c <= 150; c += 7)
        check_near("round trip", celsius_of(fahrenheit_of(c)), c, 1e-9);
}

/* Source: NIST Special Publication 811, appendix B, for gallon, pint, quart,
 * fluid ounce and spoons (from memory); imperial: 4.54609 L exactly. */
static void test_reckon_units_agree_with_published_factors(void **state)
{
    (void)state;
    check_near("C03", grams_of("1/2 oz"), 14.17, CENT);
    check_near("C03", grams_of("1 oz"), 28.35, CENT);
    check_near("C03", grams_of("1 3/4 oz"), 49.61, CENT);
    check_near("C03", grams_of("3 1/2 oz"), 99.22, CENT);
    check_near("C04", ML_PER_US_PINT, 473.176, 0.001);
    check_near("C04", 2 * ML_PER_US_PINT, 946.353, 0.001);
    check_near("C04", ML_PER_IMP_PINT, 568.261, 0.001);
    check_near("C04", 2 * ML_PER_IMP_PINT, 1136.52, CENT);
    check_near("C05", ML_PER_US_FL_OZ, 29.57353, 1e-5);
    check_near("C05", ML_PER_IMP_FL_OZ, 28.41306, 1e-5);
    check_near("C06", ML_PER_US_TBSP, 14.78676, 1e-5);
    check_near("C06", ML_PER_METRIC_TBSP, 15, 0);
    check_near("C06", ML_PER_AU_TBSP, 20, 0);
    check_near("C07", ML_PER_US_TSP, 4.928922, 1e-6);
    check_near("C07", ML_PER_METRIC_TSP, 5, 0);
    check_near("pound", G_PER_LB, 16 * G_PER_OZ, 1e-10);
}

/* Every unit there and back: what ten of it are in grams, litres or metres,
 * said in that unit again. The factors are those of the definitions, written
 * out here once more. */
static void test_every_unit_comes_back(void **state)
{
    static const struct {
        const char *unit;
        enum amount_unit kind;
        double factor;
    } rows[] = {
        {"g", AMOUNT_G, 1},
        {"kg", AMOUNT_G, 1000},
        {"oz", AMOUNT_G, 28.349523125},
        {"lb", AMOUNT_G, 453.59237},
        {"ml", AMOUNT_ML, 1},
        {"cl", AMOUNT_ML, 10},
        {"dl", AMOUNT_ML, 100},
        {"l", AMOUNT_ML, 1000},
        {"US pints", AMOUNT_ML, 3785.411784 / 8},
        {"US quarts", AMOUNT_ML, 3785.411784 / 4},
        {"US gallons", AMOUNT_ML, 3785.411784},
        {"US fl oz", AMOUNT_ML, 3785.411784 / 128},
        {"imperial pints", AMOUNT_ML, 4546.09 / 8},
        {"imperial quarts", AMOUNT_ML, 4546.09 / 4},
        {"imperial gallons", AMOUNT_ML, 4546.09},
        {"imperial fl oz", AMOUNT_ML, 4546.09 / 160},
        {"m", AMOUNT_M, 1},
        {"cm", AMOUNT_M, 0.01},
        {"yd", AMOUNT_M, 0.9144},
        {"in", AMOUNT_M, 0.0254},
        {"%", AMOUNT_WOF_PCT, 1},
    };
    static const double some[] = {0.125, 1, 2.5, 37, 640};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        for (size_t k = 0; k < ARRAY_LEN(some); k++) {
            struct amount_context none = {AMOUNT_COUNT, false};
            char words[80];
            struct error err = {0};
            struct amount a;

            snprintf(words, sizeof words, "%g %s", some[k], rows[i].unit);
            check_ok(amount_read(words, none, &a, &err), &err);
            assert_int_equal(a.unit, rows[i].kind);
            check_near(words, a.low / rows[i].factor, some[k], 1e-9 * some[k]);
            snprintf(words, sizeof words, "%.17g %s", a.low,
                     rows[i].kind == AMOUNT_G    ? "g"
                     : rows[i].kind == AMOUNT_ML ? "ml"
                     : rows[i].kind == AMOUNT_M  ? "m"
                                                 : "%");
            check_ok(amount_read(words, none, &a, &err), &err);
            check_near(words, a.low / rows[i].factor, some[k], 1e-9 * some[k]);
        }
}

/* Grams of metal in one gram, from the published molar masses that
 * src/dye/salt.c names: alum 5.69 % Al, its sulfate 8.10 to 9.08 %, green
 * vitriol 20.09 % Fe, dried out 32.87 %; blue vitriol 25.45 % Cu, without
 * water 39.81 % (by hand from IUPAC 2021 atomic weights). */
static void test_salt_forms_hold_as_much_metal(void **state)
{
    static const struct {
        const char *name;
        double low, high;
    } rows[] = {
        {"alum", 5.688 / 9.079, 5.688 / 8.098},
        {"Potassium Alum", 5.688 / 9.079, 5.688 / 8.098},
        {"aluminium sulfate", 8.098 / 5.688, 9.079 / 5.688},
        {"ammonium alum", 5.952 / 5.688, 5.952 / 5.688},
        {"iron", 20.09 / 32.87, 20.09 / 32.87},
        {"copper sulphate", 25.45 / 39.81, 25.45 / 39.81},
    };
    struct salt_form form;

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        assert_true(salt_form(rows[i].name, &form));
        check_near(rows[i].name, form.low_g, rows[i].low, 1e-3);
        check_near(rows[i].name, form.high_g, rows[i].high, 1e-3);
    }
    assert_false(salt_form("aluminium acetate", &form));
    assert_false(salt_form("rusty nails in iron water", &form));
    assert_false(salt_form("weld", &form));
}

/* ---- mordant and dyestuff --------------------------------------------------
 */

static void test_wof_grams_agrees_with_worked_examples(void **state)
{
    static const struct {
        const char *row;
        double wof_pct, fibre_g, want_g, tolerance;
    } rows[] = {
        {"W01", 12, 100, 12.0, 1e-9},
        {"W02", 12, 85, 10.2, 1e-9},
        {"W02 tartar", 6, 85, 5.1, 1e-9},
        {"W03 alum", 15, 48, 7.2, 1e-9},
        {"W03 tartar", 6, 48, 2.88, 1e-9},
        {"W05", 2, 7, 0.14, 1e-9}, /* too little for a 1 g kitchen scale */
        {"W11 alum in oz", 8, 3.1, 0.248, 1e-9},
        {"W11 tartar in oz", 7, 3.1, 0.217, 1e-9},
        {"R02", 50, 50, 25, 1e-9},
        {"nothing", 0, 100, 0, 0},
        {"no fibre", 12, 0, 0, 0},
    };
    static const double pot[] = {22, 25, 48}, two[] = {18, 31};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        check_near(rows[i].row, wof_grams(rows[i].wof_pct, rows[i].fibre_g),
                   rows[i].want_g, rows[i].tolerance);
    check_near("W04 fibre", fibre_sum_g(pot, 3), 95, 1e-9);
    check_near("W04", wof_grams(12, fibre_sum_g(pot, 3)), 11.4, 1e-9);
    check_near("W07 fibre", grams_of("1 lb 3 oz"), 538.64, CENT);
    check_near("W07", wof_grams(10, grams_of("1 lb 3 oz")), 53.86, CENT);
    check_near("W08 fibre", grams_of("2 1/4 oz"), 63.79, CENT);
    check_near("W08", wof_grams(12, grams_of("2 1/4 oz")), 7.65, CENT);
    check_near("W11 alum", wof_grams(8, grams_of("3.1oz")), 7.03, CENT);
    check_near("W11 tartar", wof_grams(7, grams_of("3.1oz")), 6.15, CENT);
    /* Both mordants' skeins share one dyestuff (common practice, no source). */
    check_near("P01", wof_grams(60, fibre_sum_g(two, 2)), 29.4, 1e-9);
}

static void test_wof_pct_is_the_way_back(void **state)
{
    (void)state;
    check_near("W06", wof_pct(9, 75), 12, 1e-9);
    check_near("W09 alum", wof_pct_per(4, 16), 25, 1e-9);
    check_near("W09 tartar", wof_pct_per(1, 16), 6.25, 1e-9);
    check_near("W10", wof_pct_per(0.5, 16), 3.125, 1e-9);
    for (int p = 0; p <= 400; p += 7)
        check_near("round trip", wof_pct(wof_grams(p, 37.5), 37.5), p, 1e-9);
}

static void test_scale_is_too_coarse_for_a_few_grams(void **state)
{
    (void)state;
    assert_true(scale_too_coarse(0.14, 1)); /* W05 */
    assert_true(scale_too_coarse(2.88, 1)); /* W03 */
    assert_false(scale_too_coarse(12, 1));  /* W01 */
    assert_false(scale_too_coarse(0.14, 0.01));
}

/* Nasty input 12: 120 % typed for 12. Ends of the range: J. Dean, "Wild
 * Colour" (8 %), and E. Mairet, "Vegetable Dyes" (25 %). */
static void test_substance_question_asks_about_slips(void **state)
{
    static const struct {
        const char *name;
        double low, high;
        const char *want;
    } rows[] = {
        {"alum", 8, 8, ""},
        {"alum", 25, 25, ""},
        {"alum", 5, 9, ""},
        {"alum", 5, 5, "8 to 25 % is usual."},
        {"alum", 30, 30, "8 to 25 % is usual."},
        {"alum", 120, 120, "8 to 25 % is usual. Was 12 % meant?"},
        {"alum", 1.2, 1.2, "8 to 25 % is usual. Was 12 % meant?"},
        {"alum", 1, 2, "8 to 25 % is usual."},
        {"chrome", 300, 300, ""},
        {"tin", 300, 300, ""},
        {"madder", 300, 300, ""},
        {"alum", (double)NAN, (double)NAN, ""},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct text t = {0};
        double meant = 0;
        bool asked = substance_question(rows[i].name, rows[i].low, rows[i].high,
                                        &meant, &t);
        assert_string_equal(text_str(&t), rows[i].want);
        assert_int_equal(asked, *rows[i].want != '\0');
        if (strstr(rows[i].want, "12 % meant"))
            check_near(rows[i].name, meant, 12, 1e-9);
        text_clear(&t);
    }
}

static void test_dyestuff_follows_the_sides_of_a_ratio(void **state)
{
    static const struct {
        const char *row;
        double first, second;
        bool fibre_first;
        double fibre_g, want_g;
    } rows[] = {
        {"R01", 2, 1, false, 50, 100}, {"R02", 1, 2, false, 50, 25},
        {"R03", 1, 2, true, 50, 100},  {"R04", 1.5, 1, false, 22, 33},
        {"equal", 1, 1, true, 40, 40},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        double per = dyestuff_per_fibre(rows[i].first, rows[i].second,
                                        rows[i].fibre_first);
        double back = dyestuff_per_fibre(rows[i].second, rows[i].first,
                                         !rows[i].fibre_first);
        check_near(rows[i].row, dyestuff_grams(per, rows[i].fibre_g),
                   rows[i].want_g, 1e-9);
        check_near(rows[i].row, back, per, 1e-12);
    }
    check_near("R05", wof_pct(44, 22), 200, 1e-9);
    check_near("R06", dry_grams(1000, MUSHROOM_FRESH_PER_DRY), 100, 1e-9);
    check_near("R07", wof_pct(60, 100), 60, 1e-9);
    check_near("R07", wof_pct(30, 100), 30, 1e-9);
    check_near("R07", wof_pct(10, 100), 10, 1e-9);
    check_near("R07 total", wof_pct(60 + 30 + 10, 100), 100, 1e-9);
}

static void test_wof_cumulative_counts_all_wool_so_far(void **state)
{
    static const double fibre_g[] = {100, 100, 100, 100};
    static const double want[] = {200, 100, 66.7, 50};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(want); i++)
        check_near("R08", wof_cumulative_pct(200, fibre_g, i), want[i], TENTH);
}

/* ---- liquor ----------------------------------------------------------------
 */

static void test_liquor_agrees_with_worked_examples(void **state)
{
    double l = liquor_l(30, G_PER_LB);

    (void)state;
    check_near("L01", liquor_l(30, 100), 3.0, 1e-9);
    check_near("L02", liquor_l(40, 250), 10.0, 1e-9);
    check_near("L03", l, 13.61, CENT);
    check_near("L03 US", l / L_PER_US_GAL, 3.59, CENT);
    check_near("L03 imperial", l / L_PER_IMP_GAL, 2.99, CENT);
    check_near("L04", liquor_l_per_kg(4 * L_PER_US_GAL, G_PER_LB), 33.4, TENTH);
    check_near("L05", liquor_l_per_kg(4 * L_PER_IMP_GAL, G_PER_LB), 40.1,
               TENTH);
    check_near("L06", liquor_fibre_g(6, 30), 200, 1e-9);
    check_near("round trip", liquor_l_per_kg(liquor_l(27, 63), 63), 27, 1e-9);
}

/* ---- stock, vinegar, soda, spoons ------------------------------------------
 */

static void test_stock_agrees_with_worked_examples(void **state)
{
    struct stock litre = stock_make(STOCK_WV, 10, 1000);

    (void)state;
    check_near("D01", stock_ml(wof_grams(12, 100), 10), 120, 1e-9);
    check_near("D02", stock_ml(wof_grams(15, 48), 10), 72, 1e-9);
    check_near("D03", wof_grams(2, 22), 0.44, 1e-9);
    check_near("D03", stock_ml(wof_grams(2, 22), 1), 44, 1e-9);
    check_near("D04 stock", stock_dilute_ml(250, 2, 10), 50, 1e-9);
    check_near("D04 water", 250 - stock_dilute_ml(250, 2, 10), 200, 1e-9);
    assert_true(isnan(stock_dilute_ml(250, 12, 10)));
    check_near("D05", litre.solute_g, 100, 1e-9);
    check_near("D05 up to", litre.up_to_ml, 1000, 0);
    assert_true(isnan(litre.water_g));
    check_near("round trip", stock_grams(stock_ml(7.2, 10), 10), 7.2, 1e-12);
}

/* The density of 10 g alum made up to 100 ml, 1.05 g/ml, is from memory. */
static void test_stock_tells_three_meanings_of_ten_percent(void **state)
{
    struct stock ww = stock_make(STOCK_WW, 10, 100);
    struct stock into = stock_make(STOCK_INTO, 10, 100);

    (void)state;
    check_near("w/w solute", ww.solute_g, 10, 1e-12);
    check_near("w/w water", ww.water_g, 90, 1e-12);
    check_near("into solute", into.solute_g, 10, 1e-12);
    check_near("into water", into.water_g, 100, 0);
    assert_true(isnan(ww.up_to_ml) && isnan(into.up_to_ml));
    check_near("w/v", stock_ww_pct(STOCK_WV, 10, 1.05), 9.52, CENT);
    check_near("w/w", stock_ww_pct(STOCK_WW, 10, 1.05), 10, 0);
    check_near("into", stock_ww_pct(STOCK_INTO, 10, 1.05), 9.09, CENT);
}

static void test_vinegar_and_soda_change_strength(void **state)
{
    (void)state;
    check_near("D06 acid", vinegar_acid_g(40, 5), 2.0, 1e-9);
    check_near("D06", vinegar_ml_as(40, 5, 24), 8.33, CENT);
    check_near("D07", soda_ash_g(10), 3.70, CENT);
    check_near("D07 back", soda_crystals_g(1), 2.70, CENT);
    check_near("round trip", soda_crystals_g(soda_ash_g(10)), 10, 1e-12);
}

/* Three published pairs, each ounces or percent of a pound to spoons: 2 tbsp
 * to the ounce, 4 tbsp for 14 % of a pound, 1 1/2 tsp for 8 % of 4 oz (common
 * practice, no source). */
static void test_spoons_span_the_published_pairs(void **state)
{
    struct grams_range alum = spoon_grams(SPOON_ALUM, 1);
    const double pairs[] = {G_PER_OZ / 6, 0.14 * G_PER_LB / 12,
                            0.08 * 4 * G_PER_OZ / 1.5};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(pairs); i++)
        assert_true(pairs[i] >= alum.low_g - TENTH &&
                    pairs[i] <= alum.high_g + TENTH);
    check_near("three", spoon_grams(SPOON_TARTAR, 3).high_g, 15.9, 1e-9);
    check_near("soda", spoon_grams(SPOON_SODA_ASH, 2).low_g, 8, 1e-9);
}

/* ---- splitting -------------------------------------------------------------
 */

static void test_yarn_length_and_weight_agree(void **state)
{
    double grist = yarn_m_per_g(400, 100);

    (void)state;
    check_near("S01", grist, 4.0, 1e-12);
    check_near("S02", yarn_m(37, grist), 148, 1e-9);
    check_near("S02 yd", yarn_m(37, grist) / M_PER_YD, 161.9, TENTH);
    check_near("S03", yarn_g(60, grist), 15.0, 1e-9);
    check_near("S07", yarn_m(97.4, grist), 389.6, 1e-9);
    check_near("S09", 437 * M_PER_YD, 399.6, TENTH);
    check_near("S10", yarn_m(96, yarn_m_per_g(10, 2.5)), 384, 1e-9);
}

static void test_a_loop_is_wound_in_whole_wraps(void **state)
{
    (void)state;
    check_near("S06", loop_wraps(40, 1.5), 27, 0);
    check_near("S08", loop_wraps(15 * M_PER_YD, 60 * M_PER_IN), 9, 0);
    check_near("a bit more", loop_wraps(15.01 * M_PER_YD, 60 * M_PER_IN), 10,
               0);
    check_near("none", loop_wraps(0, 1.5), 0, 0);
}

/* ---- outside ---------------------------------------------------------------
 */

static void test_reckon_gives_nan_outside_its_range(void **state)
{
    const double bad[] = {(double)NAN, -1, (double)INFINITY};
    const double wool[] = {10, -1};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(bad); i++) {
        assert_true(isnan(wof_grams(bad[i], 100)));
        assert_true(isnan(wof_grams(12, bad[i])));
        assert_true(isnan(wof_pct(bad[i], 100)));
        assert_true(isnan(liquor_l(30, bad[i])));
        assert_true(isnan(stock_ml(bad[i], 10)));
        assert_true(isnan(dyestuff_per_fibre(bad[i], 1, false)));
        assert_true(isnan(yarn_m(bad[i], 4)));
        assert_true(isnan(loop_wraps(bad[i], 1.5)));
        assert_true(isnan(soda_ash_g(bad[i])));
        assert_true(isnan(loop_wraps(40, bad[i])));
    }
    assert_true(isnan(wof_pct(12, 0)));
    assert_true(isnan(liquor_l_per_kg(3, 0)));
    assert_true(isnan(liquor_fibre_g(3, 0)));
    assert_true(isnan(stock_ml(3, 0)));
    assert_true(isnan(dry_grams(3, 0)));
    assert_true(isnan(yarn_g(3, 0)));
    assert_true(isnan(loop_wraps(3, 0)));
    assert_true(isnan(fibre_sum_g(wool, 2)));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_reckon_converts_temperatures_both_ways),
        cmocka_unit_test(test_reckon_units_agree_with_published_factors),
        cmocka_unit_test(test_every_unit_comes_back),
        cmocka_unit_test(test_salt_forms_hold_as_much_metal),
        cmocka_unit_test(test_wof_grams_agrees_with_worked_examples),
        cmocka_unit_test(test_wof_pct_is_the_way_back),
        cmocka_unit_test(test_scale_is_too_coarse_for_a_few_grams),
        cmocka_unit_test(test_substance_question_asks_about_slips),
        cmocka_unit_test(test_dyestuff_follows_the_sides_of_a_ratio),
        cmocka_unit_test(test_wof_cumulative_counts_all_wool_so_far),
        cmocka_unit_test(test_liquor_agrees_with_worked_examples),
        cmocka_unit_test(test_stock_agrees_with_worked_examples),
        cmocka_unit_test(test_stock_tells_three_meanings_of_ten_percent),
        cmocka_unit_test(test_vinegar_and_soda_change_strength),
        cmocka_unit_test(test_spoons_span_the_published_pairs),
        cmocka_unit_test(test_yarn_length_and_weight_agree),
        cmocka_unit_test(test_a_loop_is_wound_in_whole_wraps),
        cmocka_unit_test(test_reckon_gives_nan_outside_its_range),
    };

    return cmocka_run_group_tests_name("reckon", tests, NULL, NULL);
}
