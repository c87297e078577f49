/* hanklab device: the phones and tablets that may open a shared page. */
#include "cli/commands.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/json.h"
#include "base/mem.h"
#include "book/device.h"
#include "draw/qr.h"
#include "draw/terminal.h"

static void list_json(struct cli *cli, const struct device *d, size_t count)
{
    struct json j = json_to(&cli->out);

    json_add_array(&j, NULL);
    for (size_t i = 0; i < count; i++) {
        json_add_object(&j, NULL);
        json_add_whole(&j, "device", d[i].number);
        json_add_string(&j, "name", d[i].name);
        json_add_string(&j, "paired_on", d[i].paired_on);
        json_add_string(&j, "seen_on", d[i].seen_on);
        json_add_bool(&j, "revoked", d[i].revoked);
        json_end(&j);
    }
    json_end(&j);
}

static void list_table(struct cli *cli, const struct device *d, size_t count)
{
    static const char *const heads[] = {"device", "name", "let in", "last seen",
                                        ""};
    struct text_table t = {.columns = ARRAY_LEN(heads)};

    for (size_t i = 0; i < t.columns; i++)
        table_add(&t, heads[i]);
    for (size_t i = 0; i < count; i++) {
        table_addf(&t, "%d", d[i].number);
        table_add(&t, d[i].name);
        table_add(&t, d[i].paired_on);
        table_add(&t, d[i].seen_on);
        table_add(&t, d[i].revoked ? "sent away" : "");
    }
    if (cli->csv)
        table_write_csv(&t, &cli->out);
    else
        table_write(&t, cli->colour, cli->columns, &cli->out);
}

static bool list(struct cli *cli, const char *folder, struct error *err)
{
    struct device *d;
    size_t count;

    if (!device_list(folder, &d, &count, err))
        return false;
    if (cli->json)
        list_json(cli, d, count);
    else if (count || cli->csv)
        list_table(cli, d, count);
    else
        text_add(&cli->out, "No device was let in yet.\n");
    device_list_free(d, count);
    return true;
}

static void tell_offer(struct cli *cli, const struct device_offer *offer)
{
    struct text to = {0};

    text_addf(&cli->out, "Open %s on it and type %.3s %.3s\n", offer->at,
              offer->code, offer->code + 3);
    text_addf(&to, "%spair?code=%s", offer->at, offer->code);
    if (isatty(STDOUT_FILENO) && qr_terminal(text_str(&to), &cli->out))
        text_add(&cli->out, "or let its camera read that.\n");
    text_addf(&cli->out, "The code is good once, for %d minutes.\n",
              DEVICE_CODE_MINUTES);
    text_clear(&to);
}

static bool add(struct cli *cli, const char *folder, struct error *err)
{
    struct device_offer offer;
    bool ok = device_offer_now(folder, &offer, err);

    if (ok && !offer.at)
        ok = error_set(err, ERR_INPUT,
                       "the book is not shared just now: begin with \"hanklab "
                       "serve --share\"");
    device_offer_clear(&offer);
    ok = ok && device_offer_new(folder, &offer, err);
    if (ok)
        tell_offer(cli, &offer);
    device_offer_clear(&offer);
    return ok;
}

static bool act(struct cli *cli, const char *folder, struct error *err)
{
    const char *verb = cli->word[0];

    if (!strcmp(verb, "list"))
        return list(cli, folder, err);
    if (!strcmp(verb, "add"))
        return add(cli, folder, err);
    if (!strcmp(verb, "revoke")) {
        if (!device_revoke(folder, cli->word[1], err))
            return false;
        text_addf(&cli->out, "device %s is sent away\n", cli->word[1]);
        return true;
    }
    if (!device_rename(folder, cli->word[1], cli->word[2], err))
        return false;
    text_addf(&cli->out, "device %s is called %s\n", cli->word[1],
              cli->word[2]);
    return true;
}

static bool run(struct cli *cli, struct error *err)
{
    const struct cli_verb *verb = cli_verb_find(cli->command, cli->word[0]);
    size_t words;
    char *folder;
    bool ok;

    if (!verb)
        return cli_usage(cli, err,
                         "\"%s\" is not something done to a device: add, list, "
                         "rename or revoke",
                         cli->word[0]);
    words = !strcmp(verb->name, "rename")   ? 3
            : !strcmp(verb->name, "revoke") ? 2
                                            : 1;
    if (cli->word_count != words)
        return cli_usage(cli, err, "say: hanklab device %s %s", verb->name,
                         verb->words);
    if (!cli_book(cli, err))
        return false;
    folder = cli_book_folder(cli);
    ok = act(cli, folder, err);
    free(folder);
    return ok;
}

static const struct cli_verb verbs[] = {
    {"add", "", "make a code that lets one in while the book is shared"},
    {"list", "", "list those that were let in"},
    {"rename", "WHICH NAME", "give one another name"},
    {"revoke", "WHICH", "send one away for good"},
};

const struct cli_command command_device = {
    .name = "device",
    .words = "add|list|rename|revoke [WHICH] [NAME]",
    .summary = "let phones and tablets in, and send them away",
    .detail =
        "For a book that is shared by \"hanklab serve --share\". WHICH is "
        "a number or a name\nof the list. The history says which device "
        "did an act.",
    .min_words = 1,
    .max_words = 3,
    .run = run,
    .verbs = verbs,
    .verb_count = ARRAY_LEN(verbs),
};
