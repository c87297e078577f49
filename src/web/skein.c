/* A skein's page: what it is, how its colour was read, its life, what lies
 * near, what is not known. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/html.h"
#include "base/mem.h"
#include "book/ask.h"
#include "book/beware.h"
#include "book/photo.h"
#include "book/sheet.h"
#include "colour/range.h"
#include "fastness.h"
#include "page.h"
#include "photos.h"
#include "routes.h"

#define NEAREST 5

static const char *words_of(const struct record *r, const char *field)
{
    const struct record_field *f = record_get(r, field);

    return f ? f->words : NULL;
}

/* ---- the top ---------------------------------------------------------------
 */

/* A photo cut to a region of it. */
static void add_cut(struct text *o, const struct record *photo,
                    const struct record *region)
{
    const double x = record_get(region, "x")->low;
    const double y = record_get(region, "y")->low;
    const double w = record_get(region, "w")->low;
    const double h = record_get(region, "h")->low;
    const double m = fmax(w, h) * 0.18;

    html_addf(o,
              "<svg class=\"crop\" viewBox=\"%.0f %.0f %.0f %.0f\" "
              "preserveAspectRatio=\"xMidYMid slice\" role=\"img\" "
              "aria-label=\"The photo as the camera took it, with the "
              "measured region\"><image href=\"/photo/%lld/" PHOTO_LARGE
              "\" width=\"%s\" height=\"%s\"/>",
              x - m, y - m, w + 2 * m, h + 2 * m, (long long)photo->id,
              words_of(photo, "width"), words_of(photo, "height"));
    html_addf(o,
              "<g class=\"box\"><rect class=\"halo\" x=\"%.0f\" y=\"%.0f\" "
              "width=\"%.0f\" height=\"%.0f\"/><rect x=\"%.0f\" "
              "y=\"%.0f\" width=\"%.0f\" height=\"%.0f\"/></g></svg>",
              x, y, w, h, x, y, w, h);
}

/* The first photo a reading came from, beside the swatch; *of so many. */
static bool add_crop(struct request *r, int64_t reading, size_t *of,
                     struct error *err)
{
    int64_t *ids = NULL;
    size_t n = 0;
    struct record region = {0}, photo = {0};
    bool ok = record_children(r->book, NOUN_REGION, "reading", reading, &ids,
                              &n, err);

    if (ok && n)
        ok = record_read(r->book, NOUN_REGION, ids[0], &region, err) &&
             record_read(r->book, NOUN_PHOTO,
                         record_get(&region, "photo")->ref_id, &photo, err);
    if (ok && n)
        add_cut(&r->out, &photo, &region);
    record_clear(&photo);
    record_clear(&region);
    free(ids);
    *of = n;
    return ok;
}

static bool add_look(struct request *r, const struct ask_skein *now,
                     struct error *err)
{
    const struct lab *lab = &now->reading.colour.lab;
    const char *name = colour_name_nearest(*lab)->name;
    struct text words = {0};
    size_t photos = 0;
    bool ok = true;

    text_addf(&words, "Swatch of skein %s, %s", now->label, name);
    text_add(&r->out, "<figure class=\"look\"><div class=\"touch\">");
    page_swatch_fill(&r->out, lab, text_str(&words));
    if (now->reading.photo)
        ok = add_crop(r, now->reading.id, &photos, err);
    text_add(&r->out, "</div>\n<figcaption><span>as it is, under D50");
    if (page_is_outside(*lab))
        text_add(&r->out, "; stronger than a screen shows, so paler here");
    text_add(&r->out, "</span>");
    if (photos > 1)
        text_addf(&r->out,
                  "<span>as the camera took it; measured inside the line, and "
                  "in %zu photos</span>",
                  photos);
    else if (photos)
        text_add(&r->out, "<span>as the camera took it; measured "
                          "inside the line</span>");
    text_add(&r->out, "</figcaption></figure>\n");
    text_clear(&words);
    return ok;
}

/* Where a coordinate and its interval lie between its ends. */
static void add_whisker(struct text *o, double x, double u, double low,
                        double high)
{
    double at = 200 * (x - low) / (high - low), k = 200 / (high - low);
    double from = fmax(0, at - 2 * u * k), to = fmin(200, at + 2 * u * k);

    at = fmin(200, fmax(0, at));
    text_add(o, "<svg class=\"whisk\" viewBox=\"0 0 200 16\" "
                "aria-hidden=\"true\"><path class=\"axis\" d=\"M0 8h200\"/>");
    if (low < 0)
        text_add(o, "<path class=\"zero\" d=\"M100 3v10\"/>");
    if (to > from)
        html_addf(o,
                  "<rect class=\"band\" x=\"%.1f\" y=\"3\" width=\"%.1f\" "
                  "height=\"10\"/>",
                  from, to - from);
    html_addf(o, "<path class=\"at\" d=\"M%.1f 1v14\"/></svg>", at);
}

