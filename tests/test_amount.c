/* src/dye/: amounts, pH, heat and time as people type them. "nasty" rows are
 * what dyers really type; how each is read is our own rule, stated in
 * docs/worked.md. Factors: the exact pound, US and imperial gallon. */
#include "support.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "dye/amount.h"
#include "dye/reckon.h"

static const struct amount_context grams = {AMOUNT_G, false};

struct row {
    const char *words;
    enum amount_unit unit;
    double low, high;
    bool estimated;
};

static void check_rows(const struct row *rows, size_t n, double tolerance)
{
    for (size_t i = 0; i < n; i++) {
        struct error err = {0};
        struct amount a;

        check_ok(amount_read(rows[i].words, grams, &a, &err), &err);
        if (a.unit != rows[i].unit)
            fail_msg("\"%s\": unit %d, want %d", rows[i].words, (int)a.unit,
                     (int)rows[i].unit);
        check_near(rows[i].words, a.low, rows[i].low, tolerance);
        check_near(rows[i].words, a.high, rows[i].high, tolerance);
        if (a.estimated != rows[i].estimated)
            fail_msg("\"%s\": estimated is wrong", rows[i].words);
    }
}

/* Nasty 1. */
static void test_amount_reads_fractions_and_scales(void **state)
{
    static const struct row rows[] = {
        {"1 3/4 oz", AMOUNT_G, 49.6117, 49.6117, false},
        {"1¾", AMOUNT_G, 1.75, 1.75, false},
        {"1 ¾ oz", AMOUNT_G, 49.6117, 49.6117, false},
        {"1-3/4 oz", AMOUNT_G, 49.6117, 49.6117, false},
        {"2 1/4oz", AMOUNT_G, 63.7864, 63.7864, false},
        {"1#", AMOUNT_G, 453.5924, 453.5924, false},
        {"1 lb 3", AMOUNT_G, 538.6409, 538.6409, false},
        {"1 lb 3 oz", AMOUNT_G, 538.6409, 538.6409, false},
        {"1 lb, 3 oz", AMOUNT_G, 538.6409, 538.6409, false},
        {"1 lb 3 1/2", AMOUNT_G, 552.8157, 552.8157, false},
        {"1 kg 250", AMOUNT_G, 1250, 1250, false},
        {"0,5", AMOUNT_G, 0.5, 0.5, false},
        {".5 g", AMOUNT_G, 0.5, 0.5, false},
        {"3.1oz", AMOUNT_G, 87.8835, 87.8835, false},
        {"½ oz", AMOUNT_G, 14.1748, 14.1748, false},
        {"half an ounce", AMOUNT_G, 14.1748, 14.1748, false},
        {"0,125 kg", AMOUNT_G, 125, 125, false},
        {"  50\xC2\xA0G  ", AMOUNT_G, 50, 50, false},
        {"50 g + 30 g", AMOUNT_G, 80, 80, false},
        {"50 g (2 oz)", AMOUNT_G, 50, 50, false},
        {"0 g", AMOUNT_G, 0, 0, false},
    };

    (void)state;
    check_rows(rows, ARRAY_LEN(rows), 5e-5);
}

static void test_amount_reads_ranges_and_doubts(void **state)
{
    static const struct row rows[] = {
        {"3-4 g", AMOUNT_G, 3, 4, false},
        {"3 to 4 g", AMOUNT_G, 3, 4, false},
        {"4–3 g", AMOUNT_G, 3, 4, false},
        {"3..4 g", AMOUNT_G, 3, 4, false},
        {"500 g - 1 kg", AMOUNT_G, 500, 1000, false},
        {"10-12 %", AMOUNT_WOF_PCT, 10, 12, false},
        {"about 9 g", AMOUNT_G, 8.1, 9.9, true},
        {"ca. 10 g", AMOUNT_G, 9, 11, true},
        {"10 g?", AMOUNT_G, 9, 11, true},
        {"~10 g", AMOUNT_G, 9, 11, true},
        {"up to 9 g", AMOUNT_G, 0, 9, true},
    };

    (void)state;
    check_rows(rows, ARRAY_LEN(rows), 1e-9);
}

