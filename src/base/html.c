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

static void escape(struct text *out, const char *s)
{
    while (s && *s) {
        size_t plain = strcspn(s, "&<>\"'"), n;

        for (size_t i = 0; i < plain; i += n) {
            n = character(s + i);
            if (n)
                text_add_n(out, s + i, n);
            else
                text_add(out, "\xEF\xBF\xBD");
            n += !n;
        }
        s += plain;
        if (*s)
            text_addf(out, "&#%d;", *s++);
    }
}

/* Which of our conversions begins at fmt (after the %). */
static bool is(const char *fmt, const char *conversion)
{
    return !strncmp(fmt, conversion, strlen(conversion));
}

/* One conversion at fmt (after the %), its argument taken; what is behind. */
static const char *convert(struct text *out, const char *fmt, va_list *args)
{
    if (is(fmt, "s")) {
        escape(out, va_arg(*args, const char *));
    } else if (is(fmt, "-s")) {
        html_url(out, va_arg(*args, const char *));
        fmt += 1;
    } else if (is(fmt, "d")) {
        text_addf(out, "%d", va_arg(*args, int));
    } else if (is(fmt, "c")) {
        text_addf(out, "%c", va_arg(*args, int));
    } else if (is(fmt, "zu")) {
        text_addf(out, "%zu", va_arg(*args, size_t));
        fmt += 1;
    } else if (is(fmt, "lld")) {
        text_addf(out, "%lld", va_arg(*args, long long));
        fmt += 2;
    } else if (is(fmt, "02x")) {
        text_addf(out, "%02x", va_arg(*args, unsigned));
        fmt += 2;
    } else if (*fmt == '.' && fmt[2] == 'f') {
        text_addf(out, "%.*f", fmt[1] - '0', va_arg(*args, double));
        fmt += 2;
    } else {
        assert(is(fmt, "%"));
        text_add(out, "%");
    }
    return fmt + 1;
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
    text_addf(out, "%s%.*f", x < 0 ? "\xE2\x88\x92" : "", places, fabs(x));
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

void html_url(struct text *out, const char *s)
{
    static const char plain[] = "abcdefghijklmnopqrstuvwxyz"
                                "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-._~";

    for (; *s; s++) {
        if (strchr(plain, *s))
            text_add_n(out, s, 1);
        else
            text_addf(out, "%%%02X", (unsigned char)*s);
    }
}
