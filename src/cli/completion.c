/* hanklab completion: a script for the shell, made from the tables. */
#include "cli/commands.h"

#include <ctype.h>
#include <string.h>

#include "base/mem.h"
#include "book/noun.h"

/* Words that stand for a file or a folder. */
static bool is_path(const char *form)
{
    static const char *const paths[] = {"FILE", "PHOTO", "DIR"};

    for (size_t i = 0; form && i < ARRAY_LEN(paths); i++)
        if (strstr(form, paths[i]))
            return true;
    return false;
}

/* "dry|wet" as "dry wet". */
static void add_choices(const char *form, struct text *out)
{
    for (; *form; form++)
        text_addf(out, "%c", *form == '|' ? ' ' : *form);
}

/* A line of "case $command$prev" for an option that takes a value. */
static void add_value(const char *command, const struct cli_option *o,
                      struct text *out)
{
    if (!o->value || o->flags & CLI_HIDDEN)
        return;
    text_addf(out, "    %s--%s) ", command, o->name);
    if (strchr(o->value, '|')) {
        text_add(out, "words='");
        add_choices(o->value, out);
        text_add(out, "' ;;\n");
    } else if (is_path(o->value)) {
        text_add(out, "files=1 ;;\n");
    } else {
        text_add(out, "return ;;\n");
    }
}

static void add_options(const struct cli_command *c,
                        const struct cli_verb *verb, struct text *out)
{
    for (size_t i = 0; i < c->option_count; i++)
        if (cli_option_fits(&c->options[i], verb))
            text_addf(out, "--%s ", c->options[i].name);
}

/* What may stand first behind a command. */
static void add_first(const struct cli_command *c, struct text *out)
{
    text_addf(out, "    %s) ", c->name);
    if (c->verb_count) {
        text_add(out, "words='");
        for (size_t i = 0; i < c->verb_count; i++)
            text_addf(out, "%s ", c->verbs[i].name);
        text_add(out, "' ;;\n");
    } else if (is_path(c->words)) {
        text_add(out, "files=1 ;;\n");
    } else if (strstr(c->words, "NOUN") || strstr(c->words, "WHAT")) {
        text_add(out, "words=$nouns ;;\n");
    } else if (strstr(c->words, "COMMAND")) {
        text_add(out, "words=$commands ;;\n");
    } else if (islower((unsigned char)c->words[0])) {
        text_addf(out, "words='%s' ;;\n", c->words);
    } else {
        text_add(out, ";;\n");
    }
}

static void add_names(struct text *out)
{
    const struct cli_command *c;

    text_add(out, "    local commands='--help --version ");
    for (size_t i = 0; (c = cli_command_at(i)); i++)
        text_addf(out, "%s ", c->name);
    text_add(out, "'\n    local nouns='");
    for (size_t i = 0; i < noun_count; i++)
        text_addf(out, "%s ", nouns[i].name);
    text_add(out, "'\n    local common='");
    for (size_t i = 0; i < cli_common_count; i++)
        text_addf(out, "--%s ", cli_common[i].name);
    text_add(out, "'\n");
}

static void add_all_values(struct text *out)
{
    const struct cli_command *c;

    text_add(out, "    case $command$prev in\n");
    for (size_t i = 0; i < cli_common_count; i++)
        add_value("*", &cli_common[i], out);
    for (size_t i = 0; (c = cli_command_at(i)); i++)
        for (size_t k = 0; k < c->option_count; k++)
            add_value(c->name, &c->options[k], out);
    text_add(out, "    esac\n");
}

static void add_all_options(struct text *out)
{
    const struct cli_command *c;

    text_add(out, "    case $command/$verb in\n");
    for (size_t i = 0; (c = cli_command_at(i)); i++) {
        for (size_t k = 0; k < c->verb_count; k++) {
            text_addf(out, "    %s/%s) words='", c->name, c->verbs[k].name);
            add_options(c, &c->verbs[k], out);
            text_add(out, "' ;;\n");
        }
        text_addf(out, "    %s/*) words='", c->name);
        if (!c->verb_count)
            add_options(c, NULL, out);
        text_add(out, "' ;;\n");
    }
    text_add(out, "    esac\n");
}

/* Files where a verb takes one: "photo add FILE". */
static void add_second(struct text *out)
{
    const struct cli_command *c;

    text_add(out, "    case $command/$verb in\n"
                  "    help/*) words='add show list edit withdraw back' ;;\n");
    for (size_t i = 0; (c = cli_command_at(i)); i++)
        for (size_t k = 0; k < c->verb_count; k++)
            if (is_path(c->verbs[k].words))
                text_addf(out, "    %s/%s) files=1 ;;\n", c->name,
                          c->verbs[k].name);
    text_add(out, "    esac\n");
}

void cli_completion_bash(struct text *out)
{
    const struct cli_command *c;

    text_add(out,
             "# Completes the words of hanklab in bash; made by\n"
             "# \"hanklab completion bash\".\n"
             "_hanklab()\n{\n"
             "    local cur=${COMP_WORDS[COMP_CWORD]}\n"
             "    local prev=${COMP_WORDS[COMP_CWORD-1]}\n"
             "    local command=${COMP_WORDS[1]-} verb='' words='' files=''\n");
    add_names(out);
    text_add(out, "    [ \"$COMP_CWORD\" -lt 3 ] || verb=${COMP_WORDS[2]}\n"
                  "    COMPREPLY=()\n"
                  "    if [ \"$COMP_CWORD\" -eq 1 ]; then\n"
                  "        mapfile -t COMPREPLY < <(compgen -W \"$commands\" "
                  "-- \"$cur\")\n        return\n    fi\n");
    add_all_values(out);
    text_add(out, "    if [ -n \"$words$files\" ]; then\n        :\n"
                  "    elif [[ $cur == -* ]]; then\n");
    add_all_options(out);
    text_add(out, "    words=\"$words$common\"\n"
                  "    elif [ \"$COMP_CWORD\" -eq 2 ]; then\n"
                  "    case $command in\n");
    for (size_t i = 0; (c = cli_command_at(i)); i++)
        add_first(c, out);
    text_add(out, "    esac\n    elif [ \"$COMP_CWORD\" -eq 3 ]; then\n");
    add_second(out);
    text_add(out, "    fi\n"
                  "    if [ -n \"$files\" ]; then\n"
                  "        compopt -o filenames 2>/dev/null\n"
                  "        mapfile -t COMPREPLY < <(compgen -f -- \"$cur\")\n"
                  "    else\n"
                  "        mapfile -t COMPREPLY < <(compgen -W \"$words\" -- "
                  "\"$cur\")\n"
                  "    fi\n}\n"
                  "complete -F _hanklab hanklab\n");
}

static bool run(struct cli *cli, struct error *err)
{
    if (strcmp(cli->word[0], "bash") != 0)
        return error_set(err, ERR_INPUT, "completion is made for bash");
    cli_completion_bash(&cli->out);
    return true;
}

const struct cli_command command_completion = {
    "completion",
    "bash",
    "print what completes words in a shell",
    "In bash, for this shell alone: . <(hanklab completion bash). Where "
    "hanklab\n"
    "was installed, bash finds it by itself.",
    NULL,
    0,
    1,
    1,
    run,
};
