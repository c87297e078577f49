/* Where the skeins that were found lie, and a part of the map to search. */
#include "find_map.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/html.h"
#include "base/mem.h"
#include "book/dots.h"
#include "book/picture.h"
#include "narrow.h"
#include "page.h"

#define MAP_DOTS 2000

static const struct lab *colour_of(const struct find_row *row)
{
    return row->skein.lack == ASK_HAS_COLOUR ? &row->skein.reading.colour.lab
                                             : NULL;
}

/* 4 px a unit; a* from -50 to 80, b* from -40 to 100; L* at the right. */
static double map_x(double a)
{
    return 4 * (fmin(80, fmax(-50, a)) + 50);
}

static double map_y(double b)
{
    return 4 * (100 - fmin(100, fmax(-40, b)));
}

static double map_L(double L)
{
    return 5.6 * (100 - L);
}

/* ---- what lies on it -------------------------------------------------------
 */

static void add_axes(struct text *o)
{
    text_add(o, "<g class=\"grid\">");
    for (int c = 20; c <= 80; c += 20)
        html_addf(o, "<circle cx=\"200\" cy=\"400\" r=\"%d\"/>", 4 * c);
    text_add(o, "<path class=\"ax\" d=\"M0 400H520M200 0V560M560 0V560\"/>"
                "</g><g class=\"lab\">");
    for (int c = 20; c <= 80; c += 20)
        html_addf(o, "<text x=\"205\" y=\"%d\">%d</text>", 404 - 4 * c, c);
    for (int L = 0; L <= 100; L += 20)
        html_addf(o, "<text x=\"550\" y=\"%.0f\" text-anchor=\"end\">%d</text>",
                  map_L(L) + 4, L);
    text_add(o, "<text x=\"208\" y=\"10\" class=\"dir\">b* yellower &uarr;"
                "</text><text x=\"520\" y=\"420\" text-anchor=\"end\" "
                "class=\"dir\">a* redder &rarr;</text><text x=\"0\" y=\"420\" "
                "class=\"dir\">&larr; greener</text><text x=\"550\" y=\"26\" "
                "text-anchor=\"end\" class=\"dir\">L* lighter &uarr;</text>"
                "</g>\n");
}

static void add_dot(struct text *o, struct lab c, double r)
{
    html_addf(o, "<circle cx=\"%.1f\" cy=\"%.1f\" r=\"%.1f\" fill=\"",
              map_x(c.a), map_y(c.b), r);
    page_colour(o, c);
    text_add(o, "\"/>");
}

/* The first results, those at one side of the map from top to bottom. */
struct hit {
    const struct ask_skein *skein;
    double y; /* of its number: moved down until it is clear of the others */
};

static int from_top(const void *a, const void *b)
{
    const struct hit *x = a, *y = b;

    return (x->y > y->y) - (x->y < y->y);
}

static void add_hits(struct text *o, struct hit *hit, size_t n, bool right)
{
    double clear = 0, edge = right ? 330 : 90;

    qsort(hit, n, sizeof *hit, from_top);
    for (size_t i = 0; i < n; i++) {
        struct lab c = hit[i].skein->reading.colour.lab;
        hit[i].y = clear = fmax(hit[i].y, clear + 22);
        html_addf(o, "<path class=\"lead\" d=\"M%.1f %.1fL%.0f %.1f\"/>",
                  map_x(c.a), map_y(c.b), edge, hit[i].y);
        add_dot(o, c, 9);
        html_addf(o,
                  "<text x=\"%.0f\" y=\"%.1f\" text-anchor=\"%s\">%s</text>"
                  "<rect x=\"560\" y=\"%.1f\" width=\"18\" height=\"8\" "
                  "fill=\"",
                  edge + (right ? 5 : -5), hit[i].y + 5,
                  right ? "start" : "end", hit[i].skein->label, map_L(c.L) - 4);
        page_colour(o, c);
        text_add(o, "\"/>");
    }
}

static void add_numbered(struct text *o, const struct find_answer *a)
{
    struct hit side[2][8];
    size_t n[2] = {0, 0};

    for (size_t i = 0; i < a->count && i < 8; i++) {
        const struct ask_skein *s = &a->row[i].skein;
        bool right = i % 2;
        if (colour_of(&a->row[i]))
            side[right][n[right]++] =
                (struct hit){s, map_y(s->reading.colour.lab.b)};
    }
    add_hits(o, side[0], n[0], false);
    add_hits(o, side[1], n[1], true);
}

/* What was asked for: a cross, and its lightness. */
static void add_target(struct text *o, struct lab c)
{
    html_addf(o,
              "<g class=\"aim\"><path d=\"M%.1f %.1fh24m-12-12v24\"/>"
              "<path d=\"M554 %.1fh30\"/><text x=\"%.1f\" y=\"%.1f\">asked "
              "for</text></g>\n",
              map_x(c.a) - 12, map_y(c.b), map_L(c.L), map_x(c.a) + 14,
              map_y(c.b) + 5);
}

/* ---- where to search -------------------------------------------------------
 */

#define CELL 20 /* of a* and b* */
#define ACROSS 8
#define DOWN 8

