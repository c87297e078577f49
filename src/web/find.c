/* Find: by a name, a colour or another skein; and where the results lie. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/html.h"
#include "base/mem.h"
#include "book/picture.h"
#include "book/record.h"
#include "narrow.h"
#include "page.h"
#include "routes.h"

#define ROWS 40
#define MAP_DOTS 2000
#define STRIP 10 /* results that touch above the list */

/* ---- what is asked ---------------------------------------------------------
 */

static bool read_colour(const char *words, struct lab *out, struct error *err)
{
    const char *hex = words + (*words == '#');
    double v[3];

    if (text_reals(words, v, 3) && v[0] >= 0 && v[0] <= 110 &&
        fabs(v[1]) <= 200 && fabs(v[2]) <= 200) {
        *out = (struct lab){v[0], v[1], v[2]};
        return true;
    }
    if (strlen(hex) == 6 && strspn(hex, "0123456789abcdefABCDEF") == 6) {
        unsigned long c = strtoul(hex, NULL, 16);
        *out = lab_from_srgb8((struct srgb8){(unsigned char)(c >> 16),
                                             (unsigned char)(c >> 8 & 0xff),
                                             (unsigned char)(c & 0xff)});
        return true;
    }
    return error_set(err, ERR_INPUT,
                     "\"%s\" is not a colour: write L,a,b or six digits such "
                     "as #6b6b2e",
                     words);
}

static bool read_request(struct request *r, struct find_request *f,
                         struct error *err)
{
    const char *like = pairs_get(&r->query, "like");
    const char *colour = pairs_get(&r->query, "colour");

    *f = (struct find_request){.tolerance = 2, .limit = ROWS};
    f->words = pairs_get(&r->query, "q");
    f->has_target = colour != NULL;
    return narrow_read(r, &f->filter, err) &&
           (!like || record_find(r->book, NOUN_SKEIN, like, &f->like, err)) &&
           (!colour || read_colour(colour, &f->target, err));
}

static void add_form(struct request *r)
{
    html_addf(&r->out,
              "<form class=\"ask\" action=\"/find\" method=\"get\" "
              "role=\"search\"><div><label class=\"pre\" for=\"q\">What gave "
              "me</label><input id=\"q\" name=\"q\" value=\"%s\" "
              "placeholder=\"olive\" autocomplete=\"off\"><button "
              "class=\"main\" type=\"submit\">Find</button></div>\n"
              "<p class=\"or\"><label for=\"like\">or near skein</label><input "
              "id=\"like\" name=\"like\" value=\"%s\" size=\"6\"> <label "
              "for=\"colour\">or a colour</label><input id=\"colour\" "
              "name=\"colour\" value=\"%s\" size=\"14\" placeholder=\"L,a,b\" "
              "autocomplete=\"off\"></p>\n",
              pairs_get(&r->query, "q"), pairs_get(&r->query, "like"),
              pairs_get(&r->query, "colour"));
    narrow_fields(r);
    text_add(&r->out, "</form>\n");
    narrow_chips(r);
}

/* ---- the list --------------------------------------------------------------
 */

static const struct lab *colour_of(const struct find_row *row)
{
    return row->skein.lack == ASK_HAS_COLOUR ? &row->skein.reading.colour.lab
                                             : NULL;
}

static void add_strip(struct text *o, const struct find_answer *a)
{
    size_t n = 0;

    while (n < a->count && n < STRIP && colour_of(&a->row[n]))
        n++;
    if (n < 2)
        return;
    html_addf(o,
              "<div class=\"row8\"><svg viewBox=\"0 0 %zu 60\" "
              "preserveAspectRatio=\"none\" shape-rendering=\"crispEdges\" "
              "role=\"img\" aria-label=\"The first results touching, in the "
              "same order\">",
              n * 100);
    for (size_t i = 0; i < n; i++) {
        html_addf(o, "<rect x=\"%zu\" width=\"101\" height=\"60\" fill=\"",
                  i * 100);
        page_colour(o, *colour_of(&a->row[i]), NULL);
        text_add(o, "\"/>");
    }
    text_add(o, "</svg><ol>");
    for (size_t i = 0; i < n; i++)
        html_addf(o, "<li>%s</li>", a->row[i].skein.label);
    text_add(o, "</ol></div>\n");
}

