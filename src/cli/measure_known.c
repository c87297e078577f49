/* Places of known colour beside the grey card: what the options say of them,
 * and what was made of them. */
#include "cli/measure.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/ask.h"
#include "book/photo.h"
#include "colour/patches.h"
#include "measure/lay.h"

/* Stated by a maker, as for --card-lab. */
static const double stated_u[3] = {0.5, 0.3, 0.3};

/* Of each of L, a, b: a new chart is within about one unit of its stated
 * values (makers' own word, from memory). */
#define CHART_U 0.5

/* A card that may stand for the grey one, L*. */
enum { GREY_LEAST = 25, GREY_BEST = 50, GREY_MOST = 75 };

/* As colourful as undyed yarn may be, and one sigma of L* that it may be known
 * to: a curve through less is none. */
#define NEUTRAL_C 20
#define YARN_U 3

static bool box_read(const char *words, const char *option, struct box *out,
                     struct error *err)
{
    struct error why;

    return photo_box_read(words, out, &why) ||
           error_set(err, why.kind, "--%s: %s", option, why.text);
}

static struct measure_reference *known_add(struct measure_known *out,
                                           enum measure_reference_kind kind,
                                           struct error *err)
{
    if (out->count == MEASURE_MAX_REFERENCES) {
        error_set(err, ERR_LIMIT, "at most %d places of known colour",
                  MEASURE_MAX_REFERENCES);
        return NULL;
    }
    out->at[out->count].kind = kind;
    return &out->at[out->count++];
}

static bool check_neutral(const char *option, const struct measure_card *card,
                          struct error *err)
{
    const struct lab c = card->lab;

    return (c.L >= 1 && c.L <= 105 && hypot(c.a, c.b) <= NEUTRAL_C) ||
           error_set(err, ERR_INPUT,
                     "--%s: L*a*b* %.1f, %.1f, %.1f is no neutral: it takes "
                     "white, grey, black or undyed",
                     option, c.L, c.a, c.b);
}

/* "L,a,b", or a card of the book by its name. */
static bool neutral_value(struct cli *cli, const char *words,
                          struct measure_card *out, struct error *err)
{
    double v[3];
    int64_t id;

    if (text_reals(words, v, 3)) {
        *out = (struct measure_card){
            {v[0], v[1], v[2]}, stated_u[0], stated_u[1], stated_u[2], true};
        return true;
    }
    if (words[strspn(words, "0123456789.,+- ")] == '\0')
        return error_set(err, ERR_INPUT,
                         "--neutral: \"%s\" is no colour: write X,Y,W,H=L,a,b "
                         "or X,Y,W,H=NAME of a card",
                         words);
    if (!cli_book(cli, err) ||
        !record_find(cli->book, NOUN_CARD, words, &id, err) ||
        !card_values(cli->book, &id, out, err))
        return false;
    return out->known ||
           error_set(err, ERR_INPUT,
                     "--neutral: card %s has no values: enter them, or write "
                     "X,Y,W,H=L,a,b",
                     words);
}

/* "X,Y,W,H=L,a,b" or "X,Y,W,H=NAME". */
static bool read_neutral(struct cli *cli, const char *words,
                         struct measure_known *out, struct error *err)
{
    const char *equals = strchr(words, '=');
    struct measure_reference *r;
    char *box;
    bool ok;

    if (!equals)
        return error_set(err, ERR_INPUT,
                         "--neutral: \"%s\" does not say its colour: write "
                         "X,Y,W,H=L,a,b or X,Y,W,H=NAME of a card",
                         words);
    r = known_add(out, MEASURE_NEUTRAL, err);
    if (!r)
        return false;
    snprintf(r->name, sizeof r->name, "neutral %zu", out->count);
    box = mem_text_n(words, (size_t)(equals - words));
    ok = box_read(box, "neutral", &r->box, err);
    free(box);
    return ok && neutral_value(cli, equals + 1, &r->value, err) &&
           check_neutral("neutral", &r->value, err);
}

