/* What the commands that ask the book share: filters, notes, JSON. */
#ifndef HANKLAB_CLI_ASK_H
#define HANKLAB_CLI_ASK_H

#include "base/json.h"
#include "book/ask.h"
#include "cli/cli.h"
#include "draw/terminal.h"

#define DE00 "\u0394E00"
#define DE76 "\u0394E*ab"

/* Which readings count as a skein's colour. */
#define CLI_READING_OPTIONS                                                    \
    {"wet", NULL, "go by readings of the wet yarn"},                           \
        {"light", "LIGHT", "go by an instrument's readings, such as D65/10"},  \
    {                                                                          \
        "part", "whole|covered|exposed|dipped|rest",                           \
            "go by that part of the skeins; whole if not said"                 \
    }

/* Which skeins are asked for; the words of ask_filter_read. */
#define CLI_WHICH_OPTIONS                                                      \
    {"dyestuff", "NAME", "last dyed with it", CLI_MANY},                       \
        {"mordant", "NAME", "mordanted with it", CLI_MANY},                    \
        {"dip", "NAME", "dipped in it since the last dye", CLI_MANY},          \
        {"no-dip", NULL, "not dipped since the last dye"},                     \
        {"only", NULL, "with nothing beside the ones named, kind by kind"},    \
        {"ever", NULL, "dyestuff, round, bath, dip at any time of its life"},  \
        {"round", "ROUND", "of the last dye: first, exhaust 1, exhaust 2"},    \
        {"bath", "BATH", "last dyed in it; mordanted or dipped in it"},        \
        {"fibre", "NAME", "of that yarn"},                                     \
        {"ph", "LOW..HIGH", "pH of the last dye, or of its bath"},             \
        {"per-fibre", "LOW..HIGH", "dyestuff in percent of the fibre"},        \
        {"date", "DAY", "dyed then: May 2026, summer 2019, summer (any)"},     \
        {"water", "NAME", "dyed in that water"},                               \
        {"supply", "NAME", "made with that batch"},                            \
        {"owner", "NAME", "of that dyer; me for your own"},                    \
        {"glow", "HOW",                                                        \
         "under an ultraviolet lamp: any, none, faint, strong"},               \
        {"fastness", "GRADE", "tested, with no lower grade: 4, or wash 3-4"},  \
        {"text", "WORDS", "with these words in a note of it or of its pots"},  \
    {                                                                          \
        "unfinished", NULL, "marked finished=no, to be filled in later"        \
    }

#define CLI_FILTER_OPTIONS CLI_WHICH_OPTIONS, CLI_READING_OPTIONS

/* The answer as a picture, beside what is said. */
#define CLI_SVG_OPTION                                                         \
    {                                                                          \
        "svg", "FILE", "keep the answer as a picture in a file, too"           \
    }

/* Writes a picture to the file of --svg; a file of that name is replaced. */
bool cli_svg(struct cli *cli, const struct text *picture, struct error *err);

/* Reads them into a filter. Opens the book. */
bool cli_filter(struct cli *cli, struct ask_filter *out, struct error *err);

/* "D50, 2 degree", with "wet" and "covered part" before it when asked for. */
void cli_light_words(const struct ask_filter *filter, struct text *out);

/* "3 skeins left out: 1 read wet only, 2 not measured", or "2 skeins left out:
 * read under D65/10 only; --light D65/10 goes by those", to standard error;
 * nothing when none are. */
bool cli_note_left_out(struct cli *cli, const size_t left_out[ASK_LACKS],
                       const struct ask_filter *filter, struct error *err);

/* Of a question for what is unfinished: the pots without a skein yet, in a line
 * of their own; nothing for JSON and CSV. */
bool cli_tell_empty_pots(struct cli *cli, const struct ask_filter *filter,
                         struct error *err);

/* Why skeins were left out, as an object called left_out. */
void cli_json_left_out(struct json *j, const size_t left_out[ASK_LACKS]);

/* Which readings an answer went by: illuminant, observer_deg, wet. */
void cli_json_light(struct json *j, const struct ask_filter *filter);

/* Who a skein is and how it was made, into an open object; wet: readings taken
 * wet were asked for. */
void cli_json_skein(struct json *j, const struct ask_skein *skein, bool wet);

/* L, a, b into an open object. */
void cli_json_lab(struct json *j, struct lab lab);

/* Three cells: L, a, b; empty ones for NaN. */
void cli_lab_cells(struct text_table *t, struct lab lab, int places);

/* A cell with the own word, and before which step it was said. */
void cli_word_cell(struct text_table *t, const struct ask_skein *skein);

/* A cell with a number to some decimals; empty for NaN. */
void cli_real_cell(struct text_table *t, double x, int places);

/* Recipe cells of a CSV row, and their headings. */
void cli_recipe_heads(struct text_table *t);
void cli_recipe_cells(struct text_table *t, const struct ask_skein *skein);

/* "match", "cannot tell", "different", for a narrow column. */
const char *cli_verdict_short(enum verdict verdict);

/* "match", "cannot_tell", "different" */
const char *cli_verdict_key(enum verdict verdict);

/* The verdict in words; the readings are not called a photo unless they are. */
void cli_verdict_words(struct comparison c, bool photo, struct text *out);

/* --tolerance, 2 when it was not given. */
bool cli_tolerance(const struct cli *cli, double *out, struct error *err);

#endif
