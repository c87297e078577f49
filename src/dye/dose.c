/* What goes into a pot, taken apart. See dye/dose.h. */
#include "dye/dose.h"

#include <string.h>

#include "base/parts.h"
#include "dye/amount.h"

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

bool dose_nameless(const char *words, const char *kind, struct error *err)
{
    return error_set(err, ERR_INPUT,
                     "%s: \"%.80s\" does not begin with a name, as in \"%s\"",
                     kind, words,
                     strcmp(kind, "dyestuff") ? "alum: 12 %" : "madder: 60 %");
}

bool dose_split(char *said, const char *kind, bool whole, char **name,
                char **amount, struct error *err)
{
    char *colon = strchr(said, ':');

    *name = said;
    *amount = NULL;
    if (said[0] >= '0' && said[0] <= '9' && is_amount(said))
        return dose_nameless(said, kind, err);
    if (colon) {
        *colon = '\0';
        *amount = parts_trim(colon + 1);
    } else if (!whole) {
        *amount = amount_behind(said);
    }
    *name = parts_trim(said);
    if (*amount && !**amount)
        *amount = NULL;
    if (!**name)
        return dose_nameless(*amount ? *amount : "", kind, err);
    return true;
}
