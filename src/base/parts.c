/* Words with more behind semicolons. See base/parts.h. */
#include "base/parts.h"

#include <stdlib.h>
#include <string.h>

#include "base/mem.h"

bool parts_said(const char *words)
{
    return words && words[strspn(words, " \t\n\r")] != '\0';
}

char *parts_trim(char *s)
{
    char *end;

    s += strspn(s, " \t\n\r");
    end = s + strlen(s);
    while (end > s && strchr(" \t\n\r", end[-1]))
        *--end = '\0';
    return s;
}

/* A part without a key behind the first: shown as it may have been meant. */
static bool refuse(const struct parts *p, const char *part, const char *what,
                   parts_key *key, struct error *err)
{
    const char *words = part + strspn(part, "= ");

    if (!key && p->first && strpbrk(p->first, "0123456789"))
        return error_set(err, ERR_INPUT,
                         "%s: \"%s\" does not say what it is: say another by "
                         "itself, and what tells of the first as note=%s",
                         what, part, words);
    if (!key && p->first && !strchr(p->first, ':'))
        return error_set(err, ERR_INPUT,
                         "%s: \"%s\" does not say what it is: write \"%s: %s\"",
                         what, part, p->first, words);
    return error_set(err, ERR_INPUT,
                     "%s: \"%s\" does not say what it is, such as %s=%s", what,
                     part, key ? key(words) : "note", words);
}

static bool add_part(struct parts *p, char *part, const char *what,
                     parts_key *key, bool first, struct error *err)
{
    char *equals = strchr(part, '='), *start = parts_trim(part);
    const char *sign = start + strspn(start, "=");

    /* "weld: 5 g = a spoon" and "=A1: 5 g" have no key. */
    sign += strcspn(sign, ":=");
    if (first && (!equals || *sign == ':')) {
        p->first = start;
        return true;
    }
    if (!equals || start[0] == '=')
        return refuse(p, start, what, key, err);
    if (p->count == PARTS_MAX)
        return error_set(err, ERR_LIMIT, "%s: more than %d values", what,
                         PARTS_MAX);
    *equals = '\0';
    p->key[p->count] = parts_trim(start);
    p->value[p->count++] = parts_trim(equals + 1);
    return true;
}

static bool starts_note(const char *s)
{
    s += strspn(s, " \t\n\r");
    if (strncmp(s, "note", 4))
        return false;
    s += 4 + strspn(s + 4, " \t\n\r");
    return *s == '=';
}

bool parts_read(const char *words, const char *what, parts_key *key,
                struct parts *out, struct error *err)
{
    bool first = true;

    *out = (struct parts){.bytes = mem_text(words)};
    for (char *s = out->bytes; s && *s; first = false) {
        char *end = starts_note(s) ? NULL : strchr(s, ';');
        if (end)
            *end = '\0';
        if (parts_said(s) && !add_part(out, s, what, key, first, err)) {
            free(out->bytes);
            out->bytes = NULL;
            return false;
        }
        s = end ? end + 1 : NULL;
    }
    return true;
}
