/* Numbers, ranges and units as people type them. See the header. */
#include "dye/words.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"

static bool digit(char c)
{
    return c >= '0' && c <= '9';
}

/* Letters of other alphabets are bytes above 0x7F. */
static bool letter(char c)
{
    return (c >= 'a' && c <= 'z') || (unsigned char)c >= 0x80;
}

/* ---- making ready ---------------------------------------------------------
 */

static const char *const signs[][2] = {
    {"–", "-"},     {"—", "-"},     {"−", "-"},     {"‐", "-"},
    {"‑", "-"},     {"→", "->"},    {"…", "..."},   {"×", "x"},
    {"⁄", "/"},     {"∕", "/"},     {"≈", "~"},     {"’", "'"},
    {"“", "\""},    {"”", "\""},    {"°", ""},      {"º", ""},
    {"℃", "c"},     {"℉", "f"},     {"％", "%"},    {"½", " 1/2 "},
    {"¼", " 1/4 "}, {"¾", " 3/4 "}, {"⅓", " 1/3 "}, {"⅔", " 2/3 "},
    {"⅛", " 1/8 "}, {"⅜", " 3/8 "}, {"⅝", " 5/8 "}, {"⅞", " 7/8 "},
    {"⅕", " 1/5 "}, {"⅙", " 1/6 "}, {"ℓ", "l"},     {"㎖", "ml"},
};

/* No sign begins with a letter of ASCII. */
static size_t add_plain(struct text *t, const char *s)
{
    for (size_t i = 0; (unsigned char)*s >= 0x80 && i < ARRAY_LEN(signs); i++) {
        size_t n = strlen(signs[i][0]);
        if (!strncmp(s, signs[i][0], n)) {
            text_add(t, signs[i][1]);
            return n;
        }
    }
    text_add_n(t, s, 1);
    return 1;
}

/* The end of the note that opens at s, or NULL: an inch sign or a lone
 * bracket opens none. */
static const char *note_end(const char *s)
{
    char close = '\0';

    if (*s == '(')
        close = ')';
    else if (*s == '[')
        close = ']';
    else if (*s == '"')
        close = '"';
    return close ? strchr(s + 1, close) : NULL;
}

struct words words_open(const char *typed)
{
    struct words w = {.typed = typed};
    struct text plain = {0}, main = {0}, note = {0};
    char *key = text_fold(typed);

    for (const char *s = key; *s;)
        s += add_plain(&plain, s);
    for (const char *s = text_str(&plain), *end; *s;) {
        end = note_end(s);
        if (end) {
            text_add_n(&note, s + 1, (size_t)(end - s - 1));
            text_add(&note, " ");
            text_add(&main, " ");
            s = end + 1;
        } else {
            text_add_n(&main, s++, 1);
        }
    }
    w.main = text_fold(text_str(&main));
    w.note = text_fold(text_str(&note));
    text_clear(&plain);
    text_clear(&main);
    text_clear(&note);
    free(key);
    return w;
}

void words_close(struct words *w)
{
    free(w->main);
    free(w->note);
    *w = (struct words){0};
}

bool words_unknown(const struct words *w)
{
    static const char *const none[] = {
        "",          "?",          "??",        "???",         "-",
        "--",        "unknown",    "n/a",       "not known",   "not recorded",
        "forgotten", "don't know", "dont know", "not weighed", "not measured",
        "unweighed"};

    for (size_t i = 0; i < ARRAY_LEN(none); i++)
        if (!strcmp(w->main, none[i]))
            return !*w->note || *w->main;
    return false;
}

static bool has(const char *s, const char *word)
{
    size_t n = strlen(word);

    for (const char *at = s; (at = strstr(at, word)); at++)
        if ((at == s || !letter(at[-1])) && !letter(at[n]))
            return true;
    return false;
}

bool words_has(const struct words *w, const char *word)
{
    return has(w->main, word) || has(w->note, word);
}

bool words_digit(const char *s)
{
    return strpbrk(s, "0123456789") != NULL;
}

/* ---- taking ---------------------------------------------------------------
 */

static const char *skip(const char *s)
{
    while (*s == ' ')
        s++;
    return s;
}

/* How much of s the name at word takes, which ends at '|' or with the text; 0:
 * it stands not there. */
static size_t name_at(const char *s, const char *word)
{
    size_t n = 0;

    while (word[n] && word[n] != '|' && word[n] == s[n])
        n++;
    return !n || (word[n] && word[n] != '|') ||
                   (letter(word[n - 1]) && letter(s[n]))
               ? 0
               : n;
}

