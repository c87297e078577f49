/* Places of known colour beside the card. See the header. */
#include "measure/refer.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "measure/check.h"
#include "measure/correct.h"
#include "measure/refer_camera.h"

/* A patch of which more is burnt out or black is left out; of a grey, as of a
 * card (CHECK_CARD_CLIPPED). */
#define PATCH_CLIPPED 0.02

/* At this code one step is a tenth of the light: darker greys tell nothing. */
#define GREY_DARKEST 8

/* Slopes of the curve, ln over ln, and how far channels may part, before it is
 * remarked; leave-one-out errors of L* beyond which the camera has treated
 * places apart (choices). */
#define SLOPE_FLAT 0.5
#define SLOPE_STEEP 2.2
#define CHANNELS_APART 0.15
#define LOCAL_DL 3.0

/* A chart that fits worse is not believed, in CIEDE2000 (choices): its colours
 * are not used, or it is refused. */
#define CHART_DOUBT 4.0
#define GREY_DOUBT 5.0
#define CHART_WRONG 8.0

double refer_gamma(size_t greys, bool amiss)
{
    if (amiss)
        return 0.20;
    return greys >= 6 ? 0.03 : greys >= 4 ? 0.05 : 0.10;
}

/* ---- what is asked ------------------------------------------------------ */

/* Whether its colour is known for itself; the others tell of the light. */
static bool tells_colour(const struct measure_reference *r)
{
    return r->kind == MEASURE_NEUTRAL || r->kind == MEASURE_PATCH;
}

static bool colours_wanted(const struct measure_request *request)
{
    for (size_t i = 0; i < request->references; i++)
        if (tells_colour(&request->reference[i]))
            return true;
    return false;
}

bool refer_check(const struct measure_request *request, struct error *err)
{
    if (request->references > MEASURE_MAX_REFERENCES)
        return error_set(err, ERR_LIMIT,
                         "more than %d places of known colour: give fewer",
                         MEASURE_MAX_REFERENCES);
    if (colours_wanted(request) && !request->card.known)
        return error_set(err, ERR_INPUT,
                         "beside other places of known colour the card's own "
                         "values must be known: enter them, or draw the card's "
                         "box on one of the others");
    for (size_t i = 0; i < request->references; i++) {
        const struct measure_card *v = &request->reference[i].value;

        if (!tells_colour(&request->reference[i]))
            continue;
        if (!(v->lab.L >= 1 && v->lab.L <= 110 && fabs(v->lab.a) <= 150 &&
              fabs(v->lab.b) <= 150 && v->uL >= 0 && v->ua >= 0 && v->ub >= 0 &&
              v->uL < 100 && v->ua < 100 && v->ub < 100))
            return error_set(err, ERR_INPUT,
                             "%s: %.1f, %.1f, %.1f is no colour of a card or "
                             "a chart: write L,a,b",
                             request->reference[i].name, v->lab.L, v->lab.a,
                             v->lab.b);
    }
    return true;
}

/* ---- boxes -------------------------------------------------------------- */

bool refer_plan(struct refer *refer, const struct measure_request *request,
                const struct photo *photo, struct error *err)
{
    const struct limit *few = &check_limits[CHECK_CARD_BLOCKS];
    uint32_t width, height;

    *refer = (struct refer){.request = request};
    photo_upright_size(photo, &width, &height);
    refer->area = mem_new(request->references, sizeof *refer->area);
    refer->stats = mem_new(request->references, sizeof *refer->stats);
    refer->out = mem_new(request->references, sizeof *refer->out);
    for (size_t i = 0; i < request->references; i++) {
        const struct measure_reference *r = &request->reference[i];
        const struct box b = r->box;

        if (!box_inside(b, width, height))
            return error_set(err, ERR_INPUT,
                             "the box of %s, %lld,%lld,%lld,%lld, does not lie "
                             "inside the picture of %u x %u pixels: draw it "
                             "again",
                             r->name, (long long)b.x, (long long)b.y,
                             (long long)b.w, (long long)b.h, width, height);
        if (!area_plan(&refer->area[i], photo_box_stored(photo, b), photo,
                       (uint32_t)few->warn, (uint32_t)few->refuse))
            return error_set(err, ERR_INPUT,
                             "the box of %s is too small (%lld x %lld pixels): "
                             "draw it larger, or go nearer with the camera",
                             r->name, (long long)b.w, (long long)b.h);
    }
    return true;
}

