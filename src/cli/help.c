/* hanklab help, and what --help says. */
#include "cli/commands.h"

#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "cli/noun.h"

/* Columns before what a line says. */
enum { OPTIONS = 28, NAMES = 18 };

/* "  --weight WEIGHT           dry weight: 20 g", broken before column 80. */
static void add_line(struct text *out, int from, const char *left,
                     const char *help)
{
    int column = from;

    text_addf(out, "%-*s", from - 1, left);
    if (text_width(left) >= from)
        text_addf(out, "\n%*s", from - 1, "");
    while (*help) {
        size_t n = strcspn(help, " ");
        char *word = mem_text_n(help, n);
        int wide = text_width(word);
        if (column > from && column + wide >= 80) {
            text_addf(out, "\n%*s", from - 1, "");
            column = from;
        }
        text_addf(out, " %s", word);
        column += wide + 1;
        help += n + (help[n] == ' ');
        free(word);
    }
    text_add(out, "\n");
}

static void add_option(const struct cli_option *o, struct text *out)
{
    struct text left = {0}, help = {0};

    text_addf(&left, "  --%s%s%s", o->name, o->value ? " " : "",
              o->value ? o->value : "");
    text_addf(&help, "%s%s", o->help,
              o->flags & CLI_MANY ? " (may be repeated)" : "");
    add_line(out, OPTIONS, text_str(&left), text_str(&help));
    text_clear(&left);
    text_clear(&help);
}

static void add_verb(const struct cli_verb *v, struct text *out)
{
    struct text left = {0};

    text_addf(&left, "  %s %s", v->name, v->words);
    add_line(out, NAMES, text_str(&left), v->help);
    text_clear(&left);
}

/* How the values are written that these options take, a line each. */
static void add_forms(const struct cli_command *c, const struct cli_verb *verb,
                      struct text *out)
{
    const char *head = "\nHow values are written:\n";

    for (size_t f = 0; f < cli_form_count; f++)
        for (size_t i = 0; i < c->option_count; i++) {
            const struct cli_option *o = &c->options[i];
            struct text left = {0};
            if (!o->value || strcmp(o->value, cli_forms[f].name) ||
                !cli_option_fits(o, verb))
                continue;
            text_add(out, head);
            head = "";
            text_addf(&left, "  %s", cli_forms[f].name);
            add_line(out, OPTIONS, text_str(&left), cli_forms[f].help);
            text_clear(&left);
            break;
        }
}

static void add_nouns(struct text *out)
{
    for (size_t g = 0; g < noun_group_count; g++) {
        text_addf(out, "\n%s:\n", noun_groups[g]);
        for (size_t i = 0; i < noun_count; i++) {
            struct text left = {0};
            if (nouns[i].group != noun_groups[g] ||
                !cli_noun_is_command(&nouns[i]))
                continue;
            text_addf(&left, "  %s", nouns[i].name);
            add_line(out, NAMES, text_str(&left), nouns[i].help);
            text_clear(&left);
        }
    }
}

static void add_overview(struct text *out)
{
    const struct cli_command *any = cli_noun_command(&nouns[0]);

    text_add(out, "hanklab keeps the record of dyed skeins and measures their "
                  "colour.\n\n"
                  "  hanklab log \"Madder\" --dyestuff \"madder: 60 %\" "
                  "--skeins 3\n"
                  "  hanklab find olive\n\nWhat it does:\n");
    for (size_t i = 0; i < cli_command_count; i++) {
        struct text left = {0};
        text_addf(&left, "  %s", cli_commands[i]->name);
        add_line(out, NAMES, text_str(&left), cli_commands[i]->summary);
        text_clear(&left);
    }
    text_add(out, "\nAll that is kept can be looked at and mended, by what it "
                  "is, as in\nhanklab skein edit 3 --colour \"fox red\":\n");
    for (size_t i = 0; i < any->verb_count; i++)
        add_verb(&any->verbs[i], out);
    add_nouns(out);
    text_add(out,
             "\n\"hanklab log --help\" and \"hanklab skein edit --help\" say "
             "more, and so for all of\nthem; \"man hanklab\" says all, with "
             "examples.\n");
}

void cli_help(const struct cli_command *c, const struct cli_verb *verb,
              struct text *out)
{
    if (!c) {
        add_overview(out);
        return;
    }
    text_addf(out, "hanklab %s", c->name);
    if (verb)
        text_addf(out, " %s", verb->name);
    text_addf(out, " %s\n\n%s\n", verb ? verb->words : c->words, c->summary);
    if (verb)
        text_addf(out, "%s\n", verb->help);
    if (c->detail && (!verb || verb->takes & CLI_ADD))
        text_addf(out, "\n%s\n", c->detail);
    text_add(out, "\n");
    for (size_t i = 0; !verb && i < c->verb_count; i++)
        add_verb(&c->verbs[i], out);
    if (!verb && c->verb_count)
        text_add(out, "\n");
    for (size_t i = 0; i < c->option_count; i++)
        if (cli_option_fits(&c->options[i], verb))
            add_option(&c->options[i], out);
    for (size_t i = 0; i < cli_common_count; i++)
        add_option(&cli_common[i], out);
    add_forms(c, verb, out);
}

static bool run(struct cli *cli, struct error *err)
{
    const struct cli_command *c = NULL;
    const struct cli_verb *verb = NULL;

    if (cli->word_count) {
        c = cli_command_find(cli->word[0]);
        if (!c)
            return cli_usage(cli, err, "there is no command \"%s\"",
                             cli->word[0]);
    }
    if (cli->word_count > 1) {
        verb = cli_verb_find(c, cli->word[1]);
        if (!verb)
            return cli_usage(cli, err, "there is no command \"%s %s\"",
                             cli->word[0], cli->word[1]);
    }
    cli_help(c, verb, &cli->out);
    return true;
}

const struct cli_command command_help = {
    "help",
    "[COMMAND [VERB]]",
    "say what there is, or more of one command",
    NULL,
    NULL,
    0,
    0,
    2,
    run,
};
