/* The table of records and fields. See book/noun.h. */
#include "book/noun.h"

#include <string.h>

#include "base/mem.h"

#define N FIELD_NEEDED
#define OWN FIELD_OWN
#define INNER (FIELD_OWN | FIELD_INNER)
#define FIRST FIELD_FIRST
#define KINDS "dyestuff|mordant|assist|acid|alkali|modifier|cleanser"
#define STATES "fresh|dry|frozen|extract|other"
#define NOTE                                                                   \
    {                                                                          \
        "note", FIELD_TEXT, "note", 0, "anything else worth keeping"           \
    }
#define ON(help)                                                               \
    {                                                                          \
        "on", FIELD_DAY, "on", 0, help                                         \
    }
#define TEXT(n, c, help)                                                       \
    {                                                                          \
        n, FIELD_TEXT, c, 0, help                                              \
    }
#define REF(n, c, f, to, help)                                                 \
    {                                                                          \
        n, FIELD_REF, c, f, help, .ref = to                                    \
    }
#define CHOICE(n, c, f, help, list, pre)                                       \
    {                                                                          \
        n, FIELD_CHOICE, c, f, help, list, .preset = pre                       \
    }

static const struct field dyer_fields[] = {
    {"name", FIELD_TEXT, "name", N | FIRST, "whose records these are"},
    {"mine", FIELD_FLAG, "mine", OWN, "whether this is the book's own dyer",
     .preset = "no"},
    NOTE,
};

static const struct field material_fields[] = {
    {"name", FIELD_NAME, "name", N | FIRST, "what you call it"},
    CHOICE("kind", "kind", N, "what it is used for", KINDS, "dyestuff"),
    TEXT("latin", "latin", "scientific name, as sure as you are"),
    TEXT("part", "part", "root, hulls, caps, whole plant ..."),
    TEXT("form", "form", "chips, extract, crystals, dried out ..."),
    {"none", FIELD_FLAG, "none", INNER, "\"no mordant\" said on purpose",
     .preset = "no"},
    NOTE,
};

static const struct field alias_fields[] = {
    {"name", FIELD_NAME, "name", N | FIRST, "another name, old or foreign"},
    REF("material", "material", N, NOUN_MATERIAL, "of which material"),
    NOTE,
};

static const struct field supply_fields[] = {
    REF("material", "material", N | FIRST, NOUN_MATERIAL, "of what"),
    {"name", FIELD_NAME, "name", 0, "what you call this batch"},
    CHOICE("source", "source", 0, "how you came by it",
           "gathered|grown|bought|given", NULL),
    {"place", FIELD_TEXT, "place", FIELD_PRIVATE,
     "where it was gathered; stays in your own book"},
    {"got", FIELD_DAY, "got", 0, "when you got it"},
    {"amount", FIELD_WEIGHT, "amount", 0, "how much there was, by weight"},
    CHOICE("state", "state", 0, "as it lies on the scale", STATES, NULL),
    {"fresh-per-dry", FIELD_REAL, "fresh_per_dry", 0,
     "grams fresh for one gram dry, about 10 for mushrooms", .min = 1,
     .max = 1000},
    TEXT("named-by", "named_by", "who said what it is"),
    CHOICE("sure", "sure", 0, "how sure the name is",
           "sure|likely|guess|unknown", NULL),
    NOTE,
};

static const struct field fibre_fields[] = {
    {"name", FIELD_NAME, "name", N | FIRST, "what you call this yarn"},
    TEXT("content", "content", "wool, silk, 75 wool 25 nylon ..."),
    TEXT("preparation", "preparation", "worsted, woollen, superwash ..."),
    {"m-per-100g", FIELD_REAL, "m_per_100g", 0, "metres in 100 g", .min = 0.1,
     .max = 1e6},
    NOTE,
};

static const struct field water_fields[] = {
    {"name", FIELD_NAME, "name", N | FIRST, "what you call this water"},
    TEXT("source", "source", "tap, rain, well, lake ..."),
    TEXT("hardness", "hardness", "as you know it: soft, 4 dH ..."),
    {"ph", FIELD_PH, "ph", 0, "its pH: 7, 6-7, about 6 strip"},
    NOTE,
};

