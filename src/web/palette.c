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
#include "plan.h"
#include "routes.h"

#define USUAL_MEMBERS 5

/* What is asked for, with what has to be released. */
struct asked {
    struct palette_ask ask;
    struct lab target[PALETTE_MOST];
    const char **keep, **without;
    bool given; /* the form was sent */
};

static void asked_clear(struct asked *a)
{
    free(a->keep);
    free(a->without);
}

/* All that a field says, borrowed. */
static const char **all_of(const struct request *r, const char *name,
                           size_t *count)
{
    const char **out = mem_new(r->query.count, sizeof *out), *words;

    *count = 0;
    for (size_t i = 0; (words = pairs_nth(&r->query, name, i)); i++)
        if (*words)
            out[(*count)++] = words;
    return out;
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

static bool read_apart(struct request *r, struct asked *a, struct error *err)
{
    const char *words = pairs_get(&r->query, "apart");
    double *x = &a->ask.request.least_apart;

    return !words || !*words || (text_real(words, x) && *x >= 0 && *x <= 200) ||
           error_set(err, ERR_INPUT,
                     "\"%s\" is no distance: write how far any two are apart "
                     "at least, as 10",
                     words);
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
    a->ask.foretold = pairs_get(&r->query, "foretold") != NULL;
    if (!narrow_read(r, &a->ask.filter, err) ||
        !(q->aim == PALETTE_FIT ? read_targets(r, a, err)
                                : read_members(r, a, err)) ||
        !read_apart(r, a, err))
        return false;
    a->keep = all_of(r, "keep", &a->ask.keeps);
    a->without = all_of(r, "without", &a->ask.withouts);
    a->ask.keep = a->keep;
    a->ask.without = a->without;
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

static void add_aims(struct text *o, const char *aim)
{
    text_add(o, "<p><label for=\"aim\">Which</label><select id=\"aim\" "
                "name=\"aim\">");
    for (size_t i = 0; i < ARRAY_LEN(aims); i++) {
        html_addf(o, "<option value=\"%s\"", aims[i].value);
        text_add(o, aim && !strcmp(aim, aims[i].value) ? " selected>" : ">");
        html_addf(o, "%s</option>", aims[i].words);
    }
    text_add(o, "</select></p>");
}

static void add_tick(struct request *r, const char *name, const char *words)
{
    html_addf(&r->out,
              "<p class=\"tick all\"><input type=\"checkbox\" id=\"%s\" "
              "name=\"%s\" value=\"yes\"",
              name, name);
    text_add(&r->out, pairs_get(&r->query, name) ? " checked>" : ">");
    html_addf(&r->out, "<label for=\"%s\">%s</label></p>", name, words);
}

static void add_form(struct request *r)
{
    struct text *o = &r->out;

    html_addf(o,
              "<form action=\"/palette\" method=\"get\"><div class=\"gridset\">"
              "<p><label for=\"members\">How many</label><input id=\"members\" "
              "name=\"members\" inputmode=\"numeric\" value=\"%s\" "
              "placeholder=\"%d\"></p>",
              pairs_get(&r->query, "members"), USUAL_MEMBERS);
    add_aims(o, pairs_get(&r->query, "aim"));
    html_addf(
        o,
        "<p><label for=\"apart\">At least apart</label><input id=\"apart\" "
        "name=\"apart\" inputmode=\"decimal\" value=\"%s\" placeholder=\"any "
        "&Delta;E00\"></p>",
        pairs_get(&r->query, "apart"));
    html_addf(o,
              "<p class=\"all\"><label for=\"fit\">Wanted colours</label>"
              "<input class=\"long\" id=\"fit\" name=\"fit\" value=\"%s\" "
              "placeholder=\"olive; 42,45,28; 31\"></p>",
              pairs_get(&r->query, "fit"));
    add_tick(r, "one-pot", "of one pot, each on another mordant");
    add_tick(r, "foretold", "a bath's next round, as foretold, may be in");
    text_add(o, "<p><button class=\"main\" type=\"submit\">Choose</button></p>"
                "</div>\n");
    add_held(r, "keep");
    add_held(r, "without");
    narrow_fields(r);
    text_add(o, "</form>\n");
    narrow_chips(r);
}

/* ---- the answer -----------------------------------------------------------
 */

static bool is_word_of(const struct pair *p, const char *name,
                       const char *words)
{
    return !strcmp(p->name, name) && text_same(p->value, words);
}

/* The address of this palette, without what it says of one member, or of any
 * (NULL); a swap says who is in now. */
static void address(struct request *r, const struct palette_answer *a,
                    const char *member, bool swap)
{
    struct text *o = &r->out;

    text_add(o, "<a href=\"/palette?");
    for (size_t i = 0; i < r->query.count; i++) {
        const struct pair *p = &r->query.pair[i];
        if (!*p->value || !strcmp(p->name, "was") ||
            (!member && !strcmp(p->name, "keep")) ||
            (member && (is_word_of(p, "keep", member) ||
                        is_word_of(p, "without", member))))
            continue;
        html_url(o, p->name);
        text_add(o, "=");
        html_url(o, p->value);
        text_add(o, "&amp;");
    }
    for (size_t i = 0; i < a->palette.members && (swap || !member); i++) {
        text_add(o, member ? "was=" : "keep=");
        html_url(o, a->skein[i].label);
        text_add(o, "&amp;");
    }
}

/* This palette with one member held or left out, or let go again. */
static void add_link(struct request *r, const struct palette_answer *a,
                     const char *name, const char *member, const char *words)
{
    text_add(&r->out, " ");
    address(r, a, member, name && !strcmp(name, "without"));
    if (name) {
        html_addf(&r->out, "%s=", name);
        html_url(&r->out, member);
    }
    html_addf(&r->out, "\">%s</a>", words);
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
        html_addf(o, "<rect x=\"%zu\" width=\"%d\" height=\"60\"", i * 100,
                  a->foretold[i] || i + 1 == n ? 100 : 101);
        text_add(o,
                 a->foretold[i] ? " mask=\"url(#hatch)\" fill=\"" : " fill=\"");
        page_colour(o, c);
        text_add(o, "\"/>");
    }
    text_add(o, "</svg>");
}

static void add_strips(struct text *o, const struct palette_answer *a)
{
    bool told = false;

    for (size_t i = 0; i < a->palette.members; i++)
        told = told || a->foretold[i];
    if (told)
        page_hatch(o);
    text_add(o, "<div class=\"row8\">");
    add_strip(o, a, false);
    text_add(o, "<ol>");
    for (size_t i = 0; i < a->palette.members; i++)
        html_addf(o, "<li>%s</li>", a->skein[i].label);
    text_add(o, "</ol>");
    add_strip(o, a, true);
    text_add(o, "</div>\n<p class=\"small quiet\">Above in colour, below in "
                "grey: as light and dark as they are, which is what a weave "
                "shows from across the room.");
    text_add(o, told ? " What is striped is foretold and not dyed yet.</p>\n"
                     : "</p>\n");
}

/* Where the rest had to make room after a swap. */
static bool is_new(const struct request *r, const char *label)
{
    const char *was;
    size_t i;

    for (i = 0; (was = pairs_nth(&r->query, "was", i)); i++)
        if (text_same(was, label))
            return false;
    return i > 0;
}

static void add_swaps(struct request *r, const struct palette_answer *a,
                      size_t i)
{
    const char *label = a->skein[i].label;

    text_add(&r->out, "<p class=\"swap\">");
    if (a->kept[i])
        add_link(r, a, NULL, label, "Let it go");
    else {
        add_link(r, a, "keep", label, "Keep it");
        add_link(r, a, "without", label, "Another instead");
    }
    text_add(&r->out, "</p>");
}

#define Z95 1.96 /* of a standard deviation, right 19 times in 20 */

static void add_member(struct request *r, const struct palette_answer *a,
                       size_t i)
{
    const struct ask_skein *s = &a->skein[i];
    const struct lab *lab = &s->reading.colour.lab;
    struct text *o = &r->out, recipe = {0};

    ask_recipe_words(s, &recipe);
    if (a->foretold[i])
        html_addf(o,
                  "<li class=\"told\"><a class=\"hs\" href=\"/fade?bath=%-s\">",
                  s->bath);
    else
        html_addf(o, "<li><a class=\"hs\" href=\"/skein/%-s\">", s->label);
    page_hank(o, HANK_SMALL, lab);
    html_addf(o, "<span class=\"tag\">%s</span></a><div><h3>%s%s</h3><p>%s</p>",
              a->foretold[i] ? "?" : s->label, colour_name_nearest(*lab)->name,
              is_new(r, s->label) ? ", new" : "", text_str(&recipe));
    if (a->foretold[i])
        html_addf(
            o,
            "<p>Foretold, not dyed yet: right about 19 times in 20 within "
            "L* &plusmn; %.1f, a* &plusmn; %.1f, b* &plusmn; %.1f.</p>",
            Z95 * sqrt(s->reading.colour.set.LL),
            Z95 * sqrt(s->reading.colour.set.aa),
            Z95 * sqrt(s->reading.colour.set.bb));
    add_swaps(r, a, i);
    text_add(o, "</div><p class=\"num d\"><b>");
    html_number(o, a->palette.off[i], 1);
    text_add(o, "</b></p></li>\n");
    text_clear(&recipe);
}

/* How good the choice is, and among what. */
static void add_title(struct text *o, const struct asked *asked,
                      const struct palette_answer *a)
{
    const struct palette *p = &a->palette;

    html_addf(o,
              "<section aria-labelledby=\"h-r\"><h2 id=\"h-r\">%s of %zu "
              "measured skeins",
              p->exact ? "The best choice" : "A good choice", a->among);
    if (asked->ask.foretold)
        html_addf(o, " and %zu foretold %s", a->among_foretold,
                  a->among_foretold == 1 ? "round" : "rounds");
    text_add(o, "</h2>\n");
    if (!p->exact && p->bound > 0)
        html_addf(o, "<p>At most %.0f %% from the best there can be.</p>\n",
                  ceil(100 * (p->worth / p->bound - 1)));
}

/* A skein of a foretold round's bath, on the same mordant, that shows the way;
 * NULL: none. Release with free(). */
static bool find_way(struct request *r, const struct ask_skein *told,
                     char **label, struct error *err)
{
    struct ask_filter of = ask_filter_any();
    struct ask_skeins list;

    *label = NULL;
    of.bath = told->bath_id;
    if (!ask_skeins(r->book, &of, 0, &list, err))
        return false;
    for (size_t i = 0; i < list.count && !*label; i++)
        if (text_same(list.skein[i].mordants, told->mordants) &&
            text_same(list.skein[i].dips, told->dips))
            *label = mem_text(list.skein[i].label);
    ask_skeins_free(&list);
    return true;
}

/* On to a project with these colours in it. */
static bool add_plan(struct request *r, const struct palette_answer *a,
                     struct error *err)
{
    struct text *o = &r->out;
    bool ok = true;

    text_add(o, "<p class=\"onto\"><a class=\"btn\" href=\"/plan?");
    for (size_t i = 0; ok && i < a->palette.members; i++) {
        const struct ask_skein *s = &a->skein[i];
        const char *name = colour_name_nearest(s->reading.colour.lab)->name;
        struct text round = {0};
        char *way = NULL;

        if (a->foretold[i]) {
            ask_round_words(s->round, &round);
            ok = find_way(r, s, &way, err);
        }
        plan_row(o, name, a->foretold[i] ? way : s->label,
                 round.len ? text_str(&round) : NULL,
                 a->foretold[i] && !way ? s->last_dyestuffs : NULL);
        text_clear(&round);
        free(way);
    }
    text_add(o, "\">Plan these</a></p>\n");
    return ok;
}

static bool add_answer(struct request *r, const struct asked *asked,
                       const struct palette_answer *a, struct error *err)
{
    static const char *const off[] = {
        [PALETTE_FIT] = "&Delta;E00 from the colour that was wanted",
        [PALETTE_APART] = "&Delta;E00 from the one most like it",
        [PALETTE_EVEN] = "how far in L* from an even step"};
    struct text *o = &r->out;

    add_strips(o, a);
    add_title(o, asked, a);
    text_add(o, "<p class=\"quiet\">The figure is ");
    text_add(o, off[asked->ask.request.aim]);
    text_add(o, ". D50, 2&deg;. ");
    address(r, a, NULL, false);
    text_add(o, "\">Keep all of these</a> in the page's address.</p><ol "
                "class=\"hits\">\n");
    for (size_t i = 0; i < a->palette.members; i++)
        add_member(r, a, i);
    text_add(o, "</ol>\n");
    if (!add_plan(r, a, err))
        return false;
    for (size_t i = 0; i + 1 < a->palette.members; i++)
        if (a->step[i] < PALETTE_ALIKE_L)
            html_addf(o,
                      "<div class=\"say plain\"><b>%s and %s are nearly as "
                      "light as each other</b>%.1f in L*: side by side they "
                      "part by hue alone.</div>\n",
                      a->skein[i].label, a->skein[i + 1].label, a->step[i]);
    narrow_left_out(o, a->left_out, asked->ask.filter.wet);
    text_add(o, "</section>\n");
    return true;
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
    bool whole = true;
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
        whole = add_answer(r, &asked, &a, err);
        narrow_picture_link(r);
    }
    palette_answer_clear(&a);
    asked_clear(&asked);
    page_end(r);
    return whole;
}