/* ---- yarn that the book knows ------------------------------------------- */

static bool skein_value(struct cli *cli, int64_t id, struct measure_card *out,
                        struct error *err)
{
    const struct ask_filter any = ask_filter_any();
    struct ask_skein skein;

    if (!ask_skein(cli->book, id, &any, &skein, err))
        return false;
    out->known = skein.lack == ASK_HAS_COLOUR;
    if (out->known) {
        const struct colour_reading *c = &skein.reading.colour;

        *out = (struct measure_card){c->lab, sqrt(c->abs.LL), sqrt(c->abs.aa),
                                     sqrt(c->abs.bb), true};
    }
    ask_skein_clear(&skein);
    return true;
}

/* Yarn read beside one grey card alone shows no more of the tones than that
 * card did. */
static bool check_yarn(const char *option, const char *words,
                       const struct measure_card *v, struct error *err)
{
    const int n = (int)(strrchr(words, '=') - words);

    if (!v->known)
        return error_set(err, ERR_INPUT,
                         "--%s: the book knows no colour of %.*s, dry, for D50 "
                         "and 2 degree: measure it first",
                         option, n, words);
    if (v->uL > YARN_U)
        return error_set(err, ERR_INPUT,
                         "--%s: %.*s is known to no better than %.1f of L*: "
                         "measure it beside white, grey and black, or with an "
                         "instrument",
                         option, n, words, 2 * v->uL);
    return check_neutral(option, v, err);
}

static bool read_yarn(struct cli *cli, const char *option, const char *words,
                      enum noun_id noun, struct measure_known *out,
                      struct error *err)
{
    struct measure_reference *r = known_add(out, MEASURE_NEUTRAL, err);
    struct measure_place who = {.words = NULL};

    if (!strchr(words, '='))
        return error_set(err, ERR_INPUT,
                         "--%s: \"%s\" does not say which %s lies where: write "
                         "%s=X,Y,W,H",
                         option, words, nouns[noun].name,
                         noun == NOUN_SKEIN ? "137" : "NAME");
    if (!r || !measure_owner_read(cli, option, words, noun, &who, err) ||
        !box_read(strrchr(words, '=') + 1, option, &r->box, err) ||
        !(noun == NOUN_SKEIN
              ? skein_value(cli, who.skein_id, &r->value, err)
              : fibre_values(cli->book, who.fibre_id, &r->value, err)) ||
        !check_yarn(option, words, &r->value, err))
        return false;
    r->yarn = true;
    snprintf(r->name, sizeof r->name, "the known %s",
             noun == NOUN_SKEIN ? "skein" : "yarn");
    return true;
}

/* ---- files of colours --------------------------------------------------- */

static bool read_file(const char *option, const char *path, struct patches *out,
                      struct error *err)
{
    struct error why = {0};
    unsigned char *bytes;
    size_t size;
    bool ok;

    if (!file_load(path, PATCHES_MAX_BYTES, &bytes, &size, err))
        return false;
    ok = patches_read(bytes, size, out, &why);
    free(bytes);
    if (ok && out->adapted)
        cli_note("hanklab: %s: its values were for D65 and were carried to "
                 "D50",
                 path);
    return ok ||
           error_set(err, why.kind, "--%s: %s: %s", option, path, why.text);
}

static bool patch_add(const struct patch *p, size_t nth, struct box box,
                      struct measure_known *out, struct error *err)
{
    struct measure_reference *r = known_add(out, MEASURE_PATCH, err);

    if (!r)
        return false;
    if (p->id[0])
        snprintf(r->name, sizeof r->name, "patch %s", p->id);
    else
        snprintf(r->name, sizeof r->name, "patch %zu", nth + 1);
    r->box = box;
    r->value = (struct measure_card){p->lab, CHART_U, CHART_U, CHART_U, true};
    return true;
}

