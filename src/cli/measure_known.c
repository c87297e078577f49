/* Places of known colour beside the grey card: what the options say of them,
 * and what was made of them. */
#include "cli/measure.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/photo.h"
#include "colour/patches.h"

/* What the book says is wrong, with the option it stood behind. */
static bool blame(const char *option, const struct error *why,
                  struct error *err)
{
    return error_set(err, why->kind, "--%s: %s", option, why->text);
}

/* Adds a place whose box is still words. */
static bool add(const char *option, const char *box,
                struct measure_reference *r, struct known_places *out,
                struct error *err)
{
    struct error why = {0};

    return (photo_box_read(box, &r->box, &why) && known_add(out, r, &why)) ||
           blame(option, &why, err);
}

/* "L,a,b", or a card of the book by its name. */
static bool neutral_value(struct cli *cli, const char *words,
                          struct measure_card *out, struct error *err)
{
    struct error why = {0};

    if (known_lab(words, out))
        return true;
    if (words[strspn(words, "0123456789.,+- ")] == '\0')
        return error_set(err, ERR_INPUT,
                         "--neutral: \"%s\" is no colour: write X,Y,W,H=L,a,b "
                         "or X,Y,W,H=NAME of a card",
                         words);
    return cli_book(cli, err) && (known_card(cli->book, words, out, &why) ||
                                  blame("neutral", &why, err));
}

/* "X,Y,W,H=L,a,b" or "X,Y,W,H=NAME". */
static bool read_neutral(struct cli *cli, const char *words,
                         struct known_places *out, struct error *err)
{
    const char *equals = strchr(words, '=');
    struct measure_reference r = {.kind = MEASURE_NEUTRAL};
    char *box;
    bool ok;

    if (!equals)
        return error_set(err, ERR_INPUT,
                         "--neutral: \"%s\" does not say its colour: write "
                         "X,Y,W,H=L,a,b or X,Y,W,H=NAME of a card",
                         words);
    snprintf(r.name, sizeof r.name, "neutral %zu", out->count + 1);
    box = mem_text_n(words, (size_t)(equals - words));
    ok = neutral_value(cli, equals + 1, &r.value, err) &&
         add("neutral", box, &r, out, err);
    free(box);
    return ok;
}

static bool read_yarn(struct cli *cli, const char *option, const char *words,
                      enum noun_id noun, struct known_places *out,
                      struct error *err)
{
    struct measure_reference r = {.kind = MEASURE_NEUTRAL, .yarn = true};
    struct measure_place who = {.words = NULL};
    const char *equals = strrchr(words, '=');
    struct error why = {0};
    char *name;
    bool ok;

    if (!equals)
        return error_set(err, ERR_INPUT,
                         "--%s: \"%s\" does not say which %s lies where: write "
                         "%s=X,Y,W,H",
                         option, words, nouns[noun].name,
                         noun == NOUN_SKEIN ? "137" : "NAME");
    if (!measure_owner_read(cli, option, words, noun, &who, err))
        return false;
    snprintf(r.name, sizeof r.name, "the known %s",
             noun == NOUN_SKEIN ? "skein" : "yarn");
    name = mem_text_n(words, (size_t)(equals - words));
    ok = known_yarn(cli->book, noun,
                    noun == NOUN_SKEIN ? who.skein_id : who.fibre_id, name,
                    &r.value, &why) ||
         blame(option, &why, err);
    free(name);
    return ok && add(option, equals + 1, &r, out, err);
}

/* ---- files of colours --------------------------------------------------- */

/* Round the chart's patches, in one value or in four. */
static bool read_corners(struct cli *cli, struct point corner[4],
                         struct error *err)
{
    struct text all = {0};
    struct error why = {0};
    bool ok;

    for (size_t i = 0; cli_nth(cli, "chart-corners", i); i++)
        text_addf(&all, "%s ", cli_nth(cli, "chart-corners", i));
    ok = known_corners(text_str(&all), corner, &why) ||
         blame("chart-corners", &why, err);
    text_clear(&all);
    return ok;
}

/* corner NULL: the file says itself where each patch lies. */
static bool read_file(const char *option, const char *path,
                      const struct point *corner, struct known_places *out,
                      struct error *err)
{
    struct error why = {0};
    unsigned char *bytes;
    size_t size;
    bool adapted, ok;

    if (!file_load(path, PATCHES_MAX_BYTES, &bytes, &size, err))
        return false;
    ok = known_chart(bytes, size, corner, out, &adapted, &why);
    free(bytes);
    if (ok && adapted)
        cli_note("hanklab: %s: its values were for D65 and were carried to "
                 "D50",
                 path);
    return ok ||
           error_set(err, why.kind, "--%s: %s: %s", option, path, why.text);
}

static bool read_files(struct cli *cli, struct known_places *out,
                       struct error *err)
{
    const char *list = cli_value(cli, "reference");
    const char *chart = cli_value(cli, "chart");
    struct point corner[4];

    if (!chart != !cli_has(cli, "chart-corners"))
        return cli_usage(cli, err, "--chart and --chart-corners go together");
    return (!list || read_file("reference", list, NULL, out, err)) &&
           (!chart || (read_corners(cli, corner, err) &&
                       read_file("chart", chart, corner, out, err)));
}

/* ---- the whole ---------------------------------------------------------- */

/* Another box on the same card, or one on a plain sheet: "card 2". */
static bool read_light(const char *option, const char *name,
                       enum measure_reference_kind kind, size_t nth,
                       const char *words, struct known_places *out,
                       struct error *err)
{
    struct measure_reference r = {.kind = kind};

    snprintf(r.name, sizeof r.name, "%s %zu", name, nth);
    return add(option, words, &r, out, err);
}

bool measure_known_given(const struct cli *cli)
{
    return cli_has(cli, "neutral") || cli_has(cli, "reference") ||
           cli_has(cli, "chart");
}

bool measure_known_read(struct cli *cli, struct known_places *out,
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