static const char *next_name(const char *word)
{
    const char *bar = strchr(word, '|');

    return bar ? bar + 1 : NULL;
}

bool words_eat(const char **s, const char *word)
{
    const char *p = skip(*s);
    const size_t n = strlen(word);

    if (!n || strncmp(p, word, n) != 0 || (letter(word[n - 1]) && letter(p[n])))
        return false;
    *s = p + n;
    return true;
}

bool words_eat_any(const char **s, const char *words)
{
    const char *p = skip(*s);

    for (const char *w = words; w; w = next_name(w)) {
        const size_t n = name_at(p, w);
        if (n) {
            *s = p + n;
            return true;
        }
    }
    return false;
}

void words_lead(const char **s, bool any, struct lead *lead)
{
    for (;;) {
        if (words_eat_any(s, "about|approximately|approx.|approx|roughly|"
                             "around|circa|cirka|ca.|ca|c.|noin|maybe|"
                             "perhaps|nearly|almost|estimated|est.|est|~|"
                             "some")) {
            lead->about = true;
            continue;
        }
        if (words_eat_any(s, "up to|at most|maximum|max.|max")) {
            lead->up_to = true;
            continue;
        }
        const char *p = skip(*s);
        if (!any ||
            words_eat_any(&p, "over|under|above|below|more|less|least|min.|"
                              "minimum|minus|plus|not|no|without|half|double|"
                              "twice|quarter|third|thirds|before|after|than|"
                              "per|each|every"))
            return;
        if (letter(*p)) {
            lead->words = true;
            while (letter(*p))
                p++;
        } else if (*p && strchr(",:=;", *p)) {
            p++;
        } else {
            return;
        }
        *s = p;
    }
}

bool words_about_after(const char **s)
{
    bool any = false;

    while (words_eat_any(s, "or so|-ish|ish|approximately|approx.|approx|"
                            "roughly|about|??|?"))
        any = true;
    return any;
}

bool words_slip(const char *s)
{
    static const char plain[] = "a|an|and|as|at|by|each|for|hot|i|in|is|of|off|"
                                "on|or|so|the|then|to|too|was|wet|dry|but|not";
    size_t n = 0;

    if (words_eat_any(&s, plain))
        return false;
    s = skip(s);
    while (letter(s[n]))
        n++;
    return n > 0 && n <= 3;
}

/* ---- numbers --------------------------------------------------------------
 */

static size_t digits(const char *s)
{
    size_t n = 0;

    while (digit(s[n]))
        n++;
    return n;
}

/* "1,250" is a thousand to some and one and a quarter to others. The decimal
 * offered is without its zeros, so that it cannot be read two ways itself. */
static void two_ways(const char *s, size_t before, struct error *err)
{
    const char *thousands = s + before + 1;
    int decimals = 3;

    while (decimals > 1 && thousands[decimals - 1] == '0')
        decimals--;
    error_set(err, ERR_INPUT,
              "\"%.*s\" can be read two ways: write %.*s%.3s, or %.*s.%.*s if "
              "the comma is a decimal one",
              (int)before + 4, s, (int)before, s, thousands, (int)before, s,
              decimals, thousands);
}

/* digits, or digits with a decimal comma or point; whole says which. */
static enum took plain_number(const char **s, double *out, bool *whole,
                              struct error *err)
{
    const char *p = skip(*s);
    size_t before = digits(p), after = 0;
    char copy[72], sign = p[before];

    if ((sign == '.' || sign == ',') && digit(p[before + 1]))
        after = digits(p + before + 1);
    if (!before && !(after && sign == '.'))
        return TOOK_NOTHING;
    if (before + after > 30) {
        error_set(err, ERR_INPUT, "\"%.40s\" has too many digits", p);
        return TOOK_BAD;
    }
    if (sign == ',' && after == 3 && p[0] != '0') {
        two_ways(p, before, err);
        return TOOK_BAD;
    }
    snprintf(copy, sizeof copy, "%.*s.%.*s", (int)before, p, (int)after,
             after ? p + before + 1 : "0");
    if (!text_real(copy, out))
        *out = (double)NAN;
    *whole = !after;
    *s = p + before + (after ? after + 1 : 0);
    return TOOK_IT;
}

/* "/4" behind a whole number. */
static enum took divide(const char **s, double *x, struct error *err)
{
    const char *p = *s;
    double by;
    bool whole;
    enum took took;

