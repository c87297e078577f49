/* The page of a photo being measured: the picture with its boxes, a row for
 * each of them, and what would make the picture better. */
#include "measure_view.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/html.h"
#include "base/mem.h"
#include "book/ask.h"
#include "book/rack.h"
#include "colour/range.h"
#include "measure_known.h"
#include "measure_several.h"
#include "page.h"
#include "photos.h"

#define WHOSE_MOST 400 /* skeins to choose from: more no phone shows */
#define SPARE_ROWS 2   /* empty ones below those that are filled in */

/* A magnifying glass with a sign in it. */
#define GLASS(sign)                                                            \
    "<svg class=\"glass\" viewBox=\"0 0 22 22\" aria-hidden=\"true\"><circle " \
    "cx=\"9\" cy=\"9\" r=\"7\"/><path d=\"M14 14l6 6M6 9h6" sign "\"/></svg>"

/* ---- the picture -----------------------------------------------------------
 */

static void add_easel(const struct view *v)
{
    struct request *r = v->r;
    struct text *o = &r->out;
    size_t rows = measure_rows(r);

    html_addf(
        o,
        "<div class=\"easel\">\n<div class=\"bar\" role=\"toolbar\" "
        "aria-label=\"Boxes\" data-script hidden>"
        "<button class=\"low\" type=\"button\" data-add=\"card\">+ card"
        "</button><button class=\"low\" type=\"button\" data-add=\"skein\""
        ">+ skein</button><button class=\"low\" type=\"button\" "
        "data-add=\"fibre\">+ undyed yarn</button><span class=\"sp\"></span>"
        "<button class=\"low\" type=\"button\" aria-label=\"Photo smaller\" "
        "data-zoom=\"0.67\">" GLASS(
            "") "</button><button class=\"low\" "
                "type=\"button\" aria-label=\"Photo larger\" "
                "data-zoom=\"1.5\">" GLASS(
                    "M9 6v6") "</button></div>\n<div class=\"view\"><svg "
                              "class=\"photo\" "
                              "viewBox=\"0 0 %.0f %.0f\" role=\"group\" "
                              "aria-label=\"Photo "
                              "%lld\">",
        v->w, v->h, v->photo);
    view_image(v);
    text_add(o, "<g data-boxes>\n");
    view_box(v, pairs_get(&r->form, "card-box"), "", "card");
    for (size_t i = 0; i < rows; i++) {
        struct text flag = {0};
        bool tag = view_flag(v, i, &flag);
        view_box(v, pairs_nth(&r->form, "box", i), tag ? " tied" : "",
                 text_str(&flag));
        text_clear(&flag);
    }
    known_boxes(v);
    html_addf(o,
              "</g></svg></div>\n<p class=\"small quiet hint\" data-script "
              "hidden>%s",
              pairs_get(&r->form, "card-box")
                  ? "Is the box well inside the card? Then tap each skein, or "
                    "drag over it, well inside its edges."
                  : "Tap the grey card, then each skein, or drag over it, well "
                    "inside its edges.");
    text_add(o, " Tap a box to move it or to change "
                "it by its grips<span class=\"keys\">, or use the keys: arrows "
                "move the chosen box, Shift and arrows change its size, Delete "
                "takes it away, Tab goes to the next</span>.</p>\n<p "
                "data-script hidden><button class=\"low\" "
                "type=\"button\" aria-pressed=\"false\" data-numbers>Show the "
                "boxes in numbers</button></p>\n</div>\n");
}

/* ---- what came out ---------------------------------------------------------
 */

static void add_void(struct text *o)
{
    text_add(o, "<svg class=\"sw void\" viewBox=\"0 0 100 100\" "
                "preserveAspectRatio=\"none\" role=\"img\" aria-label=\"No "
                "corrected colour\"><path d=\"M0 0 100 100M100 0 0 100\"/>"
                "</svg>");
}

