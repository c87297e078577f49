/* How values are written, by the names that options give them. The words of
 * each are read in base/day.h, dye/ and colour/; what stands here is tried by
 * tests/test_manual.c. */
#include "cli/cli.h"

#include "base/mem.h"

const struct cli_form cli_forms[] = {
    {"WEIGHT", "20 g, 1 3/4 oz, 1 lb 3, 3-4 g, about 9 g; a number is grams",
     "20 g"},
    {"LENGTH", "80 m, 437 yd; a number is metres", "80 m"},
    {"VOLUME", "250 ml, 1 pint, 2 imperial gallons; a number is litres", "3 l"},
    {"AMOUNT", "12 %, 50 g, 2:1 (dyestuff to fibre), 1:2 (yarn:dye), a handful",
     "12 %"},
    {"DOSE", "\"madder: 60 %\" or \"madder\"; more of it behind semicolons",
     "madder: 60 %"},
    {"DAY", "2026-05-03, 3 May, summer 2019, ?/10/23, before 2015, in 8 weeks",
     "2026-05-03"},
    {"ALIKE", "heat=15, yarn=any, ph=same; also dyestuff, water, supply",
     "heat=15"},
    {"SAMPLE", "10 m = 2.5 g", "10 m = 2.5 g"},
    {"PART", "10 % of it, 40 m, 10 g", "10 %"},
    {"PH", "7, 7-8, about 9, 5 -> 9, 6.5 meter, strip looked green", "7-8"},
    {"HEAT", "80, 80-90, 180 F, hand-warm; a number is degrees Celsius", "80"},
    {"TIME", "45, 1 h 30, 24-72 h, overnight; a number is minutes", "1 h 30"},
    {"ROUND", "first, exhaust 1, exhaust 2 and so on; a bare 5 is exhaust 5",
     "exhaust 1"},
    {"L,a,b", "three numbers, CIELAB: 45.2,31,18.5", "45.2,31,18.5"},
    {"uL,ua,ub", "three numbers, half of each \xC2\xB1: 0.5,0.3,0.3",
     "0.5,0.3,0.3"},
    {"X,Y,W,H", "pixels: left edge, upper edge, width, height of a box",
     "79,338,281,403"},
    {"MOMENT", "Sunday evening, tomorrow 9:00, in 9 days, 2026-11-29 18:00",
     "Sunday 18:00"},
    {"POTS", "3, or with what one holds: 3 x 8 l", "3 x 8 l"},
    {"HOURS", "8-22, 7:30 to 21:00; 0-24 for any", "8-22"},
    {"LOW..HIGH", "two numbers, 6..8, or one", "6..8"},
};
const size_t cli_form_count = ARRAY_LEN(cli_forms);
