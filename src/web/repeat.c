/* Whether a colour can be had again. */
#include "book/repeat.h"

#include <math.h>
#include <stdio.h>

#include "base/html.h"
#include "base/mem.h"
#include "book/picture.h"
#include "book/record.h"
#include "narrow.h"
#include "page.h"
#include "plan.h"
#include "routes.h"

/* The rules as the address has them: heat=15&yarn=any. */
static bool read_rules(const struct request *r,
                       struct repeat_rule rule[REPEAT_FACTS], struct error *err)
{
    repeat_usual(rule);
    for (int f = 0; f < REPEAT_FACTS; f++) {
        const char *words =
            pairs_get(&r->query, repeat_fact_key((enum repeat_fact)f));

        if (words &&
            !repeat_rule_read((enum repeat_fact)f, words, &rule[f], err))
            return false;
    }
    return true;
}

/* How a rule is typed. */
static void rule_words(struct repeat_rule rule, char out[24])
{
    if (!rule.must)
        snprintf(out, 24, "any");
    else if (rule.within > 0)
        snprintf(out, 24, "%.4g", rule.within);
    else
        snprintf(out, 24, "same");
}

static void add_form(struct request *r, const char *skein,
                     const struct repeat_rule rule[REPEAT_FACTS], bool open)
{
    struct text *o = &r->out;

    html_addf(o,
              "<details class=\"narrow\"%s><summary>What must agree</summary>"
              "<form action=\"/repeat\" method=\"get\"><input type=\"hidden\" "
              "name=\"skein\" value=\"%s\"><p class=\"small quiet\">Dyes, "
              "mordants, dips and round always. Of the rest: any, same, or how "
              "far it may be apart. What is not recorded agrees with anything."
              "</p><div class=\"gridset\">",
              open ? " open" : "", skein);
    for (int f = 0; f < REPEAT_FACTS; f++) {
        const char *key = repeat_fact_key((enum repeat_fact)f);
        const char *typed = pairs_get(&r->query, key);
        char usual[24];

        rule_words(rule[f], usual);
        html_addf(o,
                  "<p><label for=\"%s\">%s</label><input id=\"%s\" name=\"%s\" "
                  "value=\"%s\"></p>",
                  key, repeat_fact_words((enum repeat_fact)f), key, key,
                  typed ? typed : usual);
    }
    text_add(o, "<p><button type=\"submit\">Look again</button></p></div>"
                "</form></details>\n");
}

/* ---- the answer ---------------------------------------------------------- */

/* Those alike, touching, as they came out. */
static void add_strip(struct text *o, const struct repeat_answer *a)
{
    size_t k = 0;

    if (a->measured < 2)
        return;
    html_addf(o,
              "<div class=\"row8\"><svg viewBox=\"0 0 %zu 60\" "
              "preserveAspectRatio=\"none\" shape-rendering=\"crispEdges\" "
              "role=\"img\" aria-label=\"The colours of those alike, "
              "touching\">",
              a->measured * 100);
    for (size_t i = 0; i < a->alike; i++) {
        if (a->row[i].skein.lack != ASK_HAS_COLOUR)
            continue;
        html_addf(o, "<rect x=\"%zu\" width=\"101\" height=\"60\" fill=\"",
                  k++ * 100);
        page_colour(o, a->row[i].skein.reading.colour.lab);
        text_add(o, "\"/>");
    }
    text_add(o, "</svg><ol>");
    for (size_t i = 0; i < a->alike; i++)
        if (a->row[i].skein.lack == ASK_HAS_COLOUR)
            html_addf(o, "<li>%s</li>", a->row[i].skein.label);
    text_add(o, "</ol></div>\n");
}

/* What to expect, first of all. */
static void add_verdict(struct text *o, const struct repeat_answer *a)
{
    text_add(o, "<div class=\"say plain\"><b>");
    if (a->goes > 1)
        html_addf(
            o,
            "Expect about L* %.0f a* %.0f b* %.0f (D50, 2&deg;), %s</b>%zu "
            "dyeings came "
            "on average %.1f &Delta;E00 from that, up to %.1f from one to "
            "another. No promise: dye a test skein first.",
            text_round(a->dyeings.mean.L, 0) + 0.0,
            text_round(a->dyeings.mean.a, 0) + 0.0,
            text_round(a->dyeings.mean.b, 0) + 0.0,
            colour_name_nearest(a->dyeings.mean)->name, a->goes,
            a->dyeings.mcdm, a->dyeings.largest);
    else
        html_addf(o,
                  "%s</b>Nothing tells how far another go would come from it: "
                  "dye a test skein first.",
                  a->goes ? "Dyed so once" : "None of them was measured");
    text_add(o, "</div>\n");
}

