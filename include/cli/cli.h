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
};

struct cli_option {
    const char *name;  /* without the dashes */
    const char *value; /* what stands behind it: "DIR"; NULL for a switch */
    const char *help;
    unsigned flags; /* enum cli_option_flag */
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
};

/* Every command, sorted as the help shows them; src/cli/commands.c. */
extern const struct cli_command *const cli_commands[];
extern const size_t cli_command_count;

/* Options every command takes: --book, --json, --csv, --help. */
extern const struct cli_option cli_common[];
extern const size_t cli_common_count;

struct cli_given {
    const struct cli_option *option;
    const char *value; /* "" for a switch; borrowed from argv */
};

struct cli {
    const struct cli_command *command;
    struct cli_given *given;
    size_t given_count;
    const char **word; /* positional arguments */
    size_t word_count;
    struct book *book; /* opened by cli_book */
    struct text out;   /* standard output, written at the end */
    bool json, csv;
    bool colour; /* the terminal shows true colour and NO_COLOR is unset */
    bool ask;    /* standard input and output are terminals */
    int columns; /* width of the terminal, 80 when there is none */
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

/* Runs the program; the exit status. */
int cli_main(int argc, char **argv);

/* The help of one command, or of all when command is NULL. */
void cli_help(const struct cli_command *command, struct text *out);

#endif
