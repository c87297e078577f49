/* Growing text, UTF-8, and the numbers in it. See the header.
 * The C library's tables know letters and widths; C.UTF-8 is asked for them by
 * name, so neither the environment nor setlocale() changes an answer. */
#define _XOPEN_SOURCE 700 /* wcwidth */
#include "base/text.h"

#include <assert.h>
#include <ctype.h>
#include <errno.h>
#include <locale.h>
#include <math.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <wchar.h>
#include <wctype.h>

#include "base/mem.h"

/* ---- growing --------------------------------------------------------------
 */

static void reserve(struct text *t, size_t more)
{
    size_t need;

    if (more > SIZE_MAX - t->len - 1)
        (void)mem_new(SIZE_MAX, 2); /* cannot be: ends the program */
    need = t->len + more + 1;
    if (need <= t->cap)
        return;
    t->cap = need < 2 * t->cap ? 2 * t->cap : need < 32 ? 32 : need;
    t->s = mem_resize(t->s, t->cap, 1);
}

void text_add_n(struct text *t, const char *s, size_t n)
{
    if (!s || !n)
        return;
    reserve(t, n);
    memcpy(t->s + t->len, s, n);
    t->len += n;
    t->s[t->len] = '\0';
}

void text_add(struct text *t, const char *s)
{
    if (s)
        text_add_n(t, s, strlen(s));
}

/* The point is a point in "C"; 0 (no such locale, never seen) means as it is.
 */
static locale_t plain(void)
{
    static locale_t c;

    if (!c)
        c = newlocale(LC_ALL_MASK, "C", (locale_t)0);
    return c;
}

void text_addf(struct text *t, const char *fmt, ...)
{
    locale_t old = uselocale(plain());
    char line[160]; /* as long as most are, so that it is written once */
    va_list args;
    int n;

    va_start(args, fmt);
    n = vsnprintf(line, sizeof line, fmt, args);
    va_end(args);
    assert(n >= 0);
    if ((size_t)n < sizeof line) {
        text_add_n(t, line, (size_t)n);
    } else {
        reserve(t, (size_t)n);
        va_start(args, fmt);
        vsnprintf(t->s + t->len, (size_t)n + 1, fmt, args);
        va_end(args);
        t->len += (size_t)n;
    }
    uselocale(old);
}

/* The digits of n, at least `least` of them, with a point before the last
 * `places`. */
static void add_digits(struct text *t, bool minus, uint64_t n, int least,
                       int places)
{
    char s[24], *at = s + sizeof s;
    int digits = 0;

    do {
        if (digits && digits == places)
            *--at = '.';
        *--at = (char)('0' + n % 10);
        n /= 10;
        digits++;
    } while (n || digits < least);
    if (minus)
        *--at = '-';
    text_add_n(t, at, (size_t)(s + sizeof s - at));
}

void text_add_int(struct text *t, long long n)
{
    add_digits(t, n < 0, n < 0 ? 0 - (uint64_t)n : (uint64_t)n, 1, 0);
}

/*
 * x has the digits of the whole number nearest to x * 10^places. The product is
 * less than 1e-6 off for as much as is taken here, so which number that is can
 * only be in doubt where it lies nearly half-way, and there printf decides.
 */
void text_add_fixed(struct text *t, double x, int places)
{
    static const double power[] = {1, 10, 100, 1000};
    double scaled, whole;

    assert(places >= 0);
    if (places < (int)(sizeof power / sizeof *power) && fabs(x) < 1e6) {
        scaled = fabs(x) * power[places];
        whole = floor(scaled + 0.5);
        if (fabs(fabs(scaled - whole) - 0.5) > 1e-6) {
            add_digits(t, signbit(x), (uint64_t)whole, places + 1, places);
            return;
        }
    }
    text_addf(t, "%.*f", places, x);
}

const char *text_str(const struct text *t)
{
    return t->s ? t->s : "";
}

char *text_take(struct text *t)
{
    char *s = t->s ? t->s : mem_new(1, 1);

    *t = (struct text){0};
    return s;
}

void text_reset(struct text *t)
{
    if (!t || !t->s)
        return;
    t->len = 0;
    t->s[0] = '\0';
}