static void add_coordinate(struct text *o, const char *name, double x, double u,
                           double low, double high)
{
    html_addf(o, "<tr><th scope=\"row\">%s</th><td class=\"num\">", name);
    html_number(o, x, 1);
    text_add(o, "</td><td class=\"num pm\">&plusmn; ");
    html_number(o, 2 * u, 1);
    text_add(o, "</td><td>");
    add_whisker(o, x, u, low, high);
    text_add(o, "</td></tr>\n");
}

static void add_numbers(struct text *o, const struct ask_skein *now)
{
    const struct ask_reading *q = &now->reading;
    const struct lab *c = &q->colour.lab;
    const struct cov3 *u = &q->colour.abs;

    text_add(o, "<table class=\"labt\"><caption class=\"hide\">CIELAB, D50, 2 "
                "degree observer</caption><tbody>\n");
    add_coordinate(o, "L*", c->L, sqrt(u->LL), 0, 100);
    add_coordinate(o, "a*", c->a, sqrt(u->aa), -80, 80);
    add_coordinate(o, "b*", c->b, sqrt(u->bb), -80, 80);
    html_addf(o,
              "</tbody></table>\n<p class=\"small quiet\">D50, 2&deg;, from "
              "%s; &plusmn; "
              "is right about 95 times in 100.%s</p>\n",
              q->photo ? "a photo with a grey card" : "an instrument",
              q->assumed_u ? " No uncertainty was recorded: that of a usual "
                             "reading of yarn is shown."
                           : "");
    page_range(o, *c, *u);
    if (!isnan(ask_unevenness(q)))
        html_addf(o,
                  "<dl class=\"facts\"><dt>how even is the dye</dt><dd>%s: "
                  "it varies by %.1f &Delta;E00 over the skein</dd></dl>\n",
                  range_even_words(ask_unevenness(q)), ask_unevenness(q));
}

static void add_readings(struct text *o, const struct sheet_readings *q)
{
    for (size_t i = 0; i < q->count; i++) {
        const struct sheet_reading *x = &q->reading[i];
        bool d50 = !strcmp(x->illuminant, "D50") && x->observer_deg == 2;
        text_add(o, "<p class=\"small\">");
        page_lab(o, x->lab);
        if (!d50)
            html_addf(o, " under %s, %d&deg;", x->illuminant, x->observer_deg);
        text_add(o, " <span class=\"quiet\">by ");
        sheet_reading_by(x, o);
        html_addf(o, "%s%s%s%s%s</span></p>", x->wet ? ", wet" : "",
                  strcmp(x->part, "whole") ? ", " : "",
                  strcmp(x->part, "whole") ? sheet_part_words(x->part) : "",
                  x->on ? ", " : "", x->on);
    }
}

/* After its last step; before any, when there is none. */
static const struct sheet_readings *readings_now(const struct skein_sheet *s)
{
    for (size_t i = s->steps; i-- > 0;)
        if (s->step[i].own && s->step[i].event.entry_id)
            return &s->step[i].readings;
    return &s->before;
}

/* Why there is no colour, and what is known in its place. */
static void add_lack(struct text *o, const struct skein_sheet *s)
{
    const struct ask_skein *now = &s->now;

    if (now->as) {
        html_addf(o,
                  "<p>Not measured itself; shown as skein %s was before it was "
                  "cut, for nothing was done to it since.</p>\n<p>",
                  now->as);
        page_lab(o, now->as_reading.colour.lab);
        text_add(o, "</p>\n");
        return;
    }
    html_addf(o, "<p>%s.</p>\n", ask_lack_words(now->lack, false));
    if (now->lack != ASK_OTHER_LIGHT)
        return;
    add_readings(o, readings_now(s));
    text_add(o, "<p class=\"small quiet\">Kept as it was typed. The rack, "
                "Find, the grid and palettes go by D50, 2&deg;: set the "
                "instrument to that if it can. Fade and Compare can go by "
                "another light.</p>\n");
}

/* A photo that is older than what was done last to the skein, or that may show
 * a part of it alone. */
