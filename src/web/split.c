/* A hank into pieces, before it is wound; nothing is kept. */
#include "dye/split.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/html.h"
#include "base/mem.h"
#include "page.h"
#include "routes.h"

static const struct {
    const char *name, *label, *hint;
} fields[] = {
    {"weight", "The hank weighs", "100 g"},
    {"length", "Its length", "400 m"},
    {"sample", "or a sample of it", "10 m = 2.5 g"},
    {"reserve", "Keep back", "10 %"},
    {"allowance", "More for each piece", "5 %"},
    {"loop", "Wound on a loop of", "1.5 m"},
};

static void add_form(struct request *r)
{
    struct text *o = &r->out;

    text_add(o, "<form action=\"/split\" method=\"get\"><div "
                "class=\"gridset\">");
    for (size_t i = 0; i < ARRAY_LEN(fields); i++)
        html_addf(o,
                  "<p><label for=\"%s\">%s</label><input id=\"%s\" name=\"%s\" "
                  "value=\"%s\" placeholder=\"e.g. %s\"></p>",
                  fields[i].name, fields[i].label, fields[i].name,
                  fields[i].name, pairs_get(&r->query, fields[i].name),
                  fields[i].hint);
    html_addf(o,
              "<p class=\"all\"><label for=\"pieces\">Pieces, one a line, in "
              "the order they get yarn</label><textarea id=\"pieces\" "
              "name=\"pieces\" rows=\"6\" placeholder=\"e.g. border red = 120 m"
              "\">%s</textarea></p><p><button class=\"main\" type=\"submit\">"
              "Split</button></p></div></form>\n",
              pairs_get(&r->query, "pieces"));
}

static void add_amount(struct text *o, const struct split_plan *p, double m)
{
    html_addf(o, "%.1f m", m);
    if (!isnan(p->m_per_g))
        html_addf(o, " (%.1f g)", m / p->m_per_g);
}

static void add_verdict(struct text *o, const struct split_plan *p)
{
    text_add(o, "<div class=\"say plain\" role=\"status\"><b>");
    text_add(o, p->over_m < 0 ? "Short by " : "It is enough, and over: ");
    add_amount(o, p, fabs(p->over_m));
    text_add(o, "</b>Pieces ");
    add_amount(o, p, p->pieces_m);
    if (p->reserve_m > 0) {
        text_add(o, ", kept back ");
        add_amount(o, p, p->reserve_m);
    }
    text_add(o, " of ");
    add_amount(o, p, p->hank_m);
    if (p->over_m < 0 && p->reserve_m > 0) {
        text_add(o, p->over_without_reserve_m < 0
                        ? "; even with no reserve short by "
                        : "; with no reserve it is enough, over ");
        add_amount(o, p, fabs(p->over_without_reserve_m));
    }
    text_add(o, ".</div>\n");
}

static void add_table(struct text *o, const struct split_plan *p)
{
    const bool loop = !isnan(p->loop_m);

    text_add(o, "<table class=\"pieces\"><thead><tr>"
                "<th scope=\"col\">piece</th>");
    if (loop)
        text_add(o, "<th class=\"num\" scope=\"col\">wanted</th><th "
                    "class=\"num\" scope=\"col\">wraps</th>");
    text_add(o, "<th class=\"num\" scope=\"col\">metres</th><th class=\"num\" "
                "scope=\"col\">grams</th><th "
                "class=\"num\" scope=\"col\">lacks</th></tr></thead><tbody>\n");
    for (size_t i = 0; i < p->count; i++) {
        const struct split_piece *piece = &p->piece[i];

        html_addf(o, "<tr><th scope=\"row\">%s</th>", piece->name);
        if (loop)
            html_addf(o,
                      "<td class=\"num\">%.1f</td><td class=\"num\"><b>%.0f"
                      "</b></td>",
                      piece->want_m, piece->wraps);
        html_addf(o, "<td class=\"num\">%.1f</td><td class=\"num\">", piece->m);
        if (!isnan(piece->g))
            html_addf(o, "%.1f", piece->g);
        text_add(o, "</td><td class=\"num\">");
        if (piece->lack_m > 0)
            html_addf(o, "%.1f m", piece->lack_m);
        text_add(o, "</td></tr>\n");
    }
    text_add(o, "</tbody></table>\n");
    if (p->wraps_less)
        text_add(o, "<p class=\"small\">A wrap less each: with one more the "
                    "hank would not be enough.</p>\n");
}

/* Lines that say something, in place. */
static size_t take_lines(char *words, const char *line[SPLIT_MOST])
{
    char *rest = NULL;
    size_t n = 0;

    for (char *s = strtok_r(words, "\r\n", &rest); s && n < SPLIT_MOST;
         s = strtok_r(NULL, "\r\n", &rest))
        if (s[strspn(s, " \t")])
            line[n++] = s;
    return n;
}

static void add_answer(struct request *r)
{
    const char *pieces = pairs_get(&r->query, "pieces");
    const char **line = mem_new(SPLIT_MOST, sizeof *line);
    char *words = mem_text(pieces ? pieces : "");
    const struct split_words said = {
        .weight = pairs_get(&r->query, "weight"),
        .length = pairs_get(&r->query, "length"),
        .sample = pairs_get(&r->query, "sample"),
        .piece = line,
        .pieces = take_lines(words, line),
        .reserve = pairs_get(&r->query, "reserve"),
        .allowance = pairs_get(&r->query, "allowance"),
        .loop = pairs_get(&r->query, "loop"),
    };
    struct split_plan p;
    struct error why;

    if (split_plan(&said, &p, &why)) {
        add_verdict(&r->out, &p);
        add_table(&r->out, &p);
        split_plan_clear(&p);
    } else {
        html_addf(
            &r->out,
            "<div class=\"say\" role=\"alert\"><b>No answer</b>%s</div>\n",
            why.text);
    }
    free(words);
    free(line);
}

bool split_page(struct request *r, struct error *err)
{
    (void)err;
    page_begin(r, "Split", NULL);
    text_add(&r->out, "<div class=\"head\"><h1>Split a hank</h1><p>Nothing is "
                      "kept of this.</p></div>\n");
    if (r->query.count)
        add_answer(r);
    add_form(r);
    page_end(r);
    return true;
}
