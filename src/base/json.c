/* Writes JSON (RFC 8259) and CSV (RFC 4180). See the header. */
#include "base/json.h"

#include <assert.h>
#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/mem.h"

struct json json_to(struct text *out)
{
    return (struct json){.out = out};
}

/* Bytes that the well-formed UTF-8 character at s takes, 0 if it is none. */
static size_t character(const char *s)
{
    size_t left = strnlen(s, 4);

    for (size_t n = 1; n <= left; n++)
        if (text_is_utf8(s, n))
            return n;
    return 0;
}

/* A quoted string; what is not UTF-8 becomes U+FFFD, so that a reader always
 * gets valid JSON. */
static void add_quoted(struct text *t, const char *s)
{
    static const char plain[] = "\"\\\b\f\n\r\t", letter[] = "\"\\bfnrt";
    size_t n;

    text_add(t, "\"");
    for (; *s; s += n) {
        const char *at = strchr(plain, *s);

        n = 1;
        if (at) {
            text_addf(t, "\\%c", letter[at - plain]);
        } else if ((unsigned char)*s < 0x20) {
            text_addf(t, "\\u%04x", (unsigned)*s);
        } else if ((unsigned char)*s < 0x80) {
            n = 1 + strcspn(s + 1, "\"\\");
            for (size_t i = 1; i < n; i++)
                if ((unsigned char)s[i] < 0x20 || (unsigned char)s[i] >= 0x80)
                    n = i;
            text_add_n(t, s, n);
        } else {
            n = character(s);
            text_add_n(t, n ? s : "\xEF\xBF\xBD", n ? n : 3);
            n = n ? n : 1;
        }
    }
    text_add(t, "\"");
}

/* The comma and the name before a value. */
static void lead(struct json *j, const char *name)
{
    bool in_object = j->depth > 0 && !j->array[j->depth];

    assert(in_object == (name != NULL));
    assert(j->depth > 0 || !j->more[0]); /* one outermost value */
    if (j->more[j->depth])
        text_add(j->out, ",");
    j->more[j->depth] = true;
    if (!name)
        return;
    add_quoted(j->out, name);
    text_add(j->out, ":");
}

static void ended(struct json *j)
{
    if (j->depth == 0)
        text_add(j->out, "\n");
}

static void begin(struct json *j, const char *name, bool array)
{
    lead(j, name);
    assert(j->depth + 1 < (int)ARRAY_LEN(j->more));
    j->depth++;
    j->more[j->depth] = false;
    j->array[j->depth] = array;
    text_add(j->out, array ? "[" : "{");
}

void json_add_object(struct json *j, const char *name)
{
    begin(j, name, false);
}

void json_add_array(struct json *j, const char *name)
{
    begin(j, name, true);
}

void json_end(struct json *j)
{
    assert(j->depth > 0);
    text_add(j->out, j->array[j->depth] ? "]" : "}");
    j->depth--;
    ended(j);
}

void json_add_string(struct json *j, const char *name, const char *value)
{
    lead(j, name);
    if (value)
        add_quoted(j->out, value);
    else
        text_add(j->out, "null");
    ended(j);
}

void json_add_real(struct json *j, const char *name, double value, int places)
{
    lead(j, name);
    if (isfinite(value))
        text_add_real(j->out, value, places);
    else
        text_add(j->out, "null");
    ended(j);
}

void json_add_exact(struct json *j, const char *name, double value)
{
    char digits[32];
    double again;
    int places = 15; /* 17 tell any two numbers apart */

    do
        snprintf(digits, sizeof digits, "%.*g", places, value);
    while (isfinite(value) &&
           (!text_real(digits, &again) || again < value || again > value) &&
           ++places <= 17);
    lead(j, name);
    text_add(j->out, isfinite(value) ? digits : "null");
    ended(j);
}

void json_add_whole(struct json *j, const char *name, int64_t value)
{
    lead(j, name);
    text_addf(j->out, "%" PRId64, value);
    ended(j);
}

void json_add_bool(struct json *j, const char *name, bool value)
{
    lead(j, name);
    text_add(j->out, value ? "true" : "false");
    ended(j);
}

void json_add_null(struct json *j, const char *name)
{
    json_add_string(j, name, NULL);
}

void csv_field(struct text *out, const char *value)
{
    size_t n = value ? strlen(value) : 0;

    if (!n)
        return;
    if (!strpbrk(value, ",\"\r\n") && !strchr(" \t", value[0]) &&
        !strchr(" \t", value[n - 1])) {
        text_add(out, value);
        return;
    }
    text_add(out, "\"");
    for (size_t part; *value; value += part) {
        part = strcspn(value, "\"");
        text_add_n(out, value, part);
        if (value[part] == '"') {
            text_add(out, "\"\"");
            part++;
        }
    }
    text_add(out, "\"");
}