static bool add_doubt(struct request *r, const struct ask_reading *q,
                      struct error *err)
{
    struct text doubt = {0};
    bool ok = photo_reading_doubt(r->book, q->id, &doubt, err);

    if (ok && doubt.len)
        html_addf(&r->out,
                  "<p class=\"say doubt\">Is this its colour now? %s. <a "
                  "href=\"/record/reading/%lld\">Change the reading</a></p>\n",
                  text_str(&doubt), (long long)q->id);
    text_clear(&doubt);
    return ok;
}

/* What can be done with it. */
static void add_acts(struct text *o, const struct ask_skein *now)
{
    static const struct {
        const char *address, *word;
    } acts[] = {
        {"/measure?skein=", "Measure"},
        {"/compare?a=", "Lay beside another"},
        {"/repeat?skein=", "Once more"},
        {"/treat?skein=", "Dip, wash or mordant"},
        {"/cut?skein=", "Cut"},
        {"/record/reading?skein=", "Enter a reading"},
        {"/fastness?skein=", "Test how it lasts"},
        {"/record/sight?skein=", "Glow under UV"},
        {"/print/tags?which=", "Tag"},
        {"/print/skein?which=", "Print"},
    };
    struct text which = {0};

    html_url(&which, now->label);
    text_add(o, "<p class=\"acts\">");
    for (size_t i = 0; i < ARRAY_LEN(acts); i++)
        html_addf(o, "<a class=\"btn\" href=\"%s%s\">%s%s</a> ",
                  acts[i].address, text_str(&which), acts[i].word,
                  !i && now->lack == ASK_HAS_COLOUR ? " again" : "");
    html_addf(o,
              "<a class=\"btn\" href=\"/record/skein/%lld\">Change</a></p>\n"
              "</div>\n",
              (long long)now->id);
    text_clear(&which);
}

/* What was cut off it or plied from it, and what is left. */
static void add_pieces(struct text *o, const struct skein_sheet *s)
{
    if (!s->pieces)
        return;
    text_add(o, "<dl class=\"facts\"><dt>Went into</dt><dd>");
    for (size_t i = 0; i < s->pieces; i++) {
        const struct record_field *amount = record_get(&s->piece[i], "amount");
        const char *into = record_get(&s->piece[i], "child")->words;

        html_addf(o, "%sskein <a href=\"/skein/%-s\">%s</a>%s%s", i ? ", " : "",
                  into, into, amount ? ": " : "",
                  amount ? amount->words : NULL);
    }
    text_add(o, "</dd>");
    if (s->cut_up || !isnan(s->left_g)) {
        text_add(o, "<dt>Left of it</dt><dd>");
        if (!s->cut_up && s->left_g > 0.05)
            html_addf(o, "%.1f g", s->left_g);
        else
            text_add(o, "nothing");
        text_add(o, "</dd>");
    }
    text_add(o, "</dl>\n");
}

static bool add_top(struct request *r, const struct skein_sheet *s,
                    struct error *err)
{
    static const char *const skipped[] = {"name", "number", "colour"};
    struct text *o = &r->out, recipe = {0}, colour = {0};
    const struct ask_skein *now = &s->now;
    bool has = now->lack == ASK_HAS_COLOUR, ok = true;
    const char *own = words_of(&s->skein, "colour");
    const char *name = words_of(&s->skein, "name");

    ask_recipe_words(now, &recipe);
    text_add(o, "<div class=\"skein-top\">\n<div class=\"peg\"><span "
                "class=\"stub\"></span>");
    ask_colour_words(now, &colour);
    page_hank(o, HANK_LARGE, ask_skein_colour(now));
    text_add(o, "<span class=\"string\"></span>");
    page_tag(o, " big", now->label, now->code);
    html_addf(o,
              "</div>\n<div class=\"skein-mid\">\n<header class=\"skein-head\">"
              "<h1>Skein %s",
              now->label);
    if (name || own)
        html_addf(o, " <span class=\"own\">%s</span>", own ? own : name);
    html_addf(o, "</h1>\n<p>%s%s%s", text_str(&colour),
              recipe.len ? " \xC2\xB7 " : "", text_str(&recipe));
    if (now->bath_id)
        html_addf(o, " \xC2\xB7 <a href=\"/bath/%-s\">bath %s</a>", now->bath,
                  now->bath);
    html_addf(o, "%s%s%s</p></header>\n",
              s->skein.withdrawn ? " \xC2\xB7 withdrawn" : "",
              s->cut_up ? " \xC2\xB7 " : "", s->cut_up);
    if (has)
        ok = add_look(r, now, err);
    add_acts(o, now);
    text_add(o, "<section class=\"lab\" aria-labelledby=\"h-lab\"><h2 "
                "id=\"h-lab\">Colour</h2>\n");
    if (has) {
        add_numbers(o, now);
        ok = ok && add_doubt(r, &now->reading, err);
    } else {
        add_lack(o, s);
    }
    page_facts(o, &s->skein, skipped, ARRAY_LEN(skipped));
    add_pieces(o, s);
    text_add(o, "</section>\n</div>\n");
    text_clear(&recipe);
    text_clear(&colour);
    return ok;
}

