/* hanklab find: skeins by a colour or by words, the nearest first. */
#include "cli/commands.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/picture.h"
#include "book/record.h"
#include "cli/ask.h"
#include "cli/find_photo.h"

static bool read_lab(const char *words, struct lab *out, struct error *err)
{
    double v[3];

    if (!text_reals(words, v, 3) || v[0] < 0 || v[0] > 110 ||
        fabs(v[1]) > 200 || fabs(v[2]) > 200)
        return error_set(err, ERR_INPUT,
                         "--lab: \"%s\" is not a colour: write three numbers, "
                         "L,a,b",
                         words);
    *out = (struct lab){v[0], v[1], v[2]};
    return true;
}

/* "6b6b2e", "#6b6b2e" or "#663" */
static bool read_hex(const char *words, struct lab *out, struct error *err)
{
    const char *s = words + (*words == '#');
    size_t n = strlen(s);
    unsigned long v;
    struct srgb8 c;

    if ((n != 3 && n != 6) || strspn(s, "0123456789abcdefABCDEF") != n)
        return error_set(err, ERR_INPUT,
                         "--hex: \"%s\" is not a colour: write six digits, "
                         "such as 6b6b2e",
                         words);
    v = strtoul(s, NULL, 16);
    if (n == 3) /* each digit stands for two */
        v = ((v >> 8) * 0x11 << 16) | ((v >> 4 & 0xf) * 0x11 << 8) |
            (v & 0xf) * 0x11;
    c = (struct srgb8){(unsigned char)(v >> 16), (unsigned char)(v >> 8 & 0xff),
                       (unsigned char)(v & 0xff)};
    *out = lab_from_srgb8(c);
    return true;
}

/* All words as one phrase; release with free(). */
static char *phrase(const struct cli *cli)
{
    struct text t = {0};

    for (size_t i = 0; i < cli->word_count; i++)
        text_addf(&t, "%s%s", i ? " " : "", cli->word[i]);
    return text_take(&t);
}

/* Of these at most one is said. */
static const char *const aims[] = {"like", "lab", "hex", "photo"};

static bool read_aim(struct cli *cli, struct find_request *r, struct error *err)
{
    const char *aim = NULL, *words, *goes = find_photo_given(cli);

    for (size_t i = 0; i < ARRAY_LEN(aims); i++) {
        if (!cli_has(cli, aims[i]))
            continue;
        if (aim)
            return cli_usage(cli, err,
                             "choose one of --like, --lab, --hex and --photo");
        aim = aims[i];
    }
    if (goes && !cli_has(cli, "photo"))
        return cli_usage(cli, err, "--%s goes with --photo FILE", goes);
    if (!aim)
        return true;
    words = cli_value(cli, aim);
    if (!strcmp(aim, "like"))
        return record_find(cli->book, NOUN_SKEIN, words, &r->like, err);
    if (!ask_filter_is_usual_light(&r->filter))
        return cli_usage(cli, err,
                         "--%s is a colour for D50, 2 degree: leave --light "
                         "out, or say a skein with --like",
                         aim);
    r->has_target = true;
    return !strcmp(aim, "lab")   ? read_lab(words, &r->target, err)
           : !strcmp(aim, "hex") ? read_hex(words, &r->target, err)
                                 : find_photo_read(cli, r, err);
}

static bool read_area(const struct cli *cli, struct find_request *r,
                      struct error *err)
{
    const char *words = cli_value(cli, "area");

    r->has_area = words != NULL;
    return !words || find_area_read(words, &r->area, err);
}

/* ---- as a table -----------------------------------------------------------
 */

static void heading(const struct find_request *r, const struct find_answer *a,
                    struct text *out)
{
    const char *words = r->words && *r->words ? r->words : NULL;

    if (words)
        text_addf(out, "%s: ", words);
    if (!a->found)
        text_add(out, "no skein");
    else
        text_addf(out, "%zu %s", a->found, a->found == 1 ? "skein" : "skeins");
    if (r->has_area) {
        text_add(out, " of ");
        find_area_words(&r->area, out);
    }
    if (a->found && a->has_like)
        text_addf(out, ", the nearest to skein %s first", a->like.label);
    else if (a->found && r->has_target)
        text_addf(out, ", the nearest to %s%.1f, %.1f, %.1f first",
                  r->was_read ? "the yarn in the photo, " : "", r->target.L,
                  r->target.a, r->target.b);
    else if (a->found && a->ranked)
        text_add(out, ", the nearest first");
    text_add(out, " (");
    cli_light_words(&r->filter, out);
    text_add(out, ")");
}

