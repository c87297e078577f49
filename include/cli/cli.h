/*
 * The command line: one table of commands, options read by it, output
 * gathered and written once.
 */
#ifndef HANKLAB_CLI_CLI_H
#define HANKLAB_CLI_CLI_H

#include <stdbool.h>
#include <stddef.h>

#include "base/error.h"
#include "base/text.h"
#include "book/book.h"

enum cli_option_flag {
    CLI_MANY = 1 << 0,   /* may be given more than once */
    CLI_HIDDEN = 1 << 1, /* understood, but not in the help */
    /* Only with some verbs of a noun's command; none of these: with any. */
    CLI_ADD = 1 << 2,
    CLI_EDIT = 1 << 3,
    CLI_LIST = 1 << 4,
    CLI_FOUR = 1 << 5, /* four words, each a value; or one with blanks in it */
    CLI_ANEW = 1 << 6, /* options behind it may be given once more */
};
#define CLI_VERBS (CLI_ADD | CLI_EDIT | CLI_LIST)

struct cli_option {
    const char *name;  /* without the dashes */
    const char *value; /* what stands behind it: "DIR"; NULL for a switch */
    const char *help;
    unsigned flags; /* enum cli_option_flag */
};

/* What a command does with a record, when its first word says so. */
struct cli_verb {
    const char *name;  /* "edit" */
    const char *words; /* what follows it: "WHICH" */
    const char *help;
    unsigned takes; /* which of CLI_VERBS its options have, or 0 */
};

/* How the value of an option, or a word, is written. */
struct cli_form {
    const char *name; /* as options have it: "WEIGHT" */
    const char *help;
    const char *example; /* one value */
};

struct cli;

struct cli_command {
    const char *name;    /* "find" */
    const char *words;   /* what follows it: "[WORDS]..." */
    const char *summary; /* one line, starts with a verb */
    const char *detail;  /* more for its help, may be NULL; newlines allowed */
    const struct cli_option *options;
    size_t option_count;
    size_t min_words, max_words; /* positional arguments; SIZE_MAX: any */
    /* Does it: text into cli->out. False fills err: exit 1, or 2 after
     * cli_usage. A command that did part of its work may set cli->exit. */
    bool (*run)(struct cli *cli, struct error *err);
    const struct cli_verb *verbs; /* NULL: the first word is no verb */
    size_t verb_count;
};

/* Jobs, sorted as the help shows them; src/cli/commands.c. */
extern const struct cli_command *const cli_commands[];
extern const size_t cli_command_count;

/* Options every command takes: --book, --json, --csv, --help. */
extern const struct cli_option cli_common[];
extern const size_t cli_common_count;

/* How values are written; src/cli/forms.c. */
extern const struct cli_form cli_forms[];
extern const size_t cli_form_count;

/* The nth command from 0, jobs first and then the nouns; NULL behind the
 * last. All that help, completion and the manual page say comes from here. */
const struct cli_command *cli_command_at(size_t n);

/* By name, "skein" or "skeins"; NULL when there is none. */
const struct cli_command *cli_command_find(const char *name);
const struct cli_verb *cli_verb_find(const struct cli_command *command,
                                     const char *name);

/* Whether an option is shown with a verb (NULL: with any). */
bool cli_option_fits(const struct cli_option *option,
                     const struct cli_verb *verb);

struct cli_given {
    const struct cli_option *option;
    const char *value; /* "" for a switch; borrowed from argv */
};

struct cli {
    const struct cli_command *command;
    char *const *argv; /* all of it, as the program was called */
    struct cli_given *given;
    size_t given_count;
    const char **word; /* positional arguments */
    size_t word_count;
    const char *apart; /* the first word with an option before it and a word
                          before that, or NULL */
    struct book *book; /* opened by cli_book */
    struct text out;   /* standard output, written at the end */
    bool json, csv;
    bool colour; /* the terminal shows true colour and NO_COLOR is unset */
    bool ask;    /* standard input and output are terminals */
    int columns; /* COLUMNS, else the width of the terminal, else 80 */
    int exit;
};

/* The last value of an option, or NULL. Asserts that the command has it. */
const char *cli_value(const struct cli *cli, const char *option);
bool cli_has(const struct cli *cli, const char *option);

/* The nth value (from 0) of an option given many times, or NULL. */
const char *cli_nth(const struct cli *cli, const char *option, size_t n);

/* A number from an option: *out untouched when it was not given. ERR_INPUT
 * names the option. */
bool cli_whole(const struct cli *cli, const char *option, long long min,
               long long max, long long *out, struct error *err);
bool cli_real(const struct cli *cli, const char *option, double min, double max,
              double *out, struct error *err);

/* Wrong usage: exit status 2. Always false. */
bool cli_usage(struct cli *cli, struct error *err, const char *fmt, ...)
    __attribute__((format(printf, 3, 4)));

/* Opens the book named by --book, HANKLAB_BOOK, or the user's data folder,
 * unless it is open. */
bool cli_book(struct cli *cli, struct error *err);

/* Where the book is; release with free(). */
char *cli_book_folder(const struct cli *cli);

/* Writes what has been gathered so far (before a question is asked). */
bool cli_flush(struct cli *cli, struct error *err);

/* A line to standard error at once: a note, a caution, progress. */
void cli_note(const char *fmt, ...) __attribute__((format(printf, 1, 2)));

/* Tells there what to mind about the book in a folder, if anything. */
void cli_warn(const char *dir);

/* Runs the program; the exit status. */
int cli_main(int argc, char **argv);

/* The help of one command, or of one of its verbs; of all when command is
 * NULL. */
void cli_help(const struct cli_command *command, const struct cli_verb *verb,
              struct text *out);

/*
 * What the last of the words behind "hanklab", begun or "", can be: a line
 * each, what it is for behind a tab; the line FILES alone when it is the name
 * of a file. The shell looks which of them begin as that word does.
 */
void cli_complete(const char *const *word, size_t count, struct text *out);

#endif
