/* What every page has. See page.h. */
#include "page.h"

#include <math.h>
#include <microhttpd.h>
#include <stdlib.h>
#include <string.h>

#include "assets.h"
#include "base/day.h"
#include "base/html.h"
#include "draw/strip.h"
#include "base/mem.h"
#include "server.h"

#define SHAPES_HERE "<!-- yarn -->\n"

/* ---- yarn ------------------------------------------------------------------
 */

static const char *const shapes[] = {"hung", "hank-l", "hank-s", "line",
                                     "glyph"};

/* Colours as they were turned into words last: a page shows a yarn in several
 * shades, and the next page shows it again. */
static const struct shade {
    uint64_t bits[3]; /* of L*, a*, b* */
    char words[8];    /* "": none yet */
    int outside;
} * shade_of(struct lab lab)
{
    static struct shade shades[4096];
    uint64_t bits[3], hash = 0;
    struct shade *s;

    memcpy(bits, &lab, sizeof bits);
    for (int i = 0; i < 3; i++)
        hash = (hash ^ bits[i]) * 0x9E3779B97F4A7C15U;
    s = &shades[hash >> 52];
    if (!*s->words || memcmp(s->bits, bits, sizeof bits) != 0) {
        memcpy(s->bits, bits, sizeof bits);
        srgb8_words(srgb8_from_lab(lab, &s->outside), s->words);
    }
    return s;
}

void page_colour(struct text *out, struct lab lab)
{
    text_add(out, shade_of(lab)->words);
}

bool page_is_outside(struct lab lab)
{
    return shade_of(lab)->outside;
}

/* The same hue and chroma, some L* up or down. */
static void tone(struct text *out, const char *attribute, struct lab lab,
                 double up)
{
    lab.L = fmin(100, fmax(0, lab.L + up));
    html_addf(out, " %s=\"", attribute);
    page_colour(out, lab);
    text_add(out, "\"");
}

void page_hank(struct text *out, enum hank kind, const struct lab *lab)
{
    static const char *const class[] = {"hank", "hank l", "hank s"};

    html_addf(out, "<svg class=\"%s\" viewBox=\"0 0 60 180\"", class[kind]);
    if (!lab) {
        text_add(out, " aria-hidden=\"true\"><use class=\"bare\" "
                      "href=\"#line\"/></svg>");
        return;
    }
    tone(out, "fill", *lab, 0);
    tone(out, "stroke", *lab, kind == HANK_SMALL ? -15 : -11);
    tone(out, "color", *lab, 8);
    html_addf(out, " aria-hidden=\"true\"><use href=\"#%s\"/></svg>",
              shapes[kind]);
}

void page_hatch(struct text *out)
{
    text_add(out,
             "<svg class=\"defs\" aria-hidden=\"true\"><pattern id=\"weft\" "
             "width=\"7\" height=\"7\" patternUnits=\"userSpaceOnUse\" "
             "patternTransform=\"rotate(45)\"><path stroke=\"#fff\" "
             "stroke-width=\"8\" d=\"M0 3.5h7\"/><path stroke=\"#000\" "
             "stroke-width=\"2.6\" d=\"M0 1.3h7\"/></pattern><mask "
             "id=\"hatch\" maskUnits=\"userSpaceOnUse\" x=\"0\" y=\"0\" "
             "width=\"9999\" height=\"72\"><rect width=\"9999\" "
             "height=\"72\" fill=\"url(#weft)\"/></mask></svg>\n");
}

void page_tag(struct text *out, const char *more, const char *label,
              const char *code)
{
    const char *slash = strrchr(label, '/'); /* another dyer's: "Aino/101" */
    char *whose = mem_text_n(label, slash ? (size_t)(slash + 1 - label) : 0);

    html_addf(out, "<span class=\"tag%s\">%s", more, whose);
    html_addf(out, slash ? "<wbr>%s" : "%s", label + strlen(whose));
    free(whose);
    if (code)
        html_addf(out, " <small>%s</small>", code);
    text_add(out, "</span>");
}

