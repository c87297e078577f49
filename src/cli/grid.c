/* hanklab grid: mean colours by two things, as a table. */
#include "cli/commands.h"

#include <math.h>
#include <stdlib.h>

#include "base/mem.h"
#include "book/picture.h"
#include "cli/ask.h"

static bool read_axis(struct cli *cli, const char *option, enum grid_axis *out,
                      struct error *err)
{
    const char *name = cli_value(cli, option);

    if (!name || grid_axis_find(name, out))
        return true;
    return error_set(err, ERR_INPUT,
                     "--%s: choose dyestuff, mordant, dip, round, fibre, bath, "
                     "year, ph, supply or per-fibre, not \"%s\"",
                     option, name);
}

/* ---- as a table -----------------------------------------------------------
 */

/* A cell's first line: its name, after a swatch. */
static void name_cell(const struct grid *g, size_t i, struct text_table *t)
{
    const struct grid_place *p = &g->place[i];
    const struct colour_name *name = colour_name_nearest(p->mean.lab);

    if (p->measured)
        table_add_colour(t, p->mean.lab, name ? name->name : "");
    else
        table_add(t, grid_state(g, i));
}

static void lab_cell(const struct grid_place *p, struct text_table *t)
{
    struct lab c = p->mean.lab;

    if (p->measured)
        table_addf(t, "%.1f %.1f %.1f", text_round(c.L, 1) + 0.0,
                   text_round(c.a, 1) + 0.0, text_round(c.b, 1) + 0.0);
    else
        table_add(t, "");
}

/* "3 skeins, spread 0.8; 1 not measured" */
static void count_cell(const struct grid_place *p, struct text_table *t)
{
    struct text s = {0};

    if (p->measured)
        text_addf(&s, "%zu %s", p->measured,
                  p->measured == 1 ? "skein" : "skeins");
    if (p->measured > 1)
        text_addf(&s, ", spread %.1f", p->spread);
    if (p->measured && p->skeins > p->measured)
        text_addf(&s, "; %zu not measured", p->skeins - p->measured);
    table_add(t, text_str(&s));
    text_clear(&s);
}

/* "4.1 cannot tell" */
static void pin_cell(const struct grid *g, size_t i, struct text_table *t)
{
    const struct grid_place *p = &g->place[i];

    if (i == g->pin)
        table_add(t, "pinned");
    else if (p->measured)
        table_addf(t, "%.1f %s", p->pinned.de00,
                   cli_verdict_short(p->pinned.verdict));
    else
        table_add(t, "");
}

static bool has_measured(const struct grid *g, size_t row)
{
    for (size_t c = 0; c < g->columns; c++)
        if (g->place[row * g->columns + c].measured)
            return true;
    return false;
}

static void add_line(const struct grid *g, size_t row, int line,
                     struct text_table *t)
{
    table_add(t, line ? "" : g->row[row]);
    for (size_t c = 0; c < g->columns; c++) {
        size_t i = row * g->columns + c;
        if (line == 0)
            name_cell(g, i, t);
        else if (line == 1)
            lab_cell(&g->place[i], t);
        else if (line == 2)
            count_cell(&g->place[i], t);
        else
            pin_cell(g, i, t);
    }
}

/* A name's line; below it, where there is something, the numbers. */
static void add_row(const struct grid *g, size_t row, struct text_table *t)
{
    int lines = !has_measured(g, row) ? 1 : g->has_pin ? 4 : 3;

    for (int line = 0; line < lines; line++)
        add_line(g, row, line, t);
}

static void as_text(struct cli *cli, const struct grid_request *r,
                    const struct grid *g)
{
    struct text_table t = {.columns = g->columns + 1, .in_blocks = true};
    struct text *out = &cli->out, head = {0};

    text_addf(&head, "%s down, %s across; mean L a b (",
              grid_axis_names[r->rows], grid_axis_names[r->columns]);
    cli_light_words(&r->filter, &head);
    text_add(&head, "); spread: how far the skeins lie from it");
    lines_add(out, text_str(&head), cli->columns, 0);
    text_clear(&head);
    if (*grid_axis_words(r->rows, r->columns))
        lines_add(out, grid_axis_words(r->rows, r->columns), cli->columns, 0);
    if (g->has_pin)
        text_addf(out, DE00 " from %s, %s\n", g->row[g->pin / g->columns],
                  g->column[g->pin % g->columns]);
    if (!g->rows) {
        text_add(out, "no skein\n");
        return;
    }
    table_add(&t, "");
    for (size_t c = 0; c < g->columns; c++)
        table_add(&t, g->column[c]);
    for (size_t row = 0; row < g->rows; row++)
        add_row(g, row, &t);
    table_write(&t, cli->colour, cli->columns, out);
}

static void as_csv(struct cli *cli, const struct grid_request *r,
                   const struct grid *g)
{
    const char *heads[] = {grid_axis_names[r->rows],
                           grid_axis_names[r->columns],
                           "skeins",
                           "measured",
                           "L",
                           "a",
                           "b",
                           "spread",
                           "de00",
                           "answer",
                           "which"};
    struct text_table t = {.columns = ARRAY_LEN(heads)};

    for (size_t i = 0; i < ARRAY_LEN(heads); i++)
        table_add(&t, heads[i]);
    for (size_t i = 0; i < g->rows * g->columns; i++) {
        const struct grid_place *p = &g->place[i];
        bool compared = g->has_pin && p->measured;
        table_add(&t, g->row[i / g->columns]);
        table_add(&t, g->column[i % g->columns]);
        table_addf(&t, "%zu", p->skeins);
        table_addf(&t, "%zu", p->measured);
        cli_lab_cells(&t, p->mean.lab, 4);
        cli_real_cell(&t, p->spread, 4);
        cli_real_cell(&t, compared ? p->pinned.de00 : (double)NAN, 4);
        table_add(&t, compared ? cli_verdict_key(p->pinned.verdict) : "");
        table_add(&t, p->labels);
    }
    table_write_csv(&t, &cli->out);
}

