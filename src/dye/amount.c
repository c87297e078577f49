/* Reads amounts as people write them. See the header. */
#include "dye/amount.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "dye/reckon.h"
#include "dye/words.h"

/* Either side of "about 9 g": our own choice. */
#define ABOUT 0.1
#define LARGEST 1e9 /* of any unit; more is a slip */
#define SPOON_LOW 0.8
#define SPOON_HIGH 1.25

/* A spoon not said to be level holds a fifth less to a quarter more than a
 * level one; a tablespoon is US to Australian, a cup US to imperial, a pinch
 * 1/16 to 1/8 teaspoon (common practice, no source). */
static const struct unit unit[] = {
    {"g|g.|gr|grs|gm|gms|gram|grams|gramme|grammes|grammaa", AMOUNT_G, 1, 1},
    {"kg|kgs|kilo|kilos|kilogram|kilograms|kilogramme|kilogrammes", AMOUNT_G,
     1000, 1000},
    {"mg|milligram|milligrams", AMOUNT_G, 0.001, 0.001},
    {"hg|hekto", AMOUNT_G, 100, 100},
    {"oz|oz.|ozs|ounce|ounces", AMOUNT_G, G_PER_OZ, G_PER_OZ},
    {"lb|lb.|lbs|lbs.|pound|pounds|#", AMOUNT_G, G_PER_LB, G_PER_LB},
    {"ml|ml.|millilitre|millilitres|milliliter|milliliters|cc", AMOUNT_ML, 1,
     1},
    {"cl", AMOUNT_ML, 10, 10},
    {"dl|desi", AMOUNT_ML, 100, 100},
    {"l|l.|lt|ltr|litre|litres|liter|liters", AMOUNT_ML, 1000, 1000},
    {"fl oz|fl. oz|fl oz.|fl. oz.|floz|fluid ounce|fluid ounces", AMOUNT_ML,
     ML_PER_US_FL_OZ, ML_PER_US_FL_OZ, ML_PER_IMP_FL_OZ / ML_PER_US_FL_OZ},
    {"pt|pt.|pts|pint|pints", AMOUNT_ML, ML_PER_US_PINT, ML_PER_US_PINT,
     ML_PER_IMP_PINT / ML_PER_US_PINT},
    {"qt|qt.|qts|quart|quarts", AMOUNT_ML, 2 * ML_PER_US_PINT,
     2 * ML_PER_US_PINT, ML_PER_IMP_PINT / ML_PER_US_PINT},
    {"gal|gal.|gals|gallon|gallons", AMOUNT_ML, 8 * ML_PER_US_PINT,
     8 * ML_PER_US_PINT, ML_PER_IMP_PINT / ML_PER_US_PINT},
    {"cup|cups", AMOUNT_ML, ML_PER_US_PINT / 2, ML_PER_IMP_PINT / 2,
     ML_PER_IMP_PINT / ML_PER_US_PINT, true},
    {"tsp|tsp.|tsps|teaspoon|teaspoons|teaspoonful|teaspoonfuls|tl", AMOUNT_ML,
     ML_PER_US_TSP, ML_PER_METRIC_TSP, 0, true},
    {"tbsp|tbsp.|tbsps|tbs|tbl|tablespoon|tablespoons|tablespoonful|"
     "tablespoonfuls|rkl",
     AMOUNT_ML, ML_PER_US_TBSP, ML_PER_AU_TBSP, 0, true},
    {"pinch|pinches", AMOUNT_ML, ML_PER_US_TSP / 16, ML_PER_METRIC_TSP / 8, 0,
     true},
    {"%|percent|per cent|pct|pct.|wof|owf", AMOUNT_WOF_PCT, 1, 1},
    {"x|times", AMOUNT_PER_FIBRE, 1, 1},
    {"m|m.|mtr|metre|metres|meter|meters", AMOUNT_M, 1, 1},
    {"cm", AMOUNT_M, 0.01, 0.01},
    {"yd|yd.|yds|yds.|yard|yards", AMOUNT_M, M_PER_YD, M_PER_YD},
    {"ft|ft.|foot|feet", AMOUNT_M, M_PER_YD / 3, M_PER_YD / 3},
    {"in|in.|inch|inches", AMOUNT_M, M_PER_IN, M_PER_IN},
};

static const struct units all = {
    unit, ARRAY_LEN(unit),
    "imperial|imp.|imp|british|uk|u.s.|us|american|metric|level|heaped|"
    "heaping|rounded|generous|scant|small|large|big"};