static void add_heads(const struct find_answer *a, struct text_table *t)
{
    static const char *const usual[] = {"skein", "colour", "L", "a", "b"};

    for (size_t i = 0; i < ARRAY_LEN(usual); i++)
        table_add(t, usual[i]);
    if (a->ranked) {
        table_add(t, DE00);
        table_add(t, "at most");
    }
    if (a->judged)
        table_add(t, "answer");
    table_add(t, "made with");
    table_add(t, "own word");
    t->columns = t->cells;
}

static struct lab colour_of(const struct ask_skein *s)
{
    struct lab none = {(double)NAN, (double)NAN, (double)NAN};

    return s->lack == ASK_HAS_COLOUR ? s->reading.colour.lab : none;
}

static void add_row(const struct find_request *r, const struct find_answer *a,
                    const struct find_row *row, struct text_table *t)
{
    const struct ask_skein *s = &row->skein;
    bool has = s->lack == ASK_HAS_COLOUR;
    struct text words = {0};

    table_add(t, s->label);
    if (has)
        table_add_colour(t, colour_of(s), row->name ? row->name->name : "");
    else
        table_add(t, ask_lack_words(s->lack, r->filter.wet));
    cli_lab_cells(t, colour_of(s), 1);
    if (a->ranked) {
        cli_real_cell(t, row->de00, 1);
        cli_real_cell(t, row->at_most, 1);
    }
    if (a->judged)
        table_add(t, has ? cli_verdict_short(row->compared.verdict) : "");
    ask_recipe_words(s, &words);
    table_add(t, text_str(&words));
    cli_word_cell(t, s);
    text_clear(&words);
}

static void as_csv(struct cli *cli, const struct find_request *r,
                   const struct find_answer *a)
{
    static const char *const heads[] = {
        "skein", "state", "colour", "L", "a", "b", "de00", "at_most", "answer"};
    struct text_table t = {0};

    for (size_t i = 0; i < ARRAY_LEN(heads); i++)
        table_add(&t, heads[i]);
    cli_recipe_heads(&t);
    t.columns = t.cells;
    for (size_t i = 0; i < a->count; i++) {
        const struct find_row *row = &a->row[i];
        const struct ask_skein *s = &row->skein;
        bool compared = a->judged && s->lack == ASK_HAS_COLOUR;
        table_add(&t, s->label);
        table_add(&t, ask_lack_words(s->lack, r->filter.wet));
        table_add(&t, row->name ? row->name->name : "");
        cli_lab_cells(&t, colour_of(s), 4);
        cli_real_cell(&t, row->de00, 4);
        cli_real_cell(&t, row->at_most, 4);
        table_add(&t, compared ? cli_verdict_key(row->compared.verdict) : "");
        cli_recipe_cells(&t, s);
    }
    table_write_csv(&t, &cli->out);
}

/* "the photos cannot tell 137, 139 and 141 apart" */
static void add_tied(const struct find_answer *a, struct text *out)
{
    if (!a->tied)
        return;
    text_addf(out, "the %s cannot tell ",
              a->tied_by_photo ? "photos" : "readings");
    for (size_t i = 0; i < a->tied; i++)
        text_addf(out, "%s%s",
                  i == 0             ? ""
                  : i + 1 == a->tied ? " and "
                                     : ", ",
                  a->row[i].skein.label);
    text_add(out, " apart\n");
}

/* "A3 is the code on 31" */
static void add_codes(const struct find_answer *a, struct text *out)
{
    for (size_t i = 0; i < a->count; i++)
        if (a->row[i].by_code)
            text_addf(out, "%s is the code on skein %s\n", a->row[i].skein.code,
                      a->row[i].skein.label);
}

static void add_far(struct cli *cli, const struct find_far *far)
{
    struct text t = {0};

    if (!far->is)
        return;
    text_add(&t, "no skein has just that colour: ");
    find_far_words(far, &t);
    lines_add(&cli->out, text_str(&t), cli->columns, 2);
    text_reset(&t);
    find_lead_words(far, &t);
    text_addf(&t, "; hanklab match %.1f,%.1f,%.1f shows what does",
              far->nearest->target.L, far->nearest->target.a,
              far->nearest->target.b);
    lines_add(&cli->out, text_str(&t), cli->columns, 2);
    text_clear(&t);
}

