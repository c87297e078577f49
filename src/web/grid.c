/* Mean colours by two things, one cell pinned. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/html.h"
#include "base/mem.h"
#include "book/picture.h"
#include "narrow.h"
#include "page.h"
#include "routes.h"

#define WHICH_MAX 40 /* bytes of skein numbers in a cell */

static bool read_axis(struct request *r, const char *name, enum grid_axis *out,
                      struct error *err)
{
    const char *words = pairs_get(&r->query, name);

    return !words || grid_axis_find(words, out) ||
           error_set(err, ERR_INPUT, "there are no %s by \"%s\"", name, words);
}

static void add_axis(struct text *o, const char *name, const char *label,
                     enum grid_axis now)
{
    html_addf(o,
              "<p><label for=\"%s\">%s</label><select id=\"%s\" "
              "name=\"%s\">",
              name, label, name, name);
    for (int i = 0; i < GRID_AXES; i++) {
        html_addf(o, "<option value=\"%s\"", grid_axis_names[i]);
        text_add(o, i == (int)now ? " selected>" : ">");
        html_addf(o, "%s</option>", grid_axis_names[i]);
    }
    text_add(o, "</select></p>\n");
}

static void add_form(struct request *r, const struct grid_request *q)
{
    text_add(&r->out, "<form action=\"/grid\" method=\"get\"><div "
                      "class=\"gridset\">\n");
    add_axis(&r->out, "rows", "Down", q->rows);
    add_axis(&r->out, "columns", "Across", q->columns);
    text_add(&r->out, "<p><button type=\"submit\">Show</button></p></div>\n");
    narrow_fields(r);
    text_add(&r->out, "</form>\n");
    narrow_chips(r);
}

/* This grid with another cell pinned. */
static void pin_address(const struct request *r, const char *row,
                        const char *column, struct text *to)
{
    struct text pin = {0};

    text_add(to, "/grid?pin=");
    text_addf(&pin, "%s,%s", row, column);
    html_url(to, text_str(&pin));
    for (size_t i = 0; i < r->query.count; i++) {
        const struct pair *p = &r->query.pair[i];
        if (!strcmp(p->name, "pin") || !*p->value)
            continue;
        text_add(to, "&");
        html_url(to, p->name);
        text_add(to, "=");
        html_url(to, p->value);
    }
    text_clear(&pin);
}

/* "skeins 1, 2, 3"; of many the first ones. */
static void add_which(struct text *o, const struct grid_place *p)
{
    char *first;
    size_t n = strlen(p->labels);

    if (n > WHICH_MAX)
        for (n = WHICH_MAX; n && p->labels[n] != ',';)
            n--;
    first = mem_text_n(p->labels, n);
    html_addf(o, "skein%s %s", p->measured == 1 ? "" : "s", first);
    if (p->labels[n])
        html_addf(o, " \xE2\x80\xA6 %zu in all", p->measured);
    free(first);
}

static void add_cell(struct request *r, const struct grid *g, size_t row,
                     size_t column)
{
    const struct grid_place *p = &g->place[row * g->columns + column];
    bool pinned = g->has_pin && g->pin == row * g->columns + column;
    const char *state = grid_state(g, row * g->columns + column);
    struct text *o = &r->out, to = {0};
    const struct lab *lab = &p->mean.lab;

    if (state) {
        html_addf(o, "<td class=\"%s\">",
                  p->skeins ? "quiet"
                  : *state  ? "never"
                            : "");
        html_addf(o, "<p>%s</p></td>", state);
        return;
    }
    pin_address(r, g->row[row], g->column[column], &to);
    text_add(o, pinned ? "<td class=\"pin\">" : "<td>");
    html_addf(o, "<a href=\"%s\" title=\"Pin this cell\">", text_str(&to));
    page_swatch_cell(o, lab, colour_name_nearest(*lab)->name);
    html_addf(o, "<p>%s", colour_name_nearest(*lab)->name);
    if (g->has_pin && !pinned)
        html_addf(o, " <b class=\"num\">%.1f</b> %s", p->pinned.de00,
                  verdict_short(p->pinned.verdict));
    text_add(o, "</p></a><p class=\"quiet\">");
    add_which(o, p);
    if (p->measured > 1)
        html_addf(o, ", spread %.1f", p->spread);
    text_add(o, "</p></td>");
    text_clear(&to);
}

static void add_table(struct request *r, const struct grid *g)
{
    struct text *o = &r->out;

    if (g->columns > 2)
        text_add(o, "<p class=\"small quiet onward\">It goes on to the right: "
                    "push it.</p>\n");
    text_add(o, "<div class=\"gridwrap\" tabindex=\"0\" role=\"region\" "
                "aria-label=\"Grid\"><table class=\"cells\"><thead><tr><td>"
                "</td>");
    for (size_t i = 0; i < g->columns; i++)
        html_addf(o, "<th scope=\"col\">%s</th>", g->column[i]);
    text_add(o, "</tr></thead>\n<tbody>");
    for (size_t i = 0; i < g->rows; i++) {
        html_addf(o, "<tr><th scope=\"row\">%s</th>", g->row[i]);
        for (size_t k = 0; k < g->columns; k++)
            add_cell(r, g, i, k);
        text_add(o, "</tr>\n");
    }
    text_add(o, "</tbody></table></div>\n");
}

static void add_foot(struct text *o, const struct grid_request *q,
                     const struct grid *g)
{
    const char *bands = grid_axis_words(q->rows, q->columns);

    text_add(o, "<p class=\"small quiet\">The mean of each cell; D50, 2&deg;; "
                "spread: mean &Delta;E00 from the mean. Choose a cell to pin "
                "it, and the others say how far they are from it.");
    if (g->exhausts || g->dipped || g->over_dyed)
        html_addf(o,
                  " Among the skeins are %zu from exhausts, %zu dipped later, "
                  "%zu dyed over.",
                  g->exhausts, g->dipped, g->over_dyed);
    if (*bands)
        html_addf(o, " %s.", bands);
    text_add(o, "</p>\n");
    narrow_left_out(o, g->left_out, q->filter.wet);
}

bool grid_page(struct request *r, struct error *err)
{
    struct grid_request q = {.rows = GRID_DYESTUFF,
                             .columns = GRID_MORDANT,
                             .labels = true,
                             .tolerance = 2};
    struct grid g;

    q.pin = pairs_get(&r->query, "pin");
    if (!narrow_read(r, &q.filter, err) ||
        !read_axis(r, "rows", &q.rows, err) ||
        !read_axis(r, "columns", &q.columns, err) ||
        !ask_grid(r->book, &q, &g, err))
        return false;
    if (narrow_picture(r, "grid")) {
        picture_of_grid(&g, q.rows, q.columns, &r->out);
        grid_clear(&g);
        return true;
    }
    page_begin(r, "Grid", "Grid");
    html_addf(&r->out,
              "<div class=\"head\"><h1>Grid</h1><p>%s down, %s "
              "across</p></div>\n",
              grid_axis_names[q.rows], grid_axis_names[q.columns]);
    add_form(r, &q);
    add_table(r, &g);
    add_foot(&r->out, &q, &g);
    narrow_picture_link(r);
    page_end(r);
    grid_clear(&g);
    return true;
}