static void add_swatch(struct text *out, const char *class,
                       const struct lab *lab, const char *words)
{
    html_addf(out,
              "<svg class=\"%s\" role=\"img\" aria-label=\"%s\" "
              "viewBox=\"0 0 10 10\" preserveAspectRatio=\"none\">",
              class, words);
    if (!lab) {
        text_add(out, "<rect class=\"bare\" width=\"10\" height=\"10\"/>"
                      "</svg>");
        return;
    }
    text_add(out, "<path fill=\"");
    page_colour(out, *lab);
    html_addf(out, "\" d=\"%s\"/></svg>",
              page_is_outside(*lab) ? "M0 0h7l3 3v7H0z" : "M0 0h10v10H0z");
}

void page_swatch_fill(struct text *out, const struct lab *lab,
                      const char *words)
{
    add_swatch(out, "sw fill", lab, words);
}

void page_swatch_cell(struct text *out, const struct lab *lab,
                      const char *words)
{
    add_swatch(out, "sw cell", lab, words);
}

void page_lab(struct text *out, struct lab lab)
{
    html_lab(out, lab.L, lab.a, lab.b, 1);
}

/* Puts the shapes that the page uses where `at` is. */
static void add_shapes(struct text *page, size_t at)
{
    struct text defs = {0}, whole = {0};
    const char *all = asset_find("hank.svg")->data;

    text_add(&defs, "<svg class=\"defs\" aria-hidden=\"true\" "
                    "focusable=\"false\">\n");
    for (size_t i = 0; i < ARRAY_LEN(shapes); i++) {
        struct text use = {0}, symbol = {0};
        const char *from, *to;

        text_addf(&use, "href=\"#%s\"", shapes[i]);
        text_addf(&symbol, "<symbol id=\"%s\"", shapes[i]);
        from = strstr(all, text_str(&symbol));
        to = from ? strstr(from, "</symbol>") : NULL;
        if (to && page->s && strstr(page->s + at, text_str(&use))) {
            text_add_n(&defs, from, (size_t)(to - from));
            text_add(&defs, "</symbol>\n");
        }
        text_clear(&use);
        text_clear(&symbol);
    }
    text_add(&defs, "</svg>\n");
    text_add_n(&whole, page->s, at);
    text_add_n(&whole, defs.s, defs.len);
    text_add(&whole, page->s + at + strlen(SHAPES_HERE));
    text_clear(&defs);
    text_clear(page);
    *page = whole;
}

void page_facts(struct text *out, const struct record *rec,
                const char *const *skipped, size_t skips)
{
    bool any = false;

    for (size_t i = 0; i < rec->noun->field_count; i++) {
        const struct record_field *f = &rec->field[i];
        bool skip = !f->words;
        for (size_t k = 0; k < skips; k++)
            skip = skip || !strcmp(f->field->name, skipped[k]);
        if (skip)
            continue;
        text_add(out, any ? "" : "<dl class=\"facts\">");
        any = true;
        html_addf(out, "<dt>%s</dt><dd>", f->field->title);
        if (f->field->kind == FIELD_DAY)
            html_addf(out, "%s</dd>", record_shown(f));
        else if (f->understood && /* "62 C" for "62" says it all */
                 !strncmp(f->understood, f->words, strlen(f->words)))
            html_addf(out, "%s</dd>", f->understood);
        else
            html_addf(out, "%s%s%s</dd>", f->words,
                      f->understood ? ", read as " : "", f->understood);
    }
    text_add(out, any ? "</dl>\n" : "");
}

/* ---- the frame -------------------------------------------------------------
 */

static const struct {
    const char *word, *address;
    bool gap;
} places[] = {
    {"Rack", "/", false},           {"Measure", "/measure", true},
    {"Find", "/find", true},        {"Compare", "/compare", false},
    {"Grid", "/grid", false},       {"Fade", "/fade", false},
    {"Palette", "/palette", false}, {"Plan", "/plan", true},
    {"Reckon", "/reckon", false},   {"Cupboard", "/cupboard", false},
    {"History", "/history", false}, {"More", "/more", false},
};

