/* Bytes that nobody can foretell. See base/random.h. */
#include "base/random.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>

bool random_fill(void *out, size_t size, struct error *err)
{
    FILE *f = fopen("/dev/urandom", "r");
    const bool ok = f && fread(out, size, 1, f) == 1;

    if (!ok)
        error_set(err, ERR_STORE, "/dev/urandom cannot be read: %s",
                  strerror(errno));
    if (f)
        fclose(f);
    return ok;
}

void hex_of(const void *bytes, size_t size, char *out)
{
    static const char digits[] = "0123456789abcdef";
    const unsigned char *b = bytes;

    for (size_t i = 0; i < size; i++) {
        *out++ = digits[b[i] >> 4];
        *out++ = digits[b[i] & 15];
    }
    *out = '\0';
}

bool secret_same(const char *a, const char *b)
{
    const size_t n = strlen(a);
    unsigned char differ = 0;

    if (strlen(b) != n)
        return false;
    for (size_t i = 0; i < n; i++)
        differ |= (unsigned char)(a[i] ^ b[i]);
    return !differ;
}
