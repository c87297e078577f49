/* Whole words in a name. See phrase.h. */
#include "dye/phrase.h"

#include <ctype.h>
#include <stddef.h>
#include <string.h>

/* Bytes above 127 are parts of letters as far as names go. */
static bool is_letter(char c)
{
    unsigned char u = (unsigned char)c;

    return isalnum(u) || u > 127;
}

static bool one_in(const char *folded, const char *phrase, size_t n)
{
    for (const char *p = folded; *p; p++) {
        const char *end = p + n;
        if (strncmp(p, phrase, n) || (p > folded && is_letter(p[-1])))
            continue;
        if (*end == 's')
            end++;
        if (!is_letter(*end) || !is_letter(p[n]))
            return true;
    }
    return false;
}

bool phrase_in(const char *folded, const char *phrases)
{
    if (!folded || !phrases)
        return false;
    for (const char *s = phrases; *s;) {
        size_t n = strcspn(s, "|");
        if (n && one_in(folded, s, n))
            return true;
        s += n + (s[n] == '|');
    }
    return false;
}
