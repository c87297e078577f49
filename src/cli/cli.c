/* Reading the command line and writing what a command said. See cli/cli.h. */
#include "cli/cli.h"

#include <assert.h>
#include <errno.h>
#include <locale.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <unistd.h>

#include "base/mem.h"
#include "cli/noun.h"

#define VERSION "0.1.0"

const struct cli_option cli_common[] = {
    {"book", "DIR",
     "the book to use; else HANKLAB_BOOK, else your data folder"},
    {"json", NULL, "answer as JSON"},
    {"csv", NULL, "answer as CSV, where there is a table"},
    {"help", NULL, "show this help"},
};
const size_t cli_common_count = ARRAY_LEN(cli_common);

static const struct cli_option *
option_in(const struct cli_option *list, size_t n, const char *name, size_t len)
{
    for (size_t i = 0; i < n; i++)
        if (strlen(list[i].name) == len && !strncmp(list[i].name, name, len))
            return &list[i];
    return NULL;
}

static const struct cli_option *find_option(const struct cli_command *c,
                                            const char *name, size_t len)
{
    const struct cli_option *o =
        option_in(c->options, c->option_count, name, len);

    return o ? o : option_in(cli_common, cli_common_count, name, len);
}

bool cli_usage(struct cli *cli, struct error *err, const char *fmt, ...)
{
    va_list args;
    char line[sizeof err->text];

    va_start(args, fmt);
    vsnprintf(line, sizeof line, fmt, args);
    va_end(args);
    cli->exit = 2;
    return error_set(err, ERR_INPUT, "%s", line);
}

const char *cli_nth(const struct cli *cli, const char *option, size_t n)
{
    assert(find_option(cli->command, option, strlen(option)));
    for (size_t i = 0; i < cli->given_count; i++)
        if (!strcmp(cli->given[i].option->name, option) && n-- == 0)
            return cli->given[i].value;
    return NULL;
}

const char *cli_value(const struct cli *cli, const char *option)
{
    const char *last = NULL, *s;

    for (size_t n = 0; (s = cli_nth(cli, option, n)); n++)
        last = s;
    return last;
}

bool cli_has(const struct cli *cli, const char *option)
{
    return cli_nth(cli, option, 0) != NULL;
}

bool cli_whole(const struct cli *cli, const char *option, long long min,
               long long max, long long *out, struct error *err)
{
    const char *s = cli_value(cli, option);
    long long x;

    if (!s)
        return true;
    if ((!text_whole(s, &x) || x < min) && max == INT64_MAX)
        return error_set(err, ERR_INPUT,
                         "--%s: \"%s\" is not a whole number from %lld", option,
                         s, min);
    if (!text_whole(s, &x) || x < min || x > max)
        return error_set(err, ERR_INPUT,
                         "--%s: \"%s\" is not a whole number "
                         "from %lld to %lld",
                         option, s, min, max);
    *out = x;
    return true;
}

bool cli_real(const struct cli *cli, const char *option, double min, double max,
              double *out, struct error *err)
{
    const char *s = cli_value(cli, option);
    double x;

    if (!s)
        return true;
    if (!text_real(s, &x) || x < min || x > max)
        return error_set(err, ERR_INPUT,
                         "--%s: \"%s\" is not a number from %g "
                         "to %g",
                         option, s, min, max);
    *out = x;
    return true;
}

static void give(struct cli *cli, const struct cli_option *o, const char *value)
{
    cli->given =
        mem_resize(cli->given, cli->given_count + 1, sizeof *cli->given);
    cli->given[cli->given_count++] = (struct cli_given){o, value};
}

static bool given_already(const struct cli *cli, const struct cli_option *o)
{
    for (size_t i = cli->given_count; i-- > 0;) {
        if (cli->given[i].option == o)
            return true;
        if (cli->given[i].option->flags & CLI_ANEW)
            break;
    }
    return false;
}

/* An option without its value: an example of it, or what it is for. */
static bool lacks_value(struct cli *cli, const struct cli_option *o,
                        struct error *err)
{
    for (size_t i = 0; i < cli_form_count; i++)
        if (!strcmp(o->value, cli_forms[i].name))
            return cli_usage(cli, err,
                             "--%s needs a value, such as --%s \"%s\"", o->name,
                             o->name, cli_forms[i].example);
    return cli_usage(cli, err, "--%s needs a value: %s", o->name,
                     strchr(o->value, '|') ? o->value : o->help);
}

