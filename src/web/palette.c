/* Skeins whose colours go together. */
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

#define USUAL_MEMBERS 5

/* What is asked for, with what has to be released. */
struct asked {
    struct palette_ask ask;
    struct lab target[PALETTE_MOST];
    int64_t *keep, *leave;
    bool given; /* the form was sent */
};

static void asked_clear(struct asked *a)
{
    free(a->keep);
    free(a->leave);
}

static bool read_skeins(struct request *r, const char *name, int64_t **ids,
                        size_t *count, struct error *err)
{
    const char *words;

    for (size_t i = 0; (words = pairs_nth(&r->query, name, i)); i++) {
        if (!*words)
            continue;
        *ids = mem_resize(*ids, *count + 1, sizeof **ids);
        if (!record_find(r->book, NOUN_SKEIN, words, &(*ids)[*count], err))
            return false;
        ++*count;
    }
    return true;
}

/* "olive; 42,45,28; 31" */
static bool read_targets(struct request *r, struct asked *a, struct error *err)
{
    const char *words = pairs_get(&r->query, "fit");
    struct palette_request *q = &a->ask.request;

    q->members = 0;
    while (words && *words) {
        size_t n = strcspn(words, ";");
        char *one = mem_text_n(words, n);
        const char *s = one + strspn(one, " ");
        bool ok = !*s;
        if (*s && q->members == PALETTE_MOST)
            error_set(err, ERR_LIMIT, "at most %d colours at once",
                      PALETTE_MOST);
        else if (*s)
            ok = ask_target_read(r->book, &a->ask.filter, s,
                                 &a->target[q->members], err) &&
                 ++q->members;
        free(one);
        if (!ok)
            return false;
        words += n + (words[n] == ';');
    }
    q->target = a->target;
    return q->members > 0 ||
           error_set(err, ERR_INPUT,
                     "say which colours you want, with a semicolon between "
                     "them: olive; 42,45,28; 31");
}

static bool read_members(struct request *r, struct asked *a, struct error *err)
{
    const char *words = pairs_get(&r->query, "members");
    long long n = USUAL_MEMBERS;

    if (words && (!text_whole(words, &n) || n < 2 || n > PALETTE_MOST))
        return error_set(err, ERR_INPUT,
                         "\"%s\" is no number of colours: write one from 2 to "
                         "%d",
                         words, PALETTE_MOST);
    a->ask.request.members = (size_t)n;
    return true;
}

static bool read(struct request *r, struct asked *a, struct error *err)
{
    const char *aim = pairs_get(&r->query, "aim");
    struct palette_request *q = &a->ask.request;

    a->given = aim != NULL;
    q->aim = !aim || !strcmp(aim, "apart") ? PALETTE_APART
             : !strcmp(aim, "even")        ? PALETTE_EVEN
                                           : PALETTE_FIT;
    q->one_pot = pairs_get(&r->query, "one-pot") != NULL;
    if (!narrow_read(r, &a->ask.filter, err) ||
        !(q->aim == PALETTE_FIT ? read_targets(r, a, err)
                                : read_members(r, a, err)) ||
        !read_skeins(r, "keep", &a->keep, &a->ask.keeps, err) ||
        !read_skeins(r, "leave", &a->leave, &a->ask.leaves, err))
        return false;
    a->ask.keep = a->keep;
    a->ask.leave = a->leave;
    return true;
}

/* ---- the form -------------------------------------------------------------
 */

static const struct {
    const char *value, *words;
} aims[] = {{"apart", "as far apart as can be"},
            {"even", "in even steps of lightness"},
            {"fit", "nearest to the wanted colours"}};

static void add_held(struct request *r, const char *name)
{
    const char *words;

    for (size_t i = 0; (words = pairs_nth(&r->query, name, i)); i++)
        if (*words)
            html_addf(&r->out,
                      "<input type=\"hidden\" name=\"%s\" value=\"%s\">", name,
                      words);
}

