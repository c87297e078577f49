/* What to weigh, before the pot is lit; keeps nothing. */
#include "dye/sums.h"

#include <stdlib.h>

#include "base/html.h"
#include "base/mem.h"
#include "form.h"
#include "page.h"
#include "reckon.h"
#include "routes.h"

#define MOST 200 /* things that are said at once */

struct asks {
    const char *name, *label, *hint;
    bool many;
};

static const struct asks pot_asked[] = {
    {"weight", "Dry weight of the fibre", "85 g, 2 1/4 oz, 6 x 20 g", true},
    {"mordant", "Mordant", "alum: 12 %", true},
    {"assist", "Assist", "cream of tartar: 6 %", true},
    {"dyestuff", "Dyestuff", "madder: 2:1, weld: 60 g", true},
    {"water", "Water", "30:1, 30 l per kg, 3 l", false},
    {"pot", "Pot, how far it is filled", "6 l", false},
};

static const struct asks more_asked[] = {
    {"dip", "Dip after dyeing", "iron: 2 %", true},
    {"acid", "Acid", "citric acid: 2 %", true},
    {"alkali", "Alkali", "soda ash: 2 %", true},
    {"exhaust", "Fibre in the next exhaust", "100 g", true},
    {"scale", "Your scale shows", "1 g", false},
    {"stock", "Stock solution", "1 l of 10 %, 250 ml of 2 % from 10 %", true},
    {"unit", "In other units", "1 3/4 oz, 180 F, 3 gallons", true},
};

static size_t read_some(const struct request *r, const struct asks *asks,
                        size_t count, struct sums_said *said, size_t n)
{
    const char *words;

    for (size_t i = 0; i < count; i++)
        for (size_t k = 0; (words = pairs_nth(&r->query, asks[i].name, k)); k++)
            if (parts_said(words) && n < MOST)
                said[n++] = (struct sums_said){asks[i].name, words};
    return n;
}

struct sums *reckon_asked(const struct request *r, bool *more,
                          struct error *why)
{
    struct sums_said *said = mem_new(MOST, sizeof *said);
    struct sums *sums = NULL;
    size_t n = read_some(r, pot_asked, ARRAY_LEN(pot_asked), said, 0);
    size_t all = read_some(r, more_asked, ARRAY_LEN(more_asked), said, n);

    *more = all > n;
    if (all)
        sums = sums_new(said, all, why);
    free(said);
    return sums;
}

static void hide_some(struct request *r, const struct asks *asks, size_t count)
{
    const char *words;

    for (size_t i = 0; i < count; i++)
        for (size_t k = 0; (words = pairs_nth(&r->query, asks[i].name, k)); k++)
            if (parts_said(words))
                html_addf(&r->out,
                          "<input type=\"hidden\" name=\"%s\" value=\"%s\">",
                          asks[i].name, words);
}

void reckon_hide(struct request *r)
{
    hide_some(r, pot_asked, ARRAY_LEN(pot_asked));
    hide_some(r, more_asked, ARRAY_LEN(more_asked));
}

static void add_fields(struct request *r, const struct asks *asks, size_t count,
                       const struct error *why)
{
    for (size_t i = 0; i < count; i++) {
        struct question q = {asks[i].name, asks[i].label, asks[i].hint, 0,
                             asks[i].many};
        form_question(r, &q, why);
    }
}

static void add_line(struct text *o, const struct sums_line *line)
{
    html_addf(o, "<dt>%s</dt><dd><b>%s</b><ul class=\"small\">",
              text_str(&line->label), text_str(&line->result));
    form_lines(o, "li", text_str(&line->notes));
    text_add(o, "</ul></dd>\n");
}

static void add_answer(struct text *o, const struct sums *sums)
{
    const struct sums_line *line;
    struct text cautions = {0};

    text_add(o, "<section class=\"read\" role=\"status\"><h2>To weigh</h2>\n"
                "<dl class=\"sums\">\n");
    for (size_t i = 0; (line = sums_line_at(sums, i)); i++)
        if (line->label.len)
            add_line(o, line);
    text_add(o, "</dl>\n");
    sums_cautions(sums, &cautions);
    form_caution(o, text_str(&cautions));
    text_add(o, "</section>\n");
    text_clear(&cautions);
}

bool reckon_page(struct request *r, struct error *err)
{
    struct error why = {.kind = ERR_NONE};
    bool more;
    struct sums *sums = reckon_asked(r, &more, &why);

    (void)err;
    page_begin(r, "Reckon", "Reckon");
    text_add(
        &r->out,
        "<div class=\"logtop\"><h1>Reckon</h1><p class=\"quiet\">What to "
        "weigh, before the pot is lit. Every field may stay empty; nothing "
        "is kept. A percentage or a ratio gives grams, grams give the "
        "percentage, and a mordant without an amount its usual "
        "range.</p></div>\n<form class=\"log one\" action=\"/reckon\" "
        "method=\"get\">\n");
    if (sums)
        add_answer(&r->out, sums);
    else if (why.kind)
        form_why(r, &why);
    text_add(&r->out, "<fieldset class=\"shared\"><legend><h2>The pot</h2>"
                      "</legend>\n");
    add_fields(r, pot_asked, ARRAY_LEN(pot_asked), &why);
    html_addf(&r->out,
              "<details%s><summary>Dips, exhausts, stock "
              "solutions, other units</summary>\n",
              more ? " open" : "");
    add_fields(r, more_asked, ARRAY_LEN(more_asked), &why);
    text_add(&r->out, "</details>\n</fieldset>\n<div class=\"stick\"><button "
                      "class=\"main\" type=\"submit\">Reckon</button> ");
    if (sums)
        text_add(&r->out, "<button type=\"submit\" formaction=\"/print/weigh\">"
                          "Print it</button>");
    text_add(&r->out, "</div>\n</form>\n");
    page_end(r);
    sums_free(sums);
    return true;
}