static void add_card_result(const struct view *v)
{
    struct text *o = &v->r->out;
    const struct measure_answer *a = v->answer;
    const struct measure_card *card = &v->job->request.card;

    if (!a) {
        view_head(o, "card", false, "the grey card", NULL);
        return;
    }
    view_head(o, "card", false, a->ok ? "the grey card" : "refused",
              a->ok ? "good" : "nothing measured");
    text_add(o, "<div class=\"row\"><div class=\"pair\">");
    view_crop(v, v->job->request.card_box, "the card");
    if (a->ok)
        page_swatch_fill(o, &card->lab, "The card as it is");
    else
        add_void(o);
    text_add(o, "</div>");
    if (!a->ok)
        html_addf(o, "<p>%s.%s</p>", a->why.text,
                  strstr(a->why.text, "box")
                      ? ""
                      : " Is the box well inside the card, and on nothing "
                        "else?");
    else if (card->known)
        html_addf(o, "<p class=\"small quiet\">taken as L* %.1f</p>",
                  card->lab.L);
    else
        text_add(o, "<p class=\"small quiet\">Nobody knows its values: good "
                    "for comparing within this photo, little else.</p>");
    text_add(o, "</div>\n");
}

static void add_coordinate(struct text *o, const char *name, double x,
                           double variance)
{
    html_addf(o, "<span>%s ", name);
    html_number(o, x, 1);
    text_add(o, " <i>&plusmn; ");
    html_number(o, 2 * sqrt(variance), 1);
    text_add(o, "</i></span>");
}

/* That it was read before, and how far off that is. */
static bool add_before(const struct view *v, size_t i, struct error *err)
{
    const struct measure_region *m = &v->answer->result.region[i];
    struct ask_filter any = ask_filter_any();
    struct ask_skein skein;
    int64_t id = v->job->place[i].skein_id;

    if (!id || v->job->wet)
        return true;
    if (!ask_skein(v->r->book, id, &any, &skein, err))
        return false;
    if (skein.lack == ASK_HAS_COLOUR)
        html_addf(&v->r->out,
                  "<p class=\"small was\">%s was read before%s%s: &Delta;E00 "
                  "%.1f from then. Both readings are kept.</p>\n",
                  skein.label, *skein.reading.day ? ", on " : "",
                  skein.reading.day,
                  lab_de00(m->lab, skein.reading.colour.lab));
    ask_skein_clear(&skein);
    return true;
}

/* How sure the colour is, and how even. */
static void add_spread(struct text *o, const struct measure_region *m)
{
    const double uneven = range_unevenness(m->lab, m->level);

    if (!isnan(uneven))
        html_addf(
            o,
            "<p class=\"small even\">How even is the dye: %s, it varies by "
            "%.1f &Delta;E00.</p>\n",
            range_even_words(uneven), uneven);
    page_range(o, m->lab, m->abs);
}

/* Beside the form, which is not sent yet. */
static void add_find(struct text *o, const struct measure_region *m)
{
    text_addf(
        o,
        "<p class=\"small\"><a href=\"/find?colour=%.2f,%.2f,%.2f&amp;cov="
        "%.4g,%.4g,%.4g,%.4g,%.4g,%.4g\" target=\"_blank\">Find this "
        "colour in the book</a></p>\n",
        m->lab.L, m->lab.a, m->lab.b, m->abs.LL, m->abs.La, m->abs.Lb,
        m->abs.aa, m->abs.ab, m->abs.bb);
}

