/* Kept photos, as they are. */
#include <stdlib.h>
#include <string.h>

#include "book/photo.h"
#include "book/record.h"
#include "routes.h"

/* 64 hexadecimal digits to 32 bytes. */
static bool read_hash(const char *hex, unsigned char out[32])
{
    static const char digits[] = "0123456789abcdef";

    if (strlen(hex) != 64 || strspn(hex, digits) != 64)
        return false;
    for (size_t i = 0; i < 32; i++)
        out[i] = (unsigned char)((strchr(digits, hex[2 * i]) - digits) << 4 |
                                 (strchr(digits, hex[2 * i + 1]) - digits));
    return true;
}

bool photo_send(struct request *r, struct error *err)
{
    struct record photo;
    unsigned char hash[32];
    long long id;
    bool ok;

    if (!text_whole(request_part(r, "/photo/"), &id))
        return error_set(err, ERR_MISSING, "there is no such photo");
    if (!record_read(r->book, NOUN_PHOTO, id, &photo, err))
        return false;
    ok = read_hash(record_get(&photo, "sha256")->words, hash);
    record_clear(&photo);
    if (!ok)
        return error_set(err, ERR_STORE, "the photo's record is damaged");
    r->file = photo_path(r->book, hash);
    r->type = "image/jpeg";
    r->lasting = true;
    return true;
}
