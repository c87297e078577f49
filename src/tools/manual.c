/*
 * Makes the manual page from docs/hanklab.mdoc, written by hand, and the
 * tables of commands and records. Run by the build:
 *
 *     manual docs/hanklab.mdoc >hanklab.1
 *
 * In the page's source a line "@commands", "@nouns", "@verbs", "@forms" or
 * "@common" is replaced by what the table says. Between "```console" and "```"
 * stands an example as it is typed and answered; tests/docs.test.sh runs it.
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "cli/noun.h"

/* Plain text: no character of it is taken for a request, each sentence has a
 * line of its own, as mdoc wants, and no line is long. */
static void put_text(const char *s)
{
    size_t column = 0;

    for (; *s; s++, column++) {
        if (!column && (*s == '.' || *s == '\''))
            fputs("\\&", stdout);
        if (*s == ' ' && (column > 60 || s[-1] == '.') && s[1]) {
            putchar('\n');
            column = (size_t)-1;
        } else if (*s == '\\') {
            fputs("\\e", stdout);
        } else {
            putchar(*s);
        }
    }
    putchar('\n');
}

/* An argument of a macro, which may have blanks. */
static void put_argument(const char *s)
{
    fputs(" \"", stdout);
    for (; *s; s++)
        if (*s == '"')
            fputs("\"\"", stdout);
        else if (*s == '\\')
            fputs("\\e", stdout);
        else
            putchar(*s);
    putchar('"');
}

/* A line of an example: a dash is a dash that can be typed. */
static void put_literal(const char *s)
{
    if (*s == '.' || *s == '\'')
        fputs("\\&", stdout);
    for (; *s; s++)
        if (*s == '\\')
            fputs("\\e", stdout);
        else if (*s == '-')
            fputs("\\-", stdout);
        else
            putchar(*s);
    putchar('\n');
}

static void put_option(const struct cli_option *o)
{
    printf(".It Fl -%s", o->name);
    if (o->value) {
        printf(" Ar");
        put_argument(o->value);
    }
    putchar('\n');
    put_text(o->help);
    if (o->flags & CLI_MANY)
        puts("(may be repeated)");
}

static void put_options(const struct cli_option *o, size_t n)
{
    size_t shown = 0;

    for (size_t i = 0; i < n; i++)
        if (cli_option_fits(&o[i], NULL) && !shown++)
            puts(".Pp\n.Bl -tag -width Ds -compact");
    for (size_t i = 0; i < n; i++)
        if (cli_option_fits(&o[i], NULL))
            put_option(&o[i]);
    if (shown)
        puts(".El");
}

static void put_verbs(const struct cli_command *c)
{
    puts(".Pp\n.Bl -tag -width Ds -compact");
    for (size_t i = 0; i < c->verb_count; i++) {
        printf(".It Cm %s", c->verbs[i].name);
        if (*c->verbs[i].words) {
            printf(" Ar");
            put_argument(c->verbs[i].words);
        }
        putchar('\n');
        put_text(c->verbs[i].help);
    }
    puts(".El");
}

/* A heading, how it is typed, and all that is said of the command. */
static void put_command(const struct cli_command *c)
{
    printf(".Ss %s\n.Dl hanklab %s", c->name, c->name);
    if (*c->words)
        printf(" %s", c->words);
    puts("\n.Pp");
    put_text(c->summary);
    if (c->detail) {
        struct text line = {0};
        puts(".Pp");
        for (const char *s = c->detail; *s;) {
            size_t n = strcspn(s, "\n");
            text_reset(&line);
            text_add_n(&line, s, n);
            if (n)
                put_text(text_str(&line));
            else
                puts(".Pp");
            s += n + (s[n] == '\n');
        }
        text_clear(&line);
    }
}

static void put_jobs(void)
{
    for (size_t i = 0; i < cli_command_count; i++) {
        put_command(cli_commands[i]);
        if (cli_commands[i]->verb_count)
            put_verbs(cli_commands[i]);
        put_options(cli_commands[i]->options, cli_commands[i]->option_count);
    }
}

static void put_nouns(void)
{
    for (size_t g = 0; g < noun_group_count; g++)
        for (size_t i = 0; i < noun_count; i++) {
            const struct cli_command *c;
            if (nouns[i].group != noun_groups[g] ||
                !cli_noun_is_command(&nouns[i]))
                continue;
            c = cli_noun_command(&nouns[i]);
            put_command(c);
            put_options(c->options, c->option_count);
        }
}

static void put_forms(void)
{
    puts(".Pp\n.Bl -tag -width Ds -compact");
    for (size_t i = 0; i < cli_form_count; i++) {
        printf(".It Ar %s\n", cli_forms[i].name);
        put_text(cli_forms[i].help);
    }
    puts(".El");
}

/* One line of the source outside of an example. */
static void put_line(const char *line)
{
    if (!strcmp(line, "@commands"))
        put_jobs();
    else if (!strcmp(line, "@nouns"))
        put_nouns();
    else if (!strcmp(line, "@verbs"))
        put_verbs(cli_noun_command(&nouns[NOUN_SKEIN]));
    else if (!strcmp(line, "@forms"))
        put_forms();
    else if (!strcmp(line, "@common"))
        put_options(cli_common, cli_common_count);
    else
        puts(line);
}

int main(int argc, char **argv)
{
    FILE *f = argc == 2 ? fopen(argv[1], "r") : NULL;
    char line[1024];
    bool example = false;

    if (!f) {
        fputs("usage: manual PAGE.mdoc >PAGE\n", stderr);
        return 1;
    }
    while (fgets(line, sizeof line, f)) {
        line[strcspn(line, "\n")] = '\0';
        if (!strncmp(line, "```", 3)) {
            example = !example;
            puts(example ? ".Bd -literal -offset indent" : ".Ed");
        } else if (example) {
            put_literal(line);
        } else {
            put_line(line);
        }
    }
    if (ferror(f) || fclose(f) || fflush(stdout) || ferror(stdout)) {
        fputs("manual: cannot read or write\n", stderr);
        return 1;
    }
    return 0;
}