void text_clear(struct text *t)
{
    if (!t)
        return;
    free(t->s);
    *t = (struct text){0};
}

/* ---- UTF-8 ----------------------------------------------------------------
 */

/*
 * Decodes the character at s, of which n bytes are there (n > 0). Returns how
 * many bytes it takes, or 0 if they are not well-formed (RFC 3629, section 4:
 * no overlong forms, no surrogates, nothing above U+10FFFF).
 */
static size_t decode(const char *s, size_t n, uint32_t *out)
{
    const unsigned char *u = (const unsigned char *)s;
    static const uint32_t least[] = {0, 0, 0x80, 0x800, 0x10000};
    size_t want = u[0] < 0x80    ? 1
                  : u[0] < 0xC0  ? 0
                  : u[0] < 0xE0  ? 2
                  : u[0] < 0xF0  ? 3
                  : u[0] <= 0xF4 ? 4
                                 : 0;
    uint32_t c;

    if (want < 2) {
        *out = u[0];
        return want;
    }
    if (want > n)
        return 0;
    c = u[0] & (0x7Fu >> want);
    for (size_t i = 1; i < want; i++) {
        if ((u[i] & 0xC0) != 0x80)
            return 0;
        c = c << 6 | (u[i] & 0x3Fu);
    }
    if (c < least[want] || c > 0x10FFFF || (c >= 0xD800 && c <= 0xDFFF))
        return 0;
    *out = c;
    return want;
}

/* Takes one character; a malformed byte counts as one, with *c = 0. */
static size_t take(const char *s, size_t n, uint32_t *c)
{
    size_t got = decode(s, n, c);

    if (got)
        return got;
    *c = 0;
    return 1;
}

static void add_character(struct text *t, uint32_t c)
{
    char s[4];
    size_t n = c < 0x80 ? 1 : c < 0x800 ? 2 : c < 0x10000 ? 3 : 4;
    static const unsigned char lead[] = {0, 0, 0xC0, 0xE0, 0xF0};

    for (size_t i = n; i-- > 1; c >>= 6)
        s[i] = (char)(0x80u | (c & 0x3Fu));
    s[0] = (char)(lead[n] | c);
    text_add_n(t, s, n);
}

bool text_is_utf8(const char *s, size_t n)
{
    uint32_t c;
    size_t got;

    for (; n; s += got, n -= got) {
        got = decode(s, n, &c);
        if (!got || !c)
            return false;
    }
    return true;
}

/* The letters and widths of Unicode as the C library knows them; 0 on a
 * machine without C.UTF-8. */
static locale_t unicode(void)
{
    static locale_t utf8;
    static bool asked;

    if (!asked)
        utf8 = newlocale(LC_CTYPE_MASK, "C.UTF-8", (locale_t)0);
    asked = true;
    return utf8;
}

int text_width(const char *s)
{
    return text_width_n(s, strlen(s));
}

int text_width_n(const char *s, size_t n)
{
    locale_t old = unicode() ? uselocale(unicode()) : (locale_t)0;
    size_t got;
    int width = 0;
    uint32_t c;

    for (; n; s += got, n -= got) {
        got = take(s, n, &c);
        if (old) {
            int w = wcwidth((wchar_t)c);
            width += w < 0 || !c ? 1 : w;
        } else {
            width += !(c >= 0x300 && c <= 0x36F);
        }
    }
    if (old)
        uselocale(old);
    return width;
}

/* Blanks of every width that a phone or a web page puts between words. */
static bool is_blank(uint32_t c)
{
    return c == ' ' || (c >= '\t' && c <= '\r') || c == 0xA0 ||
           (c >= 0x2000 && c <= 0x200A) || c == 0x202F || c == 0x205F ||
           c == 0x3000 || c == 0xFEFF;
}

/* Latin-1, Latin Extended-A, Greek and Cyrillic without the C library. Pairs
 * lie side by side in Extended-A, upper even except in two stretches. */
