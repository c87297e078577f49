/* hanklab list: the skeins of the book, or any other kind of record. */
#include "cli/commands.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/json.h"
#include "base/mem.h"
#include "book/ask.h"
#include "book/cut.h"
#include "book/picture.h"
#include "book/record.h"
#include "cli/ask.h"
#include "cli/sheet.h"
#include "colour/name.h"
#include "draw/terminal.h"

/* ---- skeins -----------------------------------------------------------------
 */

/* Skeins, and which of them are withdrawn. */
struct listing {
    struct ask_skeins all;
    bool *gone;  /* one a skein, or NULL: none is */
    char **into; /* "cut into 8a, 8b" when nothing of it is left, else NULL */
};

static const char *called(const struct ask_skein *s)
{
    return s->code ? s->code : s->name;
}

static void add_round(struct text_table *t, const struct ask_skein *s)
{
    struct text words = {0};

    if (s->has_round)
        ask_round_words(s->round, &words);
    table_add(t, text_str(&words));
    text_clear(&words);
}

static void add_colour(struct text_table *t, const struct ask_skein *s,
                       bool csv)
{
    const struct lab *c = csv && s->as ? NULL : ask_skein_colour(s);
    struct text words = {0};

    if (c)
        ask_colour_words(s, &words);
    if (c)
        table_add_colour(t, *c, text_str(&words));
    else
        table_add(t, NULL);
    text_clear(&words);
}

static void add_row(struct text_table *t, const struct listing *l, size_t i,
                    bool csv)
{
    const struct ask_skein *s = &l->all.skein[i];
    bool gone = l->gone && l->gone[i];
    const char *name = called(s), *into = l->into[i];
    struct lab c = s->reading.colour.lab;

    table_addf(t, "%s%s", s->label, gone && !csv ? " withdrawn" : "");
    if (into && !csv)
        table_addf(t, "%s%s%s", name ? name : "", name ? ", " : "", into);
    else
        table_add(t, name);
    table_addf(t, "%s%s%s", s->bath ? s->bath : "",
               s->bath_name && !csv ? " " : "",
               s->bath_name && !csv ? s->bath_name : "");
    add_round(t, s);
    table_add(t, s->last_dyestuffs);
    table_add(t, s->mordants);
    table_add(t, s->dips);
    add_colour(t, s, csv);
    if (csv)
        table_add(t, s->own_word);
    else
        cli_word_cell(t, s);
    if (!csv)
        return;
    for (int k = 0; k < 3; k++) {
        double x = k == 0 ? c.L : k == 1 ? c.a : c.b;
        if (s->lack == ASK_HAS_COLOUR)
            table_addf(t, "%.4f", x);
        else
            table_add(t, NULL);
    }
    table_add(t, gone ? "yes" : "no");
    table_add(t, into);
}

static void skeins_table(struct cli *cli, const struct listing *l, size_t shown)
{
    static const char *const heads[] = {
        "skein",   "called", "bath",      "round",    "dyestuff",
        "mordant", "dip",    "colour",    "own word", "L",
        "a",       "b",      "withdrawn", "cut up"};
    struct text_table t = {.columns = cli->csv ? 14 : 9};

    for (size_t i = 0; i < t.columns; i++)
        table_add(&t, heads[i]);
    for (size_t i = 0; i < shown; i++)
        add_row(&t, l, i, cli->csv);
    if (cli->csv)
        table_write_csv(&t, &cli->out);
    else
        table_write(&t, cli->colour, cli->columns, &cli->out);
}

