/* hanklab split: a hank into pieces, before it is wound. */
#include "cli/commands.h"

#include <math.h>

#include "base/json.h"
#include "base/mem.h"
#include "cli/ask.h"
#include "dye/split.h"

static void add_amount(double m, double g, struct text *out)
{
    text_add_real(out, m, 1);
    text_add(out, " m");
    if (isnan(g))
        return;
    text_add(out, " (");
    text_add_real(out, g, 1);
    text_add(out, " g)");
}

static double grams(const struct split_plan *p, double m)
{
    return m / p->m_per_g;
}

static void as_table(struct cli *cli, const struct split_plan *p)
{
    const bool loop = !isnan(p->loop_m);
    struct text_table t = {.columns = loop ? 6 : 4};

    table_add(&t, "piece");
    if (loop) {
        table_add(&t, "wanted m");
        table_add(&t, "wraps");
    }
    table_add(&t, "m");
    table_add(&t, "g");
    table_add(&t, "lacks");
    for (size_t i = 0; i < p->count; i++) {
        const struct split_piece *piece = &p->piece[i];
        struct text lack = {0};

        table_add(&t, piece->name);
        if (loop) {
            cli_real_cell(&t, piece->want_m, 1);
            cli_real_cell(&t, piece->wraps, 0);
        }
        cli_real_cell(&t, piece->m, 1);
        cli_real_cell(&t, piece->g, 2);
        if (piece->lack_m > 0)
            add_amount(piece->lack_m, grams(p, piece->lack_m), &lack);
        table_add(&t, text_str(&lack));
        text_clear(&lack);
    }
    table_write(&t, cli->colour, cli->columns, &cli->out);
}

static void as_text(struct cli *cli, const struct split_plan *p)
{
    struct text *out = &cli->out;

    text_add(out, "the hank: ");
    add_amount(p->hank_m, p->hank_g, out);
    if (!isnan(p->m_per_g)) {
        text_add(out, ", ");
        text_add_real(out, p->m_per_g, 2);
        text_add(out, " m a gram");
    }
    text_add(out, "\n");
    as_table(cli, p);
    if (p->wraps_less)
        text_add(out, "a wrap less each: with one more the hank would not be "
                      "enough\n");
    text_add(out, "pieces: ");
    add_amount(p->pieces_m, grams(p, p->pieces_m), out);
    if (p->reserve_m > 0) {
        text_add(out, "; kept back: ");
        add_amount(p->reserve_m, grams(p, p->reserve_m), out);
    }
    text_add(out, p->over_m < 0 ? "; short by " : "; over: ");
    add_amount(fabs(p->over_m), grams(p, fabs(p->over_m)), out);
    if (p->over_m < 0 && p->reserve_m > 0) {
        text_add(out, p->over_without_reserve_m < 0
                          ? ", even with no reserve by "
                          : ", with no reserve enough, over ");
        add_amount(fabs(p->over_without_reserve_m),
                   grams(p, fabs(p->over_without_reserve_m)), out);
    }
    text_add(out, "\n");
}

static void as_csv(struct cli *cli, const struct split_plan *p)
{
    static const char *const heads[] = {"piece", "wanted_m", "wraps",
                                        "m",     "g",        "lacks_m"};
    struct text_table t = {.columns = ARRAY_LEN(heads)};

    for (size_t i = 0; i < ARRAY_LEN(heads); i++)
        table_add(&t, heads[i]);
    for (size_t i = 0; i < p->count; i++) {
        const struct split_piece *piece = &p->piece[i];

        table_add(&t, piece->name);
        cli_real_cell(&t, piece->want_m, 4);
        cli_real_cell(&t, piece->wraps, 0);
        cli_real_cell(&t, piece->m, 4);
        cli_real_cell(&t, piece->g, 4);
        cli_real_cell(&t, piece->lack_m, 4);
    }
    table_write_csv(&t, &cli->out);
}

static void as_json(struct cli *cli, const struct split_plan *p)
{
    struct json j = json_to(&cli->out);

    json_add_object(&j, NULL);
    json_add_real(&j, "hank_m", p->hank_m, 4);
    json_add_real(&j, "hank_g", p->hank_g, 4);
    json_add_real(&j, "m_per_g", p->m_per_g, 6);
    json_add_array(&j, "pieces");
    for (size_t i = 0; i < p->count; i++) {
        const struct split_piece *piece = &p->piece[i];

        json_add_object(&j, NULL);
        json_add_string(&j, "name", piece->name);
        json_add_real(&j, "wanted_m", piece->want_m, 4);
        json_add_real(&j, "wraps", piece->wraps, 0);
        json_add_real(&j, "m", piece->m, 4);
        json_add_real(&j, "g", piece->g, 4);
        json_add_real(&j, "lacks_m", piece->lack_m, 4);
        json_end(&j);
    }
    json_end(&j);
    json_add_bool(&j, "wraps_less", p->wraps_less);
    json_add_real(&j, "pieces_m", p->pieces_m, 4);
    json_add_real(&j, "reserve_m", p->reserve_m, 4);
    json_add_real(&j, "over_m", p->over_m, 4);
    json_add_real(&j, "over_without_reserve_m", p->over_without_reserve_m, 4);
    json_end(&j);
}

static bool run(struct cli *cli, struct error *err)
{
    const struct split_words words = {
        .weight = cli_value(cli, "weight"),
        .length = cli_value(cli, "length"),
        .sample = cli_value(cli, "sample"),
        .piece = cli->word,
        .pieces = cli->word_count,
        .reserve = cli_value(cli, "reserve"),
        .allowance = cli_value(cli, "allowance"),
        .loop = cli_value(cli, "loop"),
    };
    struct split_plan p;

    if (!split_plan(&words, &p, err))
        return false;
    if (cli->json)
        as_json(cli, &p);
    else if (cli->csv)
        as_csv(cli, &p);
    else
        as_text(cli, &p);
    split_plan_clear(&p);
    return true;
}

static const struct cli_option options[] = {
    {"weight", "WEIGHT", "of the hank, dry"},
    {"length", "LENGTH", "of the hank"},
    {"sample", "SAMPLE", "in place of the length: so much was measured"},
    {"reserve", "PART", "kept back of the hank"},
    {"allowance", "PART", "added to each piece"},
    {"loop", "LENGTH", "pieces are wound on it, in whole wraps"},
};

const struct cli_command command_split = {
    "split",
    "PIECE...",
    "split a hank into pieces; keeps nothing",
    "Each PIECE is a length, a weight or a part of the hank, with a name "
    "before\n"
    "it if you like: \"border red = 120 m\", 90m, \"8 x 40 m\", 12g, \"8 x "
    "1/8\".\n"
    "They get yarn in that order, so that what lacks is the last.",
    options,
    ARRAY_LEN(options),
    1,
    SIZE_MAX,
    run,
};