static uint32_t lower_plain(uint32_t c)
{
    if ((c >= 'A' && c <= 'Z') || (c >= 0xC0 && c <= 0xDE && c != 0xD7) ||
        (c >= 0x391 && c <= 0x3AB && c != 0x3A2) || (c >= 0x410 && c <= 0x42F))
        return c + 32;
    if (c >= 0x400 && c <= 0x40F)
        return c + 80;
    if (c == 0x178)
        return 0xFF;
    if ((c >= 0x139 && c <= 0x148) || (c >= 0x179 && c <= 0x17E))
        return c % 2 ? c + 1 : c;
    if (c >= 0x100 && c <= 0x177 && c != 0x130 && c != 0x131 && c != 0x138 &&
        c != 0x149)
        return c % 2 ? c : c + 1;
    return c;
}

static uint32_t lower(uint32_t c)
{
    if (c < 0x80 || !unicode())
        return lower_plain(c);
    return (uint32_t)towlower_l((wint_t)c, unicode());
}

/*
 * A letter and a mark behind it, as some systems write file names, joined to
 * the one character that a keyboard gives; 0 when the pair has none here.
 * Each row lists pairs: letter, joined letter. Source: Unicode Character
 * Database, canonical decompositions of the Latin small letters in use in
 * European languages.
 */
static uint32_t join(uint32_t letter, uint32_t mark)
{
    static const struct {
        uint32_t mark;
        const char *pairs;
    } rows[] = {
        {0x300, "aàeèiìoòuù"},                   /* grave */
        {0x301, "aáeéiíoóuúyýcćlĺnńrŕsśzźæǽøǿ"}, /* acute */
        {0x302, "aâeêiîoôuûcĉgĝhĥjĵsŝwŵyŷ"},     /* circumflex */
        {0x303, "aãnñoõiĩuũ"},                   /* tilde */
        {0x304, "aāeēiīoōuū"},                   /* macron */
        {0x306, "aăeĕgğiĭoŏuŭ"},                 /* breve */
        {0x307, "cċeėgġzż"},                     /* dot above */
        {0x308, "aäeëiïoöuüyÿ"},                 /* diaeresis */
        {0x30A, "aåuů"},                         /* ring */
        {0x30B, "oőuű"},                         /* double acute */
        {0x30C, "cčdďeělľnňrřsštťzž"},           /* caron */
        {0x326, "sștț"},                         /* comma below */
        {0x327, "cçgģkķlļnņrŗsştţ"},             /* cedilla */
        {0x328, "aąeęiįuų"},                     /* ogonek */
    };
    uint32_t from, to;

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const char *p = rows[i].pairs;
        if (rows[i].mark != mark)
            continue;
        while (*p) {
            p += take(p, strlen(p), &from);
            p += take(p, strlen(p), &to);
            if (from == letter)
                return to;
        }
    }
    return 0;
}

/* One pending character, so that a mark can still join it. */
static void fold_into(struct text *out, const char *s, size_t n)
{
    uint32_t c, held = 0, joined;
    size_t got;
    bool gap = false;

    for (; n; s += got, n -= got) {
        got = take(s, n, &c);
        if (is_blank(c)) {
            gap = true;
            continue;
        }
        c = c ? lower(c) : 0;
        joined = held && c >= 0x300 && c <= 0x36F && !gap ? join(held, c) : 0;
        if (joined) {
            held = joined;
            continue;
        }
        if (held)
            add_character(out, held);
        held = c;
        if (gap && (out->len))
            text_add(out, " ");
        gap = false;
        if (!c)
            text_add_n(out, s, 1); /* not UTF-8: the byte stays as it is */
    }
    if (held)
        add_character(out, held);
}

char *text_fold(const char *s)
{
    struct text out = {0};

    if (!s)
        return NULL;
    fold_into(&out, s, strlen(s));
    return text_take(&out);
}

bool text_same(const char *a, const char *b)
{
    char *ka = text_fold(a), *kb = text_fold(b);
    bool same = ka && kb ? !strcmp(ka, kb) : ka == kb;

    free(ka);
    free(kb);
    return same;
}

bool text_contains(const char *whole, const char *part)
{
    char *kw = text_fold(whole), *kp = text_fold(part);
    bool found = kw && kp && strstr(kw, kp);

    free(kw);
    free(kp);
    return found;
}

char *text_trim(const char *s)
{
    size_t n, got, from = 0, to = 0;
    uint32_t c;

    if (!s)
        return NULL;
    n = strlen(s);
    for (size_t i = 0; i < n; i += got) {
        got = take(s + i, n - i, &c);
        if (is_blank(c))
            continue;
        if (!to)
            from = i;
        to = i + got;
    }
    return mem_text_n(s + from, to - from);
}

