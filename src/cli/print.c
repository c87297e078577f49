/* hanklab print: what is printed on paper, as HTML or PDF. */
#include "cli/commands.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/disk.h"
#include "base/mem.h"
#include "cli/pdf.h"
#include "paper/paper.h"

/* All words behind the verb, commas between; NULL when there are none. */
static char *words_of(const struct cli *cli)
{
    struct text all = {0};

    for (size_t i = 1; i < cli->word_count; i++)
        text_addf(&all, "%s%s", i > 1 ? ", " : "", cli->word[i]);
    return all.len ? text_take(&all) : NULL;
}

static bool tags(struct cli *cli, enum paper_size size, struct text *out,
                 struct error *err)
{
    char *words = words_of(cli);
    bool ok = paper_tags(cli->book, words, size, out, err);

    free(words);
    return ok;
}

static const struct {
    const char *name, *title;
    bool (*make)(struct cli *cli, enum paper_size size, struct text *out,
                 struct error *err);
} papers[] = {
    {"tags", "Tags", tags},
};

/* Where it goes: a file, or standard output that is no terminal. */
static bool check(struct cli *cli, struct error *err)
{
    if (cli_has(cli, "pdf") && cli_has(cli, "html"))
        return cli_usage(cli, err, "choose one of --pdf and --html");
    if (!cli_has(cli, "pdf") && !cli_has(cli, "html") && cli->ask)
        return cli_usage(cli, err, "say where to: --pdf FILE or --html FILE");
    return true;
}

static bool put(struct cli *cli, struct text *document, struct error *err)
{
    const char *pdf = cli_value(cli, "pdf"), *html = cli_value(cli, "html");

    if (pdf)
        return pdf_write(pdf, document, err);
    if (html)
        return disk_write(html, document->s, document->len,
                          "nothing was printed", err);
    text_add_n(&cli->out, document->s, document->len);
    return true;
}

static bool run(struct cli *cli, struct error *err)
{
    struct text sheets = {0}, document = {0};
    enum paper_size size;
    size_t i = 0;
    bool ok;

    while (i < ARRAY_LEN(papers) && strcmp(papers[i].name, cli->word[0]))
        i++;
    if (i == ARRAY_LEN(papers))
        return cli_usage(cli, err,
                         "\"%s\" is not printed; see \"hanklab print --help\"",
                         cli->word[0]);
    if (!check(cli, err) ||
        !paper_size_read(cli_value(cli, "paper"), &size, err) ||
        !cli_book(cli, err))
        return false;
    ok = papers[i].make(cli, size, &sheets, err);
    if (ok) {
        paper_document(papers[i].title, size, &sheets, &document);
        ok = put(cli, &document, err);
    }
    text_clear(&sheets);
    text_clear(&document);
    return ok;
}

static const struct cli_option options[] = {
    {"paper", "a4|letter", "the size of the paper; A4 if not said"},
    {"pdf", "FILE", "write a PDF; needs Chromium"},
    {"html", "FILE", "write HTML, to print from a browser"},
};

static const struct cli_verb verbs[] = {
    {"tags", "[NUMBERS]", "to tie on before the pot: 1-48, 7, A3"},
};

const struct cli_command command_print = {
    .name = "print",
    .words = "WHAT [WHICH]...",
    .summary = "print tags on paper",
    .detail = "Without a file HTML goes to standard output. Tags without "
              "NUMBERS are the 24\nthat come next.",
    .options = options,
    .option_count = ARRAY_LEN(options),
    .min_words = 1,
    .max_words = SIZE_MAX,
    .run = run,
    .verbs = verbs,
    .verb_count = ARRAY_LEN(verbs),
};
