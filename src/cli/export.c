/* hanklab export: results for another dyer, in one file. */
#include "cli/exchange.h"

#include <stdlib.h>
#include <string.h>

#include "base/json.h"
#include "base/mem.h"
#include "book/exchange.h"
#include "book/record.h"
#include "cli/ask.h"

/* ---- which skeins -------------------------------------------------------- */

static bool is_narrowed(const struct cli *cli)
{
    static const struct cli_option filters[] = {CLI_FILTER_OPTIONS};

    for (size_t i = 0; i < ARRAY_LEN(filters); i++)
        if (cli_has(cli, filters[i].name))
            return true;
    return false;
}

static bool add_found(struct cli *cli, int64_t **ids, size_t *count,
                      struct error *err)
{
    struct ask_filter filter;
    struct ask_skeins found;

    if (!cli_filter(cli, &filter, err) ||
        !ask_skeins(cli->book, &filter, 0, &found, err))
        return false;
    *ids = mem_new(found.count, sizeof **ids);
    for (size_t i = 0; i < found.count; i++)
        (*ids)[i] = found.skein[i].id;
    *count = found.count;
    ask_skeins_free(&found);
    return *count || error_set(err, ERR_MISSING,
                               "no skein is like that: nothing was written");
}

static bool add_named(struct cli *cli, int64_t **ids, size_t *count,
                      struct error *err)
{
    for (size_t i = 1; i < cli->word_count; i++) {
        int64_t *some;
        size_t n;
        if (!record_skeins(cli->book, book_dyer(cli->book), cli->word[i], &some,
                           &n, NULL, err))
            return false;
        *ids = mem_resize(*ids, *count + n, sizeof **ids);
        for (size_t k = 0; k < n; k++)
            (*ids)[(*count)++] = some[k];
        free(some);
    }
    return true;
}

/* ---- what was done ------------------------------------------------------- */

static void tell_json(struct cli *cli, const struct exchange_given *g)
{
    struct json j = json_to(&cli->out);

    json_add_object(&j, NULL);
    json_add_string(&j, "file", cli->word[0]);
    json_add_object(&j, "records");
    for (size_t n = 0; n < NOUN_COUNT; n++)
        if (g->count[n])
            json_add_whole(&j, nouns[n].plural, (int64_t)g->count[n]);
    json_end(&j);
    json_add_whole(&j, "along", (int64_t)g->along);
    json_add_whole(&j, "photos", (int64_t)g->photos);
    json_add_whole(&j, "lost", (int64_t)g->lost);
    json_end(&j);
}

/* Who never said her name is "me" to everybody. */
static void tell_whose(struct cli *cli)
{
    struct text name = {0};
    struct error err;

    if (record_label(cli->book, NOUN_DYER, book_dyer(cli->book), &name, &err) &&
        !strcmp(text_str(&name), BOOK_NAMELESS))
        cli_note("they went as skeins of %s, %s/1 in another book; \"hanklab "
                 "dyer edit %s --name NAME\" says your name",
                 text_str(&name), text_str(&name), text_str(&name));
    text_clear(&name);
}

static void tell(struct cli *cli, const struct exchange_given *g)
{
    const size_t skeins = g->count[NOUN_SKEIN];

    if (cli->json) {
        tell_json(cli, g);
        return;
    }
    text_addf(&cli->out, "Wrote %s: %zu skein%s, %zu photo%s.\n", cli->word[0],
              skeins, skeins == 1 ? "" : "s", g->photos,
              g->photos == 1 ? "" : "s");
    if (g->along)
        text_addf(&cli->out,
                  "%zu of the skeins came along, for they shared a pot or were "
                  "cut or plied: amounts are wrong without them.\n",
                  g->along);
    text_add(&cli->out, cli_has(cli, "places")
                            ? "The places where things were gathered are in "
                              "it.\n"
                            : "The places where things were gathered were left "
                              "out; notes are in it as they are.\n");
    tell_whose(cli);
    if (g->lost)
        text_addf(&cli->out,
                  "%zu photo%s left out (\"hanklab check\" tells more):\n%s",
                  g->lost, g->lost == 1 ? " was" : "s were",
                  text_str(&g->told));
}

bool exchange_export(struct cli *cli, struct error *err)
{
    const bool narrowed = is_narrowed(cli);
    struct exchange_pick pick = {.places = cli_has(cli, "places"),
                                 .plans = cli_has(cli, "plans")};
    struct exchange_given given = {0};
    int64_t *ids = NULL;
    size_t count = 0;
    bool ok;

    if (narrowed && cli->word_count > 1)
        return cli_usage(cli, err,
                         "say which skeins, or what they are like, not both");
    pick.all = !narrowed && cli->word_count == 1;
    ok = cli_book(cli, err) &&
         (pick.all || (narrowed ? add_found(cli, &ids, &count, err)
                                : add_named(cli, &ids, &count, err)));
    pick.skein = ids;
    pick.skeins = count;
    if (ok && exchange_give(cli->book, cli->word[0], &pick, &given, err)) {
        tell(cli, &given);
        cli->exit = given.lost > 0;
    } else {
        ok = false;
    }
    exchange_given_clear(&given);
    free(ids);
    return ok;
}