static void add_row(struct text *o, const struct repeat_answer *a, size_t i)
{
    const struct repeat_row *first = &a->row[0], *row = &a->row[i];
    const struct ask_skein *s = &row->skein;
    const struct lab *c =
        s->lack == ASK_HAS_COLOUR ? &s->reading.colour.lab : NULL;
    bool any = false;

    html_addf(o, "<li><a class=\"hs\" href=\"/skein/%-s\">", s->label);
    page_hank(o, HANK_SMALL, c);
    html_addf(
        o, "<span class=\"tag\">%s</span></a><div><h3>%s</h3><p>", s->label,
        c ? colour_name_nearest(*c)->name : ask_lack_words(s->lack, false));
    if (s->bath)
        html_addf(o, "bath %s%s%s", s->bath, s->on_words ? ", " : "",
                  s->on_words);
    text_add(o, "</p><p>");
    for (int f = 0; i && f < REPEAT_FACTS; f++) {
        if (!first->fact[f] || !row->fact[f] ||
            text_same(first->fact[f], row->fact[f]))
            continue;
        text_add(o, any ? "; " : "");
        text_add(o, row->differs[f] ? "<strong>" : "");
        html_addf(o, "%s %s", repeat_fact_words((enum repeat_fact)f),
                  row->fact[f]);
        text_add(o, row->differs[f] ? "</strong>" : "");
        any = true;
    }
    text_add(o, "</p></div><p class=\"num d\">");
    if (!isnan(row->from_mean))
        html_addf(o, "<b>%.1f</b>", row->from_mean);
    text_add(o, "</p></li>\n");
}

static void add_rows(struct text *o, const struct repeat_answer *a)
{
    text_add(
        o, "<section aria-labelledby=\"h-a\"><h2 id=\"h-a\">Made so"
           "</h2>\n<p class=\"quiet\">&Delta;E00 (D50, 2&deg;) from "
           "their mean at the right, and what is not as with the first.</p><ol "
           "class=\"hits\">\n");
    for (size_t i = 0; i < a->alike; i++)
        add_row(o, a, i);
    text_add(o, "</ol>");
    if (a->measured > 1)
        html_addf(o,
                  "<p>%zu skeins, on average %.1f &Delta;E00 from their mean; "
                  "the farthest apart, %s and %s, %.1f.</p>",
                  a->measured, a->skeins.mcdm,
                  a->row[a->skeins.one].skein.label,
                  a->row[a->skeins.other].skein.label, a->skeins.largest);
    text_add(o, "</section>\n");
    if (a->count == a->alike)
        return;
    text_add(o, "<section aria-labelledby=\"h-n\"><h2 id=\"h-n\">The same "
                "dyes, something else not alike</h2><ol class=\"hits\">\n");
    for (size_t i = a->alike; i < a->count; i++)
        add_row(o, a, i);
    text_add(o, "</ol></section>\n");
}

static void add_need(struct text *o, const struct repeat_need *n)
{
    html_addf(o, "<dt>%s</dt><dd>", n->what);
    if (isnan(n->low_g))
        text_add(o, "how much is not known");
    else if (n->high_g > n->low_g * 1.0001)
        html_addf(o, "%.1f to %.1f g", n->low_g, n->high_g);
    else
        html_addf(o, "%.1f g", n->low_g);
    html_addf(o, "%s%s", n->state ? " " : "", n->state);
    for (size_t i = 0; i < n->lefts; i++) {
        const struct repeat_left *l = &n->left[i];
        if (!isnan(l->g))
            html_addf(o, "; %s%.1f g%s%s left", n->left_known ? "" : "at most ",
                      l->g, l->state ? " " : "", l->state);
        if (l->more)
            html_addf(o, "; some%s%s left, weight not known",
                      l->state ? " " : "", l->state);
    }
    if (n->lefts > 1)
        text_add(o, "; which are not added up");
    if (n->too_little)
        text_add(o, ", <strong>too little</strong>");
    text_add(o, "</dd>");
}

/* A bare number has its unit behind it. */
static void add_fact(struct text *o, enum repeat_fact fact, const char *words)
{
    double bare;

    if (!words)
        return;
    html_addf(o, "<dt>%s</dt><dd>%s%s</dd>", repeat_fact_words(fact), words,
              !text_real(words, &bare) ? ""
              : fact == REPEAT_HEAT    ? " C"
              : fact == REPEAT_TIME    ? " min"
                                       : "");
}