/* Nasty 2, and worked examples W09, W10. */
static void test_amount_reads_percentages_and_times(void **state)
{
    static const struct row rows[] = {
        {"200%", AMOUNT_WOF_PCT, 200, 200, false},
        {"12 % wof", AMOUNT_WOF_PCT, 12, 12, false},
        {"alum 12%", AMOUNT_WOF_PCT, 12, 12, false},
        {"12 percent", AMOUNT_WOF_PCT, 12, 12, false},
        {"4 oz per lb", AMOUNT_WOF_PCT, 25, 25, false},
        {"1 oz to the pound", AMOUNT_WOF_PCT, 6.25, 6.25, false},
        {"1/2 oz/lb", AMOUNT_WOF_PCT, 3.125, 3.125, false},
        {"5 g per 100 g", AMOUNT_WOF_PCT, 5, 5, false},
        {"2x", AMOUNT_PER_FIBRE, 2, 2, false},
        {"x 2", AMOUNT_PER_FIBRE, 2, 2, false},
        {"1-2 times", AMOUNT_PER_FIBRE, 1, 2, false},
        {"equal weight", AMOUNT_PER_FIBRE, 1, 1, false},
        {"twice the weight", AMOUNT_PER_FIBRE, 2, 2, false},
        {"half the weight", AMOUNT_PER_FIBRE, 0.5, 0.5, false},
        {"1-2 g", AMOUNT_G, 1, 2, false},
        {"1 to 2", AMOUNT_G, 1, 2, false},
    };

    (void)state;
    check_rows(rows, ARRAY_LEN(rows), 1e-9);
}

/* Nasty 2, and worked examples R01 to R04: the same "1:2" is a factor of four.
 */
static void test_amount_ratio_says_which_side_is_the_fibre(void **state)
{
    static const struct {
        const char *row, *words;
        bool context_fibre_first;
        double per_fibre;
        bool fibre_first, stated;
    } rows[] = {
        {"R01", "2:1", false, 2, false, false},
        {"R02", "1:2", false, 0.5, false, false},
        {"R03", "1:2 (yarn:dye)", false, 2, true, true},
        {"R03 context", "1:2", true, 2, true, false},
        {"R04", "1.5:1", false, 1.5, false, false},
        {"words beat context", "2:1 dyestuff to fibre", true, 2, false, true},
        {"before", "yarn:dye 1:2", false, 2, true, true},
        {"one side only", "2:1 mushrooms", false, 2, false, false},
        {"both", "2:1 dried mushrooms to wool yarn", false, 2, false, true},
        {"slash", "1:2 (wool/weld)", false, 2, true, true},
        {"to", "2 to 1", false, 2, false, false},
        {"blanks", " 1 : 3 ", false, 1 / 3.0, false, false},
        {"fractions", "1/2 : 1", false, 0.5, false, false},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct amount_context c = {AMOUNT_G, rows[i].context_fibre_first};
        struct error err = {0};
        struct amount a;

        check_ok(amount_read(rows[i].words, c, &a, &err), &err);
        assert_int_equal(a.unit, AMOUNT_PER_FIBRE);
        check_near(rows[i].row, a.low, rows[i].per_fibre, 1e-12);
        check_near(rows[i].row, a.high, rows[i].per_fibre, 1e-12);
        if (a.fibre_first != rows[i].fibre_first ||
            a.sides_stated != rows[i].stated)
            fail_msg("%s: sides", rows[i].row);
    }
}

