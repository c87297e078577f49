/* A stranger's text made safe to show. See the header. */
#include "photo/printable.h"

#include <string.h>

/* Bytes of the well-formed UTF-8 character at s (RFC 3629), 0 if none. */
static size_t character(const unsigned char *s, size_t n)
{
    size_t len = s[0] < 0x80   ? 1
                 : s[0] < 0xC2 ? 0
                 : s[0] < 0xE0 ? 2
                 : s[0] < 0xF0 ? 3
                 : s[0] < 0xF5 ? 4
                               : 0;

    if (len == 0 || len > n)
        return 0;
    for (size_t i = 1; i < len; i++)
        if ((s[i] & 0xC0) != 0x80)
            return 0;
    if ((s[0] == 0xE0 && s[1] < 0xA0) || (s[0] == 0xED && s[1] > 0x9F) ||
        (s[0] == 0xF0 && s[1] < 0x90) || (s[0] == 0xF4 && s[1] > 0x8F))
        return 0;
    return len;
}

void printable_copy(const void *from, size_t n, char *out, size_t cap)
{
    const unsigned char *s = from;
    size_t used = 0;

    for (size_t i = 0; i < n && s[i];) {
        size_t len = character(s + i, n - i), step = len ? len : 1;
        const void *put = s + i;

        if (!len)
            put = "?";
        else if (s[i] < 0x20 || s[i] == 0x7F ||
                 (s[i] == 0xC2 && s[i + 1] < 0xA0))
            put = " ", len = 1;
        if (!len)
            len = 1;
        i += step;
        if (used == 0 && *(const char *)put == ' ')
            continue;
        if (used + len >= cap)
            break;
        memcpy(out + used, put, len);
        used += len;
    }
    while (used > 0 && out[used - 1] == ' ')
        used--;
    out[used] = '\0';
}
