/* hanklab completion: what may come next is read from the tables, and asked
 * for by a short script in each shell. */
#include "cli/commands.h"

#include <ctype.h>
#include <stdint.h>
#include <string.h>

#include "base/mem.h"
#include "book/noun.h"

/* What is typed so far, read as read_arguments in cli.c reads it. */
struct typed {
    const struct cli_command *command;
    const struct cli_verb *verb;
    const struct cli_option *asks; /* whose value comes next, or NULL */
    const char *first;             /* word behind the command, or NULL */
    size_t words;                  /* that are no options */
    bool only_words;               /* behind -- */
};

/* A line: what can be typed, and what it is for. Scripts take them apart. */
static void offer(const char *word, const char *help, struct text *out)
{
    text_add(out, word);
    if (help && *help)
        text_addf(out, "\t%.*s", (int)strcspn(help, "\n"), help);
    text_add(out, "\n");
}

/* "dry|wet" as two. */
static void offer_choices(const char *form, struct text *out)
{
    size_t n;

    for (; *form && *form != ' '; form += n + (form[n] == '|')) {
        n = strcspn(form, "| ");
        text_addf(out, "%.*s\n", (int)n, form);
    }
}

/* Words that stand for a file or a folder: the shell knows them. */
static bool offer_files(const char *form, struct text *out)
{
    static const char *const paths[] = {"FILE", "PHOTO", "DIR"};

    for (size_t i = 0; i < ARRAY_LEN(paths); i++)
        if (strstr(form, paths[i])) {
            text_add(out, "FILES\n");
            return true;
        }
    return false;
}

static void offer_value(const struct cli_option *o, struct text *out)
{
    if (strchr(o->value, '|'))
        offer_choices(o->value, out);
    else
        offer_files(o->value, out);
}

static void offer_options(const struct typed *t, struct text *out)
{
    const struct cli_command *c = t->command;
    struct text name = {0};

    for (size_t i = 0; i < c->option_count + cli_common_count; i++) {
        const struct cli_option *o = i < c->option_count
                                         ? &c->options[i]
                                         : &cli_common[i - c->option_count];
        if (i < c->option_count &&
            (!cli_option_fits(o, t->verb) || (c->verb_count && !t->verb)))
            continue;
        text_reset(&name);
        text_addf(&name, "--%s", o->name);
        offer(text_str(&name), o->help, out);
    }
    text_clear(&name);
}

static void offer_verbs(const struct cli_command *c, struct text *out)
{
    for (size_t i = 0; i < c->verb_count; i++)
        offer(c->verbs[i].name, c->verbs[i].help, out);
}

static void offer_commands(struct text *out)
{
    const struct cli_command *c;

    for (size_t i = 0; (c = cli_command_at(i)); i++)
        offer(c->name, c->summary, out);
}

/* What a word that is no option can be. */
static void offer_words(const struct typed *t, struct text *out)
{
    const char *form = t->verb ? t->verb->words : t->command->words;

    if (offer_files(form, out))
        return;
    if (t->words == 1 && strstr(form, "VERB")) {
        const struct cli_command *c = cli_command_find(t->first);
        if (c)
            offer_verbs(c, out);
    }
    if (t->words)
        return;
    if (t->command->verb_count)
        offer_verbs(t->command, out);
    else if (strstr(form, "NOUN") || strstr(form, "WHAT"))
        for (size_t i = 0; i < noun_count; i++)
            offer(nouns[i].name, nouns[i].help, out);
    else if (strstr(form, "COMMAND"))
        offer_commands(out);
    else if (islower((unsigned char)*form))
        offer_choices(form, out);
}

static const struct cli_option *option_of(const struct cli_command *c,
                                          const char *name)
{
    for (size_t i = 0; i < c->option_count; i++)
        if (!strcmp(c->options[i].name, name))
            return &c->options[i];
    for (size_t i = 0; i < cli_common_count; i++)
        if (!strcmp(cli_common[i].name, name))
            return &cli_common[i];
    return NULL;
}

static void read_word(struct typed *t, const char *word)
{
    if (t->asks) {
        t->asks = NULL;
    } else if (!t->only_words && !strcmp(word, "--")) {
        t->only_words = true;
    } else if (!t->only_words && !strncmp(word, "--", 2)) {
        t->asks = option_of(t->command, word + 2);
        if (t->asks && !t->asks->value)
            t->asks = NULL;
    } else if (t->words++ == 0) {
        t->first = word;
        t->verb = cli_verb_find(t->command, word);
    }
}