/* The thumb bar on a phone. */
static const struct {
    const char *word, *address, *drawing;
} thumbs[] = {
    {"Rack", "/",
     "<path d=\"M2 5h24M8 5c-3 7-3 12 0 17 3-5 3-10 0-17zM20 5c-3 7-3 12 0 "
     "17 3-5 3-10 0-17z\"/>"},
    {"Log", "/log",
     "<path d=\"M4 9h20v12a3 3 0 0 1-3 3H7a3 3 0 0 1-3-3zM1 9h26M10 5c0-2 "
     "2-2 2-4M16 5c0-2 2-2 2-4\"/>"},
    {"Measure", "/measure",
     "<path d=\"M2 8V3h5M21 3h5v5M26 20v5h-5M7 25H2v-5M9 10h10v8H9z\"/>"},
    {"Find", "/find",
     "<path d=\"M14 2v24M2 14h24\"/><circle cx=\"14\" cy=\"14\" r=\"8\"/>"},
    {"More", "/more", "<path d=\"M4 8h20M4 14h20M4 20h20\"/>"},
};

static const struct {
    const char *name, *words, *fill;
} grounds[] = {{"light", "light ground", "#ebebeb"},
               {"mid", "mid grey ground, L* 50", "#777777"},
               {"dark", "dark ground", "#1b1b1b"}};

/* The ground chosen by its cookie, or NULL. */
static const char *ground_of(const struct request *r)
{
    const char *cookie =
        MHD_lookup_connection_value(r->connection, MHD_COOKIE_KIND, "ground");

    for (size_t i = 0; cookie && i < ARRAY_LEN(grounds); i++)
        if (!strcmp(cookie, grounds[i].name))
            return grounds[i].name;
    return NULL;
}

void page_form(struct request *r, const char *action, const char *more)
{
    html_addf(&r->out, "<form method=\"post\" action=\"%s\"", action);
    text_addf(&r->out, "%s%s>", more ? " " : "", more ? more : "");
    html_addf(&r->out, "<input type=\"hidden\" name=\"token\" value=\"%s\">",
              r->mark);
}

/* This page's own address, for coming back to it; "/" for an answer to a
 * form. */
static void own_address(const struct request *r, struct text *out)
{
    if (r->post) {
        text_add(out, "/");
        return;
    }
    text_add(out, r->path);
    for (size_t i = 0; i < r->query.count; i++) {
        const struct pair *p = &r->query.pair[i];
        if (!strcmp(p->name, "saved") || !strcmp(p->name, "undone") ||
            !strcmp(p->name, "redone") || !strcmp(p->name, "withdrawn"))
            continue;
        text_add(out, strchr(text_str(out), '?') ? "&" : "?");
        html_url(out, p->name);
        text_add(out, "=");
        html_url(out, p->value);
    }
}

void page_way_back(struct request *r)
{
    struct text here = {0};

    own_address(r, &here);
    html_addf(&r->out, "<input type=\"hidden\" name=\"to\" value=\"%s\">\n",
              text_str(&here));
    text_clear(&here);
}

static void add_grounds(struct request *r)
{
    const char *now = ground_of(r);

    page_form(r, "/ground",
              "class=\"ground\" aria-label=\"Ground that the yarn is judged "
              "on\"");
    page_way_back(r);
    for (size_t i = 0; i < ARRAY_LEN(grounds); i++)
        html_addf(&r->out,
                  "<button type=\"submit\" name=\"ground\" value=\"%s\" "
                  "aria-pressed=\"%s\"><span class=\"hide\">%s</span>"
                  "<svg viewBox=\"0 0 26 26\" aria-hidden=\"true\"><circle "
                  "cx=\"13\" cy=\"13\" r=\"12\" fill=\"%s\"/></svg></button>\n",
                  grounds[i].name,
                  now && !strcmp(now, grounds[i].name) ? "true" : "false",
                  grounds[i].words, grounds[i].fill);
    text_add(&r->out, "</form>\n");
}