void refer_clear(struct refer *refer)
{
    for (size_t i = 0; refer->area && i < refer->request->references; i++)
        area_clear(&refer->area[i]);
    free(refer->area);
    free(refer->stats);
    free(refer->out);
    free(refer->known);
    free(refer->patch);
    free(refer->moved);
    memset(refer, 0, sizeof *refer);
}

void refer_row(struct refer *refer, const struct light *light,
               const unsigned char *rgb, uint32_t y)
{
    for (size_t i = 0; i < refer->request->references; i++)
        area_row(&refer->area[i], light, rgb, y);
}

/* ---- which serve -------------------------------------------------------- */

static bool is_grey(const struct measure_reference *r)
{
    return r->kind != MEASURE_PATCH ||
           hypot(r->value.lab.a, r->value.lab.b) < CHART_GREY_C;
}

static bool unreadable(const struct measure_reference *r, const struct stats *s)
{
    const double dark = fmin(s->code[0], fmin(s->code[1], s->code[2]));

    if (is_grey(r))
        return s->clipped > check_limits[CHECK_CARD_CLIPPED].refuse ||
               dark < GREY_DARKEST;
    return s->clipped > PATCH_CLIPPED;
}

/* "burnt out or black, left out: patch A1, patch A2" */
static void note_left_out(const struct refer *refer,
                          struct measure_notes *notes)
{
    char names[MEASURE_NOTE_BYTES / 2] = "";
    const size_t first = notes->count;
    struct box at = {0};
    size_t n = 0, all = 0;

    for (size_t i = 0; i < refer->request->references; i++) {
        const char *name = refer->request->reference[i].name;

        if (!refer->out[i])
            continue;
        if (!all++)
            at = refer->request->reference[i].box;
        if (strlen(names) + strlen(name) + 3 < sizeof names) {
            snprintf(names + strlen(names), sizeof names - strlen(names),
                     "%s%s", n ? ", " : "", name);
            n++;
        }
    }
    if (all)
        notes_add(notes,
                  "Too bright or too dark to be read, and left out: %s%s. "
                  "Expose so that white is not burnt out.",
                  names, n < all ? " and others" : "");
    notes_at(notes, first, at);
}

void refer_read(struct refer *refer, const struct light *light,
                uint32_t damaged_row, struct measure_notes *notes)
{
    for (size_t i = 0; i < refer->request->references; i++) {
        const struct measure_reference *r = &refer->request->reference[i];
        struct area *area = &refer->area[i];
        const size_t first = notes->count;

        refer->stats[i] = stats_take(area, light);
        refer->out[i] = area->box.y + area->box.h > (int64_t)damaged_row ||
                        unreadable(r, &refer->stats[i]);
        if (!refer->out[i] && r->kind != MEASURE_PATCH && !r->yarn &&
            refer->stats[i].texture > check_limits[CHECK_CARD_TEXTURE].refuse)
            notes_add(notes,
                      "The box of %s shows a texture: is it really on it, and "
                      "on it alone?",
                      r->name);
        notes_at(notes, first, r->box);
    }
    note_left_out(refer, notes);
}

static void known_add(struct refer *refer, const struct area *area,
                      const struct stats *stats, struct measure_card value,
                      bool grey)
{
    const size_t n = refer->count++;

    refer->known[n] = (struct known){area, stats, value};
    refer->patch[n] = (struct chart_patch){.lab = value.lab, .grey = grey};
    memcpy(refer->patch[n].is, stats->light, sizeof refer->patch[n].is);
}

