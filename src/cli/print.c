/* hanklab print: what is printed on paper, as HTML or PDF. See print.h. */
#include "cli/print.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/disk.h"
#include "base/mem.h"
#include "cli/commands.h"
#include "cli/pdf.h"

/* All words behind the verb, commas between; NULL when there are none. */
static char *words_of(const struct cli *cli)
{
    struct text all = {0};

    for (size_t i = 1; i < cli->word_count; i++)
        text_addf(&all, "%s%s", i > 1 ? ", " : "", cli->word[i]);
    return all.len ? text_take(&all) : NULL;
}

static const struct {
    const char *name, *title;
    bool (*make)(struct book *book, const char *words, enum paper_size size,
                 struct text *out, struct error *err);
} papers[] = {
    {"tags", "Tags", paper_tags},
    {"cards", "Sample cards", paper_cards},
    {"bath", "Bath", paper_bath},
    {"skein", "Skein", paper_skein},
    {"plan", "Work plan", paper_project},
    {"photo", "The picture", paper_photo},
};

bool print_wanted(struct cli *cli, enum paper_size *size, bool *file,
                  struct error *err)
{
    *file = cli_has(cli, "pdf") || cli_has(cli, "html");
    if (cli_has(cli, "pdf") && cli_has(cli, "html"))
        return cli_usage(cli, err, "choose one of --pdf and --html");
    return paper_size_read(cli_value(cli, "paper"), size, err);
}

bool print_sheets(struct cli *cli, const char *title, enum paper_size size,
                  const struct text *sheets, struct error *err)
{
    const char *pdf = cli_value(cli, "pdf"), *html = cli_value(cli, "html");
    struct text document = {0};
    bool ok = true;

    paper_document(title, size, sheets, &document);
    if (pdf)
        ok = pdf_write(pdf, &document, err);
    else if (html)
        ok = disk_write(html, document.s, document.len, "nothing was printed",
                        err);
    else
        text_add_n(&cli->out, document.s, document.len);
    if (ok && (pdf || html))
        cli_note("%s: %s", title, pdf ? pdf : html);
    text_clear(&document);
    return ok;
}

static bool run(struct cli *cli, struct error *err)
{
    struct text sheets = {0};
    enum paper_size size = PAPER_A4;
    char *words;
    size_t i = 0;
    bool file, ok;

    while (i < ARRAY_LEN(papers) && strcmp(papers[i].name, cli->word[0]))
        i++;
    if (i == ARRAY_LEN(papers))
        return cli_usage(cli, err,
                         "\"%s\" is not printed; see \"hanklab print --help\"",
                         cli->word[0]);
    if (!print_wanted(cli, &size, &file, err))
        return false;
    if (!file && cli->ask)
        return cli_usage(cli, err, "say where to: --pdf FILE or --html FILE");
    if (!cli_book(cli, err))
        return false;
    words = words_of(cli);
    ok = papers[i].make(cli->book, words, size, &sheets, err) &&
         print_sheets(cli, papers[i].title, size, &sheets, err);
    text_clear(&sheets);
    free(words);
    return ok;
}

static const struct cli_option options[] = {PRINT_OPTIONS};

static const struct cli_verb verbs[] = {
    {"tags", "[NUMBERS]", "to tie on before the pot: 1-48, 7, A3"},
    {"cards", "SKEINS", "sample cards to give away: 6-8, 12"},
    {"bath", "BATH",
     "a pot: what went in, to tick off; its rounds, its skeins"},
    {"skein", "SKEIN", "a skein: its colour and its life"},
    {"plan", "[PROJECT]",
     "the steps of a project in time, what to weigh for each"},
    {"photo", "", "how to take the picture that is measured"},
};

const struct cli_command command_print = {
    .name = "print",
    .words = "WHAT [WHICH]...",
    .summary = "print tags, sample cards, baths and skeins on paper",
    .detail = "Without a file HTML goes to standard output. Tags without "
              "NUMBERS are the 24\nthat come next. \"hanklab reckon\" prints "
              "what is to be weighed out.",
    .options = options,
    .option_count = ARRAY_LEN(options),
    .min_words = 1,
    .max_words = SIZE_MAX,
    .run = run,
    .verbs = verbs,
    .verb_count = ARRAY_LEN(verbs),
};