static const struct field skein_fields[] = {
    {"name", FIELD_TEXT, "name", FIRST, "what you call it"},
    {"number", FIELD_WHOLE, "number", FIELD_FIXED,
     "its number, never used again; the next free one if not said", .min = 1,
     .max = 1e9},
    {"code", FIELD_CODE, "code", 0, "the code pencilled on its tag"},
    REF("fibre", "fibre", FIELD_MAKES, NOUN_FIBRE, "which yarn"),
    {"weight", FIELD_WEIGHT, "weight", 0, "dry weight: 20 g, 3/4 oz"},
    CHOICE("weighed", "weighed", 0, "how the weight was found",
           "dry|wet|after|guessed", NULL),
    {"length", FIELD_LENGTH, "length", 0, "metres, or yd"},
    {"colour", FIELD_NAME, "colour", 0, "your own word for its colour"},
    TEXT("place", "place", "where it is now"),
    {"finished", FIELD_FLAG, "finished", 0,
     "no: something is still to be filled in"},
    NOTE,
};

static const struct field origin_fields[] = {
    REF("child", "child", N | FIRST | FIELD_FIXED, NOUN_SKEIN,
        "the skein it became"),
    REF("parent", "parent", N | FIELD_FIXED, NOUN_SKEIN,
        "the skein it came from"),
    REF("after-entry", "after_entry", 0, NOUN_ENTRY,
        "after which step of the parent's life"),
    {"amount", FIELD_WEIGHT, "amount", 0, "how much came from it"},
    {"part", FIELD_REAL, "part", 0, "or which part of it: 0.5", .min = 0.001,
     .max = 1},
    NOTE,
};

static const struct field bath_fields[] = {
    {"name", FIELD_NAME, "name", FIRST, "what you call this pot"},
    {"number", FIELD_WHOLE, "number", FIELD_FIXED,
     "its number; the next free one if not said", .min = 1, .max = 1e9},
    CHOICE("kind", "kind", N, "what the liquor is for",
           "dye|vat|mordant|modifier", "dye"),
    REF("water", "water", FIELD_MAKES, NOUN_WATER, "which water"),
    {"volume", FIELD_VOLUME, "volume", 0, "how much: 3 l, 1 gallon"},
    TEXT("storage", "storage", "how it is kept: jar, cellar, frozen ..."),
    {"spent", FIELD_FLAG, "spent", 0, "yes when nothing is left in it"},
    NOTE,
};

static const struct field pour_fields[] = {
    REF("bath", "bath", N | FIRST | FIELD_FIXED, NOUN_BATH,
        "the bath it became"),
    REF("parent", "parent", N | FIELD_FIXED, NOUN_BATH,
        "the bath it came from"),
    {"volume", FIELD_VOLUME, "volume", 0, "how much was poured over"},
    ON("when"),
    {"before-round", FIELD_ROUND, "before_round", 0,
     "before which round it was poured in"},
    NOTE,
};

static const struct field extraction_fields[] = {
    REF("bath", "bath", N | FIRST, NOUN_BATH, "of which bath"),
    ON("when"),
    {"temperature", FIELD_HEAT, "temperature", 0, "80, 180 F, hand-warm"},
    {"minutes", FIELD_MINUTES, "minutes", 0, "45, 1 1/2 h, overnight"},
    {"pulls", FIELD_WHOLE, "pulls", 0, "how many times it was drawn off",
     .min = 1, .max = 100},
    CHOICE("straining", "straining", 0, "what became of the dyestuff",
           "strained|bagged|loose", NULL),
    NOTE,
};

static const struct field treatment_fields[] = {
    CHOICE("kind", "kind", N | FIRST, "what was done",
           "scour|mordant|dye|vat|dip|wash|other", NULL),
    REF("bath", "bath", 0, NOUN_BATH, "in which bath"),
    {"round", FIELD_ROUND, "round", 0,
     "of a dye bath: first, exhaust 1, 2 ..."},
    ON("which day"),
    TEXT("vessel", "vessel", "pot, jar in a water bath ..."),
    {"temperature", FIELD_HEAT, "temperature", 0, "highest reached: 80, 180 F"},
    {"minutes", FIELD_MINUTES, "minutes", 0, "at that heat: 45, 1 h"},
    {"cooled", FIELD_FLAG, "cooled", 0, "yes when it cooled in the bath"},
    {"dips", FIELD_WHOLE, "dips", 0, "of a vat: how many", .min = 1,
     .max = 1000},
    {"airing", FIELD_MINUTES, "airing", 0, "of a vat: minutes in the air"},
    NOTE,
};

