/* The table of records and fields. See book/noun.h. */
#include "book/noun.h"

#include <string.h>

#include "base/mem.h"

#define N FIELD_NEEDED
#define OWN FIELD_OWN
#define INNER (FIELD_OWN | FIELD_INNER)
#define FIRST FIELD_FIRST
#define MORE FIELD_MORE
#define PART FIELD_PART
#define KINDS "dyestuff|mordant|assist|acid|alkali|modifier|cleanser"
#define STATES "fresh|dry|frozen|extract|other"
#define NOTE                                                                   \
    {                                                                          \
        "note", "Note", FIELD_TEXT, "note", MORE,                              \
            "anything else worth keeping"                                      \
    }
#define ON(f, help)                                                            \
    {                                                                          \
        "on", "Day", FIELD_DAY, "on", f, help                                  \
    }
#define TEXT(n, t, c, f, help)                                                 \
    {                                                                          \
        n, t, FIELD_TEXT, c, f, help                                           \
    }
#define REF(n, t, c, f, to, help)                                              \
    {                                                                          \
        n, t, FIELD_REF, c, f, help, .ref = to                                 \
    }
#define CHOICE(n, t, c, f, help, list, pre)                                    \
    {                                                                          \
        n, t, FIELD_CHOICE, c, f, help, list, .preset = pre                    \
    }

static const struct field dyer_fields[] = {
    {"name", "Name", FIELD_TEXT, "name", N | FIRST, "whose records these are"},
    {"mine", "Own", FIELD_FLAG, "mine", OWN,
     "whether this is the book's own dyer", .preset = "no"},
    NOTE,
};

static const struct field material_fields[] = {
    {"name", "Name", FIELD_NAME, "name", N | FIRST, "what you call it"},
    CHOICE("kind", "Used as", "kind", N, "what it is used for", KINDS,
           "dyestuff"),
    TEXT("latin", "Scientific name", "latin", 0,
         "scientific name, as sure as you are"),
    TEXT("part", "Part of the plant", "part", MORE,
         "root, hulls, caps, whole plant ..."),
    TEXT("form", "Form", "form", MORE,
         "chips, extract, crystals, dried out ..."),
    {"none", "No mordant", FIELD_FLAG, "none", INNER,
     "\"no mordant\" said on purpose", .preset = "no"},
    NOTE,
};

static const struct field alias_fields[] = {
    {"name", "Other name", FIELD_NAME, "name", N | FIRST,
     "another name, old or foreign"},
    REF("material", "Material", "material", N | PART, NOUN_MATERIAL,
        "of which material"),
    NOTE,
};

static const struct field supply_fields[] = {
    REF("material", "Material", "material", N | FIRST, NOUN_MATERIAL,
        "of what"),
    {"name", "Name", FIELD_NAME, "name", 0, "what you call this batch"},
    CHOICE("source", "Came by", "source", 0, "how you came by it",
           "gathered|grown|bought|given", NULL),
    {"place", "Place", FIELD_TEXT, "place", FIELD_PRIVATE | MORE,
     "where it was gathered; stays in your own book"},
    {"got", "Got on", FIELD_DAY, "got", 0, "when you got it"},
    {"amount", "How much", FIELD_WEIGHT, "amount", 0,
     "how much there was, by weight"},
    CHOICE("state", "State", "state", MORE, "as it lies on the scale", STATES,
           NULL),
    {"fresh-per-dry", "Fresh for 1 g dry", FIELD_REAL, "fresh_per_dry", MORE,
     "grams fresh for one gram dry, about 10 for mushrooms", .min = 1,
     .max = 1000},
    TEXT("named-by", "Named by", "named_by", MORE, "who said what it is"),
    CHOICE("sure", "How sure", "sure", MORE, "how sure the name is",
           "sure|likely|guess|unknown", NULL),
    NOTE,
};