/* The card and all that can be read; colours only if they are wanted. */
static void gather(struct refer *refer, const struct area *card,
                   const struct stats *card_stats, bool colours)
{
    const struct measure_request *request = refer->request;

    refer->count = 0;
    known_add(refer, card, card_stats, request->card, true);
    for (size_t i = 0; i < request->references; i++) {
        const struct measure_reference *r = &request->reference[i];

        if (!refer->out[i] && tells_colour(r) && (colours || is_grey(r)))
            known_add(refer, &refer->area[i], &refer->stats[i], r->value,
                      is_grey(r));
    }
}

/* ---- the light ---------------------------------------------------------- */

/* A strip, as of a frame, says how the light runs along it: as many places as
 * it has squares. What is no strip is one place: the slope inside of it would
 * be carried much too far. */
enum { PLACES_ALONG = 6, STRIP = 3 };

static uint32_t squares(int64_t along, int64_t across, uint32_t blocks)
{
    const int64_t n = along / across;
    const uint32_t most = blocks < PLACES_ALONG ? blocks : PLACES_ALONG;

    return n < STRIP ? 1 : n > most ? most : (uint32_t)n;
}

/* Adds what an area shows of the light: a card one place or a row of them, a
 * sheet a net. */
static size_t places_add(const struct area *area, const struct stats *s,
                         const struct light *light, int group,
                         struct field_place *out)
{
    struct tile tile[PLACES_ALONG * PLACES_ALONG];
    const struct box b = area->box;
    const bool sheet = group == 1;
    const uint32_t tx =
        squares(sheet ? PLACES_ALONG : b.w, sheet ? 1 : b.h, area->nx);
    const uint32_t ty =
        squares(sheet ? PLACES_ALONG : b.h, sheet ? 1 : b.w, area->ny);
    const size_t n = area_tiles(area, tx, ty, !sheet, tile);

    for (size_t i = 0; i < n; i++) {
        out[i] = (struct field_place){
            .x = s->x + tile[i].x, .y = s->y + tile[i].y, .group = group};
        cones_from_xyz(light_xyz(light, tile[i].light), out[i].cone);
        for (int c = 0; c < 3; c++)
            out[i].cone[c] = fmax(out[i].cone[c], 1e-6);
    }
    return n;
}

static size_t places_of(const struct refer *refer, const struct light *light,
                        const struct area *card, const struct stats *card_stats,
                        struct field_place *out)
{
    size_t n = places_add(card, card_stats, light, 0, out);

    for (size_t i = 0; i < refer->request->references; i++) {
        const struct measure_reference *r = &refer->request->reference[i];

        if (!tells_colour(r) && !refer->out[i])
            n += places_add(&refer->area[i], &refer->stats[i], light,
                            r->kind == MEASURE_SHEET, out + n);
    }
    return n;
}

static bool light_wanted(const struct measure_request *request)
{
    for (size_t i = 0; i < request->references; i++)
        if (!tells_colour(&request->reference[i]))
            return true;
    return false;
}

void refer_follow(struct refer *refer, const struct light *light,
                  struct area *card, const struct stats *card_stats,
                  struct measure_method *method, struct measure_notes *notes)
{
    const size_t most =
        (refer->request->references + 1) * PLACES_ALONG * PLACES_ALONG;
    struct field_place *place;
    struct field *field = &refer->field;

    if (!light_wanted(refer->request))
        return;
    place = mem_new(most, sizeof *place);
    if (field_fit(place, places_of(refer, light, card, card_stats, place),
                  card_stats->x, card_stats->y, field)) {
        field_flatten(field, light, card);
        for (size_t i = 0; i < refer->request->references; i++) {
            field_flatten(field, light, &refer->area[i]);
            refer->stats[i] = stats_take(&refer->area[i], light);
        }
        method->card_alone = false;
        method->light_places = field->places;
        snprintf(method->light, sizeof method->light, "%s",
                 field_name(field->kind));
    } else if (isfinite(field->residual)) {
        notes_add(notes,
                  "The light changes in a way that the cards or the sheet do "
                  "not follow (%.1f %% is left), so it was taken as even: use "
                  "one broad light, without shadows.",
                  100 * field->residual);
    } else {
        notes_add(notes, "The boxes on the card or the sheet lie too near each "
                         "other to show how the light runs: lay one on either "
                         "side of the skeins.");
    }
    method->light_residual = field->residual;
    free(place);
}

