/* Columns of a list matched with what the book knows. See book/ledger.h. */
#include "book/ledger.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "base/parts.h"
#include "book/ledger_work.h"

#define WEIGHTS "g|kg|oz|lb"
#define DOSES "%|g|kg|oz|lb|ml|l"
#define DAYS "d/m|m/d"

/* Other headings are common English ones: common practice, no source. */
const struct ledger_field ledger_fields[LEDGER_IDS] = {
    [LEDGER_NAME] = {"name", "Name of the skein",
                     "skein|skein name|sample|sample name|hank|swatch", ""},
    [LEDGER_NUMBER] = {"number", "Its number for good",
                       "skein number|skein no|no|nr|#", ""},
    [LEDGER_CODE] = {"code", "Code on its tag",
                     "tag|label|id|ref|sample code|tag code", ""},
    [LEDGER_DYER] = {"dyer", "Whose it is", "dyed by|who|maker", ""},
    [LEDGER_FIBRE] = {"fibre", "Yarn", "fiber|yarn|wool|base|yarn base", ""},
    [LEDGER_WEIGHT] = {"weight", "Dry weight",
                       "wt|dry weight|fibre weight|fiber weight|skein weight|"
                       "yarn weight|wof|grams|ounces|grams dry|dry grams",
                       WEIGHTS},
    [LEDGER_WEIGHED] = {"weighed", "How it was weighed", "", ""},
    [LEDGER_LENGTH] = {"length", "Length", "yardage|metres|meters|yards",
                       "m|yd"},
    [LEDGER_MORDANT] = {"mordant", "Mordant",
                        "mordants|mordanting|premordant|pre mordant", ""},
    [LEDGER_MORDANT_AMOUNT] = {"mordant-amount", "How much mordant",
                               "mordant amount|mordant weight|amount of "
                               "mordant|mordant wof|mordant",
                               DOSES},
    [LEDGER_ASSIST] = {"assist", "Assist", "assistant|mordant assist", ""},
    [LEDGER_ASSIST_AMOUNT] = {"assist-amount", "How much assist",
                              "assist amount|assist weight|assist", DOSES},
    [LEDGER_DYESTUFF] = {"dyestuff", "Dyestuff",
                         "dye|dyestuffs|plant|dye plant|dyeplant|mushroom|"
                         "lichen|dye material|dye source",
                         ""},
    [LEDGER_DYESTUFF_AMOUNT] = {"dyestuff-amount", "How much dyestuff",
                                "dyestuff amount|dyestuff weight|dye amount|"
                                "dye weight|plant weight|amount of dyestuff|"
                                "amount of dye|dye wof|ratio|dyestuff|dye",
                                DOSES},
    [LEDGER_ACID] = {"acid", "Acid in the bath", "", ""},
    [LEDGER_ACID_AMOUNT] = {"acid-amount", "How much acid", "acid amount|acid",
                            DOSES},
    [LEDGER_ALKALI] = {"alkali", "Alkali in the bath", "", ""},
    [LEDGER_ALKALI_AMOUNT] = {"alkali-amount", "How much alkali",
                              "alkali amount|alkali", DOSES},
    [LEDGER_DIP] = {"dip", "Dip after dyeing",
                    "modifier|after bath|afterbath|after dip|modified with",
                    ""},
    [LEDGER_DIP_AMOUNT] = {"dip-amount", "How much of the dip",
                           "dip amount|modifier amount|modifier weight|dip|"
                           "modifier",
                           DOSES},
    [LEDGER_POT] = {"pot", "Pot: rows of one pot share it",
                    "bath|dyebath|dye bath|dye pot|dyepot|kettle|pot name", ""},
    [LEDGER_ROUND] = {"round", "Round of the pot", "exhaust", ""},
    [LEDGER_DATE] = {"date", "Day", "day|dyed|dyed on|dye date|date dyed|when",
                     DAYS},
    [LEDGER_PH] = {"ph", "pH", "bath ph|ph of bath", ""},
    [LEDGER_TEMPERATURE] = {"temperature", "Heat", "temp|heat|max temp", "C|F"},
    [LEDGER_MINUTES] = {"minutes", "Time at that heat",
                        "time|duration|simmered|simmer time|time at heat",
                        "min|h"},
    [LEDGER_VESSEL] = {"vessel", "Vessel", "", ""},
    [LEDGER_COLOUR] = {"colour", "Colour in words",
                       "color|result|hue|shade|colour obtained|color obtained",
                       ""},
    [LEDGER_LAB] = {"lab", "L*, a*, b* in one",
                    "l*a*b*|l a b|l* a* b*|cielab|cie lab", ""},
    [LEDGER_L] = {"L", "L*", "l|l*|cie l|lightness|colour l|color l", ""},
    [LEDGER_A] = {"a", "a*", "a*|cie a|colour a|color a", ""},
    [LEDGER_B] = {"b", "b*", "b*|cie b|colour b|color b", ""},
    [LEDGER_SOURCE] = {"source", "Colour read by", "", ""},
    [LEDGER_ILLUMINANT] = {"illuminant", "Illuminant", "", ""},
    [LEDGER_OBSERVER] = {"observer", "Observer", "", ""},
    [LEDGER_GEOMETRY] = {"geometry", "Geometry", "", ""},
    [LEDGER_INSTRUMENT] = {"instrument", "Instrument", "", ""},
    [LEDGER_PLACE] = {"place", "Where it is", "where|stored|location|box", ""},
    [LEDGER_NOTE] = {"note", "Note (more columns can be)",
                     "notes|comment|comments|remark|remarks|description", ""},
};

