/* hanklab init: a new book. */
#include "cli/commands.h"

#include <stdlib.h>

#include "base/mem.h"

static bool run(struct cli *cli, struct error *err)
{
    const char *dyer = cli_value(cli, "dyer");
    char *folder =
        cli->word_count ? mem_text(cli->word[0]) : cli_book_folder(cli);
    bool ok;

    if (!dyer)
        dyer = BOOK_NAMELESS;
    ok = book_create(folder, dyer, err);
    if (ok) {
        cli_warn(folder);
        text_addf(&cli->out, "A new book in %s, kept by %s.\n", folder, dyer);
    }
    free(folder);
    return ok;
}

static const struct cli_option options[] = {
    {"dyer", "NAME", "whose book it is; shown to others beside your results"},
};

const struct cli_command command_init = {
    "init",
    "[DIR]",
    "make a new, empty book",
    "The book is a folder. Without DIR it is the one named by --book or\n"
    "HANKLAB_BOOK, else the usual place for your data.",
    options,
    ARRAY_LEN(options),
    0,
    1,
    run,
};
