/* A photo that arrived with a form. See photos.h. */
#include "photos.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "book/photo.h"
#include "book/record.h"
#include "photo/photo.h"

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

bool photos_find(struct request *r, const char *id, struct record *photo,
                 char **path, struct error *err)
{
    unsigned char hash[32];
    long long number;

    if (!text_whole(id, &number))
        return error_set(err, ERR_MISSING, "there is no such photo");
    if (!record_read(r->book, NOUN_PHOTO, number, photo, err))
        return false;
    if (!read_hash(record_get(photo, "sha256")->words, hash)) {
        record_clear(photo);
        return error_set(err, ERR_STORE, "the photo's record is damaged");
    }
    *path = photo_path(r->book, hash);
    return true;
}

static bool load(const struct request *r, unsigned char **data, size_t *size,
                 struct photo *photo, struct error *err)
{
    if (!file_load(r->upload.path, UPLOAD_MAX_BYTES, data, size, err))
        return false;
    if (photo_open(*data, *size, photo, err))
        return true;
    free(*data);
    *data = NULL;
    return false;
}

bool photos_check(struct request *r, struct error *err)
{
    unsigned char *data = NULL;
    size_t size;
    struct photo photo = {0};
    bool ok = load(r, &data, &size, &photo, err);

    photo_clear(&photo);
    free(data);
    return ok;
}

static bool keep_file(struct request *r, const char *shows, int64_t *id,
                      struct error *err)
{
    unsigned char *data = NULL;
    size_t size;
    struct photo photo = {0};
    struct photo_facts facts = {.shows = shows, .profile = ""};
    struct kept_file file;
    char camera[sizeof photo.make + sizeof photo.model];
    bool ok = load(r, &data, &size, &photo, err) &&
              photo_keep(r->book, data, size, &file, err);

    if (ok) {
        photo_upright_size(&photo, &facts.width, &facts.height);
        snprintf(camera, sizeof camera, "%s%s%s", photo.make,
                 *photo.make && *photo.model ? " " : "", photo.model);
        facts.orientation = photo.orientation;
        facts.camera = camera;
        facts.taken = photo.taken;
        facts.has_gps = photo.has_gps;
        ok = photo_record(r->book, &file, &facts, id, err);
    }
    photo_clear(&photo);
    free(data);
    return ok;
}

static bool note_skein(struct request *r, int64_t skein, int64_t photo,
                       struct error *err)
{
    char which_photo[24], which_skein[24];
    struct record_value values[] = {{"photo", which_photo},
                                    {"skein", which_skein}};
    int64_t id;

    snprintf(which_photo, sizeof which_photo, "#%lld", (long long)photo);
    snprintf(which_skein, sizeof which_skein, "#%lld", (long long)skein);
    return record_add(r->book, NOUN_SIGHT, values, 2, &id, NULL, err);
}

bool photos_keep(struct request *r, const char *shows, int64_t *photo,
                 struct error *err)
{
    if (!book_act_begin(r->book, "photo", err))
        return false;
    if (keep_file(r, shows, photo, err))
        return book_act_end(r->book, err);
    book_act_cancel(r->book);
    return false;
}

bool photos_keep_of(void *request, const struct pot_result *pot,
                    struct error *err)
{
    struct request *r = request;
    int64_t photo;
    bool ok = keep_file(r, "other", &photo, err);

    for (size_t i = 0; ok && i < pot->skeins; i++)
        ok = note_skein(r, pot->skein[i].id, photo, err);
    return ok;
}
