/* hanklab serve: the page, a program of its own beside this one. */
#include "cli/commands.h"

#include <arpa/inet.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/mem.h"
#include "cli/beside.h"

/* Of a local network, in numbers: 192.168.1.5. */
static bool check_address(struct cli *cli, const char *words, struct error *err)
{
    struct in_addr a;

    if (!words)
        return true;
    if (!cli_has(cli, "share"))
        return cli_usage(cli, err, "--address goes with --share");
    if (inet_pton(AF_INET, words, &a) != 1)
        return error_set(err, ERR_INPUT,
                         "\"%s\" is not an address: say it in numbers, such as "
                         "192.168.1.5",
                         words);
    return true;
}

static bool run(struct cli *cli, struct error *err)
{
    char program[] = "hanklab-serve";
    char port_words[16], share[64], open[] = "open";
    char *folder, *words[6];
    const char *address = cli_value(cli, "address");
    size_t n = 0;
    long long port = 8137;

    if (!cli_whole(cli, "port", 0, 65535, &port, err) ||
        !check_address(cli, address, err) || !cli_book(cli, err))
        return false;
    snprintf(port_words, sizeof port_words, "%lld", port);
    folder = cli_book_folder(cli);
    snprintf(share, sizeof share, "share%s%s", address ? "=" : "",
             address ? address : "");
    words[n++] = program;
    words[n++] = folder;
    words[n++] = port_words;
    if (cli_has(cli, "open"))
        words[n++] = open;
    if (cli_has(cli, "share"))
        words[n++] = share;
    words[n] = NULL;
    beside_become(program, words, err);
    free(folder);
    return false;
}

static const struct cli_option options[] = {
    {"port", "N", "where it answers; 8137 if not said, 0: any free one"},
    {"open", NULL, "open it in the browser"},
    {"share", NULL, "let devices of the local network in, each by a code"},
    {"address", "ADDRESS", "share at this address of the machine only"},
};

const struct cli_command command_serve = {
    "serve",
    "",
    "show the book as a page in the browser",
    "The page answers on this machine only, until Ctrl-C ends it. Command "
    "line\nand page may work on the book at the same time. With --share it "
    "answers in\nthe local network too, to devices that were let in; \"hanklab "
    "device\" has them.",
    options,
    ARRAY_LEN(options),
    0,
    0,
    run,
};