/* Worked examples C04 to C07. */
static void test_amount_reads_volumes_of_both_countries(void **state)
{
    static const struct row rows[] = {
        {"250 ml", AMOUNT_ML, 250, 250, false},
        {"2 dl", AMOUNT_ML, 200, 200, false},
        {"1,5 l", AMOUNT_ML, 1500, 1500, false},
        {"50 ml of 10 % stock", AMOUNT_ML, 50, 50, false},
        {"1 pint", AMOUNT_ML, 473.176, 473.176, false},
        {"1 pint (UK)", AMOUNT_ML, 568.261, 568.261, false},
        {"1 imperial quart", AMOUNT_ML, 1136.523, 1136.523, false},
        {"4 gal", AMOUNT_ML, 15141.647, 15141.647, false},
        {"4 imp. gal", AMOUNT_ML, 18184.36, 18184.36, false},
        {"1 fl. oz", AMOUNT_ML, 29.574, 29.574, false},
        {"1 UK fluid ounce", AMOUNT_ML, 28.413, 28.413, false},
        {"1 cup", AMOUNT_ML, 236.588, 284.131, true},
        {"1 US cup", AMOUNT_ML, 236.588, 236.588, true},
        {"1 level tsp", AMOUNT_ML, 4.929, 5, true},
        {"1 level tbsp", AMOUNT_ML, 14.787, 20, true},
    };
    static const struct amount_context none = {AMOUNT_NONE, false};
    struct error err = {0};
    struct amount a;

    (void)state;
    check_rows(rows, ARRAY_LEN(rows), 0.001);
    check_ok(amount_read("12", none, &a, &err), &err);
    assert_int_equal(a.unit, AMOUNT_COUNT);
}

static void test_amount_reads_lengths(void **state)
{
    static const struct row rows[] = {
        {"437 yd", AMOUNT_M, 399.5928, 399.5928, false}, /* S09 */
        {"400 m", AMOUNT_M, 400, 400, false},
        {"60 in", AMOUNT_M, 1.524, 1.524, false},
        {"5 ft 3", AMOUNT_M, 1.6002, 1.6002, false},
    };

    (void)state;
    check_rows(rows, ARRAY_LEN(rows), 1e-9);
}

/* Nasty 3, 7 and 12: words stay words and are no error. */
static void test_amount_keeps_words_as_words(void **state)
{
    static const struct {
        const char *words;
        enum amount_unit unit;
        enum amount_state state;
    } rows[] = {
        {"half a bucket", AMOUNT_WORDS, AMOUNT_AS_SAID},
        {"a handful", AMOUNT_WORDS, AMOUNT_AS_SAID},
        {"2 handfuls", AMOUNT_WORDS, AMOUNT_AS_SAID},
        {"40 marigold heads", AMOUNT_WORDS, AMOUNT_AS_SAID},
        {"12 caps", AMOUNT_WORDS, AMOUNT_AS_SAID},
        {"frozen-then-dried", AMOUNT_WORDS, AMOUNT_DRIED},
        {"weighed wet", AMOUNT_WORDS, AMOUNT_WET},
        {"weighed after dyeing", AMOUNT_WORDS, AMOUNT_AS_SAID},
        {"a good glug", AMOUNT_WORDS, AMOUNT_AS_SAID},
        {"1000 g fresh", AMOUNT_G, AMOUNT_FRESH},
        {"50 dried", AMOUNT_G, AMOUNT_DRIED},
        {"200 g frozen", AMOUNT_G, AMOUNT_FROZEN},
        {"102 g wet", AMOUNT_G, AMOUNT_WET},
        {"a pinch", AMOUNT_ML, AMOUNT_AS_SAID},
        {"½ tsp \"good glug\"", AMOUNT_ML, AMOUNT_AS_SAID},
        {"", AMOUNT_NONE, AMOUNT_AS_SAID},
        {"  ", AMOUNT_NONE, AMOUNT_AS_SAID},
        {"?", AMOUNT_NONE, AMOUNT_AS_SAID},
        {"Unknown", AMOUNT_NONE, AMOUNT_AS_SAID},
        {"not recorded", AMOUNT_NONE, AMOUNT_AS_SAID},
        {"unweighed", AMOUNT_NONE, AMOUNT_AS_SAID},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct error err = {0};
        struct amount a;

        check_ok(amount_read(rows[i].words, grams, &a, &err), &err);
        if (a.unit != rows[i].unit || a.state != rows[i].state)
            fail_msg("\"%s\": unit %d, state %d", rows[i].words, (int)a.unit,
                     (int)a.state);
        if (a.unit == AMOUNT_WORDS || a.unit == AMOUNT_NONE)
            assert_true(isnan(a.low) && isnan(a.high));
    }
}