static const struct field fibre_fields[] = {
    {"name", "Name", FIELD_NAME, "name", N | FIRST, "what you call this yarn"},
    TEXT("content", "Fibre", "content", 0, "wool, silk, 75 wool 25 nylon ..."),
    TEXT("preparation", "Preparation", "preparation", 0,
         "worsted, woollen, superwash ..."),
    {"m-per-100g", "Metres in 100 g", FIELD_REAL, "m_per_100g", 0,
     "metres in 100 g", .min = 0.1, .max = 1e6},
    NOTE,
};

static const struct field water_fields[] = {
    {"name", "Name", FIELD_NAME, "name", N | FIRST, "what you call this water"},
    TEXT("source", "From", "source", 0, "tap, rain, well, lake ..."),
    TEXT("hardness", "Hardness", "hardness", 0,
         "as you know it: soft, 4 dH ..."),
    {"ph", "pH", FIELD_PH, "ph", 0, "its pH: 7, 6-7, about 6 strip"},
    NOTE,
};

static const struct field skein_fields[] = {
    {"name", "Name", FIELD_TEXT, "name", FIRST, "what you call it"},
    {"number", "Number", FIELD_WHOLE, "number", FIELD_FIXED | MORE,
     "its number, never used again; the next free one if not said", .min = 1,
     .max = 1e9},
    {"code", "Code on its tag", FIELD_CODE, "code", 0,
     "the code pencilled on its tag"},
    REF("fibre", "Yarn", "fibre", FIELD_MAKES, NOUN_FIBRE, "which yarn"),
    {"weight", "Dry weight", FIELD_WEIGHT, "weight", 0,
     "dry weight: 20 g, 3/4 oz"},
    CHOICE("weighed", "Weighed", "weighed", MORE, "how the weight was found",
           "dry|wet|after|guessed", NULL),
    {"length", "Length", FIELD_LENGTH, "length", MORE, "metres, or yd"},
    {"colour", "Colour in your words", FIELD_NAME, "colour", 0,
     "your own word for its colour"},
    TEXT("place", "Where it is", "place", FIELD_PRIVATE, "where it is now"),
    {"finished", "All filled in", FIELD_FLAG, "finished", 0,
     "no: something is still to be filled in"},
    NOTE,
};

static const struct field origin_fields[] = {
    REF("child", "Skein it became", "child", N | FIRST | FIELD_FIXED | PART,
        NOUN_SKEIN, "the skein it became"),
    REF("parent", "Skein it came from", "parent", N | FIELD_FIXED, NOUN_SKEIN,
        "the skein it came from"),
    REF("after-entry", "After which step", "after_entry", 0, NOUN_ENTRY,
        "after which step of the parent's life"),
    {"amount", "How much", FIELD_WEIGHT, "amount", 0, "how much came from it"},
    {"part", "Or which part", FIELD_REAL, "part", 0, "or which part of it: 0.5",
     .min = 0.001, .max = 1},
    NOTE,
};

static const struct field bath_fields[] = {
    {"name", "Name", FIELD_NAME, "name", FIRST, "what you call this pot"},
    {"number", "Number", FIELD_WHOLE, "number", FIELD_FIXED | MORE,
     "its number; the next free one if not said", .min = 1, .max = 1e9},
    CHOICE("kind", "Liquor for", "kind", N, "what the liquor is for",
           "dye|vat|mordant|modifier", "dye"),
    REF("water", "Water", "water", FIELD_MAKES, NOUN_WATER, "which water"),
    {"volume", "Liquor", FIELD_VOLUME, "volume", 0, "how much: 3 l, 1 gallon"},
    TEXT("storage", "Kept in", "storage", FIELD_PRIVATE | MORE,
         "how it is kept: jar, cellar, frozen ..."),
    {"spent", "Spent", FIELD_FLAG, "spent", MORE,
     "yes when nothing is left in it"},
    NOTE,
};