/* ---- the curve ---------------------------------------------------------- */

static struct tone_grey *greys_of(const struct refer *refer,
                                  const struct mat3 *from_xyz, size_t *n)
{
    struct tone_grey *grey = mem_new(refer->count, sizeof *grey);

    *n = 0;
    for (size_t i = 0; i < refer->count; i++) {
        const struct xyz c = xyz_from_lab(refer->patch[i].lab);
        const double v[3] = {c.X, c.Y, c.Z};

        if (!refer->patch[i].grey)
            continue;
        memcpy(grey[*n].is, refer->patch[i].is, sizeof grey->is);
        mat3_apply(from_xyz, v, grey[(*n)++].should);
    }
    return grey;
}

/* The name of the nth grey. */
static const char *grey_name(const struct refer *refer, size_t n)
{
    const struct stats *stats = NULL;

    for (size_t i = 0; i < refer->count; i++)
        if (refer->patch[i].grey && n-- == 0)
            stats = refer->known[i].stats;
    for (size_t i = 0; i < refer->request->references; i++)
        if (&refer->stats[i] == stats)
            return refer->request->reference[i].name;
    return "the card";
}

static bool refuse_curve(const struct refer *refer, enum tone_fault fault,
                         const struct tone_report *report, struct error *err)
{
    const char *name = grey_name(refer, report->at_fault);

    switch (fault) {
    case TONE_FINE:
    case TONE_TOO_FEW:
        break;
    case TONE_TOO_MANY:
        return error_set(err, ERR_LIMIT,
                         "more than %d neutrals of different lightness: give "
                         "fewer",
                         TONE_MOST);
    case TONE_DARK:
        return error_set(err, ERR_INPUT,
                         "%s has no light in the picture, or none by its "
                         "stated values: leave it out",
                         name);
    case TONE_NOT_RISING:
        return error_set(err, ERR_INPUT,
                         "%s is no lighter in the picture than a neutral that "
                         "should be darker: put each box on its own neutral, "
                         "and give each its own values",
                         name);
    case TONE_STEEP:
        return error_set(
            err, ERR_INPUT,
            "no camera bends its tones as %s and the neutral next "
            "to it say (slope %.2f to %.2f): see that each box and "
            "its values are right",
            name, report->least, report->most);
    }
    return true;
}

/* True when something is amiss. */
static bool note_curve(const struct tone_report *report,
                       struct measure_notes *notes)
{
    const bool bold = report->least < SLOPE_FLAT || report->most > SLOPE_STEEP;
    const bool local =
        report->left_out > LOCAL_DL && report->left_out_power > LOCAL_DL;

    if (bold)
        notes_add(notes,
                  "The camera bends the tones strongly (slope %.2f to %.2f): "
                  "turn off its contrast, HDR and \"vivid\" modes.",
                  report->least, report->most);
    if (report->apart > CHANNELS_APART)
        notes_add(notes,
                  "Red, green and blue bend apart by %.0f %%: let only one "
                  "kind of light fall on the neutrals, and nothing coloured "
                  "be reflected in them.",
                  100 * report->apart);
    if (local)
        notes_add(notes,
                  "The neutrals do not foretell each other (%.1f of L* off): "
                  "the camera seems to brighten some places by themselves. "
                  "Turn off HDR and night modes, and use even light.",
                  fmin(report->left_out, report->left_out_power));
    return bold || local || report->apart > CHANNELS_APART;
}

/* ---- the colours -------------------------------------------------------- */