static void add_form(struct request *r)
{
    const char *aim = pairs_get(&r->query, "aim");
    struct text *o = &r->out;

    html_addf(o,
              "<form action=\"/palette\" method=\"get\"><div class=\"gridset\">"
              "<p><label for=\"members\">How many</label><input id=\"members\" "
              "name=\"members\" inputmode=\"numeric\" value=\"%s\" "
              "placeholder=\"%d\"></p><p><label for=\"aim\">Which</label>"
              "<select id=\"aim\" name=\"aim\">",
              pairs_get(&r->query, "members"), USUAL_MEMBERS);
    for (size_t i = 0; i < ARRAY_LEN(aims); i++) {
        html_addf(o, "<option value=\"%s\"", aims[i].value);
        text_add(o, aim && !strcmp(aim, aims[i].value) ? " selected>" : ">");
        html_addf(o, "%s</option>", aims[i].words);
    }
    html_addf(
        o,
        "</select></p><p class=\"all\"><label for=\"fit\">Wanted "
        "colours</label>"
        "<input class=\"long\" id=\"fit\" name=\"fit\" value=\"%s\" "
        "placeholder=\"olive; "
        "42,45,28; 31\"></p><p class=\"tick all\"><input type=\"checkbox\" "
        "id=\"one-pot\" name=\"one-pot\" value=\"yes\"",
        pairs_get(&r->query, "fit"));
    text_add(o, pairs_get(&r->query, "one-pot") ? " checked>" : ">");
    text_add(o, "<label for=\"one-pot\">of one pot, each on another mordant"
                "</label></p><p><button class=\"main\" type=\"submit\">Choose"
                "</button></p></div>\n");
    add_held(r, "keep");
    add_held(r, "leave");
    narrow_fields(r);
    text_add(o, "</form>\n");
    narrow_chips(r);
}

/* ---- the answer -----------------------------------------------------------
 */

/* This palette with one skein more held or left out, or let go again. */
static void add_link(struct request *r, const char *name, const char *skein,
                     bool held, const char *words)
{
    struct text *o = &r->out;

    text_add(o, " <a href=\"/palette?");
    for (size_t i = 0; i < r->query.count; i++) {
        const struct pair *p = &r->query.pair[i];
        if (!*p->value ||
            (!strcmp(p->value, skein) &&
             (!strcmp(p->name, "keep") || !strcmp(p->name, "leave"))))
            continue;
        html_url(o, p->name);
        text_add(o, "=");
        html_url(o, p->value);
        text_add(o, "&amp;");
    }
    if (!held) {
        html_url(o, name);
        text_add(o, "=");
        html_url(o, skein);
    }
    html_addf(o, "\">%s</a>", words);
}

static void add_strip(struct text *o, const struct palette_answer *a, bool grey)
{
    const size_t n = a->palette.members;

    html_addf(o,
              "<svg viewBox=\"0 0 %zu 60\" preserveAspectRatio=\"none\" "
              "shape-rendering=\"crispEdges\" role=\"img\" aria-label=\"%s\">",
              n * 100,
              grey ? "The same in grey, by their lightness"
                   : "The colours touching, in the order below");
    for (size_t i = 0; i < n; i++) {
        struct lab c = a->skein[i].reading.colour.lab;
        if (grey)
            c.a = c.b = 0;
        html_addf(o, "<rect x=\"%zu\" width=\"101\" height=\"60\" fill=\"",
                  i * 100);
        page_colour(o, c, NULL);
        text_add(o, "\"/>");
    }
    text_add(o, "</svg>");
}

static void add_strips(struct text *o, const struct palette_answer *a)
{
    text_add(o, "<div class=\"row8\">");
    add_strip(o, a, false);
    text_add(o, "<ol>");
    for (size_t i = 0; i < a->palette.members; i++)
        html_addf(o, "<li>%s</li>", a->skein[i].label);
    text_add(o, "</ol>");
    add_strip(o, a, true);
    text_add(o, "</div>\n<p class=\"small quiet\">Above in colour, below in "
                "grey: as light and dark as they are, which is what a weave "
                "shows from across the room.</p>\n");
}

