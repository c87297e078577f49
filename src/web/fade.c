/* How a bath went from round to round: a strip for each mordant. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/html.h"
#include "base/mem.h"
#include "book/picture.h"
#include "book/record.h"
#include "narrow.h"
#include "page.h"
#include "routes.h"

#define BATHS 6 /* that are compared at once */

/* The baths that the address names, each once. */
static bool read_baths(struct request *r, int64_t id[BATHS], size_t *count,
                       struct error *err)
{
    const char *words;

    *count = 0;
    for (size_t i = 0; (words = pairs_nth(&r->query, "bath", i)); i++) {
        bool again = false;
        if (!*words)
            continue;
        if (*count == BATHS)
            return error_set(err, ERR_LIMIT, "at most %d baths at once", BATHS);
        if (!record_find(r->book, NOUN_BATH, words, &id[*count], err))
            return false;
        for (size_t k = 0; k < *count; k++)
            again = again || id[k] == id[*count];
        *count += !again;
    }
    return true;
}

/* One field of the choice; `none`, if not NULL, is a choice too. */
static bool add_field(struct request *r, const char *id, const char *label,
                      const char *none, int64_t now, struct error *err)
{
    int64_t *ids = NULL;
    size_t n = 0;
    bool ok = record_ids(r->book, NOUN_BATH, false, &ids, &n, err);

    html_addf(&r->out,
              "<p class=\"all\"><label for=\"%s\">%s</label><select id=\"%s\" "
              "name=\"bath\">\n",
              id, label, id);
    if (none)
        html_addf(&r->out, "<option value=\"\">%s</option>\n", none);
    for (size_t i = 0; ok && i < n; i++) {
        struct text words = {0}, called = {0};
        ok = record_label(r->book, NOUN_BATH, ids[i], &words, err) &&
             page_bath(r, ids[i], &called, err);
        if (ok)
            html_addf(&r->out, "<option value=\"%s\"%s>%s</option>\n",
                      text_str(&called), ids[i] == now ? " selected" : "",
                      text_str(&words));
        text_clear(&words);
        text_clear(&called);
    }
    text_add(&r->out, "</select></p>");
    free(ids);
    return ok;
}

/* The baths there are, and one beside them. */
static bool add_choice(struct request *r, const int64_t *id, size_t n,
                       struct error *err)
{
    bool ok;

    text_add(&r->out, "<form class=\"gridset\" action=\"/fade\" "
                      "method=\"get\">");
    ok = add_field(r, "bath", "Bath", NULL, n ? id[0] : 0, err);
    for (size_t i = 1; ok && i <= n && i < BATHS; i++) {
        char field[16];
        snprintf(field, sizeof field, "bath%zu", i);
        ok = add_field(r, field, "Beside it", "none", i < n ? id[i] : 0, err);
    }
    text_add(&r->out, "<p><button type=\"submit\">Show</button></p></form>\n");
    return ok;
}

static void round_words(const struct fade_round *round, struct text *out)
{
    if (round->known)
        ask_round_words(round->round, out);
    else
        text_add(out, "round not recorded");
}

static void lane_words(const struct fade *f, const struct fade_lane *lane,
                       struct text *out)
{
    text_add(out, lane->mordants ? lane->mordants : "mordant not recorded");
    if (lane->dips)
        text_addf(out, ", %s dip", lane->dips);
    if (f->fibres)
        text_addf(out, ", %s", lane->fibre ? lane->fibre : "yarn not recorded");
}

/* What foretells a lane's next round; NULL: nothing does. */
static const struct exhaust *told_of(const struct fade_lane *lane)
{
    const struct fade_stretch *last =
        lane->stretches ? &lane->stretch[lane->stretches - 1] : NULL;

    return last && last->fit.state == EXHAUST_FITTED ? &last->fit : NULL;
}

static bool is_told(const struct fade *f)
{
    for (size_t i = 0; i < f->lanes; i++)
        if (told_of(&f->lane[i]))
            return true;
    return false;
}

static void add_heads(struct text *o, const struct fade *f)
{
    text_add(o, "<div class=\"striphead\" aria-hidden=\"true\"><ol "
                "class=\"heads plain\">");
    for (size_t i = 0; i < f->rounds; i++) {
        struct text words = {0};
        round_words(&f->round[i], &words);
        html_addf(o, "<li>%s</li>", text_str(&words));
        text_clear(&words);
    }
    text_add(o, is_told(f) ? "<li>next, foretold</li></ol></div>\n"
                           : "</ol></div>\n");
}