/* All that a stranger gets of the masthead. */
static void add_sign(struct text *o)
{
    text_add(o, "<header class=\"mast\"><span class=\"word\"><svg "
                "class=\"glyph\" viewBox=\"0 0 60 180\" "
                "aria-hidden=\"true\"><use href=\"#glyph\"/></svg> "
                "<span>hanklab</span></span></header>\n");
}

static void add_masthead(struct request *r, const char *here)
{
    struct text *o = &r->out;

    text_add(o, "<a class=\"skip\" href=\"#main\">Skip to the page</a>\n"
                "<header class=\"mast\">\n<a class=\"word\" href=\"/\">"
                "<svg class=\"glyph\" viewBox=\"0 0 60 180\" "
                "aria-hidden=\"true\"><use "
                "href=\"#glyph\"/></svg> <span>hanklab</span></a>\n"
                "<nav class=\"nav\" aria-label=\"Pages\"><ul>\n");
    for (size_t i = 0; i < ARRAY_LEN(places); i++) {
        bool open = here && !strcmp(here, places[i].word);
        text_add(o, places[i].gap ? "<li class=\"gap\">" : "<li>");
        html_addf(o, "<a href=\"%s\"", places[i].address);
        text_add(o, open ? " aria-current=\"page\"><span class=\"tag\">" : ">");
        text_add(o, places[i].word);
        text_add(o, open ? "</span></a></li>\n" : "</a></li>\n");
    }
    text_add(o, "</ul></nav>\n<div class=\"tools\">\n");
    add_grounds(r);
    text_add(o, "<a class=\"btn main\" href=\"/log\">Log a pot</a>\n"
                "</div>\n</header>\n");
}

static void add_thumbs(struct request *r, const char *here)
{
    text_add(&r->out,
             "<nav class=\"thumb\" aria-label=\"Pages, short\"><ul>\n");
    for (size_t i = 0; i < ARRAY_LEN(thumbs); i++) {
        bool open = here && !strcmp(here, thumbs[i].word);
        html_addf(&r->out, "<li><a href=\"%s\"", thumbs[i].address);
        text_add(&r->out, open ? " aria-current=\"page\">" : ">");
        text_add(&r->out, "<svg viewBox=\"0 0 28 28\" aria-hidden=\"true\">");
        text_add(&r->out, thumbs[i].drawing);
        html_addf(&r->out, "</svg>%s</a></li>\n", thumbs[i].word);
    }
    text_add(&r->out, "</ul></nav>\n");
}

/* "Saved. Undo" after a change, from the address's saved=ACT. */
static void add_saved(struct request *r)
{
    const char *act = pairs_get(&r->query, "saved");
    bool away = pairs_get(&r->query, "withdrawn") != NULL;

    bool again = pairs_get(&r->query, "redone") != NULL;

    if (again || pairs_get(&r->query, "undone"))
        html_addf(&r->out,
                  "<p class=\"saved\" role=\"status\">%s. "
                  "<a href=\"/history\">History</a> has it.</p>\n",
                  again ? "Brought back" : "Taken back");
    if (!act)
        return;
    page_form(r, "/undo", "class=\"saved\" role=\"status\"");
    page_way_back(r);
    html_addf(&r->out,
              "<input type=\"hidden\" name=\"act\" value=\"%s\">"
              "<span>%s</span> <button type=\"submit\">Undo</button>"
              "</form>\n",
              act, away ? "Withdrawn." : "Saved.");
}

void page_saved(struct request *r, const char *address)
{
    request_go(r, "%s%csaved=%lld", address, strchr(address, '?') ? '&' : '?',
               (long long)book_act(r->book));
}

