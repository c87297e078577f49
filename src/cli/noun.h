/* hanklab NOUN VERB: commands made from the table of records. */
#ifndef HANKLAB_CLI_NOUN_H
#define HANKLAB_CLI_NOUN_H

#include "book/noun.h"
#include "cli/cli.h"

/* The command of a noun: "hanklab skein add ...". Made once, never freed. */
const struct cli_command *cli_noun_command(const struct noun *noun);

/* Nouns that are reached by commands, as the help lists them; region is not,
 * since it comes with its reading. */
bool cli_noun_is_command(const struct noun *noun);

/* Adds a picture to the book, with the skeins it shows; src/cli/photo.c. */
bool cli_photo_add(struct cli *cli, struct error *err);

#endif