/* ---- its life --------------------------------------------------------------
 */

static void add_step_head(struct text *o, const struct sheet_step *s)
{
    const struct life_event *e = &s->event;
    struct text round = {0};

    if (e->has_round)
        ask_round_words(e->round, &round);
    if (e->kind == LIFE_CUT) {
        html_addf(o, "<h3>skein %s from skein %s</h3>", e->into, e->skein);
    } else {
        html_addf(o, "<h3>%s%s%s%s%s", e->treatment, e->with ? ": " : "",
                  e->with, round.len ? ", " : "", text_str(&round));
        if (e->bath)
            html_addf(o, ", bath %s", e->bath);
        html_addf(o, "%s%s%s</h3>", s->own ? "" : " (as skein ",
                  s->own ? "" : e->skein, s->own ? "" : ")");
    }
    text_clear(&round);
}

static void add_step_facts(struct text *o, const struct sheet_step *s)
{
    static const char *const facts[] = {"temperature", "minutes", "vessel",
                                        "dips", "airing"};
    bool any = false;

    text_add(o, "<p>");
    for (size_t i = 0; i < s->doses.count; i++) {
        const struct sheet_dose *d = &s->doses.dose[i];
        const char *much = d->understood ? d->understood : d->words;
        html_addf(o, "%s%s%s%s", any ? "; " : "", d->what, much ? " " : "",
                  much);
        any = true;
    }
    for (size_t i = 0; s->treatment.noun && i < ARRAY_LEN(facts); i++) {
        const char *words = words_of(&s->treatment, facts[i]);
        if (!words)
            continue;
        html_addf(o, "%s%s %s", any ? "; " : "", facts[i], words);
        any = true;
    }
    if (s->ph)
        html_addf(o, "%spH %s", any ? "; " : "", s->ph);
    text_add(o, "</p>");
}

/* The last of them that a swatch can show, or NULL. */
static const struct lab *colour_after(const struct sheet_readings *q)
{
    for (size_t i = q->count; i-- > 0;)
        if (!q->reading[i].wet && !strcmp(q->reading[i].part, "whole") &&
            !strcmp(q->reading[i].illuminant, "D50") &&
            q->reading[i].observer_deg == 2)
            return &q->reading[i].lab;
    return NULL;
}

static void add_life(struct text *o, const struct skein_sheet *s)
{
    const struct lab *seen = colour_after(&s->before);

    text_add(o, "<section aria-labelledby=\"h-life\"><h2 id=\"h-life\">Its "
                "life</h2>\n<ol class=\"life\">\n");
    if (s->before.count || !s->steps) {
        text_add(o, "<li>");
        page_hank(o, HANK_SMALL, seen);
        text_add(o, "<div><h3>undyed</h3>");
        add_readings(o, &s->before);
        text_add(o, "</div><p class=\"when\"></p></li>\n");
    }
    for (size_t i = 0; i < s->steps; i++) {
        const struct sheet_step *step = &s->step[i];
        if (step->event.kind != LIFE_CUT) /* which changes no colour */
            seen = colour_after(&step->readings);
        text_add(o, "<li>");
        page_hank(o, HANK_SMALL, seen);
        text_add(o, "<div>");
        add_step_head(o, step);
        add_step_facts(o, step);
        add_readings(o, &step->readings);
        html_addf(o, "</div><p class=\"when\">%s</p></li>\n",
                  step->event.on_words);
    }
    text_add(o, "</ol></section>\n");
}

/* ---- measured again --------------------------------------------------------
 */