static const struct field pour_fields[] = {
    REF("bath", "Became", "bath", N | FIRST | FIELD_FIXED | PART, NOUN_BATH,
        "the bath it became"),
    REF("parent", "Poured from", "parent", N | FIELD_FIXED, NOUN_BATH,
        "the bath it came from"),
    {"volume", "How much", FIELD_VOLUME, "volume", 0,
     "how much was poured over"},
    ON(0, "when"),
    {"before-round", "Before round", FIELD_ROUND, "before_round", MORE,
     "before which round it was poured in"},
    NOTE,
};

static const struct field extraction_fields[] = {
    REF("bath", "Bath", "bath", N | FIRST | PART, NOUN_BATH, "of which bath"),
    ON(0, "when"),
    {"temperature", "Heat", FIELD_HEAT, "temperature", 0,
     "80, 180 F, hand-warm"},
    {"minutes", "Time", FIELD_MINUTES, "minutes", 0, "45, 1 1/2 h, overnight"},
    {"pulls", "Drawn off", FIELD_WHOLE, "pulls", 0,
     "how many times it was drawn off", .min = 1, .max = 100},
    CHOICE("straining", "Straining", "straining", 0,
           "what became of the dyestuff", "strained|bagged|loose", NULL),
    NOTE,
};

static const struct field treatment_fields[] = {
    CHOICE("kind", "Done", "kind", N | FIRST, "what was done",
           "scour|mordant|dye|vat|dip|wash|other", NULL),
    REF("bath", "Bath", "bath", PART, NOUN_BATH, "in which bath"),
    {"round", "Round", FIELD_ROUND, "round", 0,
     "of a dye bath: first, exhaust 1, 2 ..."},
    ON(0, "which day"),
    TEXT("vessel", "Vessel", "vessel", MORE, "pot, jar in a water bath ..."),
    {"temperature", "Heat", FIELD_HEAT, "temperature", 0,
     "highest reached: 80, 180 F"},
    {"minutes", "Time", FIELD_MINUTES, "minutes", 0, "at that heat: 45, 1 h"},
    {"cooled", "Cooled in it", FIELD_FLAG, "cooled", MORE,
     "yes when it cooled in the bath"},
    {"dips", "Dips", FIELD_WHOLE, "dips", MORE, "of a vat: how many", .min = 1,
     .max = 1000},
    {"airing", "In the air", FIELD_MINUTES, "airing", MORE,
     "of a vat: minutes in the air"},
    NOTE,
};

static const struct field entry_fields[] = {
    REF("skein", "Skein", "skein", N | FIRST | FIELD_FIXED | PART, NOUN_SKEIN,
        "which skein"),
    REF("treatment", "What was done", "treatment", N | PART, NOUN_TREATMENT,
        "which of what was done: its number in the list of treatments"),
    {"place", "Place in its life", FIELD_REAL, "place", MORE,
     "its place in the skein's life; the end if not said", .min = -1e9,
     .max = 1e9},
    {"weight", "Dry weight then", FIELD_WEIGHT, "weight", 0,
     "dry weight then, if it differs"},
    TEXT("dipped", "Part dipped", "dipped", 0,
         "which part of it went in: half, the ends ..."),
    NOTE,
};

static const struct field dose_fields[] = {
    REF("material", "Material", "material", N | FIRST, NOUN_MATERIAL, "what"),
    REF("bath", "Bath", "bath", FIELD_FIXED | PART, NOUN_BATH,
        "into which bath"),
    REF("treatment", "Or what was done", "treatment", FIELD_FIXED | PART,
        NOUN_TREATMENT, "or which treatment"),
    REF("supply", "Supply", "supply", MORE, NOUN_SUPPLY, "from which supply"),
    CHOICE("role", "Used as", "role", 0,
           "used as what; as the material's kind if not said", KINDS, NULL),
    {"before-round", "Before round", FIELD_ROUND, "before_round", MORE,
     "of a bath: before which round it went in"},
    CHOICE("added", "Added", "added", MORE, "before, with or after the yarn",
           "before|with|after", NULL),
    {"minute", "Minute", FIELD_REAL, "minute", MORE, "at which minute",
     .min = 0, .max = 1e6},
    {"amount", "Amount", FIELD_DOSE, "amount", 0, "12 %, 50 g, 2:1, a handful"},
    CHOICE("known", "How known", "known", MORE, "how the amount was found",
           "weighed|guessed|unknown", NULL),
    CHOICE("state", "State", "state", MORE, "as it was weighed", STATES, NULL),
    {"fresh-per-dry", "Fresh for 1 g dry", FIELD_REAL, "fresh_per_dry", MORE,
     "grams fresh for one gram dry", .min = 1, .max = 1000},
    NOTE,
};

