/* hanklab treat: what is done to skeins beside dyeing. Words in, book/pot.h
 * does it. */
#include "cli/commands.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/ask.h"
#include "book/record.h"
#include "cli/log.h"

/* Skeins of the book by number, code or name, with more behind semicolons. */
static bool take_word(struct cli *cli, const char *word, struct pot_skein *out,
                      struct error *err)
{
    if (!pot_skein_read(word, out, err))
        return false;
    if (!out->which)
        return cli_usage(cli, err,
                         "say which skein: \"%s\" does not begin with one; a "
                         "new one is said with --skein",
                         word);
    out->known = true;
    return true;
}

/* The words behind the kind, and those of --skein behind them. */
static bool take_skeins(struct cli *cli, struct pot_entry *pot,
                        struct error *err)
{
    size_t words = cli->word_count - 1, n;
    struct pot_skein *all;
    bool ok = log_skeins(cli, pot, err);

    n = pot->skein_count;
    all = mem_new(words + n, sizeof *all);
    if (n)
        memcpy(all + words, pot->skein, n * sizeof *all);
    free((void *)pot->skein);
    pot->skein = all;
    pot->skein_count = words + n;
    for (size_t i = 0; ok && i < words; i++)
        ok = take_word(cli, cli->word[i + 1], &all[i], err);
    return ok;
}

static void take_options(const struct cli *cli, struct pot_entry *pot)
{
    *pot = (struct pot_entry){
        .dyer = cli_value(cli, "dyer"),
        .kind = cli->word[0],
        .name = cli_value(cli, "keep"),
        .of = cli_value(cli, "of"),
        .with = log_words(cli, "with"),
        .poured = log_words(cli, "poured"),
        .on = cli_value(cli, "date"),
        .ph = cli_value(cli, "ph"),
        .temperature = cli_value(cli, "temperature"),
        .minutes = cli_value(cli, "minutes"),
        .water = cli_value(cli, "water"),
        .volume = cli_value(cli, "volume"),
        .vessel = cli_value(cli, "vessel"),
        .cooled = cli_value(cli, "cooled"),
        .fibre = cli_value(cli, "fibre"),
        .weight = cli_value(cli, "weight"),
        .note = cli_value(cli, "note"),
        .before = cli_value(cli, "before"),
        .skeins = cli_value(cli, "skeins"),
    };
}

/* "mordant, 2nd use of bath 3, skeins 4 to 6" */
static void sum_up(const struct pot_entry *pot, const struct pot_result *r,
                   struct text *out)
{
    ask_step_words(pot->kind, r->bath_id != 0, r->time, r->bath, out);
    if (r->new_bath)
        text_addf(out, " \"%s\"", pot->name);
    if (r->skeins) {
        text_add(out, ", ");
        log_numbers(r, out);
    } else {
        text_add(out, ", no skein yet");
    }
}

static bool run(struct cli *cli, struct error *err)
{
    struct pot_entry pot;
    bool ok;

    take_options(cli, &pot);
    if (pot.name && pot.of)
        ok = cli_usage(cli, err,
                       "say --keep NAME for a new liquor, or --of one in the "
                       "book, not both");
    else
        ok = cli_book(cli, err) && take_skeins(cli, &pot, err) &&
             log_keep(cli, &pot, NULL, pot_treat, sum_up, err);
    log_entry_clear(&pot);
    return ok;
}

static const struct cli_option options[] = {
    {"with", "DOSE", "what went in: \"iron: 2 %\", \"wool soap\"", CLI_MANY},
    {"date", "DAY", "which day"},
    {"before", "STEP", "it comes before that in the skeins' lives: dye, or 2"},
    {"keep", "NAME", "the liquor of a mordant or dip is kept, called so"},
    {"of", "LIQUOR", "one that was kept is taken again"},
    {"poured", "BATH", "an old one that was poured in: \"3: 2 l\"", CLI_MANY},
    {"ph", "PH", "how sour or alkaline it was"},
    {"temperature", "HEAT", "highest reached"},
    {"minutes", "TIME", "at that heat"},
    {"cooled", "yes|no", "yes: the skeins cooled in it"},
    {"water", "NAME", "which water, of a liquor that is kept"},
    {"volume", "VOLUME", "how much, of a liquor that is kept"},
    {"vessel", "TEXT", "pot, jar in a water bath ..."},
    {"skein", "SKEIN", "a new skein: \"lumpy; weight=20 g; code=A3\"",
     CLI_MANY},
    {"skeins", "N", "how many there were in all"},
    {"fibre", "NAME", "the yarn of skeins that have none recorded"},
    {"weight", "WEIGHT", "dry weight of each skein; or \"60 g in all\""},
    {"dyer", "DYER", "another dyer did it; new skeins are that dyer's"},
    {"note", "TEXT", "anything else"},
};

const struct cli_command command_treat = {
    "treat",
    "scour|mordant|dip|wash|other [SKEIN...]",
    "log a mordant, a dip, a wash or a scour, now or later",
    "As in hanklab treat dip 12 13 --with \"iron: 2 %\". A SKEIN is one in\n"
    "the book by number, code or name, or several: 6-8, 6,9; --skein and\n"
    "--skeins make new ones, such as spares that are mordanted and not dyed\n"
    "yet. It comes last in their lives, or --before the step that is said:\n"
    "dye, or the number of a step.\n"
    "\n"
    "With --keep the liquor gets a place in the book, and --of takes it\n"
    "again; what goes in then tops it up.",
    options,
    ARRAY_LEN(options),
    1,
    SIZE_MAX,
    run,
};
