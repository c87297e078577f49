/* Photos as they are handed on. See give.h. */
#include "book/give.h"

#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/kept.h"
#include "photo/copy.h"

#define TOLD 20

static bool sha_of(struct give *give, int64_t id, unsigned char sha256[32],
                   unsigned char original[32], struct error *err)
{
    struct stmt q;
    bool row = false;
    size_t n;

    if (!stmt_prepare(give->book,
                      "SELECT sha256, coalesce(original_sha256, sha256) FROM "
                      "photo WHERE id = :id",
                      &q, err))
        return false;
    stmt_int(&q, ":id", id);
    if (!stmt_step(&q, &row, err))
        return false;
    if (row) {
        memcpy(sha256, stmt_get_blob(&q, 0, &n), 32);
        memcpy(original, stmt_get_blob(&q, 1, &n), 32);
    }
    stmt_done(&q);
    return row || error_set(err, ERR_BUG, "photo %lld is gone", (long long)id);
}

/* Makes the copy of a kept picture; else *why says why not. */
static bool copy(const char *dir, const unsigned char sha256[32],
                 unsigned char **data, size_t *size, const char **why)
{
    unsigned char *bytes;
    size_t n;
    struct error err;
    bool ok;

    if (!kept_read(dir, sha256, &bytes, &n, why))
        return false;
    ok = photo_copy(bytes, n, data, size, &err);
    free(bytes);
    *why = "cannot be copied";
    return ok;
}

static const char sql[] =
    "DELETE FROM temp.chosen WHERE (noun = :photo AND id = :id) OR (noun = "
    ":region AND id IN (SELECT id FROM region WHERE photo_id = :id)) OR "
    "(noun = :sight AND id IN (SELECT id FROM sight WHERE photo_id = "
    ":id))";

/* What shows or was read on it cannot go without it; the reading can. */
static bool leave_out(struct give *give, int64_t id, const char *why,
                      struct error *err)
{
    struct exchange_given *given = give->given;
    struct stmt q;

    if (given->lost++ < TOLD)
        text_addf(&given->told, "photo %lld %s\n", (long long)id, why);
    if (!stmt_prepare(give->book, sql, &q, err))
        return false;
    stmt_int(&q, ":photo", NOUN_PHOTO);
    stmt_int(&q, ":region", NOUN_REGION);
    stmt_int(&q, ":sight", NOUN_SIGHT);
    stmt_int(&q, ":id", id);
    return stmt_run(&q, err);
}

bool give_photos(struct give *give, struct error *err)
{
    int64_t *ids;
    size_t count;
    bool ok = give_ids(give, NOUN_PHOTO, &ids, &count, err);

    for (size_t i = 0; ok && i < count; i++) {
        struct give_photo p = {.id = ids[i]};
        unsigned char kept[32], *data = NULL;
        const char *why;

        ok = sha_of(give, ids[i], kept, p.original, err);
        if (!ok)
            break;
        if (!copy(book_folder(give->book), kept, &data, &p.size, &why)) {
            ok = leave_out(give, ids[i], why, err);
            continue;
        }
        kept_hash(data, p.size, p.sha256);
        free(data);
        give->photo = mem_room(give->photo, give->photos, sizeof *give->photo);
        give->photo[give->photos++] = p;
    }
    free(ids);
    return ok;
}

bool give_photo_copy(const struct give *give, size_t n, unsigned char **data,
                     size_t *size)
{
    unsigned char kept[32], original[32], again[32];
    struct give one = *give;
    struct error err;
    const char *why;

    if (!sha_of(&one, give->photo[n].id, kept, original, &err) ||
        !copy(book_folder(give->book), kept, data, size, &why))
        return false;
    kept_hash(*data, *size, again);
    if (!memcmp(again, give->photo[n].sha256, sizeof again))
        return true;
    free(*data);
    *data = NULL;
    return false;
}

const struct give_photo *give_photo_of(const struct give *give, int64_t id)
{
    size_t low = 0, high = give->photos;

    while (low < high) {
        const size_t mid = (low + high) / 2;
        if (give->photo[mid].id == id)
            return &give->photo[mid];
        if (give->photo[mid].id < id)
            low = mid + 1;
        else
            high = mid;
    }
    return NULL;
}

void give_photo_name(const struct give_photo *photo, struct text *out)
{
    text_add(out, "photos/");
    for (int i = 0; i < 32; i++)
        text_addf(out, "%02x", photo->sha256[i]);
    text_add(out, ".jpg");
}