static const struct field entry_fields[] = {
    REF("skein", "skein", N | FIRST | FIELD_FIXED, NOUN_SKEIN, "which skein"),
    REF("treatment", "treatment", N, NOUN_TREATMENT,
        "which of what was done: its number in the list of treatments"),
    {"place", FIELD_REAL, "place", 0,
     "its place in the skein's life; the end if not said", .min = -1e9,
     .max = 1e9},
    {"weight", FIELD_WEIGHT, "weight", 0, "dry weight then, if it differs"},
    TEXT("dipped", "dipped", "which part of it went in: half, the ends ..."),
    NOTE,
};

static const struct field dose_fields[] = {
    REF("material", "material", N | FIRST, NOUN_MATERIAL, "what"),
    REF("bath", "bath", FIELD_FIXED, NOUN_BATH, "into which bath"),
    REF("treatment", "treatment", FIELD_FIXED, NOUN_TREATMENT,
        "or which treatment"),
    REF("supply", "supply", 0, NOUN_SUPPLY, "from which supply"),
    CHOICE("role", "role", 0,
           "used as what; as the material's kind if not said", KINDS, NULL),
    {"before-round", FIELD_ROUND, "before_round", 0,
     "of a bath: before which round it went in"},
    CHOICE("added", "added", 0, "before, with or after the yarn",
           "before|with|after", NULL),
    {"minute", FIELD_REAL, "minute", 0, "at which minute", .min = 0,
     .max = 1e6},
    {"amount", FIELD_DOSE, "amount", 0, "12 %, 50 g, 2:1, a handful"},
    CHOICE("known", "known", 0, "how the amount was found",
           "weighed|guessed|unknown", NULL),
    CHOICE("state", "state", 0, "as it was weighed", STATES, NULL),
    {"fresh-per-dry", FIELD_REAL, "fresh_per_dry", 0,
     "grams fresh for one gram dry", .min = 1, .max = 1000},
    NOTE,
};

static const struct field ph_fields[] = {
    {"ph", FIELD_PH, "ph", N | FIRST, "7, 7-8, about 9, 5 -> 9, 6.5 meter"},
    REF("bath", "bath", 0, NOUN_BATH, "of which bath"),
    REF("treatment", "treatment", 0, NOUN_TREATMENT, "in which treatment"),
    CHOICE("moment", "moment", 0, "when it was taken",
           "before|during|after|stored", NULL),
    ON("which day"),
    NOTE,
};

static const struct field photo_fields[] = {
    {"sha256", FIELD_TEXT, "sha256", INNER, "the hash of its bytes"},
    {"bytes", FIELD_WHOLE, "bytes", INNER, "its size"},
    {"width", FIELD_WHOLE, "width_px", INNER, "pixels, as displayed upright"},
    {"height", FIELD_WHOLE, "height_px", INNER, "pixels, as displayed upright"},
    {"camera", FIELD_TEXT, "camera", OWN, "as the file says"},
    {"profile", FIELD_TEXT, "profile", OWN, "its colour profile"},
    ON("when it was taken"),
    CHOICE("shows", "shows", 0, "what it is for",
           "colour|tag|ultraviolet|finished|other", "other"),
    NOTE,
};

static const struct field sight_fields[] = {
    REF("photo", "photo", FIRST, NOUN_PHOTO,
        "on which photo; none: it was seen by eye"),
    REF("skein", "skein", N, NOUN_SKEIN, "which skein it shows"),
    CHOICE("glow", "glow", 0, "under an ultraviolet lamp", "none|faint|strong",
           NULL),
    TEXT("glow-colour", "glow_colour", "the colour of the glow in words"),
    ON("when it was seen; a photo has its own day"),
    NOTE,
};

static const struct field card_fields[] = {
    {"name", FIELD_NAME, "name", N | FIRST, "what you call it"},
    CHOICE("kind", "kind", 0, "grey card, grey steps or chart",
           "grey|steps|chart", "grey"),
    {"lab", FIELD_LAB, "lab", 0, "its colour, L,a,b under D50, 2 degree"},
    {"u", FIELD_SIGMA, "u", 0, "half of each \xC2\xB1 of L, a and b"},
    CHOICE("source", "source", 0, "where the values come from",
           "measured|stated|unknown", "unknown"),
    TEXT("measured-by", "measured_by", "who measured it, with what"),
    ON("when it was measured"),
    {"usual", FIELD_FLAG, "usual", 0, "yes: taken when no card is named",
     .preset = "no"},
    NOTE,
};