struct reader {
    const struct words *w;
    struct amount_context context;
    struct amount *a;
    struct error *err;
};

static enum took bad(const struct reader *r, const char *why)
{
    error_set(r->err, ERR_INPUT, "\"%.80s\": %s", r->w->typed, why);
    return TOOK_BAD;
}

/* What stands behind an amount may be words, but no second amount; "50 ml of
 * 10 % stock" says what the 50 ml are of. */
static bool rest_is_words(const char *s)
{
    return !words_digit(s) || (words_eat(&s, "of") && strchr(s, '%'));
}

static enum took set(const struct reader *r, enum amount_unit kind, double low,
                     double high)
{
    r->a->unit = kind;
    r->a->low = low < high ? low : high;
    r->a->high = low < high ? high : low;
    return TOOK_IT;
}

/* ---- ratios ---------------------------------------------------------------
 */

enum sides { SIDES_UNSAID, SIDES_DYE_FIRST, SIDES_FIBRE_FIRST };

static bool says_fibre(const char *s, size_t n)
{
    static const char *const fibre[] = {
        "yarn",   "yarns", "fibre",  "fibres", "fiber",  "fibers",
        "wool",   "skein", "skeins", "hank",   "hanks",  "cotton",
        "silk",   "linen", "cloth",  "fabric", "fleece", "mohair",
        "alpaca", "wof",   "goods",  "textile"};
    struct words part = {.main = mem_text_n(s, n), .note = mem_new(1, 1)};
    bool found = false;

    for (size_t i = 0; i < ARRAY_LEN(fibre) && !found; i++)
        found = words_has(&part, fibre[i]);
    words_close(&part);
    return found;
}

/* "yarn:dye", "mushrooms to wool": two sides of which one is fibre. */
static enum sides sides_of(const char *s, size_t n)
{
    for (size_t i = 1; i + 1 < n; i++) {
        size_t width = s[i] == ':' || s[i] == '/'                ? 1
                       : i + 4 < n && !strncmp(s + i, " to ", 4) ? 4
                                                                 : 0;
        bool first, second;

        if (!width)
            continue;
        first = says_fibre(s, i);
        second = says_fibre(s + i + width, n - i - width);
        if (first != second)
            return first ? SIDES_FIBRE_FIRST : SIDES_DYE_FIRST;
    }
    return SIDES_UNSAID;
}

/* "2:1" or "2 to 1", with the sides named before, behind or in brackets. */
static enum took ratio(const struct reader *r, const char *s)
{
    const char *p = s + strcspn(s, "0123456789."), *before = p;
    double first, second;
    enum sides sides;
    enum took took = words_number(&p, &first, r->err);
    bool colon;

    if (took != TOOK_IT)
        return TOOK_NOTHING; /* the sum says what is wrong */
    colon = words_eat(&p, ":");
    if (!colon && !words_eat(&p, "to"))
        return TOOK_NOTHING;
    took = words_number(&p, &second, r->err);
    if (took != TOOK_IT)
        return colon ? bad(r, "a ratio is two numbers, such as 2:1")
                     : TOOK_NOTHING;
    sides = sides_of(s, (size_t)(before - s));
    if (!sides)
        sides = sides_of(p, strlen(p));
    if (!sides)
        sides = sides_of(r->w->note, strlen(r->w->note));
    if (!colon && (words_unit(&p, &all) || (!sides && first <= second)))
        return TOOK_NOTHING; /* a range: "1 to 2" */
    if (first <= 0 || second <= 0)
        return bad(r, "both sides of a ratio must be above 0");
    if (words_digit(p))
        return bad(r, "say one ratio of two numbers, such as 2:1");
    r->a->sides_stated = sides != SIDES_UNSAID;
    r->a->fibre_first =
        sides ? sides == SIDES_FIBRE_FIRST : r->context.ratio_fibre_first;
    first = dyestuff_per_fibre(first, second, r->a->fibre_first);
    return set(r, AMOUNT_PER_FIBRE, first, first);
}

/* "equal weight", "twice the weight", "x2". */
static enum took phrase(const struct reader *r, const char *s)
{
    static const struct {
        const char *words;
        double per_fibre;
    } phrases[] = {
        {"equal weights|equal weight|equal parts|equal amounts|equal amount|"
         "equal|same weight|the same weight|weight for weight",
         1},
        {"twice the|double the", 2},
        {"half the weight|half its weight|half the wool|half the fibre|"
         "half the fiber|half the yarn",
         0.5},
    };
    const char *p = s;
    double x;

