/* hanklab fade: how a bath's colour went from round to round. */
#include "cli/commands.h"

#include <math.h>
#include <stdlib.h>

#include "base/mem.h"
#include "book/record.h"
#include "cli/ask.h"

static void lane_words(const struct fade_lane *lane, struct text *out)
{
    text_add(out, lane->mordants ? lane->mordants : "mordant not recorded");
    if (lane->dips)
        text_addf(out, ", dipped in %s", lane->dips);
}

static void round_words(const struct fade_round *round, struct text *out)
{
    if (round->known)
        ask_round_words(round->round, out);
    else
        text_add(out, "round not recorded");
}

/* ---- as a table -----------------------------------------------------------
 */

static void colour_cell(const struct fade_cell *c, struct text_table *t)
{
    const struct colour_name *name = colour_name_nearest(c->mean);

    if (c->measured)
        table_add_colour(t, c->mean, name ? name->name : "");
    else
        table_add(t, c->lacking ? "not measured" : "no skein");
}

/* "31, 32; not measured: 33" */
static void skeins_cell(const struct fade_cell *c, struct text_table *t)
{
    struct text s = {0};

    text_add(&s, c->labels);
    if (c->lacking && c->measured)
        text_add(&s, "; not measured: ");
    text_add(&s, c->unmeasured);
    table_add(t, text_str(&s));
    text_clear(&s);
}

static void add_row(const struct fade *f, const struct fade_lane *lane,
                    size_t i, struct text_table *t)
{
    const struct fade_cell *c = &lane->cell[i];
    struct text s = {0};

    lane_words(lane, &s);
    table_add(t, text_str(&s));
    text_reset(&s);
    round_words(&f->round[i], &s);
    table_add(t, text_str(&s));
    text_clear(&s);
    colour_cell(c, t);
    cli_lab_cells(t, c->mean, 1);
    cli_real_cell(t, c->before, 1);
    cli_real_cell(t, c->first, 1);
    cli_real_cell(t, c->measured > 1 ? c->spread : (double)NAN, 1);
    skeins_cell(c, t);
}

/* From the first to the last round that has a skein in the lane. */
static void add_lane(const struct fade *f, const struct fade_lane *lane,
                     struct text_table *t)
{
    size_t from = f->rounds, to = 0;

    for (size_t i = 0; i < f->rounds; i++)
        if (lane->cell[i].measured + lane->cell[i].lacking) {
            from = i < from ? i : from;
            to = i + 1;
        }
    for (size_t i = from; i < to; i++)
        add_row(f, lane, i, t);
}

static void write_table(struct cli *cli, const struct fade *f)
{
    static const char *const heads[] = {"lane",   "round", "colour", "L",
                                        "a",      "b",     "step",   "in all",
                                        "spread", "skeins"};
    struct text_table t = {.columns = ARRAY_LEN(heads), .grouped = true};

    for (size_t i = 0; i < ARRAY_LEN(heads); i++)
        table_add(&t, heads[i]);
    for (size_t k = 0; k < f->lanes; k++)
        add_lane(f, &f->lane[k], &t);
    table_write(&t, cli->colour, cli->columns, &cli->out);
}

static void csv_row(const struct fade *f, const struct fade_lane *lane,
                    size_t i, struct text_table *t)
{
    const struct fade_cell *c = &lane->cell[i];
    const struct colour_name *name = colour_name_nearest(c->mean);

    table_add(t, lane->mordants);
    table_add(t, lane->dips);
    if (f->round[i].known)
        table_addf(t, "%lld", (long long)f->round[i].round);
    else
        table_add(t, "");
    table_add(t, name ? name->name : "");
    cli_lab_cells(t, c->mean, 4);
    cli_real_cell(t, c->before, 4);
    cli_real_cell(t, c->first, 4);
    cli_real_cell(t, c->measured > 1 ? c->spread : (double)NAN, 4);
    table_add(t, c->labels);
    table_add(t, c->unmeasured);
}

static void as_csv(struct cli *cli, const struct fade *f)
{
    static const char *const heads[] = {"mordant",
                                        "dip",
                                        "round",
                                        "colour",
                                        "L",
                                        "a",
                                        "b",
                                        "de00_from_before",
                                        "de00_from_first",
                                        "spread_de00",
                                        "skeins",
                                        "not_measured"};
    struct text_table t = {.columns = ARRAY_LEN(heads)};

    for (size_t i = 0; i < ARRAY_LEN(heads); i++)
        table_add(&t, heads[i]);
    for (size_t k = 0; k < f->lanes; k++)
        for (size_t i = 0; i < f->rounds; i++)
            if (f->lane[k].cell[i].measured + f->lane[k].cell[i].lacking)
                csv_row(f, &f->lane[k], i, &t);
    table_write_csv(&t, &cli->out);
}

