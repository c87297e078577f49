/* hanklab palette: skeins whose colours go together. */
#include "cli/commands.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/picture.h"
#include "book/record.h"
#include "cli/ask.h"

/* What was asked for, with what has to be released. */
struct asked {
    struct palette_ask ask;
    struct lab *target;
    const char **keep, **without;
};

static void asked_clear(struct asked *a)
{
    free(a->target);
    free(a->keep);
    free(a->without);
}

/* All values of an option, borrowed. */
static const char **all_of(const struct cli *cli, const char *option,
                           size_t *count)
{
    const char **out = mem_new(cli->given_count, sizeof *out), *words;

    for (*count = 0; (words = cli_nth(cli, option, *count)); ++*count)
        out[*count] = words;
    return out;
}

static bool read_targets(struct cli *cli, struct asked *a, size_t *count,
                         struct error *err)
{
    for (size_t i = 0; i < cli->given_count; i++) {
        if (strcmp(cli->given[i].option->name, "fit"))
            continue;
        a->target = mem_resize(a->target, *count + 1, sizeof *a->target);
        if (!ask_target_read(cli->book, &a->ask.filter, cli->given[i].value,
                             &a->target[*count], err))
            return false;
        ++*count;
    }
    return true;
}

/* How many members; as many as targets when there are any. */
static bool read_members(struct cli *cli, size_t targets, struct asked *a,
                         struct error *err)
{
    struct palette_request *r = &a->ask.request;
    long long n = (long long)targets;

    if (cli->word_count &&
        (!text_whole(cli->word[0], &n) || n < 1 || n > PALETTE_MOST))
        return error_set(err, ERR_INPUT,
                         "\"%s\" is no number of colours: write one from 2 to "
                         "%d",
                         cli->word[0], PALETTE_MOST);
    if (targets && (size_t)n != targets)
        return cli_usage(cli, err,
                         "the number of colours is that of --fit: leave it "
                         "out");
    if (!n)
        return cli_usage(cli, err, "say how many colours");
    r->members = (size_t)n;
    r->target = a->target;
    r->aim = targets                ? PALETTE_FIT
             : cli_has(cli, "even") ? PALETTE_EVEN
                                    : PALETTE_APART;
    r->one_pot = cli_has(cli, "one-pot");
    if (targets && cli_has(cli, "even"))
        return cli_usage(cli, err, "choose one of --fit and --even");
    if (targets > PALETTE_MOST)
        return error_set(err, ERR_LIMIT, "--fit: at most %d colours",
                         PALETTE_MOST);
    if (!targets && n < 2)
        return error_set(err, ERR_INPUT,
                         "one colour stands beside no other: ask for two or "
                         "more");
    return true;
}

static bool read(struct cli *cli, struct asked *a, struct error *err)
{
    size_t targets = 0;

    if (!cli_filter(cli, &a->ask.filter, err) ||
        !read_targets(cli, a, &targets, err) ||
        !read_members(cli, targets, a, err) ||
        !cli_real(cli, "apart", 0, 200, &a->ask.request.least_apart, err))
        return false;
    a->ask.foretold = cli_has(cli, "foretold");
    a->keep = all_of(cli, "keep", &a->ask.keeps);
    a->without = all_of(cli, "without", &a->ask.withouts);
    a->ask.keep = a->keep;
    a->ask.without = a->without;
    return true;
}

/* ---- showing it -----------------------------------------------------------
 */

static const char *off_words(enum palette_aim aim)
{
    return aim == PALETTE_FIT    ? DE00 ": from the colour that was wanted"
           : aim == PALETTE_EVEN ? "off: in L from an even step"
                                 : DE00 ": from the one most like it";
}

static const char *off_key(enum palette_aim aim)
{
    return aim == PALETTE_FIT    ? "de00_off"
           : aim == PALETTE_EVEN ? "L_off"
                                 : "de00_to_nearest";
}

#define Z95 1.96 /* of a standard deviation, right 19 times in 20 */

static void add_rows(struct cli *cli, const struct palette_ask *ask,
                     const struct palette_answer *a)
{
    struct text_table t = {.columns = 7};
    const char *heads[] = {
        "skein",    "colour", "L",
        "a",        "b",      ask->request.aim == PALETTE_EVEN ? "off" : DE00,
        "made with"};

    for (size_t i = 0; i < ARRAY_LEN(heads); i++)
        table_add(&t, heads[i]);
    for (size_t i = 0; i < a->palette.members; i++) {
        const struct ask_skein *s = &a->skein[i];
        const struct lab c = s->reading.colour.lab;
        struct text recipe = {0};
        table_add(&t, s->label);
        table_add_colour(&t, c, colour_name_nearest(c)->name);
        cli_lab_cells(&t, c, 1);
        cli_real_cell(&t, a->palette.off[i], 1);
        ask_recipe_words(s, &recipe);
        table_add(&t, text_str(&recipe));
        text_clear(&recipe);
    }
    table_write(&t, cli->colour, cli->columns, &cli->out);
}