    r->a->sides_stated = true;
    for (size_t i = 0; i < ARRAY_LEN(phrases); i++)
        if (words_eat_any(&p, phrases[i].words) && !words_digit(p))
            return set(r, AMOUNT_PER_FIBRE, phrases[i].per_fibre,
                       phrases[i].per_fibre);
    p = s;
    if (words_eat(&p, "x") && words_number(&p, &x, r->err) == TOOK_IT &&
        !words_digit(p))
        return set(r, AMOUNT_PER_FIBRE, x, x);
    r->a->sides_stated = false;
    return TOOK_NOTHING;
}

/* ---- sums of terms --------------------------------------------------------
 */

/* Whether that is the first of a unit's names. */
static bool is_called(const struct unit *u, const char *name)
{
    const size_t n = strlen(name);

    return !strncmp(u->names, name, n) && u->names[n] == '|';
}

/* low and high of one unit as this amount means it. */
static void unit_ends(const struct reader *r, const struct unit *u, double *low,
                      double *high)
{
    static const char *const imperial[] = {"imperial", "imp", "uk", "british"};
    static const char *const us[] = {"us", "u.s.", "american"};
    bool is_imperial = false, is_us = false;

    *low = u->low;
    *high = u->high;
    r->a->estimated |= u->loose;
    if (u->loose && u->imperial == 0 && !words_has(r->w, "level")) {
        *low *= SPOON_LOW;
        *high *= SPOON_HIGH;
    }
    if (is_called(u, "oz") || is_called(u, "lb"))
        r->a->ounces = true;
    if (u->imperial == 0)
        return;
    for (size_t i = 0; i < ARRAY_LEN(imperial); i++)
        is_imperial |= words_has(r->w, imperial[i]);
    for (size_t i = 0; i < ARRAY_LEN(us); i++)
        is_us |= words_has(r->w, us[i]);
    if (u->loose && !is_imperial && !is_us)
        return; /* a cup of either country */
    r->a->measure = is_imperial ? AMOUNT_IMPERIAL : AMOUNT_US;
    *low *= is_imperial ? u->imperial : 1;
    *high = *low;
}

/* The unit of a bare number that follows: ounces after pounds. */
static const struct unit *unit_below(const struct unit *u)
{
    static const char *const below[][2] = {
        {"lb", "oz"}, {"kg", "g"}, {"ft", "in"}};

    for (size_t i = 0; i < ARRAY_LEN(below); i++)
        if (is_called(u, below[i][0])) {
            const char *name = below[i][1];
            return words_unit(&name, &all);
        }
    return NULL;
}

/* A number and a word that is no unit: a count of things stays as words, but
 * a short word is a slip. */
static enum took no_unit(const struct reader *r, const char *s)
{
    static const char stuff[] = "dried|dry|fresh|frozen|wet|damp|of|air";
    static const char things[] =
        "jar|bag|tin|can|cap|caps|bit|bits|pot|tub|box|sack|jars|bags|tins|"
        "cans|pots|tubs|pod|pods|bud|buds|egg|eggs|log|logs|nut|nuts|ear|ears";
    const char *p = s;
    size_t n;

    if (words_eat_any(&p, stuff))
        return TOOK_NOTHING;
    while (*s == ' ' || *s == '.' || *s == ',' || *s == ';')
        s++;
    n = strcspn(s, " .,;:/+-0123456789");
    if (!*s)
        return TOOK_NOTHING;
    if (n > 3 || words_eat_any(&p, things)) {
        if (words_digit(s))
            return bad(r, "say one amount, such as 50 g, 12 % or 2:1");
        return set(r, AMOUNT_WORDS, (double)NAN, (double)NAN);
    }
    error_set(r->err, ERR_INPUT,
              "\"%.80s\": \"%.*s\" is no unit; say g, kg, oz, lb, ml, l, %%, m "
              "or yd",
              r->w->typed,
              (int)(n                ? n
                    : strlen(s) < 20 ? strlen(s)
                                     : 20),
              s);
    return TOOK_BAD;
}

/* "1 oz per lb", "4 g/100 g": percent. Any other "per" is refused. */
static enum took per(const struct reader *r, const char **s)
{
    const char *p = *s;
    bool slash = words_eat(&p, "/");
    double by = 1;
    const struct unit *u;
    enum took took;