/* The way to the pot, all of it filled in. An exhaust has its pot's earlier
 * rounds before it. */
static void add_log(struct text *o, const struct ask_skein *s)
{
    if (!s->bath_id)
        return;
    if (s->has_round && s->round > 0) {
        struct text round = {0};
        ask_round_words(s->round, &round);
        html_addf(o,
                  "<p class=\"quiet\">It came from %s of bath %s: the rounds "
                  "before come first, with as much yarn.</p>",
                  text_str(&round), s->bath);
        text_clear(&round);
    }
    html_addf(
        o,
        "<p class=\"acts\"><a class=\"btn\" href=\"/log/again?skein=%-s\">"
        "Log it again, filled in</a></p>",
        s->label);
}

static void add_facts(struct text *o, const struct repeat_answer *a)
{
    static const enum repeat_fact told[] = {REPEAT_YARN, REPEAT_PH, REPEAT_HEAT,
                                            REPEAT_TIME, REPEAT_WATER};

    text_add(o, "<section aria-labelledby=\"h-w\"><h2 id=\"h-w\">What it takes "
                "for this skein's weight</h2>\n<dl class=\"facts\">");
    for (size_t i = 0; i < a->needs; i++)
        add_need(o, &a->need[i]);
    for (size_t i = 0; i < ARRAY_LEN(told); i++)
        add_fact(o, told[i], a->row[0].fact[told[i]]);
    text_add(o, "</dl>");
    add_log(o, &a->row[0].skein);
    text_add(o, "</section>\n<section aria-labelledby=\"h-u\"><h2 "
                "id=\"h-u\">What is not known</h2>\n<ul>");
    for (size_t i = 0; i < a->lacks; i++)
        html_addf(o, "<li>%s</li>", a->lacking[i]);
    if (!a->lacks)
        text_add(o, "<li>Nothing that is asked for.</li>");
    text_add(o, "</ul></section>\n");
}

/* On to a plan of it. */
static void add_plan(struct text *o, const struct ask_skein *s)
{
    text_add(o, "<p class=\"end\"><a href=\"/plan?");
    plan_row(o,
             s->lack == ASK_HAS_COLOUR
                 ? colour_name_nearest(s->reading.colour.lab)->name
                 : s->name,
             s->label, NULL, NULL);
    text_add(o, "\">Plan it</a></p>");
}

bool repeat_page(struct request *r, struct error *err)
{
    const char *skein = pairs_get(&r->query, "skein");
    struct repeat_request q = {.filter = ask_filter_any()};
    struct repeat_answer a = {.count = 0};
    struct error why = {.kind = ERR_NONE};
    struct text recipe = {0};
    bool ok = true;

    if (!skein)
        return error_set(err, ERR_MISSING,
                         "say which skein: open it, and "
                         "choose \"Can I have it again\"");
    if (!record_find(r->book, NOUN_SKEIN, skein, &q.skein, err))
        return false;
    repeat_usual(q.rule);
    ok = read_rules(r, q.rule, &why) && ask_repeat(r->book, &q, &a, &why);
    if (!ok && why.kind != ERR_INPUT) {
        *err = why;
        return false;
    }
    if (ok && narrow_picture(r, "repeat")) {
        picture_of_repeat(&a, &r->out);
        repeat_answer_clear(&a);
        return true;
    }
    page_begin(r, "Again", NULL);
    html_addf(
        &r->out,
        "<div class=\"head\"><h1>Skein <a href=\"/skein/%-s\">%s</a> once "
        "more</h1>",
        skein, skein);
    if (ok)
        ask_recipe_words(&a.row[0].skein, &recipe);
    html_addf(&r->out, "<p>%s</p>", text_str(&recipe));
    if (ok)
        add_plan(&r->out, &a.row[0].skein);
    text_add(&r->out, "</div>\n");
    if (ok) {
        add_verdict(&r->out, &a);
        add_strip(&r->out, &a);
        text_add(&r->out, "<div class=\"after parts\">\n");
        add_rows(&r->out, &a);
        add_facts(&r->out, &a);
        text_add(&r->out, "</div>\n");
        narrow_picture_link(r);
    } else {
        html_addf(
            &r->out,
            "<div class=\"say\" role=\"alert\"><b>No answer</b>%s</div>\n",
            why.text);
    }
    add_form(r, skein, q.rule, !ok);
    text_clear(&recipe);
    repeat_answer_clear(&a);
    page_end(r);
    return true;
}
