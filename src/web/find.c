/* Find: by a name, a colour or another skein; and where the results lie. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/html.h"
#include "base/mem.h"
#include "book/picture.h"
#include "book/record.h"
#include "find_map.h"
#include "narrow.h"
#include "page.h"
#include "routes.h"

#define ROWS 40
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

/* "1.2,0,0,0.8,0,0.9": of a colour that was read, L* a* b* in the order of
 * struct cov3. */
static bool read_error(const char *words, struct find_request *f,
                       struct error *err)
{
    double v[6];

    if (!words)
        return true;
    f->was_read = text_reals(words, v, 6);
    if (f->was_read)
        f->target_abs = (struct cov3){v[0], v[1], v[2], v[3], v[4], v[5]};
    return (f->was_read && cov3_is_valid(f->target_abs)) ||
           error_set(err, ERR_INPUT,
                     "\"%s\" is not how sure a colour is: ask for the colour "
                     "alone",
                     words);
}

static bool read_request(struct request *r, struct find_request *f,
                         struct error *err)
{
    const char *like = pairs_get(&r->query, "like");
    const char *colour = pairs_get(&r->query, "colour");
    const char *area = pairs_get(&r->query, "area");

    *f = (struct find_request){.tolerance = 2, .limit = ROWS};
    if (!find_pick_read(r, &f->has_target, &f->target, err))
        return false;
    f->words = pairs_get(&r->query, "q");
    f->has_area = area != NULL;
    if (!narrow_read(r, &f->filter, err) ||
        (like && !record_find(r->book, NOUN_SKEIN, like, &f->like, err)) ||
        (area && !find_area_read(area, &f->area, err)))
        return false;
    if (f->has_target || !colour) /* a tap goes before what was typed */
        return true;
    f->has_target = true;
    return read_colour(colour, &f->target, err) &&
           read_error(pairs_get(&r->query, "cov"), f, err);
}

/* The colour as it is typed; one that was tapped, or nothing. */
static void colour_words(const struct request *r, const struct find_request *f,
                         struct text *out)
{
    const char *typed = pairs_get(&r->query, "colour");

    if (pairs_get(&r->query, "at.x") && f->has_target)
        text_addf(out, "%.1f,%.1f,%.1f", f->target.L, f->target.a, f->target.b);
    else if (typed)
        text_add(out, typed);
}

static void add_form(struct request *r, const struct find_request *f)
{
    const char *area = pairs_get(&r->query, "area");
    struct text colour = {0};

    colour_words(r, f, &colour);
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
              text_str(&colour));
    text_clear(&colour);
    if (area)
        html_addf(&r->out, "<input type=\"hidden\" name=\"area\" value=\"%s\">",
                  area);
    find_pick(r);
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
        page_colour(o, *colour_of(&a->row[i]));
        text_add(o, "\"/>");
    }
    text_add(o, "</svg><ol>");
    for (size_t i = 0; i < n; i++)
        html_addf(o, "<li>%s</li>", a->row[i].skein.label);
    text_add(o, "</ol></div>\n");
}

static void add_row(struct text *o, const struct find_row *row, bool tied,
                    bool judged, double top)
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
                  judged ? verdict_short(row->compared.verdict) : "at most ");
        if (!judged)
            html_addf(o, "%.1f", row->at_most);
        text_add(o, "</span></p>");
        narrow_bar(o, row->de00, fmax(0, 2 * row->de00 - row->at_most),
                   row->at_most, top);
    }
    text_add(o, "</li>\n");
    text_clear(&word);
    text_clear(&recipe);
}

/* "The photos cannot tell 31, 32 and 40 apart: ..." */
static void add_tied(struct text *o, const struct find_answer *a)
{
    if (!a->tied)
        return;
    html_addf(o, "The %s cannot tell ",
              a->tied_by_photo ? "photos" : "readings");
    for (size_t i = 0; i < a->tied; i++)
        html_addf(o, "%s%s",
                  i == 0             ? ""
                  : i + 1 == a->tied ? " and "
                                     : ", ",
                  a->row[i].skein.label);
    text_add(o, " apart, which have a bar: lay them together.");
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
    if (f->has_area) {
        text_add(o, " of ");
        find_area_words(&f->area, o);
    }
    text_add(o, "</h2>\n<p class=\"quiet\">");
    if (f->words && !a->found && !a->names)
        text_add(o, "No colour name has these words, no tag, no dyer's own "
                    "word for a colour and no note, and nothing in the "
                    "cupboard is called so. A colour is brown, olive, dark "
                    "reddish orange ...");
    if (a->has_like)
        html_addf(o, "Nearest to skein %s first. ", a->like.label);
    else if (f->has_target && a->found)
        text_addf(o,
                  "Nearest to %s%.1f, %.1f, %.1f first: &Delta;E00, and what "
                  "%s. ",
                  f->was_read ? "the yarn in the photo, " : "", f->target.L,
                  f->target.a, f->target.b,
                  f->was_read ? "can be said of it"
                              : "it is at most, right about 95 times in 100");
    else if (a->ranked && a->found)
        text_add(o, "Nearest first: &Delta;E00, and what it is at most, "
                    "right about 95 times in 100. ");
    add_tied(o, a);
    text_add(o, "</p>\n");
}

