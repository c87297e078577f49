/* How a bath went from round to round: a strip for each mordant. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/ask.h"
#include "book/record.h"
#include "html.h"
#include "narrow.h"
#include "page.h"
#include "routes.h"

/* Which bath: its id or what it is called; 0 when none is named. */
static bool read_bath(struct request *r, int64_t *id, struct error *err)
{
    const char *words = pairs_get(&r->query, "bath");
    long long number;

    *id = 0;
    if (!words)
        return true;
    if (text_whole(words, &number)) {
        *id = number;
        return true;
    }
    return record_find(r->book, NOUN_BATH, words, id, err);
}

static bool add_choice(struct request *r, int64_t now, struct error *err)
{
    int64_t *ids = NULL;
    size_t n = 0;
    bool ok = record_ids(r->book, NOUN_BATH, false, &ids, &n, err);

    text_add(&r->out,
             "<form class=\"gridset\" action=\"/fade\" "
             "method=\"get\"><p class=\"all\"><label for=\"bath\">Bath</label>"
             "<select id=\"bath\" name=\"bath\">\n");
    for (size_t i = 0; ok && i < n; i++) {
        struct text label = {0};
        ok = record_label(r->book, NOUN_BATH, ids[i], &label, err);
        html_addf(&r->out, "<option value=\"%lld\"", (long long)ids[i]);
        text_add(&r->out, ids[i] == now ? " selected>" : ">");
        html_addf(&r->out, "%s</option>\n", text_str(&label));
        text_clear(&label);
    }
    text_add(&r->out, "</select></p><p><button type=\"submit\">Show</button>"
                      "</p></form>\n");
    free(ids);
    return ok;
}

static void round_words(const struct fade_round *round, struct text *out)
{
    if (round->known)
        ask_round_words(round->round, out);
    else
        text_add(out, "round not recorded");
}

static void lane_words(const struct fade *f, const struct fade_lane *lane,
                       struct text *out)
{
    text_add(out, lane->mordants ? lane->mordants : "mordant not recorded");
    if (lane->dips)
        text_addf(out, ", %s dip", lane->dips);
    if (f->fibres)
        text_addf(out, ", %s", lane->fibre ? lane->fibre : "yarn not recorded");
}

/* What foretells a lane's next round; NULL: nothing does. */
static const struct exhaust *told_of(const struct fade_lane *lane)
{
    const struct fade_stretch *last =
        lane->stretches ? &lane->stretch[lane->stretches - 1] : NULL;

    return last && last->fit.state == EXHAUST_FITTED ? &last->fit : NULL;
}

static bool is_told(const struct fade *f)
{
    for (size_t i = 0; i < f->lanes; i++)
        if (told_of(&f->lane[i]))
            return true;
    return false;
}

static void add_heads(struct text *o, const struct fade *f)
{
    text_add(o, "<div class=\"striphead\" aria-hidden=\"true\"><ol "
                "class=\"heads plain\">");
    for (size_t i = 0; i < f->rounds; i++) {
        struct text words = {0};
        round_words(&f->round[i], &words);
        html_addf(o, "<li>%s</li>", text_str(&words));
        text_clear(&words);
    }
    text_add(o, is_told(f) ? "<li>next, foretold</li></ol></div>\n"
                           : "</ol></div>\n");
}

/* Stripes for what is foretold, once a page. */
static void add_hatch(struct text *o)
{
    text_add(o, "<svg class=\"defs\" aria-hidden=\"true\"><pattern id=\"weft\" "
                "width=\"7\" height=\"7\" patternUnits=\"userSpaceOnUse\" "
                "patternTransform=\"rotate(45)\"><path stroke=\"#fff\" "
                "stroke-width=\"8\" d=\"M0 3.5h7\"/><path stroke=\"#000\" "
                "stroke-width=\"2.6\" d=\"M0 1.3h7\"/></pattern><mask "
                "id=\"hatch\" maskUnits=\"userSpaceOnUse\" x=\"0\" y=\"0\" "
                "width=\"9999\" height=\"72\"><rect width=\"9999\" "
                "height=\"72\" fill=\"url(#weft)\"/></mask></svg>\n");
}

static void add_run(struct text *o, const struct fade *f,
                    const struct fade_lane *lane)
{
    const struct exhaust *told = told_of(lane);
    const size_t n = f->rounds + is_told(f);

    html_addf(o,
              "<svg class=\"run\" viewBox=\"0 0 %zu 72\" "
              "preserveAspectRatio=\"none\" shape-rendering=\"crispEdges\" "
              "role=\"img\" aria-label=\"The rounds touching; the numbers "
              "stand below%s\">",
              n * 100, told ? "; the last, striped, is foretold" : "");
    for (size_t i = 0; i < f->rounds; i++) {
        if (!lane->cell[i].measured)
            continue;
        html_addf(o, "<rect x=\"%zu\" width=\"%d\" height=\"72\" fill=\"",
                  i * 100, i + 1 < f->rounds ? 101 : 100);
        page_colour(o, lane->cell[i].mean.lab, NULL);
        text_add(o, "\"/>");
    }
    if (told) {
        html_addf(o,
                  "<rect x=\"%zu\" width=\"100\" height=\"72\" "
                  "mask=\"url(#hatch)\" fill=\"",
                  f->rounds * 100);
        page_colour(o, told->next, NULL);
        html_addf(o,
                  "\"/><path class=\"bare\" d=\"M%zu 1v70M%zu 1v70M%zu "
                  "1h100M%zu 71h100\"/>",
                  f->rounds * 100 + 1, n * 100 - 1, f->rounds * 100,
                  f->rounds * 100);
    }
    text_add(o, "</svg>");
}