static void add_row(struct text *o, const struct find_row *row, bool tied,
                    bool like, double top)
{
    struct text recipe = {0}, word = {0};
    const struct lab *lab = colour_of(row);

    ask_own_word(&row->skein, &word);
    ask_recipe_words(&row->skein, &recipe);
    text_add(o, tied ? "<li class=\"tie3\">" : "<li>");
    html_addf(o, "<a class=\"hs\" href=\"/skein/%-s\">", row->skein.label);
    page_hank(o, HANK_SMALL, lab);
    html_addf(o, "<span class=\"tag\">%s</span></a><div><h3>%s</h3><p>%s%s",
              row->skein.label,
              row->name ? row->name->name
                        : ask_lack_words(row->skein.lack, false),
              text_str(&recipe), row->skein.own_word ? ", " : "");
    if (row->skein.own_word)
        html_addf(o, "<span class=\"own\">%s</span>", text_str(&word));
    text_add(o, "</p></div>");
    if (lab && !isnan(row->de00)) {
        html_addf(o, "<p class=\"num d\"><b>%.1f</b> <span class=\"quiet\">%s",
                  row->de00,
                  like ? verdict_short(row->compared.verdict) : "at most ");
        if (!like)
            html_addf(o, "%.1f", row->at_most);
        text_add(o, "</span></p>");
        narrow_bar(o, row->de00, fmax(0, 2 * row->de00 - row->at_most),
                   row->at_most, top);
    }
    text_add(o, "</li>\n");
    text_clear(&word);
    text_clear(&recipe);
}

static void add_title(struct text *o, const struct find_request *f,
                      const struct find_answer *a, const char *with)
{
    html_addf(o, "<h2 id=\"h-r\">%zu skein%s", a->found,
              a->found == 1 ? "" : "s");
    if (with)
        html_addf(o, " with %s", with);
    else if (f->words)
        html_addf(o, " for %s", f->words);
    text_add(o, "</h2>\n<p class=\"quiet\">");
    if (f->words && !a->found)
        text_add(o, "No colour name has these words, no tag, no dyer's own "
                    "word for a colour and no note, and nothing in the "
                    "cupboard is called so. A colour is brown, olive, dark "
                    "reddish orange ...");
    if (a->has_like)
        html_addf(o, "Nearest to skein %s first. ", a->like.label);
    else if (a->ranked)
        text_add(o, "Nearest first: &Delta;E00, and what it is at most, "
                    "right about 95 times in 100. ");
    if (a->tied)
        text_add(o, "The barred ones cannot be told apart: lay them "
                    "together.");
    text_add(o, "</p>\n");
}

static void add_print(struct text *o, const struct find_answer *a,
                      const char *paper, const char *words)
{
    html_addf(o, "<p class=\"more\"><a href=\"/print/%s?which=", paper);
    for (size_t i = 0; i < a->count; i++)
        html_addf(o, "%s%-s", i ? "," : "", a->row[i].skein.label);
    html_addf(o, "\">%s</a></p>\n", words);
}

static void add_list(struct request *r, const struct find_request *f,
                     const struct find_answer *a, const char *with)
{
    struct text *o = &r->out;
    double top = 1;

    for (size_t i = 0; i < a->count; i++)
        if (!isnan(a->row[i].de00))
            top = fmax(top, fmin(60, a->row[i].at_most));
    text_add(o, "<section aria-labelledby=\"h-r\">");
    add_title(o, f, a, with);
    add_strip(o, a);
    text_add(o, "<ol class=\"hits\">\n");
    for (size_t i = 0; i < a->count; i++)
        add_row(o, &a->row[i], i < a->tied, a->has_like, top);
    text_add(o, "</ol>\n");
    if (a->count < a->found)
        html_addf(o, "<p class=\"small quiet\">%zu more%s.</p>\n",
                  a->found - a->count, a->ranked ? ", farther off" : "");
    narrow_left_out(o, a->left_out, f->filter.wet);
    if (f->words && a->ranked) {
        text_add(o, "<p class=\"more\"><a href=\"/match?to=");
        html_url(o, f->words);
        text_add(o, "\">How to come near it</a></p>\n");
    }
    if (a->count) {
        add_print(o, a, "tags", "Print their tags");
        add_print(o, a, "cards", "Sample cards of them");
    }
    if (a->count > 1)
        html_addf(o,
                  "<p class=\"more\"><a href=\"/compare?a=%s&amp;b=%s\">Lay "
                  "the first two side by side</a></p>\n",
                  a->row[0].skein.label, a->row[1].skein.label);
    text_add(o, "</section>\n");
}

/* ---- the map ---------------------------------------------------------------
 */

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
                "class=\"dir\">&larr; greener</text><text x=\"590\" y=\"10\" "
                "text-anchor=\"end\" class=\"dir\">L* lighter &uarr;</text>"
                "</g>\n");
}

