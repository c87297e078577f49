/* Papers: shown as they will be printed, which the browser does. */
#include "paper/paper.h"

#include <string.h>

#include "base/html.h"
#include "base/mem.h"
#include "page.h"
#include "reckon.h"
#include "routes.h"

static const struct {
    const char *name, *title, *what;
    const char *label, *hint; /* of the field that says which; NULL: none */
    bool (*make)(struct book *book, const char *which, enum paper_size size,
                 struct text *out, struct error *err); /* NULL: the reckoning */
} papers[] = {
    {"tags", "Tags", "to tie on before the pot, a number each",
     "Numbers or skeins", "1-48", paper_tags},
    {"weigh", "To weigh out", "what was reckoned, with boxes to tick", NULL,
     NULL, NULL},
    {"cards", "Sample cards", "to give away, with room for the yarn", "Skeins",
     "6-8, 12", paper_cards},
    {"bath", "A bath", "what went in, to tick off; its rounds and skeins",
     "Bath", "14", paper_bath},
    {"skein", "A skein", "its colour and its life", "Skein", "137",
     paper_skein},
    {"plan", "Work plan", "the steps of a project in time, what to weigh",
     "Project", "the newest", paper_project},
    {"photo", "The picture", "how to take it, to hang where it is taken", NULL,
     NULL, paper_photo},
};

static bool make(struct request *r, size_t paper, enum paper_size size,
                 struct text *out, struct error *err)
{
    struct sums *sums;
    bool more;

    if (papers[paper].make)
        return papers[paper].make(r->book, pairs_get(&r->query, "which"), size,
                                  out, err);
    sums = reckon_asked(r, &more, err);
    if (!sums) {
        if (err->kind == ERR_NONE)
            error_set(err, ERR_INPUT, "reckon first, then print it from there");
        return false;
    }
    paper_weigh(sums, size, out);
    sums_free(sums);
    return true;
}

static void add_form(struct request *r, size_t paper, enum paper_size size)
{
    struct text *o = &r->out;

    html_addf(o, "<form class=\"gridset\" action=\"/print/%s\">\n",
              papers[paper].name);
    if (papers[paper].label)
        html_addf(o,
                  "<p><label for=\"which\">%s</label><input class=\"long\" "
                  "id=\"which\" name=\"which\" value=\"%s\" placeholder=\"e.g. "
                  "%s\"></p>\n",
                  papers[paper].label, pairs_get(&r->query, "which"),
                  papers[paper].hint);
    if (!papers[paper].make)
        reckon_hide(r);
    html_addf(o,
              "<p><label for=\"paper\">Paper</label><select id=\"paper\" "
              "name=\"paper\"><option value=\"a4\">A4</option><option "
              "value=\"letter\"%s>Letter</option></select></p>\n"
              "<p><button type=\"submit\">Show</button></p>\n"
              "<p><button class=\"main\" type=\"button\" data-print "
              "hidden>Print</button></p></form>\n",
              size == PAPER_LETTER ? " selected" : "");
}

bool print_page(struct request *r, struct error *err)
{
    const char *name = request_part(r, "/print/");
    enum paper_size size = PAPER_A4;
    struct text sheets = {0};
    struct error why = {0};
    size_t i = 0;
    bool ok;

    while (i < ARRAY_LEN(papers) && strcmp(papers[i].name, name))
        i++;
    if (i == ARRAY_LEN(papers))
        return error_set(err, ERR_MISSING, "there is no such paper");
    ok = paper_size_read(pairs_get(&r->query, "paper"), &size, &why) &&
         make(r, i, size, &sheets, &why);
    if (!ok)
        text_reset(&sheets);
    page_begin(r, papers[i].title, NULL);
    page_style(r, "sheets.css");
    if (size == PAPER_LETTER)
        page_style(r, "letter.css");
    html_addf(&r->out,
              "<div class=\"head screen\"><h1>%s</h1><p>%s. Your browser "
              "prints it, or saves a PDF.</p></div>\n",
              papers[i].title, papers[i].what);
    add_form(r, i, size);
    if (!ok)
        html_addf(&r->out,
                  "<div class=\"say screen\" role=\"alert\"><b>Nothing to "
                  "print</b>%s</div>\n",
                  why.text);
    text_add(&r->out, "<div class=\"desk\">\n");
    text_add_n(&r->out, text_str(&sheets), sheets.len);
    text_add(&r->out, "</div>\n");
    page_end(r);
    text_clear(&sheets);
    return true;
}

bool print_list_page(struct request *r, struct error *err)
{
    (void)err;
    page_begin(r, "Print", NULL);
    text_add(&r->out, "<div class=\"head\"><h1>Print</h1></div>\n"
                      "<ul class=\"ways whole\">\n");
    for (size_t i = 0; i < ARRAY_LEN(papers); i++)
        html_addf(&r->out,
                  "<li><a href=\"%s%s\">%s</a> <span class=\"quiet\">%s"
                  "</span></li>\n",
                  papers[i].make ? "/print/" : "/",
                  papers[i].make ? papers[i].name : "reckon", papers[i].title,
                  papers[i].what);
    text_add(&r->out, "</ul>\n");
    page_end(r);
    return true;
}