static void add_member(struct request *r, const struct asked *asked,
                       const struct palette_answer *a, size_t i)
{
    const struct ask_skein *s = &a->skein[i];
    const struct lab *lab = &s->reading.colour.lab;
    struct text *o = &r->out, recipe = {0};
    bool held = false;

    for (size_t k = 0; k < asked->ask.keeps; k++)
        held = held || asked->keep[k] == s->id;
    ask_recipe_words(s, &recipe);
    html_addf(o, "<li><a class=\"hs\" href=\"/skein/%-s\">", s->label);
    page_hank(o, HANK_SMALL, lab);
    html_addf(o, "<span class=\"tag\">%s</span></a><div><h3>%s</h3><p>%s</p>",
              s->label, colour_name_nearest(*lab)->name, text_str(&recipe));
    text_add(o, "<p class=\"swap\">");
    add_link(r, "keep", s->label, held, held ? "Let it go" : "Keep it");
    if (!held)
        add_link(r, "leave", s->label, false, "Another instead");
    text_add(o, "</p></div><p class=\"num d\"><b>");
    html_number(o, a->palette.off[i], 1);
    text_add(o, "</b></p></li>\n");
    text_clear(&recipe);
}

static void add_answer(struct request *r, const struct asked *asked,
                       const struct palette_answer *a)
{
    static const char *const off[] = {
        [PALETTE_FIT] = "&Delta;E00 from the colour that was wanted",
        [PALETTE_APART] = "&Delta;E00 from the one most like it",
        [PALETTE_EVEN] = "how far in L* from an even step"};
    struct text *o = &r->out;

    add_strips(o, a);
    html_addf(o,
              "<section aria-labelledby=\"h-r\"><h2 id=\"h-r\">%s of %zu "
              "measured skeins</h2>\n<p class=\"quiet\">The figure is ",
              a->palette.exact ? "The best choice" : "A good choice", a->among);
    text_add(o, off[asked->ask.request.aim]);
    text_add(o, ". D50, 2&deg;.</p><ol class=\"hits\">\n");
    for (size_t i = 0; i < a->palette.members; i++)
        add_member(r, asked, a, i);
    text_add(o, "</ol>\n");
    for (size_t i = 0; i + 1 < a->palette.members; i++)
        if (a->step[i] < PALETTE_ALIKE_L)
            html_addf(o,
                      "<div class=\"say plain\"><b>%s and %s are nearly as "
                      "light as each other</b>%.1f in L*: side by side they "
                      "part by hue alone.</div>\n",
                      a->skein[i].label, a->skein[i + 1].label, a->step[i]);
    narrow_left_out(o, a->left_out, asked->ask.filter.wet);
    text_add(o, "</section>\n");
}

/* What went wrong stands on the page, with the form as it was filled in. */
static void add_refused(struct text *o, const struct error *why)
{
    html_addf(o,
              "<div class=\"say\" role=\"alert\"><b>No palette</b>%s</div>\n",
              why->text);
}

bool palette_page(struct request *r, struct error *err)
{
    struct asked asked = {.given = false};
    struct palette_answer a = {.among = 0};
    struct error why = {.kind = ERR_NONE};
    bool ok = read(r, &asked, &why) &&
              (!asked.given || ask_palette(r->book, &asked.ask, &a, &why));

    if (!ok && why.kind != ERR_INPUT && why.kind != ERR_MISSING &&
        why.kind != ERR_LIMIT) {
        asked_clear(&asked);
        *err = why;
        return false;
    }
    if (ok && asked.given && narrow_picture(r, "palette")) {
        picture_of_palette(&a, &r->out);
        palette_answer_clear(&a);
        asked_clear(&asked);
        return true;
    }
    page_begin(r, "Palette", "Palette");
    text_add(&r->out, "<div class=\"head\"><h1>Colours that go together</h1>"
                      "</div>\n");
    add_form(r);
    if (!ok)
        add_refused(&r->out, &why);
    else if (asked.given) {
        add_answer(r, &asked, &a);
        narrow_picture_link(r);
    }
    palette_answer_clear(&a);
    asked_clear(&asked);
    page_end(r);
    return true;
}