    if (!slash && !words_eat_any(&p, "per|to the|to each|for each|for every"))
        return TOOK_NOTHING;
    took = words_number(&p, &by, r->err);
    if (took == TOOK_BAD)
        return took;
    u = words_unit(&p, &all);
    if (r->a->unit != AMOUNT_G || !u || u->kind != AMOUNT_G || by <= 0)
        return bad(r, "say how much there was in all, or a weight per weight "
                      "of fibre such as 1 oz per lb");
    if (slash && by != 1 && by != 100)
        return bad(r, "say one weight, or \"per\" for so much on each");
    *s = p;
    return set(r, AMOUNT_WOF_PCT, wof_pct_per(r->a->low, by * u->low),
               wof_pct_per(r->a->high, by * u->low));
}

/* Adds one term; last is the unit of the one before, NULL for the first. */
static enum took add_term(const struct reader *r, struct term *t,
                          const struct unit *last)
{
    double low, high, unused;

    if (!t->low_unit) {
        t->low_unit = t->high_unit = last ? unit_below(last) : NULL;
        if (last && !t->low_unit)
            return bad(r, "say the unit of each number");
    }
    if (!t->low_unit) { /* bare */
        enum amount_unit bare = r->context.bare;
        return set(r, bare == AMOUNT_NONE ? AMOUNT_COUNT : bare, t->low,
                   t->high);
    }
    if (t->low_unit->kind != t->high_unit->kind ||
        (last && t->low_unit->kind != last->kind))
        return bad(r, "these units do not go together");
    r->a->sides_stated |= t->low_unit->kind == AMOUNT_PER_FIBRE;
    unit_ends(r, t->low_unit, &low, &unused);
    unit_ends(r, t->high_unit, &unused, &high);
    low *= t->low;
    high *= t->high;
    return set(r, (enum amount_unit)t->low_unit->kind,
               low + (last ? r->a->low : 0), high + (last ? r->a->high : 0));
}

/* "1 lb 3 oz", "50 g + 30 g", "12 %", "45". */
static enum took sum(const struct reader *r, const char **s)
{
    const struct unit *last = NULL;
    struct term t;
    enum took took = words_term(s, &all, &t, r->err);

    while (took == TOOK_IT) {
        const char *p;

        if (!last && !t.low_unit) {
            took = no_unit(r, *s);
            if (took != TOOK_NOTHING)
                return took;
        }
        if (add_term(r, &t, last) == TOOK_BAD)
            return TOOK_BAD;
        if (!t.low_unit)
            return TOOK_IT;
        last = t.low_unit;
        took = per(r, s);
        if (took != TOOK_NOTHING)
            return took;
        p = *s;
        (void)(words_eat_any(&p, "+|&|,") || words_eat(&p, "and"));
        took = words_term(&p, &all, &t, r->err);
        if (took == TOOK_NOTHING)
            return TOOK_IT;
        *s = p;
    }
    return took;
}

/* "a teaspoon", "half an ounce": only before a unit. */
static enum took counted(const struct reader *r, const char **s)
{
    static const struct {
        const char *words;
        double count;
    } counts[] = {{"one and a half", 1.5},
                  {"half an|half a|half|a half", 0.5},
                  {"a quarter|quarter", 0.25},
                  {"a|an|one", 1},
                  {"two", 2},
                  {"three", 3},
                  {"four", 4},
                  {"five", 5},
                  {"six", 6},
                  {"seven", 7},
                  {"eight", 8},
                  {"nine", 9},
                  {"ten", 10}};
    const char *p = *s;

    for (size_t i = 0; i < ARRAY_LEN(counts); i++) {
        struct term t = {.low = counts[i].count, .high = counts[i].count};

        if (!words_eat_any(&p, counts[i].words))
            continue;
        t.low_unit = t.high_unit = words_unit(&p, &all);
        if (!t.low_unit)
            return TOOK_NOTHING;
        *s = p;
        add_term(r, &t, NULL);
        return per(r, s) == TOOK_BAD ? TOOK_BAD : TOOK_IT;
    }
    return TOOK_NOTHING;
}

/* ---- the whole ------------------------------------------------------------
 */

