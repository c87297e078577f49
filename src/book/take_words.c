/* What a file that came holds, in words. See book/exchange.h. */
#include <string.h>

#include "base/mem.h"
#include "book/exchange.h"

/* "3 skeins (Aino/1, Aino/2, Aino/3), 1 bath". */
static void add_fresh(const struct exchange_taken *taken, struct text *out)
{
    const char *comma = "";

    for (size_t i = 0; i < NOUN_COUNT; i++) {
        const struct noun *noun = &nouns[i];
        const size_t n = taken->fresh[i];
        if (!n)
            continue;
        text_addf(out, "%s%zu %s", comma, n,
                  n == 1 ? noun->name : noun->plural);
        if (i == NOUN_SKEIN && taken->skeins)
            text_addf(out, " (%s)", taken->skeins);
        comma = ", ";
    }
}

static void add_line(size_t n, const char *one, const char *more,
                     struct text *out)
{
    if (n)
        text_addf(out, "%zu record%s %s.\n", n, n == 1 ? "" : "s",
                  n == 1 ? one : more);
}

void exchange_taken_words(const struct exchange_taken *taken, struct text *out)
{
    const char *of = taken->act ? "Taken in" : "Comes in";

    text_addf(out, "%s from %s", of, taken->from);
    if (taken->made_on[0])
        text_addf(out, ", %s", taken->made_on);
    text_add(out, ": ");
    if (exchange_news(taken) == taken->count[EXCHANGE_CHANGED])
        text_add(out, "no new records");
    else
        add_fresh(taken, out);
    text_add(out, ".\n");
    add_line(taken->same, "is here already", "are here already", out);
    add_line(taken->older, "is newer here", "are newer here", out);
}

const char *exchange_what_words(enum exchange_what what)
{
    switch (what) {
    case EXCHANGE_CHANGED:
        return "Changed there since, and taken over";
    case EXCHANGE_CONFLICT:
        return "Changed here and there: it stays as it is here";
    case EXCHANGE_YOURS:
        return "Different there: yours stays as it is";
    case EXCHANGE_ADDS:
        return "Would add to what is yours, and is left out";
    case EXCHANGE_RENAMED:
        return "Taken here already, so it comes under another";
    case EXCHANGE_WHATS:
        break;
    }
    return "";
}