static void add_run(struct text *o, const struct fade *f,
                    const struct fade_lane *lane)
{
    const struct exhaust *told = told_of(lane);
    const size_t n = f->rounds + is_told(f);

    html_addf(o,
              "<svg class=\"run\" viewBox=\"0 0 %zu 72\" "
              "preserveAspectRatio=\"none\" shape-rendering=\"crispEdges\" "
              "role=\"img\" aria-label=\"The rounds touching; the numbers "
              "stand below%s\">",
              n * 100, told ? "; the last, striped, is foretold" : "");
    for (size_t i = 0; i < f->rounds; i++) {
        if (!lane->cell[i].measured)
            continue;
        html_addf(o, "<rect x=\"%zu\" width=\"%d\" height=\"72\" fill=\"",
                  i * 100, i + 1 < f->rounds ? 101 : 100);
        page_colour(o, lane->cell[i].mean.lab);
        text_add(o, "\"/>");
    }
    if (told) {
        html_addf(o,
                  "<rect x=\"%zu\" width=\"100\" height=\"72\" "
                  "mask=\"url(#hatch)\" fill=\"",
                  f->rounds * 100);
        page_colour(o, told->next);
        html_addf(o,
                  "\"/><path class=\"bare\" d=\"M%zu 1v70M%zu 1v70M%zu "
                  "1h100M%zu 71h100\"/>",
                  f->rounds * 100 + 1, n * 100 - 1, f->rounds * 100,
                  f->rounds * 100);
    }
    text_add(o, "</svg>");
}

static void add_lane(struct text *o, const struct fade *f,
                     const struct fade_lane *lane, bool several)
{
    const struct exhaust *told = told_of(lane);
    struct text words = {0};

    lane_words(f, lane, &words);
    html_addf(o, "<section class=\"lanerow\" aria-label=\"%s",
              text_str(&words));
    if (several)
        html_addf(o, ", bath %s", f->bath);
    html_addf(o, "\"><header><h3>%s</h3></header>\n<div class=\"strip plain\">",
              text_str(&words));
    text_clear(&words);
    add_run(o, f, lane);
    text_add(o, "<ol>");
    for (size_t i = 0; i < f->rounds; i++) {
        const struct fade_cell *c = &lane->cell[i];
        html_addf(o, "<li><span class=\"nn\">%s</span>",
                  c->measured       ? c->labels
                  : *c->other_light ? "read under another light"
                  : c->lacking      ? "not measured"
                                    : "\xE2\x80\x93");
        if (i + 1 < f->rounds && !isnan(lane->cell[i + 1].before))
            html_addf(o, "<span class=\"dl\">%.1f</span>",
                      lane->cell[i + 1].before);
        text_add(o, "</li>");
    }
    if (told)
        html_addf(o, "<li>L* %.0f \xC2\xB1 %.0f</li>", told->next.L,
                  1.96 * sqrt(told->next_cov.LL));
    else if (is_told(f))
        text_add(o, "<li>not foretold</li>");
    text_add(o, "</ol></div></section>\n");
}

static void add_table(struct text *o, const struct fade *f)
{
    text_add(o, "<details><summary>As a table</summary><table "
                "class=\"acts-done\"><thead><tr><th>lane</th><th>round</th>"
                "<th>colour</th><th>L* a* b*</th><th>from the round before</th>"
                "<th>from the first</th><th>skeins</th></tr></thead><tbody>\n");
    for (size_t l = 0; l < f->lanes; l++)
        for (size_t i = 0; i < f->rounds; i++) {
            const struct fade_lane *lane = &f->lane[l];
            const struct fade_cell *c = &lane->cell[i];
            struct text words = {0};
            if (!c->measured)
                continue;
            lane_words(f, lane, &words);
            html_addf(o, "<tr><td>%s</td>", text_str(&words));
            text_reset(&words);
            round_words(&f->round[i], &words);
            html_addf(o, "<td>%s</td><td>%s</td><td>", text_str(&words),
                      colour_name_nearest(c->mean.lab)->name);
            page_lab(o, c->mean.lab);
            text_add(o, "</td><td class=\"num\">");
            if (!isnan(c->before))
                html_number(o, c->before, 1);
            text_add(o, "</td><td class=\"num\">");
            if (!isnan(c->first))
                html_number(o, c->first, 1);
            html_addf(o, "</td><td>%s</td></tr>\n", c->labels);
            text_clear(&words);
        }
    text_add(o, "</tbody></table></details>\n");
}

