/* Writes HTML. What people typed gets onto a page through here, escaped. */
#ifndef HANKLAB_BASE_HTML_H
#define HANKLAB_BASE_HTML_H

#include "base/text.h"

/* Appends markup: what %s brings is escaped, so that it is text or an
 * attribute's value in double quotes, the format itself is not; NULL adds
 * nothing, a byte that is not UTF-8 becomes U+FFFD. Of the printf conversions
 * it knows %s, %-s (text as a part of an address), %c (markup), %d, %zu, %lld,
 * %.Nf and %%. */
void html_addf(struct text *out, const char *fmt, ...)
    __attribute__((format(printf, 2, 3)));

/* A number for people: the minus sign U+2212, "?" for NaN. */
void html_number(struct text *out, double x, int places);

/* Appends a colour's "L* 45 a* 31 b* 18". */
void html_lab(struct text *out, double L, double a, double b, int places);

/* Appends s as a part of an address: all but letters, digits and "-._~" is
 * percent-encoded. */
void html_url(struct text *out, const char *s);

#endif
