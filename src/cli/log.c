/* hanklab log: one pot, many skeins, one go. Words in, book/pot.h does it. */
#include "cli/commands.h"

#include <stdlib.h>
#include <string.h>

#include "base/json.h"
#include "base/mem.h"
#include "book/pot.h"
#include "cli/log.h"
#include "cli/noun.h"
#include "dye/caution.h"

struct pot_words log_words(const struct cli *cli, const char *option)
{
    const char **word = NULL, *s;
    size_t n = 0;

    for (; (s = cli_nth(cli, option, n)); n++) {
        word = mem_resize(word, n + 1, sizeof *word);
        word[n] = s;
    }
    return (struct pot_words){word, n};
}

bool log_skeins(const struct cli *cli, struct pot_entry *pot, struct error *err)
{
    struct pot_skein *skein = NULL;
    const char *s;
    size_t n = 0;
    bool ok = true;

    for (; ok && (s = cli_nth(cli, "skein", n)); n++) {
        skein = mem_resize(skein, n + 1, sizeof *skein);
        ok = pot_skein_read(s, &skein[n], err);
    }
    pot->skein = skein;
    pot->skein_count = n;
    return ok;
}

static bool take_options(const struct cli *cli, const char *name,
                         struct pot_entry *pot, struct error *err)
{
    *pot = (struct pot_entry){
        .name = name,
        .dyer = cli_value(cli, "dyer"),
        .of = cli_value(cli, "of"),
        .round = cli_value(cli, "round"),
        .kind = cli_value(cli, "kind"),
        .poured = log_words(cli, "poured"),
        .dyestuffs = log_words(cli, "dyestuff"),
        .mordants = log_words(cli, "mordant"),
        .assists = log_words(cli, "assist"),
        .acids = log_words(cli, "acid"),
        .alkalis = log_words(cli, "alkali"),
        .dips = log_words(cli, "dip"),
        .on = cli_value(cli, "date"),
        .ph = cli_value(cli, "ph"),
        .temperature = cli_value(cli, "temperature"),
        .minutes = cli_value(cli, "minutes"),
        .water = cli_value(cli, "water"),
        .volume = cli_value(cli, "volume"),
        .vessel = cli_value(cli, "vessel"),
        .cooled = cli_value(cli, "cooled"),
        .extraction = cli_value(cli, "extraction"),
        .vat_dips = cli_value(cli, "vat-dips"),
        .airing = cli_value(cli, "airing"),
        .fibre = cli_value(cli, "fibre"),
        .weight = cli_value(cli, "weight"),
        .note = cli_value(cli, "note"),
        .before = cli_value(cli, "before"),
        .skeins = cli_value(cli, "skeins"),
    };
    return log_skeins(cli, pot, err);
}

/* A name typed without quotes. Words further on belong to some option. */
static bool take_name(struct cli *cli, struct text *out, struct error *err)
{
    if (cli->apart)
        return cli_usage(cli, err,
                         "\"%s\" stands apart from the name: put quotes "
                         "around what has blanks in it, such as "
                         "--dyestuff \"madder: 60 %%\"",
                         cli->apart);
    for (size_t i = 0; i < cli->word_count; i++)
        text_addf(out, "%s%s", i ? " " : "", cli->word[i]);
    return true;
}

void log_entry_clear(struct pot_entry *pot)
{
    const struct pot_words *list[] = {
        &pot->poured, &pot->dyestuffs, &pot->mordants, &pot->assists,
        &pot->acids,  &pot->alkalis,   &pot->dips,     &pot->with};

    for (size_t i = 0; i < ARRAY_LEN(list); i++)
        free((void *)list[i]->word);
    for (size_t i = 0; i < pot->skein_count; i++)
        pot_skein_clear((struct pot_skein *)&pot->skein[i]);
    free((void *)pot->skein);
}

/* ---- telling ----------------------------------------------------------------
 */

void log_round_words(const struct pot_result *r, struct text *out)
{
    if (r->round < 0)
        text_add(out, "vat");
    else if (r->round == 0)
        text_add(out, "first bath");
    else
        text_addf(out, "exhaust %d", r->round);
}

void log_numbers(const struct pot_result *r, struct text *out)
{
    const char **label = mem_new(r->skeins, sizeof *label);

    for (size_t i = 0; i < r->skeins; i++)
        label[i] = r->skein[i].label;
    text_add(out, r->skeins > 1 ? "skeins " : "skein ");
    pot_labels(label, r->skeins, out);
    free(label);
}

void log_sum_up(const struct pot_entry *pot, const struct pot_result *r,
                struct text *out)
{
    text_addf(out, "%sbath %s", r->dipped ? "dip after " : "", r->bath);
    if (r->new_bath)
        text_addf(out, " \"%s\"", pot->name);
    if (!r->dipped) {
        text_add(out, ", ");
        log_round_words(r, out);
    }
    if (r->skeins == 0) {
        text_add(out, r->joined ? "" : ", no skein yet");
        return;
    }
    text_add(out, ", ");
    log_numbers(r, out);
}