static void test_amount_refuses_what_it_cannot_read(void **state)
{
    static const char *const bad[] = {
        "-4 g",
        "−4 g",
        "50 rg",
        "1,000 g",
        "1 000 g",
        "1/0",
        "1:2:3",
        "0:1",
        "2:0",
        "2:",
        "10 g/l",
        "5 ml/100 g",
        "50 g / 2 oz",
        "2x50 g",
        "50 g 30",
        "5 min",
        "80 C",
        "over 9 g",
        "less than 9 g",
        "half of 50 g",
        "alum 12",
        "3 g - 4 ml",
        "3 oz 4 oz 5",
        "99999999999 kg",
        "1234567890123456789012345678901234567890 g",
        "1e9 g",
        "12 % / 3",
        "1/2.5 g",
        "2 g per skein",
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(bad); i++) {
        struct error err = {0};
        struct amount a = {.unit = AMOUNT_M, .low = 7};

        if (amount_read(bad[i], grams, &a, &err))
            fail_msg("\"%s\" was read as %g to %g", bad[i], a.low, a.high);
        assert_int_equal(err.kind, ERR_INPUT);
        assert_true(strlen(err.text) > 10);
        assert_true(a.unit == AMOUNT_M && a.low == 7); /* left alone */
    }
}

static void test_amount_echo_says_how_it_was_read(void **state)
{
    static const struct {
        const char *words;
        double fibre_g;
        const char *want;
    } rows[] = {
        {"1 3/4 oz", (double)NAN, "49.6 g"},
        {"12 %", 85, "12 % of the fibre: 10.2 g on 85 g"},
        {"12 %", (double)NAN, "12 % of the fibre"},
        {"2:1 (dye:yarn)", 50, "2:1 dyestuff to fibre = 100 g for 50 g"},
        {"2:1", 50,
         "2:1 dyestuff to fibre = 100 g for 50 g; if it was fibre to dyestuff, "
         "add fibre:dye"},
        {"1:2 (yarn:dye)", 50, "1:2 fibre to dyestuff = 100 g for 50 g"},
        {"2:1 (yarn:dye)", 50, "2:1 fibre to dyestuff = 25 g for 50 g"},
        {"2x", 50, "2:1 dyestuff to fibre = 100 g for 50 g"},
        {"equal weight", 50, "1:1 dyestuff to fibre = 50 g for 50 g"},
        {"1-2x", 50,
         "1 to 2 times the fibre's weight in dyestuff = 50 to 100 g for 50 g"},
        {"a handful", 50, "kept as words"},
        {"", 50, "not known"},
        {"about 9 g", 50, "about 8.1 to 9.9 g"},
        {"up to 9 g", 50, "up to 9 g"},
        {"0.14 g", 50, "0.14 g"},
        {"1 pint", 50, "473.2 ml (US measure)"},
        {"4 UK gallons", 50, "18.2 l (imperial measure)"},
        {"1000 g fresh", 50, "1000 g, fresh"},
        {"102 g wet", 50,
         "102 g, wet: not the dry weight that percentages need"},
        {"437 yd", 50, "399.6 m"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct error err = {0};
        struct amount a;
        char line[160], small[8];

        check_ok(amount_read(rows[i].words, grams, &a, &err), &err);
        amount_echo(&a, rows[i].fibre_g, line, sizeof line);
        check_text(rows[i].words, line, rows[i].want);
        amount_echo(&a, rows[i].fibre_g, small, sizeof small);
        assert_int_equal(strlen(small), strlen(line) < 7 ? strlen(line) : 7);
    }
}

/* Following the hint of the echo turns the ratio round. */
static void test_amount_hint_switches_the_sides(void **state)
{
    struct error err = {0};
    struct amount a;

    (void)state;
    check_ok(amount_read("2:1 mushrooms fibre:dye", grams, &a, &err), &err);
    assert_true(a.fibre_first && a.sides_stated);
    check_near("switched", a.low, 0.5, 0);
}

static void test_amount_grams_and_percent_need_the_fibre(void **state)
{
    static const struct {
        const char *words;
        double fibre_g, want_g, want_pct;
    } rows[] = {
        {"12 %", 85, 10.2, 12},
        {"9 g", 75, 9, 12},
        {"1.5:1", 22, 33, 150},
        {"12 %", (double)NAN, (double)NAN, 12},
        {"9 g", (double)NAN, 9, (double)NAN},
        {"2x", (double)NAN, (double)NAN, 200},
        {"3 tsp", 75, (double)NAN, (double)NAN},
        {"a handful", 75, (double)NAN, (double)NAN},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct error err = {0};
        struct amount a;
        double low, high;
        bool there;

        check_ok(amount_read(rows[i].words, grams, &a, &err), &err);
        there = amount_grams(&a, rows[i].fibre_g, &low, &high);
        assert_int_equal(there, !isnan(rows[i].want_g));
        if (there)
            check_near(rows[i].words, low, rows[i].want_g, 1e-9);
        there = amount_wof_pct(&a, rows[i].fibre_g, &low, &high);
        assert_int_equal(there, !isnan(rows[i].want_pct));
        if (there)
            check_near(rows[i].words, high, rows[i].want_pct, 1e-9);
    }
}

/* ---- pH -------------------------------------------------------------------
 */

/* Nasty 10. */
static void test_ph_reads_what_dyers_write(void **state)
{
    static const struct {
        const char *words;
        bool known;
        double low, high;
        bool moved;
        enum ph_how how;
        const char *echo;
    } rows[] = {
        {"7", true, 7, 7, false, PH_NOT_SAID, "pH 7"},
        {"7-8", true, 7, 8, false, PH_NOT_SAID, "pH 7 to 8"},
        {"about 9", true, 8.5, 9.5, false, PH_GUESS, "pH 8.5 to 9.5, a guess"},
        {"about 14", true, 13.5, 14, false, PH_GUESS, "pH 13.5 to 14, a guess"},
        {"5 -> 9", true, 5, 9, true, PH_NOT_SAID, "pH 5 to 9, it moved"},
        {"9 → 5", true, 5, 9, true, PH_NOT_SAID, "pH 5 to 9, it moved"},
        {"strip looked green", false, 0, 0, false, PH_STRIP,
         "kept as words, by strip"},
        {"6,5 meter", true, 6.5, 6.5, false, PH_METER, "pH 6.5, by meter"},
        {"pH7 (paper)", true, 7, 7, false, PH_STRIP, "pH 7, by strip"},
        {"pH was about 9 by strip", true, 8.5, 9.5, false, PH_STRIP,
         "pH 8.5 to 9.5, by strip"},
        {"0", true, 0, 0, false, PH_NOT_SAID, "pH 0"},
        {"14", true, 14, 14, false, PH_NOT_SAID, "pH 14"},
        {"", false, 0, 0, false, PH_NOT_SAID, "kept as words"},
        {"neutral", false, 0, 0, false, PH_NOT_SAID, "kept as words"},
    };
    static const char *const bad[] = {"14.5", "-1",    "7 to 70", "5 9",
                                      ">9",   "7:8:9", "7 g"};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct error err = {0};
        struct ph p;
        char line[80];

        check_ok(ph_read(rows[i].words, &p, &err), &err);
        if (p.known != rows[i].known || p.moved != rows[i].moved ||
            p.how != rows[i].how)
            fail_msg("\"%s\": known, moved or how", rows[i].words);
        if (p.known) {
            check_near(rows[i].words, p.low, rows[i].low, 1e-12);
            check_near(rows[i].words, p.high, rows[i].high, 1e-12);
        }
        ph_echo(&p, line, sizeof line);
        check_text(rows[i].words, line, rows[i].echo);
    }
    for (size_t i = 0; i < ARRAY_LEN(bad); i++) {
        struct error err = {0};
        struct ph p;

        if (ph_read(bad[i], &p, &err))
            fail_msg("\"%s\" was read", bad[i]);
        assert_int_equal(err.kind, ERR_INPUT);
    }
}

