/* Lines of CSV. See the header. */
#include "base/csv.h"

#include <ctype.h>
#include <stdbool.h>
#include <string.h>

/* Cuts the next field off *at, unquoting it in place; NULL when the line has
 * no more. */
static char *field_next(char **at, char separator)
{
    char *from = *at, *to = from, *out = from;
    bool quoted = false;

    if (!from)
        return NULL;
    for (; *to && (quoted || *to != separator); to++) {
        if (*to == '"' && quoted && to[1] == '"')
            *out++ = *to++;
        else if (*to == '"')
            quoted = !quoted;
        else
            *out++ = *to;
    }
    *at = *to ? to + 1 : NULL;
    *out = '\0';
    while (out > from && isspace((unsigned char)out[-1]))
        *--out = '\0';
    return from + strspn(from, " \t");
}

size_t csv_fields(char *line, char separator, char **out, size_t most)
{
    size_t n = 0;

    for (char *field;
         n < most && (field = field_next(&line, separator)) != NULL;)
        out[n++] = field;
    return n;
}

char *csv_line(char **at)
{
    while (*at && **at) {
        char *line = *at, *end = line + strcspn(line, "\r\n");

        *at = *end ? end + 1 : end;
        *end = '\0';
        if (line[strspn(line, " \t,;")])
            return line;
    }
    return NULL;
}

char *csv_head(char **at, char *separator)
{
    char *head;

    if (!strncmp(*at, "\xEF\xBB\xBF", 3))
        *at += 3;
    head = csv_line(at);
    *separator = ',';
    if (head && strchr(head, ';'))
        *separator = ';';
    else if (head && strchr(head, '\t'))
        *separator = '\t';
    return head;
}
