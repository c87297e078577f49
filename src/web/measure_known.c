/* "More that I know the colour of": white and black, undyed yarn, a chart. See
 * measure_known.h. */
#include "measure_known.h"

#include <stdlib.h>
#include <string.h>

#include "base/html.h"
#include "base/mem.h"
#include "base/parts.h"
#include "page.h"

#define SPARE_PLACES 2 /* empty ones below those that are filled in */

size_t known_rows(const struct request *r)
{
    size_t n = 0;

    while (n < KNOWN_MOST && pairs_nth(&r->form, "known-box", n))
        n++;
    return n;
}

/* How many rows count up to the last that is filled in. */
static size_t filled(const struct request *r)
{
    size_t n = known_rows(r);

    while (n && !parts_said(pairs_nth(&r->form, "known-box", n - 1)) &&
           !parts_said(pairs_nth(&r->form, "known-what", n - 1)))
        n--;
    return n;
}

/* ---- on the photo -------------------------------------------------------- */

static void chart_on_photo(const struct view *v)
{
    const char *words = pairs_get(&v->r->form, "chart-corners");
    struct text *o = &v->r->out;
    struct point c[4];
    struct error none;

    if (!words || !known_corners(words, c, &none))
        return;
    text_add(o, "<g class=\"box known\">");
    for (int line = 0; line < 2; line++) {
        html_addf(o, "<polygon class=\"%s\" points=\"", line ? "line" : "halo");
        for (int i = 0; i < 4; i++)
            html_addf(o, "%.1f,%.1f ", c[i].x, c[i].y);
        text_add(o, "\"/>");
    }
    text_add(o, "</g>\n");
}

void known_boxes(const struct view *v)
{
    for (size_t i = 0, n = known_rows(v->r); i < n; i++) {
        const char letter[2] = {(char)('A' + i), '\0'};

        view_box(v, pairs_nth(&v->r->form, "known-box", i), " known", letter);
    }
    chart_on_photo(v);
}

/* ---- the rows ------------------------------------------------------------ */

/* What was typed in numbers may be put in as a card, and has a name then. */
static void add_keep(const struct view *v, const struct measure_reference *p,
                     const char *what)
{
    const struct lab c = p->value.lab;
    const char *called = known_neutral_words(c) + strlen("the ");
    struct measure_card typed;
    struct text lab = {0};

    if (p->yarn || !known_lab(what, &typed))
        return;
    text_add_real(&lab, c.L, 6);
    text_add(&lab, ",");
    text_add_real(&lab, c.a, 6);
    text_add(&lab, ",");
    text_add_real(&lab, c.b, 6);
    html_addf(&v->r->out,
              "<p class=\"was\"><a class=\"btn low\" "
              "href=\"/record/card?measure=%lld&amp;"
              "name=%s%%20side&amp;lab=",
              v->photo, called);
    html_url(&v->r->out, text_str(&lab));
    text_add(&v->r->out, "\">Keep it in the book</a></p>\n");
    text_clear(&lab);
}

/* As the camera took it beside what it is known to be. */
static void add_result(const struct view *v, size_t row, const char *letter)
{
    const size_t nth = v->job->known_of[row];
    const struct measure_reference *p = nth ? &v->job->known.at[nth - 1] : NULL;
    struct text *o = &v->r->out, who = {0};

    if (!p || !v->answer) {
        view_head(o, letter, false, "a known colour",
                  v->answer &&
                          parts_said(pairs_nth(&v->r->form, "known-box", row))
                      ? "say what it is"
                      : NULL);
        return;
    }
    view_head(o, letter, false, p->name, v->answer->ok ? "used" : NULL);
    text_addf(&who, "place %s", letter);
    text_add(o, "<div class=\"row\"><div class=\"pair\">");
    view_crop(v, p->box, text_str(&who));
    if (p->kind == MEASURE_NEUTRAL) {
        page_swatch_fill(o, &p->value.lab, "As it is known to be");
        text_add(o, "</div><p class=\"small quiet\">known as ");
        page_lab(o, p->value.lab);
        text_add(o, "</p></div>\n");
        add_keep(v, p, pairs_nth(&v->r->form, "known-what", row));
    } else {
        text_add(o, "</div><p class=\"small quiet\">shows how the light "
                    "runs</p></div>\n");
    }
    text_clear(&who);
}

static void add_row(const struct view *v, size_t row)
{
    static const char *const is[][2] = {
        {"neutral", "white, grey, black"},
        {"fibre", "undyed yarn of the book"},
        {"skein", "a skein of the book"},
        {"card", "the same card again"},
        {"sheet", "one plain sheet under all"},
    };
    struct request *r = v->r;
    struct text *o = &r->out;
    const char letter[2] = {(char)('A' + row), '\0'};
    const char *now = pairs_nth(&r->form, "known-is", row);

    text_add(o, "<li class=\"read\" data-row=\"known\"><div data-result>");
    add_result(v, row, letter);
    text_add(o, "</div>\n<div class=\"ties\">");
    view_select(v, "known-is", row, "is");
    for (size_t i = 0; i < ARRAY_LEN(is); i++)
        view_option(o, is[i][0], is[i][1], view_is(now, is[i][0]));
    view_select_end(v, "known-is", row);
    view_input(v, "who", "known-what", row, "its L*, a*, b* or name",
               pairs_nth(&r->form, "known-what", row),
               " list=\"known\" placeholder=\"95,0,-1\"");
    view_input(v, "at", "known-box", row, "box: X,Y,W,H",
               pairs_nth(&r->form, "known-box", row), "");
    text_add(o, "<button class=\"low\" type=\"button\" data-remove "
                "data-script hidden>Take away</button></div></li>\n");
}