static bool add_region(const struct view *v, size_t i, const char *flag,
                       bool tag, struct error *err)
{
    const struct measure_region *m = &v->answer->result.region[i];
    const struct photo_place *p = &v->job->place[i];
    bool owned = p->skein_id || p->fibre_id || p->new_skein;
    bool looked =
        view_is(pairs_nth(&v->r->form, "as", v->job->row_of[i]), "look");
    struct text *o = &v->r->out;
    bool refused = m->refused || !v->answer->ok;

    view_head(o, flag, tag,
              refused ? "refused" : colour_name_nearest(m->lab)->name,
              refused  ? "not kept"
              : owned  ? "can be kept"
              : looked ? "only looked at"
                       : "say which skein");
    text_add(o, "<div class=\"row\"><div class=\"pair\">");
    view_crop(v, v->job->box[i], v->job->label[i]);
    if (refused) {
        add_void(o);
        html_addf(o, "</div><p>%s</p>",
                  m->refused ? m->why : "see what is said of the card");
    } else {
        page_swatch_fill(o, &m->lab, "Corrected");
        text_add(o, "</div><p class=\"num\">");
        add_coordinate(o, "L*", m->lab.L, m->abs.LL);
        add_coordinate(o, "a*", m->lab.a, m->abs.aa);
        add_coordinate(o, "b*", m->lab.b, m->abs.bb);
        text_add(o, "</p>");
    }
    text_add(o, "</div>\n");
    if (!refused) {
        add_spread(o, m);
        add_find(o, m);
        several_said(v, i);
    }
    return refused || add_before(v, i, err);
}

/* The region that came of a row; regions when none did. */
static size_t region_of(const struct view *v, size_t row)
{
    size_t i = 0;

    if (!v->job->read)
        return v->job->request.regions;
    while (i < v->job->request.regions && v->job->row_of[i] != row)
        i++;
    return i;
}

/* ---- the rows --------------------------------------------------------------
 */

static bool add_cards(const struct view *v, struct error *err)
{
    struct request *r = v->r;
    struct text *o = &r->out;
    const char *now = pairs_get(&r->form, "card");
    int64_t *ids = NULL;
    size_t n = 0;
    bool ok = record_ids(r->book, NOUN_CARD, false, &ids, &n, err);

    view_select(v, "card", 0, "which card");
    for (size_t i = 0; ok && i < n; i++) {
        struct text value = {0}, label = {0};
        struct measure_card card;
        text_addf(&value, "#%lld", (long long)ids[i]);
        ok = card_values(r->book, &ids[i], &card, err) &&
             record_label(r->book, NOUN_CARD, ids[i], &label, err);
        if (!ok)
            break;
        if (!card.known || known_is_grey(card.lab) ||
            view_is(now, text_str(&value)))
            view_option(o, text_str(&value), text_str(&label),
                        view_is(now, text_str(&value)));
        text_clear(&value);
        text_clear(&label);
    }
    view_option(o, "unknown", "unknown card", view_is(now, "unknown"));
    view_select_end(v, "card", 0);
    html_addf(o,
              "<a class=\"btn low\" href=\"/record/card?measure=%lld\">Put in "
              "a card</a>",
              v->photo);
    free(ids);
    return ok;
}

static bool add_card_row(const struct view *v, struct error *err)
{
    struct text *o = &v->r->out;
    bool bad = v->answer && !v->answer->ok;

    html_addf(o,
              "<li class=\"read card%s\" data-row=\"card\"><div data-result>",
              bad ? " no-go" : "");
    add_card_result(v);
    if (v->answer && v->answer->ok)
        said_method(v);
    text_add(o, "</div>\n<div class=\"ties\">");
    if (!add_cards(v, err))
        return false;
    view_input(v, "at", "card-box", 0, "box: X,Y,W,H",
               pairs_get(&v->r->form, "card-box"), "");
    text_add(o, "</div></li>\n");
    return true;
}

