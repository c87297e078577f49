/* Common substances by their names. See dye/substance.h. */
#include "dye/substance.h"

#include <stdlib.h>

#include "base/mem.h"
#include "base/text.h"
#include "dye/phrase.h"

#define IRON "iron|ferrous|ferric|copperas|green vitriol"
#define COPPER "copper|cupric|blue vitriol|bluestone|verdigris"
#define TIN "tin|stannous|tin salt"
#define CHROME "chrome|chromium|dichromate|bichromate"

/* More particular names before the words they contain. */
static const struct {
    const char *words, *kind;
} kinds[] = {
    {"baking soda|bicarbonate", "alkali"},
    {"cream of tartar|tartaric acid|tartar", "assist"},
    {"alum|aluminium|aluminum|symplocos", "mordant"},
    {IRON, "mordant"},
    {COPPER, "mordant"},
    {TIN, "mordant"},
    {CHROME, "mordant"},
    {"tannin|tannic acid|gallnut|oak gall|rhubarb leaf|rhubarb leaves",
     "mordant"},
    {"lime juice|lemon juice|lemon", "acid"},
    {"soda|soda ash|ammonia|chalk|lime|lye|potash|wood ash|calcium carbonate",
     "alkali"},
    {"vinegar|acid|citric|acetic", "acid"},
    {"salt|glauber's salt|bran", "assist"},
    {"soap|detergent|scour", "cleanser"},
};

/*
 * Percent of dry wool, from the lowest to the highest recipe met. Sources:
 * alum 8-25: Dean to Mairet, A Book on Vegetable Dyes (1916); cream of tartar
 * 4-10, the same recipes; iron 1-8, copper 2-10: Mairet for the upper ends;
 * aluminium acetate 5-8 and tannin 2-10: common practice and Mairet.
 * No figures for chrome and tin: they are recorded only.
 */
static const struct {
    const char *words;
    double low, high;
} usual[] = {
    {"aluminium acetate|aluminum acetate|alum acetate", 5, 8},
    {"alum|aluminium sulfate|aluminium sulphate", 8, 25},
    {"cream of tartar|tartar", 4, 10},
    {IRON, 1, 8},
    {COPPER, 2, 10},
    {"tannin|tannic acid|gallnut|oak gall", 2, 10},
};

const char *substance_kind(const char *name)
{
    char *key = text_fold(name);
    const char *kind = NULL;

    for (size_t i = 0; !kind && i < ARRAY_LEN(kinds); i++)
        if (phrase_in(key, kinds[i].words))
            kind = kinds[i].kind;
    free(key);
    return kind;
}

bool substance_usual_pct(const char *name, double *low, double *high)
{
    char *key = text_fold(name);
    bool known = false;

    for (size_t i = 0; !known && i < ARRAY_LEN(usual); i++)
        if (phrase_in(key, usual[i].words)) {
            *low = usual[i].low;
            *high = usual[i].high;
            known = true;
        }
    free(key);
    return known;
}

bool substance_record_only(const char *name, const char *latin)
{
    char *key = text_fold(name), *other = latin ? text_fold(latin) : NULL;
    bool only =
        phrase_in(key, CHROME "|" TIN) || phrase_in(other, CHROME "|" TIN);

    free(key);
    free(other);
    return only;
}

bool substance_saddens(const char *name)
{
    char *key = text_fold(name);
    bool yes = phrase_in(key, IRON "|" COPPER "|" TIN);

    free(key);
    return yes;
}