static void skeins_json(struct cli *cli, const struct listing *l, size_t shown)
{
    struct json j = json_to(&cli->out);

    json_add_array(&j, NULL);
    for (size_t i = 0; i < shown; i++) {
        const struct ask_skein *s = &l->all.skein[i];
        struct lab c = s->reading.colour.lab;
        bool has = s->lack == ASK_HAS_COLOUR;
        json_add_object(&j, NULL);
        json_add_string(&j, "skein", s->label);
        json_add_whole(&j, "number", s->number);
        json_add_string(&j, "name", s->name);
        json_add_string(&j, "code", s->code);
        json_add_string(&j, "bath", s->bath);
        if (s->has_round)
            json_add_whole(&j, "round", s->round);
        else
            json_add_null(&j, "round");
        json_add_string(&j, "dyestuffs", s->last_dyestuffs);
        json_add_string(&j, "mordants", s->mordants);
        json_add_string(&j, "dips", s->dips);
        json_add_string(&j, "fibre", s->fibre);
        json_add_real(&j, "weight_g", s->weight_g, 4);
        json_add_real(&j, "L", has ? c.L : (double)NAN, 4);
        json_add_real(&j, "a", has ? c.a : (double)NAN, 4);
        json_add_real(&j, "b", has ? c.b : (double)NAN, 4);
        json_add_string(&j, "colour",
                        has ? colour_name_nearest(c)->name : NULL);
        json_add_string(&j, "own_word", s->own_word);
        json_add_bool(&j, "unfinished", s->unfinished);
        json_add_bool(&j, "withdrawn", l->gone && l->gone[i]);
        json_add_string(&j, "cut_up", l->into[i]);
        json_end(&j);
    }
    json_end(&j);
}

/* How many are shown, and a word on the others. */
static size_t limit(size_t count, long long most)
{
    if (most == 0 || count <= (size_t)most)
        return count;
    cli_note("the first %lld of %zu; --limit shows more, --limit 0 all", most,
             count);
    return (size_t)most;
}

/* Withdrawn ones too. */
static bool every_skein(struct cli *cli, struct listing *out, struct error *err)
{
    struct ask_filter any = ask_filter_any();
    int64_t *ids;
    size_t n;
    bool ok = record_ids(cli->book, NOUN_SKEIN, true, &ids, &n, err);

    if (!ok)
        return false;
    out->all.skein = mem_new(n, sizeof *out->all.skein);
    out->gone = mem_new(n, sizeof *out->gone);
    for (size_t i = 0; ok && i < n; i++) {
        struct record r;
        ok = record_read(cli->book, NOUN_SKEIN, ids[i], &r, err);
        if (!ok)
            break;
        out->gone[i] = r.withdrawn;
        record_clear(&r);
        ok = ask_skein(cli->book, ids[i], &any, &out->all.skein[i], err);
        out->all.count += ok;
    }
    free(ids);
    return ok;
}

/* Of those that are cut up: into what. */
static bool find_cut_up(struct cli *cli, struct listing *l, struct error *err)
{
    int64_t *ids;
    size_t n;
    bool ok = cut_up(cli->book, &ids, &n, err);

    l->into = mem_new(l->all.count, sizeof *l->into);
    for (size_t i = 0; ok && i < l->all.count; i++) {
        struct text into = {0};
        if (!cut_is_up(ids, n, l->all.skein[i].id))
            continue;
        ok = cut_into(cli->book, l->all.skein[i].id, &into, err);
        l->into[i] = text_take(&into);
    }
    free(ids);
    return ok;
}

/* filter: NULL when nothing was asked. */
static bool list_skeins(struct cli *cli, const struct ask_filter *filter,
                        bool withdrawn, long long most, struct error *err)
{
    struct ask_filter any = ask_filter_any();
    struct listing l = {0};
    size_t shown;
    bool ok = withdrawn ? every_skein(cli, &l, err)
                        : ask_skeins(cli->book, filter ? filter : &any,
                                     (size_t)most, &l.all, err);

    ok = ok && find_cut_up(cli, &l, err);
    if (ok) {
        shown = limit(withdrawn ? l.all.count : l.all.found, most);
        if (cli->json)
            skeins_json(cli, &l, shown);
        else if (!l.all.count && !cli->csv)
            text_add(&cli->out,
                     filter ? "no such skein\n" : "no skein is recorded yet\n");
        else
            skeins_table(cli, &l, shown);
        ok = !filter || cli_tell_empty_pots(cli, filter, err);
    }
    for (size_t i = 0; l.into && i < l.all.count; i++)
        free(l.into[i]);
    free(l.into);
    ask_skeins_free(&l.all);
    free(l.gone);
    return ok;
}