static bool add_row(const struct view *v, size_t row, struct error *err)
{
    static const char *const as[][2] = {{"skein", "skein"},
                                        {"new", "a new skein"},
                                        {"fibre", "undyed yarn"},
                                        {"look", "only look"}};
    struct request *r = v->r;
    struct text *o = &r->out, flag = {0};
    const char *now = pairs_nth(&r->form, "as", row);
    size_t i = region_of(v, row);
    bool has = v->answer && i < v->job->request.regions, ok = true;
    bool bad = has && (!v->answer->ok || v->answer->result.region[i].refused);
    bool tag = view_flag(v, row, &flag);

    html_addf(o, "<li class=\"read%s\" data-row><div data-result>",
              bad ? " no-go" : "");
    if (has)
        ok = add_region(v, i, text_str(&flag), tag, err);
    else
        view_head(o, text_str(&flag), tag, "not measured yet", NULL);
    text_add(o, "</div>\n<div class=\"ties\">");
    view_select(v, "as", row, "is");
    for (size_t k = 0; k < ARRAY_LEN(as); k++)
        view_option(o, as[k][0], as[k][1], view_is(now, as[k][0]));
    view_select_end(v, "as", row);
    view_input(v, "who", "who", row, "which", pairs_nth(&r->form, "who", row),
               " list=\"whose\"");
    view_input(v, "at", "box", row, "box: X,Y,W,H",
               pairs_nth(&r->form, "box", row), "");
    text_add(o, "<button class=\"low\" type=\"button\" data-remove "
                "data-script hidden>Take away</button></div></li>\n");
    text_clear(&flag);
    return ok;
}

/* The newest are told; another is known by its number all the same. */
static bool read_newest(struct book *book, struct ask_skeins *out,
                        struct error *err)
{
    struct rack rack;
    bool ok = rack_of(book, &rack, err) &&
              rack_skeins(book, rack.place,
                          rack.count < WHOSE_MOST ? rack.count : WHOSE_MOST,
                          out, err);

    rack_clear(&rack);
    return ok;
}

/* Skeins and yarns that a box may be tied to. */
static bool add_whose(const struct view *v, struct error *err)
{
    struct text *o = &v->r->out;
    struct ask_skeins all;
    int64_t *ids = NULL;
    size_t n = 0;
    bool ok = true;

    if (!read_newest(v->r->book, &all, err))
        return false;
    text_add(o, "<datalist id=\"whose\">");
    for (size_t i = 0; i < all.count; i++) {
        struct text recipe = {0};
        ask_recipe_words(&all.skein[i], &recipe);
        html_addf(o, "<option value=\"%s\">%s</option>", all.skein[i].label,
                  text_str(&recipe));
        text_clear(&recipe);
    }
    ask_skeins_free(&all);
    ok = record_ids(v->r->book, NOUN_FIBRE, false, &ids, &n, err);
    for (size_t i = 0; ok && i < n; i++) {
        struct text label = {0};
        ok = record_label(v->r->book, NOUN_FIBRE, ids[i], &label, err);
        html_addf(o, "<option value=\"%s\">undyed yarn</option>",
                  text_str(&label));
        text_clear(&label);
    }
    text_add(o, "</datalist>\n");
    free(ids);
    return ok;
}

/* ---- the whole -------------------------------------------------------------
 */

/* Readings that would be kept, and refusals the dyer has now been told of. */
static void add_buttons(const struct view *v)
{
    struct text *o = &v->r->out;
    size_t refused = 0, kept = 0;

    for (size_t i = 0; v->answer && i < v->job->request.regions; i++) {
        const struct photo_place *p = &v->job->place[i];
        bool owned = p->skein_id || p->fibre_id || p->new_skein;
        bool bad = !v->answer->ok || v->answer->result.region[i].refused;
        refused += bad;
        kept += owned && !bad;
    }
    html_addf(o,
              "<div class=\"save\" data-save><input type=\"hidden\" "
              "name=\"refused\" value=\"%zu\"><button type=\"submit\" "
              "name=\"do\" value=\"try\">Measure</button>"
              "<button class=\"main\" type=\"submit\" name=\"do\" "
              "value=\"save\">Save",
              refused);
    if (kept)
        html_addf(o, kept == 1 ? " %zu reading" : " %zu readings", kept);
    text_add(o, "</button></div>\n<div data-copy>");
    if (v->answer && v->answer->ok && v->job->request.regions > refused)
        text_add(o, "<p class=\"copy small quiet\"><button type=\"submit\" "
                    "name=\"do\" value=\"copy\">Save a corrected copy</button> "
                    "<span>to show to others: true colours with a strip of the "
                    "swatches, \"corrected by grey card\". The photo itself "
                    "stays as it is.</span></p>");
    text_add(o, "</div>\n");
}