static const struct field ph_fields[] = {
    {"ph", "pH", FIELD_PH, "ph", N | FIRST,
     "7, 7-8, about 9, 5 -> 9, 6.5 meter"},
    REF("bath", "Bath", "bath", PART, NOUN_BATH, "of which bath"),
    REF("treatment", "Or what was done", "treatment", PART, NOUN_TREATMENT,
        "in which treatment"),
    CHOICE("moment", "Taken", "moment", 0, "when it was taken",
           "before|during|after|stored", NULL),
    ON(0, "which day"),
    NOTE,
};

static const struct field photo_fields[] = {
    {"sha256", "Hash", FIELD_TEXT, "sha256", INNER, "the hash of its bytes"},
    {"bytes", "Bytes", FIELD_WHOLE, "bytes", INNER, "its size"},
    {"width", "Width", FIELD_WHOLE, "width_px", INNER,
     "pixels, as displayed upright"},
    {"height", "Height", FIELD_WHOLE, "height_px", INNER,
     "pixels, as displayed upright"},
    {"camera", "Camera", FIELD_TEXT, "camera", OWN, "as the file says"},
    {"profile", "Colour profile", FIELD_TEXT, "profile", OWN,
     "its colour profile"},
    ON(0, "when it was taken"),
    CHOICE("shows", "Shows", "shows", 0, "what it is for",
           "colour|tag|ultraviolet|finished|other", "other"),
    NOTE,
};

static const struct field sight_fields[] = {
    REF("photo", "Photo", "photo", FIRST, NOUN_PHOTO,
        "on which photo; none: it was seen by eye"),
    REF("skein", "Skein", "skein", N | PART, NOUN_SKEIN,
        "which skein it shows"),
    CHOICE("glow", "Glow", "glow", 0, "under an ultraviolet lamp",
           "none|faint|strong", NULL),
    TEXT("glow-colour", "Colour of the glow", "glow_colour", 0,
         "the colour of the glow in words"),
    ON(0, "when it was seen; a photo has its own day"),
    NOTE,
};

static const struct field card_fields[] = {
    {"name", "Name", FIELD_NAME, "name", N | FIRST, "what you call it"},
    CHOICE("kind", "Kind", "kind", 0,
           "grey: one plain grey, white or black; grey steps; or a chart",
           "grey|steps|chart", "grey"),
    {"lab", "Colour L*, a*, b*", FIELD_LAB, "lab", 0,
     "its colour, L,a,b under D50, 2 degree"},
    {"u", "Half of each \xC2\xB1", FIELD_SIGMA, "u", 0,
     "half of each \xC2\xB1 of L, a and b"},
    CHOICE("source", "Values are", "source", MORE, "where the values come from",
           "measured|stated|unknown", "unknown"),
    TEXT("measured-by", "Measured by", "measured_by", MORE,
         "who measured it, with what"),
    ON(MORE, "when it was measured"),
    {"usual", "The usual one", FIELD_FLAG, "usual", 0,
     "yes: taken when no card is named", .preset = "no"},
    NOTE,
};