/* ---- other nouns ------------------------------------------------------------
 */

/* Columns that say something, and not only the usual, in at least one record;
 * notes are long. */
static bool is_shown(const struct record *r, size_t count, size_t field,
                     bool csv)
{
    const struct field *f = &r->noun->fields[field];

    if (csv)
        return true;
    if (!strcmp(f->name, "note") || f->flags & FIELD_INNER)
        return false;
    for (size_t i = 0; i < count; i++) {
        const char *words = r[i].field[field].words;
        if (words && (!f->preset || strcmp(words, f->preset) != 0))
            return true;
    }
    return false;
}

/* A number of one's own is "3", another's "Aino/3": its label begins so. */
static void add_number(struct text_table *t, const struct record *r,
                       const char *number, const char *gone)
{
    struct text other = {0};
    const char *at;

    text_addf(&other, "/%s", number);
    at = strncmp(r->label, number, strlen(number)) != 0
             ? strstr(r->label, text_str(&other))
             : NULL;
    if (at)
        table_addf(t, "%.*s%s%s", (int)(at - r->label), r->label,
                   text_str(&other), gone);
    else
        table_addf(t, "%s%s", number, gone);
    text_clear(&other);
}

static void add_cell(struct text_table *t, const struct record *r, size_t field,
                     bool csv)
{
    const struct record_field *f = &r->field[field];

    if (csv)
        table_add(t, f->words);
    else
        table_add(t, f->field->kind == FIELD_DAY ? record_shown(f)
                                                 : show_words(f));
}

/* By what it is called: its own number, if its kind has such. */
static void add_which(struct text_table *t, const struct record *r,
                      const struct field *number, bool csv)
{
    const struct record_field *own = number ? record_get(r, "number") : NULL;
    const char *gone = r->withdrawn && !csv ? " withdrawn" : "";

    if (!own)
        table_addf(t, "%lld%s", (long long)r->id, gone);
    else
        add_number(t, r, own->words, gone);
}

static void records_table(struct cli *cli, const struct record *r, size_t count)
{
    const struct noun *noun = r->noun;
    bool *shown = mem_new(noun->field_count, sizeof *shown);
    struct text_table t = {.columns = cli->csv ? 2 : 1};
    const struct field *number = cli->csv ? NULL : noun_field(noun, "number");

    for (size_t f = 0; f < noun->field_count; f++) {
        shown[f] =
            &noun->fields[f] != number && is_shown(r, count, f, cli->csv);
        t.columns += shown[f];
    }
    table_add(&t, number ? noun->name : "#");
    if (cli->csv)
        table_add(&t, "withdrawn");
    for (size_t f = 0; f < noun->field_count; f++)
        if (shown[f])
            table_add(&t, noun->fields[f].name);
    for (size_t i = 0; i < count; i++) {
        add_which(&t, &r[i], number, cli->csv);
        if (cli->csv)
            table_add(&t, r[i].withdrawn ? "yes" : "no");
        for (size_t f = 0; f < noun->field_count; f++)
            if (shown[f])
                add_cell(&t, &r[i], f, cli->csv);
    }
    if (cli->csv)
        table_write_csv(&t, &cli->out);
    else
        table_write(&t, cli->colour, cli->columns, &cli->out);
    free(shown);
}

static void records_json(struct cli *cli, const struct record *r, size_t count)
{
    struct json j = json_to(&cli->out);

    json_add_array(&j, NULL);
    for (size_t i = 0; i < count; i++) {
        json_add_object(&j, NULL);
        json_add_whole(&j, "id", r[i].id);
        json_add_bool(&j, "withdrawn", r[i].withdrawn);
        show_fields_json(&r[i], &j);
        json_end(&j);
    }
    json_end(&j);
}