/* One argument that starts with --; may take the next one as its value. */
static bool read_option(struct cli *cli, int argc, char **argv, int *i,
                        struct error *err)
{
    const char *name = argv[*i] + 2, *equals = strchr(name, '=');
    size_t len = equals ? (size_t)(equals - name) : strlen(name);
    const struct cli_option *o = find_option(cli->command, name, len);

    if (!o)
        return cli_usage(cli, err,
                         "%s has no option --%.*s; see \"hanklab %s "
                         "--help\"",
                         cli->command->name, (int)len, name,
                         cli->command->name);
    if (!(o->flags & CLI_MANY) && given_already(cli, o))
        return cli_usage(cli, err, "--%s was given twice", o->name);
    if (!o->value) {
        if (equals)
            return cli_usage(cli, err, "--%s takes no value", o->name);
        give(cli, o, "");
    } else if (equals) {
        give(cli, o, equals + 1);
    } else if (*i + 1 < argc) {
        give(cli, o, argv[++*i]);
        for (int more = 3; o->flags & CLI_FOUR && more > 0 &&
                           !strchr(argv[*i], ' ') && *i + 1 < argc;
             more--)
            give(cli, o, argv[++*i]);
    } else {
        return lacks_value(cli, o, err);
    }
    return true;
}

/* "-x", but not "-" and no number such as "-3.5". */
static bool looks_like_option(const char *word)
{
    return word[0] == '-' && word[1] && !strchr("0123456789.,", word[1]);
}

static bool read_arguments(struct cli *cli, int argc, char **argv,
                           struct error *err)
{
    const struct cli_command *c = cli->command;
    bool only_words = false;
    int last = 0;

    cli->word = mem_new((size_t)argc + 1, sizeof *cli->word);
    for (int i = 2; i < argc; i++) {
        if (!only_words && !strcmp(argv[i], "--"))
            only_words = true;
        else if (!only_words && !strncmp(argv[i], "--", 2)) {
            if (!read_option(cli, argc, argv, &i, err))
                return false;
        } else if (!only_words && !strcmp(argv[i], "-h")) {
            give(cli, find_option(c, "help", 4), "");
        } else if (!only_words && looks_like_option(argv[i])) {
            return cli_usage(cli, err,
                             "%s has no option %s; see \"hanklab %s --help\". "
                             "What begins with a dash is said behind --",
                             c->name, argv[i], c->name);
        } else {
            if (last && last != i - 1 && !cli->apart)
                cli->apart = argv[i];
            cli->word[cli->word_count++] = argv[i];
            last = i;
        }
    }
    if (cli_has(cli, "help"))
        return true;
    if (cli->word_count < c->min_words || cli->word_count > c->max_words)
        return cli_usage(cli, err,
                         "usage: hanklab %s %s; see \"hanklab %s --help\"",
                         c->name, c->words, c->name);
    cli->json = cli_has(cli, "json");
    cli->csv = cli_has(cli, "csv");
    if (cli->json && cli->csv)
        return cli_usage(cli, err, "choose one of --json and --csv");
    return true;
}

char *cli_book_folder(const struct cli *cli)
{
    const char *dir = cli_value(cli, "book"), *home;
    struct text t = {0};

    if (!dir || !*dir)
        dir = getenv("HANKLAB_BOOK");
    if (dir && *dir)
        return mem_text(dir);
    dir = getenv("XDG_DATA_HOME");
    if (dir && dir[0] == '/') {
        text_addf(&t, "%s/hanklab", dir);
    } else {
        home = getenv("HOME");
        text_addf(&t, "%s/.local/share/hanklab", home ? home : ".");
    }
    return text_take(&t);
}

void cli_warn(const char *dir)
{
    const char *mind = book_warning(dir);

    if (mind)
        cli_note("hanklab: mind: %s", mind);
}

bool cli_book(struct cli *cli, struct error *err)
{
    char *dir;
    bool ok;

    if (cli->book)
        return true;
    dir = cli_book_folder(cli);
    ok = book_open(dir, &cli->book, err);
    if (ok)
        cli_warn(dir);
    free(dir);
    return ok;
}

