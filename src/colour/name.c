/* Finding colour names: the nearest to a colour, and those a dyer's word
 * means. The table is in name_table.c. */
#include "colour/name.h"

#include <math.h>
#include <string.h>

#include "base/mem.h"
#include "colour/beyond.h"

/* How far the middle is that is nearest as the crow flies. */
static double crow(struct lab c)
{
    const struct lab *nearest = &colour_names[0].centroid;
    double least = (double)INFINITY;

    for (size_t i = 0; i < COLOUR_NAMES; i++) {
        const struct lab *to = &colour_names[i].centroid;
        const double L = to->L - c.L, a = to->a - c.a, b = to->b - c.b;

        if (L * L < least && L * L + a * a + b * b < least) {
            least = L * L + a * a + b * b;
            nearest = to;
        }
    }
    return lab_de00(c, *nearest);
}

/* Only what lies around it may be nearer; of those equally near the first. */
const struct colour_name *colour_name_nearest(struct lab c)
{
    const struct colour_name *nearest = NULL;
    double least = crow(c), half_L = (double)INFINITY, half_ab = half_L;

    if (least < LAB_REACH)
        lab_reach(c, least, &half_L, &half_ab);
    for (size_t i = 0; i < COLOUR_NAMES; i++) {
        const struct lab *to = &colour_names[i].centroid;
        double de;

        if (fabs(to->L - c.L) > half_L || fabs(to->a - c.a) > half_ab ||
            fabs(to->b - c.b) > half_ab || lab_is_beyond(c, *to, least))
            continue;
        de = lab_de00(c, *to);
        if (de < least || (de == least && !nearest)) {
            least = de;
            nearest = &colour_names[i];
        }
    }
    return nearest;
}

/* ---- words ---------------------------------------------------------------*/

/* The longest name has four words ("dark greyish reddish purple"), the
 * longest word nine letters; what is longer is no colour name. */
#define WORDS 6
#define LETTERS 16

struct phrase {
    char word[WORDS][LETTERS];
    size_t n;
};

/* Spoken and American forms. Common practice, no source. */
static const char *usual_form(const char *word)
{
    static const char *const forms[][2] = {
        {"gray", "grey"},         {"grayish", "greyish"},
        {"blueish", "bluish"},    {"bluey", "bluish"},
        {"purpley", "purplish"},  {"purply", "purplish"},
        {"yellowy", "yellowish"}, {"greeny", "greenish"},
        {"browny", "brownish"},   {"pinky", "pinkish"},
        {"color", "colour"},      {"colored", "colour"},
        {"coloured", "colour"},
    };

    for (size_t i = 0; i < ARRAY_LEN(forms); i++)
        if (!strcmp(word, forms[i][0]))
            return forms[i][1];
    return word;
}

/* Bytes above ASCII count as letters; no name has one, so none matches. */
static bool is_letter(unsigned char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') ||
           (c >= '0' && c <= '9') || c >= 0x80;
}

/* Whether word stands in text as a whole word. */
static bool has_word(const char *text, const char *word)
{
    const size_t n = strlen(word);

    for (const char *p = text; (p = strstr(p, word)); p += n)
        if ((p == text || p[-1] == ' ') && (p[n] == ' ' || !p[n]))
            return true;
    return false;
}

static bool is_known(const char *word)
{
    for (size_t i = 0; i < COLOUR_NAMES; i++)
        if (has_word(colour_names[i].name, word) ||
            has_word(colour_names[i].family, word) ||
            has_word(colour_names[i].group, word))
            return true;
    return false;
}

/* Puts word in its usual form, singular; no usual form is too long. */
static void settle(char word[LETTERS])
{
    const size_t n = strlen(word);
    char single[LETTERS];
    const char *form;

    memcpy(single, word, n + 1);
    if (n > 1 && single[n - 1] == 's')
        single[n - 1] = '\0';
    form = usual_form(single);
    if (!is_known(form))
        form = usual_form(word);
    if (form != word)
        memcpy(word, form, strlen(form) + 1);
}

