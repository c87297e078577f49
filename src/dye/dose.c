/* What goes into a pot, taken apart. See dye/dose.h. */
#include "dye/dose.h"

#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "base/parts.h"
#include "base/text.h"
#include "dye/amount.h"
#include "dye/substance.h"
#include "dye/words.h"

/* Whether words are an amount with a unit of its own. */
static bool is_amount(const char *words)
{
    struct amount_context ctx = {AMOUNT_COUNT, false};
    struct amount a;
    struct error none;

    return amount_read(words, ctx, &a, &none) && a.unit != AMOUNT_NONE &&
           a.unit != AMOUNT_WORDS && a.unit != AMOUNT_COUNT &&
           a.unit != AMOUNT_M;
}

/* "alum 12 %" without its colon: the amount begins at a number. NULL when
 * that makes no amount. */
static char *amount_behind(char *name)
{
    for (char *p = name; *p; p++)
        if (p > name && p[-1] == ' ' && strchr("0123456789", *p) &&
            is_amount(p)) {
            p[-1] = '\0';
            return p;
        }
    return NULL;
}

/* "alum 12": the number behind a name, NULL: none. A year is one of the name.
 */
static const char *bare_number(const char *name)
{
    const char *last = strrchr(name, ' ');
    size_t n = last ? strspn(last + 1, "0123456789.,/-") : 0;

    return n && n < 4 && !last[1 + n] && strpbrk(last, "0123456789") &&
                   !strchr("0123456789:", last[-1])
               ? last + 1
               : NULL;
}

bool dose_nameless(const char *words, const char *kind, struct error *err)
{
    return error_set(err, ERR_INPUT,
                     "%s: \"%.80s\" does not begin with a name, as in \"%s\"",
                     kind, words,
                     strcmp(kind, "dyestuff") ? "alum: 12 %" : "madder: 60 %");
}

size_t dose_measured(const char *name)
{
    static const char counts[] =
        "a|an|some|half|few|one|two|three|four|five|six|several|handful|"
        "handfuls|bit|bits|lots|plenty";
    const char *of = strstr(name, " of ");
    char *left = mem_text_n(name, of ? (size_t)(of - name) : 0);
    char *key = text_fold(left);
    const char *s = key;
    bool is = *left && (is_amount(left) || words_eat_any(&s, counts));

    free(left);
    free(key);
    return is ? (size_t)(of - name) : 0;
}

/* "a pinch of alum": the name, when it is known. */
static char *name_behind(char *said, dose_known *known, void *self)
{
    const size_t n = dose_measured(said);
    char *name = n ? parts_trim(said + n + strlen(" of ")) : NULL;

    if (!name || !(substance_kind(name) || (known && known(self, name))))
        return NULL;
    said[n] = '\0';
    return name;
}

bool dose_split(char *said, const char *kind, dose_known *known, void *self,
                char **name, char **amount, struct error *err)
{
    char *colon = strchr(said, ':');
    const bool whole = !colon && known && known(self, said);

    *name = said;
    *amount = NULL;
    if (!colon && !whole && (*name = name_behind(said, known, self))) {
        *amount = parts_trim(said);
        return true;
    }
    *name = said;
    if (said[0] >= '0' && said[0] <= '9' && is_amount(said))
        return dose_nameless(said, kind, err);
    if (colon) {
        *colon = '\0';
        *amount = parts_trim(colon + 1);
    } else if (!whole) {
        const char *number = bare_number(parts_trim(said));
        if (number)
            return error_set(err, ERR_INPUT,
                             "%s \"%s\": %s of what? say \"%.*s: %s %%\" or "
                             "\"%.*s: %s g\"; if it is called so, \"%s:\"",
                             kind, said, number, (int)(number - 1 - said), said,
                             number, (int)(number - 1 - said), said, number,
                             said);
        *amount = amount_behind(said);
    }
    *name = parts_trim(said);
    if (*amount && !**amount)
        *amount = NULL;
    if (!**name)
        return dose_nameless(*amount ? *amount : "", kind, err);
    return true;
}

