/* Puts the chunks of an ICC profile together. See the header. */
#include "photo/profile.h"

#include <string.h>

#include "base/mem.h"

static const char signature[12] = "ICC_PROFILE"; /* with its NUL */

void profile_take(struct profile_parts *parts, const unsigned char *body,
                  size_t size)
{
    size_t head = sizeof signature + 2;

    if (size < head || memcmp(body, signature, sizeof signature))
        return;
    int number = body[12], count = body[13];
    if (parts->count == 0)
        parts->count = count;
    if (number == 0 || number > count || count != parts->count) {
        parts->count = parts->count ? parts->count : 1;
        parts->broken = true;
        return;
    }
    body += head;
    size -= head;
    if (!parts->part[number].p) {
        parts->part[number].p = body;
        parts->part[number].size = size;
        parts->total += size;
    } else if (parts->part[number].size != size ||
               memcmp(parts->part[number].p, body, size)) {
        parts->broken = true; /* two chunks of one number that differ */
    }
}

enum photo_icc profile_join(const struct profile_parts *parts,
                            unsigned char **out, size_t *size)
{
    unsigned char *to;

    if (parts->count == 0)
        return PHOTO_ICC_NONE;
    if (parts->broken || parts->total == 0 || parts->total > PROFILE_MAX_BYTES)
        return PHOTO_ICC_BROKEN;
    for (int i = 1; i <= parts->count; i++)
        if (!parts->part[i].p)
            return PHOTO_ICC_BROKEN;
    *out = to = mem_new(parts->total, 1);
    *size = parts->total;
    for (int i = 1; i <= parts->count; i++) {
        memcpy(to, parts->part[i].p, parts->part[i].size);
        to += parts->part[i].size;
    }
    return PHOTO_ICC_WHOLE;
}
