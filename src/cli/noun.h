/* hanklab NOUN VERB: commands made from the table of records. */
#ifndef HANKLAB_CLI_NOUN_H
#define HANKLAB_CLI_NOUN_H

#include "book/noun.h"
#include "book/record.h"
#include "cli/cli.h"

/* The command of a noun: "hanklab skein add ...". Made once, never freed. */
const struct cli_command *cli_noun_command(const struct noun *noun);

/* Nouns that are reached by commands, as the help lists them; region is not,
 * since it comes with its reading. */
bool cli_noun_is_command(const struct noun *noun);

/* Says what was done with a record, and how its values were understood. */
bool cli_tell(struct cli *cli, const struct noun *noun, int64_t id,
              const char *done, const struct text *echo, struct error *err);

/*
 * What was weighed or reckoned for skeins, kept aside before their weight is
 * changed; after that what moved is told, a line a dose. src/cli/edited.c
 *
 * id   borrowed until it is released
 * out  release with cli_weighed_free, also when it fails
 */
struct cli_weighed;
bool cli_weighed_before(struct cli *cli, const int64_t *id, size_t count,
                        struct cli_weighed **out, struct error *err);
bool cli_weighed_tell(struct cli *cli, const struct cli_weighed *before,
                      struct text *out, struct error *err);
void cli_weighed_free(struct cli_weighed *weighed);

/* Adds a picture to the book, with the skeins it shows; src/cli/photo.c. */
bool cli_photo_add(struct cli *cli, struct error *err);

/* Whether a file is a photo that can be kept. */
bool cli_photo_check(const char *path, struct error *err);

/* Keeps a photo with skeins it shows, in the open act. */
bool cli_photo_of(struct cli *cli, const char *path, const int64_t *skein,
                  size_t count, int64_t *id, struct error *err);

/*
 * Asks for the light, observer and geometry of an instrument's reading, where
 * they were not said and a terminal is there; src/cli/reading.c. The values
 * are appended to values, which has room for them; answer keeps their words
 * (all NULL before) and is released by the caller.
 */
enum { CLI_READING_QUESTIONS = 3 };
bool cli_reading_ask(struct cli *cli, struct record_value *values, size_t *n,
                     char *answer[CLI_READING_QUESTIONS], struct error *err);

/* Of a reading for another light than usual: that it stays by itself; appended
 * to echo. */
bool cli_reading_light(struct cli *cli, int64_t id, struct text *echo,
                       struct error *err);

#endif