bool page_bath(struct request *r, int64_t bath, struct text *out,
               struct error *err)
{
    struct record pot;
    bool ok = record_read(r->book, NOUN_BATH, bath, &pot, err);

    if (!ok)
        return false;
    if (pot.owner_id != book_dyer(r->book)) {
        ok = record_label(r->book, NOUN_DYER, pot.owner_id, out, err);
        text_add(out, "/");
    }
    text_add(out, record_get(&pot, "number")->words);
    record_clear(&pot);
    return ok;
}

void page_begin(struct request *r, const char *title, const char *here)
{
    const char *ground = ground_of(r);

    text_add(&r->out, "<!doctype html>\n<html lang=\"en\"");
    if (ground)
        html_addf(&r->out, " data-ground=\"%s\"", ground);
    html_addf(&r->out,
              ">\n<head>\n<meta charset=\"utf-8\">\n"
              "<meta name=\"viewport\" content=\"width=device-width, "
              "initial-scale=1\">\n<title>%s \xE2\x80\x93 hanklab</title>\n"
              "<link rel=\"stylesheet\" href=\"%s\">\n"
              "<link rel=\"stylesheet\" href=\"%s\">\n"
              "<link rel=\"stylesheet\" href=\"%s\" media=\"print\">\n"
              "<link rel=\"icon\" href=\"%s\">\n"
              "<script src=\"%s\" defer></script>\n</head>\n<body>\n",
              title, asset_find("look.css")->address,
              asset_find("more.css")->address, asset_find("paper.css")->address,
              asset_find("icon.svg")->address, asset_find("page.js")->address);
    text_add(&r->out, SHAPES_HERE);
    if (r->home || r->device)
        add_masthead(r, here);
    else
        add_sign(&r->out);
    text_add(&r->out, "<main id=\"main\">\n");
    add_saved(r);
    r->here = here;
}

void page_style(struct request *r, const char *name)
{
    html_addf(&r->out, "<link rel=\"stylesheet\" href=\"%s\">\n",
              asset_find(name)->address);
}

void page_script(struct request *r, const char *name)
{
    html_addf(&r->out, "<script src=\"%s\" defer></script>\n",
              asset_find(name)->address);
}

void page_end(struct request *r)
{
    char *at, today[11];

    day_iso(day_today(), today);
    html_addf(&r->out, "<p class=\"paper\">hanklab, %s</p>\n</main>\n", today);
    if (r->home || r->device)
        add_thumbs(r, r->here);
    text_add(&r->out, "</body>\n</html>\n");
    at = strstr(r->out.s, SHAPES_HERE);
    if (at)
        add_shapes(&r->out, (size_t)(at - r->out.s));
}

/* ---- uncertainty ----------------------------------------------------------
 */

static void add_axis(struct text *out, struct lab at,
                     const struct range_axis *axis)
{
    char low[64], high[64];
    struct lab step[STRIP_STEPS];
    struct text words = {0};

    strip_of_axis(at, axis, step);
    difference_words(at, axis->end[1], low, sizeof low);
    difference_words(at, axis->end[0], high, sizeof high);
    text_addf(&words, "From %s to %s", low, high);
    text_add(out, "<li>");
    strip_svg(step, STRIP_STEPS, text_str(&words), out);
    html_addf(out, "<span>%s</span><span>%s</span></li>\n", low, high);
    text_clear(&words);
}

void page_range(struct text *out, struct lab at, struct cov3 abs)
{
    struct range_axis axis[RANGE_AXES];

    range_of(at, abs, axis);
    if (!(axis[0].de00 >= RANGE_SEEN))
        return;
    text_add(out, "<div class=\"range\"><p class=\"small\">The true colour "
                  "may be as far off as the ends</p><ol>\n");
    for (int i = 0; i < RANGE_AXES && axis[i].de00 >= RANGE_SEEN; i++)
        add_axis(out, at, &axis[i]);
    text_add(out, "</ol></div>\n");
}
