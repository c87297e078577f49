/* hanklab import: what another dyer handed on, or a list of one's own. */
#include "cli/exchange.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/json.h"
#include "base/mem.h"
#include "book/exchange.h"
#include "book/ledger.h"
#include "cli/ledger.h"
#include "draw/terminal.h"

/* ---- what it holds ------------------------------------------------------- */

static bool any_of(const struct exchange_taken *taken, enum exchange_what what)
{
    for (size_t i = 0; i < taken->items; i++)
        if (taken->item[i].what == what)
            return true;
    return false;
}

/* Side by side: the record, the field, here, in the file. */
static void add_items(struct cli *cli, const struct exchange_taken *taken,
                      enum exchange_what what)
{
    const bool fields = what != EXCHANGE_ADDS;
    struct text_table t = {.columns = fields ? 4 : 1};

    if (!any_of(taken, what))
        return;
    text_addf(&cli->out, "%s (%zu):\n", exchange_what_words(what),
              taken->count[what]);
    table_add(&t, "record");
    if (fields) {
        table_add(&t, "");
        table_add(&t, "here");
        table_add(&t, "in the file");
    }
    for (size_t i = 0; i < taken->items; i++) {
        const struct exchange_item *item = &taken->item[i];
        if (item->what != what)
            continue;
        table_addf(&t, "%s %s", item->noun->name, item->label);
        if (fields) {
            table_add(&t, item->field);
            table_add(&t, item->here ? item->here : "-");
            table_add(&t, item->there ? item->there : "-");
        }
    }
    table_write(&t, cli->colour, cli->columns, &cli->out);
}

static void tell(struct cli *cli, const struct exchange_taken *taken)
{
    exchange_taken_words(taken, &cli->out);
    for (int what = 0; what < EXCHANGE_WHATS; what++)
        add_items(cli, taken, (enum exchange_what)what);
    if (taken->items == EXCHANGE_ITEMS)
        text_addf(&cli->out, "(%d shown of all these)\n", EXCHANGE_ITEMS);
}

static const char *const keys[EXCHANGE_WHATS] = {
    [EXCHANGE_CHANGED] = "changed", [EXCHANGE_CONFLICT] = "conflicts",
    [EXCHANGE_YOURS] = "yours",     [EXCHANGE_ADDS] = "left_out",
    [EXCHANGE_RENAMED] = "renamed",
};

static void tell_json(struct cli *cli, const struct exchange_taken *taken)
{
    struct json j = json_to(&cli->out);

    json_add_object(&j, NULL);
    json_add_string(&j, "from", taken->from);
    json_add_string(&j, "made_on", taken->made_on[0] ? taken->made_on : NULL);
    if (taken->act)
        json_add_whole(&j, "act", taken->act);
    else
        json_add_null(&j, "act");
    json_add_object(&j, "new");
    for (size_t n = 0; n < NOUN_COUNT; n++)
        if (taken->fresh[n])
            json_add_whole(&j, nouns[n].plural, (int64_t)taken->fresh[n]);
    json_end(&j);
    json_add_whole(&j, "same", (int64_t)taken->same);
    json_add_whole(&j, "older", (int64_t)taken->older);
    for (int what = 0; what < EXCHANGE_WHATS; what++) {
        json_add_array(&j, keys[what]);
        for (size_t i = 0; i < taken->items; i++) {
            const struct exchange_item *item = &taken->item[i];
            if ((int)item->what != what)
                continue;
            json_add_object(&j, NULL);
            json_add_string(&j, "record", item->noun->name);
            json_add_string(&j, "label", item->label);
            if (item->field[0]) {
                json_add_string(&j, "field", item->field);
                json_add_string(&j, "here", item->here);
                json_add_string(&j, "there", item->there);
            }
            json_end(&j);
        }
        json_end(&j);
    }
    json_end(&j);
}

/* ---- taking in ----------------------------------------------------------- */

/* Whether it is to be taken in, when asked now. */
static bool is_wanted(struct cli *cli, bool *wanted, struct error *err)
{
    char *line = NULL;
    size_t room = 0;

    *wanted = false;
    if (!cli->ask)
        return true;
    text_add(&cli->out, "Take it in? [no] ");
    if (!cli_flush(cli, err))
        return false;
    if (getline(&line, &room, stdin) > 0)
        *wanted = line[0] == 'y' || line[0] == 'Y';
    free(line);
    return true;
}

static bool take(struct cli *cli, const struct exchange_file *file, bool look,
                 struct error *err)
{
    struct exchange_taken taken;
    const bool ok =
        exchange_take(cli->book, file, look, cli_has(cli, "own"), &taken, err);

    if (ok && cli->json)
        tell_json(cli, &taken);
    else if (ok && (look || cli_has(cli, "yes")))
        tell(cli, &taken);
    if (ok && taken.act && !cli->json)
        text_addf(&cli->out, "Kept. Not meant? hanklab undo %lld\n",
                  (long long)taken.act);
    exchange_taken_clear(&taken);
    return ok;
}

/* Looks, asks where somebody can answer, takes in. */
static bool look_and_take(struct cli *cli, const struct exchange_file *file,
                          import_taking *taking, struct error *err)
{
    bool wanted = cli_has(cli, "yes");

    if (!wanted && !taking(cli, file, true, err))
        return false;
    if (!wanted && cli->json)
        return true;
    if (!wanted && !is_wanted(cli, &wanted, err))
        return false;
    if (!wanted) {
        text_add(&cli->out, "Nothing was taken in yet: --yes takes it in.\n");
        return true;
    }
    return taking(cli, file, false, err);
}

bool exchange_import(struct cli *cli, struct error *err)
{
    struct exchange_file file = {.path = cli->word[0]};
    static const char *const own[] = {"match", "all", "together", "rest"};
    bool zip;

    if (!cli_book(cli, err) || !ledger_is_zip(file.path, &zip, err))
        return false;
    for (size_t i = 0; zip && i < ARRAY_LEN(own); i++)
        if (cli_has(cli, own[i]))
            return cli_usage(cli, err, "--%s is for a list, not for a zip file",
                             own[i]);
    if (!zip && cli_has(cli, "own"))
        return cli_usage(cli, err, "--own is for a zip file, not for a list");
    return look_and_take(cli, &file, zip ? take : import_ledger, err);
}
