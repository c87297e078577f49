/* A stranger's text made safe to show. See the header. */
#include "photo/printable.h"

#include <stdbool.h>
#include <string.h>

#include "base/text.h"

/* Bytes of the well-formed UTF-8 character at s, 0 if there is none. */
static size_t character(const char *s, size_t n)
{
    unsigned char lead = (unsigned char)*s;
    size_t len = lead < 0x80 ? 1 : lead < 0xE0 ? 2 : lead < 0xF0 ? 3 : 4;

    return len <= n && text_is_utf8(s, len) ? len : 0;
}

/* U+0000..001F, 007F..009F */
static bool is_control(const char *s)
{
    unsigned char c = (unsigned char)*s;

    return c < 0x20 || c == 0x7F || (c == 0xC2 && (unsigned char)s[1] < 0xA0);
}

void printable_copy(const void *from, size_t n, char *out, size_t cap)
{
    const char *s = from;
    size_t used = 0;

    for (size_t i = 0; i < n && s[i];) {
        size_t len = character(s + i, n - i), put_len = 1;
        const char *put = "?";

        if (len && is_control(s + i))
            put = " ";
        else if (len)
            put = s + i, put_len = len;
        i += len ? len : 1;
        if (used == 0 && *put == ' ')
            continue;
        if (used + put_len >= cap)
            break;
        memcpy(out + used, put, put_len);
        used += put_len;
    }
    while (used > 0 && out[used - 1] == ' ')
        used--;
    out[used] = '\0';
}
