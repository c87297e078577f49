/* Writing HTML. See base/html.h. */
#include "base/html.h"

#include <assert.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

/* Bytes of the well-formed UTF-8 character at s, 0 if there is none. */
static size_t character(const char *s)
{
    for (size_t n = 1; n <= 4; n++) {
        if (!s[n - 1])
            return 0;
        if (text_is_utf8(s, n))
            return n;
    }
    return 0;
}

static bool is_markup(char c)
{
    return c == '&' || c == '<' || c == '>' || c == '"' || c == '\'';
}

/* How many bytes of s go out as they are. */
static size_t plain(const char *s)
{
    size_t at = 0, n = 1;

    while (n && s[at] && !is_markup(s[at])) {
        n = (unsigned char)s[at] < 0x80 ? 1 : character(s + at);
        at += n;
    }
    return at;
}

static void escape(struct text *out, const char *s)
{
    while (s && *s) {
        const size_t n = plain(s);

        text_add_n(out, s, n);
        s += n;
        if (is_markup(*s))
            text_addf(out, "&#%d;", *s);
        else if (*s)
            text_add(out, "\xEF\xBF\xBD");
        s += *s != '\0';
    }
}

/* One conversion at fmt (after the %), its argument taken; what is behind. */
static const char *convert(struct text *out, const char *fmt, va_list *args)
{
    size_t more = 0; /* letters behind the first */

    switch (*fmt) {
    case 's':
        escape(out, va_arg(*args, const char *));
        break;
    case '-': /* %-s */
        assert(fmt[1] == 's');
        html_url(out, va_arg(*args, const char *));
        more = 1;
        break;
    case 'd':
        text_add_int(out, va_arg(*args, int));
        break;
    case 'c':
        text_addf(out, "%c", va_arg(*args, int));
        break;
    case 'z': /* %zu */
        assert(fmt[1] == 'u');
        text_add_int(out, (long long)va_arg(*args, size_t));
        more = 1;
        break;
    case 'l': /* %lld */
        assert(fmt[1] == 'l' && fmt[2] == 'd');
        text_add_int(out, va_arg(*args, long long));
        more = 2;
        break;
    case '.': /* %.Nf */
        assert(fmt[1] >= '0' && fmt[1] <= '9' && fmt[2] == 'f');
        text_add_fixed(out, va_arg(*args, double), fmt[1] - '0');
        more = 2;
        break;
    default:
        assert(*fmt == '%');
        text_add(out, "%");
    }
    return fmt + 1 + more;
}

void html_addf(struct text *out, const char *fmt, ...)
{
    va_list args;

    va_start(args, fmt);
    while (*fmt) {
        size_t n = strcspn(fmt, "%");
        text_add_n(out, fmt, n);
        fmt += n;
        if (*fmt)
            fmt = convert(out, fmt + 1, &args);
    }
    va_end(args);
}

void html_number(struct text *out, double x, int places)
{
    if (isnan(x)) {
        text_add(out, "?");
        return;
    }
    x = text_round(x, places);
    text_add(out, x < 0 ? "\xE2\x88\x92" : "");
    text_add_fixed(out, fabs(x), places);
}

void html_lab(struct text *out, double L, double a, double b, int places)
{
    text_add(out, "<span class=\"num\">L* ");
    html_number(out, L, places);
    text_add(out, " a* ");
    html_number(out, a, places);
    text_add(out, " b* ");
    html_number(out, b, places);
    text_add(out, "</span>");
}

/* Letters, digits and "-._~" of ASCII. */
static bool is_unreserved(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') ||
           (c >= '0' && c <= '9') || c == '-' || c == '.' || c == '_' ||
           c == '~';
}

void html_url(struct text *out, const char *s)
{
    static const char digits[] = "0123456789ABCDEF";

    while (*s) {
        size_t n = 0;

        while (is_unreserved(s[n]))
            n++;
        text_add_n(out, s, n);
        s += n;
        if (*s) {
            const unsigned char c = (unsigned char)*s++;
            const char code[] = {'%', digits[c >> 4], digits[c & 15]};
            text_add_n(out, code, sizeof code);
        }
    }
}
