/* Answers packed for the way. See gzip.h. */
#include "gzip.h"

#include <microhttpd.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <zlib.h>

#include "base/mem.h"

#define LEAST_BYTES 1024 /* less goes in a packet or two as it is */
#define GZIP_WINDOW                                                            \
    (15 + 16)          /* zlib's way to say: the longest, with gzip's head */
#define MEMORY_LEVEL 8 /* zlib's usual */

/* "gzip", "gzip;q=0.8", not "gzip;q=0" (RFC 9110, 12.5.3). */
static bool is_gzip(const char *coding, size_t len)
{
    const char *end = coding + len, *q = memchr(coding, ';', len);
    const size_t name = strcspn(coding, " \t,;");

    if (name != 4 || strncasecmp(coding, "gzip", 4) != 0)
        return false;
    q = q ? memchr(q, '=', (size_t)(end - q)) : NULL;
    return !q || strtod(q + 1, NULL) > 0;
}

bool gzip_accepted(const struct request *r)
{
    const char *s = MHD_lookup_connection_value(
        r->connection, MHD_HEADER_KIND, MHD_HTTP_HEADER_ACCEPT_ENCODING);
    size_t n;

    for (; s && *s; s += n) {
        s += strspn(s, " \t,");
        n = strcspn(s, ",");
        if (is_gzip(s, n))
            return true;
    }
    return false;
}

bool gzip_pays(const char *type, size_t size)
{
    return size >= LEAST_BYTES &&
           (!strncmp(type, "text/", 5) || !strncmp(type, "image/svg", 9) ||
            !strncmp(type, "application/json", 16));
}

bool gzip_bytes(const char *bytes, size_t size, enum gzip_how how,
                struct text *out)
{
    z_stream z = {0};
    unsigned char *packed;
    size_t room;
    bool ok;

    if (deflateInit2(&z, (int)how, Z_DEFLATED, GZIP_WINDOW, MEMORY_LEVEL,
                     Z_DEFAULT_STRATEGY) != Z_OK)
        return false;
    room = deflateBound(&z, size);
    packed = mem_new(room, 1);
    z.next_in = (z_const Bytef *)bytes;
    z.avail_in = (uInt)size;
    z.next_out = packed;
    z.avail_out = (uInt)room;
    ok = deflate(&z, Z_FINISH) == Z_STREAM_END;
    if (ok)
        text_add_n(out, (const char *)packed, room - z.avail_out);
    deflateEnd(&z);
    free(packed);
    return ok;
}