static bool add_earlier_row(struct request *r, const struct ask_reading *now,
                            const struct ask_reading *was, struct error *err)
{
    struct text *o = &r->out;
    struct comparison c;
    char verdict[80], words[80];
    bool same;

    if (!ask_same_setup(r->book, now->id, was->id, &same, err))
        return false;
    c = compare_readings(now->colour, was->colour, same, 2);
    verdict_words(c, verdict, sizeof verdict);
    difference_words(was->colour.lab, now->colour.lab, words, sizeof words);
    text_add(o, "<li>");
    page_hank(o, HANK_SMALL, &was->colour.lab);
    html_addf(o, "<div><h3>%s%s</h3><p>", *was->day ? "on " : "on a day ",
              *was->day ? was->day : "not recorded");
    page_lab(o, was->colour.lab);
    html_addf(o, "</p></div><p class=\"when\"><b class=\"num\">%.1f</b> %s",
              c.de00, verdict);
    if (c.verdict == VERDICT_DIFFERENT && *words)
        html_addf(o, ": now %s", words);
    text_add(o, "</p></li>\n");
    return true;
}

/* Earlier readings of the same state, each held against its colour. */
static bool add_earlier(struct request *r, const struct skein_sheet *s,
                        struct error *err)
{
    struct ask_filter any = ask_filter_any();
    struct ask_reading *q;
    size_t n;
    bool ok = ask_readings(r->book, &s->now, &any, &q, &n, err);

    if (ok && n > 1)
        text_add(&r->out, "<section aria-labelledby=\"h-was\"><h2 id=\"h-was\">"
                          "Measured before</h2>\n<ol class=\"life was\">\n");
    for (size_t i = 1; ok && i < n; i++)
        ok = add_earlier_row(r, &q[0], &q[i], err);
    if (ok && n > 1)
        text_add(&r->out, "</ol>\n<p class=\"small quiet\">&Delta;E00 from "
                          "its colour now. Every reading is kept.</p>"
                          "</section>\n");
    free(q);
    return ok;
}

static void add_picture(struct text *o, long long photo)
{
    html_addf(o,
              "<a href=\"/photo/%lld\"><img src=\"/photo/%lld/" PHOTO_SMALL
              "\" alt=\"Photo %lld of this skein\" loading=\"lazy\"></a>",
              photo, photo, photo);
}

/* Pictures it is seen on: the tag, the finished thing, its glow; and a glow
 * that was seen without one. */
static void add_pictures(struct text *o, const struct skein_sheet *s)
{
    if (!s->sights)
        return;
    text_add(o, "<section aria-labelledby=\"h-pic\"><h2 id=\"h-pic\">Photos"
                "</h2>\n<ul class=\"pictures\">\n");
    for (size_t i = 0; i < s->sights; i++) {
        const struct record *sight = &s->sight[i];
        const char *glow = words_of(sight, "glow");
        const char *tint = words_of(sight, "glow-colour");
        const struct record_field *on = record_get(sight, "on");

        text_add(o, "<li>");
        if (s->picture[i].noun)
            add_picture(o, (long long)s->picture[i].id);
        if (glow || tint)
            html_addf(o, "<p>glow under ultraviolet: %s%s%s</p>", glow,
                      glow && tint ? ", " : "", tint);
        if (!s->picture[i].noun)
            html_addf(o, "<p class=\"quiet\">seen by eye%s%s</p>",
                      on ? ", " : "", on ? record_shown(on) : NULL);
        text_add(o, "</li>\n");
    }
    text_add(o, "</ul></section>\n");
}

/* ---- beside it -------------------------------------------------------------
 */

static bool add_nearest(struct request *r, int64_t skein, struct error *err)
{
    struct find_request like = {.filter = ask_filter_any(),
                                .like = skein,
                                .tolerance = 2,
                                .limit = NEAREST};
    struct find_answer near;
    struct text *o = &r->out;

    if (!ask_find(r->book, &like, &near, err))
        return false;
    text_add(o, "<section aria-labelledby=\"h-near\"><h2 id=\"h-near\">Nearest "
                "on the rack</h2>\n");
    if (!near.found_with_colour)
        text_add(o, "<p>No other skein has been measured.</p>\n");
    else
        text_add(o, "<table class=\"near\"><thead class=\"hide\"><tr><th>skein"
                    "</th><th>recipe</th><th>difference</th></tr></thead>"
                    "<tbody>\n");
    for (size_t i = 0; i < near.count; i++) {
        const struct find_row *row = &near.row[i];
        struct text recipe = {0};
        const char *verdict = row->compared.verdict == VERDICT_MATCH
                                  ? "match within 2"
                              : row->compared.verdict == VERDICT_DIFFERENT
                                  ? "different"
                                  : "this photo cannot tell";
        if (row->skein.lack != ASK_HAS_COLOUR)
            continue;
        ask_recipe_words(&row->skein, &recipe);
        html_addf(o, "<tr><td><a class=\"hs\" href=\"/skein/%-s\">",
                  row->skein.label);
        page_hank(o, HANK_SMALL, &row->skein.reading.colour.lab);
        html_addf(o,
                  "<span class=\"tag\">%s</span></a></td><td>%s</td><td "
                  "class=\"num\"><b>%.1f</b><br>%s</td></tr>\n",
                  row->skein.label, text_str(&recipe), row->de00, verdict);
        text_clear(&recipe);
    }
    if (near.found_with_colour)
        html_addf(
            o,
            "</tbody></table>\n<p class=\"small quiet\">&Delta;E00. Where the "
            "photo cannot tell, lay the skeins together.</p>\n"
            "<p class=\"more\"><a href=\"/find?like=%lld\">All like this"
            "</a></p>\n",
            (long long)near.like.number);
    text_add(o, "</section>\n");
    find_answer_clear(&near);
    return true;
}

