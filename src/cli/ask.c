/* What the commands that ask the book share. See ask.h. */
#include "cli/ask.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/disk.h"
#include "base/mem.h"
#include "book/record.h"
#include "book/sheet.h"

static const char *const filters[] = {
    "dyestuff", "mordant", "dip",   "no-dip",  "only",      "ever",
    "round",    "bath",    "fibre", "ph",      "date",      "water",
    "part",     "supply",  "owner", "glow",    "per-fibre", "unfinished",
    "wet",      "light",   "text",  "fastness"};

static bool is_option(const struct cli *cli, const char *name)
{
    for (size_t i = 0; i < cli->command->option_count; i++)
        if (!strcmp(cli->command->options[i].name, name))
            return true;
    return false;
}

bool cli_filter(struct cli *cli, struct ask_filter *out, struct error *err)
{
    const char *words;

    *out = ask_filter_any();
    if (!cli_book(cli, err))
        return false;
    for (size_t i = 0; i < ARRAY_LEN(filters); i++) {
        if (!is_option(cli, filters[i]))
            continue;
        for (size_t n = 0; (words = cli_nth(cli, filters[i], n)); n++)
            if (!ask_filter_read(cli->book, out, filters[i], words, err))
                return false;
    }
    return true;
}

void cli_light_words(const struct ask_filter *f, struct text *out)
{
    if (f->wet)
        text_add(out, "wet, ");
    if (strcmp(f->part, "whole"))
        text_addf(out, "%s, ", sheet_part_words(f->part));
    text_addf(out, "%s, %d degree", f->illuminant, f->observer_deg);
}

/* "read under D65/10 only", and what to do about it. */
static bool add_light(struct cli *cli, const struct ask_filter *filter,
                      struct text *out, struct text *hint, struct error *err)
{
    struct text lights = {0};
    char usable[12];
    bool ok = ask_other_lights(cli->book, filter, &lights, usable, err);

    text_addf(out, "read under %s only", text_str(&lights));
    if (*usable)
        text_addf(hint, "; --light %s goes by those", usable);
    text_clear(&lights);
    return ok;
}

bool cli_note_left_out(struct cli *cli, const size_t left_out[ASK_LACKS],
                       const struct ask_filter *filter, struct error *err)
{
    struct text t = {0}, hint = {0};
    size_t all = 0;
    bool ok = true;

    for (int i = ASK_OTHER_LIGHT; i < ASK_LACKS; i++)
        all += left_out[i];
    for (int i = ASK_OTHER_LIGHT; i < ASK_LACKS; i++) {
        if (!left_out[i])
            continue;
        if (left_out[i] < all)
            text_addf(&t, "%s%zu ", t.len ? ", " : "", left_out[i]);
        if (i == ASK_OTHER_LIGHT)
            ok = add_light(cli, filter, &t, &hint, err);
        else
            text_add(&t, ask_lack_words((enum ask_lack)i, filter->wet));
    }
    if (ok && all)
        cli_note("%zu %s left out: %s%s", all, all == 1 ? "skein" : "skeins",
                 text_str(&t), text_str(&hint));
    text_clear(&t);
    text_clear(&hint);
    return ok;
}

bool cli_tell_empty_pots(struct cli *cli, const struct ask_filter *filter,
                         struct error *err)
{
    struct text line = {0};
    int64_t *ids = NULL;
    size_t n = 0;
    bool ok;

    if (!filter->unfinished || cli->json || cli->csv)
        return true;
    ok = ask_empty_baths(cli->book, &ids, &n, err);
    for (size_t i = n; ok && i-- > 0;) {
        text_add(&line, line.len ? ", " : "pots without a skein yet: ");
        ok = record_label(cli->book, NOUN_BATH, ids[i], &line, err);
    }
    if (ok && n)
        lines_add(&cli->out, text_str(&line), cli->columns, 2);
    text_clear(&line);
    free(ids);
    return ok;
}

void cli_json_light(struct json *j, const struct ask_filter *filter)
{
    json_add_string(j, "illuminant", filter->illuminant);
    json_add_whole(j, "observer_deg", filter->observer_deg);
    json_add_bool(j, "wet", filter->wet);
}

void cli_json_left_out(struct json *j, const size_t left_out[ASK_LACKS])
{
    static const char *const keys[ASK_LACKS] = {
        [ASK_OTHER_LIGHT] = "other_light", [ASK_BY_EYE] = "by_eye",
        [ASK_OTHER_PART] = "other_part",   [ASK_WETNESS] = "wetness",
        [ASK_EARLIER] = "earlier_step",    [ASK_NEVER] = "not_measured"};

    json_add_object(j, "left_out");
    for (int i = ASK_OTHER_LIGHT; i < ASK_LACKS; i++)
        json_add_whole(j, keys[i], (int64_t)left_out[i]);
    json_end(j);
}