static void add_rows(struct cli *cli, const struct find_request *r,
                     const struct find_answer *a)
{
    struct text_table t = {0};
    bool lay = false;

    add_heads(a, &t);
    for (size_t i = 0; i < a->count; i++) {
        add_row(r, a, &a->row[i], &t);
        lay = lay || (a->judged && a->row[i].skein.lack == ASK_HAS_COLOUR &&
                      a->row[i].compared.verdict == VERDICT_CANNOT_TELL);
    }
    table_write(&t, cli->colour, cli->columns, &cli->out);
    if (lay)
        text_add(&cli->out, "cannot tell: lay the skeins together\n");
    add_tied(a, &cli->out);
    add_codes(a, &cli->out);
}

static void as_table(struct cli *cli, const struct find_request *r,
                     const struct find_answer *a, const struct find_far *far)
{
    struct text head = {0};

    heading(r, a, &head);
    lines_add(&cli->out, text_str(&head), cli->columns, 0);
    text_clear(&head);
    if (a->count)
        add_rows(cli, r, a);
    add_far(cli, far);
}

/* How many skeins have the words in a note. */
static bool count_said(struct cli *cli, const char *words, size_t *found,
                       struct error *err)
{
    struct ask_filter f = ask_filter_any();
    struct ask_skeins all;
    struct error none;

    *found = 0;
    if (!ask_filter_read(cli->book, &f, "text", words, &none))
        return true; /* nothing to look for */
    if (!ask_skeins(cli->book, &f, 1, &all, err))
        return false;
    *found = all.found;
    ask_skeins_free(&all);
    return true;
}

/* The words are no colour: a material of that name, or what a note says, is
 * asked for otherwise. */
static bool tell_none(struct cli *cli, const char *words, struct error *err)
{
    struct text names = {0};
    bool mordant, ok;
    size_t said = 0;
    int64_t id;

    ok = ask_materials_like(cli->book, words, &names, &mordant, &id, err) &&
         count_said(cli, words, &said, err);
    if (ok && names.len)
        cli_note("\"%s\" is no colour and no code, but %s is in the book: "
                 "hanklab find --%s \"%s\"",
                 words, text_str(&names), mordant ? "mordant" : "dyestuff",
                 id ? words : "NAME");
    else if (ok && said)
        cli_note("\"%s\" is no colour and no code, but notes say it of %zu %s: "
                 "hanklab find --text \"%s\"",
                 words, said, said == 1 ? "skein" : "skeins", words);
    else if (ok)
        cli_note("\"%s\" is no colour name and no code of a skein, and no own "
                 "word and no note has it",
                 words);
    text_clear(&names);
    return ok;
}

/* What the table does not say, to standard error. */
static bool tell(struct cli *cli, const struct find_request *r,
                 const struct find_answer *a, struct error *err)
{
    if (r->words && *r->words && !a->names && !a->found &&
        !tell_none(cli, r->words, err))
        return false;
    if (a->count < a->found)
        cli_note("%zu of %zu shown; --limit 0 shows all", a->count, a->found);
    return cli_note_left_out(cli, a->left_out, &r->filter, err);
}

/* ---- as JSON --------------------------------------------------------------
 */

static void row_json(struct json *j, const struct find_answer *a,
                     const struct find_row *row, bool wet)
{
    json_add_object(j, NULL);
    cli_json_skein(j, &row->skein, wet);
    json_add_string(j, "colour", row->name ? row->name->name : NULL);
    json_add_bool(j, "by_colour", row->by_colour);
    json_add_bool(j, "by_own_word", row->by_word);
    json_add_bool(j, "by_code", row->by_code);
    if (a->ranked) {
        json_add_real(j, "de00", row->de00, 4);
        json_add_real(j, "at_most", row->at_most, 4);
    }
    if (a->judged)
        json_add_string(j, "answer",
                        row->skein.lack == ASK_HAS_COLOUR
                            ? cli_verdict_key(row->compared.verdict)
                            : NULL);
    json_end(j);
}

static void far_json(struct json *j, const struct find_far *far, bool wet)
{
    const struct find_row *row = far->nearest;
    const struct match_row *lead =
        far->is && far->leads ? &far->match->row[0] : NULL;

    json_add_bool(j, "none_is_it", far->is);
    if (!far->is)
        return;
    json_add_object(j, "nearest");
    cli_json_skein(j, &row->skein, wet);
    json_add_real(j, "de00", row->de00, 4);
    json_add_real(j, "at_most", row->at_most, 4);
    json_end(j);
    if (!lead)
        return;
    json_add_object(j, "lead");
    json_add_string(j, "dyestuff", lead->skein.last_dyestuffs);
    json_add_string(j, "mordant", lead->skein.mordants);
    json_add_real(j, "wof_pct", lead->aim.wof_pct, 2);
    json_add_real(j, "de00", lead->de00, 4);
    json_end(j);
}

