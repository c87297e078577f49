/* A project as a work plan, to hang beside the stove. See paper/paper.h. */
#include "paper/paper.h"

#include <math.h>
#include <string.h>

#include "base/html.h"
#include "base/mem.h"
#include "book/project.h"
#include "colour/name.h"
#include "dye/amount.h"
#include "dye/caution.h"
#include "ink.h"

/* "7.2 g", "120 g"; nothing when it is not known. */
static void add_weight(struct text *out, double g)
{
    if (isnan(g))
        return;
    text_add(out, " <b>");
    amount_add_grams(out, g, g);
    text_add(out, "</b>");
}

static void add_head(const struct project *p, struct text *out)
{
    char begin[24], end[24];

    html_addf(out, "<h2>%s</h2>\n<p>", p->name);
    if (p->tasks && p->task[0].has_begin) {
        moment_words(p->task[0].begins, begin);
        moment_words(p->ends, end);
        html_addf(out, "Begins %s, ends %s.", begin, end);
    }
    if (p->has_ready) {
        moment_words(p->ready, end);
        html_addf(out, p->late ? " Too late for %s." : " Ready by %s.", end);
    }
    html_addf(out, " %s%s%s</p>\n", p->pots ? p->pots : "",
              p->pots ? "; up " : "Up ", p->hours);
}

static void add_wishes(const struct project *p, struct text *out)
{
    text_add(out, "<h3>Colours</h3>\n<table class=\"p-wishes\"><tbody>\n");
    for (size_t i = 0; i < p->wishes; i++) {
        const struct project_wish *w = &p->wish[i];
        const char *name =
            w->expected ? colour_name_nearest(w->lab)->name : "not known";

        html_addf(out,
                  "<tr><th scope=\"row\">%s</th><td>%s%s</td><td>%s</td>"
                  "<td class=\"p-chip\">",
                  w->name, w->skeins ? "skein " : "", w->skeins, w->how);
        ink_swatch(out, w->expected ? &w->lab : NULL, name);
        html_addf(out, "</td><td>%s%s%s</td></tr>\n", name,
                  w->expected ? ", " : "", w->expected ? w->by : NULL);
    }
    text_add(out, "</tbody></table>\n");
}

/* What one materials list says of each, and what is missing. */
static void add_needs(const struct project *p, struct text *out)
{
    if (!p->needs)
        return;
    text_add(out, "<h3>To weigh in all</h3>\n<ul class=\"doses\">\n");
    for (size_t i = 0; i < p->needs; i++) {
        const struct project_need *n = &p->need[i];

        text_add(out, "<li>");
        text_add(out, ink_tick);
        html_addf(out, "%s", n->name);
        add_weight(out, n->g);
        if (n->short_g > 0) {
            text_add(out, ", missing");
            add_weight(out, n->short_g);
        }
        text_add(out, "</li>\n");
    }
    text_add(out, "</ul>\n");
}

static void add_doses(const struct project_task *k, struct text *out)
{
    if (!k->doses && !k->water)
        return;
    text_add(out, "<ul class=\"doses\">");
    for (size_t i = 0; i < k->doses; i++) {
        html_addf(out, "<li>");
        text_add(out, ink_tick);
        html_addf(out, "%s", k->dose[i].name);
        add_weight(out, k->dose[i].g);
        if (!isnan(k->dose[i].pct)) {
            text_add(out, ", ");
            text_add_real(out, k->dose[i].pct, 1);
            text_add(out, " %");
        }
        text_add(out, "</li>");
    }
    if (k->water)
        html_addf(out, "<li>water %s</li>", k->water);
    text_add(out, "</ul>");
}

/* When and how it was really done, below what was planned. */
static void add_done(const struct project_task *k, struct text *out)
{
    if (!k->done)
        return;
    html_addf(out, "<p>Done%s%s", k->done_on ? " on " : "", k->done_on);
    html_addf(out, "%s%s", k->differed ? ", otherwise: " : "", k->differed);
    html_addf(out, "%s%s</p>",
              !k->note      ? ""
              : k->differed ? "; "
                            : ": ",
              k->note);
}

static void add_step(const struct project_task *k, struct text *out)
{
    char begins[24] = "";

    if (k->has_begin)
        moment_words(k->begins, begins);
    text_add(out, "<tr><td>");
    text_add(out, k->done ? "done" : ink_tick);
    html_addf(out,
              "</td><td>%d</td><td class=\"p-when\">%s</td><td><b>%s</b>"
              "%s%s",
              k->number, begins, k->name, k->skeins ? ", skein " : "",
              k->skeins);
    add_doses(k, out);
    add_done(k, out);
    html_addf(out, "</td><td>%s%s%s</td><td>%s</td></tr>\n", k->heat,
              k->heat && k->minutes ? ", " : "", k->minutes, k->vessel);
}

static void add_steps(const struct project *p, struct text *out)
{
    text_add(out, "<h3>Steps</h3>\n<table class=\"p-steps\"><thead><tr><th "
                  "scope=\"col\">done</th><th scope=\"col\">step</th><th "
                  "scope=\"col\">begins</th><th scope=\"col\">what</th><th "
                  "scope=\"col\">heat, time</th><th scope=\"col\">where</th>"
                  "</tr></thead><tbody>\n");
    for (size_t i = 0; i < p->tasks; i++)
        add_step(&p->task[i], out);
    text_add(out, "</tbody></table>\n");
}

bool paper_project(struct book *book, const char *words, enum paper_size size,
                   struct text *out, struct error *err)
{
    struct project p;
    int64_t id;

    if (!project_find(book, words, &id, err) ||
        !project_read(book, id, &p, err))
        return false;
    ink_begin(out, size, "flow", "Work plan");
    add_head(&p, out);
    add_steps(&p, out);
    add_needs(&p, out);
    add_wishes(&p, out);
    ink_lines(out, "p", p.said);
    if (p.caution.len) {
        text_add(out, "<footer>");
        ink_lines(out, "p", text_str(&p.caution));
        html_addf(out, "<p><i>%s</i></p></footer>\n", caution_closing);
    }
    ink_end(out);
    project_clear(&p);
    return true;
}