static bool list_records(struct cli *cli, const struct noun *noun,
                         bool withdrawn, long long most, struct error *err)
{
    struct record *r;
    int64_t *ids;
    size_t count, n = 0;
    bool ok = true;

    if (!record_ids(cli->book, noun->id, withdrawn, &ids, &count, err))
        return false;
    count = limit(count, most);
    r = mem_new(count, sizeof *r);
    while (ok && n < count) {
        ok = record_read(cli->book, noun->id, ids[n], &r[n], err);
        n += ok;
    }
    if (ok && cli->json)
        records_json(cli, r, n);
    else if (ok && n)
        records_table(cli, r, n);
    else if (ok && !cli->csv)
        text_addf(&cli->out, "no %s is recorded yet\n", noun->name);
    for (size_t i = 0; i < n; i++)
        record_clear(&r[i]);
    free(r);
    free(ids);
    return ok;
}

bool cli_list(struct cli *cli, const struct noun *noun, bool withdrawn,
              struct error *err)
{
    if (!cli_book(cli, err))
        return false;
    return noun->id == NOUN_SKEIN ? list_skeins(cli, NULL, withdrawn, 0, err)
                                  : list_records(cli, noun, withdrawn, 0, err);
}

/* ---- the command ------------------------------------------------------------
 */

/* The first option that narrows a list of skeins down, or NULL. */
static const char *narrowing(const struct cli *cli)
{
    static const struct cli_option filters[] = {CLI_FILTER_OPTIONS};

    for (size_t i = 0; i < ARRAY_LEN(filters); i++)
        if (cli_has(cli, filters[i].name))
            return filters[i].name;
    return NULL;
}

/* The rack. */
static bool draw(struct cli *cli, const struct ask_filter *filter,
                 long long most, struct error *err)
{
    struct ask_skeins all;
    struct text picture = {0};
    bool ok;

    if (!ask_skeins(cli->book, filter, (size_t)most, &all, err))
        return false;
    picture_of_rack(&all, &picture);
    ask_skeins_free(&all);
    ok = cli_flush(cli, err) && cli_svg(cli, &picture, err);
    text_clear(&picture);
    return ok;
}

static bool run(struct cli *cli, struct error *err)
{
    const struct noun *noun = &nouns[NOUN_SKEIN];
    const char *narrow = narrowing(cli);
    bool withdrawn = cli_has(cli, "withdrawn");
    struct ask_filter filter;
    long long most = 200;

    if (cli->word_count) {
        noun = noun_find(cli->word[0]);
        if (!noun)
            return cli_usage(
                cli, err,
                "there is nothing called \"%s\" to list; say skeins, "
                "baths, materials ...",
                cli->word[0]);
    }
    if (narrow && (noun->id != NOUN_SKEIN || withdrawn))
        return cli_usage(
            cli, err, "--%s narrows a list of skeins down, none of %s", narrow,
            withdrawn ? "withdrawn ones" : "other records");
    if (cli_has(cli, "svg") && (noun->id != NOUN_SKEIN || withdrawn))
        return cli_usage(cli, err, "--svg draws skeins that hang on the rack");
    if (!cli_whole(cli, "limit", 0, 1000000000, &most, err) ||
        !cli_filter(cli, &filter, err))
        return false;
    if (noun->id != NOUN_SKEIN)
        return list_records(cli, noun, withdrawn, most, err);
    return list_skeins(cli, narrow ? &filter : NULL, withdrawn, most, err) &&
           (!cli_has(cli, "svg") || draw(cli, &filter, most, err));
}

static const struct cli_option options[] = {
    CLI_FILTER_OPTIONS,
    {"svg", "FILE", "draw the rack into a file, too"},
    {"withdrawn", NULL, "the withdrawn ones too"},
    {"limit", "N", "show no more than N, 200 if not said; 0: all"},
};

const struct cli_command command_list = {
    "list",
    "[WHAT]",
    "list the skeins, or baths, materials, and so on",
    "Skeins come with their last bath, what they were dyed with, and the\n"
    "colour they have now, if it was read. WHAT is baths, materials, fibres,\n"
    "waters, supplies, treatments ... Skeins are narrowed down as in "
    "find.",
    options,
    ARRAY_LEN(options),
    0,
    1,
    run,
};