static void as_json(struct cli *cli, const struct find_request *r,
                    const struct find_answer *a, const struct find_far *far)
{
    struct json j = json_to(&cli->out);

    json_add_object(&j, NULL);
    json_add_string(&j, "words", *r->words ? r->words : NULL);
    json_add_string(&j, "like", a->has_like ? a->like.label : NULL);
    cli_json_light(&j, &r->filter);
    json_add_string(&j, "part", r->filter.part);
    json_add_whole(&j, "found", (int64_t)a->found);
    json_add_array(&j, "skeins");
    for (size_t i = 0; i < a->count; i++)
        row_json(&j, a, &a->row[i], r->filter.wet);
    json_end(&j);
    json_add_array(&j, "cannot_tell_apart");
    for (size_t i = 0; i < a->tied; i++)
        json_add_string(&j, NULL, a->row[i].skein.label);
    json_end(&j);
    far_json(&j, far, r->filter.wet);
    cli_json_left_out(&j, a->left_out);
    json_end(&j);
}

static bool draw(struct cli *cli, const struct find_request *r,
                 const struct find_answer *a, struct error *err)
{
    struct ask_skeins all;
    struct text picture = {0};
    bool ok;

    if (!cli_has(cli, "svg"))
        return true;
    if (!ask_skeins(cli->book, &r->filter, 0, &all, err))
        return false;
    picture_of_find(a, &all, r->has_target ? &r->target : NULL, &picture);
    ask_skeins_free(&all);
    ok = cli_svg(cli, &picture, err);
    text_clear(&picture);
    return ok;
}

static bool show(struct cli *cli, const struct find_request *r,
                 const struct find_answer *a, struct error *err)
{
    struct find_far far = {0};
    bool ok;

    if (!cli->csv && !ask_find_far(cli->book, r, a, &far, err))
        return false;
    if (cli->json)
        as_json(cli, r, a, &far);
    else if (cli->csv)
        as_csv(cli, r, a);
    else
        as_table(cli, r, a, &far);
    find_far_clear(&far);
    ok = cli_tell_empty_pots(cli, &r->filter, err) && cli_flush(cli, err) &&
         draw(cli, r, a, err);
    return ok && (cli->json || tell(cli, r, a, err));
}

static bool run(struct cli *cli, struct error *err)
{
    struct find_request r = {0};
    struct find_answer a;
    long long limit = 20;
    char *words = phrase(cli);
    bool ok;

    r.words = words;
    ok = cli_whole(cli, "limit", 0, 1000000000, &limit, err) &&
         cli_tolerance(cli, &r.tolerance, err) && read_area(cli, &r, err) &&
         cli_filter(cli, &r.filter, err) && read_aim(cli, &r, err);
    r.limit = (size_t)limit;
    ok = ok && ask_find(cli->book, &r, &a, err);
    if (ok) {
        ok = show(cli, &r, &a, err);
        find_answer_clear(&a);
    }
    free(words);
    return ok;
}

static const struct cli_option options[] = {
    {"like", "SKEIN", "near another skein's colour"},
    {"lab", "L,a,b", "near a colour; D50, 2 degree"},
    {"hex", "RRGGBB", "near a colour of the screen (sRGB)"},
    CLI_FIND_PHOTO_OPTIONS,
    {"area", "A..A,B..B", "of a* and b* in there; with L* too: A..A,B..B,L..L"},
    CLI_SVG_OPTION,
    CLI_FILTER_OPTIONS,
    {"tolerance", "X",
     "with --like, --photo: what still is a match, 2 if not said"},
    {"limit", "N", "how many to show, 20 if not said; 0: all"},
};

const struct cli_command command_find = {
    "find",
    "[WORDS]...",
    "find skeins by a colour, by words or by how they were made",
    "WORDS are a colour name, such as olive or dark greyish purple, or your\n"
    "own word for the colour, or part of it, or the code on a tag. A skein\n"
    "goes by its latest dry reading after its last step; what cannot be\n"
    "judged is counted. \"At most\" is right about 95 times in 100: the skein\n"
    "is no farther off than that.",
    options,
    ARRAY_LEN(options),
    0,
    SIZE_MAX,
    run,
};
