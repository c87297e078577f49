/* hanklab photo add: a picture kept with the skeins it shows. */
#include "cli/noun.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/photo.h"
#include "book/record.h"
#include "photo/photo.h"

/* "12: faint, orange": how one of several skeins glows. */
static void split_glow(char *words, const char **glow, const char **colour)
{
    char *colon = strchr(words, ':'), *rest;

    if (!colon)
        return;
    *colon = '\0';
    *glow = colon + 1 + strspn(colon + 1, " ");
    rest = (char *)*glow + strcspn(*glow, " ,");
    if (*rest)
        *rest++ = '\0';
    rest += strspn(rest, " ,");
    *colour = *rest ? rest : NULL;
}

static bool add_sight(struct cli *cli, const char *photo, int64_t skein,
                      const char *glow, const char *colour, struct error *err)
{
    char which[24];
    const struct record_value v[] = {{"photo", photo},
                                     {"skein", which},
                                     {"glow", glow},
                                     {"glow-colour", colour}};
    int64_t id;

    snprintf(which, sizeof which, "#%lld", (long long)skein);
    return record_add(cli->book, NOUN_SIGHT, v, ARRAY_LEN(v), &id, NULL, err);
}

static bool add_sights(struct cli *cli, int64_t photo, struct error *err)
{
    char which[24];
    const char *skein;
    bool ok = true;

    snprintf(which, sizeof which, "#%lld", (long long)photo);
    for (size_t n = 0; ok && (skein = cli_nth(cli, "skein", n)); n++) {
        char *words = mem_text(skein);
        const char *glow = cli_value(cli, "glow");
        const char *colour = cli_value(cli, "glow-colour");
        int64_t *ids;
        size_t count;
        split_glow(words, &glow, &colour);
        ok = record_skeins(cli->book, book_dyer(cli->book), words, &ids, &count,
                           NULL, err);
        for (size_t i = 0; ok && i < count; i++)
            ok = add_sight(cli, which, ids[i], glow, colour, err);
        free(ids);
        free(words);
    }
    return ok;
}

/* What the dyer said of the picture goes over what its file says. */
static bool add_words(struct cli *cli, int64_t photo, struct error *err)
{
    static const char *const fields[] = {"on", "shows", "note"};
    struct record_value v[ARRAY_LEN(fields)];
    size_t n = 0;

    for (size_t i = 0; i < ARRAY_LEN(fields); i++)
        if (cli_value(cli, fields[i]))
            v[n++] =
                (struct record_value){fields[i], cli_value(cli, fields[i])};
    return !n || record_edit(cli->book, NOUN_PHOTO, photo, v, n, NULL, err);
}

/* A file of a photo, opened. */
struct shot {
    unsigned char *data;
    size_t size;
    struct photo photo;
    struct kept_file file; /* once it is kept */
};

static bool shot_open(const char *path, struct shot *out, struct error *err)
{
    *out = (struct shot){.size = 0};
    if (!file_load(path, PHOTO_MAX_BYTES, &out->data, &out->size, err))
        return false;
    if (photo_open(out->data, out->size, &out->photo, err))
        return true;
    free(out->data);
    out->data = NULL;
    return false;
}

static void shot_close(struct shot *s)
{
    photo_clear(&s->photo);
    free(s->data);
}

/* Its record; inside an act. */
static bool record_shot(struct cli *cli, const struct shot *s, int64_t *id,
                        struct error *err)
{
    const struct photo *p = &s->photo;
    struct photo_facts facts = {
        .orientation = p->orientation,
        .taken = p->taken,
        .shows = "other",
        .has_gps = p->has_gps,
    };
    struct text camera = {0};
    bool ok;

    photo_upright_size(p, &facts.width, &facts.height);
    text_addf(&camera, "%s%s%s", p->make, *p->make && *p->model ? " " : "",
              p->model);
    facts.camera = text_str(&camera);
    ok = photo_record(cli->book, &s->file, &facts, id, err);
    text_clear(&camera);
    return ok;
}

bool cli_photo_check(const char *path, struct error *err)
{
    struct shot shot;
    bool ok = shot_open(path, &shot, err);

    if (ok)
        shot_close(&shot);
    return ok;
}

bool cli_photo_of(struct cli *cli, const char *path, const int64_t *skein,
                  size_t count, int64_t *id, struct error *err)
{
    struct shot shot;
    char which[24];
    bool ok;

    if (!shot_open(path, &shot, err))
        return false;
    ok = photo_keep(cli->book, shot.data, shot.size, &shot.file, err) &&
         record_shot(cli, &shot, id, err);
    snprintf(which, sizeof which, "#%lld", ok ? (long long)*id : 0);
    for (size_t i = 0; ok && i < count; i++)
        ok = add_sight(cli, which, skein[i], NULL, NULL, err);
    shot_close(&shot);
    return ok;
}

bool cli_photo_add(struct cli *cli, struct error *err)
{
    struct shot shot;
    struct text none = {0};
    int64_t id = 0;
    bool ok;

    if (cli->word_count < 2)
        return cli_usage(cli, err, "say which file: hanklab photo add FILE");
    if (!cli_book(cli, err) || !shot_open(cli->word[1], &shot, err))
        return false;
    ok = photo_keep(cli->book, shot.data, shot.size, &shot.file, err) &&
         book_act_begin(cli->book, "photo add", err);
    if (ok) {
        ok = record_shot(cli, &shot, &id, err) && add_words(cli, id, err) &&
             add_sights(cli, id, err) && book_act_end(cli->book, err);
        book_act_cancel(cli->book);
    }
    ok = ok && cli_tell(cli, &nouns[NOUN_PHOTO], id, "kept", &none, err);
    shot_close(&shot);
    return ok;
}
