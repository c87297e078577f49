/* hanklab undo: takes the last act back, or a named one. */
#include "cli/commands.h"

#include <string.h>

#include "base/mem.h"
#include "book/history.h"

static bool run(struct cli *cli, struct error *err)
{
    long long act = 0;
    int64_t done;
    struct history_change *changes = NULL;
    size_t count = 0;

    if (cli->word_count && (!text_whole(cli->word[0], &act) || act < 1))
        return cli_usage(cli, err,
                         "\"%s\" is not the number of an act; see "
                         "\"hanklab history\"",
                         cli->word[0]);
    if (!cli_book(cli, err) || !history_undo(cli->book, act, &done, err) ||
        !history_changes(cli->book, done, NULL, 0, &changes, &count, err))
        return false;
    text_addf(&cli->out, "Act %lld is undone:\n", (long long)done);
    for (size_t i = 0; i < count; i++) {
        struct history_change *c = &changes[i];
        if (!c->noun || (c->field && !c->what))
            continue;
        text_addf(&cli->out, "  %s %s: ", c->noun->name, c->label);
        if (!c->field)
            text_add(&cli->out, "withdrawn\n");
        else if (!strcmp(c->field, "withdrawn"))
            text_add(&cli->out,
                     strcmp(c->was, "yes") ? "brought back\n" : "withdrawn\n");
        else if (c->was)
            text_addf(&cli->out, "%s is \"%s\" again\n", c->what, c->was);
        else
            text_addf(&cli->out, "%s is not recorded again\n", c->what);
    }
    history_changes_free(changes, count);
    return true;
}

const struct cli_command command_undo = {
    "undo",
    "[ACT]",
    "take the last act back, or the one with that number",
    "Undoing is an act too, so it can be undone. An act whose records were\n"
    "changed later is refused; undo the later one first.",
    NULL,
    0,
    0,
    1,
    run,
};