/* A list that says itself where each patch lies. */
static bool read_list(const char *path, struct patches *patches,
                      struct measure_known *out, struct error *err)
{
    if (!read_file("reference", path, patches, err))
        return false;
    for (size_t i = 0; i < patches->count; i++) {
        const struct patch *p = &patches->patch[i];
        const struct box box = {
            (int64_t)floor(p->x + 0.5), (int64_t)floor(p->y + 0.5),
            (int64_t)floor(p->w + 0.5), (int64_t)floor(p->h + 0.5)};

        if (!p->placed)
            return error_set(err, ERR_INPUT,
                             "--reference: %s: it has no columns x, y, w and h "
                             "that say where each patch lies; a chart's own "
                             "file goes with --chart and --chart-corners",
                             path);
        if (!patch_add(p, i, box, out, err))
            return false;
    }
    return true;
}

/* "x,y x,y x,y x,y", in one value or in four. */
static bool read_corners(struct cli *cli, struct point corner[4],
                         struct error *err)
{
    struct text all = {0};
    char *at, *word;
    double v[2];
    size_t n = 0;
    bool ok = true;

    for (size_t i = 0; cli_nth(cli, "chart-corners", i); i++)
        text_addf(&all, "%s ", cli_nth(cli, "chart-corners", i));
    at = all.s;
    while (ok && (word = strtok_r(NULL, " ", &at)) != NULL) {
        ok = n < 4 && text_reals(word, v, 2) && fabs(v[0]) < 1e6 &&
             fabs(v[1]) < 1e6;
        if (ok)
            corner[n++] = (struct point){v[0], v[1]};
    }
    text_clear(&all);
    return (ok && n == 4) ||
           error_set(err, ERR_INPUT,
                     "--chart-corners: write four corners round the chart, "
                     "from the first patch to the end of its row, as x,y x,y "
                     "x,y x,y");
}

static bool read_chart(struct cli *cli, const char *path,
                       struct patches *patches, struct measure_known *out,
                       struct error *err)
{
    struct box box[PATCHES_MOST];
    struct point corner[4];

    if (!read_file("chart", path, patches, err) ||
        !read_corners(cli, corner, err) ||
        !lay_chart(patches, corner, box, err))
        return false;
    for (size_t i = 0; i < patches->count; i++)
        if (!patch_add(&patches->patch[i], i, box[i], out, err))
            return false;
    return true;
}

static bool read_files(struct cli *cli, struct measure_known *out,
                       struct error *err)
{
    const char *list = cli_value(cli, "reference");
    const char *chart = cli_value(cli, "chart");
    struct patches *patches;
    bool ok;

    if (!chart != !cli_has(cli, "chart-corners"))
        return cli_usage(cli, err, "--chart and --chart-corners go together");
    patches = mem_new(1, sizeof *patches);
    ok = (!list || read_list(list, patches, out, err)) &&
         (!chart || read_chart(cli, chart, patches, out, err));
    free(patches);
    return ok;
}

/* ---- the whole ---------------------------------------------------------- */

/* Another box on the same card, or one on a plain sheet: "card 2". */
static bool read_light(const char *option, const char *name,
                       enum measure_reference_kind kind, size_t nth,
                       const char *words, struct measure_known *out,
                       struct error *err)
{
    struct measure_reference *r = known_add(out, kind, err);

    if (!r)
        return false;
    snprintf(r->name, sizeof r->name, "%s %zu", name, nth);
    return box_read(words, option, &r->box, err);
}

bool measure_known_given(const struct cli *cli)
{
    return cli_has(cli, "neutral") || cli_has(cli, "reference") ||
           cli_has(cli, "chart");
}

bool measure_known_read(struct cli *cli, struct measure_known *out,
                        struct error *err)
{
    size_t cards = 0, sheets = 0;

