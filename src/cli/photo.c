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

static bool keep(struct cli *cli, const struct photo *p,
                 const unsigned char *data, size_t size, int64_t *id,
                 struct error *err)
{
    struct kept_file file;
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
    ok = photo_keep(cli->book, data, size, &file, err) &&
         book_act_begin(cli->book, "photo add", err);
    if (ok) {
        ok = photo_record(cli->book, &file, &facts, id, err) &&
             add_words(cli, *id, err) && add_sights(cli, *id, err) &&
             book_act_end(cli->book, err);
        book_act_cancel(cli->book);
    }
    text_clear(&camera);
    return ok;
}

bool cli_photo_add(struct cli *cli, struct error *err)
{
    unsigned char *data = NULL;
    struct photo photo = {0};
    struct text none = {0};
    size_t size;
    int64_t id;
    bool ok;

    if (cli->word_count < 2)
        return cli_usage(cli, err, "say which file: hanklab photo add FILE");
    ok = cli_book(cli, err) &&
         file_load(cli->word[1], PHOTO_MAX_BYTES, &data, &size, err) &&
         photo_open(data, size, &photo, err) &&
         keep(cli, &photo, data, size, &id, err) &&
         cli_tell(cli, &nouns[NOUN_PHOTO], id, "kept", &none, err);
    photo_clear(&photo);
    free(data);
    return ok;
}
