/*
 * What to beware of. See dye/caution.h. Texts are shortened from the sources
 * named beside them; H-codes are as seen on suppliers' safety data sheets,
 * which differ from each other, and said in the words of Regulation (EC)
 * 1272/2008, Annex III, shortened, from memory.
 */
#include "dye/caution.h"

#include <assert.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "base/text.h"
#include "dye/phrase.h"

const char caution_closing[] =
    "Follow the product label and safety data sheet and local rules. This "
    "note is not professional advice. If someone is exposed or unwell, call "
    "your poison centre or emergency number.";

struct row {
    struct caution caution;
    const char *words;  /* a name or latin with one of these */
    const char *unless; /* and none of these; NULL: no exception */
};

#define LICHEN                                                                 \
    "lichen|letharia|parmelia|evernia|umbilicaria|lasallia|xanthoria|"         \
    "ochrolechia|usnea|lobaria|hypogymnia|orchil|roccella"

/* The more particular rows come first. */
static const struct row rows[] = {
    /* International chemical safety card 1191; suppliers' sheets. */
    {{"alum", "Mild, but its dust irritates eyes and airways. Aluminium "
              "sulfate may injure the eyes (H318): goggles."},
     "alum|aluminium sulfate|aluminium sulphate|aluminum sulfate|"
     "ammonium alum|potassium aluminium sulfate",
     NULL},
    /* Suppliers' sheets; McGuigan, Pediatr. Ann. 25 (1996) 33-38. */
    {{"ferrous sulfate",
      "Poisonous if swallowed, above all to small children: lock it away, "
      "never in food jars. Irritates skin and eyes (H302, H315, H319)."},
     "iron|ferrous|ferric|copperas|green vitriol",
     NULL},
    /* International chemical safety card 0751; suppliers' sheets. */
    {{"copper sulfate",
      "Harmful if swallowed, injures eyes, very toxic to water life (H410). "
      "Never into drains, ponds or soil without checking local rules."},
     "copper|cupric|blue vitriol|bluestone|verdigris",
     NULL},
    /* Suppliers' sheets. */
    {{"stannous chloride", "Burns skin and eyes, may cause skin allergy, "
                           "harmful if swallowed (H314, H317, H302). Prefer "
                           "another mordant: hanklab never reckons a dose."},
     "tin|stannous|tin salt",
     NULL},
    /* Regulation (EC) 1907/2006 (REACH), Annex XIV: sunset date. */
    {{"potassium dichromate",
      "Chromium(VI) causes cancer and skin allergy; past its EU sunset date "
      "(21 September 2017), authorised uses only. hanklab records what was "
      "done and never reckons a dose."},
     "chrome|chromium|dichromate|bichromate",
     NULL},
    /* International chemical safety card 0707; ECHA registration dossier. */
    {{"oxalic acid", "Absorbed through the skin, burns eyes, harms kidneys: "
                     "do not breathe the steam, never eat the leaves, work "
                     "outdoors."},
     "oxalic|rhubarb leaf|rhubarb leaves",
     NULL},
    /* Common knowledge of household chemicals: chloramine gas. */
    {{"ammonia", "Fumes burn eyes and lungs: open air. Never with bleach: "
                 "they make chloramine gas."},
     "ammonia",
     NULL},
    {{"bleach", "Not with ammonia or urine vats (chloramine gas), nor with "
                "vinegar or other acids (chlorine gas)."},
     "bleach|hypochlorite",
     NULL},
    /* Suppliers' sheets for sodium carbonate. */
    {{"washing soda", "Irritates skin, eyes and lungs: wear goggles."},
     "soda|soda ash|sodium carbonate",
     "baking soda|caustic soda"},
    /* From memory. */
    {{"lime and caustic soda",
      "Caustic: burns eyes and skin. Add it to water slowly; goggles and "
      "gloves."},
     "lime|quicklime|calcium hydroxide|caustic soda|sodium hydroxide|lye",
     "lime leaf|lime leaves|lime bark|lime blossom|lime juice|lime peel|"
     "lime tree"},
    /* International chemical safety card 1717. */
    {{"sodium dithionite", "Heats by itself and may catch fire if damp; gives "
                           "sulfur dioxide with acid. Keep it dry."},
     "dithionite|hydrosulfite|hydrosulphite",
     NULL},
    /* Handbooks' rule; common practice. */
    {{"thiourea dioxide", "Harmful. Keep it dry; add it slowly to plenty of "
                          "hot water, never water to it."},
     "thiourea|thiox",
     NULL},
    /* From memory. */
    {{"tansy", "May cause skin allergy. Do not breathe the steam; avoid it "
               "in pregnancy."},
     "tansy|tanacetum vulgare",
     NULL},
    /* Common practice. */
    {{"walnut hulls", "Stain and irritate the skin: gloves."},
     "walnut|juglans",
     NULL},
    /* From memory. */
    {{"velvet-foot pax", "Not food; poisonous relatives look alike."},
     "pax|tapinella|paxillus",
     NULL},
    /* Handbooks' rule; common practice. */
    {{"strong acids", "Dilute acid into water, never water into acid. Food "
                      "vinegar is enough for most jobs."},
     "sulfuric acid|sulphuric acid|hydrochloric acid|muriatic acid|"
     "nitric acid|formic acid|acetic acid|vinegar essence",
     NULL},
    {{"tannic acid", "Irritant; harmful if breathed."},
     "tannic acid|tannin",
     NULL},
    /* Common practice; alkanet is steeped in spirits. */
    {{"alcohol", "Spirits are flammable: no flame or hotplate."},
     "alcohol|spirit|ethanol|methylated spirits|alkanet|alkanna",
     NULL},
    /* Common knowledge among mushroom dyers. */
    {{"purple polypore",
      "Hapalopilus rutilans is seriously poisonous if eaten: nerves, liver, "
      "kidneys, violet urine. Handle with gloves."},
     "hapalopilus|purple polypore",
     NULL},
    /* Poison centres' and biology societies' notes on orellanine. */
    {{"webcaps",
      "Dye webcaps have deadly look-alikes: orellanine ruins the kidneys, "
      "illness may appear 2 days to 3 weeks later, and cooking, drying or "
      "freezing do not help. Gloves, wash hands, separate pots, sure "
      "identification."},
     "cortinarius|dermocybe|webcap",
     NULL},
    {{"poisonous plants",
      "Poisonous or harmful to the skin: not for dyeing without expertise; "
      "steam and waste matter too."},
     "foxglove|digitalis|lily of the valley|convallaria|pokeweed|pokeberry|"
     "pokeberries|phytolacca|bloodroot|sanguinaria|poison ivy|poison oak|"
     "toxicodendron",
     NULL},
    {{"wolf lichen", "Letharia holds vulpinic acid, which is toxic: no dust, "
                     "gloves."},
     "letharia|wolf lichen",
     NULL},
    {{"wild mushrooms",
      "What goes into the dyepot is not food: label bags so that nobody "
      "cooks them."},
     PHRASE_MUSHROOM,
     NULL},
    /* British Lichen Society, use of lichens for dyeing. */
    {{"lichens",
      "Slow to grow, and many are protected; the British Lichen Society asks "
      "people to leave lichens alone. If used: wind-fallen only, sure of the "
      "name, legal."},
     LICHEN,
     NULL},
    {{"fermenting", "Gives off ammonia gas: vent jars outdoors, never seal "
                    "them tight."},
     "urine|fermenting|fermented",
     NULL},
};