bool cli_flush(struct cli *cli, struct error *err)
{
    size_t n = cli->out.len;
    bool ok = n == 0 || fwrite(cli->out.s, 1, n, stdout) == n;

    text_reset(&cli->out);
    if (fflush(stdout) || !ok)
        return error_set(err, ERR_STORE, "cannot write the answer: %s",
                         strerror(errno));
    return true;
}

void cli_note(const char *fmt, ...)
{
    va_list args;

    va_start(args, fmt);
    vfprintf(stderr, fmt, args);
    va_end(args);
    fputc('\n', stderr);
}

/* COLUMNS, which goes before what the terminal says (POSIX.1-2008, 8.3). */
static int wished_columns(void)
{
    const char *s = getenv("COLUMNS");
    long long n;

    return s && text_whole(s, &n) && n > 0 && n < 100000 ? (int)n : 0;
}

static void look_at_terminal(struct cli *cli)
{
    const char *colour = getenv("COLORTERM"), *no = getenv("NO_COLOR");
    int wished = wished_columns();
    struct winsize size;

    cli->columns = wished ? wished : 80;
    cli->ask = isatty(STDIN_FILENO) && isatty(STDOUT_FILENO);
    if (!isatty(STDOUT_FILENO))
        return;
    cli->colour = colour && (!no || !*no) &&
                  (!strcmp(colour, "truecolor") || !strcmp(colour, "24bit"));
    if (!wished && ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 &&
        size.ws_col > 0)
        cli->columns = size.ws_col;
}

const struct cli_command *cli_command_at(size_t n)
{
    if (n < cli_command_count)
        return cli_commands[n];
    n -= cli_command_count;
    for (size_t i = 0; i < noun_count; i++)
        if (cli_noun_is_command(&nouns[i]) && n-- == 0)
            return cli_noun_command(&nouns[i]);
    return NULL;
}

const struct cli_command *cli_command_find(const char *name)
{
    const struct noun *noun = noun_find(name);

    for (size_t i = 0; i < cli_command_count; i++)
        if (!strcmp(cli_commands[i]->name, name))
            return cli_commands[i];
    return noun && cli_noun_is_command(noun) ? cli_noun_command(noun) : NULL;
}

const struct cli_verb *cli_verb_find(const struct cli_command *c,
                                     const char *name)
{
    for (size_t i = 0; i < c->verb_count; i++)
        if (!strcmp(c->verbs[i].name, name))
            return &c->verbs[i];
    return NULL;
}

bool cli_option_fits(const struct cli_option *o, const struct cli_verb *verb)
{
    if (o->flags & CLI_HIDDEN)
        return false;
    return !verb || !(o->flags & CLI_VERBS) || (o->flags & verb->takes);
}

static void tidy(struct cli *cli)
{
    book_close(cli->book);
    text_clear(&cli->out);
    free(cli->given);
    free(cli->word);
}

static int run(struct cli *cli, int argc, char **argv)
{
    struct error err = {0};
    bool ok = read_arguments(cli, argc, argv, &err);

    if (ok && cli_has(cli, "help"))
        cli_help(cli->command,
                 cli->word_count ? cli_verb_find(cli->command, cli->word[0])
                                 : NULL,
                 &cli->out);
    else if (ok)
        ok = cli->command->run(cli, &err);
    if (!ok) {
        cli_note("hanklab: %s", err.text);
        if (!cli->exit)
            cli->exit = 1;
    }
    if (!cli_flush(cli, &err)) {
        cli_note("hanklab: %s", err.text);
        cli->exit = 1;
    }
    return cli->exit;
}

int cli_main(int argc, char **argv)
{
    struct cli cli = {.argv = argv};
    const char *name = argc > 1 ? argv[1] : "help";
    int status;

    setlocale(LC_CTYPE, "");
    look_at_terminal(&cli);
    cli.command = cli_command_find(
        strcmp(name, "--help") && strcmp(name, "-h") ? name : "help");
    if (cli.command) {
        status = run(&cli, argc, argv);
    } else if (!strcmp(name, "--version")) {
        puts("hanklab " VERSION);
        status = 0;
    } else {
        cli_note("hanklab: there is no command \"%s\"; see \"hanklab --help\"",
                 name);
        status = 2;
    }
    tidy(&cli);
    return status;
}