/* ---- numbers --------------------------------------------------------------
 */

enum { LONGEST_NUMBER = 64 };

static const char *skip_digits(const char *s)
{
    while (*s >= '0' && *s <= '9')
        s++;
    return s;
}

/* Whether s[0..n) is sign? digits? (. digits?)? (e sign? digits)? with a digit
 * before the e. */
static bool is_real(const char *s)
{
    const char *p = s + (*s == '-' || *s == '+'), *from = p;
    size_t digits;

    p = skip_digits(p);
    digits = (size_t)(p - from);
    if (*p == '.') {
        from = ++p;
        p = skip_digits(p);
        digits += (size_t)(p - from);
    }
    if (!digits)
        return false;
    if (*p == 'e' || *p == 'E') {
        p++;
        p += *p == '-' || *p == '+';
        from = p;
        p = skip_digits(p);
        if (p == from)
            return false;
    }
    return !*p;
}

bool text_real(const char *s, double *out)
{
    locale_t old;
    double x;

    if (!s || strlen(s) > LONGEST_NUMBER || !is_real(s))
        return false;
    old = uselocale(plain());
    x = strtod(s, NULL);
    uselocale(old);
    if (!isfinite(x))
        return false;
    *out = x;
    return true;
}

bool text_whole(const char *s, long long *out)
{
    const char *p;
    long long x;

    if (!s || strlen(s) > LONGEST_NUMBER)
        return false;
    p = s + (*s == '-' || *s == '+');
    if (p == skip_digits(p) || *skip_digits(p))
        return false;
    errno = 0;
    x = strtoll(s, NULL, 10);
    if (errno)
        return false;
    *out = x;
    return true;
}

/* What is between separators, blanks around them; a decimal comma is a point
 * where the comma separates nothing. */
static bool reals_apart(const char *s, const char *separators, double *out,
                        size_t n)
{
    bool blank = separators[0] == ' ';

    for (size_t i = 0; i < n; i++) {
        size_t part = s ? strcspn(s, separators) : 0;
        char *copy, *word, *comma;
        bool ok;

        if (!s)
            return false;
        copy = mem_text_n(s, part);
        word = text_trim(copy);
        comma = strchr(word, ',');
        if (comma && separators[0] != ',')
            *comma = '.';
        ok = text_real(word, &out[i]);
        free(word);
        free(copy);
        if (!ok)
            return false;
        s = s[part] ? s + part + 1 : NULL;
        if (s && blank)
            s += strspn(s, separators);
    }
    return !s;
}

bool text_reals(const char *s, double *out, size_t n)
{
    char *trimmed = text_trim(s), *inside = trimmed;
    const size_t len = strlen(trimmed);
    bool ok;

    if (len > 1 && *inside == '(' && inside[len - 1] == ')') {
        inside[len - 1] = '\0';
        inside++;
    }
    ok = reals_apart(inside, ",", out, n) || reals_apart(inside, ";", out, n) ||
         reals_apart(inside, " \t", out, n);
    free(trimmed);
    return ok;
}

double text_round(double x, int places)
{
    double scale, y;

    assert(places >= 0 && places <= 15);
    scale = pow(10, places);
    y = fabs(x) * scale;
    if (!(y < 1e15)) /* already whole to a double's precision; or NaN */
        return x;
    /* One step up first: 1.005 is stored a hair below the half that was
     * typed, and must still become 1.01. */
    return copysign(floor(nextafter(y, HUGE_VAL) + 0.5) / scale, x);
}

void text_add_real(struct text *t, double x, int places)
{
    size_t start = t->len;

    if (!isfinite(x)) {
        text_add(t, "?");
        return;
    }
    x = text_round(x, places);
    if (x == 0) /* minus zero too */
        x = 0;
    text_add_fixed(t, x, places);
    if (!memchr(t->s + start, '.', t->len - start))
        return;
    while (t->s[t->len - 1] == '0')
        t->len--;
    if (t->s[t->len - 1] == '.')
        t->len--;
    t->s[t->len] = '\0';
}
