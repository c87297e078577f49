/* hanklab export, import: what they are called with. */
#include "cli/exchange.h"

#include "base/mem.h"
#include "cli/ask.h"
#include "cli/commands.h"

static const struct cli_option export_options[] = {
    {"places", NULL, "with the places where things were gathered"},
    {"plans", NULL, "with the projects, their colours and steps"},
    CLI_FILTER_OPTIONS,
};

const struct cli_command command_export = {
    "export",
    "FILE.zip [SKEINS]...",
    "write results for another dyer into one file",
    "FILE.zip holds the records for \"hanklab import\", tables for a\n"
    "spreadsheet, photos, and index.html, which any browser shows. Without\n"
    "SKEINS, and not narrowed down as in find, all of the book goes. Pots go\n"
    "whole. Photos go without the place, the owner and the numbers of the\n"
    "camera.",
    export_options,
    ARRAY_LEN(export_options),
    1,
    SIZE_MAX,
    exchange_export,
};

static const struct cli_option import_options[] = {
    {"yes", NULL, "take it in without asking; else only look, or be asked"},
    {"match", "COLUMN=FIELD",
     "what a column is, with its unit: \"Wt=weight oz\"; \"Wt=\" leaves it out",
     CLI_MANY},
    {"all", "FIELD=WORDS", "said of every row that says nothing else",
     CLI_MANY},
    {"together", NULL, "rows of one day and dyestuff are one pot"},
    {"rest", NULL, "keep in the note what is not matched"},
    {"own", NULL,
     "also what adds to your own records, from another book of yours"},
};

const struct cli_command command_import = {
    "import",
    "FILE",
    "take in what another dyer handed on, or a list of skeins",
    "FILE is a zip that \"hanklab export\" wrote, or a list from a "
    "spreadsheet\n"
    "saved as CSV. First it is shown what would come in; --yes takes it in, "
    "in\n"
    "one act that \"hanklab undo\" takes back. A file taken in twice is in "
    "the\n"
    "book once.\n"
    "\n"
    "Of a zip, results stay whose they are (skein Aino/3), and yours stay as\n"
    "they are.\n"
    "\n"
    "Of a list, the first row has headings and each other row is a skein with\n"
    "what was done to it. Columns are matched by their headings, or by "
    "--match\n"
    "with one of: name, number, code, dyer, fibre, weight, weighed, length,\n"
    "mordant, assist, dyestuff, acid, alkali, dip, each of these six with\n"
    "-amount behind it, pot, round, date, ph, temperature, minutes, vessel,\n"
    "colour, lab, L, a, b, source, illuminant, observer, geometry, "
    "instrument,\n"
    "place, note. Behind it may stand the unit of numbers without one (\"%\",\n"
    "g, oz ...), or for days d/m or m/d. Rows of one pot share it.",
    import_options,
    ARRAY_LEN(import_options),
    1,
    1,
    exchange_import,
};
