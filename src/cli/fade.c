/* hanklab fade: how a bath's colour went from round to round. */
#include "cli/commands.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/picture.h"
#include "book/record.h"
#include "cli/ask.h"
#include "dye/amount.h"

static void lane_words(const struct fade *f, const struct fade_lane *lane,
                       struct text *out)
{
    text_add(out, lane->mordants ? lane->mordants : "mordant not recorded");
    if (lane->dips)
        text_addf(out, ", dipped in %s", lane->dips);
    if (f->fibres)
        text_addf(out, ", %s", lane->fibre ? lane->fibre : "yarn not recorded");
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
    const struct colour_name *name = colour_name_nearest(c->mean.lab);

    if (c->measured)
        table_add_colour(t, c->mean.lab, name ? name->name : "");
    else if (*c->other_light)
        table_addf(t, "read under %s", c->other_light);
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

    lane_words(f, lane, &s);
    table_add(t, text_str(&s));
    text_reset(&s);
    round_words(&f->round[i], &s);
    table_add(t, text_str(&s));
    text_clear(&s);
    colour_cell(c, t);
    cli_lab_cells(t, c->mean.lab, 1);
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
    const struct colour_name *name = colour_name_nearest(c->mean.lab);

    table_add(t, lane->mordants);
    table_add(t, lane->dips);
    table_add(t, lane->fibre);
    if (f->round[i].known)
        table_addf(t, "%lld", (long long)f->round[i].round);
    else
        table_add(t, "");
    table_add(t, name ? name->name : "");
    cli_lab_cells(t, c->mean.lab, 4);
    cli_real_cell(t, c->before, 4);
    cli_real_cell(t, c->first, 4);
    cli_real_cell(t, c->measured > 1 ? c->spread : (double)NAN, 4);
    table_add(t, c->labels);
    table_add(t, c->unmeasured);
    table_add(t, f->bath);
}

static void csv_rows(const struct fade *f, struct text_table *t)
{
    for (size_t k = 0; k < f->lanes; k++)
        for (size_t i = 0; i < f->rounds; i++)
            if (f->lane[k].cell[i].measured + f->lane[k].cell[i].lacking)
                csv_row(f, &f->lane[k], i, t);
}

