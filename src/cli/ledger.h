/* A list from a spreadsheet on the command line. */
#ifndef HANKLAB_CLI_LEDGER_H
#define HANKLAB_CLI_LEDGER_H

#include "book/exchange.h"
#include "cli/cli.h"

/* Takes a file in, or only looks, and tells. */
typedef bool import_taking(struct cli *cli, const struct exchange_file *file,
                           bool look, struct error *err);

import_taking import_ledger;

#endif