/* ---- heat ------------------------------------------------------------------
 */

/* Worked examples C01, C02. */
static void test_temperature_reads_both_scales(void **state)
{
    static const struct {
        const char *words;
        bool known;
        double low_c, high_c;
        const char *echo;
    } rows[] = {
        {"80", true, 80, 80, "80 C"},
        {"80 °C", true, 80, 80, "80 C"},
        {"180 F", true, 82.2222, 82.2222, "82.2 C"},
        {"115°F", true, 46.1111, 46.1111, "46.1 C"},
        {"176-194 F", true, 80, 90, "80 to 90 C"},
        {"80-90", true, 80, 90, "80 to 90 C"},
        {"80 C - 194 F", true, 80, 90, "80 to 90 C"},
        {"about 80", true, 75, 85, "75 to 85 C"},
        {"up to 80", true, 80, 80, "80 C"},
        {"simmer at 85 degrees", true, 85, 85, "85 C"},
        {"80 C (176 F)", true, 80, 80, "80 C"},
        {"110", true, 110, 110, "110 C"},
        {"hand-warm", false, 0, 0, "kept as words"},
        {"", false, 0, 0, "kept as words"},
    };
    static const char *const bad[] = {"180",   "111",  "-5",      "80 K",
                                      "400 F", "20 F", "over 80", "80 80"};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct error err = {0};
        struct temperature t;
        char line[80];

        check_ok(temperature_read(rows[i].words, &t, &err), &err);
        assert_int_equal(t.known, rows[i].known);
        if (t.known) {
            check_near(rows[i].words, t.low_c, rows[i].low_c, 1e-4);
            check_near(rows[i].words, t.high_c, rows[i].high_c, 1e-4);
        }
        temperature_echo(&t, line, sizeof line);
        check_text(rows[i].words, line, rows[i].echo);
    }
    for (size_t i = 0; i < ARRAY_LEN(bad); i++) {
        struct error err = {0};
        struct temperature t;

        if (temperature_read(bad[i], &t, &err))
            fail_msg("\"%s\" was read as %g C", bad[i], t.low_c);
        assert_int_equal(err.kind, ERR_INPUT);
    }
}