/* ---- several in one ---------------------------------------------------------
 */

/* The bytes of what could end a dose at p, which lies in s; 0: nothing. What a
 * number follows belongs to the amount: "0,5 g", "50 g + 30 g". */
static size_t sign_at(const char *s, const char *p)
{
    size_t n = strchr(",+&", *p)                                 ? 1
               : p > s && p[-1] == ' ' && !strncmp(p, "and ", 4) ? 3
                                                                 : 0;
    const char *behind = p + n + strspn(p + n, " ");

    return n && *behind && !strchr("0123456789.-;", *behind) ? n : 0;
}

/* The next such place from `from` on; the end of the words if there is none. */
static size_t sign_from(const char *words, size_t from)
{
    int depth = 0;
    size_t i = from;

    for (; words[i] && words[i] != ';'; i++) {
        depth += words[i] == '(' ? 1 : words[i] == ')' ? -1 : 0;
        if (depth <= 0 && sign_at(words, words + i))
            break;
    }
    return i;
}

/* The amount of "NAME: AMOUNT" or "NAME AMOUNT", NULL: none. Cuts dose. */
static char *amount_of(char *dose)
{
    char *colon = strchr(dose, ':');

    if (!colon)
        return amount_behind(dose);
    return colon > dose && parts_said(colon + 1) ? colon + 1 : NULL;
}

/* Whether words go on telling of an amount: "fresh", "by eye", "about". */
static bool tells_more(const char *words)
{
    static const char state[] =
        "fresh|dry|dried|frozen|wet|damp|air|chopped|crushed|ground|grated|"
        "powdered|soaked|broken|whole|level|heaped|finely|roughly|coarsely";
    static const char plain[] =
        "a|an|the|some|more|less|about|approx|maybe|perhaps|probably|guessed|"
        "weighed|unweighed|measured|not|no|nothing|half|by|of|in|for|from|"
        "with|without|per|as|at|or|than|to|on|until|before|after|over|under|"
        "each|every|all|very|too|so|this|that|it|its|was|were|which|only";
    char *key = text_fold(words);
    const char *s = key;
    bool any = false, yes;

    while (words_eat_any(&s, state))
        any = true;
    yes = words_eat_any(&s, plain) || (any && !parts_said(s));
    free(key);
    return yes;
}

/* Whether "2:1, yarn:dye" says the sides of its ratio behind the comma. */
static bool names_sides(const char *amount, const char *with_more)
{
    struct amount_context ctx = {AMOUNT_G, false};
    struct amount a, both;
    struct error none;

    return amount_read(amount, ctx, &a, &none) && !a.sides_stated &&
           amount_read(with_more, ctx, &both, &none) && both.sides_stated;
}

static enum dose_more more_at(const char *words, const struct dose_tail *t,
                              dose_known *known, void *self)
{
    char *left = mem_text_n(words, t->end);
    char *other = mem_text_n(words + t->next, t->next_end - t->next);
    char *amount = amount_of(left), *name = text_trim(other);
    enum dose_more more = DOSE_ALONE;

    if (amount) {
        char *both = mem_text_n(words + (amount - left),
                                t->next_end - (size_t)(amount - left));
        if (tells_more(name) || names_sides(amount, both))
            more = DOSE_ALONE;
        else if (substance_kind(name) || (known && known(self, name)) ||
                 amount_of(other))
            more = DOSE_MORE;
        else if (words_digit(amount) || is_amount(amount))
            more = DOSE_UNCLEAR;
        free(both);
    }
    free(left);
    free(other);
    free(name);
    return more;
}

struct dose_tail dose_tail(const char *words, dose_known *known, void *self)
{
    struct dose_tail t = {.end = sign_from(words, 0)};

    while (words[t.end] && words[t.end] != ';') {
        t.next = t.end + sign_at(words, words + t.end);
        t.next_end = sign_from(words, t.next);
        t.more = more_at(words, &t, known, self);
        if (t.more != DOSE_ALONE)
            break;
        t.end = t.next_end;
    }
    return t;
}