static enum amount_state state_of(const struct words *w)
{
    static const struct {
        const char *word;
        enum amount_state state;
    } said[] = {{"wet", AMOUNT_WET},       {"damp", AMOUNT_WET},
                {"dried", AMOUNT_DRIED},   {"dry", AMOUNT_DRIED},
                {"frozen", AMOUNT_FROZEN}, {"fresh", AMOUNT_FRESH}};

    for (size_t i = 0; i < ARRAY_LEN(said); i++)
        if (words_has(w, said[i].word))
            return said[i].state;
    return AMOUNT_AS_SAID;
}

/* What kind of amount is looked for is known by what a bare number means. */
static const char *unit_hint(enum amount_unit bare)
{
    return bare == AMOUNT_G    ? "say the unit, as in \"20 g\""
           : bare == AMOUNT_ML ? "say the unit, as in \"3 l\""
           : bare == AMOUNT_M  ? "say the unit, as in \"80 m\""
                               : "say the unit, as in \"20 g\" or \"3 l\"";
}

/* A sum, with words before it only when its unit is said. */
static enum took led_sum(const struct reader *r, const char **s,
                         struct lead *lead)
{
    struct reader strict = *r;
    enum took took;

    words_lead(s, true, lead);
    if (lead->words)
        strict.context.bare = AMOUNT_WORDS;
    took = sum(&strict, s);
    if (took == TOOK_IT && r->a->unit == AMOUNT_WORDS && !isnan(r->a->low))
        return bad(r, unit_hint(r->context.bare));
    return took;
}

static enum took read_main(const struct reader *r, struct lead *lead)
{
    const char *s = r->w->main;
    enum took took;

    words_lead(&s, false, lead);
    took = phrase(r, s);
    if (took == TOOK_NOTHING)
        took = ratio(r, s);
    if (took != TOOK_NOTHING)
        return took;
    took = words_digit(s) ? led_sum(r, &s, lead) : counted(r, &s);
    if (took == TOOK_IT && !rest_is_words(s))
        return bad(r, "say one amount, such as 50 g, 12 % or 2:1");
    if (took == TOOK_NOTHING && words_digit(s))
        return bad(r, "cannot be read; say an amount such as 50 g, 12 %, 2:1, "
                      "or words without digits");
    lead->about |= took == TOOK_IT && words_about_after(&s);
    return took;
}

/* "about" and "up to" as ends. */
static enum took settle(const struct reader *r, const struct lead *lead)
{
    if (r->a->unit == AMOUNT_WORDS)
        return TOOK_IT;
    if (lead->about) {
        r->a->low *= 1 - ABOUT;
        r->a->high *= 1 + ABOUT;
    }
    if (lead->up_to)
        r->a->low = 0;
    r->a->estimated |= lead->about || lead->up_to;
    if (!(r->a->high <= LARGEST))
        return bad(r, "is too large to be an amount");
    return TOOK_IT;
}

bool amount_read(const char *words, struct amount_context context,
                 struct amount *out, struct error *err)
{
    struct words w = words_open(words ? words : "");
    struct amount a = {
        .unit = AMOUNT_WORDS, .low = (double)NAN, .high = (double)NAN};
    struct reader r = {&w, context, &a, err};
    struct lead lead = {0};
    enum took took = TOOK_NOTHING;

    a.state = state_of(&w);
    if (words_unknown(&w))
        a.unit = AMOUNT_NONE;
    else
        took = read_main(&r, &lead);
    if (took == TOOK_IT)
        took = settle(&r, &lead);
    words_close(&w);
    if (took == TOOK_BAD)
        return false;
    *out = a;
    return true;
}

bool amount_fraction(const char *words, double *out)
{
    static const struct {
        const char *words;
        double part;
    } parts[] = {{"half of it|a half|one half|half", 1 / 2.0},
                 {"two thirds|2 thirds", 2 / 3.0},
                 {"a third|one third|third", 1 / 3.0},
                 {"three quarters|3 quarters", 3 / 4.0},
                 {"a quarter|one quarter|quarter", 1 / 4.0}};
    struct words w = words_open(words ? words : "");
    const char *s = w.main;
    struct error none;
    bool ok = false;

    for (size_t i = 0; !ok && i < ARRAY_LEN(parts); i++)
        if (words_eat_any(&s, parts[i].words)) {
            *out = parts[i].part;
            ok = true;
        }
    if (!ok && strchr(s, '/'))
        ok = words_number(&s, out, &none) == TOOK_IT && *out > 0 && *out < 1;
    ok = ok && !*s;
    words_close(&w);
    return ok;
}