static void tell_json(struct cli *cli, const struct pot_entry *pot,
                      const struct pot_result *r, const struct text *echo)
{
    struct json j = json_to(&cli->out);

    json_add_object(&j, NULL);
    if (r->bath_id) {
        json_add_object(&j, "bath");
        json_add_string(&j, "bath", r->bath);
        json_add_whole(&j, "number", r->bath_number);
        json_add_string(&j, "name", r->new_bath ? pot->name : NULL);
        json_add_bool(&j, "new", r->new_bath);
        json_end(&j);
    } else {
        json_add_null(&j, "bath");
    }
    if (r->round < 0)
        json_add_null(&j, "round");
    else
        json_add_whole(&j, "round", r->round);
    json_add_bool(&j, "joined", r->joined);
    json_add_bool(&j, "undated", r->undated);
    json_add_array(&j, "skeins");
    for (size_t i = 0; i < r->skeins; i++) {
        json_add_object(&j, NULL);
        json_add_string(&j, "skein", r->skein[i].label);
        json_add_whole(&j, "number", r->skein[i].number);
        json_add_bool(&j, "new", r->skein[i].is_new);
        json_end(&j);
    }
    json_end(&j);
    json_add_array(&j, "echo");
    for (const char *s = text_str(echo); *s;) {
        size_t n = strcspn(s, "\n");
        char *line = mem_text_n(s, n);
        json_add_string(&j, NULL, line);
        free(line);
        s += n + (s[n] == '\n');
    }
    json_end(&j);
    json_add_array(&j, "notes");
    for (size_t i = 0; i < r->notes; i++)
        json_add_string(&j, NULL, r->note[i]);
    json_end(&j);
    json_add_array(&j, "cautions");
    for (size_t i = 0; i < r->cautions; i++)
        json_add_string(&j, NULL, r->caution[i]);
    json_end(&j);
    json_add_string(&j, "caution", r->cautions ? caution_closing : NULL);
    json_end(&j);
}

bool log_tell(struct cli *cli, const struct pot_result *r,
              const struct text *echo, const char *kept, struct error *err)
{
    for (size_t i = 0; i < r->cautions; i++)
        cli_note("%s", r->caution[i]);
    if (r->cautions)
        cli_note("%s", caution_closing);
    if (kept)
        text_addf(&cli->out, "%s%sKept: %s.\n", text_str(echo),
                  r->undated ? "day: not recorded\n" : "", kept);
    if (!cli_flush(cli, err))
        return false;
    for (size_t i = 0; i < r->notes; i++)
        cli_note("%s", r->note[i]);
    return true;
}

struct picture {
    struct cli *cli;
    const char *path;
    int64_t id; /* once it is kept */
};

/* A photo of what was in the pot. */
static bool keep_photo(void *with, const struct pot_result *r,
                       struct error *err)
{
    struct picture *p = with;
    int64_t *skein = mem_new(r->skeins, sizeof *skein);
    bool ok;

    for (size_t i = 0; i < r->skeins; i++)
        skein[i] = r->skein[i].id;
    ok = cli_photo_of(p->cli, p->path, skein, r->skeins, &p->id, err);
    free(skein);
    return ok;
}

bool log_keep(struct cli *cli, struct pot_entry *pot, const char *photo,
              log_keeping *keep, log_summing *sum_up, struct error *err)
{
    struct pot_result result = {0};
    struct picture picture = {cli, photo, 0};
    struct text echo = {0}, sum = {0};
    bool ok;

    if (photo)
        pot->also = (struct pot_also){keep_photo, &picture};
    ok = (!photo || cli_photo_check(photo, err)) &&
         keep(cli->book, pot, &result, &echo, err);
    pot->also = (struct pot_also){NULL, NULL};
    if (ok) {
        if (photo)
            text_addf(&echo, "photo: %lld\n", (long long)picture.id);
        sum_up(pot, &result, &sum);
        if (cli->json)
            tell_json(cli, pot, &result, &echo);
        ok = log_tell(cli, &result, &echo, cli->json ? NULL : text_str(&sum),
                      err);
    }
    pot_result_clear(&result);
    text_clear(&echo);
    text_clear(&sum);
    return ok;
}

/* With a photo and no skein said, one skein of the pot's name stands for all
 * that is in it, marked unfinished. */
static void stand_in(const struct cli *cli, struct pot_entry *pot)
{
    struct pot_skein *skein;

    if (!cli_has(cli, "photo") || !pot->name || pot->skein_count || pot->skeins)
        return;
    skein = mem_new(1, sizeof *skein);
    skein->name = pot->name;
    skein->finished = "no";
    free((void *)pot->skein);
    pot->skein = skein;
    pot->skein_count = 1;
}