/* Of the work, not of one material. Handbooks' rules and common practice. */
static const struct caution general[] = {
    {"powder", "Dust is the main way in: add powder to water, wear a mask, no "
               "draught, no food nearby."},
    {"gathering",
     "Law is local: ask the landowner, know which species are protected and "
     "whether what you make may be sold or exchanged. Be sure of the name; "
     "get an expert for doubtful finds."},
    {"stored bath",
     "Do not sniff or stir a stored or mouldy bath; those with asthma or weak "
     "immunity keep away. Discard it by local rules."},
    {"fermenting", "A fermenting lichen or urine vat gives off ammonia gas: "
                   "vent jars outdoors, never seal them tight."},
    {"pots", "Dye pots and tools never go back to food; stainless steel or "
             "sound enamel."},
    {"saddening", "Iron, copper or tin skeins can dull alum skeins in the "
                  "same pot: alum first, or separate vessels."},
    {"heat", "Ventilate or work outside. A hot pot is heavy: let it cool."},
    {"gloves", "Gloves for all metal salts, eye cover for alkalis and "
               "powders; label every jar; children and pets away."},
    {"disposal",
     "Spent mordant goes where local rules say: never into storm drains or "
     "streams; copper, tin and chrome are hazardous waste; owners of a septic "
     "tank ask first."},
    {"ultraviolet lamp",
     "Never into eyes or on skin, short use, children away."},
    {"glass jar", "Heatproof glass, a cloth under it, and never a cold jar "
                  "into hot water."},
};

size_t caution_for(const char *name, const char *latin,
                   const struct caution *out[CAUTION_MAX])
{
    char *key[2] = {text_fold(name), latin ? text_fold(latin) : NULL};
    size_t n = 0;

    for (size_t i = 0; i < ARRAY_LEN(rows) && n < CAUTION_MAX; i++)
        for (int k = 0; k < 2; k++)
            if (phrase_in(key[k], rows[i].words) &&
                !phrase_in(key[k], rows[i].unless)) {
                out[n++] = &rows[i].caution;
                break;
            }
    free(key[0]);
    free(key[1]);
    return n;
}

const struct caution *caution_general(const char *key)
{
    size_t i = 0;

    while (i < ARRAY_LEN(general) && strcmp(general[i].key, key))
        i++;
    assert(i < ARRAY_LEN(general));
    return &general[i];
}