static bool has_spread(const struct fade *f)
{
    for (size_t k = 0; k < f->lanes; k++)
        for (size_t i = 0; i < f->rounds; i++)
            if (f->lane[k].cell[i].measured > 1)
                return true;
    return false;
}

static void as_text(struct cli *cli, const struct ask_filter *filter,
                    const struct fade *f)
{
    struct text *out = &cli->out, head = {0};

    text_addf(&head, "bath %s, round by round (", f->bath);
    cli_light_words(filter, &head);
    text_add(&head, ")");
    lines_add(out, text_str(&head), cli->columns, 0);
    text_clear(&head);
    if (f->lanes) {
        write_table(cli, f);
        lines_add(out,
                  has_spread(f)
                      ? "step: " DE00 " from the round measured before; in "
                        "all: from the first; spread: how far several skeins "
                        "lie from their mean"
                      : "step: " DE00 " from the round measured before; in "
                        "all: from the first",
                  cli->columns, 0);
    } else {
        text_add(out, "no skein in it\n");
    }
    for (size_t i = 0; i < f->skips; i++) {
        ask_round_words(f->skipped[i], out);
        text_add(out, ": skipped, nothing is recorded\n");
    }
    for (size_t i = 0; i < f->additions; i++) {
        text_add(out, "before ");
        ask_round_words(f->addition[i].before_round, out);
        text_addf(out, " went in: %s\n", f->addition[i].what);
    }
}

/* ---- as JSON --------------------------------------------------------------
 */

static void round_json(struct json *j, const struct fade_round *r)
{
    if (r->known)
        json_add_whole(j, "round", r->round);
    else
        json_add_null(j, "round");
}

static void lane_json(struct json *j, const struct fade *f,
                      const struct fade_lane *lane)
{
    json_add_object(j, NULL);
    json_add_string(j, "mordant", lane->mordants);
    json_add_string(j, "dip", lane->dips);
    json_add_array(j, "rounds");
    for (size_t i = 0; i < f->rounds; i++) {
        const struct fade_cell *c = &lane->cell[i];
        const struct colour_name *name = colour_name_nearest(c->mean);
        json_add_object(j, NULL);
        round_json(j, &f->round[i]);
        json_add_string(j, "skeins", c->labels);
        json_add_string(j, "not_measured", c->unmeasured);
        json_add_string(j, "colour", name ? name->name : NULL);
        cli_json_lab(j, c->mean);
        json_add_real(j, "de00_from_before", c->before, 4);
        json_add_real(j, "de00_from_first", c->first, 4);
        json_add_real(j, "spread_de00",
                      c->measured > 1 ? c->spread : (double)NAN, 4);
        json_end(j);
    }
    json_end(j);
    json_end(j);
}

static void as_json(struct cli *cli, const struct ask_filter *filter,
                    const struct fade *f)
{
    struct json j = json_to(&cli->out);

    json_add_object(&j, NULL);
    json_add_string(&j, "bath", f->bath);
    json_add_string(&j, "illuminant", filter->illuminant);
    json_add_whole(&j, "observer_deg", filter->observer_deg);
    json_add_bool(&j, "wet", filter->wet);
    json_add_array(&j, "lanes");
    for (size_t i = 0; i < f->lanes; i++)
        lane_json(&j, f, &f->lane[i]);
    json_end(&j);
    json_add_array(&j, "skipped");
    for (size_t i = 0; i < f->skips; i++)
        json_add_whole(&j, NULL, f->skipped[i]);
    json_end(&j);
    json_add_array(&j, "added");
    for (size_t i = 0; i < f->additions; i++) {
        json_add_object(&j, NULL);
        json_add_whole(&j, "before_round", f->addition[i].before_round);
        json_add_string(&j, "what", f->addition[i].what);
        json_end(&j);
    }
    json_end(&j);
    json_end(&j);
}

static bool run(struct cli *cli, struct error *err)
{
    struct ask_filter filter;
    struct fade f;
    int64_t bath;

    if (!cli_filter(cli, &filter, err) ||
        !record_find(cli->book, NOUN_BATH, cli->word[0], &bath, err) ||
        !ask_fade(cli->book, bath, &filter, &f, err))
        return false;
    if (cli->json)
        as_json(cli, &filter, &f);
    else if (cli->csv)
        as_csv(cli, &f);
    else
        as_text(cli, &filter, &f);
    fade_clear(&f);
    return true;
}

static const struct cli_option options[] = {CLI_READING_OPTIONS};

const struct cli_command command_fade = {
    "fade",
    "BATH",
    "show how a bath's colour went from round to round",
    "For each mordant, and each dip after it, one run of rounds. A skein\n"
    "counts with the colour it had then; what was done to it later changes\n"
    "nothing here.",
    options,
    ARRAY_LEN(options),
    1,
    1,
    run,
};
