/* Private to the command line: papers into files. */
#ifndef HANKLAB_CLI_PRINT_H
#define HANKLAB_CLI_PRINT_H

#include "cli/cli.h"
#include "paper/paper.h"

/* The options of a command that prints. */
#define PRINT_OPTIONS                                                          \
    {"paper", "a4|letter", "the size of the paper; A4 if not said"},           \
        {"pdf", "FILE", "write a PDF; needs Chromium"},                        \
    {                                                                          \
        "html", "FILE", "write HTML, to print from a browser"                  \
    }

/* What these options say; file: whether one is to be written. ERR_INPUT. */
bool print_wanted(struct cli *cli, enum paper_size *size, bool *file,
                  struct error *err);

/* Puts the sheets there, else on standard output. ERR_STORE, ERR_MISSING. */
bool print_sheets(struct cli *cli, const char *title, enum paper_size size,
                  const struct text *sheets, struct error *err);

#endif