static const struct field reading_fields[] = {
    REF("skein", "Skein", "skein", FIRST | FIELD_FIXED | PART, NOUN_SKEIN,
        "of which skein"),
    REF("after-entry", "After which step", "after_entry", MORE, NOUN_ENTRY,
        "after which step of its life; the last one if not said"),
    REF("fibre", "Or undyed yarn", "fibre", FIELD_FIXED | MORE | PART,
        NOUN_FIBRE, "or of which undyed yarn"),
    REF("mordant", "Its mordant", "mordant", MORE, NOUN_MATERIAL,
        "of an undyed yarn: with that mordant alone"),
    CHOICE("part", "Part read", "part", MORE,
           "covered or exposed in a light test; what was dipped or the rest",
           "whole|covered|exposed|dipped|rest", "whole"),
    {"wet", "Wet", FIELD_FLAG, "wet", MORE, "yes when the yarn was wet",
     .preset = "no"},
    {"lab", "Colour L*, a*, b*", FIELD_LAB, "lab", N | FIELD_FIXED,
     "L,a,b as it was read"},
    {"u", "Half of each \xC2\xB1", FIELD_SIGMA, "abs", FIELD_FIXED | MORE,
     "half of each \xC2\xB1 of L, a and b"},
    CHOICE("illuminant", "Illuminant", "illuminant", FIELD_FIXED,
           "the light it is reckoned for; of an instrument it must be said; "
           "the rack, find and grid go by D50, 2 degree",
           "D65|D50|A|C|other", NULL),
    {"observer", "Observer", FIELD_WHOLE, "observer_deg", FIELD_FIXED,
     "2 or 10 degrees; of an instrument it must be said", .min = 2, .max = 10},
    TEXT("geometry", "Geometry", "geometry", 0,
         "of an instrument it must be said: d/8, 45/0, unknown ..."),
    CHOICE("source", "Source", "source", N | FIELD_FIXED, "how it was read",
           "photo|instrument|eye", "instrument"),
    TEXT("instrument", "Instrument", "instrument", 0, "which instrument"),
    REF("card", "Card", "card", FIELD_OWN, NOUN_CARD,
        "the grey card in the photo"),
    {"method", "Method", FIELD_WHOLE, "method", INNER,
     "version of the measuring"},
    {"corrected-by", "Corrected by", FIELD_TEXT, "corrected_by", INNER,
     "what beside the card corrected it"},
    ON(0, "when it was read"),
    NOTE,
};

static const struct field camera_fields[] = {
    {"make", "Make", FIELD_TEXT, "make", OWN, "who made it"},
    {"model", "Model", FIELD_TEXT, "model", OWN | N, "which one it is"},
    {"mode", "Mode", FIELD_TEXT, "mode", OWN, "how it was set"},
    REF("photo", "Photo", "photo", OWN | N, NOUN_PHOTO,
        "the photo it was learnt from"),
    {"on", "Day", FIELD_DAY, "on", OWN, "when that was taken"},
    {"neutrals", "Neutrals", FIELD_WHOLE, "neutrals", OWN,
     "how many neutrals it shows"},
    {"tones-off", "Tones off by", FIELD_REAL, "tones_off", OWN,
     "each neutral told by the others, L*"},
    {"colours", "Colours", FIELD_TEXT, "colours", OWN,
     "what a chart taught of colours"},
    {"colours-off", "Colours off by", FIELD_REAL, "colours_off", OWN,
     "each patch told by the others, CIEDE2000"},
    {"red", "Red", FIELD_TEXT, "red", INNER,
     "its curve, light as seen and as it is"},
    {"green", "Green", FIELD_TEXT, "green", INNER, "its curve"},
    {"blue", "Blue", FIELD_TEXT, "blue", INNER, "its curve"},
    {"matrix", "Matrix", FIELD_TEXT, "matrix", INNER,
     "from those to X, Y and Z"},
    NOTE,
};

static const struct field region_fields[] = {
    REF("reading", "Reading", "reading", OWN | N | PART, NOUN_READING,
        "of which reading"),
    REF("photo", "Photo", "photo", OWN | N, NOUN_PHOTO, "on which photo"),
    {"x", "Left", FIELD_WHOLE, "x", OWN, "left edge, pixels"},
    {"y", "Top", FIELD_WHOLE, "y", OWN, "upper edge, pixels"},
    {"w", "Width", FIELD_WHOLE, "w", OWN, "width, pixels"},
    {"h", "Height", FIELD_WHOLE, "h", OWN, "height, pixels"},
    {"notes", "Notes", FIELD_TEXT, "notes", OWN, "what was remarked"},
    {"known", "Known places", FIELD_TEXT, "known", OWN,
     "places of known colour on the photo"},
};