static void add_lane(struct text *o, const struct fade *f,
                     const struct fade_lane *lane, size_t at)
{
    const struct exhaust *told = told_of(lane);
    struct text words = {0};

    lane_words(f, lane, &words);
    html_addf(o,
              "<section class=\"lanerow\" aria-labelledby=\"lane%zu\"><header>"
              "<h3 id=\"lane%zu\">%s</h3></header>\n<div class=\"strip "
              "plain\">",
              at, at, text_str(&words));
    text_clear(&words);
    add_run(o, f, lane);
    text_add(o, "<ol>");
    for (size_t i = 0; i < f->rounds; i++) {
        const struct fade_cell *c = &lane->cell[i];
        html_addf(o, "<li><span class=\"nn\">%s</span>",
                  c->measured       ? c->labels
                  : *c->other_light ? "read under another light"
                  : c->lacking      ? "not measured"
                                    : "\xE2\x80\x93");
        if (i + 1 < f->rounds && !isnan(lane->cell[i + 1].before))
            html_addf(o, "<span class=\"dl\">%.1f</span>",
                      lane->cell[i + 1].before);
        text_add(o, "</li>");
    }
    if (told)
        html_addf(o, "<li>L* %.0f \xC2\xB1 %.0f</li>", told->next.L,
                  1.96 * sqrt(told->next_cov.LL));
    else if (is_told(f))
        text_add(o, "<li>not foretold</li>");
    text_add(o, "</ol></div></section>\n");
}

static void add_table(struct text *o, const struct fade *f)
{
    text_add(o, "<details><summary>As a table</summary><table "
                "class=\"acts-done\"><thead><tr><th>lane</th><th>round</th>"
                "<th>colour</th><th>L* a* b*</th><th>from the round before</th>"
                "<th>from the first</th><th>skeins</th></tr></thead><tbody>\n");
    for (size_t l = 0; l < f->lanes; l++)
        for (size_t i = 0; i < f->rounds; i++) {
            const struct fade_lane *lane = &f->lane[l];
            const struct fade_cell *c = &lane->cell[i];
            struct text words = {0};
            if (!c->measured)
                continue;
            lane_words(f, lane, &words);
            html_addf(o, "<tr><td>%s</td>", text_str(&words));
            text_reset(&words);
            round_words(&f->round[i], &words);
            html_addf(o, "<td>%s</td><td>%s</td><td>", text_str(&words),
                      colour_name_nearest(c->mean.lab)->name);
            page_lab(o, c->mean.lab);
            text_add(o, "</td><td class=\"num\">");
            if (!isnan(c->before))
                html_number(o, c->before, 1);
            text_add(o, "</td><td class=\"num\">");
            if (!isnan(c->first))
                html_number(o, c->first, 1);
            html_addf(o, "</td><td>%s</td></tr>\n", c->labels);
            text_clear(&words);
        }
    text_add(o, "</tbody></table></details>\n");
}

/* What the strength of the dye says, lane by lane. */
static void add_strengths(struct text *o, const struct fade *f)
{
    for (size_t k = 0; k < f->lanes; k++) {
        char *words = fade_words(f, &f->lane[k]), *line = words, *rest;
        struct text name = {0};
        if (*words) {
            lane_words(f, &f->lane[k], &name);
            html_addf(o, "<div class=\"say plain\"><b>%s</b><ul>",
                      text_str(&name));
        }
        for (; (rest = strchr(line, '\n')); line = rest + 1) {
            *rest = '\0';
            html_addf(o, "<li>%s</li>", line);
        }
        if (*words)
            text_add(o, "</ul></div>\n");
        text_clear(&name);
        free(words);
    }
}

static void add_remarks(struct text *o, const struct fade *f)
{
    for (size_t i = 0; i < f->additions; i++)
        html_addf(o,
                  "<div class=\"say plain\"><b>Before exhaust %lld went in"
                  "</b>%s</div>\n",
                  (long long)f->addition[i].before_round, f->addition[i].what);
    for (size_t i = 0; i < f->skips; i++)
        html_addf(o,
                  "<div class=\"say plain\"><b>Exhaust %lld is not recorded"
                  "</b></div>\n",
                  (long long)f->skipped[i]);
}

bool fade_page(struct request *r, struct error *err)
{
    struct ask_filter any = ask_filter_any();
    struct text *o = &r->out;
    struct fade f;
    int64_t bath;
    bool ok;

    if (!read_bath(r, &bath, err) ||
        (bath && !ask_fade(r->book, bath, &any, (double)NAN, &f, err)))
        return false;
    page_begin(r, "Fade", "Fade");
    html_addf(o,
              "<div class=\"head\"><h1>How the exhausts of a bath "
              "fade</h1><p>%s</p></div>\n",
              bath ? f.bath : "Choose one.");
    ok = add_choice(r, bath, err);
    if (bath) {
        add_strengths(o, &f);
        text_add(o, "<section class=\"fade\" aria-label=\"Strips, one lane a "
                    "mordant\">\n");
        if (is_told(&f))
            add_hatch(o);
        add_heads(o, &f);
        for (size_t i = 0; i < f.lanes; i++)
            add_lane(o, &f, &f.lane[i], i);
        text_add(o, "<p class=\"small quiet key\">Below each strip: skein "
                    "numbers, and &Delta;E00 from one round to the next. D50, "
                    "2&deg;.");
        if (is_told(&f))
            text_add(o, " What is striped is a model's: the colour that the "
                        "next round should have.");
        text_add(o, "</p></section>\n");
        add_remarks(o, &f);
        add_table(o, &f);
        fade_clear(&f);
    }
    page_end(r);
    return ok;
}