/* False when there are no words, or too many or too long ones. */
static bool split(const char *s, struct phrase *out)
{
    out->n = 0;
    while (*s) {
        size_t n = 0;

        if (!is_letter((unsigned char)*s)) {
            s++;
            continue;
        }
        if (out->n == WORDS)
            return false;
        for (; is_letter((unsigned char)*s); s++) {
            if (n + 2 > LETTERS)
                return false;
            out->word[out->n][n++] =
                (char)(*s >= 'A' && *s <= 'Z' ? *s + ('a' - 'A') : *s);
        }
        out->word[out->n][n] = '\0';
        settle(out->word[out->n++]);
    }
    if (out->n > 1 && !strcmp(out->word[out->n - 1], "colour"))
        out->n--;
    return out->n > 0;
}

/* Words from..to (excluded) with single blanks. */
static void join(const struct phrase *p, size_t from, size_t to,
                 char out[WORDS * LETTERS])
{
    size_t len = 0;

    for (size_t i = from; i < to; i++) {
        const size_t n = strlen(p->word[i]);

        if (i > from)
            out[len++] = ' ';
        memcpy(out + len, p->word[i], n);
        len += n;
    }
    out[len] = '\0';
}

static bool is_modifier(const char *word)
{
    for (size_t i = 0; i < COLOUR_NAMES; i++)
        if (has_word(colour_names[i].modifier, word))
            return true;
    return false;
}

/* Whether the hue is white, grey or black with a tinge of something, and hue
 * names that without the tinge. */
static bool is_tinged(const struct colour_name *c, const char *hue)
{
    const char *last = strrchr(c->hue, ' ');

    return last && !strcmp(last + 1, hue) &&
           (!strcmp(hue, "white") || !strcmp(hue, "grey") ||
            !strcmp(hue, "black"));
}

static bool is_hue(const struct colour_name *c, const char *hue)
{
    return !strcmp(c->hue, hue) || is_tinged(c, hue);
}

static bool is_in(const struct colour_name *c, const char *hue)
{
    return is_hue(c, hue) || !strcmp(c->group, hue) || !strcmp(c->family, hue);
}

/* Whether each of words 0..n stands in the modifier. */
static bool has_all(const struct colour_name *c, const struct phrase *p,
                    size_t n)
{
    for (size_t i = 0; i < n; i++)
        if (!has_word(c->modifier, p->word[i]))
            return false;
    return true;
}

/* A hue name of two words that starts with word. */
static bool starts_with(const struct colour_name *c, const char *word)
{
    const size_t n = strlen(word);

    return !strncmp(c->hue, word, n) && c->hue[n] == ' ';
}

/* How a phrase may be meant, the surest first. */
enum sense { EXACT, WHOLE_HUE, LOOSE, SENSES };

static bool means(const struct colour_name *c, const struct phrase *p,
                  size_t modifiers, enum sense sense)
{
    char modifier[WORDS * LETTERS], hue[WORDS * LETTERS];

    join(p, 0, modifiers, modifier);
    join(p, modifiers, p->n, hue);
    switch (sense) {
    case EXACT: /* a name, or all of a hue */
        return modifiers ? is_hue(c, hue) && !strcmp(c->modifier, modifier)
                         : is_in(c, hue);
    case WHOLE_HUE: /* a modifier that the hue itself does not come with */
        return modifiers && is_in(c, hue) && has_all(c, p, modifiers);
    case LOOSE: /* half a name */
        return modifiers == p->n ? has_all(c, p, modifiers)
                                 : p->n == 1 && starts_with(c, hue);
    case SENSES:
        break;
    }
    return false;
}

bool colour_name_match(const char *words, bool in[COLOUR_NAMES], size_t *count)
{
    struct phrase p;
    size_t n = 0, modifiers = 0;

    memset(in, 0, COLOUR_NAMES * sizeof *in);
    if (split(words, &p)) {
        while (modifiers < p.n && is_modifier(p.word[modifiers]))
            modifiers++;
        for (enum sense s = EXACT; s < SENSES && n == 0; s++)
            for (size_t i = 0; i < COLOUR_NAMES; i++) {
                in[i] = means(&colour_names[i], &p, modifiers, s);
                n += in[i];
            }
    }
    if (count)
        *count = n;
    return n > 0;
}