static const struct field test_fields[] = {
    REF("skein", "Skein", "skein", N | FIRST | FIELD_FIXED | PART, NOUN_SKEIN,
        "which skein, or the piece of it on the card"),
    CHOICE("kind", "Test", "kind", N, "what it has to stand", "light|wash|rub",
           "light"),
    {"start", "Begun on", FIELD_DAY, "start", 0, "when it began"},
    {"due", "Look at it on", FIELD_DAY, "due", 0,
     "when it is to be looked at; say the year"},
    {"end", "Ended on", FIELD_DAY, "ended", 0, "when it ended"},
    TEXT("exposure", "Exposure", "exposure", 0,
         "in words: south window, half covered; 40 degrees, olive soap"),
    REF("before", "Reading before", "before", MORE, NOUN_READING,
        "the colour it had; the one from before it began if not said, or of "
        "the covered part"),
    REF("after", "Reading after", "after", MORE, NOUN_READING,
        "the colour it has; the latest since it began if not said, of the "
        "exposed part first"),
    NOTE,
};

static const struct field project_fields[] = {
    {"name", "Name", FIELD_NAME, "name", N | FIRST, "what you call it"},
    REF("fibre", "Yarn", "fibre", FIELD_MAKES, NOUN_FIBRE, "which yarn"),
    {"hank", "A hank weighs", FIELD_WEIGHT, "hank", 0,
     "of a hank that skeins are split off: its dry weight"},
    {"metres", "Its length", FIELD_LENGTH, "metres", 0, "of that hank"},
    {"ready", "Ready by", FIELD_TEXT, "ready", OWN,
     "when it shall be done; \"plan when\" changes it"},
    {"soonest", "Not before", FIELD_TEXT, "soonest", INNER,
     "no plan ends before that"},
    {"pots", "Pots", FIELD_WHOLE, "pots", MORE, "how many", .min = 1,
     .max = 50},
    {"pot", "A pot holds", FIELD_VOLUME, "pot", MORE, "what one holds"},
    {"burners", "Burners", FIELD_WHOLE, "burners", MORE, "how many", .min = 1,
     .max = 50},
    {"jars", "Jars in a water bath", FIELD_WHOLE, "jars", MORE,
     "how many one takes; 0: none", .min = 0, .max = 50},
    {"jar", "A jar holds", FIELD_VOLUME, "jar", MORE, "what one holds"},
    {"l-per-kg", "Water for the fibre", FIELD_REAL, "l_per_kg", MORE,
     "litres for one kg of dry fibre", .min = 1, .max = 1000},
    {"up", "Up from", FIELD_WHOLE, "up_min", INNER,
     "minute of the day from which somebody is up", .min = 0, .max = 1440},
    {"to-bed", "To bed", FIELD_WHOLE, "to_bed_min", INNER,
     "minute of the day until which somebody is up", .min = 0, .max = 1440},
    {"notes", "Said by the plan", FIELD_TEXT, "said", OWN,
     "what the plan had to say"},
    NOTE,
};

static const struct field wish_fields[] = {
    REF("project", "Project", "project", N | FIRST | FIELD_FIXED | PART,
        NOUN_PROJECT, "of which project"),
    TEXT("name", "Name", "name", 0, "what you call the colour"),
    REF("like", "Like skein", "skein", 0, NOUN_SKEIN, "as that skein came out"),
    TEXT("recipe", "Recipe", "recipe", 0,
         "\"dyestuff=madder: 60 %; mordant=alum: 12 %; round=exhaust 1\""),
    {"weight", "Weight", FIELD_WEIGHT, "weight", 0, "how much of it"},
    {"length", "Length", FIELD_LENGTH, "length", 0, "or how long"},
    {"skeins", "Skeins", FIELD_TEXT, "skeins", OWN, "which skeins it will be"},
    NOTE,
};