static void add_dot(struct text *o, struct lab c, double r)
{
    html_addf(o, "<circle cx=\"%.1f\" cy=\"%.1f\" r=\"%.1f\" fill=\"",
              map_x(c.a), map_y(c.b), r);
    page_colour(o, c, NULL);
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
        page_colour(o, c, NULL);
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

static bool add_map(struct request *r, const struct find_request *f,
                    const struct find_answer *a, struct error *err)
{
    struct ask_skeins all;
    struct text *o = &r->out;

    if (!ask_skeins(r->book, &f->filter, MAP_DOTS, &all, err))
        return false;
    text_add(o, "<aside aria-label=\"Map\"><h2>Where they lie</h2><p "
                "class=\"quiet small\">Every measured skein is a dot; numbers "
                "are the first results.</p>\n<svg class=\"map\" viewBox=\"-20 "
                "-14 625 590\" role=\"img\" aria-label=\"Map of a* and b*, "
                "with lightness at the right; the list says the same in "
                "numbers\">\n");
    add_axes(o);
    text_add(o, "<g class=\"all\">");
    for (size_t i = 0; i < all.count; i++)
        if (all.skein[i].lack == ASK_HAS_COLOUR)
            add_dot(o, all.skein[i].reading.colour.lab, 4.5);
    text_add(o, "</g>\n<g class=\"hit\">");
    add_numbered(o, a);
    text_add(o, "</g></svg>\n<p class=\"small quiet\">CIELAB, D50, 2&deg;. "
                "Rings are chroma 20, 40, 60, 80.</p></aside>\n");
    ask_skeins_free(&all);
    return true;
}

/* The material of that name, or the only one whose name has it in it; *label is
 * owned, NULL when there is none. */
static bool find_material(struct request *r, const char *words, char **label,
                          struct error *err)
{
    struct error none;
    struct text t = {0};
    int64_t *ids = NULL, id;
    size_t n = 0, like = 0;
    bool ok = true;

    *label = NULL;
    if (record_find(r->book, NOUN_MATERIAL, words, &id, &none)) {
        ok = record_label(r->book, NOUN_MATERIAL, id, &t, err);
        *label = text_take(&t);
        return ok;
    }
    ok = record_ids(r->book, NOUN_MATERIAL, false, &ids, &n, err);
    for (size_t i = 0; ok && i < n; i++) {
        ok = record_label(r->book, NOUN_MATERIAL, ids[i], &t, err);
        if (text_contains(text_str(&t), words) && !like++)
            *label = text_take(&t);
        text_clear(&t);
    }
    free(ids);
    if (like > 1) {
        free(*label);
        *label = NULL;
    }
    return ok;
}

/* Words that gave nothing may stand in notes. */
static bool find_said(struct request *r, struct find_request *f,
                      struct find_answer *a, char **with, struct error *err)
{
    struct find_request q = *f;
    struct find_answer said;
    struct text t = {0};
    struct error none;

    q.words = NULL;
    if (!ask_filter_read(r->book, &q.filter, "text", f->words, &none))
        return true; /* nothing to look for */
    if (!ask_find(r->book, &q, &said, err))
        return false;
    if (said.found) {
        find_answer_clear(a);
        *a = said;
        text_addf(&t, "a note that says %s", f->words);
        *with = text_take(&t);
        *f = q;
    } else {
        find_answer_clear(&said);
    }
    return true;
}

/* Words that gave nothing may be what a skein was dyed, mordanted or dipped
 * with: then those. *with is how the book calls it; owned. */
static bool find_with(struct request *r, struct find_request *f,
                      struct find_answer *a, char **with, struct error *err)
{
    static const char *const kinds[] = {"dyestuff", "mordant", "dip"};

    if (a->found || !f->words)
        return true;
    if (!find_material(r, f->words, with, err))
        return false;
    if (!*with)
        return find_said(r, f, a, with, err);
    for (size_t i = 0; i < ARRAY_LEN(kinds) && !a->found; i++) {
        struct find_request q = *f;
        q.words = NULL;
        if (!ask_filter_read(r->book, &q.filter, "ever", "yes", err) ||
            !ask_filter_read(r->book, &q.filter, kinds[i], *with, err))
            return false;
        find_answer_clear(a);
        *a = (struct find_answer){0};
        if (!ask_find(r->book, &q, a, err))
            return false;
    }
    f->words = NULL;
    return true;
}

static bool draw(struct request *r, const struct find_request *f,
                 const struct find_answer *a, struct error *err)
{
    struct ask_skeins all;

    if (!ask_skeins(r->book, &f->filter, MAP_DOTS, &all, err))
        return false;
    picture_of_find(a, &all, &r->out);
    ask_skeins_free(&all);
    return true;
}

bool find_page(struct request *r, struct error *err)
{
    struct find_request f;
    struct find_answer a = {0};
    char *with = NULL;
    bool ok;

    if (!read_request(r, &f, err) || !ask_find(r->book, &f, &a, err))
        return false;
    if (!find_with(r, &f, &a, &with, err)) {
        find_answer_clear(&a);
        free(with);
        return false;
    }
    if (narrow_picture(r, "find")) {
        ok = draw(r, &f, &a, err);
        find_answer_clear(&a);
        free(with);
        return ok;
    }
    page_begin(r, "Find", "Find");
    add_form(r);
    text_add(&r->out, "<div class=\"found\">\n");
    add_list(r, &f, &a, with);
    ok = add_map(r, &f, &a, err);
    text_add(&r->out, "</div>\n");
    narrow_picture_link(r);
    page_end(r);
    find_answer_clear(&a);
    free(with);
    return ok;
}