static bool run(struct cli *cli, struct error *err)
{
    struct pot_entry pot = {0};
    struct text name = {0};
    bool ok = cli_book(cli, err) && take_name(cli, &name, err) &&
              take_options(cli, name.len ? text_str(&name) : NULL, &pot, err);

    if (ok && pot.name && pot.of)
        ok = cli_usage(cli, err,
                       "say the name of a new pot, or --of a pot in the book, "
                       "not both");
    else if (ok && cli->ask && !cli->json && !cli_has(cli, "photo") &&
             (pot.of ? cli->given_count == 1 : !pot.name))
        ok = log_ask(cli, &pot, err);
    else if (ok && !pot.name && !pot.of)
        ok = cli_usage(cli, err,
                       "say what you call the pot: hanklab log NAME, or --of a "
                       "pot in the book; a dip or a mordant bath alone is "
                       "hanklab treat");
    else if (ok) {
        stand_in(cli, &pot);
        ok = log_keep(cli, &pot, cli_value(cli, "photo"), pot_log, log_sum_up,
                      err);
    }
    log_entry_clear(&pot);
    text_clear(&name);
    return ok;
}

static const struct cli_option options[] = {
    {"of", "POT", "a pot in the book, by number or name; its next round"},
    {"round", "ROUND", "which round; the next one if not said"},
    {"date", "DAY", "which day"},
    {"before", "STEP", "it comes before that in the skeins' lives: dye, or 2"},
    {"dyestuff", "DOSE", "\"madder: 100 %\", \"onion skins\"", CLI_MANY},
    {"mordant", "DOSE", "\"alum: 12 %\"; \"none\": on purpose", CLI_MANY},
    {"assist", "DOSE", "\"cream of tartar: 6 %\"", CLI_MANY},
    {"acid", "DOSE", "into the bath: \"vinegar: 20 ml\"", CLI_MANY},
    {"alkali", "DOSE", "into the bath: \"chalk: a pinch\"", CLI_MANY},
    {"dip", "DOSE", "after dyeing: \"iron: 2 %\"", CLI_MANY},
    {"ph", "PH", "how sour or alkaline it was"},
    {"temperature", "HEAT", "highest reached"},
    {"minutes", "TIME", "at that heat"},
    {"cooled", "yes|no", "yes: the skeins cooled in the bath"},
    {"extraction", "TIME",
     "how the colour was drawn out: \"1 h; temperature=80; pulls=2\""},
    {"water", "NAME", "which water"},
    {"volume", "VOLUME", "how much liquor"},
    {"vessel", "TEXT", "pot, jar in a water bath ..."},
    {"fibre", "NAME", "the yarn of skeins that have none recorded"},
    {"weight", "WEIGHT", "dry weight of each skein; or \"60 g in all\""},
    {"photo", "FILE", "a photo of it; alone, a skein to finish stands in"},
    {"skeins", "N", "how many there were in all"},
    {"skein", "SKEIN", "one: \"137\", \"weight=20 g; code=A3\"; or \"6-8\"",
     CLI_MANY},
    {"kind", "dye|vat", "of a new pot; dye if not said"},
    {"vat-dips", "N", "of a vat: how often they were dipped"},
    {"airing", "TIME", "of a vat: how long in the air"},
    {"poured", "POT", "an old one that was poured in: \"3: 2 l\"", CLI_MANY},
    {"dyer", "DYER", "another dyer's pot, whose new skeins are too"},
    {"note", "TEXT", "anything else"},
};

const struct cli_command command_log = {
    "log",
    "[NAME] [--of POT]",
    "log one pot and its skeins",
    "NAME is a new pot; it is all that is ever needed. --of adds to a pot in\n"
    "the book: the next round after the last one, its first bath while it "
    "holds\n"
    "only a name, unless --round says which.\n"
    "Without either, or with --of alone, hanklab asks on a terminal.\n"
    "\n"
    "What went in is a name, or a name and how much, \"madder: 60 %\", with\n"
    "any of these behind semicolons: amount, state, fresh-per-dry, supply,\n"
    "added, minute, known, note, as in \"pax: 1 kg; state=fresh\".\n"
    "\n"
    "A skein is the number, code or name of one in the book, or of several,\n"
    "\"6-8\" or \"6, 9\"; or else the name or weight of a new one, with any\n"
    "of these behind semicolons:\n"
    "number, name, code, weight, weighed, length, fibre, mordant, assist,\n"
    "dip, colour, dipped, place, finished, note, as in \"weight=20 g;\n"
    "code=A3\". Its own mordants and dips stand instead of the pot's, "
    "\"none\"\n"
    "means none; a note comes last.",
    options,
    ARRAY_LEN(options),
    0,
    SIZE_MAX,
    run,
};