/* How good the choice is, and among what. */
static void add_sum(struct cli *cli, const struct palette_ask *ask,
                    const struct palette_answer *a)
{
    const struct palette *p = &a->palette;
    struct text sum = {0};

    cli_light_words(&ask->filter, &sum);
    text_addf(&sum, "; %s of %zu measured skeins",
              p->exact ? "the best choice" : "a good choice", a->among);
    if (ask->foretold)
        text_addf(&sum, " and %zu foretold %s", a->among_foretold,
                  a->among_foretold == 1 ? "round" : "rounds");
    if (!p->exact && p->bound > 0)
        text_addf(&sum, ", at most %.0f %% from the best there can be",
                  ceil(100 * (p->worth / p->bound - 1)));
    text_addf(&sum, "; %s", off_words(ask->request.aim));
    lines_add(&cli->out, text_str(&sum), cli->columns, 0);
    text_clear(&sum);
}

static void add_foretold(struct cli *cli, const struct palette_answer *a)
{
    for (size_t i = 0; i < a->palette.members; i++) {
        const struct cov3 *cov = &a->skein[i].reading.colour.set;
        struct text line = {0};
        if (!a->foretold[i])
            continue;
        text_addf(&line,
                  "%s is not dyed yet: a model's colour, right about 19 times "
                  "in 20 within L \xC2\xB1 %.1f, a \xC2\xB1 %.1f, b \xC2\xB1 "
                  "%.1f",
                  a->skein[i].label, Z95 * sqrt(cov->LL), Z95 * sqrt(cov->aa),
                  Z95 * sqrt(cov->bb));
        lines_add(&cli->out, text_str(&line), cli->columns, 2);
        text_clear(&line);
    }
}

static void add_alike(struct cli *cli, const struct palette_answer *a)
{
    for (size_t i = 0; i + 1 < a->palette.members; i++) {
        struct text line = {0};
        if (a->step[i] >= PALETTE_ALIKE_L)
            continue;
        text_addf(&line,
                  "%s and %s are nearly as light as each other (%.1f in L): "
                  "side by side they part by hue alone",
                  a->skein[i].label, a->skein[i + 1].label, a->step[i]);
        lines_add(&cli->out, text_str(&line), cli->columns, 2);
        text_clear(&line);
    }
}

/* Touching, in colour and in grey. */
static void add_blocks(struct cli *cli, const struct palette_answer *a)
{
    for (int grey = 0; grey < 2; grey++) {
        for (size_t i = 0; i < a->palette.members; i++) {
            struct lab c = a->skein[i].reading.colour.lab;
            if (grey)
                c.a = c.b = 0;
            block_add(&cli->out, c, 6, true);
        }
        text_add(&cli->out, "\n");
    }
}

static void as_table(struct cli *cli, const struct palette_ask *ask,
                     const struct palette_answer *a)
{
    add_rows(cli, ask, a);
    add_sum(cli, ask, a);
    add_foretold(cli, a);
    add_alike(cli, a);
    if (cli->colour)
        add_blocks(cli, a);
}

static void as_csv(struct cli *cli, const struct palette_ask *ask,
                   const struct palette_answer *a)
{
    const char *heads[] = {"skein",
                           "foretold",
                           "colour",
                           "L",
                           "a",
                           "b",
                           off_key(ask->request.aim)};
    struct text_table t = {0};

    for (size_t i = 0; i < ARRAY_LEN(heads); i++)
        table_add(&t, heads[i]);
    cli_recipe_heads(&t);
    t.columns = t.cells;
    for (size_t i = 0; i < a->palette.members; i++) {
        const struct lab c = a->skein[i].reading.colour.lab;
        table_add(&t, a->skein[i].label);
        table_add(&t, a->foretold[i] ? "yes" : "no");
        table_add(&t, colour_name_nearest(c)->name);
        cli_lab_cells(&t, c, 4);
        cli_real_cell(&t, a->palette.off[i], 4);
        cli_recipe_cells(&t, &a->skein[i]);
    }
    table_write_csv(&t, &cli->out);
}