static void test_temperature_asks_about_fahrenheit(void **state)
{
    struct error err = {0};
    struct temperature t;

    (void)state;
    assert_false(temperature_read("180", &t, &err));
    assert_non_null(strstr(err.text, "Fahrenheit"));
}

/* ---- time ------------------------------------------------------------------
 */

static void test_minutes_reads_hours_days_and_clocks(void **state)
{
    static const struct {
        const char *words;
        bool known;
        double low, high;
        const char *echo;
    } rows[] = {
        {"45", true, 45, 45, "45 min"},
        {"45 min", true, 45, 45, "45 min"},
        {"1 h", true, 60, 60, "1 h"},
        {"1 1/2 h", true, 90, 90, "1 h 30 min"},
        {"1½ h", true, 90, 90, "1 h 30 min"},
        {"1:30", true, 90, 90, "1 h 30 min"},
        {"1h30", true, 90, 90, "1 h 30 min"},
        {"1 h 30 min", true, 90, 90, "1 h 30 min"},
        {"24-72 h", true, 1440, 4320, "24 h to 3 days"},
        {"3 days", true, 4320, 4320, "3 days"},
        {"3-5 weeks", true, 30240, 50400, "21 days to 35 days"},
        {"90 s", true, 1.5, 1.5, "1.5 min"},
        {"half an hour", true, 30, 30, "30 min"},
        {"about an hour", true, 45, 75, "45 min to 1 h 15 min"},
        {"up to 30 min", true, 0, 30, "up to 30 min"},
        {"soaked overnight, 12 h", true, 720, 720, "12 h"},
        {"0", true, 0, 0, "0 min"},
        {"overnight", false, 0, 0, "kept as words"},
        {"", false, 0, 0, "kept as words"},
    };
    static const char *const bad[] = {
        "-3",   "day 3", "5 min 1 h",    "45 min then 2 h",
        "1:75", "30 g",  "1000000 weeks"};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct error err = {0};
        struct minutes m;
        char line[80];

        check_ok(minutes_read(rows[i].words, &m, &err), &err);
        assert_int_equal(m.known, rows[i].known);
        if (m.known) {
            check_near(rows[i].words, m.low, rows[i].low, 1e-9);
            check_near(rows[i].words, m.high, rows[i].high, 1e-9);
        }
        minutes_echo(&m, line, sizeof line);
        check_text(rows[i].words, line, rows[i].echo);
    }
    for (size_t i = 0; i < ARRAY_LEN(bad); i++) {
        struct error err = {0};
        struct minutes m;

        if (minutes_read(bad[i], &m, &err))
            fail_msg("\"%s\" was read as %g", bad[i], m.low);
        assert_int_equal(err.kind, ERR_INPUT);
    }
}

