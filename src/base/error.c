/* Failures are filled in once, where the facts are known. See the header. */
#include "base/error.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

/* Drops a UTF-8 character that vsnprintf cut in half at the end of s. */
static void drop_cut_character(char *s)
{
    size_t n = strlen(s), i = n, want;

    while (i > 0 && ((unsigned char)s[i - 1] & 0xC0) == 0x80)
        i--;
    if (i == 0)
        return;
    unsigned char lead = (unsigned char)s[i - 1];
    want = lead >= 0xF0 ? 4 : lead >= 0xE0 ? 3 : lead >= 0xC0 ? 2 : 1;
    if (n - (i - 1) < want)
        s[i - 1] = '\0';
}

bool error_set(struct error *err, enum error_kind kind, const char *fmt, ...)
{
    va_list args;
    int n;

    err->kind = kind;
    va_start(args, fmt);
    n = vsnprintf(err->text, sizeof err->text, fmt, args);
    va_end(args);
    if (n < 0)
        err->text[0] = '\0';
    if ((size_t)n >= sizeof err->text)
        drop_cut_character(err->text);
    for (char *p = err->text; *p; p++)
        if ((unsigned char)*p < 0x20 || *p == 0x7F)
            *p = ' ';
    return false;
}