static const struct field reading_fields[] = {
    REF("skein", "skein", FIRST | FIELD_FIXED, NOUN_SKEIN, "of which skein"),
    REF("after-entry", "after_entry", 0, NOUN_ENTRY,
        "after which step of its life; the last one if not said"),
    REF("fibre", "fibre", FIELD_FIXED, NOUN_FIBRE, "or of which undyed yarn"),
    REF("mordant", "mordant", 0, NOUN_MATERIAL,
        "of an undyed yarn: with that mordant alone"),
    CHOICE("part", "part", 0,
           "covered or exposed in a light test; what was dipped or the rest",
           "whole|covered|exposed|dipped|rest", "whole"),
    {"wet", FIELD_FLAG, "wet", 0, "yes when the yarn was wet", .preset = "no"},
    {"lab", FIELD_LAB, "lab", N | FIELD_FIXED, "L,a,b as it was read"},
    {"u", FIELD_SIGMA, "abs", FIELD_FIXED,
     "half of each \xC2\xB1 of L, a and b"},
    CHOICE("illuminant", "illuminant", FIELD_FIXED,
           "the light it is reckoned for; of an instrument it must be said; "
           "D65/10 says the observer too",
           "D65|D50|A|C|other", NULL),
    {"observer", FIELD_WHOLE, "observer_deg", FIELD_FIXED,
     "2 or 10 degrees; of an instrument it must be said", .min = 2, .max = 10},
    TEXT("geometry", "geometry",
         "of an instrument it must be said: d/8, 45/0, unknown ..."),
    CHOICE("source", "source", N | FIELD_FIXED, "how it was read",
           "photo|instrument|eye", "instrument"),
    TEXT("instrument", "instrument", "which instrument"),
    REF("card", "card", FIELD_OWN, NOUN_CARD, "the grey card in the photo"),
    {"method", FIELD_WHOLE, "method", INNER, "version of the measuring"},
    {"corrected-by", FIELD_TEXT, "corrected_by", INNER,
     "what beside the card corrected it"},
    ON("when it was read"),
    NOTE,
};

static const struct field camera_fields[] = {
    {"make", FIELD_TEXT, "make", OWN, "who made it"},
    {"model", FIELD_TEXT, "model", OWN | N, "which one it is"},
    {"mode", FIELD_TEXT, "mode", OWN, "how it was set"},
    REF("photo", "photo", OWN | N, NOUN_PHOTO, "the photo it was learnt from"),
    {"on", FIELD_DAY, "on", OWN, "when that was taken"},
    {"neutrals", FIELD_WHOLE, "neutrals", OWN, "how many neutrals it shows"},
    {"tones-off", FIELD_REAL, "tones_off", OWN,
     "each neutral told by the others, L*"},
    {"colours", FIELD_TEXT, "colours", OWN, "what a chart taught of colours"},
    {"colours-off", FIELD_REAL, "colours_off", OWN,
     "each patch told by the others, CIEDE2000"},
    {"red", FIELD_TEXT, "red", INNER, "its curve, light as seen and as it is"},
    {"green", FIELD_TEXT, "green", INNER, "its curve"},
    {"blue", FIELD_TEXT, "blue", INNER, "its curve"},
    {"matrix", FIELD_TEXT, "matrix", INNER, "from those to X, Y and Z"},
    NOTE,
};

static const struct field region_fields[] = {
    REF("reading", "reading", OWN | N, NOUN_READING, "of which reading"),
    REF("photo", "photo", OWN | N, NOUN_PHOTO, "on which photo"),
    {"x", FIELD_WHOLE, "x", OWN, "left edge, pixels"},
    {"y", FIELD_WHOLE, "y", OWN, "upper edge, pixels"},
    {"w", FIELD_WHOLE, "w", OWN, "width, pixels"},
    {"h", FIELD_WHOLE, "h", OWN, "height, pixels"},
    {"notes", FIELD_TEXT, "notes", OWN, "what was remarked"},
    {"known", FIELD_TEXT, "known", OWN, "places of known colour on the photo"},
};