/* How many of the dots lie in each cell, from a* -60 and b* -60 up. */
static void count_cells(const struct dots *all, size_t n[DOWN][ACROSS])
{
    for (size_t i = 0; i < all->count; i++) {
        const struct lab *c = &all->lab[i];
        const double x = floor(c->a / CELL) + 3, y = floor(c->b / CELL) + 3;
        if (x >= 0 && x < ACROSS && y >= 0 && y < DOWN)
            n[(size_t)y][(size_t)x]++;
    }
}

/* A link for each part of the map that has skeins. */
static void add_cells(struct request *r, const struct dots *all)
{
    size_t n[DOWN][ACROSS] = {{0}};
    struct text to = {0};
    struct text *o = &r->out;

    count_cells(all, n);
    narrow_address(r, "area", &to);
    text_add(o, "<g class=\"cells\">");
    for (int y = 0; y < DOWN; y++)
        for (int x = 0; x < ACROSS; x++) {
            const int a = CELL * (x - 3), b = CELL * (y - 3);
            const double left = map_x(a), top = map_y(b + CELL);
            if (!n[y][x])
                continue;
            html_addf(o,
                      "<a href=\"%s%sarea=%d..%d,%d..%d\" aria-label=\"%zu "
                      "skein%s of a* %d to %d, b* %d to %d\"><rect x=\"%.0f\" "
                      "y=\"%.0f\" width=\"%.0f\" height=\"%.0f\"/></a>",
                      text_str(&to), strchr(text_str(&to), '?') ? "&" : "?", a,
                      a + CELL, b, b + CELL, n[y][x], n[y][x] == 1 ? "" : "s",
                      a, a + CELL, b, b + CELL, left, top,
                      map_x(a + CELL) - left, map_y(b) - top);
        }
    text_add(o, "</g>\n");
    text_clear(&to);
}

static void add_area(struct text *o, const struct find_area *at)
{
    const double left = map_x(at->a_low), top = map_y(at->b_high);

    html_addf(o,
              "<rect class=\"area\" x=\"%.1f\" y=\"%.1f\" width=\"%.1f\" "
              "height=\"%.1f\"/>",
              left, top, map_x(at->a_high) - left, map_y(at->b_low) - top);
}

/* What the picture shows, for those who cannot see it. */
static void map_words(const struct find_answer *a, size_t dots,
                      struct text *out)
{
    size_t n = 0;

    text_addf(out, "Map of a* and b* with lightness at the right; %zu dots",
              dots);
    for (size_t i = 0; i < a->count && n < 3; i++) {
        const struct lab *c = colour_of(&a->row[i]);
        if (c && n++ < 3)
            text_addf(out, "; skein %s at L* %.0f, a* %.0f, b* %.0f",
                      a->row[i].skein.label, c->L, text_round(c->a, 0) + 0.0,
                      text_round(c->b, 0) + 0.0);
    }
}

static void add_intro(struct request *r, const struct find_request *f)
{
    struct text to = {0};

    text_add(&r->out, "<h2>Where they lie</h2><p class=\"quiet small\">Every "
                      "measured skein is a dot; numbers are the first results. "
                      "Choose a part of the map to see what lies there"
                      "<span data-script hidden>, or draw a frame with the "
                      "mouse</span>.</p>\n");
    if (!f->has_area)
        return;
    narrow_address(r, "area", &to);
    html_addf(&r->out,
              "<p class=\"more\"><a href=\"%s\">Anywhere on the map again</a>"
              "</p>\n",
              text_str(&to));
    text_clear(&to);
}

bool find_map(struct request *r, const struct find_request *f,
              const struct find_answer *a, struct error *err)
{
    struct dots all;
    struct text *o = &r->out, words = {0}, to = {0};

    if (!dots_of(r->book, &f->filter, MAP_DOTS, &all, err))
        return false;
    map_words(a, all.count, &words);
    narrow_address(r, "area", &to);
    text_add(o, "<aside aria-label=\"Map\">");
    add_intro(r, f);
    html_addf(o,
              "<svg class=\"map\" viewBox=\"-20 -14 625 590\" "
              "role=\"group\" aria-label=\"%s\" data-map=\"%s\">\n",
              text_str(&words), text_str(&to));
    add_axes(o);
    add_cells(r, &all);
    text_add(o, "<g class=\"all\">");
    for (size_t i = 0; i < all.count; i++)
        add_dot(o, all.lab[i], 4.5);
    text_add(o, "</g>\n<g class=\"hit\">");
    add_numbered(o, a);
    if (f->has_target)
        add_target(o, f->target);
    text_add(o, "</g>");
    if (f->has_area)
        add_area(o, &f->area);
    text_add(o, "</svg>\n<p class=\"small quiet\">CIELAB, D50, 2&deg;. "
                "Rings are chroma 20, 40, 60, 80.</p></aside>\n");
    text_clear(&words);
    text_clear(&to);
    dots_free(&all);
    return true;
}

bool find_map_alone(struct request *r, const struct find_request *f,
                    const struct find_answer *a, struct error *err)
{
    struct ask_skeins all;

    if (!ask_skeins(r->book, &f->filter, MAP_DOTS, &all, err))
        return false;
    picture_of_find(a, &all, f->has_target ? &f->target : NULL, &r->out);
    ask_skeins_free(&all);
    return true;
}
