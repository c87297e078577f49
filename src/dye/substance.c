/* Common substances by their names. See dye/substance.h. */
#include "dye/substance.h"

#include <math.h>
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
 * Percent of dry wool, from the lowest to the highest recipe met. No figures
 * for chrome and tin: they are recorded only.
 */
static const struct substance_usual usual[] = {
    {"aluminium acetate|aluminum acetate|alum acetate", 5, 8,
     "common practice"},
    {"alum|aluminium sulfate|aluminium sulphate", 8, 25,
     "lowest in J. Dean, Wild Colour, highest in E. Mairet, Vegetable "
     "Dyes, 1916"},
    {"cream of tartar|tartar", 4, 10, "common practice, beside alum"},
    {IRON, 1, 8,
     "lowest by common practice, highest in E. Mairet, Vegetable Dyes, 1916"},
    {COPPER, 2, 10,
     "lowest by common practice, highest in E. Mairet, Vegetable Dyes, 1916"},
    {"tannin|tannic acid|gallnut|oak gall", 2, 10,
     "lowest in E. Mairet, Vegetable Dyes, 1916, highest by common "
     "practice"},
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

const struct substance_usual *substance_usual(const char *name)
{
    char *key = text_fold(name);
    const struct substance_usual *found = NULL;

    for (size_t i = 0; !found && i < ARRAY_LEN(usual); i++)
        if (phrase_in(key, usual[i].words))
            found = &usual[i];
    free(key);
    return found;
}

static bool is_usual(const struct substance_usual *u, double pct)
{
    return pct >= u->low_pct && pct <= u->high_pct;
}

bool substance_question(const char *name, double low_pct, double high_pct,
                        double *meant_pct, struct text *out)
{
    const struct substance_usual *u = substance_usual(name);
    double pct = (low_pct + high_pct) / 2, meant = (double)NAN;

    if (!u || isnan(pct) || (high_pct >= u->low_pct && low_pct <= u->high_pct))
        return false;
    text_add_real(out, u->low_pct, 1);
    text_add(out, " to ");
    text_add_real(out, u->high_pct, 1);
    text_add(out, " % is usual.");
    if (low_pct == high_pct && is_usual(u, pct / 10))
        meant = pct / 10; /* 120 typed for 12 */
    else if (low_pct == high_pct && is_usual(u, pct * 10))
        meant = pct * 10;
    if (!isnan(meant)) {
        text_add(out, " Was ");
        text_add_real(out, meant, 1);
        text_add(out, " % meant?");
    }
    if (meant_pct)
        *meant_pct = meant;
    return true;
}

bool substance_is_mushroom(const char *name)
{
    char *key = text_fold(name);
    bool yes = phrase_in(key, PHRASE_MUSHROOM);

    free(key);
    return yes;
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

const char *substance_other_way(const char *name)
{
    char *key = text_fold(name);
    const char *way =
        phrase_in(key, "indigo|woad") ? "is dipped in a vat"
        : phrase_in(key, "alkanet|alkanna")
            ? "is drawn out with spirits, away from any flame or plate"
            : NULL;

    free(key);
    return way;
}