/* Cards, yarns and skeins of the book by their names. */
static bool add_names(const struct view *v, struct error *err)
{
    static const enum noun_id kinds[] = {NOUN_CARD, NOUN_FIBRE, NOUN_SKEIN};
    struct text *o = &v->r->out;
    bool ok = true;

    text_add(o, "<datalist id=\"known\">");
    for (size_t k = 0; ok && k < ARRAY_LEN(kinds); k++) {
        int64_t *ids = NULL;
        size_t n = 0;

        ok = record_ids(v->r->book, kinds[k], false, &ids, &n, err);
        for (size_t i = 0; ok && i < n; i++) {
            struct text label = {0};
            ok = record_label(v->r->book, kinds[k], ids[i], &label, err);
            html_addf(o, "<option value=\"%s\">%s</option>", text_str(&label),
                      nouns[kinds[k]].name);
            text_clear(&label);
        }
        free(ids);
    }
    text_add(o, "</datalist>\n");
    return ok;
}

/* ---- the chart ----------------------------------------------------------- */

static void add_chart(const struct view *v)
{
    struct request *r = v->r;
    struct text *o = &r->out;
    const char *values = pairs_get(&r->form, "chart-values");

    text_add(o, "<div class=\"chart\"><h3>A colour chart</h3>\n"
                "<p class=\"small quiet\">Its maker's file of values, CGATS "
                "text or CSV, and its four corners: from the first patch along "
                "its row, then round.</p>\n<div class=\"ties\">"
                "<p class=\"tie at\"><label for=\"chart-0\">its file</label>"
                "<input id=\"chart-0\" type=\"file\" name=\"chart\" "
                "accept=\".txt,.cgats,.csv,.ti2,.cie,text/plain,text/csv\"");
    view_mark(v, "chart", 0);
    text_add(o, "></p>");
    view_why(v, "chart", 0);
    view_input(v, "at", "chart-corners", 0, "corners: x,y x,y x,y x,y",
               pairs_get(&r->form, "chart-corners"), "");
    text_add(o, "<button class=\"low\" type=\"button\" data-corners "
                "data-script hidden>Lay its corners on the photo</button>"
                "</div>\n");
    html_addf(o,
              "<details%s><summary>The values themselves</summary><p>"
              "<label for=\"chart-values-0\">from the file, or written "
              "here</label><textarea id=\"chart-values-0\" "
              "name=\"chart-values\" rows=\"5\" spellcheck=\"false\"",
              v->why && view_is(v->job->blamed, "chart-values") ? " open" : "");
    view_mark(v, "chart-values", 0);
    html_addf(o, ">%s%s</textarea></p></details>", values ? "\n" : "", values);
    view_why(v, "chart-values", 0);
    text_add(o, "</div>\n");
}

/* ---- the whole ----------------------------------------------------------- */

static bool blamed(const struct view *v)
{
    const char *field = v->why ? v->job->blamed : NULL;

    return field &&
           (!strncmp(field, "known", 5) || !strncmp(field, "chart", 5) ||
            view_is(field, "keep-camera"));
}

bool known_fold(const struct view *v, struct error *err)
{
    struct request *r = v->r;
    struct text *o = &r->out;
    const size_t used = filled(r);
    const bool keep = pairs_get(&r->form, "keep-camera") != NULL;
    const bool open = used || keep || blamed(v) ||
                      pairs_get(&r->form, "chart-values") ||
                      pairs_get(&r->form, "chart-corners");

    html_addf(o,
              "<details class=\"more-known\"%s><summary>More that I know the "
              "colour of</summary>\n<p class=\"small quiet\">White, black or "
              "undyed yarn beside the card make dark and pale skeins truer; "
              "the card again, or one plain sheet under all, evens out the "
              "light.</p>\n<ol data-known-rows>\n",
              open ? " open" : "");
    for (size_t i = 0; i < used + SPARE_PLACES && i < KNOWN_MOST; i++)
        add_row(v, i);
    text_add(o, "</ol>\n<p data-script hidden><button type=\"button\" "
                "data-add=\"known\">Mark one on the photo</button></p>\n");
    add_chart(v);
    html_addf(o,
              "<p class=\"check\"><input id=\"keep-camera-0\" "
              "type=\"checkbox\" name=\"keep-camera\" value=\"yes\"%s",
              keep ? " checked" : "");
    view_mark(v, "keep-camera", 0);
    text_add(o, "> <label for=\"keep-camera-0\">keep what this shows of the "
                "camera, for its photos with a card alone</label></p>");
    view_why(v, "keep-camera", 0);
    if (!add_names(v, err))
        return false;
    text_add(o, "</details>\n");
    return true;
}
