/* Pictures in a folder. See kept.h. */
#include "book/kept.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include <nettle/sha2.h>

#include "base/disk.h"
#include "base/text.h"
#include "photo/photo.h"

static const char not_kept[] = "the photo was not kept";

void kept_hash(const void *data, size_t size, unsigned char out[32])
{
    struct sha256_ctx ctx;

    sha256_init(&ctx);
    sha256_update(&ctx, size, data);
    sha256_digest(&ctx, 32, out);
}

char *kept_path(const char *dir, const unsigned char sha256[32])
{
    struct text t = {0};

    text_addf(&t, "%s/photos/%02x/", dir, sha256[0]);
    for (int i = 0; i < 32; i++)
        text_addf(&t, "%02x", sha256[i]);
    text_add(&t, ".jpg");
    return text_take(&t);
}

static bool make_folder(const char *path, struct error *err)
{
    return mkdir(path, 0777) == 0 || errno == EEXIST ||
           disk_no_room(path, not_kept, err);
}

bool kept_replace(const char *dir, const unsigned char sha256[32],
                  const void *data, size_t size, struct error *err)
{
    char *path = kept_path(dir, sha256);
    struct text photos = {0}, folder = {0};
    bool ok;

    text_addf(&photos, "%s/photos", dir);
    text_addf(&folder, "%s/%02x", photos.s, sha256[0]);
    ok = make_folder(photos.s, err) && make_folder(folder.s, err) &&
         disk_sync_folder(photos.s, err) && disk_sync_folder(dir, err) &&
         disk_write(path, data, size, not_kept, err);
    text_clear(&photos);
    text_clear(&folder);
    free(path);
    return ok;
}

bool kept_write(const char *dir, const unsigned char sha256[32],
                const void *data, size_t size, struct error *err)
{
    char *path = kept_path(dir, sha256);
    struct stat st;
    const bool there = stat(path, &st) == 0 && (size_t)st.st_size == size;
    bool ok;

    if (there) { /* the name may have missed the disk last time */
        *strrchr(path, '/') = '\0';
        ok = disk_sync_folder(path, err);
    } else {
        ok = kept_replace(dir, sha256, data, size, err);
    }
    free(path);
    return ok;
}

bool kept_read(const char *dir, const unsigned char sha256[32],
               unsigned char **data, size_t *size, const char **why)
{
    char *path = kept_path(dir, sha256);
    unsigned char got[32], *bytes;
    struct error err;
    const bool read = file_load(path, PHOTO_MAX_BYTES, &bytes, size, &err);

    free(path);
    if (!read) {
        *why = err.kind == ERR_MISSING ? "is missing" : "cannot be read";
        return false;
    }
    kept_hash(bytes, *size, got);
    if (memcmp(got, sha256, 32) != 0) {
        free(bytes);
        *why = "is not what it was when it was kept";
        return false;
    }
    *data = bytes;
    return true;
}