void cli_json_lab(struct json *j, struct lab lab)
{
    json_add_real(j, "L", lab.L, 4);
    json_add_real(j, "a", lab.a, 4);
    json_add_real(j, "b", lab.b, 4);
}

void cli_json_skein(struct json *j, const struct ask_skein *s, bool wet)
{
    struct text how = {0};
    struct lab none = {(double)NAN, (double)NAN, (double)NAN};
    bool has = s->lack == ASK_HAS_COLOUR;

    ask_recipe_words(s, &how);
    json_add_string(j, "skein", s->label);
    json_add_whole(j, "id", s->id);
    json_add_string(j, "dyer", s->dyer);
    json_add_string(j, "name", s->name);
    json_add_string(j, "code", s->code);
    json_add_string(j, "own_word", s->own_word);
    json_add_string(j, "own_word_before", s->word_before);
    json_add_bool(j, "unfinished", s->unfinished);
    json_add_string(j, "fibre", s->fibre);
    json_add_real(j, "weight_g", s->weight_g, 4);
    json_add_string(j, "dyestuff", s->last_dyestuffs);
    json_add_string(j, "under", s->under);
    json_add_string(j, "mordant", s->mordants);
    json_add_string(j, "dip", s->dips);
    json_add_string(j, "bath", s->bath);
    if (s->has_round)
        json_add_whole(j, "round", s->round);
    else
        json_add_null(j, "round");
    json_add_string(j, "on", s->on_words);
    json_add_string(j, "made", text_str(&how));
    json_add_string(j, "state", ask_lack_words(s->lack, wet));
    json_add_string(j, "as_skein", s->as);
    cli_json_lab(j, has ? s->reading.colour.lab : none);
    text_clear(&how);
}

void cli_real_cell(struct text_table *t, double x, int places)
{
    struct text s = {0};

    if (!isnan(x))
        text_addf(&s, "%.*f", places, text_round(x, places) + 0.0);
    table_add(t, text_str(&s));
    text_clear(&s);
}

void cli_word_cell(struct text_table *t, const struct ask_skein *skein)
{
    struct text s = {0};

    ask_own_word(skein, &s);
    table_add(t, text_str(&s));
    text_clear(&s);
}

void cli_lab_cells(struct text_table *t, struct lab lab, int places)
{
    cli_real_cell(t, lab.L, places);
    cli_real_cell(t, lab.a, places);
    cli_real_cell(t, lab.b, places);
}

void cli_recipe_heads(struct text_table *t)
{
    static const char *const heads[] = {"dyestuff", "under", "mordant",
                                        "dip",      "round", "bath",
                                        "fibre",    "name",  "own_word"};

    for (size_t i = 0; i < ARRAY_LEN(heads); i++)
        table_add(t, heads[i]);
}

void cli_recipe_cells(struct text_table *t, const struct ask_skein *s)
{
    table_add(t, s->last_dyestuffs);
    table_add(t, s->under);
    table_add(t, s->mordants);
    table_add(t, s->dips);
    if (s->has_round)
        table_addf(t, "%lld", (long long)s->round);
    else
        table_add(t, "");
    table_add(t, s->bath);
    table_add(t, s->fibre);
    table_add(t, s->name);
    table_add(t, s->own_word);
}

const char *cli_verdict_short(enum verdict verdict)
{
    return verdict == VERDICT_CANNOT_TELL ? "cannot tell"
                                          : cli_verdict_key(verdict);
}

const char *cli_verdict_key(enum verdict verdict)
{
    switch (verdict) {
    case VERDICT_MATCH:
        return "match";
    case VERDICT_CANNOT_TELL:
        return "cannot_tell";
    case VERDICT_DIFFERENT:
        return "different";
    }
    return "";
}

void cli_verdict_words(struct comparison c, bool photo, struct text *out)
{
    char words[80];

    verdict_words(c, words, sizeof words);
    if (c.verdict == VERDICT_CANNOT_TELL && !photo)
        text_add(out, "these readings cannot tell: lay the skeins together");
    else
        text_add(out, words);
}

bool cli_svg(struct cli *cli, const struct text *picture, struct error *err)
{
    const char *path = cli_value(cli, "svg");

    if (!disk_write(path, text_str(picture), picture->len,
                    "the picture was not kept", err))
        return false;
    cli_note("picture: %s", path);
    return true;
}

bool cli_tolerance(const struct cli *cli, double *out, struct error *err)
{
    *out = 2;
    return cli_real(cli, "tolerance", 0.01, 100, out, err);
}