static void as_csv(struct cli *cli, const struct fade *fade, size_t n)
{
    static const char *const heads[] = {"mordant",
                                        "dip",
                                        "fibre",
                                        "round",
                                        "colour",
                                        "L",
                                        "a",
                                        "b",
                                        "de00_from_before",
                                        "de00_from_first",
                                        "spread_de00",
                                        "skeins",
                                        "not_measured",
                                        "bath"};
    struct text_table t = {.columns = ARRAY_LEN(heads)};

    for (size_t i = 0; i < ARRAY_LEN(heads); i++)
        table_add(&t, heads[i]);
    for (size_t f = 0; f < n; f++)
        csv_rows(&fade[f], &t);
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

/* What the strength of the dye says, lane by lane. */
static void add_words(struct cli *cli, const struct fade *f)
{
    bool any = false, fitted = false;

    for (size_t k = 0; k < f->lanes; k++) {
        char *words = fade_words(f, &f->lane[k]), *line = words, *rest;
        struct text name = {0};
        if (*words) {
            lane_words(f, &f->lane[k], &name);
            text_addf(&cli->out, "%s%s:\n", any ? "" : "\n", text_str(&name));
            any = true;
        }
        for (; (rest = strchr(line, '\n')); line = rest + 1) {
            struct text t = {0};
            *rest = '\0';
            text_addf(&t, "  %s", line);
            lines_add(&cli->out, text_str(&t), cli->columns, 4);
            text_clear(&t);
        }
        text_clear(&name);
        free(words);
        fitted = fitted || f->lane[k].stretches;
    }
    if (fitted)
        lines_add(&cli->out,
                  "a model of the colours seen, not of grams of dye; it holds "
                  "for this wool in this bath",
                  cli->columns, 0);
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
    add_words(cli, f);
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

/* A round of a fit; 0 is none. */
static void round_or_null(struct json *j, const char *name, int64_t first,
                          size_t at)
{
    if (at)
        json_add_whole(j, name, first + (int64_t)at);
    else
        json_add_null(j, name);
}

static void fit_json(struct json *j, const struct fade *f,
                     const struct fade_stretch *s)
{
    const struct exhaust *e = &s->fit;
    const int64_t first = f->round[s->from].round;

    json_add_object(j, NULL);
    json_add_whole(j, "from_round", first);
    json_add_string(j, "state",
                    e->state == EXHAUST_FITTED     ? "fitted"
                    : e->state == EXHAUST_TOO_PALE ? "too pale"
                                                   : "too few rounds");
    if (e->state == EXHAUST_FITTED) {
        json_add_bool(j, "weighed", e->weighed);
        json_add_real(j, "left", e->left, 4);
        json_add_real(j, "left_low", e->left_low, 4);
        json_add_real(j, "left_high", e->left_high, 4);
        if (e->weighed)
            json_add_real(j, "kappa_per_g", e->channel[e->strongest].theta, 6);
        json_add_bool(j, "hue_drifts", e->drifts);
        json_add_bool(j, "too_deep", e->too_deep);
        json_add_bool(j, "uneven", e->uneven);
        json_add_array(j, "misfits");
        for (size_t i = 0; i < e->rounds; i++)
            if (e->misfit[i])
                json_add_whole(j, NULL, first + (int64_t)i);
        json_end(j);
        json_add_object(j, "next");
        json_add_whole(j, "round", first + (int64_t)e->rounds);
        cli_json_lab(j, e->next);
        json_add_real(j, "u_L", sqrt(e->next_cov.LL), 4);
        json_add_real(j, "u_a", sqrt(e->next_cov.aa), 4);
        json_add_real(j, "u_b", sqrt(e->next_cov.bb), 4);
        json_end(j);
        round_or_null(j, "spent_early", first, e->spent_early);
        round_or_null(j, "spent_round", first, e->spent);
        round_or_null(j, "spent_late", first, e->spent_late);
    }
    json_end(j);
}

static void lane_json(struct json *j, const struct fade *f,
                      const struct fade_lane *lane)
{
    json_add_object(j, NULL);
    json_add_string(j, "mordant", lane->mordants);
    json_add_string(j, "dip", lane->dips);
    json_add_string(j, "fibre", lane->fibre);
    json_add_array(j, "rounds");
    for (size_t i = 0; i < f->rounds; i++) {
        const struct fade_cell *c = &lane->cell[i];
        const struct colour_name *name = colour_name_nearest(c->mean.lab);
        json_add_object(j, NULL);
        round_json(j, &f->round[i]);
        json_add_string(j, "skeins", c->labels);
        json_add_string(j, "not_measured", c->unmeasured);
        json_add_string(j, "colour", name ? name->name : NULL);
        cli_json_lab(j, c->mean.lab);
        json_add_real(j, "de00_from_before", c->before, 4);
        json_add_real(j, "de00_from_first", c->first, 4);
        json_add_real(j, "spread_de00",
                      c->measured > 1 ? c->spread : (double)NAN, 4);
        json_end(j);
    }
    json_end(j);
    json_add_string(j, "undyed", lane->undyed_label);
    json_add_array(j, "fits");
    for (size_t i = 0; i < lane->stretches; i++)
        fit_json(j, f, &lane->stretch[i]);
    json_end(j);
    json_end(j);
}

static void fade_json(struct json *j, const struct ask_filter *filter,
                      const struct fade *f)
{
    json_add_object(j, NULL);
    json_add_string(j, "bath", f->bath);
    cli_json_light(j, filter);
    json_add_array(j, "lanes");
    for (size_t i = 0; i < f->lanes; i++)
        lane_json(j, f, &f->lane[i]);
    json_end(j);
    json_add_array(j, "skipped");
    for (size_t i = 0; i < f->skips; i++)
        json_add_whole(j, NULL, f->skipped[i]);
    json_end(j);
    json_add_array(j, "added");
    for (size_t i = 0; i < f->additions; i++) {
        json_add_object(j, NULL);
        json_add_whole(j, "before_round", f->addition[i].before_round);
        json_add_string(j, "what", f->addition[i].what);
        json_end(j);
    }
    json_end(j);
    cli_json_left_out(j, f->left_out);
    json_end(j);
}

/* Of one bath an object, of several an array of them. */
static void as_json(struct cli *cli, const struct ask_filter *filter,
                    const struct fade *fade, size_t n)
{
    struct json j = json_to(&cli->out);

    if (n > 1)
        json_add_array(&j, NULL);
    for (size_t i = 0; i < n; i++)
        fade_json(&j, filter, &fade[i]);
    if (n > 1)
        json_end(&j);
}

/* The wool of the coming round, NaN when nothing is said. */
static bool read_next(const struct cli *cli, double *out, struct error *err)
{
    const char *words = cli_value(cli, "next");
    struct amount a;

    *out = (double)NAN;
    if (!words)
        return true;
    if (!amount_read(words, (struct amount_context){.bare = AMOUNT_G}, &a, err))
        return false;
    *out = (a.low + a.high) / 2;
    if (a.unit != AMOUNT_G || !(*out > 0))
        return error_set(err, ERR_INPUT,
                         "--next \"%s\": say the dry wool of the coming "
                         "round, as in --next \"40 g\"",
                         words);
    return true;
}

/* As many as the words; released with fades_free. */
static bool ask_all(struct cli *cli, const struct ask_filter *filter,
                    struct fade *out, size_t *count, struct error *err)
{
    double next_g;
    int64_t bath;

    if (!read_next(cli, &next_g, err))
        return false;
    for (size_t i = 0; i < cli->word_count; i++) {
        if (!record_find(cli->book, NOUN_BATH, cli->word[i], &bath, err) ||
            !ask_fade(cli->book, bath, filter, next_g, &out[i], err))
            return false;
        ++*count;
    }
    return true;
}

static void show(struct cli *cli, const struct ask_filter *filter,
                 const struct fade *fade, size_t n)
{
    if (cli->json)
        as_json(cli, filter, fade, n);
    else if (cli->csv)
        as_csv(cli, fade, n);
    for (size_t i = 0; i < n && !cli->json && !cli->csv; i++) {
        text_add(&cli->out, i ? "\n" : "");
        as_text(cli, filter, &fade[i]);
    }
}

static bool draw(struct cli *cli, const struct fade *fade, size_t n,
                 struct error *err)
{
    struct text picture = {0};
    bool ok;

    if (!cli_has(cli, "svg"))
        return true;
    picture_of_fades(fade, n, &picture);
    ok = cli_svg(cli, &picture, err);
    text_clear(&picture);
    return ok;
}

/* Of what stands in the table nothing is said again. */
static bool tell(struct cli *cli, const struct ask_filter *filter,
                 const struct fade *fade, size_t n, struct error *err)
{
    size_t left_out[ASK_LACKS] = {0};

    for (size_t i = 0; i < n; i++)
        for (int k = ASK_OTHER_LIGHT; k < ASK_NEVER; k++)
            left_out[k] += fade[i].left_out[k];
    return cli->json || cli_note_left_out(cli, left_out, filter, err);
}

static bool run(struct cli *cli, struct error *err)
{
    struct ask_filter filter;
    struct fade *fade = mem_new(cli->word_count, sizeof *fade);
    size_t n = 0;
    bool ok;

    ok = cli_filter(cli, &filter, err) && ask_all(cli, &filter, fade, &n, err);
    if (ok) {
        show(cli, &filter, fade, n);
        ok = cli_flush(cli, err) && draw(cli, fade, n, err) &&
             tell(cli, &filter, fade, n, err);
    }
    for (size_t i = 0; i < n; i++)
        fade_clear(&fade[i]);
    free(fade);
    return ok;
}

static const struct cli_option options[] = {
    {"next", "GRAMS", "dry wool of the coming round, to foretell its colour"},
    CLI_SVG_OPTION,
    CLI_READING_OPTIONS,
};

const struct cli_command command_fade = {
    "fade",
    "BATH...",
    "show how a bath's colour went from round to round",
    "For each mordant, each dip after it and each yarn, one run of rounds. A\n"
    "skein counts with the colour it had then; what was done to it later\n"
    "changes nothing here. With a reading of the same wool, with the same\n"
    "mordant and no dye, it says how strong each bath was beside the one\n"
    "before, what the next would give, and when the bath is spent. Several\n"
    "baths stand below each other, and in one picture with --svg.",
    options,
    ARRAY_LEN(options),
    1,
    SIZE_MAX,
    run,
};