/* Whether word is one of "a|b|c". */
static bool is_among(const char *word, const char *list)
{
    size_t n = strlen(word);

    for (const char *s = list; n && *s; s += strcspn(s, "|"), s += *s == '|')
        if (strcspn(s, "|") == n && !strncmp(s, word, n))
            return true;
    return false;
}

/* The unit of a field that a word stands for, "" for none. */
static const char *unit_of(enum ledger_id id, const char *word)
{
    static const struct {
        const char *said, *unit;
    } other[] = {
        {"% wof", "%"},
        {"%wof", "%"},
        {"percent", "%"},
        {"wof %", "%"},
        {"grams", "g"},
        {"gram", "g"},
        {"gr", "g"},
        {"ounces", "oz"},
        {"ounce", "oz"},
        {"lbs", "lb"},
        {"pounds", "lb"},
        {"metres", "m"},
        {"meters", "m"},
        {"yards", "yd"},
        {"yds", "yd"},
        {"\xC2\xB0"
         "c",
         "C"},
        {"\xC2\xB0"
         "f",
         "F"},
        {"c", "C"},
        {"f", "F"},
        {"mins", "min"},
        {"minutes", "min"},
        {"hours", "h"},
        {"hrs", "h"},
        {"dd/mm/yyyy", "d/m"},
        {"dd/mm/yy", "d/m"},
        {"mm/dd/yyyy", "m/d"},
        {"mm/dd/yy", "m/d"},
        {"d/m/y", "d/m"},
        {"m/d/y", "m/d"},
    };

    for (size_t i = 0; i < ARRAY_LEN(other); i++)
        if (!strcmp(word, other[i].said) &&
            is_among(other[i].unit, ledger_fields[id].units))
            return other[i].unit;
    return is_among(word, ledger_fields[id].units) ? word : "";
}

/* A heading that is its own unit: "Ounces". */
static bool names_field(enum ledger_id id, const char *heading)
{
    return !strcmp(heading, ledger_fields[id].name) ||
           is_among(heading, ledger_fields[id].also);
}

/* A heading folded, with blanks for what joins words. */
static char *plain(const char *heading)
{
    char *copy = mem_text(heading), *key;

    for (char *p = copy; *p; p++)
        if (strchr("_-.:;?!", *p))
            *p = ' ';
    key = text_fold(copy);
    free(copy);
    return key;
}

/* Cuts "(oz)", "[oz]", "in oz", ", oz" or "oz" off the end; NULL: none. */
static char *cut_unit(char *key)
{
    size_t n = strlen(key);
    char *at, *unit;

    if (n && (key[n - 1] == ')' || key[n - 1] == ']')) {
        at = strrchr(key, key[n - 1] == ')' ? '(' : '[');
        key[n - 1] = '\0';
    } else {
        at = strpbrk(key, " ,") ? key + n : NULL;
        while (at && at > key && at[-1] != ' ' && at[-1] != ',')
            at--;
        if (at)
            at--;
    }
    if (!at)
        return NULL;
    unit = mem_text(at + 1);
    for (*at = '\0'; at > key && (at[-1] == ' ' || at[-1] == ',');)
        *--at = '\0';
    if (at - key > 3 && !strcmp(at - 3, " in"))
        at[-3] = '\0';
    return unit;
}

static void match(struct ledger *l, size_t column, enum ledger_id id,
                  const char *unit)
{
    struct ledger_column *c = &l->column[column];

    c->is = (int)id;
    snprintf(c->unit, sizeof c->unit, "%s", unit);
}

static bool is_taken(const struct ledger *l, int id)
{
    for (size_t i = 0; id != LEDGER_NOTE && i < l->columns; i++)
        if (l->column[i].is == id)
            return true;
    return false;
}

/* The first free field of that heading whose units know this one; a name of a
 * field with a unit behind it is its amount ("Mordant %"). */
static void guess_column(struct ledger *l, size_t column)
{
    char *key = plain(l->column[column].heading);
    char *base = mem_text(key), *unit = cut_unit(base);

    for (size_t i = 0; l->column[column].is < 0 && i < LEDGER_IDS; i++) {
        enum ledger_id id = (enum ledger_id)i;
        /* "Alum" alone is a name, with its unit an amount. */
        bool bare =
            strstr(ledger_fields[i].name, "-amount") && !strpbrk(key, " ");
        if (is_taken(l, (int)i))
            continue;
        if (names_field(id, key) && !bare)
            match(l, column, id, unit_of(id, key));
        else if (unit && *unit_of(id, unit) && names_field(id, base))
            match(l, column, id, unit_of(id, unit));
    }
    free(key);
    free(base);
    free(unit);
}

