/* What a measured photo says of itself: what it was corrected by, and what
 * would make the next one better. */
#include "measure_view.h"

#include <math.h>
#include <stdio.h>

#include "base/html.h"
#include "base/mem.h"

/* ---- corrected by -------------------------------------------------------- */

/* "the grey card, the white (A) and the black (B)". */
static void add_used(const struct view *v, struct text *o)
{
    const struct known_places *known = &v->job->known;
    const struct measure_method *m = &v->answer->result.method;
    const char *by[KNOWN_MOST + 2] = {"the grey card"};
    char chart[60] = "";
    size_t n = 1;

    for (size_t i = 0; m->neutrals > 1 && i < known->count; i++) {
        if (known->at[i].kind == MEASURE_NEUTRAL && n < ARRAY_LEN(by) - 1)
            by[n++] = known->at[i].name;
        if (known->at[i].kind == MEASURE_PATCH)
            snprintf(chart, sizeof chart, "the greys of the chart");
    }
    if (m->patches)
        snprintf(chart, sizeof chart, "%zu patches of the chart", m->patches);
    if (*chart)
        by[n++] = chart;
    for (size_t i = 0; i < n; i++)
        html_addf(o, "%s%s", !i ? "" : i + 1 < n ? ", " : " and ", by[i]);
}

static void add_held(const struct measure_method *m, struct text *o)
{
    if (m->chart_model >= 0)
        html_addf(o,
                  " Left out in turn, each patch is told by the others to "
                  "&Delta;E00 %.1f on average, %.1f at worst.",
                  m->chart[m->chart_model].mean,
                  m->chart[m->chart_model].worst);
    else if (isfinite(m->tone_dL))
        html_addf(o,
                  " Left out in turn, each of them is told by the others to "
                  "%.1f of L*.",
                  fmin(m->tone_dL, m->tone_power));
    if (m->light_places)
        html_addf(o,
                  " The light was evened out by %s through %zu places; %.1f %% "
                  "is left.",
                  m->light, m->light_places, 100 * m->light_residual);
}

void said_method(const struct view *v)
{
    const struct measure_method *m = &v->answer->result.method;
    struct text *o = &v->r->out;

    if (m->card_alone) {
        text_add(o, "<p class=\"small by\">Corrected by the grey card "
                    "alone.</p>\n");
        return;
    }
    text_add(o, "<p class=\"small by\">Corrected by ");
    if (v->job->known.count)
        add_used(v, o);
    else
        html_addf(o, "%s", m->words);
    text_add(o, ".");
    add_held(m, o);
    text_add(o, "</p>\n");
}

/* ---- advice -------------------------------------------------------------- */

/* The box with as much around it again, inside the picture. */
static struct box around(const struct view *v, struct box b)
{
    const double least = v->w / 5;
    const double w = fmin(fmax(2.0 * (double)b.w, least), v->w);
    const double h = fmin(fmax(2.0 * (double)b.h, least * 3 / 4), v->h);
    const double x = (double)b.x + (double)b.w / 2 - w / 2;
    const double y = (double)b.y + (double)b.h / 2 - h / 2;

    return (struct box){(int64_t)fmax(0, fmin(x, v->w - w)),
                        (int64_t)fmax(0, fmin(y, v->h - h)), (int64_t)w,
                        (int64_t)h};
}

/* The part of the picture that a note is about, framed; all of it, when it is
 * about no one place. */
static void add_spot(const struct view *v, struct box b, const char *who)
{
    const bool whole = !b.w;
    const struct box all = {0, 0, (int64_t)v->w, (int64_t)v->h};
    const struct box seen = whole ? all : around(v, b);
    struct text *o = &v->r->out;

    if (whole)
        b = all;
    html_addf(o,
              "<svg class=\"spot\" viewBox=\"%lld %lld %lld %lld\" "
              "preserveAspectRatio=\"xMinYMid\" role=\"img\" "
              "aria-label=\"%s in the photo\">",
              (long long)seen.x, (long long)seen.y, (long long)seen.w,
              (long long)seen.h, who);
    view_image(v);
    text_add(o, "<g class=\"box\">");
    for (int line = 0; line < 2; line++)
        html_addf(o,
                  "<rect class=\"%s\" x=\"%lld\" y=\"%lld\" width=\"%lld\" "
                  "height=\"%lld\"/>",
                  line ? "line" : "halo", (long long)b.x, (long long)b.y,
                  (long long)b.w, (long long)b.h);
    text_add(o, "</g></svg>");
}

static bool is_card(const struct view *v, struct box b)
{
    const struct box card = v->job->request.card_box;

    return b.x == card.x && b.y == card.y;
}

static void add_note(const struct view *v, const char *who, const char *note,
                     struct box b)
{
    struct text *o = &v->r->out;

