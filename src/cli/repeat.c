/* hanklab repeat: can this colour be had again. */
#include "cli/commands.h"

#include <math.h>
#include <stdlib.h>

#include "base/mem.h"
#include "book/picture.h"
#include "book/record.h"
#include "book/repeat.h"
#include "cli/ask.h"

/* A pot's name is said where one of its skeins is meant. */
static bool find_skein(struct cli *cli, struct repeat_request *r,
                       struct error *err)
{
    const char *words = cli->word[0];
    struct error none;
    int64_t bath;

    if (record_find(cli->book, NOUN_SKEIN, words, &r->skein, err))
        return true;
    return err->kind == ERR_MISSING &&
                   record_find(cli->book, NOUN_BATH, words, &bath, &none)
               ? error_set(err, ERR_MISSING,
                           "\"%.60s\" is a pot; say one of its skeins: hanklab "
                           "list --bath \"%.60s\"",
                           words, words)
               : false;
}

static bool read_request(struct cli *cli, struct repeat_request *r,
                         struct error *err)
{
    const char *words;

    if (!cli_filter(cli, &r->filter, err) || !find_skein(cli, r, err))
        return false;
    repeat_usual(r->rule);
    for (size_t n = 0; (words = cli_nth(cli, "alike", n)); n++)
        if (!repeat_rules_read(words, r->rule, err))
            return false;
    return true;
}

/* ---- words --------------------------------------------------------------- */

/* What a skein has other than the first, and by how much it matters. */
static void row_words(const struct repeat_answer *a, size_t i, struct text *out)
{
    const struct repeat_row *first = &a->row[0], *row = &a->row[i];

    for (int f = 0; i && f < REPEAT_FACTS; f++)
        if (first->fact[f] && row->fact[f] &&
            !text_same(first->fact[f], row->fact[f]))
            text_addf(out, "%s%s %s", out->len ? "; " : "",
                      repeat_fact_words((enum repeat_fact)f), row->fact[f]);
}

static void add_rows(struct cli *cli, const struct repeat_answer *a,
                     size_t from, size_t to)
{
    static const char *const heads[] = {
        "skein",  "bath",          "on",   "L", "a", "b",
        "colour", "from the mean", "other"};
    struct text_table t = {.columns = ARRAY_LEN(heads)};

    for (size_t i = 0; i < ARRAY_LEN(heads); i++)
        table_add(&t, heads[i]);
    for (size_t i = from; i < to; i++) {
        const struct repeat_row *row = &a->row[i];
        const struct ask_skein *s = &row->skein;
        const bool has = s->lack == ASK_HAS_COLOUR;
        const struct lab none = {(double)NAN, (double)NAN, (double)NAN};
        const struct lab c = has ? s->reading.colour.lab : none;
        struct text words = {0};

        table_add(&t, s->label);
        table_add(&t, s->bath);
        table_add(&t, s->on_words);
        cli_lab_cells(&t, c, 1);
        if (has)
            table_add_colour(&t, c, colour_name_nearest(c)->name);
        else
            table_add(&t, ask_lack_words(s->lack, false));
        cli_real_cell(&t, row->from_mean, 1);
        row_words(a, i, &words);
        table_add(&t, text_str(&words));
        text_clear(&words);
    }
    table_write(&t, cli->colour, cli->columns, &cli->out);
}

static void add_line(struct cli *cli, struct text *t)
{
    lines_add(&cli->out, text_str(t), cli->columns, 2);
    text_reset(t);
}

/* "3 skeins of 2 dyeings: 1.9 from their mean on average, 1 and 44 farthest
 * apart, 4.1" */
static void add_spread(struct cli *cli, const struct repeat_answer *a)
{
    struct text t = {0};

    if (a->measured > 1) {
        text_addf(&t,
                  "%zu skeins of %zu dyeing%s: on average %.1f " DE00
                  " from their mean; the farthest apart, %s and %s, %.1f",
                  a->measured, a->goes, a->goes == 1 ? "" : "s", a->skeins.mcdm,
                  a->row[a->skeins.one].skein.label,
                  a->row[a->skeins.other].skein.label, a->skeins.largest);
        add_line(cli, &t);
    }
    if (a->goes > 1) {
        text_addf(&t,
                  "another go: earlier ones came to about L* %.0f a* %.0f b* "
                  "%.0f (%s), each on average %.1f " DE00
                  " from that, up to %.1f from one to another; no promise",
                  text_round(a->dyeings.mean.L, 0) + 0.0,
                  text_round(a->dyeings.mean.a, 0) + 0.0,
                  text_round(a->dyeings.mean.b, 0) + 0.0,
                  colour_name_nearest(a->dyeings.mean)->name, a->dyeings.mcdm,
                  a->dyeings.largest);
    } else {
        text_addf(&t,
                  "another go: %s, so nothing tells how far another would "
                  "come from it",
                  a->goes ? "it was dyed so once"
                          : "none of them was measured");
    }
    add_line(cli, &t);
    text_clear(&t);
}