/* ---- as JSON --------------------------------------------------------------
 */

static void cell_json(struct json *j, const struct grid *g, size_t i)
{
    const struct grid_place *p = &g->place[i];
    const struct colour_name *name = colour_name_nearest(p->mean.lab);
    const char *state = grid_state(g, i);

    json_add_object(j, NULL);
    json_add_string(j, "row", g->row[i / g->columns]);
    json_add_string(j, "column", g->column[i % g->columns]);
    json_add_whole(j, "skeins", (int64_t)p->skeins);
    json_add_whole(j, "measured", (int64_t)p->measured);
    json_add_string(j, "which", p->labels);
    json_add_string(j, "state", !state ? "measured" : *state ? state : NULL);
    json_add_string(j, "colour", name ? name->name : NULL);
    cli_json_lab(j, p->mean.lab);
    json_add_real(j, "spread_de00", p->spread, 4);
    if (g->has_pin && p->measured) {
        json_add_real(j, "de00", p->pinned.de00, 4);
        json_add_real(j, "U", p->pinned.U, 4);
        json_add_real(j, "T", p->pinned.T, 4);
        json_add_string(j, "verdict", cli_verdict_key(p->pinned.verdict));
    }
    json_end(j);
}

static void as_json(struct cli *cli, const struct grid_request *r,
                    const struct grid *g)
{
    struct json j = json_to(&cli->out);

    json_add_object(&j, NULL);
    json_add_string(&j, "rows", grid_axis_names[r->rows]);
    json_add_string(&j, "columns", grid_axis_names[r->columns]);
    cli_json_light(&j, &r->filter);
    json_add_array(&j, "cells");
    for (size_t i = 0; i < g->rows * g->columns; i++)
        cell_json(&j, g, i);
    json_end(&j);
    json_add_whole(&j, "exhausts", (int64_t)g->exhausts);
    json_add_whole(&j, "dipped", (int64_t)g->dipped);
    json_add_whole(&j, "over_dyed", (int64_t)g->over_dyed);
    cli_json_left_out(&j, g->left_out);
    json_end(&j);
}

/* A mean over unlike things is said to be one. */
static void note_mixture(const struct grid_request *r, const struct grid *g)
{
    struct text t = {0};
    bool rounds = r->rows == GRID_ROUND || r->columns == GRID_ROUND;
    bool dips = r->rows == GRID_DIP || r->columns == GRID_DIP;

    if (g->exhausts && !rounds && !r->filter.has_round)
        text_addf(&t, "%zu from exhausts (--round first leaves them out)",
                  g->exhausts);
    if (g->dipped && !dips && !r->filter.dips.count)
        text_addf(&t, "%s%zu dipped later (--no-dip leaves them out)",
                  t.len ? ", " : "", g->dipped);
    if (g->over_dyed)
        text_addf(&t, "%s%zu dyed more than once", t.len ? ", " : "",
                  g->over_dyed);
    if (t.len)
        cli_note("the means include %s", text_str(&t));
    text_clear(&t);
}

static bool run(struct cli *cli, struct error *err)
{
    struct grid_request r = {.rows = GRID_DYESTUFF, .columns = GRID_MORDANT};
    struct grid g;
    bool ok;

    r.pin = cli_value(cli, "pin");
    r.labels = cli->json || cli->csv;
    if (!read_axis(cli, "rows", &r.rows, err) ||
        !read_axis(cli, "columns", &r.columns, err))
        return false;
    if (r.rows == r.columns)
        return cli_usage(cli, err, "rows and columns are both by %s",
                         grid_axis_names[r.rows]);
    if (!cli_tolerance(cli, &r.tolerance, err) ||
        !cli_filter(cli, &r.filter, err) || !ask_grid(cli->book, &r, &g, err))
        return false;
    if (cli->json)
        as_json(cli, &r, &g);
    else if (cli->csv)
        as_csv(cli, &r, &g);
    else
        as_text(cli, &r, &g);
    ok = cli_flush(cli, err);
    if (ok && cli_has(cli, "svg")) {
        struct text picture = {0};
        picture_of_grid(&g, r.rows, r.columns, &picture);
        ok = cli_svg(cli, &picture, err);
        text_clear(&picture);
    }
    if (ok && !cli->json) {
        note_mixture(&r, &g);
        ok = cli_note_left_out(cli, g.left_out, &r.filter, err);
    }
    grid_clear(&g);
    return ok;
}

static const struct cli_option options[] = {
    {"rows", "WHAT", "dyestuff (if not said), mordant, dip, round, fibre ..."},
    {"columns", "WHAT",
     "mordant (if not said); also bath, year, ph, supply, per-fibre"},
    {"pin", "ROW,COLUMN", "show every cell's difference from this one"},
    {"tolerance", "X", "with --pin: what still is a match, 2 if not said"},
    CLI_SVG_OPTION,
    CLI_FILTER_OPTIONS,
};

const struct cli_command command_grid = {
    "grid",
    "",
    "show mean colours by two things, such as dyestuff and mordant",
    "Each skein counts once, by its last dye and its latest dry reading.",
    options,
    ARRAY_LEN(options),
    0,
    0,
    run,
};
