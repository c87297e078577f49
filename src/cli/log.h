/* Private to the command line: the two faces of hanklab log, and what hanklab
 * treat has in common with it. */
#ifndef HANKLAB_CLI_LOG_H
#define HANKLAB_CLI_LOG_H

#include "book/pot.h"
#include "cli/cli.h"

/* Asks question by question, in the order of the day, and logs it. pot holds
 * what options said already; what is typed lives until the end. */
bool log_ask(struct cli *cli, struct pot_entry *pot, struct error *err);

/* The values of an option given many times; those of --skein; released with
 * the entry. */
struct pot_words log_words(const struct cli *cli, const char *option);
bool log_skeins(const struct cli *cli, struct pot_entry *pot,
                struct error *err);
void log_entry_clear(struct pot_entry *pot);

/* pot_log, pot_treat; and what says in short what they kept. */
typedef bool log_keeping(struct book *book, const struct pot_entry *pot,
                         struct pot_result *result, struct text *echo,
                         struct error *err);
typedef void log_summing(const struct pot_entry *pot,
                         const struct pot_result *r, struct text *out);

/* Keeps an entry, then tells how all was understood and the sum of what was
 * kept, or the same as JSON.
 *
 * photo  a file to keep with its skeins in the same act, or NULL */
bool log_keep(struct cli *cli, struct pot_entry *pot, const char *photo,
              log_keeping *keep, log_summing *sum_up, struct error *err);

/* Cautions to standard error, then how all was understood and what was kept
 * (NULL: the answer is there already), and at the very end, where it is seen,
 * to standard error what is asked. */
bool log_tell(struct cli *cli, const struct pot_result *r,
              const struct text *echo, const char *kept, struct error *err);

/* "skeins 4 to 6" */
void log_numbers(const struct pot_result *r, struct text *out);

/* "first bath", "exhaust 2", "vat" */
void log_round_words(const struct pot_result *r, struct text *out);

/* "bath 3 "madder", first bath, skeins 4 to 6" */
log_summing log_sum_up;

#endif
