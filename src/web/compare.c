/* Two skeins side by side, touching. */
#include <math.h>
#include <string.h>

#include "base/html.h"
#include "base/mem.h"
#include "book/ask.h"
#include "book/record.h"
#include "narrow.h"
#include "page.h"
#include "routes.h"

static void add_form(struct request *r, const char *light)
{
    html_addf(&r->out,
              "<form class=\"gridset\" action=\"/compare\" method=\"get\"><p>"
              "<label for=\"a\">Skein</label><input id=\"a\" name=\"a\" "
              "value=\"%s\"></p><p><label for=\"b\">beside skein</label><input "
              "id=\"b\" name=\"b\" value=\"%s\"></p><p><label for=\"x\">still "
              "a match</label><input id=\"x\" name=\"tolerance\" value=\"%s\" "
              "placeholder=\"2\"></p><p><label for=\"light\">under the light"
              "</label><input id=\"light\" name=\"light\" value=\"%s\" "
              "placeholder=\"D50/2\"></p><p><button class=\"main\" "
              "type=\"submit\">Lay together</button></p></form>\n",
              pairs_get(&r->query, "a"), pairs_get(&r->query, "b"),
              pairs_get(&r->query, "tolerance"), light);
}

/* What the address asks for. */
struct asked {
    struct ask_filter filter;
    double tolerance;
    struct ask_skein skein[2];
    bool given[2];
};

static bool read_skein(struct request *r, int which, struct asked *q,
                       struct error *err)
{
    static const char *const names[] = {"a", "b"};
    const char *words = pairs_get(&r->query, names[which]);
    struct ask_skein *out = &q->skein[which];
    int64_t id;

    if (!words || !*words)
        return true;
    if (!record_find(r->book, NOUN_SKEIN, words, &id, err) ||
        !ask_skein(r->book, id, &q->filter, out, err))
        return false;
    q->given[which] = true;
    if (out->lack == ASK_HAS_COLOUR)
        return true;
    if (out->lack == ASK_OTHER_LIGHT)
        return error_set(err, ERR_INPUT,
                         "skein %s was read for %s/%d only: say that light, "
                         "and both are held together under it",
                         out->label, out->reading.illuminant,
                         out->reading.observer_deg);
    return error_set(err, ERR_INPUT, "skein %s has no colour to go by: %s",
                     out->label, ask_lack_words(out->lack, false));
}

static bool read_asked(struct request *r, struct asked *q, struct error *err)
{
    const char *words = pairs_get(&r->query, "tolerance");

    q->tolerance = 2;
    if (words && *words &&
        (!text_real(words, &q->tolerance) || q->tolerance < 0.01 ||
         q->tolerance > 100))
        return error_set(err, ERR_INPUT,
                         "\"%s\" is no tolerance: write a number from 0.01 to "
                         "100, in \xCE\x94"
                         "E00",
                         words);
    return narrow_read(r, &q->filter, err) && read_skein(r, 0, q, err) &&
           read_skein(r, 1, q, err);
}

static void add_pair(struct text *o, const struct ask_skein *x,
                     const struct ask_skein *y)
{
    const struct ask_skein *both[] = {x, y};

    html_addf(o,
              "<figure class=\"touching\"><svg viewBox=\"0 0 200 90\" "
              "preserveAspectRatio=\"none\" shape-rendering=\"crispEdges\" "
              "role=\"img\" aria-label=\"Skein %s left, skein %s right, "
              "touching\">",
              x->label, y->label);
    for (int i = 0; i < 2; i++) {
        html_addf(o, "<rect x=\"%d\" width=\"101\" height=\"90\" fill=\"",
                  100 * i);
        page_colour(o, both[i]->reading.colour.lab);
        text_add(o, "\"/>");
    }
    text_add(o, "</svg><figcaption>");
    for (int i = 0; i < 2; i++) {
        struct text recipe = {0};
        ask_recipe_words(both[i], &recipe);
        html_addf(o,
                  "<div><a href=\"/skein/%-s\"><span class=\"tag\">%s</span>"
                  "</a> <b>%s</b><br>",
                  both[i]->label, both[i]->label,
                  colour_name_nearest(both[i]->reading.colour.lab)->name);
        page_lab(o, both[i]->reading.colour.lab);
        html_addf(o, "<br><span class=\"quiet\">%s</span></div>",
                  text_str(&recipe));
        text_clear(&recipe);
    }
    text_add(o, "</figcaption></figure>\n");
}

static void add_answer(struct text *o, const struct ask_skein *x,
                       const struct ask_skein *y, const struct comparison *c,
                       bool same)
{
    char verdict[96], how[96] = "";

    verdict_words(*c, verdict, sizeof verdict);
    if (c->verdict == VERDICT_DIFFERENT)
        difference_words(x->reading.colour.lab, y->reading.colour.lab, how,
                         sizeof how);
    html_addf(o, "<div class=\"say\"><b>%s", verdict);
    if (*how)
        html_addf(o, ": %s is %s", y->label, how);
    html_addf(
        o,
        "</b>&Delta;E00 %.1f, the true difference at most %.1f; equal colours "
        "may come out up to %.1f apart; both are right about 95 times in "
        "100. %s</div>\n",
        c->de00, c->U, c->T,
        same ? "Same set-up: what both readings share does not count."
             : "Not the same set-up.");
}

bool compare_page(struct request *r, struct error *err)
{
    struct asked q = {.filter = ask_filter_any()};
    const struct ask_skein *x = &q.skein[0], *y = &q.skein[1];
    struct comparison c;
    struct error why;
    bool same, both, ok = read_asked(r, &q, &why);

    both = ok && q.given[0] && q.given[1];
    if (both)
        ok = ask_compare(r->book, x, y, q.tolerance, &c, &same, &why);
    if (!ok && why.kind == ERR_STORE) {
        *err = why;
    } else {
        page_begin(r, "Compare", "Compare");
        html_addf(&r->out,
                  "<div class=\"head\"><h1>Compare</h1><p>Two skeins "
                  "touching; %s, %d\xC2\xB0</p></div>\n",
                  q.filter.illuminant, q.filter.observer_deg);
        if (!ok)
            html_addf(&r->out,
                      "<div class=\"say\" role=\"alert\"><b>No answer</b>%s"
                      "</div>\n",
                      why.text);
        add_form(r, pairs_get(&r->query, "light"));
        if (ok && both) {
            add_answer(&r->out, x, y, &c, same);
            add_pair(&r->out, x, y);
        }
        page_end(r);
        ok = true;
    }
    ask_skein_clear(&q.skein[0]);
    ask_skein_clear(&q.skein[1]);
    return ok;
}