static void foretold_json(struct json *j, const struct ask_skein *s)
{
    const struct cov3 *cov = &s->reading.colour.set;
    struct text how = {0};

    ask_recipe_words(s, &how);
    json_add_string(j, "skein", s->label);
    json_add_string(j, "dyestuff", s->last_dyestuffs);
    json_add_string(j, "mordant", s->mordants);
    json_add_string(j, "fibre", s->fibre);
    json_add_string(j, "bath", s->bath);
    json_add_whole(j, "round", s->round);
    json_add_string(j, "made", text_str(&how));
    json_add_string(j, "state", "foretold");
    cli_json_lab(j, s->reading.colour.lab);
    json_add_real(j, "u_L", sqrt(cov->LL), 4);
    json_add_real(j, "u_a", sqrt(cov->aa), 4);
    json_add_real(j, "u_b", sqrt(cov->bb), 4);
    text_clear(&how);
}

static void as_json(struct cli *cli, const struct palette_ask *ask,
                    const struct palette_answer *a)
{
    struct json j = json_to(&cli->out);

    json_add_object(&j, NULL);
    cli_json_light(&j, &ask->filter);
    json_add_bool(&j, "best", a->palette.exact);
    json_add_whole(&j, "among", (int64_t)a->among);
    json_add_whole(&j, "among_foretold", (int64_t)a->among_foretold);
    json_add_real(&j, "worth", a->palette.worth, 4);
    json_add_real(&j, "worth_bound", a->palette.bound, 4);
    json_add_array(&j, "members");
    for (size_t i = 0; i < a->palette.members; i++) {
        const struct lab c = a->skein[i].reading.colour.lab;
        json_add_object(&j, NULL);
        if (a->foretold[i])
            foretold_json(&j, &a->skein[i]);
        else
            cli_json_skein(&j, &a->skein[i], ask->filter.wet);
        json_add_string(&j, "colour", colour_name_nearest(c)->name);
        json_add_real(&j, off_key(ask->request.aim), a->palette.off[i], 4);
        if (i + 1 < a->palette.members)
            json_add_real(&j, "L_step", a->step[i], 4);
        json_end(&j);
    }
    json_end(&j);
    cli_json_left_out(&j, a->left_out);
    json_end(&j);
}

static bool draw(struct cli *cli, const struct palette_answer *a,
                 struct error *err)
{
    struct text picture = {0};
    bool ok;

    if (!cli_has(cli, "svg"))
        return true;
    picture_of_palette(a, &picture);
    ok = cli_svg(cli, &picture, err);
    text_clear(&picture);
    return ok;
}

static bool run(struct cli *cli, struct error *err)
{
    struct asked asked = {0};
    struct palette_answer a;
    bool ok =
        read(cli, &asked, err) && ask_palette(cli->book, &asked.ask, &a, err);

    if (ok) {
        if (cli->json)
            as_json(cli, &asked.ask, &a);
        else if (cli->csv)
            as_csv(cli, &asked.ask, &a);
        else
            as_table(cli, &asked.ask, &a);
        ok = cli_flush(cli, err) && draw(cli, &a, err);
        if (ok && !cli->json)
            ok = cli_note_left_out(cli, a.left_out, &asked.ask.filter, err);
        palette_answer_clear(&a);
    }
    asked_clear(&asked);
    return ok;
}

static const struct cli_option options[] = {
    {"fit", "COLOUR", "a wanted colour: L,a,b, a name, or a skein", CLI_MANY},
    {"even", NULL, "in even steps from the lightest to the darkest"},
    {"one-pot", NULL, "of one pot, each on another mordant"},
    {"apart", "X", "no two nearer to each other than that, in \u0394E00"},
    {"foretold", NULL,
     "the next round of each bath may be in, as a model has it"},
    {"keep", "SKEIN", "that is in already", CLI_MANY},
    {"without", "SKEIN", "that shall not be in", CLI_MANY},
    CLI_SVG_OPTION,
    CLI_FILTER_OPTIONS,
};

const struct cli_command command_palette = {
    "palette",
    "[HOW-MANY]",
    "choose skeins whose colours go together",
    "The colours farthest apart, unless something else is asked for. Change\n"
    "one with --without and hold on to the others with --keep. Skeins nearly\n"
    "as light as each other are named: side by side they part by hue alone.\n"
    "What is foretold was not dyed: it is called so, and its name is kept or\n"
    "left out as a skein's is.",
    options,
    ARRAY_LEN(options),
    0,
    1,
    run,
};
