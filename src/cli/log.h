/* Private to the command line: the two faces of hanklab log. */
#ifndef HANKLAB_CLI_LOG_H
#define HANKLAB_CLI_LOG_H

#include "book/pot.h"
#include "cli/cli.h"

/* Asks question by question, in the order of the day, and logs it. pot holds
 * what options said already; what is typed lives until the end. */
bool log_ask(struct cli *cli, struct pot_entry *pot, struct error *err);

/* "first bath", "exhaust 2", "vat" */
void log_round_words(const struct pot_result *r, struct text *out);

/* "bath 3 "madder", first bath, skeins 4 to 6" */
void log_sum_up(const struct pot_entry *pot, const struct pot_result *r,
                struct text *out);

#endif