/* "what differed: heat 62; 75" and "not recorded: water of 2" */
static void add_facts(struct cli *cli, const struct repeat_answer *a)
{
    struct text t = {0};

    for (int f = 0; f < REPEAT_FACTS; f++)
        if (a->differed[f])
            text_addf(&t, "%s%s: %s", t.len ? "; " : "what differed: ",
                      repeat_fact_words((enum repeat_fact)f), a->differed[f]);
    if (t.len)
        add_line(cli, &t);
    for (int f = 0; f < REPEAT_FACTS && a->alike > 1; f++)
        if (a->unknown[f])
            text_addf(&t, "%s%s of %zu", t.len ? ", " : "not known: ",
                      repeat_fact_words((enum repeat_fact)f), a->unknown[f]);
    if (t.len)
        add_line(cli, &t);
    for (size_t i = 0; i < a->lacks; i++)
        text_addf(&t, "%s%s",
                  i ? ", " : "not recorded of this skein: ", a->lacking[i]);
    if (t.len)
        add_line(cli, &t);
    text_clear(&t);
}

static void grams(double low, double high, struct text *out)
{
    text_add_real(out, low, low < 10 ? 2 : 1);
    if (high > low * 1.0001) {
        text_add(out, "-");
        text_add_real(out, high, high < 10 ? 2 : 1);
    }
    text_add(out, " g");
}

/* ", at most left 40 g dry and 200 g fresh" */
static void add_left(const struct repeat_need *n, struct text *out)
{
    bool any = false;

    for (size_t i = 0; i < n->lefts; i++) {
        const struct repeat_left *l = &n->left[i];
        if (isnan(l->g))
            continue;
        text_add(out, any             ? " and "
                      : n->left_known ? ", left "
                                      : ", at most "
                                        "left ");
        grams(l->g, l->g, out);
        text_addf(out, "%s%s", l->state ? " " : "", l->state ? l->state : "");
        any = true;
    }
    for (size_t i = 0; i < n->lefts; i++)
        if (n->left[i].more) {
            text_addf(out, "%s some%s%s, weight not known",
                      any ? " and" : ", left", n->left[i].state ? " " : "",
                      n->left[i].state ? n->left[i].state : "");
            any = true;
        }
    if (n->too_little)
        text_add(out, ": too little");
    if (n->lefts > 1)
        text_add(out, ", which are not added up");
}

static void add_needs(struct cli *cli, const struct repeat_answer *a)
{
    struct text t = {0};

    for (size_t i = 0; i < a->needs; i++) {
        const struct repeat_need *n = &a->need[i];

        text_addf(&t, "%s%s ", i ? "; " : "for its weight: ", n->what);
        if (isnan(n->low_g))
            text_add(&t, "(not known how much)");
        else
            grams(n->low_g, n->high_g, &t);
        if (n->state)
            text_addf(&t, " %s", n->state);
        add_left(n, &t);
    }
    if (t.len)
        add_line(cli, &t);
    text_clear(&t);
}

static void as_text(struct cli *cli, const struct repeat_request *r,
                    const struct repeat_answer *a)
{
    struct text t = {0};

    ask_recipe_words(&a->row[0].skein, &t);
    text_addf(&cli->out, "skein %s: %s\n", a->row[0].skein.label, text_str(&t));
    text_reset(&t);
    text_add(&t, "alike: dyes, mordants, dips and round the same; ");
    repeat_rules_words(r->rule, &t);
    text_add(&t, " (colours for ");
    cli_light_words(&r->filter, &t);
    text_add(&t, ")");
    add_line(cli, &t);
    text_clear(&t);
    add_rows(cli, a, 0, a->alike);
    add_spread(cli, a);
    add_facts(cli, a);
    add_needs(cli, a);
    if (a->count > a->alike) {
        text_addf(&cli->out,
                  "\nthe same dyes, and something else not alike:\n");
        add_rows(cli, a, a->alike, a->count);
    }
    if (a->more)
        text_addf(&cli->out, "%zu older ones were not looked at\n", a->more);
}

/* ---- for programs -------------------------------------------------------- */

static void as_csv(struct cli *cli, const struct repeat_answer *a)
{
    static const char *const heads[] = {"skein", "alike", "L",
                                        "a",     "b",     "from_mean"};
    struct text_table t = {0};

    for (size_t i = 0; i < ARRAY_LEN(heads); i++)
        table_add(&t, heads[i]);
    for (int f = 0; f < REPEAT_FACTS; f++)
        table_addf(&t, "repeat_%s", repeat_fact_key((enum repeat_fact)f));
    cli_recipe_heads(&t);
    t.columns = t.cells;
    for (size_t i = 0; i < a->count; i++) {
        const struct repeat_row *row = &a->row[i];
        const struct lab none = {(double)NAN, (double)NAN, (double)NAN};

        table_add(&t, row->skein.label);
        table_add(&t, row->alike ? "yes" : "no");
        cli_lab_cells(&t,
                      row->skein.lack == ASK_HAS_COLOUR
                          ? row->skein.reading.colour.lab
                          : none,
                      4);
        cli_real_cell(&t, row->from_mean, 4);
        for (int f = 0; f < REPEAT_FACTS; f++)
            table_add(&t, row->fact[f]);
        cli_recipe_cells(&t, &row->skein);
    }
    table_write_csv(&t, &cli->out);
}

