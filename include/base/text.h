/* Growing text, UTF-8, and the numbers in it. Nothing here looks at a locale.
 */
#ifndef HANKLAB_BASE_TEXT_H
#define HANKLAB_BASE_TEXT_H

#include <stdbool.h>
#include <stddef.h>

/* A growing text. All zero is an empty one; s is NULL until something was
 * added, then NUL-terminated. */
struct text {
    char *s;
    size_t len, cap;
};

/* Appends; n bytes, a whole string (NULL adds nothing), or a printf format. */
void text_add_n(struct text *t, const char *s, size_t n);
void text_add(struct text *t, const char *s);
void text_addf(struct text *t, const char *fmt, ...)
    __attribute__((format(printf, 2, 3)));

/* Appends what "%lld" and "%.*f" would, several times as fast. */
void text_add_int(struct text *t, long long n);
void text_add_fixed(struct text *t, double x, int places);

/* The text as a string, "" while it is empty; borrowed until the next add. */
const char *text_str(const struct text *t);

/* Hands the string over (never NULL; release with free) and empties t. */
char *text_take(struct text *t);

/* Empties t but keeps its memory; text_clear releases it too. NULL allowed. */
void text_reset(struct text *t);
void text_clear(struct text *t);

/* Whether s is well-formed UTF-8 without NUL (RFC 3629). */
bool text_is_utf8(const char *s, size_t n);

/* Columns of a terminal that s takes: 0 for combining marks, 2 for wide and
 * most emoji characters, 1 for all others. */
int text_width(const char *s);
int text_width_n(const char *s, size_t n);

/*
 * A key for looking names up: lower case (Latin, Greek, Cyrillic), outer
 * blanks gone, inner runs of blanks one space. "  Velvet-Foot  PAX" and
 * "velvet-foot pax" have one key, and so have "Äiti" and "äiti"; letters
 * keep their marks. Release with free().
 */
char *text_fold(const char *s);

/* Whether two names have the same key; NULL equals only NULL. */
bool text_same(const char *a, const char *b);

/* Whether the key of part lies in the key of whole. */
bool text_contains(const char *whole, const char *part);

/* A copy without leading and trailing blanks; release with free(). */
char *text_trim(const char *s);

/*
 * Reads a whole string as a decimal number with a point ("-1.5", "3e2").
 * False for anything else: blanks, commas, hex, inf, nan, trailing bytes,
 * more than 64 characters.
 */
bool text_real(const char *s, double *out);

/* The same for a whole number that fits in 64 bits. */
bool text_whole(const char *s, long long *out);

/*
 * Splits a text into exactly n numbers by text_real, blanks around each and
 * brackets around all allowed: at commas ("45, -3, 25.5"), else at semicolons,
 * else at blanks. Where it is not split at commas, one in a number is its
 * decimal comma
 * ("45,2; -3,1; 25" and "45,2 -3,1 25"). False if there are fewer, more, or
 * one is not a number.
 */
bool text_reals(const char *s, double *out, size_t n);

/* Appends x with up to `places` decimals and no trailing zeros: 12, 10.2,
 * 0.14; minus zero is 0. NaN adds "?". */
void text_add_real(struct text *t, double x, int places);

/* Rounds half away from zero to `places` decimals. */
double text_round(double x, int places);

#endif
