/* hanklab match: recipes that come near a colour. */
#include "cli/commands.h"

#include <math.h>
#include <stdlib.h>

#include "base/mem.h"
#include "book/picture.h"
#include "cli/ask.h"

/* The colour that is wanted, all words as one phrase. */
static bool read_target(struct cli *cli, struct match_request *r,
                        struct error *err)
{
    struct text t = {0};
    bool ok;

    for (size_t i = 0; i < cli->word_count; i++)
        text_addf(&t, "%s%s", i ? " " : "", cli->word[i]);
    ok = ask_target_read(cli->book, &r->filter, text_str(&t), &r->target, err);
    text_clear(&t);
    return ok;
}

/* What is to be known of a weight that was reckoned. */
static void add_notes(struct cli *cli, const struct match_row *row)
{
    struct text t = {0};

    if (!row->reckoned)
        return;
    match_row_words(row, &t);
    text_addf(&t, ": reckoned between %zu weights, %.3g to %.3g %%",
              row->weights, row->least_pct, row->most_pct);
    if (row->aim.beyond)
        text_add(&t, "; beyond what was dyed: try it on a little first");
    if (row->levelled)
        text_add(&t, "; more dyestuff did not dye deeper everywhere");
    lines_add(&cli->out, text_str(&t), cli->columns, 2);
    text_clear(&t);
}

static void as_table(struct cli *cli, const struct match_request *r,
                     const struct match_answer *a)
{
    static const char *const heads[] = {"colour", "L",       "a",      "b",
                                        DE00,     "at most", "answer", "how"};
    struct text_table t = {.columns = ARRAY_LEN(heads)};

    text_addf(&cli->out, "to %.1f, %.1f, %.1f, the nearest first (",
              r->target.L, r->target.a, r->target.b);
    cli_light_words(&r->filter, &cli->out);
    text_add(&cli->out, ")\n");
    for (size_t i = 0; i < ARRAY_LEN(heads); i++)
        table_add(&t, heads[i]);
    for (size_t i = 0; i < a->count; i++) {
        const struct match_row *row = &a->row[i];
        struct text words = {0};
        table_add_colour(&t, match_row_lab(row),
                         colour_name_nearest(match_row_lab(row))->name);
        cli_lab_cells(&t, match_row_lab(row), 1);
        cli_real_cell(&t, row->de00, 1);
        cli_real_cell(&t, row->compared.U, 1);
        table_add(&t, cli_verdict_short(row->compared.verdict));
        match_row_words(row, &words);
        table_add(&t, text_str(&words));
        text_clear(&words);
    }
    table_write(&t, cli->colour, cli->columns, &cli->out);
    for (size_t i = 0; i < a->count; i++)
        add_notes(cli, &a->row[i]);
    if (a->row[0].compared.verdict == VERDICT_DIFFERENT)
        lines_add(
            &cli->out,
            "nothing in the book reaches that colour, nor does any weight "
            "that can be reckoned; two dyestuffs are never mixed by "
            "reckoning",
            cli->columns, 0);
}

static void as_csv(struct cli *cli, const struct match_answer *a)
{
    static const char *const heads[] = {
        "skein", "reckoned", "wof_pct", "colour",  "L",
        "a",     "b",        "de00",    "at_most", "answer"};
    struct text_table t = {0};

    for (size_t i = 0; i < ARRAY_LEN(heads); i++)
        table_add(&t, heads[i]);
    cli_recipe_heads(&t);
    t.columns = t.cells;
    for (size_t i = 0; i < a->count; i++) {
        const struct match_row *row = &a->row[i];
        table_add(&t, row->skein.label);
        table_add(&t, row->reckoned ? "yes" : "no");
        cli_real_cell(&t, row->reckoned ? row->aim.wof_pct : (double)NAN, 2);
        table_add(&t, colour_name_nearest(match_row_lab(row))->name);
        cli_lab_cells(&t, match_row_lab(row), 4);
        cli_real_cell(&t, row->de00, 4);
        cli_real_cell(&t, row->compared.U, 4);
        table_add(&t, cli_verdict_key(row->compared.verdict));
        cli_recipe_cells(&t, &row->skein);
    }
    table_write_csv(&t, &cli->out);
}

