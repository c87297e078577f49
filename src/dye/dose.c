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

bool dose_split(char *said, const char *kind, bool whole, char **name,
                char **amount, struct error *err)
{
    char *colon = strchr(said, ':');

    *name = said;
    *amount = NULL;
    if (said[0] >= '0' && said[0] <= '9' && is_amount(said))
        return error_set(err, ERR_INPUT,
                         "%s: \"%s\" is an amount; say of what: \"NAME: %s\"",
                         kind, said, said);
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
        return error_set(err, ERR_INPUT,
                         "%s: say its name before the amount: \"NAME: %s\"",
                         kind, *amount ? *amount : "AMOUNT");
    return true;
}
