/* "hanklab import" of a list from a spreadsheet. See book/ledger.h. */
#include "book/ledger.h"

#include <stdlib.h>
#include <string.h>

#include "base/json.h"
#include "base/mem.h"
#include "cli/ledger.h"
#include "draw/terminal.h"
#include "dye/caution.h"

/* ---- telling ------------------------------------------------------------- */

/* "commas" */
static void add_separator(struct text *out, char c)
{
    if (c == ',' || c == ';' || c == '\t')
        text_add(out, c == ',' ? "commas" : c == ';' ? "semicolons" : "tabs");
    else
        text_addf(out, "\"%c\"", c);
}

/* Words of one line. */
static void add_cell(struct text_table *t, const char *words)
{
    char *one = mem_text_n(words, strcspn(words, "\r\n"));

    table_addf(t, "%.40s", *one ? one : "-");
    free(one);
}

/* Each column, what it is, and how its first words are read. */
static void tell_columns(struct cli *cli, const struct ledger *l)
{
    struct text_table t = {.columns = 4};

    text_addf(&cli->out, "%zu row%s, %zu column%s, ", l->rows,
              l->rows == 1 ? "" : "s", l->columns, l->columns == 1 ? "" : "s");
    add_separator(&cli->out, l->separator);
    text_addf(&cli->out, " between them, %s:\n", l->charset);
    table_add(&t, "column");
    table_add(&t, "is");
    table_add(&t, "such as");
    table_add(&t, "read as");
    for (size_t i = 0; i < l->columns; i++) {
        const struct ledger_column *c = &l->column[i];
        const char *such = c->read_was;
        for (size_t row = 0; !such && row < l->rows; row++)
            if (*ledger_cell(l, row, i))
                such = ledger_cell(l, row, i);
        table_add(&t, c->heading);
        table_addf(&t, "%s%s%s", c->is < 0 ? "-" : ledger_fields[c->is].name,
                   *c->unit ? " " : "", c->unit);
        add_cell(&t, such ? such : "-");
        table_add(&t, c->read_as ? c->read_as : "");
    }
    table_write(&t, cli->colour, cli->columns, &cli->out);
}

static void tell_lines(const struct ledger_lines *lines)
{
    for (size_t i = 0; i < lines->told; i++)
        if (lines->line[i].line)
            cli_note("line %zu: %s", lines->line[i].line, lines->line[i].words);
        else
            cli_note("%s", lines->line[i].words);
    if (lines->count > lines->told)
        cli_note("... and %zu more", lines->count - lines->told);
}

static void add_lines(struct json *j, const char *key,
                      const struct ledger_lines *lines)
{
    json_add_array(j, key);
    for (size_t i = 0; i < lines->told; i++) {
        json_add_object(j, NULL);
        if (lines->line[i].line)
            json_add_whole(j, "line", (int64_t)lines->line[i].line);
        json_add_string(j, "words", lines->line[i].words);
        json_end(j);
    }
    json_end(j);
}

static void tell_json(struct cli *cli, const struct ledger *l,
                      const struct ledger_taken *taken)
{
    struct json j = json_to(&cli->out);

    json_add_object(&j, NULL);
    json_add_array(&j, "columns");
    for (size_t i = 0; i < l->columns; i++) {
        const struct ledger_column *c = &l->column[i];
        json_add_object(&j, NULL);
        json_add_string(&j, "column", c->heading);
        json_add_string(&j, "is", c->is < 0 ? NULL : ledger_fields[c->is].name);
        json_add_string(&j, "unit", *c->unit ? c->unit : NULL);
        json_end(&j);
    }
    json_end(&j);
    json_add_whole(&j, "rows", (int64_t)l->rows);
    json_add_whole(&j, "skeins", (int64_t)taken->skeins);
    json_add_string(&j, "first", taken->first);
    json_add_string(&j, "last", taken->last);
    json_add_whole(&j, "here", (int64_t)taken->here);
    add_lines(&j, "new", &taken->made);
    add_lines(&j, "notes", &taken->note);
    if (taken->act)
        json_add_whole(&j, "act", taken->act);
    else
        json_add_null(&j, "act");
    json_end(&j);
}

static void tell(struct cli *cli, const struct ledger *l,
                 const struct ledger_taken *taken, bool look)
{
    if (look || cli_has(cli, "yes")) {
        tell_columns(cli, l);
        ledger_taken_words(l, taken, &cli->out);
        tell_lines(&taken->note);
        for (size_t i = 0; i < taken->cautions; i++)
            cli_note("%s", taken->caution[i]);
        if (taken->cautions)
            cli_note("%s", caution_closing);
    }
    if (taken->act)
        text_addf(&cli->out, "Kept. Not meant? hanklab undo %lld\n",
                  (long long)taken->act);
}

/* ---- taking in ----------------------------------------------------------- */

static bool match(const struct cli *cli, struct ledger *l, struct error *err)
{
    const char *words;

    for (size_t i = 0; (words = cli_nth(cli, "match", i)); i++)
        if (!ledger_match(l, words, err))
            return false;
    for (size_t i = 0; (words = cli_nth(cli, "all", i)); i++)
        if (!ledger_for_all(l, words, err))
            return false;
    l->together = cli_has(cli, "together");
    l->rest = cli_has(cli, "rest");
    return true;
}

bool import_ledger(struct cli *cli, const struct exchange_file *file, bool look,
                   struct error *err)
{
    struct ledger l;
    struct ledger_taken taken = {0};
    bool ok = ledger_open(file, &l, err) && match(cli, &l, err) &&
              ledger_take(cli->book, &l, look, &taken, err);

    if (ok && cli->json)
        tell_json(cli, &l, &taken);
    else if (ok)
        tell(cli, &l, &taken, look);
    else
        tell_lines(&taken.bad);
    ledger_taken_clear(&taken);
    ledger_close(&l);
    return ok;
}