void ledger_guess(struct ledger *l)
{
    for (size_t i = 0; i < l->columns; i++) {
        guess_column(l, i);
        l->column[i].says_note = l->column[i].is == LEDGER_NOTE;
    }
    /* An A and a B alone are no colour. */
    if (!is_taken(l, LEDGER_L) || !is_taken(l, LEDGER_A) ||
        !is_taken(l, LEDGER_B))
        for (size_t i = 0; i < l->columns; i++)
            if (l->column[i].is >= LEDGER_L && l->column[i].is <= LEDGER_B)
                l->column[i].is = -1;
}

static bool find_field(const char *name, int *id, struct error *err)
{
    for (int exact = 1; exact >= 0; exact--)
        for (size_t i = 0; i < LEDGER_IDS; i++)
            if (exact ? !strcmp(ledger_fields[i].name, name)
                      : text_same(ledger_fields[i].name, name)) {
                *id = (int)i;
                return true;
            }
    return error_set(err, ERR_INPUT,
                     "there is no \"%.40s\"; \"hanklab help import\" lists "
                     "what there is",
                     name);
}

bool ledger_match_column(struct ledger *l, size_t column, const char *field,
                         const char *unit, struct error *err)
{
    char *key = text_fold(unit);
    const char *known;
    int id = -1;
    bool ok = !*field || find_field(field, &id, err);

    if (ok && id < 0) {
        l->column[column].is = -1;
        l->column[column].unit[0] = '\0';
    } else if (ok) {
        known = unit_of((enum ledger_id)id, key);
        if (!*known && !strcmp(unit, "C"))
            known = unit_of((enum ledger_id)id, "c");
        if (*key && !*known)
            ok = error_set(err, ERR_INPUT, "%s: \"%s\" is no unit of it%s%s",
                           field, unit,
                           *ledger_fields[id].units ? "; say one of " : "",
                           ledger_fields[id].units);
        /* What was guessed gives way to what is said. */
        for (size_t i = 0; ok && id != LEDGER_NOTE && i < l->columns; i++)
            if (i != column && l->column[i].is == id)
                l->column[i].is = -1;
        if (ok)
            match(l, column, (enum ledger_id)id, known);
    }
    free(key);
    return ok;
}

static bool find_column(const struct ledger *l, const char *name, size_t *out,
                        struct error *err)
{
    long long n;
    size_t hits = 0;

    for (size_t i = 0; i < l->columns; i++)
        if (text_same(l->column[i].heading, name) && !hits++)
            *out = i;
    if (!hits && text_whole(name, &n) && n >= 1 && n <= (long long)l->columns) {
        *out = (size_t)n - 1;
        return true;
    }
    if (hits > 1)
        return error_set(err, ERR_INPUT,
                         "%zu columns are headed \"%s\": say which by its "
                         "place, 1 for the first column",
                         hits, name);
    if (hits)
        return true;
    struct text all = {0};
    for (size_t i = 0; i < l->columns && all.len < 160; i++)
        text_addf(&all, "%s%s", i ? ", " : "", l->column[i].heading);
    error_set(err, ERR_INPUT, "no column is headed \"%.60s\"; there are %s",
              name, text_str(&all));
    text_clear(&all);
    return false;
}

/* At the last "=", so that a heading may have one. */
bool ledger_match(struct ledger *l, const char *words, struct error *err)
{
    char *copy = mem_text(words), *equal = strrchr(copy, '='), *unit;
    size_t column = 0;
    bool ok;

    if (!equal) {
        free(copy);
        return error_set(err, ERR_INPUT,
                         "\"%.80s\": say a column and what it is, such as "
                         "\"Wt=weight\" or \"Wt=weight oz\"; \"Wt=\" leaves it "
                         "out",
                         words);
    }
    *equal++ = '\0';
    equal = parts_trim(equal);
    unit = equal + strcspn(equal, " ");
    if (*unit)
        *unit++ = '\0';
    ok = find_column(l, parts_trim(copy), &column, err) &&
         ledger_match_column(l, column, equal, parts_trim(unit), err);
    free(copy);
    return ok;
}

bool ledger_for_all(struct ledger *l, const char *words, struct error *err)
{
    char *copy = mem_text(words), *equal = strchr(copy, '=');
    int id = -1;
    bool ok;

    if (!equal) {
        free(copy);
        return error_set(err, ERR_INPUT,
                         "\"%.80s\": say what, and what it is in every row, "
                         "such as \"source=eye\" or \"dyer=Aino\"",
                         words);
    }
    *equal++ = '\0';
    ok = find_field(parts_trim(copy), &id, err);
    if (ok && (id == LEDGER_NUMBER || id == LEDGER_NOTE))
        ok = error_set(err, ERR_INPUT, "%s: each skein has its own",
                       ledger_fields[id].name);
    if (ok) {
        free(l->all[id]);
        l->all[id] = parts_said(equal) ? mem_text(parts_trim(equal)) : NULL;
    }
    free(copy);
    return ok;
}
