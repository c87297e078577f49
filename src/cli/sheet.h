/* Private to the command line: how records are shown and listed, by "show",
 * "list" and "NOUN VERB". */
#ifndef HANKLAB_CLI_SHEET_H
#define HANKLAB_CLI_SHEET_H

#include "base/json.h"
#include "book/history.h"
#include "book/record.h"
#include "book/sheet.h"
#include "cli/cli.h"

/* One record with everything that belongs to it. */
bool cli_show(struct cli *cli, const struct noun *noun, int64_t id,
              struct error *err);

/* All records of a noun, as a table; withdrawn ones too, if asked for. */
bool cli_list(struct cli *cli, const struct noun *noun, bool withdrawn,
              struct error *err);

/* Tells the cautions of the material that a new record names, on standard
 * error; nothing for records that name none. */
bool cli_cautions(struct cli *cli, const struct noun *noun, int64_t id,
                  struct error *err);

/* What people are shown of a field: a camera's maker once, where the model
 * begins with it too. NULL when it is empty. */
const char *show_words(const struct record_field *field);

/* The fields of a record in lines, "  weight    3/4 oz, read as 21.3 g", but
 * for those named in skip (ended by NULL; may be NULL). */
void show_fields(const struct record *r, const char *const *skip,
                 struct text *out);

/* One field in a sentence: the words, or what a bare number was read as; NULL
 * when it is not recorded. */
const char *show_fact(const struct record *r, const char *field);

/* The same as keys and values of an open JSON object: the words under the
 * field's name, numbers beside them with their units. */
void show_fields_json(const struct record *r, struct json *j);

/* One dose in a line: "alum, 12 % of the fibre: 10.2 g on 85 g". */
void show_dose(const struct sheet_dose *d, struct text *out);
void show_dose_json(const struct sheet_dose *d, struct json *j);

/* What an act changed, as an array; name NULL: inside of none. */
/* Changes as a table, or as CSV when that is asked for. */
void show_changes_table(struct cli *cli, const struct history_change *list,
                        size_t count);
void show_changes_json(const struct history_change *list, size_t count,
                       const char *name, struct json *j);

/* One reading in a line, with a block of its colour on a terminal. */
void show_reading(const struct sheet_reading *r, bool colour, struct text *out);
void show_reading_json(const struct sheet_reading *r, struct json *j);

/* What "D50, 2 degree" and the signs mean, once under what shows colours. */
extern const char show_colour_note[];

bool show_skein(struct cli *cli, int64_t id, struct error *err);
bool show_pot(struct cli *cli, int64_t id, struct error *err);

#endif