static size_t colours_of(const struct refer *refer)
{
    size_t n = 0;

    for (size_t i = 0; i < refer->count; i++)
        n += !refer->patch[i].grey;
    return n;
}

static bool judge_chart(struct refer *refer, const struct mat3 *to_xyz,
                        const struct chart_report *report,
                        struct measure_notes *notes, struct error *err)
{
    const struct chart_left_out *told = &report->model[refer->chart.model];

    if (told->mean > CHART_WRONG || report->worst_grey > CHART_WRONG)
        return error_set(
            err, ERR_INPUT,
            "the chart does not look as its file says (off by %.1f CIEDE2000, "
            "a grey by %.1f): see that it is the right file, that the places "
            "are right, and that nothing shines on the chart",
            told->mean, report->worst_grey);
    if (told->mean > CHART_DOUBT || report->worst_grey > GREY_DOUBT) {
        notes_add(notes,
                  "The chart's patches do not foretell each other (off by "
                  "%.1f CIEDE2000, a grey by %.1f), so only its greys were "
                  "used: use one kind of light and keep shine off the chart.",
                  told->mean, report->worst_grey);
        told = &report->model[CHART_TONE];
        chart_fit_as(refer->patch, refer->count, CHART_TONE,
                     refer->chart.tone.power, to_xyz, &refer->chart);
    }
    refer->left_out = *told;
    return true;
}

/* What each reference does to a colour. */
static void move_each(struct refer *refer, const struct mat3 *to_xyz)
{
    refer->moved = mem_new(3 * refer->count, sizeof *refer->moved);
    for (size_t i = 0; i < 3 * refer->count; i++) {
        struct lab *lab = &refer->patch[i / 3].lab;
        const struct lab stated = *lab;

        *(i % 3 == 0 ? &lab->L : i % 3 == 1 ? &lab->a : &lab->b) += REFER_STEP;
        if (!chart_fit_as(refer->patch, refer->count, refer->chart.model,
                          refer->chart.tone.power, to_xyz, &refer->moved[i]))
            refer->moved[i] = refer->chart;
        *lab = stated;
    }
}

/* ---- the whole ---------------------------------------------------------- */

/* Words for the light join those of the colours. */
static void tell_light(const struct refer *refer, struct measure_method *out)
{
    const size_t n = strlen(out->words);

    if (refer->field.kind != FIELD_NONE)
        snprintf(out->words + n, sizeof out->words - n,
                 "; light by %s through %zu places",
                 field_name(refer->field.kind), refer->field.places);
}

static void tell_method(const struct refer *refer,
                        const struct tone_report *tone,
                        struct measure_method *out)
{
    const struct chart *c = &refer->chart;

    out->card_alone = false;
    out->neutrals = c->tone.greys;
    out->tone_dL = tone->left_out;
    out->tone_power = tone->left_out_power;
    snprintf(out->words, sizeof out->words, "%zu neutrals, %s%s%s",
             c->tone.greys, c->tone.power ? "a power law" : "a curve",
             refer->colours ? "; chart, " : "",
             refer->colours ? chart_model_name(c->model) : "");
}

static bool fit_chart(struct refer *refer, const struct mat3 *to_xyz,
                      const struct tone *tone, struct measure_method *method,
                      struct measure_notes *notes, struct error *err)
{
    struct chart_report report;
    const size_t colours = colours_of(refer);

    refer->colours = colours >= CHART_COLOURS && tone->greys >= CHART_GREYS;
    if (!refer->colours) {
        refer->chart = (struct chart){.tone = *tone};
        return true;
    }
    chart_fit(refer->patch, refer->count, tone, to_xyz, &refer->chart, &report);
    method->patches = refer->count;
    for (int i = 0; i < CHART_MODELS; i++)
        method->chart[i] = (struct measure_left_out){report.model[i].mean,
                                                     report.model[i].worst};
    if (!judge_chart(refer, to_xyz, &report, notes, err))
        return false;
    method->chart_model = (int)refer->chart.model;
    return true;
}