static void add_settings(const struct view *v)
{
    static const char *const profiles[][2] = {{"", "as the file says"},
                                              {"srgb", "sRGB"},
                                              {"p3", "Display P3"},
                                              {"adobergb", "Adobe RGB"}};
    struct text *o = &v->r->out;
    const char *now = pairs_get(&v->r->form, "profile");
    const bool without = pairs_get(&v->r->form, "no-camera") != NULL;

    text_addf(o,
              "<div class=\"ties set\"><p class=\"check\"><input id=\"wet-0\" "
              "type=\"checkbox\" name=\"wet\" value=\"yes\"%s> <label "
              "for=\"wet-0\">the yarn is still wet</label></p>",
              pairs_get(&v->r->form, "wet") ? " checked" : "");
    if (v->job->cameras || without)
        text_addf(o,
                  "<p class=\"check\"><input id=\"no-camera-0\" "
                  "type=\"checkbox\" name=\"no-camera\" value=\"yes\"%s> "
                  "<label for=\"no-camera-0\">without what is kept of the "
                  "camera</label></p>",
                  without ? " checked" : "");
    view_select(v, "profile", 0, "if the file names no profile, assume");
    for (size_t i = 0; i < ARRAY_LEN(profiles); i++)
        view_option(o, profiles[i][0], i ? profiles[i][1] : "nothing",
                    i ? view_is(now, profiles[i][0]) : !now);
    view_select_end(v, "profile", 0);
    text_add(o, "</div>\n");
}

static void add_title(const struct view *v)
{
    const struct record *photo = &v->job->photo;
    const struct record_field *on = record_get(photo, "on");
    const struct measure_answer *a = v->answer;
    struct text *o = &v->r->out;

    html_addf(o, "<div class=\"head\"><h1>Measure</h1><p>photo %lld", v->photo);
    if (on)
        html_addf(o, " &middot; %s", record_shown(on));
    if (a && *a->result.profile)
        html_addf(o, " &middot; %s: %s", a->result.rule, a->result.profile);
    text_add(o, " &middot; <a href=\"/measure\">another photo</a></p></div>\n");
}

/* Whose colours were read from the photo before. */
static void add_measured(const struct view *v)
{
    struct request *r = v->r;
    struct text *o = &r->out;
    bool any = false, again = false;

    text_add(o, "<p class=\"small\">Measured from this photo: ");
    for (size_t i = 0, n = measure_rows(r); i < n; i++) {
        const char *who = pairs_nth(&r->form, "who", i);

        again = again || !view_is(pairs_nth(&r->form, "as", i), "look");
        if (!*pairs_nth(&r->form, "box", i))
            continue;
        html_addf(o, "%s%s", any ? ", " : "", who);
        any = true;
    }
    text_add(o, ". Their boxes are where they were.");
    if (!again)
        text_add(o,
                 " To measure one again, choose \"skein\" in place of \"only "
                 "look\".");
    text_add(o, " No reading is kept until you save.</p>\n");
}

/* For the script: what a tap found. For everyone: what to do with what was
 * found when the photo was opened. */