    if (!words_eat(&p, "/") || !digit(*skip(p)))
        return TOOK_NOTHING;
    took = plain_number(&p, &by, &whole, err);
    if (took != TOOK_IT)
        return took;
    if (!whole || by == 0) {
        error_set(err, ERR_INPUT,
                  "a fraction needs a whole number below the "
                  "line, above 0");
        return TOOK_BAD;
    }
    *x /= by;
    *s = p;
    return TOOK_IT;
}

/* " 3/4" or "-3/4" behind a whole number: less than one, so that "1-3/4" is
 * no range. */
static enum took mixed(const char **s, double *x, struct error *err)
{
    const char *p = *s;
    double part;
    bool whole;
    enum took took;

    p += *p == '-' || *p == ' ';
    if (!digit(*p))
        return TOOK_NOTHING;
    took = plain_number(&p, &part, &whole, err);
    if (took != TOOK_IT || !whole)
        return took == TOOK_BAD ? took : TOOK_NOTHING;
    took = divide(&p, &part, err);
    if (took != TOOK_IT || part >= 1)
        return took == TOOK_BAD ? took : TOOK_NOTHING;
    *x += part;
    *s = p;
    return TOOK_IT;
}

enum took words_number(const char **s, double *out, struct error *err)
{
    const char *p = *s, *start = skip(p);
    bool whole;
    double x;
    enum took took;

    if (*start == '-' && (digit(start[1]) || start[1] == '.')) {
        error_set(err, ERR_INPUT, "\"%.40s\" must not be below 0", start);
        return TOOK_BAD;
    }
    took = plain_number(&p, &x, &whole, err);
    if (took == TOOK_IT && whole) {
        took = divide(&p, &x, err);
        if (took == TOOK_NOTHING)
            took = mixed(&p, &x, err);
        if (took == TOOK_NOTHING)
            took = TOOK_IT;
    }
    if (took == TOOK_IT && digit(*skip(p))) {
        error_set(err, ERR_INPUT, "\"%.40s\": two numbers side by side", start);
        return TOOK_BAD;
    }
    if (took == TOOK_IT) {
        *out = x;
        *s = p;
    }
    return took;
}

/* ---- units and ranges -----------------------------------------------------
 */

static const struct unit *longest(const char **s, const struct units *units)
{
    const struct unit *best = NULL;
    const char *p = skip(*s);
    size_t most = 0;

    for (size_t i = 0; i < units->count; i++)
        for (const char *w = units->unit[i].names; w; w = next_name(w)) {
            const size_t n = name_at(p, w);
            if (n > most) {
                best = &units->unit[i];
                most = n;
            }
        }
    if (best)
        *s = p + most;
    return best;
}

const struct unit *words_unit(const char **s, const struct units *units)
{
    const char *p = *s;
    const struct unit *unit = longest(&p, units);

    while (!unit && units->lead && words_eat_any(&p, units->lead))
        unit = longest(&p, units);
    if (!unit)
        return NULL;
    *s = p;
    return unit;
}

static bool eat_range_sign(const char **s, bool *moved)
{
    const char *p = *s;

    *moved = words_eat(&p, "->");
    if (!*moved && !words_eat_any(&p, "...|..|-|to"))
        return false;
    if (!digit(*skip(p)) && !(*skip(p) == '.' && digit(skip(p)[1])))
        return false;
    *s = p;
    return true;
}

enum took words_term(const char **s, const struct units *units,
                     struct term *out, struct error *err)
{
    const char *p = *s;
    struct term t = {0};
    enum took took = words_number(&p, &t.low, err);

    if (took != TOOK_IT)
        return took;
    t.high = t.low;
    t.low_unit = t.high_unit = words_unit(&p, units);
    if (eat_range_sign(&p, &t.moved)) {
        t.range = true;
        took = words_number(&p, &t.high, err);
        if (took != TOOK_IT)
            return took;
        t.high_unit = words_unit(&p, units);
        if (!t.high_unit)
            t.high_unit = t.low_unit;
        if (!t.low_unit)
            t.low_unit = t.high_unit;
    }
    *out = t;
    *s = p;
    return TOOK_IT;
}

/* ---- writing --------------------------------------------------------------
 */

void words_add_real(struct text *t, double x)
{
    text_add_real(t, x, fabs(x) >= 10 ? 1 : fabs(x) >= 1 ? 2 : 3);
}

void words_add_range(struct text *t, double low, double high)
{
    words_add_real(t, low);
    if (high <= low)
        return;
    text_add(t, " to ");
    words_add_real(t, high);
}

void words_hand(struct text *t, char *out, size_t size)
{
    if (size)
        snprintf(out, size, "%s", text_str(t));
    text_clear(t);
}