static bool add_cautions(struct request *r, const struct skein_sheet *s,
                         struct error *err)
{
    int64_t seen[64];
    size_t n = 0;

    for (size_t i = 0; i < s->steps; i++)
        for (size_t d = 0; d < s->step[i].doses.count; d++) {
            const struct caution *c[CAUTION_MAX];
            struct record dose;
            int64_t material;
            size_t count, k = 0;

            if (!record_read(r->book, NOUN_DOSE, s->step[i].doses.dose[d].id,
                             &dose, err))
                return false;
            material = record_get(&dose, "material")->ref_id;
            record_clear(&dose);
            while (k < n && seen[k] != material)
                k++;
            if (k < n || n == ARRAY_LEN(seen))
                continue;
            seen[n++] = material;
            if (!beware_of(r->book, material, c, &count, NULL, err))
                return false;
            for (k = 0; k < count; k++)
                html_addf(&r->out, "<h3>Caution: %s</h3><p>%s</p>",
                          s->step[i].doses.dose[d].what, c[k]->text);
        }
    return true;
}

static bool add_unknown(struct request *r, const struct skein_sheet *s,
                        struct error *err)
{
    size_t before;

    text_add(&r->out, "<section aria-labelledby=\"h-unk\"><h2 id=\"h-unk\">Not "
                      "known</h2>\n");
    if (!s->lacks)
        text_add(&r->out, "<p>Everything is recorded.</p>\n");
    else
        text_add(&r->out, "<ul class=\"unk\">");
    for (size_t i = 0; i < s->lacks; i++)
        html_addf(&r->out, "<li>%s</li>", s->lacking[i]);
    text_add(&r->out, s->lacks ? "</ul>\n" : "");
    text_add(&r->out, "<div class=\"caution\">");
    before = r->out.len;
    if (!add_cautions(r, s, err))
        return false;
    if (r->out.len > before) {
        html_addf(&r->out, "<p class=\"close\">%s</p></div>\n",
                  caution_closing);
    } else {
        r->out.len -= strlen("<div class=\"caution\">");
        r->out.s[r->out.len] = '\0';
    }
    text_add(&r->out, "</section>\n");
    return true;
}

bool skein_page(struct request *r, struct error *err)
{
    struct skein_sheet s;
    struct text title = {0};
    int64_t id;
    bool ok;

    if (!record_find_any(r->book, NOUN_SKEIN, request_part(r, "/skein/"), &id,
                         err) ||
        !sheet_of_skein(r->book, id, &s, err))
        return false;
    text_addf(&title, "Skein %s", s.now.label);
    page_begin(r, text_str(&title), NULL);
    text_add(&r->out, "<article class=\"skein\">\n");
    ok = add_top(r, &s, err);
    text_add(&r->out, "<div class=\"skein-low\">\n");
    text_add(&r->out, "<div>\n");
    add_life(&r->out, &s);
    add_pictures(&r->out, &s);
    ok = ok && add_earlier(r, &s, err) && fastness_of_skein(r, id, err);
    text_add(&r->out, "</div>\n");
    if (ok && s.now.lack == ASK_HAS_COLOUR)
        ok = add_nearest(r, id, err);
    ok = ok && add_unknown(r, &s, err);
    text_add(&r->out, "</div></article>\n");
    page_end(r);
    text_clear(&title);
    skein_sheet_clear(&s);
    return ok;
}