static void add_found(const struct view *v)
{
    const struct find_result *found = v->job->found;
    const bool card = v->job->find.card_tapped;
    struct text *o = &v->r->out;
    const char *skein = pairs_get(&v->r->query, "skein");
    const struct find_place *at;

    if (v->job->measured)
        add_measured(v);
    if (!found)
        return;
    if (!v->job->find.proposes) {
        at = card ? &found->card : &found->skein[0];
        if (at->found)
            html_addf(o,
                      "<p hidden data-found=\"%lld,%lld,%lld,%lld\" "
                      "data-kind=\"%s\"></p>\n",
                      (long long)at->box.x, (long long)at->box.y,
                      (long long)at->box.w, (long long)at->box.h,
                      card ? "card" : "skein");
        return;
    }
    text_add(o, "<p class=\"small\">");
    if (pairs_get(&v->r->form, "1:photo"))
        several_found(v);
    else if (!found->card.found)
        html_addf(o, "%s", found->card.why);
    else if (!found->skeins)
        html_addf(o, "The card seems to lie where the box is. %s", found->why);
    else
        html_addf(o,
                  "The card and %zu %s seem to lie where the boxes are: look "
                  "whether they are right, and say which skein each is.",
                  found->skeins, found->skeins == 1 ? "skein" : "skeins");
    if (skein && found->skeins > 1)
        html_addf(o, " Which of them is %s?", skein);
    if (found->skeins)
        text_add(o, " No reading is kept until you save.");
    text_add(o, "</p>\n");
}

static bool add_reads(const struct view *v, struct error *err)
{
    struct request *r = v->r;
    struct text *o = &r->out;
    size_t rows = measure_rows(r), filled = 0;
    const bool top = v->why && !v->job->blamed; /* else beside its field */
    bool ok;

    for (size_t i = 0; i < rows; i++)
        if (*pairs_nth(&r->form, "box", i))
            filled = i + 1;
    text_add(o, "<div class=\"reads\"><h2 class=\"hide\">What the photo gives"
                "</h2>\n");
    html_addf(o, "<p class=\"why\" role=\"alert\" data-why%s",
              top ? "" : " hidden");
    html_addf(o, ">%s</p>\n", top ? v->why->text : NULL);
    several_carried(v);
    add_found(v);
    text_add(o, "<p class=\"pairhead small quiet\"><span>as taken</span><span>"
                "corrected</span></p>\n<ol data-rows>\n");
    ok = add_card_row(v, err);
    while (rows < filled + SPARE_ROWS && rows < MEASURE_MAX_REGIONS)
        rows++;
    for (size_t i = 0; ok && i < rows; i++)
        ok = add_row(v, i, err);
    text_add(o, "</ol>\n");
    ok = ok && known_fold(v, err);
    ok = ok && several_more(v, err);
    add_settings(v);
    add_buttons(v);
    text_add(o, "<p class=\"small quiet\">D50, 2&deg;, from a photo with a "
                "grey card; &plusmn; is right about 95 times in 100. "
                "<span role=\"status\" data-said></span></p></div>\n");
    return ok;
}

bool measure_form(struct request *r, const struct measure_job *job,
                  const struct measure_answer *answer, const struct error *why,
                  struct error *err)
{
    const struct record_field *w = record_get(&job->photo, "width");
    const struct record_field *h = record_get(&job->photo, "height");
    struct view v = {r, job, answer, why, (long long)job->photo.id, 0, 0};
    struct text action = {0};
    bool ok;

    if (!w || !h)
        return error_set(err, ERR_INPUT,
                         "the size of this photo is not recorded: add it again "
                         "from its file");
    v.w = w->low;
    v.h = h->low;
    page_begin(r, "Measure", "Measure");
    add_title(&v);
    text_addf(&action, "/measure/%lld", v.photo);
    page_form(r, text_str(&action),
              "class=\"meas\" data-measure "
              "enctype=\"multipart/form-data\"");
    /* What the Enter key of a field means. */
    text_add(&r->out, "<button class=\"hide\" type=\"submit\" name=\"do\" "
                      "value=\"try\" tabindex=\"-1\">Measure them</button>\n");
    add_easel(&v);
    ok = add_reads(&v, err);
    said_advice(&v);
    text_add(&r->out, "</form>\n");
    ok = ok && add_whose(&v, err);
    page_script(r, "measure.js");
    page_end(r);
    text_clear(&action);
    return ok;
}
