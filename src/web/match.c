/* Recipes that come near a colour. */
#include "base/html.h"
#include "base/mem.h"
#include "book/ask.h"
#include "book/picture.h"
#include "narrow.h"
#include "page.h"
#include "plan.h"
#include "routes.h"

#define SHOWN 8

static void add_form(struct request *r)
{
    html_addf(&r->out,
              "<form action=\"/match\" method=\"get\"><div class=\"gridset\">"
              "<p class=\"all\"><label for=\"to\">Colour</label><input "
              "class=\"long\" id=\"to\" name=\"to\" value=\"%s\" "
              "placeholder=\"olive, or 42,45,28, or skein 31\"></p><p><button "
              "class=\"main\" type=\"submit\">How to come near</button></p>"
              "</div>\n",
              pairs_get(&r->query, "to"));
    narrow_fields(r);
    text_add(&r->out, "</form>\n");
    narrow_chips(r);
}

/* The target and what comes near it, touching. */
static void add_strip(struct text *o, const struct match_request *q,
                      const struct match_answer *a)
{
    html_addf(o,
              "<div class=\"row8\"><svg viewBox=\"0 0 %zu 60\" "
              "preserveAspectRatio=\"none\" shape-rendering=\"crispEdges\" "
              "role=\"img\" aria-label=\"The colour that is wanted first, then "
              "the results, touching\">",
              (a->count + 1) * 100);
    for (size_t i = 0; i <= a->count; i++) {
        html_addf(o, "<rect x=\"%zu\" width=\"101\" height=\"60\" fill=\"",
                  i * 100);
        page_colour(o, i ? match_row_lab(&a->row[i - 1]) : q->target);
        text_add(o, "\"/>");
    }
    text_add(o, "</svg><ol><li>wanted</li>");
    for (size_t i = 0; i < a->count; i++)
        html_addf(o, "<li>%s</li>",
                  a->row[i].reckoned ? "?" : a->row[i].skein.label);
    text_add(o, "</ol></div>\n");
}

/* "safflower on alum, 70 % of the fibre" and what is to be known of it. */
static void add_reckoned(struct text *o, const struct match_row *row)
{
    const struct ask_skein *s = &row->skein;

    html_addf(o, "<h3>%s on %s, ", s->last_dyestuffs,
              s->mordants ? s->mordants : "an unknown mordant");
    text_addf(o,
              "%.3g %% of the fibre</h3><p>reckoned between %zu weights, %.3g "
              "to %.3g %%",
              row->aim.wof_pct, row->weights, row->least_pct, row->most_pct);
    if (row->aim.beyond)
        text_add(o, "; beyond what was dyed: try it on a little first");
    if (row->levelled)
        text_add(o, "; more dyestuff did not dye deeper everywhere");
    text_add(o, "</p>");
}

/* On to a plan of it; a reckoned weight stands instead of the skein's. */
static void add_plan(struct text *o, const struct match_row *row)
{
    struct text dyestuff = {0};

    if (row->reckoned)
        text_addf(&dyestuff, "%s: %.3g %%", row->skein.last_dyestuffs,
                  row->aim.wof_pct);
    text_add(o, "<p class=\"swap\"><a href=\"/plan?");
    plan_row(o, colour_name_nearest(match_row_lab(row))->name, row->skein.label,
             NULL, row->reckoned ? text_str(&dyestuff) : NULL);
    text_add(o, "\">Plan it</a></p>");
    text_clear(&dyestuff);
}

static void add_row(struct text *o, const struct match_row *row)
{
    const struct lab lab = match_row_lab(row);
    struct text recipe = {0};

    html_addf(o, "<li><a class=\"hs\" href=\"/skein/%-s\">", row->skein.label);
    page_hank(o, HANK_SMALL, &lab);
    html_addf(o, "<span class=\"tag\">%s</span></a><div>",
              row->reckoned ? "?" : row->skein.label);
    if (row->reckoned) {
        add_reckoned(o, row);
    } else {
        ask_recipe_words(&row->skein, &recipe);
        html_addf(o, "<h3>%s</h3><p>%s</p>", colour_name_nearest(lab)->name,
                  text_str(&recipe));
        text_clear(&recipe);
    }
    html_addf(o, "<p>%s</p>", verdict_short(row->compared.verdict));
    add_plan(o, row);
    html_addf(o, "</div><p class=\"num d\"><b>%.1f</b></p></li>\n", row->de00);
}

static void add_answer(struct request *r, const struct match_request *q,
                       const struct match_answer *a)
{
    struct text *o = &r->out;

    if (!a->count) {
        text_add(o, "<p>No skein with a colour to go by.</p>\n");
        narrow_left_out(o, a->left_out, q->filter.wet);
        return;
    }
    add_strip(o, q, a);
    text_add(o, "<section aria-labelledby=\"h-r\"><h2 id=\"h-r\">The nearest "
                "first</h2>\n<p class=\"quiet\">&Delta;E00 (D50, 2&deg;) from "
                "the colour that "
                "is wanted. What is reckoned lies between weights of one "
                "dyestuff that were dyed; two dyestuffs are never mixed by "
                "reckoning.</p><ol class=\"hits\">\n");
    for (size_t i = 0; i < a->count; i++)
        add_row(o, &a->row[i]);
    text_add(o, "</ol>\n");
    if (a->row[0].compared.verdict == VERDICT_DIFFERENT)
        text_add(o, "<div class=\"say plain\"><b>Nothing reaches that colour"
                    "</b>Neither a skein in the book, nor any weight that can "
                    "be reckoned.</div>\n");
    narrow_left_out(o, a->left_out, q->filter.wet);
    text_add(o, "</section>\n");
}

bool match_page(struct request *r, struct error *err)
{
    const char *to = pairs_get(&r->query, "to");
    struct match_request q = {.tolerance = 2, .limit = SHOWN};
    struct match_answer a = {.count = 0};
    struct error why = {.kind = ERR_NONE};
    bool ok =
        narrow_read(r, &q.filter, &why) &&
        (!to || (ask_target_read(r->book, &q.filter, to, &q.target, &why) &&
                 ask_match(r->book, &q, &a, &why)));

    if (!ok && why.kind != ERR_INPUT && why.kind != ERR_MISSING &&
        why.kind != ERR_LIMIT) {
        *err = why;
        return false;
    }
    if (ok && to && narrow_picture(r, "match")) {
        picture_of_match(&a, q.target, &r->out);
        match_answer_clear(&a);
        return true;
    }
    page_begin(r, "Match", "Find");
    text_add(&r->out, "<div class=\"head\"><h1>What comes near a colour</h1>"
                      "</div>\n");
    add_form(r);
    if (!ok)
        html_addf(&r->out,
                  "<div class=\"say\" role=\"alert\"><b>No answer</b>"
                  "%s</div>\n",
                  why.text);
    else if (to) {
        add_answer(r, &q, &a);
        narrow_picture_link(r);
    }
    match_answer_clear(&a);
    page_end(r);
    return true;
}