    for (size_t i = 0; i < cli->given_count; i++) {
        const char *option = cli->given[i].option->name;
        const char *words = cli->given[i].value;
        bool ok = true;

        if (!strcmp(option, "neutral"))
            ok = read_neutral(cli, words, out, err);
        else if (!strcmp(option, "known-fibre"))
            ok = read_yarn(cli, option, words, NOUN_FIBRE, out, err);
        else if (!strcmp(option, "known-skein"))
            ok = read_yarn(cli, option, words, NOUN_SKEIN, out, err);
        else if (!strcmp(option, "card-box") && ++cards > 1)
            ok = read_light(option, "card", MEASURE_CARD_AGAIN, cards, words,
                            out, err);
        else if (!strcmp(option, "sheet-box"))
            ok = read_light(option, "sheet", MEASURE_SHEET, ++sheets, words,
                            out, err);
        if (!ok)
            return false;
    }
    return read_files(cli, out, err);
}

bool measure_known_card(struct measure_known *known,
                        struct measure_request *request)
{
    size_t best = known->count;

    for (size_t i = 0; i < known->count; i++) {
        const struct lab c = known->at[i].value.lab;

        if (known->at[i].kind == MEASURE_SHEET || c.L < GREY_LEAST ||
            c.L > GREY_MOST || known->at[i].yarn || hypot(c.a, c.b) > 4)
            continue;
        if (best == known->count ||
            fabs(c.L - GREY_BEST) <
                fabs(known->at[best].value.lab.L - GREY_BEST))
            best = i;
    }
    if (best == known->count)
        return false;
    request->card_box = known->at[best].box;
    request->card = known->at[best].value;
    known->count--;
    memmove(known->at + best, known->at + best + 1,
            (known->count - best) * sizeof *known->at);
    return true;
}

/* ---- telling ------------------------------------------------------------ */

void measure_method_json(struct json *j, const struct measure_method *method)
{
    static const char *const names[] = {"neutrals", "matrix",
                                        "root_polynomial"};

    json_add_object(j, "method");
    json_add_whole(j, "version", MEASURE_METHOD);
    json_add_string(j, "corrected_by", method->words);
    json_add_whole(j, "neutrals", (int64_t)method->neutrals);
    json_add_real(j, "left_out_dL", method->tone_dL, 3);
    json_add_real(j, "left_out_dL_power_law", method->tone_power, 3);
    if (method->patches) {
        json_add_object(j, "chart");
        json_add_whole(j, "patches", (int64_t)method->patches);
        json_add_string(j, "model",
                        method->chart_model < 0 ? NULL
                                                : names[method->chart_model]);
        for (size_t i = 0; i < ARRAY_LEN(names); i++) {
            json_add_object(j, names[i]);
            json_add_real(j, "left_out_mean_de00", method->chart[i].mean, 3);
            json_add_real(j, "left_out_worst_de00", method->chart[i].worst, 3);
            json_end(j);
        }
        json_end(j);
    } else {
        json_add_null(j, "chart");
    }
    if (method->light_places) {
        json_add_object(j, "light");
        json_add_string(j, "by", method->light);
        json_add_whole(j, "places", (int64_t)method->light_places);
        json_add_real(j, "residual_pct", 100 * method->light_residual, 3);
        json_end(j);
    } else {
        json_add_null(j, "light");
    }
    json_end(j);
}

void measure_method_tell(struct text *out, const struct measure_method *method)
{
    if (method->card_alone)
        return;
    text_addf(out, "Corrected by %s", method->words);
    if (method->chart_model >= 0) {
        const struct measure_left_out *told =
            &method->chart[method->chart_model];

        text_addf(out,
                  "; each patch told by the others is off by %.1f CIEDE2000, "
                  "%.1f at most",
                  told->mean, told->worst);
    } else if (isfinite(method->tone_dL)) {
        text_addf(out, "; each told by the others is off by %.1f of L*",
                  fmin(method->tone_dL, method->tone_power));
    }
    text_add(out, ".\n");
}