static void json_row(struct json *j, const struct repeat_request *r,
                     const struct repeat_row *row)
{
    json_add_object(j, NULL);
    cli_json_skein(j, &row->skein, r->filter.wet);
    json_add_bool(j, "alike", row->alike);
    json_add_real(j, "from_mean", row->from_mean, 4);
    json_add_object(j, "facts");
    for (int f = 0; f < REPEAT_FACTS; f++)
        json_add_string(j, repeat_fact_key((enum repeat_fact)f), row->fact[f]);
    json_end(j);
    json_end(j);
}

static void json_spread(struct json *j, const char *name, size_t n,
                        const struct colour_spread *s)
{
    json_add_object(j, name);
    json_add_whole(j, "count", (int64_t)n);
    if (n) {
        cli_json_lab(j, s->mean);
        json_add_real(j, "mcdm", s->mcdm, 4);
        json_add_real(j, "largest", s->largest, 4);
    }
    json_end(j);
}

static void json_left(struct json *j, const struct repeat_need *n)
{
    json_add_array(j, "left");
    for (size_t i = 0; i < n->lefts; i++) {
        json_add_object(j, NULL);
        json_add_string(j, "state", n->left[i].state);
        json_add_real(j, "g", n->left[i].g, 4);
        json_add_bool(j, "more", n->left[i].more);
        json_end(j);
    }
    json_end(j);
}

static void as_json(struct cli *cli, const struct repeat_request *r,
                    const struct repeat_answer *a)
{
    struct json j = json_to(&cli->out);

    json_add_object(&j, NULL);
    cli_json_light(&j, &r->filter);
    json_spread(&j, "skeins_alike", a->measured, &a->skeins);
    json_spread(&j, "dyeings", a->goes, &a->dyeings);
    json_add_array(&j, "skeins");
    for (size_t i = 0; i < a->count; i++)
        json_row(&j, r, &a->row[i]);
    json_end(&j);
    json_add_array(&j, "not_recorded");
    for (size_t i = 0; i < a->lacks; i++)
        json_add_string(&j, NULL, a->lacking[i]);
    json_end(&j);
    json_add_array(&j, "needs");
    for (size_t i = 0; i < a->needs; i++) {
        json_add_object(&j, NULL);
        json_add_string(&j, "what", a->need[i].what);
        json_add_string(&j, "state", a->need[i].state);
        json_add_real(&j, "low_g", a->need[i].low_g, 4);
        json_add_real(&j, "high_g", a->need[i].high_g, 4);
        json_left(&j, &a->need[i]);
        json_add_bool(&j, "left_known", a->need[i].left_known);
        json_add_bool(&j, "too_little", a->need[i].too_little);
        json_end(&j);
    }
    json_end(&j);
    cli_json_left_out(&j, a->left_out);
    json_end(&j);
}

static bool draw(struct cli *cli, const struct repeat_answer *a,
                 struct error *err)
{
    struct text picture = {0};
    bool ok;

    if (!cli_has(cli, "svg"))
        return true;
    picture_of_repeat(a, &picture);
    ok = cli_svg(cli, &picture, err);
    text_clear(&picture);
    return ok;
}

static bool run(struct cli *cli, struct error *err)
{
    struct repeat_request r;
    struct repeat_answer a;
    bool ok;

    if (!read_request(cli, &r, err) || !ask_repeat(cli->book, &r, &a, err))
        return false;
    if (cli->json)
        as_json(cli, &r, &a);
    else if (cli->csv)
        as_csv(cli, &a);
    else
        as_text(cli, &r, &a);
    ok = cli_flush(cli, err) && draw(cli, &a, err);
    ok =
        ok && (cli->json || cli_note_left_out(cli, a.left_out, &r.filter, err));
    repeat_answer_clear(&a);
    return ok;
}

static const struct cli_option options[] = {
    {"alike", "ALIKE", "what must agree beside the dyes", CLI_MANY},
    CLI_READING_OPTIONS,
    CLI_SVG_OPTION,
};

const struct cli_command command_repeat = {
    "repeat",
    "SKEIN",
    "tell whether a colour can be had again",
    "Shows every skein made as that one was, how far apart they came out, "
    "what\n"
    "differed and what is not known, and what another go takes. Dyes, "
    "mordants,\n"
    "dips and round have to be the same; of the rest each RULE says what must\n"
    "agree: any, same, or how far it may be apart. What is not recorded "
    "agrees\n"
    "with anything.",
    options,
    ARRAY_LEN(options),
    1,
    1,
    run,
};