/* Plain arithmetic. */
static void test_amount_fraction_is_a_part_of_a_whole(void **state)
{
    static const struct {
        const char *words;
        double part;
    } rows[] = {{"half", 0.5},    {"1/2", 0.5},
                {"½", 0.5},       {"a third", 1 / 3.0},
                {"2/3", 2 / 3.0}, {"Three quarters", 0.75},
                {" 1/4 ", 0.25}};
    static const char *const none[] = {"",      "0.5", "1/2 oz",        "3/2",
                                       "1 1/2", "2/2", "half an ounce", "in",
                                       "0/4"};
    double part;

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        assert_true(amount_fraction(rows[i].words, &part));
        check_near(rows[i].words, part, rows[i].part, 1e-12);
    }
    for (size_t i = 0; i < ARRAY_LEN(none); i++)
        if (amount_fraction(none[i], &part))
            fail_msg("\"%s\" was read as %g", none[i], part);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_amount_reads_fractions_and_scales),
        cmocka_unit_test(test_amount_reads_ranges_and_doubts),
        cmocka_unit_test(test_amount_reads_percentages_and_times),
        cmocka_unit_test(test_amount_ratio_says_which_side_is_the_fibre),
        cmocka_unit_test(test_amount_reads_volumes_of_both_countries),
        cmocka_unit_test(test_amount_reads_lengths),
        cmocka_unit_test(test_amount_keeps_words_as_words),
        cmocka_unit_test(test_amount_refuses_what_it_cannot_read),
        cmocka_unit_test(test_amount_echo_says_how_it_was_read),
        cmocka_unit_test(test_amount_hint_switches_the_sides),
        cmocka_unit_test(test_amount_grams_and_percent_need_the_fibre),
        cmocka_unit_test(test_ph_reads_what_dyers_write),
        cmocka_unit_test(test_temperature_reads_both_scales),
        cmocka_unit_test(test_temperature_asks_about_fahrenheit),
        cmocka_unit_test(test_minutes_reads_hours_days_and_clocks),
        cmocka_unit_test(test_amount_fraction_is_a_part_of_a_whole),
    };

    return cmocka_run_group_tests_name("amount", tests, NULL, NULL);
}