static void as_json(struct cli *cli, const struct match_request *r,
                    const struct match_answer *a)
{
    struct json j = json_to(&cli->out);

    json_add_object(&j, NULL);
    json_add_object(&j, "target");
    cli_json_lab(&j, r->target);
    json_end(&j);
    cli_json_light(&j, &r->filter);
    json_add_whole(&j, "found", (int64_t)a->found);
    json_add_array(&j, "recipes");
    for (size_t i = 0; i < a->count; i++) {
        const struct match_row *row = &a->row[i];
        json_add_object(&j, NULL);
        cli_json_skein(&j, &row->skein, r->filter.wet);
        json_add_whole(&j, "skeins", (int64_t)row->skeins);
        json_add_bool(&j, "reckoned", row->reckoned);
        if (row->reckoned) {
            json_add_real(&j, "wof_pct", row->aim.wof_pct, 2);
            json_add_bool(&j, "beyond", row->aim.beyond);
            json_add_bool(&j, "levelled", row->levelled);
            json_add_real(&j, "least_pct", row->least_pct, 2);
            json_add_real(&j, "most_pct", row->most_pct, 2);
            json_add_object(&j, "colour_reckoned");
            cli_json_lab(&j, row->aim.colour.lab);
            json_end(&j);
        }
        json_add_real(&j, "de00", row->de00, 4);
        json_add_real(&j, "at_most", row->compared.U, 4);
        json_add_string(&j, "answer", cli_verdict_key(row->compared.verdict));
        json_end(&j);
    }
    json_end(&j);
    cli_json_left_out(&j, a->left_out);
    json_end(&j);
}

static bool draw(struct cli *cli, const struct match_answer *a,
                 struct lab target, struct error *err)
{
    struct text picture = {0};
    bool ok;

    if (!cli_has(cli, "svg"))
        return true;
    picture_of_match(a, target, &picture);
    ok = cli_svg(cli, &picture, err);
    text_clear(&picture);
    return ok;
}

static bool run(struct cli *cli, struct error *err)
{
    struct match_request r = {.limit = 0};
    struct match_answer a;
    long long limit = 8;
    bool ok = cli_whole(cli, "limit", 0, 1000000000, &limit, err) &&
              cli_tolerance(cli, &r.tolerance, err) &&
              cli_filter(cli, &r.filter, err) && read_target(cli, &r, err);

    r.limit = (size_t)limit;
    if (!ok || !ask_match(cli->book, &r, &a, err))
        return false;
    if (cli->json)
        as_json(cli, &r, &a);
    else if (cli->csv)
        as_csv(cli, &a);
    else if (a.count)
        as_table(cli, &r, &a);
    else
        text_add(&cli->out, "no skein with a colour\n");
    ok = cli_flush(cli, err) && draw(cli, &a, r.target, err);
    ok =
        ok && (cli->json || cli_note_left_out(cli, a.left_out, &r.filter, err));
    match_answer_clear(&a);
    return ok;
}

static const struct cli_option options[] = {
    CLI_FILTER_OPTIONS,
    {"tolerance", "X", "what still is a match, 2 if not said"},
    {"limit", "N", "how many to show, 8 if not said; 0: all"},
    CLI_SVG_OPTION,
};

const struct cli_command command_match = {
    "match",
    "COLOUR...",
    "tell which recipes come near a colour",
    "COLOUR is L,a,b, the name of a colour, or a skein. Where one dyestuff "
    "was\n"
    "dyed in different weights on one yarn and mordant, and that yarn was\n"
    "measured undyed, the weights between are reckoned, and the best is "
    "named.\n"
    "Two dyestuffs are never mixed by reckoning.",
    options,
    ARRAY_LEN(options),
    1,
    SIZE_MAX,
    run,
};