/* to: the page that takes what was found, up to their labels. */
static void add_way(struct text *o, const struct find_answer *a, const char *to,
                    const char *words)
{
    html_addf(o, "<p class=\"more\"><a href=\"%s=", to);
    for (size_t i = 0; i < a->count; i++)
        html_addf(o, "%s%-s", i ? "," : "", a->row[i].skein.label);
    html_addf(o, "\">%s</a></p>\n", words);
}

/* None is the colour that was asked for: how far off, and what would come
 * nearer. */
static bool add_far(struct request *r, const struct find_request *f,
                    const struct find_answer *a, struct error *err)
{
    struct find_far far;
    struct text words = {0};

    if (!ask_find_far(r->book, f, a, &far, err))
        return false;
    if (far.is) {
        find_far_words(&far, &words);
        text_add(&words, ". For that colour, ");
        find_lead_words(&far, &words);
        html_addf(
            &r->out,
            "<div class=\"say plain\"><b>No skein has just that colour</b>The "
            "%s. <a href=\"/skein/%-s\">Skein %s</a>, <a href=\"/match?"
            "to=",
            text_str(&words), far.nearest->skein.label,
            far.nearest->skein.label);
        text_addf(&r->out, "%.1f,%.1f,%.1f\">what comes near it</a></div>\n",
                  far.nearest->target.L, far.nearest->target.a,
                  far.nearest->target.b);
    }
    text_clear(&words);
    find_far_clear(&far);
    return true;
}

static bool add_list(struct request *r, const struct find_request *f,
                     const struct find_answer *a, const char *with,
                     struct error *err)
{
    struct text *o = &r->out;
    double top = 1;

    for (size_t i = 0; i < a->count; i++)
        if (!isnan(a->row[i].de00))
            top = fmax(top, fmin(60, a->row[i].at_most));
    text_add(o, "<section aria-labelledby=\"h-r\">");
    add_title(o, f, a, with);
    if (!add_far(r, f, a, err))
        return false;
    add_strip(o, a);
    text_add(o, "<ol class=\"hits\">\n");
    for (size_t i = 0; i < a->count; i++)
        add_row(o, &a->row[i], i < a->tied, a->judged, top);
    text_add(o, "</ol>\n");
    if (a->count < a->found)
        html_addf(o, "<p class=\"small quiet\">%zu more%s.</p>\n",
                  a->found - a->count, a->ranked ? ", farther off" : "");
    narrow_left_out(o, a->left_out, f->filter.wet);
    if (f->words && a->ranked && a->found) {
        text_add(o, "<p class=\"more\"><a href=\"/match?to=");
        html_url(o, f->words);
        text_add(o, "\">How to come near it</a></p>\n");
    }
    if (a->count) {
        add_way(o, a, "/print/tags?which", "Print their tags");
        add_way(o, a, "/print/cards?which", "Sample cards of them");
        add_way(o, a, "/export?skeins", "Hand them on");
    }
    if (a->count > 1)
        html_addf(o,
                  "<p class=\"more\"><a href=\"/compare?a=%s&amp;b=%s\">Lay "
                  "the first two side by side</a></p>\n",
                  a->row[0].skein.label, a->row[1].skein.label);
    text_add(o, "</section>\n");
    return true;
}

/* ---- words that are no colour
 * ------------------------------------------------
 */

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

static bool show(struct request *r, const struct find_request *f,
                 const struct find_answer *a, const char *with,
                 struct error *err)
{
    bool ok;

    page_begin(r, "Find", "Find");
    add_form(r, f);
    text_add(&r->out, "<div class=\"found\">\n");
    ok = add_list(r, f, a, with, err) && find_map(r, f, a, err);
    text_add(&r->out, "</div>\n");
    narrow_picture_link(r);
    page_script(r, "find.js");
    page_end(r);
    return ok;
}

bool find_page(struct request *r, struct error *err)
{
    struct find_request f;
    struct find_answer a = {0};
    char *with = NULL;
    bool ok;

    if (!read_request(r, &f, err) || !ask_find(r->book, &f, &a, err))
        return false;
    ok = find_with(r, &f, &a, &with, err);
    if (ok && narrow_picture(r, "find"))
        ok = find_map_alone(r, &f, &a, err);
    else
        ok = ok && show(r, &f, &a, with, err);
    find_answer_clear(&a);
    free(with);
    return ok;
}