static void note_too_few(const struct refer *refer, size_t colours,
                         struct measure_notes *notes)
{
    if (colours > 0 && !refer->colours)
        notes_add(notes,
                  "Only %zu colours of the chart can be read, and %d with %d "
                  "greys are needed, so its greys alone were used: show the "
                  "whole chart, evenly lit and not burnt out.",
                  colours, CHART_COLOURS, CHART_GREYS);
}

static bool fit_colours(struct refer *refer, const struct light *light,
                        const struct area *card, const struct stats *card_stats,
                        struct correction *correction,
                        struct measure_method *method,
                        struct measure_notes *notes, struct error *err)
{
    const size_t most = refer->request->references + 1;
    struct tone_report report;
    struct tone_grey *grey;
    struct tone tone;
    enum tone_fault fault;
    size_t n, colours;

    refer->known = mem_new(most, sizeof *refer->known);
    refer->patch = mem_new(most, sizeof *refer->patch);
    gather(refer, card, card_stats, true);
    grey = greys_of(refer, &light->back, &n);
    fault = tone_fit(grey, n, &light->m, &tone, &report);
    free(grey);
    if (!refuse_curve(refer, fault, &report, err))
        return false;
    if (fault == TONE_TOO_FEW) {
        notes_add(notes, "No neutral is much lighter or darker than the card, "
                         "so the camera's tone curve stays unknown: lay a "
                         "white and a black beside the card.");
        refer->count = 0;
        return true;
    }
    if (!fit_chart(refer, &light->m, &tone, method, notes, err))
        return false;
    colours = colours_of(refer);
    note_too_few(refer, colours, notes);
    if (!refer->colours)
        gather(refer, card, card_stats, false);
    refer->amiss = note_curve(&report, notes);
    refer->u_gamma = refer_gamma(tone.greys, refer->amiss);
    move_each(refer, &light->m);
    tell_method(refer, &report, method);
    correction->chart = &refer->chart;
    correction->to_xyz = &light->m;
    correction->from_xyz = &light->back;
    return true;
}

bool refer_correct(struct refer *refer, const struct light *light,
                   const struct area *card, const struct stats *card_stats,
                   struct correction *correction, struct measure_method *method,
                   struct measure_notes *notes, struct error *err)
{
    if (colours_wanted(refer->request) &&
        !fit_colours(refer, light, card, card_stats, correction, method, notes,
                     err))
        return false;
    if (refer->camera && refer->count)
        camera_doubt(refer, light, notes);
    else if (refer->camera)
        camera_correct(refer, light, card, card_stats, correction, method,
                       notes);
    tell_light(refer, method);
    return true;
}

/* ---- a skein ------------------------------------------------------------ */

bool refer_holds(const struct refer *refer, const struct stats *skein)
{
    return !refer->by_camera && chart_holds(refer->patch, refer->count,
                                            &refer->chart.tone, skein->light);
}

void refer_remark(const struct refer *refer, const struct stats *skein,
                  struct measure_notes *notes)
{
    double beyond = 0;

    if (refer->field.kind != FIELD_NONE) {
        double light[3];
        bool far;

        field_at(&refer->field, skein->x, skein->y, light, &far);
        if (far)
            notes_add(notes,
                      "The skein lies beyond the places that show the light: "
                      "lay a card on either side of the skeins.");
    }
    if (!refer->count)
        return;
    for (int c = 0; c < 3; c++)
        beyond = fmax(beyond, tone_curve_beyond(&refer->chart.tone.channel[c],
                                                skein->light[c]));
    if (beyond > TONE_REACH)
        notes_add(notes,
                  "The skein's red, green or blue is lighter or darker than "
                  "that of all neutrals, so it is less sure: lay a lighter and "
                  "a darker neutral beside it.");
    if (refer->colours && !refer->by_camera && !refer_holds(refer, skein))
        notes_add(notes, "No colours of the chart lie all round the skein's, "
                         "so it is less sure: compare it with a skein that is "
                         "known.");
}