/* What the strength of the dye says, lane by lane. */
static void add_strengths(struct text *o, const struct fade *f)
{
    for (size_t k = 0; k < f->lanes; k++) {
        char *words = fade_words(f, &f->lane[k]), *line = words, *rest;
        struct text name = {0};
        if (*words) {
            lane_words(f, &f->lane[k], &name);
            html_addf(o, "<div class=\"say plain\"><b>%s</b><ul>",
                      text_str(&name));
        }
        for (; (rest = strchr(line, '\n')); line = rest + 1) {
            *rest = '\0';
            html_addf(o, "<li>%s</li>", line);
        }
        if (*words)
            text_add(o, "</ul></div>\n");
        text_clear(&name);
        free(words);
    }
}

static void add_remarks(struct text *o, const struct fade *f)
{
    for (size_t i = 0; i < f->additions; i++)
        html_addf(o,
                  "<div class=\"say plain\"><b>Before exhaust %lld went in"
                  "</b>%s</div>\n",
                  (long long)f->addition[i].before_round, f->addition[i].what);
    for (size_t i = 0; i < f->skips; i++)
        html_addf(o,
                  "<div class=\"say plain\"><b>Exhaust %lld is not recorded"
                  "</b></div>\n",
                  (long long)f->skipped[i]);
}

/* The curves of all of them, when there are any. */
static void add_curves(struct text *o, const struct fade *fade, size_t n)
{
    bool any = false;

    for (size_t i = 0; i < n; i++)
        for (size_t k = 0; k < fade[i].lanes; k++)
            any = any || told_of(&fade[i].lane[k]);
    if (!any)
        return;
    text_add(o, "<div class=\"curves\">\n");
    picture_of_fades(fade, n, o);
    text_add(o, "</div>\n");
}

static void add_fade(struct text *o, const struct fade *f, bool several)
{
    if (several)
        html_addf(o, "<h2>Bath %s</h2>\n", f->bath);
    add_strengths(o, f);
    text_add(o, "<section class=\"fade\" aria-label=\"Strips, one lane a "
                "mordant");
    if (several)
        html_addf(o, ", bath %s", f->bath);
    text_add(o, "\">\n");
    add_heads(o, f);
    for (size_t i = 0; i < f->lanes; i++)
        add_lane(o, f, &f->lane[i], several);
    text_add(o, "<p class=\"small quiet key\">Below each strip: skein "
                "numbers, and &Delta;E00 from one round to the next. D50, "
                "2&deg;.");
    if (is_told(f))
        text_add(o, " What is striped is a model's: the colour that the "
                    "next round should have.");
    text_add(o, "</p></section>\n");
    add_remarks(o, f);
    narrow_left_out(o, f->left_out, false);
    add_table(o, f);
}

static bool add_page(struct request *r, const int64_t *id,
                     const struct fade *fade, size_t n, struct error *err)
{
    struct text *o = &r->out;
    bool told = false;

    page_begin(r, "Fade", "Fade");
    text_add(o, "<div class=\"head\"><h1>How the exhausts of a bath fade</h1>"
                "<p>");
    for (size_t i = 0; i < n; i++)
        html_addf(o, "%s%s", i ? ", " : "", fade[i].bath);
    text_add(o, n ? "</p></div>\n" : "Choose one.</p></div>\n");
    if (!add_choice(r, id, n, err))
        return false;
    add_curves(o, fade, n);
    for (size_t i = 0; i < n; i++)
        told = told || is_told(&fade[i]);
    if (told)
        page_hatch(o);
    for (size_t i = 0; i < n; i++)
        add_fade(o, &fade[i], n > 1);
    if (n)
        narrow_picture_link(r);
    page_end(r);
    return true;
}

bool fade_page(struct request *r, struct error *err)
{
    struct ask_filter any = ask_filter_any();
    struct fade fade[BATHS];
    int64_t id[BATHS];
    size_t n, asked = 0;
    bool ok = read_baths(r, id, &n, err);

    for (; ok && asked < n; asked += ok)
        ok = ask_fade(r->book, id[asked], &any, (double)NAN, &fade[asked], err);
    if (ok && n && narrow_picture(r, "fade"))
        picture_of_fades(fade, n, &r->out);
    else
        ok = ok && add_page(r, id, fade, n, err);
    for (size_t i = 0; i < asked; i++)
        fade_clear(&fade[i]);
    return ok;
}
