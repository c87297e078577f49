/* One name, several strengths: the forms of a salt. See dye/reckon.h. */
#include "dye/reckon.h"

#include <stdlib.h>

#include "base/mem.h"
#include "base/text.h"
#include "dye/phrase.h"

/* Grams that hold one mole of the metal: molar mass over its metal atoms, from
 * standard atomic weights (IUPAC 2021, abridged; from memory). */
#define POTASSIUM_ALUM 474.39      /* KAl(SO4)2 12 H2O */
#define AMMONIUM_ALUM 453.33       /* NH4Al(SO4)2 12 H2O */
#define AL_SULFATE_14 (594.35 / 2) /* Al2(SO4)3 14 H2O */
#define AL_SULFATE_18 (666.41 / 2) /* Al2(SO4)3 18 H2O */
#define IRON_7 278.01              /* FeSO4 7 H2O, green */
#define IRON_1 169.92              /* FeSO4 H2O, dried out */
#define COPPER_5 249.68            /* CuSO4 5 H2O, blue */
#define COPPER_0 159.60            /* CuSO4, white */

/* More particular names first; no other form is known of the first. */
static const struct {
    const char *words, *other, *metal;
    double low, high, other_low, other_high;
} forms[] = {
    {"acetate|ferric|nail|rust|liquor|water", NULL, NULL, 1, 1, 1, 1},
    {"aluminium sulfate|aluminium sulphate|aluminum sulfate|aluminum sulphate",
     "potassium alum", "aluminium", AL_SULFATE_14, AL_SULFATE_18,
     POTASSIUM_ALUM, POTASSIUM_ALUM},
    {"ammonium alum", "potassium alum", "aluminium", AMMONIUM_ALUM,
     AMMONIUM_ALUM, POTASSIUM_ALUM, POTASSIUM_ALUM},
    {"alum", "aluminium sulfate", "aluminium", POTASSIUM_ALUM, POTASSIUM_ALUM,
     AL_SULFATE_14, AL_SULFATE_18},
    {"iron|ferrous sulfate|ferrous sulphate|copperas|green vitriol",
     "dried-out crystals", "iron", IRON_7, IRON_7, IRON_1, IRON_1},
    {"copper|copper sulfate|copper sulphate|blue vitriol|bluestone",
     "white powder without water", "copper", COPPER_5, COPPER_5, COPPER_0,
     COPPER_0},
};

bool salt_form(const char *name, struct salt_form *out)
{
    char *key = text_fold(name);
    size_t i = 0;

    while (i < ARRAY_LEN(forms) && !phrase_in(key, forms[i].words))
        i++;
    free(key);
    if (i == ARRAY_LEN(forms) || !forms[i].other)
        return false;
    *out = (struct salt_form){forms[i].other, forms[i].metal,
                              forms[i].other_low / forms[i].high,
                              forms[i].other_high / forms[i].low};
    return true;
}