static const struct field task_fields[] = {
    REF("project", "Project", "project", N | FIRST | FIELD_FIXED | PART,
        NOUN_PROJECT, "of which project"),
    {"number", "Step", FIELD_WHOLE, "number", FIELD_FIXED,
     "its number in the project", .min = 1, .max = 1000},
    CHOICE("kind", "Kind", "kind", N, "what is to be done",
           "soak|mordant|extract|dye|dip|rinse", NULL),
    TEXT("name", "Name", "name", 0, "what it is called"),
    TEXT("skeins", "Skeins", "skeins", 0, "their numbers: 61, 63"),
    TEXT("doses", "To weigh", "doses", 0,
         "what goes in: \"mordant alum: 12 %; assist cream of tartar: 6 %\""),
    {"volume", "Liquor", FIELD_VOLUME, "volume", 0, "how much water"},
    {"temperature", "Heat", FIELD_HEAT, "temperature", 0, "80, 180 F"},
    {"minutes", "Time", FIELD_MINUTES, "minutes", 0, "at that heat"},
    TEXT("source", "Heat and time by", "source", MORE,
         "where that heat and time come from"),
    TEXT("liquor", "Shared liquor", "liquor", MORE,
         "steps of one name have one liquor"),
    {"round", "Round", FIELD_ROUND, "round", 0, "first, exhaust 1, 2 ..."},
    {"vessel", "Vessel", FIELD_TEXT, "vessel", OWN, "which pot and burner"},
    {"begins", "Begins", FIELD_TEXT, "begins", OWN, "when, by the plan"},
    {"takes", "Takes", FIELD_WHOLE, "takes_min", OWN, "minutes in all",
     .min = 1, .max = 1e6},
    {"attended", "Attended", FIELD_WHOLE, "attended_min", INNER,
     "minutes in which somebody is up", .min = 0, .max = 1e6},
    {"burner", "Burner on", FIELD_WHOLE, "burner_min", INNER,
     "minutes a burner is on", .min = 0, .max = 1e6},
    {"in-pot", "In the pot", FIELD_WHOLE, "pot_min", INNER,
     "minutes a pot is full", .min = 0, .max = 1e6},
    {"jar", "Jar", FIELD_WHOLE, "jar", INNER,
     "those of one number may share a water bath", .min = 0, .max = 1000},
    {"after", "After", FIELD_TEXT, "after", OWN, "which steps come before"},
    {"done", "Done", FIELD_FLAG, "done", OWN, "whether it is done",
     .preset = "no"},
    {"done-on", "Done on", FIELD_DAY, "done", OWN, "on which day"},
    REF("bath", "Bath", "bath", OWN, NOUN_BATH, "the bath it became"),
    REF("treatment", "What was done", "treatment", OWN, NOUN_TREATMENT,
        "the treatment it became"),
    NOTE,
};

static const char cupboard[] = "What is in the cupboard, and whose it is";
static const char pots[] = "What happens at the pot";
static const char results[] = "Skeins, and what is seen of them";
static const char plans[] = "What is to be dyed";
const char *const noun_groups[] = {cupboard, pots, results, plans};
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
    ROW(NOUN_TEST, "test", "tests", results, NULL, test_fields,
        "A light, wash or rub test of a skein: how well its colour lasts."),
    ROW(NOUN_PROJECT, "project", "projects", plans, "dyer_id", project_fields,
        "What is to be dyed; \"plan make\" makes one with all its steps."),
    ROW(NOUN_WISH, "wish", "wishes", plans, NULL, wish_fields,
        "A colour that a project wants."),
    ROW(NOUN_TASK, "task", "tasks", plans, NULL, task_fields,
        "A planned step of a project; what was done stands beside it."),
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
