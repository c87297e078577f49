/* hanklab reckon: weights, percentages and water before the pot is lit. */
#include "cli/commands.h"

#include <stdint.h>
#include <stdlib.h>

#include "base/mem.h"
#include "cli/print.h"
#include "dye/caution.h"
#include "dye/sums.h"

/* A command that lacks an option is written wrongly; the rest is the words'. */
static bool check(struct cli *cli, struct error *err)
{
    static const char *const on_fibre[] = {
        "mordant", "assist", "dyestuff", "acid", "alkali", "dip", "exhaust"};
    bool dose = false, weight = cli_has(cli, "weight");

    for (size_t i = 0; i < ARRAY_LEN(on_fibre); i++)
        dose = dose || cli_has(cli, on_fibre[i]);
    if (!weight && dose)
        return cli_usage(cli, err,
                         "say the dry weight of the fibre: --weight \"85 g\"");
    if (cli_has(cli, "exhaust") && !cli_has(cli, "dyestuff"))
        return cli_usage(cli, err,
                         "an exhaust needs a dyestuff: --dyestuff \"madder: "
                         "200 g\"");
    if (cli_has(cli, "pot") && !cli_has(cli, "water"))
        return cli_usage(cli, err,
                         "a pot needs a liquor ratio: --water \"30:1\"");
    if (!weight && cli_has(cli, "water") && !cli_has(cli, "pot"))
        return cli_usage(cli, err,
                         "say the dry weight of the fibre, or how far the pot "
                         "is filled: --weight \"85 g\" or --pot \"6 l\"");
    if (!weight && !cli_has(cli, "water") && !cli_has(cli, "stock") &&
        !cli->word_count)
        return cli_usage(cli, err,
                         "say what to reckon: --weight \"85 g\" --mordant "
                         "\"alum: 12 %%\"; see \"hanklab reckon --help\"");
    return true;
}

static struct sums *reckon(const struct cli *cli, struct error *err)
{
    size_t n = cli->given_count + cli->word_count, k = 0;
    struct sums_said *said = mem_new(n + 1, sizeof *said);
    struct sums *sums;

    for (size_t i = 0; i < cli->given_count; i++)
        said[k++] =
            (struct sums_said){cli->given[i].option->name, cli->given[i].value};
    for (size_t i = 0; i < cli->word_count; i++)
        said[k++] = (struct sums_said){"unit", cli->word[i]};
    sums = sums_new(said, n, err);
    free(said);
    return sums;
}

static bool run(struct cli *cli, struct error *err)
{
    struct text cautions = {0}, sheets = {0};
    enum paper_size size = PAPER_A4;
    struct sums *sums;
    bool file, ok = true;

    if (!check(cli, err) || !print_wanted(cli, &size, &file, err))
        return false;
    sums = reckon(cli, err);
    if (!sums)
        return false;
    sums_cautions(sums, &cautions);
    if (cautions.len)
        cli_note("%s%s", text_str(&cautions), caution_closing);
    if (file) {
        paper_weigh(sums, size, &sheets);
        ok = print_sheets(cli, "To weigh out", size, &sheets, err);
    } else if (cli->json)
        sums_json(sums, &cli->out);
    else
        sums_text(sums, &cli->out);
    text_clear(&cautions);
    text_clear(&sheets);
    sums_free(sums);
    return ok;
}

static const struct cli_option options[] = {
    {"weight", "WEIGHT", "dry weight of the fibre, also 6 x 20 g", CLI_MANY},
    {"mordant", "DOSE", "\"alum: 12 %\"; \"alum: 9 g\" gives the percent",
     CLI_MANY},
    {"assist", "DOSE", "\"cream of tartar: 6 %\"", CLI_MANY},
    {"dyestuff", "DOSE", "\"madder: 2:1\", \"weld: 60 g\"", CLI_MANY},
    {"acid", "DOSE", "\"citric acid: 2 %\"", CLI_MANY},
    {"alkali", "DOSE", "\"soda ash: 2 %\"", CLI_MANY},
    {"dip", "DOSE", "\"iron: 2 %\"", CLI_MANY},
    {"water", "WATER", "30:1, 30 l per kg; \"3 l\" gives the ratio"},
    {"pot", "VOLUME", "how far a pot is filled: 6 l; how much fibre it takes"},
    {"exhaust", "WEIGHT", "dry weight of the fibre in the next exhaust",
     CLI_MANY},
    {"stock", "STOCK",
     "\"1 l of 10 %\", \"250 ml of 2 % from 10 %\"; see below", CLI_MANY},
    {"scale", "WEIGHT", "the step of your scale, 1 g if not said"},
    PRINT_OPTIONS,
};

const struct cli_command command_reckon = {
    "reckon",
    "[AMOUNT]...",
    "reckon weights, percentages and water; keeps nothing",
    "Into a file it is a sheet to weigh out by, with boxes to tick.\n"
    "Percent is of the dry weight of all the fibre. An AMOUNT is told in the\n"
    "other units: \"1 3/4 oz\", \"180 F\".\n"
    "\n"
    "What goes in is a name and how much, \"alum: 12 %\", with more behind\n"
    "semicolons: on=18 g (for a part of the fibre), stock=10 % (from a stock\n"
    "solution, grams in 100 ml), state=fresh, fresh-per-dry=10. A percentage\n"
    "or a ratio gives grams, grams give the percentage; without an amount the\n"
    "usual range is told.\n"
    "\n"
    "10 % of a STOCK is 10 g made up to 100 ml, unless it says \"1 kg of 10 %\n"
    "in all\" (10 g and 90 g of water) or \"1 l of 10 % into water\" (10 g "
    "into\n"
    "100 ml).",
    options,
    ARRAY_LEN(options),
    0,
    SIZE_MAX,
    run,
};
