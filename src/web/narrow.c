/* What a question is narrowed to. See narrow.h. */
#include "narrow.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/html.h"
#include "base/mem.h"

static const struct {
    const char *name, *label, *hint;
    bool is_switch;
} filters[] = {
    {"dyestuff", "dyestuff", "last dyed with it", false},
    {"mordant", "mordant", "alum, iron ...", false},
    {"dip", "dip", "dipped in it since", false},
    {"round", "round", "first, exhaust 2", false},
    {"bath", "bath", "number or name", false},
    {"fibre", "yarn", "which yarn", false},
    {"ph", "pH", "7..8", false},
    {"per-fibre", "% of fibre", "50..100", false},
    {"date", "when", "May 2026, summer 2019", false},
    {"water", "water", "which water", false},
    {"supply", "supply", "made with that batch", false},
    {"owner", "whose", "me, or a name", false},
    {"glow", "ultraviolet glow", "any, none, faint, strong", false},
    {"fastness", "fastness at least", "4, or wash 3-4", false},
    {"text", "words of a note", "as far as you know them", false},
    {"part", "part", "covered, exposed, dipped or rest", false},
    {"no-dip", "not dipped", NULL, true},
    {"only", "nothing beside these", NULL, true},
    {"ever", "at any time of its life", NULL, true},
    {"unfinished", "unfinished", NULL, true},
    {"wet", "read wet", NULL, true},
};

bool narrow_read(struct request *r, struct ask_filter *out, struct error *err)
{
    *out = ask_filter_any();
    for (size_t i = 0; i < ARRAY_LEN(filters); i++) {
        const char *words;
        for (size_t n = 0; (words = pairs_nth(&r->query, filters[i].name, n));
             n++)
            if (words[strspn(words, " ")] &&
                !ask_filter_read(r->book, out, filters[i].name, words, err))
                return false;
    }
    return true;
}

bool narrow_any(const struct request *r)
{
    for (size_t i = 0; i < ARRAY_LEN(filters); i++)
        if (pairs_get(&r->query, filters[i].name))
            return true;
    return false;
}

static void add_field(struct request *r, size_t i)
{
    const char *words = pairs_get(&r->query, filters[i].name);

    if (filters[i].is_switch) {
        html_addf(&r->out,
                  "<p class=\"tick\"><input type=\"checkbox\" id=\"n-%s\" "
                  "name=\"%s\" value=\"yes\"",
                  filters[i].name, filters[i].name);
        text_add(&r->out, words ? " checked>" : ">");
        html_addf(&r->out, "<label for=\"n-%s\">%s</label></p>\n",
                  filters[i].name, filters[i].label);
        return;
    }
    html_addf(&r->out,
              "<p><label for=\"n-%s\">%s</label><input id=\"n-%s\" "
              "name=\"%s\" value=\"%s\" placeholder=\"%s\" "
              "autocomplete=\"off\"></p>\n",
              filters[i].name, filters[i].label, filters[i].name,
              filters[i].name, words, filters[i].hint);
}

void narrow_fields(struct request *r)
{
    text_add(&r->out, "<details class=\"narrow\"><summary>Narrow to&hellip;"
                      "</summary><div>\n");
    for (size_t i = 0; i < ARRAY_LEN(filters); i++)
        add_field(r, i);
    text_add(&r->out, "<p><button type=\"submit\">Show</button></p>"
                      "</div></details>\n");
}

/* This page without one of the words in its address, or those of a name, NULL:
 * none; and without blanks. */
static void address_without(const struct request *r, size_t left_out,
                            const char *name, struct text *to)
{
    text_add(to, r->path);
    for (size_t i = 0; i < r->query.count; i++) {
        const struct pair *p = &r->query.pair[i];
        if (i == left_out || !*p->value || (name && !strcmp(p->name, name)))
            continue;
        text_add(to, strchr(text_str(to), '?') ? "&" : "?");
        html_url(to, p->name);
        text_add(to, "=");
        html_url(to, p->value);
    }
}

static void add_chip(struct request *r, size_t at, const char *label,
                     bool is_switch)
{
    struct text to = {0};

    address_without(r, at, NULL, &to);
    html_addf(&r->out, "<li class=\"on\"><a class=\"chip on\" href=\"%s\">%s",
              text_str(&to), label);
    if (!is_switch)
        html_addf(&r->out, ": %s", r->query.pair[at].value);
    text_add(&r->out, " <span class=\"x\" aria-hidden=\"true\">&times;</span>"
                      "<span class=\"hide\">remove</span></a></li>\n");
    text_clear(&to);
}

void narrow_chips(struct request *r)
{
    bool any = false;

    for (size_t k = 0; k < r->query.count; k++)
        for (size_t i = 0; i < ARRAY_LEN(filters); i++) {
            const struct pair *p = &r->query.pair[k];
            if (strcmp(p->name, filters[i].name) || !*p->value)
                continue;
            if (!any)
                text_add(&r->out, "<nav aria-label=\"Narrowed to\"><ul "
                                  "class=\"chips\">\n");
            any = true;
            add_chip(r, k, filters[i].label, filters[i].is_switch);
        }
    if (any)
        text_add(&r->out, "</ul></nav>\n");
}

void narrow_address(const struct request *r, const char *name, struct text *to)
{
    address_without(r, SIZE_MAX, name, to);
}

bool narrow_picture(struct request *r, const char *name)
{
    if (!pairs_get(&r->query, "svg"))
        return false;
    r->type = "image/svg+xml";
    snprintf(r->save_as, sizeof r->save_as, "%s.svg", name);
    return true;
}

void narrow_picture_link(struct request *r)
{
    struct text to = {0};

    narrow_address(r, NULL, &to);
    html_addf(&r->out,
              "<p class=\"more\"><a href=\"%s%ssvg=yes\">Keep this as a "
              "picture (SVG)</a></p>\n",
              text_str(&to), strchr(text_str(&to), '?') ? "&" : "?");
    text_clear(&to);
}

void narrow_left_out(struct text *out, const size_t left_out[ASK_LACKS],
                     bool wet)
{
    size_t all = 0;

    for (int i = ASK_OTHER_LIGHT; i < ASK_LACKS; i++)
        all += left_out[i];
    if (!all)
        return;
    html_addf(out,
              "<p class=\"small quiet\">%zu skein%s without a colour to "
              "go by:",
              all, all == 1 ? "" : "s");
    for (int i = ASK_OTHER_LIGHT; i < ASK_LACKS; i++)
        if (left_out[i])
            html_addf(out, " %zu %s;", left_out[i],
                      ask_lack_words((enum ask_lack)i, wet));
    out->s[--out->len] = '\0'; /* the last semicolon */
    text_add(out, ".</p>\n");
}

const char *verdict_short(enum verdict verdict)
{
    switch (verdict) {
    case VERDICT_MATCH:
        return "match";
    case VERDICT_CANNOT_TELL:
        return "photos cannot tell";
    case VERDICT_DIFFERENT:
        return "different";
    }
    return "";
}

void narrow_bar(struct text *out, double value, double low, double high,
                double top)
{
    double k = 148 / fmax(top, 1);

    html_addf(out,
              "<svg class=\"dbar\" viewBox=\"0 0 160 18\" "
              "aria-hidden=\"true\"><path class=\"axis\" d=\"M8 9h148\"/>"
              "<rect class=\"band\" x=\"%.1f\" y=\"5\" width=\"%.1f\" "
              "height=\"8\"/><path class=\"at\" d=\"M%.1f 2v14\"/></svg>",
              8 + k * low, fmax(0, k * (fmin(high, top) - low)), 8 + k * value);
}
