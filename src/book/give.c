/* Handing results on in one file. See book/exchange.h. */
#include "book/give.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "base/mem.h"
#include "book/archive.h"
#include "book/record.h"
#include "book/rows.h"

static bool begin(struct give *give, struct error *err)
{
    const int64_t me = give->book->dyer_id;
    const time_t now = time(NULL);
    struct text name = {0};
    struct record dyer;
    struct tm utc;

    gmtime_r(&now, &utc);
    strftime(give->made, sizeof give->made, "%Y-%m-%dT%H:%M:%SZ", &utc);
    if (!record_read(give->book, NOUN_DYER, me, &dyer, err))
        return false;
    snprintf(give->dyer_uid, sizeof give->dyer_uid, "%s", dyer.uid);
    text_add(&name, dyer.label);
    give->dyer = text_take(&name);
    record_clear(&dyer);
    return true;
}

static bool make_photo(void *self, size_t which, unsigned char **data,
                       size_t *size)
{
    return give_photo_copy(self, which, data, size);
}

static bool pack_text(struct archive *to, const char *name, struct text *text,
                      struct error *err)
{
    const size_t size = text->len;

    return archive_add_text(to, name, text_take(text), size, err);
}

static bool pack_tables(struct give *give, struct archive *to,
                        struct error *err)
{
    struct text name = {0}, table = {0};
    bool ok = true;

    for (size_t n = 0; ok && n < NOUN_COUNT; n++) {
        if (!give->given->count[n])
            continue;
        text_reset(&name);
        text_addf(&name, "tables/%s.csv", nouns[n].plural);
        ok = give_table(give, nouns[n].id, &table, err) &&
             pack_text(to, text_str(&name), &table, err);
    }
    text_clear(&name);
    text_clear(&table);
    return ok;
}

/* Two photos that differ in what is private alone have one copy. */
static bool is_packed(const struct give *give, size_t n)
{
    for (size_t i = 0; i < n; i++)
        if (!memcmp(give->photo[i].sha256, give->photo[n].sha256,
                    sizeof give->photo[n].sha256))
            return true;
    return false;
}

static bool pack_photos(struct give *give, struct archive *to,
                        struct error *err)
{
    struct text name = {0};
    bool ok = true;

    for (size_t i = 0; ok && i < give->photos; i++) {
        if (is_packed(give, i))
            continue;
        text_reset(&name);
        give_photo_name(&give->photo[i], &name);
        ok = archive_add_made(to, text_str(&name), give->photo[i].size,
                              make_photo, give, i, err);
    }
    give->given->photos = give->photos;
    text_clear(&name);
    return ok;
}

static bool pack(struct give *give, struct archive *to, struct error *err)
{
    struct text page = {0}, json = {0};
    bool ok = give_page(give, &page, err) && give_json(give, &json, err) &&
              pack_text(to, "index.html", &page, err) &&
              pack_text(to, "hanklab.json", &json, err) &&
              pack_tables(give, to, err) && pack_photos(give, to, err);

    text_clear(&page);
    text_clear(&json);
    return ok;
}

/* How many skeins came along unasked. */
static bool count_along(struct give *give, struct error *err)
{
    int64_t *ids;
    size_t count;

    if (!give_ids(give, NOUN_SKEIN, &ids, &count, err))
        return false;
    give->given->along = give->pick->all ? 0 : count - give->asked;
    free(ids);
    return true;
}

/* What would go. */
static bool count_all(struct give *give, struct error *err)
{
    int64_t *ids;

    for (size_t n = 0; n < NOUN_COUNT; n++) {
        if (!give_ids(give, nouns[n].id, &ids, &give->given->count[n], err))
            return false;
        free(ids);
    }
    give->given->photos = give->photos;
    return true;
}

bool exchange_give(struct book *book, const char *path,
                   const struct exchange_pick *pick, struct exchange_given *out,
                   struct error *err)
{
    struct give give = {.book = book, .pick = pick, .given = out};
    struct archive *to = NULL;
    bool ok = false;

    *out = (struct exchange_given){0};
    for (size_t i = 0; !pick->all && i < pick->skeins; i++)
        if (!record_stands(book, NOUN_SKEIN, pick->skein[i], "handed on", err))
            return false;
    if (!pick->all && !pick->skeins)
        return error_set(err, ERR_INPUT, "there is no skein to hand on");
    if (!pick->all && pick->plans)
        return error_set(err, ERR_INPUT,
                         "plans go with all of the book: leave out the plans, "
                         "or the choice of skeins");
    if (path && !archive_begin(path, &to, err))
        return false;
    ok = book_look(book, err) && begin(&give, err) && give_choose(&give, err) &&
         count_along(&give, err) && give_photos(&give, err) &&
         (to ? pack(&give, to, err) : count_all(&give, err));
    if (ok && to) {
        ok = archive_write(to, path, err);
        to = NULL;
    }
    book_look_end(book);
    archive_close(to);
    free(give.photo);
    free(give.dyer);
    return ok;
}

void exchange_given_clear(struct exchange_given *given)
{
    text_clear(&given->told);
}