void cli_complete(const char *const *word, size_t count, struct text *out)
{
    struct typed t = {0};

    if (count < 2) {
        offer_commands(out);
        offer("--help", "say what there is", out);
        offer("--version", "say which hanklab this is", out);
        return;
    }
    t.command = cli_command_find(word[0]);
    if (!t.command)
        return;
    for (size_t i = 1; i + 1 < count; i++)
        read_word(&t, word[i]);
    if (t.asks)
        offer_value(t.asks, out);
    else if (!t.only_words && word[count - 1][0] == '-')
        offer_options(&t, out);
    else
        offer_words(&t, out);
}

/* ---- what a shell needs to ask -------------------------------------------
 */

static const char bash[] =
    "# Completes the words of hanklab in bash; made by\n"
    "# \"hanklab completion bash\".\n"
    "_hanklab()\n{\n"
    "    local cur=${COMP_WORDS[COMP_CWORD]} words\n"
    "    words=$(\"$1\" completion words -- \"${COMP_WORDS[@]:1:COMP_CWORD}\" "
    "2>/dev/null | cut -f 1)\n"
    "    if [ \"$words\" = FILES ]; then\n"
    "        compopt -o filenames 2>/dev/null\n"
    "        mapfile -t COMPREPLY < <(compgen -f -- \"$cur\")\n"
    "    else\n"
    "        mapfile -t COMPREPLY < <(compgen -W \"$words\" -- \"$cur\")\n"
    "    fi\n}\n"
    "complete -F _hanklab hanklab\n";

static const char zsh[] =
    "#compdef hanklab\n"
    "# Completes the words of hanklab in zsh; made by\n"
    "# \"hanklab completion zsh\".\n"
    "_hanklab()\n{\n"
    "    local -a lines\n"
    "    lines=(\"${(@f)$(\"${(Q)words[1]}\" completion words -- "
    "\"${(@Q)words[2,CURRENT]}\" 2>/dev/null)}\")\n"
    "    if [[ $lines[1] == FILES ]]; then\n"
    "        _files\n"
    "        return\n"
    "    fi\n"
    "    lines=(\"${(@)lines//:/\\\\:}\")\n"
    "    lines=(\"${(@)lines/$'\\t'/:}\")\n"
    "    _describe hanklab lines\n}\n"
    "if [[ $zsh_eval_context[-1] == loadautofunc ]]; then\n"
    "    _hanklab \"$@\"\n"
    "else\n"
    "    compdef _hanklab hanklab\n"
    "fi\n";

static const char fish[] =
    "# Completes the words of hanklab in fish; made by\n"
    "# \"hanklab completion fish\".\n"
    "function __hanklab_words\n"
    "    set -l before (commandline -opc)\n"
    "    set -l last (commandline -ct)\n"
    "    set -l lines ($before[1] completion words -- $before[2..] \"$last\" "
    "2>/dev/null)\n"
    "    if test \"$lines\" = FILES\n"
    "        __fish_complete_path \"$last\"\n"
    "    else\n"
    "        string match -i -- \"$last*\" $lines\n"
    "    end\n"
    "end\n"
    "complete -c hanklab -f -a '(__hanklab_words)'\n";

static const struct {
    const char *name, *script;
} shells[] = {{"bash", bash}, {"zsh", zsh}, {"fish", fish}};

static bool run(struct cli *cli, struct error *err)
{
    if (!strcmp(cli->word[0], "words")) {
        cli_complete(cli->word + 1, cli->word_count - 1, &cli->out);
        return true;
    }
    if (cli->word_count > 1)
        return cli_usage(cli, err, "say one shell");
    for (size_t i = 0; i < ARRAY_LEN(shells); i++)
        if (!strcmp(cli->word[0], shells[i].name)) {
            text_add(&cli->out, shells[i].script);
            return true;
        }
    return error_set(err, ERR_INPUT,
                     "completion is made for bash, zsh and fish");
}

const struct cli_command command_completion = {
    "completion",
    "bash|zsh|fish",
    "print what completes words in a shell",
    "For this shell alone: . <(hanklab completion bash), the same with zsh, "
    "or\n"
    "hanklab completion fish | source. Where hanklab was installed, each "
    "finds\n"
    "it by itself.",
    NULL,
    0,
    1,
    SIZE_MAX,
    run,
};
