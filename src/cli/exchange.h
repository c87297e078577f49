/*
 * Private to the command line: what export and import do.
 *
 * It needs libzip, and that libcrypto, whose beginning takes as long as all
 * else at the start of a program. So hanklab has elsewhere.c in its place,
 * which becomes hanklab-exchange: the same program, with export.c and import.c.
 */
#ifndef HANKLAB_CLI_EXCHANGE_H
#define HANKLAB_CLI_EXCHANGE_H

#include "cli/cli.h"

bool exchange_export(struct cli *cli, struct error *err);
bool exchange_import(struct cli *cli, struct error *err);

#endif