static const char cupboard[] = "What is in the cupboard, and whose it is";
static const char pots[] = "What happens at the pot";
static const char results[] = "Skeins, and what is seen of them";
const char *const noun_groups[] = {cupboard, pots, results};
const size_t noun_group_count = ARRAY_LEN(noun_groups);

#define ROW(i, n, p, g, own, array, h)                                         \
    [i] = {i, n, p, h, g, own, array, ARRAY_LEN(array)}

const struct noun nouns[NOUN_COUNT] = {
    ROW(NOUN_DYER, "dyer", "dyers", cupboard, NULL, dyer_fields,
        "Whose records these are: you, and others whose results you hold."),
    ROW(NOUN_MATERIAL, "material", "materials", cupboard, NULL, material_fields,
        "A dyestuff, mordant, assist, acid, alkali, modifier or cleanser."),
    ROW(NOUN_ALIAS, "alias", "aliases", cupboard, NULL, alias_fields,
        "Another name of a material; both are found."),
    ROW(NOUN_SUPPLY, "supply", "supplies", cupboard, "dyer_id", supply_fields,
        "One batch of a material: gathered, grown, bought or given."),
    ROW(NOUN_FIBRE, "fibre", "fibres", cupboard, "dyer_id", fibre_fields,
        "A yarn before it was dyed."),
    ROW(NOUN_WATER, "water", "waters", cupboard, "dyer_id", water_fields,
        "A source of water."),
    ROW(NOUN_SKEIN, "skein", "skeins", results, "dyer_id", skein_fields,
        "One skein with its permanent number."),
    ROW(NOUN_ORIGIN, "origin", "origins", results, NULL, origin_fields,
        "Where a skein came from: cut off one, or plied from several."),
    ROW(NOUN_BATH, "bath", "baths", pots, "dyer_id", bath_fields,
        "The liquor of a pot, from the first bath to the last exhaust."),
    ROW(NOUN_POUR, "pour", "pours", pots, NULL, pour_fields,
        "A bath poured over into another, or merged with it."),
    ROW(NOUN_EXTRACTION, "extraction", "extractions", pots, NULL,
        extraction_fields, "How the colour was drawn out of the dyestuff."),
    ROW(NOUN_TREATMENT, "treatment", "treatments", pots, "dyer_id",
        treatment_fields,
        "What was done in one vessel: a mordant, a dye, a dip, a wash."),
    ROW(NOUN_ENTRY, "entry", "entries", pots, NULL, entry_fields,
        "A skein that was in a pot, and its place in the skein's life."),
    ROW(NOUN_DOSE, "dose", "doses", pots, NULL, dose_fields,
        "What went in: a material and how much of it."),
    ROW(NOUN_PH, "ph", "ph", pots, NULL, ph_fields,
        "The pH of a bath at some time."),
    ROW(NOUN_PHOTO, "photo", "photos", results, "dyer_id", photo_fields,
        "A picture, kept untouched."),
    ROW(NOUN_SIGHT, "sight", "sights", results, NULL, sight_fields,
        "A skein seen on a kept picture or by eye, and its ultraviolet glow."),
    ROW(NOUN_CARD, "card", "cards", cupboard, "dyer_id", card_fields,
        "A grey card, grey steps or a chart and its stated values."),
    ROW(NOUN_CAMERA, "camera", "cameras", cupboard, NULL, camera_fields,
        "What a camera does to tones, learnt from a photo with neutrals."),
    ROW(NOUN_READING, "reading", "readings", results, "dyer_id", reading_fields,
        "One colour of a skein or of an undyed yarn; never overwritten."),
    ROW(NOUN_REGION, "region", "regions", results, NULL, region_fields,
        "Where on a photo a reading was taken."),
};
const size_t noun_count = NOUN_COUNT;

const struct noun *noun_find(const char *name)
{
    for (size_t i = 0; i < NOUN_COUNT; i++)
        if (!strcmp(nouns[i].name, name) || !strcmp(nouns[i].plural, name))
            return &nouns[i];
    return NULL;
}

const struct field *noun_field(const struct noun *noun, const char *name)
{
    for (size_t i = 0; i < noun->field_count; i++)
        if (!strcmp(noun->fields[i].name, name))
            return &noun->fields[i];
    return NULL;
}