    text_add(o, "<li>");
    add_spot(v, b, who);
    html_addf(o, "<p><b>%s</b>%s", who, note);
    if (b.w && !v->job->request.card.known && is_card(v, b))
        html_addf(o, " <a href=\"/record/card?measure=%lld\">Put in a card</a>",
                  v->photo);
    text_add(o, "</p></li>\n");
}

/* Whose box a note of the whole picture is about. */
static const char *about(const struct view *v, struct box b)
{
    if (!b.w)
        return "The picture";
    if (is_card(v, b))
        return "The card";
    for (size_t i = 0; i < v->job->known.count; i++)
        if (b.x == v->job->known.at[i].box.x &&
            b.y == v->job->known.at[i].box.y)
            return v->job->known.at[i].name;
    return "A part";
}

/* Off by more than this, 95 %, a reading no longer says which colour it is. */
#define WIDE 10

/* What would make that part of the uncertainty smaller. */
static const char *what_helps(enum measure_part part)
{
    switch (part) {
    case MEASURE_CARD_VALUE:
        return "Put in what is stated of your card's colour.";
    case MEASURE_TONE:
        return "Lay undyed yarn that was measured, a white and a black, or a "
               "chart beside the card, and mark them too.";
    case MEASURE_CAMERA:
        return "Use daylight, lay a chart of known colours beside the card, "
               "and mark it too.";
    case MEASURE_PROFILE:
        return "Use the camera's own file, which says its colour space.";
    case MEASURE_LIGHT:
        return "Lay the card close to the skein, in even light.";
    case MEASURE_GAMUT:
        return "Expose less, and let the camera save Display P3 or Adobe RGB "
               "if it can.";
    case MEASURE_SMALL:
        return "Draw its box larger or go nearer with the camera.";
    case MEASURE_SKEIN:
    case MEASURE_CARD:
    case MEASURE_ROUNDING:
    case MEASURE_REPEAT:
    case MEASURE_INSTRUMENT:
        return "Take three photos, with the skein turned in between.";
    }
    return "";
}

/* One of the axes of a region, 0 to 2. */
static double off_by(const struct cov3 *c, int axis)
{
    return 1.96 * sqrt(axis == 0 ? c->LL : axis == 1 ? c->aa : c->bb);
}

/* The widest of all that was read, and why it is so wide. */
static void find_widest(const struct measure_result *m, size_t *region,
                        int *axis, double *by)
{
    *by = 0;
    for (size_t i = 0; i < m->regions; i++)
        for (int k = 0; k < 3 && !m->region[i].refused; k++)
            if (off_by(&m->region[i].abs, k) > *by) {
                *region = i;
                *axis = k;
                *by = off_by(&m->region[i].abs, k);
            }
}

static void add_widest(const struct view *v, const struct measure_region *m,
                       const char *who, int axis, double by)
{
    static const char *const names[] = {"L*", "a*", "b*"};
    enum measure_part part = MEASURE_SKEIN;
    struct text *o = &v->r->out;

    for (int i = 0; i < MEASURE_PARTS; i++)
        if (off_by(&m->part[i], axis) > off_by(&m->part[part], axis))
            part = (enum measure_part)i;
    html_addf(o,
              "<li><p><b>%s</b>Its %s is known to &plusmn; %.1f only, mostly "
              "for this: %s. %s</p></li>\n",
              who, names[axis], by, measure_part_text(part), what_helps(part));
}

void said_advice(const struct view *v)
{
    struct text *o = &v->r->out;
    const struct measure_result *m = v->answer ? &v->answer->result : NULL;
    size_t notes = m ? m->card_notes.count : 0, widest = 0;
    double by = 0;
    int axis = 0;

    for (size_t i = 0; m && i < m->regions; i++)
        notes += m->region[i].notes.count;
    if (m)
        find_widest(m, &widest, &axis, &by);
    text_add(o, "<section class=\"advice\" data-advice>");
    if (m && (notes || by > WIDE)) {
        text_add(o, "<h2>What would make it better</h2>\n<ol>\n");
        for (size_t i = 0; i < m->card_notes.count; i++)
            add_note(v, about(v, m->card_notes.box[i]), m->card_notes.text[i],
                     m->card_notes.box[i]);
        for (size_t i = 0; i < m->regions; i++) {
            for (size_t k = 0; k < m->region[i].notes.count; k++)
                add_note(v, v->job->label[i], m->region[i].notes.text[k],
                         m->region[i].notes.box[k]);
        }
        if (by > WIDE)
            add_widest(v, &m->region[widest], v->job->label[widest], axis, by);
        text_add(o, "</ol>");
    }
    text_add(o, "</section>\n");
}
